//! The book read line by line: what each kind says, and which lines a search finds.

use std::collections::BTreeSet;

use cullbook::book::*;
use cullbook::custody::Fact;
use cullbook::desk::log::{LogFilter, LogRow, LogSearch, log_row, read};
use cullbook::inspect::Verdict;
use cullbook::people::Stamp;

use super::chain::long_book;
use super::session_steps::fact_corrected;
use super::works::*;

#[test]
fn every_kind_says_what_it_is_in_one_sentence() {
    let book = long_book().book;
    let mut kinds = BTreeSet::new();
    for seq in 0..book.len() {
        let line = read(&book, seq).unwrap();
        let said = says(&line, &book);
        let sentence = said.ends_with('.') && !said.contains(['{', '}']);
        assert!(
            sentence && said.len() > 8,
            "{seq} {}: {said}",
            line.entry.kind()
        );
        assert!(!said.contains(".."), "{said}");
        let row = log_row(&book, seq).unwrap();
        assert_eq!((row.seq, row.says), (seq, said));
        kinds.insert(line.entry.kind());
    }
    // A cut needs a settled book, and a healing another start.
    let (cut, ..) = super::checkpoint::cut();
    let last = read(&cut.book, cut.book.len() - 1).unwrap();
    let healed = Entry::StoreHealed(StoreHealed {
        home: Home::Second,
        from: 3,
        to: 4,
    });
    for entry in [last.entry.clone(), healed] {
        kinds.insert(entry.kind());
        let line = Line {
            entry,
            ..last.clone()
        };
        assert!(says(&line, &cut.book).ends_with('.'));
    }
    let all: BTreeSet<_> = Entry::KINDS.iter().copied().collect();
    assert_eq!(kinds, all, "the long book has every kind");
    assert_eq!(log_row(&book, book.len()), None);
}

#[test]
fn sentences_name_what_matters() {
    let book = long_book().book;
    let said: Vec<String> = (0..book.len())
        .map(|seq| log_row(&book, seq).unwrap())
        .map(|row| format!("{}: {}", row.kind, row.says))
        .collect();
    for wanted in [
        "Lot opened: Lot L2 opened: 40 sheets of M20, numbered.",
        "Copy taken: The head left this machine, printed: head ",
        "Press differed: Lot L3: sheet 2 lost at the press",
        "Replacements returned: 1 replacement note returned unused (not used): ZR000009.",
        "Day closed: Day 2026-11-25 is closed.",
    ] {
        let found = said.iter().any(|line| line.starts_with(wanted));
        assert!(found, "{wanted}\n{}", said.join("\n"));
    }
}

#[test]
fn every_kind_is_in_a_group_by_what_it_speaks_of() {
    let book = [
        "book.opened",
        "copy.taken",
        "book.checkpoint",
        "store.healed",
    ];
    for kind in Entry::KINDS {
        let of_book = KindGroup::of(kind) == KindGroup::Book;
        assert_eq!(of_book, book.contains(kind), "{kind} fell through");
    }
    let groups: BTreeSet<_> = Entry::KINDS
        .iter()
        .map(|kind| KindGroup::of(kind))
        .collect();
    assert_eq!(groups.len(), KindGroup::ALL.len());
    assert_eq!(kind_words("sheets.examined"), "Sheets examined");
}

#[test]
fn a_glance_sees_what_reading_sees() {
    for text in long_book().book.texts() {
        let (line, seen) = (Line::read(text).unwrap(), glance(text).unwrap());
        assert_eq!(seen.at, line.header.at.to_string());
        assert_eq!(seen.by, line.header.by.as_str());
        assert_eq!(seen.prev, line.header.prev.to_string());
        assert_eq!(seen.kind, line.entry.kind());
    }
    assert_eq!(glance("{}"), None);
}

/// Every line, by reading each whole: what a search in slices must find as well.
fn wanted(book: &Book, wants: impl Fn(&Line) -> bool) -> Vec<u64> {
    let all = (0..book.len()).rev();
    all.filter(|seq| wants(&read(book, *seq).unwrap()))
        .collect()
}

fn found(book: &Book, filter: LogFilter, slice: u64) -> Vec<u64> {
    let mut search = LogSearch::new(filter, book);
    while !search.is_done() {
        search.look(book, slice);
    }
    (0..search.len())
        .map(|place| {
            let seq = search.seq(place).unwrap();
            assert_eq!(search.place_of(seq), Some(place));
            seq
        })
        .collect()
}

#[test]
fn a_search_finds_the_same_in_slices_of_any_size() {
    let book = long_book().book;
    let all = LogFilter::default();
    let bench = LogFilter {
        group: Some(KindGroup::Bench),
        ..all.clone()
    };
    let cal = LogFilter {
        person: Some(id("cal")),
        ..all.clone()
    };
    let day = LogFilter {
        day: Some(id("2026-11-25")),
        ..all.clone()
    };
    let other_day = LogFilter {
        day: Some(id("2026-11-26")),
        ..all.clone()
    };
    for slice in [1, 7, 1000] {
        let found = |filter: &LogFilter| found(&book, filter.clone(), slice);
        assert_eq!(found(&all), wanted(&book, |_| true));
        assert_eq!(
            found(&bench),
            wanted(&book, |line| KindGroup::of(line.entry.kind())
                == KindGroup::Bench)
        );
        assert_eq!(
            found(&cal),
            wanted(&book, |line| line.header.by == id("cal"))
        );
        let of_day = |line: &Line| book.state().day_of(&line.header.at) == id("2026-11-25");
        assert_eq!(found(&day), wanted(&book, of_day));
        assert_eq!(
            found(&day).len() + found(&other_day).len(),
            book.len() as usize
        );
    }
}

#[test]
fn words_are_looked_for_in_what_is_said_not_in_signatures() {
    let book = long_book().book;
    let words = |text: &str| found(&book, LogFilter::default().with_words(text), 16);
    let returned = wanted(&book, |line| line.entry.kind() == "replacements.returned");
    assert_eq!(words("zr000009 NOT"), returned);
    assert_eq!(words("replacements returned"), returned);
    let of_lot = words("L3");
    assert!(of_lot.len() >= 4, "{of_lot:?}");
    let names = words("sue works copy taken");
    assert!(names.is_empty(), "no copy was taken by Sue");
    assert!(words("no such word").is_empty());
    let last = book.texts().last().unwrap();
    let sig = &last[last.len() - 40..last.len() - 2];
    assert!(words(sig).is_empty());
    let blank = LogFilter::default().with_words("  ");
    assert!(blank.is_all());
}

#[test]
fn a_search_of_a_book_that_has_grown_is_begun_again() {
    let mut works = Works::staffed();
    let filter = LogFilter::default().with_words("wren");
    let search = LogSearch::new(filter.clone(), &works.book);
    assert!(search.is_of(&filter, &works.book));
    assert!(!search.is_of(&LogFilter::default(), &works.book));
    let copy = copy_taken(&works.book);
    works.must("ida", copy);
    assert!(!search.is_of(&filter, &works.book));
    assert!(search.is_empty() && search.looked() == 0);
}

/// Reads a line for the list.
fn row(works: &Works, seq: u64) -> LogRow {
    log_row(&works.book, seq).unwrap()
}

/// Records an entry, and gives its number.
fn written(works: &mut Works, by: &str, entry: Entry) -> u64 {
    works.must(by, entry);
    works.book.len() - 1
}

#[test]
fn a_ruling_leads_to_what_corrected_it_and_the_correction_says_what_stood_before() {
    let mut works = Works::with_lot();
    let first = written(&mut works, "ida", examined("L1", 1, 3, &[]));
    assert_eq!(row(&works, first).corrected, None);
    let second = written(&mut works, "ivo", corrected("L1", 2, first, &["A1 PH"]));
    let third = written(
        &mut works,
        "sue",
        overruled("L1", 2, second, Verdict::Spoiled),
    );
    let fourth = written(&mut works, "ivo", corrected("L1", 2, third, &["B3 PH"]));
    let of_another = written(&mut works, "ivo", corrected("L1", 3, first, &["- PT"]));
    for (seq, said, before) in [
        (second, "mixed", "(before: good, no tags)."),
        (
            third,
            "spoiled, against the rules ",
            "(before: mixed, A1 PH front): ",
        ),
        (fourth, "mixed", "(before: spoiled, against the rules)."),
        (of_another, "spoiled", "(before: good, no tags)."),
    ] {
        let says = row(&works, seq).says;
        assert!(says.contains(said) && says.contains(before), "{says}");
    }
    let (book, second_line) = (&works.book, read(&works.book, second).unwrap());
    assert_eq!(book.corrected_by(&second_line.entry), Some(first));
    assert_eq!(book.corrections_of(first), [second, of_another]);
    assert_eq!(book.corrections_of(second), [third]);
    let named = |seq: u64| row(&works, seq).corrected.unwrap();
    assert_eq!(
        named(first),
        format!("corrected in entries {second}, {of_another}")
    );
    assert_eq!(named(second), format!("corrected in entry {third}"));
    // A range corrected sheet by sheet names the first three.
    let range = written(&mut works, "ida", examined("L1", 4, 8, &[]));
    for number in 4..=8 {
        works.must("ivo", corrected("L1", number, range, &["- PT"]));
    }
    let next = range + 1;
    assert_eq!(
        row(&works, range).corrected.unwrap(),
        format!(
            "corrected in entries {next}, {}, {} and 2 more",
            next + 1,
            next + 2
        )
    );
}

#[test]
fn facts_of_the_cage_and_of_a_session_lead_to_their_corrections() {
    let mut works = Works::sealed();
    let sealing = works.book.len() - 1;
    let entry = corrected_sealing(&works, "C1", "S-11", Some(1_250_500));
    let seal = written(&mut works, "cal", entry);
    assert_eq!(works.book.corrections_of(sealing), [seal]);
    let says = row(&works, seal).says;
    let words = "has seal S-11, gross 1250.5 g (before: seal S-1, not weighed); second person";
    assert!(says.contains(words), "{says}");
    let entry = corrected_sealing(&works, "C1", "S-12", None);
    let again = written(&mut works, "cal", entry);
    let says = row(&works, again).says;
    assert!(
        says.contains("(before: seal S-11, gross 1250.5 g)"),
        "{says}"
    );

    let mut works = Works::destroyed();
    let record = works.state().sessions[0].seq;
    let ended = works.state().sessions[0].record.ended.clone();
    let later: Stamp = id("2026-11-25T23:50:07+01:00");
    let end = fact_corrected("D1", Fact::Ended(later), "cal");
    let end = written(&mut works, "sue", end);
    let place = fact_corrected("D1", Fact::Place("Hall 4".to_owned()), "cal");
    let place = written(&mut works, "sue", place);
    assert_eq!(works.book.corrections_of(record), [end, place]);
    let line = read(&works.book, place).unwrap();
    assert_eq!(works.book.corrected_by(&line.entry), Some(record));
    let before = ended.dated_to_the_second();
    let said = format!("end is 25 Nov 2026 23:50:07 (before: {before}), ");
    let says = row(&works, end).says;
    assert!(says.contains(&said), "{says}");
}
