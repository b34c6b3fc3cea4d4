//! What drags a verdict down and what holds it up: contributions lost and kept.

use std::cmp::Reverse;

use scoring::assess::Plan;
use scoring::exact::{Exact, Rounding};
use scoring::method::Combine;
use scoring::range::{Graded, GradedKind};

use super::tree::{TreeView, deciding, needs};
use super::types::{Effect, Node};
use crate::clean::line;

/// A leaf's part in the total at both ends.
struct Share<'a> {
    leaf: &'a Graded,
    node: &'a Node,
    lost: [Exact; 2],
    kept: [Exact; 2],
}

/// How many are named on each side.
const NAMED: usize = 6;

/// Drags and holds, most first.
pub(super) fn effects(tree: &TreeView<'_>, root: &Graded, node: &Node) -> (Vec<Effect>, Vec<Effect>) {
    if tree.applied.assessment.method.scale.verdict {
        return requirements(root, node);
    }
    let mut shares = Vec::new();
    collect(root, node, &[Some(Exact::one()), Some(Exact::one())], &mut shares);
    let side = |lost: bool, which: for<'s> fn(&'s Share<'_>) -> &'s [Exact; 2]| {
        let mut order: Vec<&Share<'_>> =
            shares.iter().filter(|s| which(s).iter().any(|v| *v > Exact::zero())).collect();
        order.sort_by_key(|s| Reverse(which(s).iter().max().cloned()));
        order.truncate(NAMED);
        order.into_iter().map(|s| effect(tree, s, which(s), lost)).collect()
    };
    (side(true, |s| &s.lost), side(false, |s| &s.kept))
}

/// Walks down with the weight that reaches the total at each end; a limit that binds takes all of it.
fn collect<'a>(graded: &'a Graded, node: &'a Node, reach: &[Option<Exact>; 2], out: &mut Vec<Share<'a>>) {
    match &graded.kind {
        GradedKind::Leaf { points, .. } => {
            let (_, best) = Plan::extremes(points);
            let part = |f: &dyn Fn(&Exact) -> Exact| {
                [0, 1].map(|e| match (&reach[e], &graded.ends[e].points) {
                    (Some(w), Some(p)) => w * &f(p),
                    _ => Exact::zero(),
                })
            };
            let lost = part(&|p| &best - p);
            let kept = part(&|p| p.clone());
            out.push(Share { leaf: graded, node, lost, kept });
        }
        GradedKind::Group(Combine::Cap) => {
            let Some((first, limits)) = graded.children.split_first() else {
                return;
            };
            collect(first, &node.children[0], reach, out);
            // A limit that binds takes the difference; it holds nothing up.
            for (limit, below) in limits.iter().zip(&node.children[1..]) {
                let taken = [0, 1].map(|e| {
                    let binds = deciding(graded, e).is_some_and(|d| d.id == limit.id);
                    let whole = [&reach[e], &first.ends[e].points, &graded.ends[e].points];
                    match whole {
                        [Some(w), Some(of), Some(left)] if binds => w * &(of - left),
                        _ => Exact::zero(),
                    }
                });
                let Some(end) = taken.iter().position(|t| !t.is_zero()) else {
                    continue;
                };
                let (leaf, node) = deepest(limit, below, end);
                out.push(Share { leaf, node, lost: taken, kept: [Exact::zero(), Exact::zero()] });
            }
        }
        GradedKind::Group(how) => {
            let weights = [0, 1].map(|e| weights(graded, *how, e));
            for (i, (child, below)) in graded.children.iter().zip(&node.children).enumerate() {
                let reach = [0, 1].map(|e| match (&reach[e], &weights[e][i]) {
                    (Some(r), Some(w)) => Some(r * w),
                    _ => None,
                });
                collect(child, below, &reach, out);
            }
        }
    }
}

/// The leaf a limit takes its value from at one end.
fn deepest<'a>(graded: &'a Graded, node: &'a Node, end: usize) -> (&'a Graded, &'a Node) {
    let down =
        deciding(graded, end).and_then(|d| graded.children.iter().zip(&node.children).find(|(c, _)| c.id == d.id));
    match down {
        Some((child, below)) => deepest(child, below, end),
        None => (graded, node),
    }
}

fn weights(graded: &Graded, how: Combine, end: usize) -> Vec<Option<Exact>> {
    let there = |c: &Graded| c.ends[end].points.is_some();
    match how {
        Combine::Mean => {
            let whole: Exact = graded.children.iter().filter(|c| there(c)).map(|c| c.weight.clone()).sum();
            graded.children.iter().map(|c| c.weight.checked_div(&whole).filter(|_| there(c))).collect()
        }
        Combine::Sum => graded.children.iter().map(|c| Some(c.weight.clone()).filter(|_| there(c))).collect(),
        _ => {
            let decides = deciding(graded, end).map(|c| c.id.as_str());
            graded.children.iter().map(|c| (Some(c.id.as_str()) == decides).then(Exact::one)).collect()
        }
    }
}

/// `Disassembly depth, battery`.
pub(super) fn what(node: &Node) -> String {
    match &node.role {
        Some(role) => format!("{}: {role}", node.title),
        None => node.title.clone(),
    }
}

/// What was read at the two ends.
pub(super) fn said(leaf: &Graded) -> String {
    let [low, high] = [0, 1].map(|e| line(&leaf.ends[e].said));
    match (low == high, low.is_empty()) {
        (true, _) => low,
        (false, true) => high,
        (false, false) => format!("from {low} to {high}"),
    }
}

/// How far it is to more points, where both ends are equally far.
fn better(node: &Node) -> Option<String> {
    let [end] = node.ends.as_slice() else { return None };
    end.margins.iter().find(|m| m.better).map(needs)
}

fn effect(tree: &TreeView<'_>, share: &Share<'_>, values: &[Exact; 2], lost: bool) -> Effect {
    let shown = |v: &Exact| v.display(tree.applied.assessment.method.scale.decimals.max(2), Rounding::HalfUp);
    let (a, b) = (values.iter().min(), values.iter().max());
    let points = match (a.map(shown), b.map(shown)) {
        (Some(a), Some(b)) if a != b => format!("{a} to {b}"),
        (Some(a), _) => a,
        _ => String::new(),
    };
    let better = if lost { better(share.node) } else { None };
    Effect { what: what(share.node), said: said(share.leaf), points, better, anchor: share.node.anchor.clone() }
}

/// For methods of requirements: what fails or is open, and what is met.
fn requirements(root: &Graded, node: &Node) -> (Vec<Effect>, Vec<Effect>) {
    let mut leaves = Vec::new();
    pair(root, node, &mut leaves);
    let effect = |(leaf, node): &(&Graded, &Node), verdict: &str| Effect {
        what: what(node),
        said: said(leaf),
        points: verdict.to_owned(),
        better: if verdict == "fail" { better(node) } else { None },
        anchor: node.anchor.clone(),
    };
    let is = |v: &Option<Exact>, n: i64| v.as_ref() == Some(&Exact::from(n));
    let fails = leaves.iter().filter(|(l, _)| is(&l.high, 0)).map(|l| effect(l, "fail"));
    let open = leaves.iter().filter(|(l, _)| l.low != l.high).map(|l| effect(l, "not settled"));
    let met = leaves.iter().filter(|(l, _)| is(&l.low, 1)).map(|l| effect(l, "pass"));
    (fails.chain(open).take(2 * NAMED).collect(), met.take(NAMED).collect())
}

fn pair<'a>(graded: &'a Graded, node: &'a Node, out: &mut Vec<(&'a Graded, &'a Node)>) {
    if graded.children.is_empty() || node.kind == super::tree::EITHER {
        out.push((graded, node));
        return;
    }
    graded.children.iter().zip(&node.children).for_each(|(g, n)| pair(g, n, out));
}
