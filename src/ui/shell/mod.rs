//! What stands around every screen: the bar, the side bar, messages, signing in, looking up.

mod bar;
mod frame;
mod keys;
mod leave;
mod life;
mod lookup;
mod message;
mod sides;
mod sign_in;

pub use frame::Frame;
pub use message::Message;
