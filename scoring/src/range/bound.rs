//! The worst or the best a tree can come to, leaf by leaf, where some leaves may be left out.
//!
//! Leaves are taken for independent of one another, but for criteria that are means over the same parts with the same weights:
//! what is left out of one is left out of all of them, so they are added up part by part. Nothing that a completion gives lies
//! outside.

use std::collections::BTreeMap;

use crate::assess::evaluate::fold as plain;
use crate::assess::{Plan, PlanKind};
use crate::exact::Exact;
use crate::method::Combine;

/// One end of a node.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Side {
    /// Its value; `None`: left out for sure.
    pub(super) value: Option<Exact>,
    /// It may be left out.
    pub(super) optional: bool,
}

impl Side {
    fn sure(&self) -> bool {
        self.value.is_some() && !self.optional
    }
}

/// The high or the low end of every node, from those of the leaves.
pub(super) fn fold(plan: &Plan<'_>, high: bool, leaves: &[Side]) -> Vec<Side> {
    // Where nothing may be left out that isn't for sure, every leaf has one value: the plain evaluation.
    if leaves.iter().all(|side| side.value.is_none() || !side.optional) {
        let values = plain(plan, &|l| leaves[l].value.clone());
        return values.into_iter().map(|value| Side { optional: value.is_none(), value }).collect();
    }
    fold_knowing(plan, high, |l| leaves[l].clone(), |_| None, |_| None)
}

/// The high or the low end of every node, where some groups are known better than what is below them tells: as a whole, or
/// some of their children (not the first of a cap or a gate) taken together.
pub(super) fn fold_knowing<'r>(
    plan: &Plan<'_>,
    high: bool,
    leaf: impl Fn(usize) -> Side,
    known: impl Fn(usize) -> Option<Side>,
    together: impl Fn(usize) -> Option<(&'r [usize], Side)>,
) -> Vec<Side> {
    let mut out = vec![Side::default(); plan.nodes.len()];
    for index in (0..plan.nodes.len()).rev() {
        if let Some(side) = known(index) {
            out[index] = side;
            continue;
        }
        out[index] = match &plan.nodes[index].kind {
            PlanKind::Leaf(..) => leaf(index),
            PlanKind::Group(how, children) => {
                let list = match how {
                    Combine::Mean | Combine::Sum => joined(plan, &out, children, high),
                    _ => {
                        let joint = together(index);
                        let (rows, side) = joint.unzip();
                        let rows = rows.unwrap_or_default();
                        let apart = children.iter().filter(|c| !rows.contains(c));
                        let apart = apart.map(|&c| (plan.nodes[c].weight.clone(), out[c].clone()));
                        apart.chain(side.map(|side| (Exact::one(), side))).collect()
                    }
                };
                combine(*how, &list, high, &plan.method.scale.low)
            }
        };
    }
    out
}

type Weighed = (Exact, Side);

/// Children with their weights; means over the same parts become one.
fn joined(plan: &Plan<'_>, sides: &[Side], children: &[usize], high: bool) -> Vec<Weighed> {
    let mut out: Vec<Weighed> = Vec::new();
    let mut alike: BTreeMap<Vec<(usize, Exact, bool)>, Vec<usize>> = BTreeMap::new();
    for &c in children {
        let PlanKind::Group(Combine::Mean, parts) = &plan.nodes[c].kind else {
            out.push((plan.nodes[c].weight.clone(), sides[c].clone()));
            continue;
        };
        // Below one part there is nothing to add up part by part.
        let open = plan.nodes[c].slot.is_none() && parts.iter().any(|&p| sides[p].optional);
        let key: Option<Vec<(usize, Exact, bool)>> = parts
            .iter()
            .filter(|&&p| sides[p].value.is_some())
            .map(|&p| Some((plan.nodes[p].slot?, plan.nodes[p].weight.clone(), sides[p].optional)))
            .collect();
        match key.filter(|key| open && !key.is_empty()) {
            Some(key) => alike.entry(key).or_default().push(c),
            None => out.push((plan.nodes[c].weight.clone(), sides[c].clone())),
        }
    }
    for (key, means) in alike {
        let whole: Exact = means.iter().map(|&c| plan.nodes[c].weight.clone()).sum();
        let parts: Vec<Weighed> = key
            .iter()
            .map(|(slot, weight, optional)| {
                let of = |&c: &usize| {
                    let PlanKind::Group(_, parts) = &plan.nodes[c].kind else { return None };
                    let part = parts.iter().find(|&&p| plan.nodes[p].slot == Some(*slot))?;
                    Some(&plan.nodes[c].weight * sides[*part].value.as_ref()?)
                };
                let sum: Exact = means.iter().filter_map(of).sum();
                (weight.clone(), Side { value: sum.checked_div(&whole), optional: *optional })
            })
            .collect();
        out.push((whole, mean(&parts, high)));
    }
    out
}

fn mean(list: &[Weighed], high: bool) -> Side {
    let (mut sum, mut weights) = (Exact::zero(), Exact::zero());
    let there = |sure: bool| list.iter().filter(move |(_, s)| s.value.is_some() && s.sure() == sure);
    for (w, side) in there(true) {
        if let Some(v) = &side.value {
            sum = &sum + &(w * v);
            weights = &weights + w;
        }
    }
    let optional = weights.is_zero();
    let mut rest: Vec<(&Exact, &Exact)> =
        there(false).filter(|(w, _)| !w.is_zero()).filter_map(|(w, s)| s.value.as_ref().map(|v| (w, v))).collect();
    rest.sort_by(|a, b| if high { b.1.cmp(a.1) } else { a.1.cmp(b.1) });
    for (w, v) in rest {
        let pulls = match sum.checked_div(&weights) {
            None => true,
            Some(now) if high => *v > now,
            Some(now) => *v < now,
        };
        if pulls {
            sum = &sum + &(w * v);
            weights = &weights + w;
        }
    }
    Side { value: sum.checked_div(&weights), optional }
}

fn combine(how: Combine, list: &[Weighed], high: bool, scale_low: &Exact) -> Side {
    let sure = || list.iter().filter(|(_, s)| s.sure()).filter_map(|(w, s)| s.value.as_ref().map(|v| (w, v)));
    let all = || list.iter().filter_map(|(w, s)| s.value.as_ref().map(|v| (w, v)));
    let maybe = || list.iter().filter(|(_, s)| s.optional).filter_map(|(w, s)| s.value.as_ref().map(|v| (w, v)));
    let none_sure = sure().next().is_none();
    match how {
        Combine::Mean => mean(list, high),
        Combine::Apart => Side::default(),
        Combine::Sum => {
            let pulls = |x: &Exact| if high { !x.is_negative() } else { x.is_negative() };
            let mut parts: Vec<Exact> = sure().map(|(w, v)| w * v).collect();
            let more: Vec<Exact> = maybe().map(|(w, v)| w * v).collect();
            let chosen: Vec<Exact> = more.iter().filter(|x| pulls(x)).cloned().collect();
            if parts.is_empty() && chosen.is_empty() {
                // One of them is there, if any.
                parts.extend(if high { more.into_iter().max() } else { more.into_iter().min() });
            } else {
                parts.extend(chosen);
            }
            let value = if all().next().is_none() { None } else { Some(parts.into_iter().sum()) };
            Side { value, optional: none_sure }
        }
        Combine::Worst | Combine::Best => {
            let values = |list: &mut dyn Iterator<Item = &Exact>, most: bool| {
                let list: Vec<&Exact> = list.collect();
                if most { list.into_iter().max().cloned() } else { list.into_iter().min().cloned() }
            };
            let worst = how == Combine::Worst;
            // Against the grain only what is there for sure counts; without it one of the others stands alone.
            let value = if worst == high {
                values(&mut sure().map(|(_, v)| v), !worst).or_else(|| values(&mut maybe().map(|(_, v)| v), worst))
            } else {
                values(&mut all().map(|(_, v)| v), !worst)
            };
            Side { value, optional: none_sure }
        }
        Combine::Cap => {
            let Some((_, first)) = list.first() else { return Side::default() };
            let limits = list[1..].iter().filter(|(_, s)| !high || s.sure()).filter_map(|(_, s)| s.value.as_ref());
            let limit = limits.min();
            let value = first.value.clone().map(|v| limit.map_or(v.clone(), |l| v.min(l.clone())));
            Side { value, optional: first.optional }
        }
        Combine::Gate => {
            let Some((_, first)) = list.first() else { return Side::default() };
            let asked = list[1..].iter().filter(|(_, s)| !high || s.sure()).filter_map(|(_, s)| s.value.as_ref());
            let met = asked.into_iter().all(|v| *v >= Exact::one());
            let value = first.value.clone().map(|v| match (met, high) {
                (true, _) => v,
                (false, true) => scale_low.clone(),
                (false, false) => v.min(scale_low.clone()),
            });
            Side { value, optional: first.optional }
        }
    }
}
