//! A card per priority part: its route, tools, fasteners, hazards, what to buy, what comes along.

use std::borrow::Cow;
use std::collections::BTreeSet;

use scoring::assess::plan::role_fits;
use scoring::record::complete::Complete;
use scoring::record::promises::say;
use scoring::record::{Action, Fact, Part, Record, Spare, Term};
use scoring::vocab::Promise;
use scoring::vocab::class::fold;

use super::place::{Places, known, money, stated, unique, yes_no};
use super::routes::Routes;
use super::types::{Assessed, Card, CardRoute, Pair, RoleSaid, RouteLedger};
use super::{Job, log};
use crate::clean::{line, slug};
use crate::words::english as en;

/// Cards in the order of the headline method's priority parts, then those only other methods ask about.
pub(super) fn cards(job: &Job<'_>, places: &Places<'_>, routes: &Routes, assessed: &[Assessed]) -> Vec<Card> {
    let mut roles: Vec<&str> = Vec::new();
    for applied in &job.applied {
        for role in applied.assessment.roles.iter().filter(|r| r.weight.is_some()) {
            if !roles.contains(&role.role.as_str()) {
                roles.push(&role.role);
            }
        }
    }
    let mut anchors = BTreeSet::new();
    let mut out: Vec<Card> = Vec::new();
    for role in roles {
        let parts: Vec<&Part> =
            job.record.parts.iter().filter(|p| p.roles.iter().any(|r| role_fits(role, &r.value.name))).collect();
        let state = assessed.iter().flat_map(|a| &a.roles).find(|r| r.role == line(role));
        if parts.is_empty() {
            let anchor = unique(format!("part-{}", slug(role)), &mut anchors);
            out.push(card(job, places, routes, role, None, state, anchor));
        }
        for part in parts {
            let anchor = unique(format!("part-{}", slug(&part.name.value)), &mut anchors);
            out.push(card(job, places, routes, role, Some(part), state, anchor));
        }
    }
    out
}

fn card(
    job: &Job<'_>,
    places: &Places<'_>,
    routes: &Routes,
    role: &str,
    part: Option<&Part>,
    state: Option<&RoleSaid>,
    anchor: String,
) -> Card {
    let used = part.map_or_else(Vec::new, |p| used(job, routes, role, p));
    let found: Vec<&RouteLedger> = used.iter().map(|u| routes.get(u.route)).collect();
    let actions = actions(job.record, &found);
    let target = part.map_or("", |p| p.name.value.as_str());
    let collect = |f: &dyn Fn(&RouteLedger) -> Vec<String>| {
        let mut out: Vec<String> = Vec::new();
        for text in found.iter().flat_map(|r| f(r)).filter(|t| !t.is_empty()) {
            if !out.contains(&text) {
                out.push(text);
            }
        }
        out
    };
    let refit = |f: &dyn Fn(&Action) -> &Vec<String>| -> Vec<String> {
        let mut out: Vec<String> = Vec::new();
        for text in actions.iter().flat_map(|a| f(a)).map(|t| line(t)) {
            if !out.contains(&text) {
                out.push(text);
            }
        }
        out
    };
    let along: BTreeSet<&str> = actions
        .iter()
        .filter(|a| matches!(a.aim, scoring::record::Aim::Free(_)))
        .flat_map(|a| a.names())
        .filter(|n| fold(n) != fold(target))
        .collect();
    Card {
        anchor,
        role: line(role),
        part: line(target),
        state: match part {
            None => state.map_or_else(|| en::DEVICE_HAS_NONE.to_owned(), |s| s.parts.clone()),
            Some(p) if p.not_attempted.is_some() => en::not_attempted(p.because.as_deref().map(line).as_deref()),
            Some(_) if came_out(job.record, target) => String::new(),
            Some(_) => {
                let tried = failed(job.record, target);
                if tried.is_empty() { untried(job.record, target) } else { tried }
            }
        },
        also_failed: if came_out(job.record, target) { failed(job.record, target) } else { String::new() },
        anchor_line: part.and_then(|p| places.anchor(p.name.span)),
        tools: dressed(&found.iter().flat_map(|r| tools_of(r)).collect::<Vec<_>>()),
        fasteners: collect(&|r| r.lines.iter().map(|l| l.loosens.clone()).collect()),
        along: along.into_iter().map(line).collect(),
        destroys: {
            let mut out: Vec<String> = actions
                .iter()
                .flat_map(|a| a.destroys.iter().map(|d| en::destroyed_by(&line(&d.value), &line(&a.id))))
                .collect();
            out.dedup();
            out
        },
        hazards: log::gathered(job.record, actions.iter().copied()),
        buy: refit(&|a| &a.refit.value.buy),
        check: refit(&|a| &a.refit.value.check),
        spare: spare_of(job.record, target, role).map_or_else(Vec::new, |s| spare(&s)),
        paired: part.and_then(|p| stated(&p.paired, yes_no)),
        routes: used,
    }
}

/// A tool, and how its work is known where nobody did it on this bench.
type Used = (String, &'static str);

/// Tools of a route by line; bare hands are none.
fn tools_of(route: &RouteLedger) -> Vec<Used> {
    let mut known = "";
    let mut out = Vec::new();
    for row in &route.lines {
        if !row.what.is_empty() {
            known = row.known;
        }
        if !row.by_hand {
            out.push((row.tools.clone(), known));
        }
    }
    out
}

/// Each tool once, that of work nobody did on this bench marked. One that was in somebody's hand needs no mark for other work.
fn dressed(tools: &[Used]) -> Vec<String> {
    let held = |name: &str| tools.iter().any(|(other, known)| known.is_empty() && other == name);
    let marked = tools.iter().filter(|(name, known)| known.is_empty() || !held(name));
    let mut out: Vec<String> = Vec::new();
    for (name, known) in marked {
        let text = if known.is_empty() { name.clone() } else { en::with_mark(name, known) };
        if !name.is_empty() && !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

/// Why nobody tried to take a part out.
fn untried(record: &Record, part: &str) -> String {
    let frees = |a: &&Action| {
        a.outcome.value == scoring::record::Outcome::NotAttempted
            && matches!(&a.aim, scoring::record::Aim::Free(parts) if parts.iter().any(|p| fold(&p.value) == fold(part)))
    };
    record
        .actions
        .iter()
        .find(frees)
        .map_or_else(String::new, |a| en::nobody_tried(a.because.as_deref().map(line).as_deref()))
}

/// Whether some way to a part was done.
fn came_out(record: &Record, part: &str) -> bool {
    record.actions.iter().any(|a| {
        a.outcome.value == scoring::record::Outcome::Done
            && matches!(&a.aim, scoring::record::Aim::Free(parts) if parts.iter().any(|p| fold(&p.value) == fold(part)))
    })
}

/// What was tried on a part and failed, and why.
fn failed(record: &Record, part: &str) -> String {
    let frees = |a: &&Action| match &a.aim {
        scoring::record::Aim::Free(parts) => parts.iter().any(|p| fold(&p.value) == fold(part)),
        scoring::record::Aim::Do(_) => false,
    };
    let failed = record.actions.iter().filter(|a| a.outcome.value == scoring::record::Outcome::Failed).filter(frees);
    let told: Vec<String> = failed.map(|a| en::tried_and_failed(a.because.as_deref().map(line).as_deref())).collect();
    told.join("; ")
}

/// Routes to a part and the ends that rest on them.
fn used(job: &Job<'_>, routes: &Routes, role: &str, part: &Part) -> Vec<CardRoute> {
    let mut out: Vec<(usize, Vec<String>)> = Vec::new();
    for (a, applied) in job.applied.iter().enumerate() {
        let at = |e: usize| {
            let device: &Complete = &applied.assessment.ends[e].device;
            let own = |f: &&scoring::record::complete::Fill| {
                f.present && role_fits(role, &f.role) && f.part.is_some_and(|p| job.record.parts[p].name == part.name)
            };
            device.fills.iter().find(own).and_then(|f| routes.of(a, e, f.thing))
        };
        let method = line(&applied.assessment.method.id.value);
        let attained = applied.assessment.attained;
        let mut add = |route: Option<usize>, which: [bool; 2]| {
            let Some(route) = route else { return };
            let text = en::ends_of(which, attained, &method);
            match out.iter_mut().find(|(r, _)| *r == route) {
                Some((_, texts)) => texts.push(text),
                None => out.push((route, vec![text])),
            }
        };
        let (low, high) = (at(0), at(1));
        if low == high {
            add(low, [true, true]);
        } else {
            add(low, [true, false]);
            add(high, [false, true]);
        }
    }
    out.into_iter().map(|(route, texts)| CardRoute { route, used: texts.join(", ") }).collect()
}

/// Actions of some routes, in the record's order.
fn actions<'r>(record: &'r Record, routes: &[&RouteLedger]) -> Vec<&'r Action> {
    let taken: BTreeSet<&str> = routes.iter().flat_map(|r| &r.lines).map(|l| l.action.as_str()).collect();
    record.actions.iter().filter(|a| taken.contains(line(&a.id).as_str())).collect()
}

fn spare_of<'r>(record: &'r Record, part: &str, role: &str) -> Option<Cow<'r, Spare>> {
    let roles = role.split('|').map(str::trim);
    record.support.spare(std::iter::once(part).chain(roles).chain(["every part"]))
}

fn spare(spare: &Spare) -> Vec<Pair> {
    let one = |promise: Promise, term: &Term| match term {
        Term::Money(m) => money(m),
        term => say(promise, term),
    };
    let stated: Vec<(Promise, &Fact<Term>)> = spare.facts.iter().filter(|(_, fact)| fact.stated).collect();
    // One source of all is told once.
    let sources: Vec<&Option<String>> = stated.iter().map(|(_, fact)| &fact.source).collect();
    let shared = sources.first().filter(|s| s.is_some() && sources.len() > 1 && sources.iter().all(|o| o == *s));
    let pair = |(promise, fact): &(Promise, &Fact<Term>)| {
        let said = known(&fact.known, |term| one(*promise, term));
        let said = match &fact.source {
            Some(source) if shared.is_none() => format!("{said} ({})", en::from_source(source)),
            _ => said,
        };
        Pair { what: en::promised(*promise).to_owned(), said: line(&said) }
    };
    let source = shared.and_then(|s| s.as_deref()).map(|s| Pair { what: en::SOURCE.to_owned(), said: line(s) });
    stated.iter().map(pair).chain(source).collect()
}
