//! What goes wrong in a works: a closed or killed browser, a server that is switched off.

use super::super::driver;
use super::super::process::Server;
use super::Browser;

impl Browser {
    /// Closes the browser properly and opens it again on the same profile.
    pub async fn restart(&mut self) {
        self.note_all().await;
        self.client
            .clone()
            .close()
            .await
            .expect("the browser closes");
        self.reopen().await;
    }

    /// Kills the browser as a power cut would, and opens it again on the same profile.
    pub async fn kill_and_restart(&mut self) {
        self.note_all().await;
        driver::kill_chromium(self.profile.path());
        self.reopen().await;
    }

    async fn note_all(&mut self) {
        self.console().await;
        self.requests().await;
    }

    async fn reopen(&mut self) {
        self.client = driver::open(
            &self.driver.address(),
            self.profile.path(),
            self.downloads.path(),
        )
        .await;
    }

    /// Takes the file server away: from here on only the service worker can answer.
    pub fn unplug(&mut self) {
        self.files = None;
    }

    /// Brings it back at the same address, with what the folder holds now.
    pub fn plug_in(&mut self) {
        self.files = Some(Server::files(self.kind, &self.folder, self.port));
    }
}
