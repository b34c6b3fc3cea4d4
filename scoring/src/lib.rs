//! From the record of a device taken apart to assessments that can be defended.
#![warn(missing_docs)]

pub mod assess;
pub mod compare;
pub mod exact;
pub mod method;
pub mod range;
pub mod record;
pub mod route;
pub mod text;
pub mod vocab;
