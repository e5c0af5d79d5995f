//! Books of several benches give the same answer in whatever order they are laid together.

use cullbook::book::{Book, BookOpened, Chained, Entry, Guest, Guests, NotTaken, lay_together};
use cullbook::export::{ExaminedRow, Of, SeveralDay, several_day, several_zip};
use proptest::prelude::*;
use uuid::Uuid;

use super::works::*;

/// What one bench did: which book it is, where it stopped, what it examined.
#[derive(Clone, Debug)]
struct Bench {
    book: u128,
    practice: bool,
    first: u64,
    exams: Vec<(u32, u32, bool)>,
    draws: bool,
    seal: u8,
}

fn any_bench() -> impl Strategy<Value = Bench> {
    let exams = prop::collection::vec((1..9_u32, 0..2_u32, any::<bool>()), 0..4);
    let firsts = prop::sample::select(vec![0, 0, 0, 40]);
    (1..4_u128, 0..8_u8, firsts, exams, any::<bool>(), 0..4_u8).prop_map(
        |(book, practice, first, exams, draws, seal)| Bench {
            book,
            practice: practice == 0,
            first,
            exams,
            draws,
            seal,
        },
    )
}

fn book_of(bench: &Bench) -> Works {
    let opening = BookOpened {
        book: Uuid::from_u128(bench.book),
        practice: bench.practice,
        ..opening()
    };
    let mut works = Works::of_bench(&format!("B{}", bench.book), opening);
    works.staff();
    works.must("sue", lot("L1", 12, Some(numbered("KA", 12, bench.first))));
    for (from, more, spoiled) in &bench.exams {
        let tags: &[&str] = if *spoiled { &["- PT"] } else { &["A1 PH"] };
        // A second look at the same sheets is refused, and that is as good.
        let examined = examined("L1", *from, (from + more).min(12), tags);
        works.write("ida", examined).ok();
    }
    if bench.draws && !works.lot("L1").needs().is_empty() {
        let Entry::ReplacementsDrawn(mut data) = works.draw("L1", "R1") else {
            unreachable!("draw draws")
        };
        data.pairs.truncate(5);
        works.must("sue", Entry::ReplacementsDrawn(data));
    }
    if !works.state().cage.spoils.is_empty() {
        works.must("cal", container("C1"));
        let fill = works.fill("C1");
        works.must("cal", fill);
        works.must("cal", sealed("C1", &format!("S{}", bench.seal), "cas"));
    }
    works
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_order_of_books_changes_nothing(
        (benches, order) in prop::collection::vec(any_bench(), 2..6).prop_flat_map(|benches| {
            let places: Vec<usize> = (0..benches.len()).collect();
            (Just(benches), Just(places).prop_shuffle())
        }),
        again in any::<prop::sample::Index>(),
    ) {
        let works: Vec<Works> = benches.iter().map(book_of).collect();
        let straight: Vec<&dyn Chained> =
            works.iter().map(|works| &works.book as &dyn Chained).collect();
        let mut shuffled: Vec<_> = order.iter().map(|place| straight[*place]).collect();
        let one = lay_together(&straight);
        prop_assert_eq!(&lay_together(&shuffled), &one);
        // A book laid in twice says nothing new.
        shuffled.push(straight[again.index(straight.len())]);
        prop_assert_eq!(&lay_together(&shuffled), &one);
        let rising = one.conflicts.windows(2).all(|pair| pair[0] < pair[1]);
        prop_assert!(rising, "each conflict once: {:#?}", one.conflicts);
    }
}

/// A bench's book of which only a part was saved.
#[derive(Clone, Debug)]
struct File {
    bench: usize,
    /// Lines left off at its end.
    less: usize,
}

fn any_files() -> impl Strategy<Value = (Vec<Bench>, Vec<File>)> {
    let files = prop::collection::vec((any::<prop::sample::Index>(), 0..3_usize), 1..10);
    (prop::collection::vec(any_bench(), 1..5), files).prop_map(|(benches, files)| {
        let benches: Vec<Bench> = (1..)
            .zip(benches)
            .map(|(book, bench)| Bench {
                book,
                practice: false,
                ..bench
            })
            .collect();
        let file = |(bench, less): (prop::sample::Index, _)| File {
            bench: bench.index(benches.len()),
            less,
        };
        let files = files.into_iter().map(file).collect();
        (benches, files)
    })
}

fn guest_of(book: &Book, less: usize) -> Guest {
    let texts = book.texts();
    let kept = texts.iter().take(texts.len() - less);
    let file: String = kept.map(|text| format!("{text}\n")).collect();
    Guest::read_file(file.as_bytes()).expect("a beginning of a book holds")
}

fn brought_in(own: &Works, works: &[Works], files: &[File]) -> SeveralDay {
    let mut guests = Guests::default();
    for file in files {
        let guest = guest_of(&works[file.bench].book, file.less);
        match guests.take(&own.book, guest) {
            Ok(_) | Err(NotTaken::Older { .. }) => {}
            Err(why) => panic!("{why}"),
        }
    }
    several_day(&guests.beside(&own.book), id("2026-11-25")).expect("an open book")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// The day together depends on which books were brought in, each in its longest copy, and on
    /// nothing else; and it is the sum of its benches.
    #[test]
    fn any_order_and_any_repetition_give_the_same_day(
        (benches, files) in any_files(),
        order in any::<prop::sample::Index>(),
        twice in any::<prop::sample::Index>(),
    ) {
        let own = book_of(&Bench { book: 99, practice: false, first: 80, exams: vec![(1, 3, false)], draws: true, seal: 9 });
        let works: Vec<Works> = benches.iter().map(book_of).collect();
        let one = brought_in(&own, &works, &files);
        let mut others = files.clone();
        others.rotate_left(order.index(files.len()));
        others.reverse();
        others.push(files[twice.index(files.len())].clone());
        let other = brought_in(&own, &works, &others);
        prop_assert_eq!(&other, &one);
        let zip = |day| several_zip(day).expect("a file");
        prop_assert_eq!(zip(&other), zip(&one));

        let sum = |of: fn(&ExaminedRow) -> u64| {
            let parts = one.benches.iter().map(|(_, record)| of(record.whole_day()));
            (parts.sum::<u64>(), of(one.whole_day()))
        };
        for (parts, whole) in [
            sum(|row| row.sheets), sum(|row| row.good), sum(|row| row.mixed),
            sum(|row| row.spoiled), sum(|row| row.notes), sum(|row| row.notes_spoiled),
        ] {
            prop_assert_eq!(parts, whole);
        }
        let whole = one.whole_day();
        prop_assert_eq!(whole.sheets, whole.good + whole.mixed + whole.spoiled);
        let parts: [fn(&Of) -> bool; 4] = [
            |of| matches!(of, Of::Lot(_)),
            |of| matches!(of, Of::Product(_)),
            |of| matches!(of, Of::Inspector(_)),
            |of| matches!(of, Of::Hour(_)),
        ];
        for is in parts {
            let rows = one.together.examined.iter().filter(|row| is(&row.of));
            prop_assert_eq!(rows.map(|row| row.sheets).sum::<u64>(), whole.sheets);
        }
        let drawn = one.benches.iter().map(|(_, record)| record.acts.replacements_drawn);
        prop_assert_eq!(drawn.sum::<u64>(), one.together.acts.replacements_drawn);
        let tags = one.together.tags.iter().filter(|row| row.class.is_some());
        let parts = one.benches.iter().flat_map(|(_, record)| record.classes());
        prop_assert_eq!(tags.map(|row| row.tags).sum::<u64>(), parts.map(|(_, row)| row.tags).sum::<u64>());
        for (lot, sheets) in &one.lots {
            let ruled = sheets.good + sheets.mixed + sheets.spoiled + sheets.contested;
            prop_assert_eq!(ruled + sheets.not_examined(), sheets.sheets, "{}", lot);
        }
    }
}
