//! The practice book: a morning at the Brackwater works, up to the point where you take over.
//! All of it is invented.

use std::rc::Rc;

use crate::book::{
    Author, BenchId, Book, Entry, LotOpened, MACHINE_PART, MachineRead, MachineTag, PaperSet,
    ProductDefined, Refusal, SheetsExamined,
};
use crate::custody::{Mass, Paper, Scale};
use crate::inspect::Spot;
use crate::people::{Day, NameError, Person, PersonId, PersonName, Role};
use crate::sheet::{
    CheckSystem, Filling, Finishing, FormatError, IdError, Layout, LotId, NumberingSpec, ProductId,
    Run, SerialFormat, SerialFormatSpec, SeriesId, SeriesSpec, SeriesStock, SheetNo,
};

use super::measured;
use super::{
    MachineRow, PracticeLot, PracticeLotError, generate, merin_layout, practice_key, to_csv,
};
use crate::desk::Env;
use crate::desk::forms::NewBook;

/// Sheets of the lot.
const SHEETS: u32 = 10_000;
/// Sheets that the morning's inspector has examined.
const EXAMINED: u32 = 1_203;
/// Every practice book starts from the same invented machine file.
const SEED: u64 = 20;

/// Why the practice book could not be made: a mistake in the program, told rather than hidden.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PracticeError {
    #[error(transparent)]
    Id(#[from] IdError),
    #[error(transparent)]
    Name(#[from] NameError),
    #[error(transparent)]
    Format(#[from] FormatError),
    #[error(transparent)]
    Lot(#[from] PracticeLotError),
    #[error(transparent)]
    Refused(#[from] Refusal),
}

/// The lines of a fresh practice book: people, product, series, lot, samples, machine file, and the first
/// sheets examined as the machine says.
///
/// # Errors
/// [`PracticeError`] if an entry is refused, which a test rules out.
pub fn practice_book(env: &mut Env) -> Result<Vec<Rc<str>>, PracticeError> {
    let supervisor: PersonId = "maud".parse()?;
    let new = NewBook {
        works: "Brackwater works, Calder Isles".to_owned(),
        bench: "B3".parse::<BenchId>()?,
        supervisor,
        name: name("Maud Arkell")?,
        practice: true,
    };
    let mut book = new.open(&practice_key(supervisor), env)?;
    let layout = merin_layout();
    let today = env.now.local_day();
    write(&mut book, env, supervisor, set_up(&layout, today)?)?;
    let product = "M20".parse()?;
    let targets = measured::targets(product, &layout);
    write(&mut book, env, supervisor, targets)?;
    let rows = generate(
        SEED,
        &PracticeLot::new(lot_id()?, SHEETS, layout.clone(), 0)?,
    );
    let inspector: PersonId = "ida".parse()?;
    let samples = measured::samples(product, lot_id()?, &layout, SEED)?;
    write(&mut book, env, inspector, samples)?;
    write(&mut book, env, inspector, machine_file(&rows, &layout)?)?;
    write(&mut book, env, inspector, examined()?)?;
    Ok(book.texts().to_vec())
}

fn lot_id() -> Result<LotId, IdError> {
    "BW-0412".parse()
}

fn name(text: &str) -> Result<PersonName, NameError> {
    PersonName::try_from(text.to_owned())
}

fn write(book: &mut Book, env: &mut Env, by: PersonId, entries: Vec<Entry>) -> Result<(), Refusal> {
    let mut author = Author {
        by,
        key: &practice_key(by),
        also: Vec::new(),
        at: env.now.clone(),
        new_id: env.new_id,
    };
    let batch = book.prepare(&mut author, entries)?;
    book.append(batch)
        .map_err(|why| Refusal::Followed(Box::new(why)))
}

fn set_up(layout: &Layout, today: Day) -> Result<Vec<Entry>, PracticeError> {
    let product: ProductId = "M20".parse()?;
    let mut entries = people()?;
    entries.push(Entry::ProductDefined(ProductDefined {
        product,
        title: "20 merin".to_owned(),
        layout: layout.spec().clone(),
        finishing: Finishing::default().filled(Filling::Position),
    }));
    entries.push(Entry::ScaleSet(Scale {
        scale: "W-2".parse()?,
        resolution: Mass::from_milligrams(500),
        repeatability: Mass::from_milligrams(400),
        error: Some(Mass::from_milligrams(1_000)),
        calibrated: today,
        interval_days: 365,
    }));
    entries.push(Entry::PaperSet(PaperSet {
        product,
        paper: Paper {
            bias: 1_500,
            spread: 1_200,
            ink: 3_000,
            ink_bias: 1_500,
        },
    }));
    entries.push(Entry::SeriesAdded(SeriesSpec {
        id: "R20".parse::<SeriesId>()?,
        product,
        format: format("CR")?,
        stock: SeriesStock::Notes {
            first: 1,
            last: 40_000,
        },
    }));
    entries.push(Entry::LotOpened(LotOpened {
        lot: lot_id()?,
        product,
        sheets: SHEETS,
        numbering: Some(NumberingSpec {
            format: format("CM")?,
            runs: vec![Run::down_stack(SHEETS, 4_200_001)],
        }),
    }));
    Ok(entries)
}

fn people() -> Result<Vec<Entry>, PracticeError> {
    let list: [(&str, &str, Role, bool); 7] = [
        ("ida", "Ida Fenn", Role::Inspector, false),
        ("tom", "Tomas Quill", Role::Inspector, false),
        ("ben", "Ben Orrin", Role::Custodian, false),
        ("ada", "Ada Merrow", Role::Custodian, false),
        ("wren", "Wren Hale", Role::Witness, false),
        ("osk", "Oskar Lind", Role::Witness, true),
        ("ines", "Ines Varro", Role::Witness, false),
    ];
    let enrol = |(code, printed, role, outside): (&str, &str, Role, bool)| {
        let (person, name, roles) = (code.parse()?, name(printed)?, [role].into());
        Ok(Entry::PersonEnrolled(Person {
            person,
            name,
            roles,
            outside,
            key: practice_key(person).public(),
        }))
    };
    list.into_iter().map(enrol).collect()
}

fn format(prefix: &str) -> Result<SerialFormat, FormatError> {
    SerialFormat::new(SerialFormatSpec {
        prefix: prefix.to_owned(),
        width: 7,
        suffix: String::new(),
        check: CheckSystem::Mod37_36,
        check_place: Default::default(),
        check_over: Default::default(),
        grouping: vec![2, 7, 1],
    })
}

fn machine_file(rows: &[MachineRow], layout: &Layout) -> Result<Vec<Entry>, PracticeError> {
    let lot = lot_id()?;
    let csv = to_csv(&PracticeLot::new(lot, SHEETS, layout.clone(), 0)?, rows);
    let sha256 = crate::book::Hash::of_file(csv.as_bytes());
    let parts = rows.chunks(MACHINE_PART);
    let count = parts.len() as u32;
    let part = |(index, rows): (usize, &[MachineRow])| {
        Entry::MachineRead(MachineRead {
            lot,
            file: "BW-0412-machine.csv".to_owned(),
            sha256,
            part: index as u32 + 1,
            parts: count,
            refused: 0,
            tags: rows.iter().map(|row| machine_tag(row, layout)).collect(),
        })
    };
    Ok(parts.enumerate().map(part).collect())
}

fn machine_tag(row: &MachineRow, layout: &Layout) -> MachineTag {
    let at = match row.spot {
        Spot::WholeSheet => None,
        Spot::Note(position) => Some(layout.name(position).to_owned()),
    };
    let remark = (!row.remark.is_empty()).then(|| row.remark.clone());
    MachineTag(row.sheet, at, row.side, row.class, remark)
}

fn examined() -> Result<Vec<Entry>, PracticeError> {
    let entry = SheetsExamined {
        lot: lot_id()?,
        from: SheetNo::from_index(0),
        to: SheetNo::from_index(EXAMINED - 1),
        tags: Vec::new(),
        machine_kept: true,
        corrects: None,
        reason: None,
    };
    Ok(vec![Entry::SheetsExamined(entry)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_practice_book_opens_and_waits_at_the_next_sheet() {
        let mut new_id = || uuid::Uuid::from_u128(0x7000_8000_0000_0000_0001);
        let now = "2026-11-25T09:30:00+01:00".parse().expect("a stamp");
        let lines = practice_book(&mut Env {
            now,
            new_id: &mut new_id,
        })
        .expect("a book");
        let book = Book::read(lines.iter().map(AsRef::as_ref)).expect("it reads back");
        let state = book.state();
        assert!(state.opened.as_ref().is_some_and(|opened| opened.practice));
        let lot = state.lots.values().next().expect("one lot");
        assert_eq!(lot.tally.examined(), u64::from(EXAMINED));
        assert!(lot.tally.mixed > 0 && lot.tally.good > lot.tally.mixed);
        assert_eq!(
            lot.next_open(SheetNo::from_index(0)),
            Some(SheetNo::from_index(EXAMINED))
        );
        assert!(!lot.needs().is_empty());
        let measured = crate::book::measured_alike(&[state], crate::book::By::Site, lot.product.id);
        let differ = |one: &crate::book::QuantityAlike| one.means.is_some_and(|one| one.differ());
        let differ: Vec<bool> = measured.iter().map(differ).collect();
        assert_eq!(
            differ,
            [true, false],
            "one works cuts wider, both print alike"
        );
    }
}
