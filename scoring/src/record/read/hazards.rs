//! Hazards that arise whether or not the record names them: heat of a heat source, vapour of a solvent, the cell itself.
//!
//! Somebody may follow what is printed, so what the record's own words give away is shown with the usual caution.

use std::collections::BTreeSet;

use crate::record::{Action, Aim, Known, Part, Tool};
use crate::text::{Spanned, fold};

/// Adds to every action what it implies.
pub(in crate::record) fn imply(actions: &mut [Action], parts: &[Part], tools: &[Tool]) {
    for action in actions {
        let named: BTreeSet<String> = action.hazards.iter().map(|h| canonical(&h.value)).collect();
        let mut implied: Vec<Spanned<String>> = Vec::new();
        for fact in action.with.iter().map(|w| &w.ways) {
            let ways = match &fact.known {
                Known::Is(ways) => std::slice::from_ref(ways),
                Known::OneOf(list) => list.as_slice(),
                Known::Between(..) | Known::Unknown => &[],
            };
            for used in ways.iter().flatten().flat_map(|set| &set.tools) {
                let tool = &tools[used.tool];
                let arise = [(tool.heat, "heat"), (tool.solvent, "solvent")];
                implied.extend(
                    arise.into_iter().filter(|(is, _)| *is).map(|(_, h)| Spanned::new(h.to_owned(), fact.span)),
                );
            }
        }
        let Aim::Free(freed) = &action.aim else {
            add(action, &named, implied);
            continue;
        };
        for part in parts.iter().filter(|p| freed.iter().any(|f| fold(&f.value) == fold(&p.name.value))) {
            let told = part.hazards.iter().any(|h| canonical(&h.value) == "lithium cell");
            if !told && part.roles.iter().any(|r| r.value.name == "battery") {
                implied.push(Spanned::new("lithium cell".to_owned(), part.name.span));
            }
        }
        add(action, &named, implied);
    }
}

fn add(action: &mut Action, named: &BTreeSet<String>, implied: Vec<Spanned<String>>) {
    let mut seen = named.clone();
    action.hazards.extend(implied.into_iter().filter(|h| seen.insert(h.value.clone())));
}

fn canonical(hazard: &str) -> String {
    crate::vocab::hazard(hazard).map_or_else(|| fold(hazard), |h| h.name.clone())
}
