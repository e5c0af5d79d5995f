//! The works' own rules for ruling a sheet good, mixed or spoiled.

use std::collections::BTreeMap;
use std::fmt;

use serde::de::{Deserializer, Error, MapAccess, Visitor};
use serde::{Deserialize, Serialize};

use super::catalogue::{Class, ClassCode, Severity};
use super::seal_form::SealForm;

/// What sorting out a mixed sheet costs against scrapping it.
///
/// All four in the same unit of money, chosen by the works (say, hundredths of a merin).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Costs {
    /// Sorting one mixed sheet through finishing.
    pub sort: u32,
    /// Making one note.
    pub note: u32,
    /// Pulling one bad note and inserting its replacement.
    pub swap: u32,
    /// Handling one scrapped sheet.
    pub scrap: u32,
}

impl Costs {
    /// Cost of keeping a sheet with `defective` bad notes: `sort + d · (note + swap)`.
    pub fn salvage(&self, defective: u16) -> u64 {
        u64::from(self.sort) + u64::from(defective) * (u64::from(self.note) + u64::from(self.swap))
    }

    /// Cost of scrapping a sheet of `notes` notes: `N · note + scrap`.
    pub fn scrapping(&self, notes: u16) -> u64 {
        u64::from(notes) * u64::from(self.note) + u64::from(self.scrap)
    }
}

/// From how many defective notes a sheet is spoiled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Limit {
    /// Set by hand: spoiled at this many defective notes.
    SpoiledAt(u16),
    /// The smallest count for which keeping the sheet costs more than scrapping it.
    ByCost(Costs),
}

/// What a spoiled sheet of a numbered lot takes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum SheetTakes {
    /// Loose replacement notes, each in its bundle.
    #[default]
    Notes,
    /// A whole replacement sheet in its place, while there is one.
    Sheet,
}

impl SheetTakes {
    // Lines written before there was a choice say nothing, and are read and written as they were.
    fn is_notes(&self) -> bool {
        *self == Self::Notes
    }
}

/// How the containers of a destruction are counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Count {
    /// Every piece.
    #[default]
    All,
    /// A random sample of each container, so large that `missing` pieces are overlooked in at
    /// most `risk_percent` of all draws.
    Sample { missing: u32, risk_percent: u8 },
}

impl Count {
    // Lines written before there was a choice say nothing, and are read and written as they were.
    fn is_all(&self) -> bool {
        *self == Self::All
    }

    /// For how many missing pieces a sample is sized.
    pub fn missing(self) -> Option<u32> {
        match self {
            Count::All => None,
            Count::Sample { missing, .. } => Some(missing),
        }
    }
}

/// After how many sessions in a row the same pair of witnesses is warned of, where the rules do
/// not say.
const SAME_PAIR: u8 = 3;

fn same_pair() -> u8 {
    SAME_PAIR
}

fn is_same_pair(sessions: &u8) -> bool {
    *sessions == SAME_PAIR
}

/// The rules in force. A lot keeps those it was opened under.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rules {
    pub limit: Limit,
    /// A note is defective at this many minor tags.
    pub minors_for_defect: u8,
    /// Severities that differ from the catalogue's.
    #[serde(deserialize_with = "each_class_once")]
    pub overrides: BTreeMap<ClassCode, Severity>,
    /// Witnesses needed at a destruction.
    pub witnesses: u8,
    /// Whether one witness must come from outside production.
    pub outside_witness: bool,
    /// The hour (0 to 23) at which one production day ends and the next begins.
    pub cut_over_hour: u8,
    #[serde(default, skip_serializing_if = "SheetTakes::is_notes")]
    pub spoiled_sheet_takes: SheetTakes,
    /// How far residue may lie from the paper destroyed, in per cent of the paper, for moisture
    /// and dust; the scale's own uncertainty comes on top.
    #[serde(
        default = "residue_percent",
        skip_serializing_if = "is_residue_percent"
    )]
    pub residue_percent: u8,
    #[serde(default, skip_serializing_if = "Count::is_all")]
    pub count: Count,
    /// When the same two witnessed this many sessions in a row, the next one is warned of. 0 never
    /// warns.
    #[serde(default = "same_pair", skip_serializing_if = "is_same_pair")]
    pub same_pair_after: u8,
    /// What seal numbers look like; anything when it is absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal_form: Option<SealForm>,
}

/// What a new book starts with: paper takes up and gives off a few per cent of its mass with the
/// air's moisture, and some goes as dust (common practice, no source).
fn residue_percent() -> u8 {
    5
}

fn is_residue_percent(percent: &u8) -> bool {
    *percent == residue_percent()
}

/// A map that names a class twice would be read in two ways, so it is refused.
fn each_class_once<'de, D: Deserializer<'de>>(
    deserializer: D,
) -> Result<BTreeMap<ClassCode, Severity>, D::Error> {
    struct Overrides;

    impl<'de> Visitor<'de> for Overrides {
        type Value = BTreeMap<ClassCode, Severity>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a severity for each class code")
        }

        fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
            let mut overrides = BTreeMap::new();
            while let Some((class, severity)) = map.next_entry()? {
                if overrides.insert(class, severity).is_some() {
                    return Err(A::Error::custom(format!("class {class} is named twice")));
                }
            }
            Ok(overrides)
        }
    }

    deserializer.deserialize_map(Overrides)
}

/// Why rules cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RulesError {
    #[error("\"Spoiled at\" is 0: every sheet would be spoiled. Give 1 or more defective notes.")]
    SpoiledAtZero,
    #[error(
        "\"Spoiled at\" is {limit} but a sheet of {product} has {notes} notes. Give 1 to {notes}."
    )]
    SpoiledAtAboveNotes {
        limit: u16,
        notes: u16,
        product: String,
    },
    #[error("\"Minor tags that make a defect\" is 0: every note would be defective. Give 1 to 20.")]
    MinorsZero,
    #[error("\"Minor tags that make a defect\" is {0}. Give 1 to 20.")]
    MinorsTooMany(u8),
    #[error("\"Witnesses\" is {0}. A destruction needs 2 to 6 witnesses.")]
    Witnesses(u8),
    #[error("\"Day ends at\" is {0}. Give an hour from 0 to 23.")]
    CutOver(u8),
    #[error("\"Residue may differ\" is {0} per cent. Give 0 to 50.")]
    Residue(u8),
    #[error(
        "\"Missing pieces\" is 0. Give the number that a counted sample must not overlook, 1 or more."
    )]
    MissingZero,
    #[error("\"Risk\" is {0} %. Give 1 to 50.")]
    Risk(u8),
}

impl Default for Rules {
    /// What a new book starts with; the works sets its own in the Office.
    fn default() -> Self {
        Self {
            limit: Limit::SpoiledAt(9),
            minors_for_defect: 3,
            overrides: BTreeMap::new(),
            witnesses: 2,
            outside_witness: false,
            cut_over_hour: 6,
            spoiled_sheet_takes: SheetTakes::Notes,
            residue_percent: residue_percent(),
            count: Count::All,
            same_pair_after: SAME_PAIR,
            seal_form: None,
        }
    }
}

impl Rules {
    /// Checks what does not depend on a product.
    ///
    /// # Errors
    /// The first field outside its domain.
    pub fn check(&self) -> Result<(), RulesError> {
        if self.limit == Limit::SpoiledAt(0) {
            return Err(RulesError::SpoiledAtZero);
        }
        match self.minors_for_defect {
            0 => return Err(RulesError::MinorsZero),
            1..=20 => {}
            more => return Err(RulesError::MinorsTooMany(more)),
        }
        if !(2..=6).contains(&self.witnesses) {
            return Err(RulesError::Witnesses(self.witnesses));
        }
        if self.cut_over_hour > 23 {
            return Err(RulesError::CutOver(self.cut_over_hour));
        }
        if self.residue_percent > 50 {
            return Err(RulesError::Residue(self.residue_percent));
        }
        match self.count {
            Count::Sample { missing: 0, .. } => Err(RulesError::MissingZero),
            Count::Sample { risk_percent, .. } if !(1..=50).contains(&risk_percent) => {
                Err(RulesError::Risk(risk_percent))
            }
            _ => Ok(()),
        }
    }

    /// Checks that the limit set by hand suits a sheet of `notes` notes.
    ///
    /// # Errors
    /// [`RulesError::SpoiledAtAboveNotes`] when it could never be reached.
    pub fn check_for(&self, product: &str, notes: u16) -> Result<(), RulesError> {
        match self.limit {
            Limit::SpoiledAt(limit) if limit > notes => Err(RulesError::SpoiledAtAboveNotes {
                limit,
                notes,
                product: product.to_owned(),
            }),
            _ => Ok(()),
        }
    }

    /// From how many defective notes a sheet of `notes` notes is spoiled, 1 to `notes`.
    ///
    /// By cost it is the smallest d with `salvage(d) > scrapping`; a sheet on which every note is
    /// defective is spoiled whatever it costs.
    pub fn spoiled_at(&self, notes: u16) -> u16 {
        match self.limit {
            Limit::SpoiledAt(limit) => limit.min(notes),
            Limit::ByCost(costs) => {
                let scrapping = costs.scrapping(notes);
                (1..notes)
                    .find(|d| costs.salvage(*d) > scrapping)
                    .unwrap_or(notes)
            }
        }
    }

    /// The severity that counts for a class under these rules.
    pub fn severity(&self, class: &Class) -> Severity {
        self.overrides
            .get(&class.code)
            .copied()
            .unwrap_or(class.severity)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: sort 40, note 10, swap 30, scrap 20, N 40.
    /// Scrapping 40 · 10 + 20 = 420; salvage 40 + 40 d: d 9 → 400, d 10 → 440.
    #[test]
    fn the_limit_from_cost_is_where_the_curves_cross() {
        let costs = Costs {
            sort: 40,
            note: 10,
            swap: 30,
            scrap: 20,
        };
        let rules = Rules {
            limit: Limit::ByCost(costs),
            ..Rules::default()
        };
        assert_eq!(
            (costs.salvage(9), costs.salvage(10), costs.scrapping(40)),
            (400, 440, 420)
        );
        assert_eq!(rules.spoiled_at(40), 10);
    }

    #[test]
    fn a_sheet_with_no_fit_note_is_spoiled_however_dear_scrapping_is() {
        let costs = Costs {
            sort: 0,
            note: 1,
            swap: 0,
            scrap: 1_000_000,
        };
        let rules = Rules {
            limit: Limit::ByCost(costs),
            ..Rules::default()
        };
        assert_eq!(rules.spoiled_at(40), 40);
    }

    #[test]
    fn wrong_rules_are_refused_by_name() {
        let with = |change: fn(&mut Rules)| {
            let mut rules = Rules::default();
            change(&mut rules);
            rules.check()
        };
        assert_eq!(
            with(|r| r.limit = Limit::SpoiledAt(0)),
            Err(RulesError::SpoiledAtZero)
        );
        assert_eq!(
            with(|r| r.minors_for_defect = 0),
            Err(RulesError::MinorsZero)
        );
        assert_eq!(with(|r| r.witnesses = 1), Err(RulesError::Witnesses(1)));
        assert_eq!(with(|r| r.cut_over_hour = 24), Err(RulesError::CutOver(24)));
        let residue = with(|r| r.residue_percent = 51);
        assert_eq!(residue, Err(RulesError::Residue(51)));
        let sample = |missing, risk_percent| Count::Sample {
            missing,
            risk_percent,
        };
        let counted = |count| {
            let rules = Rules {
                count,
                ..Rules::default()
            };
            rules.check()
        };
        assert_eq!(counted(sample(0, 5)), Err(RulesError::MissingZero));
        assert_eq!(counted(sample(5, 0)), Err(RulesError::Risk(0)));
        assert_eq!(counted(sample(5, 51)), Err(RulesError::Risk(51)));
        assert_eq!(counted(sample(5, 5)), Ok(()));
        assert!(Rules::default().check_for("20 merin", 8).is_err());
    }

    #[test]
    fn rules_of_before_read_and_write_as_they_were() {
        let old = r#"{"limit":{"spoiled_at":9},"minors_for_defect":3,"overrides":{},"witnesses":2,"outside_witness":false,"cut_over_hour":6}"#;
        let rules: Rules = serde_json::from_str(old).expect("old rules");
        assert_eq!(rules, Rules::default());
        assert_eq!(serde_json::to_string(&rules).expect("written"), old);
    }
}
