//! A small invented book for unit tests, here and in the rooms to the right.

use uuid::Uuid;

use crate::book::{
    Author, Book, BookOpened, Entry, Hash, LotOpened, ProductDefined, Refusal, SheetsExamined,
    State, cosigners,
};
use crate::custody::{Mass, Scale};
use crate::inspect::{Limit, Rules, Source, WrittenTag};
use crate::people::{Countersignature, Person, PersonId, PersonName, Role, SecretKey, Stamp};
use crate::sheet::{
    Finishing, LotId, NumberingSpec, Run, SeriesSpec, SeriesStock, SheetNo, Side,
    sample::{format, layout_spec},
};

/// The lot: 250 sheets of 2 × 2 notes, numbered down the stack from KA001000.
pub(crate) const LOT: &str = "BW-1";
const SHEETS: u32 = 250;

/// A book that grows a minute with each batch.
pub(crate) struct Works {
    pub book: Book,
    minute: u32,
}

impl Works {
    /// With a product, two series of it (R1 of 20 notes, R2 of 8), one lot, and people: `sue`
    /// (supervisor), `ida` (inspector), `ben` and `ada` (custodians), `wren`, `osk` (outside) and
    /// `ines` (witnesses; `ines` inspects as well).
    pub fn new() -> Self {
        let mut works = Self {
            book: Book::default(),
            minute: 0,
        };
        let opened = BookOpened {
            works: "Brackwater works".to_owned(),
            book: Uuid::nil(),
            practice: false,
            supervisor: person("sue", "Sue Marl", &[Role::Supervisor], false),
        };
        let mut new_id = some_id;
        let key = key("sue");
        let mut author = author("sue", &key, works.now(), &mut new_id);
        let first = Book::open(id("B3"), &mut author, opened).expect("the book opens");
        works.book.append(first).expect("nothing came before");
        works.write("sue", people());
        works.write("sue", office());
        works
    }

    pub fn state(&self) -> &State {
        self.book.state()
    }

    pub fn now(&self) -> Stamp {
        let minutes = 9 * 60 + self.minute;
        let (hours, minute) = (minutes / 60, minutes % 60);
        let (day, hour) = (25 + hours / 24, hours % 24);
        id(&format!("2026-11-{day:02}T{hour:02}:{minute:02}:00+01:00"))
    }

    pub fn next_day(&mut self) {
        self.minute += 24 * 60;
    }

    /// Records entries that must be accepted.
    pub fn write(&mut self, by: &str, entries: Vec<Entry>) {
        self.try_write(by, entries).expect("the book takes them");
    }

    pub fn try_write(&mut self, by: &str, entries: Vec<Entry>) -> Result<(), Refusal> {
        self.minute += 1;
        let mut new_id = some_id;
        let key = key(by);
        let mut author = author(by, &key, self.now(), &mut new_id);
        if let [entry] = entries.as_slice() {
            author.also = countersigned(&self.book, id(by), entry);
        }
        let batch = self.book.prepare(&mut author, entries)?;
        self.book.append(batch).expect("it was made for this book");
        Ok(())
    }

    /// `ida` examines a sheet: class `OM` at these positions, and a tear when `torn`.
    pub fn examine(&mut self, by: &str, sheet: u32, positions: &[&str], torn: bool) {
        let tag = |at: Option<&str>, class: &str| WrittenTag {
            at: at.map(str::to_owned),
            side: Side::Front,
            class: id(class),
            source: Source::Eye,
            remark: None,
        };
        let mut tags: Vec<_> = positions.iter().map(|at| tag(Some(at), "OM")).collect();
        tags.extend(torn.then(|| tag(None, "PT")));
        let sheet = SheetNo::new(sheet).expect("from 1");
        let entry = Entry::SheetsExamined(SheetsExamined {
            lot: id(LOT),
            from: sheet,
            to: sheet,
            tags,
            machine_kept: false,
            corrects: None,
            reason: None,
        });
        self.write(by, vec![entry]);
    }
}

/// Reads an id, a stamp or anything else that a test writes rightly.
pub(crate) fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().expect("a well-formed text")
}

pub(crate) fn lot() -> LotId {
    id(LOT)
}

/// The key of a person of these tests.
fn key(code: &str) -> SecretKey {
    SecretKey::from_seed(&Hash::of_file(code.as_bytes()).bytes())
}

/// The further signatures that an entry needs.
fn countersigned(book: &Book, by: PersonId, entry: &Entry) -> Vec<Countersignature> {
    let statement = book.statement(by, entry).unwrap_or_default();
    let sign = |(person, meaning): (PersonId, _)| {
        Countersignature::make(&statement, person, meaning, &key(person.as_str()))
    };
    cosigners(entry).into_iter().map(sign).collect()
}

/// A UUID of version 7; no figure depends on which.
fn some_id() -> Uuid {
    Uuid::from_u128(0x7000_8000_0000_0000_0001)
}

fn author<'a>(
    by: &str,
    key: &'a SecretKey,
    at: Stamp,
    new_id: &'a mut dyn FnMut() -> Uuid,
) -> Author<'a> {
    Author {
        by: id(by),
        key,
        also: Vec::new(),
        at,
        new_id,
    }
}

fn person(code: &str, name: &str, roles: &[Role], outside: bool) -> Person {
    Person {
        person: id(code),
        name: PersonName::try_from(name.to_owned()).expect("a name"),
        roles: roles.iter().copied().collect(),
        outside,
        key: key(code).public(),
    }
}

fn people() -> Vec<Entry> {
    let people = [
        person("ida", "Ida Fenn", &[Role::Inspector], false),
        person("ben", "Ben Orrin", &[Role::Custodian], false),
        person(
            "ada",
            "Ada Merrow",
            &[Role::Custodian, Role::Witness],
            false,
        ),
        person("wren", "Wren Hale", &[Role::Witness], false),
        person("osk", "Oskar Lind", &[Role::Witness], true),
        person(
            "ines",
            "Ines Varro",
            &[Role::Witness, Role::Inspector],
            false,
        ),
    ];
    people.map(Entry::PersonEnrolled).into()
}

fn office() -> Vec<Entry> {
    let series = |name: &str, first, last| {
        Entry::SeriesAdded(SeriesSpec {
            id: id(name),
            product: id("M20"),
            format: format("ZZ", 6, ""),
            stock: SeriesStock::Notes { first, last },
        })
    };
    vec![
        Entry::RulesSet(Rules {
            limit: Limit::SpoiledAt(4),
            ..Rules::default()
        }),
        Entry::ProductDefined(ProductDefined {
            product: id("M20"),
            title: "20 merin".to_owned(),
            layout: layout_spec(2, 2),
            finishing: Finishing::default(),
        }),
        series("R1", 1, 20),
        series("R2", 101, 108),
        Entry::LotOpened(LotOpened {
            lot: lot(),
            product: id("M20"),
            sheets: SHEETS,
            numbering: Some(NumberingSpec {
                format: format("KA", 6, ""),
                runs: vec![Run::down_stack(SHEETS, 1_000)],
            }),
        }),
    ]
}

/// A scale that shows half a gram, calibrated on 2026-01-15 for a year.
pub fn scale(name: &str) -> Scale {
    Scale {
        scale: id(name),
        resolution: Mass::from_milligrams(500),
        repeatability: Mass::from_milligrams(400),
        error: None,
        calibrated: id("2026-01-15"),
        interval_days: 365,
    }
}
