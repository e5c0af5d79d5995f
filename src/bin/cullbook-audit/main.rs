//! Checks a book without a browser: the same core, line by line.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use cullbook::book::{Book, BookError, Hash};
use cullbook::export::{
    Acts, BalanceRow, Carried, Closed, DayRecord, ExaminedRow, TagRow, day_record,
};
use cullbook::people::Day;
use lexopt::prelude::*;
use serde::Serialize;

mod certificate;
mod together;

use together::Form;

/// Exit code when the books hold but contradict each other.
const IN_CONFLICT: u8 = 2;

const HELP: &str = "\
Checks a book that a bench has saved (a .jsonl file).

Usage: cullbook-audit verify FILE [--head HASH]
       cullbook-audit totals FILE
       cullbook-audit head FILE
       cullbook-audit certificate FILE CERTIFICATE.json
       cullbook-audit compare FILE FILE [--json]
       cullbook-audit merge FILE FILE... [--json]

verify  reads every line, checks that it follows the line before it and that it
        was allowed, and says which line is the first that does not hold.
totals  writes the totals of every day and the balance of every lot as JSON:
        the same figures as the day's tables.
head    writes the hash of the last line.
certificate
        makes the certificate of that session anew from the book, and says at
        which place the saved one differs from it.
compare verifies two books and says whether one is the beginning of the other,
        whether they part at some entry, and where they contradict each other.
merge   does the same for the books of any number of benches, and adds up what
        they say of each lot. Conflicts are named, never settled: a sheet ruled
        twice, a replacement note drawn twice, a serial used twice, a seal used
        twice, a lot defined in two ways, books of two works, practice books.

Options:
  --head HASH   With verify: the book must have this head. Take it from a print,
                a certificate or a witness. Only a head that was kept elsewhere
                shows that lines at the end are missing.
  --json        With compare and merge: answer in JSON
  -h, --help    Show this

Ends with 0 when every book holds and the books agree, with 1 when a book does
not hold or cannot be read, with 2 when every book holds but they contradict
each other.
";

#[derive(Debug, thiserror::Error)]
enum AuditError {
    #[error(transparent)]
    Arguments(#[from] lexopt::Error),
    #[error("No command is given. Write: cullbook-audit verify FILE")]
    NoCommand,
    #[error(
        "There is no command \"{0}\". The commands are verify, totals, head, certificate, compare and merge."
    )]
    UnknownCommand(String),
    #[error("No file is given. Write: cullbook-audit {0} FILE")]
    NoFile(&'static str),
    #[error("{command} takes {takes}; {given} given. Write: cullbook-audit {command} FILE FILE")]
    Books {
        command: &'static str,
        takes: &'static str,
        given: usize,
    },
    #[error("{option} does not go with {command}. See cullbook-audit --help.")]
    Option {
        option: &'static str,
        command: String,
    },
    #[error("--head is \"{0}\". Give the 64 digits 0-9 and a-f of a head.")]
    BadHead(String),
    #[error("{}: {why}. Check the name and the rights of the file.", .path.display())]
    Read { path: PathBuf, why: io::Error },
    #[error("{}: line {line} is not text in UTF-8.", .path.display())]
    NotText { path: PathBuf, line: u64 },
    #[error("{}: {why}", .path.display())]
    NotHeld { path: PathBuf, why: BookError },
    #[error(
        "{}: every line holds, but the head is {found}, not {expected}. Lines at the end are missing, or it is another book.", .path.display()
    )]
    OtherHead {
        path: PathBuf,
        found: Hash,
        expected: Hash,
    },
    #[error(transparent)]
    Certificate(#[from] certificate::CertificateError),
    #[error("The figures could not be written: {0}.")]
    Json(#[from] serde_json::Error),
    #[error("The answer could not be written: {0}.")]
    Write(#[from] io::Error),
}

enum Command {
    Help,
    Verify { file: PathBuf, head: Option<Hash> },
    Totals { file: PathBuf },
    Head { file: PathBuf },
    Certificate { book: PathBuf, file: PathBuf },
    Together { files: Vec<PathBuf>, form: Form },
}

/// What is printed, and how the program ends.
struct Answer {
    text: String,
    agrees: bool,
}

impl From<String> for Answer {
    fn from(text: String) -> Self {
        let agrees = true;
        Self { text, agrees }
    }
}

fn main() -> ExitCode {
    let answer = parse(lexopt::Parser::from_env()).and_then(|command| answer(&command));
    let written = answer.and_then(|answer| {
        io::stdout().lock().write_all(answer.text.as_bytes())?;
        Ok(answer.agrees)
    });
    match written {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(IN_CONFLICT),
        Err(error) => {
            eprintln!("cullbook-audit: {error}");
            ExitCode::FAILURE
        }
    }
}

fn parse(mut arguments: lexopt::Parser) -> Result<Command, AuditError> {
    let (mut command, mut head, mut form) = (None, None, Form::Text);
    let mut files: Vec<PathBuf> = Vec::new();
    while let Some(argument) = arguments.next()? {
        match argument {
            Short('h') | Long("help") => return Ok(Command::Help),
            Long("head") => {
                let text = arguments.value()?.string()?;
                head = Some(text.parse().map_err(|_| AuditError::BadHead(text))?);
            }
            Long("json") => form = Form::Json,
            Value(name) if command.is_none() => command = Some(name.string()?),
            Value(path) => files.push(PathBuf::from(path)),
            other => return Err(other.unexpected().into()),
        }
    }
    let together = matches!(command.as_deref(), Some("compare" | "merge"));
    if let (Some(command), Form::Json, false) = (&command, form, together) {
        return Err(option("--json", command));
    }
    if let (Some(command), Some(_)) = (&command, head)
        && command != "verify"
    {
        return Err(option("--head", command));
    }
    match command.as_deref() {
        Some("verify") => Ok(Command::Verify {
            file: one("verify", files)?,
            head,
        }),
        Some("totals") => Ok(Command::Totals {
            file: one("totals", files)?,
        }),
        Some("head") => Ok(Command::Head {
            file: one("head", files)?,
        }),
        Some("certificate") => match <[PathBuf; 2]>::try_from(files) {
            Ok([book, file]) => Ok(Command::Certificate { book, file }),
            Err(files) => Err(books(
                "certificate",
                "a book and a certificate",
                files.len(),
            )),
        },
        Some("compare") if files.len() == 2 => Ok(Command::Together { files, form }),
        Some("compare") => Err(books("compare", "two books", files.len())),
        Some("merge") if files.len() >= 2 => Ok(Command::Together { files, form }),
        Some("merge") => Err(books("merge", "two books or more", files.len())),
        Some(other) => Err(AuditError::UnknownCommand(other.to_owned())),
        None => Err(AuditError::NoCommand),
    }
}

/// The one file that most commands are about.
fn one(command: &'static str, files: Vec<PathBuf>) -> Result<PathBuf, AuditError> {
    let mut files = files.into_iter();
    let file = files.next().ok_or(AuditError::NoFile(command))?;
    match files.next() {
        None => Ok(file),
        Some(more) => Err(lexopt::Arg::Value(more.into_os_string())
            .unexpected()
            .into()),
    }
}

fn option(option: &'static str, command: &str) -> AuditError {
    AuditError::Option {
        option,
        command: command.to_owned(),
    }
}

fn books(command: &'static str, takes: &'static str, given: usize) -> AuditError {
    AuditError::Books {
        command,
        takes,
        given,
    }
}

fn answer(command: &Command) -> Result<Answer, AuditError> {
    match command {
        Command::Help => Ok(HELP.to_owned().into()),
        Command::Verify { file, head } => Ok(verify(file, *head)?.into()),
        Command::Totals { file } => Ok(totals(&read(file)?)?.into()),
        Command::Head { file } => Ok(format!("{}\n", read(file)?.head()).into()),
        Command::Certificate { book, file } => {
            Ok(certificate::check(read(book)?.state(), file)?.into())
        }
        Command::Together { files, form } => {
            let books: Vec<Book> = files
                .iter()
                .map(|file| read(file))
                .collect::<Result<_, _>>()?;
            let (text, agrees) = together::lay(&books, *form)?;
            Ok(Answer { text, agrees })
        }
    }
}

fn verify(file: &Path, expected: Option<Hash>) -> Result<String, AuditError> {
    let book = read(file)?;
    let found = book.head();
    match expected {
        Some(expected) if expected != found => Err(AuditError::OtherHead {
            path: file.to_owned(),
            found,
            expected,
        }),
        _ => Ok(format!(
            "{}: holds. {} lines, head {found}\n",
            file.display(),
            book.len()
        )),
    }
}

/// Reads a book line by line. Only `\n` ends a line: anything else before it is hashed.
fn read(path: &Path) -> Result<Book, AuditError> {
    let unreadable = |why| AuditError::Read {
        path: path.to_owned(),
        why,
    };
    let not_held = |why| AuditError::NotHeld {
        path: path.to_owned(),
        why,
    };
    let mut file = BufReader::new(File::open(path).map_err(unreadable)?);
    let mut book = Book::default();
    let mut bytes = Vec::new();
    while file.read_until(b'\n', &mut bytes).map_err(unreadable)? > 0 {
        let text = std::str::from_utf8(&bytes).map_err(|_| AuditError::NotText {
            path: path.to_owned(),
            line: book.len(),
        })?;
        let line = text.strip_suffix('\n').unwrap_or(text);
        book.push_text(line).map_err(not_held)?;
        bytes.clear();
    }
    if book.is_empty() {
        return Err(not_held(BookError::Empty));
    }
    Ok(book)
}

/// What `totals` writes.
#[derive(Serialize)]
struct Totals<'a> {
    head: Hash,
    entries: u64,
    days: Vec<DayTotals<'a>>,
    carried: Carried,
    balance: &'a [BalanceRow],
}

#[derive(Serialize)]
struct DayTotals<'a> {
    day: Day,
    closed: &'a Option<Closed>,
    acts: Acts,
    examined: &'a [ExaminedRow],
    tags: &'a [TagRow],
}

fn totals(book: &Book) -> Result<String, AuditError> {
    let days = book.state().days.keys();
    let records: Vec<DayRecord> = days.filter_map(|day| day_record(book, *day)).collect();
    let days = records.iter().map(|record| DayTotals {
        day: record.day,
        closed: &record.closed,
        acts: record.acts,
        examined: &record.examined,
        tags: &record.tags,
    });
    // Places and balances are of the whole book, the same in every record of it.
    let last = records.last();
    let totals = Totals {
        head: book.head(),
        entries: book.len(),
        days: days.collect(),
        carried: last.map(|record| record.carried).unwrap_or_default(),
        balance: last.map_or(&[], |record| &record.balance),
    };
    Ok(serde_json::to_string_pretty(&totals)? + "\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(arguments: &[&str]) -> String {
        match parse(lexopt::Parser::from_args(arguments)).and_then(|command| answer(&command)) {
            Ok(answer) => answer.text,
            Err(error) => error.to_string(),
        }
    }

    #[test]
    fn mistakes_are_told_in_words() {
        assert!(says(&[]).starts_with("No command is given"));
        assert!(says(&["audit"]).starts_with("There is no command \"audit\""));
        assert!(says(&["verify"]).contains("cullbook-audit verify FILE"));
        assert!(says(&["totals"]).contains("cullbook-audit totals FILE"));
        assert!(says(&["head"]).contains("cullbook-audit head FILE"));
        assert!(says(&["verify", "x", "--head", "12"]).starts_with("--head is \"12\""));
        assert!(says(&["head", "no/such/file"]).contains("no/such/file"));
        assert!(says(&["head", "a", "b"]).contains("\"b\""));
        assert!(says(&["--strict"]).contains("--strict"));
        assert!(says(&["compare", "a"]).starts_with("compare takes two books; 1 given"));
        assert!(says(&["compare", "a", "b", "c"]).contains("3 given"));
        assert!(says(&["verify", "a", "--json"]).starts_with("--json does not go with verify"));
        let head = "0".repeat(64);
        let merged = says(&["merge", "a", "b", "--head", &head]);
        assert!(merged.starts_with("--head does not go with merge"));
        let certificate = says(&["certificate", "a"]);
        assert!(certificate.starts_with("certificate takes a book and a certificate; 1 given"));
        assert!(says(&["merge", "a"]).starts_with("merge takes two books or more; 1 given"));
    }

    #[test]
    fn help_names_every_command_and_option() {
        let help = says(&["-h"]);
        for word in [
            "verify",
            "totals",
            "head",
            "certificate",
            "compare",
            "merge",
            "--head",
            "--json",
            "--help",
        ] {
            assert!(help.contains(word), "{word}");
        }
    }
}
