//! The harness against a small page of known behaviour: a journey can trust each helper.

use std::fs;
use std::path::Path;

use crate::harness::{Browser, journey_in};

async fn on_fixture(name: &str, steps: impl AsyncFnOnce(&mut Browser)) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/journey/fixture");
    journey_in(&folder, name, steps).await;
}

#[tokio::test]
async fn drives_a_page() {
    on_fixture("drives", async |browser| {
        browser.set_size(900, 700).await;
        browser.goto("/").await;
        browser.click("#count").await;
        browser.wait_for_text("#count", "1").await;
        browser.press("Shift+ArrowDown x +").await;
        browser.scan("A1").await;
        // A shifted character carries the shift state, as on a keyboard.
        let keys = "[shift Shift][shift ArrowDown][x][shift +][shift A][1][Enter]";
        assert_eq!(browser.text("#keys").await, keys);
        browser.type_into("#field", "first").await;
        browser.type_into("#field", "second").await;
        let value = browser.js(
            "return document.getElementById(arguments[0]).value",
            vec!["field".into()],
        );
        assert_eq!(value.await, "second");
        let title = browser.client().title().await.expect("a title");
        assert_eq!(title, "Harness check");
    })
    .await;
}

#[tokio::test]
async fn moves_files_and_takes_pictures() {
    on_fixture("files", async |browser| {
        browser.goto("/").await;
        let given = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/webdriver.json");
        browser.upload("#file", &given).await;
        browser.wait_for_text("#file-text", "--headless=new").await;
        browser.click("#save").await;
        let saved = browser.downloaded("saved.txt").await;
        assert_eq!(
            fs::read_to_string(saved).expect("the file is there"),
            "saved text"
        );
        let picture = fs::read(browser.screenshot("page").await).expect("the picture is there");
        assert!(picture.starts_with(b"\x89PNG"));
    })
    .await;
}

#[tokio::test]
async fn hears_complaints_and_finds_barriers() {
    on_fixture("complaints", async |browser| {
        browser.goto("/").await;
        browser.click("#complain").await;
        let console = browser.console().await;
        assert!(
            console
                .iter()
                .any(|line| line.contains("Content Security Policy")),
            "{console:?}"
        );
        browser.forget_console().await;
        let barriers = browser.axe().await;
        assert!(
            barriers
                .iter()
                .any(|line| line.starts_with("label (critical)")),
            "{barriers:?}"
        );
        browser
            .js("document.getElementById('unnamed').remove()", vec![])
            .await;
        browser.wait_gone("#unnamed").await;
        assert_eq!(browser.axe().await, Vec::<String>::new());
    })
    .await;
}

#[tokio::test]
async fn comes_back_on_the_same_profile() {
    on_fixture("restarts", async |browser| {
        browser.goto("/").await;
        browser.click("#count").await;
        browser.restart().await;
        browser.goto("/").await;
        assert_eq!(browser.text("#kept").await, "kept 1");
        browser.kill_and_restart().await;
        browser.goto("/").await;
        assert_eq!(browser.text("#kept").await, "kept 1");
        browser.unplug();
        browser.plug_in();
        browser.goto("/").await;
        browser.wait_for("#count").await;
    })
    .await;
}
