//! What is printed: how notes lie on a sheet, how they are numbered, and where the finishing
//! hall finds them.
//!
//! - [`Layout`]: rows and columns of notes, their names, sizes, and how the back mirrors the front
//! - [`CheckSystem`], [`SerialFormat`], [`Serial`]: the text of a serial and its check character
//! - [`Numbering`]: (sheet, position rank) to serial number and exactly back
//! - [`PressOrder`]: the order in which sheets go through the numbering press
//! - [`Series`]: the replacement notes set aside for a product
//! - [`Finishing`]: stacks, bundles and boxes
//!
//! Pure and small: every type is checked when it is made, so nothing past this room meets a
//! sheet number of zero, a position off the sheet, or a serial of the wrong kind.

mod check;
mod claim;
mod comb;
mod counted;
mod finishing;
mod format;
mod id;
mod layout;
mod names;
mod numbering;
pub(crate) mod pairs;
mod press_order;
mod run;
#[cfg(test)]
pub(crate) mod sample;
mod serial;
mod series;
mod short;
mod slip;
mod text;
mod units;

pub use check::{CheckError, CheckSystem};
pub use counted::{BoxNo, BundleNo, MAX_SHEETS, RangeError, SheetNo, SheetRange};
pub use finishing::{Bundle, CutLot, Filling, Finishing, FinishingError, Place};
pub use format::{CheckOver, CheckPlace, FormatError, SerialError, SerialFormat, SerialFormatSpec};
pub use id::{AcceptanceId, IdError, LotId, PressId, ProductId, SeriesId, SiteId};
pub(crate) use id::{check_id, name_id};
pub use layout::{Layout, LayoutError, LayoutSpec, Position, Side, Turn};
pub use names::{NameScheme, RankOrder};
pub use numbering::{Numbering, NumberingError, NumberingSpec};
pub use press_order::PressOrder;
pub use run::{Arrangement, Direction, Run};
pub use serial::{Kind, Printed, Replacement, Serial, SerialTextError};
pub use series::{Series, SeriesError, SeriesSpec, SeriesStock};
pub use short::ShortText;
pub use slip::{Slip, SlipKind};
pub(crate) use text::{Hex, read_hex, read_text, serde_as_text};
pub use units::{Grammage, Length, UnitError, grouped, number_of};
