//! The practice lot: all of it invented, and the same on every machine.

mod day;
mod generator;
mod key;
mod lot;
mod measured;
mod random;
mod wrong;

pub use day::{PracticeError, practice_book};
pub use generator::{MachineRow, REPEATER_SHEETS, generate, to_csv};
pub use key::practice_key;
pub use lot::{PracticeLot, PracticeLotError, merin_layout};
pub use wrong::with_wrong_rows;
