//! The app without a screen: [`Desk`] is its state, [`Action`] what can happen to it, and
//! [`Desk::step`] answers with the [`Effect`]s that the browser must carry out.
//!
//! Time, ids and storage come in from outside ([`Env`], [`Effect`]), so everything here runs and
//! is tested natively.

mod action;
pub mod bench;
mod core;
pub mod findings;
pub mod forms;
pub mod import;
mod ports;
pub mod practice;
pub mod stock;

pub use self::core::{Desk, Notice, Saved, Startup, Tone};
pub use action::{Action, Lamp, Screen, Space, VerdictsView};
pub use ports::{Download, Effect, Env, Machine, StoreError};
