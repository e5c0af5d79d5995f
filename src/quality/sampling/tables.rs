use super::{CodeLetter, Level, Plan, Severity};
use crate::quality::QualityError;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Table I: for each greatest lot size, the letter of each level.
const LETTERS: &str = include_str!("../tables/code_letters.csv");
/// Tables II-A, II-B and II-C as printed: a row for each letter with its sample size, a column
/// for each AQL; in each cell the acceptance number (with the rejection number after a slash
/// where it is not the next one), or an arrow, `^` or `v`, to the first plan above or below.
const NORMAL: &str = include_str!("../tables/single_normal.csv");
const TIGHTENED: &str = include_str!("../tables/single_tightened.csv");
const REDUCED: &str = include_str!("../tables/single_reduced.csv");

/// Why a failure to read a table is a fault of the program and not of the input.
const SOUND: &str = "the tables are compiled in and every cell is tested";

/// An acceptance quality limit of the tables: the percentage of bad items (up to 10, or faults
/// per hundred items) that is nearly always accepted.
/// Written as its label, like "0.65".
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Aql {
    column: usize,
}

impl TryFrom<String> for Aql {
    type Error = QualityError;

    /// Only a label as the tables print it.
    fn try_from(text: String) -> Result<Self, QualityError> {
        match Self::new(&text) {
            Ok(aql) if aql.to_string() == text => Ok(aql),
            _ => Err(unknown(&text)),
        }
    }
}

impl From<Aql> for String {
    fn from(aql: Aql) -> String {
        aql.to_string()
    }
}

fn unknown(given: &str) -> QualityError {
    QualityError::UnknownAql {
        given: given.to_owned(),
        choices: labels().collect::<Vec<_>>().join(", "),
    }
}

impl Aql {
    /// Every AQL of the tables, the strictest first.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..labels().count()).map(|column| Self { column })
    }

    /// Reads an AQL by its value: `0.65`, `1`, `1.0` and so on.
    ///
    /// # Errors
    /// `UnknownAql`, with the choices there are.
    pub fn new(text: &str) -> Result<Self, QualityError> {
        let wanted: Option<f64> = text.trim().parse().ok();
        let same = |label: &str| wanted.is_some() && label.parse().ok() == wanted;
        let column = labels().position(same).ok_or_else(|| unknown(text))?;
        Ok(Self { column })
    }

    /// The next stricter one; nothing for the strictest.
    pub fn stricter(self) -> Option<Self> {
        self.column.checked_sub(1).map(|column| Self { column })
    }

    /// As a share of bad items, 0.0065 for the AQL 0.65.
    pub fn share(self) -> f64 {
        self.to_string().parse::<f64>().expect(SOUND) / 100.0
    }
}

impl fmt::Display for Aql {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(labels().nth(self.column).expect(SOUND))
    }
}

/// The AQL labels, from the first line of the table.
fn labels() -> impl Iterator<Item = &'static str> {
    NORMAL.lines().next().expect(SOUND).split(',').skip(2)
}

/// The letter for a lot of `lot` items at a level.
///
/// # Errors
/// `LotTooSmall` below 2 items.
pub fn code_letter(lot: u64, level: Level) -> Result<CodeLetter, QualityError> {
    if lot < 2 {
        return Err(QualityError::LotTooSmall { lot });
    }
    let fits = |row: &&str| {
        row.split(',')
            .next()
            .expect(SOUND)
            .parse()
            .map_or(true, |most: u64| lot <= most)
    };
    let row = LETTERS.lines().skip(1).find(fits).expect(SOUND);
    let letter = row.split(',').nth(1 + level as usize).expect(SOUND);
    Ok(*CodeLetter::ALL
        .iter()
        .find(|known| format!("{known:?}") == letter)
        .expect(SOUND))
}

/// The single sampling plan of the tables, arrows followed, so that the sample may be larger or
/// smaller than the letter's own.
pub fn single_plan(letter: CodeLetter, aql: Aql, severity: Severity) -> Plan {
    let table = match severity {
        Severity::Normal => NORMAL,
        Severity::Tightened => TIGHTENED,
        Severity::Reduced => REDUCED,
    };
    let rows: Vec<&str> = table.lines().skip(1).collect();
    let mut row = letter as usize;
    loop {
        let mut cells = rows[row].split(',').skip(1);
        let sample = cells.next().expect(SOUND);
        match cells.nth(aql.column).expect(SOUND) {
            "v" => row += 1,
            "^" => row -= 1,
            numbers => return plan(sample, numbers),
        }
    }
}

fn plan(sample: &str, numbers: &str) -> Plan {
    let number = |text: &str| text.parse::<u64>().expect(SOUND);
    let (accept, reject) = match numbers.split_once('/') {
        Some((accept, reject)) => (number(accept), number(reject)),
        None => (number(numbers), number(numbers) + 1),
    };
    Plan {
        sample: number(sample),
        accept,
        reject,
    }
}
