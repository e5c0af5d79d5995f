//! The tables about whether groups of notes are alike.

use super::day_alike::MeasuredRow;
use super::day_record::DayRecord;
use super::tables::{DAY, DayTable, HEAD, Value, maybe, maybe_count, table};
use super::tables::{day as day_cell, head};

const Q: &str = "the same with all that was compared counted (Holm): up to 50,000,000 it counts as a difference, and the chance of any false alarm is one in twenty";

pub fn classes(record: &DayRecord) -> DayTable {
    table(
        "rates",
        "each class in the sheets of the day, by lot and by stage of each product, beside all its other lots or stages of the day",
        [
            HEAD,
            DAY,
            ("product", "the product"),
            ("by", "lot or stage: what is compared"),
            ("group", "which lot or stage"),
            ("class", "the class code"),
            ("sheets", "sheets examined"),
            (
                "sheets_with",
                "of these, sheets on which the class was seen",
            ),
            ("share_ppm", "the latter of the former"),
            (
                "low_ppm",
                "lower end of its 95 percent interval (Wilson, of as many independent sheets as these are worth)",
            ),
            ("high_ppm", "upper end of it"),
            (
                "clumping_milli",
                "how many times more the stacks of a group vary than independent sheets would, at least 1",
            ),
            (
                "chance_ppb",
                "the chance of such a difference from all other groups if all are alike (Fisher's exact test by sheets and by stacks, the larger)",
            ),
            ("q_ppb", Q),
        ],
        record.alike.iter().map(|row| {
            [
                head(record),
                day_cell(record),
                row.product.to_string().into(),
                row.by.into(),
                row.group.as_str().into(),
                row.class.to_string().into(),
                row.sheets.into(),
                row.found.into(),
                row.rate.ppm.into(),
                row.rate.low_ppm.into(),
                row.rate.high_ppm.into(),
                row.clumping_milli.into(),
                row.chance_ppb.into(),
                row.q_ppb.into(),
            ]
        }),
    )
}

pub fn measured(record: &DayRecord) -> DayTable {
    table(
        "capability",
        "what was measured in the samples of the day, by lot, press and works",
        [
            HEAD,
            DAY,
            ("product", "the product"),
            ("by", "lot, press or works: what is compared"),
            ("group", "which lot, press or works"),
            ("quantity", "what was measured"),
            ("unit", "the unit of the quantity"),
            ("samples", "samples of the day in force"),
            ("readings", "readings in them"),
            ("mean_millionths", "their mean"),
            ("spread_millionths", "their standard deviation (of n - 1)"),
            ("readings_outside", "readings outside the tolerance"),
            ("cp_milli", "capability index Cp (ISO 22514-2)"),
            ("cp_low_milli", "lower end of its 95 percent interval"),
            ("cp_high_milli", "upper end of it"),
            ("cpk_milli", "capability index Cpk"),
            (
                "cpk_low_milli",
                "lower end of its 95 percent interval (Bissell)",
            ),
            ("cpk_high_milli", "upper end of it"),
            (
                "means_ppb",
                "the chance of such means if all groups with 5 readings have one mean (Welch)",
            ),
            ("means_q_ppb", Q),
            (
                "spreads_ppb",
                "the chance of such spreads if they have one spread (Brown and Forsythe)",
            ),
            ("spreads_q_ppb", Q),
        ],
        record.measured.iter().map(|row| measured_row(record, row)),
    )
}

fn measured_row(record: &DayRecord, row: &MeasuredRow) -> [Value; 22] {
    let whole = |value: Option<i64>| value.map_or(Value::Nothing, Value::Whole);
    let of = |three: Option<[i64; 3]>, place: usize| whole(three.map(|three| three[place]));
    let chance = |two: Option<[u64; 2]>, place: usize| maybe_count(two.map(|two| two[place]));
    [
        head(record),
        day_cell(record),
        row.product.to_string().into(),
        row.by.into(),
        row.group.as_str().into(),
        row.quantity.slug().into(),
        row.quantity.unit().into(),
        row.samples.into(),
        row.readings.into(),
        Value::Whole(row.mean),
        whole(row.spread),
        maybe_count(row.outside),
        of(row.cp, 0),
        of(row.cp, 1),
        of(row.cp, 2),
        of(row.cpk, 0),
        of(row.cpk, 1),
        of(row.cpk, 2),
        chance(row.means, 0),
        chance(row.means, 1),
        chance(row.spreads, 0),
        chance(row.spreads, 1),
    ]
}

pub fn samples(record: &DayRecord) -> DayTable {
    table(
        "measured",
        "every sample recorded on the day that no later entry replaces",
        [
            HEAD,
            DAY,
            ("entry", "number of the entry"),
            ("person", "code of who recorded it"),
            ("at", "when"),
            ("product", "the product"),
            ("quantity", "what was measured"),
            ("unit", "the unit of the quantity"),
            ("lot", "the lot the notes are of"),
            ("press", "the press that printed them"),
            ("site", "the works that printed them, when another one"),
            ("mean_millionths", "the mean of the readings"),
            ("spread_millionths", "their standard deviation (of n - 1)"),
            ("target_milli", "the target now"),
            ("lower_milli", "the lower limit now"),
            ("upper_milli", "the upper limit now"),
            (
                "readings_milli",
                "each reading in thousandths of the unit, a space between",
            ),
        ],
        record.samples.iter().map(|row| {
            let limits = row.tolerance;
            let milli = |reading: Option<crate::inspect::Reading>| {
                reading.map_or(Value::Nothing, |one| Value::Whole(one.0.into()))
            };
            let readings: Vec<String> = row.readings.iter().map(|one| one.0.to_string()).collect();
            [
                head(record),
                day_cell(record),
                row.entry.into(),
                row.by.to_string().into(),
                row.at.to_string().into(),
                row.product.to_string().into(),
                row.quantity.slug().into(),
                row.quantity.unit().into(),
                maybe(row.lot),
                maybe(row.press),
                maybe(row.site),
                Value::Whole(row.mean),
                row.spread.map_or(Value::Nothing, Value::Whole),
                milli(limits.map(|limits| limits.target)),
                milli(limits.and_then(|limits| limits.lower)),
                milli(limits.and_then(|limits| limits.upper)),
                readings.join(" ").into(),
            ]
        }),
    )
}
