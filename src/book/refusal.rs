//! Why an entry cannot be taken. Each says what is wrong and what to do.

use crate::custody::{
    ContainerId, DestructionError, Item, PaperError, ResidueError, ScaleError, ScaleId, SealNumber,
    SessionError, SessionId,
};
use crate::inspect::{CatalogueError, DrawError, MeasureError, RulesError, TagError, Verdict};
use crate::people::{Day, Duty, Meaning, PersonId, Role};
use crate::quality::QualityError;
use crate::quality::sampling::Severity;
use crate::sheet::{
    AcceptanceId, FinishingError, LayoutError, LotId, NumberingError, ProductId, SeriesError,
    SeriesId, SheetNo,
};

use super::checkpoint::Unsettled;
use super::line::LineError;
use super::lot::Gone;
use super::obstacle::Obstacle;

/// Why an entry cannot be taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    #[error("The book is not open yet. Open it first.")]
    NotOpened,
    #[error("The book is open already. A book is opened once.")]
    OpenedTwice,
    #[error("Nobody is signed in. Choose who you are at the top of the page.")]
    NobodySignedIn,
    #[error("{field} is empty. Fill it in.")]
    Empty { field: &'static str },
    #[error("{field} is longer than {max} characters. Shorten it.")]
    TooLong { field: &'static str, max: usize },
    #[error("Person {0} is not enrolled. A supervisor enrols people in the Office.")]
    UnknownPerson(PersonId),
    #[error("Person {0} is retired. Choose someone who is enrolled.")]
    Retired(PersonId),
    #[error(
        "The key of {0} is not the one the book knows. Sign in again; a supervisor gives a new key in the Office."
    )]
    WrongKey(PersonId),
    #[error("This is the key of {0} already. Each person has a key of their own: make a new one.")]
    KeyTaken(PersonId),
    #[error("{by} has not signed as {}. Nothing is recorded without that signature.", .meaning.name())]
    NotCountersigned { by: PersonId, meaning: Meaning },
    #[error("The signature of {by} as {} does not hold: it was made over another statement or with another key. Sign again.", .meaning.name())]
    WrongCountersignature { by: PersonId, meaning: Meaning },
    #[error("{by} signed as {}, which nobody asked for. Begin the signing again.", .meaning.name())]
    ExtraCountersignature { by: PersonId, meaning: Meaning },
    #[error(
        "The statement that was signed is not what is being recorded. Begin the signing again."
    )]
    OtherStatement,
    #[error("Person code {0} is taken, now or in the past. Give another code.")]
    PersonTaken(PersonId),
    #[error("{person} has no role. Give at least one.")]
    NoRole { person: PersonId },
    #[error("{person} is the last {}. Enrol another first.", .role.name())]
    LastOf { person: PersonId, role: Role },
    #[error("{person} may not {}: that is for {}.", .duty.name(), role_list(*.duty))]
    NotAllowed { person: PersonId, duty: Duty },
    #[error("{0} cannot be both the first and the second person. Name another second person.")]
    SamePerson(PersonId),
    #[error("Product {0} exists. A product is defined once; give a changed one a new name.")]
    ProductTaken(ProductId),
    #[error("Product {0} is not known. Define it in the Office.")]
    UnknownProduct(ProductId),
    #[error(transparent)]
    Layout(#[from] LayoutError),
    #[error(transparent)]
    Catalogue(#[from] CatalogueError),
    #[error(transparent)]
    Rules(#[from] RulesError),
    #[error("Series {0} exists. Give the new one another name.")]
    SeriesTaken(SeriesId),
    #[error("Series {0} is not known. Add it in the Office.")]
    UnknownSeries(SeriesId),
    #[error(transparent)]
    Series(#[from] SeriesError),
    #[error("Serials {from} to {to} are used by {by} already. Choose other numbers.")]
    SerialsTaken {
        from: String,
        to: String,
        by: String,
    },
    #[error("Lot {0} exists. Give the new one another name.")]
    LotTaken(LotId),
    #[error("Lot {0} is not known. Open it in the Office.")]
    UnknownLot(LotId),
    #[error("Lot {0} is closed. Nothing more can be recorded for it.")]
    LotIsClosed(LotId),
    #[error("\"Sheets\" is {given}. Give 1 to {max}.")]
    LotSize { given: u32, max: u32 },
    #[error(transparent)]
    Finishing(#[from] FinishingError),
    #[error(transparent)]
    Numbering(#[from] NumberingError),
    #[error("Sheet {sheet} is outside lot {lot}, which has {sheets} sheets. Give 1 to {sheets}.")]
    SheetOutside {
        lot: LotId,
        sheet: SheetNo,
        sheets: u32,
    },
    #[error("The range runs from {from} back to {to}. Give the smaller sheet number first.")]
    RangeBackwards { from: SheetNo, to: SheetNo },
    #[error(
        "Sheet {sheet} was examined in entry {seq}. To change it, correct that entry and say why."
    )]
    ExaminedBefore { sheet: SheetNo, seq: u64 },
    #[error("Entry {corrects} is not the last word on sheet {sheet}. Name the entry that is.")]
    NothingToCorrect { sheet: SheetNo, corrects: u64 },
    #[error("One sheet at a time can be corrected. Correct sheet by sheet.")]
    CorrectsMany,
    #[error("Sheet {sheet} cannot be corrected now: {why}.")]
    TooLateToCorrect { sheet: SheetNo, why: String },
    #[error("Sheet {sheet} is {} already. Choose another verdict.", .verdict.name())]
    SameVerdict { sheet: SheetNo, verdict: Verdict },
    #[error(
        "Sheet {sheet} has no defective note, so it cannot be mixed. Correct its tags, or choose good or spoiled."
    )]
    NothingDefective { sheet: SheetNo },
    #[error("Sheet {sheet}: {tag}")]
    Tag { sheet: SheetNo, tag: TagError },
    #[error("Sheet {sheet} has the same tag twice. Keep one of the two.")]
    TagTwice { sheet: SheetNo },
    #[error("Part {part} of {parts} is out of order. Read the file again.")]
    PartOrder { part: u32, parts: u32 },
    #[error("Sample number {0} is used. Give the next one.")]
    AcceptanceTaken(AcceptanceId),
    #[error("There is no acceptance sample {0}. Draw it on Verdicts.")]
    UnknownAcceptance(AcceptanceId),
    #[error("Acceptance sample {0} of this lot is not finished. Look at all its sheets first.")]
    AcceptanceOpen(AcceptanceId),
    #[error("{0}.")]
    Sampling(QualityError),
    #[error(
        "The sheets of acceptance sample {0} are not those that its seed draws from the sheets passed now. Draw again."
    )]
    OtherDraw(AcceptanceId),
    #[error("Inspection cannot be {} now: the lots before ask for {} inspection. Choose that.", .chosen.name(), .needed.name())]
    TooLenient { chosen: Severity, needed: Severity },
    #[error(
        "Acceptance by sampling is suspended for product {0}: five lots were rejected under tightened inspection. Mend the cause, then say what was done."
    )]
    AcceptanceSuspended(ProductId),
    #[error(
        "Acceptance by sampling is not suspended for product {0}, so there is nothing to resume. Leave the reason out."
    )]
    NothingToResume(ProductId),
    #[error(
        "Sheet {sheet} is not in acceptance sample {acceptance}. Look at the sheets that were drawn."
    )]
    NotInSample {
        sheet: SheetNo,
        acceptance: AcceptanceId,
    },
    #[error(
        "Sheet {sheet} was looked at in entry {seq}. To change it, correct that entry and say why."
    )]
    LookedBefore { sheet: SheetNo, seq: u64 },
    #[error("{by} passed sheet {sheet}, so somebody else must look at it again.")]
    OwnSheet { sheet: SheetNo, by: PersonId },
    #[error("The list is empty. Choose at least one.")]
    EmptyList,
    #[error("The list has more than {max} pieces. Split it.")]
    LongList { max: usize },
    #[error("Lot {0} is not numbered yet, so no serial can be replaced. Number it first.")]
    NotNumbered(LotId),
    #[error("Lot {0} is numbered already. A lot is numbered once.")]
    NumberedBefore(LotId),
    #[error(
        "Lot {lot} still has sheets to examine ({sheets}). Examine them before it is numbered."
    )]
    NumberedTooSoon { lot: LotId, sheets: u32 },
    #[error(
        "Lot {0} has no sheet left to number: all were spoiled or lost. Close it without numbering."
    )]
    NothingToNumber(LotId),
    #[error(
        "Lot {0} came to the bench numbered, so every sheet has its serials. Only a lot examined before numbering can differ at the press."
    )]
    CameNumbered(LotId),
    #[error(
        "The serials of lot {lot} cannot shift any more: {why}. Record what differs at the press before replacements are drawn and spoils are packed."
    )]
    SerialsInUse { lot: LotId, why: &'static str },
    #[error(
        "Sheet {sheet} cannot be lost at the press: {why}. Give a good or mixed sheet that is still in the lot."
    )]
    NotLost { sheet: SheetNo, why: &'static str },
    #[error(
        "Sheet {sheet} is not in the press order: {gone}. Give a sheet that went through the press."
    )]
    NotInPressOrder { sheet: SheetNo, gone: Gone },
    #[error("It is the last numbered sheet of lot {0}, and a numbered lot keeps at least one.")]
    LastInPressOrder(LotId),
    #[error(
        "The numbering of lot {0} has no room for more sheets: they would take serials that its other sheets have, or run past the last number. Look at the sheets again; serials that two notes share cannot be booked."
    )]
    NoRoomInNumbering(LotId),
    #[error("Serial {serial} does not belong to lot {lot}.")]
    NotOfLot { serial: String, lot: LotId },
    #[error("Serial {serial} needs no replacement: its note is fit or was replaced before.")]
    NoNeed { serial: String },
    #[error("Replacement {given} is out of turn: the next unused note of {series} is {next}.")]
    OutOfTurn {
        given: String,
        series: SeriesId,
        next: String,
    },
    #[error(
        "Series {0} is of whole sheets: its draws replace whole spoiled sheets, note for note in the order of the sheet. Draw loose notes from another series."
    )]
    WholeSheetsOnly(SeriesId),
    #[error(
        "Serial {serial} is on a spoiled sheet that takes a whole replacement sheet. Draw for it from series {series}, which has some left."
    )]
    WantsSheet { serial: String, series: SeriesId },
    #[error(
        "Series {series} is for product {of}, but lot {lot} is of {lot_product}. Choose a series of {lot_product}."
    )]
    WrongProduct {
        series: SeriesId,
        of: ProductId,
        lot: LotId,
        lot_product: ProductId,
    },
    #[error(transparent)]
    Draw(#[from] DrawError),
    #[error("Replacement note {0} was not drawn, so it cannot be inserted, spoiled or returned.")]
    NotDrawn(String),
    #[error("Replacement note {serial} was {fate} before. Choose one that is on hand.")]
    NotOnHand { serial: String, fate: &'static str },
    #[error("Container {0} exists. Give the new one another number.")]
    ContainerTaken(ContainerId),
    #[error("Container {0} is not in the cage. Open it first.")]
    UnknownContainer(ContainerId),
    #[error("Container {0} is sealed. Spoils go into an open container.")]
    ContainerSealed(ContainerId),
    #[error("Container {0} is empty. Fill it before sealing.")]
    ContainerEmpty(ContainerId),
    #[error("Seal {seal} was used on container {container}. A seal number is used once.")]
    SealUsed {
        seal: SealNumber,
        container: ContainerId,
    },
    #[error("There is no spoil \"{0}\". Only what was ruled spoiled can go into a container.")]
    NotASpoil(Item),
    #[error("\"{item}\" is in container {container}. A spoil is in one place only.")]
    AlreadyIn { item: Item, container: ContainerId },
    #[error("\"{item}\" was destroyed in session {session}.")]
    AlreadyDestroyed { item: Item, session: SessionId },
    #[error("Session number {0} is used. Give the next one.")]
    SessionTaken(SessionId),
    #[error(transparent)]
    Cage(#[from] super::cage_refusal::CageRefusal),
    #[error(transparent)]
    Destruction(#[from] DestructionError),
    #[error(transparent)]
    Residue(#[from] ResidueError),
    #[error(transparent)]
    Scale(#[from] ScaleError),
    #[error(transparent)]
    Paper(#[from] PaperError),
    #[error(transparent)]
    Measure(#[from] MeasureError),
    #[error(
        "Scale {0} is not registered. Choose a scale of the list, or register it in the Office."
    )]
    UnknownScale(ScaleId),
    #[error("Container {0}: the gross mass is below the tare. Weigh again.")]
    BelowTare(ContainerId),
    #[error(
        "Container {0}: a tare or a scale is named without the gross mass. Weigh it full, too."
    )]
    NoGross(ContainerId),
    #[error(transparent)]
    Session(#[from] SessionError),
    #[error("Lot {lot} cannot be closed: {why}.")]
    LotNotDone { lot: LotId, why: Obstacle },
    #[error("{0} cannot hand a shift over to themselves. Choose who takes it over.")]
    HandedToSelf(PersonId),
    #[error("Day {0} is closed already.")]
    DayClosedBefore(Day),
    #[error("There is nothing in the book for day {0}. Choose a day that has entries.")]
    EmptyDay(Day),
    #[error(
        "Lines {from} to {to} cannot have been healed: they are not lines before this one. Give lines that the book has."
    )]
    HealedAmiss { from: u64, to: u64 },
    #[error(
        "This tab reads only, because another tab writes to this book. Record there, or close it: this tab takes over by itself."
    )]
    ReadingOnly,
    #[error(
        "A newer version of Cullbook has opened this book in another tab. Reload this tab to record."
    )]
    OutdatedTab,
    #[error(
        "The book has grown since this head was shown. Show the head again and let that leave."
    )]
    OldHead,
    #[error("The book cannot go on from a checkpoint yet: {0}.")]
    NotSettled(Unsettled),
    #[error(
        "The checkpoint names another archive than the lines before it. Save the archive again and begin anew."
    )]
    OtherArchive,
    #[error(
        "What the checkpoint carries over does not follow from the lines before it. Do not use this book; compare it with the archive."
    )]
    CarriedDiffers,
    #[error(
        "Nothing can be removed now: there is no checkpoint behind it, or the book is still being checked or saved. Try again."
    )]
    NothingArchived,
    #[error("What the checkpoint carries over cannot be: {0}. Do not use this book.")]
    CarriedAmiss(&'static str),
    #[error(transparent)]
    Followed(Box<super::verifier::BookError>),
    #[error("The entry cannot be written: {0}.")]
    Line(#[from] LineError),
}

impl From<QualityError> for Refusal {
    /// Its sentences have no full stop of their own.
    fn from(why: QualityError) -> Self {
        Refusal::Sampling(why)
    }
}

fn role_list(duty: Duty) -> String {
    let names: Vec<_> = duty
        .roles()
        .iter()
        .map(|role| format!("a {}", role.name()))
        .collect();
    names.join(" or ").replace("a inspector", "an inspector")
}
