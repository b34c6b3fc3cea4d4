//! Several verdicts beside each other: changes to one design, several devices, two versions of one record.

pub mod changes;
pub mod require;

pub use changes::{Change, Changes, Cheapest, Effect, cheapest};
pub use require::{RequireError, Requirement};
