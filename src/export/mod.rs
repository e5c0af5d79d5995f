//! What leaves the book and what comes in: bar codes, tables, machine files, the pick list, the
//! certificate of destruction.

mod certificate;
mod code128;
mod csv_text;
mod machine_file;
mod picklist;
mod qr;
#[cfg(test)]
pub(crate) mod sample;

pub use certificate::{
    CAUTIONS, Certificate, CertifiedContainer, CertifiedPerson, NoteRange, SheetSpan, certificate,
    expected_mass,
};
pub use code128::{Caption, Code128, Code128Error};
pub use csv_text::{Cell, Table, guarded, quoted, reader, unguarded};
pub use machine_file::{
    Column, MAX_BYTES, MAX_ROWS, MachineContext, MachineFileError, MachineReader, MachineReport,
    Progress, QuoteFault, RefusedRow, RowRefusal, read_machine_file, refusals_csv,
};
pub use picklist::{PickLine, fate_name, pick_list};
pub use qr::{QrDrawing, QrError, QrLevel, qr_drawing, qr_svg, svg_of_qr};
