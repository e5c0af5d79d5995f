//! The app is held on the machine: it opens with the server stopped, and a newer version waits.

use std::fs;
use std::path::Path;
use std::process::Command;

use serde_json::json;
use tempfile::TempDir;

use crate::bench::entries;
use crate::harness::{Browser, dist};
use crate::office;
use crate::survive::{focus_sheet, record_one, sit_down};

/// A book with a lot on the bench, an inspector before it, and the whole app on the machine.
pub async fn held_app(browser: &Browser) {
    browser.set_size(1280, 800).await;
    office::open_book(browser).await;
    office::set_up(browser).await;
    office::sign_in(browser, "ida", "Ida Fenn").await;
    office::go(browser, "Bench").await;
    browser.wait_for("[data-held=yes]").await;
}

/// Chromium itself finds nothing that stands against installing the app.
pub async fn can_be_installed(browser: &Browser) {
    let manifest = browser.devtools("Page.getAppManifest", json!({})).await;
    assert_eq!(manifest["errors"], json!([]), "{manifest}");
    let found = browser.devtools("Page.getInstallabilityErrors", json!({}));
    assert_eq!(found.await["installabilityErrors"], json!([]));
}

/// No server, and a browser that starts cold on the same profile.
pub async fn opens_without_the_server(browser: &mut Browser) {
    let before = record_one(browser).await;
    browser.unplug();
    browser.kill_and_restart().await;
    browser.goto("/").await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, before);
    browser.wait_for("[data-held=yes]").await;
    let after = record_one(browser).await;
    // Any address of the app is the app.
    browser.goto("/some/bookmark").await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, after);
}

/// The built app in a folder of its own, which can be changed while it is served.
pub struct Release(TempDir);

impl Release {
    pub fn first() -> Self {
        let release = Self(folder());
        release.publish(&build_named("first"));
        release
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    /// Puts a finished build there as the README says, the list of files last: a browser that
    /// looks meanwhile finds the old list or the new one, never one of a half-made build.
    fn publish(&self, build: &TempDir) {
        let [list, waiting] = ["sw.js", "sw.js.new"].map(|name| self.path().join(name));
        copy(build.path(), self.path(), &|name| name != "sw.js");
        fs::copy(build.path().join("sw.js"), &waiting).expect("the list is copied");
        fs::rename(waiting, list).expect("the list takes its place");
    }
}

fn folder() -> TempDir {
    TempDir::new().expect("a temporary folder")
}

/// The build, changed by one line in which it names itself.
fn build_named(name: &str) -> TempDir {
    let build = folder();
    copy(&dist(), build.path(), &|_| true);
    let page = build.path().join("index.html");
    let text = fs::read_to_string(&page).expect("the page");
    let named = format!("<head><meta name=\"build\" content=\"{name}\">");
    fs::write(&page, text.replace("<head>", &named)).expect("the page is changed");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("scripts/finish.py");
    let mut finish = Command::new("python3");
    let finished = finish.arg(script).arg("--dir").arg(build.path()).status();
    assert!(finished.expect("python3 runs").success());
    build
}

/// Changes a file after it was listed, as a half-copied build would be.
fn spoil(build: &TempDir) {
    let mut files = fs::read_dir(build.path()).expect("a folder").flatten();
    let style = files.find(|file| file.file_name().to_string_lossy().starts_with("print-"));
    let style = style.expect("a style sheet").path();
    let text = fs::read_to_string(&style).expect("a style sheet");
    fs::write(style, text + "\n").expect("the style sheet is changed");
}

fn copy(from: &Path, to: &Path, which: &dyn Fn(&str) -> bool) {
    for entry in fs::read_dir(from).expect("a folder").flatten() {
        let target = to.join(entry.file_name());
        if !which(&entry.file_name().to_string_lossy()) {
            continue;
        }
        if entry.path().is_dir() {
            fs::create_dir_all(&target).expect("a folder");
            copy(&entry.path(), &target, which);
        } else {
            fs::copy(entry.path(), target).expect("a file is copied");
        }
    }
}

/// The build that the page is of.
async fn build(browser: &Browser) -> String {
    let script = "return document.querySelector('meta[name=build]').content";
    let name = browser.js(script, vec![]).await;
    name.as_str().expect("a name").to_owned()
}

/// Asks for a newer version, as the page does every hour; gives back the state it comes to.
async fn look_for_newer(browser: &Browser) -> String {
    let script = "return (async () => { \
        const registration = await navigator.serviceWorker.getRegistration(); \
        await registration.update(); \
        const worker = registration.installing ?? registration.waiting; \
        if (!worker) return 'none'; \
        while (worker.state === 'installing') await new Promise(done => setTimeout(done, 20)); \
        return worker.state; })()";
    let state = browser.js(script, vec![]).await;
    state.as_str().expect("a state").to_owned()
}

/// A build that cannot be fetched whole never takes the place of one that was.
pub async fn a_spoiled_build_is_given_up(browser: &mut Browser, release: &Release) {
    let spoiled = build_named("spoiled");
    spoil(&spoiled);
    release.publish(&spoiled);
    assert_eq!(look_for_newer(browser).await, "redundant");
    browser.forget_console().await;
    browser.goto("/").await;
    sit_down(browser).await;
    assert_eq!(build(browser).await, "first");
    assert_eq!(browser.count(".newer").await, 0);
    browser.wait_for("[data-held=yes]").await;
}

/// The newer version waits, says so, and is refused while a sheet is unfinished.
pub async fn a_newer_build_waits(browser: &mut Browser, release: &Release) {
    release.publish(&build_named("second"));
    // Opening the page made the browser look by itself: that look may have met the spoiled build,
    // and gives up once more.
    let mut state = look_for_newer(browser).await;
    if state == "redundant" {
        state = look_for_newer(browser).await;
    }
    browser.forget_console().await;
    assert_eq!(state, "installed");
    browser
        .wait_for_text(".newer", "A newer version is ready")
        .await;
    browser.screenshot("newer").await;
    browser.goto("/").await;
    sit_down(browser).await;
    browser.wait_for(".newer").await;
    assert_eq!(build(browser).await, "first", "opening anew is no consent");
    focus_sheet(browser).await;
    browser.press("i w").await;
    browser.wait_for("[data-verdict=mixed]").await;
    browser.click("[data-action=use-update]").await;
    browser
        .wait_for_text(".message.problem", "is not finished")
        .await;
    browser.screenshot("newer-refused").await;
    assert_eq!(build(browser).await, "first");
    browser.wait_for("[data-verdict=mixed]").await;
}

/// Finished and asked for, it takes over; the book is as it was, the old version is gone.
pub async fn a_newer_build_is_used(browser: &mut Browser) {
    let before = entries(browser).await;
    // The refusal has given the keyboard back to the sheet.
    browser.press("Enter").await;
    browser
        .wait_for(&format!("[data-recorded='{}']", before + 1))
        .await;
    browser.click("[data-action=use-update]").await;
    browser.wait_for("meta[name=build][content=second]").await;
    sit_down(browser).await;
    browser.wait_for("[data-held=yes]").await;
    assert_eq!(browser.count(".newer").await, 0);
    assert_eq!(entries(browser).await, before + 1);
    let caches = browser.js("return caches.keys()", vec![]).await;
    assert_eq!(caches.as_array().map(Vec::len), Some(1), "{caches}");
    browser.unplug();
    browser.goto("/").await;
    sit_down(browser).await;
    assert_eq!(build(browser).await, "second");
}
