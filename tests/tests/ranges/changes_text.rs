//! Changes against brute force by text: every change listed is written into the record as a person would write it, and the record
//! read and scored anew; the cheapest set is held against every set of the changes listed. Nothing of how changes are made or
//! combined is shared with the engine, only reading and scoring.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use scoring::compare::changes::{candidates, distinct};
use scoring::compare::{Change, Changes, Requirement, cheapest, hinging};
use scoring::exact::Exact;
use scoring::method::Method;
use scoring::range::firmness::EndName;
use scoring::range::{Assessment, Effort, Range, Study};
use scoring::record::Record;
use scoring::text::{Source, Sources};

use crate::questions_world::{Draw, read_method};

/// A device as fields, so that a change of its text is a change of a field.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Device {
    place: String,
    skill: String,
    /// Of the cell and of the motor.
    years: [String; 2],
    updates: String,
    paired: [bool; 2],
    actions: Vec<Act>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct Act {
    frees: Vec<String>,
    with: Vec<String>,
    loosen: Vec<(String, String)>,
    after: Vec<String>,
    skill: Option<String>,
    outcome: &'static str,
}

const TOOLS: [&str; 5] = ["hands", "PH0", "odd key", "heat gun", "TR8"];
const GLUES: [(&str, &str); 4] =
    [("clip", "reusable"), ("film adhesive", "removable"), ("film adhesive", "neither"), ("weld", "neither")];

impl Device {
    fn draw(seed: u64) -> Self {
        let d = &mut Draw(seed);
        let pick = |d: &mut Draw, list: &[&str]| list[d.below(list.len())].to_owned();
        let act = |d: &mut Draw, frees: &[&str], after: &[&str]| {
            let with = (0..=usize::from(d.one_in(4))).map(|_| pick(d, &TOOLS)).collect();
            let (fastener, kind) = GLUES[d.below(GLUES.len())];
            Act {
                frees: frees.iter().map(|f| (*f).to_owned()).collect(),
                with,
                loosen: vec![(fastener.to_owned(), kind.to_owned())],
                after: after.iter().map(|f| (*f).to_owned()).collect(),
                skill: d.one_in(4).then(|| "expert".to_owned()),
                outcome: "done",
            }
        };
        let mut actions = vec![act(d, &["lid"], &[])];
        let needs: &[&str] = if d.one_in(2) { &["lid"] } else { &[] };
        if d.one_in(3) {
            actions.push(act(d, &["cell", "motor"], needs));
        } else {
            actions.push(act(d, &["cell"], needs));
            let needs: &[&str] = if d.one_in(2) { &["lid", "cell"] } else { &["lid"] };
            actions.push(act(d, &["motor"], needs));
        }
        if d.one_in(3) {
            let mut way = act(d, &["cell"], &[]);
            way.outcome = if d.one_in(2) { "failed" } else { "not attempted" };
            actions.push(way);
        }
        Self {
            place: pick(d, &["use", "workshop"]),
            skill: pick(d, &["layman", "generalist"]),
            years: [pick(d, &["2", "7"]), pick(d, &["2", "7"])],
            updates: pick(d, &["3", "7"]),
            paired: [d.one_in(5), false],
            actions,
        }
    }

    fn text(&self) -> String {
        let mut out = format!(
            "unfasten: 1\ndevice: {{name: T, maker: Ostrel, category: other}}\nteardown: {{place: {}, skill: {}, basis: planned}}\nroles: \
             {{cell: {{weight: 2}}, motor: {{weight: 1}}}}\ntools: {{odd key: {{class: proprietary}}}}\nparts:\n  cell: {{role: cell, paired: \
             {}}}\n  motor: {{role: motor, paired: {}}}\nactions:\n",
            self.place, self.skill, self.paired[0], self.paired[1]
        )
        .replace("paired: true", "paired: yes")
        .replace("paired: false", "paired: no");
        for (at, act) in self.actions.iter().enumerate() {
            let loosen: Vec<String> = act.loosen.iter().map(|(f, k)| format!("{{fastener: {f}, kind: {k}}}")).collect();
            let skill = act.skill.as_ref().map_or_else(String::new, |s| format!(", skill: {s}"));
            let outcome = match act.outcome {
                "done" => String::new(),
                other => format!(", outcome: {other}, because: x"),
            };
            let _ = writeln!(
                out,
                "  - {{id: a{at}, free: [{}], with: [{}], loosen: [{}], after: [{}]{skill}{outcome}}}",
                act.frees.join(", "),
                act.with.join(", "),
                loosen.join(", "),
                act.after.join(", ")
            );
        }
        let _ = writeln!(
            out,
            "support: {{spare parts: {{cell: {{to: public, years: {}}}, motor: {{to: public, years: {}}}}}, updates: {}}}",
            self.years[0], self.years[1], self.updates
        );
        out
    }

    fn record(&self) -> Record {
        let text = self.text();
        let mut sources = Sources::new();
        let file = sources.add(Source::new("t.yaml", &text));
        let read = scoring::record::read(&sources, file);
        read.record.unwrap_or_else(|| panic!("{:#?}\n{text}", read.diagnostics))
    }

    /// The device with a change written into it, told by the id of the change as people read it; `None`: no such place.
    fn changed(&self, id: &str) -> Option<Self> {
        let mut out = self.clone();
        let (place, to) = id.split_once(" -> ")?;
        let (what, path) = place.split_once(' ')?;
        // `actions[2].with[1]`: the action and the place in its list.
        let numbers: Vec<usize> =
            path.split('[').skip(1).filter_map(|piece| piece.split(']').next()?.parse().ok()).collect();
        let slot = numbers.get(1).copied().unwrap_or(0);
        let act = numbers.first().copied();
        match what {
            "fastener" => {
                let joint = out.actions.get_mut(act?)?.loosen.get_mut(slot)?;
                *joint = if to == "reusable" { ("clip".into(), to.into()) } else { (joint.0.clone(), to.into()) };
            }
            // Offered where the record has no basic tool: one new one, whatever it is used for.
            "tool" if to == "basic" => *out.actions.get_mut(act?)?.with.get_mut(slot)? = "spudger".to_owned(),
            "tool" => *out.actions.get_mut(act?)?.with.get_mut(slot)? = to.to_owned(),
            "order" => {
                let gone = to.strip_prefix("without ")?;
                out.actions.get_mut(act?)?.after.retain(|n| n != gone);
            }
            "place" => out.place = to.to_owned(),
            "skill" if path == "teardown.skill" => out.skill = to.to_owned(),
            "skill" => out.actions.get_mut(act?)?.skill = Some(to.to_owned()),
            "way" => out.actions.get_mut(act?)?.outcome = "done",
            "isolation" => {
                let alone = to.strip_suffix(" alone")?.to_owned();
                let lift = out.actions.get_mut(act?)?;
                lift.frees.retain(|f| *f != alone);
                let mut own = lift.clone();
                own.frees = vec![alone];
                out.actions.push(own);
            }
            "pairing" => out.paired[usize::from(path == "parts.motor")] = false,
            "promise" => out.updates = to.to_owned(),
            "spare" => {
                let years = to.strip_prefix("years ")?;
                for (at, part) in ["cell", "motor"].iter().enumerate() {
                    if path.ends_with("every part") || path.ends_with(part) {
                        years.clone_into(&mut out.years[at]);
                    }
                }
            }
            _ => return None,
        }
        Some(out)
    }
}

const METHOD: &str = "unfasten method: 1
id: brute
title: B
source: own
certainty: own
scope: {categories: [other], rule: r}
scale: {from: 0, to: 10, decimals: 2, rule: r}
parts:
  - {for: [other], own roles: yes, rule: r}
criteria:
  id: total
  combine: HOW
  rule: r
  of:
";

const ROWS: [&str; 7] = [
    "{id: tools, WEIGHT, each: priority, combine: worst, measure: tools, rule: r, levels: {none: 10, basic: 8, supplied with part: 7, supplied with product: 7, product-group specific: 6, commercially available: 5, proprietary: 2, not feasible: 0}}",
    "{id: kinds, WEIGHT, each: priority, measure: fasteners, rule: r, levels: {reusable: 10, resupplied: 8, removable: 5, neither: 0}}",
    "{id: depth, WEIGHT, each: priority, measure: depth, rule: r, bands: {up to 1: 10, up to 2: 8, up to 3: 4, more: 0}}",
    "{id: heat, WEIGHT, each: priority, combine: worst, measure: heat or solvent, rule: r, levels: {none: 10, heat or solvent: 2}}",
    "{id: skill, WEIGHT, each: priority, combine: worst, measure: skill, rule: r, levels: {layman: 10, generalist: 6, expert: 2, manufacturer: 0}}",
    "{id: environment, WEIGHT, each: priority, combine: worst, measure: environment, rule: r, levels: {use: 10, workshop: 4, production-equivalent: 0}}",
    "{id: years, WEIGHT, each: priority, measure: spare part years, rule: r, bands: {from 7: 10, less: 3}}",
];

fn method(d: &mut Draw) -> Method {
    let how = ["mean", "cap", "worst"][d.below(3)];
    let mut text = METHOD.replace("HOW", how);
    let mut rows: Vec<usize> = (0..ROWS.len()).collect();
    for weight in 1..=2 + d.below(2) {
        let row = ROWS[rows.remove(d.below(rows.len()))];
        let weight = if how == "mean" { format!("weight: {weight}") } else { String::new() };
        let row = if weight.is_empty() { row.replace(" WEIGHT,", "") } else { row.replace("WEIGHT", &weight) };
        let _ = writeln!(text, "    - {row}");
    }
    read_method(&text)
}

fn range(device: &Device, method: &Method) -> Range {
    Assessment::new(&device.record(), method, Effort::default()).range()
}

/// Whether two changes speak of one place, by their ids as people read them: one place has one value.
fn same_place(a: &str, b: &str) -> bool {
    let split = |id: &str| id.split_once(" -> ").map(|(p, t)| (p.to_owned(), t.to_owned())).expect("an id");
    let ((a, to_a), (b, to_b)) = (split(a), split(b));
    a == b && (!a.starts_with("order") || to_a == to_b)
}

struct Brute<'d> {
    device: &'d Device,
    method: &'d Method,
    list: Vec<(String, Exact)>,
    target: Requirement,
    looked: usize,
}

impl Brute<'_> {
    /// What the cheapest set costs, by going through all of them; `None`: no set reaches it.
    fn cheapest(&mut self, from: usize, made: &Device, set: &[usize], cost: &Exact, best: &mut Option<Exact>) {
        if best.as_ref().is_some_and(|b| cost >= b) {
            return;
        }
        self.looked += 1;
        if self.target.reached(self.method, range(made, self.method).low.as_ref()) {
            *best = Some(cost.clone());
            return;
        }
        for i in from..self.list.len() {
            let (id, price) = self.list[i].clone();
            if set.iter().any(|&j| same_place(&id, &self.list[j].0)) {
                continue;
            }
            let Some(next) = made.changed(&id) else { panic!("{id} has no place in\n{}", made.text()) };
            if opens_nothing(self.device, &next) {
                continue;
            }
            let set: Vec<usize> = set.iter().copied().chain([i]).collect();
            self.cheapest(i + 1, &next, &set, &(cost + &price), best);
        }
    }
}

/// Whether a part that needed something opened first would need nothing any more.
fn opens_nothing(was: &Device, is: &Device) -> bool {
    was.actions.iter().zip(&is.actions).any(|(a, b)| !a.after.is_empty() && b.after.is_empty())
}

/// Sets of changes gone through for one device.
const MOST: u64 = 400;

#[test]
fn changes_do_what_their_text_does_and_the_cheapest_set_is_the_cheapest() {
    let (mut singles, mut sets, mut none, mut several, mut hinges) = (0, 0, 0, 0, 0);
    for seed in 0..24_u64 {
        let device = Device::draw(seed * 7 + 1);
        let d = &mut Draw(seed ^ 0x5555);
        let method = method(d);
        let record = device.record();
        let study = Study::new(&record, &method, Effort::default());
        let offered: Vec<Change> = distinct(candidates(&record, &[&study])).into_iter().map(|(c, _)| c).collect();
        // None stands twice: no two changes write the same record.
        let texts: BTreeSet<String> = offered.iter().filter_map(|c| Some(device.changed(&c.id)?.text())).collect();
        let made: Vec<(Change, Device)> =
            offered.iter().filter_map(|c| Some((c.clone(), device.changed(&c.id)?))).collect();
        assert_eq!(texts.len(), made.len(), "seed {seed}: {:#?}", offered.iter().map(|c| &c.id).collect::<Vec<_>>());
        assert_eq!(made.len(), offered.len(), "seed {seed}: {:#?}", offered.iter().map(|c| &c.id).collect::<Vec<_>>());
        // Each alone does what the record with it does, and none leaves a part free to lift that was not.
        let tried = Changes::of(&record, &[&study]);
        for (change, after) in &made {
            assert!(!opens_nothing(&device, after), "seed {seed}: {}", change.id);
            if let Some(found) = tried.tried.iter().find(|t| t.change.id == change.id) {
                singles += 1;
                assert_eq!(
                    found.effects[0].range,
                    range(after, &method),
                    "seed {seed}: {}\n{}",
                    change.id,
                    after.text()
                );
            }
        }
        // A verdict hinges on a fact where the record with it changed has another figure, and on no other.
        let facts = hinging(&record, &study);
        let now = study.range(0).shown(&method);
        for fact in &facts {
            let after = device.changed(&fact.id).unwrap_or_else(|| panic!("{}", fact.id));
            let is = range(&after, &method).shown(&method);
            let end = usize::from(fact.end == EndName::High);
            assert_eq!(fact.class, [now[end].clone(), is[end].clone()], "seed {seed}: {}\n{}", fact.id, after.text());
            hinges += 1;
        }
        for (change, after) in &made {
            let is = range(after, &method).shown(&method);
            let place = |id: &str| id.split(" -> ").next().unwrap().to_owned();
            // A change that leaves a settled figure open says nothing of where it ends.
            if is != now && is[0] == is[1] {
                let told = facts.iter().any(|f| place(&f.id) == place(&change.id));
                assert!(told, "seed {seed}: {} moves it to {is:?}", change.id);
            }
        }
        // The cheapest set, by a target a few points up, under prices drawn.
        let Some(low) = study.range(0).low else { continue };
        let target =
            Requirement::Score((&low + &Exact::from(1 + i64::try_from(d.below(6)).unwrap())).min(Exact::from(10)));
        let mut costs = BTreeMap::new();
        for change in &offered {
            costs.insert(change.id.clone(), Exact::ratio(1 + i64::try_from(d.below(6)).unwrap(), 2).unwrap());
        }
        // Few enough sets to go through: of each place one of its changes, or none.
        let mut places: BTreeMap<String, u64> = BTreeMap::new();
        for change in &offered {
            let place = change.id.split(if change.id.starts_with("order") { "\n" } else { " -> " }).next().unwrap();
            *places.entry(place.to_owned()).or_insert(1) += 1;
        }
        if places.values().product::<u64>() > MOST {
            continue;
        }
        let found = cheapest(&study, &offered, &costs, &target);
        let list = offered.iter().map(|c| (c.id.clone(), costs[&c.id].clone())).collect();
        let mut brute = Brute { device: &device, method: &method, list, target, looked: 0 };
        let mut best = None;
        brute.cheapest(0, &device, &[], &Exact::zero(), &mut best);
        sets += brute.looked;
        let told = found.as_ref().map(|f| f.changes.iter().map(|c| c.id.clone()).collect::<Vec<_>>());
        let about = format!("seed {seed}: {told:?}, {} to {:?}\n{}", low.plain(), brute.target, device.text());
        match (&found, &best) {
            (None, None) => none += 1,
            (Some(found), Some(best)) => {
                assert!(found.cost >= *best, "{about}");
                assert!(
                    !found.proved || found.cost == *best,
                    "{about}: {} against {}",
                    found.cost.plain(),
                    best.plain()
                );
                several += usize::from(found.changes.len() > 1);
            }
            (None, Some(best)) => panic!("missed one of cost {}: {about}", best.plain()),
            (Some(found), None) => panic!("{} reaches nothing: {about}", found.cost.plain()),
        }
    }
    let counts = [singles, sets, several, none, hinges];
    assert!(singles > 50 && sets > 60 && several + none > 0 && hinges > 20, "{counts:?}");
}
