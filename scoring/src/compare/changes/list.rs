//! Every single change of a design or a promise that the methods can see.

use std::collections::BTreeSet;

use super::Change;
use super::apply::Make;
use crate::assess::PlanKind;
use crate::assess::points::thresholds;
use crate::exact::Exact;
use crate::method::Measure;
use crate::need::{self, Need, Thing};
use crate::range::{Case, Edit, Study};
use crate::record::{Named, Outcome, Record, Term};
use crate::text::fold;
use crate::vocab::class::Words;
use crate::vocab::promise::{Holds, Of, Promise};
use crate::vocab::{Kind, Place, Skill, ToolClass};

/// Changes to a record as seen by some methods, in record order; and the ids of those that are not offered, because they
/// would free a part without opening anything first.
pub(super) fn list(record: &Record, studies: &[&Study<'_>]) -> (Vec<Change>, Vec<String>) {
    let Some(first) = studies.first() else { return (Vec::new(), Vec::new()) };
    let mut lister =
        Lister { record, studies, case: &first.case, worse: false, out: Vec::new(), kept_back: Vec::new() };
    if lister.reads(Measure::on_route) {
        for action in 0..record.actions.len() {
            lister.action(action);
        }
    }
    lister.whole_bench();
    lister.parts();
    lister.spares();
    lister.device();
    (lister.out, lister.kept_back)
}

/// What would make things worse, fact by fact: kinds, environments, skill, words of promises. Lower numbers are among the changes of
/// [`list`], which has every bound.
pub(super) fn worse(record: &Record, studies: &[&Study<'_>]) -> Vec<Change> {
    let Some(first) = studies.first() else { return Vec::new() };
    let mut lister = Lister { record, studies, case: &first.case, worse: true, out: Vec::new(), kept_back: Vec::new() };
    if lister.reads(Measure::on_route) {
        for action in 0..record.actions.len() {
            lister.action(action);
        }
    }
    lister.whole_bench();
    lister.spares();
    lister.device();
    lister.out
}

struct Lister<'a, 'm> {
    record: &'a Record,
    studies: &'a [&'a Study<'m>],
    /// Actions, parts and roles of the record have the same indices in every case.
    case: &'a Case,
    /// What makes things worse is listed, not what makes them better.
    worse: bool,
    out: Vec<Change>,
    kept_back: Vec<String>,
}

impl Lister<'_, '_> {
    fn add(&mut self, id: String, words: String, path: &str, make: Make) {
        self.out.push(Change { id, words, path: path.to_owned(), make });
    }

    fn reads(&self, wanted: impl Fn(&Measure) -> bool) -> bool {
        self.studies
            .iter()
            .any(|s| s.plan.leaves().any(|l| matches!(&s.plan.nodes[l].kind, PlanKind::Leaf(m, _, _) if wanted(m))))
    }

    /// Bounds of every table that reads a measure wanted, ascending.
    fn bounds(&self, wanted: impl Fn(&Measure) -> bool) -> Vec<Exact> {
        let mut out = BTreeSet::new();
        for study in self.studies {
            for node in &study.plan.nodes {
                if let PlanKind::Leaf(m, _, table) = &node.kind
                    && wanted(m)
                {
                    out.extend(thresholds(table));
                }
            }
        }
        out.into_iter().collect()
    }

    /// Edits of the base and of every answer, those that concern one thing.
    fn told<T: Clone + PartialEq>(&self, now: T, read: impl Fn(&Edit) -> Option<T>) -> Vec<T> {
        let mut out = vec![now];
        for edit in self.case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits) {
            if let Some(value) = read(edit)
                && !out.contains(&value)
            {
                out.push(value);
            }
        }
        out
    }

    /// Milestones in whose place an answer puts another.
    fn slots(&self) -> BTreeSet<Thing> {
        let edits = self.case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
        let slot = |e: &Edit| if let Edit::Replace(_, slot, _) = e { Some(*slot) } else { None };
        edits.filter_map(slot).collect()
    }

    fn action(&mut self, index: usize) {
        let written = &self.record.actions[index];
        if self.worse {
            if written.outcome.value != Outcome::Failed {
                self.fasteners(index);
                self.circumstances(index);
            }
            return;
        }
        if written.outcome.value == Outcome::Failed {
            let path = format!("{}.outcome", written.path);
            let words = format!("`{}`, which failed: make sure that it works as described", written.id);
            self.add(format!("way {path} -> done"), words, &path, Make::Works(index));
            return;
        }
        if written.outcome.value == Outcome::NotAttempted {
            let path = format!("{}.outcome", written.path);
            let words = format!("`{}`: make sure that it works as described", written.id);
            self.add(format!("way {path} -> done"), words, &path, Make::Edits(vec![Edit::Exists(index, true)]));
        }
        self.fasteners(index);
        self.tools(index);
        self.circumstances(index);
        self.order(index);
        let frees = self.case.base.actions[index].frees.clone();
        for &part in frees.iter().filter(|_| frees.len() > 1) {
            if self.case.base.fills.iter().any(|f| f.thing == part) {
                let name = &self.case.base.things[part as usize];
                let id = format!("isolation {}.free -> {name} alone", written.path);
                let words = format!("let {name} come off alone, not in one lift with others");
                self.add(id, words, &written.path, Make::Alone(index, part));
            }
        }
    }

    fn fasteners(&mut self, index: usize) {
        let written = &self.record.actions[index];
        for (slot, fastener) in self.case.base.actions[index].fasteners.iter().enumerate() {
            let Some(loosened) = fastener.written.and_then(|w| written.loosen.get(w)) else { continue };
            // A design change needs something to change.
            if loosened.named != Named::Fastener {
                continue;
            }
            let kinds = self.told(fastener.kind, |e| match e {
                Edit::Fastener(a, i, kind) if *a == index && *i == slot => Some(*kind),
                _ => None,
            });
            let worst = kinds.iter().max().copied().unwrap_or(fastener.kind);
            if self.worse {
                for kind in Kind::ALL.iter().copied().filter(|k| *k > worst) {
                    let id = format!("fastener {} -> {kind}", loosened.path);
                    let words = format!("`{}`: {}, if it were {kind}", written.id, loosened.text);
                    let make = Make::Edits(vec![Edit::Fastener(index, slot, kind)]);
                    self.out.push(Change { id, words, path: loosened.path.clone(), make });
                }
                continue;
            }
            for kind in [Kind::Reusable, Kind::Resupplied, Kind::Removable].into_iter().filter(|k| *k < worst) {
                let id = format!("fastener {} -> {kind}", loosened.path);
                let (what, of) = (&loosened.text, &written.id);
                let words = match kind {
                    Kind::Reusable => format!("`{of}`: use a reusable fastener instead of {what}"),
                    Kind::Resupplied => format!("`{of}`: supply {what} with the spare part"),
                    _ => format!("`{of}`: use {what} that comes off without damage or residue"),
                };
                let mut edits = vec![Edit::Fastener(index, slot, kind)];
                if kind == Kind::Reusable && fastener.adhesive {
                    edits.push(Edit::Adhesive(index, slot, false));
                }
                self.out.push(Change { id, words, path: loosened.path.clone(), make: Make::Edits(edits) });
            }
        }
    }

    fn tools(&mut self, index: usize) {
        let written = &self.record.actions[index];
        let tools = &self.case.base.tools;
        let basic: Vec<usize> = (0..self.record.tools.len())
            .filter(|&t| tools[t].class == ToolClass::Basic && !tools[t].heat && !tools[t].solvent)
            .collect();
        for operation in 0..self.case.base.actions[index].operations.len() {
            let now = self.case.base.actions[index].operations[operation].clone();
            let told = self.told(now, |e| match e {
                Edit::Ways(a, o, ways) if *a == index && *o == operation => Some(ways.clone()),
                _ => None,
            });
            let by_hand = |ways: &Vec<Vec<usize>>| ways.iter().any(Vec::is_empty);
            if told.iter().all(by_hand) {
                continue;
            }
            let path =
                written.with.get(operation).map_or_else(|| format!("{}.with", written.path), |f| f.ways.path.clone());
            let of = &written.id;
            // Of one operation among several it is said which.
            let several = self.case.base.actions[index].operations.len() > 1;
            let now = told.first().and_then(|ways| ways.first()).filter(|set| several && !set.is_empty());
            let name_of = |&tool: &usize| tools[tool].name.to_string();
            let now = now.map(|set| set.iter().map(name_of).collect::<Vec<_>>().join(" and "));
            let with = |tool: &str| match &now {
                Some(now) => format!("`{of}`: let {tool} do what {now} does"),
                None if tool == "bare hands" => format!("`{of}`: let bare hands do it"),
                None => format!("`{of}`: make it work with {tool}"),
            };
            let ways = |set: Vec<usize>| Make::Edits(vec![Edit::Ways(index, operation, vec![set])]);
            let mut made = vec![(format!("tool {path} -> hands"), with("bare hands"), ways(vec![]))];
            for &tool in &basic {
                if told.iter().all(|w| w.contains(&vec![tool])) {
                    continue;
                }
                let name = &tools[tool].name;
                made.push((format!("tool {path} -> {name}"), with(name), ways(vec![tool])));
            }
            if basic.is_empty() {
                let words = format!("`{of}`: make it work with a basic tool");
                made.push((format!("tool {path} -> basic"), words, Make::BasicTool(index, operation)));
            }
            for (id, words, make) in made {
                self.out.push(Change { id, words, path: path.clone(), make });
            }
        }
    }

    fn order(&mut self, index: usize) {
        let written = &self.record.actions[index];
        let after = self.case.base.actions[index].after.clone();
        let told = self.told(after, |e| match e {
            Edit::After(a, needs) if *a == index => Some(needs.clone()),
            Edit::Replace(a, _, thing) if *a == index => Some(vec![Need::Thing(*thing)]),
            _ => None,
        });
        let things: BTreeSet<Thing> = told.iter().flat_map(|needs| need::things(needs)).collect();
        let path = format!("{}.after", written.path);
        let slots = self.slots();
        // What stands for one of several is no name of the record.
        for thing in things.iter().copied().filter(|t| !slots.contains(t)) {
            let name = self.case.base.things[thing as usize].clone();
            let id = format!("order {path} -> without {name}");
            // A part freed without opening anything first would lie on the closed device.
            if self.opens_nothing(index, &told, thing) {
                self.kept_back.push(id);
                continue;
            }
            // What has to go before the one left out is left out with it, unless it is asked for itself.
            let mut behind = BTreeSet::new();
            for action in self.case.base.actions.iter().filter(|a| a.exists) {
                if action.frees.contains(&thing) || action.does == Some(thing) {
                    behind.extend(need::things(&action.after));
                }
            }
            let more = if behind.is_subset(&things) { "" } else { " and what that needs" };
            let does = |a: &&crate::record::Action| a.names().into_iter().any(|n| fold(n) == fold(&name));
            let safe = self.record.actions.iter().filter(does).any(|a| a.makes_safe || a.safe_together);
            let safe = if safe { ", which makes the device safe (only where it is safe without)" } else { "" };
            let words = format!("`{}`: make it possible without `{name}`{more} first{safe}", written.id);
            self.add(id, words, &path, Make::Edits(vec![Edit::Without(index, thing)]));
        }
    }

    /// Whether an action that frees something would need nothing any more without one of its needs.
    fn opens_nothing(&self, index: usize, told: &[Vec<Need>], thing: Thing) -> bool {
        let only = |needs: &Vec<Need>| needs.iter().all(|need| *need == Need::Thing(thing));
        !self.case.base.actions[index].frees.is_empty() && told.iter().any(|needs| !needs.is_empty() && only(needs))
    }

    /// Environment and skill of an action that states its own.
    fn circumstances(&mut self, index: usize) {
        let written = &self.record.actions[index];
        if written.place.is_some() {
            self.place(vec![index], &format!("{}.place", written.path), &format!("`{}`", written.id));
        }
        if written.skill.is_some() {
            self.skill(vec![index], &format!("{}.skill", written.path), &format!("`{}`", written.id));
        }
    }

    /// Environment and skill of all actions that state none of their own.
    fn whole_bench(&mut self) {
        let others = |own: fn(&crate::record::Action) -> bool| -> Vec<usize> {
            (0..self.record.actions.len()).filter(|&a| !own(&self.record.actions[a])).collect()
        };
        let (places, skills) = (others(|a| a.place.is_some()), others(|a| a.skill.is_some()));
        self.place(places, "teardown.place", "all work that states no place of its own");
        self.skill(skills, "teardown.skill", "all work that states no skill of its own");
    }

    fn place(&mut self, actions: Vec<usize>, path: &str, what: &str) {
        if actions.is_empty() || !self.reads(|m| *m == Measure::Environment) {
            return;
        }
        let now = actions.iter().map(|&a| self.case.base.actions[a].place).max().unwrap_or(Place::Use);
        let told = self.told(now, |e| match e {
            Edit::Place(list, place) if list.iter().any(|a| actions.contains(a)) => Some(*place),
            _ => None,
        });
        let worst = told.into_iter().max().unwrap_or(now);
        let down = self.worse;
        for &place in Place::ALL.iter().filter(|p| if down { **p > worst } else { **p < worst }) {
            let words = if down {
                format!("{what}: if it took the environment `{place}`")
            } else {
                format!("{what}: make it possible in the environment `{place}`")
            };
            let make = Make::Edits(vec![Edit::Place(actions.clone(), place)]);
            self.add(format!("place {path} -> {place}"), words, path, make);
        }
    }

    fn skill(&mut self, actions: Vec<usize>, path: &str, what: &str) {
        if actions.is_empty() || !self.reads(|m| *m == Measure::Skill) {
            return;
        }
        let now = actions.iter().map(|&a| self.case.base.actions[a].skill).max().unwrap_or(Skill::Layman);
        let told = self.told(now, |e| match e {
            Edit::Skill(list, skill) if list.iter().any(|a| actions.contains(a)) => Some(*skill),
            _ => None,
        });
        let worst = told.into_iter().max().unwrap_or(now);
        let down = self.worse;
        for &skill in Skill::ALL.iter().filter(|s| if down { **s > worst } else { **s < worst }) {
            let words = if down {
                format!("{what}: if it took a {skill}")
            } else {
                format!("{what}: make it possible for a {skill}")
            };
            let make = Make::Edits(vec![Edit::Skill(actions.clone(), skill)]);
            self.add(format!("skill {path} -> {skill}"), words, path, make);
        }
    }

    fn parts(&mut self) {
        for (part, written) in self.record.parts.iter().enumerate() {
            let fills: Vec<usize> =
                (0..self.case.base.fills.len()).filter(|&f| self.case.base.fills[f].part == Some(part)).collect();
            let name = &written.name.value;
            let path = format!("parts.{name}");
            if fills.len() > 1 && self.reads(|m| *m == Measure::Isolation) {
                let edits = fills.iter().map(|&f| Edit::SeveralRoles(f, false)).collect();
                let words = format!("make {name} several parts, one per role");
                self.out.push(Change {
                    id: format!("isolation {path} -> one part per role"),
                    words,
                    path: path.clone(),
                    make: Make::Edits(edits),
                });
            }
            let paired = fills.iter().any(|&f| {
                self.told(self.case.base.fills[f].paired, |e| match e {
                    Edit::Paired(list, is) if list.contains(&f) => Some(*is),
                    _ => None,
                })
                .contains(&true)
            });
            if paired {
                let words = format!("let a new {name} work without software pairing");
                let make = Make::Edits(vec![Edit::Paired(fills, false)]);
                self.out.push(Change { id: format!("pairing {path} -> not needed"), words, path, make });
            }
        }
    }

    fn spares(&mut self) {
        let parts: Vec<(String, Vec<usize>)> = self
            .record
            .parts
            .iter()
            .enumerate()
            .map(|(p, part)| {
                let of = |f: &usize| self.case.base.fills[*f].part == Some(p);
                (part.name.value.clone(), (0..self.case.base.fills.len()).filter(of).collect())
            })
            .filter(|(_, fills): &(String, Vec<usize>)| !fills.is_empty())
            .collect();
        let all: Vec<usize> = parts.iter().flat_map(|(_, f)| f.iter().copied()).collect();
        for (name, fills) in parts.into_iter().chain([("every part".to_owned(), all)]) {
            let path = format!("support.spare parts.{name}");
            // In a record `every part` speaks for those not named; here for all.
            let name = if name == "every part" { "every part, those named too,".to_owned() } else { name };
            for promise in Promise::of(Of::Part) {
                for (value, to) in self.better(promise) {
                    // Roles of which it is settled already are not promised anything: what is left is what the change changes.
                    let open: Vec<usize> =
                        fills.iter().copied().filter(|&f| self.may_differ(f, promise, &value)).collect();
                    if open.is_empty() {
                        continue;
                    }
                    // A name that ends in a clause of its own ends with a comma, in the middle of a sentence only.
                    let row = promise.row();
                    let part = if row.change.ends_with("{part}") || row.change.contains("{part}:") {
                        name.trim_end_matches(',')
                    } else {
                        &name
                    };
                    let words = if self.worse {
                        format!("{}, {}: if it were {to}", promise.label(), name.trim_end_matches(','))
                    } else {
                        row.change.replace("{part}", part).replace("{to}", &to)
                    };
                    let what = if promise == Promise::Price { "price share" } else { promise.label() };
                    let to = if to == "yes" { what.to_owned() } else { format!("{what} {to}") };
                    let make = Make::Edits(vec![Edit::Spare(open, promise, value)]);
                    self.out.push(Change { id: format!("spare {path} -> {to}"), words, path: path.clone(), make });
                }
            }
        }
    }

    /// Whether a fact of a spare part is anything else in some completion.
    fn may_differ(&self, fill: usize, promise: Promise, value: &Term) -> bool {
        let told = self.told(self.case.base.fills[fill].spare[promise].clone(), |e| match e {
            Edit::Spare(list, about, value) if *about == promise && list.contains(&fill) => Some(value.clone()),
            _ => None,
        });
        told.iter().any(|now| now != value)
    }

    /// What a fact could become: the best word, or each word where several lie between; each bound of a number.
    fn better(&self, promise: Promise) -> Vec<(Term, String)> {
        let holds = promise.row().holds;
        let words = holds.words();
        if self.worse {
            let reads = self.reads(|m| m.facts().contains(&promise));
            let ranked = (0_u8..).zip(words).skip(1).filter(|_| reads);
            return ranked.map(|(rank, word)| (Term::Word(rank), word.to_owned())).collect();
        }
        if words.is_empty() {
            let number = |n: Exact| {
                let to = n.plain();
                (Term::Number(n), to)
            };
            return self.bounds(|m| m.facts().contains(&promise)).into_iter().map(number).collect();
        }
        if !self.reads(|m| m.facts().contains(&promise)) {
            return Vec::new();
        }
        // Who gets something, what it costs and how a part is made are changed for good; a device has its degrees.
        let best_only = promise.of_part() || !promise.row().change.contains("{to}");
        let ranked = (0_u8..).zip(words).take(if best_only { 1 } else { usize::MAX });
        ranked.map(|(rank, word)| (Term::Word(rank), word.to_owned())).collect()
    }

    fn device(&mut self) {
        for promise in Promise::ALL.iter().copied().filter(|p| !p.of_part()) {
            let row = promise.row();
            for (value, to) in self.better(promise) {
                let words = if self.worse {
                    format!("{}: if it were {to}", promise.label())
                } else {
                    row.change.replace("{to}", &to)
                };
                let to = match row.holds {
                    Holds::Digit(0, _) => format!("dust {to}"),
                    Holds::Digit(..) => format!("water {to}"),
                    _ => to,
                };
                let edit = Edit::Support(promise, value);
                self.add(
                    format!("promise {} -> {to}", promise.path()),
                    words,
                    &promise.path(),
                    Make::Edits(vec![edit]),
                );
            }
        }
    }
}
