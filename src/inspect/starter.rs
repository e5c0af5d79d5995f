//! The catalogue a new book starts with. Works edit it in the Office.
//!
//! What each class looks like and where it usually comes from is common practice, no source.

use super::catalogue::{Catalogue, Class, Scope, Severity, Step};
use Scope::{Note, Sheet};
use Severity::{Critical, Major, Minor};

type Row = (
    &'static str,
    &'static str,
    Scope,
    Severity,
    &'static str,
    &'static str,
);

const PAPER: &[Row] = &[
    (
        "PT",
        "tear",
        Sheet,
        Critical,
        "Edge or face torn through",
        "Feeder, gripper, moving a pile by hand",
    ),
    (
        "PH",
        "hole",
        Note,
        Critical,
        "Light shows through the note",
        "Paper making, a burst inclusion",
    ),
    (
        "PC",
        "crease",
        Note,
        Major,
        "A sharp line that ink bridges or skips",
        "Waviness from damp, suction, blanket nip",
    ),
    (
        "PD",
        "dirt in paper",
        Note,
        Minor,
        "A speck under the print",
        "Paper making",
    ),
    (
        "PW",
        "watermark",
        Note,
        Major,
        "Faint, doubled or out of place against the light",
        "Paper making, sheet cut out of step",
    ),
    (
        "PS",
        "thread",
        Note,
        Critical,
        "Thread missing, broken or out of its band",
        "Paper making",
    ),
    (
        "PU",
        "waviness",
        Sheet,
        Major,
        "The sheet does not lie flat",
        "Uneven damp, long wait between steps",
    ),
];

const OFFSET: &[Row] = &[
    (
        "OR",
        "register",
        Sheet,
        Major,
        "Colours or sides do not meet",
        "Gripper, side lay, sheet stretch",
    ),
    (
        "OS",
        "spot",
        Note,
        Major,
        "A ring or dot where none is drawn",
        "Dust or ink skin on plate or blanket",
    ),
    (
        "OM",
        "void",
        Note,
        Major,
        "Ink missing inside the drawing",
        "Blanket dent, paper dust",
    ),
    (
        "OC",
        "shade",
        Sheet,
        Major,
        "A colour too light or too dark all over",
        "Ink keys, water balance",
    ),
    (
        "OT",
        "tint",
        Note,
        Minor,
        "A faint tone on bare paper",
        "Water balance, plate not clean",
    ),
    (
        "OX",
        "set-off",
        Note,
        Major,
        "A mirrored print from the sheet above",
        "Piles too high, ink not dry",
    ),
];

const SCREEN: &[Row] = &[
    (
        "SM",
        "missing",
        Note,
        Critical,
        "The screen patch is not there",
        "Screen blocked, squeegee lifted",
    ),
    (
        "SP",
        "pinhole",
        Note,
        Minor,
        "Small bare points in the patch",
        "Bubbles, dust in the screen",
    ),
    (
        "SS",
        "smear",
        Note,
        Major,
        "The patch is drawn out or doubled",
        "Dryer too cold, sheet touched wet",
    ),
];

const FOIL: &[Row] = &[
    (
        "FM",
        "missing",
        Note,
        Critical,
        "No foil or part of it gone",
        "Foil web break, die too cold",
    ),
    (
        "FR",
        "register",
        Note,
        Major,
        "Foil outside its place",
        "Foil feed, sheet stretch",
    ),
    (
        "FD",
        "damage",
        Note,
        Major,
        "Foil scratched, cracked or flaking",
        "Die wear, handling",
    ),
];

const INTAGLIO: &[Row] = &[
    (
        "IW",
        "wiping",
        Note,
        Major,
        "A streak or haze of ink on bare paper",
        "Wiping cylinder worn or dry",
    ),
    (
        "IF",
        "filled in",
        Note,
        Major,
        "Fine lines closed by ink",
        "Too much ink, soft wiping",
    ),
    (
        "IV",
        "void",
        Note,
        Major,
        "Raised lines broken or bare",
        "Plate not filled, low pressure",
    ),
    (
        "IX",
        "set-off",
        Note,
        Major,
        "A mirrored relief from the sheet above",
        "Piles too high, ink not dry",
    ),
    (
        "IR",
        "register",
        Sheet,
        Major,
        "The relief does not meet the offset",
        "Sheet stretch, side lay",
    ),
    (
        "IL",
        "low relief",
        Note,
        Minor,
        "Lines hardly felt under the thumb",
        "Low pressure, plate wear",
    ),
];

const NUMBERING: &[Row] = &[
    (
        "NM",
        "missing",
        Note,
        Critical,
        "A figure or a whole number is not there",
        "Box not inked, wheel stuck low",
    ),
    (
        "NB",
        "blurred",
        Note,
        Minor,
        "Figures thick, doubled or faint",
        "Ink, worn wheel, sheet slip",
    ),
    (
        "NA",
        "askew",
        Note,
        Minor,
        "A figure above or below its line",
        "Wheel between two figures",
    ),
    (
        "NW",
        "wrong number",
        Note,
        Critical,
        "The number does not follow the sheet before",
        "Wheel skipped or stuck",
    ),
    (
        "ND",
        "two alike",
        Note,
        Critical,
        "The two numbers of one note differ, or a number came twice",
        "Boxes out of step",
    ),
];

const HANDLING: &[Row] = &[
    (
        "HC",
        "off-cut",
        Note,
        Major,
        "Margins uneven or the next note shows",
        "Cut out of step, pile not jogged",
    ),
    (
        "HF",
        "folded",
        Sheet,
        Major,
        "A corner or an edge turned over",
        "Feeder, moving a pile by hand",
    ),
    (
        "HS",
        "stain",
        Note,
        Major,
        "Oil, water or ink mark from outside",
        "Handling, machine drip",
    ),
    (
        "HE",
        "edge nick",
        Note,
        Minor,
        "Edge dented or slightly torn",
        "Handling, worn knife",
    ),
    (
        "HB",
        "blank side",
        Sheet,
        Critical,
        "One side or one step not printed",
        "Two sheets fed as one",
    ),
];

/// The catalogue of a new book: 35 classes in seven steps.
pub fn starter_catalogue() -> Catalogue {
    let groups = [
        (Step::Paper, PAPER),
        (Step::Offset, OFFSET),
        (Step::Screen, SCREEN),
        (Step::Foil, FOIL),
        (Step::Intaglio, INTAGLIO),
        (Step::Numbering, NUMBERING),
        (Step::Handling, HANDLING),
    ];
    let classes = groups
        .into_iter()
        .flat_map(|(step, rows)| rows.iter().map(move |row| class(step, row)));
    Catalogue::new(classes.collect()).expect("the starter catalogue is valid, as its test shows")
}

fn class(step: Step, &(code, name, scope, severity, looks, cause): &Row) -> Class {
    Class {
        code: code
            .parse()
            .expect("starter codes are two letters, as their test shows"),
        name: name.to_owned(),
        step,
        scope,
        severity,
        looks: looks.to_owned(),
        cause: cause.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// More than 20 checks on every sheet: common practice, no source.
    #[test]
    fn the_starter_catalogue_is_valid_and_rich_enough() {
        let catalogue = starter_catalogue();
        assert!(catalogue.classes().len() >= 30);
        for step in Step::ALL {
            assert!(
                catalogue.of_step(step).count() >= 3,
                "{step:?} has too few classes"
            );
        }
        assert!(catalogue.classes().iter().any(|class| class.scope == Sheet));
    }
}
