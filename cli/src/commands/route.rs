//! `unfasten route`: the shortest way to each part as a ledger.

mod beside;

use std::collections::BTreeSet;
use std::io::Write;

use scoring::assess::Reach;
use scoring::assess::joint::Wanted;
use scoring::assess::ledger::LedgerLine;
use scoring::assess::time::{self, Times};
use scoring::method::{Method, STEP_SWITCHES, StepSetting};
use scoring::range::Effort;
use scoring::range::routes::{self, Asked, By, End, Ways};
use scoring::record::complete::open_count;
use scoring::record::{Record, Timing};
use scoring::route::Limits;
use scoring::text::{Sources, fold};

use crate::arguments::{Route, RouteBy, RouteFormat};
use crate::failure::Failure;
use crate::files::read::{self, Kind};
use crate::job;
use crate::problems::Form;
use crate::terminal::{clock, column, hang, tame};
use crate::world::{WIDTH, World};

/// Columns of the left page of a ledger: time and what is done on the bench.
const BENCH: usize = 48;

pub(crate) fn run(arguments: &Route, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let mut method = job::method(&arguments.method, form, world)?.method;
    let counted_with = count_with(&arguments.steps, &mut method)?;
    let (sources, _, record) = job::record(&arguments.record, &arguments.on, world).usable(form, world)?;
    let parts = routes::parts(&record, &arguments.parts).map_err(|name| no_such(&record, name))?;
    let own = times(arguments, &record, world)?;
    let by = match arguments.by {
        RouteBy::Steps => By::Steps,
        RouteBy::Time => By::Time(own.as_ref().unwrap_or_else(|| time::shipped())),
        RouteBy::Parts => By::Parts,
    };
    // One part at a time may take all the work a search is allowed.
    let effort = Effort { states: Limits::default().states, ..Effort::default() };
    let asked = Asked { method: &method, by, effort, why: arguments.why, back: arguments.back };
    let wanted = wanted(arguments, parts)?;
    let to = |record: &Record, wanted: &Wanted, asked: &Asked<'_>| {
        let none = || Failure::Failed(format!("no route was worked out to `{}`", wanted.parts.join("`, `")));
        routes::to(record, wanted, asked).ok_or_else(none)
    };
    let all: Vec<Ways> = wanted.iter().map(|w| to(&record, w, &asked)).collect::<Result<_, _>>()?;
    // A count that rests on what a bench takes for granted never stands alone.
    let sheet = record.without_sheet();
    let counts = Asked { why: false, back: false, ..asked };
    let plain: Vec<Option<Ways>> =
        wanted.iter().map(|w| sheet.map(|(_, plain)| to(plain, w, &counts)).transpose()).collect::<Result<_, _>>()?;
    match arguments.format {
        RouteFormat::Json => {
            let one = |(ways, plain): (&Ways, &Option<Ways>)| {
                let mut out = beside::json(ways, arguments.by, &sources);
                if let (Some((sheet, _)), Some(plain)) = (sheet, plain) {
                    out.sheet = Some(tame(sheet));
                    out.without_sheet = Some(beside::json(plain, arguments.by, &sources).counts());
                }
                out
            };
            let routes: Vec<_> = all.iter().zip(&plain).map(one).collect();
            world.json(&report::json::Routes { unfasten: report::json::VERSION, routes: &routes })?;
        }
        RouteFormat::Svg => {
            let fitted = scoring::range::fitted(&method, &record);
            let method = scoring::compare::causes::leading(&fitted);
            let assessment = scoring::range::Assessment::new(&record, &method, effort);
            let tree = report::picture::tree(&record, &assessment, usize::MAX);
            world.out.write_all(report::svg::standalone(&report::picture::svg(&tree)).as_bytes())?;
        }
        RouteFormat::Text => {
            let by = match arguments.by {
                RouteBy::Steps => "",
                RouteBy::Time => "; shortest in hands-on time, estimated",
                RouteBy::Parts => "; fewest parts taken off",
            };
            let head = format!(
                "{}, counted by the step rule of {}{counted_with}{by}",
                record.device.name.value, method.id.value
            );
            write!(world.out, "{}", hang("", &tame(&head), WIDTH))?;
            for (one, plain) in all.iter().zip(&plain) {
                writeln!(world.out)?;
                let without = sheet.zip(plain.as_ref()).map(|((sheet, _), plain)| (sheet, plain));
                told(one, without, &sources, &record, world.out)?;
            }
            let caution = "Routes are what this record shows. For your own safety follow the maker's safety information and local \
                           rules first, and leave what you are not sure of to a qualified repairer.";
            write!(world.out, "\n{}", hang("", caution, WIDTH))?;
        }
    }
    Ok(())
}

/// Counts with other options of the step rule; says which.
fn count_with(settings: &[String], method: &mut Method) -> Result<String, Failure> {
    let mut said: Vec<String> = Vec::new();
    for setting in settings {
        let wrong = |mend: String| Failure::wrong(format!("`{setting}` is no option of the step rule"), mend);
        let switches: Vec<&str> = STEP_SWITCHES.iter().map(|(name, _)| *name).collect();
        let (switch, option) = setting
            .split_once('=')
            .ok_or_else(|| wrong(format!("write SWITCH=OPTION; the switches are {}", switches.join(", "))))?;
        method.steps.set(StepSetting::read(switch, option).map_err(wrong)?);
        said.push(format!("{}: {}", fold(switch), fold(option)));
    }
    if let Some(unfit) = method.steps.unfit() {
        return Err(Failure::wrong(unfit, "add `--steps simultaneous-tools=each`"));
    }
    Ok(if said.is_empty() { String::new() } else { format!(" with {}", said.join(", ")) })
}

/// The user's own table of times.
fn times(arguments: &Route, record: &Record, world: &mut World<'_>) -> Result<Option<Times>, Failure> {
    let Some(name) = &arguments.times else { return Ok(None) };
    if arguments.by != RouteBy::Time {
        return Err(Failure::wrong("a table of times is of use with `--by time` only", "add `--by time`"));
    }
    let mut sources = Sources::new();
    let file = match read::text(name, Kind::Table, world, &mut sources) {
        Ok(file) => file,
        Err(problem) => return Err(Failure::Problems(sources, vec![*problem])),
    };
    let loosened = record.actions.iter().flat_map(|a| &a.loosen).map(|l| &*l.fastener);
    let loosened: Vec<&str> = loosened.filter(|name| !name.is_empty()).collect();
    match Times::read(&sources, file, &loosened) {
        Ok(times) => Ok(Some(times)),
        Err(found) => Err(Failure::Problems(sources, found)),
    }
}

/// A part that the record doesn't have.
fn no_such(record: &Record, name: &str) -> Failure {
    let all = routes::all_parts(record);
    let mend = match job::nearest(name, all.iter().map(String::as_str)) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("there are: {}", all.join(", ")),
    };
    Failure::wrong(format!("the record has no part or role `{name}`"), mend)
}

/// What the command line asks for: each part alone, or several at once.
fn wanted(arguments: &Route, parts: Vec<String>) -> Result<Vec<Wanted>, Failure> {
    if !arguments.together && !arguments.any {
        return Ok(parts.iter().map(|p| Wanted::one(p)).collect());
    }
    if arguments.parts.is_empty() || parts.len() < 2 {
        return Err(Failure::wrong("`--together` and `--any` are about several parts", "name at least two parts"));
    }
    Ok(vec![Wanted { parts, any: arguments.any }])
}

/// One part: headline, ledger at the fewest steps, and at the most where they differ.
fn told(
    ways: &Ways,
    without: Option<(&str, &Ways)>,
    sources: &Sources,
    record: &Record,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let name = beside::name(&ways.wanted);
    let roles = if ways.roles.is_empty() || ways.roles == [fold(&name)] {
        String::new()
    } else {
        format!(" ({})", ways.roles.join(", "))
    };
    let together = match (ways.wanted.parts.len(), ways.wanted.any) {
        (1, _) => "",
        (_, false) => ", in one opening",
        (_, true) => ", whichever comes off first",
    };
    let head = format!("{}{}{together}: {}", tame(&name), roles, headline(ways));
    write!(out, "{}", hang("", &head, WIDTH))?;
    if let Some((sheet, plain)) = without {
        let text = format!("by the sheet of {sheet}; without it {}", headline(plain));
        write!(out, "{}", hang("  ", &tame(&text), WIDTH))?;
    }
    let [fewest, most] = &ways.ends;
    let cost = |end: &End| (end.route.reach, end.cost);
    let (lead, last) = if fewest.cost.is_some() { ("least", "most") } else { ("fewest steps", "most steps") };
    // At a bound there is no route: what is shown is one that was tried.
    let name = |end: usize, name: &str| {
        if ways.attained[end] { name.to_owned() } else { format!("tried near `{name}`") }
    };
    // Where one completion stands at both ends, the route found is all there is to show.
    let alone = fewest.supposes == most.supposes && fewest.route.taken == most.route.taken;
    if alone || ways.steps[0] == ways.steps[1] && cost(fewest) == cost(most) {
        page(fewest, record, out)?;
        beside::told(fewest, ways, sources, record, out)?;
    } else {
        supposed(&name(0, lead), [fewest, most], sources, ways, out)?;
        page(fewest, record, out)?;
        beside::told(fewest, ways, sources, record, out)?;
        let last = if ways.steps[1].is_some() { name(1, last) } else { name(1, "can't be reached") };
        supposed(&last, [most, fewest], sources, ways, out)?;
        page(most, record, out)?;
        if !most.lines.is_empty() {
            beside::told(most, ways, sources, record, out)?;
        }
    }
    Ok(())
}

fn headline(ways: &Ways) -> String {
    if ways.ends[0].cost.is_some() {
        return beside::cost_headline(ways);
    }
    let [fewest, most] = ways.steps;
    let count = |n: u32| beside::steps(n, "step");
    let steps = match (fewest, most) {
        (Some(a), Some(b)) if a == b => count(a),
        (Some(a), Some(b)) => format!("{} to {}", open_count(a).0, count(b)),
        (Some(a), None) => format!("{}, or can't be reached without damage", count(a)),
        (None, _) => match ways.ends[0].route.reach {
            Reach::Damage => return format!("only by damage, {}", count(ways.ends[0].route.steps)),
            _ => return "can't be reached".to_owned(),
        },
    };
    let bears = bears(ways);
    match (ways.proved, fewest == most) {
        (true, true) => format!("{steps}, proved shortest{bears}"),
        (true, false) => format!("{steps}, proved{bears}"),
        (false, _) => format!("{steps}, best found, at least {}{bears}", open_count(ways.at_least).0),
    }
}

fn bears(ways: &Ways) -> String {
    match ways.questions.len() {
        0 => String::new(),
        1 => "; 1 open question bears on it".to_owned(),
        n => format!("; {n} open questions bear on it"),
    }
}

/// The answers a route supposes that the other end doesn't, by question.
fn supposed(
    lead: &str,
    [end, other]: [&End; 2],
    sources: &Sources,
    ways: &Ways,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let said: Vec<String> = end
        .supposes
        .iter()
        .filter(|answer| !other.supposes.contains(answer))
        .map(|(path, answer)| match ways.questions.iter().find(|q| q.path == *path) {
            Some(q) => format!("{path} ({}): {answer}", sources.place(q.span)),
            None => format!("{path}: {answer}"),
        })
        .collect();
    let lead = if said.is_empty() { format!("  {lead}") } else { format!("  {lead}, with ") };
    write!(out, "{}", hang(&lead, &tame(&said.join("; ")), WIDTH))?;
    Ok(())
}

/// A route as a ledger: left the bench, right the count.
fn page(end: &End, record: &Record, out: &mut dyn Write) -> Result<(), Failure> {
    if end.lines.is_empty() {
        return Ok(());
    }
    safe_first(end, record, out)?;
    writeln!(out, "  {}  counts total", column("on the bench", BENCH))?;
    writeln!(out, "  {}", "-".repeat(WIDTH - 4))?;
    let mut warned = BTreeSet::new();
    for line in &end.lines {
        if !line.what.is_empty() {
            let mark = if line.makes_safe { ", makes it safe" } else { "" };
            let time = line.at.map_or_else(String::new, |at| {
                let near = if at.timing == Timing::Seen { "" } else { "~" };
                format!("{near}{}", clock(at.from))
            });
            let lead = format!("  {time:>8}  ");
            write!(out, "{}", hang(&lead, &format!("{}{mark}", tame(&line.what)), BENCH + 2))?;
            if !line.loosens.is_empty() {
                write!(out, "{}", hang("              loosen ", &tame(&line.loosens.join(", ")), BENCH + 2))?;
            }
            if !line.destroys.is_empty() {
                write!(out, "{}", hang("              destroys ", &tame(&line.destroys.join(", ")), BENCH + 2))?;
            }
            for hazard in line.hazards.iter().filter(|h| warned.insert((*h).clone())) {
                write!(out, "{}", hang("          !   ", &tame(&caution(hazard, record)), WIDTH))?;
            }
        }
        counted(line, out)?;
    }
    Ok(())
}

/// One operation: its tools, and what it counts.
fn counted(line: &LedgerLine, out: &mut dyn Write) -> Result<(), Failure> {
    let tools = match line.tools.as_deref() {
        None => String::new(),
        Some([]) => "by hand".to_owned(),
        Some(_) => format!("with {}", line.tools_said()),
    };
    let tools = hang("              ", &tame(&tools), BENCH + 2);
    let mut rows: Vec<&str> = tools.lines().collect();
    let last = rows.pop().unwrap_or_default();
    for row in rows {
        writeln!(out, "{row}")?;
    }
    let counts = if line.counted == 0 { "-".to_owned() } else { format!("+{}", line.counted) };
    let why = match (line.why.as_slice(), line.coincides) {
        ([], true) => "(change free)".to_owned(),
        (list, _) => list.join(", "),
    };
    // The reason stands below the numbers when it doesn't fit beside them.
    let numbers = format!("{}  {counts:>4} {:>5}", column(last, BENCH + 2), line.total);
    let room = WIDTH - unicode_width::UnicodeWidthStr::width(numbers.as_str());
    if why.len() + 1 < room {
        writeln!(out, "{}", format!("{numbers}  {why}").trim_end())?;
    } else {
        let mut words = why.split(", ");
        writeln!(out, "{}", format!("{numbers}  {}", words.next().unwrap_or_default()).trim_end())?;
        for word in words {
            writeln!(out, "{}  {word}", " ".repeat(WIDTH - room))?;
        }
    }
    Ok(())
}

/// What makes the device safe comes first in anything printed to be followed.
fn safe_first(end: &End, record: &Record, out: &mut dyn Write) -> Result<(), Failure> {
    let on_route: Vec<&str> = end.lines.iter().filter(|l| l.makes_safe).map(|l| l.action.as_str()).collect();
    let others: Vec<&str> = record
        .actions
        .iter()
        .filter(|a| {
            let within = end.lines.iter().any(|l| l.action == a.id);
            (a.makes_safe || a.safe_together) && !within
        })
        .map(|a| a.id.as_str())
        .collect();
    if let Some(first) = on_route.first() {
        let text = format!("safe only after: {}. Do it as early as the route allows.", tame(first));
        write!(out, "{}", hang("  !  ", &text, WIDTH))?;
    } else if !others.is_empty() {
        let text = format!(
            "not on this route, but it makes the device safe: {}. Do it as soon as it can be reached, before any work \
             near the cell or the mains.",
            tame(&others.join(", "))
        );
        write!(out, "{}", hang("  !  ", &text, WIDTH))?;
    }
    Ok(())
}

/// A hazard with the usual caution.
fn caution(hazard: &str, record: &Record) -> String {
    let own = record.own_hazards.get(&fold(hazard)).cloned();
    let text = own.or_else(|| scoring::vocab::hazard(hazard).map(|h| h.caution.clone()));
    text.map_or_else(|| hazard.to_owned(), |t| format!("{hazard}: {t}"))
}
