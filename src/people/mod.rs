//! Who acts and when: persons, roles, what each role may do, and who may not do what together.

mod countersign;
mod duty;
mod key;
mod person;
mod phrase;
mod sealed;
mod separation;
mod stamp;

pub use countersign::{Countersignature, Meaning, signed_text};
pub use duty::Duty;
pub use key::{HexError, PublicKey, SecretKey, Signature};
pub use person::{NameError, Person, PersonId, PersonName, Role};
pub use phrase::{Strength, spoken_phrase};
pub use sealed::{
    KeyError, PASSPHRASE_MIN, Passphrase, SealedKey, SealingDice, check_passphrase, stretch,
};
pub use separation::{Conflict, Part, Parts, conflicts};
pub use stamp::{Day, DayError, Stamp, StampError};
