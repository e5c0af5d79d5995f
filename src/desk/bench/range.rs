//! Figures typed on the bench, and ranges of sheets.

use crate::book::{Entry, Lot, SheetsExamined};
use crate::sheet::{SheetNo, grouped};

/// What the typed figures are for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TypedFor {
    /// Go to that sheet.
    Go,
    /// Pass every sheet up to it that has no machine tags.
    Pass,
    /// Give every sheet up to it the tags of this one.
    Same,
    /// Take the machine's word for every sheet up to it.
    Machine,
}

/// Figures typed so far.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    pub purpose: TypedFor,
    pub figures: String,
}

/// Longest sheet number that can be typed.
const FIGURES_MAX: usize = 8;

impl Typed {
    pub fn new(purpose: TypedFor) -> Self {
        Self {
            purpose,
            figures: String::new(),
        }
    }

    pub fn push(&mut self, figure: char) {
        if self.figures.len() < FIGURES_MAX {
            self.figures.push(figure);
        }
    }

    /// The sheet typed, if it is one.
    pub fn sheet(&self) -> Option<SheetNo> {
        self.figures.parse().ok().and_then(SheetNo::new)
    }

    /// What Enter will do, in words.
    pub fn prompt(&self) -> String {
        let sheet = match self.figures.parse() {
            Ok(number) => grouped(number),
            Err(_) => "…".to_owned(),
        };
        match self.purpose {
            TypedFor::Go => format!("Go to sheet {sheet}"),
            TypedFor::Pass => {
                format!("Pass as clean up to sheet {sheet}, leaving those with machine tags")
            }
            TypedFor::Same => format!("Record these tags for every sheet up to {sheet}"),
            TypedFor::Machine => format!("Record as the machine says up to sheet {sheet}"),
        }
    }
}

/// Which sheets of a range a range command takes.
pub struct Taken {
    pub entries: Vec<Entry>,
    /// Sheets recorded.
    pub taken: u32,
    /// Sheets left because they were examined before.
    pub examined: u32,
    /// Sheets left because the machine has tags on them.
    pub machine: u32,
}

/// Entries that pass the clean sheets of a range, or take the machine's word for all of them.
pub fn take_range(lot: &Lot, from: SheetNo, to: SheetNo, machine_kept: bool) -> Taken {
    let mut out = Taken {
        entries: Vec::new(),
        taken: 0,
        examined: 0,
        machine: 0,
    };
    let mut run: Option<(SheetNo, SheetNo)> = None;
    for index in from.index()..=to.index() {
        let sheet = SheetNo::from_index(index);
        let Some(known) = lot.sheet(sheet) else { break };
        let (examined, machine) = (
            known.exam.is_some(),
            !known.machine.is_empty() && !machine_kept,
        );
        out.examined += u32::from(examined);
        out.machine += u32::from(machine && !examined);
        if examined || machine {
            out.entries
                .extend(run.take().map(|run| passed(lot, run, machine_kept)));
        } else {
            out.taken += 1;
            run = Some((run.map_or(sheet, |(first, _)| first), sheet));
        }
    }
    out.entries
        .extend(run.map(|run| passed(lot, run, machine_kept)));
    out
}

fn passed(lot: &Lot, (from, to): (SheetNo, SheetNo), machine_kept: bool) -> Entry {
    Entry::SheetsExamined(SheetsExamined {
        lot: lot.id,
        from,
        to,
        tags: Vec::new(),
        machine_kept,
        corrects: None,
        reason: None,
    })
}
