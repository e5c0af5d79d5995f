//! Two other benches' books are brought in to a supervisor's browser: one twice, one altered. The
//! day together is the sum of the three, and the auditor makes its file again from the books.

use std::path::{Path, PathBuf};
use std::process::Command;

use cullbook::book::BookOpened;
use serde_json::json;
use uuid::Uuid;

use crate::harness::Browser;
use crate::long;
use crate::office::go;
use crate::works::*;

/// The production day of the books' clock.
const DAY: &str = "2026-11-25";

/// A bench with lot `L1` of 300 sheets, of which it has examined some, one mixed and one spoiled.
fn bench(name: &str, book: u128, from: u32, to: u32) -> Works {
    let opening = BookOpened {
        book: Uuid::from_u128(book),
        ..opening()
    };
    let mut works = Works::of_bench(name, opening);
    works.staff();
    works.must("sue", lot("L1", 300, Some(numbered("KA", 300, 0))));
    works.must("ida", examined("L1", from, from, &["A1 PH", "A2 PH"]));
    works.must("ida", examined("L1", from + 1, from + 1, &["- PT"]));
    works.must("ida", examined("L1", from + 2, to, &[]));
    works
}

fn saved(folder: &Path, name: &str, works: &Works) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, works.book.to_jsonl()).expect("the book is written");
    path
}

/// Every figure of one line of the table of benches.
async fn figures(browser: &Browser, bench: &str) -> [u64; 5] {
    let script = "return ['sheets', 'good', 'mixed', 'spoiled', 'notes-spoiled'].map(figure =>
      Number(document.querySelector(`[data-bench='${arguments[0]}'] [data-figure='${figure}']`)
        .textContent.replace(/[^0-9]/g, '')))";
    let shown = browser.js(script, vec![json!(bench)]).await;
    serde_json::from_value(shown).expect("five figures")
}

async fn choose_day(browser: &Browser) {
    let script = "const pick = document.querySelector('[data-pick=day]');
      pick.value = arguments[0]; pick.dispatchEvent(new Event('change', {bubbles: true}));
      return pick.value";
    let chosen = browser.js(script, vec![json!(DAY)]).await;
    assert_eq!(chosen, json!(DAY));
}

pub async fn laid_together(browser: &Browser) {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let (own, two, three) = (
        bench("B1", 1, 1, 100),
        bench("B2", 2, 101, 200),
        // Its first ten sheets were ruled by bench B2 too.
        bench("B3", 3, 191, 300),
    );
    let names = ["B1.jsonl", "B2.jsonl", "B3.jsonl"];
    let books = [&own, &two, &three];
    let [own, two, three] = [0, 1, 2].map(|at| saved(folder, names[at], books[at]));
    let altered = folder.join("altered.jsonl");
    let text = books[1]
        .book
        .to_jsonl()
        .replacen("\"to\":200", "\"to\":201", 1);
    std::fs::write(&altered, text).expect("the book is written");

    long::come_to(browser, &own, &["sue"]).await;
    go(browser, "Day").await;
    browser.wait_for("#bring-guests").await;
    choose_day(browser).await;
    let files = [&two, &three, &two, &altered].map(PathBuf::as_path);
    browser.upload_all("#bring-guests", &files).await;
    browser.wait_for("[data-not-brought='1']").await;
    browser.wait_for("[data-bench=B3]").await;
    let said = browser.text("[data-not-brought]").await;
    let line = books[1].book.len() - 1;
    assert!(
        said.contains("altered.jsonl") && said.contains(&format!("Line {line} ")),
        "{said}"
    );

    let parts = [
        figures(browser, "B1").await,
        figures(browser, "B2").await,
        figures(browser, "B3").await,
    ];
    assert_eq!(parts[0], [100, 98, 1, 1, 2 + 6]);
    let sum = [0, 1, 2, 3, 4].map(|at| parts.iter().map(|part| part[at]).sum::<u64>());
    assert_eq!(figures(browser, "all").await, sum);
    // Sheets 191 to 200, as two ranges: the first two are mixed and spoiled at B3.
    assert!(browser.count("[data-conflict]").await >= 1);
    let conflict = browser.text("[data-conflict='1']").await;
    assert!(
        conflict.contains("ruled twice")
            && conflict.contains("bench B2")
            && conflict.contains("bench B3"),
        "{conflict}"
    );
    browser.screenshot("several").await;

    browser.click("[data-action=save-several]").await;
    let zip = browser
        .downloaded(&format!("several-benches_{DAY}.zip"))
        .await;
    audited(&[&own, &two, &three], &zip);
    browser
        .click("[data-bench=B2] [data-action=take-out]")
        .await;
    browser.wait_gone("[data-bench=B2]").await;
    let left = [0, 1, 2, 3, 4].map(|at| parts[0][at] + parts[2][at]);
    assert_eq!(figures(browser, "all").await, left);
}

/// The file is what the auditor makes from the books.
fn audited(books: &[&PathBuf], zip: &Path) {
    let mut audit = Command::new(env!("CARGO_BIN_EXE_cullbook-audit"));
    let output = audit.arg("export").args(books).arg(zip).output();
    let output = output.expect("the auditor runs");
    let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    println!("{}", said.trim());
}
