//! Signing keys (Ed25519, RFC 8032) and what they make.

use std::fmt;
use std::str::FromStr;

use ed25519_dalek::{Signer, SigningKey, VerifyingKey};

use crate::sheet::{Hex, read_hex, serde_as_text};

/// Why a text is not a key or a signature.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not a {1}. It has {2} digits 0-9 and a-f.")]
pub struct HexError(String, &'static str, usize);

/// Bytes written as lower-case hexadecimal digits, and nothing else.
macro_rules! hex_bytes {
    ($(#[$doc:meta])* $name:ident, $len:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name([u8; $len]);

        impl FromStr for $name {
            type Err = HexError;

            fn from_str(text: &str) -> Result<Self, HexError> {
                let mut bytes = [0; $len];
                let read = read_hex(text, &mut bytes).map(|()| Self(bytes));
                let short = || text.chars().take(140).collect();
                read.ok_or_else(|| HexError(short(), $what, 2 * $len))
            }
        }

        serde_as_text!($name);

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                Hex(&self.0).fmt(f)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }
    };
}

hex_bytes!(
    /// The public half of a person's key: the book says whose it is.
    PublicKey,
    32,
    "public key"
);
hex_bytes!(
    /// A signature over exact bytes.
    Signature,
    64,
    "signature"
);

impl PublicKey {
    /// Whether `signature` was made over exactly `message` with this key's secret half. Strict:
    /// weak keys and malleable signatures are refused (RFC 8032, 5.1.7 and 8.4).
    pub fn verifies(&self, message: &[u8], signature: &Signature) -> bool {
        let signature = ed25519_dalek::Signature::from_bytes(&signature.0);
        VerifyingKey::from_bytes(&self.0)
            .is_ok_and(|key| key.verify_strict(message, &signature).is_ok())
    }

    /// The first 12 digits in groups of 4: enough to read aloud and compare.
    pub fn short(&self) -> String {
        let text = self.to_string();
        format!("{} {} {}", &text[0..4], &text[4..8], &text[8..12])
    }
}

/// The secret half of a person's key. Never written down open; wiped from memory when dropped.
#[derive(Clone)]
pub struct SecretKey(SigningKey);

impl SecretKey {
    /// The key of a seed of 32 random bytes.
    pub fn from_seed(seed: &[u8; 32]) -> Self {
        Self(SigningKey::from_bytes(seed))
    }

    /// The 32 bytes it is made of: for sealing it, and for nothing else.
    pub fn seed(&self) -> &[u8; 32] {
        self.0.as_bytes()
    }

    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.verifying_key().to_bytes())
    }

    pub fn sign(&self, message: &[u8]) -> Signature {
        Signature(self.0.sign(message).to_bytes())
    }
}

impl PartialEq for SecretKey {
    fn eq(&self, other: &Self) -> bool {
        self.public() == other.public()
    }
}

/// Says whose it is, never what it is.
impl fmt::Debug for SecretKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "SecretKey of {}", self.public())
    }
}
