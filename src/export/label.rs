//! The label of a box: what lies in it, for people, for a bar code and for a QR code.
//!
//! Trade facts (common practice, no source): a box of up to 10,000 notes bears its denomination and
//! its serial range.

use serde::Serialize;

use crate::book::{Fate, Lot, State};
use crate::sheet::{BoxNo, LotId, SerialFormat, SeriesId, grouped};

use super::picklist::{PickLine, pick_list};

/// Exceptions that find room on a label; more go to list pages.
pub const ON_LABEL: usize = 8;
/// Exceptions on one list page of A4.
pub const ON_LIST_PAGE: usize = 90;
/// Bytes of JSON that a QR code of a label's size still holds readably (common practice, no source).
pub const QR_BYTES: usize = 1_400;

/// A box as it stands now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BoxState {
    Complete(BoxLabel),
    /// No label yet.
    Open(Missing),
}

/// What a box lacks before its label may be printed; at least one is not 0.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Missing {
    /// Notes whose sheet is not examined.
    pub not_examined: u32,
    /// Lost notes for which no replacement is drawn.
    pub not_drawn: u32,
    /// Replacement notes drawn that are not reported inserted.
    pub not_inserted: u32,
}

/// Serials from first to last, both in the box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelRange {
    pub first: String,
    pub last: String,
    /// The same in the display groups of the format.
    pub shown: (String, String),
}

/// Replacement notes in the box, and the serials they stand for, one for one in this order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exception {
    pub pulled: LabelRange,
    pub inserted: LabelRange,
    pub notes: u32,
}

/// What the label of a complete box says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoxLabel {
    pub works: String,
    pub practice: bool,
    pub denomination: String,
    pub lot: LotId,
    pub box_no: BoxNo,
    pub boxes: u32,
    /// Serials of the bundles that hold a printed note, rising, merged where they touch. A bundle
    /// wholly of replacement notes gives none.
    pub ranges: Vec<LabelRange>,
    /// Notes in the box, replacement notes among them.
    pub notes: u32,
    /// In the order of the box, from the top of each bundle.
    pub exceptions: Vec<Exception>,
}

#[derive(Serialize)]
struct Content<'a> {
    works: &'a str,
    denomination: &'a str,
    lot: String,
    #[serde(rename = "box")]
    box_no: u32,
    boxes: u32,
    notes: u32,
    ranges: Listed<[&'a str; 2]>,
    replacements: Listed<[&'a str; 4]>,
    practice: bool,
}

/// All of a list, or only how many.
#[derive(Serialize)]
#[serde(untagged)]
enum Listed<T> {
    All(Vec<T>),
    Count(u64),
}

/// One replaced note on its way into an [`Exception`].
#[derive(Clone, Copy)]
struct Replaced {
    note: u64,
    series: SeriesId,
    place: u64,
}

/// The label of a box of a numbered lot, or what is missing; nothing for an unknown or unnumbered
/// lot, and past the last box.
pub fn box_label(state: &State, lot: LotId, box_no: BoxNo) -> Option<BoxState> {
    label_with(state, lot, box_no, &pick_list(state, lot))
}

/// All boxes of a lot in order; none for an unknown or unnumbered lot.
pub fn box_labels(state: &State, lot: LotId) -> Vec<BoxState> {
    let picks = pick_list(state, lot);
    let boxes = state.lots.get(&lot).map_or(0, Lot::box_count);
    let label = |index| label_with(state, lot, BoxNo::from_index(index), &picks);
    (0..boxes).filter_map(label).collect()
}

fn label_with(state: &State, id: LotId, box_no: BoxNo, picks: &[PickLine]) -> Option<BoxState> {
    let opened = state.opened.as_ref()?;
    let lot = state.lots.get(&id)?;
    let format = lot.format()?;
    let from = picks.partition_point(|line| line.box_no < box_no);
    let to = picks.partition_point(|line| line.box_no <= box_no);
    let found = contents(state, lot, box_no, &picks[from..to])?;
    if found.missing != Missing::default() {
        return Some(BoxState::Open(found.missing));
    }
    Some(BoxState::Complete(BoxLabel {
        works: opened.works.to_string(),
        practice: opened.practice,
        denomination: lot.product.title.to_string(),
        lot: id,
        box_no,
        boxes: lot.box_count(),
        ranges: ranges(found.printed, format)?,
        notes: found.notes,
        exceptions: exceptions(state, &found.replaced, format)?,
    }))
}

#[derive(Default)]
struct Contents {
    missing: Missing,
    notes: u32,
    /// Numbers of the bundles that hold a printed note.
    printed: Vec<u64>,
    replaced: Vec<Replaced>,
}

fn contents(state: &State, lot: &Lot, box_no: BoxNo, picks: &[PickLine]) -> Option<Contents> {
    let mut found = Contents::default();
    let bundles = lot.bundles_in(box_no);
    if bundles.is_empty() {
        return None;
    }
    for bundle in bundles {
        let notes = lot.bundle(bundle);
        let mut numbers = Vec::with_capacity(notes.len());
        let mut lost = 0;
        for &(sheet, position) in &notes {
            let number = lot.number(sheet, position)?;
            numbers.push(number);
            match lot.sheet(sheet)?.exam.as_deref() {
                None => found.missing.not_examined += 1,
                Some(exam) if lot.is_lost(&exam.ruling, position) => {
                    lost += 1;
                    found.missing.not_drawn += u32::from(!lot.replaced.contains_key(&number));
                }
                Some(_) => {}
            }
        }
        found.notes += notes.len() as u32;
        if lost < notes.len() {
            found.printed.append(&mut numbers);
        }
    }
    for line in picks {
        match line.fate {
            Fate::OnHand => found.missing.not_inserted += 1,
            Fate::Inserted => found.replaced.push(replaced(state, lot, line)?),
            Fate::Spoiled | Fate::Returned => {}
        }
    }
    Some(found)
}

fn replaced(state: &State, lot: &Lot, line: &PickLine) -> Option<Replaced> {
    let place = state.pools.get(&line.series)?.find(&line.insert)?;
    Some(Replaced {
        note: lot.format()?.parse(line.pull.as_str()).ok()?,
        series: line.series,
        place,
    })
}

/// Numbers as ranges, rising, merged where they touch.
fn ranges(mut numbers: Vec<u64>, format: &SerialFormat) -> Option<Vec<LabelRange>> {
    numbers.sort_unstable();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    runs.map(|run| range(format, *run.first()?, *run.last()?))
        .collect()
}

fn range(format: &SerialFormat, first: u64, last: u64) -> Option<LabelRange> {
    Some(LabelRange {
        first: format.text(first).ok()?,
        last: format.text(last).ok()?,
        shown: (format.display(first).ok()?, format.display(last).ok()?),
    })
}

/// Replaced notes, merged where the serials and the replacement notes both run on rising.
fn exceptions(state: &State, notes: &[Replaced], format: &SerialFormat) -> Option<Vec<Exception>> {
    let runs_on = |a: &Replaced, b: &Replaced| {
        a.series == b.series && a.place + 1 == b.place && a.note + 1 == b.note
    };
    let exception = |run: &[Replaced]| {
        let (first, last) = (run.first()?, run.last()?);
        let series = &state.pools.get(&first.series)?.series;
        let serials = [series.serial(first.place)?, series.serial(last.place)?];
        let shown = serials.map(|serial| series.format().in_groups(serial.as_str()));
        let [from, to] = shown;
        Some(Exception {
            pulled: range(format, first.note, last.note)?,
            inserted: LabelRange {
                first: serials[0].to_string(),
                last: serials[1].to_string(),
                shown: (from, to),
            },
            notes: run.len() as u32,
        })
    };
    notes.chunk_by(runs_on).map(exception).collect()
}

impl Missing {
    /// "4 notes are not examined; 1 note is spoiled and without a replacement."
    pub fn sentence(&self) -> String {
        let said = [
            (self.not_examined, "not examined"),
            (self.not_drawn, "spoiled and without a replacement"),
            (self.not_inserted, "drawn as a replacement and not inserted"),
        ];
        let said = said.iter().filter(|(n, _)| *n > 0).map(|(n, what)| {
            let notes = if *n == 1 { "note is" } else { "notes are" };
            format!("{} {notes} {what}", grouped((*n).into()))
        });
        said.collect::<Vec<_>>().join("; ") + "."
    }
}

impl BoxLabel {
    /// Replacement notes in the box.
    pub fn replacements(&self) -> u32 {
        self.exceptions.iter().map(|one| one.notes).sum()
    }

    /// The exceptions printed on the label itself: all or none.
    pub fn on_label(&self) -> &[Exception] {
        match self.exceptions.len() <= ON_LABEL {
            true => &self.exceptions,
            false => &[],
        }
    }

    /// The pages "list k of n of box b"; none while the label holds all exceptions.
    pub fn lists(&self) -> Vec<&[Exception]> {
        match self.exceptions.len() <= ON_LABEL {
            true => Vec::new(),
            false => self.exceptions.chunks(ON_LIST_PAGE).collect(),
        }
    }

    /// For Code 128: the first serial of the box, a stroke, the box number: `KA001000/1`. A stroke
    /// never stands in a serial. A box wholly of replacement notes gives its first one.
    pub fn bar_text(&self) -> String {
        let printed = self.ranges.first().map(|range| &range.first);
        let first = printed.or(self.exceptions.first().map(|one| &one.inserted.first));
        format!("{}/{}", first.map_or("", String::as_str), self.box_no)
    }

    /// For the QR code: JSON of at most [`QR_BYTES`] bytes with `works`, `denomination`, `lot`,
    /// `box`, `boxes`, `notes`, `ranges` (`[first, last]` each), `replacements` (`[pulled first,
    /// last, inserted first, last]` each) and `practice`. Where that is too long, `replacements` is
    /// the count of replacement notes instead; where that is still too long, `ranges` is the count
    /// of ranges.
    pub fn qr_text(&self) -> String {
        let tries = [(true, true), (true, false), (false, false)];
        let texts = tries.map(|(ranges, replacements)| self.json(ranges, replacements));
        let [all, counted, short] = texts;
        [all, counted]
            .into_iter()
            .find(|text| text.len() <= QR_BYTES)
            .unwrap_or(short)
    }

    fn json(&self, ranges: bool, replacements: bool) -> String {
        let content = Content {
            works: &self.works,
            denomination: &self.denomination,
            lot: self.lot.to_string(),
            box_no: self.box_no.number(),
            boxes: self.boxes,
            notes: self.notes,
            ranges: match ranges {
                true => Listed::All(self.ranges.iter().map(LabelRange::ends).collect()),
                false => Listed::Count(self.ranges.len() as u64),
            },
            replacements: match replacements {
                true => Listed::All(self.exceptions.iter().map(Exception::ends).collect()),
                false => Listed::Count(self.replacements().into()),
            },
            practice: self.practice,
        };
        serde_json::to_string(&content).expect("texts and numbers are JSON")
    }
}

impl LabelRange {
    fn ends(&self) -> [&str; 2] {
        [&self.first, &self.last]
    }
}

impl Exception {
    fn ends(&self) -> [&str; 4] {
        let [pulled, to] = self.pulled.ends();
        let [inserted, last] = self.inserted.ends();
        [pulled, to, inserted, last]
    }
}

#[cfg(test)]
mod tests;
