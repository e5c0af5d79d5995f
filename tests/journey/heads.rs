//! Heads that leave and come back; a lost passphrase; keys saved and brought in.

use cullbook::book::{Hash, Head, HeadCode};
use cullbook::export::head_text;

use crate::bench::entries;
use crate::harness::Browser;
use crate::office::{self, enrol, go, sign_in, tab, take_the_desk};

/// What Ida chooses after she has forgotten the first one.
const NEW_PASSPHRASE: &str = "quiet harbour at noon";

/// A book with a supervisor, an inspector and a witness.
pub async fn small_works(browser: &Browser) {
    browser.set_size(1280, 800).await;
    office::open_book(browser).await;
    go(browser, "Office").await;
    tab(browser, "people").await;
    enrol(browser, "ida", "Ida Fenn", "inspector").await;
    enrol(browser, "wren", "Wren Hale", "witness").await;
}

async fn attribute(browser: &Browser, css: &str, name: &str) -> String {
    let shown = browser.wait_for(css).await.attr(name).await;
    shown.expect("readable").expect("the attribute")
}

async fn recorded(browser: &Browser, entries: u64) {
    browser
        .wait_for(&format!("[data-recorded='{entries}']"))
        .await;
}

/// The book is looked at as a whole: everything checked, and no copy of it anywhere yet.
pub async fn health(browser: &Browser) {
    go(browser, "Book").await;
    browser.wait_for("[data-signatures='0']").await;
    browser
        .wait_for_text(".alarms", "No copy of the entries that are here")
        .await;
    browser.wait_for_text(".bar", "Head out never").await;
    expect_no_barriers(browser).await;
    browser.screenshot("health").await;
}

async fn expect_no_barriers(browser: &Browser) {
    assert_eq!(browser.axe().await, Vec::<String>::new());
}

/// The head is read out to a witness; what she wrote down is typed again days later.
pub async fn told_and_typed_again(browser: &Browser) {
    browser.click("[data-action=to-heads]").await;
    let before = entries(browser).await;
    let code = attribute(browser, "[data-head-code]", "data-head-code").await;
    browser.click("[data-action=tell-head]").await;
    browser.wait_for_text(".summary", "Told to is empty").await;
    browser.type_into("#head-told-to", "Wren Hale").await;
    browser.click("[data-action=tell-head]").await;
    browser
        .wait_for_text("[data-head-out]", "told to Wren Hale")
        .await;
    recorded(browser, before + 1).await;
    browser.wait_for("[data-since='0']").await;
    browser
        .type_into("#head-back", &code.to_lowercase().replace('-', " "))
        .await;
    let answer = format!("This book contains it at entry {}, written", before - 1);
    browser
        .wait_for_text("[data-head-answer=yes]", &answer)
        .await;
    expect_no_barriers(browser).await;
    browser.screenshot("heads").await;
    wrong_ones(browser, &code).await;
    assert_eq!(
        entries(browser).await,
        before + 1,
        "a comparison changes nothing"
    );
}

/// A slip of the pen is found by the check character; another book's head is not this book's.
async fn wrong_ones(browser: &Browser, code: &str) {
    let (rest, last) = code.split_at(code.len() - 2);
    let slip: String = last.chars().rev().collect();
    let slip = if slip == last {
        format!("{rest}ZZ")
    } else {
        format!("{rest}{slip}")
    };
    browser.type_into("#head-back", &slip).await;
    browser.wait_gone("[data-head-answer]").await;
    browser.click("[data-action=check-head]").await;
    browser
        .wait_for_text(
            "[data-head-answer=unread]",
            "The check character does not fit",
        )
        .await;
    let hash = Hash::of_line(b"another book");
    let other = HeadCode::new(2, &hash).to_string();
    browser.type_into("#head-back", &other).await;
    browser
        .wait_for_text("[data-head-answer=no]", "This book does not contain it")
        .await;
    let book = uuid::Uuid::from_u128(7);
    let scanned = head_text(&Head {
        book,
        entries: 2,
        hash,
    });
    browser.type_into("#head-back", &scanned).await;
    browser
        .wait_for_text("[data-head-answer=no]", "of another book")
        .await;
}

/// As a file, and on paper.
pub async fn saved_and_loaded(browser: &Browser) {
    let before = entries(browser).await;
    go(browser, "Day").await;
    let day = browser
        .wait_for("[data-pick=day]")
        .await
        .prop("value")
        .await;
    let day = day.expect("readable").expect("a day");
    go(browser, "Book").await;
    browser.click("[data-action=save-head]").await;
    let file = browser
        .downloaded(&format!("B3_{day}_head_{before}.json"))
        .await;
    recorded(browser, before + 1).await;
    browser.upload("#head-file", &file).await;
    let answer = format!("contains it at entry {}", before - 1);
    browser
        .wait_for_text("[data-head-answer=yes]", &answer)
        .await;
    browser.click("[data-action=print-head]").await;
    recorded(browser, before + 2).await;
    browser.wait_for_text("[data-head-out]", "printed").await;
}

/// Every line is there to be read; a search finds some; one is opened by key.
pub async fn log(browser: &Browser) {
    browser.click("[data-tab=log]").await;
    let entries = entries(browser).await;
    browser
        .wait_for(&format!("[data-found='{entries}'][data-done=true]"))
        .await;
    expect_no_barriers(browser).await;
    browser.type_into("#log-words", "wren told").await;
    browser.wait_for("[data-found='1'][data-done=true]").await;
    browser.type_into("#log-words", "is nowhere").await;
    browser.wait_for("[data-found='0']").await;
    browser.type_into("#log-words", " ").await;
    browser.wait_for(&format!("[data-found='{entries}']")).await;
    browser
        .js("document.querySelector('[data-log]').focus()", vec![])
        .await;
    browser.press("End Enter").await;
    browser
        .wait_for_text(".dialog h2", "Entry 0: book opened")
        .await;
    browser
        .wait_for_text("[data-line-text]", "\"kind\":\"book.opened\"")
        .await;
    browser.screenshot("line").await;
    browser.press("Escape").await;
    browser.wait_gone(".dialog").await;
    browser.screenshot("log").await;
}

/// Ida has forgotten her passphrase: the supervisor gives her a new key, and only that one signs.
pub async fn a_lost_passphrase(browser: &Browser) {
    let before = entries(browser).await;
    go(browser, "Office").await;
    tab(browser, "people").await;
    browser.click("[data-row=ida] [data-action=rekey]").await;
    browser.click("[data-action=confirm-rekey]").await;
    browser.wait_for_text(".summary", "Reason is empty").await;
    for (field, text) in [
        ("rekey-reason", "passphrase forgotten"),
        ("rekey-passphrase", NEW_PASSPHRASE),
        ("rekey-passphrase-again", NEW_PASSPHRASE),
    ] {
        browser.type_into(&format!("#{field}"), text).await;
    }
    browser.screenshot("rekey").await;
    browser.click("[data-action=confirm-rekey]").await;
    browser.wait_gone(".dialog").await;
    recorded(browser, before + 1).await;
    ida_signs_in(browser, true).await;
    sign_in(browser, "maud", "Maud Arkell").await;
}

/// With the old passphrase first, if it is to be tried.
async fn ida_signs_in(browser: &Browser, old_first: bool) {
    browser.click(".bar .signer").await;
    browser.click("[data-person=ida]").await;
    if old_first {
        office::unlock(browser).await;
        browser.wait_for(".unlock .field.wrong").await;
    }
    with_the_new_one(browser).await;
}

async fn with_the_new_one(browser: &Browser) {
    browser.type_into("#own-passphrase", NEW_PASSPHRASE).await;
    browser.click("[data-action=unlock]").await;
    browser.wait_gone(".unlock").await;
    browser.wait_for_text(".bar .signer", "Ida Fenn").await;
}

/// The keys are lost with the browser's data, and come back from the file that was saved.
pub async fn keys_brought_in(browser: &mut Browser) {
    go(browser, "Office").await;
    tab(browser, "people").await;
    browser.click("[data-action=save-keys]").await;
    let keys = browser.downloaded("cullbook-keys.jsonl").await;
    browser.js(WIPE_KEYS, vec![]).await;
    browser.goto("/").await;
    browser.click("[data-person=ida]").await;
    office::unlock(browser).await;
    browser
        .wait_for_text(
            ".unlock .field.wrong",
            "No key of this person is on this machine",
        )
        .await;
    browser.screenshot("bring-keys").await;
    browser.upload("#bring-keys", &keys).await;
    browser
        .wait_for_text(".bring-keys", "keys are on this machine now")
        .await;
    with_the_new_one(browser).await;
    sign_in(browser, "maud", "Maud Arkell").await;
    browser.goto("/").await;
    // They are stored, not only held by the page.
    take_the_desk(browser, "maud").await;
}

/// Takes every sealed key off this machine, and leaves the lines.
const WIPE_KEYS: &str = "return new Promise((done, fail) => { \
    const names = Object.keys(localStorage).filter(name => name.includes('key')); \
    names.forEach(name => localStorage.removeItem(name)); \
    const open = indexedDB.open('cullbook-book'); \
    open.onerror = fail; \
    open.onsuccess = () => { \
      const change = open.result.transaction('keys', 'readwrite'); \
      change.objectStore('keys').clear(); \
      change.oncomplete = () => { open.result.close(); done(true); }; }; })";
