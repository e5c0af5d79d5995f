//! The cage and the destruction: items, containers and seals, the witnessed session.

mod container;
mod destruction;
mod item;
mod mass;
mod paper;
mod particle;
mod residue;
mod scale;
mod weigh;

pub use container::{Container, ContainerId, Contents, Seal, SealNumber, Sealing};
pub use destruction::{Destruction, DestructionError, Found, Known, Method, SessionId, check};
pub use item::Item;
pub use mass::{Mass, MassError, expected_net};
pub use paper::{Paper, PaperError};
pub use particle::{ParticleClass, ParticleError, ResidueSample, check_particles};
pub use residue::{MassBalance, ResidueError, ResidueSent, mass_balance};
pub use scale::{Scale, ScaleError, ScaleId};
pub use weigh::{
    Budget, COVERAGE, Distribution, Expected, Pieces, Reading, Row, Source, Unknown, WeighVerdict,
    combined, expected,
};
