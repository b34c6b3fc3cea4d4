//! Nodes of a verdict, with what stands behind each.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Once, more, no};
use crate::view::types;

/// A scored node.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TreeNode {
    /// Unique in the assessment: `S_F/battery`.
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// `product-related` or `support-related`; left out where it is that of the node above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<&'static str>,
    /// Weight in the node above; left out: 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weight: Option<String>,
    /// Low end as shown; left out: nothing is scored there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<String>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<String>,
    /// Low end as a fraction, where it is not exactly what is shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_low: Option<String>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_high: Option<String>,
    /// The low end is a bound that no completion is known to have.
    #[serde(skip_serializing_if = "no")]
    pub bound_low: bool,
    /// The high end likewise.
    #[serde(skip_serializing_if = "no")]
    pub bound_high: bool,
    /// Place of its rule in `rules`.
    pub rule: usize,
    /// Numbers of the unknowns that bear on it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unknowns: Vec<usize>,
    /// One entry where both ends of the verdict rest on the same, else two.
    pub ends: Vec<End>,
    /// How its children make it: `(2 × 10.00 + 1 × 5.00) / 3 = 8.33`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub how: String,
    /// What it is made of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub children: Vec<TreeNode>,
}

/// A node at one end of the verdict, or at both.
#[derive(Debug, Serialize, JsonSchema)]
pub struct End {
    /// `low` or `high`; left out: both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end: Option<&'static str>,
    /// The end of the verdict is a bound, and what stands here is of a completion that was tried: how it is called.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tried: Option<&'static str>,
    /// Points as shown, where they are not the end of the node itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<String>,
    /// What was read, in words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub said: String,
    /// Note of the row that gave the points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// How far it is to the rows beside it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub margins: Vec<Margin>,
    /// Id of the child that decided.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decided: Option<String>,
    /// Places in `evidence`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<usize>,
    /// Place in `routes` of the route it was read on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub route: Option<usize>,
}

/// How far a value is from the row beside it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Margin {
    /// By how much the value would have to change.
    pub by: String,
    /// Its unit.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub unit: &'static str,
    /// `more`, `less` or `fewer`.
    pub way: &'static str,
    /// Points there as shown.
    pub points: String,
}

/// A rule, what it reads, and how that becomes points.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Rule {
    /// In plain words.
    pub text: String,
    /// The measure read, or how the children are combined.
    pub kind: String,
    /// `up to 2: 10; up to 4: 8; more: 0`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub table: String,
    /// Clause of the source.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub clause: String,
    /// Where it comes from.
    pub source: String,
    /// How sure that is.
    pub certainty: String,
    /// The open reading it depends on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub switch: Option<String>,
}

/// A place of the record that decided something.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Evidence {
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// The line, shortened.
    pub excerpt: String,
    /// What it says, in words.
    pub text: String,
    /// Time in the footage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Where the fact comes from: `seen`, `told`, `stated`, `planned`, `drafted`, `assumed`.
    pub basis: String,
    /// Source, where stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// What nodes refer to.
pub(super) struct Shared {
    pub(super) rules: Once<Rule>,
    pub(super) evidence: Once<Evidence>,
}

pub(super) fn node(n: &types::ReasonedNode, above: Option<&'static str>, shared: &mut Shared) -> TreeNode {
    let rule = Rule {
        text: n.rule.text.clone(),
        kind: n.kind.clone(),
        table: n.table.clone(),
        clause: n.rule.clause.clone(),
        source: n.rule.source.clone(),
        certainty: n.rule.certainty.clone(),
        switch: n.rule.switch.clone(),
    };
    TreeNode {
        id: n.id.clone(),
        title: n.title.clone(),
        role: n.role.clone(),
        group: n.group.filter(|g| Some(*g) != above),
        weight: Some(n.weight.clone()).filter(|w| w != "1"),
        low: n.low.clone(),
        high: n.high.clone(),
        exact_low: more(n.exact_low.as_ref(), n.low.as_ref()),
        exact_high: more(n.exact_high.as_ref(), n.high.as_ref()),
        bound_low: !n.attained_low,
        bound_high: !n.attained_high,
        rule: shared.rules.place(rule),
        unknowns: n.unknowns.clone(),
        ends: n.ends.iter().map(|e| end(e, n, shared)).collect(),
        how: n.how.clone(),
        children: n.children.iter().map(|c| node(c, n.group, shared)).collect(),
    }
}

fn end(e: &types::End, n: &types::ReasonedNode, shared: &mut Shared) -> End {
    let own = match e.end {
        "low" => e.points == n.low,
        "high" => e.points == n.high,
        _ => e.points == n.low && e.points == n.high,
    };
    let evidence = |v: &types::Evidence| Evidence {
        path: v.path.clone(),
        place: v.place.clone(),
        excerpt: v.excerpt.clone(),
        text: v.text.clone(),
        at: v.at.clone(),
        basis: v.basis.clone(),
        source: v.source.clone(),
    };
    let margin = |m: &types::Margin| Margin { by: m.by.clone(), unit: m.unit, way: m.way, points: m.points.clone() };
    End {
        end: Some(e.end).filter(|e| *e != "both"),
        tried: Some(e.label).filter(|_| !e.attained),
        points: e.points.clone().filter(|_| !own),
        said: e.said.clone(),
        note: e.note.clone(),
        margins: e.margins.iter().map(margin).collect(),
        decided: e.decided.clone(),
        evidence: e.evidence.iter().map(|v| shared.evidence.place(evidence(v))).collect(),
        route: e.route,
    }
}
