//! What is recorded survives: a killed browser, a second tab, a line changed in the store.

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

/// Records a sheet and waits until the bar says so.
pub async fn record_one(browser: &Browser) -> u64 {
    let before = entries(browser).await;
    focus_sheet(browser).await;
    browser.press("o s Enter").await;
    browser
        .wait_for(&format!("[data-recorded='{}']", before + 1))
        .await;
    before + 1
}

/// Kills the browser the moment the bar says "recorded", and looks whether it was true.
pub async fn a_killed_browser(browser: &mut Browser, times: u32) {
    for _ in 0..times {
        let recorded = record_one(browser).await;
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

/// Two tabs on one book: the one that comes late is told, and nothing is overwritten.
pub async fn a_second_tab(browser: &Browser) {
    let client = browser.client();
    let first = client.window().await.expect("a window");
    let second = client.new_window(true).await.expect("a second tab");
    client
        .switch_to_window(second.handle)
        .await
        .expect("switches");
    browser.goto("/").await;
    sit_down(browser).await;
    let recorded = record_one(browser).await;
    client.close_window().await.expect("closes");
    client.switch_to_window(first).await.expect("switches back");
    focus_sheet(browser).await;
    browser.press("Enter").await;
    browser
        .wait_for_text(".message.problem", "Another tab has written to this book")
        .await;
    browser.goto("/").await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, recorded);
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

/// A line changed behind the program's back: the book is not opened, and can be saved as it is.
pub async fn a_changed_line(browser: &Browser) {
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
    browser.wait_for_text(".first", "Line").await;
    browser.screenshot("changed-line").await;
    browser.click("[data-action=save-lines]").await;
    browser.downloaded("unreadable-book.jsonl").await;
}
