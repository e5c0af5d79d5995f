//! Books that a person with keys, but without the right, has written past the program: every line
//! is well formed, follows its head and is signed by whom it names, with the real keys. The rules
//! are part of what is verified, so each is refused where it breaks them.

use cullbook::book::*;
use cullbook::people::{Countersignature, Duty, Meaning, SecretKey};

use super::chain::texts;
use super::works::*;

/// Writes a line past every rule.
fn line(
    book: &Book,
    by: &str,
    entry: Entry,
    countersigned: Option<Countersigned>,
    key: &SecretKey,
) -> Line {
    let seq = book.len();
    let header = Header {
        seq,
        id: uuid::Uuid::from_u128(0x7000_8000_0000_0000_0000 + u128::from(seq)),
        bench: id("B1"),
        at: id("2026-11-25T23:00:00+01:00"),
        by: id(by),
        prev: book.head(),
    };
    Line::write(header, entry, countersigned, key).expect("a line")
}

/// What verification says of a book that goes on with this line.
#[track_caller]
fn verdict(book: &Book, line: &Line) -> BookError {
    let file = book.to_jsonl() + &line.text + "\n";
    let why = Book::read_file(file.as_bytes()).expect_err("the line was taken");
    let mut streamed = Verifier::default();
    let ours = file.lines().find_map(|text| streamed.push(text).err());
    assert_eq!(ours.as_ref(), Some(&why));
    why
}

#[track_caller]
fn refused(book: &Book, by: &str, entry: Entry, countersigned: Option<Countersigned>) -> Refusal {
    match verdict(book, &line(book, by, entry, countersigned, &key(by))) {
        BookError::Refused { line, why } => {
            assert_eq!(line, book.len());
            *why
        }
        other => panic!("{other}"),
    }
}

/// The further signatures of these people under the statement that the entry has by rights.
fn signed_by(book: &Book, by: &str, entry: &Entry, who: &[(&str, Meaning)]) -> Countersigned {
    let statement = book.statement(id(by), entry).expect("a statement");
    let sign = |(who, meaning): &(&str, _)| {
        Countersignature::make(&statement, id(who), *meaning, &key(who))
    };
    let also = who.iter().map(sign).collect();
    Countersigned { statement, also }
}

#[test]
fn a_day_closed_by_an_inspector_does_not_verify() {
    let works = Works::destroyed();
    let why = refused(&works.book, "ida", day_closed("2026-11-25"), None);
    let (person, duty) = (id("ida"), Duty::Close);
    assert_eq!(why, Refusal::NotAllowed { person, duty });
    // By a supervisor it is a line of the book.
    let rightly = line(
        &works.book,
        "sue",
        day_closed("2026-11-25"),
        None,
        &key("sue"),
    );
    works.book.clone().push_text(&rightly.text).unwrap();
}

#[test]
fn an_act_without_the_duty_does_not_verify() {
    let works = Works::sealed();
    let seq = works.last_word("L1", 3);
    let acts = [
        ("ida", Duty::RunTheOffice, lot("L2", 5, None)),
        (
            "cal",
            Duty::RunTheOffice,
            Entry::PersonRetired(PersonRetired { person: id("ida") }),
        ),
        ("wim", Duty::RunTheOffice, rekeyed("ida")),
        ("cal", Duty::Examine, corrected("L1", 3, seq, &["A1 PH"])),
        (
            "ivo",
            Duty::Overrule,
            overruled("L1", 3, seq, cullbook::inspect::Verdict::Good),
        ),
        (
            "ida",
            Duty::DrawReplacements,
            returned("R1", vec![id("ZR000000")]),
        ),
        ("wim", Duty::FillContainers, container("C2")),
        ("cas", Duty::Close, lot_closed("L1")),
    ];
    for (by, duty, entry) in acts {
        let person = id(by);
        let why = refused(&works.book, by, entry, None);
        assert_eq!(why, Refusal::NotAllowed { person, duty });
    }
}

#[test]
fn who_is_retired_or_unknown_or_has_another_key_does_not_sign() {
    let mut works = Works::examined();
    works.must(
        "sue",
        Entry::PersonRetired(PersonRetired { person: id("ivo") }),
    );
    works.must("sue", rekeyed("ida"));
    let copy = copy_taken(&works.book);
    let retired = refused(&works.book, "ivo", copy.clone(), None);
    assert_eq!(retired, Refusal::Retired(id("ivo")));
    let unknown = refused(&works.book, "zoe", copy.clone(), None);
    assert_eq!(unknown, Refusal::UnknownPerson(id("zoe")));
    let (at, by) = (works.book.len(), id("ida"));
    let old = line(&works.book, "ida", copy.clone(), None, &key("ida"));
    let signature = BookError::Signature { line: at, by };
    assert_eq!(verdict(&works.book, &old), signature);
    let new = line(&works.book, "ida", copy, None, &key("ida again"));
    works.book.clone().push_text(&new.text).unwrap();
}

#[test]
fn nobody_signs_twice_and_no_retired_or_unknown_person_signs() {
    let mut works = Works::replaced();
    works.must("cal", container("C1"));
    let fill = works.fill("C1");
    works.must("cal", fill);
    let book = works.book.clone();
    let second = Meaning::SecondPerson;
    let own = sealed("C1", "S-1", "cal");
    let also = signed_by(&book, "cal", &own, &[("cal", second)]);
    assert_eq!(
        refused(&book, "cal", own, Some(also)),
        Refusal::SamePerson(id("cal"))
    );
    let entry = sealed("C1", "S-1", "cas");
    let also = signed_by(&book, "cal", &entry, &[("cas", second), ("cas", second)]);
    let (by, meaning) = (id("cas"), second);
    let twice = refused(&book, "cal", entry.clone(), Some(also));
    assert_eq!(twice, Refusal::ExtraCountersignature { by, meaning });
    let also = signed_by(
        &book,
        "cal",
        &entry,
        &[("cas", second), ("wim", Meaning::Witness)],
    );
    let (by, meaning) = (id("wim"), Meaning::Witness);
    let more = refused(&book, "cal", entry.clone(), Some(also));
    assert_eq!(more, Refusal::ExtraCountersignature { by, meaning });
    let mut also = signed_by(&book, "cal", &entry, &[("cas", second)]);
    let (by, meaning) = (id("cas"), second);
    also.also[0] = Countersignature::make(&also.statement, by, meaning, &key("wim"));
    let other = refused(&book, "cal", entry, Some(also));
    assert_eq!(other, Refusal::WrongCountersignature { by, meaning });
    let stranger = sealed("C1", "S-1", "zoe");
    let also = signed_by(&book, "cal", &stranger, &[("zoe", second)]);
    let unknown = refused(&book, "cal", stranger, Some(also));
    assert_eq!(unknown, Refusal::UnknownPerson(id("zoe")));
    works.must(
        "sue",
        Entry::PersonRetired(PersonRetired { person: id("cas") }),
    );
    let entry = sealed("C1", "S-1", "cas");
    let also = signed_by(&works.book, "cal", &entry, &[("cas", second)]);
    let retired = refused(&works.book, "cal", entry, Some(also));
    assert_eq!(retired, Refusal::Retired(id("cas")));
}

/// A witness stands in the record once, whatever is signed how often.
#[test]
fn one_witness_cannot_stand_for_two() {
    let works = Works::sealed();
    let mut data = works.destruction("D1", &["C1"]);
    data.witnesses = vec![id("wim"), id("wim")];
    let operator = data.operator;
    let entry = Entry::SpoilsDestroyed(data);
    let who = [
        (operator.as_str(), Meaning::Operator),
        ("wim", Meaning::Witness),
    ];
    let also = signed_by(&works.book, "cal", &entry, &who);
    let why = refused(&works.book, "cal", entry, Some(also));
    assert!(why.to_string().contains("wim"), "{why}");
}

/// A statement names the line before, so that it fits one place; and every fact of its entry.
#[test]
fn a_statement_is_not_used_again_or_for_another_lot() {
    let mut works = Works::with_lot();
    for name in ["L3", "L4"] {
        works.must("sue", lot(name, 5, None));
    }
    works.must("sue", added("L3", 0, 2));
    let text = works.book.texts().last().unwrap().clone();
    let genuine = Line::read(&text).unwrap();
    let Entry::PressDiffered(data) = &genuine.entry else {
        panic!("{text}")
    };
    // The same entry with the same signatures, once more.
    let replayed = refused(
        &works.book,
        "sue",
        genuine.entry.clone(),
        genuine.countersigned.clone(),
    );
    assert_eq!(replayed, Refusal::OtherStatement);
    // The genuine place, another lot.
    let lines = texts(&works);
    let before = Book::read(lines[..lines.len() - 1].iter().map(String::as_str)).unwrap();
    let other = PressDiffered {
        lot: id("L4"),
        ..data.clone()
    };
    let swapped = refused(
        &before,
        "sue",
        Entry::PressDiffered(other),
        genuine.countersigned.clone(),
    );
    assert_eq!(swapped, Refusal::OtherStatement);
    // Without the author's key not even that far.
    let (at, by) = (before.len(), id("sue"));
    let edited = text.replacen("\"lot\":\"L3\"", "\"lot\":\"L4\"", 1);
    let why = before.clone().push_text(&edited).unwrap_err();
    assert_eq!(why, BookError::Signature { line: at, by });
}
