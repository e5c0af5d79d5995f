//! Findings in words, as the Bench and the Verdicts screen say them.

use crate::book::{Findings, Lot, Mark, Repeater, ZoneFinding};
use crate::quality::Probability;
use crate::quality::meaning::Pattern;
use crate::quality::zones::Axis;
use crate::sheet::{Layout, Position, SheetRange, Side, grouped};

use super::bench::{Bench, LOOK_BACK, Running, running};

/// A finding in short: what, then where to look first.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    pub what: String,
    pub look_at: String,
    pub mark: Mark,
    /// The position concerned; nothing for a whole line of them.
    pub at: Option<Position>,
}

/// What the Bench says about the press: the run on the sheet that lies there, then what stands
/// out in the lot; at most `most`, and each position and class once. Nothing while an acceptance
/// sample is looked at: what others found must not lead the eye.
pub fn repeating(lot: &Lot, bench: &Bench, most: usize) -> Vec<Told> {
    if bench.sample.is_some() {
        return Vec::new();
    }
    let runs = running(&bench.press, lot, bench.sheet, bench.draft.tags());
    let now = runs.first().map(|run| told_running(lot, run));
    let mut told: Vec<Told> = now.into_iter().collect();
    for known in most_telling(lot, &bench.press.findings(), most) {
        let said = |one: &Told| (one.at, one.mark) == (known.at, known.mark);
        if known.at.is_none() || !told.iter().any(said) {
            told.push(known);
        }
    }
    told.truncate(most);
    told
}

/// The findings of a lot, most telling first, at most `most`. A line of the sheet that stands out
/// because of one note is left out: the note says it.
pub fn most_telling(lot: &Lot, findings: &Findings, most: usize) -> Vec<Told> {
    let repeaters = findings.repeaters.iter();
    let repeaters = repeaters.map(|found| (found.p, told_repeater(lot, found)));
    let zones = findings
        .zones
        .iter()
        .filter(|found| !found.zone.is_one_position());
    let zones = zones.map(|found| (found.zone.p, told_zone(lot, found)));
    let mut told: Vec<(Probability, Told)> = repeaters.chain(zones).collect();
    told.sort_by(|a, b| a.0.get().total_cmp(&b.0.get()));
    told.truncate(most);
    told.into_iter().map(|(_, told)| told).collect()
}

fn told_repeater(lot: &Lot, found: &Repeater) -> Told {
    let name = lot.product.layout.name(found.position);
    let sheets = SheetRange::new(found.from, found.to);
    let sheets = sheets.map_or_else(
        |_| String::new(),
        |range| format!(", sheets {}", range.readable()),
    );
    Told {
        what: format!(
            "{} at {name}, {} in a row{sheets}",
            mark_name(found.class),
            grouped(found.length)
        ),
        look_at: found.class.look_at(Pattern::OnePosition, lot),
        mark: found.class,
        at: Some(found.position),
    }
}

fn told_zone(lot: &Lot, found: &ZoneFinding) -> Told {
    Told {
        what: format!(
            "{} in {}: {} marks, {:.1} expected",
            mark_name(found.class),
            line_name(&lot.product.layout, found),
            grouped(found.zone.count),
            found.zone.expected
        ),
        look_at: found.class.look_at(Pattern::of_zone(&found.zone), lot),
        mark: found.class,
        at: None,
    }
}

/// The run on the sheet on the bench.
pub fn told_running(lot: &Lot, run: &Running) -> Told {
    let name = lot.product.layout.name(run.position);
    let length = if run.length < LOOK_BACK {
        format!("the last {}", run.length)
    } else {
        format!("at least the last {LOOK_BACK}")
    };
    Told {
        what: format!(
            "{} at {name} on {length} sheets; chance {}",
            mark_name(run.mark),
            odds(run.chance)
        ),
        look_at: run.mark.look_at(Pattern::OnePosition, lot),
        mark: run.mark,
        at: Some(run.position),
    }
}

/// "OM", or "OM on the back".
pub fn mark_name(mark: Mark) -> String {
    match mark.side {
        Side::Front => mark.class.to_string(),
        Side::Back => format!("{} on the back", mark.class),
    }
}

/// The line of a zone by the notes at its two ends, which hold on both sides: "column A2 to F2".
pub fn line_name(layout: &Layout, found: &ZoneFinding) -> String {
    let line = found.zone.line as u8;
    let (word, ends) = match found.zone.axis {
        Axis::Columns => ("column", [(0, line), (layout.rows() - 1, line)]),
        Axis::Rows => ("row", [(line, 0), (line, layout.columns() - 1)]),
    };
    let named = ends.map(|(row, column)| {
        let position = layout.position(row, column);
        position.map_or("", |position| layout.name(position))
    });
    format!("{word} {} to {}", named[0], named[1])
}

/// A chance as people say it: "1 in 40 000", with two figures that count.
pub fn odds(chance: Probability) -> String {
    const BILLION: f64 = 1e9;
    let one_in = 1.0 / chance.get();
    match one_in {
        _ if one_in > BILLION => "below 1 in a billion".to_owned(),
        _ if one_in < 10.0 => format!("1 in {one_in:.1}"),
        _ => {
            let scale = 10_f64.powi(one_in.log10().floor() as i32 - 1);
            format!(
                "1 in {}",
                grouped(((one_in / scale).round() * scale) as u64)
            )
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_said_with_two_figures() {
        let said = |chance| odds(Probability::new("chance", chance).unwrap());
        assert_eq!(said(1.0), "1 in 1.0");
        assert_eq!(said(0.3), "1 in 3.3");
        assert_eq!(said(0.05), "1 in 20");
        assert_eq!(
            said(1.0 / 41_234.0),
            "1 in 41 000".replace(' ', &grouped(1_000)[1..2])
        );
        assert_eq!(said(2e-10), "below 1 in a billion");
        assert_eq!(said(0.0), "below 1 in a billion");
    }
}
