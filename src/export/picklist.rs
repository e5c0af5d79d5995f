//! The pick list of a lot: what the finishing hall pulls out of its bundles and puts in instead.

use crate::book::{Fate, Lot, Pool, State};
use crate::inspect::Verdict;
use crate::sheet::{BoxNo, BundleNo, LotId, Printed, Replacement, Serial, SeriesId};

/// One note to pull and the replacement note to insert in its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PickLine {
    pub box_no: BoxNo,
    pub bundle: BundleNo,
    /// The stack the bundle is cut from, from 1.
    pub stack: u32,
    /// The name of its place on the sheet.
    pub position: String,
    /// The note's depth in its stack from the top, from 1.
    pub depth: u32,
    /// The note's place in its bundle from the top, from 1; the depth unless a stack is cut into
    /// several bundles.
    pub in_bundle: u32,
    pub pull: Serial<Printed>,
    /// The serial to pull in its display groups.
    pub pull_shown: String,
    /// The whole sheet was spoiled and left before it was cut: there is nothing to pull.
    pub left_with_sheet: bool,
    pub insert: Serial<Replacement>,
    /// The serial to insert in its display groups.
    pub insert_shown: String,
    pub series: SeriesId,
    pub fate: Fate,
    /// The entry that drew the replacement.
    pub drawn: u64,
}

/// Everything drawn for a lot in the order a person works: box, bundle, depth from the top, so by
/// stack or by position first, as the product's boxes are filled; a replacement that was spoiled or
/// returned stands before the one drawn in its stead. Bundles where nothing is to do do not appear. Empty for an unknown lot and for one that is not numbered.
pub fn pick_list(state: &State, lot: LotId) -> Vec<PickLine> {
    let Some(lot) = state.lots.get(&lot) else {
        return Vec::new();
    };
    let mut lines: Vec<PickLine> = state
        .pools
        .values()
        .flat_map(|pool| of_pool(pool, lot))
        .collect();
    lines.sort_by_key(|line| (line.box_no, line.bundle, line.depth, line.drawn));
    lines
}

fn of_pool<'a>(pool: &'a Pool, lot: &'a Lot) -> impl Iterator<Item = PickLine> + 'a {
    let drawn = pool.placed();
    drawn
        .filter(|(_, drawn)| drawn.lot == lot.id)
        .filter_map(|(place, drawn)| {
            let (sheet, position) = lot.locate(drawn.note)?;
            let cut = lot.place(sheet, position)?;
            let exam = lot.sheet(sheet)?.exam.as_deref();
            let pull = lot.serial(sheet, position)?;
            let insert = pool.series.serial(place)?;
            Some(PickLine {
                box_no: cut.box_no,
                bundle: cut.bundle,
                stack: cut.stack,
                position: lot.product.layout.name(position).to_owned(),
                depth: cut.depth,
                in_bundle: lot.product.finishing.depth_in_bundle(cut),
                pull,
                pull_shown: lot.serial_shown(sheet, position)?,
                left_with_sheet: exam.is_some_and(|exam| exam.ruling.verdict == Verdict::Spoiled),
                insert,
                insert_shown: pool.series.format().in_groups(insert.as_str()),
                series: pool.series.id(),
                fate: drawn.fate,
                drawn: drawn.seq,
            })
        })
}

/// How a fate is called on the list.
pub fn fate_name(fate: Fate) -> &'static str {
    match fate {
        Fate::OnHand => "on hand",
        Fate::Inserted => "inserted",
        Fate::Spoiled => "spoiled",
        Fate::Returned => "returned",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Entry, ReplacementsDrawn, ReplacementsInserted, ReplacementsSpoiled};
    use crate::export::sample::{Works, id, lot};

    fn draw(works: &mut Works, series: &str, pairs: &[(&str, &str)]) {
        let entry = Entry::ReplacementsDrawn(ReplacementsDrawn {
            lot: lot(),
            series: id(series),
            pairs: pairs.iter().map(|(old, new)| (id(old), id(new))).collect(),
        });
        works.write("sue", vec![entry]);
    }

    fn read(works: &Works) -> Vec<(u32, u32, u32, String, String, String, Fate)> {
        let lines = pick_list(works.state(), lot()).into_iter();
        let read = |line: PickLine| {
            (
                line.bundle.number(),
                line.stack,
                line.depth,
                line.position,
                line.pull.to_string(),
                line.insert.to_string(),
                line.fate,
            )
        };
        lines.map(read).collect()
    }

    /// 250 sheets, stacks of 100, 4 notes: bundles 1 to 4 from the first stack, 5 to 8 from the
    /// second, 9 to 12 from the third. A1 A2 B1 B2 start at KA001000, 1250, 1500, 1750.
    #[test]
    fn lines_come_in_the_order_a_person_works() {
        let mut works = Works::new();
        works.examine("ida", 130, &["A2", "B1"], false);
        works.examine("ida", 7, &["A2"], false);
        works.examine("ida", 3, &["A2"], false);
        draw(
            &mut works,
            "R1",
            &[
                ("KA001379", "ZZ000001"),
                ("KA001629", "ZZ000002"),
                ("KA001256", "ZZ000003"),
                ("KA001252", "ZZ000004"),
            ],
        );
        let line = |bundle, stack, depth, position: &str, pull: &str, insert: &str| {
            let (position, pull, insert) = (position.into(), pull.into(), insert.into());
            (bundle, stack, depth, position, pull, insert, Fate::OnHand)
        };
        assert_eq!(
            read(&works),
            [
                line(2, 1, 3, "A2", "KA001252", "ZZ000004"),
                line(2, 1, 7, "A2", "KA001256", "ZZ000003"),
                line(6, 2, 30, "A2", "KA001379", "ZZ000001"),
                line(7, 2, 30, "B1", "KA001629", "ZZ000002"),
            ]
        );
    }

    #[test]
    fn a_spoiled_replacement_stands_before_the_one_in_its_stead() {
        let mut works = Works::new();
        works.examine("ida", 1, &["A1"], false);
        draw(&mut works, "R1", &[("KA001000", "ZZ000001")]);
        let (series, notes) = (id("R1"), vec![id("ZZ000001")]);
        let reason = "torn on insertion".to_owned();
        let spoiled = ReplacementsSpoiled {
            series,
            notes,
            reason,
        };
        works.write("sue", vec![Entry::ReplacementsSpoiled(spoiled)]);
        draw(&mut works, "R2", &[("KA001000", "ZZ000101")]);
        let (series, notes) = (id("R2"), vec![id("ZZ000101")]);
        let inserted = ReplacementsInserted { series, notes };
        works.write("sue", vec![Entry::ReplacementsInserted(inserted)]);
        let fates: Vec<_> = read(&works).into_iter().map(|l| (l.5, l.6)).collect();
        assert_eq!(
            fates,
            [
                ("ZZ000001".to_owned(), Fate::Spoiled),
                ("ZZ000101".to_owned(), Fate::Inserted)
            ]
        );
    }

    #[test]
    fn the_notes_of_a_spoiled_sheet_left_with_it() {
        let mut works = Works::new();
        works.examine("ida", 2, &[], true);
        works.examine("ida", 3, &["A1"], false);
        draw(
            &mut works,
            "R1",
            &[("KA001001", "ZZ000001"), ("KA001002", "ZZ000002")],
        );
        let left: Vec<_> = pick_list(works.state(), lot())
            .iter()
            .map(|line| line.left_with_sheet)
            .collect();
        assert_eq!(left, [true, false]);
    }

    /// Stacks of 100 sheets in bundles of 100: depth in stack and bundle are the same, and the
    /// sample's serials have no display groups.
    #[test]
    fn depth_is_counted_in_the_stack_and_values_stay_as_printed() {
        let mut works = Works::new();
        works.examine("ida", 130, &["A2"], false);
        draw(&mut works, "R1", &[("KA001379", "ZZ000001")]);
        let line = &pick_list(works.state(), lot())[0];
        assert_eq!((line.depth, line.in_bundle), (30, 30));
        assert_eq!(line.pull_shown, line.pull.to_string());
        assert_eq!(line.insert_shown, line.insert.to_string());
    }

    #[test]
    fn nothing_drawn_is_an_empty_list() {
        assert!(pick_list(Works::new().state(), lot()).is_empty());
        assert!(pick_list(Works::new().state(), id("nowhere")).is_empty());
    }
}
