//! A method unfolded for one device: every criterion, once per part it is about.

use crate::exact::Exact;
use crate::method::{Combine, Criterion, CriterionKind, Group, Measure, Method, PartSet, Points, Reading, Roles};
use crate::record::complete::Complete;
use crate::vocab::{Category, Form};

/// A method unfolded for one device.
#[derive(Clone, Debug)]
pub struct Plan<'m> {
    /// The method.
    pub method: &'m Method,
    /// The part set in force, if the method has one for this device.
    pub parts: Option<&'m PartSet>,
    /// Parts the method asks about, with weights where they are priority parts.
    pub slots: Vec<Slot>,
    /// Nodes in preorder; 0 is the root.
    pub nodes: Vec<PlanNode<'m>>,
}

/// A role the method asks about and the parts that fill it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Role key of the method; `a | b` is either.
    pub role: String,
    /// Weight among the priority parts; `None` for roles that are only named.
    pub weight: Option<Exact>,
    /// Indices into [`Complete::fills`].
    pub fills: Vec<usize>,
}

/// One node of the unfolded tree.
#[derive(Clone, Debug)]
pub struct PlanNode<'m> {
    /// Id, unique in the plan (`fasteners/battery`).
    pub id: String,
    /// The node of the method file.
    pub node: &'m Criterion,
    /// Group, inherited.
    pub group: Option<Group>,
    /// Part it is about.
    pub slot: Option<usize>,
    /// Weight in the node above.
    pub weight: Exact,
    /// What it does.
    pub kind: PlanKind<'m>,
}

/// What a planned node does.
#[derive(Clone, Debug)]
pub enum PlanKind<'m> {
    /// Combines children (indices).
    Group(Combine, Vec<usize>),
    /// Reads a measure.
    Leaf(&'m Measure, Reading, &'m Points),
}

/// Whether a role fills the key of a method (`a | b` names either).
pub fn role_fits(key: &str, role: &str) -> bool {
    key.split('|').any(|k| k.trim() == role)
}

/// Role keys a method asks about for a device, priority parts first, with their weights.
pub fn roles_asked(
    method: &Method,
    category: Category,
    form: Form,
    own_roles: &[(String, u32)],
) -> Vec<(String, Option<Exact>)> {
    let mut out: Vec<(String, Option<Exact>)> = Vec::new();
    if let Some(set) = method.part_set(category, form) {
        for (role, weight) in &set.weights {
            out.push((role.clone(), Some(weight.value.clone())));
        }
        if set.own_roles {
            for (role, share) in own_roles {
                out.push((role.clone(), Some(Exact::from(i64::from(*share)))));
            }
        }
    }
    named_roles(&method.root, &mut |role| {
        let known = role.split('|').any(|r| crate::vocab::category_has_role(category, r.trim()));
        if known && !out.iter().any(|(r, _)| r == role) {
            out.push((role.to_owned(), None));
        }
    });
    out
}

fn named_roles<'m>(node: &'m Criterion, found: &mut impl FnMut(&'m str)) {
    match &node.kind {
        CriterionKind::Group { of, .. } => of.iter().for_each(|n| named_roles(n, found)),
        CriterionKind::Each { roles, node, .. } => {
            if let Roles::Named(list) = roles {
                list.iter().for_each(|r| found(&r.value));
            }
            named_roles(node, found);
        }
        CriterionKind::Leaf { points: Points::Rungs(rungs), .. } => {
            rungs.iter().filter_map(|r| r.roles.as_ref()).flatten().for_each(|r| found(r));
        }
        CriterionKind::Leaf { .. } => {}
    }
}

impl<'m> Plan<'m> {
    /// Unfolds a method for a device. `own_roles` are the record's own (category other).
    pub fn new(method: &'m Method, device: &Complete, own_roles: &[(String, u32)]) -> Self {
        let slots = roles_asked(method, device.category, device.form, own_roles)
            .into_iter()
            .map(|(role, weight)| {
                let fills = (0..device.fills.len()).filter(|&i| role_fits(&role, &device.fills[i].role)).collect();
                Slot { role, weight, fills }
            })
            .collect();
        let parts = method.part_set(device.category, device.form);
        let mut plan = Self { method, parts, slots, nodes: Vec::new() };
        plan.unfold(&method.root, None, None, Exact::one());
        plan
    }

    fn unfold(&mut self, node: &'m Criterion, group: Option<Group>, slot: Option<usize>, weight: Exact) -> usize {
        let at = self.nodes.len();
        let group = node.group.or(group);
        let id = match slot {
            Some(s) => format!("{}/{}", node.id, self.slots[s].role),
            None => node.id.clone(),
        };
        let kind = match &node.kind {
            CriterionKind::Leaf { measure, reading, points } => PlanKind::Leaf(measure, *reading, points),
            CriterionKind::Group { how, .. } | CriterionKind::Each { how, .. } => PlanKind::Group(*how, Vec::new()),
        };
        self.nodes.push(PlanNode { id, node, group, slot, weight, kind });
        let children: Vec<usize> = match &node.kind {
            CriterionKind::Leaf { .. } => return at,
            CriterionKind::Group { of, .. } => of
                .iter()
                .map(|child| {
                    let weight = child.weight.as_ref().map_or_else(Exact::one, |w| w.value.clone());
                    self.unfold(child, group, slot, weight)
                })
                .collect(),
            CriterionKind::Each { roles, node: inner, .. } => {
                let slots = self.slots_of(roles);
                // Parts count by their weight where each has one.
                let weighed = slots.iter().all(|&s| self.slots[s].weight.is_some());
                slots
                    .into_iter()
                    .map(|s| {
                        let weight = self.slots[s].weight.clone().filter(|_| weighed).unwrap_or_else(Exact::one);
                        self.unfold(inner, group, Some(s), weight)
                    })
                    .collect()
            }
        };
        if let PlanKind::Group(_, list) = &mut self.nodes[at].kind {
            *list = children;
        }
        at
    }

    fn slots_of(&self, roles: &Roles) -> Vec<usize> {
        let priority = || (0..self.slots.len()).filter(|&s| self.slots[s].weight.is_some());
        match roles {
            Roles::Priority => priority().collect(),
            Roles::Highest => {
                let top = priority().filter_map(|s| self.slots[s].weight.clone()).max();
                priority().filter(|&s| self.slots[s].weight == top).collect()
            }
            Roles::Named(list) => {
                list.iter().filter_map(|r| self.slots.iter().position(|s| s.role == r.value)).collect()
            }
        }
    }

    /// Indices of leaves, in order.
    pub fn leaves(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.nodes.len()).filter(|&i| matches!(self.nodes[i].kind, PlanKind::Leaf(..)))
    }

    /// The worst and best points a leaf's table gives.
    pub fn extremes(points: &Points) -> (Exact, Exact) {
        let list: Vec<&Exact> = match points {
            Points::Bands(bands) => bands.iter().map(|b| &b.points.value).collect(),
            Points::Levels(levels) => levels.iter().map(|(_, p)| &p.value).collect(),
            Points::Linear(corners) => corners.iter().map(|(_, p)| &p.value).collect(),
            Points::Rungs(rungs) => rungs.iter().map(|r| &r.points.value).collect(),
            Points::AsIs => return (Exact::zero(), Exact::from(10)),
        };
        let low = list.iter().min().map_or_else(Exact::zero, |e| (*e).clone());
        let high = list.iter().max().map_or_else(Exact::zero, |e| (*e).clone());
        (low, high)
    }
}
