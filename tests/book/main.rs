//! The book room from outside: what it refuses, what it adds up to, and that its chain holds.

mod acceptance;
mod cage;
mod chain;
mod checkpoint;
mod corrections;
mod day_record;
mod findings;
mod forged;
mod guests;
mod handover;
mod heads;
mod life;
mod log;
mod mass;
mod measure;
mod numbering;
mod overruling;
mod refusals;
mod refusals_cage;
mod refusals_replace;
mod session;
mod session_steps;
mod several;
mod strict;
mod whole_sheets;
mod works;
