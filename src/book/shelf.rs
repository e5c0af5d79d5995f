//! A whole book: its lines in order, its head, and the state they fold to.

use std::collections::VecDeque;
use std::rc::Rc;

use uuid::Uuid;

use crate::people::{Countersignature, PersonId, PublicKey, SecretKey, Signature, Stamp};

use super::checkpoint::BookCheckpoint;
use super::entry::{BookOpened, Entry};
use super::hash::Hash;
use super::line::{BenchId, Countersigned, Header, Line, LineError, is_signed};
use super::refusal::Refusal;
use super::state::State;
use super::statement::{cosigners, statement};
use super::trail::Trail;

/// A book in memory. It only grows.
#[derive(Clone, Debug, Default)]
pub struct Book {
    /// Lines before the first of `texts`, when the book begins with a checkpoint.
    first: u64,
    texts: Vec<Rc<str>>,
    head: Option<Hash>,
    state: State,
    trail: Trail,
    /// Signatures taken on trust so far; see [`Book::read_ahead`].
    unchecked: VecDeque<Unchecked>,
}

/// A line whose signature is still to be checked, and with what.
#[derive(Clone, Debug)]
struct Unchecked {
    line: u64,
    sig: Signature,
    key: PublicKey,
}

/// When the signatures of lines that come in are checked. Everything else is checked at once.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Check {
    Now,
    Later,
}

/// Why a book cannot be read: the first bad line, by its `seq`, and what is wrong.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BookError {
    #[error("Line {line} cannot be read: {why}.")]
    Line { line: u64, why: LineError },
    #[error("Line {line} says it is number {found}. A line is missing, doubled or out of order.")]
    Order { line: u64, found: u64 },
    #[error(
        "Line {line} does not follow the line before it: that line was changed, or this one belongs elsewhere."
    )]
    Chain { line: u64 },
    #[error("Line {line} is from bench {found}, the book from bench {expected}.")]
    Bench {
        line: u64,
        found: BenchId,
        expected: BenchId,
    },
    #[error(
        "Line {line} does not carry the signature of {by}: it was changed, or written by someone else."
    )]
    Signature { line: u64, by: PersonId },
    #[error("Line {line} is refused: {why}")]
    Refused { line: u64, why: Box<Refusal> },
    #[error("The book is empty. A book has at least its opening line.")]
    Empty,
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

    /// The same, but for the signatures of the lines: those are left to
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
        if book.texts.is_empty() {
            Err(BookError::Empty)
        } else {
            Ok(book)
        }
    }

    /// Checks up to `most` of the signatures left over by [`Book::read_ahead`], in order. Gives
    /// back how many are left.
    ///
    /// # Errors
    /// [`BookError::Signature`] for the first that does not hold.
    pub fn check_signatures(&mut self, most: usize) -> Result<usize, BookError> {
        for _ in 0..most {
            let Some(Unchecked { line, sig, key }) = self.unchecked.front().cloned() else {
                break;
            };
            let Some(text) = self.text(line) else { break };
            if !is_signed(text, &sig, &key) {
                let by = Line::read(text).map_err(|why| BookError::Line { line, why })?;
                let by = by.header.by;
                return Err(BookError::Signature { line, by });
            }
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

    fn push(&mut self, text: &str, check: Check) -> Result<(), BookError> {
        let line = self.len();
        let read = Line::read(text).map_err(|why| BookError::Line { line, why })?;
        match &read.entry {
            Entry::BookCheckpoint(data) if self.is_empty() => {
                let mut begun = Self::beginning_at(data)?;
                begun.follow(read, check)?;
                *self = begun;
                Ok(())
            }
            _ => self.follow(read, check),
        }
    }

    /// Verifies that a line follows the head, and takes it in.
    fn follow(&mut self, read: Line, check: Check) -> Result<(), BookError> {
        let line = self.len();
        if read.header.seq != line {
            return Err(BookError::Order {
                line,
                found: read.header.seq,
            });
        }
        if read.header.prev != self.head() {
            return Err(BookError::Chain { line });
        }
        if let Some(opened) = &self.state.opened
            && opened.bench != read.header.bench
        {
            let (found, expected) = (read.header.bench, opened.bench);
            return Err(BookError::Bench {
                line,
                found,
                expected,
            });
        }
        let by = read.header.by;
        let key = self.state.key_of(by, &read.entry);
        // An author without a key is refused below, by name.
        if let Some(key) = key.filter(|_| check == Check::Now)
            && !read.is_signed_with(&key)
        {
            return Err(BookError::Signature { line, by });
        }
        let sig = read.sig;
        self.take_in(read)?;
        if let Some(key) = key.filter(|_| check == Check::Later) {
            self.unchecked.push_back(Unchecked { line, sig, key });
        }
        Ok(())
    }

    /// A book of which everything before a checkpoint is in the archive. The line itself is then
    /// checked like any other: it must carry over what it says, and its author's key is in it.
    fn beginning_at(data: &BookCheckpoint) -> Result<Self, BookError> {
        let first = data.archived.lines.get();
        let state = data.carried.state(data.archived);
        let state = state.map_err(|why| BookError::Refused {
            line: first,
            why: Box::new(why),
        })?;
        Ok(Self {
            first,
            head: Some(data.archived.head),
            state,
            ..Self::default()
        })
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
        let bench = self.state.opened.as_ref().ok_or(Refusal::NotOpened)?.bench;
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
            let state = ahead.as_ref().unwrap_or(&self.state);
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
                change.apply(ahead.get_or_insert_with(|| self.state.clone()));
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
        batch
            .lines
            .into_iter()
            .try_for_each(|line| self.take_in(line))
    }

    /// Folds a line that follows the head, and keeps it.
    fn take_in(&mut self, line: Line) -> Result<(), BookError> {
        let change = self.state.plan(&line);
        let change = change.map_err(|why| BookError::Refused {
            line: self.len(),
            why: Box::new(why),
        })?;
        change.apply(&mut self.state);
        self.trail.take(line.header.seq, &line.entry);
        self.head = Some(line.hash);
        self.texts.push(line.text);
        Ok(())
    }

    /// What others than the author must sign before this entry can be written next, if any must.
    /// It holds only until the book grows.
    pub fn statement(&self, by: PersonId, entry: &Entry) -> Option<String> {
        let needs = !cosigners(entry).is_empty();
        needs.then(|| statement(&self.state, self.head(), by, entry))
    }

    /// Whether the book would take an entry once everybody has signed it.
    ///
    /// # Errors
    /// Why not.
    pub fn would_take(&self, by: PersonId, at: Stamp, entry: &Entry) -> Result<(), Refusal> {
        let header = Header {
            seq: self.len(),
            id: Uuid::nil(),
            bench: self.state.opened.as_ref().ok_or(Refusal::NotOpened)?.bench,
            at,
            by,
            prev: self.head(),
        };
        self.state
            .plan_unsigned(&header, entry, Hash::NONE)
            .map(drop)
    }

    /// Number of lines, those in the archive among them, and the `seq` of the next one.
    pub fn len(&self) -> u64 {
        self.first + self.texts.len() as u64
    }

    /// The `seq` of the first line that is here: 0, or that of a checkpoint.
    pub fn first_seq(&self) -> u64 {
        self.first
    }

    pub fn is_empty(&self) -> bool {
        self.texts.is_empty()
    }

    /// Hash of the last line.
    pub fn head(&self) -> Hash {
        self.head.unwrap_or(Hash::NONE)
    }

    pub fn state(&self) -> &State {
        &self.state
    }

    pub(super) fn trail(&self) -> &Trail {
        &self.trail
    }

    /// The head that the book had after so many lines; nothing for a number of lines that it never
    /// had, or that only its archive has.
    pub fn head_after(&self, lines: u64) -> Option<Hash> {
        match lines.checked_sub(self.first)? {
            0 if self.first == 0 => Some(Hash::NONE),
            0 => Some(Line::read(self.texts.first()?).ok()?.header.prev),
            _ => Some(Hash::of_line(self.text(lines - 1)?.as_bytes())),
        }
    }

    /// The exact text of a line; nothing for one in the archive, or not written yet.
    pub fn text(&self, seq: u64) -> Option<&Rc<str>> {
        let index = usize::try_from(seq.checked_sub(self.first)?).ok()?;
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
