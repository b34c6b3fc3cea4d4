//! Several verdicts side by side, with the reasons for what differs.

use std::collections::BTreeSet;

use super::rank::{Entry, Refusal, comparable};
use crate::assess::PartRoute;
use crate::exact::Exact;
use crate::method::Measure;
use crate::range::{Completion, Graded, GradedKind};

/// Verdicts side by side.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Table {
    /// Names of the devices, one column each.
    pub names: Vec<String>,
    /// Criteria in the order of the method, the verdict first; parts below their criterion.
    pub rows: Vec<Row>,
}

/// One criterion across devices.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Row {
    /// Node id.
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    pub role: Option<String>,
    /// How far below the verdict, 0 for the verdict itself.
    pub depth: usize,
    /// One cell per device; `None` where the device's verdict has no such criterion.
    pub cells: Vec<Option<Cell>>,
    /// Why they differ, where they do and the row is a measure: the worst against the best at the low ends.
    pub reason: Option<String>,
}

/// One criterion of one device.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Cell {
    /// Lowest points; `None`: left out.
    pub low: Option<Exact>,
    /// Highest points.
    pub high: Option<Exact>,
    /// Both ends are attained.
    pub exact: bool,
    /// What was read at the low and high end of the verdict (`9 steps`); empty for groups.
    pub said: [String; 2],
}

impl Table {
    /// Sets verdicts side by side.
    ///
    /// # Errors
    /// As [`comparable`].
    pub fn new(entries: &[Entry<'_>], mixed: bool) -> Result<Self, Refusal> {
        comparable(entries, mixed)?;
        let mut order: Vec<(usize, &Graded)> = Vec::new();
        for entry in entries {
            lay_out(&entry.assessment.root, 0, &mut order);
        }
        let rows = order
            .into_iter()
            .map(|(depth, node)| {
                let found: Vec<Option<&Graded>> = entries.iter().map(|e| e.assessment.find(&node.id)).collect();
                Row {
                    id: node.id.clone(),
                    title: node.title.clone(),
                    role: node.role.clone(),
                    depth,
                    reason: reason(entries, &found),
                    cells: found.into_iter().map(|n| n.map(cell)).collect(),
                }
            })
            .collect();
        Ok(Self { names: entries.iter().map(|e| e.name.to_owned()).collect(), rows })
    }
}

/// Adds nodes not there yet, each behind what stands before it.
fn lay_out<'g>(node: &'g Graded, depth: usize, order: &mut Vec<(usize, &'g Graded)>) {
    let mut last = order.iter().position(|(_, n)| n.id == node.id);
    if last.is_none() {
        order.push((depth, node));
        last = Some(order.len() - 1);
    }
    for child in &node.children {
        if let Some(at) = order.iter().position(|(_, n)| n.id == child.id) {
            last = Some(at);
            lay_out(child, depth + 1, order);
            continue;
        }
        // Behind the sibling before it and all below that.
        let mut at = last.map_or(order.len(), |l| l + 1);
        while order.get(at).is_some_and(|(d, _)| *d > depth + 1) {
            at += 1;
        }
        let mut below = Vec::new();
        flatten(child, depth + 1, &mut below);
        order.splice(at..at, below);
        last = Some(at);
    }
}

fn flatten<'g>(node: &'g Graded, depth: usize, out: &mut Vec<(usize, &'g Graded)>) {
    out.push((depth, node));
    node.children.iter().for_each(|c| flatten(c, depth + 1, out));
}

fn cell(node: &Graded) -> Cell {
    Cell {
        low: node.low.clone(),
        high: node.high.clone(),
        exact: node.exact,
        said: [node.ends[0].said.clone(), node.ends[1].said.clone()],
    }
}

/// `9 steps against 4: glued back, three tools`.
fn reason(entries: &[Entry<'_>], found: &[Option<&Graded>]) -> Option<String> {
    let scored: Vec<(usize, &Graded)> = found
        .iter()
        .enumerate()
        .filter_map(|(i, n)| n.map(|n| (i, n)))
        .filter(|(_, n)| n.low.is_some() && matches!(n.kind, GradedKind::Leaf { .. }))
        .collect();
    let points = |n: &Graded| n.ends[0].points.clone();
    let (worst, bad) = scored.iter().min_by(|a, b| points(a.1).cmp(&points(b.1)))?;
    let (best, good) = scored.iter().max_by(|a, b| points(a.1).cmp(&points(b.1)).then(b.0.cmp(&a.0)))?;
    if points(bad) == points(good) {
        return None;
    }
    let (has, had) = (&bad.ends[0].said, &good.ends[0].said);
    let number = |text: &str| text.split(' ').next().unwrap_or_default().to_owned();
    let GradedKind::Leaf { measure, .. } = &bad.kind else { return None };
    let against = match (has.split_once(' '), had.split_once(' ')) {
        // One unit is enough: `9 steps against 4`.
        (Some((_, a)), Some((_, b)))
            if a.trim_end_matches('s') == b.trim_end_matches('s') && *measure == Measure::Depth =>
        {
            number(had)
        }
        _ => had.clone(),
    };
    let mut out = format!("{} against {}: {has} against {against}", entries[*worst].name, entries[*best].name);
    if measure.on_route() {
        let traits = differing(
            (&entries[*worst].assessment.ends[0], bad.ends[0].part),
            (&entries[*best].assessment.ends[0], good.ends[0].part),
        );
        if !traits.is_empty() {
            out.push_str(": ");
            out.push_str(&traits.join(", "));
        }
    }
    Some(out)
}

type OnRoute<'a> = (&'a Completion, Option<u32>);

/// What the worse route has that the better one lacks.
fn differing(worse: OnRoute<'_>, better: OnRoute<'_>) -> Vec<String> {
    let route = |(completion, part): OnRoute<'_>| part.and_then(|p| completion.evaluated.routes.get(&p).cloned());
    let Some(bad) = route(worse) else { return Vec::new() };
    let good = route(better);
    let mut out = Vec::new();
    if bad.taken.is_empty() {
        return vec!["no way to it".to_owned()];
    }
    let glued = glued(worse.0, &bad);
    if good.as_ref().is_none_or(|g| g.route.adhesives.len() < bad.route.adhesives.len()) && !glued.is_empty() {
        out.push(format!("glued {}", glued.join(" and ")));
    }
    let tools = |completion: &Completion, route: &PartRoute| -> usize {
        let used: BTreeSet<usize> = route
            .taken
            .iter()
            .flat_map(|(a, ways)| completion.device.actions[*a].operations.iter().zip(ways))
            .flat_map(|(operation, &way)| operation[way].iter().copied())
            .collect();
        used.len()
    };
    let (many, few) = (tools(worse.0, &bad), good.as_ref().map_or(0, |g| tools(better.0, g)));
    if many > few {
        out.push(count(many, "tool"));
    }
    let off = good.as_ref().map_or(0, |g| g.in_the_way);
    if bad.in_the_way > off {
        out.push(format!("{} in the way", count(bad.in_the_way as usize, "part")));
    }
    out
}

/// What is glued on a route: parts freed where adhesive is opened.
fn glued(completion: &Completion, route: &PartRoute) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for (action, _) in &route.route.adhesives {
        let action = &completion.device.actions[*action];
        for thing in action.frees.iter().copied().chain(action.does) {
            let name = completion.device.things[thing as usize].clone();
            if !out.contains(&name) {
                out.push(name);
            }
        }
    }
    out
}

fn count(n: usize, what: &str) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    let number = WORDS.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned());
    if n == 1 { format!("{number} {what}") } else { format!("{number} {what}s") }
}
