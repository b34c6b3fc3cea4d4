//! The compact data block that HTML and Markdown reports carry for `verify`.

use serde::{Deserialize, Serialize};

use crate::view::View;
use crate::view::types::ReasonedNode;

/// What a report claims, small enough to sit inside it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Claim {
    /// Version of this block.
    pub unfasten: u32,
    /// Program and version.
    pub program: String,
    /// Device.
    pub device: String,
    /// Fingerprint of the earlier record the report says it was corrected from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    /// Ends of ids, in lists that many nodes share.
    pub lists: Vec<Vec<String>>,
    /// One entry for each method.
    pub assessments: Vec<ClaimedVerdict>,
    /// Actions on routes.
    pub actions: Vec<String>,
    /// Routes: target, steps, actions in order by their place in `actions`.
    pub routes: Vec<(String, String, Vec<usize>)>,
}

/// The verdict of one method.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ClaimedVerdict {
    /// Method id.
    pub method: String,
    /// Edition.
    pub edition: String,
    /// Fingerprint.
    pub fingerprint: String,
    /// Low and high end as shown.
    pub shown: [String; 2],
    /// Classes, where the method has them.
    pub classes: [Option<String>; 2],
    /// Every node that is not left out, those whose ids end alike together: beginnings, the place in [`Claim::lists`] of what
    /// follows each of them, and their exact ranges (`3/2`, or `1..3/2`), parted by blanks; `0..1*7` stands for seven.
    pub nodes: Vec<(Vec<String>, usize, String)>,
}

impl Claim {
    /// What a view claims.
    pub fn of(view: &View) -> Self {
        let mut lists: Vec<Vec<String>> = Vec::new();
        let assessments = view
            .assessments
            .iter()
            .map(|a| {
                let mut nodes = Vec::new();
                flatten(&a.root, &mut nodes);
                let nodes = begin_alike(nodes, &mut lists);
                ClaimedVerdict {
                    method: a.method.clone(),
                    edition: a.edition.clone(),
                    fingerprint: a.fingerprint.clone(),
                    shown: [a.low.clone(), a.high.clone()],
                    classes: [a.class_low.clone(), a.class_high.clone()],
                    nodes,
                }
            })
            .collect();
        let mut all: Vec<String> = Vec::new();
        let mut number = |action: &String| {
            all.iter().position(|a| a == action).unwrap_or_else(|| {
                all.push(action.clone());
                all.len() - 1
            })
        };
        let routes = view
            .routes
            .iter()
            .map(|r| {
                let mut actions: Vec<usize> = r.lines.iter().map(|l| number(&l.action)).collect();
                actions.dedup();
                (r.target.clone(), r.steps.clone(), actions)
            })
            .collect();
        Self {
            unfasten: 1,
            program: view.program.clone(),
            device: view.title.clone(),
            before: view.since.as_ref().map(|s| s.fingerprint.clone()),
            lists,
            assessments,
            actions: all,
            routes,
        }
    }
}

/// Nodes whose ids have the same ends, together.
fn begin_alike(nodes: Vec<(String, String)>, lists: &mut Vec<Vec<String>>) -> Vec<(Vec<String>, usize, String)> {
    let mut found: Vec<(String, Vec<String>, Vec<String>)> = Vec::new();
    for (id, range) in nodes {
        let (beginning, rest) = id.split_at(id.rfind('/').map_or(0, |at| at + 1));
        let at = found.iter().position(|(b, ..)| b == beginning).unwrap_or_else(|| {
            found.push((beginning.to_owned(), Vec::new(), Vec::new()));
            found.len() - 1
        });
        found[at].1.push(rest.to_owned());
        found[at].2.push(range);
    }
    let mut out: Vec<(Vec<String>, usize, Vec<String>)> = Vec::new();
    for (beginning, rests, ranges) in found {
        let list = lists.iter().position(|l| *l == rests).unwrap_or_else(|| {
            lists.push(rests);
            lists.len() - 1
        });
        match out.iter_mut().find(|(_, l, _)| *l == list) {
            Some((beginnings, _, all)) => {
                beginnings.push(beginning);
                all.extend(ranges);
            }
            None => out.push((vec![beginning], list, ranges)),
        }
    }
    out.into_iter().map(|(beginnings, list, ranges)| (beginnings, list, runs(&ranges))).collect()
}

/// Ranges parted by blanks, `0..1*7` for seven alike in a row.
fn runs(ranges: &[String]) -> String {
    let runs = ranges.chunk_by(|a, b| a == b);
    let told = runs.map(|run| if run.len() > 1 { format!("{}*{}", run[0], run.len()) } else { run[0].clone() });
    told.collect::<Vec<_>>().join(" ")
}

/// The ranges of [`runs`], at most as many as there are ids for.
fn ranges(runs: &str, most: usize) -> impl Iterator<Item = &str> {
    runs.split(' ')
        .flat_map(move |run| {
            let (range, times) = run.split_once('*').unwrap_or((run, "1"));
            std::iter::repeat_n(range, times.parse::<usize>().unwrap_or(1).min(most))
        })
        .take(most)
}

impl ClaimedVerdict {
    /// Nodes by their whole id; `lists` are those of the claim.
    pub fn ranges<'c>(&'c self, lists: &'c [Vec<String>]) -> Vec<(String, &'c str)> {
        let of = |(beginnings, list, ranges): &'c (Vec<String>, usize, String)| {
            let rests = lists.get(*list).map_or(&[][..], Vec::as_slice);
            let ids = beginnings.iter().flat_map(move |b| rests.iter().map(move |rest| format!("{b}{rest}")));
            ids.zip(self::ranges(ranges, beginnings.len() * rests.len()))
        };
        self.nodes.iter().flat_map(of).collect()
    }
}

impl Claim {
    /// Routes with the names of their actions.
    pub fn told(&self) -> Vec<(&str, &str, Vec<&str>)> {
        let name = |a: &usize| self.actions.get(*a).map_or("", String::as_str);
        self.routes.iter().map(|(t, s, a)| (t.as_str(), s.as_str(), a.iter().map(name).collect())).collect()
    }
}

fn flatten(node: &ReasonedNode, out: &mut Vec<(String, String)>) {
    let range = match (&node.exact_low, &node.exact_high) {
        (Some(l), Some(h)) if l == h => Some(l.clone()),
        (None, None) => None,
        (l, h) => Some(format!("{}..{}", l.as_deref().unwrap_or(""), h.as_deref().unwrap_or(""))),
    };
    out.extend(range.map(|r| (node.id.clone(), r)));
    node.children.iter().for_each(|c| flatten(c, out));
}

/// The block as JSON that can stand in a script element or a comment: `<`, `>`, `&` and doubled hyphens are escaped.
pub fn block(view: &View) -> String {
    let json = serde_json::to_string(&Claim::of(view)).unwrap_or_default();
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        // Two hyphens would end a comment; none of these occurs outside strings.
        if matches!(c, '<' | '>' | '&') || c == '-' && out.ends_with('-') {
            out.push_str(&format!("\\u{:04x}", u32::from(c)));
            continue;
        }
        out.push(c);
    }
    out
}
