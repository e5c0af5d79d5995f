//! The evening: the day is closed, the record saved, and recomputed by an independent script.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::bench::entries;
use crate::harness::Browser;
use crate::office::{go, take_the_desk};

/// Saves the day's workbook and tables and then the book, in this order: the first two carry heads
/// that the book had, and the book saved afterwards contains them.
pub async fn close_and_export(browser: &Browser) -> (PathBuf, PathBuf, PathBuf) {
    go(browser, "Day").await;
    browser.click("[data-action=close-day]").await;
    browser.click("[data-action=confirm]").await;
    browser.wait_for("[data-day-closed]").await;
    browser.screenshot("day").await;
    let day = browser
        .js(
            "return document.querySelector('[data-pick=day]').value",
            vec![],
        )
        .await;
    let stem = format!("B3_{}", day.as_str().expect("a day"));
    browser.click("[data-action=save-xlsx]").await;
    let workbook = browser.downloaded(&format!("{stem}_day.xlsx")).await;
    browser.wait_for("[data-action=save-xlsx]").await;
    browser.click("[data-action=save-day]").await;
    let tables = browser.downloaded(&format!("{stem}_day.zip")).await;
    let before = entries(browser).await;
    let head = head(browser).await;
    browser.click("[data-action=save-book]").await;
    let book = browser
        .downloaded(&format!("{stem}_book_{}.jsonl", &head[..8]))
        .await;
    browser
        .wait_for(&format!("[data-recorded='{}']", before + 1))
        .await;
    (book, tables, workbook)
}

/// The head that the Day screen shows.
pub async fn head(browser: &Browser) -> String {
    let shown = browser.wait_for("[data-head]").await;
    shown
        .attr("data-head")
        .await
        .expect("readable")
        .expect("a head")
}

/// Every figure of the tables, from the lines of the book alone.
pub fn recomputed(book: &Path, day: &Path) {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/day_record.py");
    let output = Command::new("python3")
        .arg(script)
        .args([book, day])
        .output();
    let output = output.expect("python3 runs");
    let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    println!("{}", said.trim());
}

/// The workbook that the browser's worker made is the one that the auditor makes from the book.
pub fn made_again(book: &Path, workbook: &Path) {
    let mut audit = Command::new(env!("CARGO_BIN_EXE_cullbook-audit"));
    let output = audit.arg("export").args([book, workbook]).output();
    let output = output.expect("the auditor runs");
    let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    println!("{}", said.trim());
}

/// Everything is found as it was after the browser was closed and opened again.
pub async fn reopen(browser: &mut Browser) {
    let before = entries(browser).await;
    let head = browser
        .wait_for("[data-head]")
        .await
        .attr("data-head")
        .await
        .expect("readable");
    browser.restart().await;
    browser.goto("/").await;
    take_the_desk(browser, "maud").await;
    go(browser, "Day").await;
    assert_eq!(entries(browser).await, before);
    let again = browser
        .wait_for("[data-head]")
        .await
        .attr("data-head")
        .await
        .expect("readable");
    assert_eq!(again, head);
}
