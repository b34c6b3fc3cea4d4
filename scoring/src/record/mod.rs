//! Records: one text file describing one device taken apart once.
//!
//! [`types`] holds what was written, with every position and every degree of knowledge kept;
//! [`complete`] holds the same with every question answered, which is what methods assess.

pub mod complete;
pub mod forms;
pub mod tables;
pub mod types;

pub use types::*;
