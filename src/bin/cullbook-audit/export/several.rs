//! A file of a day of several benches, made again from their books.

use std::path::Path;

use cullbook::book::{Book, Chained, Hash};
use cullbook::export::{SEVERAL_FORMAT, several_day, several_zip};
use cullbook::people::Day;
use serde::Deserialize;

use super::{ExportError, Parts, form, parts, up_to};

/// What the JSON of such a file says of the books; its other members are compared as bytes.
#[derive(Deserialize)]
struct Named {
    format: String,
    day: Day,
    books: Vec<NamedBook>,
}

#[derive(Deserialize)]
struct NamedBook {
    head: Hash,
}

/// Whether an archive holds the JSON of several benches.
pub fn is_of_several(found: &Parts) -> bool {
    json(found).is_some()
}

fn json(found: &Parts) -> Option<&[u8]> {
    let mut parts = found.iter();
    let (_, bytes) = parts.find(|(name, _)| name.ends_with(".json"))?;
    Some(bytes)
}

/// The parts made again from the books as they were at the heads that the file names.
pub fn made_again(
    books: &[Book],
    file: &Path,
    found: &Parts,
) -> Result<(String, Parts), ExportError> {
    let json = json(found).unwrap_or_default();
    let named: Named = serde_json::from_slice(json).map_err(|why| form(file, why))?;
    if named.format != SEVERAL_FORMAT {
        return Err(form(file, format!("it says it is \"{}\"", named.format)));
    }
    let heads = named.books.iter().map(|book| book.head);
    let then = heads.map(|head| with_head(books, head, file));
    let then: Vec<Book> = then.collect::<Result<_, _>>()?;
    let laid: Vec<&dyn Chained> = then.iter().map(|book| book as &dyn Chained).collect();
    let day = several_day(&laid, named.day);
    let day = day.ok_or_else(|| form(file, "it names no book"))?;
    let of = format!("{} books at the heads that it names", then.len());
    Ok((of, parts(file, &several_zip(&day)?)?))
}

/// The one of the books that had a head, as it was then.
fn with_head(books: &[Book], head: Hash, file: &Path) -> Result<Book, ExportError> {
    for book in books {
        if let Some(then) = up_to(book, head)? {
            return Ok(then);
        }
    }
    Err(ExportError::OtherBook {
        path: file.to_owned(),
        head,
    })
}
