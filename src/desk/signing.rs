//! Signing: whose key is at the desk, and the signatures being gathered for one entry.

use crate::book::{Book, Entry, Refusal, cosigners};
use crate::people::{Countersignature, Duty, Meaning, PersonId, SecretKey};

use super::core::Desk;
use super::ports::{Effect, Env};

/// An entry that others than its author sign before it is recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Signing {
    pub entry: Entry,
    /// The author, who is signed in.
    pub by: PersonId,
    /// Exactly what everybody signs, but for the last line with their own name.
    pub statement: String,
    pub needed: Vec<(PersonId, Meaning)>,
    pub have: Vec<Countersignature>,
}

impl Signing {
    /// Lays an entry out for signing; nothing for one that nobody else needs to sign.
    pub fn new(entry: Entry, by: PersonId, book: &Book) -> Option<Self> {
        let statement = book.statement(by, &entry)?;
        let needed = cosigners(&entry);
        Some(Self {
            entry,
            by,
            statement,
            needed,
            have: Vec::new(),
        })
    }

    pub fn has_signed(&self, person: PersonId) -> bool {
        self.have.iter().any(|one| one.by == person)
    }

    /// Whose turn it is, and as what they sign.
    pub fn next(&self) -> Option<(PersonId, Meaning)> {
        let mut needed = self.needed.iter();
        needed
            .find(|(person, _)| !self.has_signed(*person))
            .copied()
    }

    /// Adds the signature of someone who must sign and has not.
    ///
    /// # Errors
    /// [`Refusal::WrongKey`] for a key that is not the person's.
    pub fn sign(&mut self, person: PersonId, key: &SecretKey, book: &Book) -> Result<(), Refusal> {
        if book.state().person(person)?.key != key.public() {
            return Err(Refusal::WrongKey(person));
        }
        let mut needed = self.needed.iter();
        if let Some((_, meaning)) = needed.find(|(one, _)| *one == person)
            && !self.has_signed(person)
        {
            let signed = Countersignature::make(&self.statement, person, *meaning, key);
            self.have.push(signed);
        }
        Ok(())
    }

    /// Whether it still is what would be recorded: the book may have grown meanwhile.
    pub fn stands(&self, book: &Book) -> bool {
        book.statement(self.by, &self.entry).as_deref() == Some(&*self.statement)
    }
}

impl Desk {
    /// The person who is signed in, by printed name.
    pub fn signer_name(&self) -> Option<String> {
        self.signed_in.map(|id| self.state().name_of(id))
    }

    /// Whether the person who is signed in may do this.
    pub fn may(&self, duty: Duty) -> bool {
        let person = self.signed_in.and_then(|id| self.state().person(id).ok());
        person.is_some_and(|person| duty.allows(person))
    }

    pub(super) fn sign_in(
        &mut self,
        person: PersonId,
        key: SecretKey,
        env: &mut Env,
    ) -> Result<Vec<Effect>, Refusal> {
        if self.state().person(person)?.key != key.public() {
            return Err(Refusal::WrongKey(person));
        }
        (self.signed_in, self.key, self.signing) = (Some(person), Some(key), None);
        self.notice = None;
        self.wrong.right(person);
        let mut effects = vec![Effect::FocusSheet];
        effects.extend(self.tell_of_failed(env)?);
        Ok(effects)
    }

    pub(super) fn begin_signing(
        &mut self,
        entry: Entry,
        env: &Env,
    ) -> Result<Vec<Effect>, Refusal> {
        let by = self.signed_in.ok_or(Refusal::NobodySignedIn)?;
        self.book.would_take(by, env.now.clone(), &entry)?;
        self.signing = Signing::new(entry, by, &self.book);
        Ok(Vec::new())
    }

    /// Records what has been signed. A refusal keeps the signatures.
    pub(super) fn record_signed(&mut self, env: &mut Env) -> Result<Vec<Effect>, Refusal> {
        let Some(signing) = self.signing.clone() else {
            return Err(Refusal::EmptyList);
        };
        self.record(vec![signing.entry], signing.have, env)
    }

    /// What was laid out no longer follows the head: the same is laid out again, unsigned, unless
    /// the book would not take it any more.
    pub(super) fn lay_out_anew(&mut self, env: &Env) {
        let stale = self.signing.take_if(|signing| !signing.stands(&self.book));
        let Some(stale) = stale else { return };
        let taken = self
            .book
            .would_take(stale.by, env.now.clone(), &stale.entry);
        if taken.is_ok() {
            self.signing = Signing::new(stale.entry, stale.by, &self.book);
        }
        if !stale.have.is_empty() {
            self.problem("Something else was recorded meanwhile, so the signatures no longer fit. Sign again.".to_owned());
        }
    }
}
