//! The Alike screen: a lot with more of a class than the others is named, then the same beside the
//! book of another bench.

use std::path::Path;

use cullbook::book::BookOpened;
use uuid::Uuid;

use crate::harness::Browser;
use crate::long;
use crate::office::go;
use crate::works::*;

/// A bench with its own lots of 400 sheets; one sheet in so many of each has a tag.
fn bench(name: &str, book: u128, lots: &[(&str, u32)]) -> Works {
    let opening = BookOpened {
        book: Uuid::from_u128(book),
        ..opening()
    };
    let mut works = Works::of_bench(name, opening);
    works.staff();
    for (lot_name, every) in lots {
        works.must("sue", lot(lot_name, 400, None));
        for from in (1..=400).step_by(*every as usize) {
            works.must("ida", examined(lot_name, from, from, &["A1 OM"]));
            let to = (from + every - 1).min(400);
            works.must("ida", examined(lot_name, from + 1, to, &[]));
        }
    }
    works
}

fn saved(folder: &Path, name: &str, works: &Works) -> std::path::PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, works.book.to_jsonl()).expect("the book is written");
    path
}

async fn open_alike(browser: &Browser) {
    go(browser, "Verdicts").await;
    browser.click("[data-view=Alike]").await;
    browser.wait_for("[data-part=classes]").await;
}

/// What the screen says of the classes.
async fn found(browser: &Browser) -> String {
    browser.text("[data-part=classes] h2").await
}

pub async fn own_book_and_another(browser: &Browser) {
    let folder = tempfile::tempdir().expect("a folder");
    let own = bench("B1", 1, &[("L1", 4), ("L2", 20), ("L3", 20)]);
    let other = bench("B2", 2, &[("L4", 2)]);
    let own = saved(folder.path(), "B1.jsonl", &own);
    let other = saved(folder.path(), "B2.jsonl", &other);
    long::come_to(browser, &own, &["sue"]).await;

    open_alike(browser).await;
    let said = found(browser).await;
    assert!(said.starts_with("Lot L1 has more OM"), "{said}");
    assert_eq!(browser.count("[data-books]").await, 0);
    browser.click("[data-by=bench]").await;
    browser
        .wait_for_text("[data-part=classes] h2", "There is one bench only")
        .await;
    browser.click("[data-action=to-day]").await;

    browser.wait_for("#bring-guests").await;
    browser.upload_all("#bring-guests", &[&other]).await;
    browser.wait_for("[data-bench=B2]").await;
    open_alike(browser).await;
    let books = browser.text("[data-books='2'] summary").await;
    assert!(books.contains("B1, B2"), "{books}");
    browser.click("[data-by=bench]").await;
    browser
        .wait_for_text("[data-part=classes] h2", "Bench B2 has more OM")
        .await;
    browser.click("[data-books] summary").await;
    let row = browser.text("[data-book=B2]").await;
    assert!(row.contains("400"), "{row}");
    browser.screenshot("alike").await;
    browser.set_size(1180, 820).await;
    browser.click("[data-lamp-switch]").await;
    browser.screenshot("alike-dim").await;
    browser.set_size(1280, 800).await;

    browser.click("[data-books-of=here]").await;
    browser
        .wait_for_text("[data-part=classes] h2", "There is one bench only")
        .await;
    assert_eq!(browser.count("[data-books]").await, 0);
}
