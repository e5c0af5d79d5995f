//! Run rules: their wording in run_rules.json (NIST/SEMATECH e-Handbook 6.3.2 and Nelson 1984),
//! and their in-control run length: 91.75 for the four zone rules together, published by
//! Champ and Woodall 1987.

use crate::quality_fixture::{assert_close, json, list, number, whole};
use cullbook::quality::dist::normal_upper;
use cullbook::quality::rules::{NELSON, Rule, WESTERN_ELECTRIC, signals};
use std::collections::BTreeMap;

fn sounds_at(z: &[f64], rule: Rule) -> Vec<usize> {
    signals(z, &[rule])
        .into_iter()
        .map(|signal| signal.to)
        .collect()
}

#[test]
fn zone_rules_are_those_listed() {
    let file = json("run_rules.json");
    let rules = &list(&file["nist_6_3_2"], "rules")[..4];
    for (row, rule) in rules.iter().zip(WESTERN_ELECTRIC) {
        let (window, count) = (whole(row, "window") as usize, whole(row, "count") as usize);
        let beyond = number(row, "beyond_sigma");
        assert_eq!(rule.window(), window);
        let quiet = vec![0.0; window - count];
        let series = |height: f64| [quiet.clone(), vec![height; count]].concat();
        for side in [1.0, -1.0] {
            assert_eq!(
                sounds_at(&series(side * (beyond + 0.01)), rule),
                [window - 1],
                "{row}"
            );
            assert!(sounds_at(&series(side * beyond), rule).is_empty(), "{row}");
        }
        let mut one_missing = series(beyond + 0.01);
        one_missing[window - count] = -0.01;
        assert!(sounds_at(&one_missing, rule).is_empty(), "{row}");
        if count > 1 {
            // The opposite side does not help.
            one_missing[window - count] = -beyond - 1.0;
            assert!(sounds_at(&one_missing, rule).is_empty(), "{row}");
        }
    }
    let windows = list(&file["nist_6_3_2"], "rules")[4..]
        .iter()
        .map(|row| whole(row, "window") as usize);
    assert!(windows.eq([
        Rule::SixTrending.window(),
        Rule::FourteenAlternating.window()
    ]));
}

/// Nelson's rules that are not zone rules: each sounds at its length, not one point before,
/// and not when broken.
#[test]
fn nelsons_other_rules() {
    let rising = |n: usize| (0..n).map(|i| i as f64 * 0.1).collect::<Vec<_>>();
    let saw = |n: usize| {
        (0..n)
            .map(|i| if i % 2 == 0 { 0.3 } else { -0.2 })
            .collect::<Vec<_>>()
    };
    let wide = |n: usize| {
        (0..n)
            .map(|i| if i % 2 == 0 { 1.1 } else { -1.2 })
            .collect::<Vec<_>>()
    };
    type Series<'a> = &'a dyn Fn(usize) -> Vec<f64>;
    let cases: [(Rule, Series); 5] = [
        (Rule::NineOneSide, &|n| vec![0.5; n]),
        (Rule::SixTrending, &rising),
        (Rule::FourteenAlternating, &saw),
        (Rule::FifteenWithinOne, &saw),
        (Rule::EightBeyondOne, &wide),
    ];
    for (rule, series) in cases {
        let window = rule.window();
        assert_eq!(sounds_at(&series(window), rule), [window - 1], "{rule:?}");
        assert!(sounds_at(&series(window - 1), rule).is_empty(), "{rule:?}");
        let mut broken = series(window + 1);
        broken[window / 2] = if rule == Rule::FifteenWithinOne {
            1.0
        } else {
            0.0
        };
        broken[window / 2 + 1] = broken[window / 2];
        assert!(sounds_at(&broken, rule).is_empty(), "{rule:?}");
    }
    let falling: Vec<f64> = rising(6).into_iter().rev().collect();
    assert_eq!(sounds_at(&falling, Rule::SixTrending), [5]);
}

/// Each rule's sentence begins with the count that run_rules.json gives for it.
#[test]
fn nelsons_order_and_counts() {
    let file = json("run_rules.json");
    let words = [
        ("1", "One"),
        ("2", "Two"),
        ("4", "Four"),
        ("6", "Six"),
        ("8", "Eight"),
        ("9", "Nine"),
        ("14", "Fourteen"),
        ("15", "Fifteen"),
    ];
    let rows = list(&file["nelson_1984"], "rules");
    assert_eq!(rows.len(), NELSON.len());
    for (row, rule) in rows.iter().zip(NELSON) {
        let (number, _) = row["meaning"].as_str().unwrap().split_once(' ').unwrap();
        let word = words
            .iter()
            .find(|(digits, _)| *digits == number)
            .unwrap()
            .1;
        assert!(
            rule.sentence().split_once(' ').unwrap().0 == word,
            "{row} {}",
            rule.sentence()
        );
    }
}

#[test]
fn limits_alone_last_370_points() {
    let file = json("run_rules.json");
    let rows = list(&file, "gaussian_limits");
    let three = rows.iter().find(|row| number(row, "k") == 3.0).unwrap();
    assert_close(
        1.0 / (2.0 * normal_upper(3.0).get()),
        number(three, "arl0"),
        1e-7,
        0.0,
        "ARL",
    );
}

/// What decides the next signal: the last four points (as the middle of their zone) and how
/// many points in a row lie on the latest side, up to seven.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
struct State {
    last: Vec<i8>,
    side: usize,
}

/// Zones that do not signal alone, by number: ±1 within one standard deviation, ±2 within two,
/// ±3 within three; with the chance of each.
fn zones() -> Vec<(i8, f64)> {
    let tail = |z: f64| normal_upper(z).get();
    let chance = |zone: i8| tail(f64::from(zone - 1)) - tail(f64::from(zone));
    (1..=3)
        .flat_map(|zone| [(zone, chance(zone)), (-zone, chance(zone))])
        .collect()
}

fn middle(zone: i8) -> f64 {
    f64::from(zone) - 0.5 * f64::from(zone.signum())
}

impl State {
    /// The points as far back as the rules look: older ones of the same side only count as such.
    fn history(&self) -> Vec<f64> {
        let Some(latest) = self.last.last() else {
            return Vec::new();
        };
        let older = self.side.saturating_sub(self.last.len());
        let padding = std::iter::repeat_n(middle(latest.signum()), older);
        padding
            .chain(self.last.iter().map(|zone| middle(*zone)))
            .collect()
    }

    /// The state after one more point, or `None` when a rule sounds.
    fn after(&self, zone: i8) -> Option<Self> {
        let mut series = self.history();
        series.push(middle(zone));
        let latest = series.len() - 1;
        if signals(&series, &WESTERN_ELECTRIC)
            .iter()
            .any(|signal| signal.to == latest)
        {
            return None;
        }
        let same_side = self
            .last
            .last()
            .is_some_and(|last| last.signum() == zone.signum());
        let mut last = self.last.clone();
        last.push(zone);
        let drop = last.len().saturating_sub(4);
        Some(Self {
            last: last.split_off(drop),
            side: if same_side { self.side + 1 } else { 1 },
        })
    }
}

/// All states that can be reached from the start, each with where it leads and how likely.
fn chain() -> Vec<Vec<(usize, f64)>> {
    let start = State {
        last: Vec::new(),
        side: 0,
    };
    let mut number = BTreeMap::from([(start.clone(), 0)]);
    let mut states = vec![start];
    let mut moves = Vec::new();
    while let Some(state) = states.get(moves.len()).cloned() {
        let mut row = Vec::new();
        for (zone, chance) in zones() {
            let Some(next) = state.after(zone) else {
                continue;
            };
            let index = *number.entry(next.clone()).or_insert_with(|| {
                states.push(next);
                states.len() - 1
            });
            row.push((index, chance));
        }
        moves.push(row);
    }
    moves
}

/// Expected points to the first signal: L = 1 + Σ chance × L(next), from every state, repeated
/// until it stands still.
#[test]
fn the_four_zone_rules_last_91_75_points() {
    let moves = chain();
    let mut length = vec![1.0; moves.len()];
    for _ in 0..3_000 {
        for state in (0..moves.len()).rev() {
            length[state] = 1.0
                + moves[state]
                    .iter()
                    .map(|(next, chance)| chance * length[*next])
                    .sum::<f64>();
        }
    }
    let file = json("run_rules.json");
    let published = number(
        &file["nist_6_3_2"]["published_in_control_arl"]["W1_to_W4"],
        "value",
    );
    assert_close(length[0], published, 0.0, 0.005, "published");
    assert_close(
        length[0],
        number(&file["markov_chain_check"], "arl0"),
        1e-7,
        0.0,
        "own chain",
    );
}
