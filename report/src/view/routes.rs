//! Reference routes behind the ends of the verdicts, each told once.

use std::collections::{BTreeMap, BTreeSet};

use scoring::assess::evidence::Witness;
use scoring::assess::ledger::{LedgerLine, ledger};
use scoring::assess::{PartRoute, Reach};
use scoring::range::{Graded, GradedKind};
use scoring::record::complete::{Complete, open_count};
use scoring::record::{Action, Outcome, ToolSet};
use scoring::vocab::{Basis, Words};

use super::Job;
use super::place::{Places, unique};
use super::types::{LedgerRow, RouteLedger, Shared};
use crate::clean::{footage, line, slug};
use crate::plural::list;
use crate::words::english as en;

/// Distinct routes and who rests on them.
pub(super) struct Routes {
    list: Vec<RouteLedger>,
    /// Assessment, end, part.
    index: BTreeMap<(usize, usize, u32), usize>,
    /// Assessments whose method reads routes.
    reading: BTreeSet<usize>,
}

impl Routes {
    pub(super) fn collect(job: &Job<'_>, places: &Places<'_>) -> Self {
        let mut routes = Self { list: Vec::new(), index: BTreeMap::new(), reading: BTreeSet::new() };
        let mut anchors = BTreeSet::new();
        let heaviest = heaviest(job);
        // What was told before of a device is told again in the same words: ends and methods mostly agree.
        let mut before: Vec<(&Complete, BTreeMap<u32, (&PartRoute, usize)>)> = Vec::new();
        for (a, applied) in job.applied.iter().enumerate() {
            if !reads_routes(&applied.assessment.root) {
                continue;
            }
            routes.reading.insert(a);
            for (e, end) in applied.assessment.ends.iter().enumerate() {
                // A part nobody mentioned has no way in the record: what stands for it is no route to show.
                let fills = |thing: u32| end.device.fills.iter().filter(move |f| f.thing == thing);
                let recorded = |thing: u32| fills(thing).next().is_none() || fills(thing).any(|f| f.part.is_some());
                let place = before.iter().position(|(device, _)| **device == end.device).unwrap_or_else(|| {
                    before.push((&end.device, BTreeMap::new()));
                    before.len() - 1
                });
                for (&thing, found) in end.evaluated.routes.iter().filter(|(t, _)| recorded(**t)) {
                    if let Some((_, at)) = before[place].1.get(&thing).filter(|(known, _)| *known == found) {
                        routes.index.insert((a, e, thing), *at);
                        continue;
                    }
                    let mut route = told(job, places, &end.device, found);
                    let same = |r: &RouteLedger| {
                        r.target == route.target
                            && r.lines == route.lines
                            && r.steps == route.steps
                            && r.reach == route.reach
                    };
                    let at = if let Some(at) = routes.list.iter().position(same) {
                        at
                    } else {
                        route.anchor = unique(format!("route-{}", slug(&route.target)), &mut anchors);
                        // One chart a part for the headline; other ends and methods have their ledger.
                        let drawn = routes.list.iter().any(|r| r.target == route.target && !r.chart.is_empty());
                        if !route.lines.is_empty() && !drawn && heaviest.contains(&route.target) {
                            (route.chart, route.chart_text) = crate::svg::steps::chart(&route);
                        }
                        routes.list.push(route);
                        routes.list.len() - 1
                    };
                    before[place].1.insert(thing, (found, at));
                    routes.index.insert((a, e, thing), at);
                }
            }
        }
        routes.usage(job);
        routes.share();
        routes
    }

    /// Lines that an earlier route has stand there alone: the beginning of a way, or the same work where another method
    /// counts it otherwise.
    fn share(&mut self) {
        for at in 0..self.list.len() {
            let (before, rest) = self.list.split_at(at);
            let own = &rest[0];
            let alike = |r: &&RouteLedger| {
                r.target == own.target
                    && r.lines.len() > 1
                    && r.lines.iter().map(same_work).eq(own.lines.iter().map(same_work))
            };
            let (told, shared) = if let Some(from) = before.iter().position(|r| alike(&r)) {
                let other = &before[from];
                let counts = |(a, b): (&LedgerRow, &LedgerRow)| (a.counted, &a.why) != (b.counted, &b.why);
                let told: Vec<usize> =
                    (0..own.lines.len()).filter(|&i| counts((&other.lines[i], &own.lines[i]))).collect();
                // The same lines count otherwise on many ways: they are told once.
                let rows = |r: &RouteLedger, told: &[usize]| {
                    told.iter()
                        .map(|&i| (r.lines[i].action.clone(), r.lines[i].tools.clone(), r.lines[i].why.clone()))
                        .collect::<Vec<_>>()
                };
                let as_there = before.iter().find(|r| {
                    r.shared.as_ref().is_some_and(|s| s.counts)
                        && !r.told.is_empty()
                        && rows(r, &r.told) == rows(own, &told)
                });
                match as_there {
                    Some(there) => {
                        let words = en::counted_as(&other.steps, &there.target, &there.steps);
                        (Vec::new(), Some(Shared { route: from, words, counts: true }))
                    }
                    None => {
                        (told, Some(Shared { route: from, words: en::counted_otherwise(&other.steps), counts: true }))
                    }
                }
            } else {
                let beginning =
                    |r: &RouteLedger| r.lines.iter().zip(&own.lines).take_while(|(a, b)| same_line(a, b)).count();
                let best = before
                    .iter()
                    .enumerate()
                    .map(|(i, r)| (beginning(r), i))
                    .max_by_key(|(n, i)| (*n, std::cmp::Reverse(*i)));
                match best.filter(|(n, _)| *n >= SHARED) {
                    Some((n, from)) => {
                        let whole = n == own.lines.len();
                        let words = en::begins_as(n, &before[from].target, own.lines[n - 1].total, whole);
                        ((n..own.lines.len()).collect(), Some(Shared { route: from, words, counts: false }))
                    }
                    None => ((0..own.lines.len()).collect(), None),
                }
            };
            self.list[at].told = told;
            self.list[at].shared = shared;
        }
    }

    /// Says of every route which ends rest on it.
    fn usage(&mut self, job: &Job<'_>) {
        let mut by: BTreeMap<(usize, usize), [bool; 2]> = BTreeMap::new();
        for (&(a, e, _), &at) in &self.index {
            by.entry((at, a)).or_default()[e] = true;
        }
        for (at, route) in self.list.iter_mut().enumerate() {
            // Those called alike are told together, in the order of the methods.
            let mut told: Vec<([bool; 2], [bool; 2], Vec<String>)> = Vec::new();
            for which in [[true, true], [true, false], [false, true]] {
                for ((_, a), _) in by.iter().filter(|((r, _), ends)| *r == at && **ends == which) {
                    let assessment = &job.applied[*a].assessment;
                    let (attained, id) = (assessment.attained, line(&assessment.method.id.value));
                    match told.iter_mut().find(|(w, at, _)| *w == which && *at == attained) {
                        Some((.., ids)) => ids.push(id),
                        None => told.push((which, attained, vec![id])),
                    }
                }
            }
            route.used.extend(told.into_iter().map(|(which, at, ids)| en::ends_of(which, at, &list(&ids))));
        }
        // Where one says that a part can't be reached and another how, each says whose it is: read alone one denies the other.
        let reached: Vec<(String, &'static str)> = self.list.iter().map(|r| (r.target.clone(), r.reach)).collect();
        for route in &mut self.list {
            if reached.iter().any(|(t, reach)| *t == route.target && *reach != route.reach) {
                route.proof = format!("{} {}", route.proof, en::stands_behind(&list(&route.used)));
            }
        }
    }

    pub(super) fn of(&self, assessment: usize, end: usize, thing: u32) -> Option<usize> {
        self.index.get(&(assessment, end, thing)).copied()
    }

    /// Whether any route leads to a part one method asks about; `None` where the method reads no routes.
    pub(super) fn reached(&self, assessment: usize) -> Option<bool> {
        let mut own = self.index.iter().filter(|((a, _, _), _)| *a == assessment).map(|(_, at)| *at);
        self.reading.contains(&assessment).then(|| own.any(|at| !self.list[at].lines.is_empty()))
    }

    pub(super) fn get(&self, index: usize) -> &RouteLedger {
        &self.list[index]
    }

    pub(super) fn finish(self) -> Vec<RouteLedger> {
        self.list
    }
}

/// Lines from which a common beginning is told once.
const SHARED: usize = 2;

/// What is done, whatever it counts.
fn same_work(row: &LedgerRow) -> (&str, &str, &str) {
    (&row.action, &row.tools, &row.loosens)
}

fn same_line(a: &LedgerRow, b: &LedgerRow) -> bool {
    same_work(a) == same_work(b) && (a.counted, a.total, &a.why) == (b.counted, b.total, &b.why)
}

/// Parts whose route has a chart: the two heaviest of the method that leads.
const DRAWN: usize = 2;

/// Things of the heaviest parts.
fn heaviest(job: &Job<'_>) -> BTreeSet<String> {
    let Some(first) = job.applied.first() else { return BTreeSet::new() };
    let mut roles: Vec<_> =
        first.assessment.roles.iter().filter(|r| r.weight.is_some() && !r.parts.is_empty()).collect();
    roles.sort_by(|x, y| y.weight.cmp(&x.weight));
    roles.iter().take(DRAWN).flat_map(|r| &r.parts).map(|p| line(p)).collect()
}

/// Whether any criterion reads a route; elsewhere routes stand in for nothing.
fn reads_routes(node: &Graded) -> bool {
    match &node.kind {
        GradedKind::Leaf { measure, .. } => measure.on_route(),
        GradedKind::Group(_) => node.children.iter().any(reads_routes),
    }
}

fn told(job: &Job<'_>, places: &Places<'_>, device: &Complete, found: &PartRoute) -> RouteLedger {
    let witness = Witness { record: job.record, device };
    let target = device.things.get(found.thing as usize).map_or_else(String::new, |t| line(t));
    let reach = en::reach(found.reach);
    let steps = match found.reach {
        Reach::No => reach.to_owned(),
        _ => en::counted_steps(found.steps),
    };
    let certificate = match found.reach {
        Reach::No if found.at_least == 0 => en::PROVED_OUT_OF_REACH.to_owned(),
        Reach::No => en::none_found(found.at_least),
        _ if found.at_least == found.steps => en::PROVED_SHORTEST.to_owned(),
        _ => en::best_found(found.at_least),
    };
    let lines = rows(places, &ledger(&witness, found));
    let only = if found.reach == Reach::Damage { format!("; {reach}") } else { String::new() };
    let proof = format!("{}{only}.", crate::words::capital(&certificate));
    RouteLedger {
        anchor: String::new(),
        target,
        steps,
        count: open_count(found.steps).0,
        certificate,
        proof,
        reach,
        only_by_damage: found.reach == Reach::Damage,
        used: Vec::new(),
        first: first(&lines),
        lines,
        told: Vec::new(),
        shared: None,
        chart: String::new(),
        chart_text: String::new(),
    }
}

/// What to know before the first step.
fn first(lines: &[LedgerRow]) -> String {
    let mut hazards: Vec<&str> = Vec::new();
    for hazard in lines.iter().flat_map(|l| l.hazards.split(", ")).filter(|h| !h.is_empty()) {
        if !hazards.contains(&hazard) {
            hazards.push(hazard);
        }
    }
    let mut out: Vec<String> = Vec::new();
    if !hazards.is_empty() {
        out.push(en::before_first(&hazards));
    }
    if let Some(safe) = lines.iter().find(|l| l.makes_safe) {
        out.push(en::safe_after(&safe.what));
    }
    out.join(" ")
}

/// Tools without temperatures and minutes, which don't make another tool of them.
fn hold(l: &LedgerLine) -> String {
    match l.tools.as_deref() {
        None => String::new(),
        Some([]) => en::HANDS.to_owned(),
        Some(tools) => tools.iter().map(|t| line(&t.name)).collect::<Vec<_>>().join(" + "),
    }
}

/// The action of a line, where somebody wrote it down.
fn written<'r>(places: &Places<'r>, line: &LedgerLine) -> Option<&'r Action> {
    places.record.actions.iter().find(|a| Some(a.span) == line.span)
}

/// How an action is known where nobody did it on this bench; empty where somebody did.
fn dress(places: &Places<'_>, action: &Action) -> &'static str {
    if action.outcome.value == Outcome::NotAttempted {
        return en::NOBODY_TRIED;
    }
    match action.margin.basis.unwrap_or(places.record.teardown.basis()) {
        Basis::Seen => "",
        other => other.word(),
    }
}

/// Tools of a line, and whether they are bare hands; where nobody established them they are what this end counts them as, and it
/// says so.
fn tools(places: &Places<'_>, l: &LedgerLine) -> (String, bool) {
    let text = line(&l.tools_said());
    let Some(used) = &l.tools else { return (text, false) };
    let works = written(places, l).map_or(&[][..], |a| &a.with);
    let open = works.iter().any(|w| w.ways.settled().is_none());
    let name = |tool: usize| places.record.tools.get(tool).map(|t| t.name.as_str());
    let stated = |set: &ToolSet| set.tools.iter().filter_map(|u| name(u.tool)).collect::<BTreeSet<_>>();
    let here: BTreeSet<&str> = used.iter().map(|t| t.name.as_str()).collect();
    let known = works.iter().filter_map(|w| w.ways.settled()).flatten().any(|set| stated(set) == here);
    if !open || used.iter().any(|t| t.any) || known {
        return (text, used.is_empty());
    }
    (en::taken_as(&text), false)
}

/// Ledger lines as rows of a table.
fn rows(places: &Places<'_>, lines: &[LedgerLine]) -> Vec<LedgerRow> {
    lines
        .iter()
        .enumerate()
        .map(|(i, l)| (i, l, tools(places, l)))
        .map(|(i, l, (tools, by_hand))| LedgerRow {
            number: i + 1,
            action: line(&l.action),
            what: line(&l.what),
            tools,
            by_hand,
            known: if l.what.is_empty() {
                ""
            } else {
                written(places, l).map_or(en::NOBODY_TRIED, |a| dress(places, a))
            },
            hold: hold(l),
            loosens: line(&l.loosens.join(", ")),
            at: l.at.map(footage),
            hazards: {
                let mut once: Vec<&str> = Vec::new();
                l.hazards.iter().for_each(|h| {
                    if !once.contains(&h.as_str()) {
                        once.push(h);
                    }
                });
                line(&once.join(", "))
            },
            destroys: line(&l.destroys.join(", ")),
            makes_safe: l.makes_safe,
            counted: l.counted,
            total: l.total,
            ends: l.ends,
            why: match (l.why.is_empty(), l.coincides) {
                (true, true) => en::STEP_HAD_ENDED.to_owned(),
                (true, false) => String::new(),
                (false, _) => en::counts_because(&l.why),
            },
            place: l.span.map_or_else(String::new, |s| places.place(s)),
            line: l.span.map(|s| places.line(s)),
            anchor: l.span.and_then(|s| places.anchor(s)),
        })
        .collect()
}
