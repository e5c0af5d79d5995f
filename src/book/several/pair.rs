//! Two books compared.

use super::conflict::{Conflict, Where};
use super::{Known, both_ruled};
use crate::book::lot::Lot;
use crate::book::pool::Pool;
use crate::book::state::State;

/// Practice books, when there are real ones as well.
pub(super) fn practice_among_real(known: &[Known]) -> Vec<Conflict> {
    let (practice, real): (Vec<&Known>, Vec<&Known>) =
        known.iter().partition(|one| is_practice(one.book.state()));
    if real.is_empty() {
        return Vec::new();
    }
    let among = practice.into_iter().map(|one| Conflict::PracticeAmongReal {
        book: one.name.clone(),
    });
    among.collect()
}

fn is_practice(state: &State) -> bool {
    state.opened.as_ref().is_some_and(|opened| opened.practice)
}

/// Everything in which two books contradict each other. Two copies of one book that differ are
/// one conflict: all that follows from it would only repeat their common lines.
pub(super) fn conflicts(first: &Known, second: &Known) -> Vec<Conflict> {
    if first.name.book == second.name.book {
        return vec![Conflict::Forked {
            entry: first.shared(second),
            first: first.name.clone(),
            second: second.name.clone(),
        }];
    }
    let mut found = Vec::from_iter(other_works(first, second));
    lots(first, second, &mut found);
    series(first, second, &mut found);
    seals(first, second, &mut found);
    found
}

fn other_works(first: &Known, second: &Known) -> Option<Conflict> {
    let works = |known: &Known| Some(known.book.state().opened.as_ref()?.works.trim().to_owned());
    let (first_works, second_works) = (works(first)?, works(second)?);
    (first_works != second_works).then(|| Conflict::OtherWorks {
        first: first.name.clone(),
        first_works,
        second: second.name.clone(),
        second_works,
    })
}

fn place(known: &Known, entry: u64) -> Where {
    Where {
        book: known.name.clone(),
        entry,
    }
}

fn lots(first: &Known, second: &Known, found: &mut Vec<Conflict>) {
    for a in first.book.state().lots.values() {
        for b in second.book.state().lots.values() {
            if a.id == b.id {
                same_lot(first, a, second, b, found);
            } else if let (Some(numbers), Some(others)) = (a.numbering(), b.numbering()) {
                let uses = (format!("lot {}", a.id), format!("lot {}", b.id));
                found.extend(serials(first, second, uses, numbers.overlaps(others)));
            }
        }
    }
}

fn same_lot(first: &Known, a: &Lot, second: &Known, b: &Lot, found: &mut Vec<Conflict>) {
    let differs = differences(a, b).map(|what| Conflict::LotDiffers {
        lot: a.id,
        what,
        first: place(first, a.seq),
        second: place(second, b.seq),
    });
    found.extend(differs);
    for (from, to) in both_ruled(a, b) {
        let entry = |lot: &Lot| lot.sheet(from)?.exam.as_ref().map(|exam| exam.seq);
        let (Some(one), Some(other)) = (entry(a), entry(b)) else {
            continue;
        };
        found.push(Conflict::SheetsRuledTwice {
            lot: a.id,
            from,
            to,
            first: place(first, one),
            second: place(second, other),
        });
    }
}

/// What two definitions of a lot do not have in common.
fn differences(a: &Lot, b: &Lot) -> impl Iterator<Item = &'static str> {
    let parts = [
        ("product", a.product != b.product),
        ("number of sheets", a.received() != b.received()),
        ("numbering", numbered_otherwise(a, b)),
        ("set of rules", a.rules != b.rules),
        ("list of classes", a.catalogue != b.catalogue),
    ];
    parts
        .into_iter()
        .filter_map(|(what, differs)| differs.then_some(what))
}

/// A lot examined before numbering may be numbered in one book and not yet in the other.
fn numbered_otherwise(a: &Lot, b: &Lot) -> bool {
    let both = a.is_numbered() && b.is_numbered();
    let same = a.numbering() == b.numbering() && a.press_order() == b.press_order();
    a.came_numbered != b.came_numbered || both && !same
}

fn serials(
    first: &Known,
    second: &Known,
    (first_use, second_use): (String, String),
    clash: Option<(String, String)>,
) -> Option<Conflict> {
    let (from, to) = clash?;
    Some(Conflict::SerialsTwice {
        from,
        to,
        first: first.name.clone(),
        first_use,
        second: second.name.clone(),
        second_use,
    })
}

fn series(first: &Known, second: &Known, found: &mut Vec<Conflict>) {
    let name = |pool: &Pool| format!("series {}", pool.series.id());
    let (one, other) = (first.book.state(), second.book.state());
    for a in one.pools.values() {
        for b in other.pools.values() {
            if a.series.id() == b.series.id() {
                same_series(first, a, second, b, found);
            } else {
                let clash = a.series.overlaps(&b.series);
                found.extend(serials(first, second, (name(a), name(b)), clash));
            }
        }
        for b in other.lots.values() {
            let clash = clash_with_lot(a, b);
            let uses = (name(a), format!("lot {}", b.id));
            found.extend(serials(first, second, uses, clash));
        }
    }
    for b in other.pools.values() {
        for a in one.lots.values() {
            let clash = clash_with_lot(b, a);
            let uses = (format!("lot {}", a.id), name(b));
            found.extend(serials(first, second, uses, clash));
        }
    }
}

fn clash_with_lot(pool: &Pool, lot: &Lot) -> Option<(String, String)> {
    let numbering = lot.numbering()?;
    pool.series.overlaps_numbering(numbering)
}

/// Both draw the series from its first note on, so what both drew is its beginning.
fn same_series(first: &Known, a: &Pool, second: &Known, b: &Pool, found: &mut Vec<Conflict>) {
    if a.series != b.series {
        found.push(Conflict::SeriesDiffers {
            series: a.series.id(),
            first: first.name.clone(),
            second: second.name.clone(),
        });
        return;
    }
    let both = a.used().min(b.used());
    let ends = (a.series.serial(0), a.series.serial(both.saturating_sub(1)));
    let drawn = (a.drawn.first(), b.drawn.first());
    if let ((Some(from), Some(to)), (Some(one), Some(other))) = (ends, drawn) {
        found.push(Conflict::ReplacementsDrawnTwice {
            series: a.series.id(),
            from,
            to,
            first: place(first, one.seq),
            second: place(second, other.seq),
        });
    }
}

fn seals(first: &Known, second: &Known, found: &mut Vec<Conflict>) {
    let (one, other) = (first.book.state(), second.book.state());
    for (seal, container) in &one.cage.seals {
        if let Some(twin) = other.cage.seals.get(seal) {
            found.push(Conflict::SealTwice {
                seal: *seal,
                first: first.name.clone(),
                first_container: *container,
                second: second.name.clone(),
                second_container: *twin,
            });
        }
    }
}
