//! The built app, used in a real browser from end to end (`make journey`).

mod bench;
mod harness;
mod harness_check;
mod office;

use harness::journey;

/// One whole day, from an empty browser to the exported record, recomputed by an independent
/// script.
#[tokio::test]
async fn one_whole_day() {
    journey("day", async |browser| {
        browser.set_size(1280, 800).await;
        office::open_book(browser).await;
        office::set_up(browser).await;
        office::sign_in(browser, "ida", "Ida Fenn").await;
        bench::read_machine_file(browser).await;
        bench::by_keyboard(browser).await;
        bench::by_mouse(browser).await;
        bench::correct(browser).await;
        bench::by_the_range(browser).await;
        let (median, p99) = bench::key_times(browser).await;
        println!("key to changed page: median {median:.1} ms, 99th percentile {p99:.1} ms");
        browser.expect_clean_console().await;
    })
    .await;
}
