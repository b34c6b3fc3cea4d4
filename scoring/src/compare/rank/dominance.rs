//! Which devices stand above others under any weights, of criteria and of parts.
//!
//! Devices are held against each other at the lowest level they share: measure by measure, part by part where both have
//! the same parts. Where they have different parts or criteria, other weights could make of each any value between its
//! own worst and best, so the worst of one is held against the best of the other. Limiting factors are left aside, as
//! where weights are drawn.

use crate::exact::Exact;
use crate::method::Combine;
use crate::range::{Graded, GradedKind};

/// Whether one alternative is at least as good as another in every criterion and better in one, whatever is still
/// unknown. Exact: then it is above under every weighting that gives the better one weight.
pub fn dominates(one: &[[Exact; 2]], other: &[[Exact; 2]]) -> bool {
    one.iter().zip(other).all(|(a, b)| a[0] >= b[1]) && one.iter().zip(other).any(|(a, b)| a[0] > b[1])
}

/// Whether one verdict stands above another under any weights, of criteria and of parts: at least as good in all that is
/// weighed, better in something, whatever is still unknown. Never where nothing is weighed.
pub fn above_under_any_weights(one: &Graded, other: &Graded) -> bool {
    (weighed(one) || weighed(other)) && lead(one, other) == Some(true)
}

/// Whether a verdict has limiting factors.
pub fn limited(node: &Graded) -> bool {
    node.kind == GradedKind::Group(Combine::Cap) && node.children.len() > 1 || node.children.iter().any(limited)
}

/// Children that count.
fn members(node: &Graded) -> Vec<&Graded> {
    let count = if node.kind == GradedKind::Group(Combine::Cap) { 1 } else { node.children.len() };
    node.children.iter().take(count).filter(|c| c.low.is_some() || c.high.is_some()).collect()
}

/// Whether a weight could change the value.
fn weighed(node: &Graded) -> bool {
    let members = members(node);
    let here = match node.kind {
        GradedKind::Group(Combine::Sum) => true,
        GradedKind::Group(Combine::Mean) => members.len() > 1,
        _ => false,
    };
    here || members.iter().any(|m| weighed(m))
}

/// Left out at neither end of the verdict: where a criterion can drop out, the others take over its weight.
fn stays(node: &Graded) -> bool {
    node.ends.iter().all(|e| e.points.is_some())
}

/// `Some`: at least as good under any weights; `true`: better, once what it is better in has weight.
fn lead(one: &Graded, other: &Graded) -> Option<bool> {
    if !weighed(one) && !weighed(other) {
        let (low, high) = (one.low.as_ref()?, other.high.as_ref()?);
        return (low >= high).then(|| low > high);
    }
    let (mine, theirs) = (members(one), members(other));
    let paired = one.kind == other.kind
        && mine.len() == theirs.len()
        && mine.iter().zip(&theirs).all(|(a, b)| a.id == b.id && stays(a) && stays(b));
    let GradedKind::Group(combine) = &one.kind else { return apart(one, other) };
    if !paired {
        return apart(one, other);
    }
    let leads: Vec<bool> = mine.iter().zip(&theirs).map(|(a, b)| lead(a, b)).collect::<Option<_>>()?;
    Some(match combine {
        Combine::Mean | Combine::Sum | Combine::Cap => leads.contains(&true),
        Combine::Worst | Combine::Best => leads.iter().all(|l| *l),
        // What opens the gate for the better one may close it for both.
        Combine::Gate => false,
        Combine::Apart => return None,
    })
}

/// The worst of one against the best of the other, under any weights of either.
fn apart(one: &Graded, other: &Graded) -> Option<bool> {
    let (low, high) = (reach(one, 0)?, reach(other, 1)?);
    (low >= high).then(|| low > high)
}

/// The lowest or highest value any weights could make; `None`: there is no bound, or nothing counts.
fn reach(node: &Graded, end: usize) -> Option<Exact> {
    if !weighed(node) {
        return if end == 0 { node.low.clone() } else { node.high.clone() };
    }
    let GradedKind::Group(combine) = &node.kind else { return None };
    // Weights of a sum need not add up to anything.
    if matches!(combine, Combine::Sum | Combine::Apart) {
        return None;
    }
    let mut values: Vec<Exact> = members(node).iter().map(|m| reach(m, end)).collect::<Option<_>>()?;
    if *combine == Combine::Gate {
        values.push(node.scale.0.clone());
    }
    if end == 0 { values.into_iter().min() } else { values.into_iter().max() }
}
