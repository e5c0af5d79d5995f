//! The four identities of the works: sheets, notes, replacement notes, spoils.
//!
//! The figures of the two sides come from different entries (what was received, what was ruled,
//! what lies where), so a difference means that something is missing or was counted twice.

use serde::{Deserialize, Serialize};

/// One named figure of an identity, in the identity's unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    pub name: &'static str,
    pub count: u64,
}

/// Two sides that must be equal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Identity {
    pub name: &'static str,
    /// What must be accounted for.
    pub owed: Vec<Term>,
    /// Where it is.
    pub found: Vec<Term>,
}

impl Identity {
    /// The one that counts in pieces.
    pub const SPOILS: &str = "Spoils";

    fn new<const M: usize, const N: usize>(
        name: &'static str,
        owed: [(&'static str, u64); M],
        found: [(&'static str, u64); N],
    ) -> Self {
        let term = |(name, count)| Term { name, count };
        Self {
            name,
            owed: owed.into_iter().map(term).collect(),
            found: found.into_iter().map(term).collect(),
        }
    }

    pub fn owed_total(&self) -> u64 {
        self.owed.iter().map(|term| term.count).sum()
    }

    pub fn found_total(&self) -> u64 {
        self.found.iter().map(|term| term.count).sum()
    }

    /// Found less owed: 0 when the identity holds.
    pub fn difference(&self) -> i128 {
        i128::from(self.found_total()) - i128::from(self.owed_total())
    }

    pub fn holds(&self) -> bool {
        self.difference() == 0
    }
}

/// Sheets of one lot.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SheetFigures {
    #[serde(skip_serializing_if = "is_none")]
    pub received: u64,
    /// Went through the numbering press without having been received.
    #[serde(skip_serializing_if = "is_none")]
    pub added: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub good: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub mixed: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub spoiled: u64,
    /// Examined, not spoiled, and gone before they took a serial.
    #[serde(skip_serializing_if = "is_none")]
    pub lost_at_press: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub not_examined: u64,
}

/// Notes of one lot; `printed` is notes a sheet × sheets received and added.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct NoteFigures {
    #[serde(skip_serializing_if = "is_none")]
    pub printed: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub fit: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub spoiled_on_mixed: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub on_spoiled_sheets: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub on_lost_sheets: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub not_examined: u64,
}

/// Replacement notes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ReplacementFigures {
    #[serde(skip_serializing_if = "is_none")]
    pub drawn: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub inserted: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub spoiled: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub returned: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub on_hand: u64,
}

/// Spoils, counted in pieces (a sheet is one piece, a note is one piece).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct SpoilFigures {
    #[serde(skip_serializing_if = "is_none")]
    pub made: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub loose: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub in_open_containers: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub sealed: u64,
    /// In containers whose seal or count is in doubt.
    #[serde(skip_serializing_if = "is_none")]
    pub held: u64,
    #[serde(skip_serializing_if = "is_none")]
    pub destroyed: u64,
    /// Given up by two people, with a reason.
    #[serde(skip_serializing_if = "is_none")]
    pub declared_lost: u64,
    /// Not where they were declared to be. No term of the identity: they are its difference.
    #[serde(skip_serializing_if = "is_none")]
    pub missing: u64,
}

/// Figures of 0 are left out where they are written down.
fn is_none(figure: &u64) -> bool {
    *figure == 0
}

/// Adds the figures of several lots up, field by field.
macro_rules! adds_up {
    ($figures:ident: $($field:ident),+) => {
        impl std::ops::AddAssign for $figures {
            fn add_assign(&mut self, more: Self) {
                $(self.$field += more.$field;)+
            }
        }
    };
}

adds_up!(SheetFigures: received, added, good, mixed, spoiled, lost_at_press, not_examined);
adds_up!(ReplacementFigures: drawn, inserted, spoiled, returned, on_hand);
adds_up!(SpoilFigures: made, loose, in_open_containers, sealed, held, destroyed, declared_lost, missing);
adds_up!(NoteFigures: printed, fit, spoiled_on_mixed, on_spoiled_sheets, on_lost_sheets, not_examined);

pub fn sheets(f: &SheetFigures) -> Identity {
    let found = [
        ("good", f.good),
        ("mixed", f.mixed),
        ("spoiled", f.spoiled),
        ("lost at the press", f.lost_at_press),
        ("not yet examined", f.not_examined),
    ];
    let owed = [("received", f.received), ("added at the press", f.added)];
    Identity::new("Sheets", owed, found)
}

pub fn notes(f: &NoteFigures) -> Identity {
    let found = [
        ("fit as printed", f.fit),
        ("spoiled on mixed sheets", f.spoiled_on_mixed),
        ("on spoiled sheets", f.on_spoiled_sheets),
        ("on sheets lost at the press", f.on_lost_sheets),
        ("on sheets not yet examined", f.not_examined),
    ];
    Identity::new("Notes", [("printed", f.printed)], found)
}

pub fn replacements(f: &ReplacementFigures) -> Identity {
    let found = [
        ("inserted", f.inserted),
        ("spoiled", f.spoiled),
        ("returned", f.returned),
        ("on hand", f.on_hand),
    ];
    Identity::new("Replacement notes", [("drawn", f.drawn)], found)
}

pub fn spoils(f: &SpoilFigures) -> Identity {
    let found = [
        ("loose", f.loose),
        ("in open containers", f.in_open_containers),
        ("sealed", f.sealed),
        ("held", f.held),
        ("destroyed", f.destroyed),
        ("declared lost", f.declared_lost),
    ];
    Identity::new(Identity::SPOILS, [("made", f.made)], found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_sheet_shows_as_a_difference_of_minus_one() {
        let mut figures = SheetFigures {
            received: 99,
            added: 2,
            good: 90,
            mixed: 6,
            spoiled: 3,
            lost_at_press: 1,
            not_examined: 1,
        };
        assert!(sheets(&figures).holds());
        figures.spoiled = 2;
        assert_eq!(sheets(&figures).difference(), -1);
    }
}
