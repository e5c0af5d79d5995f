//! What a line of the book can say: one struct a kind.

use serde::{Deserialize, Serialize, Serializer};
use uuid::Uuid;

use crate::custody::{
    Destruction, Paper, ResidueSent, Scale, SessionAbandoned, SessionBegun, SessionCorrected,
    SessionStep, TeamChanged,
};
use crate::inspect::{Catalogue, ClassCode, Rules, Verdict, WrittenTag};
use crate::people::{Day, Person, PersonId, PublicKey};
use crate::quality::sampling::{Aql, Level, Severity};
use crate::sheet::{
    AcceptanceId, Finishing, LayoutSpec, LotId, NumberingSpec, Printed, ProductId, Replacement,
    Serial, SeriesId, SeriesSpec, SheetNo, Side,
};

use super::checkpoint::BookCheckpoint;
use super::hash::Hash;
use super::homes::StoreHealed;

mod copies;

pub use copies::{Copied, CopyTaken, Way};

mod cage;

pub use cage::*;

mod measure;

pub use measure::{MeasureTaken, MeasureTarget};

/// The first line: whose book it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BookOpened {
    pub works: String,
    /// Random, so that no two books share a first line.
    pub book: Uuid,
    /// A practice book is marked so on every screen and print, and never mixed with real ones.
    pub practice: bool,
    /// The first supervisor, who enrols the others.
    pub supervisor: Person,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonRetired {
    pub person: PersonId,
}

/// A person gets a new key: the old one was lost or may be known to others. What the old one
/// signed stays signed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonRekeyed {
    pub person: PersonId,
    pub key: PublicKey,
    pub reason: String,
}

/// A product: how its sheets are laid out and finished.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProductDefined {
    pub product: ProductId,
    /// The denomination as labels print it, like "20 merin".
    pub title: String,
    pub layout: LayoutSpec,
    pub finishing: Finishing,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClassesSet {
    pub classes: Catalogue,
}

/// A lot begins; it keeps the rules and the catalogue in force at this line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotOpened {
    pub lot: LotId,
    pub product: ProductId,
    /// Sheets received.
    pub sheets: u32,
    /// Absent for a lot examined before numbering.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub numbering: Option<NumberingSpec>,
}

/// A lot examined before numbering is numbered: its spoiled sheets have left, the others take
/// serials in the press order.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotNumbered {
    pub lot: LotId,
    /// The runs count the sheets that are left.
    pub numbering: NumberingSpec,
}

/// What went through the numbering press is not what was received, before the line's author and
/// a second person.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PressDiffered {
    pub lot: LotId,
    pub what: Difference,
    pub reason: String,
    pub second: PersonId,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Difference {
    /// An examined sheet never took a serial; those behind it moved up.
    Lost { sheet: SheetNo },
    /// Sheets that were not in the lot took serials right behind `after`, or before the first.
    /// They get the next sheet numbers of the lot.
    Added {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        after: Option<SheetNo>,
        sheets: u32,
    },
}

/// One tag of the machine: sheet, position (none for the whole sheet), side, class, remark.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct MachineTag(
    pub SheetNo,
    pub Option<String>,
    pub Side,
    pub ClassCode,
    pub Option<String>,
);

/// Accepted rows of a machine-inspection file, in parts of at most [`MACHINE_PART`] tags.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MachineRead {
    pub lot: LotId,
    pub file: String,
    /// SHA-256 of the file.
    pub sha256: Hash,
    pub part: u32,
    pub parts: u32,
    /// Rows of the whole file that were refused.
    pub refused: u32,
    pub tags: Vec<MachineTag>,
}

/// Most tags in one [`MachineRead`]: keeps a line well below the longest allowed.
pub const MACHINE_PART: usize = 4000;

/// Sheets `from` to `to` were looked at, both sides, and each has these tags.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SheetsExamined {
    pub lot: LotId,
    pub from: SheetNo,
    pub to: SheetNo,
    pub tags: Vec<WrittenTag>,
    /// The machine's tags of each sheet stand as well.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub machine_kept: bool,
    /// The entry whose examination of this sheet is replaced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// A supervisor's word against the rules on one examined sheet. Its tags stay as they are.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VerdictOverruled {
    pub lot: LotId,
    pub sheet: SheetNo,
    /// The verdict that stands from now on.
    pub verdict: Verdict,
    pub reason: String,
    /// The entry whose ruling of this sheet is in force: its examination, or an overruling.
    pub corrects: u64,
}

/// Passed sheets of a lot drawn at random, to be looked at again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcceptanceDrawn {
    pub acceptance: AcceptanceId,
    pub lot: LotId,
    pub level: Level,
    pub aql: Aql,
    pub inspection: Severity,
    /// Sheets passed when it was drawn.
    pub passed: u32,
    /// What the draw was made with, so that anyone can draw again.
    pub seed: String,
    pub sheets: Vec<SheetNo>,
    /// Why acceptance by sampling goes on after it was suspended.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub resumed: Option<String>,
}

/// What a second look found on one sheet of an acceptance sample.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AcceptanceLooked {
    pub acceptance: AcceptanceId,
    pub sheet: SheetNo,
    pub tags: Vec<WrittenTag>,
    /// The entry whose look at this sheet is replaced.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrects: Option<u64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Replacement notes taken for a lot: each pair is the serial to replace and its replacement.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReplacementsDrawn {
    pub lot: LotId,
    pub series: SeriesId,
    pub pairs: Vec<(Serial<Printed>, Serial<Replacement>)>,
}

/// Most pairs in one [`ReplacementsDrawn`], and most notes in one list.
pub const LIST_PART: usize = 5000;

/// The finishing hall reports these notes pulled and inserted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReplacementsInserted {
    pub series: SeriesId,
    pub notes: Vec<Serial<Replacement>>,
}

/// Replacement notes spoiled before or on insertion; what they stood for needs another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReplacementsSpoiled {
    pub series: SeriesId,
    pub notes: Vec<Serial<Replacement>>,
    pub reason: String,
}

/// Replacement notes on hand that were not used. They are never drawn again; what they stood for
/// needs another, or its sheet may be corrected again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReplacementsReturned {
    pub series: SeriesId,
    pub notes: Vec<Serial<Replacement>>,
    pub reason: String,
}

/// Whoever was asked for a passphrase gave a wrong one so often that their key was locked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PassphraseFailed {
    pub person: PersonId,
    pub tries: u32,
}

/// From this many wrong passphrases on, it is entered.
pub const WRONG_TRIES: u32 = 3;

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LotClosed {
    pub lot: LotId,
}

#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DayClosed {
    pub day: Day,
}

/// How far the paper of a product may weigh other than its grammage says, from now on: another
/// delivery of paper may differ, so it can be set again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PaperSet {
    pub product: ProductId,
    pub paper: Paper,
}

/// A shift ends: what is unfinished goes to somebody who signs for it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShiftHandedOver {
    pub to: PersonId,
    /// Who was told of what is unfinished, and what.
    pub told: String,
}

/// What a line writes as its data: an entry without its kind.
pub(super) struct EntryData<'a>(pub &'a Entry);

/// Writes the [`Entry`] enum, its kinds and its two-way reading from one list.
macro_rules! entries {
    ($($(#[$doc:meta])* $variant:ident($data:ty) = $kind:literal,)+) => {
        /// What one line says.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Entry { $($(#[$doc])* $variant($data),)+ }

        impl Entry {
            /// Every kind a line can have.
            pub const KINDS: &'static [&'static str] = &[$($kind),+];

            /// The kind as the line writes it.
            pub fn kind(&self) -> &'static str {
                match self { $(Entry::$variant(_) => $kind,)+ }
            }

            /// Reads the data of a kind; nothing for an unknown kind.
            pub(super) fn read(kind: &str, data: &str) -> Option<serde_json::Result<Self>> {
                Some(match kind {
                    $($kind => serde_json::from_str(data).map(Entry::$variant),)+
                    _ => return None,
                })
            }
        }

        impl Serialize for EntryData<'_> {
            fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                match self.0 { $(Entry::$variant(data) => data.serialize(to),)+ }
            }
        }
    };
}

entries! {
    BookOpened(BookOpened) = "book.opened",
    PersonEnrolled(Person) = "person.enrolled",
    PersonRetired(PersonRetired) = "person.retired",
    PersonRekeyed(PersonRekeyed) = "person.rekeyed",
    ClassesSet(ClassesSet) = "classes.set",
    RulesSet(Rules) = "rules.set",
    ProductDefined(ProductDefined) = "product.defined",
    PaperSet(PaperSet) = "paper.set",
    ScaleSet(Scale) = "scale.set",
    SeriesAdded(SeriesSpec) = "series.added",
    LotOpened(LotOpened) = "lot.opened",
    LotNumbered(LotNumbered) = "lot.numbered",
    PressDiffered(PressDiffered) = "press.differed",
    MachineRead(MachineRead) = "machine.read",
    SheetsExamined(SheetsExamined) = "sheets.examined",
    VerdictOverruled(VerdictOverruled) = "verdict.overruled",
    AcceptanceDrawn(AcceptanceDrawn) = "acceptance.drawn",
    AcceptanceLooked(AcceptanceLooked) = "acceptance.looked",
    MeasureTarget(MeasureTarget) = "measure.target",
    MeasureTaken(MeasureTaken) = "measure.taken",
    ReplacementsDrawn(ReplacementsDrawn) = "replacements.drawn",
    ReplacementsInserted(ReplacementsInserted) = "replacements.inserted",
    ReplacementsSpoiled(ReplacementsSpoiled) = "replacements.spoiled",
    ReplacementsReturned(ReplacementsReturned) = "replacements.returned",
    ContainerOpened(ContainerOpened) = "container.opened",
    ContainerFilled(ContainerFilled) = "container.filled",
    ContainerSealed(ContainerSealed) = "container.sealed",
    ContainerMoved(ContainerMoved) = "container.moved",
    ContainerRetired(ContainerRetired) = "container.retired",
    SealChecked(SealChecked) = "seal.checked",
    ContainerHeld(ContainerHeld) = "container.held",
    ContainerRecounted(ContainerRecounted) = "container.recounted",
    ContainerResealed(ContainerResealed) = "container.resealed",
    FillingCorrected(FillingCorrected) = "filling.corrected",
    SealingCorrected(SealingCorrected) = "sealing.corrected",
    SpoilsLost(SpoilsLost) = "spoils.lost",
    SpoilsFound(SpoilsFound) = "spoils.found",
    SessionBegun(SessionBegun) = "session.begun",
    SessionStep(SessionStep) = "session.step",
    TeamChanged(TeamChanged) = "session.team",
    SessionAbandoned(SessionAbandoned) = "session.abandoned",
    SpoilsDestroyed(Destruction) = "spoils.destroyed",
    ResidueSent(ResidueSent) = "residue.sent",
    SessionCorrected(SessionCorrected) = "session.corrected",
    PassphraseFailed(PassphraseFailed) = "passphrase.failed",
    LotClosed(LotClosed) = "lot.closed",
    DayClosed(DayClosed) = "day.closed",
    ShiftHandedOver(ShiftHandedOver) = "shift.handed_over",
    CopyTaken(CopyTaken) = "copy.taken",
    BookCheckpoint(BookCheckpoint) = "book.checkpoint",
    StoreHealed(StoreHealed) = "store.healed",
}
