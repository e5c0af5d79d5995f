//! The two homes and the one writing tab, in a real browser: a home wiped, a fork, two tabs, a full
//! disk, another version of the store.

use cullbook::sheet::grouped;
use serde_json::{Value, json};

use crate::bench::entries;
use crate::harness::Browser;
use crate::survive::{focus_sheet, record_one, sit_down};

/// Runs a step on the first home's lines, as `store`, and gives back what it hands to `done`.
async fn on_lines(browser: &Browser, step: &str, args: Vec<Value>) -> Value {
    let script = format!(
        "return new Promise((done, fail) => {{ \
           const [lines] = arguments[0] ?? [[]]; \
           const open = indexedDB.open('cullbook-book'); \
           open.onerror = fail; \
           open.onsuccess = () => {{ \
             const act = open.result.transaction('lines', 'readwrite'); \
             const store = act.objectStore('lines'); \
             let answer = null; \
             act.oncomplete = () => {{ open.result.close(); done(answer); }}; \
             act.onabort = fail; \
             {step} }}; }})"
    );
    browser.js(&script, vec![Value::Array(args)]).await
}

/// Every line of the first home.
async fn lines(browser: &Browser) -> Vec<String> {
    let step = "const all = store.getAll(); all.onsuccess = () => { answer = all.result; };";
    let all = on_lines(browser, step, vec![]).await;
    serde_json::from_value(all).expect("lines are texts")
}

/// Puts these lines in the place of the first home's.
async fn put_lines(browser: &Browser, all: &[String]) {
    let step = "store.clear(); lines.forEach((line, seq) => store.add(line, seq));";
    on_lines(browser, step, vec![json!(all)]).await;
}

/// The second home: name and value of everything under the book's own beginning.
async fn second(browser: &Browser) -> Value {
    let script =
        "return Object.entries(localStorage).filter(([k]) => k.startsWith('cullbook/book/'))";
    browser.js(script, vec![]).await
}

/// Of that, the lines and the head, in a fixed order.
fn lines_and_head(second: &Value) -> Vec<String> {
    let values = second.as_array().expect("a list").iter();
    let values = values.map(|pair| (pair[0].as_str().expect("a name"), &pair[1]));
    let values = values.filter(|(name, _)| name.contains("/line/") || name.ends_with("/head"));
    let mut values: Vec<String> = values
        .map(|(name, value)| format!("{name} {value}"))
        .collect();
    values.sort();
    values
}

/// Puts this in the place of the second home.
async fn put_second(browser: &Browser, all: &Value) {
    let script = "Object.keys(localStorage).filter(k => k.startsWith('cullbook/book/')) \
        .forEach(k => localStorage.removeItem(k)); \
        arguments[0].forEach(([k, v]) => localStorage.setItem(k, v));";
    browser.js(script, vec![all.clone()]).await;
}

async fn reopen(browser: &Browser) {
    browser.goto("/").await;
}

/// Local storage wiped: filled again, said once, entered in the book.
pub async fn a_wiped_second_home(browser: &Browser) {
    let before = record_one(browser).await;
    put_second(browser, &json!([])).await;
    reopen(browser).await;
    browser
        .wait_for_text(".messages", "Local storage lacked entries 0 to")
        .await;
    browser.screenshot("second-filled").await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, before);
    assert_eq!(
        record_one(browser).await,
        before + 2,
        "the healing is an entry of its own"
    );
    let all = lines(browser).await;
    assert!(
        all[before as usize]
            .contains("\"kind\":\"store.healed\",\"data\":{\"home\":\"second\",\"from\":0")
    );
    let kept = second(browser).await;
    let kept = kept.as_array().expect("a list").len() as u64;
    assert!(kept >= before + 2, "{kept} values");
}

/// IndexedDB wiped: a short book comes back whole from local storage, with everybody's key.
pub async fn a_wiped_first_home(browser: &Browser) {
    let before = record_one(browser).await;
    let step = "store.clear();";
    on_lines(browser, step, vec![]).await;
    reopen(browser).await;
    browser
        .wait_for_text(".messages", "put back from local storage")
        .await;
    browser.screenshot("first-restored").await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, before);
    record_one(browser).await;
    let drop_keys = "return new Promise((done, fail) => { \
        const open = indexedDB.open('cullbook-book'); \
        open.onerror = fail; \
        open.onsuccess = () => { \
          const act = open.result.transaction('keys', 'readwrite'); \
          act.objectStore('keys').clear(); \
          act.oncomplete = () => { open.result.close(); done(1); }; }; })";
    browser.js(drop_keys, vec![]).await;
    reopen(browser).await;
    sit_down(browser).await;
}

/// A profile that was rolled back and went on: work stops, and both homes can be saved.
pub async fn a_fork(browser: &Browser) {
    let older = lines(browser).await;
    record_one(browser).await;
    let kept = second(browser).await;
    put_lines(browser, &older).await;
    put_second(browser, &json!([])).await;
    reopen(browser).await;
    sit_down(browser).await;
    focus_sheet(browser).await;
    browser.press("i w Enter").await;
    browser.wait_for("[data-recorded]").await;
    let branch = lines(browser).await;
    put_second(browser, &kept).await;
    reopen(browser).await;
    let fork = format!("different lines for entry {}", older.len());
    browser.wait_for_text("[data-alarm]", &fork).await;
    browser.screenshot("fork").await;
    browser.wait_for("[data-action=save-lines]").await;
    browser.wait_for("[data-action=save-second]").await;
    assert_eq!(lines(browser).await, branch, "nothing is touched");
    let untouched = lines_and_head(&second(browser).await) == lines_and_head(&kept);
    assert!(untouched, "the second home was touched");
    // People decide; here for the branch, without the second home.
    put_second(browser, &json!([])).await;
    reopen(browser).await;
    sit_down(browser).await;
}

/// Sheets recorded in a row, by the keyboard, and what the bar says then.
async fn record_many(browser: &Browser, many: u64) -> u64 {
    let before = entries(browser).await;
    focus_sheet(browser).await;
    for _ in 0..many / 25 {
        browser.press(&"Enter ".repeat(25)).await;
    }
    let recorded = format!("[data-recorded='{}']", before + many);
    browser.wait_for(&recorded).await;
    before + many
}

/// Two tabs, 200 entries each: one writes while the other follows, and they change over four
/// times by closing the one that writes.
pub async fn two_tabs(browser: &Browser) {
    let client = browser.client();
    let before = record_one(browser).await;
    let mut writer = client.window().await.expect("a window");
    let mut expected = before;
    for turn in 0..8 {
        let new = client.new_window(true).await.expect("a second tab");
        let reader = new.handle;
        client
            .switch_to_window(reader.clone())
            .await
            .expect("switches");
        browser.goto("/").await;
        sit_down(browser).await;
        browser.wait_for("[data-tab=reads]").await;
        if turn == 0 {
            refuses(browser, before).await;
        }
        client
            .switch_to_window(writer)
            .await
            .expect("switches back");
        assert_eq!(browser.count("[data-tab=reads]").await, 0);
        expected = record_many(browser, 50).await;
        client
            .switch_to_window(reader.clone())
            .await
            .expect("switches");
        let follows = format!("{} entries", grouped(expected));
        browser.wait_for_text(".bar", &follows).await;
        client
            .switch_to_window(
                client
                    .windows()
                    .await
                    .expect("tabs")
                    .into_iter()
                    .find(|tab| *tab != reader)
                    .expect("the writer"),
            )
            .await
            .expect("switches");
        client.close_window().await.expect("closes");
        client
            .switch_to_window(reader.clone())
            .await
            .expect("switches");
        browser.wait_gone("[data-tab=reads]").await;
        writer = reader;
    }
    assert_eq!(expected, before + 400);
    let all = lines(browser).await;
    assert_eq!(all.len() as u64, expected, "no line is lost");
    for (seq, line) in all.iter().enumerate() {
        let line: Value = serde_json::from_str(line).expect("a line is JSON");
        assert_eq!(line["seq"], seq, "no number twice");
    }
    reopen(browser).await;
    sit_down(browser).await;
    assert_eq!(entries(browser).await, expected);
}

/// A tab that only reads says so and records nothing.
async fn refuses(browser: &Browser, before: u64) {
    browser.screenshot("reading-tab").await;
    focus_sheet(browser).await;
    browser.press("o s Enter").await;
    browser
        .wait_for_text(".message.problem", "This tab reads only")
        .await;
    browser.press("Control+z").await;
    assert_eq!(lines(browser).await.len() as u64, before);
}

/// No room for one more line: nothing is recorded, the tags stay, and the remedy is named.
pub async fn a_full_disk(browser: &Browser) {
    let before = entries(browser).await;
    let origin = browser.origin();
    let none = json!({ "origin": origin, "quotaSize": 1 });
    browser
        .devtools("Storage.overrideQuotaForOrigin", none)
        .await;
    // Chromium hands an open database its room in advance, and keeps it open for two seconds after
    // the last page has left: only then a new opening asks anew.
    let client = browser.client();
    client.goto("about:blank").await.expect("leaves the app");
    tokio::time::sleep(std::time::Duration::from_secs(4)).await;
    reopen(browser).await;
    sit_down(browser).await;
    focus_sheet(browser).await;
    browser.press("o s Enter").await;
    browser
        .wait_for_text(".message.problem", "storage is full")
        .await;
    browser.screenshot("full").await;
    browser.wait_for("[data-verdict=mixed]").await;
    assert_eq!(entries(browser).await, before);
    browser
        .devtools(
            "Storage.overrideQuotaForOrigin",
            json!({ "origin": origin }),
        )
        .await;
    browser.press("Enter").await;
    let recorded = format!("[data-recorded='{}']", before + 1);
    browser.wait_for(&recorded).await;
}

/// Another version of the store in another tab: this tab lets go of it and says what to do.
pub async fn a_newer_store(browser: &Browser) {
    let upgrade = "return new Promise((done, fail) => { \
        const open = indexedDB.open('cullbook-book', 9); \
        open.onerror = fail; \
        open.onblocked = () => fail('blocked'); \
        open.onsuccess = () => { open.result.close(); done(1); }; })";
    browser.js(upgrade, vec![]).await;
    browser.wait_for("[data-tab=outdated]").await;
    browser
        .wait_for_text(".message.problem", "Reload this tab")
        .await;
    browser.screenshot("outdated").await;
    reopen(browser).await;
    browser
        .wait_for_text("[data-alarm]", "A newer version of Cullbook")
        .await;
}

/// An old tab that does not let go of the store: said at once instead of waiting for ever.
pub async fn a_held_store(browser: &Browser) {
    let client = browser.client();
    browser.goto("/icon.svg").await;
    let hold = "return new Promise((done, fail) => { \
        const open = indexedDB.open('cullbook-book', 1); \
        open.onerror = fail; \
        open.onsuccess = () => { window.held = open.result; done(1); }; })";
    browser.js(hold, vec![]).await;
    let holder = client.window().await.expect("a window");
    let tab = client.new_window(true).await.expect("a tab");
    client.switch_to_window(tab.handle).await.expect("switches");
    browser.goto("/").await;
    browser
        .wait_for_text("[data-alarm]", "older version of Cullbook")
        .await;
    browser.screenshot("held").await;
    let second = client.window().await.expect("a window");
    client.switch_to_window(holder).await.expect("switches");
    client.close_window().await.expect("closes");
    client.switch_to_window(second).await.expect("switches");
    browser.goto("/").await;
    browser.wait_for(".ways").await;
}
