//! A single change to a complete record: how an answer is filled in, and how a design change is tried.

use std::collections::BTreeSet;

use crate::exact::Exact;
use crate::need::{Need, Thing, put};
use crate::record::complete::{Complete, CompleteFastener, CompleteSpare, CompleteSupport};
use crate::vocab::{Access, Kind, Place, Skill, ToolClass};

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
    /// One promise for the parts filling roles.
    Spare(Vec<usize>, SpareFact),
    /// One promise for the device.
    Support(SupportFact),
}

/// A promise for a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SpareFact {
    /// Offered to.
    To(Access),
    /// Years.
    Years(Exact),
    /// Working days.
    Delivery(Exact),
    /// Percent of the device's price.
    PriceShare(Exact),
    /// Price published.
    PricePublished(bool),
    /// Interface, rank.
    Interface(u8),
    /// Pairing access, rank.
    Pairing(u8),
}

/// A promise for the device.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SupportFact {
    /// Who gets information.
    InformationTo(Access),
    /// Information is free.
    InformationFree(bool),
    /// Scope, rank.
    InformationScope(u8),
    /// Years.
    Updates(Exact),
    /// Years.
    SecurityUpdates(Exact),
    /// Rank.
    Diagnosis(u8),
    /// Rank.
    Returns(u8),
    /// Rank.
    Data(u8),
    /// Rank.
    Reset(u8),
    /// Cycles.
    BatteryCycles(Exact),
    /// Percent.
    Capacity500(Exact),
    /// Percent.
    Capacity1000(Exact),
    /// Digit.
    IngressDust(u8),
    /// Digit.
    IngressWater(u8),
    /// Power key, volume keys, charging port; operations.
    Endurance(usize, Exact),
    /// Mark of a row.
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
            Self::Paired(list, _) | Self::Spare(list, _) => out.fills.extend(list),
            Self::Support(_) => out.support = true,
        }
    }

    /// Makes the change.
    pub fn apply(&self, device: &mut Complete) {
        match self {
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
            Self::Place(list, place) => list.iter().for_each(|&a| device.actions[a].place = *place),
            Self::Skill(list, skill) => list.iter().for_each(|&a| device.actions[a].skill = *skill),
            Self::Exists(a, exists) => device.actions[*a].exists = *exists,
            Self::Frees(a, parts) => device.actions[*a].frees.clone_from(parts),
            Self::ToolClass(t, class) => device.tools[*t].class = *class,
            Self::Present(f, present) => device.fills[*f].present = *present,
            Self::SeveralRoles(f, several) => device.fills[*f].several_roles = *several,
            Self::Paired(list, paired) => list.iter().for_each(|&f| device.fills[f].paired = *paired),
            Self::Spare(list, fact) => list.iter().for_each(|&f| fact.apply(&mut device.fills[f].spare)),
            Self::Support(fact) => fact.apply(&mut device.support),
        }
    }
}

impl SpareFact {
    fn apply(&self, spare: &mut CompleteSpare) {
        match self {
            Self::To(v) => spare.to = *v,
            Self::Years(v) => spare.years = v.clone(),
            Self::Delivery(v) => spare.delivery = v.clone(),
            Self::PriceShare(v) => spare.price_share = v.clone(),
            Self::PricePublished(v) => spare.price_published = *v,
            Self::Interface(v) => spare.interface = *v,
            Self::Pairing(v) => spare.pairing = *v,
        }
    }
}

impl SupportFact {
    fn apply(&self, support: &mut CompleteSupport) {
        match self {
            Self::InformationTo(v) => support.information_to = *v,
            Self::InformationFree(v) => support.information_free = *v,
            Self::InformationScope(v) => support.information_scope = *v,
            Self::Updates(v) => support.updates = v.clone(),
            Self::SecurityUpdates(v) => support.security_updates = v.clone(),
            Self::Diagnosis(v) => support.diagnosis = *v,
            Self::Returns(v) => support.returns = *v,
            Self::Data(v) => support.data = *v,
            Self::Reset(v) => support.reset = *v,
            Self::BatteryCycles(v) => support.battery_cycles = v.clone(),
            Self::Capacity500(v) => support.capacity_500 = v.clone(),
            Self::Capacity1000(v) => support.capacity_1000 = v.clone(),
            Self::IngressDust(v) => support.ingress.0 = *v,
            Self::IngressWater(v) => support.ingress.1 = *v,
            Self::Endurance(i, v) => support.endurance[*i] = v.clone(),
            Self::Mark(row, v) => {
                support.marks.insert(row.clone(), v.clone());
            }
        }
    }
}
