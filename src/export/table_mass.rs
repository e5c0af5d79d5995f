//! The tables about mass: weighings and residue.

use super::day_record::DayRecord;
use super::tables::{DAY, DayTable, HEAD, Value, listed, maybe, maybe_count, table};
use super::tables::{day as day_cell, head};

pub fn weighings(record: &DayRecord) -> DayTable {
    table(
        "weighings",
        "every container weighed at a destruction of the day, against its count",
        [
            HEAD,
            DAY,
            ("session", "number of the session"),
            ("container", "the container"),
            ("scale", "the scale it was read from"),
            ("net_mg", "gross less tare, milligrams"),
            ("expected_mg", "what its count should weigh, milligrams"),
            ("difference_mg", "net less expected, milligrams"),
            (
                "expanded_mg",
                "expanded uncertainty of the difference (coverage 2), milligrams; empty when not known",
            ),
            ("verdict", "agrees, differs or cannot tell"),
            (
                "missing_notes",
                "the fewest missing notes that the weighing could show",
            ),
            (
                "missing_sheets",
                "the fewest missing whole sheets that it could show",
            ),
        ],
        record.weighings.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.session.to_string().into(),
                row.container.to_string().into(),
                maybe(row.scale.as_ref()),
                row.net_mg.into(),
                row.expected_mg.into(),
                Value::Whole(row.difference_mg),
                maybe_count(row.expanded_mg),
                row.verdict.into(),
                maybe_count(row.missing_notes),
                maybe_count(row.missing_sheets),
            ]
        }),
    )
}

pub fn residue(record: &DayRecord) -> DayTable {
    table(
        "residue",
        "every sending of residue recorded on the day, against the paper destroyed",
        [
            HEAD,
            DAY,
            ("receipt", "number of the receipt"),
            ("destination", "where it went"),
            ("date", "the day it left, YYYY-MM-DD"),
            ("sessions", "the sessions whose residue it was"),
            ("paper_mg", "net mass of the paper destroyed, milligrams"),
            ("sent_mg", "mass of the residue, milligrams"),
            ("difference_mg", "residue less paper, milligrams"),
            (
                "tolerance_mg",
                "how far the two may lie apart, milligrams; empty for pulp and ash",
            ),
            ("result", "agrees, differs or cannot tell"),
            ("entry", "number of the entry"),
        ],
        record.residue.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.receipt.as_str().into(),
                row.destination.as_str().into(),
                row.date.to_string().into(),
                listed(&row.sessions),
                row.paper_mg.into(),
                row.sent_mg.into(),
                Value::Whole(row.difference_mg),
                maybe_count(row.tolerance_mg),
                row.result.into(),
                row.entry.into(),
            ]
        }),
    )
}
