//! The bench: one sheet at a time, its tags while they are still free to change, and the keys.

mod command;
mod draft;
mod grid;
mod keymap;
mod range;
mod running;

use serde::{Deserialize, Serialize};

use crate::book::{
    Acceptance, AcceptanceLooked, Entry, Lot, Press, Refusal, SheetsExamined, State,
};
use crate::inspect::{ClassCode, Ruling, Tag, WrittenTag};
use crate::sheet::{AcceptanceId, Layout, LotId, SheetNo, Side};

pub use command::{Command, Edge, Way};
pub use draft::Draft;
pub use grid::{Cell, Selection};
pub use keymap::{KEYS, Key, command_for};
pub use range::{Typed, TypedFor};
pub use running::{LOOK_BACK, Running, running};

/// The working state of the bench. Nothing here is recorded yet.
#[derive(Clone, Debug, Default)]
pub struct Bench {
    pub lot: Option<LotId>,
    /// Set while sheets of an acceptance sample are looked at, not examined.
    pub sample: Option<AcceptanceId>,
    pub sheet: SheetNo,
    pub side: Side,
    pub selection: Selection,
    pub draft: Draft,
    /// The first letter of a class code.
    pub letter: Option<char>,
    /// Figures typed so far: a sheet to go to, or the end of a range.
    pub typed: Option<Typed>,
    /// The class tagged last, for tagging it again.
    pub last_class: Option<ClassCode>,
    /// The tags of the sheet recorded last, for repeating them.
    pub last_tags: Vec<Tag>,
    /// What the bench has to say: an unknown code, a finished range.
    pub hint: Option<String>,
    /// The press as seen through the examined sheets of the lot.
    pub press: Press,
    /// Set while the sheet is on its way to the store.
    recording: Option<SheetNo>,
    /// What to say once a range is recorded.
    range_done: Option<String>,
}

/// The unfinished sheet as kept in local storage.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    lot: LotId,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sample: Option<AcceptanceId>,
    sheet: SheetNo,
    tags: Vec<WrittenTag>,
    corrects: Option<u64>,
    reason: String,
}

impl Bench {
    /// Turns to a lot at its first sheet that is not examined.
    pub fn choose_lot(&mut self, lot: LotId, state: &State) {
        *self = Bench {
            lot: Some(lot),
            ..Bench::default()
        };
        let first = SheetNo::from_index(0);
        let open = state.lots.get(&lot).and_then(|lot| lot.next_open(first));
        self.turn_to(open.unwrap_or(first), state);
        self.follow_press(state);
    }

    /// Turns to an acceptance sample at its first sheet still to be looked at.
    ///
    /// # Errors
    /// [`Refusal::UnknownAcceptance`].
    pub fn choose_sample(&mut self, sample: AcceptanceId, state: &State) -> Result<(), Refusal> {
        let acceptance = state.acceptance(sample)?;
        self.choose_lot(acceptance.lot, state);
        self.sample = Some(sample);
        let first = acceptance.next_open(SheetNo::from_index(0));
        let first = first.or_else(|| acceptance.sheets.keys().next().copied());
        self.turn_to(first.unwrap_or(self.sheet), state);
        Ok(())
    }

    /// The acceptance sample that is being looked at.
    pub fn acceptance<'a>(&self, state: &'a State) -> Option<&'a Acceptance> {
        state.acceptances.get(&self.sample?)
    }

    /// The next sheet that wants work, at or after `from`, then from the start.
    pub fn next_open(&self, lot: &Lot, from: SheetNo, state: &State) -> Option<SheetNo> {
        match self.acceptance(state) {
            Some(acceptance) => acceptance.next_open(from),
            None => lot.next_open(from),
        }
    }

    /// The entry that last recorded this sheet, as examined or as looked at.
    fn recorded_in(&self, lot: &Lot, state: &State) -> Option<u64> {
        match self.acceptance(state) {
            Some(acceptance) => acceptance.look(self.sheet).map(|look| look.seq),
            None => lot.sheet(self.sheet)?.exam.as_ref().map(|exam| exam.seq),
        }
    }

    /// The sheet on the bench may have been overruled meanwhile, with its tags as they were: what
    /// is changed now corrects that.
    fn follow_last_word(&mut self, state: &State) {
        let recorded = self.lot(state).and_then(|lot| self.recorded_in(lot, state));
        if self.draft.corrects.is_some() && recorded.is_some() {
            self.draft.corrects = recorded;
        }
    }

    fn follow_press(&mut self, state: &State) {
        if let Some(lot) = self.lot.and_then(|lot| state.lots.get(&lot)) {
            self.press.follow(lot);
        }
    }

    /// The lot on the bench.
    pub fn lot<'a>(&self, state: &'a State) -> Option<&'a Lot> {
        state.lots.get(&self.lot?)
    }

    /// Carries out a command; gives back the entries to record, if it records.
    ///
    /// # Errors
    /// Why it cannot be done; the draft is as it was.
    pub fn command(
        &mut self,
        command: Command,
        state: &State,
    ) -> Result<Option<Vec<Entry>>, Refusal> {
        let Some(lot) = self.lot(state) else {
            return Ok(None);
        };
        self.hint = None;
        if lot.closed.is_some() && command.changes_the_sheet() && self.typed.is_none() {
            self.hint = Some(format!(
                "Lot {} is closed. Its sheets can be looked at.",
                lot.id
            ));
            return Ok(None);
        }
        command::carry_out(self, command, lot, state)
    }

    /// Puts a sheet on the bench, with its tags: those recorded, else those of the machine.
    pub(super) fn turn_to(&mut self, sheet: SheetNo, state: &State) {
        let Some(lot) = self.lot(state) else { return };
        let Some(known) = lot.sheet(sheet) else {
            return;
        };
        self.draft = match (self.acceptance(state), &known.exam) {
            // A second look starts from nothing: what others saw must not lead the eye.
            (Some(acceptance), _) => acceptance
                .look(sheet)
                .map_or_else(Draft::default, |look| Draft::recorded(&look.tags, look.seq)),
            (None, Some(exam)) => Draft::recorded(&exam.tags, exam.seq),
            (None, None) => Draft::new(known.machine.clone()),
        };
        self.sheet = sheet;
        self.look_at(Side::Front, lot);
        (self.letter, self.typed) = (None, None);
    }

    /// Turns a side up. The selection stays with its notes, whose backs lie elsewhere on the screen.
    fn look_at(&mut self, side: Side, lot: &Lot) {
        let layout = &lot.product.layout;
        self.selection = self.selection.turned(layout, self.side, side);
        self.side = side;
    }

    /// What follows for the sheet as it is tagged now. A recorded sheet that was not changed has
    /// the ruling in force; a changed one is ruled anew.
    pub fn ruling(&self, lot: &Lot) -> Ruling {
        let known = lot
            .sheet(self.sheet)
            .and_then(|sheet| sheet.exam.as_deref());
        match known {
            Some(exam) if !self.draft.changed() && self.sample.is_none() => exam.ruling.clone(),
            _ => lot.rule(self.draft.tags()),
        }
    }

    /// Called when the entries of the bench are durable.
    pub(super) fn after_recorded(&mut self, state: &State) {
        self.follow_press(state);
        let Some(sheet) = self.recording.take() else {
            self.follow_last_word(state);
            return;
        };
        let done = self.range_done.take();
        if done.is_none() {
            self.last_tags = self.draft.tags().to_vec();
        }
        let Some(lot) = self.lot(state) else { return };
        let (next, all_done) = (self.next_open(lot, sheet, state), self.all_done(lot));
        match next {
            Some(next) => self.turn_to(next, state),
            None => {
                self.turn_to(sheet, state);
                self.hint = Some(all_done);
            }
        }
        self.hint = done.or(self.hint.take());
    }

    /// Called when nothing could be recorded: the sheet stays as it is.
    pub(super) fn after_failure(&mut self) {
        (self.recording, self.range_done) = (None, None);
    }

    /// The unfinished sheet as text to keep; nothing when there is nothing unfinished.
    pub fn kept(&self, state: &State) -> Option<String> {
        let lot = self.lot(state)?;
        if !self.draft.changed() {
            return None;
        }
        let kept = Kept {
            lot: lot.id,
            sample: self.sample,
            sheet: self.sheet,
            tags: written(self.draft.tags(), &lot.product.layout),
            corrects: self.draft.corrects,
            reason: self.draft.reason.clone(),
        };
        serde_json::to_string(&kept).ok()
    }

    /// Takes up an unfinished sheet that was kept. What no longer fits the book is left.
    pub fn take_up(&mut self, text: &str, state: &State) {
        let Ok(kept) = serde_json::from_str::<Kept>(text) else {
            return;
        };
        let Some(lot) = state.lots.get(&kept.lot) else {
            return;
        };
        let resolved = |tag: &WrittenTag| tag.resolve(&lot.product.layout, &lot.catalogue).ok();
        let tags: Option<Vec<Tag>> = kept.tags.iter().map(resolved).collect();
        let known = kept
            .sample
            .is_none_or(|id| state.acceptances.contains_key(&id));
        let mut there = Bench {
            lot: Some(lot.id),
            sample: kept.sample,
            sheet: kept.sheet,
            ..Bench::default()
        };
        let recorded = there.recorded_in(lot, state);
        if let (Some(tags), true) = (tags, known && recorded == kept.corrects) {
            there.follow_press(state);
            there.turn_to(kept.sheet, state);
            there.draft.replace(tags);
            *self = there;
            self.draft.reason = kept.reason;
            self.hint = Some(format!(
                "Sheet {} was unfinished; its tags are back.",
                kept.sheet
            ));
        }
    }

    fn all_done(&self, lot: &Lot) -> String {
        match self.sample {
            Some(sample) => {
                format!(
                    "Every sheet of acceptance sample {sample} is looked at. Verdicts has the result."
                )
            }
            None => format!("Every sheet of lot {} is examined.", lot.id),
        }
    }

    /// The entry that records a second look at the sheet.
    fn looked(&mut self, lot: &Lot, acceptance: AcceptanceId) -> Vec<Entry> {
        self.recording = Some(self.sheet);
        let corrects = self.draft.corrects;
        vec![Entry::AcceptanceLooked(AcceptanceLooked {
            acceptance,
            sheet: self.sheet,
            tags: written(self.draft.tags(), &lot.product.layout),
            corrects,
            reason: corrects.map(|_| self.draft.reason.trim().to_owned()),
        })]
    }

    /// The entry that records the sheet as tagged, for sheets up to `to`.
    fn examined(&mut self, lot: &Lot, to: SheetNo) -> Vec<Entry> {
        self.recording = Some(to);
        let correcting = self.draft.corrects;
        let reason = correcting.map(|_| self.draft.reason.trim().to_owned());
        vec![Entry::SheetsExamined(SheetsExamined {
            lot: lot.id,
            from: self.sheet,
            to,
            tags: written(self.draft.tags(), &lot.product.layout),
            machine_kept: to != self.sheet,
            corrects: correcting,
            reason,
        })]
    }
}

fn written(tags: &[Tag], layout: &Layout) -> Vec<WrittenTag> {
    tags.iter().map(|tag| tag.written(layout)).collect()
}
