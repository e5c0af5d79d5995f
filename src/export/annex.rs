//! The annexes of a certificate: what does not find room on its one page, on numbered pages.

use super::certificate::{Certificate, CertifiedContainer};
use super::contents::{NoteRange, SheetSpan};

/// Ranges that find room on the certificate itself; more go to annexes, all of them.
pub const ON_PAGE: usize = 30;
/// Containers that find room on the certificate itself.
pub const CONTAINERS_ON_PAGE: usize = 7;
/// Containers on one annex page.
const CONTAINERS_ON_ANNEX: usize = 24;
/// Lines of a column of ranges, and columns, on one annex page.
const LINES: usize = 54;
const COLUMNS: usize = 2;

/// One annex page.
#[derive(Clone, Debug, PartialEq)]
pub enum Annex<'a> {
    Containers(&'a [CertifiedContainer]),
    /// Columns of lines.
    Contents(Vec<Vec<AnnexLine>>),
}

/// A line of a list of contents.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AnnexLine {
    /// What follows: "C-1 · notes". Repeated at the head of a column, then marked as going on.
    Head {
        text: String,
        goes_on: bool,
    },
    Range(String),
}

/// What a container holds, as titled lists of ranges: sheets by lot, notes, replacement notes.
pub fn lists(one: &CertifiedContainer) -> Vec<(String, Vec<String>)> {
    let lots = one.sheet_numbers.chunk_by(|a, b| a.lot == b.lot);
    let sheets = lots.filter_map(|spans| {
        let lot = spans.first()?.lot;
        let spans = spans.iter().map(SheetSpan::readable).collect();
        Some((format!("Sheets of lot {lot}"), spans))
    });
    let notes = |replacements: bool| -> Vec<String> {
        let ranges = one.serials.iter();
        let of_kind = ranges.filter(|range| range.replacements == replacements);
        of_kind.map(NoteRange::readable).collect()
    };
    let notes = [("Notes", notes(false)), ("Replacement notes", notes(true))];
    let notes = notes.map(|(title, ranges)| (title.to_owned(), ranges));
    let some = |(_, ranges): &(String, Vec<String>)| !ranges.is_empty();
    sheets.chain(notes).filter(some).collect()
}

impl Certificate {
    /// Whether every container has its row on the page itself.
    pub fn containers_fit(&self) -> bool {
        self.containers.len() <= CONTAINERS_ON_PAGE
    }

    /// Whether what the containers held is listed on the page itself.
    pub fn contents_fit(&self) -> bool {
        let of = |one: &CertifiedContainer| one.sheet_numbers.len() + one.serials.len();
        self.containers_fit() && self.containers.iter().map(of).sum::<usize>() <= ON_PAGE
    }

    /// The pages after the first, in order.
    pub fn annexes(&self) -> Vec<Annex<'_>> {
        let mut pages = Vec::new();
        if !self.containers_fit() {
            let parts = self.containers.chunks(CONTAINERS_ON_ANNEX);
            pages.extend(parts.map(Annex::Containers));
        }
        if !self.contents_fit() {
            let columns = columns(&self.containers);
            let parts = columns.chunks(COLUMNS);
            pages.extend(parts.map(|part| Annex::Contents(part.to_vec())));
        }
        pages
    }
}

/// All lists of all containers, broken into columns. A list that a column breaks goes on under
/// its title; no title stands alone at the foot of a column.
fn columns(containers: &[CertifiedContainer]) -> Vec<Vec<AnnexLine>> {
    let mut columns: Vec<Vec<AnnexLine>> = vec![Vec::new()];
    for one in containers {
        for (title, ranges) in lists(one) {
            let title = format!("{} · {title}", one.container);
            let mut goes_on = false;
            for range in ranges {
                let full = |column: &Vec<AnnexLine>, more: usize| column.len() + more > LINES;
                let room = if goes_on { 1 } else { 2 };
                if columns.last().is_none_or(|column| full(column, room)) {
                    columns.push(Vec::new());
                }
                let Some(column) = columns.last_mut() else {
                    continue;
                };
                if !goes_on || column.is_empty() {
                    let text = title.clone();
                    column.push(AnnexLine::Head { text, goes_on });
                }
                goes_on = true;
                column.push(AnnexLine::Range(range));
            }
        }
    }
    columns
}

#[cfg(test)]
mod tests;
