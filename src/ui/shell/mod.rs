//! What stands around every screen: the bar, the side bar, messages, signing in, looking up.

mod bar;
mod bring_keys;
mod frame;
mod idle;
mod keys;
mod leave;
mod life;
mod lookup;
mod message;
mod newer;
mod passphrase;
mod sides;
mod sign_in;
mod signatures;

pub use frame::Frame;
pub use message::message;
pub use newer::newer;
pub use signatures::signatures;
