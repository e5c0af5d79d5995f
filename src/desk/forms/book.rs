//! The form that opens a new book.

use crate::book::{Author, BenchId, Book, BookOpened, ClassesSet, Entry, Refusal};
use crate::inspect::{Rules, starter_catalogue};
use crate::people::{Passphrase, Person, PersonId, PersonName, Role, SecretKey};

use super::person::{PASSPHRASE, passphrase};
use super::{FieldErrors, Reader, Typed};
use crate::desk::Env;

/// What opens a book.
#[derive(Clone, Debug, PartialEq)]
pub struct NewBook {
    pub works: String,
    pub bench: BenchId,
    pub supervisor: PersonId,
    pub name: PersonName,
    pub practice: bool,
}

/// Reads the form: `works`, `bench`, `person`, `name`, and `passphrase` twice.
///
/// # Errors
/// Every wrong field, with what to do.
pub fn new_book(typed: &Typed) -> Result<(NewBook, Passphrase), FieldErrors> {
    let mut form = Reader::new(typed);
    let works = form.required("works", "Works", 60);
    let bench = form.read("bench");
    let supervisor = form.read("person");
    let name = form.read_with("name", |text| PersonName::try_from(text.to_owned()));
    let secret = passphrase(&mut form, PASSPHRASE);
    let book = (|| {
        Some(NewBook {
            works: works?,
            bench: bench?,
            supervisor: supervisor?,
            name: name?,
            practice: false,
        })
    })();
    form.finish(book.zip(secret))
}

impl NewBook {
    /// The new book: its opening, the starter catalogue and the starter rules, all signed with
    /// the supervisor's new key.
    ///
    /// # Errors
    /// Why the book refuses to be opened so.
    pub fn open(self, key: &SecretKey, env: &mut Env) -> Result<Book, Refusal> {
        let by = self.supervisor;
        let roles = [Role::Supervisor].into();
        let opened = BookOpened {
            works: self.works,
            book: (env.new_id)(),
            practice: self.practice,
            supervisor: Person {
                person: by,
                name: self.name,
                roles,
                outside: false,
                key: key.public(),
            },
        };
        let mut author = Author {
            by,
            key,
            also: Vec::new(),
            at: env.now.clone(),
            new_id: env.new_id,
        };
        let mut book = Book::default();
        take(&mut book, Book::open(self.bench, &mut author, opened)?)?;
        let start = vec![
            Entry::ClassesSet(ClassesSet {
                classes: starter_catalogue(),
            }),
            Entry::RulesSet(Rules::default()),
        ];
        let batch = book.prepare(&mut author, start)?;
        take(&mut book, batch)?;
        Ok(book)
    }
}

fn take(book: &mut Book, batch: crate::book::Batch) -> Result<(), Refusal> {
    // A batch made for this very book always follows its head.
    book.append(batch)
        .map_err(|why| Refusal::Followed(Box::new(why)))
}
