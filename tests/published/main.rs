//! Checks against figures published outside this project, one file for each subject.

mod quality_bh;
mod quality_chart;
mod quality_dist;
mod quality_fixture;
mod quality_intervals;
mod quality_repeat;
mod quality_rules;
mod quality_sampling;
mod quality_zones;
