//! `unfasten diff`: what changed between two records, and what each change did to the verdict.

use std::io::Write;
use std::path::Path;

use scoring::compare::diff::{Changed, Stage};
use scoring::compare::{Agreement, Correction};
use scoring::method::Method;
use scoring::range::Effort;
use scoring::record;
use scoring::text::yaml::Node;
use scoring::text::{Diagnostic, Sources};
use serde_json::json;

use super::unknowns::range_said;
use crate::arguments::{Diff, PlainFormat};
use crate::failure::Failure;
use crate::files::read;
use crate::job;
use crate::problems::{Form, any_error};
use crate::terminal::{hang, plural, print_json, tame};
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &Diff, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = job::methods(&arguments.choice, form, world)?;
    let mut sources = Sources::new();
    let old = tree(&arguments.old, &mut sources, world)?;
    let new = tree(&arguments.new, &mut sources, world)?;
    let record = record::read_tree(&new, &sources).record;
    let Some(record) = record else {
        return Err(Failure::Failed("a record that was read can't be read again".to_owned()));
    };
    let fitting = job::fitting(&record, &arguments.choice, &chosen)?;
    let methods: Vec<Method> = fitting.iter().map(|c| c.method.clone()).collect();
    let effort = Effort::default();
    let unreadable = |e: scoring::compare::diff::Unreadable| {
        Failure::wrong(e.to_string(), "see what `unfasten check` says about it")
    };
    if arguments.agreement {
        let agreement = Agreement::new(&sources, &old, &new, &methods, effort).map_err(unreadable)?;
        match arguments.format {
            PlainFormat::Json => print_json(&json!({ "unfasten": 1, "agreement": agreement }), world.out)?,
            PlainFormat::Text => agreed(&agreement, world.out)?,
        }
        return Ok(());
    }
    let correction = Correction::new(&sources, &old, &new, &methods, effort).map_err(unreadable)?;
    match arguments.format {
        PlainFormat::Json => print_json(&json!({ "unfasten": 1, "correction": correction }), world.out)?,
        PlainFormat::Text => corrected(&correction, "was", "is now", world.out)?,
    }
    Ok(())
}

/// A record as a tree; it must read without errors.
fn tree(name: &str, sources: &mut Sources, world: &mut World<'_>) -> Result<Node, Failure> {
    let fail = |sources: &Sources, list: Vec<Diagnostic>| Failure::Problems(sources.clone(), list);
    let file = read::text(name, world, sources).map_err(|p| fail(sources, vec![*p]))?;
    let mut load = |path: &str| read::beside(path, Path::new(path));
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
    for (i, change) in correction.changes.iter().enumerate() {
        changed(i + 1, change, &correction.methods, out)?;
    }
    Ok(())
}

fn changed(number: usize, change: &Changed, methods: &[String], out: &mut dyn Write) -> Result<(), Failure> {
    let text = match (&change.before, &change.after) {
        (Some(before), Some(after)) => format!("{}: {before} -> {after}", change.path),
        (None, Some(after)) => format!("{}: added, {after}", change.path),
        (Some(before), None) => format!("{}: taken out, {before}", change.path),
        (None, None) => change.path.clone(),
    };
    write!(out, "{}", hang(&format!("{number:>4}. "), &tame(&text), WIDTH))?;
    let places: Vec<&str> = [&change.old_place, &change.new_place].into_iter().filter_map(|p| p.as_deref()).collect();
    if !places.is_empty() {
        write!(out, "{}", hang("      at ", &tame(&places.join(", now ")), WIDTH))?;
    }
    let mut quiet = Vec::new();
    for (i, method) in methods.iter().enumerate() {
        let with = if change.interacts[i] { "; together with other changes it does otherwise than alone" } else { "" };
        match &change.then[i] {
            Some(then) if change.moved[i] => {
                write!(out, "{}", hang("      ", &tame(&format!("{method} becomes {}{with}", stage(then))), WIDTH))?;
            }
            Some(_) => quiet.push(method.as_str()),
            None => {
                write!(
                    out,
                    "{}",
                    hang("      ", &tame(&format!("{method}: only makes sense together with a later change")), WIDTH)
                )?;
            }
        }
    }
    if !quiet.is_empty() {
        write!(out, "{}", hang("      ", &tame(&format!("no effect on {}", quiet.join(", "))), WIDTH))?;
    }
    Ok(())
}

fn agreed(agreement: &Agreement, out: &mut dyn Write) -> Result<(), Failure> {
    let [first, second] = agreement.values;
    let text =
        format!("The records hold {first} and {second} values; {} stand in both at the same place.", agreement.same);
    write!(out, "{}", hang("", &text, WIDTH))?;
    for (method, fits) in agreement.differences.methods.iter().zip(&agreement.compatible) {
        let said = if *fits {
            "the two ranges overlap: neither contradicts the other"
        } else {
            "the two ranges do not overlap: they contradict each other"
        };
        write!(out, "{}", hang("", &tame(&format!("{method}: {said}")), WIDTH))?;
    }
    writeln!(out)?;
    corrected(&agreement.differences, "first", "second", out)
}
