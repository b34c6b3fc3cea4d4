//! Where a gain comes from: the criteria that read it, with their rules, and the lines of the record.

use std::collections::BTreeSet;

use scoring::assess::Plan;
use scoring::exact::{Exact, Rounding};
use scoring::method::{Combine, Measure};
use scoring::range::{Assessment, Edit, Graded, GradedKind};
use scoring::text::Span;

use super::place::Places;
use super::types::{Assessed, Link, ReasonedNode, Rung};
use crate::clean::line;
use crate::facts::{CauseFact, Facts, Limit, Promise, What};
use crate::words;

/// What gains are traced in: the assessment that stands first, with its tree.
pub(super) struct Traced<'a> {
    pub(super) places: &'a Places<'a>,
    pub(super) assessment: &'a Assessment,
    pub(super) assessed: &'a Assessed,
}

/// Lines of the record named for one gain; the criteria have them all.
const PLACES: usize = 4;

impl Traced<'_> {
    /// A cause on the bench.
    pub(super) fn cause(&self, facts: &Facts, cause: &CauseFact, number: usize) -> Rung {
        let record = self.places.record;
        let (mut wanted, spans): (Vec<Link>, Vec<Span>) = match &cause.of {
            What::Action(doing) => {
                let on_way = |leaf: &Graded| self.on_way(leaf, doing.written);
                let spans = doing.written.and_then(|w| record.actions.get(w)).map(|a| a.span);
                (self.criteria(&on_way), spans.into_iter().collect())
            }
            What::Part(at, doings) => {
                let part = &facts.parts[*at];
                let own = |leaf: &Graded| leaf.role.as_deref().is_some_and(|r| line(r) == part.role) && on_route(leaf);
                let last = doings.last().and_then(|d| d.written).and_then(|w| record.actions.get(w)).map(|a| a.span);
                let named = record.parts.iter().find(|p| part.names.contains(&line(&p.name.value)));
                (self.criteria(&own), last.or(named.map(|p| p.name.span)).into_iter().collect())
            }
        };
        // As on the strip of lost points: the word of a criterion.
        for link in &mut wanted {
            if let Some(lost) = facts.lost.criteria.iter().find(|l| line(&l.title) == link.text) {
                link.text = line(&lost.short);
            }
        }
        Rung {
            anchor: format!("gain-{number}"),
            text: words::cost(facts, cause),
            alone: pair(&cause.gain),
            adds: cause.rung.as_ref().map_or_else(|| [String::new(), String::new()], pair),
            criteria: wanted,
            places: self.lines(&spans),
        }
    }

    /// A promise of the full verdict.
    pub(super) fn promise(&self, promise: &Promise, number: usize) -> Rung {
        let asked: Vec<Measure> = promise
            .best
            .iter()
            .filter_map(|e| match e {
                Edit::Spare(_, fact, _) | Edit::Support(fact, _) => Some(Measure::Promise(*fact)),
                _ => None,
            })
            .collect();
        let own = |leaf: &Graded| matches!(&leaf.kind, GradedKind::Leaf { measure, .. } if asked.contains(measure));
        let mut spans: Vec<Span> = Vec::new();
        for leaf in self.assessment.root.walk().into_iter().filter(|l| own(l) && loses(l)) {
            let found = leaf.ends.iter().flat_map(|e| &e.evidence).map(|e| e.span);
            spans.extend(found);
        }
        // A span from the least to the most: which end gains which is no matter here.
        let mut gain = promise.gain.clone();
        gain.sort();
        Rung {
            anchor: format!("gain-{number}"),
            text: words::promise_cost(promise),
            alone: pair(&gain),
            adds: [String::new(), String::new()],
            criteria: self.criteria(&own),
            places: self.lines(&spans),
        }
    }

    /// Where a limit that binds stands among the reasons, and the line of the record that makes it bind.
    pub(super) fn limit(&self, limit: &Limit, bench: bool) -> (String, String) {
        let mut found: Vec<(&Graded, &ReasonedNode)> = Vec::new();
        limits(&self.assessment.root, &self.assessed.root, false, &mut found);
        found.retain(|(graded, _)| {
            let reads = |g: &&Graded| matches!(&g.kind, GradedKind::Leaf { measure, .. } if *measure == limit.measure);
            graded.walk().iter().any(reads)
        });
        // Limits of the bench verdict stand below those of the full one, and before them in this order.
        let of = if bench { found.first() } else { found.last() };
        let Some((graded, node)) = of else { return (self.assessed.key.clone(), String::new()) };
        let end = usize::from(!limit.binds[0]);
        let binds = |g: &&Graded| g.role.as_deref().is_some_and(|r| limit.roles.contains(&line(r)));
        let spans: Vec<Span> = graded
            .walk()
            .iter()
            .copied()
            .filter(binds)
            .flat_map(|g| &g.ends[end].evidence)
            .map(|e| e.span)
            .take(1)
            .collect();
        (node.anchor.clone(), self.lines(&spans).first().map_or_else(String::new, |l| l.text.clone()))
    }

    fn lines(&self, spans: &[Span]) -> Vec<Link> {
        let mut seen: BTreeSet<String> = BTreeSet::new();
        let mut out: Vec<Link> = Vec::new();
        for span in spans {
            // A line of another file, such as a table of support facts, is named with its file.
            let link = match self.places.anchor(*span) {
                Some(anchor) => Link { text: words::english::record_line(self.places.line(*span)), anchor },
                None => Link { text: self.places.place(*span), anchor: String::new() },
            };
            if seen.insert(link.text.clone()) {
                out.push(link);
            }
        }
        out.truncate(PLACES);
        out
    }

    /// Whether an action stands on the way a leaf was read on, at either end.
    fn on_way(&self, leaf: &Graded, written: Option<usize>) -> bool {
        on_route(leaf)
            && [0, 1].into_iter().any(|e| {
                let end = &self.assessment.ends[e];
                let route = leaf.ends[e].part.and_then(|p| end.evaluated.routes.get(&p));
                let is = |a: usize| written.is_some() && end.device.actions[a].written == written;
                route.is_some_and(|r| r.taken.iter().any(|(a, _)| is(*a)))
            })
    }

    /// Criteria with a leaf of this kind on which points are lost, in the order of the method.
    fn criteria(&self, wanted: &dyn Fn(&Graded) -> bool) -> Vec<Link> {
        let mut out: Vec<Link> = Vec::new();
        let root = &self.assessed.root;
        walk(&self.assessment.root, root, root, wanted, &mut out);
        out
    }
}

/// Limits of a tree, each with its node; those deeper down come first.
fn limits<'g>(graded: &'g Graded, node: &'g ReasonedNode, limit: bool, out: &mut Vec<(&'g Graded, &'g ReasonedNode)>) {
    if limit {
        out.push((graded, node));
        return;
    }
    let cap = matches!(graded.kind, GradedKind::Group(Combine::Cap));
    for (i, (child, below)) in graded.children.iter().zip(&node.children).enumerate() {
        limits(child, below, cap && i > 0, out);
    }
}

/// Criteria below a node with a leaf of this kind on which points are lost.
fn walk(
    graded: &Graded,
    node: &ReasonedNode,
    above: &ReasonedNode,
    wanted: &dyn Fn(&Graded) -> bool,
    out: &mut Vec<Link>,
) {
    // A criterion of a part belongs to that over all parts.
    let of = if node.role.is_none() { node } else { above };
    if matches!(graded.kind, GradedKind::Leaf { .. }) {
        if wanted(graded) && loses(graded) && !out.iter().any(|l| l.anchor == of.anchor) {
            out.push(Link { text: of.title.clone(), anchor: of.anchor.clone() });
        }
        return;
    }
    // Causes are told before limits.
    let limits = matches!(graded.kind, GradedKind::Group(Combine::Cap));
    let count = if limits { 1 } else { usize::MAX };
    for (child, below) in graded.children.iter().zip(&node.children).take(count) {
        walk(child, below, of, wanted, out);
    }
}

/// Whether points are lost on a leaf at either end.
fn loses(leaf: &Graded) -> bool {
    let GradedKind::Leaf { points, .. } = &leaf.kind else { return false };
    let (_, best) = Plan::extremes(points);
    leaf.ends.iter().any(|e| e.points.as_ref().is_some_and(|p| *p < best))
}

fn on_route(leaf: &Graded) -> bool {
    matches!(&leaf.kind, GradedKind::Leaf { measure, .. } if measure.on_route())
}

fn pair(ends: &[Exact; 2]) -> [String; 2] {
    [0, 1].map(|i| ends[i].display(2, Rounding::HalfUp))
}
