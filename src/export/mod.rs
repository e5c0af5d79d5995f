//! What leaves the book and what comes in: bar codes, tables, machine files.

mod code128;
mod csv_text;
mod qr;

pub use code128::{Caption, Code128, Code128Error};
pub use csv_text::{Cell, Table, guarded, reader, unguarded};
pub use qr::{QrError, QrLevel, qr_svg, svg_of_qr};
