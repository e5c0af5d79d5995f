//! Filling a container: by verdict, by range, from a list, or scanned one after the other.

use crate::book::{ContainerFilled, Entry, LIST_PART, Pieces, Place, State, spoils_of};
use crate::custody::{ContainerId, Item};
use crate::sheet::{LotId, SheetNo};

use super::super::spoils::whereabouts;
use super::super::{FieldErrors, Reader, Typed};
use super::{open_container, pieces};

/// The value of the lot field that stands for every lot; no lot is called so.
pub const LOT_ANY: &str = "*";

/// Reads the form that fills a container: `fill-container`, `fill-what` (`all`, `sheets`, `notes`,
/// `range`, `list` or `scan`), `fill-lot` (a lot or [`LOT_ANY`]), `fill-from` and `fill-to` for a
/// range of sheets, `fill-list`. `scanned` is what was scanned so far. Gives entries of at most
/// [`LIST_PART`] pieces each.
///
/// # Errors
/// Every wrong field; each wrong line of a list, with what is known of the piece.
pub fn container_filled(
    typed: &Typed,
    state: &State,
    scanned: &[Item],
) -> Result<Vec<Entry>, FieldErrors> {
    let mut form = Reader::new(typed);
    let container = form.read_with("fill-container", |text| open_container(state, text));
    let items = match typed.get("fill-what") {
        "list" => listed(&mut form, state),
        "scan" if scanned.is_empty() => form.wrong(
            "fill-scan",
            "Nothing is scanned yet. Scan or type a serial and press Enter.",
        ),
        "scan" => Some(scanned.to_vec()),
        "range" => range(&mut form, state),
        what @ ("all" | "sheets" | "notes") => loose(&mut form, state, what),
        _ => form.wrong("fill-what", "Choose what goes in."),
    };
    let entries = container.zip(items).map(|(container, items)| {
        let parts = items.chunks(LIST_PART);
        parts.map(|part| filled(container, part)).collect()
    });
    form.finish(entries)
}

fn filled(container: ContainerId, items: &[Item]) -> Entry {
    let pieces: Pieces = items.iter().copied().collect();
    Entry::ContainerFilled(ContainerFilled::new(container, pieces))
}

/// Every loose spoil of a kind, of one lot or of all.
fn loose(form: &mut Reader, state: &State, what: &str) -> Option<Vec<Item>> {
    let wanted = |item: &Item| match what {
        "sheets" => matches!(item, Item::Sheet(..)),
        "notes" => !matches!(item, Item::Sheet(..)),
        _ => true,
    };
    let kind = if what == "all" { "spoils" } else { what };
    let (items, owner): (Vec<Item>, String) = match form.text("fill-lot").trim() {
        "" => return form.wrong("fill-lot", "Choose the lot whose spoils go in."),
        LOT_ANY => {
            let spoils = state.cage.spoils.iter();
            let loose = spoils.filter(|(item, place)| **place == Place::Loose && wanted(item));
            (
                loose.map(|(item, _)| *item).collect(),
                "The book".to_owned(),
            )
        }
        _ => {
            let lot: LotId = form.read("fill-lot")?;
            let loose = loose_of(state, lot).filter(wanted);
            (loose.collect(), format!("Lot {lot}"))
        }
    };
    if items.is_empty() {
        return form.wrong("fill-lot", format!("{owner} has no loose {kind}."));
    }
    Some(items)
}

fn loose_of(state: &State, lot: LotId) -> impl Iterator<Item = Item> + '_ {
    let spoils = state.lots.get(&lot).into_iter();
    let spoils = spoils.flat_map(move |lot| spoils_of(state, lot));
    let loose = spoils.filter(|(_, place)| *place == Place::Loose);
    loose.map(|(item, _)| *item)
}

/// Every loose sheet of a range, and every loose note pulled from its mixed sheets.
fn range(form: &mut Reader, state: &State) -> Option<Vec<Item>> {
    let lot = match form.text("fill-lot").trim() {
        "" | LOT_ANY => return form.wrong("fill-lot", "Choose the lot of these sheets."),
        _ => form.read_with("fill-lot", |text| {
            let lot: LotId = text.parse().map_err(|why| format!("{why}"))?;
            state.lot(lot).map_err(|why| why.to_string())
        })?,
    };
    let last = lot.len();
    let from = form.number("fill-from", "The first sheet", 1..=last);
    let to = form.number("fill-to", "The last sheet", 1..=last);
    let (from, to) = (from?, to?);
    if to < from {
        return form.wrong(
            "fill-to",
            format!(
                "The range runs from {from} back to {to}. Give the smaller sheet number first."
            ),
        );
    }
    let within = |sheet: SheetNo| (from..=to).contains(&sheet.number());
    let of_range = loose_of(state, lot.id).filter(|item| match item {
        Item::Sheet(_, sheet) => within(*sheet),
        Item::Note(serial) => {
            let found = lot.locate_text(serial.as_str());
            matches!(found, Ok(Some((sheet, _))) if within(sheet))
        }
        // It was never on one of these sheets.
        Item::Replacement(_) => false,
    });
    let items: Vec<Item> = of_range.collect();
    if items.is_empty() {
        let lot = lot.id;
        return form.wrong(
            "fill-from",
            format!("Nothing of sheets {from} to {to} of lot {lot} is loose."),
        );
    }
    Some(items)
}

fn listed(form: &mut Reader, state: &State) -> Option<Vec<Item>> {
    let lot = form.text("fill-lot").trim().parse().ok();
    let items = pieces(
        form,
        "fill-list",
        lot,
        state,
        &|item| match state.cage.spoils.get(&item) {
            Some(Place::Loose) => Ok(()),
            place => Err(whereabouts(item, place.copied())),
        },
    )?;
    match items.is_empty() {
        true => form.wrong("fill-list", "The list is empty. Type or scan at least one."),
        false => Some(items),
    }
}
