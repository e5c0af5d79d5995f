//! Builds the figures that `account` balances. The two sides of each identity come from
//! different places: what was received and ruled from the lots, where things lie from the cage
//! and the pools.

use crate::account::{self, Identity, NoteFigures, ReplacementFigures, SheetFigures, SpoilFigures};
use crate::custody::{Item, Seal};
use crate::inspect::Verdict;
use crate::sheet::LotId;

use super::lot::Lot;
use super::pool::Fate;
use super::state::{Place, State};

/// The four identities of one lot with the figures behind them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    pub sheet_figures: SheetFigures,
    pub note_figures: NoteFigures,
    pub replacement_figures: ReplacementFigures,
    pub spoil_figures: SpoilFigures,
    pub identities: Vec<Identity>,
}

impl Account {
    fn new(
        sheet_figures: SheetFigures,
        note_figures: NoteFigures,
        replacement_figures: ReplacementFigures,
        spoil_figures: SpoilFigures,
    ) -> Self {
        let identities = vec![
            account::sheets(&sheet_figures),
            account::notes(&note_figures),
            account::replacements(&replacement_figures),
            account::spoils(&spoil_figures),
        ];
        Self {
            sheet_figures,
            note_figures,
            replacement_figures,
            spoil_figures,
            identities,
        }
    }

    pub fn holds(&self) -> bool {
        self.identities.iter().all(Identity::holds)
    }
}

/// The account of one lot.
pub fn lot_account(state: &State, lot: &Lot) -> Account {
    Account::new(
        sheet_figures(lot),
        note_figures(lot),
        replacement_figures(state, lot),
        spoil_figures(state, lot),
    )
}

fn sheet_figures(lot: &Lot) -> SheetFigures {
    let not_examined = lot
        .sheets
        .iter()
        .filter(|sheet| sheet.exam.is_none())
        .count() as u64;
    SheetFigures {
        received: u64::from(lot.len()),
        good: lot.tally.good,
        mixed: lot.tally.mixed,
        spoiled: lot.tally.spoiled,
        not_examined,
    }
}

fn note_figures(lot: &Lot) -> NoteFigures {
    let notes = u64::from(lot.notes());
    let mut figures = NoteFigures {
        printed: notes * u64::from(lot.len()),
        ..NoteFigures::default()
    };
    for sheet in &lot.sheets {
        let Some(exam) = &sheet.exam else {
            figures.not_examined += notes;
            continue;
        };
        let lost = u64::from(lot.lost_count(&exam.ruling));
        match exam.ruling.verdict {
            Verdict::Spoiled => figures.on_spoiled_sheets += lost,
            Verdict::Mixed | Verdict::Good => figures.spoiled_on_mixed += lost,
        }
        figures.fit += notes - lost;
    }
    figures
}

fn replacement_figures(state: &State, lot: &Lot) -> ReplacementFigures {
    let mut figures = ReplacementFigures::default();
    let drawn = state.pools.values().flat_map(|pool| &pool.drawn);
    for drawn in drawn.filter(|drawn| drawn.lot == lot.id) {
        figures.drawn += 1;
        match drawn.fate {
            Fate::OnHand => figures.on_hand += 1,
            Fate::Inserted => figures.inserted += 1,
            Fate::Spoiled => figures.spoiled += 1,
        }
    }
    figures
}

fn spoil_figures(state: &State, lot: &Lot) -> SpoilFigures {
    let spoiled_replacements = replacement_figures(state, lot).spoiled;
    let pulled = match lot.numbering {
        Some(_) => note_figures(lot).spoiled_on_mixed,
        None => 0,
    };
    let mut figures = SpoilFigures {
        made: lot.tally.spoiled + pulled + spoiled_replacements,
        ..SpoilFigures::default()
    };
    for (item, place) in &state.cage.spoils {
        if lot_of(state, item) == Some(lot.id) {
            count(state, *place, &mut figures);
        }
    }
    figures
}

fn count(state: &State, place: Place, figures: &mut SpoilFigures) {
    let sealed = |id| {
        state
            .cage
            .containers
            .get(&id)
            .is_some_and(|container| container.seal != Seal::Open)
    };
    match place {
        Place::Loose => figures.loose += 1,
        Place::In(container) if sealed(container) => figures.sealed += 1,
        Place::In(_) => figures.in_open_containers += 1,
        Place::Destroyed(_) => figures.destroyed += 1,
    }
}

/// The lot a spoil belongs to; a replacement note belongs to the lot it was drawn for.
pub fn lot_of(state: &State, item: &Item) -> Option<LotId> {
    match item {
        Item::Sheet(lot, _) => Some(*lot),
        Item::Note(serial) => state.lots.values().find_map(|lot| {
            lot.numbering
                .as_ref()?
                .locate_text(serial.as_str())
                .ok()?
                .map(|_| lot.id)
        }),
        Item::Replacement(serial) => state
            .pools
            .values()
            .find_map(|pool| pool.find(serial).map(|place| pool.drawn[place].lot)),
    }
}
