//! The chain: what was written reads back, and nothing else does.

use std::process::Command;

use cullbook::book::*;
use cullbook::custody::{Fact, Item, Stage};

use super::session_steps::*;
use super::works::*;

pub fn texts(works: &Works) -> Vec<String> {
    works
        .book
        .texts()
        .iter()
        .map(|text| text.to_string())
        .collect()
}

fn read(lines: &[String]) -> Result<Book, BookError> {
    Book::read(lines.iter().map(String::as_str))
}

/// A whole life of a lot in 50 lines and more.
pub fn long_book() -> Works {
    let mut works = Works::destroyed();
    works.must("sue", lot_closed("L1"));
    works.must("sue", lot("L2", 40, Some(numbered("KB", 40, 0))));
    works.must(
        "ida",
        Entry::MachineRead(machine("L2", &[(3, "A2 OM"), (4, "b:B1 PH")])),
    );
    for number in 1..=22 {
        works.must("ida", examined("L2", number, number, &["A1 PD", "b:B2 PH"]));
    }
    works.must(
        "sue",
        drawn("L2", "R1", vec![(id("KB000160"), id("ZR000008"))]),
    );
    works.must("sue", spoiled("R1", vec![id("ZR000008")]));
    works.must("ida", examined("L2", 23, 26, &["- PT"]));
    works.trouble([23, 24, 25, 26].map(|number| Item::Sheet(id("L2"), sheet(number))));
    works.must("sue", lot("L3", 3, None));
    works.must("ida", examined("L3", 1, 3, &["A1 PD"]));
    works.must("sue", lost("L3", 2));
    works.must("sue", lot_numbered("L3", numbered("KC", 2, 0)));
    let sample = sample_drawn(
        &works,
        "A-1",
        "L3",
        cullbook::quality::sampling::Severity::Normal,
    );
    works.must("sue", Entry::AcceptanceDrawn(sample));
    works.must("sue", looked("A-1", sheet(3), &["A1 PD"]));
    let seq = works.last_word("L2", 9);
    let verdict = cullbook::inspect::Verdict::Spoiled;
    works.must("sue", overruled("L2", 9, seq, verdict));
    works.must(
        "sue",
        drawn("L2", "R1", vec![(id("KB000160"), id("ZR000009"))]),
    );
    works.must("sue", returned("R1", vec![id("ZR000009")]));
    let classes = cullbook::inspect::starter_catalogue();
    works.must("sue", Entry::ClassesSet(ClassesSet { classes }));
    hold_a_session(&mut works);
    works.must(
        "sue",
        Entry::PersonRetired(PersonRetired { person: id("wim") }),
    );
    works.must("sue", rekeyed("wes"));
    works.must("sue", Entry::ScaleSet(scale("W1")));
    works.must("sue", paper("M20"));
    works.must("sue", width_target("M20"));
    works.must("ida", Entry::MeasureTaken(widths("M20", &[12, -7, 0])));
    works.must(
        "cal",
        Entry::ResidueSent(residue(&["D1"], "R-1", "2026-11-25")),
    );
    let (to, told) = (id("ivo"), "all is done".to_owned());
    works.must("ida", Entry::ShiftHandedOver(ShiftHandedOver { to, told }));
    works.must("ida", healed(Home::First, 3, 4));
    let copy = copy_taken(&works.book);
    works.must("ivo", copy);
    let head = head_taken(&works.book, Way::Print, None);
    works.must("ivo", head);
    works.must("sue", day_closed("2026-11-25"));
    assert!(works.book.len() >= 50, "{}", works.book.len());
    works
}

/// One session given up, one held in which a witness is replaced, and a fact of it corrected.
fn hold_a_session(works: &mut Works) {
    works.must("cal", container("C2"));
    let fill = works.fill("C2");
    works.must("cal", fill);
    works.must("cal", sealed("C2", "S-2", "cas"));
    works.must("cal", begin("D2", &["C2"]));
    works.must("cal", abandoned("D2"));
    works.must("cal", begin("D3", &["C2"]));
    works.must("ivo", failed_key("wim", 3));
    works.must("cal", left("D3", "wim", None));
    works.must("cal", came("D3", "wim"));
    works.up_to(Stage::Statement);
    let record = works.record();
    works.must("cal", Entry::SpoilsDestroyed(record));
    let place = Fact::Place("Hall 4".to_owned());
    works.must("sue", fact_corrected("D3", place, "cal"));
}

#[test]
fn a_book_reads_back_from_its_file_with_the_same_head_and_state() {
    let works = long_book();
    let file = works.book.to_jsonl();
    let again = Book::read(file.lines()).unwrap();
    assert_eq!(again.head(), works.book.head());
    assert_eq!(again.to_jsonl(), file);
    assert_eq!(
        format!("{:?}", again.state()),
        format!("{:?}", works.state())
    );
}

/// Each of the bits of the file, line ends among them, in two halves side by side.
#[test]
fn every_flipped_bit_is_found_at_its_line() {
    let works = long_book();
    let (file, head) = (works.book.to_jsonl(), works.book.head());
    let flipped: usize = std::thread::scope(|scope| {
        let halves = [0, 1].map(|half| {
            let file = file.as_bytes();
            scope.spawn(move || flip_each_bit_of_every_second_line(file, half, head))
        });
        halves.map(|half| half.join().expect("a half")).iter().sum()
    });
    assert_eq!(flipped, 8 * file.len());
}

/// Gives back how many bits were flipped.
fn flip_each_bit_of_every_second_line(file: &[u8], half: usize, head: Hash) -> usize {
    let raws: Vec<&[u8]> = file.split_inclusive(|byte| *byte == b'\n').collect();
    let (mut book, mut flipped) = (Verifier::default(), 0);
    for (number, raw) in raws.iter().enumerate() {
        for bit in (0..8 * raw.len()).filter(|_| number % 2 == half) {
            let mut bytes = [raw, *raws.get(number + 1).unwrap_or(&&[][..])].concat();
            bytes[bit / 8] ^= 1 << (bit % 8);
            let first = bytes.split_inclusive(|byte| *byte == b'\n').next();
            let text = text_of(first.expect("a line"), book.len());
            let why = text.and_then(|text| book.push(text).map(drop)).err();
            let line = why.as_ref().map(line_of);
            assert_eq!(
                line,
                Some(book.len()),
                "bit {bit} of line {number}: {why:?}"
            );
            flipped += 1;
        }
        book.push(text_of(raw, book.len()).unwrap()).unwrap();
    }
    assert_eq!(book.head(), head);
    flipped
}

/// The line that is blamed.
pub fn line_of(error: &BookError) -> u64 {
    match error {
        BookError::Line { line, .. }
        | BookError::NotText { line }
        | BookError::NoLineEnd { line }
        | BookError::Order { line, .. }
        | BookError::Chain { line }
        | BookError::Bench { line, .. }
        | BookError::Signature { line, .. }
        | BookError::Refused { line, .. } => *line,
        BookError::Empty => panic!("the book is not empty"),
    }
}

#[test]
fn lines_that_are_missing_doubled_or_swapped_are_found() {
    let lines = texts(&long_book());
    let order = |line, found| Some(BookError::Order { line, found });
    let mut missing = lines.clone();
    missing.remove(7);
    assert_eq!(read(&missing).err(), order(7, 8));
    let mut doubled = lines.clone();
    doubled.insert(8, lines[7].clone());
    assert_eq!(read(&doubled).err(), order(8, 7));
    let mut swapped = lines.clone();
    swapped.swap(7, 8);
    assert_eq!(read(&swapped).err(), order(7, 8));
    assert_eq!(read(&[]).err(), Some(BookError::Empty));
}

#[test]
fn lines_of_another_book_or_bench_do_not_follow() {
    let lines = texts(&long_book());
    let mut stranger = Works::staffed();
    stranger.must("sue", lot("L7", 5, None));
    let mut mixed = lines[..5].to_vec();
    mixed.push(texts(&stranger)[5].clone());
    // Same opening, same people: the lines are equal up to there, so the chain still holds …
    assert_eq!(read(&mixed).unwrap().len(), 6);
    // … and no longer once they have parted.
    mixed = lines[..13].to_vec();
    let head = read(&mixed).unwrap().head();
    mixed.push(rewritten(&texts(&stranger)[10], |line| {
        line["seq"] = 13.into()
    }));
    assert_eq!(read(&mixed).err(), Some(BookError::Chain { line: 13 }));
    mixed[13] = rewritten(&mixed[13], |line| {
        line["prev"] = head.to_string().into();
        line["bench"] = "B2".into();
    });
    let (found, expected) = (id("B2"), id("B1"));
    assert_eq!(
        read(&mixed).err(),
        Some(BookError::Bench {
            line: 13,
            found,
            expected
        })
    );
}

/// A cut-off end leaves a book that holds. Only the head shows that something is gone.
#[test]
fn truncation_is_told_by_a_head_and_by_nothing_else() {
    let works = long_book();
    let lines = texts(&works);
    for length in 1..lines.len() {
        let short = read(&lines[..length]).expect("a shorter book still holds");
        assert_ne!(short.head(), works.book.head());
    }
    // A file cut anywhere else has no last line end.
    let file = works.book.to_jsonl();
    for length in (1..file.len()).step_by(97) {
        let (whole, short) = (
            file[..length].matches('\n').count(),
            &file.as_bytes()[..length],
        );
        match Book::read_file(short) {
            Ok(_) => assert!(file[..length].ends_with('\n')),
            Err(why) => assert_eq!(why, BookError::NoLineEnd { line: whole as u64 }),
        }
    }
    let copied = works
        .state()
        .last_copy
        .clone()
        .expect("a copy left the machine");
    let kept = read(&lines[..copied.seq as usize]).unwrap();
    let note = &lines[copied.seq as usize];
    assert!(
        note.contains(&kept.head().to_string()),
        "the note of the copy names the head it carried"
    );
}

/// Without the keys a changed line has no signature that holds, however the chain is mended.
#[test]
fn a_change_by_someone_without_the_keys_is_refused_at_its_line() {
    let lines = texts(&Works::replaced());
    let mut forged = lines[..9].to_vec();
    let was = written(&lines[9], "at");
    forged.push(lines[9].replacen(&was, "\"at\":\"2026-11-25T08:00:59+01:00\"", 1));
    let by = id("sue");
    assert_eq!(
        read(&forged).err(),
        Some(BookError::Signature { line: 9, by })
    );
    // Signed by another who is enrolled.
    forged[9] = signed_by("ida", &lines[9], |_| {});
    assert_eq!(
        read(&forged).err(),
        Some(BookError::Signature { line: 9, by })
    );
}

/// With every key in one hand the chain can be written anew. A head kept elsewhere shows it.
#[test]
fn a_change_with_every_key_in_hand_has_another_head() {
    let works = Works::replaced();
    let mut forged = Book::default();
    for text in texts(&works) {
        let line = rewritten(&text, |line| {
            line["prev"] = forged.head().to_string().into();
            if line["kind"] == "book.opened" {
                line["data"]["works"] = "Elsewhere works".into();
            }
        });
        forged.push_text(&line).unwrap();
    }
    assert_eq!(forged.len(), works.book.len());
    assert_ne!(forged.head(), works.book.head());
}

/// Not even then can a witness be made to have signed something else.
#[test]
fn what_others_signed_cannot_be_moved_to_another_place() {
    let lines = texts(&Works::destroyed());
    let sealing = lines
        .iter()
        .position(|line| line.contains("container.sealed"));
    let at = sealing.expect("a sealing");
    let refused = |change: &dyn Fn(&mut serde_json::Value)| {
        let mut book = read(&lines[..at]).unwrap();
        let why = book.push_text(&rewritten(&lines[at], change)).unwrap_err();
        let BookError::Refused { why, .. } = why else {
            panic!("{why}")
        };
        *why
    };
    let other = refused(&|line| line["data"]["seal"] = "S-9".into());
    assert_eq!(other, Refusal::OtherStatement);
    let (by, meaning) = (id("cas"), cullbook::people::Meaning::SecondPerson);
    let also = written(&lines[at], "also");
    let none = lines[at].replace(&also, "\"also\":[]");
    assert_eq!(unreadable(&none), LineError::HalfCountersigned);
    let twice = refused(&|line| {
        let one = line["also"][0].clone();
        line["also"].as_array_mut().unwrap().push(one);
    });
    assert_eq!(twice, Refusal::ExtraCountersignature { by, meaning });
    let forged = refused(&|line| line["also"][0]["sig"] = line["sig"].clone());
    assert_eq!(forged, Refusal::WrongCountersignature { by, meaning });
    let (by, meaning) = (id("cas"), cullbook::people::Meaning::Witness);
    let renamed = refused(&|line| line["also"][0]["as"] = "witness".into());
    assert_eq!(renamed, Refusal::ExtraCountersignature { by, meaning });
}

/// A long book is shown before every signature is checked; none is forgotten.
#[test]
fn signatures_checked_later_are_checked_all_the_same() {
    let works = long_book();
    let mut lines = texts(&works);
    let mut ahead = Book::read_ahead(lines.iter().map(String::as_str)).unwrap();
    assert_eq!(ahead.unchecked(), lines.len());
    while ahead.check_signatures(7).expect("all hold") > 0 {}
    assert_eq!(ahead.head(), works.book.head());
    let last = lines.len() - 1;
    lines[last] = signed_by("ida", &lines[last], |_| {});
    let mut ahead = Book::read_ahead(lines.iter().map(String::as_str)).unwrap();
    let (line, by) = (last as u64, id("sue"));
    assert_eq!(
        ahead.check_signatures(1000),
        Err(BookError::Signature { line, by })
    );
}

/// The old key signed what it signed; from then on only the new one does.
#[test]
fn a_person_with_a_new_key_signs_with_it_and_old_lines_hold() {
    let mut works = Works::examined();
    works.must("sue", rekeyed("ida"));
    let by = id("ida");
    let refused = works.write("ida", copy_taken(&works.book.clone()));
    assert_eq!(refused, Err(Refusal::WrongKey(by)));
    works.keys.insert(by, key("ida again"));
    let copy = copy_taken(&works.book);
    works.must("ida", copy);
    let again = read(&texts(&works)).unwrap();
    assert_eq!(again.head(), works.book.head());
}

const MEMBERS: [&str; 9] = [
    "v", "seq", "id", "bench", "at", "by", "prev", "kind", "data",
];

/// The line as JSON, changed and written in the book's own order of members, signed anew by its
/// author.
fn rewritten(text: &str, change: impl FnOnce(&mut serde_json::Value)) -> String {
    let value: serde_json::Value = serde_json::from_str(text).unwrap();
    let by = value["by"].as_str().unwrap().to_owned();
    signed_by(&by, text, change)
}

fn signed_by(by: &str, text: &str, change: impl FnOnce(&mut serde_json::Value)) -> String {
    let mut value: serde_json::Value = serde_json::from_str(text).unwrap();
    change(&mut value);
    let members = MEMBERS.into_iter().chain(["statement", "also"]);
    let members = members.filter(|name| value.get(name).is_some());
    let members = members.map(|name| format!("{name:?}:{}", as_in(text, &value[name])));
    let unsigned = format!("{{{}", members.collect::<Vec<_>>().join(","));
    let sig = key(by).sign(format!("cullbook sign v2\n{unsigned}").as_bytes());
    format!("{unsigned},\"sig\":\"{sig}\"}}")
}

/// A value with its members in the order in which the line first names them: serde_json's own
/// order would sort them.
fn as_in(line: &str, value: &serde_json::Value) -> String {
    use serde_json::Value::{Array, Object};
    match value {
        Array(list) => {
            let list = list.iter().map(|one| as_in(line, one));
            format!("[{}]", list.collect::<Vec<_>>().join(","))
        }
        Object(members) => {
            let mut members: Vec<_> = members.iter().collect();
            members.sort_by_key(|(name, _)| line.find(&format!("{name:?}:")));
            let member = |(name, value)| format!("{name:?}:{}", as_in(line, value));
            let members = members.into_iter().map(member);
            format!("{{{}}}", members.collect::<Vec<_>>().join(","))
        }
        _ => value.to_string(),
    }
}

/// A member with its value, as the line writes it.
fn written(line: &str, member: &str) -> String {
    let name = format!("{member:?}:");
    let start = line.find(&name).expect(member);
    let end = match member {
        "data" | "also" => line.rfind(",\"sig\":\"").expect("a signature follows"),
        _ => start + line[start..].find(',').expect("another member follows"),
    };
    line[start..end].to_owned()
}

#[track_caller]
fn unreadable(text: &str) -> LineError {
    Line::read(text).expect_err(text)
}

#[test]
fn a_line_has_every_member_once_and_no_other() {
    let lines = texts(&Works::staffed());
    let line = &lines[1];
    for member in MEMBERS {
        let written = written(line, member);
        let gone = line.replacen(&format!("{written},"), "", 1);
        let gone = gone.replacen(&format!(",{written}"), "", 1);
        let why = unreadable(&gone).to_string();
        assert!(why.contains(&format!("missing field `{member}`")), "{why}");
        let doubled = line.replacen('{', &format!("{{{written},"), 1);
        let why = unreadable(&doubled).to_string();
        assert!(
            why.contains(&format!("duplicate field `{member}`")),
            "{why}"
        );
    }
    let more = line.replacen('{', "{\"note\":1,", 1);
    assert!(
        unreadable(&more)
            .to_string()
            .contains("unknown field `note`")
    );
    for text in [
        "",
        "{}",
        "[]",
        "null",
        &format!("{line}{line}"),
        &format!("{line},"),
    ] {
        assert!(matches!(unreadable(text), LineError::NotALine(_)), "{text}");
    }
}

#[test]
fn versions_and_kinds_that_are_not_known_are_refused() {
    let lines = texts(&Works::staffed());
    let changed =
        |member: &str, value: serde_json::Value| rewritten(&lines[1], |line| line[member] = value);
    assert_eq!(unreadable(&changed("v", 1.into())), LineError::Version(1));
    let kind = LineError::UnknownKind("person.enroled".to_owned());
    assert_eq!(unreadable(&changed("kind", "person.enroled".into())), kind);
    let other = unreadable(&changed("kind", "lot.closed".into()));
    assert!(matches!(other, LineError::Data { kind, .. } if kind == "lot.closed"));
    let long = lines[1].clone() + &" ".repeat(LINE_MAX);
    assert_eq!(unreadable(&long), LineError::TooLong);
}

#[test]
fn data_has_its_members_once_and_no_other() {
    let mut all = texts(&long_book());
    let (cut, ..) = super::checkpoint::cut();
    all.extend(texts(&cut).pop());
    let mut healed = long_book();
    let lines = StoreHealed {
        home: Home::First,
        from: 3,
        to: 4,
    };
    healed.must("ivo", Entry::StoreHealed(lines));
    all.extend(texts(&healed).pop());
    let mut kinds = std::collections::BTreeSet::new();
    for text in all {
        let value: serde_json::Value = serde_json::from_str(&text).unwrap();
        let kind = value["kind"].as_str().unwrap().to_owned();
        let more = text.replacen("\"data\":{", "\"data\":{\"note\":1,", 1);
        assert_ne!(more, text, "{kind}");
        let why = unreadable(&more).to_string();
        assert!(why.contains("unknown field `note`"), "{kind}: {why}");
        let (name, first) = value["data"].as_object().unwrap().iter().next().unwrap();
        let doubled = format!("\"data\":{{{name:?}:{first},");
        let why = unreadable(&text.replacen("\"data\":{", &doubled, 1)).to_string();
        assert!(why.contains("duplicate field"), "{kind}: {why}");
        kinds.insert(kind);
    }
    assert_eq!(kinds.len(), Entry::KINDS.len(), "{kinds:?}");
}

/// Two readers must never see two different values in one line.
#[test]
fn a_class_overridden_twice_is_refused() {
    let mut works = Works::staffed();
    let mut twofold = rules();
    twofold
        .overrides
        .insert(id("PH"), cullbook::inspect::Severity::Minor);
    works.must("sue", Entry::RulesSet(twofold));
    let line = texts(&works).pop().unwrap();
    let once = "\"overrides\":{\"PH\":\"minor\"}";
    assert!(line.contains(once), "{line}");
    let twice = line.replace(once, "\"overrides\":{\"PH\":\"minor\",\"PH\":\"major\"}");
    let why = unreadable(&twice).to_string();
    assert!(why.contains("class PH is named twice"), "{why}");
}

/// The reader in Python (tests/python/check_book.py) knows the chain from its description alone.
#[test]
fn the_reader_in_python_takes_the_book_and_no_flip_of_it() {
    let works = long_book();
    let folder = tempfile::tempdir().unwrap();
    let file = works.book.to_jsonl();
    let whole = folder.path().join("whole.jsonl");
    std::fs::write(&whole, &file).unwrap();
    let mut flipped = Vec::new();
    // A bit in every 61 bytes: 61 and 8 have no divisor in common, so every bit has its turn.
    for (turn, byte) in (0..file.len()).step_by(61).enumerate() {
        let mut bytes = file.clone().into_bytes();
        bytes[byte] ^= 1 << (turn % 8);
        let text = String::from_utf8(bytes.clone());
        let ours = text.ok().and_then(|text| Book::read(text.lines()).ok());
        assert!(
            ours.is_none_or(|book| book.head() != works.book.head()),
            "byte {byte}"
        );
        let path = folder.path().join(format!("byte-{byte}.jsonl"));
        std::fs::write(&path, bytes).unwrap();
        flipped.push(path);
    }
    let check = |files: &[std::path::PathBuf]| {
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/check_book.py");
        let mut python = Command::new("python3");
        python.args(["-B", script, "--head", &works.book.head().to_string()]);
        let output = python.args(files).output().expect("python3 is installed");
        (
            output.status.code(),
            String::from_utf8(output.stdout).unwrap(),
        )
    };
    let (code, said) = check(std::slice::from_ref(&whole));
    assert_eq!(code, Some(0), "{said}");
    assert!(
        said.contains(&format!("{} lines", works.book.len())),
        "{said}"
    );
    let (code, said) = check(&flipped);
    assert_eq!(code, Some(1));
    let refused = said
        .lines()
        .filter(|line| line.contains(": not held: "))
        .count();
    assert_eq!(refused, flipped.len(), "{said}");
    assert!(refused > 200, "{refused}");
}
