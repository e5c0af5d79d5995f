//! The form that records a sheet lost or added at the numbering press.

use crate::book::{Difference, Entry, Lot, PressDiffered, Refusal, State};
use crate::people::PersonId;
use crate::sheet::{LotId, MAX_SHEETS, SheetNo};

use super::{FieldErrors, Reader, Typed};

/// The values of the field that says what differed, and what is shown for each.
pub const DIFFERENCES: [(&str, &str); 2] =
    [("lost", "a sheet was lost"), ("added", "sheets were added")];

/// The lots whose press order can differ from what was received.
pub fn lots_at_press(state: &State) -> impl Iterator<Item = &Lot> {
    let lots = state.lots.values();
    lots.filter(|lot| !lot.came_numbered && lot.closed.is_none())
}

/// What the form starts with; the lot is chosen when there is one only.
pub fn press_start(state: &State) -> Typed {
    let mut typed = Typed::with([("press-what", "lost"), ("press-sheets", "1")]);
    let mut lots = lots_at_press(state);
    if let (Some(only), None) = (lots.next(), lots.next()) {
        typed.set("press-lot", only.id.to_string());
    }
    typed
}

/// Whether the form is about added sheets.
pub fn adds(typed: &Typed) -> bool {
    typed.get("press-what") == "added"
}

/// Reads the whole form.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn press_differed(typed: &Typed, _: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let lot = read_lot(&mut form);
    let what = match adds(typed) {
        true => read_added(&mut form),
        false => form
            .number("press-sheet", "Sheet", 1..=MAX_SHEETS)
            .and_then(SheetNo::new)
            .map(|sheet| Difference::Lost { sheet }),
    };
    let reason = form.required("press-reason", "Reason", 200);
    let second: Option<PersonId> = form.read("press-second");
    let entry = (|| {
        Some(Entry::PressDiffered(PressDiffered {
            lot: lot?,
            what: what?,
            reason: reason?,
            second: second?,
        }))
    })();
    form.finish(entry)
}

fn read_lot(form: &mut Reader) -> Option<LotId> {
    match form.text("press-lot") {
        "" => form.wrong("press-lot", "\"Lot\" is not chosen. Choose one."),
        _ => form.read("press-lot"),
    }
}

/// Sheet 0 stands before the first.
fn read_added(form: &mut Reader) -> Option<Difference> {
    let after = form.number("press-after", "The sheet before them", 0..=MAX_SHEETS);
    let sheets = form.number("press-sheets", "Sheets added", 1..=MAX_SHEETS);
    Some(Difference::Added {
        after: SheetNo::new(after?),
        sheets: sheets?,
    })
}

/// The field that a refusal of the book is about.
pub fn press_field(why: &Refusal) -> &'static str {
    match why {
        Refusal::UnknownLot(_)
        | Refusal::LotIsClosed(_)
        | Refusal::CameNumbered(_)
        | Refusal::SerialsInUse { .. } => "press-lot",
        Refusal::NotLost { .. } | Refusal::LastInPressOrder(_) => "press-sheet",
        Refusal::NotInPressOrder { .. } => "press-after",
        Refusal::LotSize { .. } | Refusal::NoRoomInNumbering(_) => "press-sheets",
        Refusal::SamePerson(_) | Refusal::UnknownPerson(_) | Refusal::Retired(_) => "press-second",
        Refusal::Empty { .. } | Refusal::TooLong { .. } => "press-reason",
        _ => "",
    }
}

#[cfg(test)]
mod tests;
