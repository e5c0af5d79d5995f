//! A whole book: its lines in order, its head, and the state they fold to.

use std::collections::VecDeque;
use std::rc::Rc;

use uuid::Uuid;

use crate::people::{Countersignature, PersonId, SecretKey, Stamp};

use super::entry::{BookOpened, Entry};
use super::hash::Hash;
use super::line::{BenchId, Countersigned, Header, Line};
use super::refusal::Refusal;
use super::state::State;
use super::statement::{cosigners, statement};
use super::trail::Trail;
use super::verifier::{BookError, Unchecked, Verifier, text_of};

/// A book in memory. It only grows.
#[derive(Clone, Debug, Default)]
pub struct Book {
    verifier: Verifier,
    texts: Vec<Rc<str>>,
    trail: Trail,
    /// Signatures taken on trust so far, with their texts; see [`Book::read_ahead`].
    unchecked: VecDeque<(Unchecked, Rc<str>)>,
}

/// When the signatures of lines that come in are checked. Everything else is checked at once.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Check {
    Now,
    Later,
}

/// Lines that were checked against a book and follow its head. They are appended together or not
/// at all.
#[derive(Clone, Debug)]
pub struct Batch {
    lines: Vec<Line>,
}

impl Batch {
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Number of the first line.
    pub fn first_seq(&self) -> u64 {
        self.lines.first().map_or(0, |line| line.header.seq)
    }
}

/// Who writes, where and when, and the ids of the new lines. All of it comes from outside.
pub struct Author<'a> {
    pub by: PersonId,
    pub key: &'a SecretKey,
    /// Further signatures under [`Book::statement`], for an entry that needs them.
    pub also: Vec<Countersignature>,
    pub at: Stamp,
    pub new_id: &'a mut dyn FnMut() -> Uuid,
}

impl Book {
    /// Reads and verifies a book from its lines.
    ///
    /// # Errors
    /// The first line that does not hold, and why.
    pub fn read<'a>(lines: impl IntoIterator<Item = &'a str>) -> Result<Self, BookError> {
        Self::read_lines(lines, Check::Now)
    }

    /// Reads and verifies a book from its file.
    ///
    /// # Errors
    /// The first line that does not hold, and why.
    pub fn read_file(file: &[u8]) -> Result<Self, BookError> {
        let mut book = Book::default();
        for raw in file.split_inclusive(|byte| *byte == b'\n') {
            book.push_text(text_of(raw, book.len())?)?;
        }
        book.whole()
    }

    /// [`Book::read`], but for the signatures of the lines: those are left to
    /// [`Book::check_signatures`], so that a long book can be shown before all are checked.
    ///
    /// # Errors
    /// The first line that does not hold, and why.
    pub fn read_ahead<'a>(lines: impl IntoIterator<Item = &'a str>) -> Result<Self, BookError> {
        Self::read_lines(lines, Check::Later)
    }

    fn read_lines<'a>(
        lines: impl IntoIterator<Item = &'a str>,
        check: Check,
    ) -> Result<Self, BookError> {
        let mut book = Book::default();
        for text in lines {
            book.push(text, check)?;
        }
        book.whole()
    }

    fn whole(self) -> Result<Self, BookError> {
        match self.is_empty() {
            true => Err(BookError::Empty),
            false => Ok(self),
        }
    }

    /// Checks up to `most` of the signatures left over by [`Book::read_ahead`], in order. Gives
    /// back how many are left.
    ///
    /// # Errors
    /// [`BookError::Signature`] for the first that does not hold.
    pub fn check_signatures(&mut self, most: usize) -> Result<usize, BookError> {
        for _ in 0..most {
            let Some((unchecked, text)) = self.unchecked.front() else {
                break;
            };
            unchecked.check(text)?;
            self.unchecked.pop_front();
        }
        Ok(self.unchecked.len())
    }

    /// Signatures that are still to be checked.
    pub fn unchecked(&self) -> usize {
        self.unchecked.len()
    }

    /// Verifies one more line and takes it in.
    ///
    /// # Errors
    /// Why the line does not follow; the book is unchanged then.
    pub fn push_text(&mut self, text: &str) -> Result<(), BookError> {
        self.push(text, Check::Now)
    }

    /// The same, but for the author's signature, which is left to [`Book::check_signatures`].
    ///
    /// # Errors
    /// Why the line does not follow; the book is unchanged then.
    pub fn push_ahead(&mut self, text: &str) -> Result<(), BookError> {
        self.push(text, Check::Later)
    }

    fn push(&mut self, text: &str, check: Check) -> Result<(), BookError> {
        let line = match check {
            Check::Now => self.verifier.push(text)?,
            Check::Later => {
                let (line, unchecked) = self.verifier.push_ahead(text)?;
                let text = Rc::clone(&line.text);
                self.unchecked.push_back((unchecked, text));
                line
            }
        };
        self.keep(line);
        Ok(())
    }

    fn keep(&mut self, line: Line) {
        self.trail.take(line.header.seq, &line.entry);
        self.texts.push(line.text);
    }

    /// Makes the first line of a new book.
    ///
    /// # Errors
    /// Why the opening is refused.
    pub fn open(bench: BenchId, author: &mut Author, data: BookOpened) -> Result<Batch, Refusal> {
        Book::default().batch(bench, author, vec![Entry::BookOpened(data)])
    }

    /// Checks entries, each against the book with those before it, and makes their lines.
    ///
    /// # Errors
    /// Why the first bad entry is refused; the book is unchanged in any case.
    pub fn prepare(&self, author: &mut Author, entries: Vec<Entry>) -> Result<Batch, Refusal> {
        let bench = self
            .state()
            .opened
            .as_ref()
            .ok_or(Refusal::NotOpened)?
            .bench;
        self.batch(bench, author, entries)
    }

    fn batch(
        &self,
        bench: BenchId,
        author: &mut Author,
        entries: Vec<Entry>,
    ) -> Result<Batch, Refusal> {
        let (mut seq, mut prev) = (self.len(), self.head());
        let mut lines = Vec::with_capacity(entries.len());
        // One entry is checked where it stands; several need a copy that grows under them.
        let mut ahead: Option<State> = None;
        let several = entries.len() > 1;
        for entry in entries {
            let state = ahead.as_ref().unwrap_or(self.state());
            if state.key_of(author.by, &entry) != Some(author.key.public()) {
                state.person(author.by)?;
                return Err(Refusal::WrongKey(author.by));
            }
            let header = Header {
                seq,
                id: (author.new_id)(),
                bench,
                at: author.at.clone(),
                by: author.by,
                prev,
            };
            let needs = !cosigners(&entry).is_empty();
            let countersigned = needs.then(|| Countersigned {
                statement: statement(state, prev, author.by, &entry),
                also: author.also.clone(),
            });
            let line = Line::write(header, entry, countersigned, author.key)?;
            let change = state.plan(&line)?;
            if several {
                change.apply(ahead.get_or_insert_with(|| self.state().clone()));
            }
            (seq, prev) = (seq + 1, line.hash);
            lines.push(line);
        }
        Ok(Batch { lines })
    }

    /// Takes in a batch that [`Book::prepare`] made for this very book.
    ///
    /// # Errors
    /// [`BookError`] when the book has grown since; nothing is taken then.
    pub fn append(&mut self, batch: Batch) -> Result<(), BookError> {
        let line = self.len();
        let first = batch
            .lines
            .first()
            .map(|line| (line.header.seq, line.header.prev));
        if let Some((seq, prev)) = first
            && (seq != line || prev != self.head())
        {
            return Err(BookError::Order { line, found: seq });
        }
        for line in batch.lines {
            self.verifier.fold(&line)?;
            self.keep(line);
        }
        Ok(())
    }

    /// What others than the author must sign before this entry can be written next, if any must.
    /// It holds only until the book grows.
    pub fn statement(&self, by: PersonId, entry: &Entry) -> Option<String> {
        let needs = !cosigners(entry).is_empty();
        needs.then(|| statement(self.state(), self.head(), by, entry))
    }

    /// Whether the book would take an entry once everybody has signed it.
    ///
    /// # Errors
    /// Why not.
    pub fn would_take(&self, by: PersonId, at: Stamp, entry: &Entry) -> Result<(), Refusal> {
        let header = Header {
            seq: self.len(),
            id: Uuid::nil(),
            bench: self
                .state()
                .opened
                .as_ref()
                .ok_or(Refusal::NotOpened)?
                .bench,
            at,
            by,
            prev: self.head(),
        };
        self.state()
            .plan_unsigned(&header, entry, Hash::NONE)
            .map(drop)
    }

    /// Number of lines, those in the archive among them, and the `seq` of the next one.
    pub fn len(&self) -> u64 {
        self.verifier.len()
    }

    /// The `seq` of the first line that is here: 0, or that of a checkpoint.
    pub fn first_seq(&self) -> u64 {
        self.verifier.first_seq()
    }

    pub fn is_empty(&self) -> bool {
        self.texts.is_empty()
    }

    /// Hash of the last line.
    pub fn head(&self) -> Hash {
        self.verifier.head()
    }

    pub fn state(&self) -> &State {
        self.verifier.state()
    }

    /// What the lines add up to, without the lines.
    pub fn verifier(&self) -> &Verifier {
        &self.verifier
    }

    pub(super) fn trail(&self) -> &Trail {
        &self.trail
    }

    /// The entry that this one corrects; nothing for a session whose record is in the archive.
    pub fn corrected_by(&self, entry: &Entry) -> Option<u64> {
        self.trail.corrected_by(entry)
    }

    /// The entries that correct this one, in order. A correction of a correction is of that one.
    pub fn corrections_of(&self, seq: u64) -> &[u64] {
        self.trail.corrections_of(seq)
    }

    /// The head that the book had after so many lines; nothing for a number of lines that it never
    /// had, or that only its archive has.
    pub fn head_after(&self, lines: u64) -> Option<Hash> {
        let first = self.first_seq();
        match lines.checked_sub(first)? {
            0 if first == 0 => Some(Hash::NONE),
            0 => Some(Line::read(self.texts.first()?).ok()?.header.prev),
            _ => Some(Hash::of_line(self.text(lines - 1)?.as_bytes())),
        }
    }

    /// The exact text of a line; nothing for one in the archive, or not written yet.
    pub fn text(&self, seq: u64) -> Option<&Rc<str>> {
        let index = usize::try_from(seq.checked_sub(self.first_seq())?).ok()?;
        self.texts.get(index)
    }

    /// The exact texts of the lines that are here, in order.
    pub fn texts(&self) -> &[Rc<str>] {
        &self.texts
    }

    /// What is here as a file: every line with its line end. Behind the archive, or by itself, it
    /// is a book again.
    pub fn to_jsonl(&self) -> String {
        let length = self.texts.iter().map(|text| text.len() + 1).sum();
        let mut file = String::with_capacity(length);
        for text in &self.texts {
            file.push_str(text);
            file.push('\n');
        }
        file
    }
}
