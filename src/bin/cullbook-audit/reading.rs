//! Reads a book from a file or from standard input, line by line, in bounded memory. While the
//! lines of one chunk are read and folded, the signatures of the chunk before are checked on
//! every core; what is blamed is the same line, for the same reason, as one by one.

use std::fmt;
use std::fs::File;
use std::io::{self, BufRead, BufReader, IsTerminal, Read, Write};
use std::path::PathBuf;
use std::thread;
use std::time::{Duration, Instant};

use cullbook::book::{Book, BookError, Guest, Heads, LINE_MAX, Line, Unchecked, Verifier, text_of};
use cullbook::sheet::grouped;

use super::AuditError;

/// A chunk ends after so many lines or bytes.
const CHUNK_LINES: usize = 4096;
const CHUNK_BYTES: usize = 8 << 20;

/// How long a book is read before the first word about progress, and then between two.
const FIRST_WORD: Duration = Duration::from_secs(1);
const NEXT_WORD: Duration = Duration::from_millis(500);

/// Where a book comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    File(PathBuf),
    Stdin,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Source::File(path) => path.display().fmt(f),
            Source::Stdin => f.write_str("standard input"),
        }
    }
}

/// How books are read.
pub struct Reading {
    /// Progress is told even where standard error is no terminal.
    pub progress: bool,
}

/// Lines whose signatures are still to be checked, and how the reading ended if it did.
#[derive(Default)]
struct Chunk {
    lines: Vec<(Unchecked, String)>,
    ended: Option<Result<(), AuditError>>,
}

impl Reading {
    /// Verifies a book without keeping its lines; `each` sees every line once it is folded.
    pub fn verified(
        &self,
        book: &Source,
        mut each: impl FnMut(&Line),
    ) -> Result<Verifier, AuditError> {
        let mut raws = Raws::open(book, self.progress)?;
        let mut verifier = Verifier::default();
        let mut chunk = next_chunk(&mut raws, &mut verifier, &mut each);
        loop {
            let (checked, next) = thread::scope(|scope| {
                let size = chunk.lines.len().div_ceil(cores()).max(1);
                let check = |part: &[(Unchecked, String)]| {
                    part.iter().try_for_each(|(one, text)| one.check(text))
                };
                let parts = chunk.lines.chunks(size);
                let checks: Vec<_> = parts.map(|part| scope.spawn(move || check(part))).collect();
                let next = match chunk.ended {
                    None => next_chunk(&mut raws, &mut verifier, &mut each),
                    Some(_) => Chunk::default(),
                };
                let joined = checks.into_iter().map(|check| match check.join() {
                    Ok(checked) => checked,
                    Err(panic) => std::panic::resume_unwind(panic),
                });
                (joined.collect::<Result<Vec<()>, _>>(), next)
            });
            checked.map_err(|why| raws.not_held(why))?;
            if let Some(ended) = chunk.ended {
                ended?;
                raws.close();
                return match verifier.is_empty() {
                    true => Err(raws.not_held(BookError::Empty)),
                    false => Ok(verifier),
                };
            }
            chunk = next;
        }
    }

    /// Verifies a book and keeps the head after each line, to lay it beside others.
    pub fn guest(&self, book: &Source) -> Result<Guest, AuditError> {
        let mut heads = Heads::default();
        let verifier = self.verified(book, |line| heads.take(line))?;
        Ok(Guest::new(verifier, heads))
    }

    /// Verifies a book and keeps its lines, to go back to an earlier head.
    pub fn kept(&self, source: &Source) -> Result<Book, AuditError> {
        let mut raws = Raws::open(source, self.progress)?;
        let mut book = Book::default();
        while raws.next()? {
            let pushed = text_of(&raws.raw, raws.number).and_then(|text| book.push_text(text));
            pushed.map_err(|why| raws.not_held(why))?;
            raws.number += 1;
        }
        raws.close();
        match book.is_empty() {
            true => Err(raws.not_held(BookError::Empty)),
            false => Ok(book),
        }
    }
}

fn cores() -> usize {
    thread::available_parallelism().map_or(1, usize::from)
}

fn next_chunk(raws: &mut Raws, verifier: &mut Verifier, each: &mut impl FnMut(&Line)) -> Chunk {
    let mut chunk = Chunk::default();
    let mut bytes = 0;
    while chunk.lines.len() < CHUNK_LINES && bytes < CHUNK_BYTES {
        match next_line(raws, verifier) {
            Ok(Some((line, unchecked))) => {
                each(&line);
                bytes += line.text.len();
                chunk.lines.push((unchecked, line.text.as_ref().to_owned()));
            }
            Ok(None) => chunk.ended = Some(Ok(())),
            Err(why) => chunk.ended = Some(Err(why)),
        }
        if chunk.ended.is_some() {
            break;
        }
    }
    chunk
}

fn next_line(
    raws: &mut Raws,
    verifier: &mut Verifier,
) -> Result<Option<(Line, Unchecked)>, AuditError> {
    if !raws.next()? {
        return Ok(None);
    }
    let pushed = text_of(&raws.raw, raws.number).and_then(|text| verifier.push_ahead(text));
    raws.number += 1;
    pushed.map(Some).map_err(|why| raws.not_held(why))
}

/// The raw lines of a source, each with its line end.
struct Raws {
    source: Source,
    reader: Box<dyn BufRead>,
    raw: Vec<u8>,
    /// Of the line in `raw`.
    number: u64,
    progress: Progress,
}

impl Raws {
    fn open(source: &Source, progress: bool) -> Result<Self, AuditError> {
        let unreadable = |why| unreadable(source, why);
        let (reader, size): (Box<dyn BufRead>, _) = match source {
            Source::Stdin => (Box::new(io::stdin().lock()), None),
            Source::File(path) => {
                let file = File::open(path).map_err(unreadable)?;
                let size = file.metadata().map_err(unreadable)?.len();
                (
                    Box::new(BufReader::with_capacity(1 << 16, file)),
                    Some(size),
                )
            }
        };
        Ok(Self {
            source: source.clone(),
            reader,
            raw: Vec::new(),
            number: 0,
            progress: Progress::new(size, progress),
        })
    }

    /// Reads the next line, or what is one byte too long for one.
    fn next(&mut self) -> Result<bool, AuditError> {
        self.raw.clear();
        let mut most = self.reader.by_ref().take(LINE_MAX as u64 + 1);
        let read = most.read_until(b'\n', &mut self.raw);
        let read = read.map_err(|why| unreadable(&self.source, why))?;
        self.progress.tell(&self.source, read as u64, self.number);
        Ok(read > 0)
    }

    fn not_held(&mut self, why: BookError) -> AuditError {
        self.close();
        let book = self.source.clone();
        AuditError::NotHeld { book, why }
    }

    fn close(&mut self) {
        self.progress.clear();
    }
}

fn unreadable(source: &Source, why: io::Error) -> AuditError {
    let book = source.clone();
    AuditError::Read { book, why }
}

/// Tells on standard error how far a long book is read: in one line of a terminal that is
/// written over, or in lines of their own where that was asked for.
struct Progress {
    terminal: bool,
    shown: bool,
    size: Option<u64>,
    read: u64,
    next: Instant,
    told: bool,
}

impl Progress {
    fn new(size: Option<u64>, asked: bool) -> Self {
        let terminal = io::stderr().is_terminal();
        Self {
            terminal,
            shown: terminal || asked,
            size,
            read: 0,
            next: Instant::now() + FIRST_WORD,
            told: false,
        }
    }

    fn tell(&mut self, source: &Source, bytes: u64, line: u64) {
        self.read += bytes;
        // The clock is asked once in a while only.
        if !self.shown || !line.is_multiple_of(1024) || Instant::now() < self.next {
            return;
        }
        self.next = Instant::now() + NEXT_WORD;
        self.told = true;
        let part = match self.size {
            Some(size @ 1..) => format!(", {} %", self.read * 100 / size),
            _ => String::new(),
        };
        let (start, end) = if self.terminal {
            ("\r", "  ")
        } else {
            ("", "\n")
        };
        let word = format!("{start}{source}: {} lines{part}{end}", grouped(line));
        // Progress that cannot be told is no reason to stop.
        io::stderr().write_all(word.as_bytes()).ok();
    }

    fn clear(&mut self) {
        if self.told && self.terminal {
            eprint!("\r\x1b[K");
        }
        self.told = false;
    }
}
