//! A destruction before witnesses, step by step; and the same with the browser killed after each.

use std::time::Duration;

use crate::cage::{container, sign_one_after_the_other, wrong_passphrase};
use crate::harness::Browser;
use crate::office::{go, pick, sign_in, take_the_desk, unlock};
use crate::survive::focus_sheet;

/// What the book declares for a container: sheets and notes, as the Cage shows them.
async fn declared(browser: &Browser, number: &str) -> (String, String) {
    let cell = |column: u8| format!("[data-row='{number}'] td.num:nth-of-type({column})");
    let digits = |text: String| {
        text.chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
    };
    (
        digits(browser.text(&cell(2)).await),
        digits(browser.text(&cell(3)).await),
    )
}

/// Records the open step; the next one opens with the keyboard on its heading.
async fn next(browser: &Browser, step: u8) {
    browser
        .click("[data-action=next-step]:not(:disabled)")
        .await;
    at(browser, step).await;
    let focused = "return document.activeElement?.id";
    let focused = browser.js(focused, vec![]).await;
    assert_eq!(focused.as_str(), Some("step-heading"), "step {step}");
}

async fn at(browser: &Browser, step: u8) {
    browser
        .wait_for(&format!("[data-step-card='{step}']"))
        .await;
}

async fn open_row(browser: &Browser, number: &str) -> String {
    let row = format!("[data-container-row='{number}']");
    let closed = format!("{row} .container-row[aria-expanded=false]");
    if browser.count(&closed).await > 0 {
        browser.click(&format!("{row} .container-row")).await;
    }
    row
}

async fn in_row(browser: &Browser, row: &str, fields: &[(&str, &str)]) {
    for (field, text) in fields {
        browser.type_into(&format!("{row} #{field}"), text).await;
    }
}

async fn people(browser: &Browser) {
    browser.type_into("#place", "Spoil cage, hall 2").await;
    pick(browser, "operator", "ada").await;
    browser.click("#witness-wren").await;
    browser
        .wait_for_text("[data-step-card='1']", "1 of 2 witnesses")
        .await;
    browser.click("#witness-osk").await;
}

async fn choose(browser: &Browser, numbers: &[&str]) {
    for number in numbers {
        browser.click(&format!("#choose-{number}")).await;
    }
}

/// Reads each seal; a wrong one is refused in words first.
async fn seals(browser: &Browser, numbers: &[&str]) {
    for number in numbers {
        let row = open_row(browser, number).await;
        in_row(browser, &row, &[("found-seal", "S-XX")]).await;
        browser.wait_for_text(&row, "the seal found is S-XX").await;
        let seal = format!("S-{number}");
        in_row(browser, &row, &[("found-seal", &seal)]).await;
        browser.wait_for(&format!("{row} .mark.good")).await;
    }
}

/// Counts a container: once wrong, which is refused in words, then right.
async fn count(browser: &Browser, number: &str, (sheets, notes): &(String, String)) {
    let row = open_row(browser, number).await;
    in_row(
        browser,
        &row,
        &[("found-sheets", "9999"), ("found-notes", notes)],
    )
    .await;
    browser.click(&format!("{row} [data-action=compare]")).await;
    browser.wait_for_text(&row, "9999 sheets counted").await;
    in_row(browser, &row, &[("found-sheets", sheets)]).await;
    browser.click(&format!("{row} [data-action=compare]")).await;
    browser.wait_for(&format!("{row} .mark.good")).await;
}

async fn weigh(browser: &Browser, number: &str) {
    let row = open_row(browser, number).await;
    let masses = [("found-gross", "2500"), ("found-tare", "1200.5")];
    in_row(browser, &row, &masses).await;
    browser
        .wait_for_text(&format!("{row} [data-net]"), "1299.5 g")
        .await;
}

async fn start(browser: &Browser) {
    browser.type_into("#machine", "Granulator 1").await;
    pick(browser, "method", "granulating").await;
    pick(browser, "class", "P-5").await;
    // The clock counts seconds: the start is not before the session began.
    tokio::time::sleep(Duration::from_millis(1100)).await;
    browser.click("[data-now=started]").await;
}

async fn end(browser: &Browser) {
    tokio::time::sleep(Duration::from_millis(1100)).await;
    browser.click("[data-now=ended]").await;
}

async fn sign(browser: &Browser) {
    browser.click("[data-action=begin-signing]").await;
    browser.screenshot("destroy-statement").await;
    wrong_passphrase(browser).await;
    sign_one_after_the_other(browser, 3).await;
    browser.wait_for("[data-recorded-session]").await;
    browser.wait_for("[data-certificate]").await;
    browser.screenshot("certificate").await;
}

/// The guided session over both containers, to the certificate.
pub async fn destroy(browser: &Browser) {
    let numbers = ["C-1", "C-2"];
    let counts = [
        declared(browser, "C-1").await,
        declared(browser, "C-2").await,
    ];
    go(browser, "Destroy").await;
    people(browser).await;
    next(browser, 2).await;
    choose(browser, &numbers).await;
    next(browser, 3).await;
    seals(browser, &numbers).await;
    next(browser, 4).await;
    for (number, counted) in numbers.into_iter().zip(&counts) {
        count(browser, number, counted).await;
    }
    browser.screenshot("destroy-count").await;
    next(browser, 5).await;
    for number in numbers {
        weigh(browser, number).await;
    }
    next(browser, 6).await;
    start(browser).await;
    browser.screenshot("destroy-start").await;
    next(browser, 7).await;
    end(browser).await;
    next(browser, 8).await;
    browser.type_into("#particles-measured", "60").await;
    browser.type_into("#particle", "24").await;
    browser.type_into("#particles-above", "0").await;
    next(browser, 9).await;
    sign(browser).await;
}

/// The power fails the moment a step is on record, and somebody with the duty goes on.
async fn power_lost(browser: &mut Browser, step: u8) {
    browser.kill_and_restart().await;
    browser.goto("/").await;
    take_the_desk(browser, "ben").await;
    at(browser, step).await;
}

/// One torn sheet in one container under seal.
async fn one_sealed_container(browser: &Browser) {
    sign_in(browser, "ida", "Ida Fenn").await;
    go(browser, "Bench").await;
    focus_sheet(browser).await;
    browser.press("p t Enter").await;
    sign_in(browser, "ben", "Ben Orrin").await;
    go(browser, "Cage").await;
    container(browser, "C-1", "all").await;
}

/// A session in which the browser is killed after every step, a witness goes and comes back, and
/// somebody gives a wrong passphrase three times.
pub async fn killed_at_every_step(browser: &mut Browser) {
    one_sealed_container(browser).await;
    let counted = declared(browser, "C-1").await;
    go(browser, "Destroy").await;
    people(browser).await;
    next(browser, 2).await;
    choose(browser, &["C-1"]).await;
    next(browser, 3).await;
    power_lost(browser, 3).await;
    seals(browser, &["C-1"]).await;
    // What is typed and not recorded comes back after a reload.
    browser.goto("/").await;
    take_the_desk(browser, "ben").await;
    let row = open_row(browser, "C-1").await;
    browser.wait_for(&format!("{row} .mark.good")).await;
    next(browser, 4).await;
    power_lost(browser, 4).await;
    count(browser, "C-1", &counted).await;
    next(browser, 5).await;
    power_lost(browser, 5).await;
    a_witness_goes_and_comes(browser).await;
    weigh(browser, "C-1").await;
    next(browser, 6).await;
    power_lost(browser, 6).await;
    start(browser).await;
    next(browser, 7).await;
    power_lost(browser, 7).await;
    browser
        .wait_for_text(".faults", "cannot be abandoned any more")
        .await;
    end(browser).await;
    next(browser, 8).await;
    power_lost(browser, 8).await;
    browser.type_into("#particles-measured", "60").await;
    browser.type_into("#particle", "24").await;
    browser.type_into("#particles-above", "0").await;
    next(browser, 9).await;
    power_lost(browser, 9).await;
    locked_after_three_tries(browser).await;
}

/// The session waits while one is missing, and goes on when they are back.
async fn a_witness_goes_and_comes(browser: &Browser) {
    browser.click("[data-fault=team] summary").await;
    pick(browser, "team-who", "wren").await;
    browser.type_into("#team-reason", "Called away").await;
    browser.click("[data-action=change-team]").await;
    browser
        .wait_for_text("[data-team]", "left before the weighing")
        .await;
    pick(browser, "team-what", "came").await;
    pick(browser, "team-instead", "wren").await;
    browser.click("[data-action=change-team]").await;
    browser
        .wait_for_text("[data-team]", "came before the weighing")
        .await;
}

async fn locked_after_three_tries(browser: &Browser) {
    browser.click("[data-action=begin-signing]").await;
    browser.wait_for("[data-signing='0']").await;
    for _ in 0..3 {
        browser
            .type_into("#own-passphrase", "long meadow at dawn")
            .await;
        browser.click("[data-action=unlock]").await;
        browser.wait_for(".unlock .error").await;
        browser
            .wait_for("[data-action=unlock]:not(:disabled)")
            .await;
    }
    browser
        .wait_for_text(".unlock", "this key is locked until")
        .await;
    browser
        .wait_for_text("[data-team]", "gave a wrong passphrase three times")
        .await;
    // The right one does not help before the time is over.
    unlock(browser).await;
    browser
        .wait_for_text(".unlock", "this key is locked until")
        .await;
    browser.screenshot("locked").await;
}
