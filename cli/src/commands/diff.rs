//! `unfasten diff`: what changed between two records, and what each change did to the verdict.

mod note;

use std::io::Write;
use std::path::Path;

use scoring::compare::diff::{Changed, Stage, places};
use scoring::compare::{Agreement, Correction};
use scoring::method::Method;
use scoring::range::Effort;
use scoring::record::{self, Record};
use scoring::text::yaml::Node;
use scoring::text::{Diagnostic, Sources};
use serde_json::json;

use super::unknowns::range_said;
use crate::arguments::{Diff, NoteFormat};
use crate::failure::Failure;
use crate::files::read::{self, Kind, Within};
use crate::job;
use crate::problems::{Form, any_error};
use crate::terminal::{hang, plural, print_json, tame};
use crate::world::{WIDTH, World};

/// Places in which records with different names may differ and still be of one device, whose name was mended.
const CHANGED: usize = 40;

pub(crate) fn run(arguments: &Diff, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = job::methods(&arguments.choice, form, world)?;
    let mut sources = Sources::new();
    let old = tree(&arguments.old, &mut sources, world)?;
    let new = tree(&arguments.new, &mut sources, world)?;
    let [before, record] = [&old, &new].map(|root| record::read_tree(root, &sources).record);
    let (Some(before), Some(record)) = (before, record) else {
        return Err(Failure::Failed("a record that was read can't be read again".to_owned()));
    };
    one_device([&before, &record], places(&old, &new))?;
    let fitting = job::fitting(&record, &arguments.choice, &chosen)?;
    let methods: Vec<Method> = fitting.iter().map(|c| c.method.clone()).collect();
    let effort = Effort::default();
    let name = report::view::title(&record);
    let unreadable = |e: scoring::compare::diff::Unreadable| {
        Failure::wrong(e.to_string(), "see what `unfasten check` says about it")
    };
    if arguments.agreement {
        let agreement = Agreement::new(&sources, &old, &new, &methods, effort).map_err(unreadable)?;
        match arguments.format {
            NoteFormat::Json => print_json(&json!({ "unfasten": 1, "agreement": agreement }), world.out)?,
            NoteFormat::Md => note::agreement(&agreement, &name, &methods, world.out)?,
            NoteFormat::Text => agreed(&agreement, world.out)?,
        }
        return Ok(());
    }
    let correction = Correction::new(&sources, &old, &new, &methods, effort).map_err(unreadable)?;
    match arguments.format {
        NoteFormat::Json => print_json(&json!({ "unfasten": 1, "correction": correction }), world.out)?,
        NoteFormat::Md => {
            let head = report::correction::note(&before, &record, &correction, &methods);
            note::correction(&correction, &head, &methods, world.out)?;
        }
        NoteFormat::Text => corrected(&correction, "was", "is now", world.out)?,
    }
    Ok(())
}

/// Every difference is worked out by itself, which says nothing where two devices are set against each other.
fn one_device(records: [&Record; 2], places: usize) -> Result<(), Failure> {
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
fn tree(name: &str, sources: &mut Sources, world: &mut World<'_>) -> Result<Node, Failure> {
    let fail = |sources: &Sources, list: Vec<Diagnostic>| Failure::Problems(sources.clone(), list);
    let file = read::text(name, Kind::Described, world, sources).map_err(|p| fail(sources, vec![*p]))?;
    let within = Within::of(name, world.base);
    let mut load = |path: &str| read::beside(path, Path::new(path), &within);
    let (root, mut problems) = record::tree(sources, file, &mut load);
    if let Some(root) = &root {
        problems.extend(record::read_tree(root, sources).diagnostics);
    }
    match root {
        Some(root) if !any_error(&problems) => Ok(root),
        _ => Err(fail(sources, problems)),
    }
}

fn stage(stage: &Stage) -> String {
    range_said(&stage.shown, stage.classes.as_ref())
}

fn corrected(correction: &Correction, was: &str, now: &str, out: &mut dyn Write) -> Result<(), Failure> {
    for (i, method) in correction.methods.iter().enumerate() {
        let (before, after) = (stage(&correction.before[i]), stage(&correction.after[i]));
        let text = if before == after {
            format!("{method}: {before}, as before")
        } else {
            format!("{method}: {was} {before}, {now} {after}")
        };
        write!(out, "{}", hang("", &tame(&text), WIDTH))?;
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
        for effect in effects(change, &correction.methods, &mut last) {
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
fn effects(change: &Changed, methods: &[String], last: &mut [Stage]) -> Vec<String> {
    let (mut out, mut quiet) = (Vec::new(), Vec::new());
    for (i, method) in methods.iter().enumerate() {
        let with = if change.interacts[i] { "; together with other changes it does otherwise than alone" } else { "" };
        match &change.then[i] {
            Some(then) if change.moved[i] => {
                let (before, after) = (stage(&last[i]), stage(then));
                out.push(if before == after {
                    format!("{method} moves by less than it shows, {after}{with}")
                } else {
                    format!("{method} becomes {after}{with}")
                });
                last[i] = then.clone();
            }
            Some(_) => quiet.push(method.as_str()),
            None => out.push(format!("{method}: only makes sense together with a later change")),
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

fn agreed(agreement: &Agreement, out: &mut dyn Write) -> Result<(), Failure> {
    write!(out, "{}", hang("", &shared(agreement), WIDTH))?;
    for (method, fits) in agreement.differences.methods.iter().zip(&agreement.compatible) {
        write!(out, "{}", hang("", &tame(&format!("{method}: {}", overlap(*fits))), WIDTH))?;
    }
    writeln!(out)?;
    corrected(&agreement.differences, "first", "second", out)
}
