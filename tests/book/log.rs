//! The book read line by line: what each kind says, and which lines a search finds.

use std::collections::BTreeSet;

use cullbook::book::*;
use cullbook::desk::log::{LogFilter, LogSearch, log_row, read};

use super::chain::long_book;
use super::works::*;

#[test]
fn every_kind_says_what_it_is_in_one_sentence() {
    let book = long_book().book;
    let mut kinds = BTreeSet::new();
    for seq in 0..book.len() {
        let line = read(&book, seq).unwrap();
        let said = says(&line.entry, book.state());
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
    for entry in [last.entry, healed] {
        assert!(says(&entry, cut.state()).ends_with('.'));
        kinds.insert(entry.kind());
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
