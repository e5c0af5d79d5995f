//! A long book: brought in, opened cold, and written on. It is a real one, of 20,000 signed lines
//! by people whose keys the test has.

use std::path::Path;
use std::time::{Duration, Instant};

use cullbook::desk::forms::write_keys;
use cullbook::people::{SealedKey, SealingDice};
use serde_json::{Value, json};

use crate::bench::entries;
use crate::harness::Browser;
use crate::long_book::long_book;
use crate::office::{PASSPHRASE, go, take_the_desk, unlock};
use crate::survive::{focus_sheet, record_one};
use crate::works::{Works, id, key};

/// Lines of the book.
const LINES: u64 = 20_000;

/// Entries recorded at the bench afterwards.
const APPENDS: usize = 200;

/// Above what the design asks for (usable in 1 s, never held up for 200 ms, appended in 20 ms), so
/// that a machine with other work passes too: the figures are printed, and these stop them from
/// running away.
const USABLE_MS: f64 = 3.0 * 1_000.0;
const BLOCKED_MS: f64 = 1_000.0;
const APPEND_MS: f64 = 5.0 * 20.0;

/// The page's own work until someone can sign in, whatever else the machine does. It was 1.15 s.
const PROCESSOR_S: f64 = 2.0;

/// How long the whole of a long book may take: far more than it should.
const PATIENCE: Duration = Duration::from_secs(300);

/// Watches a page from before its first script: when someone can sign in, when the bar counted
/// signatures and when it stopped, and every task that held the page up (Long Tasks API, 50 ms
/// and more).
const WATCH: &str = "window.watched = {usable: null, counting: null, counted: null, tasks: []};
new PerformanceObserver(list => list.getEntries().forEach(task =>
  watched.tasks.push([task.startTime, task.duration]))).observe({type: 'longtask', buffered: true});
new MutationObserver(() => {
  const now = performance.now();
  if (watched.usable === null && document.querySelector('[data-person=ida]')) watched.usable = now;
  const bar = document.querySelector('.bar');
  const counting = bar !== null && bar.textContent.includes('Checking signatures');
  if (counting && watched.counting === null) watched.counting = now;
  if (!counting && watched.counting !== null && watched.counted === null) watched.counted = now;
}).observe(document, {childList: true, subtree: true, characterData: true});";

/// Records one sheet after the other and measures from the key until the bar says so.
const APPEND: &str = "const grid = document.querySelector('[data-sheet-grid]'), times = [];
const recorded = () => Number(document.querySelector('[data-recorded]')?.dataset.recorded ?? -1);
const once = async () => {
  const before = recorded(), start = performance.now();
  const said = new Promise(done => {
    const look = new MutationObserver(() => {
      if (recorded() > before) { look.disconnect(); done(performance.now()); } });
    look.observe(document, {childList: true, subtree: true, attributes: true}); });
  grid.dispatchEvent(new KeyboardEvent('keydown', {key: 'Enter', bubbles: true, composed: true}));
  times.push(await said - start);
  await new Promise(done => setTimeout(done, 20)); };
return (async () => { for (let turn = 0; turn < arguments[0]; turn++) await once();
  return times.sort((a, b) => a - b); })()";

fn book_file(folder: &Path) -> std::path::PathBuf {
    let mut file = String::new();
    long_book(LINES, |text| {
        file.push_str(text);
        file.push('\n');
    });
    let path = folder.join("long.jsonl");
    std::fs::write(&path, file).expect("the book is written");
    path
}

/// The keys of some people as "Save the keys" would give them, each under [`PASSPHRASE`].
fn key_file(folder: &Path, people: &[&str]) -> std::path::PathBuf {
    let sealed = people.iter().map(|code| {
        let dice = SealingDice {
            seed: *key(code).seed(),
            salt: [9; 16],
        };
        SealedKey::make(id(code), PASSPHRASE, &dice)
            .expect("a key")
            .0
    });
    let sealed: Vec<SealedKey> = sealed.collect();
    let works = Works::staffed();
    let text = write_keys(sealed.iter(), works.state()).expect("a file of keys");
    let path = folder.join("keys.jsonl");
    std::fs::write(&path, text).expect("the keys are written");
    path
}

async fn patiently(what: &str, browser: &Browser, css: &str, count: usize) {
    let started = Instant::now();
    while browser.count(css).await != count {
        assert!(started.elapsed() < PATIENCE, "{what} takes too long");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    println!("{what}: {:.1} s", started.elapsed().as_secs_f64());
}

/// A book of [`Works`] and the keys of some of its people come to a new machine, and the first of
/// them takes the desk.
pub async fn come_to(browser: &Browser, book: &Path, people: &[&str]) {
    let folder = tempfile::tempdir().expect("a folder");
    let person = format!("[data-person={}]", people[0]);
    browser.goto("/").await;
    browser.upload("#bring-in", book).await;
    patiently("verified", browser, "[data-action=take-book]", 1).await;
    browser.click("[data-action=take-book]").await;
    patiently("stored", browser, &person, 1).await;
    browser.click(&person).await;
    unlock(browser).await;
    browser
        .upload("#bring-keys", &key_file(folder.path(), people))
        .await;
    browser
        .wait_for_text(".bring-keys", "on this machine")
        .await;
    unlock(browser).await;
    browser.wait_gone(".unlock").await;
}

pub async fn brought_in(browser: &Browser) {
    let folder = tempfile::tempdir().expect("a folder");
    come_to(browser, &book_file(folder.path()), &["ida"]).await;
    assert_eq!(entries(browser).await, LINES);
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("no number: {value}"))
}

/// Seconds that the page's own thread has worked so far.
async fn on_processor(browser: &Browser) -> f64 {
    let all = browser.devtools("Performance.getMetrics", json!({})).await;
    let all = all["metrics"].as_array().expect("a list of figures");
    let mut tasks = all.iter().filter(|one| one["name"] == "TaskDuration");
    number(&tasks.next().expect("how long tasks took")["value"])
}

/// The browser starts anew on the long book: soon usable, never held up, every signature checked
/// behind, with its progress on the bar.
pub async fn opened_cold(browser: &mut Browser) {
    browser.restart().await;
    let on_new_document = json!({ "source": WATCH });
    browser
        .devtools("Page.addScriptToEvaluateOnNewDocument", on_new_document)
        .await;
    // Where other programs run as well, only the time on the processor can be compared.
    let thread = json!({ "timeDomain": "threadTicks" });
    browser.devtools("Performance.enable", thread).await;
    browser.goto("/").await;
    patiently("to the sign-in", browser, "[data-person=ida]", 1).await;
    let spent = on_processor(browser).await;
    println!("of that on the processor: {spent:.2} s");
    assert!(spent < PROCESSOR_S, "{spent} s on the processor");
    take_the_desk(browser, "ida").await;
    let started = Instant::now();
    let watched = loop {
        let watched = browser.js("return watched", vec![]).await;
        let counting = watched["counting"].is_number() && !watched["counted"].is_number();
        if !counting && !browser.text(".bar").await.contains("Checking") {
            break watched;
        }
        assert!(started.elapsed() < PATIENCE, "the signatures take too long");
        tokio::time::sleep(Duration::from_millis(200)).await;
    };
    let usable = number(&watched["usable"]);
    let tasks = watched["tasks"].as_array().expect("a list");
    let lengths = tasks.iter().map(|task| number(&task[1]));
    let longest = lengths.fold(0.0, f64::max);
    println!("{LINES} lines: usable after {usable:.0} ms, held up for {longest:.0} ms at most");
    let long = tasks.iter().filter(|task| number(&task[1]) > 200.0);
    long.for_each(|task| println!("held up from {} ms on for {} ms", task[0], task[1]));
    println!(
        "signatures counted until {} ms after the start",
        watched["counted"]
    );
    assert!(
        watched["counting"].is_number(),
        "the bar showed no progress"
    );
    assert!(usable < USABLE_MS, "usable after {usable} ms");
    assert!(longest < BLOCKED_MS, "held up for {longest} ms: {tasks:?}");
}

/// Sheets recorded at the end of the long book, one by one.
pub async fn written_on(browser: &Browser) {
    go(browser, "Bench").await;
    browser.wait_for("[data-sheet-grid]").await;
    focus_sheet(browser).await;
    // The first may enter besides what was mended at the start.
    let before = record_one(browser).await;
    let times = browser.js(APPEND, vec![json!(APPENDS)]).await;
    let times: Vec<f64> = times
        .as_array()
        .expect("times")
        .iter()
        .map(number)
        .collect();
    assert_eq!(entries(browser).await, before + APPENDS as u64);
    let (median, p99) = (times[APPENDS / 2], times[APPENDS * 99 / 100]);
    println!("recorded in {median:.1} ms, 99th percentile {p99:.1} ms");
    assert!(p99 < APPEND_MS, "99th percentile {p99} ms: {times:?}");
}
