//! What is wrong with a sheet, and what follows: the class catalogue, tags, the verdict with its
//! reason, and the draw of replacement notes.

mod catalogue;
mod draw;
mod measure;
mod position_set;
mod rules;
mod seal_form;
mod starter;
mod tag;
mod verdict;

pub use catalogue::{
    Catalogue, CatalogueError, Class, ClassCode, ClassCodeError, Scope, Severity, Step,
};
pub use draw::{DrawError, Need, draw, draw_sheets};
pub use measure::{MeasureError, Quantity, READINGS_MAX, Reading, Tolerance, check_readings};
pub use position_set::PositionSet;
pub use rules::{Costs, Count, Limit, Rules, RulesError, SheetTakes};
pub use seal_form::{SealForm, SealFormError};
pub use starter::starter_catalogue;
pub use tag::{REMARK_MAX, Source, Spot, Tag, TagError, WrittenTag};
pub use verdict::{Overruled, Reason, Ruling, Verdict, rule};
