//! A route as a ledger: left what is done on the bench, right what the rule counts, with a running total.

use super::evidence::Witness;
use super::outcome::PartRoute;
use crate::exact::Exact;
use crate::record::Moment;
use crate::record::complete::{Complete, open_count};
use crate::route::Step;
use crate::text::Span;

/// One line of a ledger: one operation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerLine {
    /// Id of the action (`base ring`), as the record has it; what it stands for where nobody wrote it down; empty on the line of
    /// remote authorisation, which is no action of the route.
    pub action: String,
    /// What is done, on the first line of an action (`free base ring`); empty on its further operations.
    pub what: String,
    /// Tools of this operation at once, none for bare hands; `None` where nothing is done.
    pub tools: Option<Vec<InUse>>,
    /// Fasteners loosened, on the first line of an action.
    pub loosens: Vec<String>,
    /// Footage, seconds from and to, on the first line of an action.
    pub at: Option<Moment>,
    /// Hazards of the action and of the parts it frees, by name.
    pub hazards: Vec<String>,
    /// Makes the device safe to work on.
    pub makes_safe: bool,
    /// Parts this destroys, on the first line of an action.
    pub destroys: Vec<String>,
    /// Steps this operation counts; where nobody wrote down how much work it is, those that are known.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts, in the order it does: see [`reasons`].
    pub why: Vec<&'static str>,
    /// It ends a step.
    pub ends: bool,
    /// A change that costs nothing because a step had ended.
    pub coincides: bool,
    /// Where the action stands in the record; `None` where nobody wrote it down.
    pub span: Option<Span>,
}

/// A tool in use in one operation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InUse {
    /// What it is called, without its settings.
    pub name: String,
    /// Temperature it is set to, °C, where the record says so.
    pub celsius: Option<u32>,
    /// How long it is used, minutes, where the record says so.
    pub minutes: Option<Exact>,
    /// Stands for any tools, used any number of times: nobody wrote down which.
    pub any: bool,
}

impl InUse {
    /// The tool with its settings: `heat pad 70 °C 4 min`.
    pub fn set(&self) -> String {
        let mut text = self.name.clone();
        if let Some(c) = self.celsius {
            text.push_str(&format!(" {c} °C"));
        }
        if let Some(m) = &self.minutes {
            text.push_str(&format!(" {} min", m.plain()));
        }
        text
    }
}

impl LedgerLine {
    /// Tools of this operation with their settings (`heat pad 70 °C 4 min`), `hands` for none; empty where nothing is done.
    pub fn tools_said(&self) -> String {
        match self.tools.as_deref() {
            None => String::new(),
            Some([]) => "hands".to_owned(),
            Some(list) => list.iter().map(InUse::set).collect::<Vec<_>>().join(" + "),
        }
    }
}

/// The ledger of a route.
pub fn ledger(witness: &Witness<'_>, route: &PartRoute) -> Vec<LedgerLine> {
    // Where several actions make it safe only together, the last of them does, if the route has them all.
    let mut missing: Vec<&str> = witness.record.actions.iter().filter(|a| a.safe_together).map(|a| &*a.id).collect();
    let mut together: Option<String> = None;
    for step in &route.ledger {
        let written = witness.device.actions[step.action].written.map(|w| &witness.record.actions[w]);
        let Some(action) = written.filter(|a| missing.contains(&&*a.id)) else { continue };
        missing.retain(|id| *id != action.id);
        if missing.is_empty() {
            together = Some(action.id.clone());
        }
    }
    let lines = route.ledger.iter().map(|step| {
        let complete = &witness.device.actions[step.action];
        let written = complete.written.map(|w| &witness.record.actions[w]);
        let first = step.operation == 0;
        let mut hazards: Vec<String> = Vec::new();
        if let (Some(action), true) = (written, first) {
            hazards.extend(action.hazards.iter().map(|h| h.value.clone()));
            for name in action.names() {
                let part = witness.record.parts.iter().find(|p| p.name.value == name);
                hazards.extend(part.into_iter().flat_map(|p| &p.hazards).map(|h| h.value.clone()));
            }
            hazards.dedup();
        }
        let loosens = written.filter(|_| first).map_or_else(Vec::new, |a| {
            a.loosen
                .iter()
                .map(|l| match l.count.settled().map(Exact::plain) {
                    Some(n) if n != "1" => format!("{n} x {}", l.text),
                    _ => l.text.clone(),
                })
                .collect()
        });
        LedgerLine {
            action: written.map_or_else(|| witness.what(step.action), |a| a.id.clone()),
            what: if first { witness.what(step.action) } else { String::new() },
            tools: Some(tools(witness, step.action, step.operation, step.way)),
            loosens,
            at: written.filter(|_| first).and_then(|a| a.at.as_ref().map(|t| t.value)),
            hazards,
            destroys: complete
                .destroys
                .iter()
                .filter(|_| first)
                .map(|&t| witness.device.things[t as usize].clone())
                .collect(),
            makes_safe: first && written.is_some_and(|a| a.makes_safe || together.as_deref() == Some(&*a.id)),
            counted: open_count(step.counted).0,
            total: open_count(step.total).0,
            why: reasons(witness.device, step),
            ends: step.ends,
            coincides: step.change && step.coincides,
            span: written.map(|a| a.span),
        }
    });
    lines.chain(authorised(witness, route)).collect()
}

/// The line of what the method adds because a new part needs remote authorisation.
fn authorised(witness: &Witness<'_>, route: &PartRoute) -> Option<LedgerLine> {
    let counted = Some(route.authorisation).filter(|n| *n > 0)?;
    let name = witness.device.things.get(route.thing as usize)?;
    let part = witness.record.parts.iter().find(|p| p.name.value == *name);
    Some(LedgerLine {
        action: String::new(),
        what: format!("have a new {name} authorised remotely"),
        tools: None,
        loosens: Vec::new(),
        at: None,
        hazards: Vec::new(),
        makes_safe: false,
        destroys: Vec::new(),
        counted,
        total: open_count(route.steps).0,
        why: vec!["remote authorisation"],
        ends: false,
        coincides: false,
        span: part.filter(|p| p.paired.stated).map(|p| p.paired.span),
    })
}

/// The tools of one operation; `None` for bare hands that the step rule reads after the last operation of the record.
pub fn used(device: &Complete, action: usize, operation: usize, way: usize) -> Option<&[usize]> {
    device.actions[action].operations.get(operation)?.get(way).map(Vec::as_slice)
}

/// Why an operation counts: a change of tool, tools at once, what ended a step, work nobody knows; empty where it doesn't.
pub fn reasons(device: &Complete, step: &Step) -> Vec<&'static str> {
    let action = &device.actions[step.action];
    let mut why = Vec::new();
    if step.change && !step.coincides {
        why.push("change of tool");
    }
    // Short, since a terminal has 16 columns for a reason beside the numbers.
    match step.at_once {
        0 => {}
        1 => why.push("2 tools at once"),
        2 => why.push("3 tools at once"),
        _ => why.push("more at once"),
    }
    if step.ends {
        let tools = used(device, step.action, step.operation, step.way).unwrap_or_default();
        why.push(match (step.removal, step.aside) {
            (true, _) => "removal",
            (_, true) => "laid aside",
            _ if !tools.is_empty() && tools.iter().all(|&t| device.tools[t].heat) => "heating",
            _ if action.cleans => "cleaning",
            _ => "mains unplugged",
        });
    }
    if step.own > 0 {
        why.push("unknown work");
    }
    why
}

/// Tools of one operation, with settings where the record states them.
fn tools(witness: &Witness<'_>, action: usize, operation: usize, way: usize) -> Vec<InUse> {
    let set = used(witness.device, action, operation, way).unwrap_or_default();
    let written = witness.device.actions[action].written.map(|w| &witness.record.actions[w]);
    let uses =
        written.and_then(|a| a.with.get(operation)).and_then(|w| w.ways.settled()).and_then(|ways| ways.get(way));
    let in_use = |&t: &usize| {
        let tool = &witness.device.tools[t];
        let used = uses.and_then(|u| u.tools.iter().find(|x| x.tool == t));
        InUse {
            name: tool.name.to_string(),
            celsius: used.and_then(|u| u.celsius),
            minutes: used.and_then(|u| u.minutes.clone()),
            any: tool.many,
        }
    };
    set.iter().map(in_use).collect()
}
