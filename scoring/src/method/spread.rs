//! Weights nobody could read: what depends on them is no number, but runs from the worst to the best it weighs.

use super::{Combine, Criterion, CriterionKind, Method, Roles};
use crate::text::fold;
use crate::vocab::{Category, Form};

/// What is added to the ids of the two ends of a spread.
const ENDS: [&str; 2] = ["least", "most"];

/// Puts spreads in the place of means whose weights are not read, and takes the value from all that is built on them.
///
/// A mean over parts becomes two criteria beside one another, its worst and its best part: over all weights that sum to one
/// it lies between them and may be either.
pub(super) fn settle(method: &mut Method, category: Category, form: Form) {
    let unread = method.part_set(category, form).is_some_and(|s| s.weights.iter().any(|(_, w)| w.unread));
    let mut split = Vec::new();
    apart(&mut method.root, unread, &mut split);
    let named = |id: &String| split.iter().any(|s| fold(s) == fold(id));
    method.sub_scores = std::mem::take(&mut method.sub_scores)
        .into_iter()
        .flat_map(|id| if named(&id) { ENDS.map(|end| format!("{id} {end}")).to_vec() } else { vec![id] })
        .collect();
}

/// Says of the weights below some criteria where they come from for a category.
pub(super) fn origins(method: &mut Method, category: Category) {
    for origin in method.weight_origins.clone().iter().filter(|o| category.is_among(&o.categories)) {
        for id in &origin.below {
            let Some(CriterionKind::Group { of, .. }) = method.root.find_mut(id).map(|n| &mut n.kind) else { continue };
            for weight in of.iter_mut().filter_map(|n| n.weight.as_mut()) {
                weight.unread |= origin.unread;
                weight.certainty = origin.certainty.or(weight.certainty);
                weight.source = origin.source.clone().or(weight.source.take());
            }
        }
    }
}

/// The id of the criterion that stands at the other end of a spread, for one that stands at the least.
pub(super) fn twin(id: &str) -> String {
    format!("{id} {}", ENDS[1])
}

/// Whether a criterion has no value of its own.
fn has_none(node: &Criterion) -> bool {
    matches!(&node.kind, CriterionKind::Group { how: Combine::Apart, .. })
}

fn apart(node: &mut Criterion, unread_parts: bool, split: &mut Vec<String>) {
    match &mut node.kind {
        CriterionKind::Leaf { .. } => {}
        CriterionKind::Group { how, of } => {
            of.iter_mut().for_each(|n| apart(n, unread_parts, split));
            let weighed = matches!(how, Combine::Mean | Combine::Sum);
            let unread = |n: &Criterion| n.weight.as_ref().is_some_and(|w| w.unread);
            let open = weighed && of.iter().any(unread);
            if open && *how == Combine::Mean && of.len() > 1 && !of.iter().any(has_none) {
                split.push(node.id.clone());
                ends(node);
            } else if open || of.iter().any(has_none) {
                *how = Combine::Apart;
            }
        }
        CriterionKind::Each { roles: Roles::Priority, how: Combine::Mean, .. } if unread_parts => {
            split.push(node.id.clone());
            ends(node);
        }
        CriterionKind::Each { .. } => {}
    }
}

/// Puts the worst and the best of what a criterion weighs in its place.
fn ends(node: &mut Criterion) {
    let [mut least, mut most] = [node.clone(), node.clone()];
    below(&mut most);
    for (end, (made, how)) in [(&mut least, Combine::Worst), (&mut most, Combine::Best)].into_iter().enumerate() {
        made.id = format!("{} {}", node.id, ENDS[end]);
        made.title = format!("{}, {} over all weights", node.title, ENDS[end]);
        made.weight = None;
        made.weights_sum = None;
        if let CriterionKind::Each { how: combine, .. } | CriterionKind::Group { how: combine, .. } = &mut made.kind {
            *combine = how;
        }
    }
    node.weights_sum = None;
    node.kind = CriterionKind::Group { how: Combine::Apart, of: vec![least, most] };
}

/// Gives everything below a criterion the id of the other end.
fn below(node: &mut Criterion) {
    let rename = |n: &mut Criterion| n.id = twin(&n.id);
    match &mut node.kind {
        CriterionKind::Leaf { .. } => {}
        CriterionKind::Group { of, .. } => of.iter_mut().for_each(|n| {
            rename(n);
            below(n);
        }),
        CriterionKind::Each { node, .. } => {
            rename(node);
            below(node);
        }
    }
}

impl Method {
    /// Why a method fitted to a device gives no total, in words; `None` where it gives one.
    pub fn no_total(&self) -> Option<String> {
        let unread = |w: &super::Cited<crate::exact::Exact>| w.unread;
        if !has_none(&self.root) {
            return None;
        }
        let parts = self.part_sets.iter().any(|s| s.weights.iter().any(|(_, w)| unread(w)));
        let criteria = self.root.all().into_iter().any(|n| n.weight.as_ref().is_some_and(unread));
        let whose = match (parts, criteria) {
            (true, true) => "The weights of the parts and of the criteria",
            (true, false) => "The weights of the parts",
            (false, true) => "Weights of criteria",
            (false, false) => return Some("This method adds nothing up.".to_owned()),
        };
        let class = if self.classes.is_some() { " and no class" } else { "" };
        Some(format!(
            "{whose} could not be read, so there is no total{class}. A score over such parts is given as the spread over all \
             weights, from its worst part to its best: no answer in the record narrows it."
        ))
    }
}
