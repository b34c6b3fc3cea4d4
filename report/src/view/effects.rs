//! What drags a verdict down, what holds it up and what is open: contributions lost, kept and not settled. Each stands on
//! one side only.

use std::cmp::Reverse;

use scoring::assess::{Plan, Reach};
use scoring::exact::{Exact, Rounding};
use scoring::method::Combine;
use scoring::range::{Graded, GradedKind};

use super::tree::{TreeView, deciding, measured, needs};
use super::types::{Contribution, EffectCell, ReasonedNode};
use crate::clean::line;
use crate::facts::weights;
use crate::words::english::{self as en, OutOfReach};

/// The three groups, most first.
pub(super) struct Effects {
    pub(super) drags: Vec<Contribution>,
    pub(super) holds: Vec<Contribution>,
    pub(super) open: Vec<Contribution>,
}

/// A leaf's part in the score at both ends.
struct Share<'a> {
    leaf: &'a Graded,
    node: &'a ReasonedNode,
    /// The criterion it belongs to: the last node above that is about no part, or itself.
    of: &'a ReasonedNode,
    lost: [Exact; 2],
    kept: [Exact; 2],
    /// What its own answers can move, also where the ends of the verdict don't use it.
    own: Exact,
}

/// What stands as one item: a criterion over all its parts, or everything that rests on a part there is no way to.
struct Item<'a> {
    shares: Vec<Share<'a>>,
    beyond: Option<Beyond>,
    lost: [Exact; 2],
    kept: [Exact; 2],
    own: Exact,
}

/// A part that is out of reach, and how surely.
#[derive(Clone, PartialEq, Eq)]
struct Beyond {
    part: String,
    why: OutOfReach,
    /// What its way destroys, and by which action: `lid (by free lid)`.
    destroyed: Vec<String>,
}

/// How many are named on each side.
const NAMED: usize = 6;
/// The largest losses, which drag whatever else their criterion keeps.
const FIRST: usize = 2;

impl Item<'_> {
    /// Lost, or kept, whatever the answers.
    fn surely(values: &[Exact; 2]) -> &Exact {
        (&values[0]).min(&values[1])
    }

    fn most(values: &[Exact; 2]) -> &Exact {
        (&values[0]).max(&values[1])
    }

    /// No answer moves what was read here, only what it is worth: a limit that binds at one end alone.
    fn settled(&self) -> bool {
        self.shares.iter().all(|s| s.leaf.low.is_some() && s.leaf.low == s.leaf.high)
    }

    /// How much the answers can move.
    fn width(&self) -> Exact {
        let of = |v: &[Exact; 2]| Self::most(v) - Self::surely(v);
        of(&self.lost).max(of(&self.kept)).max(self.own.clone())
    }

    /// More is open than is settled either way, or the record doesn't say that the part is there at all.
    fn open(&self) -> bool {
        if self.beyond.as_ref().is_some_and(|b| b.why == OutOfReach::Unmentioned) {
            return true;
        }
        if self.settled() {
            return false;
        }
        let width = self.width();
        width > *Self::surely(&self.lost) && width > *Self::surely(&self.kept)
    }
}

/// Drags, holds and what is open, most first, in points of the node given.
pub(super) fn effects(tree: &TreeView<'_>, root: &Graded, node: &ReasonedNode) -> Effects {
    if tree.applied.assessment.method.scale.verdict {
        return requirements(tree, root, node);
    }
    // Where nothing is added up there is no total that anything could cost.
    if tree.applied.assessment.method.no_total().is_some() {
        return Effects { drags: Vec::new(), holds: Vec::new(), open: Vec::new() };
    }
    let mut shares = Vec::new();
    collect(root, node, node, &[Some(Exact::one()), Some(Exact::one())], &mut shares);
    let (mut open, settled): (Vec<_>, Vec<_>) = items(tree, shares).into_iter().partition(Item::open);
    open.sort_by_key(|i| Reverse(i.width()));
    let (mut drags, mut holds) = (Vec::new(), Vec::new());
    let mut order: Vec<Item<'_>> = settled;
    order.sort_by_key(|i| Reverse([Item::surely, Item::most].map(|of| of(&i.lost).clone())));
    for (place, item) in order.into_iter().enumerate() {
        let lost = if item.settled() { Item::most(&item.lost) } else { Item::surely(&item.lost) };
        let kept = Item::most(&item.kept);
        if !lost.is_zero() && (place < FIRST || lost >= kept) {
            drags.push(item);
        } else if !kept.is_zero() {
            holds.push(item);
        }
    }
    holds.sort_by_key(|i| Reverse(Item::most(&i.kept).clone()));
    let told = |items: Vec<Item<'_>>, side: Side| items.iter().take(NAMED).map(|i| effect(tree, i, side)).collect();
    Effects { drags: told(drags, Side::Lost), holds: told(holds, Side::Kept), open: told(open, Side::Open) }
}

/// The part a leaf was read on, where it is out of reach at the low end.
fn beyond(tree: &TreeView<'_>, leaf: &Graded) -> Option<Beyond> {
    let reach = |e: usize| {
        let evaluated = &tree.applied.assessment.ends[e].evaluated;
        leaf.ends[e].part.and_then(|p| evaluated.routes.get(&p)).map(|r| r.reach)
    };
    let GradedKind::Leaf { measure, .. } = &leaf.kind else { return None };
    let scored = tree.applied.assessment.method.steps.destructive_scored;
    // What is asked about a spare part has nothing to do with the way to the old one.
    let out = |e: usize| match reach(e) {
        _ if !measure.on_route() => false,
        Some(Reach::No) => true,
        Some(Reach::Damage) => !scored,
        _ => false,
    };
    let device = &tree.applied.assessment.ends[0].device;
    let part = leaf.ends[0].part?;
    let mut fills = device.fills.iter().filter(|f| f.thing == part).peekable();
    let unmentioned = fills.peek().is_some() && fills.all(|f| f.part.is_none());
    let why = match (unmentioned, out(0), out(1)) {
        (true, ..) => OutOfReach::Unmentioned,
        (false, true, true) if [0, 1].iter().any(|e| reach(*e) == Some(Reach::Damage)) => OutOfReach::Destroyed,
        (false, true, true) => OutOfReach::Surely,
        (false, true, false) => OutOfReach::Perhaps,
        (false, false, _) => return None,
    };
    let destroyed = if why == OutOfReach::Destroyed { destroyed(tree, part) } else { Vec::new() };
    Some(Beyond { part: line(device.things.get(part as usize)?), why, destroyed })
}

/// What the way to a part destroys, each with its action.
fn destroyed(tree: &TreeView<'_>, part: u32) -> Vec<String> {
    let assessment = tree.applied.assessment;
    let found = [0, 1].into_iter().find_map(|e| {
        let end = &assessment.ends[e];
        end.evaluated.routes.get(&part).filter(|r| r.reach == Reach::Damage).map(|r| (r, &end.device))
    });
    let Some((route, device)) = found else { return Vec::new() };
    let mut out = Vec::new();
    for (action, _) in &route.taken {
        let action = &device.actions[*action];
        let by = action.frees.iter().copied().chain(action.does).next();
        let by = by.and_then(|t| device.things.get(t as usize)).map_or_else(String::new, |n| line(n));
        let of = |t: &u32| device.things.get(*t as usize).map(|n| en::destroyed_by(&line(n), &by));
        out.extend(action.destroys.iter().filter_map(of));
    }
    out
}

/// Shares as items: all that rests on one part nobody can reach is one, and so is a criterion over the other parts.
fn items<'a>(tree: &TreeView<'_>, shares: Vec<Share<'a>>) -> Vec<Item<'a>> {
    let mut out: Vec<Item<'a>> = Vec::new();
    for share in shares {
        let beyond = beyond(tree, share.leaf);
        let same = |i: &Item<'_>| i.beyond == beyond && (beyond.is_some() || i.shares[0].of.anchor == share.of.anchor);
        match out.iter_mut().find(|i| same(i)) {
            Some(item) => {
                for e in [0, 1] {
                    item.lost[e] = &item.lost[e] + &share.lost[e];
                    item.kept[e] = &item.kept[e] + &share.kept[e];
                }
                item.own = &item.own + &share.own;
                item.shares.push(share);
            }
            None => out.push(Item {
                lost: share.lost.clone(),
                kept: share.kept.clone(),
                own: share.own.clone(),
                shares: vec![share],
                beyond,
            }),
        }
    }
    out
}

/// Walks down with the weight that reaches the total at each end; a limit that binds takes all of it.
fn collect<'a>(
    graded: &'a Graded,
    node: &'a ReasonedNode,
    above: &'a ReasonedNode,
    reach: &[Option<Exact>; 2],
    out: &mut Vec<Share<'a>>,
) {
    let of = if node.role.is_none() { node } else { above };
    match &graded.kind {
        GradedKind::Leaf { points, .. } => {
            let (worst, best) = Plan::extremes(points);
            let part = |f: &dyn Fn(&Exact) -> Exact| {
                [0, 1].map(|e| match (&reach[e], &graded.ends[e].points) {
                    (Some(w), Some(p)) => w * &f(p),
                    _ => Exact::zero(),
                })
            };
            let lost = part(&|p| &best - p);
            // Points that nobody can lose hold nothing up.
            let kept = part(&|p| p - &worst);
            let own = match (&graded.low, &graded.high) {
                (Some(low), Some(high)) => {
                    let reach = reach.iter().flatten().max();
                    reach.map_or_else(Exact::zero, |w| w * &(high - low))
                }
                _ => Exact::zero(),
            };
            out.push(Share { leaf: graded, node, of, lost, kept, own });
        }
        GradedKind::Group(Combine::Cap) => {
            let Some((first, limits)) = graded.children.split_first() else {
                return;
            };
            collect(first, &node.children[0], of, reach, out);
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
                out.push(Share {
                    leaf,
                    node,
                    of: below,
                    lost: taken,
                    kept: [Exact::zero(), Exact::zero()],
                    own: Exact::zero(),
                });
            }
        }
        GradedKind::Group(how) => {
            let weights = [0, 1].map(|e| weights(graded, *how, e, deciding(graded, e).map(|d| d.id.as_str())));
            for (i, (child, below)) in graded.children.iter().zip(&node.children).enumerate() {
                let reach = [0, 1].map(|e| match (&reach[e], &weights[e][i]) {
                    (Some(r), Some(w)) => Some(r * w),
                    _ => None,
                });
                collect(child, below, of, &reach, out);
            }
        }
    }
}

/// The leaf a limit takes its value from at one end.
fn deepest<'a>(graded: &'a Graded, node: &'a ReasonedNode, end: usize) -> (&'a Graded, &'a ReasonedNode) {
    let down =
        deciding(graded, end).and_then(|d| graded.children.iter().zip(&node.children).find(|(c, _)| c.id == d.id));
    match down {
        Some((child, below)) => deepest(child, below, end),
        None => (graded, node),
    }
}

/// `Disassembly depth, battery`.
pub(super) fn what(node: &ReasonedNode) -> String {
    match &node.role {
        Some(role) => format!("{}: {role}", node.title),
        None => node.title.clone(),
    }
}

/// What was read at the two ends. A bound has no completion: then it is told of those that were tried.
pub(super) fn said(leaf: &Graded, node: &ReasonedNode) -> String {
    let [low, high] = [0, 1].map(|e| measured(&leaf.kind, &leaf.ends[e].said));
    let attained = [node.ends.first(), node.ends.last()].map(|e| e.is_none_or(|e| e.attained));
    match (low == high, low.is_empty()) {
        (true, false) if leaf.low != leaf.high => en::open_though(&low, attained),
        (true, _) => low,
        (false, true) => high,
        (false, false) => en::read_at([&low, &high], attained),
    }
}

/// How far it is to more points, where both ends are equally far.
fn better(node: &ReasonedNode) -> Option<String> {
    let [end] = node.ends.as_slice() else { return None };
    end.margins.iter().find(|m| m.better).map(needs)
}

/// Which side an effect is told on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Lost,
    Kept,
    Open,
}

fn effect(tree: &TreeView<'_>, item: &Item<'_>, side: Side) -> Contribution {
    let shown = |v: &Exact| v.display(tree.applied.assessment.method.scale.decimals.max(2), Rounding::HalfUp);
    let range = |values: &[Exact; 2]| {
        let (a, b) = (shown(Item::surely(values)), shown(Item::most(values)));
        if a == b { a } else { en::to(&a, &b) }
    };
    let points = |lost: &[Exact; 2], kept: &[Exact; 2], width: &Exact| match side {
        Side::Lost => range(lost),
        Side::Kept => range(kept),
        Side::Open => en::up_to(&shown(width)),
    };
    let first = &item.shares[0];
    let total = points(&item.lost, &item.kept, &item.width());
    if let (Some(beyond), true) = (&item.beyond, item.shares.len() > 1) {
        let cell = |s: &Share<'_>| {
            let (lost, kept, own) = (s.lost.clone(), s.kept.clone(), s.own.clone());
            let one = Item { shares: Vec::new(), beyond: None, lost, kept, own };
            EffectCell {
                title: s.node.title.clone(),
                points: points(&one.lost, &one.kept, &one.width()),
                anchor: s.node.anchor.clone(),
            }
        };
        let worth = |s: &&Share<'_>| s.lost.iter().chain(&s.kept).chain([&s.own]).any(|v| !v.is_zero());
        return Contribution {
            what: out_of_reach(beyond),
            said: match side {
                Side::Lost => en::costs_in_all(&shown(Item::most(&item.lost))),
                Side::Kept => en::keeps_in_all(&shown(Item::most(&item.kept))),
                Side::Open => en::moves_in_all(&shown(&item.width())),
            },
            points: total,
            better: None,
            anchor: first.node.anchor.clone(),
            cells: item.shares.iter().filter(worth).map(cell).collect(),
        };
    }
    if item.shares.len() > 1 {
        let mut cells: Vec<EffectCell> = Vec::new();
        for s in &item.shares {
            let (lost, kept, own) = (s.lost.clone(), s.kept.clone(), s.own.clone());
            let one = Item { shares: Vec::new(), beyond: None, lost, kept, own };
            let told = points(&one.lost, &one.kept, &one.width());
            let nothing = match side {
                Side::Lost => Item::most(&one.lost).is_zero(),
                Side::Kept => Item::most(&one.kept).is_zero(),
                Side::Open => one.width().is_zero(),
            };
            if !nothing {
                let title = s.node.role.clone().unwrap_or_else(|| s.node.title.clone());
                cells.push(EffectCell { title, points: told, anchor: s.node.anchor.clone() });
            }
        }
        return Contribution {
            what: first.of.title.clone(),
            said: en::over_parts(cells.len()),
            points: total,
            better: None,
            anchor: first.of.anchor.clone(),
            cells,
        };
    }
    let better = if side == Side::Lost { better(first.node) } else { None };
    Contribution {
        what: what(first.node),
        said: said(first.leaf, first.node),
        points: total,
        better,
        anchor: first.node.anchor.clone(),
        cells: Vec::new(),
    }
}

/// `battery, which can't be taken out`: stands in a list and in a sentence.
fn out_of_reach(beyond: &Beyond) -> String {
    en::beyond(&beyond.part, beyond.why, &beyond.destroyed)
}

/// For methods of requirements: what fails, what is open, and what is met.
fn requirements(tree: &TreeView<'_>, root: &Graded, node: &ReasonedNode) -> Effects {
    let mut leaves = Vec::new();
    pair(root, node, &mut leaves);
    let told = |verdict: &str, those: Vec<&(&Graded, &ReasonedNode)>| {
        let mut out: Vec<(Option<Beyond>, Contribution)> = Vec::new();
        for (leaf, node) in those {
            let beyond = beyond(tree, leaf);
            let cell = EffectCell { title: what(node), points: verdict.to_owned(), anchor: node.anchor.clone() };
            if let Some((_, effect)) = out.iter_mut().find(|(b, _)| beyond.is_some() && *b == beyond) {
                effect.cells.push(cell);
                continue;
            }
            let one = Contribution {
                what: what(node),
                said: said(leaf, node),
                points: verdict.to_owned(),
                better: if node.form == "no" { better(node) } else { None },
                anchor: node.anchor.clone(),
                cells: vec![cell],
            };
            out.push((beyond, one));
        }
        let one = |(beyond, mut effect): (Option<Beyond>, Contribution)| {
            match beyond {
                Some(beyond) if effect.cells.len() > 1 => {
                    effect.what = out_of_reach(&beyond);
                    effect.said = en::on_requirements(effect.cells.len());
                    effect.better = None;
                }
                _ => effect.cells.clear(),
            }
            effect
        };
        out.into_iter().map(one).take(NAMED).collect::<Vec<_>>()
    };
    Effects {
        drags: told(en::FAIL, leaves.iter().filter(|(_, n)| n.form == "no").collect()),
        open: told(en::NOT_SETTLED, leaves.iter().filter(|(_, n)| n.form == "open").collect()),
        holds: told(en::PASS, leaves.iter().filter(|(_, n)| n.form == "yes").collect()),
    }
}

fn pair<'a>(graded: &'a Graded, node: &'a ReasonedNode, out: &mut Vec<(&'a Graded, &'a ReasonedNode)>) {
    if graded.children.is_empty() || node.either {
        out.push((graded, node));
        return;
    }
    graded.children.iter().zip(&node.children).for_each(|(g, n)| pair(g, n, out));
}
