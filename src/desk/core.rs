//! The desk's state and its one way forward.

use std::collections::{BTreeMap, VecDeque};
use std::rc::Rc;

use crate::book::{Author, Batch, Book, Entry, Hash, Refusal, State};
use crate::people::{Countersignature, PersonId, PublicKey, SealedKey, SecretKey, Stamp};
use crate::sheet::LotId;

use super::action::{Action, BookView, Lamp, Screen, Space, VerdictsView};
use super::bench::{Bench, Command};
use super::forms::{DestructionDraft, progress};
use super::homes::{Ahead, Homes, Reading};
use super::offline::{Held, Update};
use super::ports::{Effect, Env, StoreError};
use super::signing::Signing;
use super::told::{Notice, Saved, Startup, Tone};
use super::visit::Visit;
use super::wrong::Wrong;

/// Everything the screens show and change.
#[derive(Debug)]
pub struct Desk {
    pub startup: Startup,
    /// What was read of the lines that came so far, while the rest is on its way.
    pub(super) ahead: Ahead,
    /// What is stored, while it is read.
    pub(super) reading: Option<Reading>,
    pub space: Space,
    pub book: Book,
    pub signed_in: Option<PersonId>,
    /// The key of whoever is signed in.
    pub(super) key: Option<SecretKey>,
    /// The sealed keys kept on this machine, by their public half.
    pub keys: BTreeMap<PublicKey, SealedKey>,
    /// Signatures being gathered.
    pub signing: Option<Signing>,
    /// Wrong passphrases given, and keys locked for it.
    pub(super) wrong: Wrong,
    pub screen: Screen,
    pub verdicts: VerdictsView,
    pub book_view: BookView,
    /// When the last signature that was taken on trust was checked.
    pub checked: Option<Stamp>,
    pub lamp: Lamp,
    pub bench: Bench,
    /// What is typed for a destruction; it outlives a change of screens.
    pub destruction: DestructionDraft,
    pub saved: Saved,
    /// Where the book is kept, and how that goes.
    pub homes: Homes,
    pub notice: Option<Notice>,
    /// Whether the app opens with the server stopped.
    pub held: Held,
    /// A newer version of the app.
    pub update: Option<Update>,
    /// Books of other benches.
    pub visit: Visit,
    /// The head of the archive that was shown to be kept elsewhere.
    pub(super) archive: Option<Hash>,
    /// Lines handed to the store and not yet acknowledged.
    pub(super) pending: Option<Batch>,
    /// What happened meanwhile, taken up once the store has answered.
    pub(super) meanwhile: VecDeque<Action>,
}

impl Default for Desk {
    fn default() -> Self {
        Self {
            startup: Startup::Loading,
            ahead: Ahead::default(),
            reading: None,
            space: Space::Real,
            book: Book::default(),
            signed_in: None,
            key: None,
            keys: BTreeMap::new(),
            signing: None,
            wrong: Wrong::default(),
            screen: Screen::Bench,
            verdicts: VerdictsView::Sheets,
            book_view: BookView::Health,
            checked: None,
            lamp: Lamp::Day,
            bench: Bench::default(),
            destruction: DestructionDraft::default(),
            saved: Saved::NotYet,
            homes: Homes::default(),
            notice: None,
            held: Held::default(),
            update: None,
            visit: Visit::default(),
            archive: None,
            pending: None,
            meanwhile: VecDeque::new(),
        }
    }
}

impl Desk {
    /// Takes one action and says what the browser must do.
    ///
    /// # Errors
    /// Why the action is refused; the desk is unchanged then.
    pub fn step(&mut self, action: Action, env: &mut Env) -> Result<Vec<Effect>, Refusal> {
        if self.pending.is_some()
            && matches!(
                action,
                Action::Record(_)
                    | Action::RecordSigned
                    | Action::WrongPassphrase(_)
                    | Action::Bench(_)
                    | Action::BenchClick(_)
            )
        {
            self.meanwhile.push_back(action);
            return Ok(Vec::new());
        }
        match action {
            Action::Start(space) => Ok(self.start(space)),
            Action::Arrived(part) => {
                self.arrived(&part);
                Ok(Vec::new())
            }
            Action::Loaded { space, stored } => Ok(self.loaded(space, stored)),
            Action::ReadOn => Ok(self.read_on()),
            Action::CheckSignatures => {
                let effects = self.check_signatures();
                self.note_checked(&env.now);
                Ok(effects)
            }
            Action::KeyKept(key) => {
                self.keys.insert(key.key, *key);
                Ok(Vec::new())
            }
            Action::Adopt { space, lines } => self.adopt(space, lines),
            Action::BringIn(lines) => Ok(self.bring_in(lines)),
            Action::SecondFull(left) => Ok(self.second_full(left)),
            Action::OtherTabWrote { space, lines } => Ok(self.other_tab_wrote(space, lines)),
            Action::Followed { from, lines } => Ok(self.followed(from, lines)),
            Action::LockFreed(space) => Ok(self.lock_freed(space)),
            Action::Outdated => Ok(self.outdated()),
            Action::Measured(room) => {
                self.homes.room = room;
                Ok(Vec::new())
            }
            Action::LeavePractice => Ok(self.leave_practice()),
            Action::SignIn { person, key } => self.sign_in(person, *key, env),
            Action::WrongPassphrase(person) => self.wrong_passphrase(person, env),
            Action::SignOut => {
                (self.signed_in, self.key, self.signing) = (None, None, None);
                Ok(Vec::new())
            }
            Action::BeginSigning(entry) => self.begin_signing(*entry, env),
            Action::Countersign { person, key } => {
                if let Some(signing) = &mut self.signing {
                    signing.sign(person, &key, &self.book)?;
                }
                Ok(Vec::new())
            }
            Action::DropSigning => {
                self.signing = None;
                Ok(Vec::new())
            }
            Action::RecordSigned => self.record_signed(env),
            Action::Go(screen) => Ok(self.go(screen)),
            Action::GoVerdicts(view) => Ok(self.go_verdicts(view)),
            Action::GoBook(view) => Ok(self.go_book(view)),
            Action::SetLamp(lamp) => {
                self.lamp = lamp;
                Ok(vec![Effect::SetLamp(lamp), Effect::FocusSheet])
            }
            Action::ChooseLot(lot) => self.choose_lot(lot),
            Action::ChooseSample(sample) => {
                self.bench.choose_sample(sample, self.book.state())?;
                self.screen = Screen::Bench;
                let mut effects = vec![Effect::FocusSheet];
                effects.extend(self.keep_draft());
                Ok(effects)
            }
            Action::Record(entries) => self.record(entries, Vec::new(), env),
            Action::Stored(result) => Ok(self.stored(result, env)),
            Action::Bench(command) => self.bench_command(command, env),
            Action::BenchClick(command) => self.bench_clicked(command, env),
            Action::TypeDestruction(draft) => {
                self.destruction = *draft;
                Ok(self.keep_session().into_iter().collect())
            }
            Action::Save(download) => Ok(vec![Effect::Save(download)]),
            Action::Print => Ok(vec![Effect::Print]),
            Action::Dismiss => {
                self.notice = None;
                Ok(Vec::new())
            }
            Action::Problem(text) => {
                self.problem(text);
                Ok(Vec::new())
            }
            Action::BringGuest { file, read } => {
                self.bring_guest(file, *read);
                Ok(Vec::new())
            }
            Action::TakeGuestOut(name) => {
                self.visit.guests.take_out(&name);
                Ok(Vec::new())
            }
            Action::HoldApp => Ok(vec![Effect::HoldApp]),
            Action::AppHeld(held) => {
                self.held = held;
                Ok(Vec::new())
            }
            Action::UpdateReady => {
                self.update = Some(Update::Ready);
                Ok(Vec::new())
            }
            Action::ArchiveSeen(head) => Ok(self.archive_seen(head)),
            Action::DropArchived => self.drop_archived(),
            Action::UseUpdate => Ok(self.use_update()),
        }
    }

    /// The folded state of the book on the desk.
    pub fn state(&self) -> &State {
        self.book.state()
    }

    /// Lines read of those stored, while they are read.
    pub fn lines_read(&self) -> Option<(u64, u64)> {
        let ahead = || self.ahead.progress();
        self.reading.as_ref().map_or_else(ahead, Reading::progress)
    }

    /// Whether lines are on their way to the store.
    pub fn is_saving(&self) -> bool {
        self.pending.is_some()
    }

    fn choose_lot(&mut self, lot: LotId) -> Result<Vec<Effect>, Refusal> {
        self.state().lot(lot)?;
        self.bench.choose_lot(lot, self.book.state());
        let mut effects = vec![Effect::FocusSheet];
        effects.extend(self.keep_draft());
        Ok(effects)
    }

    pub(super) fn record(
        &mut self,
        mut entries: Vec<Entry>,
        also: Vec<Countersignature>,
        env: &mut Env,
    ) -> Result<Vec<Effect>, Refusal> {
        self.homes.may_write()?;
        self.homes.enter_healings(&mut entries);
        let by = self.signed_in.ok_or(Refusal::NobodySignedIn)?;
        let mut author = Author {
            by,
            key: self.key.as_ref().ok_or(Refusal::NobodySignedIn)?,
            also,
            at: env.now.clone(),
            new_id: env.new_id,
        };
        let batch = self.book.prepare(&mut author, entries)?;
        let lines = batch
            .lines()
            .iter()
            .map(|line| Rc::clone(&line.text))
            .collect();
        let append = Effect::Append {
            space: self.space,
            expected_seq: batch.first_seq(),
            lines,
        };
        self.pending = Some(batch);
        self.saved = Saved::Saving;
        Ok(vec![append])
    }

    /// An entry counts only once the store has it.
    fn stored(&mut self, result: Result<(), StoreError>, env: &mut Env) -> Vec<Effect> {
        // Lines that are being read may lack those just written: all is read again.
        if self.reading.take().is_some() {
            let recorded = self.pending.take().is_some();
            match result {
                Ok(()) if recorded => self.saved = Saved::At(env.now.clone()),
                Ok(()) => {}
                Err(why) => drop(self.not_stored(why)),
            }
            return vec![Effect::Load(self.space)];
        }
        let batch = match (self.pending.take(), result) {
            (Some(batch), Ok(())) => batch,
            (None, Ok(())) => return self.healed(),
            (None, Err(why)) if self.homes.healing => return self.not_healed(why),
            (_, Err(why)) => return self.not_stored(why),
        };
        let first = batch.first_seq();
        let of_batch = |signing: &mut Signing| {
            let mut lines = batch.lines().iter();
            lines.any(|line| line.entry == signing.entry)
        };
        drop(self.signing.take_if(of_batch));
        let before = progress(self.book.state());
        if let Err(why) = self.book.append(batch) {
            self.problem(format!("{why} Reload the page."));
            return Vec::new();
        }
        self.destruction.after_recorded(before, self.book.state());
        self.saved = Saved::At(env.now.clone());
        self.notice = None;
        self.bench.after_recorded(self.book.state());
        self.lay_out_anew(env);
        let mut effects = self.keep_second(first);
        effects.extend(self.keep_draft());
        effects.extend(self.keep_session());
        while self.pending.is_none()
            && let Some(action) = self.meanwhile.pop_front()
        {
            match self.step(action, env) {
                Ok(more) => effects.extend(more),
                Err(why) => self.problem(why.to_string()),
            }
        }
        effects
    }

    /// Nothing was recorded and nothing typed is lost: the sheet stays as it was on the screen.
    fn not_stored(&mut self, why: StoreError) -> Vec<Effect> {
        self.meanwhile.clear();
        self.bench.after_failure();
        self.problem(format!("Not recorded. {why}"));
        self.saved = Saved::Failed(why);
        Vec::new()
    }

    pub(super) fn problem(&mut self, text: String) {
        self.notice = Some(Notice {
            tone: Tone::Problem,
            text,
        });
    }

    fn bench_command(&mut self, command: Command, env: &mut Env) -> Result<Vec<Effect>, Refusal> {
        let outcome = self.bench.command(command, self.book.state())?;
        let mut effects = Vec::new();
        if let Some(entries) = outcome {
            match self.record(entries, Vec::new(), env) {
                Ok(more) => effects.extend(more),
                Err(why) => {
                    self.bench.after_failure();
                    return Err(why);
                }
            }
        }
        effects.extend(self.keep_draft());
        Ok(effects)
    }

    /// What a click on the bench does, with the keyboard given back to the sheet: the next Enter
    /// must record the sheet, not press the same button again.
    fn bench_clicked(&mut self, command: Command, env: &mut Env) -> Result<Vec<Effect>, Refusal> {
        let mut effects = self.bench_command(command, env)?;
        effects.push(Effect::FocusSheet);
        Ok(effects)
    }
}
