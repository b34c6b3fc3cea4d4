//! `unfasten changes`: which change to a design or a promise buys the most, and the cheapest set that reaches a target.

use std::collections::BTreeMap;
use std::io::Write;

use report::json::VERSION;
use scoring::assess::Kept;
use scoring::compare::changes::{MovedCriterion, Tried, candidates, distinct, kept_back};
use scoring::compare::{Change, Changes, Requirement, cheapest, short_of};
use scoring::exact::{Exact, Rounding};
use scoring::method::{Method, Standing};
use scoring::range::{Case, Effort, Study, binding, fitted};
use scoring::text::{Diagnostic, Sources, Span, near};

use super::diff::{Label, labels};
use crate::arguments::{ChangesArguments, PlainFormat, VerdictOf};
use crate::both::Both;
use crate::documents::{ChangesOf, Reached};
use crate::ends::Ends;
use crate::failure::Failure;
use crate::files::read::{self, Kind};
use crate::job;
use crate::problems::Form;
use crate::requirement::{far, none_gives, unfit};
use crate::support::Tables;
use crate::terminal::waiting::watched;
use crate::terminal::{hang, tame};
use crate::words::changes::{self as say, Cost};
use crate::words::plain;
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
            let short = if set.is_none() { Some(short_of(study, &list, &costs, target)) } else { None };
            let standing = binding(study.method(), &record);
            let (method, passes) = (study.method().id.value.clone(), study.method().scale.verdict);
            let gap = short.as_ref().and_then(|s| s.nearest.as_ref()?.distance.as_ref());
            let away = gap.map(|gap| far(target, study.method(), gap)).unwrap_or_default();
            reached.push(Reached { method, cheapest: set, short, standing, passes, away });
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
                write!(world.out, "{}", hang("", &tame(&say::now(&one.method, &one.said())), WIDTH))?;
            }
            let standings = verdicts.iter().map(|(_, m)| binding(m, &record));
            let labels: Vec<_> = labels(&verdicts).into_iter().zip(standings).collect();
            let shown = Shown { labels: &labels, by: arguments.verdict, all };
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
        let Some((cost, id)) = line.split_once(',') else {
            wrong.push(Diagnostic::error("wrong-shape", span, say::NO_COMMA).mend(say::FORM));
            continue;
        };
        let (cost, id) = (cost.trim(), id.trim());
        match Exact::parse(cost) {
            None => wrong.push(Diagnostic::error("wrong-value", span, say::no_number(cost)).mend(say::FORM)),
            Some(c) if c.is_negative() => {
                let [what, why, mend] = say::below_nought(cost);
                wrong.push(Diagnostic::error("wrong-value", span, what).because(why).mend(mend));
            }
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
            let [what, why, mend] = say::no_change(id, near(id, known.map(String::as_str)));
            wrong.push(Diagnostic::error("wrong-value", span, what).because(why).mend(mend));
        }
        if let Some(first) = seen.insert(id.to_owned(), span) {
            let [what, why, mend] = say::two_costs(id);
            wrong.push(
                Diagnostic::error("duplicate-field", span, what).also(first, say::FIRST_HERE).because(why).mend(mend),
            );
        }
    }
    if wrong.is_empty() { Ok(out) } else { Err(Failure::Problems(sources, wrong)) }
}

/// How changes are shown.
struct Shown<'s> {
    /// What the verdict of each effect is called and whether its rule binds, in the order of the effects.
    labels: &'s [(Label, Standing)],
    /// Which verdict ranks them.
    by: VerdictOf,
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
        write!(out, "{}", hang("", say::NOTHING_BETTER, WIDTH))?;
        return Ok(());
    }
    let two = shown.labels.len() > changes.methods.iter().collect::<std::collections::BTreeSet<_>>().len();
    write!(out, "{}", hang("", &say::order(two.then_some(shown.by), costs.is_some()), WIDTH))?;
    let most = if shown.all { usize::MAX } else { SHOWN };
    for (i, tried) in changes.tried.iter().take(most).enumerate() {
        one(i + 1, tried, shown.labels, costs, out)?;
    }
    if let Some(more) = changes.tried.len().checked_sub(most).filter(|n| *n > 0) {
        writeln!(out, "      {}", say::more(more))?;
    }
    Ok(())
}

fn one(
    number: usize,
    tried: &Tried,
    labels: &[(Label, Standing)],
    costs: Option<&BTreeMap<String, Exact>>,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    write!(out, "{}", hang(&format!("{number:>4}. "), &tame(&tried.change.words), WIDTH))?;
    write!(out, "{}", hang(&format!("      {} ", say::ID), &tame(&tried.change.id), WIDTH))?;
    let mut effects: Vec<_> = tried.effects.iter().zip(labels).filter(|(e, _)| !e.rows.is_empty()).collect();
    // The bench verdict stands first wherever both stand, whichever ranks.
    effects.sort_by_key(|(effect, (label, _))| {
        (tried.effects.iter().position(|e| e.method == effect.method), label.of != Some(VerdictOf::Bench))
    });
    for (effect, &(ref label, standing)) in effects {
        let gain = effect.gain_low.display(2, Rounding::HalfUp);
        let gain = if gain.starts_with('-') { gain } else { format!("+{gain}") };
        let cost = costs.map(|c| c.get(&tried.change.id).cloned().unwrap_or_else(Exact::one));
        let figures = cost.map(|cost| {
            let each = effect.gain_low.checked_div(&cost).map(|each| each.display(2, Rounding::HalfUp));
            (cost.plain(), each)
        });
        let cost =
            figures.as_ref().map(|(cost, each)| each.as_deref().map_or(Cost::None, |each| Cost::Some(cost, each)));
        let ends = Ends { passes: label.passes, shown: &effect.shown, classes: effect.classes.as_ref() };
        let said = say::effect(&plain::would(standing, &ends), &gain, effect.bounds[0], cost);
        write!(out, "{}", hang(&format!("      {}: ", label.said()), &said, WIDTH))?;
        // One more is named.
        let shown = if effect.rows.len() == ROWS + 1 { effect.rows.len() } else { ROWS };
        let rows: Vec<String> = effect.rows.iter().take(shown).map(row).collect();
        let rows = say::rows(&rows, effect.rows.len().saturating_sub(shown));
        write!(out, "{}", hang("        ", &tame(&rows), WIDTH))?;
    }
    Ok(())
}

/// A criterion that moved: its title, its part, and from what to what.
pub(super) fn row(r: &MovedCriterion) -> String {
    let ends = |e: &[String; 2]| {
        let [low, high] = [points(&e[0]), points(&e[1])];
        if low == high { low } else { say::to([&low, &high]) }
    };
    // Where two decimals hide the difference the exact values stand.
    let (before, after) = (ends(&r.before), ends(&r.after));
    let exact = |e: &[String; 2]| say::to(e.each_ref().map(String::as_str));
    let (before, after) = if before == after { (exact(&r.before), exact(&r.after)) } else { (before, after) };
    say::row(&r.title, r.role.as_deref(), &before, &after)
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
        let text = say::none_reaches(method, target, reached.short.as_ref(), (reached.passes, &reached.away));
        write!(out, "{}", hang("", &tame(&text), WIDTH))?;
        return Ok(());
    };
    let ends = Ends { passes: reached.passes, shown: &set.shown, classes: set.classes.as_ref() };
    let said = plain::would(reached.standing, &ends);
    if set.changes.is_empty() {
        write!(out, "{}", hang("", &tame(&say::reached_already(target, method, &said)), WIDTH))?;
        return Ok(());
    }
    let text = say::set(target, method, set.proved, set.changes.len(), &set.cost.plain(), &said);
    write!(out, "{}", hang("", &tame(&text), WIDTH))?;
    for change in &set.changes {
        write!(out, "{}", hang("    - ", &tame(&change.words), WIDTH))?;
    }
    Ok(())
}
