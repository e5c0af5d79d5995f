//! The built app, used in a real browser from end to end (`make journey`).

mod harness;
mod harness_check;

use harness::journey;

#[tokio::test]
async fn the_app_opens() {
    journey("opens", async |browser| {
        browser.goto("/").await;
        browser.wait_for("main").await;
        browser.screenshot("first").await;
    })
    .await;
}
