//! The afternoon: verdicts, replacement notes, containers under seal, destruction before witnesses.

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
async fn sign_one_after_the_other(browser: &Browser, signers: usize) {
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
async fn wrong_passphrase(browser: &Browser) {
    browser
        .type_into("#own-passphrase", "long meadow at dawn")
        .await;
    browser.click("[data-action=unlock]").await;
    browser
        .wait_for_text(".unlock .error", "The passphrase is not right")
        .await;
    browser.wait_for("[data-signing='0']").await;
}

async fn container(browser: &Browser, number: &str, what: &str) {
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

async fn next(browser: &Browser, step: u8) {
    browser
        .click("[data-action=next-step]:not(:disabled)")
        .await;
    browser
        .wait_for(&format!("[data-step-card='{step}'][aria-current=step]"))
        .await;
}

async fn open_row(browser: &Browser, number: &str) {
    let row = format!("[data-container-row='{number}'] .container-row");
    if browser.count(&format!("{row}[aria-expanded=false]")).await > 0 {
        browser.click(&row).await;
    }
}

/// Counts a container: once wrong, which is refused in words, then right.
async fn count_container(browser: &Browser, number: &str, sheets: &str, notes: &str) {
    open_row(browser, number).await;
    let row = format!("[data-container-row='{number}']");
    browser
        .type_into(&format!("{row} #found-seal"), &format!("S-{number}"))
        .await;
    browser
        .type_into(&format!("{row} #found-sheets"), "9999")
        .await;
    browser
        .type_into(&format!("{row} #found-notes"), notes)
        .await;
    browser.click(&format!("{row} [data-action=compare]")).await;
    browser.wait_for_text(&row, "9999 sheets counted").await;
    browser
        .type_into(&format!("{row} #found-sheets"), sheets)
        .await;
    browser.click(&format!("{row} [data-action=compare]")).await;
    browser.wait_for(&format!("{row} .mark.good")).await;
}

async fn weigh_container(browser: &Browser, number: &str) {
    open_row(browser, number).await;
    let row = format!("[data-container-row='{number}']");
    browser
        .type_into(&format!("{row} #found-gross"), "2500")
        .await;
    browser
        .type_into(&format!("{row} #found-tare"), "1200.5")
        .await;
    browser
        .wait_for_text(&format!("{row} [data-net]"), "1299.5 g")
        .await;
}

/// The guided session, step by step, to the certificate.
pub async fn destroy(browser: &Browser) {
    let counts = [
        declared(browser, "C-1").await,
        declared(browser, "C-2").await,
    ];
    go(browser, "Destroy").await;
    pick(browser, "operator", "ada").await;
    browser.click("#witness-wren").await;
    browser
        .wait_for_text("[data-step-card='1']", "1 of 2 witnesses")
        .await;
    browser.click("#witness-osk").await;
    next(browser, 2).await;
    for number in ["C-1", "C-2"] {
        browser.click(&format!("#choose-{number}")).await;
    }
    next(browser, 3).await;
    for (number, (sheets, notes)) in ["C-1", "C-2"].into_iter().zip(&counts) {
        count_container(browser, number, sheets, notes).await;
    }
    browser.screenshot("destroy-count").await;
    next(browser, 4).await;
    for number in ["C-1", "C-2"] {
        weigh_container(browser, number).await;
    }
    next(browser, 5).await;
    deed(browser).await;
    next(browser, 6).await;
    browser.type_into("#particles-measured", "40").await;
    browser.type_into("#particle", "24").await;
    browser.type_into("#particles-above", "0").await;
    next(browser, 7).await;
    browser.click("[data-action=begin-signing]").await;
    browser.screenshot("destroy-statement").await;
    wrong_passphrase(browser).await;
    sign_one_after_the_other(browser, 3).await;
    browser.wait_for("[data-recorded-session]").await;
    browser.wait_for("[data-certificate]").await;
    browser.screenshot("certificate").await;
}

/// Place, machine, method, class and times; the start lies before the end.
async fn deed(browser: &Browser) {
    browser.type_into("#place", "Spoil cage, hall 2").await;
    browser.type_into("#machine", "Granulator 1").await;
    pick(browser, "method", "granulating").await;
    pick(browser, "class", "P-5").await;
    browser.click("[data-now=started]").await;
    // The clock counts seconds: the end must come after the start.
    tokio::time::sleep(std::time::Duration::from_millis(1100)).await;
    browser.click("[data-now=ended]").await;
    browser.screenshot("destroy-deed").await;
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
