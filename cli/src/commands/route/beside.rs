//! What stands beside a route in text and JSON: times, the order of the log, what stands in the way, the way back.

use std::collections::BTreeSet;
use std::io::Write;

use report::json;
use scoring::assess::Reach;
use scoring::assess::back::BackLine;
use scoring::assess::joint::Wanted;
use scoring::assess::performed::Counted;
use scoring::assess::time::{Duration, in_words, two_figures};
use scoring::range::routes::{End, Ways};
use scoring::record::Record;
use scoring::record::complete::open_count;
use scoring::text::Sources;

use super::{bears, caution};
use crate::arguments::RouteBy;
use crate::failure::Failure;
use crate::terminal::{hang, plural, tame};
use crate::world::WIDTH;

/// Changes shown of those that would save steps.
const SHOWN: usize = 8;

/// What is wanted, in words.
pub(super) fn name(wanted: &Wanted) -> String {
    wanted.parts.join(if wanted.any { " or " } else { " and " })
}

/// The headline where steps are not the cost.
pub(super) fn cost_headline(ways: &Ways) -> String {
    let [least, most] = &ways.ends;
    let cost = |end: &End| match &end.time {
        Some(time) => in_words(time.hands_on),
        None => plural(usize::try_from(end.cost.unwrap_or(0)).unwrap_or(usize::MAX), "part"),
    };
    let said = match (least.route.reach, most.route.reach) {
        (Reach::No, _) => return format!("can't be reached{}", bears(ways)),
        (Reach::Damage, _) => format!("only by damage, {}", cost(least)),
        (Reach::Yes, Reach::Yes) if least.cost == most.cost => cost(least),
        (Reach::Yes, Reach::Yes) => format!("{}, or up to {}", cost(least), cost(most)),
        (Reach::Yes, _) => format!("{}, or can't be reached without damage", cost(least)),
    };
    let what = if least.time.is_some() { " hands-on" } else { " taken off" };
    let proved = if ways.proved { "proved least" } else { "best found, not every answer or order was tried" };
    let nominal = if least.time.is_some() { " by the table's nominal times" } else { "" };
    format!("{said}{what}, {proved}{nominal}{}", bears(ways))
}

/// Everything beside one route.
pub(super) fn told(
    end: &End,
    ways: &Ways,
    sources: &Sources,
    record: &Record,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let mut say = |lead: &str, text: &str| write!(out, "{}", hang(&format!("  {lead}: "), &tame(text), WIDTH));
    if let Some(time) = &end.time {
        for (lead, text) in duration(time) {
            say(lead, &text)?;
        }
    }
    let target = name(&ways.wanted);
    if let Some(beside) = &end.beside {
        let suffice =
            if end.route.reach == Reach::Yes { Some(end.route.steps - end.route.authorisation) } else { None };
        if let Some(text) = beside.performed.as_ref().and_then(|c| as_logged(c, &target, suffice)) {
            say("as logged", &text)?;
        }
        if let Some(text) = beside.official.as_ref().and_then(|c| official(c, &target)) {
            say("maker's own route", &text)?;
        }
        if let Some(way) = &beside.destructive {
            let text = format!("a shorter way destroys {}: {}", way.destroys.join(" and "), steps(way.steps, "step"));
            say("never scored", &text)?;
        }
        for way in &beside.untaken {
            let because = way.because.as_ref().map_or_else(String::new, |b| format!("; {b}"));
            let text = format!("{} ({}){because}", way.id, sources.place(way.span));
            say(if way.failed { "tried in vain" } else { "not tried" }, &text)?;
        }
    }
    if let Some(list) = &end.why {
        let head =
            if list.is_empty() { "nothing that one change alone would save a step on" } else { "each change alone" };
        say("in the way", head)?;
        for it in list.iter().take(SHOWN) {
            let place = it.span.map_or_else(String::new, |s| format!(" ({})", sources.place(s)));
            let text = format!("{}{place}: {}, {} fewer", it.text, steps(it.steps, "step"), it.saved);
            write!(out, "{}", hang("    - ", &tame(&text), WIDTH))?;
        }
        if let Some(more) = list.len().checked_sub(SHOWN).filter(|n| *n > 0) {
            writeln!(out, "      and {more} more: --format json")?;
        }
    }
    if let Some(back) = end.back.as_ref().filter(|b| !b.lines.is_empty()) {
        writeln!(out, "  the way back")?;
        writeln!(out, "  {}", "-".repeat(WIDTH - 4))?;
        if back.lines.iter().any(|l| l.live) {
            let text = "the device stays safe up to the line marked `live from here`; don't do that line earlier.";
            write!(out, "{}", hang("  !  ", text, WIDTH))?;
        }
        let mut warned = BTreeSet::new();
        for (number, line) in back.lines.iter().enumerate() {
            undone(&format!("{:>3}.", number + 1), line, record, &mut warned, out)?;
        }
        if !back.only_back.is_empty() {
            writeln!(out, "  on the way back only, where the notes place it")?;
            for line in &back.only_back {
                undone("   -", line, record, &mut warned, out)?;
            }
        }
    }
    Ok(())
}

fn duration(time: &Duration) -> Vec<(&'static str, String)> {
    let mut out = vec![("hands-on", in_words(time.hands_on))];
    if time.waiting > 0.0 {
        out.push(("waiting", format!("{}, as the record says", two_figures(time.waiting))));
    }
    // What sticks is not heated or pried to go back.
    let how = if time.reassembly == time.hands_on { "" } else { ", without heating, cutting or prying" };
    out.push(("putting it together", format!("{}, the same work backwards{how}", in_words(time.reassembly))));
    if time.own_share > 0.0 {
        out.push((
            "measured",
            format!("{:.0} % of the hands-on time rests on times of your own", time.own_share * 100.0),
        ));
    }
    if let Some((seen, estimate)) = time.observed {
        out.push((
            "seen uncut",
            format!("{}; the estimate for the same actions is {}", two_figures(seen), in_words(estimate)),
        ));
    }
    out.push(match time.weakest {
        Some(weakest) => ("certainty", format!("estimates from a table; the weakest entry used is {weakest}")),
        None => ("certainty", "every time is your own".to_owned()),
    });
    out
}

/// A number of steps, which may be open upwards.
pub(super) fn steps(n: u32, unit: &str) -> String {
    let (known, open) = open_count(n);
    format!("{}{}", if open { "at least " } else { "" }, plural(known as usize, unit))
}

fn as_logged(counted: &Counted, target: &str, suffice: Option<u32>) -> Option<String> {
    let steps = steps(counted.steps, "counted step");
    if !counted.reached {
        return None;
    }
    let mut out = match suffice {
        Some(best) if best == counted.steps => format!("you took {steps} to the {target}, the fewest there are"),
        Some(best) if best < counted.steps => {
            format!("you took {steps} to the {target}; {} suffice", open_count(best).0)
        }
        _ => format!("you took {steps} to the {target}"),
    };
    if !counted.failed.is_empty() {
        out.push_str(&format!("; not counted, since it failed: {}", counted.failed.join(", ")));
    }
    if !counted.unmet.is_empty() {
        out.push_str(&format!("; before its needs as written: {}", counted.unmet.join(", ")));
    }
    Some(out)
}

fn official(counted: &Counted, target: &str) -> Option<String> {
    let steps = steps(counted.steps, "counted step");
    let unmet = if counted.unmet.is_empty() {
        String::new()
    } else {
        format!("; as written it can't be followed: {} comes before what it needs", counted.unmet.join(", "))
    };
    match (counted.reached, counted.failed.is_empty()) {
        (true, true) => Some(format!("{steps} to the {target}{unmet}")),
        (true, false) => {
            Some(format!("{steps} to the {target}, without what failed here: {}{unmet}", counted.failed.join(", ")))
        }
        // Said only where the failure is why the target stays out of reach.
        (false, false) => {
            Some(format!("does not free the {target} here; it failed at: {}{unmet}", counted.failed.join(", ")))
        }
        (false, true) => None,
    }
}

/// One action of the way back.
fn undone(
    lead: &str,
    line: &BackLine,
    record: &Record,
    warned: &mut BTreeSet<String>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let live = if line.live { ", live from here" } else { "" };
    write!(out, "{}", hang(&format!("  {lead} "), &tame(&format!("{}{live}", line.what)), WIDTH))?;
    for hazard in line.hazards.iter().filter(|h| warned.insert((*h).clone())) {
        write!(out, "{}", hang("     !   ", &tame(&caution(hazard, record)), WIDTH))?;
    }
    let wait: Vec<String> = line.wait.iter().map(|w| format!("{w} min")).collect();
    let note: Vec<String> = line.note.iter().filter(|_| lead.trim() == "-").cloned().collect();
    let lists: [(&str, &[String]); 9] = [
        ("destroyed", &line.destroyed),
        ("lost", &line.lost),
        ("buy", &line.buy),
        ("care", &line.care),
        ("fasten", &line.fasten),
        ("check", &line.check),
        ("if skipped", &line.if_skipped),
        ("wait", &wait),
        ("note", &note),
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
