//! A machine in memory: stores lines like the browser does, and can be told to fail.

use std::collections::BTreeMap;
use std::rc::Rc;

use cullbook::book::{
    Book, Entry, Line, LotOpened, MachineRead, MachineTag, ProductDefined, Refusal,
};
use cullbook::desk::bench::{Command, Key, command_for};
use cullbook::desk::forms::NewBook;
use cullbook::desk::homes::{Keep, Room, Second, Tab};
use cullbook::desk::practice::{merin_layout, practice_key};
use cullbook::desk::{Action, Desk, Effect, Env, Space, StoreError, Stored};
use cullbook::people::{Person, PersonName, Role, Stamp};
use cullbook::sheet::{
    CheckOver, CheckPlace, CheckSystem, Finishing, NumberingSpec, Run, SerialFormat,
    SerialFormatSpec, SeriesSpec, SeriesStock, SheetNo, Side,
};
use uuid::Uuid;

/// Sheets of the test lot.
pub const SHEETS: u32 = 250;

/// A desk and the machine under it.
pub struct Bench {
    pub desk: Desk,
    pub stored: Vec<Rc<str>>,
    /// The second home; nothing where the browser keeps none.
    pub pocket: Option<BTreeMap<String, String>>,
    /// Values that the second home takes before it is full.
    pub pocket_room: usize,
    pub draft: Option<String>,
    /// What is typed at the open step of a destruction.
    pub session: Option<String>,
    /// What the browser says of this tab.
    pub tab: Tab,
    pub room: Option<Room>,
    /// How often the room was measured.
    pub measured: usize,
    /// What the store answers next, instead of storing.
    pub fail_with: Option<StoreError>,
    /// While set, the store keeps its answers back.
    pub slow: bool,
    held_back: Vec<Action>,
    ids: u128,
    seconds: i64,
}

impl Bench {
    /// A book with people, product, series, a numbered lot of [`SHEETS`] sheets on the bench, and
    /// the inspector signed in.
    pub fn new() -> Self {
        let mut bench = Self {
            desk: Desk::default(),
            stored: Vec::new(),
            pocket: Some(BTreeMap::new()),
            pocket_room: usize::MAX,
            draft: None,
            session: None,
            tab: Tab::Writes,
            room: None,
            measured: 0,
            fail_with: None,
            slow: false,
            held_back: Vec::new(),
            ids: 0,
            seconds: 0,
        };
        let lines = bench
            .with_env(|env| new_book().open(&practice_key("maud".parse().expect("a code")), env))
            .expect("a new book")
            .texts()
            .to_vec();
        bench
            .act(Action::Adopt {
                space: Space::Real,
                lines,
            })
            .expect("adopted");
        bench.sign_in("maud");
        bench.record(set_up()).expect("set up");
        bench
            .act(Action::ChooseLot("T-1".parse().expect("an id")))
            .expect("a lot");
        bench.sign_in("ida");
        bench
    }

    pub fn sign_in(&mut self, code: &str) {
        let person = code.parse().expect("a code");
        let key = Box::new(practice_key(person));
        self.act(Action::SignIn { person, key }).expect("signs in");
    }

    /// Records an entry after everybody who must has signed it.
    pub fn record_signed(&mut self, entry: Entry) -> Result<(), Refusal> {
        self.act(Action::BeginSigning(Box::new(entry)))?;
        while let Some((person, _)) = self.desk.signing.as_ref().and_then(|open| open.next()) {
            let key = Box::new(practice_key(person));
            self.act(Action::Countersign { person, key })?;
        }
        self.act(Action::RecordSigned)
    }

    pub fn record(&mut self, entries: Vec<Entry>) -> Result<(), Refusal> {
        self.act(Action::Record(entries))
    }

    /// Presses keys one after the other: single characters, or names like "Enter".
    pub fn keys(&mut self, keys: &[&str]) {
        for key in keys {
            let (ctrl, name) = key
                .strip_prefix("Ctrl+")
                .map_or((false, *key), |name| (true, name));
            let (shift, name) = name
                .strip_prefix("Shift+")
                .map_or((false, name), |name| (true, name));
            let command = command_for(Key { name, shift, ctrl }).expect("a key of the bench");
            self.command(command).expect("the bench takes it");
        }
    }

    pub fn command(&mut self, command: Command) -> Result<(), Refusal> {
        self.act(Action::Bench(command))
    }

    pub fn act(&mut self, action: Action) -> Result<(), Refusal> {
        let effects = self.step(action)?;
        self.run(effects);
        Ok(())
    }

    /// Lets the slow store answer.
    pub fn answer(&mut self) {
        self.slow = false;
        for action in std::mem::take(&mut self.held_back) {
            self.act(action).expect("an answer is never refused");
        }
    }

    /// Everything forgotten but what is stored, as after a reload.
    pub fn reload(&mut self) {
        self.desk = Desk::default();
        self.act(Action::Start(Space::Real)).expect("starts");
        self.sign_in("ida");
    }

    pub fn step(&mut self, action: Action) -> Result<Vec<Effect>, Refusal> {
        self.seconds += 1;
        let now = stamp(self.seconds);
        let mut ids = self.ids;
        let mut new_id = || {
            ids += 1;
            Uuid::from_u128(0x7000_8000_0000_0000_0000 + ids)
        };
        let result = self.desk.step(
            action,
            &mut Env {
                now,
                new_id: &mut new_id,
            },
        );
        self.ids = ids;
        result
    }

    fn with_env<T>(&mut self, make: impl FnOnce(&mut Env) -> T) -> T {
        let mut new_id = || Uuid::from_u128(0x7000_8000_0000_0000_b00c);
        make(&mut Env {
            now: stamp(0),
            new_id: &mut new_id,
        })
    }

    fn run(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            let answer = match effect {
                Effect::Append {
                    expected_seq,
                    lines,
                    ..
                } => Some(Action::Stored(self.append(expected_seq, lines))),
                Effect::Load(space) => Some(Action::Loaded {
                    space,
                    stored: Stored {
                        lines: Ok(self.stored.iter().map(|line| line.to_string()).collect()),
                        second: self.pocket.clone().map(|values| Second {
                            draft: self.draft.clone(),
                            session: self.session.clone(),
                            ..Second::read(values)
                        }),
                        keys: Vec::new(),
                        tab: self.tab,
                    },
                }),
                Effect::DropLines { below, .. } => {
                    self.stored.retain(|line| seq_of(line) >= below);
                    if let Some(pocket) = &mut self.pocket {
                        pocket.retain(|name, _| line_number(name).is_none_or(|seq| seq >= below));
                    }
                    None
                }
                Effect::KeepSecond { keeps, .. } => self.keep(keeps),
                Effect::Rewrite { lines, .. } => {
                    self.stored = lines;
                    Some(Action::Stored(Ok(())))
                }
                Effect::Follow { from, .. } => {
                    let lines = self.stored.iter().skip(from as usize);
                    let lines = lines.map(ToString::to_string).collect();
                    Some(Action::Followed { from, lines })
                }
                Effect::Measure => {
                    self.measured += 1;
                    Some(Action::Measured(self.room))
                }
                Effect::ReadSoon => Some(Action::ReadOn),
                Effect::CheckSoon => Some(Action::CheckSignatures),
                Effect::KeepDraft { draft, .. } => {
                    self.draft = draft;
                    None
                }
                Effect::KeepSession { draft, .. } => {
                    self.session = draft;
                    None
                }
                _ => None,
            };
            match answer {
                Some(action) if self.slow => self.held_back.push(action),
                Some(action) => self.act(action).expect("an answer is never refused"),
                None => {}
            }
        }
    }

    fn append(&mut self, expected: u64, lines: Vec<Rc<str>>) -> Result<(), StoreError> {
        if let Some(why) = self.fail_with.take() {
            return Err(why);
        }
        let found = self.stored.last().map_or(0, |line| seq_of(line) + 1);
        if found != expected {
            return Err(StoreError::Conflict { expected, found });
        }
        self.stored.extend(lines);
        Ok(())
    }

    fn keep(&mut self, keeps: Vec<Keep>) -> Option<Action> {
        let pocket = self.pocket.as_mut()?;
        for (at, keep) in keeps.iter().enumerate() {
            match keep.value() {
                Some(value) => {
                    let new = !pocket.contains_key(&keep.name());
                    if new && pocket.len() >= self.pocket_room {
                        return Some(Action::SecondFull(keeps[at..].to_vec()));
                    }
                    pocket.insert(keep.name(), value);
                }
                None => drop(pocket.remove(&keep.name())),
            }
        }
        None
    }

    /// The book as a stranger would read it from the store.
    pub fn stored_book(&self) -> Book {
        Book::read(self.stored.iter().map(AsRef::as_ref)).expect("what is stored verifies")
    }

    pub fn sheet(&self) -> u32 {
        self.desk.bench.sheet.number()
    }
}

/// The number of a line in the second home, by its name there.
fn line_number(name: &str) -> Option<u64> {
    name.strip_prefix("line/")?.parse().ok()
}

/// The number that the browser's store keeps a line under.
fn seq_of(line: &str) -> u64 {
    Line::read(line).expect("a stored line reads").header.seq
}

pub fn stamp(seconds: i64) -> Stamp {
    let (minutes, seconds) = (seconds / 60, seconds % 60);
    let text = format!(
        "2026-11-25T{:02}:{:02}:{seconds:02}+01:00",
        8 + minutes / 60,
        minutes % 60
    );
    text.parse().expect("a stamp")
}

pub fn sheet(number: u32) -> SheetNo {
    SheetNo::new(number).expect("not zero")
}

fn name(text: &str) -> PersonName {
    PersonName::try_from(text.to_owned()).expect("a name")
}

fn new_book() -> NewBook {
    NewBook {
        works: "Brackwater works".to_owned(),
        bench: "B3".parse().expect("an id"),
        supervisor: "maud".parse().expect("an id"),
        name: name("Maud Arkell"),
        practice: false,
    }
}

fn enrolled(code: &str, printed: &str, role: Role) -> Entry {
    let person = code.parse().expect("an id");
    Entry::PersonEnrolled(Person {
        person,
        name: name(printed),
        roles: [role].into(),
        outside: false,
        key: practice_key(person).public(),
    })
}

fn format(prefix: &str) -> SerialFormat {
    SerialFormat::new(SerialFormatSpec {
        prefix: prefix.to_owned(),
        width: 6,
        suffix: String::new(),
        check: CheckSystem::Mod37_36,
        check_place: CheckPlace::End,
        check_over: CheckOver::Whole,
        grouping: Vec::new(),
    })
    .expect("a format")
}

fn set_up() -> Vec<Entry> {
    let product = "M20".parse().expect("an id");
    vec![
        enrolled("ida", "Ida Fenn", Role::Inspector),
        enrolled("ben", "Ben Orrin", Role::Custodian),
        enrolled("ada", "Ada Merrow", Role::Custodian),
        enrolled("wren", "Wren Hale", Role::Witness),
        enrolled("osk", "Oskar Lind", Role::Witness),
        Entry::ProductDefined(ProductDefined {
            product,
            title: "20 merin".to_owned(),
            layout: merin_layout().spec().clone(),
            finishing: Finishing::default(),
        }),
        Entry::SeriesAdded(SeriesSpec {
            id: "R20".parse().expect("an id"),
            product,
            format: format("CR"),
            stock: SeriesStock::Notes {
                first: 1,
                last: 500,
            },
        }),
        Entry::LotOpened(LotOpened {
            lot: "T-1".parse().expect("an id"),
            product,
            sheets: SHEETS,
            numbering: Some(NumberingSpec {
                format: format("CM"),
                runs: vec![Run::down_stack(SHEETS, 1)],
            }),
        }),
    ]
}

/// A machine file with one tag on each of these sheets: a spot at position D5, front.
pub fn machine_tags(sheets: &[u32]) -> Entry {
    let tag = |number: &u32| {
        let class = "OS".parse().expect("a code");
        MachineTag(
            sheet(*number),
            Some("D5".to_owned()),
            Side::Front,
            class,
            None,
        )
    };
    Entry::MachineRead(MachineRead {
        lot: "T-1".parse().expect("an id"),
        file: "machine.csv".to_owned(),
        sha256: cullbook::book::Hash::of_file(b"a file"),
        part: 1,
        parts: 1,
        refused: 0,
        tags: sheets.iter().map(tag).collect(),
    })
}
