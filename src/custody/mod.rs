//! The cage and the destruction: items, containers and seals, the witnessed session.

mod container;
mod correct;
mod destruction;
mod hold;
mod item;
mod log;
mod mass;
mod particle;
mod session;
mod session_error;
mod spot;
mod team;

pub use container::{
    Act, Container, ContainerId, Contents, Seal, SealNumber, Sealing, SealingCorrection,
};
pub use correct::corrected;
pub use destruction::{
    Destruction, DestructionError, Found, Method, SessionId, check, check_remarks, check_residue,
    check_started, must_be_sealed,
};
pub use hold::{HeldFor, Hold, Recount};
pub use item::Item;
pub use log::{Declared, Member, SessionLog, StepDone, count_differs, is_counted_right};
pub use mass::{Mass, MassError, expected_net};
pub use particle::ParticleClass;
pub use session::*;
pub use session_error::SessionError;
pub use spot::{CagePlace, CagePlaceError};
pub use team::{Known, Team, check_independence, check_team};
