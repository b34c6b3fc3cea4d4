//! What stands beside a route in text and JSON: times, the order of the log, what stands in the way, the way back.

use std::collections::BTreeSet;
use std::io::Write;

use report::json;
use scoring::assess::Reach;
use scoring::assess::back::BackLine;
use scoring::assess::joint::Wanted;
use scoring::assess::performed::Counted;
use scoring::assess::time::{Duration, in_words};
use scoring::range::routes::{End, Ways};
use scoring::record::Record;
use scoring::text::Sources;

use super::caution;
use crate::arguments::RouteBy;
use crate::failure::Failure;
use crate::terminal::{hang, tame};
use crate::words::plain;
use crate::words::route::{self as say, Logged, Reached};
use crate::world::WIDTH;

/// Changes shown of those that would save steps.
const SHOWN: usize = 8;

/// What is wanted, in words.
pub(super) fn name(wanted: &Wanted) -> String {
    say::parts(&wanted.parts, wanted.any)
}

/// The headline where steps are not the cost.
pub(super) fn cost_headline(ways: &Ways) -> String {
    let [least, most] = &ways.ends;
    let cost = |end: &End| match &end.time {
        Some(time) => in_words(time.hands_on),
        None => plain::parts(usize::try_from(end.cost.unwrap_or(0)).unwrap_or(usize::MAX)),
    };
    let how = match (least.route.reach, most.route.reach) {
        (Reach::No, _) => Reached::No,
        (Reach::Damage, _) => Reached::Damage(cost(least)),
        (Reach::Yes, Reach::Yes) if least.cost == most.cost => Reached::At(cost(least)),
        (Reach::Yes, Reach::Yes) => Reached::UpTo(cost(least), cost(most)),
        (Reach::Yes, _) => Reached::Perhaps(cost(least)),
    };
    say::cost_headline(&how, least.time.is_some(), ways.proved, ways.questions.len())
}

/// Everything beside one route.
pub(super) fn told(
    end: &End,
    ways: &Ways,
    sources: &Sources,
    record: &Record,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let mut tell = |lead: &str, text: &str| write!(out, "{}", hang(&format!("  {lead}: "), &tame(text), WIDTH));
    if let Some(time) = &end.time {
        for (lead, text) in duration(time) {
            tell(lead, &text)?;
        }
    }
    let target = name(&ways.wanted);
    if let Some(beside) = &end.beside {
        let suffice =
            if end.route.reach == Reach::Yes { Some(end.route.steps - end.route.authorisation) } else { None };
        if let Some(text) = beside.performed.as_ref().and_then(|c| as_logged(c, &target, suffice)) {
            tell(say::AS_LOGGED, &text)?;
        }
        if let Some(text) = beside.official.as_ref().and_then(|c| official(c, &target)) {
            tell(say::OFFICIAL, &text)?;
        }
        if let Some(way) = &beside.destructive {
            tell(say::NEVER_SCORED, &say::shorter(&way.destroys, way.steps))?;
        }
        for way in &beside.untaken {
            let text = say::way(&way.id, &sources.place(way.span), way.because.as_deref());
            tell(say::untaken(way.failed), &text)?;
        }
    }
    if let Some(list) = &end.why {
        tell(say::IN_THE_WAY, say::would_save(!list.is_empty()))?;
        for it in list.iter().take(SHOWN) {
            let place = it.span.map(|s| sources.place(s));
            let text = say::saves(&it.text, place.as_deref(), it.steps, it.saved);
            write!(out, "{}", hang("    - ", &tame(&text), WIDTH))?;
        }
        if let Some(more) = list.len().checked_sub(SHOWN).filter(|n| *n > 0) {
            writeln!(out, "      {}", plain::more_in_json(more))?;
        }
    }
    if let Some(back) = end.back.as_ref().filter(|b| !b.lines.is_empty()) {
        writeln!(out, "  {}", say::WAY_BACK)?;
        writeln!(out, "  {}", "-".repeat(WIDTH - 4))?;
        if back.lines.iter().any(|l| l.live) {
            write!(out, "{}", hang("  !  ", say::LIVE_FROM, WIDTH))?;
        }
        let mut warned = BTreeSet::new();
        for (number, line) in back.lines.iter().enumerate() {
            undone(Some(number + 1), line, record, &mut warned, out)?;
        }
        if !back.only_back.is_empty() {
            writeln!(out, "  {}", say::ONLY_BACK)?;
            for line in &back.only_back {
                undone(None, line, record, &mut warned, out)?;
            }
        }
    }
    Ok(())
}

fn duration(time: &Duration) -> Vec<(&'static str, String)> {
    let mut out = vec![(say::HANDS_ON, in_words(time.hands_on))];
    if time.waiting > 0.0 {
        out.push((say::WAITING, say::waiting(time.waiting)));
    }
    out.push((say::PUTTING_TOGETHER, say::backwards(time.reassembly, time.reassembly == time.hands_on)));
    if time.own_share > 0.0 {
        out.push((say::MEASURED, say::own_share(time.own_share * 100.0)));
    }
    if let Some((seen, estimate)) = time.observed {
        out.push((say::SEEN_UNCUT, say::seen(seen, estimate)));
    }
    out.push((say::CERTAINTY, say::weakest(time.weakest)));
    out
}

fn as_logged(counted: &Counted, target: &str, suffice: Option<u32>) -> Option<String> {
    let logged = match suffice {
        Some(best) if best == counted.steps => Logged::Fewest,
        Some(best) if best < counted.steps => Logged::Suffice(best),
        _ => Logged::Alone,
    };
    let said = || say::as_logged(counted.steps, target, logged, &counted.failed, &counted.unmet);
    counted.reached.then(said)
}

fn official(counted: &Counted, target: &str) -> Option<String> {
    let steps = counted.reached.then_some(counted.steps);
    let said = say::official(steps, target, &counted.failed, &counted.unmet);
    // That it does not free the target is said only where a failure is why.
    (counted.reached || !counted.failed.is_empty()).then_some(said)
}

/// One action of the way back; `number`: none where it stands on the way back only, and nobody knows its place.
fn undone(
    number: Option<usize>,
    line: &BackLine,
    record: &Record,
    warned: &mut BTreeSet<String>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let lead = number.map_or_else(|| "   -".to_owned(), |n| format!("{n:>3}."));
    write!(out, "{}", hang(&format!("  {lead} "), &tame(&say::undone(&line.what, line.live)), WIDTH))?;
    for hazard in line.hazards.iter().filter(|h| warned.insert((*h).clone())) {
        write!(out, "{}", hang("     !   ", &tame(&caution(hazard, record)), WIDTH))?;
    }
    let wait: Vec<String> = line.wait.iter().map(|w| say::minutes(w)).collect();
    let note: Vec<String> = line.note.iter().filter(|_| number.is_none()).cloned().collect();
    let lists: [(&str, &[String]); 9] = [
        (say::DESTROYED, &line.destroyed),
        (say::LOST, &line.lost),
        (say::BUY, &line.buy),
        (say::CARE, &line.care),
        (say::FASTEN, &line.fasten),
        (say::CHECK, &line.check),
        (say::IF_SKIPPED, &line.if_skipped),
        (say::WAIT, &wait),
        (say::NOTE, &note),
    ];
    for (word, list) in lists {
        for text in list {
            write!(out, "{}", hang(&format!("         {word}: "), &tame(text), WIDTH))?;
        }
    }
    Ok(())
}

/// One route for programs: that at the least cost.
pub(super) fn json(ways: &Ways, by: RouteBy, sources: &Sources) -> json::RouteDocument {
    let [least, most] = &ways.ends;
    let bound = if by == RouteBy::Steps { ways.at_least } else { least.route.steps };
    let mut out = json::RouteDocument::new(&name(&ways.wanted), ways.steps, bound, &least.lines);
    out.parts = ways.wanted.parts.iter().map(|p| tame(p)).collect();
    out.any = ways.wanted.any;
    out.by = match by {
        RouteBy::Steps => "steps",
        RouteBy::Time => "time",
        RouteBy::Parts => "parts",
    };
    if by != RouteBy::Steps && !ways.proved {
        out.certificate = "at least";
    }
    out.cost = least.cost.zip(most.cost).filter(|_| least.route.reach != Reach::No).map(|(a, b)| [a, b]);
    out.time = least.time.as_ref().map(json::Time::from);
    if let Some(beside) = &least.beside {
        out.beside(beside, |span| sources.place(span));
    }
    out.in_the_way = least
        .why
        .as_ref()
        .map(|list| list.iter().map(|it| json::Saving::new(it, it.span.map(|s| sources.place(s)))).collect());
    out.back = least.back.as_ref().map(|back| {
        let on_route = back.lines.iter().map(|l| json::Undone::new(l, false));
        on_route.chain(back.only_back.iter().map(|l| json::Undone::new(l, true))).collect()
    });
    out
}
