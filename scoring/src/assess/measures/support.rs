//! Support-related measures of the whole device, and facts of its battery and keys.

use super::Value;
use crate::assess::Plan;
use crate::assess::points::rungs_met;
use crate::exact::Exact;
use crate::method::{Measure, Points};
use crate::record::complete::Complete;
use crate::vocab::Access;
use crate::vocab::class::Words;

/// Reads a device measure.
pub(super) fn read(plan: &Plan<'_>, device: &Complete, measure: &Measure, points: &Points) -> Value {
    let support = &device.support;
    match measure {
        Measure::SparesOffered => offered(plan, device, points),
        Measure::Updates => Value::Number(support.updates.clone()),
        Measure::SecurityUpdates => Value::Number(support.security_updates.clone()),
        Measure::Information => Value::Word(match (support.information_to, support.information_free) {
            (Access::Public, true) => 0,
            (Access::Independent, true) => 1,
            (Access::Public, false) => 2,
            (Access::Independent, false) => 3,
            (Access::Authorised | Access::Manufacturer | Access::None, _) => 4,
        }),
        Measure::InformationTo => Value::Word(support.information_to.rank()),
        Measure::InformationScope => Value::Word(support.information_scope),
        Measure::Diagnosis => Value::Word(support.diagnosis),
        Measure::Returns => Value::Word(support.returns),
        Measure::Data => Value::Word(support.data),
        Measure::Reset => Value::Word(support.reset),
        Measure::BatteryCycles => Value::Number(support.battery_cycles.clone()),
        Measure::Capacity500 => Value::Number(support.capacity_500.clone()),
        Measure::Capacity1000 => Value::Number(support.capacity_1000.clone()),
        Measure::IngressDust => Value::Number(Exact::from(i64::from(support.ingress.0))),
        Measure::IngressWater => Value::Number(Exact::from(i64::from(support.ingress.1))),
        Measure::PowerKey => Value::Number(support.endurance[0].clone()),
        Measure::VolumeKeys => Value::Number(support.endurance[1].clone()),
        Measure::PortEndurance => Value::Number(support.endurance[2].clone()),
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
            !fill.present || fill.spare.to == Access::Public
        })
    };
    let priority: Vec<(String, bool)> =
        plan.slots.iter().filter(|s| s.weight.is_some()).map(|s| (s.role.clone(), role_offered(s))).collect();
    let named = |role: &str| plan.slots.iter().find(|s| s.role == role).is_none_or(role_offered);
    Value::Offered(rungs_met(rungs, &priority, named))
}
