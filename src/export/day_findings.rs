//! What stands out in the sheets of a day: repeaters and zones, lot by lot.

use std::cmp::Reverse;

use serde::Serialize;

use crate::book::{Lot, Press, Repeater, State, ZoneFinding};
use crate::inspect::ClassCode;
use crate::people::Day;
use crate::quality::Probability;
use crate::quality::meaning::Pattern;
use crate::quality::zones::Axis;
use crate::sheet::{LotId, SheetNo, Side};

/// One finding. False alarms among all findings of a lot and kind are held to one in twenty.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FindingRow {
    pub lot: LotId,
    /// `repeater`, `column` or `row`.
    pub kind: &'static str,
    pub class: ClassCode,
    pub side: Side,
    /// The position, or the names at the two ends of the line.
    pub at: String,
    /// First and last sheet of a repeater's run.
    pub sheets: Option<(SheetNo, SheetNo)>,
    /// Sheets in a row, or marks in the line.
    pub count: u64,
    /// Marks expected in each line, in thousandths.
    pub expected_milli: Option<u64>,
    /// The chance if none is special, and its q-value, in parts per billion.
    pub chance_ppb: u64,
    pub q_ppb: u64,
    /// Where to look first (common practice, no source).
    pub look_at: String,
}

pub(super) fn finding_rows(state: &State, day: Day) -> Vec<FindingRow> {
    let lots = state.lots.values();
    lots.flat_map(|lot| of_lot(lot, day)).collect()
}

fn of_lot(lot: &Lot, day: Day) -> Vec<FindingRow> {
    let found = Press::of_day(lot, day).findings();
    let repeaters = found.repeaters.iter().map(|found| repeater(lot, found));
    let zones = found.zones.iter().map(|found| zone(lot, found));
    let mut rows: Vec<_> = repeaters.chain(zones).collect();
    // The least likely first; where chances round to the same figure, the most marks.
    rows.sort_by(|a, b| {
        let key = |row: &FindingRow| {
            let place = (row.kind, row.class, row.side, row.at.clone());
            (row.q_ppb, Reverse(row.count), place)
        };
        key(a).cmp(&key(b))
    });
    rows
}

fn repeater(lot: &Lot, found: &Repeater) -> FindingRow {
    FindingRow {
        lot: lot.id,
        kind: "repeater",
        class: found.class.class,
        side: found.class.side,
        at: lot.product.layout.name(found.position).to_owned(),
        sheets: Some((found.from, found.to)),
        count: found.length,
        expected_milli: None,
        chance_ppb: ppb(found.p),
        q_ppb: ppb(found.q),
        look_at: found.class.look_at(Pattern::OnePosition, lot),
    }
}

fn zone(lot: &Lot, found: &ZoneFinding) -> FindingRow {
    let (layout, zone) = (&lot.product.layout, &found.zone);
    let line = zone.line as u8;
    let (kind, ends) = match zone.axis {
        Axis::Columns => ("column", [(0, line), (layout.rows() - 1, line)]),
        Axis::Rows => ("row", [(line, 0), (line, layout.columns() - 1)]),
    };
    let [first, last] = ends.map(|(row, column)| {
        let position = layout.position(row, column);
        position.map_or("", |position| layout.name(position))
    });
    FindingRow {
        lot: lot.id,
        kind,
        class: found.class.class,
        side: found.class.side,
        at: format!("{first} to {last}"),
        sheets: None,
        count: zone.count,
        expected_milli: Some((zone.expected * 1e3).round() as u64),
        chance_ppb: ppb(zone.p),
        q_ppb: ppb(found.q),
        look_at: found.class.look_at(Pattern::of_zone(zone), lot),
    }
}

pub(super) fn ppb(chance: Probability) -> u64 {
    (chance.get() * 1e9).round() as u64
}
