//! `unfasten changes`: which change to a design or a promise buys the most, and the cheapest set that reaches a target.

use std::collections::BTreeMap;
use std::io::Write;

use scoring::compare::changes::Tried;
use scoring::compare::{Change, Changes, Cheapest, Requirement, cheapest};
use scoring::exact::{Exact, Rounding};
use scoring::method::Method;
use scoring::range::{Effort, Study, fitted};
use scoring::text::{Diagnostic, Sources, Span, near};
use serde_json::json;

use super::unknowns::range_said;
use crate::arguments::{ChangesArguments, PlainFormat, VerdictOf};
use crate::failure::Failure;
use crate::files::read::{self, Kind};
use crate::job;
use crate::problems::Form;
use crate::requirement::{none_gives, unfit};
use crate::support::Tables;
use crate::terminal::{hang, plural, print_json, tame};
use crate::world::{WIDTH, World};

/// Changes shown before the rest is counted.
const SHOWN: usize = 15;
/// Criteria shown for one change.
const ROWS: usize = 4;

pub(crate) fn run(arguments: &ChangesArguments, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let target = arguments.target.as_deref().map(target).transpose()?;
    let chosen = job::methods(&arguments.choice, form, world)?;
    let tables = Tables::read(&arguments.joined, form, world)?;
    let (_, _, record) = tables.record(&arguments.record, world).usable(form, world)?;
    tables.finish(form, world)?;
    let fitting = job::fitting(&record, &arguments.choice, &chosen)?;
    // Left to itself the command asks the default verdict: every change is worked out anew by every method.
    let most = if arguments.choice.methods.is_empty() { 1 } else { fitting.len() };
    let methods: Vec<Method> = fitting.iter().take(most).map(|c| fitted(&c.of(arguments.verdict), &record)).collect();
    let studies: Vec<Study<'_>> = methods.iter().map(|m| Study::new(&record, m, Effort::default())).collect();
    let changes = Changes::of(&record, &studies.iter().collect::<Vec<_>>());
    let list: Vec<Change> = changes.tried.iter().map(|t| t.change.clone()).collect();
    let costs = costs(arguments, &list, world)?;
    let mut reached = Vec::new();
    if let Some(target) = &target {
        let study = studies.iter().find(|s| target.for_method(s.method()).is_ok()).ok_or_else(|| {
            let text = arguments.target.as_deref().unwrap_or_default();
            unfit(target, studies.iter().map(Study::method)).unwrap_or_else(|| none_gives(text))
        })?;
        reached.push((study.method().id.value.clone(), cheapest(study, &list, &costs, target)));
    }
    match arguments.format {
        PlainFormat::Json => {
            let reached: Vec<_> = reached.iter().map(|(m, set)| json!({ "method": m, "cheapest": set })).collect();
            print_json(
                &json!({ "unfasten": 1, "changes": changes, "verdict": arguments.verdict.word(), "target": arguments.target, "reached": reached }),
                world.out,
            )?;
        }
        PlainFormat::Text => {
            let all = arguments.all;
            if arguments.verdict == VerdictOf::Bench {
                writeln!(world.out, "Of the bench verdict: what the maker promises is left out.")?;
            }
            told(&changes, &methods, all, world.out)?;
            for (method, set) in &reached {
                cheapest_told(arguments.target.as_deref().unwrap_or_default(), method, set.as_ref(), world.out)?;
            }
        }
    }
    if reached.iter().any(|(_, set)| set.is_none()) { Err(Failure::NotMet) } else { Ok(()) }
}

/// `7.0`, `B`, `pass`, `score=7.0` or `class=B`.
fn target(text: &str) -> Result<Requirement, Failure> {
    let text = text.trim();
    let bare = !text.contains('=') && text != "pass";
    let read = match bare {
        true if text.starts_with(|c: char| c.is_ascii_digit()) => Requirement::parse(&format!("score={text}")),
        true => Requirement::parse(&format!("class={text}")),
        false => Requirement::parse(text),
    };
    read.map_err(|e| Failure::wrong(e.to_string(), e.mend()))
}

/// Costs of changes by id: lines of `cost,change id`; all that is wrong with them at once.
fn costs(
    arguments: &ChangesArguments,
    list: &[Change],
    world: &mut World<'_>,
) -> Result<BTreeMap<String, Exact>, Failure> {
    let Some(name) = &arguments.costs else { return Ok(BTreeMap::new()) };
    let mut sources = Sources::new();
    let file =
        read::text(name, Kind::Table, world, &mut sources).map_err(|p| Failure::Problems(sources.clone(), vec![*p]))?;
    let (mut out, mut wrong) = (BTreeMap::new(), Vec::new());
    let mut seen: BTreeMap<String, Span> = BTreeMap::new();
    let mut start = 0;
    for written in sources.get(file).text.split_inclusive('\n') {
        let line = written.trim();
        let from = start + written.len() - written.trim_start().len();
        start += written.len();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        // A file is at most 4 MB.
        let [from, to] = [from, from + line.len()].map(|at| u32::try_from(at).unwrap_or(u32::MAX));
        let span = Span { file, start: from, end: to };
        let form = "write `COST, CHANGE ID`, such as `2.5, fastener actions[3].loosen[0] -> reusable`";
        let Some((cost, id)) = line.split_once(',') else {
            wrong.push(Diagnostic::error("wrong-shape", span, "no cost and change with a comma between").mend(form));
            continue;
        };
        let (cost, id) = (cost.trim(), id.trim());
        match Exact::parse(cost) {
            None => wrong.push(Diagnostic::error("wrong-value", span, format!("`{cost}` is not a number")).mend(form)),
            Some(c) if c.is_negative() => wrong.push(
                Diagnostic::error("wrong-value", span, format!("a cost of {cost} is below nought"))
                    .because("A change that pays for itself would always be made.")
                    .mend("write 0 or more"),
            ),
            Some(c) => {
                out.insert(id.to_owned(), c);
            }
        }
        if !list.iter().any(|c| c.id == id) {
            let mend = match near(id, list.iter().map(|c| c.id.as_str())) {
                Some(meant) => format!("did you mean `{meant}`?"),
                None => "copy ids from `unfasten changes RECORD --all`".to_owned(),
            };
            wrong.push(
                Diagnostic::error("wrong-value", span, format!("`{id}` is no change that helps this record"))
                    .because("Its cost would count for nothing.")
                    .mend(mend),
            );
        }
        if let Some(first) = seen.insert(id.to_owned(), span) {
            wrong.push(
                Diagnostic::error("duplicate-field", span, format!("`{id}` has two costs"))
                    .also(first, "first here")
                    .because("Only one of them could count.")
                    .mend("delete one of the two"),
            );
        }
    }
    if wrong.is_empty() { Ok(out) } else { Err(Failure::Problems(sources, wrong)) }
}

fn told(changes: &Changes, methods: &[Method], all: bool, out: &mut dyn Write) -> Result<(), Failure> {
    for (method, now) in methods.iter().zip(&changes.now) {
        let said = range_said(&now.shown(method), now.classes(method).as_ref());
        write!(out, "{}", hang("", &tame(&format!("{} now: {said}", method.id.value)), WIDTH))?;
    }
    if changes.tried.is_empty() {
        let text = "No single change tried makes anything better. Tried are fasteners, tools, order, parts that come off \
                    alone, and promises; not skill, working environment, nor a wholly new way.";
        write!(out, "{}", hang("", text, WIDTH))?;
        return Ok(());
    }
    writeln!(out, "Single changes, what buys most at the low end first:")?;
    let most = if all { usize::MAX } else { SHOWN };
    for (i, tried) in changes.tried.iter().take(most).enumerate() {
        one(i + 1, tried, out)?;
    }
    if let Some(more) = changes.tried.len().checked_sub(most).filter(|n| *n > 0) {
        writeln!(out, "      and {more} more: --all")?;
    }
    Ok(())
}

fn one(number: usize, tried: &Tried, out: &mut dyn Write) -> Result<(), Failure> {
    write!(out, "{}", hang(&format!("{number:>4}. "), &tame(&tried.change.words), WIDTH))?;
    write!(out, "{}", hang("      id ", &tame(&tried.change.id), WIDTH))?;
    for effect in tried.effects.iter().filter(|e| !e.rows.is_empty()) {
        let gain = effect.gain_low.display(2, Rounding::HalfUp);
        let gain = if gain.starts_with('-') { gain } else { format!("+{gain}") };
        let said = format!("{} ({gain} at the low end)", range_said(&effect.shown, effect.classes.as_ref()));
        write!(out, "{}", hang(&format!("      {}: ", effect.method), &said, WIDTH))?;
        let rows: Vec<String> = effect
            .rows
            .iter()
            .take(ROWS)
            .map(|r| {
                let part = r.role.as_ref().map(|p| format!(": {p}")).unwrap_or_default();
                let ends = |e: &[String; 2]| {
                    let [low, high] = [points(&e[0]), points(&e[1])];
                    if low == high { low } else { format!("{low} to {high}") }
                };
                format!("{}{part}: {} becomes {}", r.title, ends(&r.before), ends(&r.after))
            })
            .collect();
        let more = effect.rows.len().saturating_sub(ROWS);
        let more = if more > 0 { format!("; {more} more") } else { String::new() };
        write!(out, "{}", hang("        ", &tame(&format!("{}{more}", rows.join("; "))), WIDTH))?;
    }
    Ok(())
}

/// Points as they come, fractions with two decimals.
fn points(text: &str) -> String {
    let fraction = Some(text).filter(|t| t.contains('/')).and_then(Exact::parse);
    fraction.map_or_else(|| text.to_owned(), |v| v.display(2, Rounding::HalfUp))
}

fn cheapest_told(target: &str, method: &str, set: Option<&Cheapest>, out: &mut dyn Write) -> Result<(), Failure> {
    writeln!(out)?;
    let Some(set) = set else {
        let text = format!("No set of these changes was found that brings {method} to {target} at the low end.");
        write!(out, "{}", hang("", &tame(&text), WIDTH))?;
        return Ok(());
    };
    if set.changes.is_empty() {
        let now = range_said(&set.shown, set.classes.as_ref());
        write!(out, "{}", hang("", &tame(&format!("{target} by {method}: reached as things stand ({now}).")), WIDTH))?;
        return Ok(());
    }
    let how = if set.proved { "cheapest set, proved" } else { "set found greedily, perhaps not the cheapest" };
    let said = range_said(&set.shown, set.classes.as_ref());
    let text = format!(
        "{target} by {method}: {how}; {}, cost {}; then {said}.",
        plural(set.changes.len(), "change"),
        set.cost.plain()
    );
    write!(out, "{}", hang("", &tame(&text), WIDTH))?;
    for change in &set.changes {
        write!(out, "{}", hang("    - ", &tame(&change.words), WIDTH))?;
    }
    Ok(())
}
