//! The built app, used in a real browser from end to end (`make journey`).

mod alike;
mod archive;
mod bench;
mod cage;
mod harness;
mod harness_check;
mod heads;
mod homes;
mod long;
#[path = "../book/long.rs"]
mod long_book;
mod long_day;
mod office;
mod offline;
mod record;
mod session;
mod several;
mod survive;
mod workbook;
#[path = "../book/works.rs"]
mod works;

use harness::{Browser, FileServer, dist, journey, journey_in, journey_on};

/// One whole day, from an empty browser to the exported record, recomputed by an independent
/// script.
async fn whole_day(browser: &mut Browser) {
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
    office::sign_in(browser, "maud", "Maud Arkell").await;
    cage::draw_and_insert(browser).await;
    office::sign_in(browser, "ben", "Ben Orrin").await;
    cage::fill_and_seal(browser).await;
    session::destroy(browser).await;
    cage::balance_and_close(browser).await;
    let (book, day, workbook) = record::close_and_export(browser).await;
    record::recomputed(&book, &day);
    record::made_again(&book, &workbook);
    record::reopen(browser).await;
    browser.expect_clean_console().await;
}

#[tokio::test]
async fn one_whole_day() {
    journey("day", whole_day).await;
}

/// The same day behind the web server and the site file that a works would use.
#[tokio::test]
async fn one_whole_day_behind_nginx() {
    journey_on(FileServer::Nginx, &dist(), "nginx", whole_day).await;
}

#[tokio::test]
async fn works_without_the_server() {
    journey("offline", async |browser| {
        offline::held_app(browser).await;
        offline::can_be_installed(browser).await;
        offline::opens_without_the_server(browser).await;
    })
    .await;
}

#[tokio::test]
async fn a_newer_version_waits_for_the_word() {
    let release = offline::Release::first();
    journey_in(release.path(), "upgrade", async |browser| {
        offline::held_app(browser).await;
        offline::a_spoiled_build_is_given_up(browser, &release).await;
        offline::a_newer_build_waits(browser, &release).await;
        offline::a_newer_build_is_used(browser).await;
    })
    .await;
}

/// A book of 20,000 lines on a new machine: usable at once, never held up, quick to write on.
#[tokio::test]
#[ignore = "measures the machine: cargo test --features journey --test journey -- --ignored a_long_book"]
async fn a_long_book() {
    journey("long", async |browser| {
        browser.set_size(1280, 800).await;
        long::brought_in(browser).await;
        long::opened_cold(browser).await;
        long::written_on(browser).await;
    })
    .await;
}

/// Closed days are archived and removed, and the book goes on behind a checkpoint.
#[tokio::test]
async fn closed_days_are_archived() {
    journey("archive", async |browser| {
        browser.set_size(1280, 800).await;
        let (archive, archived) = archive::closed_days_leave(browser).await;
        archive::the_book_goes_on(browser, &archive, archived).await;
        browser.expect_clean_console().await;
    })
    .await;
}

/// Books of other benches are laid beside the own one, and the file of their day is checked.
#[tokio::test]
async fn several_benches_have_one_day() {
    journey("several", async |browser| {
        browser.set_size(1280, 800).await;
        several::laid_together(browser).await;
    })
    .await;
}

/// Lots and benches side by side, in the own book and with the book of another bench.
#[tokio::test]
async fn lots_and_benches_are_alike_or_not() {
    journey("alike", async |browser| {
        browser.set_size(1280, 800).await;
        alike::own_book_and_another(browser).await;
        browser.expect_clean_console().await;
    })
    .await;
}

/// The day of 32 other benches, 10,000 entries each: the page is never held up.
#[tokio::test]
#[ignore = "measures the machine: cargo test --features journey --test journey -- --ignored many_benches"]
async fn many_benches() {
    journey("many-benches", async |browser| {
        browser.set_size(1280, 800).await;
        several::of_many_benches(browser).await;
    })
    .await;
}

/// The record of a day of 100,000 entries: soon shown, the page never held up.
#[tokio::test]
#[ignore = "measures the machine: cargo test --features journey --test journey -- --ignored a_long_day"]
async fn a_long_day() {
    journey("long-day", async |browser| {
        browser.set_size(1280, 800).await;
        long_day::of_100_000_entries(browser).await;
    })
    .await;
}

/// A workbook of 100,000 rows: how far it is, a stop, and the whole of it.
#[tokio::test]
#[ignore = "measures the machine: cargo test --features journey --test journey -- --ignored a_long_workbook"]
async fn a_long_workbook() {
    journey("workbook", async |browser| {
        browser.set_size(1280, 800).await;
        workbook::of_100_000_rows(browser).await;
    })
    .await;
}

#[tokio::test]
async fn heads_and_keys_leave_and_come_back() {
    journey("heads", async |browser| {
        heads::small_works(browser).await;
        heads::health(browser).await;
        heads::told_and_typed_again(browser).await;
        heads::saved_and_loaded(browser).await;
        heads::log(browser).await;
        heads::a_lost_passphrase(browser).await;
        heads::keys_brought_in(browser).await;
    })
    .await;
}

/// What was shown as recorded is there afterwards, whatever happens to the browser.
#[tokio::test]
async fn what_is_recorded_survives() {
    journey("survive", async |browser| {
        at_the_bench(browser).await;
        survive::a_killed_browser(browser, survive::kills()).await;
        survive::an_unfinished_sheet(browser).await;
        survive::a_panic(browser).await;
        survive::a_changed_line(browser).await;
        browser.expect_clean_console().await;
    })
    .await;
}

/// Either home wiped, a fork: mended and said, or stopped and said.
#[tokio::test]
async fn the_book_has_two_homes() {
    journey("homes", async |browser| {
        at_the_bench(browser).await;
        homes::a_wiped_second_home(browser).await;
        homes::a_wiped_first_home(browser).await;
        homes::a_fork(browser).await;
        browser.forget_console().await;
        homes::a_newer_store(browser).await;
    })
    .await;
}

#[tokio::test]
async fn one_tab_writes() {
    journey("tabs", async |browser| {
        homes::a_held_store(browser).await;
        // Beside the app there is no favicon.
        browser.forget_console().await;
        at_the_bench(browser).await;
        homes::two_tabs(browser).await;
    })
    .await;
}

/// A new book with a lot on the bench and an inspector before it.
async fn at_the_bench(browser: &Browser) {
    browser.set_size(1280, 800).await;
    office::open_book(browser).await;
    office::set_up(browser).await;
    office::sign_in(browser, "ida", "Ida Fenn").await;
    office::go(browser, "Bench").await;
}
/// A destruction goes on after the power was lost at each of its steps.
#[tokio::test]
async fn a_session_survives() {
    journey("session", async |browser| {
        browser.set_size(1180, 820).await;
        office::open_book(browser).await;
        office::set_up(browser).await;
        session::killed_at_every_step(browser).await;
        browser.expect_clean_console().await;
    })
    .await;
}
