//! Counting: routes, choices, completions, totals.

use std::collections::{BTreeMap, BTreeSet};

use super::*;

impl World {
    /// Every completion: all hidden places filled in.
    pub(crate) fn completions(&self) -> Vec<World> {
        let mut out = vec![World { hidden: Vec::new(), ..self.clone() }];
        for hidden in &self.hidden {
            out = out.iter().flat_map(|world| world.fillings(hidden)).collect();
        }
        // What was done could be done: a record in which it waits for what comes only after it, or never, is refused.
        let tried = |a: &usize| !self.hidden.iter().any(|h| matches!(h, Hidden::Works(w) if w == a));
        let done: Vec<usize> = (0..self.actions.len()).filter(|a| self.actions[*a].exists).filter(tried).collect();
        out.retain(|world| world.could_do(&done));
        out
    }

    fn could_do(&self, done: &[usize]) -> bool {
        let (mut reached, mut able) = (BTreeSet::new(), BTreeSet::new());
        for _ in 0..=self.actions.len() {
            for (index, act) in self.actions.iter().enumerate().filter(|(_, act)| act.exists) {
                if act.after.iter().all(|any| any.iter().any(|t| reached.contains(t) || act.frees.contains(t))) {
                    reached.extend(act.frees.iter().chain(&act.does).copied());
                    able.insert(index);
                }
            }
        }
        done.iter().all(|a| able.contains(a))
    }

    fn fillings(&self, hidden: &Hidden) -> Vec<World> {
        let each = |count: usize, set: &dyn Fn(&mut World, usize)| -> Vec<World> {
            let one = |i| {
                let mut world = self.clone();
                set(&mut world, i);
                world
            };
            (0..count).map(one).collect()
        };
        match hidden {
            Hidden::Kind(a, list) => each(list.len(), &|w, i| w.actions[*a].fastener.0 = list[i]),
            Hidden::Skill(a, list) => each(list.len(), &|w, i| w.actions[*a].skill = list[i]),
            Hidden::Works(a) => each(2, &|w, i| w.actions[*a].exists = i == 0),
            Hidden::Tool(a, list) => each(list.len(), &|w, i| w.actions[*a].operations[0] = vec![list[i]]),
            Hidden::Need(a, list) => each(list.len(), &|w, i| w.actions[*a].after[0] = vec![list[i]]),
            Hidden::Years(p, list) => each(list.len(), &|w, i| w.years[*p] = list[i]),
            Hidden::Role(r) => each(2, &|w, i| w.has[*r] = i == 0),
        }
    }

    /// Everything that can be read on a route to a part that may be chosen, each once. The outer `None`: only names could tell two
    /// routes apart.
    pub(crate) fn ways(&self, target: usize) -> Option<Vec<Way>> {
        let own = matches!(self.read, RouteRead::Official | RouteRead::OfficialOrFewest);
        if own && let Some(order) = self.own_route(target) {
            let all = self.with_ways(&order);
            // The order is the maker's; of alternatives in it the method takes its pick.
            if self.read == RouteRead::OfficialOrFewest {
                return self.least(&all, target);
            }
            let found: BTreeSet<Way> = all.iter().map(|order| self.way(target, order)).collect();
            return Some(found.into_iter().collect());
        }
        let mut orders = Vec::new();
        self.extend(target, &mut Vec::new(), &mut |order| orders.push(order.to_vec()));
        if matches!(self.read, RouteRead::Fewest | RouteRead::OfficialOrFewest) && !orders.is_empty() {
            return self.least(&orders, target);
        }
        let mut found: BTreeSet<Way> = orders.iter().map(|order| self.way(target, order)).collect();
        // Without damage where there is such a route, unless destructive routes are scored.
        let gentle = found.iter().any(|w: &Way| w.reach == 0);
        if gentle && !self.destructive {
            found.retain(|w| w.reach == 0);
        }
        if found.is_empty() {
            let met = [[0; 5]; 2];
            return Some(vec![Way { reach: 2, steps: 0, met, bundled: false, in_the_way: 0 }]);
        }
        Some(found.into_iter().collect())
    }

    /// The maker's own route to a part as far as it is needed, where each of its actions finds what it needs done before.
    fn own_route(&self, target: usize) -> Option<Vec<usize>> {
        let (mut reached, mut taken) = (BTreeSet::new(), Vec::new());
        for &index in &self.official {
            let act = &self.actions[index];
            if reached.contains(&target) {
                break;
            }
            // What failed is no way: left out, as everywhere.
            if !act.exists {
                continue;
            }
            if !act.after.iter().all(|any| any.iter().any(|t| reached.contains(t))) {
                return None;
            }
            reached.extend(act.frees.iter().chain(&act.does).copied());
            taken.push(index);
        }
        reached.contains(&target).then_some(taken)
    }

    /// An order with every choice of alternatives.
    fn with_ways(&self, order: &[usize]) -> Vec<Vec<(usize, Vec<usize>)>> {
        let mut out = vec![Vec::new()];
        for &index in order {
            let ways = self.alternatives(index);
            out = out
                .iter()
                .flat_map(|o: &Vec<_>| ways.iter().map(|w| [o.clone(), vec![(index, w.clone())]].concat()))
                .collect();
        }
        out
    }

    fn alternatives(&self, action: usize) -> Vec<Vec<usize>> {
        let mut ways = vec![Vec::new()];
        for operation in &self.actions[action].operations {
            let each = |w: &Vec<usize>| (0..operation.len()).map(|i| [w.clone(), vec![i]].concat()).collect::<Vec<_>>();
            ways = ways.iter().flat_map(each).collect();
        }
        ways
    }

    /// What is read on the order of the least key: damage, steps, worst tool class, fastener kind and skill met, parts off,
    /// actions. `None`: several orders have it, which read differently.
    fn least(&self, orders: &[Vec<(usize, Vec<usize>)>], target: usize) -> Option<Vec<Way>> {
        let keyed = |order: &Vec<(usize, Vec<usize>)>| {
            let way = self.way(target, order);
            let off: BTreeSet<usize> = order.iter().flat_map(|(a, _)| self.actions[*a].frees.iter().copied()).collect();
            let [class, kind, skill, ..] = way.met[0];
            let damage = if self.destructive { 0 } else { way.reach };
            ([damage, way.steps, class, kind, skill, off.len(), order.len()], way)
        };
        let all: Vec<_> = orders.iter().map(keyed).collect();
        let least = all.iter().map(|(key, _)| *key).min()?;
        let found: BTreeSet<Way> = all.into_iter().filter(|(key, _)| *key == least).map(|(_, way)| way).collect();
        (found.len() == 1).then(|| found.into_iter().collect())
    }

    fn extend(
        &self,
        target: usize,
        order: &mut Vec<(usize, Vec<usize>)>,
        found: &mut dyn FnMut(&[(usize, Vec<usize>)]),
    ) {
        let reached: BTreeSet<usize> = order
            .iter()
            .flat_map(|(a, _)| self.actions[*a].frees.iter().chain(&self.actions[*a].does))
            .copied()
            .collect();
        if reached.contains(&target) {
            found(order);
            return;
        }
        for (index, act) in self.actions.iter().enumerate() {
            let new = act.frees.iter().chain(&act.does).any(|t| !reached.contains(t));
            let enabled = act.after.iter().all(|any| any.iter().any(|t| reached.contains(t)));
            if !act.exists || !new || !enabled || order.iter().any(|(a, _)| *a == index) {
                continue;
            }
            for way in self.alternatives(index) {
                order.push((index, way));
                self.extend(target, order, found);
                order.pop();
            }
        }
    }

    fn tools_of(&self, (action, ways): &(usize, Vec<usize>)) -> Vec<Option<usize>> {
        self.actions[*action].operations.iter().zip(ways).map(|(o, w)| o[*w]).collect()
    }

    fn way(&self, target: usize, order: &[(usize, Vec<usize>)]) -> Way {
        let (mut steps, mut off, mut held, mut covered) = (0, BTreeSet::<usize>::new(), None, false);
        for taken in order {
            let tools = self.tools_of(taken);
            for (i, tool) in tools.iter().enumerate() {
                if tool.is_some() {
                    steps += usize::from(held.is_some() && held != *tool && !covered);
                    (held, covered) = (*tool, false);
                }
                let before = off.len();
                if i + 1 == tools.len() {
                    off.extend(&self.actions[taken.0].frees);
                }
                if off.len() > before {
                    steps += 1;
                    covered = true;
                }
            }
        }
        let last = order.len() - 1;
        let mut near = vec![last];
        let mut at = 0;
        while at < near.len() {
            let wanted: BTreeSet<usize> = self.actions[order[near[at]].0].after.iter().flatten().copied().collect();
            for place in 0..order.len() {
                let does = self.actions[order[place].0].does;
                if does.is_some_and(|d| wanted.contains(&d)) && !near.contains(&place) {
                    near.push(place);
                }
            }
            at += 1;
        }
        let near: Vec<_> = near.into_iter().map(|i| order[i].clone()).collect();
        let before: BTreeSet<usize> =
            order[..last].iter().flat_map(|(a, _)| self.actions[*a].frees.iter().copied()).collect();
        Way {
            reach: usize::from(order.iter().any(|(a, _)| self.actions[*a].destroys)),
            steps,
            met: [self.met(order), self.met(&near)],
            bundled: self.actions[order[last].0].frees.iter().any(|t| *t != target),
            in_the_way: before.len(),
        }
    }

    fn met(&self, order: &[(usize, Vec<usize>)]) -> [usize; 5] {
        let mut met = [0; 5];
        for taken in order {
            let act = &self.actions[taken.0];
            for tool in self.tools_of(taken).into_iter().flatten() {
                met[0] = met[0].max(self.tools[tool].0);
                met[3] |= usize::from(self.tools[tool].1);
            }
            met[1] = met[1].max(act.fastener.0);
            met[2] = met[2].max(act.skill);
            met[4] += usize::from(act.fastener.1);
        }
        met
    }

    /// Every choice of one route for each part with a role the device has; `None`: too many.
    pub(crate) fn choices(&self) -> Option<Vec<Choice>> {
        let mut out: Vec<Choice> = vec![BTreeMap::new()];
        for (part, role) in self.parts.iter().enumerate() {
            if !role.is_some_and(|r| self.has[r]) {
                continue;
            }
            let ways = self.ways(part)?;
            if out.len() * ways.len() > 4_000 {
                return None;
            }
            out = out
                .iter()
                .flat_map(|choice| {
                    ways.iter().map(|way| {
                        let mut choice = choice.clone();
                        choice.insert(part, way.clone());
                        choice
                    })
                })
                .collect();
        }
        Some(out)
    }

    /// The total of a complete world: the highest of all choices. The outer `None`: too many choices.
    pub(crate) fn total(&self) -> Option<Option<R>> {
        let choices = self.choices()?;
        Some(choices.iter().map(|c| self.value(&self.tree, c)).max().unwrap_or_default())
    }

    /// Lowest and highest total over all completions, those left out aside. The outer `None`: too many.
    pub(crate) fn range(&self) -> Option<[Option<R>; 2]> {
        let totals: Option<Vec<Option<R>>> = self.completions().iter().map(World::total).collect();
        let there: Vec<R> = totals?.into_iter().flatten().collect();
        Some([there.iter().min().copied(), there.iter().max().copied()])
    }

    fn value(&self, tree: &Tree, choice: &Choice) -> Option<R> {
        match tree {
            Tree::Group { how, of } => {
                let list: Vec<(i64, Option<R>)> = of.iter().map(|(w, t)| (*w, self.value(t, choice))).collect();
                combine(*how, &list)
            }
            Tree::Each { roles, how, .. } => {
                let list: Vec<(i64, Option<R>)> =
                    roles.iter().map(|&r| (self.weights[r], self.row(tree, r, choice))).collect();
                combine(*how, &list)
            }
        }
    }

    /// A criterion for one role: of several parts the worst.
    pub(crate) fn row(&self, tree: &Tree, role: usize, choice: &Choice) -> Option<R> {
        let Tree::Each { reads, at_part, points, .. } = tree else { return None };
        let of = |n: usize| points[n.min(points.len() - 1)];
        let parts = (0..self.parts.len()).filter(|&p| self.parts[p] == Some(role) && self.has[role]);
        let worst = parts
            .map(|part| {
                let way = &choice[&part];
                if *reads == Reads::Years {
                    return of(usize::from(self.years[part] < 7));
                }
                if *reads == Reads::Reachable {
                    return of(way.reach);
                }
                // What can't be scored has the worst points.
                if way.reach == 2 || way.reach == 1 && !self.destructive {
                    return *points.last().expect("a table");
                }
                let met = &way.met[usize::from(*at_part)];
                of(match reads {
                    Reads::Depth => way.steps,
                    Reads::Tools => met[0],
                    Reads::Fasteners => met[1],
                    Reads::Skill => met[2],
                    Reads::Heat => met[3],
                    Reads::Adhesives => met[4],
                    Reads::InTheWay => way.in_the_way,
                    _ => usize::from(way.bundled),
                })
            })
            .min();
        worst.or(self.absent).map(R::from_integer)
    }
}

/// As `criteria/README.md` says: what is left out takes its weight with it; a limit or a gate is left out with its first.
fn combine(how: How, list: &[(i64, Option<R>)]) -> Option<R> {
    let there: Vec<(i64, R)> = list.iter().filter_map(|(w, v)| v.map(|v| (*w, v))).collect();
    if there.is_empty() {
        return None;
    }
    let sum: R = there.iter().map(|(w, v)| v * w).sum();
    match how {
        How::Mean => Some(sum / there.iter().map(|(w, _)| w).sum::<i64>()),
        How::Sum => Some(sum),
        How::Worst => there.iter().map(|(_, v)| *v).min(),
        How::Best => there.iter().map(|(_, v)| *v).max(),
        How::Cap => {
            let first = list[0].1?;
            Some(list[1..].iter().filter_map(|(_, v)| *v).fold(first, R::min))
        }
        How::Gate => {
            let first = list[0].1?;
            let met = list[1..].iter().filter_map(|(_, v)| *v).all(|v| v >= R::from_integer(1));
            Some(if met { first } else { R::from_integer(0) })
        }
    }
}
