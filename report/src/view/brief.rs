//! The summary from facts and words.

use scoring::assess::Reach;
use scoring::exact::{Exact, Rounding};
use scoring::range::Assessment;
use scoring::record::complete::open_count;
use scoring::record::{Known, Record, Term};
use scoring::vocab::{Basis, Promise, Words};

use super::gains::Traced;
use super::place::{Places, money};
use super::types::{Assessed, Brief, BriefLine, BriefPart, Law, LostRow, Pair, Rung, ScriptLine};
use super::{Job, log, place};
use crate::clean::{clock, line};
use crate::facts::{CauseFact, Facts, Lead, Lost, Open, PartFact, Promise as Promised, WayToPart};
use crate::picture;
use crate::plural::{list, some};
use crate::words;
use crate::words::english as en;

/// Lines of what costs most and of what is open.
const LINES: usize = 3;
/// Letters of the work on a way.
const WORK: usize = 95;
/// Causes listed in the details.
const CAUSES: usize = 30;

/// The summary of the assessment that stands first; `None` where it has no points.
pub(super) fn brief(job: &Job<'_>, places: &Places<'_>, assessed: &[Assessed], lead: &Lead) -> Option<Brief> {
    let record = job.record;
    let facts = Facts::new(record, lead)?;
    let first = assessed.first()?;
    let said = words::sentence(&facts);
    let a = &lead.assessment;
    let own = lead.bench;
    let traced = Traced { places, assessment: job.applied.first()?.assessment, assessed: first };
    let mut causes: Vec<(Rung, &CauseFact)> = Vec::new();
    for (i, cause) in facts.causes.iter().take(CAUSES).enumerate() {
        let rung = traced.cause(&facts, cause, i + 1);
        // One piece in two roles is one cause, and what gains nothing that a reader could see is none.
        let again = causes.iter().any(|(r, _)| r.text == rung.text && r.alone == rung.alone);
        let nothing = |ends: &[String; 2]| ends.iter().all(|p| p.is_empty() || p == "0.00");
        if !nothing(&rung.adds) || !again && !nothing(&rung.alone) {
            causes.push((rung, cause));
        }
    }
    let promised: Vec<Rung> = if own {
        let number = |i: usize| CAUSES + i + 1;
        facts.promises.iter().take(CAUSES).enumerate().map(|(i, p)| traced.promise(p, number(i))).collect()
    } else {
        Vec::new()
    };
    let tree = picture::tree(record, a, picture::ROWS);
    let whole = picture::tree(record, a, usize::MAX);
    let points = |v: &Exact| v.display(1, Rounding::HalfUp);
    let mut costs: Vec<BriefLine> = Vec::new();
    if let Some(limit) = &facts.limit {
        let takes = limit.takes.iter().max().map_or_else(String::new, points);
        // Which parts it reads is no matter of course where weights tie.
        let reads = a.heaviest_said().map_or_else(String::new, |said| en::limit_reads(&line(&said)));
        let text = format!("{}{reads}", words::lift(&facts, limit));
        let (anchor, place) = traced.limit(limit, own);
        costs.push(BriefLine { points: takes, text, anchor, place });
    }
    // What a limit leaves of a gain, where it leaves less than is shown.
    let held = |gain: &Option<[Exact; 2]>, least: &Exact| match gain.as_ref().map(|[a, b]| points(a.min(b))) {
        Some(left) if left != points(least) => en::while_a_limit_holds(&left),
        _ => String::new(),
    };
    let of = |rung: &Rung, least: &Exact, gain: &Option<[Exact; 2]>| BriefLine {
        points: points(least),
        text: format!("{}{}", rung.text, held(gain, least)),
        anchor: rung.anchor.clone(),
        place: rung.places.first().map_or_else(String::new, |p| p.text.clone()),
    };
    let kept = LINES - promised.len().min(1);
    for (rung, cause) in causes.iter().take(kept.saturating_sub(costs.len())) {
        costs.push(of(rung, cause.least(), &cause.held));
    }
    // A promise that limits leave nothing of costs nothing; the details have it.
    let left = |p: &Promised| p.held.as_ref().is_none_or(|[a, b]| points(a.min(b)) != "0.0");
    for (rung, promise) in promised.iter().zip(&facts.promises).take(1).filter(|(_, p)| left(p)) {
        costs.push(of(rung, (&promise.gain[0]).min(&promise.gain[1]), &promise.held));
    }
    // What rounds to nothing costs nothing that a reader could see; the details have it.
    costs.retain(|c| c.points != "0.0");
    let shown = &facts.shown;
    let pair = |e: &[Exact; 2]| [0, 1].map(|i| e[i].display(2, Rounding::HalfUp));
    // What moves most stands first; one more line than usual takes no more room than to say that there is one.
    let moves = |o: &Open| points(&o.moves) != "0.0";
    let shown_open = match facts.open.iter().take_while(|o| moves(o)).count() {
        n if n <= LINES + 1 => n,
        _ => LINES,
    };
    Some(Brief {
        device: identity(record),
        bench: bench(record),
        range: one_or_to(&shown[0], &shown[1]),
        out_of: if own { en::out_of(&facts.top) } else { scale(first) },
        about: if own {
            en::what_is_shown(record.teardown.basis() == Basis::Planned).to_owned()
        } else {
            String::new()
        },
        bar: super::verdict::bar_of(a),
        full: if own { en::with_promises(&first.range, &scale(first)) } else { String::new() },
        attained: facts.attained,
        bounds: words::bounds(&a.range(), &a.method),
        sentence: said.text,
        spoken: said.spoken,
        laws: assessed.iter().zip(&job.applied).skip(1).map(|(a, applied)| law(a, applied.assessment)).collect(),
        lost: lost(&facts),
        lost_list: words::lost_list(&facts.lost),
        criteria: facts.lost.criteria.iter().map(row).collect(),
        parts_lost: facts.lost.parts.iter().map(row).collect(),
        strip: crate::svg::strip::strip(&facts.lost),
        picture: picture::svg(&tree),
        tree: picture::list(&whole),
        more: tree.more.iter().map(|(n, s)| format!("{n} {}", open_count(*s).0)).collect::<Vec<_>>().join(", "),
        whole: if tree.more.is_empty() { String::new() } else { picture::svg(&whole) },
        parts: facts.parts.iter().take(2).map(|p| part(record, p)).collect(),
        costs,
        ladder: causes.into_iter().map(|(rung, _)| rung).collect(),
        promised,
        rest: {
            let rest = pair(&lead.causes.rest);
            one_or_to(&rest[1], &rest[0])
        },
        open: facts.open[..shown_open]
            .iter()
            .map(|o| BriefLine {
                points: points(&o.moves),
                text: words::open_line(&facts, o),
                anchor: question_anchor(first, &o.path),
                place: String::new(),
            })
            .collect(),
        open_more: {
            let rest = &facts.open[shown_open..];
            let silent = rest.iter().filter(|o| !moves(o) && !o.answers.is_empty()).count();
            en::more_open(shown_open, rest.len() - silent, silent)
        },
        hazards: capital(&list(&log::cautions(job).into_iter().map(|c| c.hazard).collect::<Vec<_>>())),
        own: reviewer(record, &facts),
        corrected: record.corrections.last().map_or_else(String::new, |last| {
            en::corrected_on(crate::correction::day(last).as_deref(), record.corrections.len())
        }),
        method: en::method_and_weakest(&first.title, a.weakest.phrase(), own),
        fingerprint: first.fingerprint.chars().take(8).collect(),
        script: words::script(record, &facts)
            .into_iter()
            .map(|s| ScriptLine { at: s.at.map_or_else(String::new, clock), text: s.text })
            .collect(),
    })
}

/// Where a question is asked among those of the assessment that stands first.
fn question_anchor(first: &Assessed, path: &str) -> String {
    let asked = first.unknowns.iter().find(|u| u.path == path);
    asked.map_or_else(String::new, |u| format!("{}.u{}", first.letter, u.number))
}

/// The scale of a verdict, its class, and the day its rule binds from where it may not bind this device.
fn scale(a: &Assessed) -> String {
    en::scale(&a.out_of, &a.class)
}

fn row(lost: &Lost) -> LostRow {
    let of = |e: usize| lost.points[e].display(2, Rounding::HalfUp);
    LostRow { title: line(&lost.title), high: of(1), low: of(0), limit: lost.limit }
}

/// `2.4 points are lost, 0.6 more are open`.
fn lost(facts: &Facts) -> String {
    let [low, high] = &facts.lost.all;
    let width = low - high;
    let shown = |v: &Exact| {
        Some(v).filter(|v| !v.is_zero()).map(|v| v.display(1, Rounding::HalfUp)).map(|t| {
            // Something is lost, if less than is shown.
            if t == "0.0" { en::LESS_THAN_SHOWN.to_owned() } else { t }
        })
    };
    en::lost_and_open(shown(high).as_deref(), shown(&width).as_deref())
}

fn identity(record: &Record) -> Vec<String> {
    let d = &record.device;
    let text = |s: &Option<scoring::record::Spanned<String>>| s.as_ref().map(|s| line(&s.value));
    let model: Vec<String> = [text(&d.model), text(&d.variant)].into_iter().flatten().collect();
    let mut out = Vec::new();
    if !model.is_empty() {
        out.push(model.join(", "));
    }
    // A device of no category listed is told by what else is known of it.
    out.extend(Some(d.category.value.to_string()).filter(|c| c != "other"));
    let price = d.price.as_ref().filter(|p| !matches!(p.known, Known::Unknown));
    out.extend(price.map(|p| place::known(&p.known, money)));
    out.extend(text(&d.condition));
    out
}

fn bench(record: &Record) -> Vec<String> {
    let t = &record.teardown;
    let date = t.date.as_ref().map(|d| line(&d.value));
    let by = t.by.as_ref().map(|b| line(&b.value));
    let planned = t.basis() == Basis::Planned;
    let mut out: Vec<String> = vec![en::taken_apart(planned, date.as_deref(), by.as_deref())];
    if t.basis() == Basis::Drafted {
        out.push(en::BENCH_DRAFTED.to_owned());
    } else if t.basis() != Basis::Seen && !planned {
        out.push(en::bench_told(t.basis().word()));
    }
    // What was drafted was done, as far as word lists heard right; nobody has said so yet.
    let drafted = record.actions.iter().filter(|a| a.margin.basis == Some(Basis::Drafted)).count();
    let told = |b: Basis| !matches!(b, Basis::Seen | Basis::Drafted);
    let else_where = record.actions.iter().filter(|a| a.margin.basis.is_some_and(told)).count();
    if drafted > 0 {
        out.push(en::actions_drafted(drafted, record.actions.len()));
    }
    let untried = record.actions.iter().filter(|a| a.outcome.value == scoring::record::Outcome::NotAttempted).count();
    if else_where > 0 {
        out.push(en::actions_elsewhere(else_where, record.actions.len()));
    }
    if untried > 0 {
        out.push(en::actions_untried(untried, record.actions.len()));
    }
    if record.as_logged.is_some() {
        out.push(en::ORDER_ASSUMED.to_owned());
    }
    out
}

/// The result of another method in a line, from its numbers.
fn law(a: &Assessed, found: &Assessment) -> Law {
    let result = words::law::result(found);
    Law {
        key: a.key.clone(),
        title: a.title.clone(),
        result: result.text,
        form: result.form.word(),
        text: match &a.counts {
            Some(counts) => words::law::requirements(counts),
            None => words::law::points(found),
        },
        day: words::law::day(found),
        sure: words::law::sure(found, !a.information_only.is_empty()),
    }
}

fn part(record: &Record, fact: &PartFact) -> BriefPart {
    let own = fact.way.as_ref().map(|w| w.name.clone()).or_else(|| fact.names.first().cloned()).unwrap_or_default();
    let name = if fact.names.len() > 1 { own } else { en::name(&fact.role, &own) };
    let head = match fact.steps {
        [Some(a), Some(b)] if a == b && fact.open => en::at_both_ends(a),
        [Some(a), Some(b)] if a == b => en::steps(a),
        // An end that is open upwards says so once.
        [Some(a), Some(b)] if open_count(a.max(b)).1 => {
            let [(least, open), (most, _)] = [a.min(b), a.max(b)].map(open_count);
            if open || least == most { en::at_least(&en::steps(least)) } else { en::to_at_least(least, most) }
        }
        [Some(a), Some(b)] => en::between_steps(a.min(b), a.max(b)),
        [None, Some(b)] => en::if_at_all(b, fact.way.as_ref().is_some_and(|w| w.order_open)),
        _ if fact.way.is_none() => en::NOT_MENTIONED.to_owned(),
        _ => en::CANT_BE_TAKEN_OUT.to_owned(),
    };
    let head = format!("{}: {head}", capital(&name));
    let [first_off, worked, new] = en::ROWS;
    let mut rows = Vec::new();
    let mut add = |what: &str, said: String| {
        if !said.is_empty() {
            rows.push(Pair { what: what.to_owned(), said });
        }
    };
    let reached = fact.way.as_ref().filter(|w| w.reach != Reach::No);
    if reached.is_none()
        && let Some((_, why)) = &fact.failed
    {
        add(worked, crate::clean::shorten(&en::only_failed(why.as_deref()), WORK));
    }
    if let Some(way) = reached {
        let off = some(&way.first_off, 3);
        add(
            first_off,
            match (way.order_open, off.is_empty()) {
                (true, _) => en::first_at_least(&off),
                (false, true) => en::NOTHING_FIRST.to_owned(),
                (false, false) => off,
            },
        );
        let mut work = work(way);
        if !way.together.is_empty() {
            work = format!("{work}; {}", en::comes_with(&some(&way.together, 3)));
        }
        if let Some((_, why)) = &fact.failed {
            // A reason is told whole or, where it has no room here, with the way in the details.
            let room = |why: &&str| (work.clone() + &en::failed_too(Some(why))).chars().count() <= WORK;
            work.push_str(&en::failed_too(why.as_deref().filter(room)));
        }
        add(worked, crate::clean::shorten(&work, WORK));
    }
    add(new, spare(record, fact));
    BriefPart { head, rows }
}

fn work(way: &WayToPart) -> String {
    let mut out: Vec<String> = en::heated(&way.heats).into_iter().collect();
    out.extend(way.solvents.iter().cloned());
    out.extend(Some(en::to_cut(&way.stuck)).filter(|t| !t.is_empty()));
    if !way.destroys.is_empty() {
        out.push(en::destroys(&way.destroys));
    }
    out.push(en::in_hand(way.tools, way.tools_open));
    out.join(", ")
}

fn spare(record: &Record, fact: &PartFact) -> String {
    if record.support.no_spares {
        return en::NONE_OFFERED.to_owned();
    }
    let keys = fact.names.iter().map(String::as_str).chain(fact.role.split('|').map(str::trim)).chain(["every part"]);
    let Some(spare) = record.support.spare(keys) else { return en::NOTHING_STATED.to_owned() };
    let mut out: Vec<String> = Vec::new();
    let price = &spare.facts[Promise::Price];
    if price.stated {
        out.push(place::known(&price.known, |term: &Term| term.money().map_or_else(String::new, money)));
    }
    out.push(en::sold_to(spare.facts.word(Promise::To)));
    if let Some(years) = spare.facts.number(Promise::Years) {
        out.push(en::for_years(&years.plain()));
    }
    out.join(", ")
}

/// The reviewer's own verdict, and where it lies where it is a number on the same scale.
fn reviewer(record: &Record, facts: &Facts) -> String {
    let Some(own) = &record.own_verdict else { return String::new() };
    let text = line(&own.is.value);
    let number = text.split(['/', ' ']).next().and_then(Exact::parse);
    let scale =
        text.split_once('/').map(|(_, of)| of.trim().chars().take_while(char::is_ascii_digit).collect::<String>());
    // Held against the range as shown: 5 is not below 5.0.
    let ends = [0, 1].map(|e| Exact::parse(&facts.shown[e]).unwrap_or_else(|| facts.ends[e].clone()));
    let place = match number {
        Some(n) if scale.is_none_or(|s| s == facts.top) => {
            let points = |v: Exact| v.display(1, Rounding::HalfUp);
            Some(if n < ends[0] {
                en::Beside::Below(points(&ends[0] - &n))
            } else if n > ends[1] {
                en::Beside::Above(points(&n - &ends[1]))
            } else {
                en::Beside::Within
            })
        }
        _ => None,
    };
    let because = own.because.as_ref().map(|b| crate::clean::shorten(&line(&b.value), 200));
    en::own_verdict(&crate::clean::shorten(&text, 200), place.as_ref(), because.as_deref())
}

fn one_or_to(low: &str, high: &str) -> String {
    if low == high { low.to_owned() } else { en::to(low, high) }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
