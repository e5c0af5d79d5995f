//! The pieces every screen is made of: fields bound to a form, panels, tables, dialogs, figures.

mod confirm;
mod dialog;
mod field;
mod figures;
mod form;
mod new_passphrase;
mod pieces;

pub use confirm::{Confirm, ConfirmProps};
pub use dialog::{Dialog, DialogProps};
pub use field::{Choice, Field, FieldProps, Pick, PickProps, Tick, TickProps};
pub use figures::{count, number_of, percent, unbroken};
pub use form::{Form, use_form};
pub use new_passphrase::{NewPassphrase, NewPassphraseProps};
pub use pieces::{
    BOOK_FILE_MAX, Caution, CautionProps, Empty, EmptyProps, ErrorSummary, ErrorSummaryProps,
    FilePick, FilePickProps, Panel, PanelProps, pick_files,
};
