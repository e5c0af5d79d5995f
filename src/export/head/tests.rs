use super::super::day_record::day_record;
use super::super::sample::{Works, id};
use super::super::tables::DayTables;
use super::*;
use crate::book::HeadAnswer;

fn works() -> Works {
    Works::new()
}

fn whole(head: &Head) -> KeptHead {
    KeptHead::Whole {
        hash: head.hash,
        entries: Some(head.entries),
        book: Some(head.book),
    }
}

fn file(works: &Works) -> String {
    let file = head_file(&works.book, &works.now()).expect("a book that is open");
    file.expect("JSON").1
}

#[test]
fn what_leaves_comes_back_the_same() {
    let works = works();
    let head = works.book.whole_head().unwrap();
    assert_eq!(read_head(&head_text(&head)), Ok(whole(&head)));
    assert_eq!(read_head(&file(&works)), Ok(whole(&head)));
    let code = head.code();
    assert_eq!(read_head(&code.to_string()), Ok(KeptHead::Code(code)));
    let digits = head.hash.to_string().to_uppercase();
    let (left, right) = digits.split_at(32);
    let bare = KeptHead::Whole {
        hash: head.hash,
        entries: None,
        book: None,
    };
    assert_eq!(read_head(&format!(" {left}\n{right} ")), Ok(bare));
}

#[test]
fn a_file_carries_bench_day_and_count_in_its_name() {
    let works = works();
    let (name, _) = head_file(&works.book, &works.now()).unwrap().unwrap();
    let entries = works.book.len();
    assert_eq!(name, format!("B3_2026-11-25_head_{entries}.json"));
    assert!(head_file(&Book::default(), &works.now()).is_none());
}

#[test]
fn a_table_of_the_day_carries_a_head_too() {
    let works = works();
    let head = works.book.whole_head().unwrap();
    let day = day_record(&works.book, id("2026-11-25")).unwrap();
    let set = DayTables::of(&day);
    let table = set.tables.iter().find(|table| table.name == "day");
    assert_eq!(read_head(&set.csv(table.unwrap())), Ok(whole(&head)));
}

#[test]
fn what_carries_no_head_is_told_why() {
    let works = works();
    let file = file(&works);
    let code = works.book.whole_head().unwrap().code().to_string();
    assert_eq!(read_head("  "), Err(HeadTextError::Empty));
    let large = " ".repeat(HEAD_FILE_MAX + 1);
    assert_eq!(read_head(&large), Err(HeadTextError::TooLarge));
    let more = file.replacen('{', r#"{"more":1,"#, 1);
    assert!(matches!(read_head(&more), Err(HeadTextError::File(_))));
    let twice = file.replacen('{', r#"{"entries":1,"#, 1);
    assert!(matches!(read_head(&twice), Err(HeadTextError::File(_))));
    let later = file.replace(r#""version": 1"#, r#""version": 2"#);
    assert_eq!(read_head(&later), Err(HeadTextError::Version(2)));
    let other = HeadCode::new(1, &Hash::NONE).to_string();
    let changed = file.replace(&code, &other);
    assert_eq!(read_head(&changed), Err(HeadTextError::CodeDiffers));
    assert!(matches!(
        read_head("{\"a\":1}"),
        Err(HeadTextError::File(_))
    ));
    assert!(matches!(read_head("hello"), Err(HeadTextError::Code(_))));
    for other in ["<svg xmlns=\"\"/>", "PK\u{3}\u{4}workbook"] {
        let why = read_head(other).unwrap_err().to_string();
        assert!(why.contains("another kind"), "{why}");
    }
    for scan in [
        "cullbook head v1",
        "cullbook head v1 head 12",
        "cullbook head v9 head",
    ] {
        assert!(
            matches!(read_head(scan), Err(HeadTextError::Scanned(_))),
            "{scan}"
        );
    }
    let head = Hash::NONE;
    let bad = format!("cullbook head v1 entries many head {head}");
    assert_eq!(read_head(&bad), Err(HeadTextError::Scanned("head".into())));
    for error in [
        HeadTextError::Empty,
        HeadTextError::TooLarge,
        HeadTextError::Version(2),
    ] {
        assert!(error.to_string().ends_with('.'), "{error}");
    }
}

#[test]
fn no_cut_of_a_file_is_taken_for_a_whole_head() {
    let works = works();
    let file = file(&works);
    for cut in 0..file.trim_end().len() {
        let text = file.get(..cut).unwrap_or_default();
        assert!(read_head(text).is_err(), "{text}");
    }
    assert_ne!(
        works.book.answer(&read_head(&file).unwrap()),
        HeadAnswer::Nowhere
    );
}
