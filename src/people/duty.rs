//! Which role may do what, as data. The book checks it for every entry, not only the screen.

use super::person::{Person, Role};

/// One kind of act.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Duty {
    /// Enrol and retire persons; products, series, lots, rules, classes, targets.
    RunTheOffice,
    /// Read a machine-inspection file.
    ReadMachineFile,
    /// Examine sheets and correct an examination.
    Examine,
    /// Record a measured sample and correct one.
    Measure,
    /// Overrule the verdict of the rules.
    Overrule,
    /// Draw an acceptance sample of passed sheets.
    DrawSample,
    /// Draw replacement notes and record what became of them.
    DrawReplacements,
    /// Open, fill, move and retire containers.
    FillContainers,
    /// Seal a container, as the first or the second person; look at its seal, hold it, count it
    /// again.
    Seal,
    /// Declare spoils lost, together with a second person.
    DeclareLost,
    /// Lead a destruction and record it.
    LeadDestruction,
    /// Work the destroying machine.
    OperateDestruction,
    /// Witness a destruction.
    Witness,
    /// Correct what was mistyped of a recorded session.
    CorrectSession,
    /// Close lots and days.
    Close,
    /// Hand a shift over, or take it over.
    HandOver,
    /// Note that a copy of the book has left the machine.
    NoteCopy,
    /// Let the book go on from a checkpoint.
    Archive,
    /// Confirm, as the second person, that the archive is kept.
    ConfirmArchive,
    /// Note that one home of the book was healed from the other.
    NoteHealing,
    /// Note that somebody's passphrase was wrong again and again.
    NoteFailedKey,
}

impl Duty {
    /// The roles that may do it.
    pub fn roles(self) -> &'static [Role] {
        use Role::{Custodian, Inspector, Supervisor, Witness};
        match self {
            Duty::RunTheOffice
            | Duty::Overrule
            | Duty::DrawSample
            | Duty::DrawReplacements
            | Duty::CorrectSession
            | Duty::DeclareLost
            | Duty::Close
            | Duty::Archive => &[Supervisor],
            Duty::ConfirmArchive => &[Custodian, Supervisor],
            Duty::ReadMachineFile | Duty::Examine | Duty::Measure => &[Inspector, Supervisor],
            Duty::FillContainers => &[Custodian, Supervisor],
            Duty::Seal => &[Custodian, Supervisor],
            Duty::LeadDestruction => &[Custodian, Supervisor],
            Duty::OperateDestruction => &[Custodian, Supervisor],
            Duty::Witness => &[Witness],
            Duty::HandOver => &[Inspector, Custodian, Supervisor],
            Duty::NoteCopy | Duty::NoteHealing | Duty::NoteFailedKey => &Role::ALL,
        }
    }

    /// What it is called in a refusal: "… may not {this}".
    pub fn name(self) -> &'static str {
        match self {
            Duty::RunTheOffice => "change what the Office keeps",
            Duty::ReadMachineFile => "read a machine file",
            Duty::Examine => "examine sheets",
            Duty::Measure => "record a measured sample",
            Duty::Overrule => "overrule a verdict",
            Duty::DrawSample => "draw an acceptance sample",
            Duty::DrawReplacements => "draw replacement notes",
            Duty::FillContainers => "fill containers",
            Duty::Seal => "seal containers",
            Duty::DeclareLost => "declare spoils lost",
            Duty::LeadDestruction => "lead a destruction",
            Duty::OperateDestruction => "operate a destruction",
            Duty::Witness => "witness a destruction",
            Duty::CorrectSession => "correct a recorded session",
            Duty::Close => "close lots and days",
            Duty::HandOver => "hand a shift over or take it over",
            Duty::NoteCopy => "note a copy",
            Duty::Archive => "archive closed days",
            Duty::ConfirmArchive => "confirm an archive",
            Duty::NoteHealing => "note a healing",
            Duty::NoteFailedKey => "note a wrong passphrase",
        }
    }

    /// Whether this person may do it.
    pub fn allows(self, person: &Person) -> bool {
        self.roles().iter().any(|role| person.has(*role))
    }
}
