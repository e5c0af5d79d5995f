//! The rows of the tables about the cage: containers, spoils, destructions.

use super::day_record::DayRecord;
use super::tables::{DAY, DayTable, HEAD, listed, maybe, maybe_count, table};
use super::tables::{day as day_cell, head};

pub fn containers(record: &DayRecord) -> DayTable {
    table(
        "containers",
        "every container in the cage, and those destroyed or retired on the day",
        [
            HEAD,
            DAY,
            ("container", "the container"),
            ("state", "open, sealed, held, destroyed or retired"),
            ("sheets", "whole sheets in it"),
            ("notes", "notes in it, replacement notes too"),
            ("seal", "number of its seal"),
            ("sealed_by", "code of who sealed it"),
            ("second", "code of the second person"),
            ("sealed_at", "when, with offset"),
            ("gross_mg", "gross mass when sealed, milligrams"),
            ("session", "the session it was destroyed in"),
            ("place", "where it stands"),
            ("held_for", "why it is held"),
            ("corrected_in", "entry that corrected its sealing last"),
        ],
        record.containers.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.container.to_string().into(),
                row.state.into(),
                row.sheets.into(),
                row.notes.into(),
                maybe(row.seal),
                maybe(row.sealed_by),
                maybe(row.second),
                maybe(row.sealed_at.as_ref()),
                maybe_count(row.gross_mg),
                maybe(row.session),
                maybe(row.place.as_ref()),
                maybe(row.held_for.as_ref()),
                maybe_count(row.corrected_in),
            ]
        }),
    )
}

pub fn spoils(record: &DayRecord) -> DayTable {
    table(
        "spoils",
        "every spoil in the cage, missing or declared lost, and those destroyed on the day",
        [
            HEAD,
            DAY,
            ("lot", "the lot it comes from"),
            ("kind", "sheet, note or replacement note"),
            ("spoil", "the sheet number or the serial"),
            (
                "place",
                "loose, in open container, sealed, held, missing, declared lost or destroyed",
            ),
            ("container", "the container it lies in, or should"),
            ("session", "the session it was destroyed in"),
            (
                "entry",
                "entry that brought it there, or into its container",
            ),
        ],
        record.spoils.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                maybe(row.lot),
                row.kind.into(),
                row.spoil.as_str().into(),
                row.place.into(),
                maybe(row.container),
                maybe(row.session),
                maybe_count(row.entry),
            ]
        }),
    )
}

pub fn sessions(record: &DayRecord) -> DayTable {
    table(
        "sessions",
        "every destruction recorded on the day",
        [
            HEAD,
            DAY,
            ("session", "number of the session and its certificate"),
            ("place", "where"),
            ("machine", "the destroying machine"),
            ("method", "how"),
            ("particle_class", "ISO/IEC 21964-2 class"),
            (
                "largest_particle_mm2",
                "largest particle of the residue sample, mm²",
            ),
            (
                "particles_measured",
                "particles of the residue sample that were measured",
            ),
            (
                "particles_above",
                "how many of them are larger than the class' area",
            ),
            ("containers", "containers destroyed"),
            ("sheets", "sheets counted"),
            ("notes", "notes counted"),
            ("gross_mg", "gross mass of all containers, milligrams"),
            ("tare_mg", "mass of the empty containers, milligrams"),
            ("operator", "code of the operator"),
            ("witnesses", "codes of the witnesses"),
            ("started", "start, with offset"),
            ("ended", "end, with offset"),
            ("recorded_by", "code of who recorded it"),
            ("recorded_at", "when it was recorded, with offset"),
            ("entry", "number of the entry"),
            ("hash", "hash of the entry's line"),
        ],
        record.sessions.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.session.to_string().into(),
                row.place.as_str().into(),
                row.machine.as_str().into(),
                row.method.into(),
                maybe(row.particle_class),
                maybe_count(row.largest_particle_mm2.map(u64::from)),
                maybe_count(row.particles_measured.map(u64::from)),
                maybe_count(row.particles_above.map(u64::from)),
                listed(&row.containers),
                row.sheets.into(),
                row.notes.into(),
                row.gross_mg.into(),
                row.tare_mg.into(),
                row.operator.to_string().into(),
                listed(&row.witnesses),
                row.started.to_string().into(),
                row.ended.to_string().into(),
                row.recorded_by.to_string().into(),
                row.recorded_at.to_string().into(),
                row.entry.into(),
                row.hash.to_string().into(),
            ]
        }),
    )
}
