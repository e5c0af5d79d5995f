//! Closed days leave, and the book goes on from a checkpoint.

use cullbook::book::*;
use cullbook::custody::ResidueError;
use cullbook::people::{Duty, PersonId};
use cullbook::sheet::Run;

use crate::works::*;

/// Everything of the 25th is destroyed, closed and ready to be archived; the clock is at the 27th.
fn settled() -> Works {
    let mut works = Works::destroyed();
    works.must("sue", lot_closed("L1"));
    works.must("sue", day_closed("2026-11-25"));
    works.set_clock("2026-11-27", 8 * 3600);
    works
}

fn read(texts: &[std::rc::Rc<str>]) -> Result<Book, BookError> {
    Book::read(texts.iter().map(|text| &**text))
}

/// The book, and the same without what is in the archive.
pub fn cut() -> (Works, Works, String) {
    let mut works = settled();
    let archive = works.book.to_jsonl();
    let checkpoint = works.checkpoint("cal");
    works.must("sue", checkpoint);
    let cut = works.state().archive.lines() as usize;
    let mut rest = works.clone();
    rest.book = read(&works.book.texts()[cut..]).unwrap();
    (works, rest, archive)
}

#[test]
fn the_archive_and_the_rest_are_one_book_and_the_rest_is_one_too() {
    let (works, rest, archive) = cut();
    let lines = archive.lines().count() as u64;
    assert_eq!((rest.book.first_seq(), rest.book.len()), (lines, lines + 1));
    assert_eq!(rest.book.head(), works.book.head());
    assert_eq!(
        format!("{:?}", rest.state()),
        format!("{:?}", works.state()),
        "both readings come to the same"
    );
    let joined = archive.clone() + &rest.book.to_jsonl();
    assert_eq!(joined, works.book.to_jsonl());
    let joined = Book::read(joined.lines()).unwrap();
    assert_eq!((joined.first_seq(), joined.head()), (0, works.book.head()));
    assert_eq!(rest.book.head_after(lines), joined.head_after(lines));
    assert_eq!(rest.book.head_after(lines - 1), None);
    assert_eq!(rest.book.text(lines - 1), None);
    assert_eq!(rest.book.text(lines), joined.text(lines));
}

#[test]
fn a_book_that_begins_at_a_checkpoint_goes_on_and_names_true_entries() {
    let (_, mut rest, _) = cut();
    let first = rest.book.first_seq();
    rest.must("sue", lot("L2", 12, Some(numbered("KB", 12, 0))));
    rest.must("ida", examined("L2", 1, 1, &["A1 PH"]));
    assert_eq!(rest.lot("L2").seq, first + 1);
    assert_eq!(rest.last_word("L2", 1), first + 2);
    let life = rest.book.life(&Subject::Sheet(id("L2"), sheet(1)));
    let entries: Vec<u64> = life.iter().map(|step| step.entry).collect();
    assert_eq!(entries, [first + 1, first + 2]);
    let draw = rest.draw("L2", "R1");
    rest.must("sue", draw);
    let new = rest.drawn("R1");
    assert_eq!(new[0].to_string(), "ZR000008", "behind the eight settled");
    rest.must("sue", spoiled("R1", new));
    let again = read(rest.book.texts()).unwrap();
    assert_eq!(again.head(), rest.book.head());
    let mut altered: Vec<_> = rest.book.texts().to_vec();
    altered[2] = altered[2].replace("\"A1\"", "\"A2\"").into();
    let why = read(&altered).unwrap_err();
    let by: PersonId = id("ida");
    assert_eq!(
        why,
        BookError::Signature {
            line: first + 2,
            by
        }
    );
}

/// Scales and paper go along; a receipt that is in the archive stays used.
#[test]
fn what_weighings_need_is_carried_over_and_no_receipt_is_used_twice() {
    let mut works = Works::destroyed();
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("sue", paper("M20"));
    let sent = residue(&["D1"], "R-1", "2026-11-25");
    works.must("cal", Entry::ResidueSent(sent));
    let sent_in = works.book.len() - 1;
    works.must("sue", lot_closed("L1"));
    works.must("sue", day_closed("2026-11-25"));
    works.set_clock("2026-11-27", 8 * 3600);
    let checkpoint = works.checkpoint("cal");
    works.must("sue", checkpoint);
    let first = works.state().archive.lines() as usize;
    works.book = read(&works.book.texts()[first..]).unwrap();
    let state = works.state();
    assert_eq!((state.scales.len(), state.papers.len()), (1, 1));
    let receipts = &state.archive.receipts;
    let known: Vec<_> = receipts
        .iter()
        .map(|one| (&*one.receipt, one.entry))
        .collect();
    assert_eq!(known, [("R-1", sent_in)]);
    works.must("sue", lot("L2", 12, Some(numbered("KB", 12, 0))));
    works.must("ida", examined("L2", 1, 1, &["A1 PH"]));
    let all = works.fill("C2");
    works.must("cal", container("C2"));
    works.must("cal", all);
    works.must("cal", sealed("C2", "S-C2", "cas"));
    let record = works.destruction("D2", &["C2"]);
    works.must("cal", Entry::SpoilsDestroyed(record));
    let named = Unsettled::Residue(id("D2"));
    assert!(unsettled(works.state()).contains(&named), "{named}");
    let again = Entry::ResidueSent(residue(&["D2"], "R-1", "2026-11-27"));
    let used = Refusal::Residue(ResidueError::ReceiptUsed {
        receipt: "R-1".to_owned(),
        destination: "Calder board mill".to_owned(),
        entry: sent_in,
    });
    assert_eq!(works.refused("cal", again), used);
    let other = residue(&["D2"], "R-2", "2026-11-27");
    works.must("cal", Entry::ResidueSent(other));
    assert!(!unsettled(works.state()).contains(&named));
}

#[test]
fn each_thing_that_is_not_settled_is_named_with_where_to_mend_it() {
    let names = |works: &Works| -> Vec<String> {
        let found = unsettled(works.state()).into_iter();
        found.map(|one| one.to_string()).collect()
    };
    let mut works = Works::examined();
    let draw = works.draw("L1", "R1");
    works.must("sue", draw);
    works.must("cal", container("C1"));
    works.must("cal", container("C2"));
    let all = works.fill("C1");
    works.must("cal", all);
    assert_eq!(
        names(&works),
        [
            "lot L1 is open: close it (Balance)",
            "8 replacement notes are on hand: insert or return them (Verdicts, Replacement notes)",
            "3 spoils are not destroyed: see where they lie (Cage)",
            "container C1 is not empty: destroy what it holds (Destroy)",
            "day 2026-11-25 is not closed: close it (Day)",
        ]
    );
    let mut works = Works::destroyed();
    works.must("sue", lot_closed("L1"));
    assert_eq!(
        names(&works),
        ["day 2026-11-25 is not closed: close it (Day)"]
    );
    works.must("sue", day_closed("2026-11-25"));
    assert!(names(&works).is_empty());
    works.must("cal", container("C2"));
    assert!(
        names(&works).is_empty(),
        "an empty container may stand open"
    );
    let next = works.checkpoint("cal");
    works.must("sue", lot("L2", 2, None));
    let why = works.refused("sue", next);
    assert_eq!(
        why,
        Refusal::OtherArchive,
        "something was recorded meanwhile"
    );
    let Entry::BookCheckpoint(mut data) = settled().checkpoint("cal") else {
        unreachable!("it is a checkpoint")
    };
    data.archived = works.archived();
    let why = works.refused("sue", Entry::BookCheckpoint(data));
    let open = Unsettled::Lots {
        open: 1,
        first: id("L2"),
    };
    assert_eq!(why, Refusal::NotSettled(open));
}

#[test]
fn a_supervisor_writes_it_and_a_custodian_or_supervisor_confirms() {
    let mut works = settled();
    let checkpoint = works.checkpoint("cal");
    let why = works.refused("cal", checkpoint.clone());
    let (person, duty) = (id("cal"), Duty::Archive);
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    let itself = works.checkpoint("sue");
    assert_eq!(works.refused("sue", itself), Refusal::SamePerson(id("sue")));
    let inspector = works.checkpoint("ida");
    let (person, duty) = (id("ida"), Duty::ConfirmArchive);
    assert_eq!(
        works.refused("sue", inspector),
        Refusal::NotAllowed { person, duty }
    );
    let statement = works.book.statement(id("sue"), &checkpoint).unwrap();
    let Entry::BookCheckpoint(data) = &checkpoint else {
        unreachable!("it is a checkpoint")
    };
    let (head, hash) = (works.book.head(), data.carried.hash());
    let last = works.book.len() - 1;
    for part in [
        format!("Entries 0 to {last} are in the archive, the last has the hash {head}"),
        "closed lots: 1, closed days: 1, people: 7, series: 1".to_owned(),
        format!("What it takes along has the SHA-256 {hash}"),
    ] {
        assert!(statement.contains(&part), "{statement}");
    }
    works.must("sue", checkpoint);
}

#[test]
fn what_is_carried_over_must_follow_from_the_lines_before_it() {
    let (works, ..) = cut();
    let last = works.book.len() as usize - 1;
    let before = &works.book.texts()[..last];
    // Signed by the right people, so that only the fold can tell.
    let forge = |change: &dyn Fn(&mut BookCheckpoint)| {
        let line = Line::read(&works.book.texts()[last]).unwrap();
        let Entry::BookCheckpoint(mut data) = line.entry else {
            unreachable!("it is a checkpoint")
        };
        change(&mut data);
        let entry = Entry::BookCheckpoint(data);
        let book = read(before).unwrap();
        let countersigned = Countersigned {
            statement: book.statement(id("sue"), &entry).unwrap(),
            also: countersigned(&book, id("sue"), &entry),
        };
        Line::write(line.header, entry, Some(countersigned), &key("sue")).unwrap()
    };
    let full = |line: &Line| {
        let texts = before.iter().map(|text| &**text);
        Book::read(texts.chain([&*line.text])).map(drop)
    };
    let alone = |line: &Line| Book::read([&*line.text]).map(drop);
    let honest = forge(&|_| {});
    assert_eq!((full(&honest), alone(&honest)), (Ok(()), Ok(())));
    let refused = |line: u64, why: Refusal| {
        let why = Box::new(why);
        Err(BookError::Refused { line, why })
    };
    let at = last as u64;
    let differs = || refused(at, Refusal::CarriedDiffers);
    // Whoever has the lines sees every change; whoever has not relies on the two signatures, and
    // sees what cannot be.
    type Change<'a> = &'a dyn Fn(&mut BookCheckpoint);
    let seen_in_full: [Change; 5] = [
        &|data| data.carried.lots.clear(),
        &|data| data.carried.series[0].settled.inserted -= 1,
        &|data| data.carried.people[0].outside = true,
        &|data| data.carried.seals.clear(),
        &|data| data.carried.closed_days.clear(),
    ];
    for change in seen_in_full {
        assert_eq!(full(&forge(change)), differs());
    }
    let unordered = forge(&|data| data.carried.people.reverse());
    assert_eq!(
        (full(&unordered), alone(&unordered)),
        (differs(), differs())
    );
    let open_day = forge(&|data| data.carried.closed_days.clear());
    let day = Unsettled::Day(id("2026-11-25"));
    assert_eq!(alone(&open_day), refused(at, Refusal::NotSettled(day)));
    let amiss = |why| refused(at, Refusal::CarriedAmiss(why));
    let absurd = forge(&|data| data.carried.lots[0].notes.printed = u64::MAX);
    assert_eq!(alone(&absurd), amiss("a number in it is absurdly large"));
    let unbalanced = forge(&|data| data.carried.lots[0].sheets.good -= 1);
    assert_eq!(
        alone(&unbalanced),
        amiss("the account of a closed lot does not balance")
    );
    let used_up = forge(&|data| data.carried.series[0].settled.returned = 60);
    assert_eq!(
        alone(&used_up),
        amiss("more notes of a series are settled than it has")
    );
    let no_product = forge(&|data| data.carried.products.clear());
    let unknown = Refusal::UnknownProduct(id("M20"));
    assert_eq!(alone(&no_product), refused(at, unknown));
    let other = forge(&|data| data.archived.head = Hash::NONE);
    assert!(matches!(alone(&other), Err(BookError::Chain { .. })));
    assert_eq!(full(&other), refused(at, Refusal::OtherArchive));
    let text = honest
        .text
        .replace(&format!("\"lines\":{at}"), "\"lines\":0");
    assert!(matches!(
        Book::read([text.as_str()]).map(drop),
        Err(BookError::Line {
            line: 0,
            why: LineError::Data { .. }
        })
    ));
}

#[test]
fn what_was_used_before_the_cut_stays_used() {
    let (_, mut rest, _) = cut();
    let taken = rest.refused("sue", lot("L1", 5, None));
    assert_eq!(taken, Refusal::LotTaken(id("L1")));
    let closed = rest.refused("ida", examined("L1", 1, 1, &[]));
    assert_eq!(closed, Refusal::LotIsClosed(id("L1")));
    let clash = rest.refused("sue", lot("L2", 5, Some(numbered("KA", 5, 70))));
    let Refusal::SerialsTaken { from, to, by } = clash else {
        panic!("{clash}")
    };
    assert_eq!((from.as_str(), to.as_str()), ("KA000070", "KA000071"));
    assert_eq!(by, "lot L1");
    let mut spec = series("R2", "M20", 0, 5);
    spec.format = format("KA");
    let clash = rest.refused("sue", Entry::SeriesAdded(spec));
    assert!(
        clash.to_string().contains("used by lot L1 already"),
        "{clash}"
    );
    let known = rest.refused("sue", Entry::SeriesAdded(series("R1", "M20", 900, 910)));
    assert_eq!(known, Refusal::SeriesTaken(id("R1")));
    let settled = rest.refused("sue", inserted("R1", vec![id("ZR000000")]));
    assert_eq!(
        settled.to_string(),
        "Replacement note ZR000000 was settled in the archive before. Choose one that is on hand."
    );
    let not_drawn = rest.refused("sue", inserted("R1", vec![id("ZR000008")]));
    assert_eq!(not_drawn, Refusal::NotDrawn("ZR000008".to_owned()));
    assert_eq!(
        rest.refused("cal", container("C1")),
        Refusal::ContainerTaken(id("C1"))
    );
    assert_eq!(
        rest.refused("sue", day_closed("2026-11-25")),
        Refusal::DayClosedBefore(id("2026-11-25"))
    );
    rest.must("sue", lot("L2", 12, Some(numbered("KB", 12, 0))));
    rest.must("ida", examined("L2", 1, 1, &["- PT"]));
    rest.must("cal", container("C2"));
    let fill = rest.fill("C2");
    rest.must("cal", fill);
    let used = rest.refused("cal", sealed("C2", "S-1", "cas"));
    let (seal, container) = (id("S-1"), id("C1"));
    assert_eq!(used, Refusal::SealUsed { seal, container });
    rest.must("cal", sealed("C2", "S-2", "cas"));
    let again = rest.destruction("D1", &["C2"]);
    let why = rest.refused("cal", Entry::SpoilsDestroyed(again));
    assert_eq!(why, Refusal::SessionTaken(id("D1")));
}

#[test]
fn a_look_up_says_that_it_is_in_the_archive() {
    let (_, rest, _) = cut();
    let state = rest.state();
    let last = rest.book.first_seq() - 1;
    let Trace::InArchive(note) = state.trace("KA000003") else {
        panic!("{:?}", state.trace("KA000003"))
    };
    assert_eq!(note, ArchivedNote::Printed(id("L1")));
    let said = state.archive_of(note);
    assert!(said.contains(&format!("(entries 0 to {last})")), "{said}");
    let settled = state.trace("ZR000007");
    let in_series = ArchivedNote::Replacement(id("R1"));
    assert!(matches!(settled, Trace::InArchive(note) if note == in_series));
    assert!(matches!(state.trace("ZR000008"), Trace::Found(_)));
    assert!(matches!(state.trace("KA000072"), Trace::NoSuchNote));
    assert_eq!(
        state.find_sheet("sheet 5 of lot l1"),
        Some(SheetText::InArchive(id("L1")))
    );
    assert!(state.is_archived(id("2026-11-25")));
    assert!(!state.is_archived(id("2026-11-27")));
}

#[test]
fn the_account_and_the_stock_stay_what_they_were() {
    let (before, (_, rest, _)) = (settled(), cut());
    let (full, after) = (book_account(before.state()), book_account(rest.state()));
    assert_eq!(full, after);
    assert!(after.holds() && after.spoil_figures.destroyed == 3);
    let pool = &rest.state().pools[&id("R1")];
    assert_eq!((pool.used(), pool.left()), (8, 52));
    assert_eq!(
        (pool.count(Fate::Inserted), pool.count(Fate::OnHand)),
        (8, 0)
    );
    let today = id("2026-11-27");
    assert_eq!(
        stock(before.state(), id("M20"), today),
        stock(rest.state(), id("M20"), today)
    );
    let lot = &rest.state().archive.lots[&id("L1")];
    assert_eq!(lot.account(), lot_account(before.state(), before.lot("L1")));
}

#[test]
fn a_second_cut_takes_the_first_along() {
    let (_, mut rest, _) = cut();
    rest.must("sue", lot("L2", 4, Some(strided("KB", 4, 0, 4))));
    rest.must("ida", examined("L2", 1, 4, &[]));
    rest.must("sue", lot_closed("L2"));
    rest.must("sue", day_closed("2026-11-27"));
    let mut whole = rest.clone();
    let checkpoint = rest.checkpoint("cas");
    whole.must("sue", checkpoint.clone());
    let at = whole.book.len() - 1;
    let index = (at - whole.book.first_seq()) as usize;
    let last = read(&whole.book.texts()[index..]).unwrap();
    assert_eq!((last.first_seq(), last.head()), (at, whole.book.head()));
    assert_eq!(
        format!("{:?}", last.state()),
        format!("{:?}", whole.state())
    );
    let lots: Vec<String> = last
        .state()
        .archive
        .lots
        .keys()
        .map(|lot| lot.to_string())
        .collect();
    assert_eq!(lots, ["L1", "L2"]);
    let runs = |lot: &CarriedLot| lot.numbering.as_ref().map(|spec| spec.runs[0]);
    let stored = &last.state().archive.lots[&id("L2")].carried;
    assert_eq!(runs(stored), Some(Run::down_stack(4, 0)));
}

#[test]
fn several_books_know_what_only_an_archive_could_tell() {
    let (whole, rest, archive) = cut();
    let archive = Book::read(archive.lines()).unwrap();
    let short = read(&whole.book.texts()[..10]).unwrap();
    let lay = |books: &[&Book]| {
        let books = books.iter().map(|book| *book as &dyn Chained);
        lay_together(&books.collect::<Vec<_>>())
    };
    let both = lay(&[&rest.book, &whole.book]);
    assert_eq!((both.books.len(), both.conflicts.len()), (1, 0));
    let both = lay(&[&rest.book, &archive]);
    assert_eq!(
        (both.contained.len(), both.conflicts.len()),
        (1, 0),
        "{both:?}"
    );
    let both = lay(&[&rest.book, &short]);
    let entry = rest.book.first_seq();
    assert!(
        matches!(&both.conflicts[..], [Conflict::ArchiveMissing { entry: at, .. }] if *at == entry),
        "{both:?}"
    );
    let mut forked = settled();
    forked.must("sue", lot("L9", 5, None));
    forked.must("ida", examined("L9", 1, 1, &[]));
    let both = lay(&[&rest.book, &forked.book]);
    assert!(
        matches!(&both.conflicts[..], [Conflict::Forked { entry: at, .. }] if *at == entry),
        "{both:?}"
    );
    let mut parted = Works::destroyed();
    for _ in 0..4 {
        let copy = copy_taken(&parted.book);
        parted.must("ida", copy);
    }
    let both = lay(&[&rest.book, &parted.book]);
    assert!(
        matches!(&both.conflicts[..], [Conflict::ForkedInArchive { .. }]),
        "{both:?}"
    );
    let mut other = Works::of_bench(
        "B2",
        BookOpened {
            book: uuid::Uuid::from_u128(2),
            ..opening()
        },
    );
    other.staff();
    other.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
    other.must("sue", lot("L7", 2, Some(numbered("KQ", 2, 0))));
    let both = lay(&[&rest.book, &other.book]);
    let told = both
        .conflicts
        .iter()
        .any(|one| matches!(one, Conflict::LotInArchive { lot, .. } if *lot == id("L1")));
    assert!(told, "{both:?}");
    assert_eq!(both.lots[&id("L1")].sheets, 12);
}
