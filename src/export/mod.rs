//! What leaves the book and what comes in: bar codes, tables, machine files.

mod code128;
mod csv_text;
mod machine_file;
mod qr;

pub use code128::{Caption, Code128, Code128Error};
pub use csv_text::{Cell, Table, guarded, quoted, reader, unguarded};
pub use machine_file::{
    Column, MAX_BYTES, MAX_ROWS, MachineContext, MachineFileError, MachineReader, MachineReport,
    Progress, QuoteFault, RefusedRow, RowRefusal, read_machine_file, refusals_csv,
};
pub use qr::{QrError, QrLevel, qr_svg, svg_of_qr};
