//! What leaves the book and what comes in: bar codes, tables, machine files, the pick list, box
//! labels, container slips, the certificate of destruction.

mod annex;
mod certificate;
mod certificate_addendum;
mod certificate_check;
mod certificate_notes;
mod certificate_products;
mod certificate_steps;
mod code128;
mod container_slip;
mod contents;
mod csv_text;
mod day_alike;
mod day_charts;
mod day_compared;
mod day_findings;
mod day_making;
mod day_record;
mod day_remarks;
mod day_rows;
mod day_tags;
mod head;
mod jsonl;
mod label;
mod machine_file;
mod mass_rows;
mod picklist;
pub mod picture;
mod qr;
mod readme;
#[cfg(test)]
pub(crate) mod sample;
mod several_day;
mod several_tables;
mod table_alike;
mod table_cage;
mod table_mass;
mod table_press;
mod table_rows;
mod tables;
mod xlsx;
mod zip;

pub use annex::{Annex, AnnexLine, lists};
pub use certificate::{
    CAUTIONS, Certificate, CertifiedContainer, CertifiedPerson, CertifiedResidue, FORMAT,
    WeighChecked, certificate, sheets_and_notes,
};
pub use certificate_addendum::{CertifiedCorrection, corrections_of};
pub use certificate_check::{CERTIFICATE_MAX, CertificateFault, Checked, check_certificate};
pub use certificate_notes::{CertifiedAbandoned, CertifiedLeftOut, CertifiedPresence};
pub use certificate_products::CertifiedProduct;
pub use certificate_steps::{CertifiedLock, CertifiedStep};
pub use code128::{Caption, Code128, Code128Error};
pub use container_slip::{ContainerSlip, ON_SLIP, SlipSeal, container_slip};
pub use contents::{NoteRange, SheetSpan};
pub use csv_text::{Cell, Table, guarded, quoted, reader, unguarded};
pub use day_alike::{AlikeRow, MeasuredRow, SampleRow};
pub use day_charts::{ChartOfLot, ChartPoint, Heard, Plotted};
pub use day_compared::{Change, Compared, WINDOWS};
pub use day_findings::FindingRow;
pub use day_making::{DayFigures, RecordMaking, day_figures};
pub use day_record::{Acts, Closed, DayRecord, ExaminedRow, Of, Rate, day_record, day_record_of};
pub use day_rows::{
    BalanceRow, ContainerRow, ReplacementRow, SeriesRow, SessionRow, SheetRow, SpoilRow,
    balance_rows,
};
pub use day_tags::TagRow;
pub use head::{HEAD_FILE_MAX, HeadFile, HeadMark, HeadTextError, head_file, head_text, read_head};
pub use jsonl::book_file;
pub use label::{
    BoxLabel, BoxState, Exception, LabelRange, Missing, ON_LABEL, ON_LIST_PAGE, QR_BYTES,
    box_label, box_labels,
};
pub use machine_file::{
    Column, MAX_BYTES, MAX_ROWS, MachineContext, MachineFileError, MachineReader, MachineReport,
    Progress, QuoteFault, RefusedRow, RowRefusal, read_machine_file, refusals_csv,
};
pub use mass_rows::{ResidueRow, WeighingRow};
pub use picklist::{PickLine, fate_name, pick_list};
pub use qr::{QrDrawing, QrError, QrLevel, qr_drawing, qr_svg, svg_of_qr};
pub use several_day::{SeveralDay, SeveralMaking, Together, several_day};
pub use several_tables::{SEVERAL_FORMAT, several_json, several_stem, several_tables, several_zip};
pub use tables::{DayTable, DayTables, Row, Value, Word, day_zip, stem};
pub use xlsx::{Cover, XlsxDay, XlsxFailed, day_xlsx};
pub use zip::{Stored, zip};
