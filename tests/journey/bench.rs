//! A morning at the bench: the machine's file, sheets by keyboard, by mouse, and by the range.

use std::process::Command;
use std::time::{Duration, Instant};

use serde_json::json;
use tempfile::TempPath;

use crate::harness::Browser;
use crate::office::LOT;

/// Wrong rows mixed into the machine's file.
const WRONG: usize = 17;

/// An invented machine file for the lot, with wrong rows of every kind.
fn machine_file() -> TempPath {
    let output = Command::new(env!("CARGO_BIN_EXE_cullbook-practice"))
        .args(["machine-file", "--lot", LOT, "--wrong", &WRONG.to_string()])
        .output()
        .expect("the generator runs");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    // Of its own name: two days may run side by side.
    let file = tempfile::Builder::new().suffix(".csv").tempfile();
    let path = file.expect("a temporary file").into_temp_path();
    std::fs::write(&path, output.stdout).expect("the file is written");
    path
}

/// Reads the machine's file: nothing is recorded before it was seen, refusals can be saved.
pub async fn read_machine_file(browser: &Browser) {
    let before = entries(browser).await;
    browser.click("[data-action=machine-file]").await;
    // It stays until the page has read it.
    let file = machine_file();
    browser.upload("#machine-file", &file).await;
    browser.wait_for("[data-action=record-tags]").await;
    browser
        .wait_for_text("[data-figure=refused]", &WRONG.to_string())
        .await;
    browser.screenshot("machine-preview").await;
    assert_eq!(
        entries(browser).await,
        before,
        "nothing is recorded by looking"
    );
    browser.click("[data-action=save-refused]").await;
    let refused = browser.downloaded("BW-0412-refused-rows.csv").await;
    let text = std::fs::read_to_string(refused).expect("the refused rows");
    assert_eq!(text.trim_end().lines().count(), WRONG + 1, "{text}");
    browser.click("[data-action=record-tags]").await;
    browser.click("[data-action=done]").await;
    assert_eq!(entries(browser).await, before + 1);
}

/// Lines in the book, from the bar.
pub async fn entries(browser: &Browser) -> u64 {
    let text = browser.text(".bar").await;
    let digits = text
        .lines()
        .find(|line| line.contains("entries"))
        .expect("a count of entries");
    let digits = digits.rsplit('·').next().unwrap_or(digits);
    digits
        .chars()
        .filter(char::is_ascii_digit)
        .collect::<String>()
        .parse()
        .expect("a number")
}

async fn focus_sheet(browser: &Browser) {
    browser
        .js(
            "document.querySelector('[data-sheet-grid]').focus()",
            vec![],
        )
        .await;
}

/// Goes to a sheet by typing its number.
async fn turn_to(browser: &Browser, number: u32) {
    focus_sheet(browser).await;
    let figures: Vec<String> = number.to_string().chars().map(String::from).collect();
    browser.press(&format!("{} Enter", figures.join(" "))).await;
    browser.wait_for(&format!("[data-sheet='{number}']")).await;
}

/// A clean sheet in one key; a sheet with three tags by keys in under four seconds.
pub async fn by_keyboard(browser: &Browser) {
    turn_to(browser, 1).await;
    browser.press("Enter").await;
    browser.wait_for("[data-sheet='2']").await;
    turn_to(browser, 30).await;
    let start = Instant::now();
    browser.press("o s ArrowRight i w ArrowDown p h").await;
    browser.wait_for("[data-verdict=mixed]").await;
    let tagged = start.elapsed();
    browser.screenshot("bench-day").await;
    browser.press("Enter").await;
    browser.wait_for("[data-sheet='31']").await;
    assert!(
        tagged < Duration::from_secs(4),
        "three tags took {tagged:?}"
    );
    browser.press("p t Enter").await;
    browser.wait_for("[data-sheet='32']").await;
}

/// The same with the mouse: point, drag, press a class, turn over.
pub async fn by_mouse(browser: &Browser) {
    turn_to(browser, 40).await;
    browser.click("#note-2-1").await;
    browser.click("[data-class=OM]").await;
    browser.wait_for_text(".tags", "C2").await;
    browser.click(".sides-up button:last-child").await;
    browser.click("#note-0-0").await;
    browser.click("[data-class=PH]").await;
    // Work-and-turn: the top left of the back is the top right of the front.
    browser.wait_for_text(".tags", "A5").await;
    browser.screenshot("bench-back").await;
    browser.click("[data-record]").await;
    browser.wait_for("[data-sheet='41']").await;
}

/// A recorded sheet is changed by a correction with its reason.
pub async fn correct(browser: &Browser) {
    turn_to(browser, 31).await;
    browser.wait_for("[data-verdict=spoiled]").await;
    browser.click(".tags .off").await;
    browser.click("[data-record]").await;
    browser.wait_for_text(".message.problem", "Reason").await;
    browser
        .type_into("#reason", "The tear was on the sheet above")
        .await;
    browser.click("[data-record]").await;
    browser
        .wait_for_text(".message.problem, .bar", "Recorded")
        .await;
    turn_to(browser, 31).await;
    browser.wait_for("[data-verdict=good]").await;
}

/// Passes what is clean, then takes the machine's word for the rest of the lot.
pub async fn by_the_range(browser: &Browser) {
    turn_to(browser, 50).await;
    browser.press("- 1 5 0 Enter").await;
    browser
        .wait_for_text(".bench-hint", "sheets recorded")
        .await;
    turn_to(browser, 2).await;
    browser.press("* 1 0 0 0 0 Enter").await;
    browser
        .wait_for_text(".bench-hint", "sheets recorded")
        .await;
    // Nothing is left open: Enter has nowhere to go.
    browser.press("Enter").await;
    browser.wait_for_text(".bench-hint", "is examined").await;
}

/// Time a key takes from its event to the changed page, in milliseconds (median, 99th of 100).
pub async fn key_times(browser: &Browser) -> (f64, f64) {
    turn_to(browser, 60).await;
    let script = "const grid = document.querySelector('[data-sheet-grid]'), times = []; \
        const keys = ['ArrowRight', 'ArrowDown', 'ArrowLeft', 'ArrowUp']; \
        const press = async index => { \
          const start = performance.now(); \
          grid.dispatchEvent(new KeyboardEvent('keydown', {key: keys[index % 4], bubbles: true, composed: true})); \
          await Promise.resolve(); document.body.getBoundingClientRect(); \
          await new Promise(done => setTimeout(done)); \
          times.push(performance.now() - start); }; \
        return (async () => { for (let i = 0; i < 200; i++) await press(i); \
          times.sort((a, b) => a - b); return [times[100], times[198]]; })()";
    let times = browser.js(script, vec![json!(null)]).await;
    let at = |index: usize| times[index].as_f64().expect("a time");
    (at(0), at(1))
}
