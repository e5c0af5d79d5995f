//! Checks a file that was made from a book: it is made again from the lines up to the head that
//! it names, and compared part by part.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Cursor, Read};
use std::path::{Path, PathBuf};

use cullbook::book::{Book, BookError, Hash};
use cullbook::export::picture::map_file;
use cullbook::export::{XlsxFailed, day_record, day_xlsx, day_zip, reader};
use cullbook::people::Day;
use zip::ZipArchive;

mod several;

/// Why a file could not be checked.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    #[error("{}: {why}. Check the name and the rights of the file.", .path.display())]
    Read { path: PathBuf, why: std::io::Error },
    #[error("{}: {why}. Give a day's .zip or .xlsx, or a map's .svg, as the book's bench saved it.", .path.display())]
    Form { path: PathBuf, why: String },
    #[error("{} names no head. Only files that a bench made from its book can be checked.", .0.display())]
    NoHead(PathBuf),
    #[error(
        "{} is of the head {head}, which this book does not have. It is of another book, or of lines that are missing here.", .path.display()
    )]
    OtherBook { path: PathBuf, head: Hash },
    #[error("{} is of one book. Give that book alone.", .0.display())]
    OfOneBook(PathBuf),
    #[error(transparent)]
    Json(#[from] serde_json::Error),
    #[error(transparent)]
    Book(#[from] BookError),
    #[error(transparent)]
    Xlsx(#[from] XlsxFailed),
}

type Parts = BTreeMap<String, Vec<u8>>;

/// What the check found.
pub struct Checked {
    pub text: String,
    pub agrees: bool,
}

/// Checks one exported file against the book, or the books, it was made from.
pub fn check(books: &[Book], file: &Path) -> Result<Checked, ExportError> {
    let bytes = fs::read(file).map_err(|why| ExportError::Read {
        path: file.to_owned(),
        why,
    })?;
    let found = parts(file, &bytes)?;
    let (of, right) = match several::is_of_several(&found) {
        true => several::made_again(books, file, &found)?,
        false => made_of_one(books, file, &found)?,
    };
    let wrong = differences(&found, &right);
    let text = match wrong.is_empty() {
        true => format!("{}: agrees with {of}.\n", file.display()),
        false => format!("{}: differs from {of}.\n{}", file.display(), wrong.concat()),
    };
    Ok(Checked {
        text,
        agrees: wrong.is_empty(),
    })
}

/// The parts of a file of one book, made again, and of which lines.
fn made_of_one(books: &[Book], file: &Path, found: &Parts) -> Result<(String, Parts), ExportError> {
    let [book] = books else {
        return Err(ExportError::OfOneBook(file.to_owned()));
    };
    let (head, day) = named(file, found)?;
    let book = up_to(book, head)?.ok_or_else(|| ExportError::OtherBook {
        path: file.to_owned(),
        head,
    })?;
    let of = format!("the book's first {} lines, head {head}", book.len());
    Ok((of, made_again(file, &book, day, found)?))
}

fn form(file: &Path, why: impl ToString) -> ExportError {
    ExportError::Form {
        path: file.to_owned(),
        why: why.to_string(),
    }
}

/// The files packed in an archive, or the one file itself.
fn parts(file: &Path, bytes: &[u8]) -> Result<Parts, ExportError> {
    if is(file, "svg") {
        return Ok(Parts::from([("svg".to_owned(), bytes.to_vec())]));
    }
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|why| form(file, why))?;
    let mut parts = Parts::new();
    for index in 0..archive.len() {
        let mut entry = archive.by_index(index).map_err(|why| form(file, why))?;
        let mut unpacked = Vec::new();
        entry
            .read_to_end(&mut unpacked)
            .map_err(|why| form(file, why))?;
        let name = entry.name().map_err(|why| form(file, why))?;
        parts.insert(name.into_owned(), unpacked);
    }
    Ok(parts)
}

fn is(file: &Path, ending: &str) -> bool {
    let found = file.extension().and_then(|ending| ending.to_str());
    found.is_some_and(|found| found.eq_ignore_ascii_case(ending))
}

/// The head and the day that the file says it is of: in the page of a CSV set, in the properties
/// of a workbook, in the description of a map.
fn named(file: &Path, parts: &Parts) -> Result<(Hash, Day), ExportError> {
    let places = ["README.txt", "docProps/core.xml", "svg"];
    let text = places.iter().find_map(|name| parts.get(*name));
    let text = text.map(|bytes| String::from_utf8_lossy(bytes));
    let text = text.ok_or_else(|| ExportError::NoHead(file.to_owned()))?;
    let after = |mark: &str, length: usize| {
        let (_, rest) = text.split_once(mark)?;
        rest.get(..length)
    };
    let head = after("Head of the book: ", 64).and_then(|head| head.parse().ok());
    let day = after("production day ", 10).or_else(|| after("Day record ", 10));
    let day = day.and_then(|day| day.parse().ok());
    head.zip(day)
        .ok_or_else(|| ExportError::NoHead(file.to_owned()))
}

/// The book as it was when it had this head.
fn up_to(book: &Book, head: Hash) -> Result<Option<Book>, BookError> {
    if book.head() == head {
        return Ok(Some(book.clone()));
    }
    let text = book.to_jsonl();
    let mut earlier = Book::default();
    // The signatures were checked when the whole book was read.
    for line in text.lines() {
        earlier.push_text(line)?;
        if earlier.head() == head {
            return Ok(Some(earlier));
        }
    }
    Ok(None)
}

fn made_again(file: &Path, book: &Book, day: Day, found: &Parts) -> Result<Parts, ExportError> {
    let record = day_record(book, day).ok_or(BookError::Empty)?;
    if let Some(svg) = found.get("svg") {
        let text = String::from_utf8_lossy(svg);
        let again = map_file(book.state(), &record, &text);
        let again = again.ok_or_else(|| form(file, "it names no lot and side of the book"))?;
        return Ok(Parts::from([("svg".to_owned(), again.into_bytes())]));
    }
    match is(file, "xlsx") {
        true => parts(file, &day_xlsx(&record)?),
        false => parts(file, &day_zip(&record)),
    }
}

/// What differs, a line each: the first cell of each table, or the part.
fn differences(found: &Parts, right: &Parts) -> Vec<String> {
    let mut wrong = Vec::new();
    for (name, bytes) in right {
        match found.get(name) {
            None => wrong.push(format!("  {name} is missing.\n")),
            Some(found) if found != bytes => wrong.push(first_difference(name, found, bytes)),
            Some(_) => {}
        }
    }
    let more = found.keys().filter(|name| !right.contains_key(*name));
    wrong.extend(more.map(|name| format!("  {name} should not be there.\n")));
    wrong
}

fn first_difference(name: &str, found: &[u8], right: &[u8]) -> String {
    let cell = match name.ends_with(".csv") {
        true => first_cell(found, right),
        false => None,
    };
    match cell {
        Some(cell) => format!("  {name}: {cell}\n"),
        None => format!("  {name} is not what the book gives.\n"),
    }
}

/// The first cell of a CSV table that differs.
fn first_cell(found: &[u8], right: &[u8]) -> Option<String> {
    let (mut found, mut right) = (reader(found).into_records(), reader(right).into_records());
    let names = right.next()?.ok()?;
    found.next();
    let mut row = 0;
    loop {
        row += 1;
        let pair = (found.next(), right.next());
        if let (None, None) = pair {
            return None;
        }
        let (found, right) = (pair.0.and_then(Result::ok), pair.1.and_then(Result::ok));
        if let Some(cell) = cell_of(&names, found, right, row) {
            return Some(cell);
        }
    }
}

fn cell_of(
    names: &csv::StringRecord,
    found: Option<csv::StringRecord>,
    right: Option<csv::StringRecord>,
    row: u32,
) -> Option<String> {
    let (found, right) = match (found, right) {
        (Some(found), Some(right)) => (found, right),
        (None, Some(_)) => return Some(format!("row {row} is missing.")),
        _ => return Some(format!("row {row} is one too many.")),
    };
    let column = (0..names.len()).find(|at| found.get(*at) != right.get(*at))?;
    let cell = |row: &csv::StringRecord| row.get(column).unwrap_or_default().to_owned();
    Some(format!(
        "row {row}, {}: \"{}\", but the book gives \"{}\".",
        names.get(column).unwrap_or_default(),
        cell(&found),
        cell(&right)
    ))
}
