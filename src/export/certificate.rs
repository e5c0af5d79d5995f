//! The certificate of destruction: what one session's record says, ready to print or to save.

use serde::Serialize;

use crate::book::{Hash, HeadCode, SessionRecord, State, WeighCheck, sample_says};
use crate::custody::{
    ContainerId, Destruction, Found, Mass, ParticleClass, Scale, SealNumber, SessionId,
};
use crate::people::{PersonId, Stamp};
use crate::sheet::number_of;

use super::certificate_notes::{
    CertifiedAbandoned, CertifiedLeftOut, CertifiedPresence, begun_before, left_out, presence,
};
use super::certificate_products::{CertifiedProduct, products};
use super::certificate_steps::{CertifiedLock, CertifiedStep, locks, steps};
use super::contents::{NoteRange, SheetSpan, note_ranges, sheet_spans};

/// What anyone at a destroying machine must mind (common practice, no source).
pub const CAUTIONS: [&str; 6] = [
    "Keep the guards closed while the machine runs.",
    "Switch off and lock out before clearing a jam.",
    "Wear hearing and dust protection, and no loose clothing.",
    "Burning is hot work: have a permit and a fire watch, and wait until the ash is cold.",
    "Ink dust is harmful: keep the extraction on, and do not sweep it dry.",
    "Follow the equipment maker's instructions, local codes and licensed practice.",
];

/// What the file says it is; a certificate in another form gets another number.
pub const FORMAT: &str = "cullbook certificate v3";

/// The form before: without [`Certificate::products`], otherwise the same.
pub(super) const FORMAT_BEFORE: &str = "cullbook certificate v2";

/// A certificate of destruction. As JSON its members stand in this order, masses in milligrams,
/// moments as RFC 3339. It is made of the lines up to the one that recorded the session and of
/// nothing later, so that it has the same bytes whenever it is made. What was corrected since is
/// its addendum ([`super::corrections_of`]).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Certificate {
    pub format: &'static str,
    pub works: String,
    pub book: String,
    pub bench: String,
    /// Not a real destruction: made in a practice book.
    pub practice: bool,
    /// The number of the session is the number of its certificate.
    pub session: SessionId,
    pub place: String,
    pub machine: String,
    pub method: &'static str,
    /// Absent where the method leaves no particles.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub residue: Option<CertifiedResidue>,
    pub started: Stamp,
    pub ended: Stamp,
    /// What was destroyed, by product; a certificate in the form before has none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub products: Vec<CertifiedProduct>,
    pub containers: Vec<CertifiedContainer>,
    pub persons: Vec<CertifiedPerson>,
    /// What each witness agreed to, word for word.
    pub statement: String,
    /// The whole text that the operator and every witness signed, without its last line, which
    /// names the signer.
    pub signed: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    pub remarks: String,
    /// Containers that were called for, differed and are not destroyed, and how each differed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<CertifiedLeftOut>,
    /// Whoever was not there from beginning to end.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub presence: Vec<CertifiedPresence>,
    /// Every step as recorded; sessions recorded before 2026-11-26 may have none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<CertifiedStep>,
    /// Keys that were locked during the session.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub locked_keys: Vec<CertifiedLock>,
    /// Sessions over any of the same containers that were begun before and abandoned.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub begun_before: Vec<CertifiedAbandoned>,
    /// The entry of the book that recorded it, and when.
    pub entry: u64,
    pub recorded: Stamp,
    /// The head that the entry builds on, which is named in what was signed.
    pub builds_on: Hash,
    pub line_hash: Hash,
    /// The head of the book once it was recorded: the hash of the entry.
    pub head: Hash,
    /// The same short, to be read out and typed (`book/head_code.rs`).
    pub head_code: String,
    pub cautions: [&'static str; 6],
}

/// What the residue was measured to be. The areas of the classes are from memory.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CertifiedResidue {
    pub particle_class: ParticleClass,
    /// The area that nine particles of ten keep to, mm².
    pub class_mm2: u32,
    /// The area that none may exceed, mm².
    pub tolerated_mm2: u32,
    pub largest_mm2: u32,
    /// Particles measured, and how many of them lie above the class' area. Sessions recorded
    /// before 2026-11-26 have neither.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub above: Option<u32>,
}

/// One destroyed container.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CertifiedContainer {
    pub container: ContainerId,
    /// The seal as found, which is the seal it was given.
    pub seal: SealNumber,
    /// Printed names of the two who sealed it.
    pub sealed_by: [String; 2],
    pub sealed: Stamp,
    /// Gross mass when it was sealed, if it was weighed then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gross_when_sealed: Option<Mass>,
    pub sheets: u32,
    pub notes: u32,
    /// When not every piece was counted: the drawn sample, and its risk. Absent where every piece
    /// was.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sampled: Option<String>,
    pub sheet_numbers: Vec<SheetSpan>,
    pub serials: Vec<NoteRange>,
    pub gross: Mass,
    pub tare: Mass,
    pub net: Mass,
    /// What that many sheets and notes should weigh.
    pub expected_net: Mass,
    pub weigh_check: WeighChecked,
    /// Why it was destroyed although its mass was not that of its count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub off_because: Option<String>,
}

/// What the weighing says of the count.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct WeighChecked {
    /// `agrees`, `differs` or `cannot tell`.
    pub verdict: &'static str,
    /// Net less expected, milligrams.
    pub difference: i64,
    /// Expanded uncertainty (coverage 2), milligrams; absent when it is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expanded: Option<Mass>,
    /// The fewest missing notes, and whole sheets, that it could have shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub missing_notes: Option<u64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub missing_sheets: Option<u64>,
    /// Why the uncertainty is not known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unknown: Option<String>,
    /// The scale and its calibration, as registered then.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scale: Option<Scale>,
    /// Its calibration was too old on the day.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub overdue: bool,
}

/// One person, with the part they had.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CertifiedPerson {
    pub person: PersonId,
    pub name: String,
    /// The roles they are enrolled with.
    pub roles: Vec<&'static str>,
    /// From outside production.
    pub outside: bool,
    pub part: &'static str,
    /// What their signature means.
    pub meaning: &'static str,
    /// When they signed: all sign the one entry, at its moment.
    pub signed: Stamp,
}

/// The certificate of a recorded session.
pub fn certificate(state: &State, session: &SessionRecord) -> Certificate {
    let record = &session.record;
    let opened = state.opened.as_ref();
    let text = |read: fn(&crate::book::Opened) -> String| opened.map_or_else(String::new, read);
    Certificate {
        format: FORMAT,
        works: text(|opened| opened.works.clone()),
        book: text(|opened| opened.book.to_string()),
        bench: text(|opened| opened.bench.to_string()),
        practice: opened.is_some_and(|opened| opened.practice),
        session: record.session,
        place: record.place.clone(),
        machine: record.machine.clone(),
        method: record.method.name(),
        residue: residue(record),
        started: record.started.clone(),
        ended: record.ended.clone(),
        products: products(state, session),
        containers: (record.containers.iter().zip(&session.weighed))
            .filter_map(|(found, weighed)| certified(state, found, weighed))
            .collect(),
        persons: persons(state, session),
        statement: record.statement.clone(),
        signed: session.statement.clone(),
        remarks: record.remarks.clone(),
        left_out: record.left_out.iter().map(left_out).collect(),
        presence: presence(state, session),
        steps: steps(state, session),
        locked_keys: locks(state, session),
        begun_before: begun_before(state, session),
        entry: session.seq,
        recorded: session.at.clone(),
        builds_on: session.prev,
        line_hash: session.hash,
        head: session.hash,
        head_code: HeadCode::new(session.seq + 1, &session.hash).to_string(),
        cautions: CAUTIONS,
    }
}

fn residue(record: &Destruction) -> Option<CertifiedResidue> {
    let class = record.particle_class?;
    Some(CertifiedResidue {
        particle_class: class,
        class_mm2: class.largest_mm2(),
        tolerated_mm2: match record.sample {
            Some(_) => class.tolerated_mm2(),
            None => class.largest_mm2(),
        },
        largest_mm2: record.largest_particle_mm2?,
        measured: record.sample.map(|sample| sample.measured),
        above: record.sample.map(|sample| sample.above),
    })
}

/// The book never records a session with a container that is unknown or was not sealed, so none
/// is left out.
fn certified(state: &State, found: &Found, weighed: &WeighCheck) -> Option<CertifiedContainer> {
    let container = state.cage.containers.get(&found.container)?;
    let sealing = container.sealing()?;
    let net = found.gross.less(found.tare).unwrap_or_default();
    Some(CertifiedContainer {
        container: found.container,
        seal: found.seal,
        sealed_by: [sealing.by, sealing.second].map(|person| state.name_of(person)),
        sealed: sealing.at.clone(),
        gross_when_sealed: sealing.gross,
        sheets: found.sheets,
        notes: found.notes,
        sampled: found.sample.map(|sample| sample_says(found, sample)),
        sheet_numbers: sheet_spans(container),
        serials: note_ranges(state, container),
        gross: found.gross,
        tare: found.tare,
        net,
        expected_net: weighed.expected.mass,
        weigh_check: weigh_checked(weighed, net),
        off_because: found.off_because.clone(),
    })
}

fn weigh_checked(weighed: &WeighCheck, net: Mass) -> WeighChecked {
    let expected = &weighed.expected;
    let budget = expected.budget.as_ref();
    WeighChecked {
        verdict: expected.judge(net).name(),
        difference: expected.difference(net),
        expanded: expected.expanded(),
        missing_notes: budget.ok().and_then(|budget| budget.missing_notes),
        missing_sheets: budget.ok().and_then(|budget| budget.missing_sheets),
        unknown: budget.err().map(ToString::to_string),
        scale: weighed.scale.clone(),
        overdue: weighed.overdue,
    }
}

fn persons(state: &State, session: &SessionRecord) -> Vec<CertifiedPerson> {
    let person = |person: PersonId, part, meaning| {
        let known = state.people.get(&person).or(state.retired.get(&person));
        let roles = known.map(|person| person.roles.iter().map(|role| role.name()).collect());
        CertifiedPerson {
            person,
            name: state.name_of(person),
            roles: roles.unwrap_or_default(),
            outside: known.is_some_and(|person| person.outside),
            part,
            meaning,
            signed: session.at.clone(),
        }
    };
    let witnesses = session.record.witnesses.iter();
    let lead = person(session.by, "lead", "led the session and recorded it");
    let operator = person(session.record.operator, "operator", "worked the machine");
    let witnesses =
        witnesses.map(|id| person(*id, "witness", "witnessed it and signed the statement"));
    [lead, operator].into_iter().chain(witnesses).collect()
}

/// "1 sheet and 26 notes".
pub fn sheets_and_notes(sheets: u64, notes: u64) -> String {
    let sheets = number_of(sheets, "sheet", "sheets");
    let notes = number_of(notes, "note", "notes");
    format!("{sheets} and {notes}")
}

impl Certificate {
    /// Sheets and notes of all containers.
    pub fn totals(&self) -> (u64, u64) {
        let sum = |count: fn(&CertifiedContainer) -> u32| {
            self.containers
                .iter()
                .map(|one| u64::from(count(one)))
                .sum()
        };
        (sum(|one| one.sheets), sum(|one| one.notes))
    }

    /// The same as Cullbook saved it before certificates told their products.
    pub(super) fn in_the_form_before(self, session: &SessionRecord) -> Self {
        let left_out = session.record.left_out.iter();
        let left_out = left_out.map(|one| CertifiedLeftOut {
            container: one.container,
            why: one.why.to_string(),
        });
        let presence = self.presence.into_iter().map(|one| CertifiedPresence {
            moments: String::new(),
            ..one
        });
        Self {
            format: FORMAT_BEFORE,
            products: Vec::new(),
            left_out: left_out.collect(),
            presence: presence.collect(),
            ..self
        }
    }

    /// What the QR code says: enough to find the line in a copy of the book and to see whether
    /// the copy is the same book.
    pub fn qr_text(&self) -> String {
        format!(
            "cullbook certificate v1\nbook {}\nsession {}\nentry {}\nline {}\nhead {}",
            self.book, self.session, self.entry, self.line_hash, self.head
        )
    }

    /// The certificate as a JSON file, indented, with a line end.
    ///
    /// # Errors
    /// What the writer says; no certificate is known for which it does.
    pub fn to_json(&self) -> serde_json::Result<String> {
        serde_json::to_string_pretty(self).map(|text| text + "\n")
    }
}

#[cfg(test)]
pub(super) mod tests;
#[cfg(test)]
pub(super) use tests as sample;
