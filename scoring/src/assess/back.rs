//! The way back: a route reversed, with what it needs, what was lost on it, and what happens when something is skipped.

use super::evidence::Witness;
use super::outcome::PartRoute;
use crate::record::{Action, Known, Loosened};
use crate::route::Thing;
use crate::text::Span;
use crate::vocab::Kind;
use std::collections::BTreeSet;

/// The way back from a route.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Back {
    /// The actions undone, last first.
    pub lines: Vec<BackLine>,
    /// Actions that exist only on the way back, in record order; where they belong is for their notes to say.
    pub only_back: Vec<BackLine>,
}

/// One action of the way back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BackLine {
    /// Id of the action.
    pub action: String,
    /// What is done: `put back glass back`.
    pub what: String,
    /// It takes back what made the device safe: from here on it may be live.
    pub live: bool,
    /// Tools, as on the way in.
    pub tools: String,
    /// Fasteners to close again.
    pub fasten: Vec<String>,
    /// Fasteners that don't serve again, and what that means.
    pub lost: Vec<String>,
    /// To buy.
    pub buy: Vec<String>,
    /// To take care of.
    pub care: Vec<String>,
    /// To check.
    pub check: Vec<String>,
    /// What happens if it is skipped.
    pub if_skipped: Vec<String>,
    /// Parts that were destroyed.
    pub destroyed: Vec<String>,
    /// Hazards of the action, by name.
    pub hazards: Vec<String>,
    /// Minutes nobody works.
    pub wait: Option<String>,
    /// Needs on the way back, for actions that exist only there.
    pub note: Option<String>,
    /// Where it stands.
    pub span: Option<Span>,
}

/// The way back from a route in one completion.
///
/// What makes the device safe is taken back as late as the needs on the way in allow.
pub fn back(witness: &Witness<'_>, route: &PartRoute) -> Back {
    let order = safe_early(witness, route);
    let lines = order.iter().rev().map(|&action| undone(witness, action)).collect();
    let only_back = witness.record.back.iter().map(only).collect();
    Back { lines, only_back }
}

/// The route with everything that makes safe as early as its needs allow. Doing a thing earlier takes nothing away from the
/// others, so the order stays one that can be performed.
fn safe_early(witness: &Witness<'_>, route: &PartRoute) -> Vec<usize> {
    let device = witness.device;
    let written = |a: usize| device.actions[a].written.map(|w| &witness.record.actions[w]);
    let safe = |a: usize| written(a).is_some_and(|w| w.makes_safe || w.safe_together);
    let mut left: Vec<usize> = route.taken.iter().map(|(a, _)| *a).collect();
    let mut off: BTreeSet<Thing> = BTreeSet::new();
    let mut order = Vec::new();
    while !left.is_empty() {
        let holds = |a: usize| device.actions[a].after.iter().all(|n| n.holds(&|t| off.contains(&t)));
        let next = left.iter().position(|&a| safe(a) && holds(a)).unwrap_or(0);
        let action = left.remove(next);
        off.extend(&device.actions[action].frees);
        off.extend(device.actions[action].does);
        order.push(action);
    }
    order
}

fn undone(witness: &Witness<'_>, action: usize) -> BackLine {
    let complete = &witness.device.actions[action];
    let names: Vec<&str> = complete.frees.iter().map(|&t| witness.device.things[t as usize].as_str()).collect();
    let what = match complete.does {
        Some(_) => format!("undo `{}`", witness.what(action)),
        None => format!("put {} back", names.join(" and ")),
    };
    let destroyed = complete.destroys.iter().map(|&t| witness.device.things[t as usize].clone()).collect();
    let tools = witness.tool_words(action);
    let Some(written) = complete.written.map(|w| &witness.record.actions[w]) else {
        return BackLine { destroyed, ..blank(&witness.what(action), what, tools) };
    };
    let mut hazards: Vec<String> = written.hazards.iter().map(|h| h.value.clone()).collect();
    for part in witness.record.parts.iter().filter(|p| written.names().contains(&p.name.value.as_str())) {
        hazards.extend(part.hazards.iter().map(|h| h.value.clone()));
    }
    let mut seen = BTreeSet::new();
    hazards.retain(|h| seen.insert(h.clone()));
    BackLine {
        live: written.makes_safe || written.safe_together,
        fasten: written.loosen.iter().map(counted).collect(),
        lost: written.loosen.iter().filter_map(lost).collect(),
        destroyed,
        hazards,
        ..line(written, what, tools)
    }
}

/// An action of the way back alone.
fn only(action: &Action) -> BackLine {
    let what = action.names().join(" and ");
    BackLine {
        wait: action.wait.as_ref().map(|w| w.value.0.plain()),
        hazards: action.hazards.iter().map(|h| h.value.clone()).collect(),
        ..line(action, what, String::new())
    }
}

fn line(action: &Action, what: String, tools: String) -> BackLine {
    let refit = &action.refit.value;
    BackLine {
        buy: refit.buy.to_vec(),
        care: refit.care.to_vec(),
        check: refit.check.to_vec(),
        if_skipped: refit.if_skipped.to_vec(),
        note: action.margin.note.clone(),
        span: Some(action.span),
        ..blank(&action.id, what, tools)
    }
}

fn blank(id: &str, what: String, tools: String) -> BackLine {
    BackLine {
        action: id.to_owned(),
        what,
        live: false,
        tools,
        fasten: Vec::new(),
        lost: Vec::new(),
        buy: Vec::new(),
        care: Vec::new(),
        check: Vec::new(),
        if_skipped: Vec::new(),
        destroyed: Vec::new(),
        hazards: Vec::new(),
        wait: None,
        note: None,
        span: None,
    }
}

fn counted(loosened: &Loosened) -> String {
    match loosened.count.settled().map(crate::exact::Exact::plain) {
        Some(n) if n != "1" => format!("{n} x {}", loosened.text),
        _ => loosened.text.clone(),
    }
}

/// What a fastener kind means for the way back; nothing for one that serves again.
fn lost(loosened: &Loosened) -> Option<String> {
    let means = match &loosened.kind.known {
        Known::Is(Kind::Reusable) => return None,
        Known::Is(Kind::Resupplied) => "does not serve again; a new one comes with the spare part".to_owned(),
        Known::Is(Kind::ResuppliedAtCost) => {
            "does not serve again; a new one comes with the spare part, at a cost of its own".to_owned()
        }
        Known::Is(Kind::Removable) => "comes off without harm and does not serve again; get a new one".to_owned(),
        Known::Is(Kind::Neither) => "is lost and may leave harm or residue; no new one comes with the part".to_owned(),
        Known::OneOf(kinds) => {
            let words: Vec<String> = kinds.iter().map(ToString::to_string).collect();
            format!("{}, not established which; plan for a new one", words.join(" or "))
        }
        Known::Between(..) | Known::Unknown => {
            "whether it serves again was not established; plan for a new one".to_owned()
        }
    };
    Some(format!("{}: {means}", loosened.text))
}
