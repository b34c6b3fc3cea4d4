//! The switches of the step rule, from the text of a record to the count: `tests/data/routes-switches.json` (71 instances,
//! the project's own computation by exhaustive search over all feasible sequences, confirmed by a second method; certainty:
//! derived), and random records against a search of our own that shares nothing with the engine. The rule is that of
//! `criteria/STEPS.md`.
#![allow(
    clippy::match_bool,
    clippy::items_after_statements,
    reason = "rows of a table; a type stands where it is used"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use crate::routes_support::random::Dice;
use scoring::assess::problem::{Posed, pose};
use scoring::assess::{Reach, Router};
use scoring::method::{Method, StepRule, StepSetting, load_shipped};
use scoring::range::Case;
use scoring::record::complete::Complete;
use scoring::route::{Limits, Need, Taken, Target, Thing, replay};
use scoring::text::{Source, Sources};
use serde_json::Value;

/// One action as written down; things and tools by name, `heat...` is a heat source.
#[derive(Clone, Debug, Default)]
struct Act {
    id: String,
    /// Parts; empty for a `do`, whose milestone is its id.
    frees: Vec<String>,
    aside: Vec<String>,
    cleans: bool,
    with: Vec<BTreeSet<String>>,
    /// All of these, each any of its members, each all of its things.
    after: Vec<Vec<Vec<String>>>,
}

/// Options of the switches, as method files write them.
#[derive(Clone, Debug)]
struct Switches {
    simultaneous: String,
    heating: String,
    aside: String,
}

/// A device and a part to be reached.
#[derive(Clone, Debug)]
struct Bench {
    acts: Vec<Act>,
    target: Vec<String>,
}

impl Act {
    /// Needs something it reaches itself: a second way to a part that another action must have reached first.
    fn needs_own(&self) -> bool {
        let reached = |t: &String| self.frees.contains(t) || *t == self.id;
        self.after.iter().flatten().flatten().any(reached)
    }
}

fn is_heat(set: &BTreeSet<String>) -> bool {
    !set.is_empty() && set.iter().all(|tool| tool.starts_with("heat"))
}

impl Bench {
    /// The record as somebody would write it.
    fn text(&self) -> String {
        let mut out = String::from("unfasten: 1\ndevice: {name: Random, category: other}\n");
        out += "teardown: {place: use, skill: layman}\ntools:\n";
        let tools: BTreeSet<&String> = self.acts.iter().flat_map(|a| a.with.iter().flatten()).collect();
        for tool in tools {
            let heat = if tool.starts_with("heat") { ", heat: yes" } else { "" };
            let _ = writeln!(out, "  own {tool}: {{class: basic{heat}}}");
        }
        let parts: BTreeSet<&String> = self.acts.iter().flat_map(|a| a.frees.iter().chain(&a.aside)).collect();
        out += "parts:\n";
        for part in parts {
            let _ = writeln!(out, "  {part}: {{}}");
        }
        out += "actions:\n";
        for act in &self.acts {
            let _ = match act.frees.as_slice() {
                [] => writeln!(out, "  - do: {}", act.id),
                frees => writeln!(out, "  - free: [{}]\n    id: way {}", frees.join(", "), act.id),
            };
            let set = |set: &BTreeSet<String>| match set.is_empty() {
                true => "hands".to_owned(),
                false => set.iter().map(|t| format!("own {t}")).collect::<Vec<_>>().join(" + "),
            };
            let with: Vec<String> = act.with.iter().map(set).collect();
            let need = |any: &Vec<Vec<String>>| match any.as_slice() {
                [all] if all.len() == 1 => all[0].clone(),
                list => {
                    let members: Vec<String> = list.iter().map(|all| format!("[{}]", all.join(", "))).collect();
                    format!("{{any: [{}]}}", members.join(", "))
                }
            };
            // A record may not say so; see `read`.
            let written = if act.needs_own() { &[][..] } else { &act.after };
            let after: Vec<String> = written.iter().map(need).collect();
            let _ = writeln!(
                out,
                "    with: [{}]\n    loosen: nothing\n    after: [{}]",
                with.join(", "),
                after.join(", ")
            );
            if !act.aside.is_empty() {
                let _ = writeln!(out, "    aside: [{}]", act.aside.join(", "));
            }
            if act.cleans {
                out += "    cleans: yes\n";
            }
        }
        out
    }

    /// Reads its own text, under a rule.
    fn read(&self, method: &Method) -> Complete {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("random.yaml", &self.text()));
        let read = scoring::record::read(&sources, file);
        let record = read.record.unwrap_or_else(|| panic!("{:#?}\n{}", read.diagnostics, self.text()));
        let mut device = Case::new(&record, method).base;
        for (at, act) in self.acts.iter().enumerate().filter(|(_, act)| act.needs_own()) {
            let thing = |name: &String| Need::Thing(thing(&device, name));
            let any =
                |any: &Vec<Vec<String>>| Need::Any(any.iter().map(|all| all.iter().map(thing).collect()).collect());
            let after: Vec<Need> = act.after.iter().map(any).collect();
            device.actions.iter_mut().filter(|a| a.written == Some(at)).for_each(|a| a.after.clone_from(&after));
        }
        device
    }

    /// Least steps by uniform-cost search over (done, off, held, covered), nothing left out and nothing bounded.
    fn least(&self, switches: &Switches) -> Option<u32> {
        let each = switches.simultaneous == "each";
        let (heat_step, heat_nothing) = (switches.heating == "step", switches.heating == "nothing");
        type State = (u32, BTreeSet<String>, BTreeSet<String>, bool);
        let start: State = (0, BTreeSet::new(), BTreeSet::new(), false);
        let mut open: BTreeSet<(u32, State)> = BTreeSet::from([(0, start.clone())]);
        let mut known: BTreeMap<State, u32> = BTreeMap::from([(start, 0)]);
        while let Some((spent, (done, reached, held, covered))) = open.pop_first() {
            if self.target.iter().all(|t| reached.contains(t)) {
                return Some(spent);
            }
            for (at, act) in self.acts.iter().enumerate() {
                let holds = |any: &Vec<Vec<String>>| any.iter().any(|all| all.iter().all(|t| reached.contains(t)));
                if done >> at & 1 == 1 || !act.after.iter().all(holds) {
                    continue;
                }
                let still_on = |list: &[String]| list.iter().any(|part| !reached.contains(part));
                let lifted = still_on(&act.frees) || switches.aside == "step" && still_on(&act.aside);
                let mut with = act.with.clone();
                if with.last().is_some_and(is_heat) && !(act.frees.is_empty() && act.aside.is_empty()) {
                    // Heat lifts nothing.
                    with.push(BTreeSet::new());
                }
                if heat_nothing {
                    with.retain(|set| !is_heat(set) && !act.cleans);
                }
                if with.is_empty() {
                    with.push(BTreeSet::new());
                }
                let (mut held, mut covered, mut total) = (held.clone(), covered, spent);
                for (place, set) in with.iter().enumerate() {
                    let last = place + 1 == with.len();
                    if !set.is_empty() {
                        let new = !set.is_subset(&held);
                        total += u32::from(!held.is_empty() && new && !covered);
                        if each && (new || covered) {
                            total += u32::try_from(set.len()).unwrap() - 1;
                        }
                        held = set.clone();
                        covered = false;
                    }
                    if last && (lifted || heat_step && act.cleans) || heat_step && is_heat(set) {
                        total += 1;
                        covered = true;
                    }
                }
                let mut after = reached.clone();
                after.extend(act.frees.iter().cloned());
                if act.frees.is_empty() {
                    after.insert(act.id.clone());
                }
                let next = (done | 1 << at, after, held, covered);
                if known.get(&next).is_none_or(|old| total < *old) {
                    if let Some(old) = known.insert(next.clone(), total) {
                        open.remove(&(old, next.clone()));
                    }
                    open.insert((total, next));
                }
            }
        }
        None
    }
}

/// A method that counts by these switches.
fn method(switches: &Switches) -> Method {
    let mut method = load_shipped("en-45554").unwrap();
    for (name, option) in
        [("simultaneous tools", &switches.simultaneous), ("heating", &switches.heating), ("aside", &switches.aside)]
    {
        method.steps.set(StepSetting::read(name, option).unwrap());
    }
    assert_eq!(method.steps.unfit(), None);
    method
}

fn thing(device: &Complete, name: &str) -> Thing {
    Thing::try_from(device.things.iter().position(|t| t == name).unwrap()).unwrap()
}

/// A route, given by its actions, recounted by the replayer.
fn recounted(device: &Complete, posed: &Posed, target: &[Thing], order: &[usize]) -> u32 {
    let taken: Vec<Taken> = order
        .iter()
        .map(|written| {
            let is = |origin: &usize| device.actions[*origin].written == Some(*written);
            let action = posed.origin.iter().position(is).unwrap();
            Taken { action, ways: vec![0; posed.problem.actions[action].operations.len()] }
        })
        .collect();
    let replayed = replay(&posed.problem, Some(&Target::All(target.to_vec())), &taken).unwrap();
    let counted: u32 = replayed.ledger.iter().map(|step| step.counted).sum();
    assert_eq!(counted, replayed.key.steps);
    replayed.key.steps
}

/// The engine's count and its ledger's, which must be one.
fn counted(device: &Complete, rule: &StepRule, target: Thing) -> Option<u32> {
    let route = Router::new(device, rule, Limits::default()).to(target);
    if route.reach != Reach::Yes {
        return None;
    }
    assert_eq!(route.at_least, route.steps);
    assert_eq!(route.ledger.last().map_or(0, |step| step.total), route.steps);
    for step in &route.ledger {
        let change = u32::from(step.change && !step.coincides);
        assert_eq!(step.counted, change + step.at_once + u32::from(step.ends) + step.own);
    }
    Some(route.steps)
}

fn names(value: &Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|v| v.as_str().unwrap().to_owned()).collect()
}

fn instance(value: &Value) -> (Bench, Switches, Vec<String>, u32) {
    let act = |action: &Value| {
        let mut after: Vec<Vec<Vec<String>>> = names(&action["after"]).into_iter().map(|n| vec![vec![n]]).collect();
        for group in action["any"].as_array().unwrap() {
            let member = |member: &Value| match member {
                Value::String(name) => vec![name.clone()],
                list => names(list),
            };
            after.push(group.as_array().unwrap().iter().map(member).collect());
        }
        Act {
            id: action["id"].as_str().unwrap().to_owned(),
            frees: names(&action["free"]),
            aside: if action["aside"] == true { vec!["flap".to_owned()] } else { Vec::new() },
            cleans: false,
            with: action["with"].as_array().unwrap().iter().map(|set| names(set).into_iter().collect()).collect(),
            after,
        }
    };
    let switch = |name: &str| value["switches"][name].as_str().unwrap().to_owned();
    let bench =
        Bench { acts: value["actions"].as_array().unwrap().iter().map(act).collect(), target: names(&value["target"]) };
    let switches =
        Switches { simultaneous: switch("simultaneous"), heating: switch("heating"), aside: switch("aside") };
    (bench, switches, names(&value["one_route"]), u32::try_from(value["steps"].as_u64().unwrap()).unwrap())
}

#[test]
fn every_instance_counts_as_proved() {
    let file: Value = serde_json::from_str(include_str!("../../data/routes-switches.json")).unwrap();
    let all = file["instances"].as_array().unwrap();
    assert_eq!(all.len(), 71);
    for value in all {
        let name = &value["name"];
        let (bench, switches, route, steps) = instance(value);
        let method = method(&switches);
        let device = bench.read(&method);
        let targets: Vec<Thing> = bench.target.iter().map(|t| thing(&device, t)).collect();
        assert_eq!(targets.len(), 1, "{name}");
        assert_eq!(counted(&device, &method.steps, targets[0]), Some(steps), "{name}\n{}", bench.text());
        assert_eq!(bench.least(&switches), Some(steps), "{name}");
        let order: Vec<usize> =
            route.iter().map(|id| bench.acts.iter().position(|act| act.id == *id).unwrap()).collect();
        assert_eq!(recounted(&device, &pose(&device, &method.steps), &targets, &order), steps, "{name}");
    }
}

/// A record drawn at random: removals, `do`s that lay aside or clean, heat alone and with other tools, alternatives.
fn drawn(dice: &mut Dice) -> Bench {
    let tools = ["A", "B", "C", "heat"];
    let count = 4 + dice.below(3);
    let mut acts: Vec<Act> = Vec::new();
    for at in 0..count {
        let mut act = Act { id: format!("d{at}"), ..Act::default() };
        if at + 1 == count || dice.chance(45) {
            act.frees.push(format!("p{at}"));
            if dice.chance(15) && at > 0 {
                // A second way to a part, or a part lifted with another.
                act.frees.push(format!("p{}", dice.below(at)));
            }
        } else {
            if dice.chance(40) {
                // A part that comes off earlier, later, or never.
                act.aside.push(format!("p{}", dice.below(count)));
            }
            act.cleans = dice.chance(25);
        }
        for _ in 0..=dice.below(2) {
            let mut set = BTreeSet::new();
            if !dice.chance(20) {
                set.insert(tools[dice.below(tools.len())].to_owned());
                if dice.chance(35) {
                    set.insert(tools[dice.below(tools.len())].to_owned());
                }
            }
            act.with.push(set);
        }
        let milestone = |act: &Act| act.frees.first().unwrap_or(&act.id).clone();
        for _ in 0..dice.below(3) {
            if !acts.is_empty() {
                let mut any = vec![vec![milestone(&acts[dice.below(acts.len())])]];
                if dice.chance(25) {
                    any.push(vec![milestone(&acts[dice.below(acts.len())])]);
                }
                act.after.push(any);
            }
        }
        acts.push(act);
    }
    Bench { acts, target: vec![format!("p{}", count - 1)] }
}

#[test]
fn random_records_count_as_a_plain_search_counts() {
    let options = [("one", "tool"), ("one", "nothing"), ("each", "tool"), ("each", "step"), ("each", "nothing")];
    let usual = Switches { simultaneous: "one".to_owned(), heating: "tool".to_owned(), aside: "nothing".to_owned() };
    let mut moved: BTreeMap<String, u32> = BTreeMap::new();
    for seed in 0..80 {
        let bench = drawn(&mut Dice::new(seed));
        // What a record says is the same by whichever rule it is counted.
        let device = bench.read(&method(&usual));
        let base = bench.least(&usual);
        for (simultaneous, heating) in options {
            for aside in ["nothing", "step"] {
                let [simultaneous, heating, aside] = [simultaneous, heating, aside].map(str::to_owned);
                let switches = Switches { simultaneous, heating, aside };
                let method = method(&switches);
                let found = counted(&device, &method.steps, thing(&device, &bench.target[0]));
                let expected = bench.least(&switches);
                assert_eq!(found, expected, "seed {seed} {switches:?}\n{}", bench.text());
                *moved.entry(format!("{switches:?}")).or_default() += u32::from(expected != base);
            }
        }
    }
    // Every combination but the usual one changes a count now and then.
    assert_eq!(moved.values().filter(|n| **n > 1).count(), moved.len() - 1, "{moved:?}");
}

/// Counted by hand from the worked examples of (EU) 2023/2534 as the project's reference gives them (derived): the battery of
/// a phone freed by a heat pad, then suction cup and opening pick at once: heating 1, removal with two tools at once 2.
#[test]
fn heat_then_two_tools_at_once_is_three_steps() {
    let switches = Switches { simultaneous: "each".to_owned(), heating: "step".to_owned(), aside: "step".to_owned() };
    let set = |tools: &[&str]| tools.iter().map(|t| (*t).to_owned()).collect();
    let with = vec![set(&["heat pad"]), set(&["cup", "pick"])];
    let act = Act { id: "x".to_owned(), frees: vec!["battery".to_owned()], with, ..Act::default() };
    let bench = Bench { acts: vec![act], target: vec!["battery".to_owned()] };
    let method = method(&switches);
    let device = bench.read(&method);
    assert_eq!(counted(&device, &method.steps, thing(&device, "battery")), Some(3));
    assert_eq!(bench.least(&switches), Some(3));
}
