//! The cage and the destruction: items, containers and seals, the witnessed session.

mod container;
mod destruction;
mod item;
mod mass;
mod particle;

pub use container::{Container, ContainerId, Contents, Seal, SealNumber, Sealing};
pub use destruction::{Destruction, DestructionError, Found, Known, Method, SessionId, check};
pub use item::Item;
pub use mass::{Mass, MassError, expected_net};
pub use particle::ParticleClass;
