//! cullbook-audit as someone runs it: files, standard input, exit codes, words, and a book of
//! two million lines in little memory (`make soak`).

#[path = "book/long.rs"]
mod long;
#[path = "book/works.rs"]
mod works;

use std::fs::File;
use std::io::{BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use cullbook::book::{Book, Hash};

use long::long_book;
use works::*;

struct Said {
    code: i32,
    out: String,
    err: String,
}

fn auditor() -> Command {
    Command::new(env!("CARGO_BIN_EXE_cullbook-audit"))
}

fn audit(arguments: &[&str], stdin: &[u8]) -> Said {
    let mut child = auditor()
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the auditor runs");
    // A program that has seen enough closes its input: that is no failure of the test.
    let mut input = child.stdin.take().expect("an input");
    input.write_all(stdin).ok();
    drop(input);
    let output = child.wait_with_output().expect("it ends");
    let text = |bytes| String::from_utf8(bytes).expect("text");
    Said {
        code: output.status.code().expect("a code"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

fn file_of(works: &Works) -> Vec<u8> {
    works.book.to_jsonl().into_bytes()
}

/// The same book with one line of it altered.
fn altered(file: &[u8], line: usize, from: &str, to: &str) -> Vec<u8> {
    let text = std::str::from_utf8(file).expect("text");
    let mut lines: Vec<String> = text.lines().map(|line| format!("{line}\n")).collect();
    assert!(lines[line].contains(from), "{}", lines[line]);
    lines[line] = lines[line].replacen(from, to, 1);
    lines.concat().into_bytes()
}

#[test]
fn a_book_is_verified_from_standard_input() {
    let works = Works::destroyed();
    let (file, head) = (file_of(&works), works.book.head());
    let said = audit(&["verify", "-"], &file);
    let expected = format!(
        "standard input: holds. {} lines, head {head}\n",
        works.book.len()
    );
    assert_eq!(
        (said.code, said.out, said.err),
        (0, expected, String::new())
    );
    let said = audit(&["head", "-"], &file);
    assert_eq!((said.code, said.out), (0, format!("{head}\n")));
}

#[test]
fn the_first_bad_line_is_named_with_its_reason() {
    let file = file_of(&Works::destroyed());
    let said = audit(&["verify", "-"], &altered(&file, 12, "A1", "A2"));
    assert_eq!((said.code, said.out), (1, String::new()));
    let why = "standard input: Line 12 does not carry the signature of ida";
    assert!(said.err.contains(why), "{}", said.err);
    // A bad signature comes before a later line that is not even one.
    let both = altered(&altered(&file, 12, "A1", "A2"), 14, "{\"v\"", "{ \"v\"");
    assert!(audit(&["verify", "-"], &both).err.contains("Line 12 "));
    let second = altered(&file, 14, "{\"v\"", "{ \"v\"");
    let said = audit(&["verify", "-"], &second);
    assert!(
        said.err.contains("Line 14 cannot be read: from byte 1 on"),
        "{}",
        said.err
    );
    let cut = audit(&["verify", "-"], &file[..file.len() - 1]);
    assert!(
        cut.code == 1 && cut.err.contains("has no line end"),
        "{}",
        cut.err
    );
    let long = [&file[..], &vec![b'x'; 3 << 20]].concat();
    let said = audit(&["verify", "-"], &long);
    assert!(
        said.code == 1 && said.err.contains("longer than 1048576 bytes"),
        "{}",
        said.err
    );
    assert_eq!(audit(&["verify", "-"], b"").code, 1);
}

#[test]
fn a_head_is_found_in_a_book_that_contains_it() {
    let works = Works::destroyed();
    let file = file_of(&works);
    let kept = Book::read(works.book.texts()[..7].iter().map(|text| &**text)).unwrap();
    let (whole, short) = (kept.head().to_string(), kept.head().short());
    for head in [&whole, &short] {
        let said = audit(&["head", "-", head], &file);
        assert_eq!(said.code, 0, "{}", said.err);
        assert!(
            said.out.contains("that of line 6, person.enrolled by sue"),
            "{}",
            said.out
        );
        let follow = format!("{} lines follow it", works.book.len() - 7);
        assert!(said.out.contains(&follow), "{}", said.out);
    }
    // A book that was cut off before that line holds, and does not contain it.
    let cut: String = works.book.texts()[..6]
        .iter()
        .map(|text| format!("{text}\n"))
        .collect();
    assert_eq!(audit(&["verify", "-"], cut.as_bytes()).code, 0);
    let said = audit(&["head", "-", &whole], cut.as_bytes());
    assert_eq!((said.code, said.out), (1, String::new()));
    assert!(
        said.err.contains("none of its 6 has the head"),
        "{}",
        said.err
    );
}

#[test]
fn one_day_is_the_same_as_among_the_totals() {
    let file = file_of(&Works::destroyed());
    let json = |said: Said| -> serde_json::Value {
        assert_eq!(said.code, 0, "{}", said.err);
        serde_json::from_str(&said.out).expect("JSON")
    };
    let totals = json(audit(&["totals", "-"], &file));
    let day = json(audit(&["day", "-", "2026-11-25"], &file));
    assert_eq!(totals["days"][0], day);
    assert_eq!(day["day"], "2026-11-25");
    let said = audit(&["day", "-", "2026-11-24"], &file);
    assert_eq!(said.code, 1);
    assert!(
        said.err.contains("nothing was recorded on 2026-11-24"),
        "{}",
        said.err
    );
}

#[test]
fn mistakes_and_missing_files_end_with_their_own_code() {
    for (arguments, part) in [
        (&["verify"][..], "No book is given"),
        (&["verify", "no/such/file"], "no/such/file: No such file"),
        (&["verify", "/"], "Check the name and the rights"),
        (&["undo", "x"], "There is no command"),
    ] {
        let said = audit(arguments, b"");
        assert_eq!((said.code, said.out), (3, String::new()));
        assert!(said.err.contains(part), "{}", said.err);
    }
    let help = audit(&["help", "verify"], b"");
    assert!(help.code == 0 && help.out.starts_with("Usage: cullbook-audit verify"));
}

/// Two books of one kind, laid together, one of them from standard input.
#[test]
fn books_are_laid_together() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("long.jsonl");
    let (short, long) = (Works::with_lot(), Works::examined());
    std::fs::write(&path, file_of(&long)).unwrap();
    let said = audit(&["compare", "-", path.to_str().unwrap()], &file_of(&short));
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.contains("Left out: ") && said.out.contains("The books agree."));
}

/// Writes a long book to a file; gives back its head.
fn write_long(path: &Path, lines: u64) -> Hash {
    let mut file = BufWriter::new(File::create(path).expect("a file"));
    let mut last = String::new();
    long_book(lines, |text| {
        writeln!(file, "{text}").expect("room for the book");
        last = text.to_owned();
    });
    file.flush().expect("room for the book");
    Hash::of_line(last.as_bytes())
}

/// More lines than one chunk: the same answer as the reader that goes one by one.
#[test]
fn lines_of_many_chunks_are_blamed_as_one_by_one() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("long.jsonl");
    let head = write_long(&path, 9_000);
    let name = path.to_str().unwrap();
    let said = audit(&["verify", name], b"");
    assert_eq!(
        said.out,
        format!("{name}: holds. 9000 lines, head {head}\n")
    );
    let whole = std::fs::read(&path).unwrap();
    for line in [4_095, 4_096, 8_999] {
        let bad = altered(&whole, line, "\"at\":\"20", "\"at\":\"21");
        std::fs::write(&path, bad).unwrap();
        let said = audit(&["verify", name], b"");
        let why = format!("Line {line} does not carry the signature of");
        assert!(said.code == 1 && said.err.contains(&why), "{}", said.err);
    }
}

#[test]
fn progress_is_told_when_asked_for_and_otherwise_on_a_terminal_only() {
    let file = file_of(&Works::destroyed());
    // Too short to say anything about, asked for or not.
    let said = audit(&["verify", "-", "--progress"], &file);
    assert_eq!((said.code, said.err), (0, String::new()));
}

/// Peak memory of a running process, in kB (proc(5), VmHWM).
fn peak_kb(process: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// Runs the auditor on a file: its exit code, output, peak memory in kB and time.
fn watched(arguments: &[&str]) -> (Said, u64, Duration) {
    let started = Instant::now();
    let mut child = auditor()
        .args(arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the auditor runs");
    // Read from the start: a full pipe would stop the auditor.
    let (out, err) = (drained(child.stdout.take()), drained(child.stderr.take()));
    let mut peak = 0;
    while child.try_wait().expect("it can be asked").is_none() {
        peak = peak.max(peak_kb(child.id()).unwrap_or(0));
        std::thread::sleep(Duration::from_millis(10));
    }
    let took = started.elapsed();
    let code = child.wait().expect("it ended").code();
    let text = |read: JoinHandle<_>| String::from_utf8(read.join().expect("read")).expect("text");
    let said = Said {
        code: code.expect("a code"),
        out: text(out),
        err: text(err),
    };
    (said, peak, took)
}

/// All that comes out of a pipe.
fn drained(pipe: Option<impl Read + Send + 'static>) -> JoinHandle<Vec<u8>> {
    let mut pipe = pipe.expect("a pipe");
    std::thread::spawn(move || {
        let mut bytes = Vec::new();
        pipe.read_to_end(&mut bytes).expect("it can be read");
        bytes
    })
}

#[test]
#[ignore = "two million signatures: make soak"]
fn soak_two_million_lines_in_a_gigabyte() {
    // Fewer where time is short; the memory is then read off in proportion.
    let lines = std::env::var("CULLBOOK_SOAK_LINES");
    let lines = lines.map_or(2_000_000, |lines| lines.parse().expect("a number of lines"));
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).unwrap();
    let path: PathBuf = folder.path().join("long.jsonl");
    let head = write_long(&path, lines);
    let size = std::fs::metadata(&path).unwrap().len();
    println!("a book of {lines} lines, {} MB", size / 1_000_000);
    let name = path.to_str().unwrap();
    let short = head.short();
    for arguments in [
        &["verify", name, "--progress"][..],
        &["head", name, &short],
        &["totals", name],
    ] {
        let (said, peak, took) = watched(arguments);
        println!("{}: {} MB at most, {took:.1?}", arguments[0], peak / 1000);
        assert_eq!(said.code, 0, "{}", said.err);
        assert!(peak > 0 && peak < 1_000_000, "{peak} kB");
        if arguments.contains(&"--progress") {
            assert!(said.err.contains(" %"), "progress is told: {}", said.err);
        }
    }
}
