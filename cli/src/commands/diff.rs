//! `unfasten diff`: what changed between two records, and what each change did to the verdict.

pub(crate) mod marks;
mod note;

use std::io::Write;
use std::path::Path;

use report::json::VERSION;
use scoring::compare::diff::{Changed, Stage, places};
use scoring::compare::{Agreement, Correction};
use scoring::method::{Method, Standing};
use scoring::range::{Effort, binding};
use scoring::record::{self, Beside, Record};
use scoring::text::yaml::YamlNode;
use scoring::text::{Diagnostic, Sources};

use super::unknowns::{decided, would};
use crate::arguments::{Diff, NoteFormat, VerdictOf};
use crate::documents::{Agreements, Differences};
use crate::failure::Failure;
use crate::files::read::{self, Kind, Within};
use crate::job;
use crate::problems::{Form, any_error};
use crate::support::Tables;
use crate::terminal::{hang, plural, tame};
use crate::world::{WIDTH, World};

/// Places in which records with different names may differ and still be of one device, whose name was mended.
const CHANGED: usize = 40;

pub(crate) fn run(arguments: &Diff, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if arguments.marks {
        return marks::run(arguments, form, world);
    }
    let chosen = job::methods(&arguments.choice, form, world)?;
    let tables = Tables::read(&arguments.joined, form, world)?;
    let mut sources = tables.sources().clone();
    let beside = tables.beside();
    let old = tree(&arguments.old, &mut sources, beside, world)?;
    let new = tree(&arguments.new, &mut sources, beside, world)?;
    let [before, record] = [&old, &new].map(|root| record::read_tree_beside(root, &sources, beside).record);
    let (Some(before), Some(record)) = (before, record) else {
        return Err(Failure::Failed("a record that was read can't be read again".to_owned()));
    };
    one_device([&before, &record], places(&old, &new))?;
    let fitting = job::fitting(&record, &arguments.choice, &chosen)?;
    let verdicts: Vec<(VerdictOf, Method)> = fitting.iter().flat_map(|c| c.both()).collect();
    let methods: Vec<Method> = verdicts.iter().map(|(_, m)| m.clone()).collect();
    let of: Vec<&'static str> = verdicts.iter().map(|(of, _)| of.word()).collect();
    let labels: Vec<Called> = labels(&verdicts)
        .into_iter()
        .zip(&methods)
        .map(|(label, m)| Called { label, standing: [binding(m, &before), binding(m, &record)] })
        .collect();
    let binds: Vec<[&'static str; 2]> = labels.iter().map(|c| c.standing.map(report::view::binds)).collect();
    let effort = Effort::default();
    let name = report::view::title(&record);
    let unreadable = |e: scoring::compare::diff::Unreadable| {
        Failure::wrong(e.to_string(), "see what `unfasten check` says about it")
    };
    if arguments.agreement {
        let agreement = Agreement::beside(&sources, beside, [&old, &new], &methods, effort).map_err(unreadable)?;
        match arguments.format {
            NoteFormat::Json => {
                world.json(&Agreements { unfasten: VERSION, verdicts: of, binds, agreement: &agreement })?;
            }
            NoteFormat::Md => note::agreement(&agreement, &name, (&methods, &labels), world.out)?,
            NoteFormat::Text => agreed(&agreement, &labels, world.out)?,
        }
        tables.note_both([&before, &record]);
        return tables.finish(form, world);
    }
    let correction = Correction::beside(&sources, beside, [&old, &new], &methods, effort).map_err(unreadable)?;
    match arguments.format {
        NoteFormat::Json => {
            world.json(&Differences { unfasten: VERSION, verdicts: of, binds, correction: &correction })?;
        }
        NoteFormat::Md => {
            let of: Vec<report::correction::Of<'_>> = methods
                .iter()
                .zip(&labels)
                .map(|(method, called)| report::correction::Of {
                    method,
                    which: called.label.strip_prefix(&*method.id.value).unwrap_or_default(),
                    standing: called.standing,
                })
                .collect();
            let head = report::correction::note(&before, &record, &correction, &of);
            note::correction(&correction, &head, (&methods, &labels), world.out)?;
        }
        NoteFormat::Text => corrected(&correction, &labels, ["was", "is now"], world.out)?,
    }
    tables.note_both([&before, &record]);
    tables.finish(form, world)
}

/// What a verdict is called, and whether its rule binds the device as either record has it.
struct Called {
    label: String,
    standing: [Standing; 2],
}

/// What verdicts are called: by their method, and which of its two they are.
pub(super) fn labels(verdicts: &[(VerdictOf, Method)]) -> Vec<String> {
    let two = |id: &str| verdicts.iter().filter(|(_, m)| m.id.value == id).count() > 1;
    let said = |(of, method): &(VerdictOf, Method)| {
        let id = &method.id.value;
        if two(id) { format!("{id} ({} verdict)", of.word()) } else { id.clone() }
    };
    verdicts.iter().map(said).collect()
}

/// Every difference is worked out by itself, which says nothing where two devices are set against each other.
pub(super) fn one_device(records: [&Record; 2], places: usize) -> Result<(), Failure> {
    let [old, new] = records.map(report::view::title);
    if places <= CHANGED || scoring::text::fold(&old) == scoring::text::fold(&new) {
        return Ok(());
    }
    Err(Failure::wrong(
        format!("these are records of two devices, {} and {}, and differ in {places} places", tame(&old), tame(&new)),
        "set devices side by side with `unfasten compare`; records of one device give it one name",
    ))
}

/// A record as a tree; it must read without errors.
pub(super) fn tree(
    name: &str,
    sources: &mut Sources,
    beside: Beside<'_>,
    world: &mut World<'_>,
) -> Result<YamlNode, Failure> {
    let fail = |sources: &Sources, list: Vec<Diagnostic>| Failure::Problems(sources.clone(), list);
    let file = read::text(name, Kind::Record, world, sources).map_err(|p| fail(sources, vec![*p]))?;
    let within = Within::of(name, world.base);
    let mut load = |path: &str| read::beside(path, Path::new(path), &within);
    let (root, mut problems) = record::tree(sources, file, &mut load);
    if let Some(root) = &root {
        if beside.bench.is_none() {
            problems.extend(record::sheet_of(sources, root, &mut load).err().map(|p| *p));
        }
        problems.extend(record::read_tree_beside(root, sources, beside).diagnostics);
    }
    match root {
        Some(root) if !any_error(&problems) => Ok(root),
        _ => Err(fail(sources, problems)),
    }
}

fn stage(stage: &Stage, standing: Standing) -> String {
    let said = |stage: &Stage| would(standing, &stage.shown, stage.classes.as_ref());
    match &stage.without {
        Some(without) => format!("{} ({} without the sheet)", said(stage), said(without)),
        None => said(stage),
    }
}

/// The same, with the day from which the rule binds where it may not bind this device.
fn whole(one: &Stage, standing: Standing) -> String {
    let said = stage(one, Standing::Binds);
    // A bare verdict gets its `would` with the day.
    let beside = one.without.is_some() && standing.day().is_some() && decided(&one.shown);
    if beside { format!("would {}", standing.said(&said)) } else { standing.said(&said) }
}

/// Which bench sheets the two are read on; empty without.
fn sheets(correction: &Correction) -> String {
    match &correction.sheets {
        [None, None] => String::new(),
        [Some(a), Some(b)] if a == b => format!("Both on the bench sheet of {a}."),
        [a, b] => {
            let said = |s: &Option<String>| s.as_ref().map_or("none".to_owned(), |s| format!("that of {s}"));
            format!("Bench sheets that fill something in: {} at first, {} then.", said(a), said(b))
        }
    }
}

fn corrected(
    correction: &Correction,
    labels: &[Called],
    [was, now]: [&str; 2],
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let sheets = sheets(correction);
    if !sheets.is_empty() {
        write!(out, "{}", hang("", &tame(&sheets), WIDTH))?;
    }
    for (i, method) in labels.iter().enumerate() {
        let before = whole(&correction.before[i], method.standing[0]);
        let after = whole(&correction.after[i], method.standing[1]);
        let text = if before == after {
            format!("{}: {before}, as before", method.label)
        } else {
            format!("{}: {was} {before}, {now} {after}", method.label)
        };
        write!(out, "{}", hang("", &tame(&text), WIDTH))?;
        for row in &correction.moved[i] {
            write!(out, "{}", hang("    ", &tame(&super::changes::row(row)), WIDTH))?;
        }
    }
    if correction.changes.is_empty() {
        writeln!(out, "No value differs.")?;
        return Ok(());
    }
    writeln!(out, "\n{}:", plural(correction.changes.len(), "difference"))?;
    let mut last = correction.before.clone();
    for (i, change) in correction.changes.iter().enumerate() {
        write!(out, "{}", hang(&format!("{:>4}. ", i + 1), &tame(&what(change)), WIDTH))?;
        let places: Vec<&str> =
            [&change.old_place, &change.new_place].into_iter().filter_map(|p| p.as_deref()).collect();
        if !places.is_empty() {
            write!(out, "{}", hang("      at ", &tame(&places.join(", now ")), WIDTH))?;
        }
        for effect in effects(change, labels, &mut last) {
            write!(out, "{}", hang("      ", &tame(&effect), WIDTH))?;
        }
    }
    Ok(())
}

/// `path: before -> after`.
fn what(change: &Changed) -> String {
    match (&change.before, &change.after) {
        (Some(before), Some(after)) => format!("{}: {before} -> {after}", change.path),
        (None, Some(after)) => format!("{}: added, {after}", change.path),
        (Some(before), None) => format!("{}: taken out, {before}", change.path),
        (None, None) => change.path.clone(),
    }
}

/// What a change does to each verdict, a sentence each; `last`: the verdicts before it, moved on to those after it.
fn effects(change: &Changed, methods: &[Called], last: &mut [Stage]) -> Vec<String> {
    let (mut out, mut quiet) = (Vec::new(), Vec::new());
    for (i, method) in methods.iter().enumerate() {
        let (label, standing) = (&method.label, method.standing[1]);
        let with = if change.interacts[i] { "; together with other changes it does otherwise than alone" } else { "" };
        match &change.then[i] {
            Some(then) if change.moved[i] => {
                let (before, after) = (stage(&last[i], standing), stage(then, standing));
                out.push(if before == after {
                    format!("{label} moves by less than it shows, {after}{with}")
                } else {
                    format!("{label} becomes {after}{with}")
                });
                last[i] = then.clone();
            }
            Some(_) => quiet.push(label.as_str()),
            None => out.push(format!("{label}: only makes sense together with a later change")),
        }
    }
    if !quiet.is_empty() {
        out.push(format!("no effect on {}", quiet.join(", ")));
    }
    out
}

/// How much two records share.
fn shared(agreement: &Agreement) -> String {
    let [first, second] = agreement.values;
    format!("The records hold {first} and {second} values; {} stand in both at the same place.", agreement.same)
}

fn overlap(fits: bool) -> &'static str {
    if fits {
        "the two ranges overlap: neither contradicts the other"
    } else {
        "the two ranges do not overlap: they contradict each other"
    }
}

fn agreed(agreement: &Agreement, labels: &[Called], out: &mut dyn Write) -> Result<(), Failure> {
    write!(out, "{}", hang("", &shared(agreement), WIDTH))?;
    for (method, fits) in labels.iter().zip(&agreement.compatible) {
        write!(out, "{}", hang("", &tame(&format!("{}: {}", method.label, overlap(*fits))), WIDTH))?;
    }
    writeln!(out)?;
    corrected(&agreement.differences, labels, ["first", "second"], out)
}
