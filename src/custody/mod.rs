//! The cage and the destruction: items, containers and seals, the witnessed session.

mod container;
mod destruction;
mod hold;
mod item;
mod mass;
mod particle;
mod spot;

pub use container::{
    Act, Container, ContainerId, Contents, Seal, SealNumber, Sealing, SealingCorrection,
};
pub use destruction::{Destruction, DestructionError, Found, Known, Method, SessionId, check};
pub use hold::{HeldFor, Hold, Recount};
pub use item::Item;
pub use mass::{Mass, MassError, expected_net};
pub use particle::ParticleClass;
pub use spot::{CagePlace, CagePlaceError};
