//! The two homes of a book, laid side by side at start: one book comes out, or an alarm.
//!
//! The first home is written before the second, so whatever the second knows of was on disk once.
//! Where the first lacks it, lines were lost.

use std::rc::Rc;

use crate::book::{Book, BookError, Entry, Hash, Home, Line, StoreHealed};
use crate::people::{PersonId, PublicKey};

use super::super::ports::StoreError;
use super::second::Second;

/// When the signatures of the first home's lines are checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Check {
    /// All of them, before anything is shown.
    Now,
    /// Behind the screen, by [`Book::check_signatures`].
    Later,
}

/// A book that can be worked with.
#[derive(Debug)]
pub struct Opening {
    pub book: Book,
    /// Lines of it that the first home has; it gets the others.
    pub in_first: u64,
    /// What each home lacked.
    pub healed: Vec<StoreHealed>,
}

/// Why work stops. Both homes stay as they are.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Alarm {
    #[error("{why}{}", spare_words(*.spare))]
    Damaged { why: BookError, spare: Option<u64> },
    #[error(
        "The two homes of this book hold different lines for entry {entry}. The book was rolled back or replaced, or went on in two places. Save both and compare them with the copies and heads that left this machine. Whoever answers for the works then says which one goes on: keep both files, have the saved keys at hand, clear this address in the browser's settings (which takes the keys too), and bring that one in."
    )]
    Fork { entry: u64 },
    #[error(
        "This machine's book lost entries {from} to {to}. Bring in a saved copy that holds them."
    )]
    Lost { from: u64, to: u64 },
    #[error("{why} The second home does not hold the whole book either.")]
    Unreadable { why: StoreError },
    #[error(transparent)]
    Closed(StoreError),
}

/// Lays the homes side by side, once the first home's lines are read. Nothing when there is no book
/// in either.
///
/// # Errors
/// The alarm that stops work.
pub fn compare(
    first: &Result<Vec<String>, StoreError>,
    read: Result<Book, BookError>,
    second: &Second,
) -> Result<Option<Opening>, Alarm> {
    let stored = match first {
        Ok(lines) => lines,
        Err(why) => return second_alone(why, second).map(Some),
    };
    if stored.is_empty() && second.lines_known() == 0 {
        return Ok(None);
    }
    let mut book = read.map_err(|why| damaged(why, stored, second))?;
    let in_first = book.len();
    let amiss = lines_amiss(&book, second)?;
    heal(&mut book, second)?;
    let healed = healed(in_first, &book, second, &amiss);
    Ok(Some(Opening {
        book,
        in_first,
        healed,
    }))
}

/// The first home is missing; the second serves if it holds all that it knows of.
fn second_alone(why: &StoreError, second: &Second) -> Result<Opening, Alarm> {
    let unreachable = matches!(why, StoreError::Blocked | StoreError::Failed(_));
    if !unreachable {
        return Err(Alarm::Closed(why.clone()));
    }
    let mut book = Book::default();
    if second.lines_known() == 0 || heal(&mut book, second).is_err() {
        let why = why.clone();
        return Err(Alarm::Unreadable { why });
    }
    let in_first = book.len();
    Ok(Opening {
        book,
        in_first,
        healed: Vec::new(),
    })
}

/// A line that does not hold. Where the next line's chain gave it away, the one before it is what
/// was changed; the second home may have it as it was.
fn damaged(why: BookError, stored: &[String], second: &Second) -> Alarm {
    let line = bad_line(&why);
    let before = matches!(why, BookError::Chain { .. }).then_some(line);
    let before = before.flatten().and_then(|line| line.checked_sub(1));
    let keys = Keys::of(stored.iter().chain(second.lines.values()));
    let is_spare = |seq: &u64| {
        let text = second.lines.get(seq);
        text.is_some_and(|text| at(stored, *seq) != Some(text) && keys.signed(*seq, text))
    };
    let spare = before.into_iter().chain(line).find(is_spare);
    Alarm::Damaged { why, spare }
}

fn spare_words(spare: Option<u64>) -> String {
    let said = |line| format!(" The second home holds line {line} as it was signed.");
    spare.map(said).unwrap_or_default()
}

fn bad_line(why: &BookError) -> Option<u64> {
    match why {
        BookError::Line { line, .. }
        | BookError::NotText { line }
        | BookError::NoLineEnd { line }
        | BookError::Order { line, .. }
        | BookError::Chain { line }
        | BookError::Bench { line, .. }
        | BookError::Signature { line, .. }
        | BookError::Refused { line, .. } => Some(*line),
        BookError::Empty => None,
    }
}

/// Lines of the second home that differ and are no lines of this book's people: damage there.
fn lines_amiss(book: &Book, second: &Second) -> Result<Vec<u64>, Alarm> {
    // Lines before the first may still lie there: the browser died while they were removed.
    let common = second.lines.range(book.first_seq()..book.len());
    let differ = common.filter(|(seq, text)| book.text(**seq).is_none_or(|own| **own != ***text));
    let differ: Vec<_> = differ.collect();
    if differ.is_empty() {
        return Ok(Vec::new());
    }
    let keys = Keys::of(book.texts());
    match differ.iter().find(|(seq, text)| keys.signed(**seq, text)) {
        Some((seq, _)) => Err(Alarm::Fork { entry: **seq }),
        None => Ok(differ.into_iter().map(|(seq, _)| *seq).collect()),
    }
}

/// Takes in what the book lacks from the second home, every line verified.
fn heal(book: &mut Book, second: &Second) -> Result<(), Alarm> {
    let known = second.lines_known();
    let had = match book.is_empty() {
        true => begins(second),
        false => book.len(),
    };
    for seq in had..known {
        let lost = Alarm::Lost {
            from: seq,
            to: known - 1,
        };
        let text = second.lines.get(&seq).ok_or(lost.clone())?;
        book.push_text(text).map_err(|why| match why {
            // Its own home's line stands before every other one.
            BookError::Chain { .. } if seq == had && Keys::of(book.texts()).signed(seq, text) => {
                Alarm::Fork {
                    entry: seq.saturating_sub(1),
                }
            }
            _ => lost,
        })?;
    }
    same_head(book, second)
}

/// The head that the second home remembers is in the book.
fn same_head(book: &Book, second: &Second) -> Result<(), Alarm> {
    let Some(reach) = second.reach else {
        return Ok(());
    };
    let entry = reach.lines - 1;
    let Some(text) = book.text(entry) else {
        return Ok(());
    };
    // A second home that holds this very line and another head for it is damaged, not forked: the
    // head is written anew.
    let own_line = second.lines.get(&entry).map(String::as_str) == Some(&**text);
    if own_line || Hash::of_line(text.as_bytes()) == reach.head {
        Ok(())
    } else {
        Err(Alarm::Fork { entry })
    }
}

fn healed(in_first: u64, book: &Book, second: &Second, amiss: &[u64]) -> Vec<StoreHealed> {
    let mut healed = Vec::new();
    let mut lacked = |home, from, until: u64| {
        if from < until {
            let to = until - 1;
            healed.push(StoreHealed { home, from, to });
        }
    };
    lacked(Home::First, in_first.max(book.first_seq()), book.len());
    if let (Some(from), Some(to)) = (amiss.first(), amiss.last()) {
        lacked(Home::Second, *from, to + 1);
    }
    lacked(Home::Second, second.lines_known(), book.len());
    healed
}

/// Every key that a book's lines give to anyone.
struct Keys(Vec<(PersonId, PublicKey)>);

impl Keys {
    fn of<T: AsRef<str>>(texts: impl IntoIterator<Item = T>) -> Self {
        let gives = |text: &T| {
            let kind = Line::kind_of(text.as_ref());
            matches!(
                kind,
                Some("book.opened" | "person.enrolled" | "person.rekeyed" | "book.checkpoint")
            )
        };
        let lines = texts.into_iter().filter(gives);
        let lines = lines.filter_map(|text| Line::read(text.as_ref()).ok());
        Self(lines.flat_map(|line| given(&line.entry)).collect())
    }

    /// Whether the text is line `seq` of a book, signed by one of these people.
    fn signed(&self, seq: u64, text: &str) -> bool {
        let Ok(line) = Line::read(text) else {
            return false;
        };
        let begins = seq == 0 || matches!(line.entry, Entry::BookCheckpoint(_));
        let own = begins.then(|| given(&line.entry)).into_iter().flatten();
        let known = self.0.iter().copied().chain(own);
        let mut known = known.filter(|(person, _)| *person == line.header.by);
        line.header.seq == seq && known.any(|(_, key)| line.is_signed_with(&key))
    }
}

fn given(entry: &Entry) -> Vec<(PersonId, PublicKey)> {
    match entry {
        Entry::BookOpened(data) => vec![(data.supervisor.person, data.supervisor.key)],
        Entry::PersonEnrolled(data) => vec![(data.person, data.key)],
        Entry::PersonRekeyed(data) => vec![(data.person, data.key)],
        Entry::BookCheckpoint(data) => {
            let people = data.carried.people.iter();
            people.map(|person| (person.person, person.key)).collect()
        }
        _ => Vec::new(),
    }
}

/// Why a saved copy cannot take the place of what is stored.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CopyRefused {
    #[error(transparent)]
    NotABook(#[from] BookError),
    #[error("This is a practice book. It cannot become a real one.")]
    Practice,
    #[error(
        "The copy has {copy} lines and this machine's book {stored}. Bring in a copy saved later."
    )]
    Shorter { copy: usize, stored: usize },
    #[error(
        "The copy holds another line for entry {entry} than this machine, and both are signed. It is not a copy of this book, or of another branch of it."
    )]
    Differs { entry: usize },
    #[error("With this copy: {0}")]
    Alarm(#[from] Alarm),
}

/// Checks that a saved copy holds all that is stored, so that taking it in loses nothing but what
/// is damaged. Gives the book that it makes, with what the second home has after it.
///
/// # Errors
/// Why not; nothing has changed.
pub fn may_take(stored: &[String], second: &Second, copy: &[Rc<str>]) -> Result<Book, CopyRefused> {
    let mut book = Book::read(copy.iter().map(AsRef::as_ref))?;
    let ours = first_seq(stored);
    let end = ours + stored.len() as u64;
    if book.len() < end {
        let (copy, stored) = (book.len() as usize, end as usize);
        return Err(CopyRefused::Shorter { copy, stored });
    }
    let keys = Keys::of(copy);
    let mut pairs = (ours..).zip(stored);
    let differs = |seq: u64, ours: &String| {
        let theirs = book.text(seq);
        theirs.is_some_and(|theirs| **theirs != **ours) && keys.signed(seq, ours)
    };
    if let Some((entry, _)) = pairs.find(|(seq, ours)| differs(*seq, ours)) {
        let entry = entry as usize;
        return Err(CopyRefused::Differs { entry });
    }
    lines_amiss(&book, second)?;
    heal(&mut book, second)?;
    Ok(book)
}

/// The number of the first of some stored lines.
fn first_seq(stored: &[String]) -> u64 {
    let first = stored.first().and_then(|text| Line::read(text).ok());
    first.map_or(0, |line| line.header.seq)
}

/// A stored line by its number.
fn at(stored: &[String], seq: u64) -> Option<&String> {
    let index = seq.checked_sub(first_seq(stored))?;
    stored.get(usize::try_from(index).ok()?)
}

/// Where the second home's book begins: at the first line when it has them all, else at the last
/// checkpoint, before which the archive has them.
fn begins(second: &Second) -> u64 {
    let whole = (0..second.lines_known()).all(|seq| second.lines.contains_key(&seq));
    let cut = |text: &String| Line::kind_of(text) == Some("book.checkpoint");
    let mut lines = second.lines.iter().rev();
    match whole {
        true => 0,
        false => lines.find(|(_, text)| cut(text)).map_or(0, |(seq, _)| *seq),
    }
}
