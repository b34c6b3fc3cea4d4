//! Whether the rule of a method binds the device of a record, and on what a legal verdict rests that nobody saw.

use super::assessment::{Assessment, Graded};
use crate::method::{Method, Rule, Standing};
use crate::record::written::Date;
use crate::record::{Known, Record};
use crate::text::{Day, Span};
use crate::vocab::{Basis, Certainty};

/// Whether the rule binds the device, as far as `on market` of the record tells.
pub fn binding(method: &Method, record: &Record) -> Standing {
    let day = |date: &Date| Day::parse(date).ok();
    let (earliest, latest) = match &record.device.on_market.known {
        Known::Is(on) => (day(on), day(on)),
        Known::OneOf(days) => (days.iter().filter_map(day).min(), days.iter().filter_map(day).max()),
        Known::Between(from, to) => (from.as_ref().and_then(day), to.as_ref().and_then(day)),
        Known::Unknown => (None, None),
    };
    method.days.standing(earliest, latest)
}

/// Something a legal verdict rests on that was not seen on this bench or read in the law.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rest {
    /// `open`, `assumed`, `told`, `planned`, `drafted`, or `own reading` of the law.
    pub how: &'static str,
    /// What it is, in words.
    pub text: String,
    /// Where it stands in the record; `None` for a reading.
    pub span: Option<Span>,
}

/// What a verdict of pass or fail rests on beside facts seen or stated and rules read; nothing for methods with points.
///
/// A pass rests on every row, a fail on the rows that are missed; what is not settled rests on what is open, and on what
/// the missed rows rest on.
pub fn rests_on(found: &Assessment) -> Vec<Rest> {
    let mut out = Vec::new();
    if !found.method.scale.verdict {
        return out;
    }
    if found.root.low != found.root.high {
        out.extend(found.unknowns.iter().map(|u| Rest { how: "open", text: u.question.clone(), span: Some(u.span) }));
    }
    let passes = found.root.low.as_ref() == Some(&found.method.scale.high);
    let mut on_route = false;
    leaves(&found.root, passes, &found.method, &mut on_route, &mut out);
    let mut own = |rule: &Rule, text: String| {
        if rule.certainty == Certainty::Own {
            out.push(Rest { how: "own reading", text, span: None });
        }
    };
    if on_route {
        own(&found.method.routes.rule, "which way to a part counts".to_owned());
    }
    if let Some(day) = found.method.days.supplied_from {
        own(&found.method.days.rule, format!("that it binds devices first supplied from {}", day.in_words()));
    }
    let mut seen = std::collections::BTreeSet::new();
    out.retain(|r| seen.insert(r.clone()));
    out
}

fn leaves(node: &Graded, passes: bool, method: &Method, on_route: &mut bool, out: &mut Vec<Rest>) {
    let value = |end: usize| node.ends[end].points.as_ref();
    // Rows that are met say nothing about a verdict that fails.
    if !passes && node.low == node.high && node.low.as_ref().is_some_and(|v| !v.is_zero()) || value(0).is_none() {
        return;
    }
    node.children.iter().for_each(|n| leaves(n, passes, method, on_route, out));
    if !node.children.is_empty() {
        return;
    }
    for fact in &node.ends[0].evidence {
        let how = match fact.basis {
            Basis::Told => "told",
            Basis::Planned => "planned",
            Basis::Assumed => "assumed",
            Basis::Drafted => "drafted",
            Basis::Seen | Basis::Stated => continue,
        };
        out.push(Rest { how, text: fact.text.clone(), span: Some(fact.span) });
    }
    let title = || node.role.as_ref().map_or_else(|| node.title.clone(), |role| format!("{} ({role})", node.title));
    let mut own = |text: String| out.push(Rest { how: "own reading", text, span: None });
    if node.rule.certainty == Certainty::Own {
        own(title());
    }
    node.ends.iter().flat_map(|e| &e.own).for_each(|said| own(format!("{}: {said}", title())));
    let switch = node.rule.switch.as_ref().and_then(|id| method.switches.iter().find(|s| s.id == *id));
    if let Some(switch) = switch.filter(|s| s.rule.certainty == Certainty::Own) {
        own(format!("{} ({})", switch.options[switch.chosen].1, switch.id));
    }
    *on_route |= node.ends.iter().any(|e| e.part.is_some());
}
