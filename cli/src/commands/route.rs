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
use scoring::record::{Record, Timing};
use scoring::route::Limits;
use scoring::text::{Sources, fold};

use crate::arguments::{Route, RouteBy, RouteFormat};
use crate::failure::Failure;
use crate::files::read::{self, Kind};
use crate::job;
use crate::problems::Form;
use crate::terminal::{clock, column, hang, tame};
use crate::words::plain;
use crate::words::route::{self as say, Reached, Sure, Which};
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
        let none = || Failure::Failed(say::no_route(&wanted.parts));
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
            let head = say::head(&record.device.name.value, &method.id.value, &counted_with, arguments.by);
            write!(world.out, "{}", hang("", &tame(&head), WIDTH))?;
            for (one, plain) in all.iter().zip(&plain) {
                writeln!(world.out)?;
                let without = sheet.zip(plain.as_ref()).map(|((sheet, _), plain)| (sheet, plain));
                told(one, without, &sources, &record, world.out)?;
            }
            write!(world.out, "\n{}", hang("", say::CAUTION, WIDTH))?;
        }
    }
    Ok(())
}

/// Counts with other options of the step rule; says which.
fn count_with(settings: &[String], method: &mut Method) -> Result<Vec<[String; 2]>, Failure> {
    let mut taken = Vec::new();
    for setting in settings {
        let wrong = |mend: String| Failure::wrong(say::no_option(setting), mend);
        let switches: Vec<&str> = STEP_SWITCHES.iter().map(|(name, _)| *name).collect();
        let (switch, option) = setting.split_once('=').ok_or_else(|| wrong(say::write_option(&switches)))?;
        method.steps.set(StepSetting::read(switch, option).map_err(wrong)?);
        taken.push([switch, option].map(fold));
    }
    if let Some(unfit) = method.steps.unfit() {
        return Err(Failure::wrong(unfit, say::COUNT_EACH));
    }
    Ok(taken)
}

/// The user's own table of times.
fn times(arguments: &Route, record: &Record, world: &mut World<'_>) -> Result<Option<Times>, Failure> {
    let Some(name) = &arguments.times else { return Ok(None) };
    if arguments.by != RouteBy::Time {
        return Err(Failure::said(say::TIMES_BY_TIME));
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
    Failure::said(say::no_part(name, job::nearest(name, all.iter().map(String::as_str)), &all))
}

/// What the command line asks for: each part alone, or several at once.
fn wanted(arguments: &Route, parts: Vec<String>) -> Result<Vec<Wanted>, Failure> {
    if !arguments.together && !arguments.any {
        return Ok(parts.iter().map(|p| Wanted::one(p)).collect());
    }
    if arguments.parts.is_empty() || parts.len() < 2 {
        return Err(Failure::said(say::SEVERAL));
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
    // A part that is called like its role is named once.
    let roles = if ways.roles == [fold(&name)] { &[] } else { &*ways.roles };
    let head = say::wanted(&tame(&name), roles, ways.wanted.parts.len() > 1, ways.wanted.any);
    let head = say::headed(&head, &headline(ways));
    write!(out, "{}", hang("", &head, WIDTH))?;
    if let Some((sheet, plain)) = without {
        let text = say::without_sheet(sheet, &headline(plain));
        write!(out, "{}", hang("  ", &tame(&text), WIDTH))?;
    }
    let [fewest, most] = &ways.ends;
    let cost = |end: &End| (end.route.reach, end.cost);
    let [lead, last] = [Which::Least, Which::Most].map(|which| say::which(which, fewest.cost.is_some()));
    // At a bound there is no route: what is shown is one that was tried.
    let name = |end: usize, name: &str| if ways.attained[end] { name.to_owned() } else { say::tried_near(name) };
    // Where one completion stands at both ends, the route found is all there is to show.
    let alone = fewest.supposes == most.supposes && fewest.route.taken == most.route.taken;
    if alone || ways.steps[0] == ways.steps[1] && cost(fewest) == cost(most) {
        page(fewest, record, out)?;
        beside::told(fewest, ways, sources, record, out)?;
    } else {
        supposed(&name(0, lead), [fewest, most], sources, ways, out)?;
        page(fewest, record, out)?;
        beside::told(fewest, ways, sources, record, out)?;
        let last = if ways.steps[1].is_some() { name(1, last) } else { name(1, say::NOT_REACHED) };
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
    let count = |n: u32| plain::steps(n, false);
    let how = match (fewest, most) {
        (Some(a), Some(b)) if a == b => Reached::At(count(a)),
        (Some(a), Some(b)) => Reached::At(say::steps_to(a, b)),
        (Some(a), None) => Reached::Perhaps(count(a)),
        (None, _) if ways.ends[0].route.reach == Reach::Damage => Reached::Damage(count(ways.ends[0].route.steps)),
        (None, _) => Reached::No,
    };
    let sure = match (ways.proved, fewest == most) {
        (true, true) => Sure::Shortest,
        (true, false) => Sure::Both,
        (false, _) => Sure::AtLeast(ways.at_least),
    };
    say::headline(&how, &sure, ways.questions.len())
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
        .map(|(path, answer)| {
            let question = ways.questions.iter().find(|q| q.path == *path);
            let place = question.map(|q| sources.place(q.span));
            say::supposes(question.map_or(path, |q| &q.question), place.as_deref(), answer)
        })
        .collect();
    let lead = if said.is_empty() { lead.to_owned() } else { say::where_so(lead) };
    write!(out, "{}", hang("  ", &lead, WIDTH))?;
    for answer in said {
        write!(out, "{}", hang("    ", &tame(&answer), WIDTH))?;
    }
    Ok(())
}

/// A route as a ledger: left the bench, right the count.
fn page(end: &End, record: &Record, out: &mut dyn Write) -> Result<(), Failure> {
    if end.lines.is_empty() {
        return Ok(());
    }
    safe_first(end, record, out)?;
    writeln!(out, "  {}  {}", column(say::BENCH, BENCH), say::COUNTS)?;
    writeln!(out, "  {}", "-".repeat(WIDTH - 4))?;
    let mut warned = BTreeSet::new();
    for line in &end.lines {
        if !line.what.is_empty() {
            let time = line.at.map_or_else(String::new, |at| {
                let near = if at.timing == Timing::Seen { "" } else { "~" };
                format!("{near}{}", clock(at.from))
            });
            let lead = format!("  {time:>8}  ");
            write!(out, "{}", hang(&lead, &say::action(&tame(&line.what), line.makes_safe), BENCH + 2))?;
            for (lead, list) in [(say::LOOSEN, &line.loosens), (say::DESTROYS, &line.destroys)] {
                if !list.is_empty() {
                    let lead = format!("              {lead} ");
                    write!(out, "{}", hang(&lead, &tame(&list.join(", ")), BENCH + 2))?;
                }
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
        Some([]) => say::by(None),
        Some(_) => say::by(Some(&line.tools_said())),
    };
    let tools = hang("              ", &tame(&tools), BENCH + 2);
    let mut rows: Vec<&str> = tools.lines().collect();
    let last = rows.pop().unwrap_or_default();
    for row in rows {
        writeln!(out, "{row}")?;
    }
    let counts = if line.counted == 0 { "-".to_owned() } else { format!("+{}", line.counted) };
    let why = match (line.why.as_slice(), line.coincides) {
        ([], true) => say::FREE.to_owned(),
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
        write!(out, "{}", hang("  !  ", &tame(&say::safe_only_after(first)), WIDTH))?;
    } else if !others.is_empty() {
        write!(out, "{}", hang("  !  ", &tame(&say::safe_elsewhere(&others)), WIDTH))?;
    }
    Ok(())
}

/// A hazard with the usual caution.
fn caution(hazard: &str, record: &Record) -> String {
    let own = record.own_hazards.get(&fold(hazard)).cloned();
    let text = own.or_else(|| scoring::vocab::hazard(hazard).map(|h| h.caution.clone()));
    say::caution(hazard, text.as_deref())
}
