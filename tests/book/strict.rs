//! One table of bad files, judged by our reader and by the one in Python (check_book.py). Every
//! bad line is signed as it stands and follows its head, so that only the form can be what is
//! wrong. Both must refuse each file at the same line; a disagreement fails.

use std::process::Command;

use cullbook::book::*;

use super::chain::{line_of, texts};
use super::works::*;

/// One file that is no book.
struct Bad {
    name: String,
    file: Vec<u8>,
    /// The first line that does not hold.
    line: u64,
    /// A part of what our reader says of it.
    says: &'static str,
    /// check_book.py knows the form of a line and not its kinds: what only the kind forbids is
    /// ours alone to refuse.
    of_the_kind: bool,
}

/// What is done to a line: replace the first text by the second, sign, and what is said of it.
type Change = (&'static str, &'static str, &'static str);

const OTHERWISE: &str = "where the format writes";

/// Changes to the line of an examination, which both readers refuse.
const OF_THE_FORM: &[Change] = &[
    // White space.
    ("{\"v\"", " {\"v\"", OTHERWISE),
    ("{\"v\"", "{ \"v\"", OTHERWISE),
    ("\"v\":2", "\"v\": 2", OTHERWISE),
    ("\"v\":2", "\"v\" :2", OTHERWISE),
    (",\"seq\"", ", \"seq\"", OTHERWISE),
    (",\"seq\"", ",\t\"seq\"", OTHERWISE),
    (",\"seq\"", ",\r\"seq\"", OTHERWISE),
    ("\"from\":2", "\"from\": 2", OTHERWISE),
    ("\"tags\":[", "\"tags\":[ ", OTHERWISE),
    // Numbers.
    ("\"v\":2", "\"v\":02", "invalid number"),
    ("\"v\":2", "\"v\":2.0", "floating point"),
    ("\"v\":2", "\"v\":2e0", "floating point"),
    ("\"v\":2", "\"v\":\"2\"", "invalid type"),
    ("\"v\":2", "\"v\":true", "invalid type"),
    ("\"v\":2", "\"v\":1", "format version 1"),
    ("\"v\":2", "\"v\":3", "format version 3"),
    ("\"from\":2", "\"from\":02", "invalid number"),
    ("\"from\":2", "\"from\":2.0", "floating point"),
    ("\"from\":2", "\"from\":2e0", "floating point"),
    ("\"from\":2", "\"from\":2E0", "floating point"),
    ("\"from\":2", "\"from\":20e-1", "floating point"),
    ("\"from\":2", "\"from\":+2", "expected value"),
    ("\"from\":2", "\"from\":-0", "-0"),
    ("\"from\":2", "\"from\":0x2", "expected `,` or `}`"),
    ("\"from\":2", "\"from\":.2", "expected value"),
    ("\"from\":2", "\"from\":2.", "invalid number"),
    ("\"from\":2", "\"from\":NaN", "expected value"),
    ("\"from\":2", "\"from\":Infinity", "expected value"),
    ("\"from\":2", "\"from\":1e400", "number out of range"),
    // Members: unknown, missing, doubled, in another order, null.
    ("{\"v\"", "{\"note\":1,\"v\"", "unknown field `note`"),
    (",\"data\"", ",\"note\":1,\"data\"", "unknown field `note`"),
    ("\"v\":2,", "", "missing field `v`"),
    ("\"kind\":\"sheets.examined\",", "", "missing field `kind`"),
    ("\"v\":2,", "\"v\":2,\"v\":2,", "duplicate field `v`"),
    (
        ",\"data\"",
        ",\"data\":{},\"data\"",
        "duplicate field `data`",
    ),
    (
        "\"lot\":\"L1\"",
        "\"lot\":\"L1\",\"lot\":\"L1\"",
        "duplicate field `lot`",
    ),
    (
        "\"lot\":\"L1\"",
        "\"lot\":\"L1\",\"\\u006cot\":\"L1\"",
        "duplicate field `lot`",
    ),
    ("\"bench\":\"B1\",\"at\"", "\"at\"", "missing field `bench`"),
    ("\"v\":2,\"seq\":12", "\"seq\":12,\"v\":2", OTHERWISE),
    // Texts.
    ("\"B1\"", "\"\\u00421\"", OTHERWISE),
    ("\"bench\"", "\"benc\\u0068\"", OTHERWISE),
    (
        "\"sheets.examined\"",
        "\"sheets\\u002eexamined\"",
        OTHERWISE,
    ),
    ("\"lot\":\"L1\"", "\"lot\":\"\\u004c1\"", OTHERWISE),
    ("\"lot\"", "\"\\u006cot\"", OTHERWISE),
    (
        "sheets.examined",
        "sheets.exami\\/ned",
        "kind \"sheets.exami/ned\"",
    ),
    ("\"lot\":\"L1\"", "\"lot\":\"L1\u{1}\"", "control character"),
    ("\"lot\":\"L1\"", "\"lot\":\"L1\t\"", "control character"),
    (
        "\"lot\":\"L1\"",
        "\"lot\":\"\\ud800\"",
        "unexpected end of hex escape",
    ),
    ("\"lot\":\"L1\"", "\"lot\":\"\\x41\"", "invalid escape"),
    ("\"lot\":\"L1\"", "\"lot\":'L1'", "expected value"),
    // Header values.
    ("\"id\":\"", "\"id\":\"{", "invalid"),
    ("-7000-", "-4000-", "UUID of version 7"),
    ("-7000-8", "-7000-c", "UUID of version 7"),
    ("-7000-", "7000", "UUID"),
    ("\"bench\":\"B1\"", "\"bench\":\"\"", "bench name"),
    ("\"bench\":\"B1\"", "\"bench\":\"B 1\"", "bench name"),
    (
        "\"bench\":\"B1\"",
        "\"bench\":\"B2\"",
        "is from bench B2, the book from bench B1",
    ),
    ("-25T", "-25t", "not a date and time"),
    ("-25T", "-25 ", "not a date and time"),
    ("-25T", "-31T", "not a date and time"),
    ("+01:00\",\"by\"", "\",\"by\"", "not a date and time"),
    ("+01:00\",\"by\"", "+0100\",\"by\"", "not a date and time"),
    ("+01:00\",\"by\"", "+24:00\",\"by\"", "not a date and time"),
    ("+01:00\",\"by\"", "z\",\"by\"", "not a date and time"),
    ("\"by\":\"ida\"", "\"by\":null", "invalid type"),
    ("\"by\":\"ida\"", "\"by\":\"zoe\"", "zoe"),
    ("\"prev\":\"", "\"prev\":\"0", "is not a hash"),
    ("\"prev\":\"", "\"prev\":\"A", "is not a hash"),
    (
        "\"kind\":\"sheets.examined\"",
        "\"kind\":null",
        "invalid type",
    ),
    (
        "\"data\":{",
        "\"data\":null,\"was\":{",
        "unknown field `was`",
    ),
    // Further signatures where none belong.
    (
        "}]}",
        "}]},\"statement\":\"x\"",
        "a statement without signatures",
    ),
    ("}]}", "}]},\"statement\":null", OTHERWISE),
    ("}]}", "}]},\"also\":[]", "a statement without signatures"),
    (
        "}]}",
        "}]},\"statement\":\"\",\"also\":[]",
        "a statement without signatures",
    ),
];

/// Changes that only someone who knows the kind can refuse.
const OF_THE_KIND: &[Change] = &[
    (
        "\"kind\":\"sheets.examined\"",
        "\"kind\":\"sheets.examine\"",
        "kind \"sheets.examine\" is unknown",
    ),
    (
        "\"data\":{",
        "\"data\":{\"note\":1,",
        "unknown field `note`",
    ),
    (
        "\"side\":\"front\"",
        "\"note\":1,\"side\":\"front\"",
        "unknown field `note`",
    ),
    ("\"from\":2,\"to\":2", "\"to\":2,\"from\":2", OTHERWISE),
    ("\"from\":2", "\"from\":-2", "invalid value"),
    ("\"from\":2", "\"from\":4294967298", "invalid value"),
    ("\"from\":2,", "\"from\":null,", "invalid type"),
    ("\"from\":2,", "", "missing field `from`"),
    ("\"tags\":[", "\"corrects\":null,\"tags\":[", OTHERWISE),
    ("]}", "],\"machine_kept\":false}", OTHERWISE),
];

/// Changes to the line of a sealing, which has a statement and a further signature.
const OF_A_SEALING: &[Change] = &[
    ("\"also\":[{", "\"also\":[ {", OTHERWISE),
    (
        "{\"by\":\"cas\",\"as\":\"second_person\",",
        "{\"as\":\"second_person\",\"by\":\"cas\",",
        OTHERWISE,
    ),
    (
        "\"by\":\"cas\",\"as\"",
        "\"by\":\"cas\",\"note\":1,\"as\"",
        "unknown field `note`",
    ),
    (
        "\"by\":\"cas\",\"as\"",
        "\"by\":\"cas\",\"by\":\"cas\",\"as\"",
        "duplicate field `by`",
    ),
    ("\\nAfter", "\\u000aAfter", OTHERWISE),
    ("\\nAfter", "\\u000AAfter", OTHERWISE),
    (" works, bench", " works\\u002c bench", OTHERWISE),
    ("second_person", "second person", "unknown variant"),
    ("second_person", "guest", "unknown variant"),
    ("\"statement\":\"", "\"statement\":\"No. ", "refused"),
];

/// The text before the signature, changed, and signed anew by whoever it names.
fn signed(text: &str) -> String {
    let by = text
        .split("\"by\":\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next());
    let sig = key(by.unwrap_or("ida")).sign(format!("cullbook sign v2\n{text}").as_bytes());
    format!("{text},\"sig\":\"{sig}\"}}")
}

fn unsigned(line: &str) -> &str {
    line.rsplit_once(",\"sig\":").expect("a signature").0
}

fn file(lines: &[impl AsRef<str>]) -> Vec<u8> {
    let ended = lines.iter().map(|line| format!("{}\n", line.as_ref()));
    ended.collect::<String>().into_bytes()
}

fn at(lines: &[String], what: &str) -> usize {
    lines
        .iter()
        .position(|line| line.contains(what))
        .expect(what)
}

fn changed(lines: &[String], at: usize, changes: &[Change], of_the_kind: bool) -> Vec<Bad> {
    let change = |(from, to, says): &Change| {
        let text = unsigned(&lines[at]);
        assert!(text.contains(from), "{from} is not in {text}");
        let mut lines = lines[..at].to_vec();
        lines.push(signed(&text.replacen(from, to, 1)));
        Bad {
            name: format!("{from} made {to}"),
            file: file(&lines),
            line: at as u64,
            says,
            of_the_kind,
        }
    };
    changes.iter().map(change).collect()
}

/// What is wrong with the file rather than with one signed line.
fn of_the_file(lines: &[String]) -> Vec<Bad> {
    let whole = file(lines);
    let last = lines.len() as u64 - 1;
    let bad = |name: &str, file: Vec<u8>, line, says| Bad {
        name: name.to_owned(),
        file,
        line,
        says,
        of_the_kind: false,
    };
    let spliced =
        |at: usize, line: &[u8]| [&file(&lines[..at]), line, &file(&lines[at..])].concat();
    let sed = |from: &str, to: &[u8]| {
        let start = file(&lines[..3]).len() + lines[3].find(from).expect(from);
        [&whole[..start], to, &whole[start + from.len()..]].concat()
    };
    let text = lines[3].as_str();
    let with = |line: String| {
        let mut lines = lines.to_vec();
        lines[3] = line;
        file(&lines)
    };
    let deep = "[".repeat(100_000);
    let head_swapped = unsigned(text).replacen("\"prev\":\"", "\"prev\":\"f", 1);
    let digit = head_swapped.find("\"prev\":\"").unwrap() + 72;
    let mut other_prev = head_swapped.clone();
    other_prev.remove(digit);
    let deep_data = unsigned(text).replacen("\"data\":{", &format!("\"data\":{{\"x\":{deep}"), 1);
    let long = format!("{}{}", text, " ".repeat(LINE_MAX));
    let upper = |text: &str| {
        let (start, sig) = text.split_at(text.len() - 130);
        format!("{start}{}", sig.to_uppercase())
    };
    let seq = |number: u64| {
        signed(&unsigned(text).replacen("\"seq\":3", &format!("\"seq\":{number}"), 1))
    };
    vec![
        bad("an empty file", Vec::new(), 0, "empty"),
        bad(
            "a line end alone",
            b"\n".to_vec(),
            0,
            "not a line of a book",
        ),
        bad(
            "a byte order mark",
            [b"\xef\xbb\xbf", &whole[..]].concat(),
            0,
            "not a line of a book",
        ),
        bad(
            "a byte order mark within",
            spliced(3, b"\xef\xbb\xbf"),
            3,
            "not a line of a book",
        ),
        bad(
            "CR LF",
            String::from_utf8(whole.clone())
                .unwrap()
                .replace('\n', "\r\n")
                .into(),
            0,
            OTHERWISE,
        ),
        bad("CR LF once", with(format!("{text}\r")), 3, OTHERWISE),
        bad("CR for LF", sed("\"sig\"", b"\r\"sig\""), 3, OTHERWISE),
        bad(
            "no last line end",
            whole[..whole.len() - 1].to_vec(),
            last,
            "has no line end",
        ),
        bad(
            "cut in the last line",
            whole[..whole.len() - 60].to_vec(),
            last,
            "has no line end",
        ),
        bad(
            "an empty line first",
            spliced(0, b"\n"),
            0,
            "not a line of a book",
        ),
        bad(
            "an empty line within",
            spliced(3, b"\n"),
            3,
            "not a line of a book",
        ),
        bad(
            "an empty line last",
            [&whole[..], b"\n"].concat(),
            last + 1,
            "not a line of a book",
        ),
        bad(
            "a line of white space",
            spliced(3, b"  \n"),
            3,
            "not a line of a book",
        ),
        bad(
            "a space behind a line",
            with(format!("{text} ")),
            3,
            OTHERWISE,
        ),
        bad(
            "a NUL behind a line",
            with(format!("{text}\0")),
            3,
            "not a line of a book",
        ),
        bad(
            "a comma behind a line",
            with(format!("{text},")),
            3,
            "not a line of a book",
        ),
        bad(
            "two lines in one",
            with(format!("{text}{text}")),
            3,
            "not a line of a book",
        ),
        bad(
            "not UTF-8",
            sed("person", b"per\xffson"),
            3,
            "not text in UTF-8",
        ),
        bad(
            "an overlong slash",
            sed("person", b"per\xc0\xafson"),
            3,
            "not text in UTF-8",
        ),
        bad(
            "a surrogate",
            sed("person", b"per\xed\xa0\x80son"),
            3,
            "not text in UTF-8",
        ),
        bad(
            "half a character",
            sed("person", b"per\xc3son"),
            3,
            "not text in UTF-8",
        ),
        bad(
            "too long",
            with(long.clone()),
            3,
            "longer than 1048576 bytes",
        ),
        bad(
            "too long without an end",
            [&file(&lines[..3]), long.as_bytes()].concat(),
            3,
            "longer than",
        ),
        bad(
            "nested deep",
            with(signed(&deep_data)),
            3,
            "not a line of a book",
        ),
        bad(
            "nested deep alone",
            with(deep.clone()),
            3,
            "not a line of a book",
        ),
        bad("a list", with("[]".to_owned()), 3, "not a line of a book"),
        bad("an empty object", with("{}".to_owned()), 3, "missing field"),
        bad("null", with("null".to_owned()), 3, "not a line of a book"),
        bad(
            "no signature",
            with(format!("{}}}", unsigned(text))),
            3,
            "no signature",
        ),
        bad(
            "a signature in capitals",
            with(upper(text)),
            3,
            "is not a signature",
        ),
        bad(
            "a short signature",
            with(
                text.replacen("\"}", "", 1)
                    .replacen("\"sig\":\"0", "\"sig\":\"", 1),
            ),
            3,
            "cannot be read",
        ),
        bad(
            "a signature of another",
            with(text.replacen(
                &text[text.len() - 130..],
                &lines[2][lines[2].len() - 130..],
                1,
            )),
            3,
            "does not carry the signature of sue",
        ),
        bad("a later number", with(seq(4)), 3, "says it is number 4"),
        bad("an earlier number", with(seq(2)), 3, "says it is number 2"),
        bad(
            "a number below zero",
            with(signed(&unsigned(text).replacen(
                "\"seq\":3",
                "\"seq\":-3",
                1,
            ))),
            3,
            "invalid value",
        ),
        bad(
            "another line before",
            with(signed(&other_prev)),
            3,
            "does not follow the line before it",
        ),
        bad(
            "a line left out",
            file(&[&lines[..3], &lines[4..]].concat()),
            3,
            "says it is number 4",
        ),
        bad(
            "a line doubled",
            spliced(4, &file(&lines[3..4])),
            4,
            "says it is number 3",
        ),
        bad(
            "lines swapped",
            file(&[&lines[..3], &lines[4..5], &lines[3..4], &lines[5..]].concat()),
            3,
            "says it is number 4",
        ),
        bad(
            "without its first line",
            file(&lines[1..]),
            0,
            "says it is number 1",
        ),
    ]
}

fn bad_files() -> Vec<Bad> {
    let lines = texts(&Works::sealed());
    let examined = at(&lines, "\"from\":2,\"to\":2");
    let sealing = at(&lines, "container.sealed");
    [
        changed(&lines, examined, OF_THE_FORM, false),
        changed(&lines, examined, OF_THE_KIND, true),
        changed(&lines, sealing, OF_A_SEALING, false),
        of_the_file(&lines),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// What the reader in Python says of each file: nothing when it holds.
fn python(files: &[Vec<u8>]) -> Vec<Option<String>> {
    let folder = tempfile::tempdir().unwrap();
    let paths: Vec<_> = (0..files.len())
        .map(|at| folder.path().join(at.to_string()))
        .collect();
    for (path, file) in paths.iter().zip(files) {
        std::fs::write(path, file).unwrap();
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/python/check_book.py");
    let run = Command::new("python3")
        .args(["-B", script])
        .args(&paths)
        .output();
    let run = run.expect("python3 is installed");
    let said = String::from_utf8(run.stdout).unwrap();
    let said: Vec<&str> = said.lines().collect();
    assert_eq!(
        said.len(),
        files.len(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let why = |line: &&str| {
        line.split_once(": not held: ")
            .map(|(_, why)| why.to_owned())
    };
    said.iter().map(why).collect()
}

#[test]
fn both_readers_refuse_every_bad_file_at_the_same_line() {
    let bad = bad_files();
    let files: Vec<Vec<u8>> = bad.iter().map(|bad| bad.file.clone()).collect();
    let mut wrong = Vec::new();
    for (bad, theirs) in bad.iter().zip(python(&files)) {
        let Bad {
            name, line, says, ..
        } = bad;
        match Book::read_file(&bad.file) {
            Ok(_) => wrong.push(format!("{name}: we take it")),
            Err(BookError::Empty) if bad.file.is_empty() => {}
            Err(why) if line_of(&why) != *line || !why.to_string().contains(says) => {
                wrong.push(format!(
                    "{name}: line {line} should be \"{says}\", we say \"{why}\""
                ));
            }
            Err(_) => {}
        }
        let prefix = format!("line {line}: ");
        match theirs {
            _ if bad.of_the_kind => {}
            None => wrong.push(format!("{name}: Python takes it")),
            Some(why) if !why.starts_with(&prefix) => {
                wrong.push(format!("{name}: line {line}, and Python says \"{why}\""));
            }
            Some(_) => {}
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    assert!(bad.len() > 120, "{}", bad.len());
}

/// Text is whatever Unicode is, as it was given: not normalised, and escaped only where JSON
/// demands it. Both readers take it.
#[test]
fn both_readers_take_every_text() {
    let texts = [
        "Zoë",
        "Zoe\u{308}",
        "鯨 🐋",
        "\u{2028}\u{feff}\u{7f}\u{fffd}\u{10ffff}",
        "\"\\/\u{8}\u{c}\n\r\t\u{0}\u{1f}",
        "</script>",
        "1e5",
    ];
    let mut works = Works::staffed();
    for reason in texts {
        let person = id("ida");
        let rekeyed = PersonRekeyed {
            person,
            key: key(reason).public(),
            reason: reason.to_owned(),
        };
        works.must("sue", Entry::PersonRekeyed(rekeyed));
    }
    let file = works.book.to_jsonl().into_bytes();
    let book = Book::read_file(&file).unwrap();
    assert_eq!(book.head(), works.book.head());
    assert_eq!(python(&[file]), [None]);
}
