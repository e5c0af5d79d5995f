//! A small invented works for tests: a book with everybody enrolled, a product, a series of
//! replacement notes, and short ways to write what tests write often.
#![allow(dead_code, reason = "each test program uses its own part of it")]

use std::collections::{BTreeMap, BTreeSet};

use cullbook::book::{Place, *};
use cullbook::custody::{
    Destruction, Found, Item, Mass, Method, Paper, ParticleClass, ResidueSent, Scale,
};
use cullbook::desk::forms::draw_entries;
use cullbook::inspect::{
    Count, Limit, Quantity, Reading, Rules, SheetTakes, Source, Tolerance, Verdict, WrittenTag,
};
use cullbook::people::{Countersignature, Person, PersonId, PersonName, Role, SecretKey, Stamp};
use cullbook::quality::sampling::Severity;
use cullbook::sheet::*;
use uuid::Uuid;

/// Reads anything that is read from text.
pub fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().expect("an id of a test")
}

pub fn sheet(number: u32) -> SheetNo {
    SheetNo::new(number).expect("a sheet number of a test")
}

/// Numbers that are the same every time (the step of Numerical Recipes' quick generator).
pub struct Numbers(pub u32);

impl Numbers {
    /// A number below the limit.
    pub fn below(&mut self, limit: u32) -> u32 {
        self.0 = self.0.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        ((u64::from(self.0) * u64::from(limit)) >> 32) as u32
    }
}

/// The works with its book.
#[derive(Clone)]
pub struct Works {
    pub book: Book,
    /// Keys that are not [`key`] of the code any more.
    pub keys: BTreeMap<PersonId, SecretKey>,
    day: &'static str,
    seconds: u32,
    ids: u128,
}

impl Works {
    /// A book that has only its opening line, by supervisor `sue`.
    pub fn opened() -> Self {
        Self::of_bench("B1", opening())
    }

    /// The book of another bench, with only its opening line.
    pub fn of_bench(bench: &str, opening: BookOpened) -> Self {
        let mut works = Self {
            book: Book::default(),
            keys: BTreeMap::new(),
            day: "2026-11-25",
            seconds: 8 * 3600,
            ids: 0,
        };
        let batch = works.author("sue", |author| Book::open(id(bench), author, opening));
        works.book.append(batch.unwrap()).unwrap();
        works
    }

    /// Everybody enrolled, rules set, product `M20` of 2 rows by 3, series `R1` of 60 notes.
    pub fn staffed() -> Self {
        let mut works = Self::opened();
        works.staff();
        works
    }

    /// Enrols everybody, sets the rules, defines product and series.
    pub fn staff(&mut self) {
        for entry in office() {
            self.must("sue", entry);
        }
    }

    /// Staffed, with lot `L1` of 12 numbered sheets, KA000000 to KA000071, not examined.
    pub fn with_lot() -> Self {
        let mut works = Self::staffed();
        works.must("sue", lot("L1", 12, Some(numbered("KA", 12, 0))));
        works
    }

    /// With lot `L1` examined: sheet 2 mixed (A1, A2), sheet 5 spoiled whole, the others good.
    pub fn examined() -> Self {
        let mut works = Self::with_lot();
        works.must("ida", examined("L1", 1, 1, &[]));
        works.must("ida", examined("L1", 2, 2, &["A1 PH", "A2 OM"]));
        works.must("ivo", examined("L1", 3, 4, &["A1 PD"]));
        works.must("ivo", examined("L1", 5, 5, &["- PT"]));
        works.must("ida", examined("L1", 6, 12, &[]));
        works
    }

    /// Examined, with replacement notes drawn for all eight lost notes of `L1` and inserted.
    pub fn replaced() -> Self {
        let mut works = Self::examined();
        let draw = works.draw("L1", "R1");
        works.must("sue", draw);
        let all = works.drawn("R1");
        works.must("sue", inserted("R1", all));
        works
    }

    /// Replaced, and everything that was spoiled lies in container `C1`, sealed by `cal` and
    /// `cas` with seal `S-1`.
    pub fn sealed() -> Self {
        let mut works = Self::replaced();
        works.must("cal", container("C1"));
        let fill = works.fill("C1");
        works.must("cal", fill);
        works.must("cal", sealed("C1", "S-1", "cas"));
        works
    }

    /// Sealed and destroyed in session `D1` before `wim` and `wes`.
    pub fn destroyed() -> Self {
        let mut works = Self::sealed();
        let destruction = works.destruction("D1", &["C1"]);
        works.must("cal", Entry::SpoilsDestroyed(destruction));
        works
    }

    /// Every kind of entry about a container in doubt, with four loose spoils: the first is found
    /// missing and given up, the second taken out and lying in T2 unbooked.
    pub fn trouble(&mut self, items: [Item; 4]) {
        let [one, two, three, four] = items;
        for name in ["T1", "T2", "T3"] {
            self.must("cal", container(name));
        }
        self.must("cal", moved("T1", "cage, shelf 3"));
        self.must("cal", filled("T1", [one, two, three]));
        let filling = self.book.len() - 1;
        self.must("cal", taken_out("T1", None, &[two], filling));
        self.must("cal", filled("T2", [four]));
        self.must("cal", retired("T3"));
        self.must("cal", sealed("T1", "T-1", "cas"));
        self.must("cal", sealed("T2", "T-2", "cas"));
        let corrected = corrected_sealing(self, "T1", "T-11", Some(1_250_500));
        self.must("cal", corrected);
        self.must("cas", seal_found("T1", Some("T-12"), false));
        self.must("cas", held("T2", "its lid is bent"));
        let counted = recounted(self, "T1", &[one], &[]);
        self.must("cal", counted);
        let counted = recounted(self, "T2", &[], &[two]);
        self.must("cas", counted);
        self.must("cal", resealed("T2", "T-3"));
        self.must("sue", lost_spoils([one]));
        self.must("cal", found_spoils([one]));
    }

    /// Sets the day and the seconds since midnight of what is written next.
    pub fn set_clock(&mut self, day: &'static str, seconds: u32) {
        (self.day, self.seconds) = (day, seconds);
    }

    pub fn now(&self) -> Stamp {
        let (hours, rest) = (self.seconds / 3600, self.seconds % 3600);
        let (minutes, seconds) = (rest / 60, rest % 60);
        id(&format!(
            "{}T{hours:02}:{minutes:02}:{seconds:02}+01:00",
            self.day
        ))
    }

    pub fn author<T>(&mut self, by: &str, make: impl FnOnce(&mut Author) -> T) -> T {
        let mut ids = self.ids;
        let mut new_id = || {
            ids += 1;
            Uuid::from_u128(ids << 80 | 7 << 76 | 2 << 62 | ids)
        };
        let made = make(&mut Author {
            by: id(by),
            key: self.keys.get(&id(by)).unwrap_or(&key(by)),
            also: Vec::new(),
            at: self.now(),
            new_id: &mut new_id,
        });
        self.ids = ids;
        made
    }

    /// Writes one entry, a second after the last.
    pub fn write(&mut self, by: &str, entry: Entry) -> Result<(), Refusal> {
        self.write_all(by, vec![entry])
    }

    /// Writes entries together.
    pub fn write_all(&mut self, by: &str, entries: Vec<Entry>) -> Result<(), Refusal> {
        self.seconds = (self.seconds + 1).min(86_399);
        let book = self.book.clone();
        let batch = self.author(by, |author| {
            if let [entry] = entries.as_slice() {
                author.also = countersigned(&book, id(by), entry);
            }
            book.prepare(author, entries)
        })?;
        self.book
            .append(batch)
            .expect("a batch follows the book it was made for");
        Ok(())
    }

    #[track_caller]
    pub fn must(&mut self, by: &str, entry: Entry) {
        let kind = entry.kind();
        if let Err(why) = self.write(by, entry) {
            panic!("{kind} by {by} was refused: {why}");
        }
    }

    /// The refusal of an entry; checks that it left the book and its state as they were.
    #[track_caller]
    pub fn refused(&mut self, by: &str, entry: Entry) -> Refusal {
        let (head, before) = (self.book.head(), format!("{:?}", self.state()));
        let kind = entry.kind();
        let why = match self.write(by, entry) {
            Err(why) => why,
            Ok(()) => panic!("{kind} by {by} was taken"),
        };
        assert_eq!(self.book.head(), head);
        assert_eq!(format!("{:?}", self.state()), before, "after {why}");
        why
    }

    pub fn state(&self) -> &State {
        self.book.state()
    }

    /// The entry that has the last word on an examined sheet.
    pub fn last_word(&self, lot: &str, number: u32) -> u64 {
        let exam = self.lot(lot).sheet(sheet(number)).unwrap().exam.as_ref();
        exam.expect("an examined sheet").seq
    }

    pub fn lot(&self, lot: &str) -> &Lot {
        self.state().lot(id(lot)).expect("a lot of the test")
    }

    /// An entry that draws for everything a lot needs, in finishing order.
    pub fn draw(&self, lot: &str, series: &str) -> Entry {
        let lot = self.lot(lot);
        let pool = self.state().pool(id(series)).unwrap();
        let pairs = cullbook::inspect::draw(lot.needs(), &pool.series, pool.used()).unwrap();
        let serial = |number| lot.serial_of(number).expect("a numbered lot");
        let pairs = pairs.into_iter().map(|(old, new)| (serial(old), new));
        drawn(lot.id.as_str(), series, pairs.collect())
    }

    /// Draws for at most so many notes, as the desk does it.
    pub fn draw_some(&self, lot: &str, series: &str, most: usize) -> Result<Vec<Entry>, Refusal> {
        draw_entries(self.state(), id(lot), id(series), most)
    }

    /// The drawn notes of a series that are on hand.
    pub fn drawn(&self, series: &str) -> Vec<Serial<Replacement>> {
        let pool = self.state().pool(id(series)).unwrap();
        let on_hand = pool
            .placed()
            .filter(|(_, drawn)| drawn.fate == Fate::OnHand);
        on_hand
            .map(|(place, _)| pool.series.serial(place).unwrap())
            .collect()
    }

    /// The lines so far, as an archive.
    pub fn archived(&self) -> Archived {
        Archived {
            lines: self.book.len().try_into().expect("a book has lines"),
            head: self.book.head(),
        }
    }

    /// A checkpoint that someone confirms.
    #[track_caller]
    pub fn checkpoint(&self, second: &str) -> Entry {
        let carried = carry(self.state());
        Entry::BookCheckpoint(BookCheckpoint {
            archived: self.archived(),
            second: id(second),
            carried: Box::new(carried.unwrap_or_else(|why| panic!("{why}"))),
        })
    }

    /// An entry that puts every loose spoil into a container.
    pub fn fill(&self, container: &str) -> Entry {
        let loose = self.state().cage.spoils.iter();
        let loose = loose.filter(|(_, place)| **place == Place::Loose);
        filled(container, loose.map(|(item, _)| *item))
    }

    /// A destruction of sealed containers with everything as it should be.
    pub fn destruction(&self, session: &str, containers: &[&str]) -> Destruction {
        let found = |name: &&str| {
            let container = self.state().container(id(name)).unwrap();
            let (contents, seal) = (container.contents(), container.sealing());
            Found {
                container: container.id,
                seal: seal.map_or_else(|| id("S-0"), |sealing| sealing.number),
                sheets: contents.sheets,
                notes: contents.notes,
                gross: Mass::from_milligrams(5_000_000),
                tare: Mass::from_milligrams(4_000_000),
                scale: None,
                sample: None,
                off_because: None,
            }
        };
        Destruction {
            session: id(session),
            place: "Hall 3".to_owned(),
            machine: "Shredder 2".to_owned(),
            method: Method::Shredding,
            particle_class: Some(ParticleClass::P5),
            containers: containers.iter().map(found).collect(),
            operator: id("cas"),
            witnesses: vec![id("wim"), id("wes")],
            started: id("2026-11-25T13:00:00+01:00"),
            ended: id("2026-11-25T13:20:00+01:00"),
            largest_particle_mm2: Some(28),
            sample: None,
            statement: "I saw every container emptied into the shredder.".to_owned(),
            remarks: String::new(),
            left_out: Vec::new(),
            presence: Vec::new(),
        }
    }
}

pub fn person(code: &str, roles: &[Role], outside: bool) -> Person {
    Person {
        person: id(code),
        name: PersonName::try_from(format!("{code} of the works")).unwrap(),
        roles: BTreeSet::from_iter(roles.iter().copied()),
        outside,
        key: key(code).public(),
    }
}

/// The key of a person of these tests.
pub fn key(code: &str) -> SecretKey {
    SecretKey::from_seed(&Hash::of_file(code.as_bytes()).bytes())
}

/// The further signatures that an entry needs, as everybody concerned would give them.
pub fn countersigned(book: &Book, by: PersonId, entry: &Entry) -> Vec<Countersignature> {
    let statement = book.statement(by, entry).unwrap_or_default();
    let sign = |(person, meaning): (PersonId, _)| {
        Countersignature::make(&statement, person, meaning, &key(person.as_str()))
    };
    cosigners(entry).into_iter().map(sign).collect()
}

/// A new key, that of "{code} again".
pub fn rekeyed(code: &str) -> Entry {
    Entry::PersonRekeyed(PersonRekeyed {
        person: id(code),
        key: key(&format!("{code} again")).public(),
        reason: "the passphrase was forgotten".to_owned(),
    })
}

pub fn opening() -> BookOpened {
    BookOpened {
        works: "Brackwater works".to_owned(),
        book: Uuid::from_u128(1),
        practice: false,
        supervisor: person("sue", &[Role::Supervisor], false),
    }
}

fn office() -> Vec<Entry> {
    let people = [
        person("ida", &[Role::Inspector], false),
        person("ivo", &[Role::Inspector], false),
        person("cal", &[Role::Custodian], false),
        person("cas", &[Role::Custodian], false),
        person("wim", &[Role::Witness], false),
        person("wes", &[Role::Witness], true),
    ];
    let mut entries: Vec<_> = people.into_iter().map(Entry::PersonEnrolled).collect();
    entries.push(Entry::RulesSet(rules()));
    entries.push(product("M20"));
    entries.push(Entry::SeriesAdded(series("R1", "M20", 0, 59)));
    entries
}

/// Spoiled at 4 of 6 notes, three minor tags make a defect, days end at six in the morning.
pub fn rules() -> Rules {
    Rules {
        limit: Limit::SpoiledAt(4),
        minors_for_defect: 3,
        overrides: BTreeMap::new(),
        witnesses: 2,
        outside_witness: true,
        cut_over_hour: 6,
        spoiled_sheet_takes: SheetTakes::Notes,
        residue_percent: 5,
        count: Count::All,
        same_pair_after: 3,
        seal_form: None,
    }
}

pub fn layout(rows: u8, columns: u8) -> LayoutSpec {
    let mm = |mm| Length::from_mm(mm).unwrap();
    LayoutSpec {
        rows,
        columns,
        note_width: mm(136.0),
        note_height: mm(68.0),
        margin_x: mm(12.0),
        margin_y: mm(14.0),
        gutter_x: mm(0.0),
        gutter_y: mm(0.0),
        sheet_width: mm(136.0 * f64::from(columns) + 24.0),
        sheet_height: mm(68.0 * f64::from(rows) + 28.0),
        grammage: Grammage::from_g_per_m2(86.0).unwrap(),
        names: NameScheme::RowLetterColumnNumber,
        order: RankOrder::Rows,
        turn: Turn::WorkAndTurn,
    }
}

/// A product of 2 rows by 3; stacks and bundles of 4, two bundles a box.
pub fn product(product: &str) -> Entry {
    Entry::ProductDefined(ProductDefined {
        product: id(product),
        title: "20 merin".to_owned(),
        layout: layout(2, 3),
        finishing: Finishing::new(4, 4, 2).unwrap(),
    })
}

pub fn format(prefix: &str) -> SerialFormat {
    let spec = SerialFormatSpec {
        prefix: prefix.to_owned(),
        width: 6,
        suffix: String::new(),
        check: CheckSystem::None,
        check_place: CheckPlace::End,
        check_over: CheckOver::Whole,
        grouping: Vec::new(),
    };
    SerialFormat::new(spec).unwrap()
}

/// Replacement notes ZR000000 and on.
pub fn series(series: &str, product: &str, first: u64, last: u64) -> SeriesSpec {
    SeriesSpec {
        id: id(series),
        product: id(product),
        format: format("ZR"),
        stock: SeriesStock::Notes { first, last },
    }
}

/// Whole replacement sheets, ZR and on, down the stack.
pub fn sheet_series(series: &str, product: &str, sheets: u32, first: u64) -> SeriesSpec {
    SeriesSpec {
        id: id(series),
        product: id(product),
        format: format("ZR"),
        stock: SeriesStock::Sheets(Run::down_stack(sheets, first)),
    }
}

/// The rules, under which spoiled sheets take whole replacement sheets.
pub fn whole_sheet_rules() -> Rules {
    Rules {
        spoiled_sheet_takes: SheetTakes::Sheet,
        ..rules()
    }
}

pub fn numbered(prefix: &str, sheets: u32, first: u64) -> NumberingSpec {
    NumberingSpec {
        format: format(prefix),
        runs: vec![Run::down_stack(sheets, first)],
    }
}

pub fn lot(lot: &str, sheets: u32, numbering: Option<NumberingSpec>) -> Entry {
    Entry::LotOpened(LotOpened {
        lot: id(lot),
        product: id("M20"),
        sheets,
        numbering,
    })
}

pub fn lot_numbered(lot: &str, numbering: NumberingSpec) -> Entry {
    let lot = id(lot);
    Entry::LotNumbered(LotNumbered { lot, numbering })
}

/// A difference at the numbering press that `cas` saw too.
pub fn differed(lot: &str, what: Difference) -> Entry {
    Entry::PressDiffered(PressDiffered {
        lot: id(lot),
        what,
        reason: "fed double".to_owned(),
        second: id("cas"),
    })
}

pub fn lost(lot: &str, number: u32) -> Entry {
    let sheet = sheet(number);
    differed(lot, Difference::Lost { sheet })
}

/// Sheets added right behind another; behind 0 is before the first.
pub fn added(lot: &str, after: u32, sheets: u32) -> Entry {
    let after = SheetNo::new(after);
    differed(lot, Difference::Added { after, sheets })
}

/// Down the stack with a stride.
pub fn strided(prefix: &str, sheets: u32, first: u64, stride: u64) -> NumberingSpec {
    let run = Run {
        stride,
        ..Run::down_stack(sheets, first)
    };
    NumberingSpec {
        format: format(prefix),
        runs: vec![run],
    }
}

/// Tags as tests write them: "A1 PH", or "- PT" for the whole sheet; `b:` before it for the back.
pub fn tag(text: &str) -> WrittenTag {
    let (side, text) = match text.strip_prefix("b:") {
        Some(rest) => (Side::Back, rest),
        None => (Side::Front, text),
    };
    let (at, class) = text.split_once(' ').expect("a place and a class");
    WrittenTag {
        at: (at != "-").then(|| at.to_owned()),
        side,
        class: id(class),
        source: Source::Eye,
        remark: None,
    }
}

pub fn exam(lot: &str, from: u32, to: u32, tags: &[&str]) -> SheetsExamined {
    SheetsExamined {
        lot: id(lot),
        from: sheet(from),
        to: sheet(to),
        tags: tags.iter().map(|text| tag(text)).collect(),
        machine_kept: false,
        corrects: None,
        reason: None,
    }
}

pub fn examined(lot: &str, from: u32, to: u32, tags: &[&str]) -> Entry {
    Entry::SheetsExamined(exam(lot, from, to, tags))
}

pub fn corrected(lot: &str, sheet: u32, corrects: u64, tags: &[&str]) -> Entry {
    Entry::SheetsExamined(SheetsExamined {
        corrects: Some(corrects),
        reason: Some("looked again".to_owned()),
        ..exam(lot, sheet, sheet, tags)
    })
}

/// Overrules the last word on a sheet.
pub fn overruled(lot: &str, number: u32, corrects: u64, verdict: Verdict) -> Entry {
    Entry::VerdictOverruled(VerdictOverruled {
        lot: id(lot),
        sheet: sheet(number),
        verdict,
        reason: "printed thread, not a defect".to_owned(),
        corrects,
    })
}

pub fn machine(lot: &str, tags: &[(u32, &str)]) -> MachineRead {
    let tags = tags.iter().map(|(number, text)| {
        let tag = tag(text);
        MachineTag(sheet(*number), tag.at, tag.side, tag.class, tag.remark)
    });
    MachineRead {
        lot: id(lot),
        file: "press-1.csv".to_owned(),
        sha256: Hash::of_file(b"press-1"),
        part: 1,
        parts: 1,
        refused: 0,
        tags: tags.collect(),
    }
}

/// The acceptance sample that seed "seed" draws from a lot now, at level II and AQL 10.
pub fn sample_drawn(
    works: &Works,
    number: &str,
    lot: &str,
    inspection: Severity,
) -> AcceptanceDrawn {
    let known = works.lot(lot);
    let (level, aql) = (Default::default(), "10".to_owned().try_into().unwrap());
    let planned = known.acceptance_plan(level, aql, inspection).unwrap();
    AcceptanceDrawn {
        acceptance: id(number),
        lot: id(lot),
        level,
        aql,
        inspection,
        passed: planned.passed,
        seed: "seed".to_owned(),
        sheets: known.drawn_by("seed", planned.sample()),
        resumed: None,
    }
}

/// What a second look finds on one sheet of a sample.
pub fn look(number: &str, sheet: SheetNo, tags: &[&str]) -> AcceptanceLooked {
    AcceptanceLooked {
        acceptance: id(number),
        sheet,
        tags: tags.iter().map(|text| tag(text)).collect(),
        corrects: None,
        reason: None,
    }
}

pub fn looked(number: &str, sheet: SheetNo, tags: &[&str]) -> Entry {
    Entry::AcceptanceLooked(look(number, sheet, tags))
}

pub fn drawn(lot: &str, series: &str, pairs: Vec<(Serial<Printed>, Serial<Replacement>)>) -> Entry {
    Entry::ReplacementsDrawn(ReplacementsDrawn {
        lot: id(lot),
        series: id(series),
        pairs,
    })
}

pub fn inserted(series: &str, notes: Vec<Serial<Replacement>>) -> Entry {
    Entry::ReplacementsInserted(ReplacementsInserted {
        series: id(series),
        notes,
    })
}

pub fn spoiled(series: &str, notes: Vec<Serial<Replacement>>) -> Entry {
    Entry::ReplacementsSpoiled(ReplacementsSpoiled {
        series: id(series),
        notes,
        reason: "torn on insertion".to_owned(),
    })
}

pub fn returned(series: &str, notes: Vec<Serial<Replacement>>) -> Entry {
    Entry::ReplacementsReturned(ReplacementsReturned {
        series: id(series),
        notes,
        reason: "not used".to_owned(),
    })
}

pub fn container(container: &str) -> Entry {
    Entry::ContainerOpened(ContainerOpened {
        container: id(container),
        place: None,
    })
}

pub fn filled(container: &str, items: impl IntoIterator<Item = Item>) -> Entry {
    let pieces: Pieces = items.into_iter().collect();
    Entry::ContainerFilled(ContainerFilled::new(id(container), pieces))
}

pub fn sealed(container: &str, seal: &str, second: &str) -> Entry {
    Entry::ContainerSealed(ContainerSealed {
        container: id(container),
        seal: id(seal),
        second: id(second),
        gross: None,
        tare: None,
        scale: None,
    })
}

/// Scale `W1`: steps of 0.5 g, repeats within 0.4 g, 1 g off at most, calibrated in January.
pub fn scale(name: &str) -> Scale {
    Scale {
        scale: id(name),
        resolution: Mass::from_milligrams(500),
        repeatability: Mass::from_milligrams(400),
        error: Some(Mass::from_milligrams(1_000)),
        calibrated: id("2026-01-15"),
        interval_days: 365,
    }
}

/// The paper of a product: 1.5 g/m² either way, 1.2 from sheet to sheet, 3 ± 1.5 of ink.
pub fn paper(product: &str) -> Entry {
    let paper = Paper {
        bias: 1_500,
        spread: 1_200,
        ink: 3_000,
        ink_bias: 1_500,
    };
    Entry::PaperSet(PaperSet {
        product: id(product),
        paper,
    })
}

/// What the note width of a product should be: a tenth of a millimetre either way.
pub fn width_target(product: &str) -> Entry {
    let width = layout(1, 1).note_width.micrometres() as i32;
    Entry::MeasureTarget(MeasureTarget {
        product: id(product),
        quantity: Quantity::NoteWidth,
        tolerance: Tolerance {
            target: Reading(width),
            lower: Some(Reading(width - 100)),
            upper: Some(Reading(width + 100)),
        },
    })
}

/// A sample of note widths, each so many micrometres off.
pub fn widths(product: &str, off: &[i32]) -> MeasureTaken {
    let width = layout(1, 1).note_width.micrometres() as i32;
    MeasureTaken {
        product: id(product),
        quantity: Quantity::NoteWidth,
        readings: off.iter().map(|off| Reading(width + off)).collect(),
        lot: None,
        press: None,
        site: None,
        corrects: None,
        reason: None,
    }
}

/// Residue of sessions sent to the mill on a day, 900 g.
pub fn residue(sessions: &[&str], receipt: &str, date: &str) -> ResidueSent {
    ResidueSent {
        sessions: sessions.iter().map(|session| id(session)).collect(),
        mass: Mass::from_milligrams(900_000),
        destination: "Calder board mill".to_owned(),
        receipt: receipt.to_owned(),
        date: id(date),
    }
}

pub fn moved(container: &str, place: &str) -> Entry {
    Entry::ContainerMoved(ContainerMoved {
        container: id(container),
        place: id(place),
    })
}

pub fn retired(container: &str) -> Entry {
    Entry::ContainerRetired(ContainerRetired {
        container: id(container),
        reason: "opened by mistake".to_owned(),
    })
}

pub fn seal_found(container: &str, found: Option<&str>, broken: bool) -> Entry {
    Entry::SealChecked(SealChecked {
        container: id(container),
        found: found.map(id),
        broken,
    })
}

pub fn held(container: &str, reason: &str) -> Entry {
    Entry::ContainerHeld(ContainerHeld {
        container: id(container),
        reason: reason.to_owned(),
    })
}

/// A recount that `sue` signs too: counts as they follow from the pieces.
pub fn recounted(works: &Works, container: &str, missing: &[Item], found: &[Item]) -> Entry {
    let known = works.state().container(id(container)).unwrap();
    let mut items = known.items.clone();
    items.retain(|item| !missing.contains(item));
    items.extend(found);
    let contents = cullbook::custody::Contents::of(&items);
    Entry::ContainerRecounted(ContainerRecounted {
        container: id(container),
        sheets: contents.sheets,
        notes: contents.notes,
        missing: missing.iter().copied().collect(),
        found: found.iter().copied().collect(),
        explanation: "the lid was open in the lift".to_owned(),
        second: id("sue"),
    })
}

pub fn resealed(container: &str, seal: &str) -> Entry {
    Entry::ContainerResealed(ContainerResealed {
        container: id(container),
        seal: id(seal),
        second: id("cas"),
        gross: None,
        tare: None,
        scale: None,
    })
}

/// Pieces out of a container and into another, or loose.
pub fn taken_out(container: &str, to: Option<&str>, items: &[Item], corrects: u64) -> Entry {
    Entry::FillingCorrected(FillingCorrected {
        container: id(container),
        to: to.map(id),
        pieces: items.iter().copied().collect(),
        corrects,
        reason: "wrong container".to_owned(),
    })
}

/// A correction of the last word on a sealing, which `cas` signs too.
pub fn corrected_sealing(works: &Works, container: &str, seal: &str, gross: Option<u64>) -> Entry {
    let known = works.state().container(id(container)).unwrap();
    Entry::SealingCorrected(SealingCorrected {
        container: id(container),
        corrects: known.sealing().map_or(0, |sealing| sealing.last_word()),
        seal: id(seal),
        gross: gross.map(Mass::from_milligrams),
        weighed: None,
        reason: "read wrongly".to_owned(),
        second: id("cas"),
    })
}

/// A loss that `cas` signs too.
pub fn lost_spoils(items: impl IntoIterator<Item = Item>) -> Entry {
    Entry::SpoilsLost(SpoilsLost {
        pieces: items.into_iter().collect(),
        reason: "swept up with the trimmings".to_owned(),
        second: id("cas"),
    })
}

pub fn found_spoils(items: impl IntoIterator<Item = Item>) -> Entry {
    Entry::SpoilsFound(SpoilsFound {
        pieces: items.into_iter().collect(),
        remark: "under the guillotine".to_owned(),
    })
}

pub fn copy_taken(book: &Book) -> Entry {
    Entry::CopyTaken(CopyTaken::new(Copied::Book, book.head()))
}

/// The head alone leaves.
pub fn head_taken(book: &Book, how: Way, to: Option<&str>) -> Entry {
    Entry::CopyTaken(CopyTaken {
        how: Some(how),
        to: to.map(str::to_owned),
        ..CopyTaken::new(Copied::Head, book.head())
    })
}

pub fn healed(home: Home, from: u64, to: u64) -> Entry {
    Entry::StoreHealed(StoreHealed { home, from, to })
}

pub fn lot_closed(lot: &str) -> Entry {
    Entry::LotClosed(LotClosed { lot: id(lot) })
}

pub fn day_closed(day: &str) -> Entry {
    Entry::DayClosed(DayClosed { day: id(day) })
}
