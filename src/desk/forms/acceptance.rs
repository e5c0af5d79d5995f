//! The form that draws an acceptance sample.

use crate::book::{AcceptanceDrawn, Entry, Lot, Planned, Refusal, State};
use crate::quality::QualityError;
use crate::quality::sampling::{Aql, Level, Severity};
use crate::sheet::AcceptanceId;

use super::{FieldErrors, Reader, Typed};

pub const NUMBER: &str = "acceptance-number";
pub const LEVEL: &str = "acceptance-level";
pub const AQL: &str = "acceptance-aql";
pub const INSPECTION: &str = "acceptance-inspection";
pub const RESUMED: &str = "acceptance-resumed";

/// Longest reason, in characters.
const REASON_MAX: usize = 200;

/// The form as it starts: the next number, the usual level, what the lots before ask for.
pub fn acceptance_start(lot: &Lot, state: &State) -> Typed {
    let standing = state.standing(lot.product.id);
    let number = next_number(state);
    let usual = Aql::new("1").map_or_else(|_| String::new(), |aql| aql.to_string());
    Typed::with([
        (NUMBER, &number),
        (LEVEL, Level::default().name()),
        (AQL, &usual),
        (INSPECTION, standing.severity().name()),
    ])
}

fn next_number(state: &State) -> String {
    let free = |number: &String| {
        let id: Option<AcceptanceId> = number.parse().ok();
        id.is_some_and(|id| !state.knows_acceptance(id))
    };
    let mut numbers = (state.acceptances.len() + 1..).map(|n| format!("A-{n}"));
    numbers.find(free).unwrap_or_default()
}

/// How a lot would be inspected under what is chosen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chosen {
    pub level: Level,
    pub aql: Aql,
    pub inspection: Severity,
}

fn choices(form: &mut Reader) -> Option<Chosen> {
    let level = form.read_with(LEVEL, |text| {
        let found = Level::ALL.into_iter().find(|level| level.name() == text);
        found.ok_or("No inspection level is chosen. Choose one from the list.")
    });
    let aql = form.read_with(AQL, |text| Aql::new(text).map_err(sentence));
    let inspection = form.read_with(INSPECTION, |text| {
        let found = Severity::ALL.into_iter().find(|one| one.name() == text);
        found.ok_or("How strictly is not chosen. Choose one from the list.")
    });
    Some(Chosen {
        level: level?,
        aql: aql?,
        inspection: inspection?,
    })
}

/// The sentences of the figures have no full stop of their own.
fn sentence(why: QualityError) -> String {
    format!(
        "{}.",
        Refusal::Sampling(why).to_string().trim_end_matches('.')
    )
}

/// What is chosen so far, with its plan; nothing while a choice is wrong or too few are passed.
pub fn acceptance_planned(typed: &Typed, lot: &Lot) -> Option<(Chosen, Planned)> {
    let chosen = choices(&mut Reader::new(typed))?;
    let planned = lot.acceptance_plan(chosen.level, chosen.aql, chosen.inspection);
    Some((chosen, planned.ok()?))
}

/// Reads the form and draws with `seed`, which nobody could know before.
///
/// # Errors
/// A number that is no number, a choice that is none, a missing reason, too few passed sheets.
pub fn acceptance_drawn(
    typed: &Typed,
    lot: &Lot,
    state: &State,
    seed: u128,
) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let acceptance = form.read::<AcceptanceId>(NUMBER);
    let chosen = choices(&mut form);
    let resumed = match state.standing(lot.product.id).is_suspended() {
        true => form
            .required(RESUMED, "What was mended", REASON_MAX)
            .map(Some),
        false => Some(None),
    };
    let planned = chosen.and_then(|chosen| {
        let planned = lot.acceptance_plan(chosen.level, chosen.aql, chosen.inspection);
        match planned {
            Ok(planned) => Some(planned),
            Err(why) => form.wrong(LEVEL, sentence(why)),
        }
    });
    let seed = format!("{seed:032x}");
    let entry = || {
        let (chosen, planned) = (chosen?, planned?);
        Some(Entry::AcceptanceDrawn(AcceptanceDrawn {
            acceptance: acceptance?,
            lot: lot.id,
            level: chosen.level,
            aql: chosen.aql,
            inspection: chosen.inspection,
            passed: planned.passed,
            sheets: lot.drawn_by(&seed, planned.sample()),
            seed,
            resumed: resumed?,
        }))
    };
    let entry = entry();
    form.finish(entry)
}

/// The field that a refusal of the book is about.
pub fn acceptance_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::AcceptanceTaken(_) => NUMBER,
        Refusal::TooLenient { .. } => INSPECTION,
        Refusal::AcceptanceSuspended(_) | Refusal::NothingToResume(_) => RESUMED,
        Refusal::Sampling(_) => LEVEL,
        _ => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Book, LotOpened, ProductDefined, SheetsExamined};
    use crate::desk::forms::sample::{book, take};
    use crate::desk::practice::merin_layout;
    use crate::sheet::{Finishing, LotId, SheetNo};

    /// Lot `L1` of 40 sheets of which the first `passed` are good.
    fn lot_with(passed: u32) -> (Book, LotId) {
        let mut book = book();
        let (product, lot) = ("M20".parse().unwrap(), "L1".parse().unwrap());
        let defined = ProductDefined {
            product,
            title: "20 merin".to_owned(),
            layout: merin_layout().spec().clone(),
            finishing: Finishing::default(),
        };
        take(&mut book, Entry::ProductDefined(defined)).unwrap();
        let opened = LotOpened {
            lot,
            product,
            sheets: 40,
            numbering: None,
        };
        take(&mut book, Entry::LotOpened(opened)).unwrap();
        if passed > 0 {
            let examined = SheetsExamined {
                lot,
                from: SheetNo::from_index(0),
                to: SheetNo::from_index(passed - 1),
                tags: Vec::new(),
                machine_kept: false,
                corrects: None,
                reason: None,
            };
            take(&mut book, Entry::SheetsExamined(examined)).unwrap();
        }
        (book, lot)
    }

    #[test]
    fn the_form_starts_ready_to_draw_and_the_book_takes_it() {
        let (mut book, id) = lot_with(40);
        let state = book.state();
        let lot = &state.lots[&id];
        let typed = acceptance_start(lot, state);
        // MIL-STD-105E: 26 to 50 at level II is letter D; at AQL 1.0 its arrow leads down to
        // letter E, thirteen items, none bad.
        let (_, planned) = acceptance_planned(&typed, lot).unwrap();
        assert_eq!((planned.passed, planned.sample()), (40, 13));
        assert_eq!(planned.plan.accept(), 0);
        let entry = acceptance_drawn(&typed, lot, state, 42).unwrap();
        take(&mut book, entry).unwrap();
        let next = acceptance_start(&book.state().lots[&id], book.state());
        assert_eq!(next.get(NUMBER), "A-2");
    }

    #[test]
    fn each_wrong_field_is_named_and_all_at_once() {
        let (book, id) = lot_with(40);
        let lot = &book.state().lots[&id];
        let typed = Typed::with([
            (NUMBER, "no 1"),
            (LEVEL, "IV"),
            (AQL, "3"),
            (INSPECTION, ""),
        ]);
        let errors = acceptance_drawn(&typed, lot, book.state(), 42).unwrap_err();
        assert!(errors.of(NUMBER).unwrap().contains("acceptance number"));
        assert!(errors.of(LEVEL).unwrap().contains("Choose one"));
        assert!(errors.of(AQL).unwrap().contains("not in the tables"));
        assert!(errors.of(INSPECTION).unwrap().contains("Choose one"));
    }

    #[test]
    fn too_few_passed_sheets_are_said_at_the_plan() {
        let (book, id) = lot_with(1);
        let lot = &book.state().lots[&id];
        let typed = acceptance_start(lot, book.state());
        assert_eq!(acceptance_planned(&typed, lot), None);
        let errors = acceptance_drawn(&typed, lot, book.state(), 42).unwrap_err();
        assert!(errors.of(LEVEL).unwrap().ends_with("examine every item."));
    }
}
