//! `unfasten changes`: which change to a design or a promise buys the most, and the cheapest set that reaches a target.

use std::collections::BTreeMap;
use std::io::Write;

use report::json::VERSION;
use scoring::assess::Kept;
use scoring::compare::changes::{MovedCriterion, Tried, candidates, distinct, kept_back};
use scoring::compare::{Change, Changes, Requirement, cheapest, remaining};
use scoring::exact::{Exact, Rounding};
use scoring::method::{Method, Standing};
use scoring::range::{Case, Effort, Study, binding, fitted};
use scoring::text::{Diagnostic, Sources, Span, near};

use super::diff::labels;
use super::unknowns::would;
use crate::arguments::{ChangesArguments, PlainFormat, VerdictOf};
use crate::both::Both;
use crate::documents::{ChangesOf, Reached};
use crate::failure::Failure;
use crate::files::read::{self, Kind};
use crate::job;
use crate::problems::Form;
use crate::requirement::{none_gives, unfit};
use crate::support::Tables;
use crate::terminal::waiting::watched;
use crate::terminal::{hang, plural, tame};
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
    let asked = &fitting[..fitting.len().min(most)];
    let kept = Kept::default();
    let both: Vec<Both> = asked.iter().map(|c| Both::of(&record, c, &kept)).collect();
    // What ranks changes and is held against a target comes first; the other verdict of each method stands beside it.
    let mut verdicts: Vec<(VerdictOf, Method)> = Vec::new();
    for chosen in asked {
        verdicts.push((arguments.verdict, fitted(&chosen.of(arguments.verdict), &record)));
    }
    let leading = verdicts.len();
    for chosen in asked {
        let other = chosen.both().into_iter().filter(|(of, _)| *of != arguments.verdict);
        // A method with one verdict has no other.
        verdicts.extend(other.filter(|_| chosen.both().len() > 1).map(|(of, m)| (of, fitted(&m, &record))));
    }
    let studies: Vec<Study<'_>> =
        verdicts.iter().map(|(_, m)| Study::keeping(Case::new(&record, m), m, Effort::default(), &kept)).collect();
    let all: Vec<&Study<'_>> = studies.iter().collect();
    let mut changes = watched(&kept, world, || Changes::of(&record, &all))?;
    // What helps nothing alone may help beside others: it is tried and can be priced like the rest.
    let list = distinct(candidates(&record, &all));
    let costs = costs(arguments, &list, &kept_back(&record, &all), world)?;
    let priced = arguments.costs.is_some();
    if priced {
        changes.by_worth(&costs);
    }
    let list: Vec<Change> = list.into_iter().map(|(change, _)| change).collect();
    let mut reached: Vec<Reached> = Vec::new();
    if let Some(target) = &target {
        let fit: Vec<&Study<'_>> =
            all.iter().copied().take(leading).filter(|s| target.for_method(s.method()).is_ok()).collect();
        if fit.is_empty() {
            let text = arguments.target.as_deref().unwrap_or_default();
            return Err(
                unfit(target, studies.iter().take(leading).map(Study::method)).unwrap_or_else(|| none_gives(text))
            );
        }
        for study in fit {
            let set = watched(&kept, world, || cheapest(study, &list, &costs, target))?;
            let remaining = if set.is_none() { remaining(study, &list, target) } else { Vec::new() };
            let standing = binding(study.method(), &record);
            reached.push(Reached { method: study.method().id.value.clone(), cheapest: set, remaining, standing });
        }
    }
    match arguments.format {
        PlainFormat::Json => {
            let of: Vec<&'static str> = verdicts.iter().map(|(of, _)| of.word()).collect();
            world.json(&ChangesOf {
                unfasten: VERSION,
                both: &both,
                verdict: arguments.verdict.word(),
                verdicts: of,
                changes: &changes,
                target: arguments.target.as_deref(),
                reached: &reached,
            })?;
        }
        PlainFormat::Text => {
            let all = arguments.all;
            for one in &both {
                write!(world.out, "{}", hang("", &tame(&format!("{} now: {}", one.method, one.said())), WIDTH))?;
            }
            let standings = verdicts.iter().map(|(_, m)| binding(m, &record));
            let labels: Vec<_> = labels(&verdicts).into_iter().zip(standings).collect();
            let shown = Shown { labels: &labels, by: arguments.verdict.word(), all };
            told(&changes, &shown, priced.then_some(&costs), world.out)?;
            for one in &reached {
                cheapest_told(arguments.target.as_deref().unwrap_or_default(), one, world.out)?;
            }
        }
    }
    if reached.iter().any(|one| one.cheapest.is_none()) { Err(Failure::NotMet) } else { Ok(()) }
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
    list: &[(Change, Vec<String>)],
    kept_back: &[String],
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
                // Of two names of one change the cheaper price counts.
                let same = list.iter().find(|(kept, same)| kept.id == id || same.iter().any(|s| s == id));
                let kept = same.map_or(id, |(kept, _)| kept.id.as_str());
                out.entry(kept.to_owned()).and_modify(|old: &mut Exact| *old = old.clone().min(c.clone())).or_insert(c);
            }
        }
        let known = list.iter().flat_map(|(kept, same)| std::iter::once(&kept.id).chain(same));
        // What is not offered may be priced all the same.
        if !known.clone().any(|known| known == id) && !kept_back.iter().any(|kept| kept == id) {
            let mend = match near(id, known.map(String::as_str)) {
                Some(meant) => format!("did you mean `{meant}`?"),
                None => "copy ids from `unfasten changes RECORD --all`".to_owned(),
            };
            wrong.push(
                Diagnostic::error("wrong-value", span, format!("`{id}` is no change of this record"))
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

/// How changes are shown.
struct Shown<'s> {
    /// What the verdict of each effect is called and whether its rule binds, in the order of the effects.
    labels: &'s [(String, Standing)],
    /// Which verdict ranks them.
    by: &'s str,
    /// All of them.
    all: bool,
}

fn told(
    changes: &Changes,
    shown: &Shown<'_>,
    costs: Option<&BTreeMap<String, Exact>>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    if changes.tried.is_empty() {
        let text = "No single change tried makes anything better. Tried are fasteners, tools, order, environment, skill, \
                    parts that come off alone, and promises; not a wholly new way. What helps beside others only is tried \
                    with --target.";
        write!(out, "{}", hang("", text, WIDTH))?;
        return Ok(());
    }
    let by = if shown.labels.len() > changes.methods.iter().collect::<std::collections::BTreeSet<_>>().len() {
        format!(" of the {} verdict", shown.by)
    } else {
        String::new()
    };
    let cost = if costs.is_some() { " for its cost" } else { "" };
    write!(out, "{}", hang("", &format!("Single changes, what buys most at the low end{by}{cost} first:"), WIDTH))?;
    let most = if shown.all { usize::MAX } else { SHOWN };
    for (i, tried) in changes.tried.iter().take(most).enumerate() {
        one(i + 1, tried, shown.labels, costs, out)?;
    }
    if let Some(more) = changes.tried.len().checked_sub(most).filter(|n| *n > 0) {
        writeln!(out, "      and {more} more: --all")?;
    }
    Ok(())
}

fn one(
    number: usize,
    tried: &Tried,
    labels: &[(String, Standing)],
    costs: Option<&BTreeMap<String, Exact>>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    write!(out, "{}", hang(&format!("{number:>4}. "), &tame(&tried.change.words), WIDTH))?;
    write!(out, "{}", hang("      id ", &tame(&tried.change.id), WIDTH))?;
    let mut effects: Vec<_> = tried.effects.iter().zip(labels).filter(|(e, _)| !e.rows.is_empty()).collect();
    // The bench verdict stands first wherever both stand, whichever ranks.
    effects.sort_by_key(|(effect, (label, _))| {
        (tried.effects.iter().position(|e| e.method == effect.method), !label.ends_with("(bench verdict)"))
    });
    for (effect, &(ref label, standing)) in effects {
        let gain = effect.gain_low.display(2, Rounding::HalfUp);
        let gain = if gain.starts_with('-') { gain } else { format!("+{gain}") };
        let cost = costs.map(|c| c.get(&tried.change.id).cloned().unwrap_or_else(Exact::one));
        let cost = match cost {
            None => String::new(),
            Some(cost) => match effect.gain_low.checked_div(&cost) {
                Some(each) => format!(", cost {}: {} for each 1", cost.plain(), each.display(2, Rounding::HalfUp)),
                None => ", at no cost".to_owned(),
            },
        };
        let range = would(standing, &effect.shown, effect.classes.as_ref());
        let bounds = if effect.bounds[0] { ", between bounds" } else { "" };
        let said = format!("{range} ({gain} at the low end{bounds}{cost})");
        write!(out, "{}", hang(&format!("      {label}: "), &said, WIDTH))?;
        // One more is named.
        let shown = if effect.rows.len() == ROWS + 1 { effect.rows.len() } else { ROWS };
        let rows: Vec<String> = effect.rows.iter().take(shown).map(row).collect();
        let more = effect.rows.len().saturating_sub(shown);
        let more = if more > 0 { format!("; {more} more") } else { String::new() };
        write!(out, "{}", hang("        ", &tame(&format!("{}{more}", rows.join("; "))), WIDTH))?;
    }
    Ok(())
}

/// A criterion that moved: its title, its part, and from what to what.
pub(super) fn row(r: &MovedCriterion) -> String {
    let part = r.role.as_ref().map(|p| format!(": {p}")).unwrap_or_default();
    let ends = |e: &[String; 2]| {
        let [low, high] = [points(&e[0]), points(&e[1])];
        if low == high { low } else { format!("{low} to {high}") }
    };
    // Where two decimals hide the difference the exact values stand.
    let (before, after) = (ends(&r.before), ends(&r.after));
    if before == after {
        return format!("{}{part}: {} becomes {}", r.title, r.before.join(" to "), r.after.join(" to "));
    }
    format!("{}{part}: {before} becomes {after}", r.title)
}

/// Points as they come, fractions with two decimals.
fn points(text: &str) -> String {
    let fraction = Some(text).filter(|t| t.contains('/')).and_then(Exact::parse);
    fraction.map_or_else(|| text.to_owned(), |v| v.display(2, Rounding::HalfUp))
}

fn cheapest_told(target: &str, reached: &Reached, out: &mut dyn Write) -> Result<(), Failure> {
    writeln!(out)?;
    let method = &reached.method;
    let Some(set) = &reached.cheapest else {
        let mut text = format!("No set of these changes was found that brings {method} to {target} at the low end.");
        if !reached.remaining.is_empty() {
            text.push_str(&format!(" None of them lifts: {}.", reached.remaining.join("; ")));
        }
        write!(out, "{}", hang("", &tame(&text), WIDTH))?;
        return Ok(());
    };
    if set.changes.is_empty() {
        let now = would(reached.standing, &set.shown, set.classes.as_ref());
        write!(out, "{}", hang("", &tame(&format!("{target} by {method}: reached as things stand ({now}).")), WIDTH))?;
        return Ok(());
    }
    let how = if set.proved { "cheapest set, proved" } else { "set found greedily, perhaps not the cheapest" };
    let said = would(reached.standing, &set.shown, set.classes.as_ref());
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
