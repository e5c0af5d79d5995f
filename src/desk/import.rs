//! Taking in a machine-inspection file: from the reader's report to entries of the book.
//!
//! A tag that the machine has reported before on the same place is known and is not recorded
//! again, so reading one file twice adds nothing. Rows about examined sheets are refused by the
//! reader, as the book would refuse them.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::book::{Entry, Hash, Lot, MACHINE_PART, MachineRead, MachineTag};
use crate::export::{MachineReport, RefusedRow, refusals_csv};
use crate::inspect::{ClassCode, Spot, Tag};
use crate::sheet::{Layout, LotId, SheetNo};

use super::Download;

/// Most refused rows that a screen lists; all of them are in the saved file.
pub const REFUSED_SHOWN: usize = 200;

/// Longest file name that the book takes, in characters.
const NAME_MAX: usize = 200;

/// Most bytes of tags in one entry: with its header the line stays below the longest allowed.
const PART_BYTES: usize = 1_000_000;

/// A machine file that was read, as its preview shows it. Nothing of it is recorded yet.
#[derive(Clone, Debug, PartialEq)]
pub struct MachineImport {
    pub lot: LotId,
    /// The file's name, as the book keeps it.
    pub file: String,
    pub sha256: Hash,
    /// Rows that make sense for the lot.
    pub accepted: usize,
    /// Accepted rows whose tag the book has from the machine already.
    pub known: usize,
    /// Sheets that get a tag.
    pub sheets: usize,
    /// Tags to record, by class, the most frequent first.
    pub by_class: Vec<(ClassCode, usize)>,
    /// What was read, less what is known: `accepted` are the tags to record.
    report: MachineReport,
}

impl MachineImport {
    /// Compares what was read with what the lot knows.
    pub fn new(lot: &Lot, file: &str, sha256: Hash, mut report: MachineReport) -> Self {
        let accepted = report.accepted.len();
        let new = &mut report.accepted;
        new.retain(|(sheet, tag)| !is_known(lot, *sheet, tag));
        Self {
            lot: lot.id,
            file: file_name(file),
            sha256,
            accepted,
            known: accepted - new.len(),
            // The reader gives its tags by sheet.
            sheets: new.chunk_by(|one, next| one.0 == next.0).count(),
            by_class: by_class(new),
            report,
        }
    }

    /// Rows of the file, without the first line and blank lines.
    pub fn rows(&self) -> usize {
        self.report.rows
    }

    /// In the order of the file.
    pub fn refused(&self) -> &[RefusedRow] {
        &self.report.refused
    }

    /// How many tags would be recorded.
    pub fn to_record(&self) -> usize {
        self.report.accepted.len()
    }

    /// Every refused row, as a file to save.
    pub fn refused_rows(&self) -> Download {
        Download {
            name: format!("{}-refused-rows.csv", self.lot),
            mime: "text/csv;charset=utf-8",
            bytes: refusals_csv(&self.report).into_bytes(),
        }
    }

    /// The entries that record the new tags, to be recorded together; none when nothing is new.
    pub fn entries(&self, layout: &Layout) -> Vec<Entry> {
        let parts = parted(
            self.report
                .accepted
                .iter()
                .map(|(sheet, tag)| machine_tag(*sheet, tag, layout)),
        );
        let count = parts.len() as u32;
        let entry = |(part, tags)| {
            Entry::MachineRead(MachineRead {
                lot: self.lot,
                file: self.file.clone(),
                sha256: self.sha256,
                part,
                parts: count,
                refused: self.report.refused.len() as u32,
                tags,
            })
        };
        (1..).zip(parts).map(entry).collect()
    }
}

fn is_known(lot: &Lot, sheet: SheetNo, tag: &Tag) -> bool {
    let sheet = lot.sheet(sheet);
    sheet.is_some_and(|sheet| sheet.machine.iter().any(|other| other.same_defect(tag)))
}

fn by_class(tags: &[(SheetNo, Tag)]) -> Vec<(ClassCode, usize)> {
    let mut counts: BTreeMap<ClassCode, usize> = BTreeMap::new();
    for (_, tag) in tags {
        *counts.entry(tag.class).or_default() += 1;
    }
    let mut counts: Vec<_> = counts.into_iter().collect();
    counts.sort_by_key(|(code, count)| (Reverse(*count), *code));
    counts
}

/// The file's name as the book keeps it: its end is what tells files apart.
fn file_name(name: &str) -> String {
    let length = name.chars().count();
    match name.trim() {
        "" => "unnamed file".to_owned(),
        _ => name.chars().skip(length.saturating_sub(NAME_MAX)).collect(),
    }
}

fn machine_tag(sheet: SheetNo, tag: &Tag, layout: &Layout) -> MachineTag {
    let at = match tag.spot {
        Spot::WholeSheet => None,
        Spot::Note(position) => Some(layout.name(position).to_owned()),
    };
    MachineTag(sheet, at, tag.side, tag.class, tag.remark.clone())
}

/// Parts of at most [`MACHINE_PART`] tags, fewer where remarks are long.
fn parted(tags: impl Iterator<Item = MachineTag>) -> Vec<Vec<MachineTag>> {
    let mut parts: Vec<Vec<MachineTag>> = Vec::new();
    let mut bytes = 0;
    for tag in tags {
        let more = bytes_of(&tag);
        let full = |part: &Vec<MachineTag>| part.len() == MACHINE_PART || bytes + more > PART_BYTES;
        match parts.last_mut() {
            Some(part) if !full(part) => {
                part.push(tag);
                bytes += more;
            }
            _ => {
                parts.push(vec![tag]);
                bytes = more;
            }
        }
    }
    parts
}

/// No less than what the tag takes in a line: `[10000000,"ABCDEFGH","front","OM","…"],`, where a
/// quote or a backslash of the remark is written with two signs.
fn bytes_of(tag: &MachineTag) -> usize {
    let remark = tag.4.as_ref().map_or(4, |remark| 2 * remark.len());
    48 + remark
}

#[cfg(test)]
mod tests;
