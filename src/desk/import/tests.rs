use super::*;
use crate::book::{Book, LotOpened, ProductDefined, SheetsExamined};
use crate::desk::forms::sample::{book, take, take_all};
use crate::desk::practice::{PracticeLot, generate, merin_layout, to_csv, with_wrong_rows};
use crate::export::{MachineContext, read_machine_file};
use crate::inspect::REMARK_MAX;
use crate::sheet::Finishing;

fn lot_id() -> LotId {
    "BW-0412".parse().unwrap()
}

/// A book with the 20 merin product and an unnumbered lot of this many sheets.
fn with_lot(sheets: u32) -> Book {
    let mut book = book();
    let product = ProductDefined {
        product: "M20".parse().unwrap(),
        title: "20 merin".to_owned(),
        layout: merin_layout().into(),
        finishing: Finishing::default(),
    };
    let lot = LotOpened {
        lot: lot_id(),
        product: product.product,
        sheets,
        numbering: None,
    };
    take_all(
        &mut book,
        vec![Entry::ProductDefined(product), Entry::LotOpened(lot)],
    )
    .unwrap();
    book
}

fn lot(book: &Book) -> &Lot {
    book.state().lot(lot_id()).unwrap()
}

fn import(book: &Book, csv: &str) -> MachineImport {
    let lot = lot(book);
    let context = MachineContext {
        lot: lot.id,
        sheets: lot.len(),
        layout: &lot.product.layout,
        catalogue: &lot.catalogue,
        examined: &|sheet| lot.sheet(sheet).is_some_and(|sheet| sheet.exam.is_some()),
    };
    let report = read_machine_file(csv.as_bytes(), &context).unwrap();
    MachineImport::new(lot, "press-3.csv", Hash::of_file(csv.as_bytes()), report)
}

fn record(book: &mut Book, import: &MachineImport) {
    let entries = import.entries(&merin_layout());
    take_all(book, entries).unwrap();
}

fn machine_tags(book: &Book) -> usize {
    lot(book)
        .sheets
        .iter()
        .map(|sheet| sheet.machine.len())
        .sum()
}

const HEAD: &str = "lot,sheet,side,position,class,remark\n";

#[test]
fn a_generated_file_is_recorded_whole_and_in_parts() {
    let mut book = with_lot(10_000);
    let practice = PracticeLot::new(lot_id(), 10_000, merin_layout(), 9_000).unwrap();
    let rows = generate(1, &practice);
    let csv = with_wrong_rows(&to_csv(&practice, &rows), 1, &practice, 34);
    let import = import(&book, &csv);
    let (accepted, refused) = (import.accepted, import.refused().len());
    assert_eq!((accepted + refused, refused), (import.rows(), 34));
    assert_eq!((import.to_record(), import.known), (accepted, 0));
    assert_eq!(
        import
            .by_class
            .iter()
            .map(|(_, count)| count)
            .sum::<usize>(),
        accepted
    );
    assert!(import.by_class.is_sorted_by(|a, b| a.1 >= b.1));
    let entries = import.entries(&merin_layout());
    assert_eq!(entries.len(), accepted.div_ceil(MACHINE_PART));
    for (part, entry) in (1..).zip(&entries) {
        let Entry::MachineRead(read) = entry else {
            panic!("{entry:?}")
        };
        assert_eq!(
            (read.part, read.parts, read.refused),
            (part, entries.len() as u32, 34)
        );
        assert_eq!(read.sha256, Hash::of_file(csv.as_bytes()));
        assert!(read.tags.len() <= MACHINE_PART);
    }
    record(&mut book, &import);
    assert_eq!(machine_tags(&book), accepted);
    let touched = lot(&book)
        .sheets
        .iter()
        .filter(|sheet| !sheet.machine.is_empty())
        .count();
    assert_eq!(import.sheets, touched);
}

#[test]
fn the_same_file_again_adds_nothing() {
    let mut book = with_lot(50);
    let csv = format!("{HEAD}BW-0412,1,front,A1,OS,0.4 mm\nBW-0412,2,front,,PT,\n");
    let first = import(&book, &csv);
    record(&mut book, &first);
    let again = import(&book, &csv);
    assert_eq!((again.to_record(), again.known, again.sheets), (0, 2, 0));
    assert!(again.entries(&merin_layout()).is_empty() && again.by_class.is_empty());
    let longer = import(&book, &format!("{csv}BW-0412,2,back,B1,OS,\n"));
    assert_eq!((longer.to_record(), longer.known), (1, 2));
    record(&mut book, &longer);
    assert_eq!(machine_tags(&book), 3);
}

#[test]
fn rows_about_examined_sheets_are_refused() {
    let mut book = with_lot(50);
    let exam = SheetsExamined {
        lot: lot_id(),
        from: SheetNo::new(1).unwrap(),
        to: SheetNo::new(1).unwrap(),
        tags: Vec::new(),
        machine_kept: false,
        corrects: None,
        reason: None,
    };
    take(&mut book, Entry::SheetsExamined(exam)).unwrap();
    let import = import(
        &book,
        &format!("{HEAD}BW-0412,1,front,A1,OS,\nBW-0412,2,front,A1,OS,\n"),
    );
    assert_eq!((import.to_record(), import.refused().len()), (1, 1));
    let saved = import.refused_rows();
    assert_eq!(saved.name, "BW-0412-refused-rows.csv");
    let text = String::from_utf8(saved.bytes).unwrap();
    assert!(text.contains("Sheet 1 is already examined"), "{text}");
    record(&mut book, &import);
}

#[test]
fn the_longest_remarks_still_make_lines_that_the_book_takes() {
    let mut book = with_lot(4000);
    // Four bytes each in UTF-8, or one byte that is written as two.
    for sign in ["🜨", "\\"] {
        let remark = sign.repeat(REMARK_MAX);
        let side = if sign == "\\" { "front" } else { "back" };
        let row = |sheet| format!("BW-0412,{sheet},{side},H5,OS,{remark}\n");
        let csv = HEAD.to_owned() + &(1..=4000).map(row).collect::<String>();
        let import = import(&book, &csv);
        assert_eq!(import.to_record(), 4000);
        assert!(import.entries(&merin_layout()).len() >= 2);
        record(&mut book, &import);
    }
    assert_eq!(machine_tags(&book), 8000);
}

#[test]
fn a_long_name_keeps_its_end() {
    let long = format!("{}-press-3.csv", "x".repeat(300));
    assert!(file_name(&long).ends_with("-press-3.csv"));
    assert_eq!(file_name(&long).chars().count(), NAME_MAX);
    assert_eq!(file_name("  "), "unnamed file");
}
