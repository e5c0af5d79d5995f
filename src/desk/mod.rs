//! The app without a screen: [`Desk`] is its state, [`Action`] what can happen to it, and
//! [`Desk::step`] answers with the [`Effect`]s that the browser must carry out.
//!
//! Time, ids and storage come in from outside ([`Env`], [`Effect`]), so everything here runs and
//! is tested natively.

mod action;
pub mod archiving;
pub mod bench;
mod core;
pub mod findings;
pub mod forms;
mod go;
mod head_out;
mod health;
pub mod homes;
pub mod import;
pub mod log;
mod offline;
mod opening;
mod ports;
pub mod practice;
mod resume;
mod scanner;
mod signing;
mod start;
pub mod stock;
mod told;
mod visit;
mod wrong;

pub use self::core::Desk;
pub use action::{Action, BookView, Lamp, Screen, Space, VerdictsView};
pub use go::way_to;
pub use head_out::{DUE_ENTRIES, DUE_HOURS, HeadOut, head_out};
pub use health::{Alarm, alarms};
pub use offline::{Held, NotHeld, Unfinished, Update};
pub use ports::{
    Download, Effect, Env, HowFar, KeyringError, Later, Machine, Making, Part, StoreError, Stored,
};
pub use scanner::Burst;
pub use signing::Signing;
pub use told::{Notice, Saved, Startup, Tone};
pub use visit::{BroughtIn, NotRead, Visit};
