//! Checks of what a record means, after every field has been read.

mod amounts;
mod costly;
mod drafted;
mod drives;
mod names;
mod order;
mod parts;
mod way_back;

use super::{Known, Record};
use crate::text::{Diagnostic, Sources, diagnostic};

/// What is doubtful or wrong in a record as a whole, in file order. [`read`](super::read()) has already done this.
pub fn check(record: &Record, sources: &Sources) -> Vec<Diagnostic> {
    let mut out = Vec::new();
    order::check(record, &mut out);
    parts::check(record, sources, &mut out);
    amounts::check(record, sources, &mut out);
    drives::check(record, &mut out);
    names::check(record, &mut out);
    way_back::check(record, &mut out);
    costly::check(record, &mut out);
    drafted::check(record, &mut out);
    diagnostic::in_file_order(&mut out);
    out
}

/// Every value a fact may have as written: the value, all alternatives, both ends.
fn values<T>(known: &Known<T>) -> Vec<&T> {
    match known {
        Known::Is(value) => vec![value],
        Known::OneOf(values) => values.iter().collect(),
        Known::Between(low, high) => low.iter().chain(high).collect(),
        Known::Unknown => Vec::new(),
    }
}
