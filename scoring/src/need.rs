//! Milestones, and what must hold before something is done: the one home of every walk over needs.
//!
//! Complete records, routes and everything between them speak of the same needs, so they stand below all of them.

use std::collections::BTreeSet;

/// A milestone: "part i is off" or "`do` j is done", numbered from 0 by the caller.
pub type Thing = u32;

/// Something that must hold before an action.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Need {
    /// This thing is reached.
    Thing(Thing),
    /// At least one member holds; a member holds when all its needs do. Nests at most three deep.
    Any(Vec<Vec<Need>>),
}

impl Need {
    /// Whether the need holds, given which things are reached.
    pub fn holds(&self, reached: &impl Fn(Thing) -> bool) -> bool {
        match self {
            Self::Thing(thing) => reached(*thing),
            Self::Any(members) => members.iter().any(|member| all_hold(member, reached)),
        }
    }
}

/// Whether all of some needs hold, given which things are reached.
pub fn all_hold(needs: &[Need], reached: &impl Fn(Thing) -> bool) -> bool {
    needs.iter().all(|need| need.holds(reached))
}

/// Meets every thing some needs speak of, in their order, as often as they do.
pub fn mentioned(needs: &[Need], meet: &mut impl FnMut(Thing)) {
    for need in needs {
        match need {
            Need::Thing(thing) => meet(*thing),
            Need::Any(members) => members.iter().for_each(|member| mentioned(member, meet)),
        }
    }
}

/// The things some needs speak of.
pub fn things(needs: &[Need]) -> BTreeSet<Thing> {
    let mut out = BTreeSet::new();
    mentioned(needs, &mut |thing| {
        out.insert(thing);
    });
    out
}

/// Changes every thing some needs speak of, in their order.
pub fn each_thing(needs: &mut [Need], change: &mut impl FnMut(&mut Thing)) {
    for need in needs {
        match need {
            Need::Thing(thing) => change(thing),
            Need::Any(members) => members.iter_mut().for_each(|member| each_thing(member, change)),
        }
    }
}

/// Puts needs in the place of a thing, none to take it out. A member that asks nothing any more is always met, and so is
/// the need it is a member of.
pub fn put(needs: &mut Vec<Need>, slot: Thing, by: &[Need]) {
    let mut out = Vec::with_capacity(needs.len());
    for mut need in std::mem::take(needs) {
        match &mut need {
            Need::Thing(thing) if *thing == slot => {
                out.extend(by.iter().cloned());
                continue;
            }
            Need::Thing(_) => {}
            Need::Any(members) => {
                members.iter_mut().for_each(|member| put(member, slot, by));
                if members.iter().any(Vec::is_empty) {
                    continue;
                }
            }
        }
        out.push(need);
    }
    *needs = out;
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn needs() -> impl Strategy<Value = Vec<Need>> {
        let leaf = (0_u32..6).prop_map(Need::Thing);
        let need = leaf.prop_recursive(3, 24, 3, |inner| {
            prop::collection::vec(prop::collection::vec(inner, 1..3), 1..3).prop_map(Need::Any)
        });
        prop::collection::vec(need, 0..4)
    }

    proptest! {
        /// Taking a thing out is the same as having it: what is left holds exactly when the whole does with it reached.
        #[test]
        fn without_a_thing_is_with_it_reached(list in needs(), slot in 0_u32..6, off in 0_u32..64) {
            let reached = |thing: Thing| off >> thing & 1 == 1;
            let mut rest = list.clone();
            put(&mut rest, slot, &[]);
            prop_assert_eq!(all_hold(&rest, &reached), all_hold(&list, &|t| t == slot || reached(t)));
            let mut left = false;
            mentioned(&rest, &mut |t| left |= t == slot);
            prop_assert!(!left);
        }

        /// Putting other needs in its place asks those wherever it was asked.
        #[test]
        fn what_is_put_is_asked_instead(list in needs(), by in needs(), slot in 0_u32..6, off in 0_u32..64) {
            let reached = |thing: Thing| off >> thing & 1 == 1;
            let mut swapped = list.clone();
            put(&mut swapped, slot, &by);
            let instead = all_hold(&by, &reached);
            prop_assert_eq!(
                all_hold(&swapped, &reached),
                all_hold(&list, &|t| if t == slot { instead } else { reached(t) })
            );
        }
    }
}
