//! The summary from facts and words.

use scoring::exact::{Exact, Rounding};
use scoring::record::Record;
use scoring::record::complete::open_count;
use scoring::vocab::{Access, Basis};

use super::place::money;
use super::types::{Assessed, Brief, BriefLine, BriefPart, Law, LostRow, Pair, Rung, ScriptLine};
use super::{Job, log, place};
use crate::clean::{clock, line};
use crate::facts::{Facts, Lead, Lost, PartFact, Way};
use crate::picture;
use crate::plural::list;
use crate::words;
use crate::words::english as en;

/// Lines of what costs most and of what is open.
const LINES: usize = 3;
/// Causes listed in the details.
const CAUSES: usize = 30;

/// The summary of the assessment that stands first; `None` where it has no points.
pub(super) fn brief(job: &Job<'_>, assessed: &[Assessed], lead: &Lead) -> Option<Brief> {
    let record = job.record;
    let facts = Facts::new(record, lead)?;
    let first = assessed.first()?;
    let said = words::sentence(&facts);
    let a = &lead.assessment;
    let own = a.method.root != job.applied.first()?.assessment.method.root;
    let tree = picture::tree(record, a, picture::ROWS);
    let whole = picture::tree(record, a, usize::MAX);
    let points = |v: &Exact| v.display(1, Rounding::HalfUp);
    let mut costs: Vec<BriefLine> = Vec::new();
    if let Some(limit) = &facts.limit {
        let takes = limit.takes.iter().max().map_or_else(String::new, points);
        costs.push(BriefLine { points: takes, text: words::lift(&facts, limit) });
    }
    let promised = facts.promises.iter().take(usize::from(own));
    let kept = LINES - facts.promises.len().min(usize::from(own));
    for cause in facts.causes.iter().take(kept.saturating_sub(costs.len())) {
        costs.push(BriefLine { points: points(cause.least()), text: words::cost(&facts, cause) });
    }
    for promise in promised {
        let least = (&promise.gain[0]).min(&promise.gain[1]);
        costs.push(BriefLine { points: points(least), text: words::promise_cost(promise) });
    }
    let shown = &facts.shown;
    let pair = |e: &[Exact; 2]| [0, 1].map(|i| e[i].display(2, Rounding::HalfUp));
    Some(Brief {
        device: identity(record),
        bench: bench(record),
        range: if shown[0] == shown[1] { shown[0].clone() } else { format!("{} to {}", shown[0], shown[1]) },
        out_of: format!("of {}", facts.top),
        about: if own { "what the bench shows".to_owned() } else { String::new() },
        bar: super::verdict::bar_of(a),
        full: if own { format!("{} {} with the maker's promises", first.range, first.out_of) } else { String::new() },
        attained: facts.attained,
        bounds: words::bounds(&a.range(), &a.method),
        sentence: said.text,
        spoken: said.spoken,
        laws: assessed.iter().skip(1).map(law).collect(),
        lost: lost(&facts),
        criteria: facts.lost.criteria.iter().map(row).collect(),
        parts_lost: facts.lost.parts.iter().map(row).collect(),
        strip: crate::svg::strip::strip(&facts.lost),
        picture: picture::svg(&tree),
        tree: picture::list(&whole),
        more: tree.more.iter().map(|(n, s)| format!("{n} {}", open_count(*s).0)).collect::<Vec<_>>().join(", "),
        whole: if tree.more.is_empty() { String::new() } else { picture::svg(&whole) },
        parts: facts.parts.iter().take(2).map(|p| part(record, p)).collect(),
        costs,
        ladder: facts
            .causes
            .iter()
            .take(CAUSES)
            .map(|c| Rung {
                text: words::cost(&facts, c),
                alone: pair(&c.gain),
                adds: c.rung.as_ref().map_or_else(|| [String::new(), String::new()], pair),
            })
            .collect(),
        rest: {
            let rest = pair(&lead.causes.rest);
            if rest[0] == rest[1] { rest[0].clone() } else { format!("{} to {}", rest[1], rest[0]) }
        },
        open: facts
            .open
            .iter()
            .filter(|o| points(&o.moves) != "0.0")
            .take(LINES)
            .map(|o| BriefLine { points: points(&o.moves), text: words::open_line(&facts, o) })
            .collect(),
        open_more: facts
            .open
            .len()
            .saturating_sub(facts.open.iter().filter(|o| points(&o.moves) != "0.0").count().min(LINES)),
        hazards: list(&log::cautions(job).into_iter().map(|c| c.hazard).collect::<Vec<_>>()),
        own: reviewer(record, &facts),
        method: format!("{}; weakest rule {}", first.title, first.weakest.split(',').next().unwrap_or_default()),
        fingerprint: first.fingerprint.chars().take(8).collect(),
        script: words::script(record, &facts)
            .into_iter()
            .map(|s| ScriptLine { at: s.at.map_or_else(String::new, clock), text: s.text })
            .collect(),
    })
}

fn row(lost: &Lost) -> LostRow {
    let of = |e: usize| lost.points[e].display(2, Rounding::HalfUp);
    LostRow { title: line(&lost.title), high: of(1), low: of(0), limit: lost.limit }
}

/// `2.4 points are lost, 0.6 more are open`.
fn lost(facts: &Facts) -> String {
    let [low, high] = &facts.lost.all;
    let width = low - high;
    let lost = high.display(1, Rounding::HalfUp);
    let open = width.display(1, Rounding::HalfUp);
    if width.is_zero() {
        format!("{lost} points are lost")
    } else {
        format!("{lost} points are lost for sure, {open} more {} open", if open == "1.0" { "is" } else { "are" })
    }
}

fn identity(record: &Record) -> Vec<String> {
    let d = &record.device;
    let text = |s: &Option<scoring::record::Spanned<String>>| s.as_ref().map(|s| line(&s.value));
    let model: Vec<String> = [text(&d.model), text(&d.variant)].into_iter().flatten().collect();
    let mut out = Vec::new();
    if !model.is_empty() {
        out.push(model.join(", "));
    }
    out.push(d.category.value.to_string());
    out.extend(d.price.as_ref().map(|p| place::known(&p.known, money)));
    out.extend(text(&d.condition));
    out
}

fn bench(record: &Record) -> Vec<String> {
    let t = &record.teardown;
    let date = t.date.as_ref().map(|d| line(&d.value));
    let by = t.by.as_ref().map(|b| format!("by {}", line(&b.value)));
    let planned = t.basis == Basis::Planned;
    let mut out: Vec<String> = Vec::new();
    let lead = if planned { "a design, not taken apart" } else { "taken apart" };
    let when: Vec<String> = [Some(lead.to_owned()), date.map(|d| if planned { d } else { format!("on {d}") }), by]
        .into_iter()
        .flatten()
        .collect();
    out.push(when.join(if planned { ", " } else { " " }));
    if t.basis != Basis::Seen && !planned {
        out.push(format!("bench facts {}, not done on this bench", t.basis));
    }
    let else_where = record.actions.iter().filter(|a| a.margin.basis.is_some_and(|b| b != Basis::Seen)).count();
    let untried = record.actions.iter().filter(|a| a.outcome.value == scoring::record::Outcome::NotAttempted).count();
    if else_where > 0 {
        out.push(format!("{} of {} actions not done on this bench", else_where, record.actions.len()));
    }
    if untried > 0 {
        out.push(format!("{} of {} actions nobody tried", untried, record.actions.len()));
    }
    if record.as_logged.is_some() {
        out.push("order as logged, assumed".to_owned());
    }
    out
}

fn law(a: &Assessed) -> Law {
    let would = |said: &str| match a.range.split_once(" (") {
        Some((_, day)) => format!("would be {said} ({day}"),
        None => said.to_owned(),
    };
    // A verdict that does not bind yet is said with its day.
    let bare = if a.low == a.high { a.low.as_str() } else { a.range.as_str() };
    let (result, form) = match (bare, a.out_of.is_empty()) {
        ("pass", true) => (would("met"), "yes"),
        ("fail", true) => (would("not met"), "no"),
        (range, true) => (range.to_owned(), "open"),
        (range, false) => {
            let class = if a.class.is_empty() { String::new() } else { format!(", {}", a.class) };
            (format!("{range} {}{class}", a.out_of), "number")
        }
    };
    let text = match &a.counts {
        Some(c) => {
            let mut text = format!("{} of {} not met, {} open", c.not_met, c.of, c.open);
            if !c.first.is_empty() {
                text.push_str(&format!("; first: {}", c.first));
            }
            text
        }
        None => a.reason.trim_end_matches('.').to_owned(),
    };
    Law {
        key: a.key.clone(),
        title: a.title.clone(),
        result,
        form,
        text: crate::clean::shorten(&text, 130),
        sure: sure(a),
    }
}

/// Where a result comes from, and on how much of it that nobody saw or read it rests.
fn sure(a: &Assessed) -> String {
    let mut counts: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for rest in &a.rests_on {
        *counts.entry(rest.split(':').next().unwrap_or_default()).or_default() += 1;
    }
    let rests: Vec<String> = counts.iter().map(|(how, n)| format!("{how} {n}")).collect();
    let rests = if rests.is_empty() {
        String::new()
    } else {
        format!("; rests on facts and readings that are {}", rests.join(", "))
    };
    let only = if a.information_only.is_empty() { "" } else { "; for information only" };
    format!("{}{only}{rests}", a.edition)
}

fn part(record: &Record, fact: &PartFact) -> BriefPart {
    let own = fact.way.as_ref().map(|w| w.name.clone()).or_else(|| fact.names.first().cloned()).unwrap_or_default();
    let name = if fact.names.len() > 1 { own } else { en::name(&fact.role, &own) };
    let head = match fact.steps {
        [Some(a), Some(b)] if a == b => en::steps(a),
        [Some(a), Some(b)] => format!("{} to {}", open_count(a.min(b)).0, en::steps(a.max(b))),
        [None, Some(b)] => format!("{} if it comes out at all", en::steps(b)),
        _ if fact.way.is_none() => "not mentioned".to_owned(),
        _ => "can't be taken out".to_owned(),
    };
    let head = format!("{}: {head}", capital(&name));
    let mut rows = Vec::new();
    let mut add = |what: &str, said: String| {
        if !said.is_empty() {
            rows.push(Pair { what: what.to_owned(), said });
        }
    };
    if let Some(way) = &fact.way {
        let off: Vec<&str> = way.first_off.iter().take(3).map(String::as_str).collect();
        let more = way.first_off.len().saturating_sub(3);
        let off = if more > 0 { format!("{} and {more} more", off.join(", ")) } else { list(&off) };
        add("first off", if off.is_empty() { "nothing".to_owned() } else { off });
        let mut work = work(way);
        if let Some((_, why)) = &fact.failed {
            work.push_str(
                &why.as_ref()
                    .map_or_else(|| "; another way failed".to_owned(), |w| format!("; another way failed: {w}")),
            );
        }
        add("work", crate::clean::shorten(&work, 110));
    }
    add("spare", spare(record, fact));
    BriefPart { head, rows }
}

fn work(way: &Way) -> String {
    let mut out: Vec<String> = Vec::new();
    match way.heats.as_slice() {
        [] => {}
        [Some(c)] => out.push(format!("heat {c} °C")),
        [None] => out.push("heat".to_owned()),
        many => {
            let known: Vec<String> = many.iter().flatten().map(ToString::to_string).collect();
            let times = if many.len() == 2 { "twice".to_owned() } else { format!("{} times", many.len()) };
            out.push(if known.is_empty() {
                format!("heat {times}")
            } else {
                format!("heat {times}, {} °C", known.join(" and "))
            });
        }
    }
    out.extend(way.solvents.iter().cloned());
    if way.glue {
        out.push("glue to cut".to_owned());
    }
    if !way.destroys.is_empty() {
        out.push(format!("destroys {}", list(&way.destroys)));
    }
    out.push(match way.tools {
        0 => "bare hands".to_owned(),
        1 => "one tool".to_owned(),
        n => format!("{} tools", en::number(n)),
    });
    out.join(", ")
}

fn spare(record: &Record, fact: &PartFact) -> String {
    if record.support.no_spares {
        return "none offered".to_owned();
    }
    let keys = fact.names.iter().map(String::as_str).chain(fact.role.split('|').map(str::trim)).chain(["every part"]);
    let Some(spare) = record.support.spare(keys) else { return "nothing stated".to_owned() };
    let mut out: Vec<String> = Vec::new();
    if spare.price.stated {
        out.push(place::known(&spare.price.known, money));
    }
    out.push(match spare.to.settled() {
        Some(Access::Public) => "to anyone".to_owned(),
        Some(Access::Independent) => "to repairers".to_owned(),
        Some(Access::Authorised) => "to authorised repairers only".to_owned(),
        Some(Access::Manufacturer) => "kept by the maker".to_owned(),
        Some(Access::None) => "to nobody".to_owned(),
        None => "who can buy it is open".to_owned(),
    });
    if let Some(years) = spare.years.settled() {
        out.push(format!("{} years", years.plain()));
    }
    out.join(", ")
}

/// The reviewer's own verdict, and where it lies where it is a number on the same scale.
fn reviewer(record: &Record, facts: &Facts) -> String {
    let Some(own) = &record.own_verdict else { return String::new() };
    let text = line(&own.value);
    let number = text.split(['/', ' ']).next().and_then(Exact::parse);
    let scale =
        text.split_once('/').map(|(_, of)| of.trim().chars().take_while(char::is_ascii_digit).collect::<String>());
    // Held against the range as shown: 5 is not below 5.0.
    let ends = [0, 1].map(|e| Exact::parse(&facts.shown[e]).unwrap_or_else(|| facts.ends[e].clone()));
    let place = match number {
        Some(n) if scale.is_none_or(|s| s == facts.top) => {
            let points = |v: Exact| v.display(1, Rounding::HalfUp);
            if n < ends[0] {
                format!(", {} below the range", points(&ends[0] - &n))
            } else if n > ends[1] {
                format!(", {} above the range", points(&n - &ends[1]))
            } else {
                ", within the range".to_owned()
            }
        }
        _ => String::new(),
    };
    format!("\u{201c}{}\u{201d}{place}", crate::clean::shorten(&text, 200))
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
