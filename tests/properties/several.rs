//! Books of several benches give the same answer in whatever order they are laid together.

use cullbook::book::{BookOpened, Entry, lay_together};
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
        let straight: Vec<_> = works.iter().map(|works| &works.book).collect();
        let mut shuffled: Vec<_> = order.iter().map(|place| &works[*place].book).collect();
        let one = lay_together(&straight);
        prop_assert_eq!(&lay_together(&shuffled), &one);
        // A book laid in twice says nothing new.
        shuffled.push(straight[again.index(straight.len())]);
        prop_assert_eq!(&lay_together(&shuffled), &one);
        let rising = one.conflicts.windows(2).all(|pair| pair[0] < pair[1]);
        prop_assert!(rising, "each conflict once: {:#?}", one.conflicts);
    }
}
