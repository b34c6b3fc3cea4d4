//! Of many improvements the few that matter: those that made all at once change nothing change nothing alone.

use super::threads::side_by_side;
use crate::method::RouteOrder;
use crate::range::Study;

/// Whether more ways and better ones can never lower a verdict: where a method names the route it reads, a better way may
/// make it read another, with fewer points.
pub(super) fn rises(study: &Study<'_>) -> bool {
    let routes = &study.method().routes;
    let named =
        routes.order == RouteOrder::FewestSteps || routes.official_first && !study.case.base.official.is_empty();
    !named && study.range(0).exact
}

/// Places of those of some groups that may matter, ascending: the rest is idle, made all at once. A group is halved until what
/// is left of it is idle or one alone; one that is `cheap` is not worth a look.
pub(super) fn sift<T: Sync>(
    list: &[T],
    groups: Vec<Vec<usize>>,
    cheap: impl Fn(&T) -> bool + Sync,
    idle: impl Fn(&[&T]) -> bool + Sync,
) -> Vec<usize> {
    let job = Job { list, cheap, idle };
    let left = side_by_side(&groups, |group| {
        let mut out = Vec::new();
        job.halve(group, false, &mut out);
        out
    });
    let mut left: Vec<usize> = left.into_iter().flatten().collect();
    left.sort_unstable();
    left
}

struct Job<'l, T, C, I> {
    list: &'l [T],
    cheap: C,
    idle: I,
}

impl<T, C: Fn(&T) -> bool, I: Fn(&[&T]) -> bool> Job<'_, T, C, I> {
    /// Notes what of a group may matter; says whether anything does. `some`: something surely does.
    fn halve(&self, group: &[usize], some: bool, out: &mut Vec<usize>) -> bool {
        let is_cheap = matches!(group, [one] if (self.cheap)(&self.list[*one]));
        if !some && !is_cheap && (self.idle)(&group.iter().map(|&i| &self.list[i]).collect::<Vec<_>>()) {
            return false;
        }
        if group.len() < 2 {
            out.extend(group);
            return !group.is_empty();
        }
        let (first, second) = group.split_at(group.len() / 2);
        let found = self.halve(first, false, out);
        self.halve(second, !found, out);
        true
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::sift;

    proptest! {
        #[test]
        fn whatever_matters_is_left(
            matter in prop::collection::vec(prop::bool::weighted(0.1), 0..60),
            cuts in prop::collection::vec(0_usize..60, 0..4),
            cheap in any::<bool>(),
        ) {
            let mut cuts: Vec<usize> = cuts.into_iter().filter(|c| *c < matter.len()).collect();
            cuts.extend([0, matter.len()]);
            cuts.sort_unstable();
            let groups = cuts.windows(2).map(|w| (w[0]..w[1]).collect()).collect();
            let left = sift(&matter, groups, |_| cheap, |some| some.iter().all(|m| !**m));
            prop_assert!(left.windows(2).all(|w| w[0] < w[1]));
            prop_assert!(matter.iter().enumerate().all(|(i, m)| !m || left.contains(&i)));
            prop_assert!(cheap || left.iter().all(|i| matter[*i]));
        }

        #[test]
        fn one_among_many_is_found_in_few_looks(at in 0_usize..1_000) {
            let list: Vec<usize> = (0..1_000).collect();
            let looks = std::sync::atomic::AtomicUsize::new(0);
            let left = sift(&list, vec![list.clone()], |_| true, |some| {
                looks.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                !some.contains(&&at)
            });
            prop_assert!(left.contains(&at) && left.len() <= 3, "{left:?}");
            prop_assert!(looks.into_inner() <= 22);
        }
    }
}
