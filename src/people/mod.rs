//! Who acts and when: persons, roles, what each role may do, and who may not do what together.

mod duty;
mod person;
mod separation;
mod stamp;

pub use duty::Duty;
pub use person::{NameError, Person, PersonId, PersonName, Role};
pub use separation::{Conflict, Part, Parts, conflicts};
pub use stamp::{Day, DayError, Stamp, StampError};
