//! A plan evaluated on one complete record: a value for every node, nothing uncertain about it.

use super::measures::{self, Subject, Value};
use super::outcome::PartRoute;
use super::points::{Given, points};
use super::{Plan, PlanKind, Router};
use crate::exact::Exact;
use crate::method::{Absent, Combine};
use crate::record::complete::Complete;
use std::borrow::Borrow;
use std::collections::BTreeMap;

/// What one leaf came to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LeafPoint {
    /// Points; `None`: left out, its weight with it.
    pub points: Option<Exact>,
    /// What was read; `None` for an absent part.
    pub value: Option<Value>,
    /// Row of the points table.
    pub row: Option<usize>,
    /// The instance that decided (index into [`Complete::fills`]).
    pub fill: Option<usize>,
}

/// Reads one leaf. `routes` holds a route for every fill's part that route measures ask about.
pub fn leaf<R: Borrow<PartRoute>>(
    plan: &Plan<'_>,
    index: usize,
    device: &Complete,
    routes: &BTreeMap<u32, R>,
    scored: &impl Fn(&PartRoute) -> bool,
) -> LeafPoint {
    let node = &plan.nodes[index];
    let PlanKind::Leaf(measure, reading, table) = &node.kind else {
        return LeafPoint { points: None, value: None, row: None, fill: None };
    };
    let words = measure.words();
    let present = node.slot.map(|slot| {
        let fills = plan.slots[slot].fills.iter().copied();
        fills.filter(|&f| device.fills[f].present).collect::<Vec<_>>()
    });
    // What is asked once for each part is not asked of a part that isn't there, be it of the part or of the device.
    let absent = present.as_ref().is_some_and(Vec::is_empty);
    if !measure.per_part() && !absent {
        let value = measures::of_device(plan, device, measure, table);
        let Given { points, row } = points(table, measure.scale(), &words, &value);
        return LeafPoint { points: Some(points), value: Some(value), row, fill: None };
    }
    let mut worst: Option<LeafPoint> = None;
    for fill in present.into_iter().flatten() {
        let thing = device.fills[fill].thing;
        let Some(route) = routes.get(&thing).map(Borrow::borrow) else { continue };
        let here = &device.fills[fill];
        let company = device.fills.iter().filter(|f| f.present && f.thing == thing && f.role != here.role);
        let subject =
            Subject { fill: here, route, scored: scored(route), company: company.map(|f| f.role.as_str()).collect() };
        let value = measures::of_part(plan.method, measure, *reading, &subject);
        let Given { points, row } = points(table, measure.scale(), &words, &value);
        let here = LeafPoint { points: Some(points), value: Some(value), row, fill: Some(fill) };
        // Several instances of a role: the worst per parameter; equal points show the worse value.
        let worse = worst
            .as_ref()
            .is_none_or(|w| (&here.points, std::cmp::Reverse(&here.value)) < (&w.points, std::cmp::Reverse(&w.value)));
        if worse {
            worst = Some(here);
        }
    }
    worst.unwrap_or_else(|| match &plan.method.absent {
        Absent::Points(p) => LeafPoint { points: Some(p.clone()), value: None, row: None, fill: None },
        Absent::LeaveOut => LeafPoint { points: None, value: None, row: None, fill: None },
    })
}

/// Combines values of children; `None` is left out, its weight with it.
pub fn combine(how: Combine, children: &[(Exact, Option<Exact>)], scale_low: &Exact) -> Option<Exact> {
    let mut there = children.iter().filter_map(|(w, v)| v.as_ref().map(|v| (w, v)));
    match how {
        Combine::Mean => {
            let (mut sum, mut weights) = (Exact::zero(), Exact::zero());
            for (w, v) in there {
                sum = &sum + &(w * v);
                weights = &weights + w;
            }
            sum.checked_div(&weights)
        }
        Combine::Sum => {
            let mut there = there.peekable();
            there.peek()?;
            Some(there.map(|(w, v)| w * v).sum())
        }
        Combine::Apart => None,
        Combine::Worst => there.map(|(_, v)| v).min().cloned(),
        Combine::Best => there.map(|(_, v)| v).max().cloned(),
        Combine::Cap => {
            let first = children.first()?.1.clone()?;
            let limit = children[1..].iter().filter_map(|(_, v)| v.as_ref()).min();
            Some(limit.map_or(first.clone(), |l| first.clone().min(l.clone())))
        }
        Combine::Gate => {
            let (_, first) = there.next()?;
            // A gate's conditions are leaves or groups whose points are 1 when met.
            let met = there.all(|(_, v)| *v >= Exact::one());
            Some(if met { first.clone() } else { scale_low.clone() })
        }
    }
}

/// Values of all nodes from the leaves' points.
pub fn fold(plan: &Plan<'_>, leaf_points: &dyn Fn(usize) -> Option<Exact>) -> Vec<Option<Exact>> {
    let mut out = vec![None; plan.nodes.len()];
    // Preorder: children come after their parent, so walk backwards.
    for index in (0..plan.nodes.len()).rev() {
        out[index] = match &plan.nodes[index].kind {
            PlanKind::Leaf(..) => leaf_points(index),
            PlanKind::Group(how, children) => {
                let list: Vec<_> = children.iter().map(|&c| (plan.nodes[c].weight.clone(), out[c].clone())).collect();
                combine(*how, &list, &plan.method.scale.low)
            }
        };
    }
    out
}

/// A plan evaluated on one complete record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evaluated {
    /// Value per node.
    pub values: Vec<Option<Exact>>,
    /// Leaf per node; `None` for groups.
    pub leaves: Vec<Option<LeafPoint>>,
    /// Reference routes by part.
    pub routes: BTreeMap<u32, PartRoute>,
}

/// Evaluates a plan on a complete record: routes, leaves, tree.
pub fn evaluate(plan: &Plan<'_>, device: &Complete, router: &Router<'_>) -> Evaluated {
    evaluate_knowing(plan, device, router, &|_| None)
}

/// As [`evaluate`], taking over routes that are known already.
pub fn evaluate_knowing(
    plan: &Plan<'_>,
    device: &Complete,
    router: &Router<'_>,
    known: &dyn Fn(u32) -> Option<PartRoute>,
) -> Evaluated {
    let mut routes = BTreeMap::new();
    for slot in &plan.slots {
        for &fill in slot.fills.iter().filter(|&&f| device.fills[f].present) {
            let thing = device.fills[fill].thing;
            routes.entry(thing).or_insert_with(|| known(thing).unwrap_or_else(|| router.to(thing)));
        }
    }
    let mut leaves = vec![None; plan.nodes.len()];
    for index in plan.leaves() {
        leaves[index] = Some(leaf(plan, index, device, &routes, &|r| router.scored(r)));
    }
    let values = fold(plan, &|i| leaves[i].as_ref().and_then(|l: &LeafPoint| l.points.clone()));
    Evaluated { values, leaves, routes }
}
