//! Seeded simulation of everything that can go wrong with the two homes, over the desk itself:
//! crashes between any two writes, writes of local storage that were lost or kept in any order,
//! full storages, a home that was wiped, rolled back, altered or gone on with elsewhere.
//!
//! The law: what was acknowledged is never lost while the first home has it or the second knows of
//! it, and never silently different. Only harm to the data itself may stop work, never a crash.
//!
//! `CULLBOOK_FAULT_SEEDS` is how many seeds are tried (2,000), `CULLBOOK_FAULT_SEED` names one.

use std::collections::BTreeMap;
use std::env;
use std::rc::Rc;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};

use cullbook::book::{Author, Book, BookOpened, ContainerOpened, Entry, Home};
use cullbook::desk::homes::{Keep, Reach, Second, Tab};
use cullbook::desk::practice::practice_key;
use cullbook::desk::{Action, Desk, Effect, Env, Space, Startup, StoreError, Stored};
use cullbook::inspect::Rules;
use cullbook::people::{Person, PersonName, Role, SecretKey};
use uuid::Uuid;

use crate::machine::stamp;

const SEEDS: u64 = 2_000;
const ACTS: u32 = 8;
/// A UUID of version 7, to count on from.
const ID: u128 = 0x7000_8000_0000_0000_0000;

/// The machine lost its power.
struct Crash;

/// What came to pass in all seeds together; a simulation that never gets there proves little.
type Tally = BTreeMap<&'static str, u32>;

/// SplitMix64 (Steele, Lea, Flood 2014): every seed starts well.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.roll() % limit as u64) as usize
    }

    fn one_in(&mut self, many: usize) -> bool {
        self.below(many) == 0
    }
}

type Pocket = BTreeMap<String, String>;

struct World {
    dice: Dice,
    desk: Desk,
    ids: u128,
    first: Vec<Rc<str>>,
    second: Pocket,
    /// The second home as it is surely on disk, and what was written since.
    synced: Pocket,
    unsynced: Vec<(String, Option<String>)>,
    /// An older state of the second home.
    older: Pocket,
    /// What the desk has said is recorded.
    acknowledged: Vec<Rc<str>>,
    /// Every batch that was on its way, with where it was to go.
    issued: Vec<(u64, Vec<Rc<str>>)>,
    /// Writes until the power goes.
    fuse: Option<usize>,
    first_full: bool,
    /// UTF-16 units the second home takes.
    second_room: usize,
    /// The first home lost or altered lines since the desk last stood.
    first_harmed: bool,
    /// What was altered in the second home. It may come back when a kill undoes the healing.
    altered: Vec<(String, String)>,
    containers: u32,
    tally: Tally,
}

impl World {
    fn new(seed: u64) -> Self {
        let mut world = Self {
            dice: Dice(seed),
            desk: Desk::default(),
            ids: 0,
            first: Vec::new(),
            second: Pocket::new(),
            synced: Pocket::new(),
            unsynced: Vec::new(),
            older: Pocket::new(),
            acknowledged: Vec::new(),
            issued: Vec::new(),
            fuse: None,
            first_full: false,
            second_room: usize::MAX,
            first_harmed: false,
            altered: Vec::new(),
            containers: 0,
            tally: Tally::new(),
        };
        let lines = first_lines();
        world.adopt(lines);
        world
    }

    fn count(&mut self, what: &'static str) {
        *self.tally.entry(what).or_default() += 1;
    }

    /// Brings a whole book into empty homes.
    fn adopt(&mut self, lines: Vec<Rc<str>>) {
        (self.first, self.second) = (Vec::new(), Pocket::new());
        self.sync();
        self.second_room = usize::MAX;
        self.first_harmed = false;
        self.altered.clear();
        self.acknowledged = lines.clone();
        self.desk = Desk::default();
        let space = Space::Real;
        let done = self.act(Action::Start(space));
        assert!(done.is_ok() && self.desk.startup == Startup::NoBook);
        let done = self.act(Action::Adopt { space, lines });
        assert!(done.is_ok() && self.desk.startup == Startup::Ready);
        assert!(self.desk.homes.healed.is_empty(), "nothing was lost");
        self.sign_in();
    }

    fn sign_in(&mut self) {
        let person = "maud".parse().expect("a code");
        let key = Box::new(practice_key(person));
        let done = self.act(Action::SignIn { person, key });
        assert!(done.is_ok());
    }

    // --- the machine ---------------------------------------------------------------------------

    fn act(&mut self, action: Action) -> Result<(), Crash> {
        let recorded = matches!(action, Action::Stored(Ok(())));
        let ids = &mut self.ids;
        let mut new_id = || {
            *ids += 1;
            Uuid::from_u128(ID + *ids)
        };
        let mut env = Env {
            now: stamp(0),
            new_id: &mut new_id,
        };
        let effects = self.desk.step(action, &mut env);
        let effects = effects.unwrap_or_else(|why| panic!("refused: {why}"));
        if recorded && self.desk.startup == Startup::Ready {
            self.acknowledged = self.desk.book.texts().to_vec();
        }
        for effect in effects {
            if let Some(answer) = self.carry_out(effect)? {
                self.act(answer)?;
            }
        }
        Ok(())
    }

    fn carry_out(&mut self, effect: Effect) -> Result<Option<Action>, Crash> {
        Ok(match effect {
            Effect::Load(space) => {
                let stored = self.stored();
                Some(Action::Loaded { space, stored })
            }
            Effect::Append {
                expected_seq,
                lines,
                ..
            } => {
                self.issued.push((expected_seq, lines.clone()));
                self.tick()?;
                let result = self.append(expected_seq, lines);
                self.tick()?;
                Some(Action::Stored(result))
            }
            Effect::Rewrite { lines, .. } => {
                self.tick()?;
                self.first = lines;
                self.tick()?;
                Some(Action::Stored(Ok(())))
            }
            Effect::KeepSecond { keeps, .. } => {
                for (at, keep) in keeps.iter().enumerate() {
                    self.tick()?;
                    if !self.keep(keep) {
                        return Ok(Some(Action::SecondFull(keeps[at..].to_vec())));
                    }
                }
                None
            }
            Effect::ReadSoon => Some(Action::ReadOn),
            Effect::CheckSoon => Some(Action::CheckSignatures),
            _ => None,
        })
    }

    fn tick(&mut self) -> Result<(), Crash> {
        match &mut self.fuse {
            None => Ok(()),
            Some(0) => Err(Crash),
            Some(left) => {
                *left -= 1;
                Ok(())
            }
        }
    }

    fn append(&mut self, expected: u64, lines: Vec<Rc<str>>) -> Result<(), StoreError> {
        if self.first_full {
            return Err(StoreError::Quota);
        }
        let found = self.first.len() as u64;
        if found != expected {
            return Err(StoreError::Conflict { expected, found });
        }
        self.first.extend(lines);
        Ok(())
    }

    fn keep(&mut self, keep: &Keep) -> bool {
        let (name, value) = (keep.name(), keep.value());
        match &value {
            Some(text) => {
                let others = self.second.iter().filter(|(other, _)| **other != name);
                let used: usize = others.map(|(name, value)| name.len() + value.len()).sum();
                if used + name.len() + text.len() > self.second_room {
                    return false;
                }
                self.second.insert(name.clone(), text.clone());
            }
            None => drop(self.second.remove(&name)),
        }
        self.unsynced.push((name, value));
        true
    }

    fn stored(&self) -> Stored {
        Stored {
            lines: Ok(self.first.iter().map(ToString::to_string).collect()),
            second: Some(self.second_home()),
            keys: Vec::new(),
            tab: Tab::Writes,
        }
    }

    fn second_home(&self) -> Second {
        Second::read(self.second.clone())
    }

    // --- mishaps -------------------------------------------------------------------------------

    fn sync(&mut self) {
        self.unsynced.clear();
        self.older = std::mem::replace(&mut self.synced, self.second.clone());
    }

    /// The power goes: of what was not yet on disk some is there, in any order, or nothing.
    fn kill(&mut self) {
        let (mut kept, writes) = (self.synced.clone(), std::mem::take(&mut self.unsynced));
        let until = self.dice.below(writes.len() + 1);
        let torn = self.dice.below(3);
        for (at, (name, value)) in writes.into_iter().enumerate() {
            let survives = match torn {
                0 => false,
                1 => at < until,
                _ => self.dice.one_in(2),
            };
            match value {
                _ if !survives => {}
                Some(value) => drop(kept.insert(name, value)),
                None => drop(kept.remove(&name)),
            }
        }
        self.second = kept;
        self.sync();
        self.fuse = None;
        self.count("killed");
    }

    /// Opens the page anew until it stays open, and judges what it shows.
    fn reopen(&mut self) {
        if self.dice.one_in(4) {
            self.fuse = Some(self.dice.below(6));
        }
        loop {
            self.desk = Desk::default();
            let (known, had) = (self.second_home().lines_known(), self.first.len());
            match self.act(Action::Start(Space::Real)) {
                Ok(()) => {
                    self.fuse = None;
                    return self.judge(known, had);
                }
                Err(Crash) => {
                    self.kill();
                    self.count("killed while healing");
                }
            }
        }
    }

    // --- the law -------------------------------------------------------------------------------

    /// `known` is how far the second home reached when the page was opened, `had` the first.
    fn judge(&mut self, known: u64, had: usize) {
        match &self.desk.startup {
            Startup::Ready => self.judge_ready(known, had),
            Startup::Broken { .. } => self.judge_broken(),
            Startup::NoBook => {
                assert!(had == 0 && known == 0, "a book was there");
                self.count("forgotten by both");
                self.adopt(self.acknowledged.clone());
            }
            Startup::Loading => panic!("the start never ends"),
        }
        self.first_harmed = false;
        let homes = [&self.second, &self.synced];
        self.altered
            .retain(|(name, value)| homes.iter().any(|home| home.get(name) == Some(value)));
    }

    fn judge_ready(&mut self, known: u64, had: usize) {
        let texts = self.desk.book.texts().to_vec();
        for (seq, (ours, theirs)) in self.acknowledged.iter().zip(&texts).enumerate() {
            assert!(ours == theirs, "line {seq} is silently another");
        }
        for (seq, extra) in texts.iter().enumerate().skip(self.acknowledged.len()) {
            let mut on_the_way = self.issued.iter();
            let issued = on_the_way.any(|(from, lines)| {
                let at = seq.checked_sub(*from as usize);
                at.and_then(|at| lines.get(at)) == Some(extra)
            });
            assert!(issued, "line {seq} came from nowhere");
        }
        if texts.len() < self.acknowledged.len() {
            assert!(self.first_harmed, "acknowledged lines are lost");
            let seen = known as usize > texts.len();
            assert!(!seen, "the second home knew of {known} lines");
            self.count("lost without a trace: only a head kept elsewhere tells");
        }
        if had < texts.len() {
            let mut healed = self.desk.homes.healed.iter();
            assert!(healed.any(|one| one.home == Home::First && one.from == had as u64));
            assert!(self.desk.notice.is_some(), "a healing is said");
            self.count(if had == 0 { "restored" } else { "healed" });
        }
        assert!(self.first == texts, "both homes agree again");
        let second = self.second_home();
        for (seq, text) in &second.lines {
            assert!(
                **text == *texts[*seq as usize],
                "line {seq} of the second home"
            );
        }
        if self.second_room == usize::MAX {
            assert_eq!(second.lines.len(), texts.len());
            let head = self.desk.book.head();
            let lines = texts.len() as u64;
            assert_eq!(second.reach, Some(Reach { lines, head }));
        }
        self.acknowledged = texts;
        self.sign_in();
    }

    /// Work stopped: only harm to the data may do that. A saved copy mends it, unless the homes
    /// contradict the copy itself: then people decide, and begin with the copy alone.
    fn judge_broken(&mut self) {
        let harmed = self.first_harmed || !self.altered.is_empty();
        assert!(harmed, "a false alarm: {}", self.why());
        self.count("alarm");
        let (first, second) = (self.first.clone(), self.second.clone());
        let copy = self.acknowledged.clone();
        let done = self.act(Action::BringIn(copy.clone()));
        assert!(done.is_ok());
        if self.desk.startup == Startup::Ready {
            assert!(self.desk.book.texts() == copy, "the copy is the book");
            self.count("mended from a saved copy");
            return self.sign_in();
        }
        let untouched = first == self.first && second == self.second;
        assert!(
            untouched,
            "what cannot be mended is left as it is: {}",
            self.why()
        );
        self.count("left for people to decide");
        self.adopt(copy);
    }

    fn why(&self) -> String {
        let said = self.desk.notice.as_ref().map(|said| &said.text);
        match &self.desk.startup {
            Startup::Broken { why, .. } => format!("{why} {said:?}"),
            other => format!("{other:?} {said:?}"),
        }
    }

    // --- acts ----------------------------------------------------------------------------------

    fn entry(&mut self) -> Entry {
        match self.dice.below(3) {
            0 => {
                self.containers += 1;
                let container = format!("C{}", self.containers);
                let container = container.parse().expect("an id");
                Entry::ContainerOpened(ContainerOpened {
                    container,
                    place: None,
                })
            }
            _ => Entry::RulesSet(Rules {
                cut_over_hour: self.dice.below(24) as u8,
                ..Rules::default()
            }),
        }
    }

    fn record(&mut self) -> Result<(), Crash> {
        let many = 1 + usize::from(self.dice.one_in(4));
        let entries: Vec<Entry> = (0..many).map(|_| self.entry()).collect();
        let (before, owed) = (self.desk.book.len(), self.desk.homes.to_enter.len());
        let entered = self.desk.state().healings.len();
        self.act(Action::Record(entries))?;
        if self.desk.book.len() > before {
            let entered = self.desk.state().healings.len() - entered;
            assert_eq!(
                entered, owed,
                "every healing is entered with the next entry"
            );
            assert!(self.desk.homes.to_enter.is_empty());
            assert!(self.second_home().healed.is_empty(), "the note is gone");
        }
        Ok(())
    }

    fn one_act(&mut self) {
        match self.dice.below(20) {
            0..6 => assert!(self.record().is_ok(), "no fuse burns"),
            6..10 => {
                self.fuse = Some(self.dice.below(7));
                if self.record().is_err() {
                    self.kill();
                    return self.reopen();
                }
                self.fuse = None;
            }
            10 => self.full_first(),
            11 => self.second_room = 2_000 + self.dice.below(6_000),
            12 => self.sync(),
            13 => {
                self.sync();
                self.reopen();
            }
            14 => {
                self.kill();
                self.reopen();
            }
            _ => {
                match self.dice.one_in(2) {
                    true => self.kill(),
                    false => self.sync(),
                }
                self.harm();
                self.reopen();
            }
        }
    }

    /// A full first home records nothing and says why.
    fn full_first(&mut self) {
        let before = self.first.clone();
        self.first_full = true;
        let entry = self.entry();
        assert!(self.act(Action::Record(vec![entry])).is_ok());
        assert!(self.first == before && self.acknowledged == before);
        assert!(
            self.desk
                .notice
                .take()
                .is_some_and(|said| said.text.contains("storage is full"))
        );
        self.first_full = false;
        self.issued.pop();
    }

    fn harm(&mut self) {
        match self.dice.below(9) {
            0 | 1 => {
                self.first.clear();
                self.first_harmed = true;
            }
            2 => self.second.clear(),
            3 => {
                self.first.clear();
                self.second.clear();
                self.first_harmed = true;
            }
            4 => {
                let keep = 1 + self.dice.below(self.first.len());
                self.first_harmed = keep < self.first.len();
                self.first.truncate(keep);
            }
            5 => self.second = self.older.clone(),
            6 => self.fork(),
            7 => {
                let at = self.dice.below(self.first.len());
                self.first[at] = flipped(&mut self.dice, &self.first[at]).into();
                self.first_harmed = true;
            }
            _ => {
                let names: Vec<_> = self.second.keys().cloned().collect();
                if let Some(name) = names.get(self.dice.below(names.len().max(1))) {
                    let value = flipped(&mut self.dice, &self.second[name]);
                    self.second.insert(name.clone(), value.clone());
                    self.altered.push((name.clone(), value));
                }
            }
        }
        self.synced = self.second.clone();
    }

    /// Someone went on from an older state of the first home, with the right key.
    fn fork(&mut self) {
        let from = 1 + self.dice.below(self.first.len());
        if from == self.first.len() {
            return;
        }
        let second = self.second_home();
        let reach = second.reach.map_or(0, |reach| reach.lines as usize);
        // A line that was itself altered, and whose healing a kill undid, tells of nothing.
        let kept = second.lines.get(&(from as u64));
        let seen = kept.is_some_and(|line| **line == *self.first[from]) || reach > from;
        if !seen {
            return;
        }
        let mut branch = Book::read(self.first[..from].iter().map(AsRef::as_ref)).expect("a book");
        let key = practice_key("maud".parse().expect("a code"));
        let mut new_id = || Uuid::from_u128(ID + 0xffff);
        let mut author = author(&key, 1, &mut new_id);
        let batch = branch
            .prepare(&mut author, vec![self.entry()])
            .expect("an entry");
        branch.append(batch).expect("it follows");
        self.first = branch.texts().to_vec();
        self.first_harmed = true;
        self.desk = Desk::default();
        assert!(self.act(Action::Start(Space::Real)).is_ok());
        assert!(
            matches!(self.desk.startup, Startup::Broken { .. }),
            "a fork goes unseen"
        );
        self.count("fork seen");
    }
}

/// One bit of an ASCII text the other way round.
fn flipped(dice: &mut Dice, text: &str) -> String {
    let mut bytes = text.as_bytes().to_vec();
    let at = dice.below(bytes.len());
    bytes[at] ^= 1 << dice.below(7);
    String::from_utf8(bytes).expect("ASCII stays ASCII")
}

/// The shortest book there is: cheap to read again and again.
fn first_lines() -> Vec<Rc<str>> {
    let key = practice_key("maud".parse().expect("a code"));
    let opening = BookOpened {
        works: "Brackwater works".to_owned(),
        book: Uuid::from_u128(ID + 0xb00c),
        practice: false,
        supervisor: Person {
            person: "maud".parse().expect("a code"),
            name: PersonName::try_from("Maud Arkell".to_owned()).expect("a name"),
            roles: [Role::Supervisor].into(),
            outside: false,
            key: key.public(),
        },
    };
    let mut new_id = || Uuid::from_u128(ID + 0xb00c);
    let mut author = author(&key, 0, &mut new_id);
    let batch = Book::open("B3".parse().expect("an id"), &mut author, opening);
    let batch = batch.expect("a book");
    let texts = batch.lines().iter().map(|line| Rc::clone(&line.text));
    texts.collect()
}

fn author<'a>(key: &'a SecretKey, seconds: i64, new_id: &'a mut dyn FnMut() -> Uuid) -> Author<'a> {
    Author {
        by: "maud".parse().expect("a code"),
        key,
        also: Vec::new(),
        at: stamp(seconds),
        new_id,
    }
}

/// Says which seed failed.
struct Seed(u64);

impl Drop for Seed {
    fn drop(&mut self) {
        if std::thread::panicking() {
            eprintln!(
                "fault simulation: seed {} failed (CULLBOOK_FAULT_SEED={})",
                self.0, self.0
            );
        }
    }
}

fn live(seed: u64) -> Tally {
    let _named = Seed(seed);
    let mut world = World::new(seed);
    for _ in 0..ACTS {
        world.one_act();
    }
    world.kill();
    world.reopen();
    world.tally
}

fn number(name: &str) -> Option<u64> {
    let text = env::var(name).ok()?;
    Some(
        text.parse()
            .unwrap_or_else(|_| panic!("{name} is \"{text}\", not a number")),
    )
}

#[test]
fn nothing_acknowledged_is_ever_lost_or_silently_different() {
    if let Some(seed) = number("CULLBOOK_FAULT_SEED") {
        println!("{:?}", live(seed));
        return;
    }
    let seeds = number("CULLBOOK_FAULT_SEEDS").unwrap_or(SEEDS);
    let (next, all) = (AtomicU64::new(0), Mutex::new(Tally::new()));
    let worker = || {
        loop {
            let seed = next.fetch_add(1, Ordering::Relaxed);
            if seed >= seeds {
                return;
            }
            let tally = live(seed);
            let mut all = all.lock().expect("no other worker failed");
            for (what, times) in tally {
                *all.entry(what).or_default() += times;
            }
        }
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(worker);
        }
    });
    let all = all.into_inner().expect("every worker came to its end");
    println!("{seeds} seeds: {all:#?}");
    let far = [
        "killed",
        "killed while healing",
        "healed",
        "restored",
        "alarm",
        "fork seen",
        "mended from a saved copy",
        "left for people to decide",
        "forgotten by both",
        "lost without a trace: only a head kept elsewhere tells",
    ];
    for what in far {
        assert!(all.contains_key(what), "no seed came to: {what}");
    }
}
