//! Ways joined to a tree. Each way is put into the order, as good as its own, that shares most with those before it; a
//! replayer that knows nothing of the search recounts every order before it is taken.

use std::collections::{BTreeMap, BTreeSet};

use scoring::assess::Reach;
use scoring::assess::problem::{Posed, pose};
use scoring::range::{Assessment, Completion};
use scoring::record::{Aim, Outcome, Record};
use scoring::route::{Replayed, Taken, Target, Thing, replay};
use scoring::vocab::class::fold;
use scoring::vocab::{Basis, Family};

use crate::clean::line;
use crate::facts::Sticky;
use crate::words::english as en;

/// What stands on a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Something is unplugged.
    Plug,
    /// One of several actions that make the device safe only together; others still lie ahead.
    Together,
    /// From here on the device is safe to work on.
    Safe,
    /// Heat.
    Heat,
    /// A solvent.
    Solvent,
    /// Glue or tape that is cut or left behind.
    Glue,
}

/// How what stands on a line is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// Done on this bench.
    Done,
    /// Written by word lists, reviewed by nobody.
    Drafted,
    /// Shown or described elsewhere, planned.
    Told,
    /// Nobody tried.
    Untried,
}

/// Actions without a branch between them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Steps counted before and after.
    pub steps: [u32; 2],
    /// Parts that come off on the way, without the one at the end.
    pub off: Vec<String>,
    /// Tools, in the order of their first use.
    pub tools: Vec<String>,
    /// Marks, each once.
    pub marks: BTreeSet<Mark>,
    /// What sticks and is cut.
    pub stuck: BTreeSet<Sticky>,
    /// Plugs undone and other things that count nothing and free nothing.
    pub plugs: usize,
    /// What is done that frees nothing, as the record calls it.
    pub undone: Vec<String>,
    /// How it is known; the least known counts.
    pub known: Known,
    /// The part that counts and comes off at the end.
    pub end: Option<End>,
    /// Parts that count and lie at the end or behind.
    pub behind: usize,
    /// Stretches that go on from here.
    pub next: Vec<Stretch>,
}

/// What stands at the end of a stretch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct End {
    /// What the part is called.
    pub name: String,
    /// Roles it fills.
    pub roles: Vec<String>,
    /// Parts destroyed on its way.
    pub destroys: Vec<String>,
    /// A way that failed, and why.
    pub failed: Option<String>,
    /// Like parts reached alike: `left and right damper` are two.
    pub twins: usize,
    /// A bound on the steps where the way is not proved shortest.
    pub at_least: Option<u32>,
}

/// All ways.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tree {
    /// Stretches that start from the closed device.
    pub roots: Vec<Stretch>,
    /// Parts that count and have no way, and why.
    pub beyond: Vec<(String, String)>,
    /// Parts left out of the drawing, with their steps.
    pub more: Vec<(String, u32)>,
}

/// A way as the tree takes it.
struct Way {
    thing: Thing,
    /// The other of two that are one row.
    twin: Option<Thing>,
    known: Known,
    name: String,
    roles: Vec<String>,
    taken: Vec<Taken>,
    steps: u32,
    authorisation: u32,
    at_least: Option<u32>,
    twins: usize,
    destroyed: usize,
    weight: scoring::exact::Exact,
}

struct Node {
    taken: Taken,
    ends: Vec<usize>,
    next: Vec<Node>,
}

/// The tree of the ways to the parts an assessment weighs, at its high end; at most `rows` of them drawn, heaviest first.
pub fn tree(record: &Record, a: &Assessment, rows: usize) -> Tree {
    let end = &a.ends[1];
    let posed = pose(&end.device, &a.method.steps);
    let (mut ways, beyond) = ways(record, a, end, &posed);
    twins(&mut ways);
    let mut more = Vec::new();
    loop {
        let mut order: Vec<usize> = (0..ways.len()).collect();
        // Short ways first: they become the trunks.
        order.sort_by_key(|&w| (ways[w].taken.len(), w));
        let mut roots: Vec<Node> = Vec::new();
        for w in order {
            let taken = shared(&roots, &ways[w], &posed);
            insert(&mut roots, &taken, w);
        }
        let build = Build { record, end, posed: &posed, ways: &ways };
        let roots: Vec<Stretch> = roots.iter().map(|n| build.stretch(n, &[])).collect();
        let leaves: usize = roots.iter().map(leaves).sum();
        if leaves <= rows || ways.len() <= 1 {
            more.reverse();
            return Tree { roots, beyond, more };
        }
        // The lightest goes, of equals the last one; what is destroyed stays.
        let rank = |w: usize| (ways[w].destroyed > 0, &ways[w].weight);
        let lightest = (0..ways.len()).rev().min_by(|x, y| rank(*x).cmp(&rank(*y))).unwrap_or(0);
        let gone = ways.remove(lightest);
        more.push((gone.name, gone.steps));
    }
}

fn leaves(stretch: &Stretch) -> usize {
    if stretch.next.is_empty() { 1 } else { stretch.next.iter().map(leaves).sum() }
}

fn ways(record: &Record, a: &Assessment, end: &Completion, posed: &Posed) -> (Vec<Way>, Vec<(String, String)>) {
    let (mut out, mut beyond): (Vec<Way>, Vec<(String, String)>) = (Vec::new(), Vec::new());
    for role in a.roles.iter().filter(|r| r.weight.is_some()) {
        let fits = |f: &&scoring::record::complete::Fill| {
            f.present && f.part.is_some() && scoring::assess::plan::role_fits(&role.role, &f.role)
        };
        if role.unmentioned {
            beyond.push((line(&role.role), en::NOT_MENTIONED.to_owned()));
        }
        for fill in end.device.fills.iter().filter(fits) {
            let own = end.device.things.get(fill.thing as usize).map_or_else(String::new, |n| line(n));
            let name = if role.parts.len() > 1 { own.clone() } else { en::name(&role.role, &own) };
            if let Some(known) = out.iter_mut().find(|w| w.thing == fill.thing) {
                known.roles.push(line(&role.role));
                continue;
            }
            let Some(route) = end.evaluated.routes.get(&fill.thing) else { continue };
            let place = |origin: usize| posed.origin.iter().position(|o| *o == origin);
            let taken: Vec<Taken> = route
                .taken
                .iter()
                .filter_map(|(action, ways)| Some(Taken { action: place(*action)?, ways: ways.clone() }))
                .collect();
            let counted = replay(&posed.problem, Some(&Target::All(vec![fill.thing])), &taken);
            if route.reach == Reach::No || counted.is_err() {
                if !beyond.iter().any(|(n, _)| *n == name) {
                    let why = failed(record, &own).unwrap_or_else(|| en::NO_WAY.to_owned());
                    beyond.push((name, why));
                }
                continue;
            }
            out.push(Way {
                thing: fill.thing,
                twin: None,
                known: route.taken.iter().map(|(a, _)| known(record, end, *a)).max().unwrap_or(Known::Done),
                name,
                roles: vec![line(&role.role)],
                taken,
                steps: route.steps,
                authorisation: route.authorisation,
                at_least: Some(route.at_least).filter(|n| *n < route.steps),
                twins: 1,
                destroyed: counted.map_or(0, |c| c.key.damaged as usize),
                weight: role.weight.clone().unwrap_or_else(scoring::exact::Exact::zero),
            });
        }
    }
    (out, beyond)
}

/// Left and right of one thing, in as many steps by as many actions, are one row.
fn twins(ways: &mut Vec<Way>) {
    let split = |name: &str| name.split_once(' ').map(|(side, rest)| (side.to_owned(), rest.to_owned()));
    let mut at = 0;
    while at < ways.len() {
        if let Some((side, rest)) = split(&ways[at].name).filter(|(side, _)| side == "left" || side == "right") {
            let other = if side == "left" { "right" } else { "left" };
            let twin = (at + 1..ways.len()).find(|&w| {
                ways[w].name == format!("{other} {rest}")
                    && ways[w].steps == ways[at].steps
                    && ways[w].taken.len() == ways[at].taken.len()
                    && ways[w].roles == ways[at].roles
                    && ways[w].destroyed == ways[at].destroyed
                    && ways[w].known == ways[at].known
            });
            if let Some(twin) = twin {
                ways[at].twin = Some(ways[twin].thing);
                ways.remove(twin);
                ways[at].name = en::left_and_right(&rest);
                ways[at].twins = 2;
            }
        }
        at += 1;
    }
}

/// How an action is known, by its place in a completion.
fn known(record: &Record, end: &Completion, action: usize) -> Known {
    match end.device.actions[action].written.map(|w| &record.actions[w]) {
        None => Known::Untried,
        Some(w) if w.outcome.value == Outcome::NotAttempted => Known::Untried,
        Some(w) => match w.margin.basis.unwrap_or(record.teardown.basis()) {
            Basis::Seen => Known::Done,
            Basis::Drafted => Known::Drafted,
            _ => Known::Told,
        },
    }
}

fn failed(record: &Record, part: &str) -> Option<String> {
    let frees = |a: &&scoring::record::Action| matches!(&a.aim, Aim::Free(parts) if parts.iter().any(|p| fold(&p.value) == fold(part)));
    let action = record.actions.iter().filter(frees).find(|a| a.outcome.value == Outcome::Failed)?;
    Some(en::failed(action.because.as_deref().map(line).as_deref()))
}

/// The order of a way that shares most with the tree and counts no more than its own.
fn shared(roots: &[Node], way: &Way, posed: &Posed) -> Vec<Taken> {
    let mut prefixes: Vec<Vec<Taken>> = vec![Vec::new()];
    walk(roots, &way.taken, &mut Vec::new(), &mut prefixes);
    prefixes.sort_by_key(|p| std::cmp::Reverse(p.len()));
    for prefix in prefixes {
        let rest = way.taken.iter().filter(|t| !prefix.contains(t)).cloned();
        let order: Vec<Taken> = prefix.iter().cloned().chain(rest).collect();
        if counts(posed, way, &order).is_some_and(|r| r.key.steps <= way.steps - way.authorisation) {
            return order;
        }
    }
    way.taken.clone()
}

fn counts(posed: &Posed, way: &Way, order: &[Taken]) -> Option<Replayed> {
    replay(&posed.problem, Some(&Target::All(vec![way.thing])), order).ok()
}

/// Paths of the tree that a way can go along.
fn walk(nodes: &[Node], taken: &[Taken], path: &mut Vec<Taken>, out: &mut Vec<Vec<Taken>>) {
    for node in nodes.iter().filter(|n| taken.contains(&n.taken)) {
        path.push(node.taken.clone());
        out.push(path.clone());
        walk(&node.next, taken, path, out);
        path.pop();
    }
}

fn insert(nodes: &mut Vec<Node>, taken: &[Taken], way: usize) {
    let Some((first, rest)) = taken.split_first() else { return };
    let at = nodes.iter().position(|n| n.taken == *first).unwrap_or_else(|| {
        nodes.push(Node { taken: first.clone(), ends: Vec::new(), next: Vec::new() });
        nodes.len() - 1
    });
    if rest.is_empty() {
        nodes[at].ends.push(way);
    } else {
        insert(&mut nodes[at].next, rest, way);
    }
}

struct Build<'a> {
    record: &'a Record,
    end: &'a Completion,
    posed: &'a Posed,
    ways: &'a [Way],
}

impl Build<'_> {
    /// A stretch from a node down to the next branch or the next part that counts.
    fn stretch(&self, first: &Node, before: &[Taken]) -> Stretch {
        let mut path: Vec<Taken> = before.to_vec();
        let start = self.total(&path);
        let mut out = Stretch {
            steps: [start, start],
            off: Vec::new(),
            tools: Vec::new(),
            marks: BTreeSet::new(),
            stuck: BTreeSet::new(),
            plugs: 0,
            undone: Vec::new(),
            known: Known::Done,
            end: None,
            behind: 0,
            next: Vec::new(),
        };
        let mut node = first;
        loop {
            let steps = self.total(&path);
            path.push(node.taken.clone());
            let counted = self.total(&path) > steps;
            self.take(node, counted, &mut out);
            out.marks.extend(self.safe(&path));
            if !node.ends.is_empty() || node.next.len() != 1 {
                break;
            }
            node = &node.next[0];
        }
        // Where the last of them stands on the same line, that is what there is to know.
        if out.marks.contains(&Mark::Safe) {
            out.marks.remove(&Mark::Together);
        }
        out.steps[1] = self.total(&path);
        // What remote authorisation adds belongs to the part at the end of its way.
        if node.next.is_empty() {
            out.steps[1] += node.ends.iter().map(|&w| self.ways[w].authorisation).max().unwrap_or(0);
        }
        out.end = self.end_of(node, &path);
        if let Some(end) = &out.end {
            out.off.retain(|n| !self.is_end(node, n));
            out.behind = end.twins;
        }
        out.next = node.next.iter().map(|n| self.stretch(n, &path)).collect();
        out.behind += out.next.iter().map(|n| n.behind).sum::<usize>();
        out
    }

    fn total(&self, path: &[Taken]) -> u32 {
        replay(&self.posed.problem, None, path).map_or(0, |r| r.key.steps)
    }

    fn name(&self, thing: Thing) -> String {
        self.end.device.things.get(thing as usize).map_or_else(String::new, |n| line(n))
    }

    fn is_end(&self, node: &Node, name: &str) -> bool {
        let of = |&w: &usize| [Some(self.ways[w].thing), self.ways[w].twin].into_iter().flatten();
        node.ends.iter().flat_map(of).any(|thing| self.name(thing) == name)
    }

    fn take(&self, node: &Node, counted: bool, out: &mut Stretch) {
        let action = &self.end.device.actions[self.posed.origin[node.taken.action]];
        let written = action.written.map(|w| &self.record.actions[w]);
        for &thing in &action.frees {
            let name = self.name(thing);
            if !out.off.contains(&name) {
                out.off.push(name);
            }
        }
        let mut solvent = false;
        for (list, &way) in action.operations.iter().zip(&node.taken.ways) {
            for &t in list.get(way).into_iter().flatten() {
                let tool = &self.end.device.tools[t];
                solvent |= tool.solvent;
                if tool.heat {
                    out.marks.insert(Mark::Heat);
                } else if tool.solvent {
                    out.marks.insert(Mark::Solvent);
                }
                let name = line(self.record.tools.get(t).map_or(&*tool.name, |written| &written.short));
                if !out.tools.contains(&name) {
                    out.tools.push(name);
                }
            }
        }
        // What a solvent opens isn't cut.
        let stuck: Vec<Sticky> = Sticky::opened(self.record, action).filter(|_| !solvent).collect();
        if !stuck.is_empty() {
            out.marks.insert(Mark::Glue);
            out.stuck.extend(stuck);
        }
        out.undone.extend(action.does.filter(|_| action.frees.is_empty()).map(|t| self.name(t)));
        if action.frees.is_empty() && !counted {
            out.plugs += 1;
            if written.is_some_and(|w| w.loosen.iter().any(|l| l.family == Family::Plug)) {
                out.marks.insert(Mark::Plug);
            }
        }
        out.known = out.known.max(known(self.record, self.end, self.posed.origin[node.taken.action]));
    }

    /// Whether the last action of a path makes the device safe: by itself, as the last of several that do so together, or as one
    /// of them while others still lie ahead.
    fn safe(&self, path: &[Taken]) -> Option<Mark> {
        let written = |t: &Taken| self.end.device.actions[self.posed.origin[t.action]].written;
        let last = &self.record.actions[written(path.last()?)?];
        if last.makes_safe {
            return Some(Mark::Safe);
        }
        if !last.safe_together {
            return None;
        }
        let done: BTreeSet<usize> = path.iter().filter_map(written).collect();
        let missing =
            (0..self.record.actions.len()).any(|i| self.record.actions[i].safe_together && !done.contains(&i));
        Some(if missing { Mark::Together } else { Mark::Safe })
    }

    fn end_of(&self, node: &Node, path: &[Taken]) -> Option<End> {
        let first = self.ways.get(*node.ends.first()?)?;
        let names: Vec<&str> = node.ends.iter().map(|&w| self.ways[w].name.as_str()).collect();
        let mut destroys: BTreeMap<Thing, String> = BTreeMap::new();
        for taken in path {
            let action = &self.end.device.actions[self.posed.origin[taken.action]];
            destroys.extend(action.destroys.iter().map(|t| (*t, self.name(*t))));
        }
        Some(End {
            name: crate::plural::list(&names),
            roles: node.ends.iter().flat_map(|&w| self.ways[w].roles.clone()).collect(),
            destroys: destroys.into_values().collect(),
            failed: failed(self.record, &self.name(first.thing)),
            twins: node.ends.iter().map(|&w| self.ways[w].twins).sum(),
            at_least: node.ends.iter().find_map(|&w| self.ways[w].at_least),
        })
    }
}
