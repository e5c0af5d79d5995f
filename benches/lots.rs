//! How long a real lot takes (`make bench`): ruled, drawn and bundled through the book; looked up;
//! one more tag. All of it invented: 50-note sheets of a merin, 5 % of them tagged.

#[path = "../tests/book/works.rs"]
mod works;

use cullbook::book::*;
use cullbook::desk::forms::draw_entries;
use cullbook::export::pick_list;
use cullbook::inspect::{Rules, Tag, rule, starter_catalogue};
use cullbook::sheet::*;
use divan::{Bencher, black_box};
use uuid::Uuid;

use works::*;

/// Sheets passed together in one entry.
const PASSED: u32 = 5_000;
/// One sheet in this many has a tag: 5 %.
const TAGGED: u32 = 20;

fn main() {
    divan::main();
}

/// Appends one entry, as the desk does.
fn write(book: &mut Book, by: &str, entry: Entry) {
    let mut ids = u128::from(book.len());
    let mut new_id = || {
        ids += 1;
        Uuid::from_u128(ids << 80 | 7 << 76 | 2 << 62 | ids)
    };
    let mut author = Author {
        by: id(by),
        key: &key(by),
        also: Vec::new(),
        at: id("2026-11-25T09:00:00+01:00"),
        new_id: &mut new_id,
    };
    let batch = book
        .prepare(&mut author, vec![entry])
        .expect("an entry the book takes");
    book.append(batch).expect("it follows");
}

/// A book with an open lot `L` of sheets of 10 by 5, numbered, and a series for its spoils.
fn open_lot(sheets: u32) -> Book {
    let mut book = Works::staffed().book;
    let wide = |prefix: &str| {
        let spec = SerialFormatSpec {
            width: 9,
            ..format(prefix).spec().clone()
        };
        SerialFormat::new(spec).expect("a format")
    };
    let product = ProductDefined {
        product: id("M50"),
        title: "50 merin".to_owned(),
        layout: layout(10, 5),
        finishing: Finishing::default(),
    };
    let series = SeriesSpec {
        format: wide("ZW"),
        ..series("R5", "M50", 0, u64::from(sheets) * 5)
    };
    let opened = LotOpened {
        lot: id("L"),
        product: id("M50"),
        sheets,
        numbering: Some(NumberingSpec {
            format: wide("KW"),
            runs: vec![Run::down_stack(sheets, 0)],
        }),
    };
    write(
        &mut book,
        "sue",
        Entry::RulesSet(Rules {
            minors_for_defect: 2,
            ..rules()
        }),
    );
    write(&mut book, "sue", Entry::ProductDefined(product));
    write(&mut book, "sue", Entry::SeriesAdded(series));
    write(&mut book, "sue", Entry::LotOpened(opened));
    book
}

/// Reads the machine's tags in parts, then passes the lot in ranges with them kept. Sheet `open`,
/// if any, is left out.
fn examine(book: &mut Book, sheets: u32, open: Option<u32>) {
    let tagged: Vec<MachineTag> = (1..=sheets)
        .filter(|number| number % TAGGED == 0)
        .map(|number| {
            let at = Some(format!(
                "{}{}",
                char::from(b'A' + (number / TAGGED % 10) as u8),
                1 + number % 5
            ));
            MachineTag(sheet(number), at, Side::Front, id("PH"), None)
        })
        .collect();
    let parts = tagged.chunks(MACHINE_PART).count() as u32;
    for (part, tags) in (1..).zip(tagged.chunks(MACHINE_PART)) {
        let read = MachineRead {
            part,
            parts,
            tags: tags.to_vec(),
            ..machine("L", &[])
        };
        write(book, "ida", Entry::MachineRead(read));
    }
    let mut from = 1;
    while from <= sheets {
        let to = (from + PASSED - 1).min(sheets);
        let to = open
            .filter(|open| (from..=to).contains(open))
            .map_or(to, |open| open - 1);
        if from <= to {
            let kept = SheetsExamined {
                machine_kept: true,
                ..exam("L", from, to, &[])
            };
            write(book, "ida", Entry::SheetsExamined(kept));
        }
        from = if open == Some(to + 1) { to + 2 } else { to + 1 };
    }
}

fn draw_all(book: &mut Book) {
    let entries = draw_entries(book.state(), id("L"), id("R5"), usize::MAX).expect("a draw");
    for entry in entries {
        write(book, "sue", entry);
    }
}

/// Ruled, drawn and put into bundles through the book: lines written, hashed and folded.
#[divan::bench(args = [1_000, 10_000, 100_000, 1_000_000], sample_count = 3, sample_size = 1)]
fn a_lot_through_the_book(bencher: Bencher, sheets: u32) {
    bencher
        .with_inputs(|| open_lot(sheets))
        .bench_values(|mut book| {
            examine(&mut book, sheets, None);
            draw_all(&mut book);
            let lines = pick_list(book.state(), id("L"));
            assert_eq!(lines.len() as u32, sheets / TAGGED);
            (book, lines)
        });
}

/// The core alone: every sheet ruled, every note in need drawn in finishing order.
#[divan::bench(args = [1_000, 10_000, 100_000, 1_000_000], sample_count = 3, sample_size = 1)]
fn a_lot_by_the_core_alone(sheets: u32) -> usize {
    let (catalogue, rules) = (starter_catalogue(), rules());
    let layout = Layout::new(layout(10, 5)).expect("a layout");
    let cut = Finishing::default()
        .cut(sheets, layout.notes())
        .expect("bundles");
    let resolved = tag("A1 PH").resolve(&layout, &catalogue).expect("a tag");
    let series = Series::new(series("R5", "M50", 0, 999_999)).expect("a series");
    let mut needs = Vec::new();
    for number in 1..=sheets {
        let tags: &[Tag] = if number % TAGGED == 0 {
            std::slice::from_ref(&resolved)
        } else {
            &[]
        };
        let ruling = rule(black_box(tags), layout.notes(), &catalogue, &rules);
        for position in ruling.defective.iter(&layout) {
            let place = cut
                .place(sheet(number), layout.rank(position))
                .expect("a place");
            needs.push(cullbook::inspect::Need {
                bundle: place.bundle,
                depth: place.depth,
                note: number,
            });
        }
    }
    cullbook::inspect::draw(needs, &series, 0)
        .expect("a draw")
        .len()
}

/// A book with 100,000 tagged sheets: 2,000,000 sheets, one in twenty tagged and replaced.
fn big_book() -> Book {
    let sheets = 2_000_000;
    let mut book = open_lot(sheets);
    examine(&mut book, sheets, None);
    draw_all(&mut book);
    book
}

#[divan::bench(sample_count = 100)]
fn look_up_a_note_among_100_000_tagged_sheets(bencher: Bencher) {
    let book = big_book();
    let lot = &book.state().lots[&id::<LotId>("L")];
    let position = lot.product.layout.positions().next().expect("a position");
    let serial = lot
        .serial(sheet(1_999_960), position)
        .expect("a serial")
        .to_string();
    bencher.bench_local(|| {
        let Trace::Found(life) = book.state().trace(black_box(&serial)) else {
            panic!("{serial} is of the lot");
        };
        let Life::Printed(life) = *life else {
            panic!("{serial} is a printed note");
        };
        book.life(&Subject::Note(life.lot, life.sheet, life.serial))
    });
}

#[divan::bench(sample_count = 100)]
fn look_up_a_sheet_among_100_000_tagged_sheets(bencher: Bencher) {
    let book = big_book();
    bencher.bench_local(|| book.life(black_box(&Subject::Sheet(id("L"), sheet(1_999_960)))));
}

/// One more sheet of a lot of 100,000: its entry checked, written, hashed and folded.
#[divan::bench(sample_count = 50, sample_size = 1)]
fn one_more_tag_in_a_lot_of_100_000(bencher: Bencher) {
    let mut ready = open_lot(100_000);
    examine(&mut ready, 100_000, Some(77_777));
    let one = Entry::SheetsExamined(exam("L", 77_777, 77_777, &["A1 PH", "B2 OM"]));
    bencher
        .with_inputs(|| (ready.clone(), one.clone()))
        .bench_local_values(|(mut book, one)| {
            write(&mut book, "ida", one);
            book
        });
}
