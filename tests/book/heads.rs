//! Heads that leave the machine and come back: what the book answers, and what it notes.

use cullbook::book::*;
use cullbook::export::{certificate, head_text, read_head};

use super::chain::long_book;
use super::works::*;

fn heads(book: &Book) -> Vec<Head> {
    let id = book.whole_head().unwrap().book;
    let head = |(text, entries): (&std::rc::Rc<str>, u64)| Head {
        book: id,
        entries,
        hash: Hash::of_line(text.as_bytes()),
    };
    book.texts().iter().zip(1..).map(head).collect()
}

fn entry_of(answer: &HeadAnswer) -> Option<u64> {
    match answer {
        HeadAnswer::Contained { entry, .. } => Some(*entry),
        _ => None,
    }
}

fn bare(hash: Hash) -> KeptHead {
    KeptHead::Whole {
        hash,
        entries: None,
        book: None,
    }
}

#[test]
fn every_head_the_book_ever_had_is_found_at_its_entry() {
    let book = long_book().book;
    for head in heads(&book) {
        let kept = [
            head.code().to_string(),
            head.hash.to_string(),
            head_text(&head),
        ];
        for kept in kept {
            let answer = book.answer(&read_head(&kept).unwrap());
            assert_eq!(entry_of(&answer), Some(head.entries - 1), "{kept}");
        }
    }
    let first = book.answer(&KeptHead::Code(heads(&book)[0].code()));
    let says = first.says(book.state());
    assert!(
        says.starts_with("This book contains it at entry 0, written 25 Nov 2026"),
        "{says}"
    );
    assert!(says.ends_with("by sue of the works."), "{says}");
    let after = grouped(book.len() - 1);
    assert!(
        first
            .means()
            .contains(&format!("{after} entries were written after it"))
    );
}

fn grouped(count: u64) -> String {
    cullbook::sheet::grouped(count)
}

/// Only a head kept elsewhere tells a book that was put back: here each shorter book does hold.
#[test]
fn a_book_that_was_put_back_does_not_contain_the_later_heads() {
    let book = long_book().book;
    let texts = book.texts();
    for length in 1..texts.len() {
        let short = Book::read(texts[..length].iter().map(|text| &**text)).unwrap();
        let later = heads(&book)[length];
        let answer = short.answer(&KeptHead::Code(later.code()));
        let (counted, has) = (later.entries, short.len());
        assert_eq!(answer, HeadAnswer::TooShort { counted, has });
        assert_eq!(short.answer(&bare(later.hash)), HeadAnswer::Nowhere);
        let last = heads(&book)[length - 1];
        assert_eq!(
            entry_of(&short.answer(&KeptHead::Code(last.code()))),
            Some(length as u64 - 1)
        );
    }
}

#[test]
fn another_books_heads_are_not_contained() {
    let book = long_book().book;
    let mut opening = opening();
    opening.book = uuid::Uuid::from_u128(7);
    let mut other = Works::of_bench("B9", opening);
    other.staff();
    for head in heads(&other.book) {
        let whole = read_head(&head_text(&head)).unwrap();
        let answer = book.answer(&whole);
        assert_eq!(answer, HeadAnswer::OtherBook { named: head.book });
        let entry = head.entries - 1;
        let by_code = book.answer(&KeptHead::Code(head.code()));
        assert_eq!(by_code, HeadAnswer::Differs { entry });
        assert_eq!(book.answer(&bare(head.hash)), HeadAnswer::Nowhere);
        for answer in [answer, by_code] {
            let says = answer.says(book.state());
            assert!(
                says.starts_with("This book does not contain it: "),
                "{says}"
            );
            assert!(!answer.means().is_empty());
        }
    }
    assert_eq!(
        Book::default().answer(&bare(Hash::NONE)),
        HeadAnswer::Nowhere
    );
}

#[test]
fn a_certificate_brings_its_head_back() {
    let works = Works::destroyed();
    let session = &works.state().sessions[0];
    let paper = certificate(works.state(), session);
    let last = works.book.len() - 1;
    for text in [paper.to_json().unwrap(), paper.qr_text()] {
        let answer = works.book.answer(&read_head(&text).unwrap());
        assert_eq!(entry_of(&answer), Some(last), "{text}");
    }
}

#[test]
fn a_head_leaves_as_it_is_with_how_and_to_whom() {
    let mut works = Works::staffed();
    let old = head_taken(&works.book, Way::Print, None);
    let copy = copy_taken(&works.book);
    works.must("ida", copy);
    assert_eq!(works.refused("ida", old), Refusal::OldHead);
    let head = works.book.head();
    let unsaid = Entry::CopyTaken(CopyTaken::new(Copied::Head, head));
    let field = "How it left";
    assert_eq!(works.refused("ida", unsaid), Refusal::Empty { field });
    let field = "Told to";
    for to in [None, Some("  ")] {
        let nobody = head_taken(&works.book, Way::Told, to);
        assert_eq!(works.refused("ida", nobody), Refusal::Empty { field });
    }
    let long = "a".repeat(61);
    let refused = head_taken(&works.book, Way::File, Some(&long));
    assert_eq!(
        works.refused("ida", refused),
        Refusal::TooLong { field, max: 60 }
    );
    let told = head_taken(&works.book, Way::Told, Some("Wren Hale"));
    works.must("ida", told);
    let state = works.state();
    let (any, book) = (&state.last_copy, &state.last_book_copy);
    assert_eq!(any.as_ref().unwrap().what, Copied::Head);
    assert_eq!(book.as_ref().unwrap().what, Copied::Book);
    let last = works.book.texts().last().unwrap();
    let data = format!(
        r#""data":{{"what":"head","head":"{}","how":"told","to":"Wren Hale"}},"#,
        head_before(&works)
    );
    assert!(last.contains(&data), "{last}");
}

fn head_before(works: &Works) -> Hash {
    let texts = works.book.texts();
    Hash::of_line(texts[texts.len() - 2].as_bytes())
}

/// Notes of copies written before heads could leave alone.
#[test]
fn an_older_note_of_a_copy_is_written_as_before() {
    let mut works = Works::staffed();
    let head = works.book.head();
    let copy = copy_taken(&works.book);
    works.must("ida", copy);
    let last = works.book.texts().last().unwrap();
    let data = format!(r#""data":{{"what":"book","head":"{head}"}},"sig""#);
    assert!(last.contains(&data), "{last}");
}
