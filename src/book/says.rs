//! What a line says as a whole, in one sentence, for whoever reads the book from end to end.

use crate::custody::Destruction;
use crate::inspect::{Limit, Rules};
use crate::people::{Person, Role};
use crate::sheet::{Replacement, Serial, SeriesSpec, SeriesStock, grouped, number_of};

use super::checkpoint::BookCheckpoint;
use super::entry::*;
use super::homes::{Home, StoreHealed};
use super::life::examined;
use super::line::Line;
use super::shelf::Book;
use super::state::State;

mod before;
mod bench;
mod cage;
mod measure;
mod session;

pub use session::fact_words;

/// Kinds that belong together, for choosing among them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum KindGroup {
    /// The book itself, and copies of it.
    Book,
    People,
    Office,
    Bench,
    Replacements,
    Cage,
    Destruction,
    Closing,
}

impl KindGroup {
    pub const ALL: [KindGroup; 8] = [
        KindGroup::Book,
        KindGroup::People,
        KindGroup::Office,
        KindGroup::Bench,
        KindGroup::Replacements,
        KindGroup::Cage,
        KindGroup::Destruction,
        KindGroup::Closing,
    ];

    /// The group of a kind, by what it speaks of.
    pub fn of(kind: &str) -> Self {
        let about = kind.split('.').next().unwrap_or_default();
        match (about, kind) {
            (_, "lot.closed" | "day.closed" | "shift.handed_over") => KindGroup::Closing,
            ("person" | "passphrase", _) => KindGroup::People,
            ("classes" | "rules" | "product" | "paper" | "scale", _) => KindGroup::Office,
            (_, "measure.target") => KindGroup::Office,
            ("series" | "lot" | "press", _) => KindGroup::Office,
            ("machine" | "sheets" | "verdict" | "acceptance" | "measure", _) => KindGroup::Bench,
            ("replacements", _) => KindGroup::Replacements,
            ("container" | "seal" | "filling" | "sealing", _) => KindGroup::Cage,
            (_, "spoils.lost" | "spoils.found") => KindGroup::Cage,
            ("spoils" | "session" | "residue", _) => KindGroup::Destruction,
            _ => KindGroup::Book,
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            KindGroup::Book => "Book and copies",
            KindGroup::People => "People",
            KindGroup::Office => "Office",
            KindGroup::Bench => "Bench",
            KindGroup::Replacements => "Replacement notes",
            KindGroup::Cage => "Cage",
            KindGroup::Destruction => "Destruction",
            KindGroup::Closing => "Closing",
        }
    }
}

/// A kind in words: "sheets.examined" is "Sheets examined".
pub fn kind_words(kind: &str) -> String {
    if kind == "acceptance.looked" {
        return "Sample sheet looked at".to_owned();
    }
    let mut words = kind.replace(['.', '_'], " ");
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    words
}

/// One sentence of what a line of the book says, with the names that its state knows. A correction
/// says what stood before, too.
pub fn says(line: &Line, book: &Book) -> String {
    let state = book.state();
    match &line.entry {
        Entry::BookOpened(data) => opened(data),
        Entry::PersonEnrolled(data) => enrolled(data),
        Entry::PersonRetired(data) => format!("{} retires.", state.name_of(data.person)),
        Entry::PersonRekeyed(data) => rekeyed(data, state),
        Entry::ClassesSet(data) => classes(data),
        Entry::RulesSet(data) => rules(data),
        Entry::ProductDefined(data) => product(data),
        Entry::PaperSet(data) => format!("The paper of {} is described.", data.product),
        Entry::ScaleSet(data) => format!(
            "Scale {} is registered, calibrated on {}.",
            data.scale, data.calibrated
        ),
        Entry::SeriesAdded(data) => series(data),
        Entry::LotOpened(data) => lot_opened(data),
        Entry::LotNumbered(data) => lot_numbered(data),
        Entry::PressDiffered(data) => at_press(data, state),
        Entry::MachineRead(data) => bench::machine_read(data),
        Entry::SheetsExamined(data) => bench::sheets_examined(data, book),
        Entry::VerdictOverruled(data) => bench::overruled(data, book),
        Entry::AcceptanceDrawn(data) => bench::sample_drawn(data),
        Entry::AcceptanceLooked(data) => bench::sample_looked(data, book),
        Entry::MeasureTarget(data) => measure::target(data),
        Entry::MeasureTaken(data) => measure::taken(data, book),
        Entry::ReplacementsDrawn(data) => drawn(data),
        Entry::ReplacementsInserted(data) => replacements(&data.notes, "inserted", None),
        Entry::ReplacementsSpoiled(data) => {
            replacements(&data.notes, "spoiled", Some(&data.reason))
        }
        Entry::ReplacementsReturned(data) => {
            replacements(&data.notes, "returned unused", Some(&data.reason))
        }
        Entry::ContainerOpened(data) => format!("Container {} is open.", data.container),
        Entry::ContainerFilled(data) => cage::filled(data),
        Entry::ContainerSealed(data) => cage::sealed(data, state),
        Entry::ContainerMoved(data) => cage::moved(data),
        Entry::ContainerRetired(data) => cage::retired(data),
        Entry::SealChecked(data) => cage::checked(data),
        Entry::ContainerHeld(data) => cage::held(data),
        Entry::ContainerRecounted(data) => cage::recounted(data, state),
        Entry::ContainerResealed(data) => cage::resealed(data, state),
        Entry::FillingCorrected(data) => cage::filling_corrected(data),
        Entry::SealingCorrected(data) => cage::sealing_corrected(data, book),
        Entry::SpoilsLost(data) => cage::lost(data, state),
        Entry::SpoilsFound(data) => cage::found(data),
        Entry::SessionBegun(data) => session::begun(data, state),
        Entry::SessionStep(data) => session::step(data),
        Entry::TeamChanged(data) => session::team(data, state),
        Entry::SessionAbandoned(data) => {
            format!(
                "Session {} is abandoned: {}.",
                data.session,
                phrase(&data.reason)
            )
        }
        Entry::SpoilsDestroyed(data) => destroyed(data, state),
        Entry::ResidueSent(data) => cage::residue(data),
        Entry::SessionCorrected(data) => session::corrected(data, line.header.seq, state),
        Entry::PassphraseFailed(data) => format!(
            "A wrong passphrase was given {} times for {}; the key is locked for a while.",
            data.tries,
            state.name_of(data.person)
        ),
        Entry::LotClosed(data) => format!("Lot {} is closed.", data.lot),
        Entry::DayClosed(data) => format!("Day {} is closed.", data.day),
        Entry::ShiftHandedOver(data) => format!(
            "Shift handed over to {}. Told: {}.",
            state.name_of(data.to),
            phrase(&data.told)
        ),
        Entry::CopyTaken(data) => copied(data),
        Entry::BookCheckpoint(data) => checkpoint(data, state),
        Entry::StoreHealed(data) => healed(data),
    }
}

/// Most pieces that a sentence lists.
const LISTED: usize = 3;

fn few(pieces: impl ExactSizeIterator<Item = String>) -> String {
    let more = pieces.len().saturating_sub(LISTED);
    let mut text = pieces.take(LISTED).collect::<Vec<_>>().join(", ");
    if more > 0 {
        text += &format!(" and {} more", grouped(more as u64));
    }
    text
}

fn some(count: impl TryInto<u64>, one: &str, many: &str) -> String {
    number_of(count.try_into().unwrap_or(u64::MAX), one, many)
}

/// A typed reason within a sentence.
fn phrase(reason: &str) -> &str {
    reason.trim().trim_end_matches('.')
}

fn opened(data: &BookOpened) -> String {
    let practice = if data.practice { ", for practice" } else { "" };
    let (works, first) = (&data.works, &data.supervisor.name);
    format!("The book of {works} is opened{practice}; {first} is its first supervisor.")
}

fn enrolled(data: &Person) -> String {
    let roles: Vec<_> = data.roles.iter().copied().map(Role::name).collect();
    let outside = if data.outside {
        ", from outside production"
    } else {
        ""
    };
    let (name, code, roles) = (&data.name, data.person, roles.join(", "));
    format!("{name} ({code}) is enrolled: {roles}{outside}.")
}

fn rekeyed(data: &PersonRekeyed, state: &State) -> String {
    let (name, why) = (state.name_of(data.person), phrase(&data.reason));
    format!("{name} has a new key: {why}.")
}

fn classes(data: &ClassesSet) -> String {
    let classes = some(data.classes.classes().len(), "class", "classes");
    format!("The catalogue has {classes} from here on.")
}

fn rules(data: &Rules) -> String {
    let limit = match data.limit {
        Limit::SpoiledAt(notes) => {
            format!(
                "spoiled at {}",
                some(notes, "defective note", "defective notes")
            )
        }
        Limit::ByCost(_) => "the limit follows from costs".to_owned(),
    };
    let witnesses = some(data.witnesses, "witness", "witnesses");
    format!("Rules for lots opened from here on: {limit}; {witnesses} at a destruction.")
}

fn product(data: &ProductDefined) -> String {
    let (rows, columns) = (data.layout.rows, data.layout.columns);
    let (id, title) = (data.product, &data.title);
    format!("Product {id}, {title}: {rows} rows by {columns} columns.")
}

fn series(data: &SeriesSpec) -> String {
    let stock = match data.stock {
        SeriesStock::Notes { first, last } => some(last.saturating_sub(first) + 1, "note", "notes"),
        SeriesStock::Sheets(run) => some(run.sheets, "whole sheet", "whole sheets"),
    };
    format!(
        "Replacement series {} of {}: {stock}.",
        data.id, data.product
    )
}

fn lot_opened(data: &LotOpened) -> String {
    let (lot, sheets) = (data.lot, some(data.sheets, "sheet", "sheets"));
    let stage = match data.numbering {
        Some(_) => "numbered",
        None => "not numbered yet",
    };
    format!("Lot {lot} opened: {sheets} of {}, {stage}.", data.product)
}

fn lot_numbered(data: &LotNumbered) -> String {
    let sheets: u64 = data
        .numbering
        .runs
        .iter()
        .map(|run| u64::from(run.sheets))
        .sum();
    format!(
        "Lot {}: {} took serials.",
        data.lot,
        some(sheets, "sheet", "sheets")
    )
}

fn at_press(data: &PressDiffered, state: &State) -> String {
    let (lot, why) = (data.lot, phrase(&data.reason));
    let second = state.name_of(data.second);
    let what = match data.what {
        Difference::Lost { sheet } => {
            format!("sheet {} lost at the press", grouped(sheet.number().into()))
        }
        Difference::Added { sheets, .. } => {
            format!("{} added at the press", some(sheets, "sheet", "sheets"))
        }
    };
    format!("Lot {lot}: {what}, {why}; second person {second}.")
}

fn drawn(data: &ReplacementsDrawn) -> String {
    let pairs = data.pairs.iter();
    let pairs = few(pairs.map(|(old, new)| format!("{new} for {old}")));
    let notes = some(data.pairs.len(), "note", "notes");
    let (series, lot) = (data.series, data.lot);
    format!("Lot {lot}: {notes} of series {series} drawn, {pairs}.")
}

fn replacements(notes: &[Serial<Replacement>], fate: &str, reason: Option<&str>) -> String {
    let count = some(notes.len(), "replacement note", "replacement notes");
    let why = reason.map(|reason| format!(" ({})", phrase(reason)));
    let (why, notes) = (
        why.unwrap_or_default(),
        notes.iter().map(ToString::to_string),
    );
    format!("{count} {fate}{why}: {}.", few(notes))
}

fn destroyed(data: &Destruction, state: &State) -> String {
    let containers = data.containers.iter();
    let containers = few(containers.map(|found| found.container.to_string()));
    let witnesses: Vec<_> = data.witnesses.iter().map(|id| state.name_of(*id)).collect();
    let (session, method) = (data.session, data.method.name());
    let witnesses = witnesses.join(", ");
    let left_out = data.left_out.iter();
    let left_out = few(left_out.map(|one| one.container.to_string()));
    let left_out = match left_out.is_empty() {
        true => String::new(),
        false => format!("; left out: {left_out}"),
    };
    format!("Session {session}: {containers} destroyed by {method} before {witnesses}{left_out}.")
}

fn checkpoint(data: &BookCheckpoint, state: &State) -> String {
    let last = grouped(data.archived.lines.get() - 1);
    let second = state.name_of(data.second);
    format!(
        "The book goes on from here: entries 0 to {last} are in the archive, as {second} confirms."
    )
}

fn copied(data: &CopyTaken) -> String {
    let what = match data.what {
        Copied::Book => "A copy of the book",
        Copied::DayRecord => "A day record",
        Copied::Certificate => "A certificate",
        Copied::Head => "The head",
    };
    let to = data.to.as_deref().map(phrase);
    let way = match (data.how, to) {
        (Some(Way::Told), Some(to)) => format!(", told to {to}"),
        (how, to) => {
            let how = match how {
                Some(Way::Print) => ", printed",
                Some(Way::File) => ", saved as a file",
                Some(Way::Told) => ", told",
                None => "",
            };
            how.to_owned() + &to.map(|to| format!(", for {to}")).unwrap_or_default()
        }
    };
    format!("{what} left this machine{way}: head {}.", data.head.short())
}

fn healed(data: &StoreHealed) -> String {
    let (from, to) = (grouped(data.from), grouped(data.to));
    match data.home {
        Home::First => format!(
            "The browser's database had lost entries {from} to {to}; they were put back from local storage."
        ),
        Home::Second => format!(
            "Local storage lacked entries {from} to {to}; it was filled from the browser's database."
        ),
    }
}
