//! The afternoon: verdicts, replacement notes, containers under seal, the balance.

use crate::harness::Browser;
use crate::office::{go, pick, sign_in, unlock};

/// Draws the replacement notes and reports them inserted.
pub async fn draw_and_insert(browser: &Browser) {
    go(browser, "Verdicts").await;
    browser.wait_for_text("[data-figure=open]", "0").await;
    browser.screenshot("verdicts").await;
    browser.click("[data-view='Replacement notes']").await;
    browser.click("[data-action=draw]").await;
    browser.click("[data-action=confirm]").await;
    browser.wait_for("[data-bundle]").await;
    browser.wait_gone("[data-action=draw]").await;
    // One replacement note is torn on insertion: the note it stood for needs another.
    let first = browser.wait_for("[data-bundle] tr[data-row]").await;
    let torn = first
        .attr("data-row")
        .await
        .expect("readable")
        .expect("a serial");
    browser.type_into("#spoiled-serial", &torn).await;
    browser
        .type_into("#spoiled-reason", "Torn on insertion")
        .await;
    browser.click("[data-action=replacement-spoiled]").await;
    browser
        .wait_for_text("[data-action=draw]", "Draw 1 replacement note")
        .await;
    browser.click("[data-action=draw]").await;
    browser.click("[data-action=confirm]").await;
    browser.wait_gone("[data-action=draw]").await;
    browser.screenshot("pick-list").await;
    browser.click("[data-action=inserted-all]").await;
    browser.click("[data-action=confirm]").await;
    browser.wait_gone("[data-action=inserted-all]").await;
    // Every box is complete now and gets its label.
    browser.click("[data-view=Labels]").await;
    browser
        .wait_for("[data-box='40'] [data-action=label-100]")
        .await;
    browser.screenshot("labels").await;
}

/// Everybody asked signs with their own passphrase, and it is recorded.
pub async fn sign_one_after_the_other(browser: &Browser, signers: usize) {
    for signed in 0..signers {
        browser
            .wait_for(&format!("[data-signing='{signed}']"))
            .await;
        unlock(browser).await;
    }
    browser
        .wait_for(&format!("[data-signing='{signers}']"))
        .await;
    browser.screenshot("signed").await;
    browser.click("[data-action=record-signed]").await;
}

/// A passphrase that is not theirs signs nothing.
pub async fn wrong_passphrase(browser: &Browser) {
    browser
        .type_into("#own-passphrase", "long meadow at dawn")
        .await;
    browser.click("[data-action=unlock]").await;
    browser
        .wait_for_text(".unlock .error", "The passphrase is not right")
        .await;
    browser.wait_for("[data-signing='0']").await;
}

pub async fn container(browser: &Browser, number: &str, what: &str) {
    browser.click("[data-work=Open]").await;
    browser.type_into("#container", number).await;
    browser.click("[data-action=open-container]").await;
    browser.wait_for(&format!("[data-row='{number}']")).await;
    browser.click("[data-work=Fill]").await;
    pick(browser, "fill-container", number).await;
    pick(browser, "fill-what", what).await;
    browser.click("[data-action=fill-container]").await;
    browser
        .wait_for(&format!(
            "[data-row='{number}'] [data-action=seal]:not(:disabled)"
        ))
        .await;
    browser.click("[data-work=Seal]").await;
    pick(browser, "seal-container", number).await;
    for field in ["seal-number", "seal-again"] {
        browser
            .type_into(&format!("#{field}"), &format!("S-{number}"))
            .await;
    }
    browser.type_into("#seal-gross", "2500").await;
    pick(browser, "seal-second", "ada").await;
    browser.click("[data-action=seal-container]").await;
    sign_one_after_the_other(browser, 1).await;
    browser
        .wait_for(&format!("[data-row='{number}'] .mark.sealed"))
        .await;
}

/// All spoils into two containers, each sealed by two people.
pub async fn fill_and_seal(browser: &Browser) {
    go(browser, "Cage").await;
    container(browser, "C-1", "sheets").await;
    container(browser, "C-2", "all").await;
    browser.wait_gone("[data-kind=notes]").await;
    browser.screenshot("cage").await;
}

/// The lot balances to zero and is closed.
pub async fn balance_and_close(browser: &Browser) {
    sign_in(browser, "maud", "Maud Arkell").await;
    go(browser, "Balance").await;
    for identity in ["Sheets", "Notes", "Replacement notes", "Spoils"] {
        browser
            .wait_for_text(
                &format!("[data-identity='{identity}'] [data-side=difference]"),
                "0",
            )
            .await;
    }
    browser.screenshot("balance").await;
    browser.click("[data-action=close-lot]").await;
    browser.click("[data-action=confirm]").await;
    browser.wait_for("[data-lot-closed]").await;
}
