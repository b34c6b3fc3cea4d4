//! Support-related measures of the whole device, and facts of its battery and keys.

use super::Value;
use crate::assess::Plan;
use crate::assess::points::rungs_met;
use crate::method::{Measure, Points};
use crate::record::complete::Complete;
use crate::vocab::class::Words;
use crate::vocab::{Access, Promise};

/// Reads a device measure.
pub(super) fn read(plan: &Plan<'_>, device: &Complete, measure: &Measure, points: &Points) -> Value {
    let support = &device.support;
    match measure {
        Measure::SparesOffered => offered(plan, device, points),
        Measure::Information => {
            let free = support.facts.rank(Promise::InformationCost) == 0;
            let to = Access::ALL.get(usize::from(support.facts.rank(Promise::InformationTo)));
            Value::Word(match (to, free) {
                (Some(Access::Public), true) => 0,
                (Some(Access::Independent), true) => 1,
                (Some(Access::Public), false) => 2,
                (Some(Access::Independent), false) => 3,
                (Some(Access::Authorised | Access::Manufacturer | Access::None) | None, _) => 4,
            })
        }
        Measure::Promise(promise) => Value::of(&support.facts[*promise]),
        Measure::Mark(row) => support.marks.get(row).map_or(Value::Unreached, |m| Value::Number(m.clone())),
        _ => Value::Unreached,
    }
}

fn offered(plan: &Plan<'_>, device: &Complete, points: &Points) -> Value {
    let Points::Rungs(rungs) = points else { return Value::Unreached };
    // Every instance that the device has must be offered; a role it lacks asks nothing.
    let role_offered = |slot: &crate::assess::Slot| {
        slot.fills.iter().all(|&f| {
            let fill = &device.fills[f];
            !fill.present || fill.spare.rank(Promise::To) == Access::Public.rank()
        })
    };
    let priority: Vec<(String, bool)> =
        plan.slots.iter().filter(|s| s.weight.is_some()).map(|s| (s.role.clone(), role_offered(s))).collect();
    let named = |role: &str| plan.slots.iter().find(|s| s.role == role).is_none_or(role_offered);
    Value::Offered(rungs_met(rungs, &priority, named))
}
