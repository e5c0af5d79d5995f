//! Checks against published rules, figures and examples. Each names its source.

mod book;
mod check_digits;
mod check_serials;
mod code128;
mod csv;
mod keys;
mod qr;
mod quality_alike;
mod quality_bh;
mod quality_chart;
mod quality_dist;
mod quality_fixture;
mod quality_intervals;
mod quality_missing;
mod quality_repeat;
mod quality_rules;
mod quality_sampling;
mod quality_zones;
mod sheet_numbering;
mod trade_facts;
mod weighing;
