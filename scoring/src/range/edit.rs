//! A single change to a complete record: how an answer is filled in, and how a design change is tried.

use std::collections::BTreeSet;

use crate::exact::Exact;
use crate::need::{Need, Thing, put};
use crate::record::Term;
use crate::record::complete::{Complete, CompleteAction, CompleteFastener};
use crate::vocab::{Kind, Place, Promise, Skill, ToolClass};

/// A single change. Indices are those of [`Complete`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// The ways of one operation of an action.
    Ways(usize, usize, Vec<Vec<usize>>),
    /// All operations of an action.
    Operations(usize, Vec<Vec<Vec<usize>>>),
    /// What an action needs first.
    After(usize, Vec<Need>),
    /// In what an action needs, one milestone for another.
    Replace(usize, Thing, Thing),
    /// Takes one milestone out of what an action needs.
    Without(usize, Thing),
    /// Kind of one fastener of an action.
    Fastener(usize, usize, Kind),
    /// Whether one fastener of an action sticks by adhesion.
    Adhesive(usize, usize, bool),
    /// How many there are of one fastener of an action, 0 for none.
    Count(usize, usize, u32),
    /// One fastener of an action, all of it.
    Fasten(usize, usize, CompleteFastener),
    /// Working environment of actions.
    Place(Vec<usize>, Place),
    /// Skill level of actions.
    Skill(Vec<usize>, Skill),
    /// Whether an action exists as a way.
    Exists(usize, bool),
    /// Parts an action frees.
    Frees(usize, Vec<Thing>),
    /// Class of a tool.
    ToolClass(usize, ToolClass),
    /// Whether the device has the part filling a role.
    Present(usize, bool),
    /// Whether roles share a piece.
    SeveralRoles(usize, bool),
    /// Whether parts need software pairing.
    Paired(Vec<usize>, bool),
    /// One fact of the spare parts filling roles.
    Spare(Vec<usize>, Promise, Term),
    /// One fact of the device.
    Support(Promise, Term),
    /// The mark of a row.
    Mark(String, Exact),
}

/// The places some changes are about.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Touched {
    /// Actions.
    pub(super) actions: BTreeSet<usize>,
    /// Tools.
    pub(super) tools: BTreeSet<usize>,
    /// Roles as filled.
    pub(super) fills: BTreeSet<usize>,
    /// Promises for the device.
    pub(super) support: bool,
}

impl Edit {
    /// Notes the place a change is about.
    pub(super) fn touches(&self, out: &mut Touched) {
        match self {
            Self::Ways(a, ..)
            | Self::Operations(a, _)
            | Self::After(a, _)
            | Self::Replace(a, ..)
            | Self::Without(a, _)
            | Self::Fastener(a, ..)
            | Self::Adhesive(a, ..)
            | Self::Count(a, ..)
            | Self::Fasten(a, ..)
            | Self::Exists(a, _)
            | Self::Frees(a, _) => {
                out.actions.insert(*a);
            }
            Self::Place(list, _) | Self::Skill(list, _) => out.actions.extend(list),
            Self::ToolClass(t, _) => {
                out.tools.insert(*t);
            }
            Self::Present(f, _) | Self::SeveralRoles(f, _) => {
                out.fills.insert(*f);
            }
            Self::Paired(list, _) | Self::Spare(list, ..) => out.fills.extend(list),
            Self::Support(..) | Self::Mark(..) => out.support = true,
        }
    }

    /// Whether an action is as the change would make it; then it stays shared with other copies of the record.
    fn made(&self, action: &CompleteAction) -> bool {
        match self {
            Self::Ways(_, o, ways) => action.operations[*o] == *ways,
            Self::Operations(_, list) => action.operations == *list,
            Self::After(_, needs) => action.after == *needs,
            Self::Fastener(_, i, kind) => action.fasteners.get(*i).is_none_or(|f| f.kind == *kind),
            Self::Adhesive(_, i, sticks) => action.fasteners.get(*i).is_none_or(|f| f.adhesive == *sticks),
            Self::Count(_, i, count) => action.fasteners.get(*i).is_none_or(|f| f.count == *count),
            Self::Fasten(_, i, whole) => action.fasteners.get(*i).is_none_or(|f| f == whole),
            Self::Place(_, place) => action.place == *place,
            Self::Skill(_, skill) => action.skill == *skill,
            Self::Exists(_, exists) => action.exists == *exists,
            Self::Frees(_, parts) => action.frees == *parts,
            _ => false,
        }
    }

    /// Makes the change.
    pub fn apply(&self, device: &mut Complete) {
        match self {
            Self::Ways(a, ..)
            | Self::Operations(a, _)
            | Self::After(a, _)
            | Self::Fastener(a, ..)
            | Self::Adhesive(a, ..)
            | Self::Count(a, ..)
            | Self::Fasten(a, ..)
            | Self::Exists(a, _)
            | Self::Frees(a, _)
                if self.made(&device.actions[*a]) => {}
            Self::Ways(a, o, ways) => device.actions[*a].operations[*o].clone_from(ways),
            Self::Operations(a, list) => device.actions[*a].operations.clone_from(list),
            Self::After(a, needs) => device.actions[*a].after.clone_from(needs),
            Self::Replace(a, from, to) => put(&mut device.actions[*a].after, *from, &[Need::Thing(*to)]),
            Self::Without(a, thing) => put(&mut device.actions[*a].after, *thing, &[]),
            // Methods that read no fasteners have none in their case.
            Self::Fastener(a, i, kind) => {
                if let Some(fastener) = device.actions[*a].fasteners.get_mut(*i) {
                    fastener.kind = *kind;
                }
            }
            Self::Adhesive(a, i, sticks) => {
                if let Some(fastener) = device.actions[*a].fasteners.get_mut(*i) {
                    fastener.adhesive = *sticks;
                }
            }
            Self::Count(a, i, count) => {
                if let Some(fastener) = device.actions[*a].fasteners.get_mut(*i) {
                    fastener.count = *count;
                }
            }
            Self::Fasten(a, i, whole) => {
                if let Some(fastener) = device.actions[*a].fasteners.get_mut(*i) {
                    fastener.clone_from(whole);
                }
            }
            Self::Place(list, _) | Self::Skill(list, _) => {
                for &a in list.iter().filter(|a| !self.made(&device.actions[**a])).collect::<Vec<_>>() {
                    match self {
                        Self::Place(_, place) => device.actions[a].place = *place,
                        Self::Skill(_, skill) => device.actions[a].skill = *skill,
                        _ => {}
                    }
                }
            }
            Self::Exists(a, exists) => device.actions[*a].exists = *exists,
            Self::Frees(a, parts) => device.actions[*a].frees.clone_from(parts),
            Self::ToolClass(t, class) => device.tools[*t].class = *class,
            Self::Present(f, present) => device.fills[*f].present = *present,
            Self::SeveralRoles(f, several) => device.fills[*f].several_roles = *several,
            Self::Paired(list, paired) => list.iter().for_each(|&f| device.fills[f].paired = *paired),
            Self::Spare(list, promise, value) => {
                list.iter().for_each(|&f| device.fills[f].spare.set(*promise, value.clone()));
            }
            Self::Support(promise, value) => device.support.facts.set(*promise, value.clone()),
            Self::Mark(row, mark) => {
                device.support.marks.insert(row.clone(), mark.clone());
            }
        }
    }
}
