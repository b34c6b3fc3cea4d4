//! Support-related measures of one part.

use super::Value;
use crate::method::Measure;
use crate::record::complete::Fill;
use crate::vocab::class::Words;

/// Reads a spare-part measure for one part.
pub(super) fn read(measure: &Measure, fill: &Fill) -> Value {
    let spare = &fill.spare;
    match measure {
        Measure::Paired => Value::Word(u8::from(fill.paired)),
        Measure::SpareTo => Value::Word(spare.to.rank()),
        Measure::SpareYears => Value::Number(spare.years.clone()),
        Measure::SpareDelivery => Value::Number(spare.delivery.clone()),
        Measure::SparePrice => Value::Number(spare.price_share.clone()),
        Measure::PricePublished => Value::Word(u8::from(!spare.price_published)),
        Measure::SpareInterface => Value::Word(spare.interface),
        // A part that isn't paired needs no access to pairing.
        Measure::Pairing if !fill.paired => Value::Word(0),
        Measure::Pairing => Value::Word(spare.pairing),
        _ => Value::Unreached,
    }
}
