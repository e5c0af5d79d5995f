//! The Office: products, lots, replacement series, people, rules, classes.

mod area;
mod class_row;
mod classes;
mod curves;
mod input;
mod lot_form;
mod lots;
mod number_lot;
mod people;
mod press;
mod product_form;
mod products;
mod rekey;
mod rules;
mod scales;
mod screen;
mod serial_fields;
mod series;
mod severities;
mod sheet_picture;
mod submit;

pub use area::Area;
pub use screen::OfficeScreen;
pub use submit::{Submit, use_submit_as};
