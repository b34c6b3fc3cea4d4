//! Several verdicts side by side, with the reasons for what differs.

use std::collections::BTreeSet;

use super::rank::{RankedDevice, Refusal, comparable};
use crate::assess::{PartRoute, Reach};
use crate::exact::Exact;
use crate::method::{Combine, Measure};
use crate::range::{Completion, Graded, GradedKind};

/// Glued parts named in a reason.
const NAMED: usize = 2;

/// Verdicts side by side.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct SideBySide {
    /// Names of the devices, one column each.
    pub names: Vec<String>,
    /// Criteria in the order of the method, the verdict first; parts below their criterion.
    pub rows: Vec<CriterionRow>,
}

/// One criterion across devices.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct CriterionRow {
    /// Node id.
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    pub role: Option<String>,
    /// How far below the verdict, 0 for the verdict itself.
    pub depth: usize,
    /// One cell per device; `None` where the device's verdict has no such criterion.
    pub cells: Vec<Option<CriterionCell>>,
    /// Why they differ, where they surely do and the row is a measure.
    pub reason: Option<Reason>,
}

/// Why devices differ in a measure: the worst of them against the best, where one surely gets fewer points than the other.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Reason {
    /// The worst device, an index into the names.
    pub worse: usize,
    /// The best.
    pub better: usize,
    /// What was read of the best and of the worst (`4 steps`).
    pub read: [String; 2],
    /// What gives the worst fewer points (`three tools`); often empty.
    pub because: Vec<String>,
    /// What the difference is worth in the verdict at least, in points of the verdict, limits left aside; `None` where a
    /// rule of worst, best or gate stands between.
    pub worth: Option<Exact>,
}

impl Reason {
    /// `4 steps against 9: glued back, three tools`: the best first, what is named last is the worst's.
    pub fn words(&self) -> String {
        let [good, bad] = &self.read;
        // One unit is enough.
        let against = match (unit(good), unit(bad)) {
            (Some(a), Some(b)) if alike(a, b) => bad.strip_suffix(b).unwrap_or(bad).trim_end(),
            _ => bad,
        };
        let mut out = format!("{good} against {against}");
        if !self.because.is_empty() {
            out.push_str(": ");
            out.push_str(&self.because.join(", "));
        }
        out
    }
}

/// One criterion of one device.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct CriterionCell {
    /// Lowest points; `None`: left out.
    pub low: Option<Exact>,
    /// Highest points.
    pub high: Option<Exact>,
    /// Both ends are attained.
    pub exact: bool,
    /// What was read at the low and high end of the verdict (`9 steps`); empty for groups.
    pub said: [String; 2],
}

impl SideBySide {
    /// Rows with reasons, the difference worth most in the verdict first, then as they stand.
    pub fn reasons(&self) -> Vec<(&CriterionRow, &Reason)> {
        let mut out: Vec<(&CriterionRow, &Reason)> =
            self.rows.iter().filter_map(|r| Some((r, r.reason.as_ref()?))).collect();
        out.sort_by(|a, b| b.1.worth.cmp(&a.1.worth));
        out
    }

    /// Sets verdicts side by side.
    ///
    /// # Errors
    /// As [`comparable`].
    pub fn new(entries: &[RankedDevice<'_>], mixed: bool) -> Result<Self, Refusal> {
        comparable(entries, mixed)?;
        let mut order: Vec<(usize, &Graded)> = Vec::new();
        for entry in entries {
            lay_out(&entry.assessment.root, 0, &mut order);
        }
        let rows = order
            .into_iter()
            .map(|(depth, node)| {
                let found: Vec<Option<&Graded>> = entries.iter().map(|e| e.assessment.find(&node.id)).collect();
                CriterionRow {
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

fn cell(node: &Graded) -> CriterionCell {
    CriterionCell {
        low: node.low.clone(),
        high: node.high.clone(),
        exact: node.exact,
        said: [node.ends[0].said.clone(), node.ends[1].said.clone()],
    }
}

/// Why the devices differ: the one surely worst against the one surely best.
fn reason(entries: &[RankedDevice<'_>], found: &[Option<&Graded>]) -> Option<Reason> {
    let leaf = |n: &&Graded| matches!(n.kind, GradedKind::Leaf { .. });
    let scored: Vec<(usize, &Graded, [&Exact; 2])> = found
        .iter()
        .enumerate()
        .filter_map(|(i, n)| n.filter(leaf).map(|n| (i, n)))
        .filter_map(|(i, n)| Some((i, n, [n.low.as_ref()?, n.high.as_ref()?])))
        .collect();
    // The first of equals.
    let &(worse, bad, [_, most]) = scored.iter().min_by_key(|(_, _, [_, high])| *high)?;
    let &(better, good, [least, _]) = scored.iter().rev().max_by_key(|(_, _, [low, _])| *low)?;
    let GradedKind::Leaf { measure, .. } = &bad.kind else { return None };
    if most >= least {
        return None;
    }
    let (bad_end, good_end) = (&entries[worse].assessment.ends[0], &entries[better].assessment.ends[0]);
    let because = because(measure, bad, (bad_end, bad.ends[0].part), (good_end, good.ends[0].part));
    let share = share(&entries[worse].assessment.root, &bad.id);
    Some(Reason {
        worse,
        better,
        read: [read(good), read(bad)],
        because,
        worth: share.map(|share| &share * &(least - most)),
    })
}

/// What was read at both ends of the verdict.
fn read(node: &Graded) -> String {
    match [&node.ends[0].said, &node.ends[1].said] {
        [low, high] if low == high || high.is_empty() => low.clone(),
        [low, high] if low.is_empty() => high.clone(),
        [low, high] => match (unit(low), unit(high)) {
            (Some(a), Some(b)) if alike(a, b) => format!("{} to {high}", low.strip_suffix(a).unwrap_or(low).trim_end()),
            _ => format!("{low} to {high}"),
        },
    }
}

/// What stands behind the figures of `3 steps` or `2 to 3 steps`; `None` where there is no figure first.
fn unit(text: &str) -> Option<&str> {
    let rest = text.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    let rest = (rest.len() < text.len()).then_some(rest)?.trim_start();
    match rest.strip_prefix("to ") {
        Some(more) => unit(more),
        None => Some(rest),
    }
}

/// One unit, singular or plural.
fn alike(one: &str, other: &str) -> bool {
    one.trim_end_matches('s') == other.trim_end_matches('s')
}

/// The part of the verdict a node makes up at its low end; limits are left aside. `None` where no share can be told.
fn share(root: &Graded, id: &str) -> Option<Exact> {
    if root.id == id {
        return Some(Exact::one());
    }
    let there = |c: &&Graded| c.ends[0].points.is_some();
    let GradedKind::Group(how) = &root.kind else { return None };
    match how {
        Combine::Mean => {
            let whole: Exact = root.children.iter().filter(there).map(|c| c.weight.clone()).sum();
            root.children.iter().filter(there).find_map(|c| Some(&share(c, id)? * &c.weight.checked_div(&whole)?))
        }
        Combine::Sum => root.children.iter().filter(there).find_map(|c| Some(&share(c, id)? * &c.weight)),
        Combine::Cap => share(root.children.first()?, id),
        _ => None,
    }
}

type OnRoute<'a> = (&'a Completion, Option<u32>);

/// What the worse device has that gives it fewer points.
fn because(measure: &Measure, bad: &Graded, worse: OnRoute<'_>, better: OnRoute<'_>) -> Vec<String> {
    if !measure.on_route() {
        return Vec::new();
    }
    let route = |(completion, part): OnRoute<'_>| part.and_then(|p| completion.evaluated.routes.get(&p).cloned());
    let Some(found) = route(worse) else { return Vec::new() };
    match (found.reach, measure) {
        (Reach::No, _) => vec!["no way to it".to_owned()],
        (Reach::Damage, _) => vec!["only by damage".to_owned()],
        (Reach::Yes, Measure::Depth | Measure::PartsInTheWay | Measure::Adhesives) => {
            on_the_way((worse.0, &found), (better.0, route(better).as_ref()))
        }
        // One place of the record decided it.
        (Reach::Yes, _) => bad.ends[0].evidence.first().map(|e| e.text.clone()).into_iter().collect(),
    }
}

/// What the longer way has that the shorter one lacks.
fn on_the_way(bad: (&Completion, &PartRoute), good: (&Completion, Option<&PartRoute>)) -> Vec<String> {
    let good = good.1.map(|route| (good.0, route));
    let mut out = Vec::new();
    let glued = glued(bad.0, bad.1);
    if good.is_none_or(|g| g.1.route.adhesives.len() < bad.1.route.adhesives.len()) && !glued.is_empty() {
        out.push(format!("glued {}", few_of(&glued)));
    }
    let tools = |(completion, route): (&Completion, &PartRoute)| -> usize {
        let used: BTreeSet<usize> = route
            .taken
            .iter()
            .flat_map(|(a, ways)| completion.device.actions[*a].operations.iter().zip(ways))
            .flat_map(|(operation, &way)| operation[way].iter().copied())
            .collect();
        used.len()
    };
    let (many, few) = (tools(bad), good.map_or(0, tools));
    if many > few {
        out.push(count(many, "tool"));
    }
    if bad.1.in_the_way > good.map_or(0, |g| g.1.in_the_way) {
        out.push(format!("{} in the way", count(bad.1.in_the_way as usize, "part")));
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

/// `back and display`, `back, display and 3 more`.
fn few_of(names: &[String]) -> String {
    match names.len().checked_sub(NAMED) {
        Some(more) if more > 1 => format!("{} and {more} more", names[..NAMED].join(", ")),
        _ => names.join(" and "),
    }
}

fn count(n: usize, what: &str) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    let number = WORDS.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned());
    if n == 1 { format!("{number} {what}") } else { format!("{number} {what}s") }
}
