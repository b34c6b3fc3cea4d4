//! The worst that can be met on a way to a part, whichever way it is and whatever is answered.

use std::collections::BTreeSet;

use super::behind::closure;
use super::case::Case;
use super::edit::Edit;
use crate::method::Measure;
use crate::need::Thing;
use crate::vocab::class::Words;

/// The rank of the worst word that a measure can read on any way to a part in any completion; `None` where it reads no words of
/// single actions.
pub(super) fn worst(case: &Case, thing: Thing, measure: &Measure) -> Option<u8> {
    let mut near = closure(case, thing);
    // The maker's own route takes actions that no other way needs.
    near.extend(&case.base.official);
    let actions = || near.iter().map(|&a| &case.base.actions[a]);
    let edits = || case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
    let rank = match measure {
        Measure::Environment => {
            let answered = edits().filter_map(|edit| match edit {
                Edit::Place(list, place) if list.iter().any(|a| near.contains(a)) => Some(place.rank()),
                _ => None,
            });
            actions().map(|a| a.place.rank()).chain(answered).max()
        }
        Measure::Skill => {
            let answered = edits().filter_map(|edit| match edit {
                Edit::Skill(list, skill) if list.iter().any(|a| near.contains(a)) => Some(skill.rank()),
                _ => None,
            });
            actions().map(|a| a.skill.rank()).chain(answered).max()
        }
        Measure::Fasteners => {
            let answered = edits().filter_map(|edit| match edit {
                Edit::Fastener(a, _, kind) if near.contains(a) => Some(kind.rank()),
                Edit::Fasten(a, _, whole) if near.contains(a) => Some(whole.kind.rank()),
                _ => None,
            });
            actions().flat_map(|a| &a.fasteners).map(|f| f.kind.rank()).chain(answered).max()
        }
        Measure::Tools | Measure::HeatOrSolvent => {
            let mut tools: BTreeSet<usize> =
                actions().flat_map(|a| a.operations.iter().flatten().flatten()).copied().collect();
            for edit in edits() {
                match edit {
                    Edit::Ways(a, _, ways) if near.contains(a) => tools.extend(ways.iter().flatten()),
                    Edit::Operations(a, list) if near.contains(a) => tools.extend(list.iter().flatten().flatten()),
                    _ => {}
                }
            }
            let of = |&t: &usize| &case.base.tools[t];
            if *measure == Measure::HeatOrSolvent {
                tools.iter().map(of).map(|t| u8::from(t.heat || t.solvent)).max()
            } else {
                let answered = edits().filter_map(|edit| match edit {
                    Edit::ToolClass(t, class) if tools.contains(t) => Some(class.rank()),
                    _ => None,
                });
                tools.iter().map(of).map(|t| t.class.rank()).chain(answered).max()
            }
        }
        _ => return None,
    };
    Some(rank.unwrap_or(0))
}
