use proptest::prelude::*;

use super::*;
use crate::inspect::{REMARK_MAX, Source, TagError, starter_catalogue};
use crate::sheet::{Grammage, LayoutSpec, Length, NameScheme, RankOrder, Turn};

const HEADER: &str = "lot,sheet,side,position,class,remark\n";

fn layout() -> Layout {
    let mm = |mm| Length::from_mm(mm).unwrap();
    let spec = LayoutSpec {
        rows: 8,
        columns: 5,
        note_width: mm(140.0),
        note_height: mm(70.0),
        margin_x: mm(10.0),
        margin_y: mm(10.0),
        gutter_x: Length::default(),
        gutter_y: Length::default(),
        sheet_width: mm(720.0),
        sheet_height: mm(580.0),
        grammage: Grammage::from_g_per_m2(85.0).unwrap(),
        names: NameScheme::RowLetterColumnNumber,
        order: RankOrder::Rows,
        turn: Turn::WorkAndTurn,
    };
    Layout::new(spec).unwrap()
}

/// Reads for lot BW-0412 of 100 sheets, of which sheet 12 is examined.
fn read(bytes: &[u8]) -> Result<MachineReport, MachineFileError> {
    let (layout, catalogue) = (layout(), starter_catalogue());
    let context = MachineContext {
        lot: "BW-0412".parse().unwrap(),
        sheets: 100,
        layout: &layout,
        catalogue: &catalogue,
        examined: &|sheet| sheet.number() == 12,
    };
    read_machine_file(bytes, &context)
}

fn rows(rows: &str) -> MachineReport {
    read(format!("{HEADER}{rows}").as_bytes()).unwrap()
}

#[test]
fn rows_become_tags_in_sheet_order() {
    let report = rows(
        "BW-0412,7,back,B3,OS,\r\n BW-0412 ,007,F,a1,nb,\"thick, left\"\r\nBW-0412,2,B,,PT,\r\n",
    );
    let layout = layout();
    let tag = |spot, side, class: &str, remark: Option<&str>| Tag {
        spot,
        side,
        class: class.parse().unwrap(),
        source: Source::Machine,
        remark: remark.map(str::to_owned),
    };
    let note = |name| Spot::Note(layout.find(name).unwrap());
    let sheet = |number| SheetNo::new(number).unwrap();
    let expected = [
        (sheet(2), tag(Spot::WholeSheet, Side::Back, "PT", None)),
        (
            sheet(7),
            tag(note("A1"), Side::Front, "NB", Some("thick, left")),
        ),
        (sheet(7), tag(note("B3"), Side::Back, "OS", None)),
    ];
    assert_eq!(report.accepted, expected);
    assert_eq!((report.refused.len(), report.rows), (0, 3));
}

#[test]
fn columns_may_stand_in_any_order_after_a_byte_order_mark() {
    let file = "\u{FEFF}\"Class\",remark,POSITION,lot,side,sheet\nOS,,A1,BW-0412,f,3\n";
    let report = read(file.as_bytes()).unwrap();
    assert_eq!((report.accepted.len(), report.refused.len()), (1, 0));
}

/// Every refusal of a row: the row, the column named, the value shown, the reason.
#[test]
fn each_wrong_row_is_refused_with_its_column_and_reason() {
    use Column::{Class, Lot, Position, Remark, Sheet, Side};
    let long = "x".repeat(REMARK_MAX + 1);
    let code = |text: &str| text.parse().unwrap();
    let cases: Vec<(String, Option<Column>, RowRefusal)> = vec![
        (
            "BW-0413,1,f,A1,OS,".into(),
            Some(Lot),
            RowRefusal::OtherLot {
                expected: "BW-0412".parse().unwrap(),
            },
        ),
        (
            "BW-0412,1.0,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::SheetNotANumber,
        ),
        (
            "BW-0412,+1,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::SheetNotANumber,
        ),
        (
            "BW-0412,,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::SheetNotANumber,
        ),
        (
            "BW-0412,0,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::SheetOutsideLot { sheets: 100 },
        ),
        (
            "BW-0412,101,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::SheetOutsideLot { sheets: 100 },
        ),
        (
            "BW-0412,99999999999,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::SheetOutsideLot { sheets: 100 },
        ),
        (
            "BW-0412,12,f,A1,OS,".into(),
            Some(Sheet),
            RowRefusal::AlreadyExamined {
                sheet: SheetNo::new(12).unwrap(),
            },
        ),
        ("BW-0412,1,top,A1,OS,".into(), Some(Side), RowRefusal::Side),
        (
            "BW-0412,1,f,J9,OS,".into(),
            Some(Position),
            TagError::UnknownPosition("J9".into()).into(),
        ),
        (
            "BW-0412,1,f,A1,O1,".into(),
            Some(Class),
            "O1".parse::<ClassCode>().unwrap_err().into(),
        ),
        (
            "BW-0412,1,f,A1,ZZ,".into(),
            Some(Class),
            TagError::UnknownClass(code("ZZ")).into(),
        ),
        (
            "BW-0412,1,f,,OS,".into(),
            Some(Position),
            TagError::NoteClassWithoutPosition(code("OS")).into(),
        ),
        (
            "BW-0412,1,f,A1,PT,".into(),
            Some(Position),
            TagError::SheetClassWithPosition(code("PT")).into(),
        ),
        (
            format!("BW-0412,1,f,A1,OS,{long}"),
            Some(Remark),
            TagError::RemarkTooLong.into(),
        ),
        (
            "BW-0412,1,f,A1,OS,a\u{7}b".into(),
            Some(Remark),
            RowRefusal::RemarkControl { found: '\u{7}' },
        ),
        (
            "BW-0412,1,f,A1,OS".into(),
            None,
            RowRefusal::FieldCount { found: 5 },
        ),
        (
            "BW-0412,1,f,A1,OS,a,b".into(),
            None,
            RowRefusal::FieldCount { found: 7 },
        ),
        (
            "BW-0412,1,f,A1,OS,\"open".into(),
            None,
            QuoteFault::NotClosed.into(),
        ),
        (
            "BW-0412,1,f,A1,OS,\"a\"b".into(),
            None,
            QuoteFault::TextAfter.into(),
        ),
        (
            "BW-0412,1,f,A1,OS,a\"b".into(),
            None,
            QuoteFault::Inside.into(),
        ),
    ];
    for (row, column, reason) in cases {
        let report = rows(&format!(
            "BW-0412,5,f,A1,OS,\n\n{row}\nBW-0412,5,f,A2,OS,\n"
        ));
        assert_eq!(
            (report.accepted.len(), report.rows),
            (2, 3),
            "{row}: its neighbours are taken"
        );
        let [refused] = &report.refused[..] else {
            panic!("{row}: {:?}", report.refused)
        };
        assert_eq!(
            (refused.line, refused.column, &refused.reason),
            (4, column, &reason),
            "{row}"
        );
        assert_eq!(refused.row, row);
        let field = |column: Column| row.split(',').nth(column as usize).unwrap();
        assert_eq!(
            refused.value,
            column.map_or(String::new(), |c| shortened(field(c), 40)),
            "{row}"
        );
    }
}

#[test]
fn a_long_value_is_shown_short_but_the_row_is_kept() {
    let row = format!("BW-0412,1,f,A1,OS,{}", "x".repeat(200));
    let report = rows(&row);
    assert_eq!(report.refused[0].value, "x".repeat(40) + "…");
    assert_eq!(report.refused[0].row, row);
    let endless = "x".repeat(1983);
    let endless = rows(&format!(
        "BW-0412,1,f,A1,OS,{endless}\nBW-0412,1,f,A1,OS,\n"
    ));
    assert_eq!(
        endless.refused[0].reason,
        RowRefusal::TooLong { bytes: 2001 }
    );
    assert_eq!(endless.accepted.len(), 1);
    let control = rows("BW-0412,1,f,A1,OS,a\u{7}b\n");
    assert_eq!(control.refused[0].value, "a\\u{7}b");
}

#[test]
fn a_defect_named_twice_is_refused_with_the_first_line() {
    let report = rows(
        "BW-0412,1,f,A1,OS,a\nBW-0412,1,b,A1,OS,\nBW-0412,1,front,a1,os,b\nBW-0412,1,f,A1,OS,c\n",
    );
    assert_eq!(report.accepted.len(), 2);
    let named: Vec<_> = report
        .refused
        .iter()
        .map(|row| (row.line, &row.reason))
        .collect();
    let first = RowRefusal::Duplicate { line: 2 };
    assert_eq!(named, [(4, &first), (5, &first)]);
}

#[test]
fn whole_files_are_refused_by_name() {
    let says = |bytes: &[u8]| read(bytes).unwrap_err().to_string();
    assert_eq!(read(b""), Err(MachineFileError::Empty));
    assert_eq!(read(b"\xEF\xBB\xBF\r\n \n"), Err(MachineFileError::Empty));
    for utf16 in [
        &b"\xFF\xFEl\0o\0"[..],
        b"\xFE\xFF\0l\0o",
        b"l\0o\0t\0",
        b"\0l\0o\0t",
    ] {
        assert_eq!(read(utf16), Err(MachineFileError::Utf16));
    }
    let broken = [HEADER.as_bytes(), b"BW-0412,1,f,A1,OS,gro\xDF\n"].concat();
    assert_eq!(
        says(&broken),
        "The file is not UTF-8 text: byte 59 (line 2) belongs to no letter. Save it again as \"CSV UTF-8\"."
    );
    assert_eq!(
        says(b"lot;sheet;side\n"),
        "The first line is split by semicolons: \"lot;sheet;side\". Save the file with commas between the fields."
    );
    assert_eq!(
        says(b"lot,sheet,side,position,class,remark,camera\n"),
        "The first line names a column \"camera\" that is not known: \"lot,sheet,side,position,class,remark,camera\". The columns are lot, sheet, side, position, class, remark, in any order."
    );
    assert!(
        says(b"lot,sheet,side,position,class\n")
            .starts_with("The first line lacks the column remark")
    );
    assert!(
        says(b"lot,sheet,side,lot,class,remark\n")
            .starts_with("The first line names the column lot twice")
    );
    assert!(says(b"lot,\"sheet\n").starts_with("The first line has a quote out of place"));
    let endless = read(&[b','; 2001]);
    assert_eq!(
        endless,
        Err(MachineFileError::HeaderTooLong { bytes: 2001 })
    );
    let large = MAX_BYTES + 1;
    assert_eq!(
        read(&vec![b' '; large]),
        Err(MachineFileError::TooLarge { bytes: large })
    );
}

#[test]
fn one_row_more_than_the_most_is_refused() {
    let file = |rows| format!("{HEADER}{}", "x\n".repeat(rows)).into_bytes();
    assert_eq!(read(&file(MAX_ROWS)).unwrap().refused.len(), MAX_ROWS);
    let rows = MAX_ROWS + 1;
    assert_eq!(
        read(&file(rows)),
        Err(MachineFileError::TooManyRows { rows })
    );
}

#[test]
fn the_last_sheet_and_the_longest_remark_are_taken() {
    let remark = "ß".repeat(REMARK_MAX);
    let report = rows(&format!(
        "BW-0412,1,f,A1,OS,\nBW-0412,100,f,H5,OS,{remark}\n"
    ));
    assert_eq!((report.accepted.len(), report.refused.len()), (2, 0));
}

#[test]
fn a_file_without_defects_is_a_good_file() {
    assert_eq!(rows("").rows, 0);
}

#[test]
fn steps_give_the_same_report_as_one_go() {
    let (layout, catalogue) = (layout(), starter_catalogue());
    let context = MachineContext {
        lot: "BW-0412".parse().unwrap(),
        sheets: 100,
        layout: &layout,
        catalogue: &catalogue,
        examined: &|_| false,
    };
    let defects = (1..=25).map(|sheet| format!("BW-0412,{},f,A1,OS,\n", sheet * 5 % 26));
    let file = HEADER.to_owned() + &defects.collect::<String>();
    let mut reader = MachineReader::new(file.as_bytes(), context).unwrap();
    let mut seen = Vec::new();
    while !reader.step(10).is_done() {
        seen.push(reader.progress.done);
    }
    assert_eq!(seen, [10, 20]);
    assert_eq!(
        reader.finish(),
        read_machine_file(file.as_bytes(), &context).unwrap()
    );
}

#[test]
fn refused_rows_are_saved_as_they_were_and_run_no_formula() {
    let report = rows("=1+2,1,f,A1,OS,\"a, b\"\n");
    assert_eq!(
        refusals_csv(&report),
        "line,column,value,reason,row\r\n2,lot,\"'=1+2\",The row is not about lot BW-0412. Take it in with its own lot.,\"'=1+2,1,f,A1,OS,\"\"a, b\"\"\"\r\n"
    );
}

/// Fields that are near enough to right ones that every path is taken.
fn any_row() -> impl Strategy<Value = String> {
    let field = |right: &'static str| prop_oneof![8 => right, 1 => "[\"=, a\u{7}ß]{0,4}", 1 => Just(String::new())];
    let fields = [
        field("BW-0412"),
        field("[0-9]{1,3}"),
        field("(f|b|front|BACK)"),
        field("[A-H][1-5]"),
        field("(OS|NB|PT|ZZ)"),
        field("[a-z ]{0,5}"),
    ];
    fields.prop_map(|fields| fields.join(","))
}

proptest! {
    #[test]
    fn no_bytes_at_all_make_it_panic(bytes in any::<Vec<u8>>()) {
        let mut file = HEADER.as_bytes().to_vec();
        let bare = read(&bytes);
        prop_assert!(bare.is_err() || bare.unwrap().rows <= bytes.len());
        file.extend(&bytes);
        if let Ok(report) = read(&file) {
            prop_assert_eq!(report.accepted.len() + report.refused.len(), report.rows);
        }
    }

    #[test]
    fn every_row_is_accepted_or_refused(lines in prop::collection::vec(any_row(), 0..20)) {
        let report = rows(&lines.join("\r\n"));
        prop_assert_eq!(report.accepted.len() + report.refused.len(), report.rows);
        prop_assert!(report.accepted.is_sorted());
        let blank = lines.iter().filter(|line| line.trim().is_empty()).count();
        prop_assert_eq!(report.rows, lines.len() - blank);
        for refused in &report.refused {
            prop_assert_eq!(&refused.row, &lines[refused.line as usize - 2]);
            prop_assert!(refused.reason.to_string().ends_with('.'));
        }
    }
}
