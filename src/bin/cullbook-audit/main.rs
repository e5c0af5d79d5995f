//! Checks a book without a browser: the same core, line by line.

use std::io::{self, Write};
use std::process::ExitCode;

use cullbook::book::{Book, BookError, Guest, Hash, Verifier};

mod arguments;
mod certificate;
mod export;
mod figures;
mod head;
mod help;
mod reading;
mod together;

use arguments::{ArgumentError, Command, Request};
use head::Sought;
use reading::{Reading, Source};

/// Exit codes besides 0; `--help` explains them.
const NOT_HELD: u8 = 1;
const IN_CONFLICT: u8 = 2;
const NOT_RUN: u8 = 3;

#[derive(Debug, thiserror::Error)]
enum AuditError {
    #[error(transparent)]
    Arguments(#[from] ArgumentError),
    #[error("{book}: {why}. Check the name and the rights of the file.")]
    Read { book: Source, why: io::Error },
    #[error("{book}: {why}")]
    NotHeld { book: Source, why: BookError },
    #[error(
        "{book}: every line holds, but the head is {found}, not {expected}. Lines at the end are missing, or it is another book."
    )]
    OtherHead {
        book: Source,
        found: Hash,
        expected: Hash,
    },
    #[error(
        "{book}: every line holds, and none of its {lines} has the head {sought}. The head is of another book, or lines of this one were taken away or written anew."
    )]
    NoSuchHead {
        book: Source,
        lines: u64,
        sought: Box<Sought>,
    },
    #[error("{book}: nothing was recorded on {day}. cullbook-audit totals names its days.")]
    NoSuchDay {
        book: Source,
        day: cullbook::people::Day,
    },
    #[error(transparent)]
    Certificate(#[from] certificate::CertificateError),
    #[error(transparent)]
    Export(#[from] export::ExportError),
    #[error("The figures could not be written: {0}.")]
    Json(#[from] serde_json::Error),
    #[error("The answer could not be written: {0}.")]
    Write(#[from] io::Error),
}

impl AuditError {
    fn exit_code(&self) -> u8 {
        match self {
            AuditError::NotHeld { .. }
            | AuditError::OtherHead { .. }
            | AuditError::NoSuchHead { .. }
            | AuditError::NoSuchDay { .. }
            | AuditError::Certificate(certificate::CertificateError::Fault { .. })
            | AuditError::Export(export::ExportError::OtherBook { .. }) => NOT_HELD,
            _ => NOT_RUN,
        }
    }
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
    let answer = arguments::parse(lexopt::Parser::from_env())
        .map_err(AuditError::from)
        .and_then(|request| answer(&request));
    let written = answer.and_then(|answer| {
        io::stdout().lock().write_all(answer.text.as_bytes())?;
        Ok(answer.agrees)
    });
    match written {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(IN_CONFLICT),
        Err(error) => {
            eprintln!("cullbook-audit: {error}");
            ExitCode::from(error.exit_code())
        }
    }
}

fn answer(request: &Request) -> Result<Answer, AuditError> {
    let reading = Reading {
        progress: request.progress,
    };
    match &request.command {
        Command::Help(text) => Ok(text.clone().into()),
        Command::Verify { book, head } => Ok(verify(&reading, book, *head)?.into()),
        Command::Totals { book } => {
            let read = reading.verified(book, |_| {})?;
            Ok(figures::totals(&read)?.into())
        }
        Command::Day { book, day } => {
            let read = reading.verified(book, |_| {})?;
            let figures = figures::day(read.state(), *day)?;
            let (book, day) = (book.clone(), *day);
            Ok(figures.ok_or(AuditError::NoSuchDay { book, day })?.into())
        }
        Command::Head { book, sought: None } => {
            let read = reading.verified(book, |_| {})?;
            Ok(format!("{}\n", read.head()).into())
        }
        Command::Head {
            book,
            sought: Some(sought),
        } => Ok(head::find(&reading, book, sought)?.into()),
        Command::Certificate { book, file } => {
            let read = reading.verified(book, |_| {})?;
            Ok(certificate::check(read.state(), file)?.into())
        }
        Command::Export { books, file } => {
            let books = books.iter().map(|book| reading.kept(book));
            let books: Vec<Book> = books.collect::<Result<_, _>>()?;
            let export::Checked { text, agrees } = export::check(&books, file)?;
            Ok(Answer { text, agrees })
        }
        Command::Together { books, form } => {
            let books = books.iter().map(|book| reading.guest(book));
            let books: Vec<Guest> = books.collect::<Result<_, _>>()?;
            let (text, agrees) = together::lay(&books, *form)?;
            Ok(Answer { text, agrees })
        }
    }
}

/// Where a book begins of which the first lines are in an archive.
fn begins(read: &Verifier) -> String {
    match (read.first_seq(), read.state().archive.cut) {
        (first @ 1.., Some(_)) => format!(
            "It begins at entry {first}; entries 0 to {} are in an archive.\n",
            first - 1
        ),
        _ => String::new(),
    }
}

fn verify(reading: &Reading, book: &Source, expected: Option<Hash>) -> Result<String, AuditError> {
    let read = reading.verified(book, |_| {})?;
    let found = read.head();
    match expected {
        Some(expected) if expected != found => Err(AuditError::OtherHead {
            book: book.clone(),
            found,
            expected,
        }),
        _ => Ok(format!(
            "{book}: holds. {} lines, head {found}\n{}",
            read.len(),
            begins(&read)
        )),
    }
}
