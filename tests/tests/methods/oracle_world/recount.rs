//! Reference routes by going through every order of actions and every way.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    clippy::needless_range_loop,
    reason = "small numbers of small records"
)]

use std::collections::{BTreeMap, BTreeSet};

use super::*;

/// The worst met, as ranks.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Met {
    pub class: usize,
    pub kind: usize,
    pub place: usize,
    pub skill: usize,
    pub adhesives: usize,
    /// Heat or a solvent.
    pub hot: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Reach {
    Yes,
    Damage,
    No,
}

/// What is read on the reference route to a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Way {
    pub reach: Reach,
    pub steps: usize,
    pub route: Met,
    pub part: Met,
    pub bundled: bool,
    pub in_the_way: usize,
}

/// Damaged, steps, class, kind, place, skill, parts off, actions: smaller is better, first to last.
pub(crate) type Key = [usize; 8];

/// What a heating counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Heat {
    Tool,
    Step,
    Nothing,
}

/// The switches of the step rule that are looked at here.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Counting {
    /// Each of several tools used at once counts.
    pub each: bool,
    pub heat: Heat,
}

impl Counting {
    /// Tools at once are one, heat sources are tools.
    pub(crate) const USUAL: Self = Self { each: false, heat: Heat::Tool };
}

struct Search<'w> {
    world: &'w World,
    target: usize,
    counting: Counting,
    best: Option<Key>,
    found: BTreeSet<Way>,
    /// Where every way is asked for: the least key of each.
    every: Option<BTreeMap<Way, Key>>,
}

impl World {
    /// Everything that can be read on a best route to a part: more than one where only record order could decide.
    pub(crate) fn ways(&self, target: usize, counting: Counting) -> Vec<Way> {
        let mut search = Search { world: self, target, counting, best: None, found: BTreeSet::new(), every: None };
        search.extend(&mut Vec::new());
        if search.found.is_empty() { vec![no_way()] } else { search.found.into_iter().collect() }
    }

    /// Every way to a part that may be chosen, with its least key: those without damage, else the least destructive.
    pub(crate) fn all_ways(&self, target: usize, counting: Counting) -> Vec<(Key, Way)> {
        let every = Some(BTreeMap::new());
        let mut search = Search { world: self, target, counting, best: None, found: BTreeSet::new(), every };
        search.extend(&mut Vec::new());
        let all = search.every.unwrap_or_default();
        let Some(least) = all.values().min().copied() else { return vec![([0; 8], no_way())] };
        let may = |key: &Key| if least[0] == 0 { key[0] == 0 } else { *key == least };
        all.into_iter().filter(|(_, key)| may(key)).map(|(way, key)| (key, way)).collect()
    }
}

/// The ways worth a choice where what counts is points: of two that give the same, or one as much in everything, one is enough.
pub(crate) fn unbeaten(ways: Vec<(Key, Way)>, points: impl Fn(&Way) -> Vec<i64>) -> Vec<Way> {
    let mut out: Vec<(Vec<i64>, Way)> = Vec::new();
    let covers = |a: &[i64], b: &[i64]| a.iter().zip(b).all(|(a, b)| a >= b);
    for (_, way) in ways {
        let own = points(&way);
        if !out.iter().any(|(other, _)| covers(other, &own)) {
            out.retain(|(other, _)| !covers(&own, other));
            out.push((own, way));
        }
    }
    out.into_iter().map(|(_, way)| way).collect()
}

/// Every choice of one of some ways for each part; `None`: more than so many.
pub(crate) fn choices(each: &[Vec<Way>], most: usize) -> Option<Vec<Vec<Way>>> {
    let mut out: Vec<Vec<Way>> = vec![Vec::new()];
    for ways in each {
        if out.len() * ways.len() > most {
            return None;
        }
        out = out.iter().flat_map(|c| ways.iter().map(|w| [&c[..], std::slice::from_ref(w)].concat())).collect();
    }
    Some(out)
}

fn no_way() -> Way {
    Way { reach: Reach::No, steps: 0, route: Met::default(), part: Met::default(), bundled: false, in_the_way: 0 }
}

/// Of the ways to a part the one that serves a verdict best. `judge`: how many requirements a way passes, and which of their
/// rows it meets. Passing more comes first, since all must be passed for the total; then rows met, then the least key. `None`
/// where only record order could tell, or where the part is one of several that a row is read on (`shared`) and what serves
/// best depends on the others.
pub(crate) fn best_way(ways: Vec<(Key, Way)>, shared: bool, judge: impl Fn(&Way) -> (usize, Vec<bool>)) -> Option<Way> {
    struct Judged {
        worth: (usize, usize),
        rows: Vec<bool>,
        key: Key,
        way: Way,
    }
    let judged = ways.into_iter().map(|(key, way)| {
        let (passes, rows) = judge(&way);
        Judged { worth: (passes, rows.iter().filter(|met| **met).count()), rows, key, way }
    });
    let judged: Vec<Judged> = judged.collect();
    // Meets all that another meets, and more.
    let beats = |a: &Judged, b: &Judged| a.rows != b.rows && a.rows.iter().zip(&b.rows).all(|(a, b)| a >= b);
    let open: Vec<&Judged> = judged.iter().filter(|b| !judged.iter().any(|a| beats(a, b))).collect();
    if shared && open.iter().any(|one| one.rows != open[0].rows) {
        return None;
    }
    let best = open.iter().map(|one| (std::cmp::Reverse(one.worth), one.key)).min()?;
    let last: Vec<&&Judged> = open.iter().filter(|one| (std::cmp::Reverse(one.worth), one.key) == best).collect();
    let alike = last.iter().all(|one| one.rows == last[0].rows);
    alike.then(|| last[0].way.clone())
}

impl Search<'_> {
    fn reached(&self, order: &[(usize, usize)]) -> BTreeSet<usize> {
        order
            .iter()
            .flat_map(|(a, _)| self.world.actions[*a].frees.iter().chain(&self.world.actions[*a].does))
            .copied()
            .collect()
    }

    /// `order`: action, and the way taken in its one operation that has two.
    fn extend(&mut self, order: &mut Vec<(usize, usize)>) {
        let reached = self.reached(order);
        if reached.contains(&self.target) {
            self.weigh(order);
            return;
        }
        for (index, action) in self.world.actions.iter().enumerate() {
            let done = order.iter().any(|(a, _)| *a == index);
            let enabled = action.after.iter().all(|any| any.iter().any(|t| reached.contains(t)));
            if done || action.failed || !enabled {
                continue;
            }
            let ways = action.operations.iter().map(Vec::len).max().unwrap_or(1);
            for way in 0..ways {
                order.push((index, way));
                self.extend(order);
                order.pop();
            }
        }
    }

    fn sets(&self, (action, way): (usize, usize)) -> Vec<&Vec<usize>> {
        self.world.actions[action].operations.iter().map(|ways| ways.get(way).unwrap_or(&ways[0])).collect()
    }

    /// Steps ended, changes of tool that don't coincide with one, and tools at once, as the method's rule says.
    fn steps(&self, order: &[(usize, usize)]) -> (usize, usize) {
        let (mut steps, mut off) = (0, BTreeSet::new());
        let mut held: Option<Vec<usize>> = None;
        // A removal ended since tools were last used, that use included.
        let mut covered = false;
        for &taken in order {
            let frees = !self.world.actions[taken.0].frees.is_empty();
            let heats = |set: &Vec<usize>| !set.is_empty() && set.iter().all(|t| self.world.tools[*t].heat);
            let mut sets: Vec<Vec<usize>> = self.sets(taken).into_iter().cloned().collect();
            if self.counting.heat != Heat::Tool && frees && sets.last().is_some_and(heats) {
                // Heat lifts nothing: hands do.
                sets.push(Vec::new());
            }
            if self.counting.heat == Heat::Nothing {
                sets.retain(|set| !heats(set));
            }
            let last = sets.len().wrapping_sub(1);
            for (i, tools) in sets.iter().enumerate() {
                if !tools.is_empty() {
                    let new = held.as_ref().is_none_or(|h| tools.iter().any(|t| !h.contains(t)));
                    steps += usize::from(new && held.is_some() && !covered);
                    if self.counting.each && (new || covered) {
                        steps += tools.len() - 1;
                    }
                    held = Some(tools.clone());
                    covered = false;
                }
                if self.counting.heat == Heat::Step && heats(tools) {
                    steps += 1;
                    covered = true;
                }
                if i == last {
                    let before = off.len();
                    off.extend(self.world.actions[taken.0].frees.iter().copied());
                    if off.len() > before {
                        steps += 1;
                        covered = true;
                    }
                }
            }
        }
        (steps, off.len())
    }

    fn met(&self, order: &[(usize, usize)]) -> Met {
        let mut met = Met::default();
        for &taken in order {
            let action = &self.world.actions[taken.0];
            for tool in self.sets(taken).into_iter().flatten() {
                met.class = met.class.max(self.world.tools[*tool].class);
                met.hot |= self.world.tools[*tool].heat || self.world.tools[*tool].solvent;
            }
            for (kind, glue) in &action.fasteners {
                met.kind = met.kind.max(*kind);
                met.adhesives += usize::from(*glue);
            }
            met.place = met.place.max(action.place);
            met.skill = met.skill.max(action.skill);
        }
        met
    }

    fn weigh(&mut self, order: &[(usize, usize)]) {
        let world = self.world;
        let damaged: BTreeSet<usize> = order.iter().flat_map(|(a, _)| world.actions[*a].damages.clone()).collect();
        let (steps, off) = self.steps(order);
        let route = self.met(order);
        let key = [damaged.len(), steps, route.class, route.kind, route.place, route.skill, off, order.len()];
        if self.every.is_none() && self.best.is_some_and(|best| best < key) {
            return;
        }
        if self.best.is_none_or(|best| key < best) {
            self.best = Some(key);
            self.found.clear();
        }
        // The freeing action, which is the last, with the `do`s it needs up to the nearest removal.
        let mut near = vec![order.len() - 1];
        let mut at = 0;
        while at < near.len() {
            let wanted: BTreeSet<usize> = world.actions[order[near[at]].0].after.iter().flatten().copied().collect();
            for earlier in 0..near[at] {
                let does = world.actions[order[earlier].0].does;
                if does.is_some_and(|d| wanted.contains(&d)) && !near.contains(&earlier) {
                    near.push(earlier);
                }
            }
            at += 1;
        }
        let near: Vec<(usize, usize)> = near.iter().map(|i| order[*i]).collect();
        // What is lifted with the part is not in its way.
        let earlier = order[..order.len() - 1].iter().flat_map(|(a, _)| world.actions[*a].frees.iter().copied());
        let in_the_way = earlier.collect::<BTreeSet<usize>>().len();
        let way = Way {
            reach: if damaged.is_empty() { Reach::Yes } else { Reach::Damage },
            steps,
            part: self.met(&near),
            route,
            bundled: world.actions[order[order.len() - 1].0].frees.len() > 1,
            in_the_way,
        };
        if let Some(every) = &mut self.every {
            let least = every.entry(way).or_insert(key);
            *least = key.min(*least);
        } else {
            self.found.insert(way);
        }
    }
}
