//! The browser as a person uses it: go, look, click, type, press, and look again.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use fantoccini::elements::Element;
use fantoccini::error::CmdError;
use fantoccini::key::Key;
use fantoccini::{Client, Locator};
use serde_json::{Value, json};
use tempfile::TempDir;

use super::driver;
use super::keys::{chord, strokes};
use super::process::{FileServer, Server};

mod mishaps;

/// How long a thing may take to show up before a step counts as failed.
const PATIENCE: Duration = Duration::from_secs(15);

/// Chromium's remark on the integrity attribute of Trunk's wasm preload: harmless, always there.
const KNOWN_REMARK: &str =
    "The `integrity` attribute is currently ignored for preload destinations";

/// One Chromium with its own profile, on one served folder.
pub struct Browser {
    name: String,
    folder: PathBuf,
    kind: FileServer,
    files: Option<Server>,
    port: u16,
    driver: Server,
    client: Client,
    profile: TempDir,
    downloads: TempDir,
    console: Vec<String>,
    requests: Vec<String>,
}

impl Browser {
    pub async fn open(folder: &Path, kind: FileServer, name: &str) -> Self {
        let files = Server::files(kind, folder, 0);
        let driver = Server::chromedriver();
        let [profile, downloads] = [(); 2].map(|()| TempDir::new().expect("a temporary folder"));
        let client = driver::open(&driver.address(), profile.path(), downloads.path()).await;
        let (name, folder, port) = (name.into(), folder.into(), files.port());
        let (console, requests) = (Vec::new(), Vec::new());
        Self {
            name,
            folder,
            kind,
            files: Some(files),
            port,
            driver,
            client,
            profile,
            downloads,
            console,
            requests,
        }
    }

    /// The WebDriver client itself, for what has no helper here (tabs, alerts, printing).
    pub fn client(&self) -> &Client {
        &self.client
    }

    /// Where the app is served from, without a slash at the end.
    pub fn origin(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    // --- going and looking ---------------------------------------------------------------------

    /// Opens a path of the app, such as `/`.
    pub async fn goto(&self, path: &str) {
        let address = self.origin() + path;
        self.client
            .goto(&address)
            .await
            .unwrap_or_else(|e| panic!("{address} does not open: {e}"));
    }

    /// The first element that matches, once there is one.
    pub async fn wait_for(&self, css: &str) -> Element {
        self.until(&format!("`{css}` is on the page"), async || {
            self.client
                .find(Locator::Css(css))
                .await
                .map_err(|e| e.to_string())
        })
        .await
    }

    /// Waits until no element matches.
    pub async fn wait_gone(&self, css: &str) {
        self.until(&format!("`{css}` is gone"), async || {
            match self.count(css).await {
                0 => Ok(()),
                n => Err(format!("{n} still there")),
            }
        })
        .await
    }

    /// Waits until the element's text contains `part`.
    pub async fn wait_for_text(&self, css: &str, part: &str) {
        self.until(&format!("`{css}` says {part:?}"), async || {
            let text = self.try_text(css).await.map_err(|e| e.to_string())?;
            if text.contains(part) {
                Ok(())
            } else {
                Err(format!("it says {text:?}"))
            }
        })
        .await
    }

    /// The visible text of the first element that matches.
    pub async fn text(&self, css: &str) -> String {
        self.until(&format!("`{css}` has text"), async || {
            self.try_text(css).await.map_err(|e| e.to_string())
        })
        .await
    }

    async fn try_text(&self, css: &str) -> Result<String, CmdError> {
        self.client.find(Locator::Css(css)).await?.text().await
    }

    /// How many elements match now.
    pub async fn count(&self, css: &str) -> usize {
        self.client
            .find_all(Locator::Css(css))
            .await
            .expect("a CSS selector")
            .len()
    }

    /// Runs the body of a function in the page; a promise it returns is awaited.
    pub async fn js(&self, body: &str, args: Vec<Value>) -> Value {
        let result = self.client.execute(body, args).await;
        result.unwrap_or_else(|error| panic!("script failed: {error}\n{body}"))
    }

    // --- doing ---------------------------------------------------------------------------------

    pub async fn click(&self, css: &str) {
        self.until(&format!("`{css}` can be clicked"), async || {
            let element = self
                .client
                .find(Locator::Css(css))
                .await
                .map_err(|e| e.to_string())?;
            element.click().await.map_err(|e| e.to_string())
        })
        .await
    }

    /// Puts `text` into a field in place of what it held.
    pub async fn type_into(&self, css: &str, text: &str) {
        let field = self.wait_for(css).await;
        field
            .clear()
            .await
            .unwrap_or_else(|e| panic!("`{css}` cannot be cleared: {e}"));
        field
            .send_keys(text)
            .await
            .unwrap_or_else(|e| panic!("`{css}` takes no typing: {e}"));
    }

    /// Gives a file to an `<input type=file>`.
    pub async fn upload(&self, css: &str, file: &Path) {
        let path = file
            .canonicalize()
            .unwrap_or_else(|e| panic!("{}: {e}", file.display()));
        let field = self.wait_for(css).await;
        field
            .send_keys(path.to_str().expect("a UTF-8 path"))
            .await
            .expect("a file field");
    }

    /// Gives files to an `<input type=file multiple>`.
    pub async fn upload_all(&self, css: &str, files: &[&Path]) {
        let paths = files
            .iter()
            .map(|file| file.to_str().expect("a UTF-8 path"));
        let paths: Vec<&str> = paths.collect();
        let field = self.wait_for(css).await;
        field
            .send_keys(&paths.join("\n"))
            .await
            .expect("a file field");
    }

    /// Keys pressed on the page wherever its focus is, parted by spaces: `"ArrowDown Shift+F2 x"`.
    pub async fn press(&self, keys: &str) {
        self.strike(keys.split_whitespace().map(chord)).await;
    }

    /// Text typed on the page as a scanner does: very fast, into nothing in particular.
    pub async fn scan(&self, text: &str) {
        self.strike(
            text.chars()
                .map(|c| vec![c])
                .chain([vec![Key::Enter.into()]]),
        )
        .await;
    }

    async fn strike(&self, chords: impl Iterator<Item = Vec<char>>) {
        let typing = self.client.perform_actions(strokes(chords));
        typing.await.expect("keys can be pressed");
    }

    pub async fn set_size(&self, width: u32, height: u32) {
        self.client
            .set_window_size(width, height)
            .await
            .expect("the window can be resized");
    }

    // --- what it leaves behind -----------------------------------------------------------------

    /// The downloaded file of that name, once it is complete.
    pub async fn downloaded(&self, name: &str) -> PathBuf {
        let path = self.downloads.path().join(name);
        self.until(&format!("{name} is downloaded"), async || {
            let list = fs::read_dir(self.downloads.path()).map_err(|e| e.to_string())?;
            let names: Vec<_> = list.flatten().map(|entry| entry.file_name()).collect();
            // Chromium writes NAME.crdownload first and renames it when it is whole.
            if path.exists() {
                Ok(path.clone())
            } else {
                Err(format!("there is {names:?}"))
            }
        })
        .await
    }

    /// Saves a picture of the window as `target/journey/JOURNEY-NAME.png`.
    pub async fn screenshot(&self, name: &str) -> PathBuf {
        let picture = self
            .client
            .screenshot()
            .await
            .expect("the window can be pictured");
        self.save(&format!("{name}.png"), &picture)
    }

    fn save(&self, name: &str, content: &[u8]) -> PathBuf {
        // Cargo gives target/tmp; the folder beside it is ours.
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).with_file_name("journey");
        let path = folder.join(format!("{}-{name}", self.name));
        fs::create_dir_all(&folder)
            .and_then(|()| fs::write(&path, content))
            .expect("target/ is writable");
        path
    }

    /// Every console line so far but the one known remark.
    pub async fn console(&mut self) -> &[String] {
        let lines = driver::console(&self.client)
            .await
            .expect("chromedriver keeps the console");
        self.console.extend(
            lines
                .into_iter()
                .filter(|line| !line.contains(KNOWN_REMARK)),
        );
        &self.console
    }

    /// Errors and warnings on the console fail the journey: a blocked style is one line there.
    pub async fn expect_clean_console(&mut self) {
        let severe = |line: &&String| line.starts_with("SEVERE") || line.starts_with("WARNING");
        let complaints: Vec<_> = self.console().await.iter().filter(severe).collect();
        assert!(
            complaints.is_empty(),
            "the page complained:\n{complaints:#?}"
        );
    }

    /// Every address that pages have asked for so far.
    pub async fn requests(&mut self) -> &[String] {
        let asked = driver::requests(&self.client).await;
        self.requests
            .extend(asked.expect("chromedriver keeps the requests"));
        &self.requests
    }

    /// Whatever a page asks for, it asks of the server that it came from.
    pub async fn expect_own_requests_only(&mut self) {
        let origin = self.origin() + "/";
        // Text within the page, and what Chromium's own first tab is made of.
        let inner = |url: &&String| {
            let mut kinds = ["data:", "blob:", "chrome:", "chrome-untrusted:"].iter();
            kinds.any(|kind| url.starts_with(kind))
        };
        let requests = self.requests().await;
        let (own, other): (Vec<_>, Vec<_>) = requests
            .iter()
            .filter(|url| !inner(url))
            .partition(|url| url.starts_with(&origin));
        assert!(!own.is_empty(), "no request was noted, not even the page's");
        assert!(other.is_empty(), "requests left the origin: {other:#?}");
    }

    /// Forgets the console so far: for a journey that provokes an error on purpose.
    pub async fn forget_console(&mut self) {
        self.console().await;
        self.console.clear();
    }

    /// Picture, address and console of a failed journey.
    pub async fn leave_evidence(&mut self) {
        let place = self
            .client
            .current_url()
            .await
            .map_or_else(|e| e.to_string(), |u| u.to_string());
        let picture = match self.client.screenshot().await {
            Ok(picture) => self.save("failed.png", &picture).display().to_string(),
            Err(error) => format!("none ({error})"),
        };
        let console = driver::console(&self.client)
            .await
            .unwrap_or_else(|e| vec![e.to_string()]);
        self.console.extend(console);
        eprintln!(
            "{} failed at {place}\npicture: {picture}\nconsole: {:#?}",
            self.name, self.console
        );
    }

    // --- accessibility and media ---------------------------------------------------------------

    /// A Chrome DevTools Protocol command, e.g. `Emulation.setEmulatedMedia`.
    pub async fn devtools(&self, command: &str, params: Value) -> Value {
        let answer = driver::devtools(&self.client, command, params).await;
        answer.unwrap_or_else(|error| panic!("{command} failed: {error}"))
    }

    /// What axe-core finds wrong with the page as it stands, one line for each rule broken.
    pub async fn axe(&self) -> Vec<String> {
        let path = std::env::var("CULLBOOK_AXE").expect("CULLBOOK_AXE is set: run `make journey`");
        let axe = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"));
        self.evaluate(&axe).await;
        let found = self.evaluate(
            "axe.run(document, { resultTypes: ['violations'] }).then(r => r.violations.map(v => \
             `${v.id} (${v.impact}): ${v.help}: ${v.nodes.map(n => n.target.join(' ')).join(', ')}`))",
        );
        serde_json::from_value(found.await).expect("axe gives a list of lines")
    }

    /// Evaluates past the page's own policy, which rightly refuses to load a script from elsewhere.
    async fn evaluate(&self, expression: &str) -> Value {
        let params =
            json!({ "expression": expression, "awaitPromise": true, "returnByValue": true });
        let mut answer = self.devtools("Runtime.evaluate", params).await;
        assert!(
            answer["exceptionDetails"].is_null(),
            "{}",
            answer["exceptionDetails"]
        );
        answer["result"]["value"].take()
    }

    pub async fn close(self) {
        if self.client.clone().close().await.is_err() {
            driver::kill_chromium(self.profile.path());
        }
    }

    /// Tries again until it works or [`PATIENCE`] is over; then says what was waited for and seen.
    async fn until<T>(&self, what: &str, attempt: impl AsyncFn() -> Result<T, String>) -> T {
        let end = Instant::now() + PATIENCE;
        loop {
            match attempt().await {
                Ok(value) => return value,
                Err(why) if Instant::now() > end => {
                    panic!("waited {PATIENCE:?} until {what}: {why}")
                }
                Err(_) => tokio::time::sleep(Duration::from_millis(30)).await,
            }
        }
    }
}
