//! Books of other benches held beside the own one. They are only read, and the own book knows
//! nothing of them.

use super::super::guest::{Chained, Guest};
use super::conflict::Conflict;
use super::pair::{is_practice, other_works, same_book};
use super::{BookName, Known, Shared};

/// Most books that are held at once.
pub const GUESTS_MAX: usize = 32;

/// Books of other benches, each in its longest copy and never two copies that have parted.
#[derive(Clone, Debug, Default)]
pub struct Guests {
    /// In the order of their names, whatever the order they came in.
    books: Vec<(BookName, Guest)>,
}

/// A book that is held now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    New,
    /// It was here already.
    Known,
    /// It goes on where a copy of so many lines ended, and has taken its place.
    Continues {
        lines: u64,
    },
}

/// Why a verified book is not held.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotTaken {
    #[error("This is the book that is open here, or an older copy of it. It counts already.")]
    Own,
    #[error(
        "ALARM: this copy of the book that is open here goes on to entry {last}; the one here ends with entry {own_last}. The book here was put back or copied. Do not write on before it is known why; compare the heads on prints and certificates."
    )]
    LongerThanOwn { last: u64, own_last: u64 },
    #[error(
        "It is an older copy: its {lines} lines are the beginning of the book of {within}, which has {longer} and stays."
    )]
    Older {
        lines: u64,
        within: BookName,
        longer: u64,
    },
    /// It parts from a copy that is here, is of another works, or is a practice book.
    #[error("{0}")]
    Contradicts(Box<Conflict>),
    #[error(
        "The book that is open here is a practice book, this one is real. Leave the practice book first."
    )]
    OwnIsPractice,
    #[error("{GUESTS_MAX} books are here, and no more can be. Take one out first.")]
    TooMany,
    #[error("It does not say whose book it is.")]
    NotOpened,
}

impl From<Conflict> for NotTaken {
    fn from(conflict: Conflict) -> Self {
        Self::Contradicts(Box::new(conflict))
    }
}

impl Guests {
    /// Takes a book in, if it can stand beside the own one and those that are here. One that cannot
    /// changes nothing.
    ///
    /// # Errors
    /// Why it cannot.
    pub fn take(&mut self, own: &dyn Chained, guest: Guest) -> Result<Taken, NotTaken> {
        let new = Known::new(&guest).ok_or(NotTaken::NotOpened)?;
        if let Some(own) = Known::new(own) {
            beside_own(&own, &new)?;
        }
        let name = new.name.clone();
        let mut here = self.books.iter();
        let place = here.position(|(known, _)| known.book == name.book);
        let taken = match place {
            None if self.books.len() == GUESTS_MAX => return Err(NotTaken::TooMany),
            None => Taken::New,
            Some(place) => {
                let (known, book) = &self.books[place];
                let old = Known {
                    name: known.clone(),
                    book,
                };
                let taken = beside_copy(&old, &new)?;
                // Of two that end alike, the one that has more of its lines is kept.
                if taken == Taken::Known && old.first_seq() <= new.first_seq() {
                    return Ok(taken);
                }
                self.books.remove(place);
                taken
            }
        };
        let place = self.books.partition_point(|(known, _)| *known < name);
        self.books.insert(place, (name, guest));
        Ok(taken)
    }

    /// Takes a book out again.
    pub fn take_out(&mut self, name: &BookName) {
        self.books.retain(|(known, _)| known != name);
    }

    pub fn is_empty(&self) -> bool {
        self.books.is_empty()
    }

    pub fn names(&self) -> impl Iterator<Item = &BookName> {
        self.books.iter().map(|(name, _)| name)
    }

    /// The own book, then those that are here.
    pub fn beside<'a>(&'a self, own: &'a dyn Chained) -> Vec<&'a dyn Chained> {
        let here = self.books.iter().map(|(_, book)| book as &dyn Chained);
        std::iter::once(own).chain(here).collect()
    }
}

/// Whether a book can stand beside the own one.
fn beside_own(own: &Known, new: &Known) -> Result<(), NotTaken> {
    if own.name.book == new.name.book {
        return Err(copy_of_own(own, new));
    }
    match (is_practice(own.state()), is_practice(new.state())) {
        (false, true) => {
            let book = new.name.clone();
            Err(Conflict::PracticeAmongReal { book }.into())
        }
        (true, false) => Err(NotTaken::OwnIsPractice),
        _ => other_works(own, new).map_or(Ok(()), |conflict| Err(conflict.into())),
    }
}

fn copy_of_own(own: &Known, new: &Known) -> NotTaken {
    let (here, there) = (own.name.lines, new.name.lines);
    match new.shared(own) {
        Shared::Lines(lines) if lines == there => NotTaken::Own,
        Shared::Lines(lines) if lines == here => NotTaken::LongerThanOwn {
            last: there - 1,
            own_last: here - 1,
        },
        _ => same_book(own, new).into(),
    }
}

/// Which of two copies of one book is to stay.
fn beside_copy(old: &Known, new: &Known) -> Result<Taken, NotTaken> {
    let (here, there) = (old.name.lines, new.name.lines);
    match new.shared(old) {
        Shared::Lines(lines) if lines == here && lines == there => Ok(Taken::Known),
        Shared::Lines(lines) if lines == there => Err(NotTaken::Older {
            lines,
            within: old.name.clone(),
            longer: here,
        }),
        Shared::Lines(lines) if lines == here => Ok(Taken::Continues { lines }),
        _ => Err(same_book(old, new).into()),
    }
}
