//! Are the notes of every bench, press, lot and works alike? By the classes seen on them, and by
//! what was measured.

use std::collections::BTreeMap;

use crate::inspect::{ClassCode, Tag};
use crate::people::Day;
use crate::quality::rates::{ClassRates, Stack, compare};
use crate::sheet::ProductId;

use super::lot::Exam;
use super::state::State;

mod brought;
mod measured;

pub use brought::{Brought, brought};
pub use measured::{MeasuredGroup, QuantityAlike, Tested, measured_alike, measured_alike_on};

/// By what notes are told apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    Lot,
    Bench,
    /// Before and after numbering, as sheets were examined.
    Stage,
    /// As a sample names it; no lot knows its press.
    Press,
    /// The works that printed them.
    Site,
}

impl By {
    pub const ALL: [By; 5] = [By::Lot, By::Bench, By::Stage, By::Press, By::Site];

    /// The word for one group.
    pub fn name(self) -> &'static str {
        match self {
            By::Lot => "lot",
            By::Bench => "bench",
            By::Stage => "stage",
            By::Press => "press",
            By::Site => "works",
        }
    }

    /// The word for several.
    pub fn plural(self) -> &'static str {
        match self {
            By::Lot => "lots",
            By::Bench => "benches",
            By::Stage => "stages",
            By::Press => "presses",
            By::Site => "works",
        }
    }
}

/// The class rates of groups of sheets, side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct ClassesAlike {
    pub by: By,
    pub product: ProductId,
    /// The groups in the order of their names, each with its sheets.
    pub groups: Vec<(String, u64)>,
    /// What classes are called; of two names for one code the first in order.
    pub names: BTreeMap<ClassCode, String>,
    /// Classes seen on any sheet: those that differ most surely first.
    pub classes: Vec<ClassRates<ClassCode>>,
}

/// Sheets examined and, of each class, sheets on which it was seen.
#[derive(Clone, Debug, Default)]
struct Counted {
    of: u64,
    found: BTreeMap<ClassCode, u64>,
}

impl Counted {
    fn take(&mut self, tags: &[Tag]) {
        self.of += 1;
        let mut classes: Vec<ClassCode> = tags.iter().map(|tag| tag.class).collect();
        classes.sort_unstable();
        classes.dedup();
        for class in classes {
            *self.found.entry(class).or_default() += 1;
        }
    }
}

/// The stacks of each group.
type Groups = BTreeMap<String, Vec<Counted>>;

/// Compares the examined sheets of a product in these books, each book once (`lay_together` names
/// those that count). A sheet that two benches examined counts as each of them saw it. By press
/// there is nothing to compare.
pub fn classes_alike(books: &[&State], by: By, product: ProductId) -> ClassesAlike {
    of_days(books, by, product, None)
}

/// The same of the sheets that count to one production day.
pub fn classes_alike_on(day: Day, books: &[&State], by: By, product: ProductId) -> ClassesAlike {
    of_days(books, by, product, Some(day))
}

fn of_days(books: &[&State], by: By, product: ProductId, day: Option<Day>) -> ClassesAlike {
    let mut groups = Groups::new();
    let mut names = BTreeMap::new();
    for state in books {
        let lots = state.lots.values().filter(|lot| lot.product.id == product);
        for lot in lots {
            // Stacks of one lot and one bench, apart for each group, each with its number.
            let mut stacks: Vec<(&str, Vec<(u32, Counted)>)> = Vec::new();
            let stack = lot.product.finishing.stack().max(1);
            let of_day = |exam: &Exam| day.is_none_or(|day| exam.day == day);
            for (sheet, exam) in lot.examined().filter(|(_, exam)| of_day(exam)) {
                let Some(group) = group_of(state, by, lot.id.as_str(), exam.stage.name()) else {
                    continue;
                };
                let place = stacks.iter().position(|(known, _)| *known == group);
                let place = place.unwrap_or_else(|| {
                    stacks.push((group, Vec::new()));
                    stacks.len() - 1
                });
                take(&mut stacks[place].1, sheet.index() / stack, &exam.tags);
            }
            for class in lot.catalogue.classes() {
                let name: &mut String = names
                    .entry(class.code)
                    .or_insert_with(|| class.name.clone());
                if class.name < *name {
                    name.clone_from(&class.name);
                }
            }
            for (group, stacks) in stacks {
                let of_group = groups.entry(group.to_owned()).or_default();
                of_group.extend(stacks.into_iter().map(|(_, counted)| counted));
            }
        }
    }
    ClassesAlike {
        by,
        product,
        classes: compared(&groups),
        names,
        groups: groups.iter().map(sheets_of).collect(),
    }
}

/// Takes the next sheet into its stack: sheets come in order, so it is the last one or a new one.
fn take(stacks: &mut Vec<(u32, Counted)>, number: u32, tags: &[Tag]) {
    if stacks.last().is_none_or(|(last, _)| *last != number) {
        stacks.push((number, Counted::default()));
    }
    if let Some((_, stack)) = stacks.last_mut() {
        stack.take(tags);
    }
}

fn group_of<'a>(state: &'a State, by: By, lot: &'a str, stage: &'a str) -> Option<&'a str> {
    let opened = state.opened.as_ref()?;
    match by {
        By::Lot => Some(lot),
        By::Bench => Some(opened.bench.as_str()),
        By::Stage => Some(stage),
        By::Press => None,
        By::Site => Some(&opened.works),
    }
}

fn sheets_of((name, stacks): (&String, &Vec<Counted>)) -> (String, u64) {
    (name.clone(), stacks.iter().map(|stack| stack.of).sum())
}

fn compared(groups: &Groups) -> Vec<ClassRates<ClassCode>> {
    let stacks = groups.values().flatten();
    let mut seen: Vec<ClassCode> = stacks
        .flat_map(|stack| stack.found.keys())
        .copied()
        .collect();
    seen.sort_unstable();
    seen.dedup();
    let of_class = |class: ClassCode| {
        let stack = |counted: &Counted| Stack {
            found: counted.found.get(&class).copied().unwrap_or_default(),
            of: counted.of,
        };
        let groups = groups.values();
        let groups = groups.map(|stacks| stacks.iter().map(stack).collect());
        (class, groups.collect())
    };
    let classes = seen.into_iter().map(of_class).collect();
    let mut classes = compare(classes).expect("every stack has sheets, and no class on more");
    let surest = |class: &ClassRates<ClassCode>| {
        let groups = class.groups.iter();
        groups.map(|group| group.p.get()).fold(1.0, f64::min)
    };
    classes.sort_by(|a, b| surest(a).total_cmp(&surest(b)));
    classes
}

/// A class of which a group has clearly more or clearly less than all others taken together.
#[derive(Clone, Debug, PartialEq)]
pub struct Unlike<'a> {
    pub class: ClassCode,
    pub group: &'a str,
    pub more: bool,
    /// Rates of the group and of all others.
    pub rate: f64,
    pub others: f64,
}

impl ClassesAlike {
    /// Code and name of a class.
    pub fn named(&self, class: ClassCode) -> String {
        match self.names.get(&class) {
            Some(name) => format!("{class} {name}"),
            None => class.to_string(),
        }
    }

    /// What differs when the chance of any false alarm among all of it is one in twenty; of two
    /// groups the one that has more.
    pub fn differ(&self) -> Vec<Unlike<'_>> {
        let mut found = Vec::new();
        for class in &self.classes {
            let all: (u64, u64) = class.groups.iter().fold((0, 0), |(found, of), group| {
                (found + group.found, of + group.of)
            });
            for (group, (name, _)) in class.groups.iter().zip(&self.groups) {
                let rate = group.found as f64 / group.of as f64;
                let others = (all.0 - group.found) as f64 / (all.1 - group.of).max(1) as f64;
                let more = rate > others;
                let twice = class.groups.len() == 2 && !more;
                if group.q <= crate::quality::Probability::ONE_IN_TWENTY && !twice {
                    found.push(Unlike {
                        class: class.class,
                        group: name,
                        more,
                        rate,
                        others,
                    });
                }
            }
        }
        found
    }
}
