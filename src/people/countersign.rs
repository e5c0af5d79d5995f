//! Further signatures: what a second person or a witness signs, and as what.

use serde::{Deserialize, Serialize};

use super::key::{PublicKey, SecretKey, Signature};
use super::person::PersonId;

/// Said before a statement, so that its signature is never the signature of anything else.
const DOMAIN: &str = "cullbook statement v2\n";

/// As what someone signs besides the author.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Meaning {
    /// Saw and answers for it together with the author.
    SecondPerson,
    /// Worked the destroying machine.
    Operator,
    /// Watched the destruction.
    Witness,
    /// Takes over what is unfinished.
    NextShift,
}

impl Meaning {
    pub fn name(self) -> &'static str {
        match self {
            Meaning::SecondPerson => "second person",
            Meaning::Operator => "operator",
            Meaning::Witness => "witness",
            Meaning::NextShift => "next shift",
        }
    }
}

/// A signature under a statement: who, as what, over which bytes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Countersignature {
    pub by: PersonId,
    #[serde(rename = "as")]
    pub meaning: Meaning,
    pub sig: Signature,
}

/// Exactly what is signed, and what the signer reads: the statement, and a last line that names
/// the signer and the meaning.
pub fn signed_text(statement: &str, by: PersonId, meaning: Meaning) -> String {
    format!("{statement}\nSigned by {by} as {}.", meaning.name())
}

impl Countersignature {
    pub fn make(statement: &str, by: PersonId, meaning: Meaning, key: &SecretKey) -> Self {
        let text = signed_text(statement, by, meaning);
        let sig = key.sign(format!("{DOMAIN}{text}").as_bytes());
        Self { by, meaning, sig }
    }

    /// Whether it was made under exactly this statement with this key.
    pub fn holds(&self, statement: &str, key: &PublicKey) -> bool {
        let text = signed_text(statement, self.by, self.meaning);
        key.verifies(format!("{DOMAIN}{text}").as_bytes(), &self.sig)
    }
}
