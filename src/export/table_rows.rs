//! The rows of each table of a day.

use crate::account::Carried;

use super::day_record::{Acts, DayRecord, ExaminedRow, Of};
use super::day_tags::TagRow;
use super::tables::{DAY, DayTable, HEAD, Value, listed, maybe, maybe_count, table};
use super::tables::{day as day_cell, head};

pub fn day(record: &DayRecord) -> DayTable {
    let closed = record.closed.as_ref();
    let facts: Vec<(&str, Value, &str)> = vec![
        ("works", record.works.as_str().into(), "text"),
        ("bench", record.bench.as_str().into(), "text"),
        ("book", record.book.to_string().into(), "UUID"),
        (
            "practice",
            if record.practice { "yes" } else { "no" }.into(),
            "yes or no",
        ),
        ("full head", record.head.to_string().into(), "SHA-256"),
        ("entries in the book", record.book_entries.into(), "entries"),
        (
            "cut-over hour",
            u64::from(record.cut_over_hour).into(),
            "local hour at which the day ends",
        ),
        (
            "closed in entry",
            maybe_count(closed.map(|c| c.entry)),
            "entry",
        ),
        ("closed by", maybe(closed.map(|c| c.by)), "person"),
        ("closed at", maybe(closed.map(|c| &c.at)), "time"),
        (
            "entries after closing",
            maybe_count(closed.map(|c| c.late_entries)),
            "entries",
        ),
    ];
    let carried = [
        ("carried in", record.carried_in),
        ("carried over", record.carried),
    ];
    let carried = carried.into_iter().flat_map(|(when, carried)| {
        let figures = carried_figures(&carried).into_iter();
        figures.map(move |(figure, value, unit)| (format!("{when}: {figure}"), value.into(), unit))
    });
    let facts = facts.into_iter().chain(act_figures(&record.acts));
    let facts = facts.map(|(figure, value, unit)| (figure.to_owned(), value, unit));
    let rows = facts.chain(carried);
    table(
        "day",
        "one figure of the day a row",
        [
            HEAD,
            DAY,
            ("figure", "what is given"),
            ("value", "the figure"),
            ("unit", "what the figure counts or is"),
        ],
        rows.map(|(figure, value, unit)| {
            [
                head(record),
                day_cell(record),
                figure.into(),
                value,
                unit.into(),
            ]
        }),
    )
}

/// What was done, as figures with their units.
pub fn act_figures(acts: &Acts) -> [(&'static str, Value, &'static str); 14] {
    let figures = [
        ("entries of the day", acts.entries, "entries"),
        ("corrections", acts.corrections, "sheets"),
        ("verdicts overruled", acts.overrulings, "sheets"),
        (
            "passed on the machine's word",
            acts.on_machines_word,
            "sheets",
        ),
        ("replacements drawn", acts.replacements_drawn, "notes"),
        ("replacements inserted", acts.replacements_inserted, "notes"),
        ("replacements spoiled", acts.replacements_spoiled, "notes"),
        ("replacements returned", acts.replacements_returned, "notes"),
        ("containers sealed", acts.containers_sealed, "containers"),
        ("destruction sessions", acts.sessions, "sessions"),
        ("whole sheets destroyed", acts.sheets_destroyed, "sheets"),
        ("single notes destroyed", acts.notes_destroyed, "notes"),
        (
            "corrections of fillings and sealings",
            acts.custody_corrections,
            "entries",
        ),
        ("spoils declared lost", acts.spoils_declared_lost, "spoils"),
    ];
    figures.map(|(figure, count, unit)| (figure, count.into(), unit))
}

pub fn carried_figures(carried: &Carried) -> [(&'static str, u64, &'static str); 8] {
    [
        ("sheets not examined", carried.sheets_not_examined, "sheets"),
        ("notes to replace", carried.notes_to_replace, "notes"),
        (
            "replacements on hand",
            carried.replacements_on_hand,
            "notes",
        ),
        ("spoils loose", carried.spoils_loose, "spoils"),
        (
            "spoils in open containers",
            carried.spoils_in_open_containers,
            "spoils",
        ),
        ("spoils sealed", carried.spoils_sealed, "spoils"),
        ("spoils held", carried.spoils_held, "spoils"),
        ("spoils missing", carried.spoils_missing, "spoils"),
    ]
}

pub fn examined(record: &DayRecord) -> DayTable {
    table(
        "examined",
        "sheets examined on the day: all of them, then by bench, product, stage, lot, inspector, hour",
        [
            HEAD,
            DAY,
            (
                "by",
                "day, bench, product, stage (whether the notes had serials when examined), lot, inspector or hour",
            ),
            (
                "key",
                "the code of it, the stage, or the local hour 0 to 23",
            ),
            (
                "name",
                "the product's title, also of a lot's; the inspector's name",
            ),
            ("sheets", "sheets examined"),
            ("good", "sheets ruled good"),
            ("mixed", "sheets ruled mixed"),
            ("spoiled", "sheets ruled spoiled"),
            ("notes", "notes on the sheets examined"),
            (
                "notes_spoiled",
                "defective notes of mixed sheets and all notes of spoiled ones",
            ),
            (
                "spoilage_ppm",
                "notes spoiled of notes examined, parts per million",
            ),
            (
                "low_ppm",
                "lower end of its 95 percent interval (Wilson), parts per million",
            ),
            ("high_ppm", "upper end of it, parts per million"),
        ],
        record.examined.iter().map(examined_row),
    )
}

pub fn examined_row(row: &ExaminedRow) -> [Value; 14] {
    let (by, key) = match row.of {
        Of::Day => ("day", Value::Nothing),
        Of::Bench(bench) => ("bench", bench.to_string().into()),
        Of::Product(product) => ("product", product.to_string().into()),
        Of::Stage(stage) => ("stage", stage.name().into()),
        Of::Lot(lot) => ("lot", lot.to_string().into()),
        Of::Inspector(who) => ("inspector", who.to_string().into()),
        Of::Hour(hour) => ("hour", u64::from(hour).into()),
    };
    [
        Value::Head,
        Value::Day,
        by.into(),
        key,
        row.name.as_str().into(),
        row.sheets.into(),
        row.good.into(),
        row.mixed.into(),
        row.spoiled.into(),
        row.notes.into(),
        row.notes_spoiled.into(),
        maybe_count(row.spoilage.map(|rate| rate.ppm)),
        maybe_count(row.spoilage.map(|rate| rate.low_ppm)),
        maybe_count(row.spoilage.map(|rate| rate.high_ppm)),
    ]
}

pub fn tags(record: &DayRecord) -> DayTable {
    table(
        "tags",
        "tags of the sheets examined on the day: by class, then by step, each most first",
        [
            HEAD,
            DAY,
            ("by", "class or step"),
            ("class", "the class code"),
            ("name", "the name of the class or step"),
            ("step", "the step of the works"),
            (
                "tags",
                "tags on the sheets examined, corrected ones left out",
            ),
            ("sheets", "sheets examined with at least one of them"),
            ("share_ppm", "part of all tags, parts per million"),
            (
                "cumulative_ppm",
                "with all classes, or all steps, above it, parts per million",
            ),
        ],
        record.tags.iter().map(tag_row),
    )
}

pub fn tag_row(row: &TagRow) -> [Value; 10] {
    let by = if row.class.is_some() { "class" } else { "step" };
    [
        Value::Head,
        Value::Day,
        by.into(),
        maybe(row.class),
        row.name.as_str().into(),
        row.step.slug().into(),
        row.tags.into(),
        row.sheets.into(),
        row.share_ppm.into(),
        row.cumulative_ppm.into(),
    ]
}

pub fn sheets(record: &DayRecord) -> DayTable {
    table(
        "sheets",
        "every sheet examined on the day that is not good, or good only because the rules were overruled",
        [
            HEAD,
            DAY,
            ("lot", "the lot"),
            ("sheet", "the sheet's number in its lot, from 1"),
            ("verdict", "the verdict in force: good, mixed or spoiled"),
            (
                "reason",
                "why; of an overruled sheet also what the rules said",
            ),
            (
                "defective",
                "positions that are defective by their own tags",
            ),
            ("inspector", "code of who examined it"),
            ("at", "when, with offset"),
            (
                "entry",
                "number of the entry that has the last word on it, from 0",
            ),
        ],
        record.sheets.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.lot.to_string().into(),
                u64::from(row.sheet.number()).into(),
                row.verdict.into(),
                row.reason.as_str().into(),
                listed(&row.defective),
                row.inspector.to_string().into(),
                row.at.to_string().into(),
                row.entry.into(),
            ]
        }),
    )
}

pub fn replacements(record: &DayRecord) -> DayTable {
    table(
        "replacements",
        "every replacement note drawn on the day, series by series in its order",
        [
            HEAD,
            DAY,
            ("lot", "the lot it was drawn for"),
            ("serial", "the note it stands for"),
            ("series", "the replacement series"),
            ("replacement", "the replacement note"),
            ("bundle", "the bundle of the lot it goes into, from 1"),
            ("box", "the box of that bundle, from 1"),
            (
                "fate",
                "on hand, inserted, spoiled or returned, as the book stands",
            ),
            ("entry", "number of the entry that drew it"),
        ],
        record.replacements.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.lot.to_string().into(),
                row.serial.to_string().into(),
                row.series.to_string().into(),
                row.replacement.to_string().into(),
                u64::from(row.bundle).into(),
                u64::from(row.box_no).into(),
                row.fate.into(),
                row.entry.into(),
            ]
        }),
    )
}

pub fn balance(record: &DayRecord) -> DayTable {
    table(
        "balance",
        "the four identities of every lot and of the whole book, figure by figure",
        [
            HEAD,
            DAY,
            ("lot", "the lot; empty for the whole book"),
            ("identity", "Sheets, Notes, Replacement notes or Spoils"),
            ("side", "owed, found, or difference (found less owed)"),
            ("figure", "what is counted"),
            ("count", "how many"),
        ],
        record.balance.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                maybe(row.lot),
                row.identity.into(),
                row.side.into(),
                row.figure.into(),
                Value::Whole(row.count),
            ]
        }),
    )
}
