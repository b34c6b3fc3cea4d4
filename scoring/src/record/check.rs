//! Checks of what a record means, after every field has been read.

use super::Record;
use crate::text::{Diagnostic, Sources};

/// What is doubtful or wrong in a record as a whole. [`read`](super::read()) has already done this.
pub fn check(_record: &Record, _sources: &Sources) -> Vec<Diagnostic> {
    Vec::new()
}
