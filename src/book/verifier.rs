//! Follows a book from line to line: chain, rules and signatures, without keeping the lines.

use crate::people::{PersonId, PublicKey, Signature};

use super::checkpoint::BookCheckpoint;
use super::entry::Entry;
use super::hash::Hash;
use super::line::{BenchId, LINE_MAX, Line, LineError, is_signed};
use super::refusal::Refusal;
use super::state::{Change, State};

/// Why a book cannot be read: the first bad line, by its `seq`, and what is wrong.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BookError {
    #[error("Line {line} cannot be read: {why}.")]
    Line { line: u64, why: LineError },
    #[error("Line {line} is not text in UTF-8.")]
    NotText { line: u64 },
    #[error("Line {line} has no line end. The file was cut off; take a whole copy.")]
    NoLineEnd { line: u64 },
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

/// An author's signature that was taken on trust, and with which key it is to be checked.
#[derive(Clone, Debug)]
pub struct Unchecked {
    line: u64,
    by: PersonId,
    sig: Signature,
    key: PublicKey,
}

impl Unchecked {
    /// Checks the signature under the line's text.
    ///
    /// # Errors
    /// [`BookError::Signature`].
    pub fn check(&self, text: &str) -> Result<(), BookError> {
        let (line, by) = (self.line, self.by);
        match is_signed(text, &self.sig, &self.key) {
            true => Ok(()),
            false => Err(BookError::Signature { line, by }),
        }
    }
}

/// What a book adds up to so far: number of lines, head, state. A long file can be verified with
/// it line by line in the memory that the state alone takes.
#[derive(Clone, Debug, Default)]
pub struct Verifier {
    /// Lines before the first that was read, when that is a checkpoint.
    first: u64,
    len: u64,
    head: Option<Hash>,
    state: State,
}

impl Verifier {
    /// Number of lines, those in the archive among them, and the `seq` of the next one.
    pub fn len(&self) -> u64 {
        self.len
    }

    /// The `seq` of the first line that was read: 0, or that of a checkpoint.
    pub fn first_seq(&self) -> u64 {
        self.first
    }

    pub fn is_empty(&self) -> bool {
        self.len == self.first
    }

    /// Hash of the last line.
    pub fn head(&self) -> Hash {
        self.head.unwrap_or(Hash::NONE)
    }

    pub fn state(&self) -> &State {
        &self.state
    }

    /// Verifies one more line.
    ///
    /// # Errors
    /// Why the line does not follow; nothing is changed then.
    pub fn push(&mut self, text: &str) -> Result<Line, BookError> {
        let (line, _) = self.take(text, |unchecked| unchecked.check(text))?;
        Ok(line)
    }

    /// The same, but for the author's signature, which is given back to be checked later.
    ///
    /// # Errors
    /// What [`Verifier::push`] would say of the line.
    pub fn push_ahead(&mut self, text: &str) -> Result<(Line, Unchecked), BookError> {
        self.take(text, |_| Ok(()))
    }

    fn take(
        &mut self,
        text: &str,
        check: impl Fn(&Unchecked) -> Result<(), BookError>,
    ) -> Result<(Line, Unchecked), BookError> {
        let read = Line::read(text).map_err(|why| BookError::Line {
            line: self.len,
            why,
        })?;
        let mut begun = match &read.entry {
            Entry::BookCheckpoint(data) if self.is_empty() => Some(Self::beginning_at(data)?),
            _ => None,
        };
        let verifier = begun.as_mut().unwrap_or(self);
        let unchecked = verifier.follow(&read)?;
        check(&unchecked)?;
        let folded = verifier.fold(&read);
        folded.map_err(|why| unchecked.check(text).err().unwrap_or(why))?;
        if let Some(begun) = begun {
            *self = begun;
        }
        Ok((read, unchecked))
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
            len: first,
            head: Some(data.archived.head),
            state,
        })
    }

    /// Checks that a line is the one that should come next, and says which signature it must
    /// carry.
    fn follow(&self, read: &Line) -> Result<Unchecked, BookError> {
        let line = self.len;
        let header = &read.header;
        if header.seq != line {
            let found = header.seq;
            return Err(BookError::Order { line, found });
        }
        if header.prev != self.head() {
            return Err(BookError::Chain { line });
        }
        let opened = self.state.opened.as_ref();
        if let Some(expected) = opened.map(|opened| opened.bench)
            && expected != header.bench
        {
            let found = header.bench;
            return Err(BookError::Bench {
                line,
                found,
                expected,
            });
        }
        let (by, sig) = (header.by, read.sig);
        match self.state.key_of(by, &read.entry) {
            Some(key) => Ok(Unchecked { line, by, sig, key }),
            // The rules know better why this author cannot be one.
            None => {
                let why = self.plan(read).err();
                Err(why.unwrap_or_else(|| self.refused(Refusal::UnknownPerson(by))))
            }
        }
    }

    fn plan(&self, line: &Line) -> Result<Change, BookError> {
        self.state.plan(line).map_err(|why| self.refused(why))
    }

    fn refused(&self, why: Refusal) -> BookError {
        let (line, why) = (self.len, Box::new(why));
        BookError::Refused { line, why }
    }

    /// Takes in a line that follows the head and is signed.
    ///
    /// # Errors
    /// [`BookError::Refused`]; nothing is changed then.
    pub(super) fn fold(&mut self, line: &Line) -> Result<(), BookError> {
        self.plan(line)?.apply(&mut self.state);
        self.head = Some(line.hash);
        self.len += 1;
        Ok(())
    }
}

/// The text of one line of a file, given with its line end.
///
/// # Errors
/// [`BookError::NotText`], [`BookError::NoLineEnd`], [`LineError::TooLong`].
pub fn text_of(raw: &[u8], line: u64) -> Result<&str, BookError> {
    let Some(bytes) = raw.strip_suffix(b"\n") else {
        return Err(match raw.len() > LINE_MAX {
            true => BookError::Line {
                line,
                why: LineError::TooLong,
            },
            false => BookError::NoLineEnd { line },
        });
    };
    std::str::from_utf8(bytes).map_err(|_| BookError::NotText { line })
}
