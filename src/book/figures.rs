//! Builds the figures that `account` balances. The two sides of each identity come from
//! different places: what was received and ruled from the lots, where things lie from the cage
//! and the pools.

use crate::account::{
    self, Carried, Identity, NoteFigures, ReplacementFigures, SheetFigures, SpoilFigures,
};
use crate::custody::{Item, Seal};
use crate::inspect::Verdict;
use crate::sheet::{LotId, Printed, Replacement, Serial, SheetNo};

use super::cage::Place;
use super::lot::Lot;
use super::pool::Fate;
use super::state::State;

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
    pub(super) fn new(
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
    let replacements = replacement_figures(state, |of| of == lot.id);
    Account::new(
        sheet_figures(lot),
        note_figures(lot),
        replacements,
        spoil_figures(state, lot, &replacements),
    )
}

/// The account of the whole book: every lot, every series, everything in the cage.
pub fn book_account(state: &State) -> Account {
    let (mut sheets, mut notes) = (SheetFigures::default(), NoteFigures::default());
    let mut replacements = replacement_figures(state, |_| true);
    let mut spoils = SpoilFigures {
        made: replacements.spoiled,
        ..SpoilFigures::default()
    };
    for lot in state.lots.values() {
        sheets += sheet_figures(lot);
        notes += note_figures(lot);
        spoils.made += made_of_sheets(lot);
    }
    for place in state.cage.spoils.values() {
        count(state, *place, &mut spoils);
    }
    for lot in state.archive.lots.values() {
        sheets += lot.carried.sheets;
        notes += lot.carried.notes;
        replacements += lot.carried.replacements;
        spoils += lot.carried.spoils;
    }
    Account::new(sheets, notes, replacements, spoils)
}

/// What is open over all lots. The same figures as the whole book's account gives, without
/// balancing: it is asked at every change of day.
pub fn carried(state: &State) -> Carried {
    let mut spoils = SpoilFigures::default();
    for place in state.cage.spoils.values() {
        count(state, *place, &mut spoils);
    }
    let lots = || state.lots.values();
    Carried {
        sheets_not_examined: lots().map(|lot| u64::from(lot.not_examined())).sum(),
        notes_to_replace: lots().map(|lot| lot.needs().len() as u64).sum(),
        replacements_on_hand: replacement_figures(state, |_| true).on_hand,
        spoils_loose: spoils.loose,
        spoils_in_open_containers: spoils.in_open_containers,
        spoils_sealed: spoils.sealed,
        spoils_held: spoils.held,
        spoils_missing: spoils.missing,
    }
}

/// The sheets of one lot by what became of them.
pub fn sheet_figures(lot: &Lot) -> SheetFigures {
    let not_examined = lot
        .sheets
        .iter()
        .filter(|sheet| sheet.exam.is_none())
        .count() as u64;
    SheetFigures {
        received: u64::from(lot.received()),
        added: u64::from(lot.press.added),
        good: lot.tally.good - lot.lost_at_press(Verdict::Good),
        mixed: lot.tally.mixed - lot.lost_at_press(Verdict::Mixed),
        spoiled: lot.tally.spoiled,
        lost_at_press: lot.press.lost.len() as u64,
        not_examined,
    }
}

fn note_figures(lot: &Lot) -> NoteFigures {
    let notes = u64::from(lot.notes());
    let mut figures = NoteFigures {
        printed: notes * u64::from(lot.len()),
        ..NoteFigures::default()
    };
    for (index, sheet) in (0..).zip(&lot.sheets) {
        let Some(exam) = &sheet.exam else {
            figures.not_examined += notes;
            continue;
        };
        if lot.press.lost.contains_key(&SheetNo::from_index(index)) {
            figures.on_lost_sheets += notes;
            continue;
        }
        let lost = u64::from(lot.lost_count(&exam.ruling));
        match exam.ruling.verdict {
            Verdict::Spoiled => figures.on_spoiled_sheets += lost,
            Verdict::Mixed | Verdict::Good => figures.spoiled_on_mixed += lost,
        }
        figures.fit += notes - lost;
    }
    figures
}

fn replacement_figures(state: &State, of: impl Fn(LotId) -> bool) -> ReplacementFigures {
    let mut figures = ReplacementFigures::default();
    let drawn = state.pools.values().flat_map(|pool| &pool.drawn);
    for drawn in drawn.filter(|drawn| of(drawn.lot)) {
        figures.drawn += 1;
        match drawn.fate {
            Fate::OnHand => figures.on_hand += 1,
            Fate::Inserted => figures.inserted += 1,
            Fate::Spoiled => figures.spoiled += 1,
            Fate::Returned => figures.returned += 1,
        }
    }
    figures
}

fn spoil_figures(state: &State, lot: &Lot, replacements: &ReplacementFigures) -> SpoilFigures {
    let mut figures = SpoilFigures {
        made: made_of_sheets(lot) + replacements.spoiled,
        ..SpoilFigures::default()
    };
    for (_, place) in spoils_of(state, lot) {
        count(state, place, &mut figures);
    }
    figures
}

/// The spoils that the rulings of a lot make: spoiled sheets, and notes pulled from mixed ones. A
/// mixed sheet that is not numbered has no note to pull yet.
fn made_of_sheets(lot: &Lot) -> u64 {
    let pulled = match lot.is_numbered() {
        true => note_figures(lot).spoiled_on_mixed,
        false => 0,
    };
    lot.tally.spoiled + pulled
}

/// Replacement notes of one lot that are on hand, each with the note it stands for.
pub fn on_hand(state: &State, lot: &Lot) -> Vec<(Serial<Replacement>, Serial<Printed>)> {
    let pools = state.pools.values();
    let drawn = pools.flat_map(|pool| pool.placed().map(move |(at, note)| (pool, at, note)));
    let of_lot = drawn.filter(|(_, _, note)| note.lot == lot.id && note.fate == Fate::OnHand);
    let serials = of_lot
        .filter_map(|(pool, at, note)| Some((pool.series.serial(at)?, lot.serial_of(note.note)?)));
    serials.collect()
}

/// The spoils of one lot with where each lies, in the order of [`Item`].
pub fn spoils_of<'a>(
    state: &'a State,
    lot: &'a Lot,
) -> impl Iterator<Item = (&'a Item, Place)> + 'a {
    let of_lot = state.cage.of_lot.get(&lot.id).into_iter().flatten();
    of_lot.filter_map(|item| Some((item, *state.cage.spoils.get(item)?)))
}

fn count(state: &State, place: Place, figures: &mut SpoilFigures) {
    let seal = |id| {
        state
            .cage
            .containers
            .get(&id)
            .map(|container| &container.seal)
    };
    match place {
        Place::Loose => figures.loose += 1,
        Place::In(container) => match seal(container) {
            Some(Seal::Held(..)) => figures.held += 1,
            Some(Seal::Sealed(_)) => figures.sealed += 1,
            _ => figures.in_open_containers += 1,
        },
        Place::Missing(_) => figures.missing += 1,
        Place::Lost(_) => figures.declared_lost += 1,
        Place::Destroyed(_) => figures.destroyed += 1,
    }
}

/// The lot a spoil belongs to; a replacement note belongs to the lot it was drawn for.
pub fn lot_of(state: &State, item: &Item) -> Option<LotId> {
    match item {
        Item::Sheet(lot, _) => Some(*lot),
        Item::Note(_) | Item::Replacement(_) => {
            let mut lots = state.cage.of_lot.iter();
            lots.find(|(_, items)| items.contains(item))
                .map(|(lot, _)| *lot)
        }
    }
}
