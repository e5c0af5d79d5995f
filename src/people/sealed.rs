//! A person's secret key as it is kept: under a passphrase.
//!
//! The passphrase is stretched with Argon2id (RFC 9106) to a key for ChaCha20-Poly1305
//! (RFC 8439), which closes over the 32 bytes of the seed. The person's code and public key are
//! authenticated with it, so a sealed key cannot be passed off as someone else's.

use argon2::{Algorithm, Argon2, Params, Version};
use chacha20poly1305::aead::{Aead, KeyInit, Payload};
use chacha20poly1305::{ChaCha20Poly1305, Key, Nonce};
use serde::{Deserialize, Serialize};
use zeroize::Zeroizing;

use crate::sheet::{Hex, read_hex};

use super::key::{PublicKey, SecretKey};
use super::person::PersonId;

/// Fewest characters of a passphrase that a person chooses.
pub const PASSPHRASE_MIN: usize = 10;
/// Most, so that nothing absurd is stretched.
const PASSPHRASE_MAX: usize = 200;

/// How hard the stretching is: about half a second in the browser of a bench PC.
const MEMORY_KIB: u32 = 32 * 1024;
const PASSES: u32 = 3;
/// What a sealed key from elsewhere may ask of this machine at most.
const MEMORY_KIB_MAX: u32 = 256 * 1024;
const PASSES_MAX: u32 = 16;

/// A passphrase, wiped from memory when dropped.
pub type Passphrase = Zeroizing<String>;

/// Random bytes for sealing one key. They come from outside.
pub struct SealingDice {
    pub seed: [u8; 32],
    pub salt: [u8; 16],
}

/// A secret key under a passphrase, as it is stored and carried from machine to machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SealedKey {
    pub person: PersonId,
    pub key: PublicKey,
    /// Argon2id memory in KiB, passes and lanes.
    memory_kib: u32,
    passes: u32,
    /// 16 bytes, hexadecimal.
    salt: String,
    /// Seed and tag, 48 bytes, hexadecimal.
    sealed: String,
}

/// Why a key cannot be sealed or opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum KeyError {
    #[error("The passphrase has fewer than {PASSPHRASE_MIN} characters. Make it longer.")]
    TooShort,
    #[error("The passphrase has more than {PASSPHRASE_MAX} characters. Shorten it.")]
    TooLong,
    #[error("The passphrase is not right. Type it again.")]
    WrongPassphrase,
    #[error(
        "The stored key is damaged. Bring in a saved copy of the keys, or let a supervisor give this person a new key."
    )]
    Damaged,
}

impl SealedKey {
    /// Makes a new key and seals it.
    ///
    /// # Errors
    /// [`KeyError::TooShort`] or [`KeyError::TooLong`].
    pub fn make(
        person: PersonId,
        passphrase: &str,
        dice: &SealingDice,
    ) -> Result<(Self, SecretKey), KeyError> {
        check_passphrase(passphrase)?;
        let secret = SecretKey::from_seed(&dice.seed);
        let mut sealed = Self {
            person,
            key: secret.public(),
            memory_kib: MEMORY_KIB,
            passes: PASSES,
            salt: Hex(&dice.salt).to_string(),
            sealed: String::new(),
        };
        let bytes = sealed
            .cipher(passphrase)?
            .encrypt(&nonce(), sealed.payload(secret.seed()).as_payload())
            .map_err(|_| KeyError::Damaged)?;
        sealed.sealed = Hex(&bytes).to_string();
        Ok((sealed, secret))
    }

    /// Opens it. Takes about half a second: never call this where a page would freeze.
    ///
    /// # Errors
    /// [`KeyError::WrongPassphrase`], or [`KeyError::Damaged`] when it cannot be a sealed key.
    pub fn open(&self, passphrase: &str) -> Result<SecretKey, KeyError> {
        let bytes = bytes_of(&self.sealed)?;
        let seed = self
            .cipher(passphrase)?
            .decrypt(&nonce(), self.payload(&bytes).as_payload())
            .map_err(|_| KeyError::WrongPassphrase)?;
        let seed = Zeroizing::new(seed);
        let seed: &[u8; 32] = seed.as_slice().try_into().map_err(|_| KeyError::Damaged)?;
        let secret = SecretKey::from_seed(seed);
        if secret.public() == self.key {
            Ok(secret)
        } else {
            Err(KeyError::Damaged)
        }
    }

    /// The cipher under the stretched passphrase.
    fn cipher(&self, passphrase: &str) -> Result<ChaCha20Poly1305, KeyError> {
        if self.memory_kib > MEMORY_KIB_MAX || self.passes > PASSES_MAX {
            return Err(KeyError::Damaged);
        }
        let salt = bytes_of(&self.salt)?;
        let mut key = Zeroizing::new([0; 32]);
        stretch(
            passphrase.as_bytes(),
            &salt,
            self.memory_kib,
            self.passes,
            key.as_mut(),
        )?;
        Ok(ChaCha20Poly1305::new(&Key::from(*key)))
    }

    fn payload<'a>(&self, bytes: &'a [u8]) -> Bound<'a> {
        Bound {
            bytes,
            to: format!("cullbook key v1\n{}\n{}", self.person, self.key),
        }
    }
}

fn bytes_of(digits: &str) -> Result<Vec<u8>, KeyError> {
    let mut bytes = vec![0; digits.len() / 2];
    let read = read_hex(digits, &mut bytes);
    read.map(|()| bytes).ok_or(KeyError::Damaged)
}

/// One nonce does: each stretched key closes over one message only, its salt being random.
fn nonce() -> Nonce {
    Nonce::default()
}

/// Bytes, and what is authenticated with them.
struct Bound<'a> {
    bytes: &'a [u8],
    to: String,
}

impl Bound<'_> {
    fn as_payload(&self) -> Payload<'_, '_> {
        Payload {
            msg: self.bytes,
            aad: self.to.as_bytes(),
        }
    }
}

/// Argon2id, version 0x13, one lane.
///
/// # Errors
/// [`KeyError::Damaged`] for parameters that Argon2 does not allow.
pub fn stretch(
    passphrase: &[u8],
    salt: &[u8],
    memory_kib: u32,
    passes: u32,
    out: &mut [u8],
) -> Result<(), KeyError> {
    let params = Params::new(memory_kib, passes, 1, Some(out.len()));
    let params = params.map_err(|_| KeyError::Damaged)?;
    Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password_into(passphrase, salt, out)
        .map_err(|_| KeyError::Damaged)
}

/// Checks the length of a passphrase that a person chooses.
///
/// # Errors
/// [`KeyError::TooShort`] or [`KeyError::TooLong`].
pub fn check_passphrase(passphrase: &str) -> Result<(), KeyError> {
    match passphrase.chars().count() {
        ..PASSPHRASE_MIN => Err(KeyError::TooShort),
        PASSPHRASE_MIN..=PASSPHRASE_MAX => Ok(()),
        _ => Err(KeyError::TooLong),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DICE: SealingDice = SealingDice {
        seed: [7; 32],
        salt: [9; 16],
    };

    fn ida() -> PersonId {
        "ida".parse().unwrap()
    }

    #[test]
    fn only_the_right_passphrase_opens_a_key() {
        let (sealed, secret) = SealedKey::make(ida(), "long meadow at dusk", &DICE).unwrap();
        assert_eq!(sealed.open("long meadow at dusk"), Ok(secret));
        assert_eq!(
            sealed.open("long meadow at dawn"),
            Err(KeyError::WrongPassphrase)
        );
    }

    #[test]
    fn a_sealed_key_cannot_be_passed_off_as_someone_elses() {
        let (mut sealed, _) = SealedKey::make(ida(), "long meadow at dusk", &DICE).unwrap();
        sealed.person = "wim".parse().unwrap();
        assert_eq!(
            sealed.open("long meadow at dusk"),
            Err(KeyError::WrongPassphrase)
        );
    }

    #[test]
    fn short_passphrases_and_greedy_parameters_are_refused() {
        let make = |text: &str| SealedKey::make(ida(), text, &DICE).map(drop);
        assert_eq!(make("nine char"), Err(KeyError::TooShort));
        assert_eq!(make(&"x".repeat(201)), Err(KeyError::TooLong));
        let (mut sealed, _) = SealedKey::make(ida(), "long meadow at dusk", &DICE).unwrap();
        sealed.memory_kib = u32::MAX;
        assert_eq!(sealed.open("long meadow at dusk"), Err(KeyError::Damaged));
    }
}
