//! Whatever comes in, nothing panics, and what is wrong is told in a sentence. Real inputs are
//! taken apart and put together again: flipped bits, cut and doubled pieces, strange characters.

use cullbook::book::{Book, Hash, Line, Verifier, text_of};
use cullbook::desk::bench::Bench;
use cullbook::desk::forms::{SpoilError, read_keys, read_spoils, write_keys};
use cullbook::export::{MachineContext, read_machine_file, refusals_csv};
use cullbook::inspect::starter_catalogue;
use cullbook::people::{SealedKey, SealingDice, Signature, Stamp};
use cullbook::sheet::Layout;
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::works::*;

/// Cases of each test, and of its long run (`make soak`).
const CASES: u32 = 2_000;
const SOAK: u32 = 200_000;

/// Longest sentence that tells what is wrong: an input of a megabyte is not said back.
const SENTENCE_MAX: usize = 1_000;

/// One way to spoil bytes. Places are parts of 65536 of the length.
#[derive(Clone, Debug)]
enum Edit {
    Flip(u16, u8),
    Delete(u16, u8),
    Insert(u16, &'static str),
    Bytes(u16, Vec<u8>),
    Double(u16, u8),
    Cut(u16),
    SwapLines(u16, u16),
    DoubleLine(u16),
}

/// Pieces that readers stumble over.
const PIECES: [&str; 36] = [
    "\n",
    "\r\n",
    "\0",
    "\u{feff}",
    "\u{2028}",
    "é",
    "e\u{301}",
    "🐋",
    "\"",
    "\\",
    "\\u0000",
    "\\ud800",
    "{",
    "}",
    "[[[[[[[[",
    "]",
    ",",
    ":",
    " ",
    "\t",
    "-0",
    "1e999",
    "NaN",
    "null",
    "true",
    "0",
    "18446744073709551616",
    "4294967295",
    "999999999999999",
    "\"v\":2,",
    "\"data\":{",
    "\"lot\":\"L1\",",
    "\"\"",
    ";",
    "'",
    "=cmd",
];

fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let place = any::<u16>;
    let one = prop_oneof![
        (place(), 0..8_u8).prop_map(|(at, bit)| Edit::Flip(at, bit)),
        (place(), 1..40_u8).prop_map(|(at, len)| Edit::Delete(at, len)),
        (place(), prop::sample::select(&PIECES[..])).prop_map(|(at, text)| Edit::Insert(at, text)),
        (place(), prop::collection::vec(any::<u8>(), 1..9))
            .prop_map(|(at, bytes)| Edit::Bytes(at, bytes)),
        (place(), 1..200_u8).prop_map(|(at, len)| Edit::Double(at, len)),
        place().prop_map(Edit::Cut),
        (place(), place()).prop_map(|(a, b)| Edit::SwapLines(a, b)),
        place().prop_map(Edit::DoubleLine),
    ];
    prop::collection::vec(one, 1..5)
}

fn spoil(mut bytes: Vec<u8>, edits: &[Edit]) -> Vec<u8> {
    for edit in edits {
        bytes = spoil_once(bytes, edit);
    }
    bytes
}

fn spoil_once(mut bytes: Vec<u8>, edit: &Edit) -> Vec<u8> {
    let len = bytes.len();
    let place = |at: u16| len * usize::from(at) / 65_536;
    match edit {
        Edit::Flip(at, bit) if len > 0 => bytes[place(*at)] ^= 1 << bit,
        Edit::Delete(at, most) => {
            let start = place(*at);
            bytes.drain(start..(start + usize::from(*most)).min(len));
        }
        Edit::Insert(at, piece) => {
            let at = place(*at);
            bytes.splice(at..at, piece.bytes());
        }
        Edit::Bytes(at, more) => {
            let at = place(*at);
            bytes.splice(at..at, more.iter().copied());
        }
        Edit::Double(at, most) => {
            let start = place(*at);
            let piece = bytes[start..(start + usize::from(*most)).min(len)].to_vec();
            bytes.splice(start..start, piece);
        }
        Edit::Cut(at) => bytes.truncate(place(*at)),
        Edit::SwapLines(..) | Edit::DoubleLine(_) => return spoil_lines(&bytes, edit),
        Edit::Flip(..) => {}
    }
    bytes
}

fn spoil_lines(bytes: &[u8], edit: &Edit) -> Vec<u8> {
    let mut lines: Vec<&[u8]> = bytes.split_inclusive(|byte| *byte == b'\n').collect();
    if lines.is_empty() {
        return Vec::new();
    }
    let count = lines.len();
    let line = |at: u16| count * usize::from(at) / 65_536;
    match edit {
        Edit::SwapLines(a, b) => lines.swap(line(*a), line(*b)),
        Edit::DoubleLine(at) => lines.insert(line(*at), lines[line(*at)]),
        _ => {}
    }
    lines.concat()
}

/// Runs one property so often on spoiled copies of an input.
fn on_spoiled(cases: u32, input: &[u8], check: impl Fn(&[u8])) {
    let mut runner = TestRunner::new(ProptestConfig::with_cases(cases));
    let run = runner.run(&edits(), |edits| {
        check(&spoil(input.to_vec(), &edits));
        Ok(())
    });
    run.unwrap_or_else(|why| panic!("{why}"));
}

/// What is wrong is told in a sentence that a screen can show.
#[track_caller]
fn is_a_sentence(why: &str) {
    assert!(why.len() <= SENTENCE_MAX, "{} bytes: {why}", why.len());
    assert!(why.ends_with(['.', '?']), "{why}");
    let start = why.chars().next().expect("a word");
    assert!(start.is_uppercase() || start == '"', "{why}");
}

/// Without the keys nothing but a beginning of the book itself can hold.
fn whole_books(cases: u32) {
    let file = Works::destroyed().book.to_jsonl().into_bytes();
    on_spoiled(cases, &file, |spoiled| match Book::read_file(spoiled) {
        Ok(_) => assert!(file.starts_with(spoiled)),
        Err(why) => is_a_sentence(&why.to_string()),
    });
}

/// With the author's key a spoiled line gets as far as the rules.
fn signed_lines(cases: u32) {
    let works = Works::destroyed();
    let texts = works.book.texts();
    let share = cases / texts.len() as u32;
    let mut before = Verifier::default();
    for text in texts {
        let (unsigned, _) = text.rsplit_once(",\"sig\":").expect("a signature");
        let by = Line::read(text).expect("a line").header.by;
        let key = key(by.as_str());
        on_spoiled(share, unsigned.as_bytes(), |spoiled| {
            let spoiled = String::from_utf8_lossy(spoiled);
            let sig = key.sign(format!("cullbook sign v2\n{spoiled}").as_bytes());
            let line = format!("{spoiled},\"sig\":\"{sig}\"}}");
            match before.clone().push(&line) {
                Ok(read) => assert_eq!(&*read.text, line),
                Err(why) => is_a_sentence(&why.to_string()),
            }
        });
        before.push(text).expect("it holds");
    }
}

fn machine_files(cases: u32) {
    let layout = Layout::new(layout(8, 5)).expect("a layout");
    let catalogue = starter_catalogue();
    let context = MachineContext {
        lot: id("L1"),
        sheets: 100,
        layout: &layout,
        catalogue: &catalogue,
        examined: &|sheet| sheet.number() == 12,
    };
    let mut file = "lot,sheet,side,position,class,remark\r\n".to_owned();
    for sheet in 1..30 {
        let row = format!(
            "L1,{sheet},front,A{},PH,\"a \"\"small\"\" hole\"\r\n",
            1 + sheet % 5
        );
        file.push_str(&row);
    }
    let whole = read_machine_file(file.as_bytes(), &context).expect("a file");
    assert_eq!(whole.accepted.len(), 28, "{:?}", whole.refused);
    on_spoiled(cases, file.as_bytes(), |spoiled| {
        match read_machine_file(spoiled, &context) {
            Ok(report) => {
                assert_eq!(report.accepted.len() + report.refused.len(), report.rows);
                let reasons = report.refused.iter().map(|row| row.reason.to_string());
                reasons.for_each(|why| is_a_sentence(&why));
                assert!(refusals_csv(&report).lines().count() > report.refused.len());
            }
            Err(why) => is_a_sentence(&why.to_string()),
        }
    });
}

fn key_files(cases: u32) {
    let works = Works::staffed();
    let dice = |code: &str| SealingDice {
        seed: *key(code).seed(),
        salt: [7; 16],
    };
    let sealed = ["ida", "sue"].map(|code| {
        let made = SealedKey::make(id(code), "a phrase for the fuzz", &dice(code));
        made.expect("a key").0
    });
    let file = write_keys(sealed.iter(), works.state()).expect("a file");
    assert_eq!(read_keys(&file, works.state()), Ok(sealed.to_vec()));
    on_spoiled(cases, file.as_bytes(), |spoiled| {
        let text = String::from_utf8_lossy(spoiled);
        if let Err(why) = read_keys(&text, works.state()) {
            is_a_sentence(&why);
        }
    });
}

/// A head, a moment, a signature and a list of spoils, as typed or scanned.
fn typed_texts(cases: u32) {
    let works = Works::replaced();
    let head = works.book.head().to_string();
    let typed = format!("{head}\n2026-11-25T14:02:11+01:00\nL1/5 KA000006, ZR000001\n{head}{head}");
    on_spoiled(cases, typed.as_bytes(), |spoiled| {
        let text = String::from_utf8_lossy(spoiled);
        for piece in text.lines().chain([&*text]) {
            let whys = [
                piece.parse::<Hash>().err().map(|why| why.to_string()),
                piece.parse::<Stamp>().err().map(|why| why.to_string()),
                piece.parse::<Signature>().err().map(|why| why.to_string()),
            ];
            whys.iter().flatten().for_each(|why| is_a_sentence(why));
        }
        let (_, errors) = read_spoils(&text, Some(id("L1")), works.state());
        let told = |error: &SpoilError| format!("Line {}: {}", error.line, error.why);
        errors.iter().for_each(|error| is_a_sentence(&told(error)));
        let _ = text_of(spoiled, 0).map_err(|why| is_a_sentence(&why.to_string()));
    });
}

/// The unfinished sheet of a crashed browser: taken up, or left alone.
fn drafts(cases: u32) {
    let works = Works::with_lot();
    let tag = r#"{"at":"A1","side":"front","class":"PH","source":"eye"}"#;
    let draft = format!(r#"{{"lot":"L1","sheet":3,"tags":[{tag}],"corrects":null,"reason":""}}"#);
    let taken_up = |text: &str| {
        let mut bench = Bench::default();
        bench.take_up(text, works.state());
        bench
    };
    let whole = taken_up(&draft);
    assert_eq!((whole.sheet, whole.draft.tags().len()), (sheet(3), 1));
    on_spoiled(cases, draft.as_bytes(), |spoiled| {
        let bench = taken_up(&String::from_utf8_lossy(spoiled));
        // What was taken up lies in the lot, and is kept again.
        if bench.lot.is_some() {
            assert!(works.lot("L1").sheet(bench.sheet).is_some(), "{bench:?}");
        }
        bench.kept(works.state());
    });
}

#[test]
fn spoiled_books_are_refused_in_a_sentence() {
    whole_books(CASES);
}

#[test]
fn spoiled_and_signed_lines_are_refused_in_a_sentence() {
    signed_lines(CASES);
}

#[test]
fn spoiled_machine_files_are_refused_in_a_sentence() {
    machine_files(CASES);
}

#[test]
fn spoiled_files_of_keys_are_refused_in_a_sentence() {
    key_files(CASES);
}

#[test]
fn spoiled_typed_texts_are_refused_in_a_sentence() {
    typed_texts(CASES);
}

#[test]
fn spoiled_drafts_are_taken_up_or_left() {
    drafts(CASES);
}

#[test]
#[ignore = "a hundred times the cases: make soak"]
fn soak_spoiled_inputs() {
    whole_books(SOAK);
    signed_lines(SOAK);
    machine_files(SOAK);
    key_files(SOAK);
    typed_texts(SOAK);
    drafts(SOAK);
}
