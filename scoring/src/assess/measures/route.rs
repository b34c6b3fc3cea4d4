//! Product-related measures, read on the reference route.

use super::{Subject, Value};
use crate::assess::outcome::{Met, Reach};
use crate::exact::Exact;
use crate::method::{Measure, Reading, Remote};
use crate::vocab::class::Words;

/// Reads a route measure for one part.
pub(super) fn read(measure: &Measure, reading: Reading, subject: &Subject<'_>, remote: Remote) -> Value {
    let route = subject.route;
    if *measure == Measure::Reachable {
        return Value::Word(match route.reach {
            Reach::Yes => 0,
            Reach::Damage => 1,
            Reach::No => 2,
        });
    }
    if !subject.scored {
        return Value::Unreached;
    }
    let met: &Met = match reading {
        Reading::Route => &route.route,
        Reading::Part => &route.part,
    };
    match measure {
        Measure::Depth if subject.fill.paired && remote == Remote::LeastPoints => Value::Withheld,
        Measure::Depth => number(route.steps),
        Measure::Fasteners => Value::Word(met.fasteners.0.rank()),
        Measure::Tools => Value::Word(met.tools.0.rank()),
        Measure::Environment => Value::Word(met.place.0.rank()),
        Measure::Skill => Value::Word(met.skill.0.rank()),
        Measure::Adhesives => number(met.joints),
        Measure::HeatOrSolvent => Value::Word(u8::from(!met.heat_or_solvent.is_empty())),
        Measure::PartsInTheWay => number(route.in_the_way),
        // Several roles in one piece can never come off apart, which weighs more than a shared lift.
        Measure::Isolation if subject.fill.several_roles => Value::Word(2),
        Measure::Isolation => Value::Word(u8::from(route.bundled)),
        _ => Value::Unreached,
    }
}

fn number(n: u32) -> Value {
    Value::Number(Exact::from(i64::from(n)))
}
