//! What is recorded survives: a killed browser, a second tab, a line changed in the store.

use std::time::Duration;

use crate::bench::entries;
use crate::harness::Browser;
use crate::office::take_the_desk;

/// The inspector takes the desk.
pub async fn sit_down(browser: &Browser) {
    take_the_desk(browser, "ida").await;
    browser.wait_for("[data-sheet-grid]").await;
}

pub async fn focus_sheet(browser: &Browser) {
    browser
        .js(
            "document.querySelector('[data-sheet-grid]').focus()",
            vec![],
        )
        .await;
}

/// Records a sheet and waits until the bar says so; gives the entries that there are then. After
/// the browser was killed there may be one more, which says that the second home was behind.
pub async fn record_one(browser: &Browser) -> u64 {
    let before = entries(browser).await;
    focus_sheet(browser).await;
    browser.press("o s Enter").await;
    let (one, two) = (before + 1, before + 2);
    browser
        .wait_for(&format!("[data-recorded='{one}'], [data-recorded='{two}']"))
        .await;
    entries(browser).await
}

/// How long after "recorded" the browser is killed, in milliseconds.
const KILLED_AFTER: [u64; 5] = [0, 50, 200, 1000, 6000];

/// `CULLBOOK_KILLS` is how many kills the long run asks for (`make soak`).
pub fn kills() -> usize {
    let asked = std::env::var("CULLBOOK_KILLS").ok();
    let asked = asked.map(|text| text.parse().expect("CULLBOOK_KILLS is a number"));
    asked.unwrap_or(2 * KILLED_AFTER.len())
}

/// Kills the browser so long after the bar said "recorded", and looks whether it was true.
pub async fn a_killed_browser(browser: &mut Browser, times: usize) {
    for after in KILLED_AFTER.iter().cycle().take(times) {
        let recorded = record_one(browser).await;
        tokio::time::sleep(Duration::from_millis(*after)).await;
        browser.kill_and_restart().await;
        browser.goto("/").await;
        sit_down(browser).await;
        assert_eq!(
            entries(browser).await,
            recorded,
            "a line that was shown as recorded is lost"
        );
    }
}

/// Tags that were not recorded come back after the browser was closed.
pub async fn an_unfinished_sheet(browser: &mut Browser) {
    focus_sheet(browser).await;
    browser.press("i w").await;
    browser.wait_for("[data-verdict=mixed]").await;
    browser.restart().await;
    browser.goto("/").await;
    sit_down(browser).await;
    browser.wait_for("[data-verdict=mixed]").await;
    browser.wait_for_text(".bench-hint", "was unfinished").await;
    focus_sheet(browser).await;
    browser.press("Control+z").await;
}

/// The program fails in the middle of recording: the page says what to do, nothing was recorded,
/// and the tags come back.
pub async fn a_panic(browser: &mut Browser) {
    let before = entries(browser).await;
    focus_sheet(browser).await;
    // Without random numbers no entry can get an id, and the program gives up.
    let deny = "crypto.getRandomValues = () => { throw new Error('denied by the test') }";
    browser.js(deny, vec![]).await;
    browser.press("i w Enter").await;
    browser
        .wait_for_text(".stopped h1", "Cullbook has stopped")
        .await;
    browser.screenshot("stopped").await;
    browser.forget_console().await;
    browser.click(".stopped button").await;
    sit_down(browser).await;
    browser.wait_for("[data-verdict=mixed]").await;
    browser.wait_for_text(".bench-hint", "was unfinished").await;
    assert_eq!(entries(browser).await, before);
    focus_sheet(browser).await;
    browser.press("Control+z").await;
}

/// A line changed behind the program's back: the book is not opened, can be saved as it is, and the
/// second home's own lines, brought in as a saved copy, make it whole.
pub async fn a_changed_line(browser: &Browser) {
    let before = entries(browser).await;
    let script = "return new Promise((done, fail) => { \
        const open = indexedDB.open('cullbook-book'); \
        open.onerror = fail; \
        open.onsuccess = () => { \
          const store = open.result.transaction('lines', 'readwrite').objectStore('lines'); \
          const all = store.getAll(); \
          all.onsuccess = () => { \
            const at = all.result.findIndex(line => line.includes('Oskar')); \
            const put = store.put(all.result[at].replace('Oskar', 'Osman'), at); \
            put.onsuccess = () => { open.result.close(); done(at); }; }; }; })";
    browser.js(script, vec![]).await;
    browser.goto("/").await;
    browser.wait_for_text(".first h1", "cannot be opened").await;
    browser.wait_for_text("[data-alarm]", "Line").await;
    browser
        .wait_for_text("[data-alarm]", "The second home holds line")
        .await;
    browser.screenshot("changed-line").await;
    browser.click("[data-action=save-lines]").await;
    let damaged = browser.downloaded("unreadable-book.jsonl").await;
    browser.click("[data-action=save-second]").await;
    let whole = browser.downloaded("second-home.jsonl").await;
    browser.upload("#bring-in-copy", &damaged).await;
    browser.wait_for_text(".panel .error", "Line").await;
    browser.upload("#bring-in-copy", &whole).await;
    // What the copy is stands there before it is taken.
    browser
        .wait_for_text(".panel .life", &before.to_string())
        .await;
    browser.screenshot("copy-shown").await;
    browser.click("[data-action=take-book]").await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, before);
}
