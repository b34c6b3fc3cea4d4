//! The compact data block that HTML and Markdown reports carry for `verify`.

use serde::{Deserialize, Serialize};

use crate::view::View;
use crate::view::types::Node;

/// What a report claims, small enough to sit inside it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Claim {
    /// Version of this block.
    pub unfasten: u32,
    /// Program and version.
    pub program: String,
    /// Device.
    pub device: String,
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
    /// Every node that is not left out, those whose ids begin alike together: beginning, then the rest of each id and its
    /// exact range (`3/2`, or `1..3/2`).
    pub nodes: Vec<(String, Vec<(String, String)>)>,
}

impl Claim {
    /// What a view claims.
    pub fn of(view: &View) -> Self {
        let assessments = view
            .assessments
            .iter()
            .map(|a| {
                let mut nodes = Vec::new();
                flatten(&a.root, &mut nodes);
                let nodes = begin_alike(nodes);
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
            assessments,
            actions: all,
            routes,
        }
    }
}

/// Neighbours whose ids are the same up to the last `/`, together.
fn begin_alike(nodes: Vec<(String, String)>) -> Vec<(String, Vec<(String, String)>)> {
    let mut out: Vec<(String, Vec<(String, String)>)> = Vec::new();
    for (id, range) in nodes {
        let (beginning, rest) = id.split_at(id.rfind('/').map_or(0, |at| at + 1));
        match out.last_mut().filter(|(b, _)| b == beginning) {
            Some((_, list)) => list.push((rest.to_owned(), range)),
            None => out.push((beginning.to_owned(), vec![(rest.to_owned(), range)])),
        }
    }
    out
}

impl ClaimedVerdict {
    /// Nodes by their whole id.
    pub fn ranges(&self) -> Vec<(String, &str)> {
        self.nodes.iter().flat_map(|(b, list)| list.iter().map(move |(r, v)| (format!("{b}{r}"), v.as_str()))).collect()
    }
}

impl Claim {
    /// Routes with the names of their actions.
    pub fn told(&self) -> Vec<(&str, &str, Vec<&str>)> {
        let name = |a: &usize| self.actions.get(*a).map_or("", String::as_str);
        self.routes.iter().map(|(t, s, a)| (t.as_str(), s.as_str(), a.iter().map(name).collect())).collect()
    }
}

fn flatten(node: &Node, out: &mut Vec<(String, String)>) {
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
