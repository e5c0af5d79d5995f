//! Closed days leave the browser step by step; a crash between any two leaves a book.

use cullbook::book::{Book, DayClosed, Entry, LotClosed, Refusal, Unsettled};
use cullbook::desk::archiving::{
    NotTheArchive, SECOND, Step, checkpoint, is_archive, is_archive_head,
};
use cullbook::desk::forms::Typed;
use cullbook::desk::{Action, Startup};
use cullbook::export::read_head;

use crate::machine::Bench;

/// Every sheet is good, lot and day are closed, and the supervisor is signed in.
fn settled() -> Bench {
    let mut bench = Bench::new();
    bench.keys(&["-", "2", "5", "0", "Enter"]);
    bench.sign_in("maud");
    let lot = "T-1".parse().unwrap();
    bench
        .record(vec![Entry::LotClosed(LotClosed { lot })])
        .unwrap();
    let day = "2026-11-25".parse().unwrap();
    bench
        .record(vec![Entry::DayClosed(DayClosed { day })])
        .unwrap();
    bench
}

fn confirmed_by(bench: &Bench, second: &str) -> Result<Entry, cullbook::desk::forms::FieldErrors> {
    let typed = Typed::with([(SECOND, second)]);
    let by = bench.desk.signed_in.unwrap();
    checkpoint(&typed, &bench.desk.book, by)
}

/// What is stored opens as a book with this head.
fn opens(bench: &mut Bench, head: cullbook::book::Hash) {
    bench.reload();
    assert_eq!(bench.desk.startup, Startup::Ready);
    assert_eq!(
        (bench.desk.book.head(), bench.stored_book().head()),
        (head, head)
    );
}

#[test]
fn the_steps_follow_each_other_and_each_survives_a_reload() {
    let mut bench = settled();
    assert_eq!(bench.desk.archiving(), Step::Show);
    let archive = bench.desk.book.to_jsonl();
    let head = bench.desk.book.head();
    opens(&mut bench, head);
    bench.sign_in("maud");
    assert_eq!(bench.desk.archiving(), Step::Show);
    assert_eq!(is_archive(&bench.desk.book, archive.as_bytes()), Ok(()));
    bench.act(Action::ArchiveSeen(head)).unwrap();
    assert_eq!(bench.desk.archiving(), Step::Sign);
    let nothing = Err(Refusal::NothingArchived);
    assert_eq!(
        bench.act(Action::DropArchived),
        nothing,
        "not before it is signed"
    );
    let entry = confirmed_by(&bench, "ben").unwrap();
    bench.record_signed(entry).unwrap();
    assert_eq!(bench.desk.archiving(), Step::Remove);
    // The power fails before anything is removed.
    let head = bench.desk.book.head();
    opens(&mut bench, head);
    assert_eq!(bench.desk.book.first_seq(), 0);
    let why = bench.act(Action::DropArchived).unwrap_err();
    assert!(
        why.to_string().contains("may not archive closed days"),
        "{why}"
    );
    bench.sign_in("maud");
    let whole = bench.stored.len() as u64;
    bench.act(Action::DropArchived).unwrap();
    assert_eq!(bench.stored.len(), 1);
    assert_eq!(
        (bench.desk.book.first_seq(), bench.desk.book.len()),
        (whole - 1, whole)
    );
    assert_eq!(bench.desk.archiving(), Step::NothingClosed);
    opens(&mut bench, head);
    let joined = archive + &bench.desk.book.to_jsonl();
    let joined = Book::read_file(joined.as_bytes()).unwrap();
    assert_eq!((joined.first_seq(), joined.head()), (0, head));
    // And the book grows on, in the store too.
    bench.sign_in("maud");
    let copy = cullbook::book::CopyTaken {
        what: cullbook::book::Copied::Book,
        head,
        how: None,
        to: None,
    };
    bench.record(vec![Entry::CopyTaken(copy)]).unwrap();
    assert_eq!(bench.stored_book().len(), whole + 1);
    assert_eq!(bench.act(Action::DropArchived), nothing);
}

#[test]
fn what_is_not_the_archive_is_told_apart() {
    let mut bench = settled();
    let book = &bench.desk.book;
    let file = book.to_jsonl();
    let last = book.len() - 1;
    assert_eq!(is_archive(book, file.as_bytes()), Ok(()));
    let older: String = file.split_inclusive('\n').take(last as usize).collect();
    assert_eq!(
        is_archive(book, older.as_bytes()),
        Err(NotTheArchive::Older { last: last - 1 })
    );
    let cut = file.trim_end();
    let differs = |entry| Err(NotTheArchive::Differs { entry });
    assert_eq!(is_archive(book, cut.as_bytes()), differs(last));
    let changed = file.replacen("Ida Fenn", "Ida Finn", 1);
    let line = file.lines().position(|line| line.contains("Ida Fenn"));
    let line = line.unwrap() as u64;
    assert_eq!(is_archive(book, changed.as_bytes()), differs(line));
    let longer = file.clone() + "{}\n";
    assert_eq!(is_archive(book, longer.as_bytes()), differs(last + 1));
    assert_eq!(is_archive(book, b""), differs(0));
    let now = read_head(&book.head().to_string()).unwrap();
    assert_eq!(is_archive_head(book, &now), Ok(()));
    let code = book.whole_head().unwrap().code().to_string();
    assert_eq!(is_archive_head(book, &read_head(&code).unwrap()), Ok(()));
    let before = book.head_after(last).unwrap().to_string();
    assert_eq!(
        is_archive_head(book, &read_head(&before).unwrap()),
        Err(NotTheArchive::Older { last: last - 1 })
    );
    let other = read_head(&"1".repeat(64)).unwrap();
    assert!(matches!(
        is_archive_head(book, &other),
        Err(NotTheArchive::OtherHead(_))
    ));
    // A copy noted meanwhile is one more entry: what was shown is not the archive any more.
    let head = book.head();
    bench.act(Action::ArchiveSeen(head)).unwrap();
    assert_eq!(bench.desk.archiving(), Step::Sign);
    let day = "2026-11-25".parse().unwrap();
    let again = bench.record(vec![Entry::DayClosed(DayClosed { day })]);
    assert!(again.is_err() && bench.desk.archiving() == Step::Sign);
    let classes = cullbook::inspect::starter_catalogue();
    let classes = cullbook::book::ClassesSet { classes };
    bench.record(vec![Entry::ClassesSet(classes)]).unwrap();
    assert_eq!(bench.desk.archiving(), Step::Show);
}

#[test]
fn the_form_names_who_is_missing_and_what_is_open() {
    let mut bench = Bench::new();
    assert_eq!(bench.desk.archiving(), Step::NothingClosed);
    bench.keys(&["Enter"]);
    bench.sign_in("maud");
    let open = confirmed_by(&bench, "ben").unwrap_err();
    let said = open.of("").unwrap();
    assert!(
        said.contains("lot T-1 is open: close it (Balance)"),
        "{said}"
    );
    let bench = settled();
    let error = |second: &str| {
        let errors = confirmed_by(&bench, second).unwrap_err();
        errors.of(SECOND).unwrap().to_owned()
    };
    assert!(error("").starts_with("Choose who has seen"));
    assert!(error("maud").starts_with("Choose someone other"));
    assert!(error("a b").contains("a b"));
    assert!(confirmed_by(&bench, "ada").is_ok());
    assert!(Unsettled::NotOpened.to_string().contains("open it first"));
    let (leaves, stays) = bench.desk.archive_saves().unwrap();
    assert_eq!(leaves, bench.desk.book.to_jsonl().len() as u64);
    assert!(stays > 1_000, "{stays}");
}

/// Archived and removed; the book is one checkpoint.
fn cut() -> Bench {
    let mut bench = settled();
    let head = bench.desk.book.head();
    bench.act(Action::ArchiveSeen(head)).unwrap();
    let entry = confirmed_by(&bench, "ben").unwrap();
    bench.record_signed(entry).unwrap();
    bench
}

#[test]
fn either_home_gives_back_a_book_that_begins_with_a_checkpoint() {
    let mut bench = cut();
    let head = bench.desk.book.head();
    let whole = bench.stored.len() as u64;
    let before = bench.pocket.clone();
    bench.act(Action::DropArchived).unwrap();
    let lines = |bench: &Bench| {
        let pocket = bench.pocket.iter().flatten();
        pocket.filter(|(name, _)| name.starts_with("line/")).count()
    };
    assert_eq!((bench.stored.len(), lines(&bench)), (1, 1));
    // The power failed between the two homes: the second still has the old lines, and lets go.
    bench.pocket = before;
    opens(&mut bench, head);
    assert_eq!((bench.desk.book.first_seq(), lines(&bench)), (whole - 1, 1));
    // The first is wiped, then the second.
    bench.stored.clear();
    opens(&mut bench, head);
    assert_eq!(bench.desk.book.first_seq(), whole - 1);
    bench.pocket = Some(Default::default());
    opens(&mut bench, head);
    assert_eq!(lines(&bench), 1);
    // Before anything is removed a wiped first home comes back from its checkpoint or whole.
    let mut bench = cut();
    let head = bench.desk.book.head();
    bench.stored.clear();
    opens(&mut bench, head);
}
