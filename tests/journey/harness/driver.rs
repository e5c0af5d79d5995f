//! The WebDriver session: how Chromium is started, and the two commands that are Chromium's own.

use std::path::Path;
use std::process::Command;

use fantoccini::error::CmdError;
use fantoccini::wd::{Capabilities, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use url::{ParseError, Url};

/// The same switches as the tests that run inside the browser.
const SETTINGS: &str = include_str!("../../browser/webdriver.json");

/// Opens Chromium on `profile`, with every download going to `downloads` unasked.
pub async fn open(driver: &str, profile: &Path, downloads: &Path) -> Client {
    ClientBuilder::new(HttpConnector::new())
        .capabilities(capabilities(profile, downloads))
        .connect(driver)
        .await
        .unwrap_or_else(|error| panic!("Chromium does not start: {error}"))
}

fn capabilities(profile: &Path, downloads: &Path) -> Capabilities {
    let mut settings: Capabilities =
        serde_json::from_str(SETTINGS).expect("webdriver.json is JSON");
    let options = &mut settings["goog:chromeOptions"];
    options["prefs"] = json!({
        "download.default_directory": downloads,
        "download.prompt_for_download": false,
    });
    options["args"]
        .as_array_mut()
        .expect("webdriver.json lists the arguments")
        .extend([
            json!(format!("--user-data-dir={}", profile.display())),
            // No name leads anywhere: what asks for another machine fails, and is seen to.
            json!("--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1"),
        ]);
    settings.insert("browserName".into(), json!("chrome"));
    let logs = json!({ "browser": "ALL", "performance": "ALL" });
    settings.insert("goog:loggingPrefs".into(), logs);
    settings
}

/// A POST below the session, for what the standard does not have.
#[derive(Debug)]
struct Post {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for Post {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        base.join(&format!(
            "session/{}/{}",
            session.unwrap_or_default(),
            self.path
        ))
    }

    fn method_and_body(&self, _: &Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}

/// A Chrome DevTools Protocol command, e.g. `Emulation.setEmulatedMedia`.
pub async fn devtools(client: &Client, command: &str, params: Value) -> Result<Value, CmdError> {
    let body = json!({ "cmd": command, "params": params });
    client
        .issue_cmd(Post {
            path: "goog/cdp/execute",
            body,
        })
        .await
}

/// Console lines since the last call, as `LEVEL message`.
pub async fn console(client: &Client) -> Result<Vec<String>, CmdError> {
    let line = |entry: Value| {
        let part = |name: &str| entry[name].as_str().unwrap_or_default().to_owned();
        format!("{} {}", part("level"), part("message"))
    };
    Ok(log(client, "browser")
        .await?
        .into_iter()
        .map(line)
        .collect())
}

/// Addresses asked for since the last call: DevTools Protocol, `Network.requestWillBeSent` and
/// `Network.webSocketCreated`.
pub async fn requests(client: &Client) -> Result<Vec<String>, CmdError> {
    let events = log(client, "performance").await?.into_iter();
    let asked = |entry: Value| {
        let event: Value = serde_json::from_str(entry["message"].as_str()?).ok()?;
        let event = &event["message"];
        let url = match event["method"].as_str()? {
            "Network.requestWillBeSent" => &event["params"]["request"]["url"],
            "Network.webSocketCreated" => &event["params"]["url"],
            _ => return None,
        };
        url.as_str().map(str::to_owned)
    };
    Ok(events.filter_map(asked).collect())
}

async fn log(client: &Client, kind: &str) -> Result<Vec<Value>, CmdError> {
    let body = json!({ "type": kind });
    let path = "se/log";
    let mut log = client.issue_cmd(Post { path, body }).await?;
    Ok(log.as_array_mut().map(std::mem::take).unwrap_or_default())
}

/// Ends the Chromium that runs on `profile` as a power cut would: no closing, no flushing.
pub fn kill_chromium(profile: &Path) {
    let lock = std::fs::read_link(profile.join("SingletonLock"))
        .expect("a running Chromium locks its profile with a link named host-pid");
    let (_, pid) = lock
        .to_str()
        .and_then(|name| name.rsplit_once('-'))
        .expect("host-pid");
    let killed = Command::new("kill").args(["-9", pid]).status();
    assert!(
        killed.is_ok_and(|status| status.success()),
        "Chromium {pid} was not there to kill"
    );
}
