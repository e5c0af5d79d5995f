//! A production day of 100,000 signed entries: how long until its record is shown, and how long the
//! page is held up meanwhile.

use std::time::Duration;

use serde_json::json;

use crate::harness::Browser;
use crate::long;
use crate::long_book::long_day;
use crate::office::go;
use crate::several::{CHOOSE, WATCH};

const ENTRIES: u32 = 100_000;
const DAY: &str = "2026-11-25";

/// What the design asks for is 1 s; above it, so that a machine with other work passes too.
const SHOWN_MS: f64 = 5.0 * 1_000.0;
const BLOCKED_MS: f64 = 5.0 * 200.0;

/// Chooses the first of the days, which is today.
const TODAY: &str = "const pick = document.querySelector('[data-pick=day]');
pick.value = pick.options[0].value; pick.dispatchEvent(new Event('change', {bubbles: true}))";

pub async fn of_100_000_entries(browser: &Browser) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("day.jsonl");
    let mut file = String::new();
    long_day(ENTRIES, 20, |text| {
        file.push_str(text);
        file.push('\n');
    });
    std::fs::write(&path, file).expect("the book is written");
    long::come_to(browser, &path, &["sue"]).await;
    go(browser, "Day").await;
    browser.wait_for("[data-pick=day]").await;
    browser.js(WATCH, vec![]).await;
    let examined = "[data-figure=examined] dd";
    // First while the signatures are still checked behind the screen, then with nothing else to do.
    for meanwhile in ["beside the check of signatures", "alone"] {
        let told = browser.js(CHOOSE, vec![json!(DAY), json!(examined)]).await;
        let [took, longest, told]: [f64; 3] = serde_json::from_value(told).expect("three figures");
        println!(
            "{ENTRIES} entries, {meanwhile}: their day in {took:.0} ms, told {told} times, page held up for {longest:.0} ms at most"
        );
        let shown = browser.text(examined).await;
        let digits = shown.replace(|c: char| !c.is_ascii_digit(), "");
        assert_eq!(digits, ENTRIES.to_string());
        assert!(took < SHOWN_MS, "{took} ms");
        assert!(longest < BLOCKED_MS, "held up for {longest} ms");
        browser.screenshot("long-day").await;
        while browser.text(".bar").await.contains("Checking") {
            tokio::time::sleep(Duration::from_millis(200)).await;
        }
        browser.js(TODAY, vec![]).await;
        while browser.text(examined).await != "0" {
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
    }
}
