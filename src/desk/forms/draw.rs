//! Replacement notes: drawn for a lot, reported inserted, spoiled or returned.

use crate::account::Tally;
use crate::book::{
    Entry, Fate, LIST_PART, Life, Lot, Pool, Refusal, ReplacementsDrawn, ReplacementsInserted,
    ReplacementsReturned, ReplacementsSpoiled, State, Trace,
};
use crate::export::{PickLine, fate_name};
use crate::inspect::{Need, draw, draw_sheets};
use crate::people::Day;
use crate::sheet::{LotId, Printed, Replacement, Serial, SeriesId};

use super::{FieldErrors, Reader, Typed};

/// The entries that draw for a lot from a series: for its first `at_most` needs in finishing
/// order, in parts of at most [`LIST_PART`].
///
/// # Errors
/// An unknown lot or series, a lot without numbering, nothing to replace, or a series that would
/// run out.
pub fn draw_entries(
    state: &State,
    lot: LotId,
    series: SeriesId,
    at_most: usize,
) -> Result<Vec<Entry>, Refusal> {
    let (lot, pool) = (state.lot(lot)?, state.pool(series)?);
    if !lot.is_numbered() {
        return Err(Refusal::NotNumbered(lot.id));
    }
    let drawn = match pool.series.notes_of_sheet() {
        Some(of_sheet) => {
            let mut sheets = lot.sheet_needs();
            sheets.truncate(at_most / usize::from(of_sheet));
            let sheets = sheets.into_iter().map(|sheet| lot.numbers(sheet));
            draw_sheets(sheets.collect(), &pool.series, pool.used())?
        }
        None => {
            let mut needs = notes_wanted(state, lot);
            needs.sort();
            needs.truncate(at_most);
            draw(needs, &pool.series, pool.used())?
        }
    };
    let pairs: Vec<_> = drawn
        .into_iter()
        // Every need names a note of the lot's own numbering, so this always finds it.
        .filter_map(|(note, new)| Some((lot.serial_of(note)?, new)))
        .collect();
    if pairs.is_empty() {
        return Err(Refusal::EmptyList);
    }
    let part = |pairs: &[(Serial<Printed>, Serial<Replacement>)]| {
        Entry::ReplacementsDrawn(ReplacementsDrawn {
            lot: lot.id,
            series,
            pairs: pairs.to_vec(),
        })
    };
    let of_sheet = pool.series.notes_of_sheet().map_or(1, usize::from);
    // A sheet is never parted.
    let most = LIST_PART / of_sheet * of_sheet;
    Ok(pairs.chunks(most).map(part).collect())
}

/// How many notes of a series can be drawn for a lot now: for its whole sheets, or for the rest.
pub fn drawable(state: &State, lot: &Lot, pool: &Pool) -> usize {
    let left = usize::try_from(pool.left()).unwrap_or(usize::MAX);
    let wanted = match pool.series.notes_of_sheet() {
        Some(of_sheet) => lot.sheet_needs().len() * usize::from(of_sheet),
        None => notes_wanted(state, lot).len(),
    };
    wanted.min(left)
}

/// What takes loose notes: all of it, once no whole replacement sheet is left.
fn notes_wanted(state: &State, lot: &Lot) -> Vec<Need<u64>> {
    match state.sheets_left(lot.product.id) {
        Some(_) => lot.loose_needs(),
        None => lot.needs(),
    }
}

/// How many more sheets a series lasts at the rate of the day, or of the lot while the day has
/// no sheets of this product. Needs that wait already are taken off first. Nothing while no note
/// was spoiled.
pub fn sheets_left(state: &State, lot: &Lot, pool: &Pool, day: Day) -> Option<u64> {
    let (examined, lost) = match todays(state, lot, day) {
        (0, _) => counts(&lot.tally),
        today => today,
    };
    if examined == 0 || lost == 0 {
        return None;
    }
    let free = pool.left().saturating_sub(lot.needs().len() as u64);
    Some((u128::from(free) * u128::from(examined) / u128::from(lost)) as u64)
}

fn todays(state: &State, lot: &Lot, day: Day) -> (u64, u64) {
    let by_lot = state.days.get(&day).map(|totals| &totals.by_lot);
    let same = by_lot.into_iter().flatten().filter(|(id, _)| {
        let other = state.lots.get(id);
        other.is_some_and(|other| other.product.id == lot.product.id)
    });
    same.map(|(_, tally)| counts(tally))
        .fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
}

fn counts(tally: &Tally) -> (u64, u64) {
    (tally.examined(), tally.notes_spoiled)
}

/// The entries that report these lines inserted; lines that are not on hand are passed over.
pub fn inserted_entries<'a>(lines: impl IntoIterator<Item = &'a PickLine>) -> Vec<Entry> {
    let mut notes: Vec<(SeriesId, Serial<Replacement>)> = lines
        .into_iter()
        .filter(|line| line.fate == Fate::OnHand)
        .map(|line| (line.series, line.insert))
        .collect();
    notes.sort();
    let same_series = notes.chunk_by(|a, b| a.0 == b.0);
    let parts = same_series.flat_map(|notes| notes.chunks(LIST_PART));
    let entry = |notes: &[(SeriesId, Serial<Replacement>)]| {
        Entry::ReplacementsInserted(ReplacementsInserted {
            series: notes[0].0,
            notes: notes.iter().map(|(_, serial)| *serial).collect(),
        })
    };
    parts.map(entry).collect()
}

/// Reads the form "replacement spoiled": `spoiled-serial`, `spoiled-reason`.
///
/// # Errors
/// Every wrong field, with what is known of the serial.
pub fn replacement_spoiled(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let note = form.read_with("spoiled-serial", |text| on_hand(state, text));
    let reason = form.required("spoiled-reason", "Reason", 200);
    let entry = note.zip(reason).map(|((series, serial), reason)| {
        Entry::ReplacementsSpoiled(ReplacementsSpoiled {
            series,
            notes: vec![serial],
            reason,
        })
    });
    form.finish(entry)
}

/// Reads the form "replacement returned": `returned-serial`, `returned-reason`.
///
/// # Errors
/// Every wrong field, with what is known of the serial.
pub fn replacement_returned(typed: &Typed, state: &State) -> Result<Entry, FieldErrors> {
    let mut form = Reader::new(typed);
    let note = form.read_with("returned-serial", |text| on_hand(state, text));
    let reason = form.required("returned-reason", "Reason", 200);
    let entry = note.zip(reason).map(|((series, serial), reason)| {
        Entry::ReplacementsReturned(ReplacementsReturned {
            series,
            notes: vec![serial],
            reason,
        })
    });
    form.finish(entry)
}

fn on_hand(state: &State, text: &str) -> Result<(SeriesId, Serial<Replacement>), String> {
    let life = match state.trace(text) {
        Trace::Found(life) => life,
        Trace::NotASerial(why) => return Err(why.to_string()),
        Trace::InArchive(note) => return Err(state.archive_of(note)),
        Trace::NoSuchNote | Trace::NothingNumbered => {
            return Err(format!(
                "No replacement series has \"{text}\". Type the serial as it is printed."
            ));
        }
    };
    match *life {
        Life::Printed(life) => Err(format!(
            "{} is a printed note of lot {}, not a replacement note. Give the serial of the replacement note.",
            life.serial, life.lot
        )),
        Life::Replacement(life) => match life.drawn {
            Some((_, _, Fate::OnHand, _)) => Ok((life.series, life.serial)),
            Some((_, _, fate, _)) => Err(format!(
                "Replacement note {} is {} already. Give one that is on hand.",
                life.serial,
                fate_name(fate)
            )),
            None => Err(format!(
                "Replacement note {} was not drawn yet. Give one that is on hand.",
                life.serial
            )),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::pick_list;
    use crate::export::sample::{Works, id, lot};

    fn pairs(entry: &Entry) -> Vec<(String, String)> {
        let Entry::ReplacementsDrawn(drawn) = entry else {
            panic!("not a draw: {entry:?}");
        };
        let text = |(old, new): &(Serial<Printed>, Serial<Replacement>)| {
            (old.to_string(), new.to_string())
        };
        drawn.pairs.iter().map(text).collect()
    }

    #[test]
    fn needs_are_drawn_in_finishing_order_and_the_book_takes_them() {
        let mut works = Works::new();
        works.examine("ida", 130, &["A1"], false);
        works.examine("ida", 5, &["B2"], false);
        works.examine("ida", 4, &["A1"], false);
        let entries = draw_entries(works.state(), lot(), id("R1"), 2).expect("a draw");
        assert_eq!(
            pairs(&entries[0]),
            [
                ("KA001003".to_owned(), "ZZ000001".to_owned()),
                ("KA001754".to_owned(), "ZZ000002".to_owned()),
            ]
        );
        works.write("sue", entries);
        let rest = draw_entries(works.state(), lot(), id("R1"), usize::MAX).expect("a draw");
        assert_eq!(
            pairs(&rest[0]),
            [("KA001129".to_owned(), "ZZ000003".to_owned())]
        );
        works.write("sue", rest);
        let none = draw_entries(works.state(), lot(), id("R1"), usize::MAX);
        assert_eq!(none, Err(Refusal::EmptyList));
    }

    #[test]
    fn a_series_that_would_run_out_is_refused() {
        let mut works = Works::new();
        for sheet in 1..=3 {
            works.examine("ida", sheet, &[], true);
        }
        let refused = draw_entries(works.state(), lot(), id("R2"), usize::MAX).unwrap_err();
        assert!(
            refused
                .to_string()
                .starts_with("12 replacement notes are needed but series R2 has 8"),
            "{refused}"
        );
        let some = draw_entries(works.state(), lot(), id("R2"), 8).expect("the last eight");
        assert_eq!(pairs(&some[0]).len(), 8);
        assert!(matches!(
            draw_entries(works.state(), lot(), id("R9"), 1),
            Err(Refusal::UnknownSeries(_))
        ));
        assert!(matches!(
            draw_entries(works.state(), id("L9"), id("R1"), 1),
            Err(Refusal::UnknownLot(_))
        ));
    }

    #[test]
    fn a_series_lasts_as_long_as_the_rate_says() {
        let mut works = Works::new();
        let left = |works: &Works, day: &str| {
            let state = works.state();
            sheets_left(state, &state.lots[&lot()], &state.pools[&id("R1")], id(day))
        };
        assert_eq!(left(&works, "2026-11-25"), None);
        works.examine("ida", 1, &[], false);
        assert_eq!(left(&works, "2026-11-25"), None);
        works.examine("ida", 2, &["A1", "A2"], false);
        // 2 notes on 2 sheets; 20 left less the 2 that wait.
        assert_eq!(left(&works, "2026-11-25"), Some(18));
        assert_eq!(
            left(&works, "2026-11-26"),
            Some(18),
            "from the lot's own rate"
        );
    }

    #[test]
    fn only_what_is_on_hand_is_reported_inserted() {
        let mut works = Works::new();
        works.examine("ida", 4, &["A1", "A2"], false);
        let drawn = draw_entries(works.state(), lot(), id("R1"), usize::MAX).expect("a draw");
        works.write("sue", drawn);
        let lines = pick_list(works.state(), lot());
        works.write("sue", inserted_entries(&lines[..1]));
        let lines = pick_list(works.state(), lot());
        let rest = inserted_entries(&lines);
        let Entry::ReplacementsInserted(inserted) = &rest[0] else {
            panic!("not an insertion: {rest:?}");
        };
        assert_eq!((rest.len(), &inserted.notes), (1, &vec![id("ZZ000002")]));
        works.write("sue", rest);
        assert!(inserted_entries(&pick_list(works.state(), lot())).is_empty());
    }

    #[test]
    fn a_returned_replacement_leaves_its_note_in_need() {
        let mut works = Works::new();
        works.examine("ida", 4, &["A1"], false);
        let drawn = draw_entries(works.state(), lot(), id("R1"), usize::MAX).expect("a draw");
        works.write("sue", drawn);
        let typed = Typed::with([
            ("returned-serial", "ZZ000001"),
            ("returned-reason", "not used"),
        ]);
        let entry = replacement_returned(&typed, works.state()).expect("it is on hand");
        works.write("sue", vec![entry]);
        let again = replacement_returned(&typed, works.state()).unwrap_err();
        let said = again.of("returned-serial").unwrap();
        assert!(said.contains("is returned already"), "{said}");
        let next = draw_entries(works.state(), lot(), id("R1"), usize::MAX).expect("a draw");
        assert_eq!(
            pairs(&next[0]),
            [("KA001003".to_owned(), "ZZ000002".to_owned())]
        );
        let both = replacement_returned(&Typed::default(), works.state()).unwrap_err();
        assert!(both.of("returned-serial").is_some() && both.of("returned-reason").is_some());
    }

    #[test]
    fn a_spoiled_replacement_is_told_from_everything_else() {
        let mut works = Works::new();
        works.examine("ida", 4, &["A1", "A2"], false);
        let drawn = draw_entries(works.state(), lot(), id("R1"), usize::MAX).expect("a draw");
        works.write("sue", drawn);
        works.write(
            "sue",
            inserted_entries(&pick_list(works.state(), lot())[1..]),
        );
        let says = |works: &Works, serial: &str| {
            let typed = Typed::with([("spoiled-serial", serial), ("spoiled-reason", "torn")]);
            let read = replacement_spoiled(&typed, works.state());
            read.map_err(|errors| errors.of("spoiled-serial").unwrap_or_default().to_owned())
        };
        for (serial, start) in [
            ("KA001003", "KA001003 is a printed note of lot BW-1"),
            ("ZZ000002", "Replacement note ZZ000002 is inserted already"),
            ("ZZ000003", "Replacement note ZZ000003 was not drawn yet"),
            ("ZZ000099", "No replacement series has \"ZZ000099\""),
        ] {
            let said = says(&works, serial).unwrap_err();
            assert!(said.starts_with(start), "{serial}: {said}");
        }
        assert!(says(&works, "").is_err());
        let entry = says(&works, "zz 000001").expect("it is on hand");
        works.write("sue", vec![entry]);
        let both = replacement_spoiled(&Typed::default(), works.state()).unwrap_err();
        assert!(both.of("spoiled-serial").is_some() && both.of("spoiled-reason").is_some());
    }
}
