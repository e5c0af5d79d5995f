//! The book as its file: the very bytes that are chained.

use crate::book::Book;
use crate::people::Day;

use super::tables::stem;

/// File name and bytes of the whole book; the name carries its bench, the day it is saved on and
/// the first digits of its head. Nothing for a book that is not open.
pub fn book_file(book: &Book, today: Day) -> Option<(String, Vec<u8>)> {
    let bench = book.state().opened.as_ref()?.bench;
    let digits: String = book.head().to_string().chars().take(8).collect();
    let name = format!("{}_book_{digits}.jsonl", stem(bench.as_str(), today));
    Some((name, book.to_jsonl().into_bytes()))
}
