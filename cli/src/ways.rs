//! The reference route to any part, with the range of its steps over everything nobody established.
//!
//! The question "how many steps" is put to the library as a method of one criterion, so that ranges, certificates and
//! the completions at both ends come from the same machinery as every verdict.


use scoring::assess::PartRoute;
use scoring::assess::evidence::Witness;
use scoring::assess::ledger::{LedgerLine, ledger};
use scoring::exact::Exact;
use scoring::method::{Applies, Cited, Combine, Measure, Method, Node, NodeKind, PartSet, Points, Reading, Roles, Rule};
use scoring::range::{Assessment, Completion, Effort};
use scoring::record::{Aim, Fact, Known, Margin, Part, Record, Role};
use scoring::text::{Spanned, fold};

use crate::failure::Failure;
use crate::job::nearest;

/// Steps beyond which the range is cut: no route of a record that can be read has more.
const MOST: i64 = 1_000_000;
/// The one role of the one criterion; in no vocabulary.
const TARGET: &str = "target of the route";

/// A part and the ways to it.
pub(crate) struct Ways {
    /// The part.
    pub(crate) part: String,
    /// Roles it fills.
    pub(crate) roles: Vec<String>,
    /// Fewest and most steps over all completions; `None`: can't be reached without damage there.
    pub(crate) steps: [Option<u32>; 2],
    /// No completion counts fewer than this.
    pub(crate) at_least: u32,
    /// The numbers are proved: routes shortest, and both ends of the range attained.
    pub(crate) proved: bool,
    /// Questions that bear on it.
    pub(crate) questions: Vec<scoring::range::Unknown>,
    /// At the fewest and at the most steps.
    pub(crate) ends: [End; 2],
}

/// The route in one completion.
pub(crate) struct End {
    /// Everything read on the route.
    pub(crate) route: PartRoute,
    /// Its ledger.
    pub(crate) lines: Vec<LedgerLine>,
    /// Answers it supposes: question path and answer.
    pub(crate) supposes: Vec<(String, String)>,
}

/// The ways to a part, under the step rule of a method.
pub(crate) fn to(record: &Record, part: &str, method: &Method, effort: Effort) -> Result<Ways, Failure> {
    let (probe, roles) = aimed(record, part);
    let asked = Assessment::new(&probe, &question(method), effort);
    let steps = |value: &Option<Exact>| -> Option<u32> {
        let value = &Exact::zero() - value.as_ref()?;
        value.plain().parse().ok().filter(|n: &u32| i64::from(*n) < MOST)
    };
    // Fewer steps are more points: the high end has the fewest.
    let [most, fewest] = &asked.ends;
    let end = |completion: &Completion| -> Result<End, Failure> {
        let route = completion.evaluated.routes.values().next();
        let route = route.ok_or_else(|| Failure::Failed(format!("no route was worked out to `{part}`")))?.clone();
        let lines = ledger(&Witness { record: &probe, device: &completion.device }, &route);
        Ok(End { route, lines, supposes: completion.answers.clone() })
    };
    let [fewest, most] = [end(fewest)?, end(most)?];
    Ok(    Ways {
        part: part.to_owned(),
        roles,
        steps: [steps(&asked.root.high), steps(&asked.root.low)],
        at_least: fewest.route.at_least,
        proved: asked.root.exact && [&fewest, &most].iter().all(|e| e.route.steps == e.route.at_least),
        questions: asked.unknowns,
        ends: [fewest, most],
    })
}

/// Parts by name or role; all of them, declared ones first, where none is named.
pub(crate) fn parts(record: &Record, named: &[String]) -> Result<Vec<String>, Failure> {
    let mut all: Vec<String> = record.parts.iter().map(|p| p.name.value.clone()).collect();
    for action in &record.actions {
        if let Aim::Free(freed) = &action.aim {
            for part in freed {
                if !all.iter().any(|p| fold(p) == fold(&part.value)) {
                    all.push(part.value.clone());
                }
            }
        }
    }
    if named.is_empty() {
        return Ok(all);
    }
    let mut out: Vec<String> = Vec::new();
    for name in named {
        let key = fold(name);
        let mut found: Vec<String> = all.iter().filter(|p| fold(p) == key).cloned().collect();
        if found.is_empty() {
            let fills = |p: &&scoring::record::Part| p.roles.iter().any(|r| fold(&r.value.name) == key);
            found = record.parts.iter().filter(fills).map(|p| p.name.value.clone()).collect();
        }
        if found.is_empty() {
            let mend = match nearest(name, all.iter().map(String::as_str)) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are: {}", all.join(", ")),
            };
            return Err(Failure::wrong(format!("the record has no part or role `{name}`"), mend));
        }
        out.extend(found.into_iter().filter(|f| !out.contains(f)).collect::<Vec<_>>());
    }
    Ok(out)
}

/// The record with one role left, that of the target; and the roles the target really fills.
fn aimed(record: &Record, part: &str) -> (Record, Vec<String>) {
    let mut probe = record.clone();
    let target = |span| Spanned::new(Role { name: TARGET.to_owned(), secondary: false }, span);
    let mut roles = Vec::new();
    let mut declared = false;
    for one in &mut probe.parts {
        let is = fold(&one.name.value) == fold(part);
        if is {
            roles = one.roles.iter().map(|r| r.value.name.clone()).collect();
            declared = true;
        }
        one.roles = if is { vec![target(one.name.span)] } else { Vec::new() };
    }
    if !declared {
        let span = probe.device.name.span;
        let paired = Fact { known: Known::Unknown, span, path: String::new(), basis: None, source: None, stated: false };
        probe.parts.push(Part {
            name: Spanned::new(part.to_owned(), span),
            roles: vec![target(span)],
            not_attempted: None,
            because: None,
            paired,
            hazards: Vec::new(),
            margin: Margin::default(),
        });
    }
    (probe, roles)
}

/// A method that asks for the steps to the target and nothing else: minus one point a step.
fn question(method: &Method) -> Method {
    let mut out = method.clone();
    let rule = &method.steps.rule;
    let cited = |value: Exact| Cited { value, certainty: None, source: None, note: None, span: method.span };
    out.part_sets = vec![PartSet {
        categories: Vec::new(),
        forms: Vec::new(),
        weights: vec![(TARGET.to_owned(), cited(Exact::one()))],
        sum: None,
        own_roles: false,
        rule: rule.clone(),
        span: method.span,
    }];
    let corners = vec![(Exact::zero(), cited(Exact::zero())), (Exact::from(MOST), cited(Exact::from(-MOST)))];
    let kind = NodeKind::Leaf { measure: Measure::Depth, reading: Reading::Route, points: Points::Linear(corners) };
    let leaf = node("steps", rule, kind, method);
    let each = NodeKind::Each { roles: Roles::Priority, how: Combine::Mean, node: Box::new(leaf) };
    out.root = node("route", rule, each, method);
    out.classes = None;
    out.sub_scores = Vec::new();
    out.headline_without_support = None;
    out
}

fn node(id: &str, rule: &Rule, kind: NodeKind, method: &Method) -> Node {
    Node {
        id: id.to_owned(),
        title: id.to_owned(),
        weight: None,
        rule: rule.clone(),
        group: None,
        applies: Applies::default(),
        weights_sum: None,
        kind,
        span: method.span,
    }
}
