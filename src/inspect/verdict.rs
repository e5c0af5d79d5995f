//! The verdict on a sheet: a pure function of its tags, the catalogue and the rules.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::catalogue::{Catalogue, ClassCode, Severity};
use super::position_set::PositionSet;
use super::rules::Rules;
use super::tag::{Spot, Tag};

/// What follows for a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Verdict {
    /// Every note is fit.
    Good,
    /// Some notes are defective and will be pulled and replaced.
    Mixed,
    /// The whole sheet goes to destruction.
    Spoiled,
}

impl Verdict {
    /// From the mildest to the gravest.
    pub const ALL: [Verdict; 3] = [Verdict::Good, Verdict::Mixed, Verdict::Spoiled];

    /// The word people use, lower case.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Good => "good",
            Verdict::Mixed => "mixed",
            Verdict::Spoiled => "spoiled",
        }
    }
}

/// Why a verdict is what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Reason {
    NoTags,
    /// Only minor tags, too few on any one note.
    MinorOnly {
        tags: usize,
    },
    /// Counts of defective notes against the most that a mixed sheet may have.
    Count {
        defective: u16,
        notes: u16,
        limit: u16,
    },
    /// A class that spoils the sheet.
    WholeSheet {
        class: ClassCode,
        name: String,
    },
    /// A supervisor's word against the rules.
    Overruled(Box<Overruled>),
}

/// Who overruled the rules and why, with what the rules had said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Overruled {
    /// The printed name of the supervisor.
    pub by: String,
    pub why: String,
    /// The rules' own verdict on the same tags.
    pub rules: Verdict,
    /// The rules' own reason; never an overruling itself.
    pub reason: Reason,
}

impl fmt::Display for Overruled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            by,
            why,
            rules,
            reason,
        } = self;
        let rules = rules.name();
        write!(
            f,
            "overruled by {by}: {why}; the rules said {rules}: {reason}"
        )
    }
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Reason::NoTags => f.write_str("no tags"),
            Reason::MinorOnly { tags: 1 } => f.write_str("1 minor tag, every note kept"),
            Reason::MinorOnly { tags } => write!(f, "{tags} minor tags, every note kept"),
            Reason::Count {
                defective,
                notes,
                limit,
            } => {
                write!(f, "{defective} of {notes} notes defective, limit {limit}")
            }
            Reason::WholeSheet { class, name } => {
                write!(f, "{class} {name} spoils the whole sheet")
            }
            Reason::Overruled(overruled) => overruled.fmt(f),
        }
    }
}

/// A verdict with its reason and the notes it makes defective.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruling {
    pub verdict: Verdict,
    pub reason: Reason,
    /// Notes defective by their own tags; on a spoiled sheet the others go with them.
    pub defective: PositionSet,
}

impl Ruling {
    /// The same sheet under another verdict. Overruled again, it keeps what the rules said, not
    /// what the first overruling did.
    pub fn overruled(&self, verdict: Verdict, by: String, why: String) -> Ruling {
        let (rules, reason) = self.by_rules();
        let overruled = Overruled {
            by,
            why,
            rules,
            reason: reason.clone(),
        };
        Ruling {
            verdict,
            reason: Reason::Overruled(Box::new(overruled)),
            defective: self.defective,
        }
    }

    /// What the rules say, whoever overruled them.
    pub fn by_rules(&self) -> (Verdict, &Reason) {
        match &self.reason {
            Reason::Overruled(overruled) => (overruled.rules, &overruled.reason),
            reason => (self.verdict, reason),
        }
    }

    pub fn is_overruled(&self) -> bool {
        matches!(self.reason, Reason::Overruled(_))
    }
}

/// Rules a sheet of `notes` notes.
///
/// A note is defective on any critical or major tag, or on as many minor ones as the rules say.
/// A sheet is spoiled on any whole-sheet class, or when its defective notes reach the limit.
/// A class missing from the catalogue counts as critical: a tag is never ignored.
pub fn rule(tags: &[Tag], notes: u16, catalogue: &Catalogue, rules: &Rules) -> Ruling {
    let defective = defective_notes(tags, catalogue, rules);
    let spoiled_at = rules.spoiled_at(notes);
    let count = defective.len();
    let by_count = Reason::Count {
        defective: count,
        notes,
        limit: spoiled_at - 1,
    };
    let (verdict, reason) = match whole_sheet_class(tags) {
        Some(class) => {
            let name = catalogue
                .get(class)
                .map_or_else(String::new, |class| class.name.clone());
            (Verdict::Spoiled, Reason::WholeSheet { class, name })
        }
        None if count >= spoiled_at => (Verdict::Spoiled, by_count),
        None if count > 0 => (Verdict::Mixed, by_count),
        None if tags.is_empty() => (Verdict::Good, Reason::NoTags),
        None => (Verdict::Good, Reason::MinorOnly { tags: tags.len() }),
    };
    Ruling {
        verdict,
        reason,
        defective,
    }
}

fn whole_sheet_class(tags: &[Tag]) -> Option<ClassCode> {
    tags.iter()
        .find(|tag| tag.spot == Spot::WholeSheet)
        .map(|tag| tag.class)
}

fn defective_notes(tags: &[Tag], catalogue: &Catalogue, rules: &Rules) -> PositionSet {
    let mut defective = PositionSet::default();
    for tag in tags {
        if let Spot::Note(position) = tag.spot
            && !defective.contains(position)
            && (severity(tag, catalogue, rules) > Severity::Minor
                || minors_at(tags, tag.spot, catalogue, rules)
                    >= usize::from(rules.minors_for_defect))
        {
            defective.insert(position);
        }
    }
    defective
}

fn minors_at(tags: &[Tag], spot: Spot, catalogue: &Catalogue, rules: &Rules) -> usize {
    let minor = |tag: &&Tag| tag.spot == spot && severity(tag, catalogue, rules) == Severity::Minor;
    tags.iter().filter(minor).count()
}

fn severity(tag: &Tag, catalogue: &Catalogue, rules: &Rules) -> Severity {
    catalogue
        .get(tag.class)
        .map_or(Severity::Critical, |class| rules.severity(class))
}
