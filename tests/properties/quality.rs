//! Laws of the quality room.

use cullbook::quality::bh::{q_values, q_values_among};
use cullbook::quality::dist::{Binomial, Discrete, Hypergeometric, Poisson};
use cullbook::quality::pareto::pareto;
use cullbook::quality::repeat::{Family, Runs, run_chance};
use cullbook::quality::zones::{Axis, compare};
use cullbook::quality::{Grid, Probability};
use proptest::prelude::*;
use std::collections::BTreeMap;

fn probability() -> impl Strategy<Value = Probability> {
    (0.0..=1.0).prop_map(|value| Probability::new("chance", value).unwrap())
}

fn grid_and_rotation() -> impl Strategy<Value = (usize, usize, Vec<u64>, Vec<usize>)> {
    (1_usize..7, 2_usize..7).prop_flat_map(|(rows, columns)| {
        let counts = prop::collection::vec(0_u64..20, rows * columns);
        let turns = prop::collection::vec(0..rows, columns);
        (Just(rows), Just(columns), counts, turns)
    })
}

/// Turns each column down by its own number of rows.
fn turned(rows: usize, columns: usize, counts: &[u64], turns: &[usize]) -> Vec<u64> {
    (0..rows * columns)
        .map(|cell| {
            let (row, column) = (cell / columns, cell % columns);
            counts[(row + turns[column]) % rows * columns + column]
        })
        .collect()
}

fn check_tails(of: &impl Discrete, k: u64) -> Result<(), TestCaseError> {
    let (below, above) = (of.at_most(k).get(), of.more_than(k).get());
    prop_assert!((below + above - 1.0).abs() < 1e-12);
    let step = of.at_most(k + 1).get() - below;
    prop_assert!((step - of.pmf(k + 1)).abs() < 1e-12);
    Ok(())
}

/// Sheets of up to six positions, one class.
fn sheets() -> impl Strategy<Value = Vec<Vec<u8>>> {
    prop::collection::vec(prop::collection::vec(0_u8..6, 0..6), 1..60)
}

proptest! {
    #[test]
    fn q_values_keep_the_order_of_p_values(p in prop::collection::vec(probability(), 1..40)) {
        let q = q_values(&p);
        for (a, b) in (0..p.len()).flat_map(|a| (0..p.len()).map(move |b| (a, b))) {
            prop_assert!(p[a] > p[b] || q[a] <= q[b]);
        }
        prop_assert!(p.iter().zip(&q).all(|(p, q)| p.get() <= q.get() * (1.0 + 1e-15)));
    }

    #[test]
    fn a_larger_family_never_lowers_a_q_value(p in prop::collection::vec(probability(), 1..20), more in 0_usize..50) {
        let pairs = q_values(&p).into_iter().zip(q_values_among(&p, p.len() + more));
        prop_assert!(pairs.into_iter().all(|(alone, among)| alone <= among));
    }

    #[test]
    fn longer_runs_are_rarer(trials in 1_u64..300, success in probability()) {
        let chances: Vec<f64> = (0..=trials + 1).map(|k| run_chance(trials, k, success).get()).collect();
        prop_assert!(chances.windows(2).all(|pair| pair[1] <= pair[0] * (1.0 + 1e-12)));
    }

    #[test]
    fn more_trials_never_lower_the_chance_of_a_run(trials in 1_u64..300, length in 1_u64..20, success in probability()) {
        let (fewer, more) = (run_chance(trials, length, success), run_chance(trials + 1, length, success));
        prop_assert!(fewer.get() <= more.get() * (1.0 + 1e-12));
    }

    #[test]
    fn columns_do_not_care_where_in_them_a_mark_is((rows, columns, counts, turns) in grid_and_rotation()) {
        let moved = turned(rows, columns, &counts, &turns);
        let before = compare(&Grid::from_counts(rows, columns, counts).unwrap(), Axis::Columns);
        let after = compare(&Grid::from_counts(rows, columns, moved).unwrap(), Axis::Columns);
        let seen = |zone: Option<cullbook::quality::zones::Zone>| zone.map(|z| (z.statistic, z.p, z.line, z.count));
        prop_assert_eq!(seen(before), seen(after));
    }

    #[test]
    fn binomial_tails_meet(trials in 0_u64..100_000, chance in probability(), part in 0.0..1.0_f64) {
        check_tails(&Binomial::new(trials, chance), (trials as f64 * part) as u64)?;
    }

    #[test]
    fn poisson_tails_meet(mean in 0.0..5_000.0_f64, part in 0.0..3.0_f64) {
        check_tails(&Poisson::new(mean).unwrap(), (mean * part) as u64)?;
    }

    #[test]
    fn hypergeometric_tails_meet(lot in 1_u64..20_000, bad in 0.0..1.0_f64, sample in 0.0..1.0_f64, part in 0.0..1.0_f64) {
        let share = |of: f64| (lot as f64 * of) as u64;
        let of = Hypergeometric::new(lot, share(bad), share(sample)).unwrap();
        check_tails(&of, (share(sample) as f64 * part) as u64)?;
    }

    #[test]
    fn a_lot_swept_for_its_bad_items_is_symmetric(lot in 1_u64..5_000, bad in 0.0..1.0_f64, sample in 0.0..1.0_f64) {
        let (bad, sample) = ((lot as f64 * bad) as u64, (lot as f64 * sample) as u64);
        let (one, other) = (Hypergeometric::new(lot, bad, sample).unwrap(), Hypergeometric::new(lot, sample, bad).unwrap());
        let k = bad * sample / lot;
        prop_assert!((one.pmf(k) - other.pmf(k)).abs() <= 1e-11 * one.pmf(k));
    }

    #[test]
    fn shares_add_up_to_the_whole(counts in prop::collection::vec((0_u8..9, 0_u64..1_000), 1..30)) {
        let bars = pareto(counts.clone());
        prop_assert_eq!(bars.iter().map(|bar| bar.count).sum::<u64>(), counts.iter().map(|c| c.1).sum::<u64>());
        prop_assert!(bars.windows(2).all(|pair| pair[0].count >= pair[1].count && pair[0].cumulative <= pair[1].cumulative));
        prop_assert!(bars.last().is_none_or(|bar| bar.cumulative == 1.0));
    }

    /// Runs that can give no finding are left out early; that must change no finding.
    #[test]
    fn findings_are_those_of_every_run_worked_out(sheets in sheets(), classes in 1_u64..30) {
        let family = Family { positions: 6, classes };
        let mut runs = Runs::default();
        for (now, marks) in sheets.iter().enumerate() {
            runs.push(now, marks.iter().map(|position| (*position, ())));
        }
        let marked = |position: u8| sheets.iter().filter(|sheet| sheet.contains(&position)).count();
        let total: usize = (0..6).map(marked).sum();
        let longest = |position: u8| {
            let same = sheets.chunk_by(|a, b| a.contains(&position) == b.contains(&position));
            same.filter(|run| run[0].contains(&position)).map(<[_]>::len).max().unwrap_or(0)
        };
        let p: Vec<Probability> = (0..6).map(|position| {
            let rate = (total - marked(position) + 1) as f64 / (5 * sheets.len() + 2) as f64;
            let rate = Probability::new("rate", rate.min(1.0)).unwrap();
            run_chance(sheets.len() as u64, longest(position) as u64, rate)
        }).collect();
        let q = q_values_among(&p, family.size() as usize);
        let found = runs.findings(family, Probability::ONE_IN_TWENTY);
        let expected = (0..6).filter(|position| q[*position] <= Probability::ONE_IN_TWENTY);
        let expected: BTreeMap<u8, f64> = expected.map(|position| (position as u8, q[position].get())).collect();
        let found: BTreeMap<u8, f64> = found.iter().map(|one| (one.position, one.q.get())).collect();
        prop_assert_eq!(found.keys().collect::<Vec<_>>(), expected.keys().collect::<Vec<_>>());
        for (found, expected) in found.values().zip(expected.values()) {
            prop_assert!((found / expected - 1.0).abs() < 1e-9);
        }
    }

    /// The live runs, kept sheet by sheet, are those counted backwards from each sheet.
    #[test]
    fn live_runs_equal_counting_back(sheets in sheets()) {
        let mut runs = Runs::default();
        for (now, marks) in sheets.iter().enumerate() {
            runs.push(now, marks.iter().map(|position| (*position, ())));
            let live: BTreeMap<u8, u64> = runs.current().map(|c| (c.position, c.run.length)).collect();
            let back: BTreeMap<u8, u64> = marks
                .iter()
                .map(|position| (*position, sheets[..=now].iter().rev().take_while(|s| s.contains(position)).count() as u64))
                .collect();
            prop_assert_eq!(live, back);
        }
    }
}
