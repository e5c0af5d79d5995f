//! Closed days leave the browser for an archive, and the book goes on behind its checkpoint.

use std::path::{Path, PathBuf};
use std::process::Command;

use cullbook::book::{Book, DayClosed, Entry, LotClosed};

use crate::bench::entries;
use crate::cage::sign_one_after_the_other;
use crate::harness::Browser;
use crate::long::come_to;
use crate::office::{go, pick, tab, take_the_desk};
use crate::record::head;
use crate::works::{Works, examined, id};

/// A book in which every sheet is good and lot and day are closed.
fn settled() -> Book {
    let mut works = Works::with_lot();
    works.must("ida", examined("L1", 1, 12, &[]));
    works.must("sue", Entry::LotClosed(LotClosed { lot: id("L1") }));
    let day = id("2026-11-25");
    works.must("sue", Entry::DayClosed(DayClosed { day }));
    works.book
}

/// The production day of the browser's clock, in a works whose days end at six.
async fn today(browser: &Browser) -> String {
    let script = "return new Date(Date.now() - 6 * 3600e3).toLocaleDateString('sv')";
    let day = browser.js(script, vec![]).await;
    day.as_str().expect("a day").to_owned()
}

async fn at_step(browser: &Browser, step: &str) {
    browser
        .wait_for(&format!(".archive-steps[data-step={step}]"))
        .await;
}

/// Saved, shown to be kept, signed by two, removed. Gives back the archive and its entries.
pub async fn closed_days_leave(browser: &Browser) -> (PathBuf, u64) {
    let folder = tempfile::tempdir().expect("a folder");
    let (book, file) = (settled(), folder.path().join("settled.jsonl"));
    std::fs::write(&file, book.to_jsonl()).expect("the book is written");
    come_to(browser, &file, &["sue", "cal"]).await;
    go(browser, "Book").await;
    tab(browser, "archive").await;
    at_step(browser, "show").await;
    browser.click("[data-action=save-archive]").await;
    let (day, short) = (today(browser).await, &book.head().to_string()[..8]);
    let name = format!("B1_{day}_archive_{short}.jsonl");
    let archive = browser.downloaded(&name).await;
    assert_eq!(std::fs::read_to_string(&archive).unwrap(), book.to_jsonl());
    what_is_not_the_archive(browser, folder.path(), &book).await;
    assert_eq!(browser.axe().await, Vec::<String>::new());
    browser.screenshot("archive").await;
    browser.upload("#archive-file", &archive).await;
    at_step(browser, "sign").await;
    browser.type_into("#archive-second", "cal").await;
    browser.click("[data-action=checkpoint]").await;
    sign_one_after_the_other(browser, 1).await;
    at_step(browser, "remove").await;
    assert_eq!(entries(browser).await, book.len() + 1);
    browser.screenshot("archive-signed").await;
    browser.click("[data-action=drop-archived]").await;
    browser.click("[data-action=confirm]").await;
    at_step(browser, "settle").await;
    let here = format!("1 entry is here, number {}", book.len());
    browser.wait_for_text(".book-archive", &here).await;
    browser.screenshot("archive-removed").await;
    (archive, book.len())
}

/// An older copy is named for what it is, and nothing goes on with it.
async fn what_is_not_the_archive(browser: &Browser, folder: &Path, book: &Book) {
    let text = book.to_jsonl();
    let last = text.trim_end().rfind('\n').expect("lines") + 1;
    let older = folder.join("older.jsonl");
    std::fs::write(&older, &text[..last]).expect("it is written");
    browser.upload("#archive-file", &older).await;
    let says = format!("This file is the book up to entry {}", book.len() - 2);
    browser.wait_for_text(".summary", &says).await;
    at_step(browser, "show").await;
}

/// After a reload the book goes on with true numbers, and is one chain with its archive.
pub async fn the_book_goes_on(browser: &Browser, archive: &Path, archived: u64) {
    browser.goto("/").await;
    take_the_desk(browser, "sue").await;
    assert_eq!(entries(browser).await, archived + 1);
    go(browser, "Book").await;
    tab(browser, "heads").await;
    browser.type_into("#head-told-to", "Wes of the works").await;
    browser.click("[data-action=tell-head]").await;
    browser
        .wait_for(&format!("[data-recorded='{}']", archived + 2))
        .await;
    tab(browser, "log").await;
    browser.wait_for("[data-found='2'][data-done=true]").await;
    let focus = "document.querySelector('[data-log]').focus()";
    browser.js(focus, vec![]).await;
    browser.press("Home Enter").await;
    let newest = format!("Entry {}:", archived + 1);
    browser.wait_for_text(".dialog h2", &newest).await;
    browser.press("Escape").await;
    browser.wait_gone(".dialog").await;
    go(browser, "Day").await;
    let day = today(browser).await;
    // The totals of a day in the archive can still be read, and the way back is open.
    pick(browser, "day-pick", "2026-11-25").await;
    browser.wait_for("[data-archived]").await;
    browser.wait_for_text("h1", "Day record 2026-11-25").await;
    pick(browser, "day-pick", &day).await;
    browser.wait_gone("[data-archived]").await;
    browser
        .wait_for_text("h1", &format!("Day record {day}"))
        .await;
    let short = head(browser).await;
    browser.click("[data-action=save-book]").await;
    let name = format!("B1_{day}_book_{}.jsonl", &short[..8]);
    let rest = browser.downloaded(&name).await;
    one_chain(archive, &rest, archived + 2);
}

/// The archive and the book behind it, one after the other, verify as one book; so does the rest
/// alone.
fn one_chain(archive: &Path, rest: &Path, entries: u64) {
    let read = |path| std::fs::read(path).expect("a saved file");
    let joined = [read(archive), read(rest)].concat();
    let book = Book::read_file(&joined).expect("one chain");
    assert_eq!((book.first_seq(), book.len()), (0, entries));
    let folder = tempfile::tempdir().expect("a folder");
    let whole = folder.path().join("joined.jsonl");
    std::fs::write(&whole, joined).expect("it is written");
    for file in [whole.as_path(), rest] {
        let mut audit = Command::new(env!("CARGO_BIN_EXE_cullbook-audit"));
        let output = audit.arg("verify").arg(file).output();
        let output = output.expect("the auditor runs");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{}: {said}", file.display());
    }
}
