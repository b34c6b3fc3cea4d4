//! Support-related measures of one part.

use super::Value;
use crate::method::Measure;
use crate::record::complete::Fill;
use crate::vocab::Promise;

/// Reads a spare-part measure for one part.
pub(super) fn read(measure: &Measure, fill: &Fill) -> Value {
    match measure {
        Measure::Paired => Value::Word(u8::from(fill.paired)),
        // A part that isn't paired needs no access to pairing.
        Measure::Promise(Promise::Pairing) if !fill.paired => Value::Word(0),
        Measure::Promise(promise) => Value::of(&fill.spare[*promise]),
        _ => Value::Unreached,
    }
}
