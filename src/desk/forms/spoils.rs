//! A typed, pasted or scanned list of spoils: serials and sheet numbers in any mixture.

use std::collections::BTreeSet;

use crate::book::{Life, Place, State, Trace};
use crate::custody::Item;
use crate::inspect::Verdict;
use crate::sheet::{LotId, SheetNo};

/// One piece of the list that cannot go into a container.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpoilError {
    /// The line of the list, from 1.
    pub line: usize,
    pub why: String,
}

/// How much of a piece that is no spoil is said back, in characters.
const SAID_MAX: usize = 80;

/// Reads a list. Pieces are parted by line ends, commas, semicolons, tabs or spaces; a serial
/// may be typed with spaces where it is printed with them, alone between two other separators.
/// A sheet is `LOT/number`, or the bare number when `lot` is given.
///
/// Gives the loose spoils in the order of the list, and every piece that is none.
pub fn read_spoils(text: &str, lot: Option<LotId>, state: &State) -> (Vec<Item>, Vec<SpoilError>) {
    read_pieces(text, lot, state, &|item| must_be_loose(item, state))
}

/// The same for pieces that must be in some other place.
pub(super) fn read_pieces(
    text: &str,
    lot: Option<LotId>,
    state: &State,
    in_place: &dyn Fn(Item) -> Result<(), String>,
) -> (Vec<Item>, Vec<SpoilError>) {
    let mut list = List {
        lot,
        state,
        in_place,
        items: Vec::new(),
        seen: BTreeSet::new(),
        errors: Vec::new(),
    };
    for (index, line) in text.lines().enumerate() {
        for piece in line.split([',', ';', '\t', '|']).map(str::trim) {
            list.take(index + 1, piece);
        }
    }
    (list.items, list.errors)
}

/// One loose spoil, scanned or typed after others.
///
/// # Errors
/// Why it cannot go into a container with the others, in a sentence.
pub fn scan_spoil(
    text: &str,
    lot: Option<LotId>,
    state: &State,
    so_far: &[Item],
) -> Result<Item, String> {
    if text.trim().is_empty() {
        return Err("Nothing was scanned. Scan or type a serial.".to_owned());
    }
    let (items, errors) = read_spoils(text, lot, state);
    if let Some(error) = errors.into_iter().next() {
        return Err(error.why);
    }
    match items[..] {
        [item] if so_far.contains(&item) => Err(format!(
            "\"{item}\" is in the list already: it was scanned before."
        )),
        [item] => Ok(item),
        _ => Err(format!(
            "\"{}\" is more than one piece. Scan one after the other.",
            text.trim()
        )),
    }
}

struct List<'a> {
    lot: Option<LotId>,
    state: &'a State,
    in_place: &'a dyn Fn(Item) -> Result<(), String>,
    items: Vec<Item>,
    seen: BTreeSet<Item>,
    errors: Vec<SpoilError>,
}

impl List<'_> {
    fn take(&mut self, line: usize, piece: &str) {
        let whole = self.identify(piece);
        if whole.is_err() && piece.contains(char::is_whitespace) {
            for word in piece.split_whitespace() {
                let item = self.identify(word);
                self.put(line, item);
            }
        } else if !piece.is_empty() {
            self.put(line, whole);
        }
    }

    fn put(&mut self, line: usize, item: Result<Item, String>) {
        let item = item.and_then(|item| {
            (self.in_place)(item)?;
            if self.seen.insert(item) {
                Ok(item)
            } else {
                Err(format!("\"{item}\" is in the list twice. Take one out."))
            }
        });
        match item {
            Ok(item) => self.items.push(item),
            Err(why) => self.errors.push(SpoilError { line, why }),
        }
    }

    fn identify(&self, text: &str) -> Result<Item, String> {
        let trace = self.state.trace(text);
        if let Trace::Found(life) = trace {
            return match *life {
                Life::Replacement(life) => Ok(Item::Replacement(life.serial)),
                Life::Printed(life) => match life.exam.map(|exam| exam.ruling.verdict) {
                    Some(Verdict::Spoiled) => Err(format!(
                        "note {} is on spoiled sheet {} of lot {}. Give the sheet: {}/{}.",
                        life.serial, life.sheet, life.lot, life.lot, life.sheet
                    )),
                    _ => Ok(Item::Note(life.serial)),
                },
            };
        }
        let said: String = text.chars().take(SAID_MAX).collect();
        match (self.sheet(text), trace) {
            (Some(item), _) => item,
            (None, Trace::InArchive(note)) => Err(self.state.archive_of(note)),
            (None, Trace::NotASerial(why)) => Err(format!("\"{said}\": {why}")),
            (None, _) => Err(format!(
                "\"{said}\" is no serial of this book and no sheet. Write a serial as printed, or a sheet as LOT/number."
            )),
        }
    }

    /// `LOT/number`, or a bare number of at most eight figures when a lot is chosen; or in the
    /// words of the screens, "sheet 2 of lot BW-1".
    fn sheet(&self, text: &str) -> Option<Result<Item, String>> {
        let text = text.strip_prefix("sheet ").unwrap_or(text);
        let (lot, number) = match (text.split_once('/'), text.split_once(" of lot ")) {
            (Some((lot, number)), _) | (None, Some((number, lot))) => {
                (lot.trim().parse().ok()?, number.trim())
            }
            (None, None) => (self.lot?, text),
        };
        if number.is_empty() || number.len() > 8 || !number.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let sheet = number.parse().ok().and_then(SheetNo::new);
        Some(self.sheet_of(lot, sheet, number))
    }

    fn sheet_of(&self, lot: LotId, sheet: Option<SheetNo>, text: &str) -> Result<Item, String> {
        let known = self.state.lot(lot).map_err(|why| why.to_string())?;
        match sheet.filter(|sheet| known.sheet(*sheet).is_some()) {
            Some(sheet) => Ok(Item::Sheet(lot, sheet)),
            None => Err(format!(
                "lot {lot} has no sheet {text}. Give 1 to {}.",
                known.len()
            )),
        }
    }
}

fn must_be_loose(item: Item, state: &State) -> Result<(), String> {
    match state.cage.spoils.get(&item) {
        Some(Place::Loose) => Ok(()),
        place => Err(whereabouts(item, place.copied())),
    }
}

/// Where a piece is, as a sentence that keeps it from being anywhere else.
pub(super) fn whereabouts(item: Item, place: Option<Place>) -> String {
    match place {
        Some(Place::Loose) => format!("{item} is loose: it is in no container."),
        Some(Place::In(container)) => {
            format!("{item} is in container {container} already. A spoil is in one place only.")
        }
        Some(Place::Missing(container)) => {
            format!("{item} is missing from container {container}. Record it as found first.")
        }
        Some(Place::Lost(entry)) => format!(
            "{item} was declared lost in entry {entry}. If it turned up, record it as found first."
        ),
        Some(Place::Destroyed(session)) => format!("{item} was destroyed in session {session}."),
        None => format!(
            "{item} is not a spoil: it was not ruled spoiled. Take it out of the list; if it is bad, tag it on the Bench first."
        ),
    }
}
