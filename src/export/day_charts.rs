//! Control charts of the lots that were examined on a day, a stack of sheets to a point.

use serde::Serialize;

use crate::book::{Lot, State, Subgroup, subgroups};
use crate::people::Day;
use crate::quality::chart::{Chart, Defective, Marks, Point};
use crate::quality::rules::{Rule, Signal, WESTERN_ELECTRIC, signals};
use crate::sheet::{LotId, SheetNo};

use super::day_record::ppm;

/// What a chart plots.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Plotted {
    /// Share of notes that are defective by their own tags.
    P,
    /// Tags per sheet.
    U,
}

impl Plotted {
    pub fn name(self) -> &'static str {
        match self {
            Self::P => "p",
            Self::U => "u",
        }
    }
}

/// One chart of one lot. Values are parts per million: of notes, or tags per million sheets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChartOfLot {
    pub lot: LotId,
    pub plotted: Plotted,
    pub centre_ppm: u64,
    /// Some point expects fewer than five, so that its limits are rough.
    pub rough: bool,
    pub points: Vec<ChartPoint>,
}

/// The sheets of one stack that were examined on the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ChartPoint {
    pub from: SheetNo,
    pub to: SheetNo,
    /// Notes of a p chart, sheets of a u chart.
    pub size: u64,
    /// Defective notes, or tags.
    pub found: u64,
    pub value_ppm: u64,
    pub lower_ppm: u64,
    pub upper_ppm: u64,
    pub outside: bool,
    /// Run rules that this point completes.
    pub signals: Vec<Heard>,
}

/// A rule that a point completes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Heard {
    /// `W1` to `W4`: the four Western Electric rules in their order.
    pub rule: &'static str,
    /// The point, from 0, that the rule looks back to.
    pub from: usize,
    /// What the rule says, in words.
    #[serde(skip)]
    pub sentence: &'static str,
}

const RULES: [(&str, Rule); 4] = [
    ("W1", WESTERN_ELECTRIC[0]),
    ("W2", WESTERN_ELECTRIC[1]),
    ("W3", WESTERN_ELECTRIC[2]),
    ("W4", WESTERN_ELECTRIC[3]),
];

/// The p chart, then the u chart of every lot with sheets of the day.
pub(super) fn charts(state: &State, day: Day) -> Vec<ChartOfLot> {
    state
        .lots
        .values()
        .flat_map(|lot| of_lot(lot, day))
        .collect()
}

fn of_lot(lot: &Lot, day: Day) -> Vec<ChartOfLot> {
    let groups = subgroups(lot, day, lot.product.finishing.stack());
    let p: Vec<_> = groups
        .iter()
        .map(|group| Defective {
            found: group.defective,
            examined: group.notes,
        })
        .collect();
    let u: Vec<_> = groups
        .iter()
        .map(|group| Marks {
            found: group.tags,
            size: group.sheets as f64,
        })
        .collect();
    // No group is empty and no note is counted twice: only a lot without sheets has no chart.
    let p = Chart::p(&p).map(|chart| told(lot, Plotted::P, &chart, &groups));
    let u = Chart::u(&u).map(|chart| told(lot, Plotted::U, &chart, &groups));
    p.into_iter().chain(u).collect()
}

fn told(lot: &Lot, plotted: Plotted, chart: &Chart, groups: &[Subgroup]) -> ChartOfLot {
    let heard = signals(&chart.standardised(), &WESTERN_ELECTRIC);
    let pairs = chart.points.iter().zip(groups).enumerate();
    let mut heard = heard.into_iter().peekable();
    let points = pairs.map(|(index, (point, group))| {
        let mut of_point = Vec::new();
        while let Some(signal) = heard.next_if(|signal| signal.to == index) {
            of_point.push(named(signal));
        }
        chart_point(plotted, point, group, of_point)
    });
    ChartOfLot {
        lot: lot.id,
        plotted,
        centre_ppm: ppm(chart.centre),
        rough: chart.rough,
        points: points.collect(),
    }
}

fn named(signal: Signal) -> Heard {
    let known = RULES.iter().find(|(_, rule)| *rule == signal.rule);
    Heard {
        rule: known.map_or("", |(name, _)| name),
        from: signal.from,
        sentence: signal.rule.sentence(),
    }
}

fn chart_point(
    plotted: Plotted,
    point: &Point,
    group: &Subgroup,
    signals: Vec<Heard>,
) -> ChartPoint {
    let (size, found) = match plotted {
        Plotted::P => (group.notes, group.defective),
        Plotted::U => (group.sheets, group.tags),
    };
    ChartPoint {
        from: group.from,
        to: group.to,
        size,
        found,
        value_ppm: ppm(point.value),
        lower_ppm: ppm(point.lower),
        upper_ppm: ppm(point.upper),
        outside: point.is_outside(),
        signals,
    }
}
