//! What the desk asks of the machine it runs on, as plain data.

use std::future::Future;
use std::pin::Pin;
use std::rc::Rc;

use uuid::Uuid;

use crate::export::{Cover, DayTables};
use crate::people::{KeyError, Passphrase, PersonId, SealedKey, SecretKey, Stamp};

use super::action::{Action, Lamp, Space};
use super::homes::{Keep, Second, Tab};

/// Time and ids, read once for each action.
pub struct Env<'a> {
    pub now: Stamp,
    pub new_id: &'a mut dyn FnMut() -> Uuid,
}

/// The machine that the desk stands on. The browser is one; tests have their own.
pub trait Machine {
    /// The moment now, with the machine's own offset.
    fn now(&self) -> Stamp;
    /// A fresh UUID version 7.
    fn new_id(&self) -> Uuid;
    /// Random bits fit for secrets.
    ///
    /// # Errors
    /// [`KeyringError::Failed`] when the browser gives none.
    fn dice(&self) -> Result<u128, KeyringError>;
    /// The space used last time, so that a reload goes on where it was.
    fn space(&self) -> Space;
    /// The lamp chosen last time.
    fn lamp(&self) -> Lamp;
    /// Makes a key for a person under a passphrase. Takes a while and does not hold up the page.
    fn make_key(&self, person: PersonId, passphrase: Passphrase) -> Later<(SealedKey, SecretKey)>;
    /// Opens a sealed key. Takes a while and does not hold up the page.
    fn open_key(&self, sealed: SealedKey, passphrase: Passphrase) -> Later<SecretKey>;
    /// Keeps a sealed key in a space, durably.
    fn keep_key(&self, space: Space, sealed: SealedKey) -> Later<()>;
    /// Makes a workbook without holding up the page. `told` hears how far it is, then once how it
    /// ended; nothing more once what is given back is dropped.
    fn make_workbook(
        &self,
        cover: Cover,
        tables: DayTables,
        told: Box<dyn Fn(HowFar)>,
    ) -> Box<dyn Making>;
    /// Says where answers go. Called once, before anything is run.
    fn answer_to(&self, report: Box<dyn Fn(Action)>);
    /// Carries out effects, in the order they come.
    fn run(&self, effects: Vec<Effect>);
}

/// Work under way. Dropping it stops it.
pub trait Making {}

/// How far a workbook is, or how it ended.
#[derive(Clone, Debug, PartialEq)]
pub enum HowFar {
    /// Rows taken in so far.
    Rows(usize),
    /// All rows are in; the file is being packed.
    Packing,
    Made(Vec<u8>),
    /// Why there is none, and what to do.
    Failed(String),
}

/// An answer that takes a while.
pub type Later<T> = Pin<Box<dyn Future<Output = Result<T, KeyringError>>>>;

/// Why a key could not be made, opened or kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum KeyringError {
    #[error(transparent)]
    Key(#[from] KeyError),
    #[error(transparent)]
    Store(#[from] StoreError),
    #[error(
        "Three wrong passphrases were given for {person}, so this key is locked until {until}. Wait, or let another supervisor give a new key."
    )]
    Locked { person: PersonId, until: String },
    #[error(
        "No key of this person is on this machine. Bring in the keys saved with the book, or let a supervisor whose key is here give a new one."
    )]
    NotHere,
    #[error("The browser could not work on the key ({0}). Reload the page and try again.")]
    Failed(String),
}

/// What is stored of a space.
#[derive(Clone, Debug, PartialEq)]
pub struct Stored {
    /// The first home's lines, or why it cannot be read.
    pub lines: Result<Vec<String>, StoreError>,
    /// The second home; nothing where the browser keeps none.
    pub second: Option<Second>,
    /// The sealed keys of both homes.
    pub keys: Vec<SealedKey>,
    /// What this tab may do.
    pub tab: Tab,
}

/// Lines of the first home that have come while others are on their way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// How many came before these.
    pub before: u64,
    /// How many there are in all.
    pub of: u64,
    pub lines: Vec<String>,
}

/// A file for the person to save.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Download {
    pub name: String,
    pub mime: &'static str,
    pub bytes: Vec<u8>,
}

/// Something the browser must do. The desk hears back through an action where it matters.
#[derive(Clone, Debug, PartialEq)]
pub enum Effect {
    /// Come back with [`Action::CheckSignatures`] once the page has drawn.
    CheckSoon,
    /// Come back with [`Action::ReadOn`] once the page has drawn.
    ReadSoon,
    /// Read what is stored of a space; answered by [`Action::Loaded`], and by [`Action::Arrived`]
    /// for each part of it before.
    Load(Space),
    /// Store lines durably, all or none, only if the store holds exactly `expected_seq` lines;
    /// answered by [`Action::Stored`].
    Append {
        space: Space,
        expected_seq: u64,
        lines: Vec<Rc<str>>,
    },
    /// Remove the lines before `below` from both homes, all or none. Whatever is stored of a
    /// space afterwards is a book, whether it was done or not.
    DropLines { space: Space, below: u64 },
    /// Write to the second home, in this order; answered only when there is no room, by
    /// [`Action::SecondFull`].
    KeepSecond { space: Space, keeps: Vec<Keep> },
    /// Put a whole book in the place of what the first home holds, all or nothing; answered by
    /// [`Action::Stored`].
    Rewrite { space: Space, lines: Vec<Rc<str>> },
    /// Read what another tab has written since; answered by [`Action::Followed`].
    Follow { space: Space, from: u64 },
    /// Measure the room that is left, and ask the browser to keep what is stored; answered by
    /// [`Action::Measured`].
    Measure,
    /// Forget everything stored in the practice space.
    ClearPractice,
    /// Offer a file for saving.
    Save(Download),
    /// Open the print dialog on what is marked for print.
    Print,
    /// Keep the unfinished sheet, so that a crash costs nothing. Nothing to keep clears it.
    KeepDraft { space: Space, draft: Option<String> },
    /// The same for what is typed at the open step of a destruction.
    KeepSession { space: Space, draft: Option<String> },
    /// Set the lamp and remember it.
    SetLamp(Lamp),
    /// Bring the keyboard back to the sheet.
    FocusSheet,
    /// Hold the app for use without the server and watch for newer versions; answered by
    /// [`Action::AppHeld`] and [`Action::UpdateReady`].
    HoldApp,
    /// Let the newer version take over and open the page anew.
    UseUpdate,
}

/// Why lines could not be stored or read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StoreError {
    #[error(
        "The browser's storage is full. Save a copy of the book (Day, Save the book), then free space on this machine."
    )]
    Quota,
    #[error(
        "The browser does not let this page keep data. Allow site data for this address, then reload the page."
    )]
    Blocked,
    #[error(
        "Another tab has written to this book: it holds {found} lines where {expected} were expected. Close the other tab and reload this one."
    )]
    Conflict { expected: u64, found: u64 },
    #[error(
        "Another tab holds this book open with an older version of Cullbook. Close the other tabs of this address, then reload this one."
    )]
    HeldByOlder,
    #[error(
        "A newer version of Cullbook has used this book. Reload the page while the server is running; if it stays so, install the newer build again."
    )]
    Newer,
    #[error(
        "The browser could not keep the entry ({0}). Reload the page; what was recorded is safe."
    )]
    Failed(String),
}
