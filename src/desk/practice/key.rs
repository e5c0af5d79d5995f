//! Keys of the practice book. Everybody knows them, so that practising needs no passphrase; a real
//! book never has one.

use sha2::{Digest, Sha256};

use crate::people::{PersonId, SecretKey};

/// The key that a person of a practice book signs with.
pub fn practice_key(person: PersonId) -> SecretKey {
    let digest = Sha256::digest(format!("cullbook practice key\n{person}"));
    SecretKey::from_seed(&digest.into())
}
