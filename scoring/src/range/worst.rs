//! The worst that can be met on a way to a part, whichever way it is and whatever is answered.

use std::collections::{BTreeMap, BTreeSet};

use super::behind::closures;
use super::case::Case;
use super::edit::Edit;
use crate::method::Measure;
use crate::need::Thing;
use crate::vocab::class::Words;

/// Ranks of the worst words that measures can read on any way to a part in any completion.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Worst {
    place: u8,
    skill: u8,
    kind: u8,
    class: u8,
    heat: u8,
}

/// The worst for some parts.
pub(super) fn worst(case: &Case, parts: impl Iterator<Item = Thing>) -> BTreeMap<Thing, Worst> {
    closures(case, parts).into_iter().map(|(part, near)| (part, Worst::new(case, near))).collect()
}

impl Worst {
    fn new(case: &Case, mut near: BTreeSet<usize>) -> Self {
        // The maker's own route takes actions that no other way needs.
        near.extend(&case.base.official);
        let mut out = Self::default();
        let mut tools: BTreeSet<usize> = BTreeSet::new();
        for action in near.iter().map(|&a| &case.base.actions[a]) {
            out.place = out.place.max(action.place.rank());
            out.skill = out.skill.max(action.skill.rank());
            out.kind = action.fasteners.iter().map(|f| f.kind.rank()).fold(out.kind, u8::max);
            tools.extend(action.operations.iter().flatten().flatten());
        }
        let edits = || case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
        for edit in edits() {
            match edit {
                Edit::Place(list, place) if list.iter().any(|a| near.contains(a)) => {
                    out.place = out.place.max(place.rank());
                }
                Edit::Skill(list, skill) if list.iter().any(|a| near.contains(a)) => {
                    out.skill = out.skill.max(skill.rank());
                }
                Edit::Fastener(a, _, kind) if near.contains(a) => out.kind = out.kind.max(kind.rank()),
                Edit::Fasten(a, _, whole) if near.contains(a) => out.kind = out.kind.max(whole.kind.rank()),
                Edit::Ways(a, _, ways) if near.contains(a) => tools.extend(ways.iter().flatten()),
                Edit::Operations(a, list) if near.contains(a) => tools.extend(list.iter().flatten().flatten()),
                _ => {}
            }
        }
        for tool in tools.iter().map(|&t| &case.base.tools[t]) {
            out.class = out.class.max(tool.class.rank());
            out.heat = out.heat.max(u8::from(tool.heat || tool.solvent));
        }
        let answered = edits().filter_map(|edit| match edit {
            Edit::ToolClass(t, class) if tools.contains(t) => Some(class.rank()),
            _ => None,
        });
        out.class = answered.fold(out.class, u8::max);
        out
    }

    /// The rank for a measure; `None` where it reads no words of single actions.
    pub(super) fn of(self, measure: &Measure) -> Option<u8> {
        Some(match measure {
            Measure::Environment => self.place,
            Measure::Skill => self.skill,
            Measure::Fasteners => self.kind,
            Measure::Tools => self.class,
            Measure::HeatOrSolvent => self.heat,
            _ => return None,
        })
    }
}
