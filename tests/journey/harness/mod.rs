//! What a journey needs: the built app served by `scripts/serve.py`, a headless Chromium driven
//! through chromedriver (W3C WebDriver), both on free ports and gone at the end.
//!
//! A step that cannot be done panics with a sentence; [`journey`] then leaves a picture of the
//! page, its address and its console in `target/journey/`.

mod browser;
mod driver;
mod keys;
mod process;

use std::any::Any;
use std::future::{Future, poll_fn};
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::{Path, PathBuf};
use std::pin::pin;
use std::task::Poll;

pub use browser::Browser;
pub use process::FileServer;

/// The built app. `CULLBOOK_DIST` names another folder than dist/.
pub fn dist() -> PathBuf {
    let named = std::env::var_os("CULLBOOK_DIST").map(PathBuf::from);
    let dist = named.unwrap_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("dist"));
    let built = dist.join("index.html").exists();
    assert!(
        built,
        "{} is not built. Run `make build` first.",
        dist.display()
    );
    dist
}

/// Runs `steps` against the app in dist/. Fails if the page complained on its console, or asked
/// for anything from elsewhere.
pub async fn journey(name: &str, steps: impl AsyncFnOnce(&mut Browser)) {
    journey_in(&dist(), name, steps).await;
}

/// [`journey`] against the page in any folder.
pub async fn journey_in(folder: &Path, name: &str, steps: impl AsyncFnOnce(&mut Browser)) {
    journey_on(FileServer::Own, folder, name, steps).await;
}

/// [`journey_in`], served by a server of choice.
pub async fn journey_on(
    kind: FileServer,
    folder: &Path,
    name: &str,
    steps: impl AsyncFnOnce(&mut Browser),
) {
    let mut browser = Browser::open(folder, kind, name).await;
    let outcome = caught(async {
        steps(&mut browser).await;
        browser.expect_clean_console().await;
        browser.expect_own_requests_only().await;
    })
    .await;
    if outcome.is_err() {
        browser.leave_evidence().await;
    }
    browser.close().await;
    if let Err(panic) = outcome {
        resume_unwind(panic);
    }
}

/// The outcome of a future that may panic, so that there is still a page to take a picture of.
async fn caught(steps: impl Future<Output = ()>) -> Result<(), Box<dyn Any + Send>> {
    let mut steps = pin!(steps);
    poll_fn(
        |context| match catch_unwind(AssertUnwindSafe(|| steps.as_mut().poll(context))) {
            Ok(Poll::Pending) => Poll::Pending,
            Ok(Poll::Ready(())) => Poll::Ready(Ok(())),
            Err(panic) => Poll::Ready(Err(panic)),
        },
    )
    .await
}
