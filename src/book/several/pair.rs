//! Two books compared.

use super::conflict::{Conflict, Where};
use super::{Known, Shared, both_ruled};
use crate::book::archive::ArchivedLot;
use crate::book::lot::Lot;
use crate::book::pool::Pool;
use crate::book::state::State;
use crate::sheet::LotId;

/// Practice books, when there are real ones as well.
pub(super) fn practice_among_real(known: &[Known]) -> Vec<Conflict> {
    let (practice, real): (Vec<&Known>, Vec<&Known>) =
        known.iter().partition(|one| is_practice(one.state()));
    if real.is_empty() {
        return Vec::new();
    }
    let among = practice.into_iter().map(|one| Conflict::PracticeAmongReal {
        book: one.name.clone(),
    });
    among.collect()
}

pub(super) fn is_practice(state: &State) -> bool {
    state.opened.as_ref().is_some_and(|opened| opened.practice)
}

/// Everything in which two books contradict each other. Two copies of one book that differ are
/// one conflict: all that follows from it would only repeat their common lines.
pub(super) fn conflicts(first: &Known, second: &Known) -> Vec<Conflict> {
    if first.name.book == second.name.book {
        return vec![same_book(first, second)];
    }
    let mut found = Vec::from_iter(other_works(first, second));
    lots(first, second, &mut found);
    archived_lots(first, second, &mut found);
    series(first, second, &mut found);
    seals(first, second, &mut found);
    found
}

pub(super) fn same_book(first: &Known, second: &Known) -> Conflict {
    let (first, second) = match first.first_seq() <= second.first_seq() {
        true => (first, second),
        false => (second, first),
    };
    let shared = first.shared(second);
    let (one, other) = (first.name.clone(), second.name.clone());
    let (first, second) = (one, other);
    match shared {
        Shared::Lines(entry) => Conflict::Forked {
            entry,
            first,
            second,
        },
        Shared::PartedBefore(entry) => Conflict::ForkedInArchive {
            entry,
            first,
            second,
        },
        Shared::Unknown(entry) => Conflict::ArchiveMissing {
            entry,
            first,
            second,
        },
    }
}

pub(super) fn other_works(first: &Known, second: &Known) -> Option<Conflict> {
    let works = |known: &Known| Some(known.state().opened.as_ref()?.works.trim().to_owned());
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
    for a in first.state().lots.values() {
        for b in second.state().lots.values() {
            if a.id == b.id {
                same_lot(first, a, second, b, found);
            } else if let (Some(numbers), Some(others)) = (a.numbering(), b.numbering()) {
                let uses = (format!("lot {}", a.id), format!("lot {}", b.id));
                found.extend(serials(first, second, uses, numbers.overlaps(others)));
            }
        }
    }
}

/// A lot in an archive is known by its numbers and its account alone.
fn archived_lots(first: &Known, second: &Known, found: &mut Vec<Conflict>) {
    for (one, other) in [(first, second), (second, first)] {
        for lot in one.state().archive.lots.values() {
            archived_lot(one, lot, other, found);
        }
    }
    let others = &second.state().archive.lots;
    for a in first.state().archive.lots.values() {
        match others.get(&a.carried.lot) {
            Some(_) => found.push(in_archive(a, first, second)),
            None => others.values().for_each(|b| {
                let clash = a.numbering.as_ref().zip(b.numbering.as_ref());
                let clash = clash.and_then(|(one, other)| one.overlaps(other));
                let uses = (lot_name(a.carried.lot), lot_name(b.carried.lot));
                found.extend(serials(first, second, uses, clash));
            }),
        }
    }
}

/// A lot in the archive of one book against the lots and series that the other still has.
fn archived_lot(one: &Known, lot: &ArchivedLot, other: &Known, found: &mut Vec<Conflict>) {
    let (id, state) = (lot.carried.lot, other.state());
    if state.lots.contains_key(&id) {
        found.push(in_archive(lot, one, other));
    }
    let Some(numbers) = &lot.numbering else {
        return;
    };
    let lots = state.lots.values().filter(|lot| lot.id != id);
    let lots = lots.filter_map(|lot| Some((lot_name(lot.id), numbers.overlaps(lot.numbering()?))));
    let pools = state.pools.values().map(|pool| {
        let clash = pool.series.overlaps_numbering(numbers);
        (format!("series {}", pool.series.id()), clash)
    });
    for (name, clash) in lots.chain(pools) {
        found.extend(serials(one, other, (lot_name(id), name), clash));
    }
}

fn in_archive(lot: &ArchivedLot, first: &Known, second: &Known) -> Conflict {
    Conflict::LotInArchive {
        lot: lot.carried.lot,
        first: first.name.clone(),
        second: second.name.clone(),
    }
}

fn lot_name(lot: LotId) -> String {
    format!("lot {lot}")
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
    let (one, other) = (first.state(), second.state());
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
    let drawn = (first_drawn(first, a), first_drawn(second, b));
    if let ((Some(from), Some(to)), (Some(one), Some(other))) = (ends, drawn) {
        found.push(Conflict::ReplacementsDrawnTwice {
            series: a.series.id(),
            from,
            to,
            first: place(first, one),
            second: place(second, other),
        });
    }
}

/// The entry that says of the first note of a series that it is drawn: the checkpoint, when the
/// draw itself is in the archive.
fn first_drawn(known: &Known, pool: &Pool) -> Option<u64> {
    match pool.is_archived(0) {
        true => Some(known.state().archive.lines()),
        false => pool.drawn.first().map(|drawn| drawn.seq),
    }
}

fn seals(first: &Known, second: &Known, found: &mut Vec<Conflict>) {
    let (one, other) = (first.state(), second.state());
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
