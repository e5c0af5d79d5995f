//! Separation of duties, as data: which parts one person may not play in one destruction.

use super::person::PersonId;

/// A part that a person played in what is being destroyed, or in its destruction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// Tagged one of the sheets.
    Tagged,
    /// Sealed one of the containers, as first or second person.
    Sealed,
    /// Recorded what was done at the destruction.
    Led,
    /// Counted a held container again, as first or second person.
    Recounted,
    /// Worked the machine.
    Operated,
    /// Witnessed the destruction.
    Witnessed,
}

impl Part {
    /// "… tagged these sheets": what the person did, in the past tense.
    pub fn did(self) -> &'static str {
        match self {
            Part::Tagged => "tagged sheets that are being destroyed",
            Part::Sealed => "sealed a container that is being destroyed",
            Part::Led => "leads the destruction",
            Part::Recounted => "counted a container again that is being destroyed",
            Part::Operated => "operates the destruction",
            Part::Witnessed => "is named as a witness",
        }
    }
}

/// Pairs of parts that one person may not play together.
const APART: [(Part, Part); 5] = [
    (Part::Witnessed, Part::Tagged),
    (Part::Witnessed, Part::Sealed),
    (Part::Witnessed, Part::Led),
    (Part::Witnessed, Part::Recounted),
    (Part::Witnessed, Part::Operated),
];

/// Who played which part. One person may stand in several lines.
pub type Parts = Vec<(PersonId, Part)>;

/// One person in two parts that must be apart.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{person} {} and {}. Name another person.", .first.did(), .second.did())]
pub struct Conflict {
    pub person: PersonId,
    pub first: Part,
    pub second: Part,
}

/// Every clash with the separation of duties, and every witness named twice.
pub fn conflicts(parts: &Parts) -> Vec<Conflict> {
    let mut found = Vec::new();
    for (i, (person, part)) in parts.iter().enumerate() {
        for (other, other_part) in &parts[..i] {
            if person == other && apart(*part, *other_part) {
                let conflict = Conflict {
                    person: *person,
                    first: *part,
                    second: *other_part,
                };
                found.push(conflict);
            }
        }
    }
    found
}

fn apart(a: Part, b: Part) -> bool {
    let twice_witness = a == Part::Witnessed && b == Part::Witnessed;
    twice_witness || APART.contains(&(a, b)) || APART.contains(&(b, a))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(list: &[(&str, Part)]) -> Parts {
        list.iter()
            .map(|(id, part)| (id.parse().expect("an id"), *part))
            .collect()
    }

    #[test]
    fn a_witness_who_tagged_sealed_or_operated_is_named() {
        for part in [
            Part::Tagged,
            Part::Sealed,
            Part::Recounted,
            Part::Led,
            Part::Operated,
            Part::Witnessed,
        ] {
            let found = conflicts(&parts(&[("ida", part), ("ida", Part::Witnessed)]));
            assert_eq!(found.len(), 1, "{part:?}");
        }
    }

    #[test]
    fn other_pairs_may_go_together() {
        let list = [
            ("ida", Part::Tagged),
            ("ida", Part::Sealed),
            ("ida", Part::Operated),
            ("ben", Part::Witnessed),
        ];
        assert!(conflicts(&parts(&list)).is_empty());
    }
}
