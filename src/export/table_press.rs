//! The rows of the tables about the day as a whole and the press: remarks, comparison, charts,
//! findings, corrections, replacement series.

use super::day_charts::{ChartOfLot, ChartPoint, Heard, Plotted};
use super::day_compared::Compared;
use super::day_record::DayRecord;
use super::tables::{DAY, DayTable, HEAD, Value, listed, maybe, maybe_count, table};
use super::tables::{day as day_cell, head};

pub fn remarks(record: &DayRecord) -> DayTable {
    table(
        "remarks",
        "what is out of the ordinary about the day, a sentence a row",
        [HEAD, DAY, ("remark", "a sentence")],
        record.remarks.iter().map(|remark| {
            let remark = remark.as_str().into();
            [head(record), day_cell(record), remark]
        }),
    )
}

pub fn compared(record: &DayRecord) -> DayTable {
    table(
        "compared",
        "the last 7 and the last 30 production days before this one on which sheets were examined",
        [
            HEAD,
            DAY,
            ("window", "how many days were asked for"),
            ("days", "how many of them the book has"),
            ("from_day", "the first of them"),
            ("to_day", "the last of them"),
            ("sheets", "sheets examined on those days"),
            ("good", "sheets ruled good"),
            ("mixed", "sheets ruled mixed"),
            ("spoiled", "sheets ruled spoiled"),
            ("notes", "notes on the sheets examined"),
            (
                "notes_spoiled",
                "defective notes of mixed sheets and all notes of spoiled ones",
            ),
            ("spoilage_ppm", "notes spoiled of notes examined"),
            ("low_ppm", "lower end of its 95 percent interval (Wilson)"),
            ("high_ppm", "upper end of it"),
            ("change_ppm", "spoilage of this day less that of those days"),
            (
                "change_low_ppm",
                "lower end of its 95 percent interval (Newcombe, from Wilson's two)",
            ),
            ("change_high_ppm", "upper end of it"),
        ],
        record.compared.iter().map(|row| compared_row(record, row)),
    )
}

fn compared_row(record: &DayRecord, row: &Compared) -> [Value; 18] {
    let signed = |value: Option<i64>| value.map_or(Value::Nothing, Value::Whole);
    [
        head(record),
        day_cell(record),
        u64::from(row.window).into(),
        row.days.into(),
        maybe(row.from),
        maybe(row.to),
        row.sheets.into(),
        row.good.into(),
        row.mixed.into(),
        row.spoiled.into(),
        row.notes.into(),
        row.notes_spoiled.into(),
        maybe_count(row.spoilage.map(|rate| rate.ppm)),
        maybe_count(row.spoilage.map(|rate| rate.low_ppm)),
        maybe_count(row.spoilage.map(|rate| rate.high_ppm)),
        signed(row.change.map(|change| change.ppm)),
        signed(row.change.map(|change| change.low_ppm)),
        signed(row.change.map(|change| change.high_ppm)),
    ]
}

pub fn charts(record: &DayRecord) -> DayTable {
    let points = record.charts.iter().flat_map(|chart| {
        let points = chart.points.iter();
        points.map(move |point| chart_row(record, chart, point))
    });
    table(
        "charts",
        "control charts of every lot examined on the day, a stack of sheets a row: limits three standard deviations from the centre (NIST/SEMATECH e-Handbook 6.3.3)",
        [
            HEAD,
            DAY,
            (
                "chart",
                "p: share of notes defective by their own tags; u: tags per sheet",
            ),
            ("lot", "the lot"),
            ("from_sheet", "first sheet of the stack examined on the day"),
            ("to_sheet", "last sheet of it"),
            ("size", "notes (p) or sheets (u) examined"),
            ("found", "defective notes (p) or tags (u)"),
            ("value_ppm", "found of size; of u: tags per million sheets"),
            ("centre_ppm", "the same over all rows of the chart"),
            ("lower_ppm", "lower limit at this size"),
            ("upper_ppm", "upper limit at this size"),
            ("outside", "yes or no: beyond a limit"),
            (
                "rules",
                "run rules that this row completes: W1 one beyond three standard deviations, W2 two of three beyond two, W3 four of five beyond one, W4 eight on one side (Western Electric)",
            ),
            (
                "rough",
                "yes or no: some row of the chart expects fewer than five, so that limits are rough",
            ),
        ],
        points,
    )
}

fn chart_row(record: &DayRecord, chart: &ChartOfLot, point: &ChartPoint) -> [Value; 15] {
    let yes = |is: bool| Value::from(if is { "yes" } else { "no" });
    let rules: Vec<_> = point
        .signals
        .iter()
        .map(|heard: &Heard| heard.rule)
        .collect();
    [
        head(record),
        day_cell(record),
        Plotted::name(chart.plotted).into(),
        chart.lot.to_string().into(),
        u64::from(point.from.number()).into(),
        u64::from(point.to.number()).into(),
        point.size.into(),
        point.found.into(),
        point.value_ppm.into(),
        chart.centre_ppm.into(),
        point.lower_ppm.into(),
        point.upper_ppm.into(),
        yes(point.outside),
        listed(&rules),
        yes(chart.rough),
    ]
}

pub fn findings(record: &DayRecord) -> DayTable {
    table(
        "findings",
        "what stands out in the sheets of the day, lot by lot; of all findings of a lot and kind at most one in twenty is to be expected by chance",
        [
            HEAD,
            DAY,
            ("lot", "the lot"),
            (
                "kind",
                "repeater: one position, sheet after sheet; column or row: a line marked more than its share",
            ),
            ("class", "the class code"),
            ("side", "front or back"),
            ("where", "the position, or the two ends of the line"),
            ("from_sheet", "first sheet of the longest run"),
            ("to_sheet", "last sheet of it"),
            ("count", "sheets in a row, or marks in the line"),
            ("expected_milli", "marks expected in each line"),
            (
                "chance_ppb",
                "the chance of it if marks fell independently and alike",
            ),
            (
                "q_ppb",
                "the same with all that was looked for counted (Benjamini and Hochberg)",
            ),
            (
                "look_at",
                "where to look first (common practice, no source)",
            ),
        ],
        record.findings.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.lot.to_string().into(),
                row.kind.into(),
                row.class.to_string().into(),
                row.side.name().into(),
                row.at.as_str().into(),
                maybe_count(row.sheets.map(|(from, _)| from.number().into())),
                maybe_count(row.sheets.map(|(_, to)| to.number().into())),
                row.count.into(),
                maybe_count(row.expected_milli),
                row.chance_ppb.into(),
                row.q_ppb.into(),
                row.look_at.clone().into(),
            ]
        }),
    )
}

pub fn corrections(record: &DayRecord) -> DayTable {
    table(
        "corrections",
        "every correction and overruling made on the day, those of the cage too, in the order of the book",
        [
            HEAD,
            DAY,
            ("entry", "number of the entry that made it"),
            (
                "what",
                "correction: a sheet examined anew; overruling: a supervisor's word against the rules; filling, sealing, session: a fact of the cage written down amiss",
            ),
            ("lot", "the lot of the sheet"),
            ("sheet", "the sheet's number in its lot"),
            ("container", "the container"),
            ("session", "the destruction session"),
            (
                "amends",
                "number of the entry that had the last word before",
            ),
            (
                "before",
                "what was said before: the verdict, where the pieces were, the seal and mass, or the fact",
            ),
            ("after", "what is said now"),
            ("reason", "why, as written"),
            ("person", "code of who made it"),
            ("second", "code of the second person, where two must"),
            ("at", "when"),
        ],
        record.amendments.iter().map(|row| {
            let (of, (before, after)) = (row.what.reruled(), row.what.said());
            [
                head(record),
                day_cell(record),
                row.entry.into(),
                row.what.name().into(),
                maybe(of.map(|of| of.lot)),
                maybe_count(of.map(|of| of.sheet.number().into())),
                maybe(row.what.container()),
                maybe(row.what.session()),
                row.amends.into(),
                before.into(),
                after.into(),
                row.reason.as_str().into(),
                row.by.to_string().into(),
                maybe(row.second),
                row.at.to_string().into(),
            ]
        }),
    )
}

pub fn series(record: &DayRecord) -> DayTable {
    table(
        "series",
        "every replacement series, as the book stands",
        [
            HEAD,
            DAY,
            ("series", "the replacement series"),
            ("product", "the product it is for"),
            ("drawn_as", "notes one by one, or whole sheets"),
            ("notes", "notes of the whole series"),
            ("drawn", "notes drawn"),
            ("inserted", "of these, inserted"),
            ("notes_spoiled", "of these, spoiled"),
            ("returned", "of these, returned unused"),
            ("on_hand", "of these, on hand"),
            ("left", "notes not yet drawn"),
            ("drawn_on_the_day", "notes drawn on the day"),
        ],
        record.series.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.series.to_string().into(),
                row.product.to_string().into(),
                row.drawn_as.into(),
                row.notes.into(),
                row.drawn.into(),
                row.inserted.into(),
                row.spoiled.into(),
                row.returned.into(),
                row.on_hand.into(),
                row.left.into(),
                row.drawn_on_the_day.into(),
            ]
        }),
    )
}
