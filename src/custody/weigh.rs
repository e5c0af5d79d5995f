//! The weigh check: what a count of paper should weigh, how well that is known, and what a
//! reading of the scale can say of the count.
//!
//! Uncertainties are combined as in JCGM 100:2008, 5.1.2: each input's standard uncertainty times
//! its sensitivity, added in quadrature; the expanded uncertainty takes the coverage factor 2
//! (about 95 %). A limit known "either way" is rectangular (4.3.7, divisor √3); the step d of a
//! display is one of half-width d/2, so d/√12 (F.2.2.1).

use crate::sheet::number_of;

use super::mass::Mass;
use super::paper::Paper;
use super::scale::Scale;

/// The coverage factor.
pub const COVERAGE: f64 = 2.0;

/// Pieces of one size of one product.
#[derive(Clone, Debug, PartialEq)]
pub struct Pieces {
    /// Whose paper it is; pieces of one product share what is not known of its paper.
    pub product: String,
    /// Whole sheets; otherwise notes.
    pub sheets: bool,
    pub count: u64,
    /// Area of one piece, mm².
    pub area_mm2: f64,
    /// Nominal grammage, mg/m².
    pub grammage: u32,
    /// Nothing when the paper was never described.
    pub paper: Option<Paper>,
}

impl Pieces {
    fn area_m2(&self) -> f64 {
        self.area_mm2 / 1e6
    }

    /// Expected mass of one piece, paper and ink, mg.
    fn mass_of_one(&self) -> f64 {
        let ink = self.paper.map_or(0, |paper| paper.ink);
        self.area_m2() * (f64::from(self.grammage) + f64::from(ink))
    }
}

/// Which reading of the scale: the full container, or the empty one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reading {
    Gross,
    Tare,
}

impl Reading {
    const BOTH: [Reading; 2] = [Reading::Gross, Reading::Tare];

    pub fn name(self) -> &'static str {
        match self {
            Reading::Gross => "gross",
            Reading::Tare => "tare",
        }
    }
}

/// What makes a weighing uncertain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Source {
    /// The mean grammage of a product's paper.
    Grammage(String),
    /// Its spread from piece to piece.
    Spread(String),
    Ink(String),
    Resolution(Reading),
    Repeatability(Reading),
    /// The error that the scale's calibration leaves.
    Calibration,
}

impl Source {
    /// Whether its value is a mass per area and its sensitivity an area; otherwise a mass and a
    /// plain number.
    pub fn is_paper(&self) -> bool {
        matches!(self, Self::Grammage(_) | Self::Spread(_) | Self::Ink(_))
    }
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Source::Grammage(product) => write!(f, "Mean grammage of {product}"),
            Source::Spread(product) => write!(f, "Sheet to sheet, {product}"),
            Source::Ink(product) => write!(f, "Ink on {product}"),
            Source::Resolution(reading) => write!(f, "Resolution, {}", reading.name()),
            Source::Repeatability(reading) => write!(f, "Repeatability, {}", reading.name()),
            Source::Calibration => f.write_str("Calibration of the scale"),
        }
    }
}

/// How values within an input's uncertainty are spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Distribution {
    /// The value is a standard deviation.
    Normal,
    /// The value is half the width of a range in which all is equally likely.
    Rectangular,
}

impl Distribution {
    pub fn name(self) -> &'static str {
        match self {
            Distribution::Normal => "normal",
            Distribution::Rectangular => "rectangular",
        }
    }

    /// What the value is divided by to be a standard uncertainty.
    pub fn divisor(self) -> f64 {
        match self {
            Distribution::Normal => 1.0,
            Distribution::Rectangular => 3_f64.sqrt(),
        }
    }
}

/// One line of an uncertainty budget.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub source: Source,
    /// mg/m² for paper and ink, mg for the scale.
    pub value: f64,
    pub distribution: Distribution,
    /// m² for paper and ink, 1 for the scale.
    pub sensitivity: f64,
}

impl Row {
    /// Its part of the combined standard uncertainty, mg.
    pub fn contribution(&self) -> f64 {
        self.value / self.distribution.divisor() * self.sensitivity
    }
}

/// The combined standard uncertainty of independent inputs, mg.
pub fn combined(rows: &[Row]) -> f64 {
    let squares = rows.iter().map(|row| row.contribution().powi(2));
    squares.sum::<f64>().sqrt()
}

/// How well the difference between a reading and the expected mass is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    pub rows: Vec<Row>,
    /// Combined standard uncertainty, mg.
    pub combined: f64,
    /// The fewest missing notes that this weighing could show; nothing when all of them could be
    /// missing unseen, or there are none.
    pub missing_notes: Option<u64>,
    /// The same for whole sheets.
    pub missing_sheets: Option<u64>,
}

impl Budget {
    /// Expanded uncertainty, mg.
    pub fn expanded(&self) -> f64 {
        COVERAGE * self.combined
    }
}

/// Why the uncertainty is not known.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unknown {
    #[error("no scale is named, so it is not known how well it weighs")]
    Scale,
    #[error("the paper of {0} is not described in the Office, so it is not known how it varies")]
    Paper(String),
}

/// What a container should weigh.
#[derive(Clone, Debug, PartialEq)]
pub struct Expected {
    /// Paper and, where it is described, ink.
    pub mass: Mass,
    pub budget: Result<Budget, Unknown>,
}

/// What a reading says of the count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WeighVerdict {
    /// Within the expanded uncertainty.
    Agrees,
    /// Outside it.
    Differs,
    /// The uncertainty is not known, or so wide that everything could be missing unseen.
    CannotTell,
}

impl WeighVerdict {
    pub fn name(self) -> &'static str {
        match self {
            WeighVerdict::Agrees => "agrees",
            WeighVerdict::Differs => "differs",
            WeighVerdict::CannotTell => "cannot tell",
        }
    }
}

/// What these pieces should weigh on this scale, net of a tare that the same scale weighed.
pub fn expected(pieces: &[Pieces], scale: Option<&Scale>) -> Expected {
    let mass: f64 = pieces
        .iter()
        .map(|one| one.count as f64 * one.mass_of_one())
        .sum();
    Expected {
        mass: Mass::from_milligrams(mass.round() as u64),
        budget: budget(pieces, scale),
    }
}

fn budget(pieces: &[Pieces], scale: Option<&Scale>) -> Result<Budget, Unknown> {
    let mut rows = Vec::new();
    for of_product in pieces.chunk_by(|a, b| a.product == b.product) {
        rows.extend(paper_rows(of_product)?);
    }
    rows.extend(scale_rows(scale.ok_or(Unknown::Scale)?));
    let combined = combined(&rows);
    Ok(Budget {
        missing_notes: fewest_shown(pieces, false, combined),
        missing_sheets: fewest_shown(pieces, true, combined),
        combined,
        rows,
    })
}

/// The pieces of one product. What is not known of its mean weighs on all of them alike; what
/// varies from piece to piece partly cancels.
fn paper_rows(pieces: &[Pieces]) -> Result<[Row; 3], Unknown> {
    let product = pieces
        .first()
        .map_or_else(String::new, |one| one.product.clone());
    let paper = pieces.iter().find_map(|one| one.paper);
    let paper = paper.ok_or_else(|| Unknown::Paper(product.clone()))?;
    let area: f64 = pieces
        .iter()
        .map(|one| one.count as f64 * one.area_m2())
        .sum();
    let squares = pieces
        .iter()
        .map(|one| one.count as f64 * one.area_m2().powi(2));
    let row = |source, value, distribution, sensitivity| Row {
        source,
        value: f64::from(value),
        distribution,
        sensitivity,
    };
    let (normal, rectangular) = (Distribution::Normal, Distribution::Rectangular);
    let root = squares.sum::<f64>().sqrt();
    Ok([
        row(
            Source::Grammage(product.clone()),
            paper.bias,
            rectangular,
            area,
        ),
        row(Source::Spread(product.clone()), paper.spread, normal, root),
        row(Source::Ink(product), paper.ink_bias, rectangular, area),
    ])
}

/// Both readings come from one scale: their resolution and repeatability count twice, the error
/// that its calibration leaves once.
fn scale_rows(scale: &Scale) -> Vec<Row> {
    let row = |source, value, distribution| Row {
        source,
        value,
        distribution,
        sensitivity: 1.0,
    };
    let mg = |mass: Mass| mass.milligrams() as f64;
    let mut rows = Vec::new();
    for reading in Reading::BOTH {
        let (half_step, again) = (mg(scale.resolution) / 2.0, mg(scale.repeatability));
        let rectangular = Distribution::Rectangular;
        rows.push(row(Source::Resolution(reading), half_step, rectangular));
        rows.push(row(
            Source::Repeatability(reading),
            again,
            Distribution::Normal,
        ));
    }
    if let Some(error) = scale.error {
        rows.push(row(
            Source::Calibration,
            mg(error),
            Distribution::Rectangular,
        ));
    }
    rows
}

/// So many of the lightest pieces weigh more than twice the expanded uncertainty. Were they
/// missing, a reading would lie below the band in at least 97.7 of 100 weighings (normal
/// distribution, one side beyond two standard uncertainties).
fn fewest_shown(pieces: &[Pieces], sheets: bool, combined: f64) -> Option<u64> {
    let of_kind = || {
        pieces
            .iter()
            .filter(|one| one.sheets == sheets && one.count > 0)
    };
    let count: u64 = of_kind().map(|one| one.count).sum();
    let lightest = of_kind().map(Pieces::mass_of_one).min_by(f64::total_cmp)?;
    let fewest = (2.0 * COVERAGE * combined / lightest).floor() + 1.0;
    (fewest <= count as f64).then_some(fewest as u64)
}

impl Expected {
    /// What the reading is above (or below) the expected mass, mg.
    pub fn difference(&self, net: Mass) -> i64 {
        net.milligrams() as i64 - self.mass.milligrams() as i64
    }

    /// Expanded uncertainty in whole mg, rounded up; nothing when it is not known.
    pub fn expanded(&self) -> Option<Mass> {
        let budget = self.budget.as_ref().ok()?;
        Some(Mass::from_milligrams(budget.expanded().ceil() as u64))
    }

    /// What a net reading says of the count.
    pub fn judge(&self, net: Mass) -> WeighVerdict {
        let (Ok(budget), Some(expanded)) = (&self.budget, self.expanded()) else {
            return WeighVerdict::CannotTell;
        };
        if self.difference(net).unsigned_abs() > expanded.milligrams() {
            return WeighVerdict::Differs;
        }
        match (budget.missing_notes, budget.missing_sheets) {
            (None, None) => WeighVerdict::CannotTell,
            _ => WeighVerdict::Agrees,
        }
    }

    /// What a net reading says, in a sentence.
    pub fn says(&self, net: Mass) -> String {
        let verdict = self.judge(net);
        let why = match (&self.budget, verdict) {
            (Err(why), _) => why.to_string(),
            (Ok(_), WeighVerdict::CannotTell) => {
                "even an empty container would lie within the band, so weigh on a finer scale, or more at once".to_owned()
            }
            (Ok(_), WeighVerdict::Agrees) => "the reading lies within the band".to_owned(),
            (Ok(_), WeighVerdict::Differs) => "the reading lies outside the band: weigh again; if it stays so, count again before anything is destroyed".to_owned(),
        };
        format!("{}: {why}.", verdict.name())
    }

    /// "9 notes or 2 sheets": how few missing pieces this weighing could show.
    pub fn fewest(&self) -> Option<String> {
        let budget = self.budget.as_ref().ok()?;
        let pieces = |one, many| move |count| number_of(count, one, many);
        let notes = budget.missing_notes.map(pieces("note", "notes"));
        let sheets = budget.missing_sheets.map(pieces("sheet", "sheets"));
        let both: Vec<String> = notes.into_iter().chain(sheets).collect();
        (!both.is_empty()).then(|| both.join(" or "))
    }
}

#[cfg(test)]
mod tests;
