//! Limiting factors that hold devices below their criteria: all that bind, at both ends.

use scoring::exact::Exact;
use scoring::method::Combine;
use scoring::range::{Assessment, Graded, GradedKind};

use super::Compared;
use crate::clean::line;
use crate::plural::list;
use crate::words::{both_ends, compare as say, end};

/// What holds one verdict at one of its ends.
#[derive(PartialEq, Eq)]
struct Held {
    /// The verdict there, as shown.
    at: String,
    /// Limits as low as the verdict, each with the part that decides and what was read of it.
    by: Vec<String>,
    /// The next limit and where it would hold the verdict, as shown, where these alone were lifted.
    then: Option<[String; 2]>,
}

/// What holds a device's verdict below its criteria, for each that is held; a line for each end, one for both where they
/// are alike.
pub fn held(c: &Compared<'_>) -> Vec<String> {
    c.assessments.iter().zip(&c.ranking.names).flat_map(|(a, name)| of_device(a, &line(name))).collect()
}

fn of_device(a: &Assessment, name: &str) -> Vec<String> {
    let Some((first, limits)) = capped(&a.root) else { return Vec::new() };
    let ends = [0, 1].map(|e| of_end(a, first, limits, e));
    let free = [0, 1].map(|e| {
        let value = if e == 0 { first.low.as_ref() } else { first.high.as_ref() };
        let shown = value.map_or_else(String::new, |v| a.show(v));
        say::free_of_limits(&shown, first.attained[e], e == 1)
    });
    let told = |held: &Held, label: &str, free: &str| {
        line(&say::held(name, label, [&held.at, free], &held.by, held.then.as_ref()))
    };
    match &ends {
        [Some(low), Some(high)] if low == high => {
            let free = if free[0] == free[1] { free[0].clone() } else { say::from_to([&free[0], &free[1]]) };
            vec![told(low, both_ends(a.attained), &free)]
        }
        _ => {
            let each = ends.iter().zip(&free).enumerate();
            each.filter_map(|(e, (held, free))| Some(told(held.as_ref()?, end(a.attained[e], e == 1), free))).collect()
        }
    }
}

/// The criteria and the limits upon them: at the root, or further down where all above is one of one.
fn capped(root: &Graded) -> Option<(&Graded, &[Graded])> {
    let mut node = root;
    loop {
        let (first, rest) = node.children.split_first()?;
        let cap = node.kind == GradedKind::Group(Combine::Cap);
        if cap && [0, 1].iter().any(|&e| node.ends[e].points < first.ends[e].points) {
            return Some((first, rest));
        }
        if !cap && !rest.is_empty() {
            return None;
        }
        node = first;
    }
}

fn of_end(a: &Assessment, first: &Graded, limits: &[Graded], e: usize) -> Option<Held> {
    let at = |n: &Graded| n.ends[e].points.clone();
    let free = at(first)?;
    let lowest = limits.iter().filter_map(at).min().filter(|l| *l < free)?;
    let binds = |n: &&Graded| at(n).as_ref() == Some(&lowest);
    let by = limits.iter().filter(binds).map(|l| decider(l, &lowest, e)).collect();
    let next = limits.iter().filter(|l| !binds(l)).filter_map(|l| Some((at(l)?, l)));
    let then = next.filter(|(points, _)| *points < free).min_by(|a, b| a.0.cmp(&b.0));
    Some(Held { at: a.show(&lowest), by, then: then.map(|(points, l)| [line(&l.title), a.show(&points)]) })
}

/// A limit with the parts that decide it and what was read of them.
fn decider(limit: &Graded, lowest: &Exact, e: usize) -> String {
    let decide: Vec<&Graded> = limit
        .walk()
        .into_iter()
        .filter(|n| n.children.is_empty() && n.ends[e].points.as_ref() == Some(lowest))
        .collect();
    let roles: Vec<String> = decide.iter().filter_map(|n| n.role.clone()).collect();
    let read: &str = decide.first().map_or("", |n| &n.ends[e].said);
    let part = if roles.is_empty() { String::new() } else { format!(", {}", list(&roles)) };
    format!("{}{part} ({read})", limit.title)
}
