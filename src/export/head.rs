//! A head on its way out and back: the text of its QR code, its file, and the reader of whatever
//! a head comes back in.
//!
//! The QR text is one line of words with one space between them:
//! `cullbook head v1 book {UUID} entries {number} head {64 digits}`.
//!
//! The file is one JSON object with exactly the members of [`HeadFile`].

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::book::{Book, Hash, Head, HeadCode, HeadCodeError, KeptHead};
use crate::people::Stamp;

use super::csv_text::reader;
use super::tables::stem;

/// Largest file that is read for a head, in bytes.
pub const HEAD_FILE_MAX: usize = 64 << 10;

/// What the file of a head holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HeadFile {
    pub cullbook: HeadMark,
    pub version: u8,
    pub works: String,
    pub bench: String,
    pub book: Uuid,
    /// Number of entries the head stands behind.
    pub entries: u64,
    pub head: Hash,
    /// The short code, for whoever types it from the file.
    pub code: String,
    /// When it was saved.
    pub saved: Stamp,
}

/// The word `head`: what kind of file of ours it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HeadMark {
    Head,
}

const VERSION: u8 = 1;

/// Why nothing can be compared.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum HeadTextError {
    #[error("Nothing is given. Type the short code of a head, or scan or choose what carries one.")]
    Empty,
    #[error(
        "This is larger than 64 kB, more than anything that carries a head. Choose the file of a head or of a certificate, or a table of a day."
    )]
    TooLarge,
    #[error(transparent)]
    Code(#[from] HeadCodeError),
    #[error(
        "It carries no head that can be read ({0}). Choose the file of a head or of a certificate, or the table of a day."
    )]
    File(String),
    #[error("The file of a head has version {0}; this program reads version 1.")]
    Version(u8),
    #[error("The code in the file does not fit its head. Someone changed it; do not trust it.")]
    CodeDiffers,
    #[error("After \"cullbook {0} v1\" no head follows. Scan it again.")]
    Scanned(String),
}

/// What the QR code of a head says.
pub fn head_text(head: &Head) -> String {
    let Head {
        book,
        entries,
        hash,
    } = head;
    format!("cullbook head v1 book {book} entries {entries} head {hash}")
}

/// File name and text of the head as it is now; nothing while the book is not open.
///
/// # Errors
/// What the writer of JSON says; no head is known for which it does.
pub fn head_file(book: &Book, now: &Stamp) -> Option<serde_json::Result<(String, String)>> {
    let (opened, head) = (book.state().opened.as_ref()?, book.whole_head()?);
    let bench = opened.bench.as_str();
    let day = book.state().day_of(now);
    let file = HeadFile {
        cullbook: HeadMark::Head,
        version: VERSION,
        works: opened.works.clone(),
        bench: bench.to_owned(),
        book: head.book,
        entries: head.entries,
        head: head.hash,
        code: head.code().to_string(),
        saved: now.clone(),
    };
    let name = format!("{}_head_{}.json", stem(bench, day), head.entries);
    Some(serde_json::to_string_pretty(&file).map(|text| (name, text + "\n")))
}

/// A head from whatever it was kept in: a short code or the 64 digits as typed, the text of a QR
/// code of a head or a certificate, the file of a head or of a certificate, the day's table.
///
/// # Errors
/// What is wrong with the text.
pub fn read_head(text: &str) -> Result<KeptHead, HeadTextError> {
    if text.len() > HEAD_FILE_MAX {
        return Err(HeadTextError::TooLarge);
    }
    let text = text.trim().trim_start_matches('\u{feff}');
    if text.is_empty() {
        Err(HeadTextError::Empty)
    } else if text.starts_with('{') {
        of_json(text)
    } else if text.starts_with("cullbook ") {
        of_scan(text)
    } else if let Some(kept) = of_table(text) {
        Ok(kept)
    } else if is_of_another_kind(text) {
        let what = "it is a file of another kind, like a workbook or a picture";
        Err(HeadTextError::File(what.to_owned()))
    } else {
        typed(text)
    }
}

/// Neither a code nor a hash that somebody typed.
fn is_of_another_kind(text: &str) -> bool {
    const TYPED_MAX: usize = 200;
    let strange = |letter: char| letter == '<' || (letter.is_control() && !letter.is_whitespace());
    text.chars().count() > TYPED_MAX || text.contains(strange)
}

/// The whole hash in any case and grouping, or else the short code.
fn typed(text: &str) -> Result<KeptHead, HeadTextError> {
    let digits: String = text.split_whitespace().collect();
    match digits.to_ascii_lowercase().parse() {
        Ok(hash) => Ok(KeptHead::Whole {
            hash,
            entries: None,
            book: None,
        }),
        Err(_) => Ok(KeptHead::Code(text.parse::<HeadCode>()?)),
    }
}

/// `cullbook <what> v1`, then a name and its value in turn.
fn of_scan(text: &str) -> Result<KeptHead, HeadTextError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let (begin, pairs) = words.split_at(words.len().min(3));
    let value = |name: &str| {
        let mut pairs = pairs.chunks_exact(2);
        pairs.find(|pair| pair[0] == name).map(|pair| pair[1])
    };
    let known = matches!(begin, [_, "head" | "certificate", "v1"]);
    let kept = value("head").and_then(|head| whole(head, value("entries"), value("book")));
    kept.filter(|_| known).ok_or_else(|| {
        let what = begin.get(1).copied().unwrap_or_default();
        HeadTextError::Scanned(what.chars().take(20).collect())
    })
}

/// A whole head from its parts as written. One that is there must be right.
fn whole(head: &str, entries: Option<&str>, book: Option<&str>) -> Option<KeptHead> {
    Some(KeptHead::Whole {
        hash: head.parse().ok()?,
        entries: entries.map(str::parse).transpose().ok()?,
        book: book.map(str::parse).transpose().ok()?,
    })
}

/// What a file must tell to be read as the file of a head.
#[derive(Deserialize)]
struct Marked {
    #[serde(default)]
    cullbook: Option<String>,
}

/// Any other file that carries a head, like a certificate.
#[derive(Deserialize)]
struct Carrier {
    head: Hash,
    #[serde(default)]
    book: Option<Uuid>,
    #[serde(default, alias = "entries")]
    book_entries: Option<u64>,
}

fn of_json(text: &str) -> Result<KeptHead, HeadTextError> {
    let unread = |why: serde_json::Error| HeadTextError::File(why.to_string());
    let marked: Marked = serde_json::from_str(text).map_err(unread)?;
    if marked.cullbook.is_none() {
        let carrier: Carrier = serde_json::from_str(text).map_err(unread)?;
        return Ok(KeptHead::Whole {
            hash: carrier.head,
            entries: carrier.book_entries,
            book: carrier.book,
        });
    }
    let file: HeadFile = serde_json::from_str(text).map_err(unread)?;
    if file.version != VERSION {
        return Err(HeadTextError::Version(file.version));
    }
    let code: HeadCode = file.code.parse()?;
    if code != HeadCode::new(file.entries, &file.head) {
        return Err(HeadTextError::CodeDiffers);
    }
    Ok(KeptHead::Whole {
        hash: file.head,
        entries: Some(file.entries),
        book: Some(file.book),
    })
}

/// The table of a day's facts: a cell "full head" with the head in the next one.
fn of_table(text: &str) -> Option<KeptHead> {
    let mut records = reader(text.as_bytes());
    let rows: Vec<_> = records.records().map_while(Result::ok).collect();
    let after = |name: &str| {
        let mut found = rows.iter().filter_map(|row| {
            let mut cells = row.iter();
            cells.find(|cell| *cell == name)?;
            cells.next()
        });
        found.next()
    };
    whole(
        after("full head")?,
        after("entries in the book"),
        after("book"),
    )
}

#[cfg(test)]
mod tests;
