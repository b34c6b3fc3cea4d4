//! How far one weight could move before the class changes.
//!
//! A total made of means is `(a + b w) / (c + d w)` in one weight `w`, all others as they are: three values of it tell
//! all, and a threshold is a ratio of integers. Where worst-of, limiting factors or left-out parts interfere, the
//! threshold found so is checked by evaluating there, and not given when it does not hold.

use std::collections::{BTreeMap, BTreeSet};

use super::EndName;
use crate::assess::evaluate::fold;
use crate::assess::{Plan, PlanKind};
use crate::exact::{Exact, Rounding};
use crate::method::Combine;
use crate::range::class_of;

/// How far one weight could move before the class changes. The others stay as they are; where weights must keep their
/// sum (a sum, or shares that make up one) the others give way in proportion.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct WeightSpan {
    /// Id of the criterion, or the role for the weight of a part.
    pub id: String,
    /// It is the weight of a part.
    pub part: bool,
    /// End of the verdict it is worked out at.
    pub end: EndName,
    /// The weight in force.
    pub weight: Exact,
    /// The class there.
    pub class: String,
    /// Largest weight below the one in force at which the class changes; `None`: it does not change down to nought.
    pub from: Option<Bound>,
    /// Smallest weight above the one in force at which the class changes; `None`: it never does.
    pub to: Option<Bound>,
    /// False: a limiting factor or a worst-of lies in between and a bound could not be confirmed; `from` and `to` don't tell.
    pub confirmed: bool,
}

/// A weight at which the class changes.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Bound {
    /// The weight.
    pub weight: Exact,
    /// The class on the far side.
    pub class: String,
}

/// Spans of all weights at one end of the verdict.
pub(super) fn spans(plan: &Plan<'_>, points: &BTreeMap<usize, Option<Exact>>, end: EndName) -> Vec<WeightSpan> {
    let Some(classes) = &plan.method.classes else { return Vec::new() };
    // Thresholds lie on unrounded totals; half a unit below where classes are taken from totals rounded half up.
    let scale = &plan.method.scale;
    let shift = match (classes.of_rounded, scale.rounding) {
        (false, _) => Exact::zero(),
        (true, Rounding::HalfUp) => {
            Exact::ratio(1, 2 * 10_i64.pow(u32::from(scale.decimals.min(12)))).unwrap_or_else(Exact::zero)
        }
        (true, _) => return Vec::new(),
    };
    let bounds: Vec<Exact> = classes.bounds.iter().map(|(_, b)| &b.value - &shift).collect();
    groups(plan).into_iter().filter_map(|group| span(plan, points, end, &bounds, &group)).collect()
}

/// Nodes whose weight is one number of the method.
struct Group {
    id: String,
    part: bool,
    nodes: BTreeSet<usize>,
    parents: BTreeSet<usize>,
}

fn groups(plan: &Plan<'_>) -> Vec<Group> {
    let mut out: Vec<Group> = Vec::new();
    for (parent, node) in plan.nodes.iter().enumerate() {
        let PlanKind::Group(Combine::Mean | Combine::Sum, children) = &node.kind else { continue };
        if children.len() < 2 {
            continue;
        }
        let each = matches!(node.node.kind, crate::method::CriterionKind::Each { .. });
        for &child in children {
            let id = match plan.nodes[child].slot {
                Some(slot) if each && plan.slots[slot].weight.is_some() => plan.slots[slot].role.clone(),
                _ if each => continue,
                _ => plan.nodes[child].node.id.clone(),
            };
            match out.iter_mut().find(|g| g.id == id && g.part == each) {
                Some(group) => {
                    group.nodes.insert(child);
                    group.parents.insert(parent);
                }
                None => out.push(Group {
                    id,
                    part: each,
                    nodes: BTreeSet::from([child]),
                    parents: BTreeSet::from([parent]),
                }),
            }
        }
    }
    out
}

/// The total with one weight replaced; `None` for `weight` is a weight beyond all others.
fn total(
    plan: &Plan<'_>,
    points: &BTreeMap<usize, Option<Exact>>,
    group: &Group,
    weight: Option<&Exact>,
) -> Option<Exact> {
    let mut plan = plan.clone();
    for &parent in &group.parents {
        let PlanKind::Group(how, children) = plan.nodes[parent].kind.clone() else { continue };
        let sum = |plan: &Plan<'_>| -> Exact { children.iter().map(|&c| plan.nodes[c].weight.clone()).sum() };
        let before = sum(&plan);
        for &child in &children {
            let ours = group.nodes.contains(&child);
            match weight {
                Some(w) if ours => plan.nodes[child].weight = w.clone(),
                Some(_) => {}
                None => plan.nodes[child].weight = if ours { Exact::one() } else { Exact::zero() },
            }
        }
        if how == Combine::Sum {
            let now = sum(&plan);
            for &child in &children {
                let kept = (&plan.nodes[child].weight * &before).checked_div(&now)?;
                plan.nodes[child].weight = kept;
            }
        }
    }
    fold(&plan, &|l| points.get(&l).cloned().flatten())[0].clone()
}

fn span(
    plan: &Plan<'_>,
    points: &BTreeMap<usize, Option<Exact>>,
    end: EndName,
    bounds: &[Exact],
    group: &Group,
) -> Option<WeightSpan> {
    let weight = plan.nodes[*group.nodes.first()?].weight.clone();
    let at = |w: Option<&Exact>| total(plan, points, group, w);
    let (none, now, all) = (at(Some(&Exact::zero())), at(Some(&weight))?, at(None)?);
    let none = none.unwrap_or_else(|| now.clone());
    let class = |v: &Exact| class_of(plan.method, v).unwrap_or_default();
    let here = class(&now);
    let mut span = WeightSpan {
        id: group.id.clone(),
        part: group.part,
        end,
        weight: weight.clone(),
        class: here.clone(),
        from: None,
        to: None,
        confirmed: true,
    };
    // Means move one way in a weight, and so does what combines them, so the ends tell whether a bound is crossed.
    let rising = all >= none;
    let between = if rising { none <= now && now <= all } else { all <= now && now <= none };
    // Weights that make up one are shares: a mean is the same when all of them are divided by their new sum.
    let shares = group.parents.iter().all(|&parent| match &plan.nodes[parent].kind {
        PlanKind::Group(_, children) => {
            children.iter().map(|&c| plan.nodes[c].weight.clone()).sum::<Exact>() == Exact::one()
        }
        PlanKind::Leaf(..) => false,
    });
    let rest = &Exact::one() - &weight;
    let share = |w: &Exact| if shares { w.checked_div(&(w + &rest)) } else { Some(w.clone()) };
    let c = (&weight * &(&all - &now)).checked_div(&(&now - &none));
    for (far, down) in [(&none, true), (&all, false)] {
        if class(far) == here {
            continue;
        }
        let next = if far > &now {
            bounds.iter().filter(|b| **b > now).min()
        } else {
            bounds.iter().filter(|b| **b <= now).max()
        };
        let crossing = next.and_then(|t| {
            let w = (c.as_ref()? * &(t - &none)).checked_div(&(&all - t))?;
            let reached = at(Some(&w))? == *t;
            let side = if down { w <= weight } else { w >= weight };
            (reached && side && between && !w.is_negative()).then_some((w, t))
        });
        let Some((w, t)) = crossing else {
            span.confirmed = false;
            continue;
        };
        // A bound is inclusive: rising to it the new class begins there, falling the old one ends there.
        let beyond = if far > &now {
            class(t)
        } else {
            let below = bounds.iter().filter(|b| *b < t).max();
            below.map_or_else(|| here.clone(), &class)
        };
        let bound = Some(Bound { weight: share(&w)?, class: beyond });
        if down { span.from = bound } else { span.to = bound }
    }
    Some(span)
}
