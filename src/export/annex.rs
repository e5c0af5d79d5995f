//! The annexes of a certificate: what does not find room on its one page, on numbered pages.

use super::certificate::{Certificate, CertifiedContainer};
use super::contents::{NoteRange, SheetSpan};

/// Height of A4 that is left for persons, containers and their contents, and what each takes, in
/// millimetres; measured on prints of the page.
const ROOM: usize = 126;
const PERSON: usize = 11;
const CONTAINER: usize = 10;
const LINE: usize = 4;
/// The title over the contents with a sentence, and remarks at their longest.
const CONTENTS_TITLE: usize = 12;
const REMARKS: usize = 12;
/// The title over how it went.
const NOTES_TITLE: usize = 8;
/// Characters on a line of contents.
const LINE_CHARACTERS: usize = 95;
/// Containers on one annex page.
const CONTAINERS_ON_ANNEX: usize = 20;
/// Lines of a column of ranges on one annex page.
const LINES: usize = 57;
/// Longest range that still leaves room for a third column, in characters.
const NARROW: usize = 34;

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
    /// What is left of the page under its containers, millimetres; nothing when they do not fit.
    fn left(&self) -> Option<usize> {
        let remarks = if self.remarks.is_empty() { 0 } else { REMARKS };
        let persons = self.persons.len() * PERSON;
        let notes = self.notes();
        let notes = notes
            .iter()
            .map(|note| note.chars().count().div_ceil(LINE_CHARACTERS));
        let notes = notes.sum::<usize>() * LINE;
        let containers = self.containers.len() * CONTAINER;
        ROOM.checked_sub(CONTENTS_TITLE + NOTES_TITLE + remarks + notes + persons + containers)
    }

    /// Whether every container has its row on the page itself.
    pub fn containers_fit(&self) -> bool {
        self.left().is_some()
    }

    /// Whether what the containers held is listed on the page itself.
    pub fn contents_fit(&self) -> bool {
        let lines: usize = self.containers.iter().map(lines).sum();
        self.left().is_some_and(|left| lines * LINE <= left)
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
            let parts = columns.chunks(side_by_side(&columns));
            pages.extend(parts.map(|part| Annex::Contents(part.to_vec())));
        }
        pages
    }
}

/// Lines of the page that the lists of a container take, one after the other.
fn lines(one: &CertifiedContainer) -> usize {
    let characters = |(title, ranges): &(String, Vec<String>)| {
        let ranges = ranges.iter().map(|range| range.chars().count() + 2);
        title.chars().count() + 2 + ranges.sum::<usize>()
    };
    let lists = lists(one);
    let all: usize = lists.iter().map(characters).sum();
    (all + one.container.to_string().len() + 1).div_ceil(LINE_CHARACTERS)
}

/// How many columns stand side by side: three while every range is short enough.
fn side_by_side(columns: &[Vec<AnnexLine>]) -> usize {
    let long = |line: &AnnexLine| match line {
        AnnexLine::Head { .. } => false,
        AnnexLine::Range(text) => text.chars().count() > NARROW,
    };
    match columns.iter().flatten().any(long) {
        true => 2,
        false => 3,
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
