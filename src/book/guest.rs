//! The book of another bench, verified and kept without its lines: what it adds up to, and the
//! head after each line. That is enough to lay it beside other books.

use super::hash::Hash;
use super::line::Line;
use super::shelf::Book;
use super::verifier::{BookError, Verifier, text_of};

/// A verified book that can be laid beside others.
pub trait Chained {
    /// What its lines add up to.
    fn verifier(&self) -> &Verifier;

    /// The head that it had after so many lines; nothing for a number of lines that it never had,
    /// or that only its archive has.
    fn head_after(&self, lines: u64) -> Option<Hash>;
}

impl Chained for Book {
    fn verifier(&self) -> &Verifier {
        self.verifier()
    }

    fn head_after(&self, lines: u64) -> Option<Hash> {
        self.head_after(lines)
    }
}

/// The head before the first line of a book, then the head after each.
#[derive(Clone, Debug, Default)]
pub struct Heads(Vec<Hash>);

impl Heads {
    /// Notes the next line.
    pub fn take(&mut self, line: &Line) {
        if self.0.is_empty() {
            self.0.push(line.header.prev);
        }
        self.0.push(line.hash);
    }
}

/// The book of another bench.
#[derive(Clone, Debug, Default)]
pub struct Guest {
    verifier: Verifier,
    heads: Heads,
}

impl Guest {
    /// A book whose lines were read by whoever noted their heads.
    pub fn new(verifier: Verifier, heads: Heads) -> Self {
        Self { verifier, heads }
    }

    /// Reads and verifies a book from its file.
    ///
    /// # Errors
    /// The first line that does not hold, and why.
    pub fn read_file(file: &[u8]) -> Result<Self, BookError> {
        let mut reader = GuestReader::new(file);
        while !reader.is_done() {
            reader.step()?;
        }
        reader.finish()
    }
}

impl Chained for Guest {
    fn verifier(&self) -> &Verifier {
        &self.verifier
    }

    fn head_after(&self, lines: u64) -> Option<Hash> {
        let index = lines.checked_sub(self.verifier.first_seq())?;
        self.heads.0.get(usize::try_from(index).ok()?).copied()
    }
}

/// Reads a book line by line, so that a page stays alive meanwhile.
pub struct GuestReader<'a> {
    file: &'a [u8],
    /// Bytes that were read.
    at: usize,
    guest: Guest,
}

impl<'a> GuestReader<'a> {
    pub fn new(file: &'a [u8]) -> Self {
        let guest = Guest::default();
        Self { file, at: 0, guest }
    }

    pub fn is_done(&self) -> bool {
        self.at == self.file.len()
    }

    /// How far the file is read, 0 to 100.
    pub fn per_cent(&self) -> u64 {
        (self.at * 100 / self.file.len().max(1)) as u64
    }

    /// Lines that hold so far.
    pub fn lines(&self) -> u64 {
        self.guest.verifier.len()
    }

    /// Verifies the next line: chain, rules and signatures.
    ///
    /// # Errors
    /// Why it does not hold.
    pub fn step(&mut self) -> Result<(), BookError> {
        let rest = &self.file[self.at..];
        let Some(raw) = rest.split_inclusive(|byte| *byte == b'\n').next() else {
            return Ok(());
        };
        let text = text_of(raw, self.lines())?;
        let line = self.guest.verifier.push(text)?;
        self.guest.heads.take(&line);
        self.at += raw.len();
        Ok(())
    }

    /// The book, once every line is read.
    ///
    /// # Errors
    /// [`BookError::Empty`].
    pub fn finish(self) -> Result<Guest, BookError> {
        match self.guest.verifier.is_empty() {
            true => Err(BookError::Empty),
            false => Ok(self.guest),
        }
    }
}
