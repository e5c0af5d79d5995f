//! The app itself on this machine: whether it opens with the server stopped, and how a newer
//! version is put to use.

use crate::sheet::SheetNo;

use super::core::Desk;
use super::ports::Effect;

/// Whether this machine holds the whole app, so that it opens with the server stopped.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Held {
    /// The browser is fetching it, or looking.
    #[default]
    Fetching,
    Yes,
    No(NotHeld),
}

/// Why the app is not held.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotHeld {
    #[error(
        "This browser holds no app for this address. Open it over https, outside a private window."
    )]
    NotOffered,
    #[error(
        "Not every file of the app could be fetched whole. Reload the page while the server is running; if it stays so, install the build again."
    )]
    Incomplete,
    #[error("The browser refuses to hold the app ({0}). Allow site data for this address.")]
    Refused(String),
}

/// A newer version of the app, fetched whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Update {
    /// It waits.
    Ready,
    /// It was given the word; the page is about to open anew.
    Asked,
}

/// Work that a change of version would disturb.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unfinished {
    #[error("The newer version has to wait: an entry is on its way to the store. Try again.")]
    Saving,
    #[error(
        "The newer version has to wait: sheet {0} is not finished. Record it, or take its marks back."
    )]
    Sheet(SheetNo),
    #[error(
        "The newer version has to wait: signatures are being gathered. Finish the signing, or do not record it."
    )]
    Signing,
    #[error(
        "The newer version has to wait: a destruction is not finished. Record it, or take out what was typed for it."
    )]
    Destruction,
}

impl Desk {
    /// What has to be finished before another version may take over.
    ///
    /// # Errors
    /// The first thing that is unfinished.
    pub fn all_finished(&self) -> Result<(), Unfinished> {
        if self.is_saving() {
            return Err(Unfinished::Saving);
        }
        if self.bench.kept(self.state()).is_some() {
            return Err(Unfinished::Sheet(self.bench.sheet));
        }
        if self.signing.is_some() {
            return Err(Unfinished::Signing);
        }
        if self.destruction.is_under_way(self.state()) {
            return Err(Unfinished::Destruction);
        }
        Ok(())
    }

    /// Lets a waiting version take over, or says on the page what is unfinished and gives the keyboard
    /// back to the sheet.
    pub(super) fn use_update(&mut self) -> Vec<Effect> {
        if self.update != Some(Update::Ready) {
            return Vec::new();
        }
        if let Err(why) = self.all_finished() {
            self.problem(why.to_string());
            return vec![Effect::FocusSheet];
        }
        self.update = Some(Update::Asked);
        vec![Effect::UseUpdate]
    }
}
