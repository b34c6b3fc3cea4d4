//! The bench verdict of a method: the same method with what the maker promises left out.

use super::{Combine, Criterion, CriterionKind, Group, Method};

impl Method {
    /// The method with its support-related criteria left out, their weight with them: what the bench shows alone. It has no
    /// classes, since a class is one of the whole.
    ///
    /// `None` where nothing would be left out or nothing left, and where the method adds points up, so that a total without
    /// some of them is none of its totals.
    pub fn bench_verdict(&self) -> Option<Self> {
        let mut left_out = false;
        let root = pruned(&self.root, self.root.group, &mut left_out)?;
        if !left_out {
            return None;
        }
        let mut out = Self { root, classes: None, ..self.clone() };
        out.sub_scores.retain(|id| out.root.all().iter().any(|n| n.id == *id));
        Some(out)
    }
}

/// A node without what is support-related; `None` where that is all of it.
fn pruned(node: &Criterion, inherited: Option<Group>, left_out: &mut bool) -> Option<Criterion> {
    let group = node.group.or(inherited);
    let kind = match &node.kind {
        CriterionKind::Leaf { .. } => {
            if group == Some(Group::SupportRelated) {
                *left_out = true;
                return None;
            }
            node.kind.clone()
        }
        CriterionKind::Each { roles, how, node } => {
            let node = Box::new(pruned(node, group, left_out)?);
            CriterionKind::Each { roles: roles.clone(), how: *how, node }
        }
        CriterionKind::Group { how, of } => {
            let kept: Vec<Option<Criterion>> = of.iter().map(|n| pruned(n, group, left_out)).collect();
            let lost = kept.iter().any(Option::is_none);
            // Of a limit or a gate the first child is what is limited.
            let first = matches!(how, Combine::Cap | Combine::Gate) && kept.first().is_some_and(Option::is_none);
            if first || lost && *how == Combine::Sum {
                return None;
            }
            let of: Vec<Criterion> = kept.into_iter().flatten().collect();
            if of.is_empty() {
                return None;
            }
            CriterionKind::Group { how: *how, of }
        }
    };
    // What the weights must sum to is said of all of them.
    let weights_sum = if *left_out { None } else { node.weights_sum.clone() };
    Some(Criterion { weights_sum, kind, ..node.clone() })
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    /// EN 45554 and the ecodesign rules know both groups; the battery rule asks nothing of the maker, and a sum is no total
    /// without some of its terms.
    #[rstest]
    #[case("en-45554", true)]
    #[case("eu-2023-1669", false)]
    #[case("eu-2023-1670", true)]
    #[case("eu-2023-1542-11", false)]
    #[case("fr-index", false)]
    fn methods_of_both_groups_have_one(#[case] id: &str, #[case] has: bool) {
        let method = crate::method::load_shipped(id).unwrap();
        let bench = method.bench_verdict();
        assert_eq!(bench.is_some(), has);
        if let Some(bench) = bench {
            assert!(bench.classes.is_none() && bench.bench_verdict().is_none());
            assert!(bench.root.all().len() < method.root.all().len());
        }
    }
}
