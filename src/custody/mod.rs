//! The cage and the destruction: items, containers and seals, the witnessed session.

mod container;
mod correct;
mod destruction;
mod hold;
mod item;
mod log;
mod mass;
mod paper;
mod particle;
mod residue;
mod scale;
mod session;
mod session_error;
mod spot;
mod team;
mod weigh;

pub use container::{
    Act, Container, ContainerId, Contents, Seal, SealNumber, Sealing, SealingCorrection,
    TareAndScale,
};
pub use correct::corrected;
pub use destruction::{
    Destruction, DestructionError, Found, Method, SessionId, check, check_off, check_remarks,
    check_residue, check_scale, check_started, must_be_sealed,
};
pub use hold::{HeldFor, Hold, Recount};
pub use item::Item;
pub use log::{Declared, Member, SessionLog, StepDone, count_differs, is_counted_right};
pub use mass::{Mass, MassError, expected_net};
pub use paper::{Paper, PaperError};
pub use particle::{ParticleClass, ParticleError, ResidueSample, check_particles};
pub use residue::{MassBalance, ResidueError, ResidueSent, mass_balance};
pub use scale::{Scale, ScaleError, ScaleId};
pub use session::*;
pub use session_error::SessionError;
pub use spot::{CagePlace, CagePlaceError};
pub use team::{Known, Team, check_independence, check_team};
pub use weigh::{
    Budget, COVERAGE, Distribution, Expected, Pieces, Reading, Row, Source, Unknown, WeighVerdict,
    combined, expected,
};
