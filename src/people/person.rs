//! Persons and their roles.

use std::collections::BTreeSet;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::sheet::name_id;

use super::key::PublicKey;

name_id!(
    PersonId,
    "person code",
    "The short code a person is enrolled and signs with (\"ida\", \"w-07\")."
);

/// What a person is trusted with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    Inspector,
    Custodian,
    Witness,
    Supervisor,
}

impl Role {
    pub const ALL: [Role; 4] = [
        Role::Inspector,
        Role::Custodian,
        Role::Witness,
        Role::Supervisor,
    ];

    /// The word people use, lower case.
    pub fn name(self) -> &'static str {
        match self {
            Role::Inspector => "inspector",
            Role::Custodian => "custodian",
            Role::Witness => "witness",
            Role::Supervisor => "supervisor",
        }
    }
}

/// A person's printed name, 1 to 60 characters, no control characters, trimmed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct PersonName(String);

/// Why a text cannot be a printed name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NameError {
    #[error("The name is empty. Write it as it should be printed.")]
    Empty,
    #[error("The name is longer than 60 characters. Shorten it.")]
    TooLong,
    #[error("The name holds a character that cannot be printed. Type it again.")]
    NotPrintable,
}

impl TryFrom<String> for PersonName {
    type Error = NameError;

    fn try_from(text: String) -> Result<Self, NameError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(NameError::Empty);
        }
        if text.chars().count() > 60 {
            return Err(NameError::TooLong);
        }
        if text.chars().any(char::is_control) {
            return Err(NameError::NotPrintable);
        }
        Ok(Self(text.to_owned()))
    }
}

impl From<PersonName> for String {
    fn from(name: PersonName) -> Self {
        name.0
    }
}

impl fmt::Display for PersonName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A person enrolled in the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    pub person: PersonId,
    pub name: PersonName,
    pub roles: BTreeSet<Role>,
    /// From outside production: the works' rules may ask for one such witness.
    pub outside: bool,
    /// What this person's signatures are checked with.
    pub key: PublicKey,
}

impl Person {
    pub fn has(&self, role: Role) -> bool {
        self.roles.contains(&role)
    }
}
