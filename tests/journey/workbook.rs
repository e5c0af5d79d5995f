//! A workbook of 100,000 rows: the page tells how far it is and stays alive, it can be stopped,
//! and made whole.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde_json::json;

use crate::harness::Browser;
use crate::long;
use crate::office::go;
use crate::record::made_again;
use crate::works::*;

/// Sheets with one spoiled note each: a row of the sheets and one of the spoils.
const SHEETS: u32 = 50_000;

/// Far more than it should take.
const PATIENCE: Duration = Duration::from_secs(300);

/// Watches every task that holds the page up (Long Tasks API, 50 ms and more).
const WATCH: &str = "window.held = []; new PerformanceObserver(list => list.getEntries()
  .forEach(task => held.push(task.duration))).observe({type: 'longtask'})";

fn book(folder: &Path) -> PathBuf {
    let mut works = Works::staffed();
    works.must("sue", lot("L1", SHEETS, Some(numbered("KA", SHEETS, 0))));
    for from in (1..=SHEETS).step_by(10_000) {
        works.must("ida", examined("L1", from, from + 9_999, &["A1 PH"]));
    }
    let path = folder.join("rows.jsonl");
    std::fs::write(&path, works.book.to_jsonl()).expect("the book is written");
    path
}

/// What the page says of the workbook, every time it says something else, until `done`.
async fn told(browser: &Browser, done: impl Fn(&str) -> bool) -> Vec<String> {
    let started = Instant::now();
    let mut told: Vec<String> = Vec::new();
    loop {
        let script = "return document.querySelector('[data-making=xlsx]')?.innerText ?? ''";
        let said = browser.js(script, vec![]).await;
        let said = said.as_str().expect("a text").replace('\n', " ");
        if told.last() != Some(&said) {
            told.push(said.clone());
        }
        if done(&said) {
            return told;
        }
        assert!(started.elapsed() < PATIENCE, "{told:?}");
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}

/// The rows made so far, of "Workbook: 11 052 of 125 116 rows Stop".
fn rows(said: &str) -> u64 {
    let made = said.split(" of ").next().unwrap_or_default();
    let figures: String = made.chars().filter(char::is_ascii_digit).collect();
    figures.parse().unwrap_or(0)
}

pub async fn of_100_000_rows(browser: &Browser) {
    let folder = tempfile::tempdir().expect("a folder");
    let book = book(folder.path());
    long::come_to(browser, &book, &["sue"]).await;
    go(browser, "Day").await;
    browser.wait_for("[data-action=save-xlsx]").await;
    let script = "const pick = document.querySelector('[data-pick=day]');
      pick.value = '2026-11-25'; pick.dispatchEvent(new Event('change', {bubbles: true}))";
    browser.js(script, vec![]).await;
    browser.wait_for("[data-row=L1]").await;
    browser.js(WATCH, vec![]).await;

    browser.click("[data-action=save-xlsx]").await;
    let half = told(browser, |said| rows(said) >= 10_000).await;
    browser.click("[data-action=stop-xlsx]").await;
    browser.wait_for("[data-action=save-xlsx]").await;
    println!("stopped at: {}", half.last().expect("something was told"));

    let started = Instant::now();
    browser.click("[data-action=save-xlsx]").await;
    let words = told(browser, str::is_empty).await;
    println!(
        "made in {:.1} s, told {} times",
        started.elapsed().as_secs_f64(),
        words.len()
    );
    assert!(words.len() > 5, "{words:?}");
    assert!(
        words.iter().any(|said| said.contains("packing")),
        "{words:?}"
    );
    let held = browser.js("return Math.max(0, ...held)", vec![]).await;
    println!("the page was held up for {held} ms at most");
    assert_ne!(held, json!(null));
    let workbook = browser.downloaded("B1_2026-11-25_day.xlsx").await;
    made_again(&book, &workbook);
}
