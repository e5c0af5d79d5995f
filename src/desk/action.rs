//! What can happen to the desk.

use std::rc::Rc;

use crate::book::{BookName, Entry, Guest, Hash};
use crate::people::{PersonId, SealedKey, SecretKey};
use crate::sheet::{AcceptanceId, LotId};

use super::bench::Command;
use super::forms::DestructionDraft;
use super::homes::{Keep, Room};
use super::offline::Held;
use super::ports::{Download, Part, StoreError, Stored};
use super::visit::NotRead;

/// Which book is on the desk. The two never mix.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Space {
    Real,
    Practice,
}

impl Space {
    /// The name under which the browser stores it.
    pub fn name(self) -> &'static str {
        match self {
            Space::Real => "book",
            Space::Practice => "practice",
        }
    }
}

/// Screen brightness scheme.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lamp {
    #[default]
    Day,
    /// For benches that examine under ultraviolet light.
    Dim,
}

impl Lamp {
    pub fn name(self) -> &'static str {
        match self {
            Lamp::Day => "day",
            Lamp::Dim => "dim",
        }
    }

    /// The word that begins a label.
    pub fn title(self) -> &'static str {
        match self {
            Lamp::Day => "Day",
            Lamp::Dim => "Dim",
        }
    }

    pub fn other(self) -> Self {
        match self {
            Lamp::Day => Lamp::Dim,
            Lamp::Dim => Lamp::Day,
        }
    }
}

/// The screens, in the order of the side bar.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Screen {
    #[default]
    Bench,
    Verdicts,
    Cage,
    Destroy,
    Balance,
    Day,
    Book,
    Office,
}

impl Screen {
    pub const ALL: [Screen; 8] = [
        Screen::Bench,
        Screen::Verdicts,
        Screen::Cage,
        Screen::Destroy,
        Screen::Balance,
        Screen::Day,
        Screen::Book,
        Screen::Office,
    ];

    pub fn name(self) -> &'static str {
        match self {
            Screen::Bench => "Bench",
            Screen::Verdicts => "Verdicts",
            Screen::Cage => "Cage",
            Screen::Destroy => "Destroy",
            Screen::Balance => "Balance",
            Screen::Day => "Day",
            Screen::Book => "Book",
            Screen::Office => "Office",
        }
    }
}

/// The views of the Verdicts screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum VerdictsView {
    #[default]
    Sheets,
    Findings,
    Limit,
    Classes,
    Acceptance,
    Alike,
    Replacements,
    Labels,
}

/// The views of the Book screen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum BookView {
    #[default]
    Health,
    Log,
    Heads,
    Archive,
}

/// One thing that happens.
#[derive(Clone, Debug)]
pub enum Action {
    /// Look for a stored book (at start), or change to the other space.
    Start(Space),
    /// Some of what is stored, while the rest is on its way.
    Arrived(Part),
    /// What is stored of a space.
    Loaded {
        space: Space,
        stored: Stored,
    },
    /// Read some more of what is stored.
    ReadOn,
    /// Check some more of the signatures that were taken on trust.
    CheckSignatures,
    /// A sealed key is stored on this machine.
    KeyKept(Box<SealedKey>),
    /// Store a whole book as this space's book: a new one, or one brought in.
    Adopt {
        space: Space,
        lines: Vec<Rc<str>>,
    },
    /// Put a saved copy in the place of a book that cannot be opened, if it holds all that is left.
    BringIn(Vec<Rc<str>>),
    /// The second home had no room for these.
    SecondFull(Vec<Keep>),
    /// Another tab's book has this many lines now.
    OtherTabWrote {
        space: Space,
        lines: u64,
    },
    /// What another tab has written.
    Followed {
        from: u64,
        lines: Vec<String>,
    },
    /// The tab that wrote is gone: this one writes now.
    LockFreed(Space),
    /// Another tab runs a newer version of the app on this store.
    Outdated,
    /// The room that is left; nothing where the browser does not say.
    Measured(Option<Room>),
    /// Leave the practice space and forget it.
    LeavePractice,
    SignIn {
        person: PersonId,
        key: Box<SecretKey>,
    },
    /// A passphrase given for this person was wrong.
    WrongPassphrase(PersonId),
    /// Nobody is at the desk any more; what is unfinished stays.
    SignOut,
    /// Lay an entry out for the signatures it needs.
    BeginSigning(Box<Entry>),
    /// One more signs what is laid out.
    Countersign {
        person: PersonId,
        key: Box<SecretKey>,
    },
    /// Do not record what is laid out.
    DropSigning,
    /// Record what is laid out and signed.
    RecordSigned,
    Go(Screen),
    /// Show a view of the Verdicts screen.
    GoVerdicts(VerdictsView),
    /// Show a view of the Book screen.
    GoBook(BookView),
    SetLamp(Lamp),
    /// Work on another lot.
    ChooseLot(LotId),
    /// Put an acceptance sample on the bench.
    ChooseSample(AcceptanceId),
    /// Record entries, all or none.
    Record(Vec<Entry>),
    /// The store's answer to the last append.
    Stored(Result<(), StoreError>),
    /// The bench is told something by key or pointer on the sheet itself.
    Bench(Command),
    /// The same by a click beside the sheet, which then gets the keyboard back.
    BenchClick(Command),
    /// Keep what is typed for a destruction.
    TypeDestruction(Box<DestructionDraft>),
    Save(Download),
    Print,
    /// Take the message off the screen.
    Dismiss,
    /// Show a problem that happened outside the desk.
    Problem(String),
    /// A file of another bench was read as far as it goes.
    BringGuest {
        file: String,
        read: Box<Result<Guest, NotRead>>,
    },
    /// Do not hold another bench's book any more.
    TakeGuestOut(BookName),
    /// Have this machine hold the app itself; asked once, at start.
    HoldApp,
    /// The browser's answer.
    AppHeld(Held),
    /// The archive with this head was shown to be kept elsewhere.
    ArchiveSeen(Hash),
    /// Remove from this browser what the archive has.
    DropArchived,
    /// A newer version of the app is fetched whole and waits.
    UpdateReady,
    /// Put the newer version to use, if nothing is unfinished.
    UseUpdate,
}
