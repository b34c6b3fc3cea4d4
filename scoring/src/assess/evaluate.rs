//! A plan evaluated on one complete record: a value for every node, nothing uncertain about it.

use super::choose::{Chosen, Instance, Source, choose, lowest, shares};
use super::measures::{self, Subject, Value};
use super::outcome::PartRoute;
use super::points::{Given, points};
use super::profiles::{Profiles, profiles};
use super::{Plan, PlanKind, Router};
use crate::exact::Exact;
use crate::method::{Absent, Combine, Instances, Measure};
use crate::record::complete::Complete;
use std::borrow::Borrow;
use std::collections::BTreeMap;
use std::sync::Arc;

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
    let PlanKind::Leaf(measure, ..) = &node.kind else {
        return LeafPoint { points: None, value: None, row: None, fill: None };
    };
    let present = node.slot.map(|slot| {
        let fills = plan.slots[slot].fills.iter().copied();
        fills.filter(|&f| device.fills[f].present).collect::<Vec<_>>()
    });
    // What is asked once for each part is not asked of a part that isn't there, be it of the part or of the device.
    let absent = present.as_ref().is_some_and(Vec::is_empty);
    if !measure.per_part() && !absent {
        return of_device(plan, index, device);
    }
    let mut worst: Option<LeafPoint> = None;
    for fill in present.into_iter().flatten() {
        let Some(route) = routes.get(&device.fills[fill].thing).map(Borrow::borrow) else { continue };
        let Some(here) = leaf_of(plan, index, device, fill, route, scored(route)) else { continue };
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

fn of_device(plan: &Plan<'_>, index: usize, device: &Complete) -> LeafPoint {
    let PlanKind::Leaf(measure, _, table) = &plan.nodes[index].kind else {
        return LeafPoint { points: None, value: None, row: None, fill: None };
    };
    let value = measures::of_device(plan, device, measure, table);
    let Given { points, row } = points(table, measure.scale(), &measure.words(), &value);
    LeafPoint { points: Some(points), value: Some(value), row, fill: None }
}

/// Points of a leaf that is asked of the whole device, the part it stands under being there.
pub(crate) fn device_points(plan: &Plan<'_>, index: usize, device: &Complete) -> Exact {
    of_device(plan, index, device).points.unwrap_or_else(Exact::zero)
}

/// Reads one leaf for one part that fills its role; `None` where it is not about parts.
pub(crate) fn leaf_of(
    plan: &Plan<'_>,
    index: usize,
    device: &Complete,
    fill: usize,
    route: &PartRoute,
    scored: bool,
) -> Option<LeafPoint> {
    let PlanKind::Leaf(measure, reading, table) = &plan.nodes[index].kind else { return None };
    let here = &device.fills[fill];
    // Only `bundling` looks at what else the piece does.
    let list = if **measure == Measure::Bundling { &device.fills[..] } else { &[] };
    let company = list.iter().filter(|f| f.present && f.thing == here.thing && f.role != here.role);
    let subject = Subject { fill: here, route, scored, company: company.map(|f| f.role.as_str()).collect() };
    let value = measures::of_part(plan.method, measure, *reading, &subject);
    let Given { points, row } = points(table, measure.scale(), &measure.words(), &value);
    Some(LeafPoint { points: Some(points), value: Some(value), row, fill: Some(fill) })
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
            let first = children.first()?.1.as_ref()?;
            there.next();
            // A gate's conditions are leaves or groups whose points are 1 when met.
            let met = there.all(|(_, v)| *v >= Exact::one());
            Some(if met { first.clone() } else { scale_low.clone() })
        }
    }
}

/// Values of all nodes from the leaves' points.
pub fn fold(plan: &Plan<'_>, leaf_points: &dyn Fn(usize) -> Option<Exact>) -> Vec<Option<Exact>> {
    let mut out = vec![None; plan.nodes.len()];
    let mut list: Vec<(Exact, Option<Exact>)> = Vec::new();
    // Preorder: children come after their parent, so walk backwards.
    for index in (0..plan.nodes.len()).rev() {
        out[index] = match &plan.nodes[index].kind {
            PlanKind::Leaf(..) => leaf_points(index),
            PlanKind::Group(how, children) => {
                list.clear();
                list.extend(children.iter().map(|&c| (plan.nodes[c].weight.clone(), out[c].clone())));
                combine(*how, &list, &plan.method.scale.low)
            }
        };
    }
    out
}

/// A plan evaluated on one complete record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evaluated {
    /// Value per node, on the routes found.
    pub values: Vec<Option<Exact>>,
    /// No choice of routes gives a node more; the values themselves where every search was finished.
    pub most: Vec<Option<Exact>>,
    /// Leaf per node; `None` for groups.
    pub leaves: Vec<Option<LeafPoint>>,
    /// Reference routes by part.
    pub routes: BTreeMap<u32, PartRoute>,
    /// Every search was finished: the values are what the rule gives.
    pub proved: bool,
}

/// Evaluates a plan on a complete record: of all choices of one route per part the one with the highest total, the
/// leaves read on it, and the tree.
pub fn evaluate(plan: &Plan<'_>, device: &Complete, router: &Router<'_>) -> Evaluated {
    evaluate_with(plan, device, router, &mut |thing| Arc::new(profiles(plan, router, thing)))
}

/// As [`evaluate`], with the routes worth a choice from elsewhere.
pub(crate) fn evaluate_with(
    plan: &Plan<'_>,
    device: &Complete,
    router: &Router<'_>,
    profiles: &mut dyn FnMut(u32) -> Arc<Profiles>,
) -> Evaluated {
    let order = parts(plan, device);
    let found: Vec<Arc<Profiles>> = order.iter().map(|&thing| profiles(thing)).collect();
    let found: Vec<&Profiles> = found.iter().map(AsRef::as_ref).collect();
    let one = |p: &Profiles| p.found.len() == 1 && p.most.is_none();
    let whole = as_wholes(plan, device);
    let first = Chosen { which: vec![0; found.len()], most: None };
    let (chosen, sources) = if whole.is_empty() && found.iter().all(|p| one(p)) {
        (first, Vec::new())
    } else {
        let sources = sources(plan, device, &order, &found, &whole);
        let by_weight: Vec<usize> = (0..order.len()).collect();
        (choose(plan, &sources, &found, &by_weight), sources)
    };
    // Of several parts of a role the one that counts, where one counts as a whole.
    let shares = if whole.is_empty() { Vec::new() } else { shares(plan, &sources) };
    let counts: BTreeMap<usize, usize> = whole
        .iter()
        .map(|&slot| (slot, lowest(plan, &sources, &shares, &found, &chosen.which, slot)))
        .map(|(slot, place)| (slot, instances(plan, device, slot)[place]))
        .collect();
    let routes: BTreeMap<u32, PartRoute> = order
        .iter()
        .zip(&found)
        .zip(&chosen.which)
        .map(|((&thing, p), &which)| (thing, PartRoute { proved: p.most.is_none(), ..p.found[which].route.clone() }))
        .collect();
    let mut leaves = vec![None; plan.nodes.len()];
    let limits = limits(plan);
    for index in plan.leaves() {
        let slot = plan.nodes[index].slot.filter(|s| counts.contains_key(s) && !limits[index]);
        leaves[index] = Some(match slot {
            Some(slot) => {
                let only = counts[&slot];
                let route = &routes[&device.fills[only].thing];
                let PlanKind::Leaf(measure, ..) = &plan.nodes[index].kind else { continue };
                let of_part =
                    measure.per_part().then(|| leaf_of(plan, index, device, only, route, router.scored(route)));
                of_part.flatten().unwrap_or_else(|| leaf(plan, index, device, &routes, &|r| router.scored(r)))
            }
            None => leaf(plan, index, device, &routes, &|r| router.scored(r)),
        });
    }
    let values = fold(plan, &|i| {
        let points = leaves[i].as_ref().and_then(|l: &LeafPoint| l.points.clone());
        points.map(|points| least(plan, &sources, i, &found, &chosen.which).map_or(points.clone(), |l| l.min(points)))
    });
    let proved = chosen.most.is_none() && found.iter().all(|p| p.most.is_none());
    let most = if proved { values.clone() } else { most(plan, &sources, &found, &chosen, &values) };
    Evaluated { values, most, leaves, routes, proved }
}

/// The parts a plan asks about, the heaviest first.
pub(crate) fn parts(plan: &Plan<'_>, device: &Complete) -> Vec<u32> {
    let mut slots: Vec<usize> = (0..plan.slots.len()).collect();
    slots.sort_by(|&a, &b| plan.slots[b].weight.cmp(&plan.slots[a].weight).then(a.cmp(&b)));
    let mut out = Vec::new();
    for slot in slots {
        for &fill in plan.slots[slot].fills.iter().filter(|&&f| device.fills[f].present) {
            let thing = device.fills[fill].thing;
            if !out.contains(&thing) {
                out.push(thing);
            }
        }
    }
    out
}

/// Parts that fill a role, those the device has.
fn instances(plan: &Plan<'_>, device: &Complete, slot: usize) -> Vec<usize> {
    plan.slots[slot].fills.iter().copied().filter(|&f| device.fills[f].present).collect()
}

/// Roles that several parts fill, where one of them counts as a whole.
fn as_wholes(plan: &Plan<'_>, device: &Complete) -> Vec<usize> {
    let whole = plan.method.instances == Instances::LowestAsWhole;
    (0..plan.slots.len()).filter(|&s| whole && instances(plan, device, s).len() > 1).collect()
}

/// Which nodes are limits, or below one: they read all parts of a role.
pub(crate) fn limits(plan: &Plan<'_>) -> Vec<bool> {
    let mut out = vec![false; plan.nodes.len()];
    for index in 0..plan.nodes.len() {
        if let PlanKind::Group(how, children) = &plan.nodes[index].kind {
            for (place, &c) in children.iter().enumerate() {
                out[c] = out[index] || *how == Combine::Cap && place > 0;
            }
        }
    }
    out
}

/// What every leaf comes to, whatever routes are chosen.
fn sources(plan: &Plan<'_>, device: &Complete, order: &[u32], found: &[&Profiles], whole: &[usize]) -> Vec<Source> {
    let limit = limits(plan);
    let routes: BTreeMap<u32, &PartRoute> = order.iter().zip(found).map(|(&t, p)| (t, &p.found[0].route)).collect();
    let mut out = vec![Source::default(); plan.nodes.len()];
    for index in plan.leaves() {
        let PlanKind::Leaf(measure, ..) = &plan.nodes[index].kind else { continue };
        if let Some(slot) = plan.nodes[index].slot
            && whole.contains(&slot)
            && measure.per_part()
            && !limit[index]
        {
            let of = |fill: usize| -> Option<Instance> {
                let thing = device.fills[fill].thing;
                let part = order.iter().position(|&t| t == thing)?;
                if measure.on_route() {
                    let reading = found[part].readings.iter().position(|r| *r == (index, fill))?;
                    return Some(Instance::Read(part, reading));
                }
                leaf_of(plan, index, device, fill, routes[&thing], false)?.points.map(Instance::Fixed)
            };
            out[index].instances = instances(plan, device, slot).into_iter().filter_map(of).collect();
            continue;
        }
        if measure.on_route() {
            for (part, profiles) in found.iter().enumerate() {
                for (reading, (leaf, fill)) in profiles.readings.iter().enumerate() {
                    if *leaf == index && device.fills[*fill].present {
                        out[index].read.push((part, reading));
                    }
                }
            }
        }
        if out[index].read.is_empty() {
            out[index].fixed = leaf(plan, index, device, &routes, &|_| false).points;
        }
    }
    out
}

/// No fewer points has a leaf, where a route that it is read on, or that decides which of several parts counts, stands for one
/// that a search left open; `None`: there is no such route.
fn least(plan: &Plan<'_>, sources: &[Source], leaf: usize, found: &[&Profiles], which: &[usize]) -> Option<Exact> {
    let source = sources.get(leaf)?;
    let open = |part: usize| found[part].least.is_some();
    let of = |part: usize, reading: usize| match &found[part].least {
        Some(least) => least[reading].clone(),
        None => found[part].found[which[part]].points[reading].clone(),
    };
    if source.instances.is_empty() {
        let read = || source.read.iter().copied();
        return read().any(|(part, _)| open(part)).then(|| read().map(|(part, reading)| of(part, reading)).min())?;
    }
    let beside = |l: &usize| plan.nodes[*l].slot == plan.nodes[leaf].slot;
    let unnamed = |i: &Instance| matches!(i, Instance::Read(part, _) if open(*part));
    if !plan.leaves().filter(beside).any(|l| sources[l].instances.iter().any(unnamed)) {
        return None;
    }
    let each = source.instances.iter().map(|i| match i {
        Instance::Read(part, reading) => of(*part, *reading),
        Instance::Fixed(points) => points.clone(),
    });
    each.min()
}

/// What no choice of routes gives more than, where searches were left open.
fn most(
    plan: &Plan<'_>,
    sources: &[Source],
    found: &[&Profiles],
    chosen: &Chosen,
    values: &[Option<Exact>],
) -> Vec<Option<Exact>> {
    let top = |&(part, reading): &(usize, usize)| {
        let p = found[part];
        let seen = p.found.iter().map(|c| &c.points[reading]);
        seen.chain(p.most.iter().map(|m| &m[reading])).max().cloned()
    };
    let mut out = fold(plan, &|l| {
        if !sources[l].instances.is_empty() {
            let most = |i: &Instance| match i {
                Instance::Fixed(points) => Some(points.clone()),
                Instance::Read(part, reading) => top(&(*part, *reading)),
            };
            return sources[l].instances.iter().filter_map(most).max();
        }
        let read = sources[l].read.iter().filter_map(top);
        sources[l].fixed.clone().into_iter().chain(read).min()
    });
    if found.iter().all(|p| p.most.is_none())
        && let Some(most) = &chosen.most
    {
        out[0] = Some(most.clone());
    }
    out.into_iter().zip(values).map(|(most, value)| most.max(value.clone())).collect()
}
