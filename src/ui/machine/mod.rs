//! Taking in a machine-inspection file: choose it, see what it holds, then record its tags.

mod dialog;
mod preview;
mod reading;

pub use dialog::MachineFile;
