//! What the frame tells: how far the start has come, what is recorded, messages.

use crate::people::Stamp;

use super::homes::Second;
use super::ports::StoreError;

/// How far the start has come.
#[derive(Clone, Debug, PartialEq)]
pub enum Startup {
    /// Asking the store.
    Loading,
    /// No book is stored: first visit.
    NoBook,
    /// The book is on the desk.
    Ready,
    /// A stored book is there but cannot be used. What each home holds can be saved as it is.
    Broken {
        why: String,
        lines: Vec<String>,
        second: Second,
    },
}

/// When the last entry became durable.
#[derive(Clone, Debug, PartialEq)]
pub enum Saved {
    /// Nothing was recorded since the page was opened.
    NotYet,
    Saving,
    At(Stamp),
    Failed(StoreError),
}

/// How a message is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tone {
    Done,
    Problem,
}

/// A message on the screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    pub tone: Tone,
    pub text: String,
}
