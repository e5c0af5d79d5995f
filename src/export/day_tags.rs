//! The tags of a day by class, most first, and by step.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use crate::account::DayTotals;
use crate::book::State;
use crate::inspect::{ClassCode, Step};
use crate::people::Day;
use crate::quality::pareto::{Bar, pareto};

use super::day_record::{DayRecord, ppm};

/// Tags of one class or one step.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct TagRow {
    /// Absent for a whole step.
    pub class: Option<ClassCode>,
    pub name: String,
    pub step: Step,
    pub tags: u64,
    /// Sheets of the day with at least one such tag.
    pub sheets: u64,
    pub share_ppm: u64,
    /// With all rows before it.
    pub cumulative_ppm: u64,
}

impl DayRecord {
    pub fn classes(&self) -> impl Iterator<Item = (ClassCode, &TagRow)> {
        self.tags.iter().filter_map(|row| Some((row.class?, row)))
    }

    pub fn steps(&self) -> impl Iterator<Item = &TagRow> {
        self.tags.iter().filter(|row| row.class.is_none())
    }
}

pub(super) fn class_rows(state: &State, totals: &DayTotals, day: Day) -> Vec<TagRow> {
    let sheets = sheets_with(state, totals, day, |_, class| Some(class));
    let row = |bar: Bar<ClassCode>| {
        let (name, step) = class_of(state, bar.key);
        row(Some(bar.key), name, step, &bar, &sheets)
    };
    let counts = totals.by_class.iter();
    let counts = counts.map(|(class, count)| (*class, *count));
    pareto(counts).into_iter().map(row).collect()
}

pub(super) fn step_rows(state: &State, totals: &DayTotals, day: Day) -> Vec<TagRow> {
    let sheets = sheets_with(state, totals, day, |lot, class| {
        lot.catalogue.get(class).map(|class| class.step)
    });
    let row = |bar: Bar<Step>| row(None, bar.key.name().to_owned(), bar.key, &bar, &sheets);
    let counts = totals.by_step.iter().map(|(step, count)| (*step, *count));
    pareto(counts).into_iter().map(row).collect()
}

fn row<K: Ord>(
    class: Option<ClassCode>,
    name: String,
    step: Step,
    bar: &Bar<K>,
    sheets: &BTreeMap<K, u64>,
) -> TagRow {
    TagRow {
        class,
        name,
        step,
        tags: bar.count,
        sheets: sheets.get(&bar.key).copied().unwrap_or(0),
        share_ppm: ppm(bar.share),
        cumulative_ppm: ppm(bar.cumulative),
    }
}

/// How many sheets of the day have a tag of each kind.
fn sheets_with<K: Ord + Copy>(
    state: &State,
    totals: &DayTotals,
    day: Day,
    kind: impl Fn(&crate::book::Lot, ClassCode) -> Option<K>,
) -> BTreeMap<K, u64> {
    let mut sheets = BTreeMap::new();
    for lot in totals.by_lot.keys().filter_map(|lot| state.lots.get(lot)) {
        for (_, exam) in lot.examined().filter(|(_, exam)| exam.day == day) {
            let kinds = exam.tags.iter().filter_map(|tag| kind(lot, tag.class));
            for kind in kinds.collect::<BTreeSet<_>>() {
                *sheets.entry(kind).or_default() += 1;
            }
        }
    }
    sheets
}

/// Name and step of a class: as in the catalogue in force, else as in the lot opened last that
/// has it.
fn class_of(state: &State, code: ClassCode) -> (String, Step) {
    let mut lots: Vec<_> = state.lots.values().collect();
    lots.sort_by_key(|lot| std::cmp::Reverse(lot.seq));
    let catalogues = lots.into_iter().map(|lot| &lot.catalogue);
    let class = std::iter::once(&state.catalogue)
        .chain(catalogues)
        .find_map(|catalogue| catalogue.get(code));
    // A tag is only taken with a class of its lot's catalogue, so one is found.
    class.map_or_else(
        || (String::new(), Step::Handling),
        |class| (class.name.clone(), class.step),
    )
}
