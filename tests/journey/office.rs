//! Opening the book and setting the works up, as a supervisor does on the first morning.

use crate::harness::Browser;

/// Everybody's passphrase on this day.
pub const PASSPHRASE: &str = "long meadow at dusk";

/// The lot of the journey.
pub const LOT: &str = "BW-0412";

/// Opens a new book through the first page and signs its supervisor in.
pub async fn open_book(browser: &Browser) {
    browser.goto("/").await;
    browser.wait_for(".ways").await;
    browser.screenshot("first-visit").await;
    browser.click(".ways form button[type=submit]").await;
    browser.wait_for_text(".summary", "Works is empty").await;
    for (field, text) in [
        ("works", "Brackwater works"),
        ("bench", "B3"),
        ("name", "Maud Arkell"),
        ("person", "maud"),
        ("passphrase", PASSPHRASE),
        ("passphrase-again", PASSPHRASE),
    ] {
        browser.type_into(&format!("#{field}"), text).await;
    }
    browser.click(".ways form button[type=submit]").await;
    take_the_desk(browser, "maud").await;
    browser.wait_for_text(".bar", "Maud Arkell").await;
}

/// Chooses who one is and opens the key.
pub async fn take_the_desk(browser: &Browser, code: &str) {
    browser.click(&format!("[data-person={code}]")).await;
    unlock(browser).await;
    browser.wait_gone(".unlock").await;
}

/// Types the passphrase that is asked for.
pub async fn unlock(browser: &Browser) {
    browser.type_into("#own-passphrase", PASSPHRASE).await;
    browser.click("[data-action=unlock]").await;
}

/// Hands the desk to someone else.
pub async fn sign_in(browser: &Browser, code: &str, name: &str) {
    browser.click(".bar .signer").await;
    take_the_desk(browser, code).await;
    browser.wait_for_text(".bar .signer", name).await;
}

pub async fn go(browser: &Browser, screen: &str) {
    browser.click(&format!("[data-screen={screen}]")).await;
}

pub async fn tab(browser: &Browser, slug: &str) {
    browser.click(&format!("[data-tab={slug}]")).await;
}

async fn fill(browser: &Browser, fields: &[(&str, &str)]) {
    for (field, text) in fields {
        browser.type_into(&format!("#{field}"), text).await;
    }
}

/// Picks from a list by its value.
pub async fn pick(browser: &Browser, field: &str, value: &str) {
    let element = browser.wait_for(&format!("#{field}")).await;
    element
        .select_by_value(value)
        .await
        .unwrap_or_else(|e| panic!("#{field} has no {value}: {e}"));
}

/// People, product, replacement series and a numbered lot of 10 000 sheets.
pub async fn set_up(browser: &Browser) {
    go(browser, "Office").await;
    people(browser).await;
    tab(browser, "products").await;
    fill(
        browser,
        &[("product-id", "M20"), ("product-title", "20 merin")],
    )
    .await;
    browser.screenshot("office-product").await;
    browser.click("[data-action=define-product]").await;
    browser.wait_for("[data-row=M20]").await;
    tab(browser, "series").await;
    fill(
        browser,
        &[
            ("series-id", "R20"),
            ("series-prefix", "CR"),
            ("series-last", "40000"),
        ],
    )
    .await;
    browser.click("[data-action=add-series]").await;
    browser.wait_for("[data-row=R20]").await;
    lot(browser).await;
}

async fn people(browser: &Browser) {
    tab(browser, "people").await;
    let list = [
        ("ida", "Ida Fenn", "inspector"),
        ("ben", "Ben Orrin", "custodian"),
        ("ada", "Ada Merrow", "custodian"),
        ("wren", "Wren Hale", "witness"),
        ("osk", "Oskar Lind", "witness"),
    ];
    for (code, name, role) in list {
        enrol(browser, code, name, role).await;
    }
}

/// On the people's tab of the Office.
pub async fn enrol(browser: &Browser, code: &str, name: &str, role: &str) {
    let fields = [("person-code", code), ("person-name", name)];
    let twice = ["passphrase", "passphrase-again"].map(|field| (field, PASSPHRASE));
    fill(browser, &fields).await;
    fill(browser, &twice).await;
    browser.click(&format!("#person-{role}")).await;
    browser.click("[data-action=enrol]").await;
    browser.wait_for(&format!("[data-row={code}]")).await;
}

async fn lot(browser: &Browser) {
    tab(browser, "lots").await;
    let fields = [
        ("lot-id", LOT),
        ("lot-sheets", "10 000"),
        ("lot-prefix", "CM"),
        ("lot-groups", "2 7"),
    ];
    fill(browser, &fields).await;
    // A run that would need more figures than there are is refused beside its field.
    fill(browser, &[("lot-run-1-first", "9900001")]).await;
    browser.click("[data-action=open-lot]").await;
    browser.wait_for(".field.wrong #lot-run-1-first").await;
    fill(browser, &[("lot-run-1-first", "4200001")]).await;
    browser.screenshot("office-lot").await;
    browser.click("[data-action=open-lot]").await;
    browser
        .click(&format!("[data-row={LOT}] [data-action=to-bench]"))
        .await;
    browser.wait_for("[data-sheet-grid]").await;
}
