//! Rows that a reader must refuse, for trying what it says.

use crate::inspect::REMARK_MAX;

use super::lot::PracticeLot;
use super::random::Random;

/// Makes one wrong row out of a good line of the file.
type Kind = fn(&PracticeLot, &str) -> String;

/// Every kind of wrong row, in the order in which they are mixed in.
const KINDS: [Kind; 17] = [
    |lot, _| format!("{},1,front,,PT,", other_lot(lot)),
    |lot, _| format!("{},twelve,front,,PT,", lot.lot()),
    |lot, _| format!("{},0,front,,PT,", lot.lot()),
    |lot, _| format!("{},{},front,,PT,", lot.lot(), u64::from(lot.sheets()) + 1),
    |lot, _| format!("{},1,top,,PT,", lot.lot()),
    |lot, _| format!("{},1,front,?0,OS,", lot.lot()),
    |lot, _| format!("{},1,front,,P1,", lot.lot()),
    |lot, _| format!("{},1,front,,QQ,", lot.lot()),
    |lot, _| format!("{},1,front,,OS,", lot.lot()),
    |lot, _| format!("{},1,front,{},PT,", lot.lot(), first_name(lot)),
    |lot, _| {
        format!(
            "{},1,back,{},HE,{}",
            lot.lot(),
            first_name(lot),
            "long ".repeat(REMARK_MAX)
        )
    },
    |lot, _| {
        format!(
            "{},1,back,{},HE,rings\u{7}twice",
            lot.lot(),
            first_name(lot)
        )
    },
    |lot, _| format!("{},1,front", lot.lot()),
    |lot, _| format!("{},1,front,,PT,one, two", lot.lot()),
    |lot, _| format!("{},1,front,,PT,\"not closed", lot.lot()),
    |lot, _| format!("{},1,front,,PT,{}", lot.lot(), "no end ".repeat(300)),
    |_, good| good.to_owned(),
];

fn other_lot(lot: &PracticeLot) -> &'static str {
    if lot.lot().as_str() == "BW-0413" {
        "BW-0414"
    } else {
        "BW-0413"
    }
}

fn first_name(lot: &PracticeLot) -> &str {
    let first = lot.layout().positions().next();
    lot.layout()
        .name(first.expect("a layout has one note or more"))
}

/// The file with `count` wrong rows mixed in, each kind in turn: another lot, a sheet that is no
/// number or outside the lot, sides, positions and classes that do not exist or do not go
/// together, bad remarks, wrong numbers of fields, an open quote, a row without end, a row that stands twice.
///
/// # Panics
/// On a file without rows, which [`super::to_csv`] never makes of a generated lot.
pub fn with_wrong_rows(csv: &str, seed: u64, lot: &PracticeLot, count: usize) -> String {
    let (header, rows) = csv.split_once("\r\n").unwrap_or((csv, ""));
    let good: Vec<&str> = rows.split_terminator("\r\n").collect();
    let mut random = Random::new(!seed);
    let mut wrong: Vec<(u32, String)> = KINDS
        .iter()
        .cycle()
        .take(count)
        .map(|kind| {
            let model = random.pick(&good);
            (random.below(good.len() as u32), kind(lot, model))
        })
        .collect();
    wrong.sort();
    let mut wrong = wrong.into_iter().peekable();
    let mut out = vec![header.to_owned()];
    for (place, line) in (0..).zip(good) {
        while let Some((_, row)) = wrong.next_if(|(before, _)| *before <= place) {
            out.push(row);
        }
        out.push(line.to_owned());
    }
    out.join("\r\n") + "\r\n"
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;
    use std::mem::discriminant;

    use super::*;
    use crate::desk::practice::{generate, merin_layout, to_csv};
    use crate::export::{MachineContext, read_machine_file};
    use crate::inspect::starter_catalogue;

    #[test]
    fn just_the_wrong_rows_are_refused_and_every_kind_is_there() {
        let lot = PracticeLot::new("BW-0412".parse().unwrap(), 500, merin_layout(), 0).unwrap();
        let rows = generate(1, &lot);
        let context = MachineContext {
            lot: lot.lot(),
            sheets: lot.sheets(),
            layout: lot.layout(),
            catalogue: &starter_catalogue(),
            examined: &|_| false,
        };
        for count in [0, 1, 17, 100] {
            let csv = with_wrong_rows(&to_csv(&lot, &rows), 1, &lot, count);
            let report = read_machine_file(csv.as_bytes(), &context).unwrap();
            assert_eq!(
                (report.accepted.len(), report.refused.len()),
                (rows.len(), count)
            );
            if count >= KINDS.len() {
                let columns: HashSet<_> = report
                    .refused
                    .iter()
                    .map(|r| r.column.map(|c| c.name()))
                    .collect();
                assert_eq!(columns.len(), 7, "every column, and the row as a whole");
                let kinds: HashSet<_> = report
                    .refused
                    .iter()
                    .map(|r| discriminant(&r.reason))
                    .collect();
                assert_eq!(
                    kinds.len(),
                    11,
                    "every refusal but that of an examined sheet"
                );
            }
        }
    }
}
