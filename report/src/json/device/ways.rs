//! Routes, and the actions they are made of.

use schemars::JsonSchema;
use serde::Serialize;

use super::{Once, no};
use crate::view::types::{self, LedgerRow};

/// An action on a route.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Action {
    /// Id.
    pub id: String,
    /// What is done.
    pub what: String,
    /// Fasteners loosened.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub loosens: String,
    /// Time in the footage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Hazards.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub hazards: String,
    /// Parts it destroys.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub destroys: String,
    /// It makes the device safe to work on.
    #[serde(skip_serializing_if = "no")]
    pub makes_safe: bool,
    /// `file:line:column`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
}

/// A reference route.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReferenceWay {
    /// Target part.
    pub target: String,
    /// In words: `9 steps`, `can't be reached`.
    pub steps: String,
    /// Counted steps.
    pub count: u32,
    /// `proved shortest`, `best found, at least 7`.
    pub certificate: String,
    /// Reached without damage, only by damage, or not at all.
    pub reach: &'static str,
    /// What to know before the first step: hazards on the way, and what makes the device safe.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub first: String,
    /// Its operations in order.
    pub operations: Vec<Operation>,
}

/// One operation on a route.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Operation {
    /// Place of its action in `actions`.
    pub action: usize,
    /// Tools with their settings, `hands` for none.
    pub tools: String,
    /// Steps counted here.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts, or why not.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why: String,
}

pub(super) fn way(r: &types::RouteLedger, actions: &mut Once<Action>) -> ReferenceWay {
    let mut operations: Vec<Operation> = Vec::new();
    for line in &r.lines {
        // Only the first operation of an action says what is done.
        let action = match operations.last() {
            Some(last) if line.what.is_empty() => last.action,
            _ => actions.place(action(line)),
        };
        operations.push(Operation {
            action,
            tools: line.tools.clone(),
            counted: line.counted,
            total: line.total,
            why: line.why.clone(),
        });
    }
    ReferenceWay {
        target: r.target.clone(),
        steps: r.steps.clone(),
        count: r.count,
        certificate: r.certificate.clone(),
        reach: r.reach,
        first: r.first.clone(),
        operations,
    }
}

fn action(line: &LedgerRow) -> Action {
    Action {
        id: line.action.clone(),
        what: line.what.clone(),
        loosens: line.loosens.clone(),
        at: line.at.clone(),
        hazards: line.hazards.clone(),
        destroys: line.destroys.clone(),
        makes_safe: line.makes_safe,
        place: line.place.clone(),
    }
}
