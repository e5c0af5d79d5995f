//! The long lists of a day record: sheets, replacement notes, containers, spoils, sessions, and
//! the balance of every lot.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::account::Identity;
use crate::book::{
    Account, Fate, Hash, Lot, Place, Pool, SessionRecord, State, book_account, lot_account, lot_of,
};
use crate::custody::{
    Container, ContainerId, Item, Mass, ParticleClass, Seal, SealNumber, SessionId,
};
use crate::people::{Day, PersonId, Stamp};
use crate::sheet::{LotId, Printed, ProductId, Replacement, Serial, SeriesId, SheetNo};

use super::picklist::fate_name;

/// A sheet examined on the day that is not good, or good only because the rules were overruled.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheetRow {
    pub lot: LotId,
    pub sheet: SheetNo,
    pub verdict: &'static str,
    pub reason: String,
    /// Names of the positions that are defective by their own tags.
    pub defective: Vec<String>,
    pub inspector: PersonId,
    pub at: Stamp,
    pub entry: u64,
}

/// A replacement note drawn on the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReplacementRow {
    pub lot: LotId,
    pub serial: Serial<Printed>,
    pub series: SeriesId,
    pub replacement: Serial<Replacement>,
    pub bundle: u32,
    #[serde(rename = "box")]
    pub box_no: u32,
    pub fate: &'static str,
    pub entry: u64,
}

/// One replacement series: what is left of it, and what became of the drawn, as the book stands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SeriesRow {
    pub series: SeriesId,
    pub product: ProductId,
    /// `notes` or `sheets`: how it is drawn.
    pub drawn_as: &'static str,
    /// Notes of the whole series.
    pub notes: u64,
    pub drawn: u64,
    pub inserted: u64,
    pub spoiled: u64,
    pub returned: u64,
    pub on_hand: u64,
    pub left: u64,
    pub drawn_on_the_day: u64,
}

/// A container that is in the cage, or was destroyed or retired on the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ContainerRow {
    pub container: ContainerId,
    pub state: &'static str,
    pub sheets: u64,
    pub notes: u64,
    pub seal: Option<SealNumber>,
    pub sealed_by: Option<PersonId>,
    pub second: Option<PersonId>,
    pub sealed_at: Option<Stamp>,
    pub gross_mg: Option<u64>,
    pub session: Option<SessionId>,
    /// Where it stands, when that was ever said.
    pub place: Option<String>,
    pub held_for: Option<String>,
    /// The entry that corrected its sealing last.
    pub corrected_in: Option<u64>,
}

/// A spoil that is in the cage, missing or declared lost, or was destroyed on the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpoilRow {
    pub lot: Option<LotId>,
    pub kind: &'static str,
    /// The sheet number or the serial.
    pub spoil: String,
    pub place: &'static str,
    /// The container it lies in, or should.
    pub container: Option<ContainerId>,
    pub session: Option<SessionId>,
    /// The entry that brought it to its place, or into its destroyed container.
    pub entry: Option<u64>,
}

/// A destruction recorded on the day.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SessionRow {
    pub session: SessionId,
    pub place: String,
    pub machine: String,
    pub method: &'static str,
    pub particle_class: Option<&'static str>,
    pub largest_particle_mm2: Option<u32>,
    pub particles_measured: Option<u32>,
    pub particles_above: Option<u32>,
    pub containers: Vec<ContainerId>,
    pub sheets: u64,
    pub notes: u64,
    pub gross_mg: u64,
    pub tare_mg: u64,
    pub operator: PersonId,
    pub witnesses: Vec<PersonId>,
    pub started: Stamp,
    pub ended: Stamp,
    pub recorded_by: PersonId,
    pub recorded_at: Stamp,
    pub entry: u64,
    pub hash: Hash,
}

/// One figure of an identity, of one lot or of the whole book.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BalanceRow {
    /// Absent for the whole book.
    pub lot: Option<LotId>,
    pub identity: &'static str,
    /// `owed`, `found` or `difference` (found less owed).
    pub side: &'static str,
    pub figure: &'static str,
    pub count: i64,
}

pub(super) fn sheet_rows(state: &State, day: Day) -> Vec<SheetRow> {
    let lots = state.lots.values();
    lots.flat_map(|lot| sheets_of(lot, day)).collect()
}

fn sheets_of(lot: &Lot, day: Day) -> impl Iterator<Item = SheetRow> {
    let layout = &lot.product.layout;
    let of_day = lot.listed().filter(move |(_, exam)| exam.day == day);
    of_day.map(move |(sheet, exam)| SheetRow {
        lot: lot.id,
        sheet,
        verdict: exam.ruling.verdict.name(),
        reason: exam.ruling.reason.to_string(),
        defective: (exam.ruling.defective.iter(layout))
            .map(|position| layout.name(position).to_owned())
            .collect(),
        inspector: exam.by,
        at: exam.at.clone(),
        entry: exam.seq,
    })
}

pub(super) fn replacement_rows(state: &State, day: Day) -> Vec<ReplacementRow> {
    let pools = state.pools.values();
    pools.flat_map(|pool| drawn_of(state, pool, day)).collect()
}

fn drawn_of(state: &State, pool: &Pool, day: Day) -> impl Iterator<Item = ReplacementRow> {
    let drawn = pool.placed().filter(move |(_, d)| d.day == day);
    drawn.filter_map(move |(place, drawn)| {
        let lot = state.lots.get(&drawn.lot)?;
        let (sheet, position) = lot.locate(drawn.note)?;
        let cut = lot.place(sheet, position)?;
        Some(ReplacementRow {
            lot: lot.id,
            serial: lot.serial(sheet, position)?,
            series: pool.series.id(),
            replacement: pool.series.serial(place)?,
            bundle: cut.bundle.number(),
            box_no: cut.box_no.number(),
            fate: fate_name(drawn.fate),
            entry: drawn.seq,
        })
    })
}

pub(super) fn series_rows(state: &State, day: Day) -> Vec<SeriesRow> {
    let pools = state.pools.values();
    pools.map(|pool| series_row(pool, day)).collect()
}

fn series_row(pool: &Pool, day: Day) -> SeriesRow {
    let of_day = pool.drawn.iter().filter(|drawn| drawn.day == day);
    SeriesRow {
        series: pool.series.id(),
        product: pool.series.product(),
        drawn_as: match pool.series.notes_of_sheet() {
            Some(_) => "sheets",
            None => "notes",
        },
        notes: pool.series.len(),
        drawn: pool.used(),
        inserted: pool.count(Fate::Inserted),
        spoiled: pool.count(Fate::Spoiled),
        returned: pool.count(Fate::Returned),
        on_hand: pool.count(Fate::OnHand),
        left: pool.left(),
        drawn_on_the_day: of_day.count() as u64,
    }
}

/// Whether something destroyed in this session still belongs to the record of the day.
fn destroyed_on(state: &State, session: SessionId, day: Day) -> bool {
    let mut sessions = state.sessions.iter();
    sessions.any(|of| of.record.session == session && of.day == day)
}

pub(super) fn container_rows(state: &State, day: Day) -> Vec<ContainerRow> {
    let containers = state.cage.containers.values();
    let of_day = containers.filter(|container| match container.seal {
        Seal::Open | Seal::Sealed(_) | Seal::Held(..) => true,
        Seal::Retired { day: retired, .. } => retired == day,
        Seal::Destroyed { session, .. } => destroyed_on(state, session, day),
    });
    of_day.map(container_row).collect()
}

fn container_row(container: &Container) -> ContainerRow {
    let (contents, sealing) = (container.contents(), container.sealing());
    let session = match container.seal {
        Seal::Destroyed { session, .. } => Some(session),
        _ => None,
    };
    ContainerRow {
        container: container.id,
        state: container.state_name(),
        sheets: contents.sheets.into(),
        notes: contents.notes.into(),
        seal: sealing.map(|sealing| sealing.number),
        sealed_by: sealing.map(|sealing| sealing.by),
        second: sealing.map(|sealing| sealing.second),
        sealed_at: sealing.map(|sealing| sealing.at.clone()),
        gross_mg: sealing.and_then(|sealing| sealing.gross.map(Mass::milligrams)),
        session,
        place: container.place.as_ref().map(|(place, _)| place.to_string()),
        held_for: container.hold().map(|hold| hold.why.to_string()),
        corrected_in: sealing.and_then(|sealing| Some(sealing.corrections.last()?.act.seq)),
    }
}

pub(super) fn spoil_rows(state: &State, day: Day) -> Vec<SpoilRow> {
    let spoils = state.cage.spoils.iter();
    let of_day = spoils.filter(|(_, place)| match place {
        Place::Loose | Place::In(_) | Place::Missing(_) | Place::Lost(_) => true,
        Place::Destroyed(session) => destroyed_on(state, *session, day),
    });
    of_day
        .map(|(item, place)| spoil_row(state, item, *place))
        .collect()
}

fn spoil_row(state: &State, item: &Item, at: Place) -> SpoilRow {
    let (kind, spoil) = match item {
        Item::Sheet(_, sheet) => ("sheet", sheet.to_string()),
        Item::Note(serial) => ("note", serial.to_string()),
        Item::Replacement(serial) => ("replacement note", serial.to_string()),
    };
    let (place, container, session) = match at {
        Place::Loose => ("loose", None, None),
        Place::In(container) => (place_in(state, container), Some(container), None),
        Place::Missing(container) => ("missing", Some(container), None),
        Place::Lost(_) => ("declared lost", None, None),
        Place::Destroyed(session) => ("destroyed", None, Some(session)),
    };
    SpoilRow {
        lot: lot_of(state, item),
        kind,
        spoil,
        place,
        container,
        session,
        entry: state.cage.came(item).map(|came| came.seq),
    }
}

fn place_in(state: &State, container: ContainerId) -> &'static str {
    let container = state.cage.containers.get(&container);
    match container.map(|container| &container.seal) {
        Some(Seal::Sealed(_)) => "sealed",
        Some(Seal::Held(..)) => "held",
        _ => "in open container",
    }
}

pub(super) fn session_rows(state: &State, day: Day) -> Vec<SessionRow> {
    let of_day = state.sessions.iter().filter(|session| session.day == day);
    of_day.map(session_row).collect()
}

fn session_row(session: &SessionRecord) -> SessionRow {
    let record = session.as_corrected();
    let found = || record.containers.iter();
    SessionRow {
        session: record.session,
        place: record.place.clone(),
        machine: record.machine.clone(),
        method: record.method.name(),
        particle_class: record.particle_class.map(ParticleClass::name),
        largest_particle_mm2: record.largest_particle_mm2,
        particles_measured: record.sample.map(|sample| sample.measured),
        particles_above: record.sample.map(|sample| sample.above),
        containers: found().map(|found| found.container).collect(),
        sheets: found().map(|found| u64::from(found.sheets)).sum(),
        notes: found().map(|found| u64::from(found.notes)).sum(),
        gross_mg: found().map(|found| found.gross.milligrams()).sum(),
        tare_mg: found().map(|found| found.tare.milligrams()).sum(),
        operator: record.operator,
        witnesses: record.witnesses.clone(),
        started: record.started.clone(),
        ended: record.ended.clone(),
        recorded_by: session.by,
        recorded_at: session.at.clone(),
        entry: session.seq,
        hash: session.hash,
    }
}

/// Both sides of every identity, of each lot (archived ones too) and of the whole book.
pub fn balance_rows(state: &State) -> Vec<BalanceRow> {
    let lots = state.lots.values();
    let lots = lots.map(|lot| (lot.id, lot_account(state, lot)));
    let archived = state.archive.lots.values();
    let archived = archived.map(|lot| (lot.carried.lot, lot.account()));
    let every: BTreeMap<LotId, Account> = lots.chain(archived).collect();
    let every = every.into_iter().map(|(lot, account)| (Some(lot), account));
    let whole = std::iter::once_with(|| (None, book_account(state)));
    every
        .chain(whole)
        .flat_map(|(lot, account)| rows_of(lot, &account))
        .collect()
}

fn rows_of(lot: Option<LotId>, account: &Account) -> Vec<BalanceRow> {
    let identities = account.identities.iter();
    identities
        .flat_map(|identity| figures_of(lot, identity))
        .collect()
}

fn figures_of(lot: Option<LotId>, identity: &Identity) -> Vec<BalanceRow> {
    let row = |side, figure, count| BalanceRow {
        lot,
        identity: identity.name,
        side,
        figure,
        count,
    };
    // Counts of things that were handled fit an i64 many times over.
    let owed = identity.owed.iter();
    let mut rows: Vec<_> = owed
        .map(|term| row("owed", term.name, term.count as i64))
        .collect();
    let found = identity.found.iter();
    rows.extend(found.map(|term| row("found", term.name, term.count as i64)));
    rows.push(row(
        "difference",
        "found less owed",
        identity.difference() as i64,
    ));
    rows
}
