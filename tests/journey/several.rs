//! Two other benches' books are brought in to a supervisor's browser: one twice, one altered. The
//! day together is the sum of the three, and the auditor makes its file again from the books.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use cullbook::book::BookOpened;
use serde_json::json;
use uuid::Uuid;

use crate::harness::Browser;
use crate::long;
use crate::long_book::long_book_of;
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

/// Other benches, and lines of the book of each.
const BENCHES: u32 = 32;
const LINES: u64 = 10_000;

/// The production day with the most lines of [`long_book_of`].
const BUSY_DAY: &str = "2026-11-18";

/// The sheets of all benches together.
const TOGETHER: &str = "[data-bench=all] [data-figure=sheets]";

/// How long reading the books may take: far more than it should.
const PATIENCE: Duration = Duration::from_secs(900);

/// No task should hold the page up for longer; above it, so that a machine with other work passes.
const BLOCKED_MS: f64 = 5.0 * 200.0;

/// Notes every task that holds the page up (Long Tasks API, 50 ms and more).
pub const WATCH: &str = "window.held = []; new PerformanceObserver(list =>
  list.getEntries().forEach(task => held.push(task.duration))).observe({type: 'longtask'})";

/// Chooses a day and waits until an element has a figure and nothing is worked out: how long that took, how long
/// the page was held up at most, and how often it said how far it is.
pub const CHOOSE: &str =
    "held.length = 0; let told = 0, last = null; const start = performance.now();
const look = new MutationObserver(() => {
  const said = document.querySelector('.day [data-making]')?.textContent ?? null;
  if (said !== null && said !== last) told++;
  last = said; });
look.observe(document, {childList: true, subtree: true, characterData: true});
const pick = document.querySelector('[data-pick=day]');
pick.value = arguments[0]; pick.dispatchEvent(new Event('change', {bubbles: true}));
const shown = () => document.querySelector('.day [data-making]') === null &&
  /[1-9]/.test(document.querySelector(arguments[1])?.textContent ?? '');
return new Promise(done => { const turn = () => {
  if (!shown()) return requestAnimationFrame(turn);
  const took = performance.now() - start;
  look.disconnect();
  setTimeout(() => done([took, Math.max(0, ...held), told]), 500); };
  requestAnimationFrame(turn); })";

/// Presses a button: how long the page is held up at most by it.
const CLICK: &str = "held.length = 0; document.querySelector(arguments[0]).click();
return new Promise(done => setTimeout(() => done(Math.max(0, ...held)), 1500))";

fn long_books(folder: &Path) -> Vec<PathBuf> {
    let file = |bench: u32| {
        let mut text = String::new();
        long_book_of(&format!("B{bench:02}"), bench, LINES, |line| {
            text.push_str(line);
            text.push('\n');
        });
        let path = folder.join(format!("B{bench:02}.jsonl"));
        std::fs::write(&path, text).expect("the book is written");
        path
    };
    let numbers: Vec<u32> = (0..BENCHES).collect();
    std::thread::scope(|scope| {
        let halves = numbers.chunks(numbers.len().div_ceil(2));
        let write = |half: &[u32]| half.iter().map(|bench| file(*bench)).collect::<Vec<_>>();
        let halves: Vec<_> = halves
            .map(|half| scope.spawn(move || write(half)))
            .collect();
        let halves = halves.into_iter();
        halves
            .flat_map(|half| half.join().expect("books"))
            .collect()
    })
}

/// The books of 32 benches of 10,000 lines each: how long until their day is shown, and how long
/// the page is held up meanwhile.
pub async fn of_many_benches(browser: &Browser) {
    let folder = tempfile::tempdir().expect("a folder");
    let opening = BookOpened {
        book: Uuid::from_u128(1_000),
        ..opening()
    };
    let mut own = Works::of_bench("OWN", opening);
    own.staff();
    own.must("sue", lot("L1", 300, Some(numbered("AA", 300, 0))));
    own.must("ida", examined("L1", 1, 100, &[]));
    let own = saved(folder.path(), "own.jsonl", &own);
    let guests = long_books(folder.path());
    long::come_to(browser, &own, &["sue"]).await;
    go(browser, "Day").await;
    browser.wait_for("#bring-guests").await;
    browser.js(WATCH, vec![]).await;
    let started = Instant::now();
    let paths: Vec<&Path> = guests.iter().map(PathBuf::as_path).collect();
    browser.upload_all("#bring-guests", &paths).await;
    while browser.count("[data-bench=all]").await == 0 {
        assert!(started.elapsed() < PATIENCE, "reading takes too long");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    let longest = browser.js("return Math.max(0, ...held)", vec![]).await;
    let read = started.elapsed().as_secs_f64();
    println!(
        "{BENCHES} books verified and laid together in {read:.1} s, page held up for {longest} ms at most"
    );
    assert!(longest.as_f64().expect("a length") < BLOCKED_MS);

    let told = browser
        .js(CHOOSE, vec![json!(BUSY_DAY), json!(TOGETHER)])
        .await;
    let [took, longest, told]: [f64; 3] = serde_json::from_value(told).expect("three figures");
    println!(
        "their day in {took:.0} ms, told {told} times, page held up for {longest:.0} ms at most"
    );
    let all = figures(browser, "all").await;
    println!("sheets of the day: {}", all[0]);
    assert!(all[0] > u64::from(BENCHES) * LINES / 2, "{all:?}");
    assert!(told >= 1.0, "it never said how far it is");
    assert!(longest < BLOCKED_MS, "held up for {longest} ms");
    browser.screenshot("many-benches").await;

    go(browser, "Verdicts").await;
    for css in ["[data-view=Alike]", "[data-by=bench]"] {
        let longest = browser.js(CLICK, vec![json!(css)]).await;
        let longest = longest.as_f64().expect("a length");
        println!("{css}: page held up for {longest:.0} ms at most");
        assert!(longest < BLOCKED_MS, "held up for {longest} ms");
    }
    let books = browser
        .count(&format!("[data-books='{}']", BENCHES + 1))
        .await;
    assert_eq!(books, 1);
    browser.screenshot("many-alike").await;
}
