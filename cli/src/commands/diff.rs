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

use crate::arguments::{Diff, NoteFormat, VerdictOf};
use crate::documents::{Agreements, Differences};
use crate::ends::Ends;
use crate::failure::Failure;
use crate::files::read::{self, Kind, Within};
use crate::job;
use crate::problems::{Form, any_error};
use crate::support::Tables;
use crate::terminal::{hang, tame};
use crate::words::diff::{self as say, Effect, Sides};
use crate::words::plain;
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
        return Err(Failure::Failed(plain::READ_TWICE.to_owned()));
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
    let unreadable = |e: scoring::compare::diff::Unreadable| Failure::wrong(e.to_string(), plain::SEE_CHECK_ABOUT);
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
            let which: Vec<String> = labels.iter().map(|called| called.label.which()).collect();
            let of: Vec<report::correction::Of<'_>> = methods
                .iter()
                .zip(&labels)
                .zip(&which)
                .map(|((method, called), which)| report::correction::Of { method, which, standing: called.standing })
                .collect();
            let head = report::correction::note(&before, &record, &correction, &of);
            note::correction(&correction, &head, (&methods, &labels), world.out)?;
        }
        NoteFormat::Text => corrected(&correction, &labels, Sides::Corrected, world.out)?,
    }
    tables.note_both([&before, &record]);
    tables.finish(form, world)
}

/// What a verdict is called, and whether its rule binds the device as either record has it.
struct Called {
    label: Label,
    standing: [Standing; 2],
}

/// What a verdict is called: its method, and which of its two it is.
#[derive(Clone, Debug)]
pub(super) struct Label {
    /// Id of the method.
    id: String,
    /// Which of its verdicts; none where it has one.
    pub(super) of: Option<VerdictOf>,
    /// It says pass or fail and gives no points.
    pub(super) passes: bool,
}

impl Label {
    /// In words.
    pub(super) fn said(&self) -> String {
        format!("{}{}", self.id, self.which())
    }

    /// Which of the two, behind the name of the method; empty where there is one.
    pub(super) fn which(&self) -> String {
        self.of.map_or_else(String::new, plain::which)
    }
}

/// What verdicts are called.
pub(super) fn labels(verdicts: &[(VerdictOf, Method)]) -> Vec<Label> {
    let two = |id: &str| verdicts.iter().filter(|(_, m)| m.id.value == id).count() > 1;
    let label = |(of, method): &(VerdictOf, Method)| Label {
        id: method.id.value.clone(),
        of: two(&method.id.value).then_some(*of),
        passes: method.scale.verdict,
    };
    verdicts.iter().map(label).collect()
}

/// Every difference is worked out by itself, which says nothing where two devices are set against each other.
pub(super) fn one_device(records: [&Record; 2], places: usize) -> Result<(), Failure> {
    let [old, new] = records.map(report::view::title);
    if places <= CHANGED || scoring::text::fold(&old) == scoring::text::fold(&new) {
        return Ok(());
    }
    Err(Failure::said(say::two_devices([&tame(&old), &tame(&new)], places)))
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

impl Called {
    fn ends<'s>(&self, stage: &'s Stage) -> Ends<'s> {
        Ends { passes: self.label.passes, shown: &stage.shown, classes: stage.classes.as_ref() }
    }

    fn stage(&self, stage: &Stage, standing: Standing) -> String {
        let said = |stage: &Stage| plain::would(standing, &self.ends(stage));
        match &stage.without {
            Some(without) => say::without_sheet(&said(stage), &said(without)),
            None => said(stage),
        }
    }

    /// The same, with the day from which the rule binds where it may not bind this device; as the first or the second of the
    /// records has it.
    fn whole(&self, one: &Stage, record: usize) -> String {
        let standing = self.standing[record];
        let said = self.stage(one, Standing::Binds);
        // A bare verdict gets its `would` with the day.
        let beside = one.without.is_some() && standing.day().is_some() && self.ends(one).decided();
        if beside { say::would(&standing.said(&said)) } else { standing.said(&said) }
    }
}

fn corrected(correction: &Correction, labels: &[Called], sides: Sides, out: &mut dyn Write) -> Result<(), Failure> {
    let sheets = say::sheets(&correction.sheets);
    if !sheets.is_empty() {
        write!(out, "{}", hang("", &tame(&sheets), WIDTH))?;
    }
    for (i, method) in labels.iter().enumerate() {
        let label = method.label.said();
        let [before, after] = [method.whole(&correction.before[i], 0), method.whole(&correction.after[i], 1)];
        let text = if before == after {
            say::as_before(&label, &before)
        } else {
            say::moves(&label, [&before, &after], sides)
        };
        write!(out, "{}", hang("", &tame(&text), WIDTH))?;
        for row in &correction.moved[i] {
            write!(out, "{}", hang("    ", &tame(&super::changes::row(row)), WIDTH))?;
        }
    }
    let besides = &correction.not_taken_over;
    let besides = (!besides.is_empty()).then(|| hang("", &tame(&say::not_taken_over(besides)), WIDTH));
    if correction.changes.is_empty() {
        writeln!(out, "{}", say::NO_VALUE_DIFFERS)?;
        write!(out, "{}", besides.unwrap_or_default())?;
        return Ok(());
    }
    if let Some(besides) = besides {
        write!(out, "\n{besides}")?;
    }
    writeln!(out, "\n{}", say::differences(correction.changes.len()))?;
    let mut last = correction.before.clone();
    for (i, change) in correction.changes.iter().enumerate() {
        write!(out, "{}", hang(&format!("{:>4}. ", i + 1), &tame(&what(change)), WIDTH))?;
        let places: Vec<&str> =
            [&change.old_place, &change.new_place].into_iter().filter_map(|p| p.as_deref()).collect();
        if !places.is_empty() {
            write!(out, "{}", hang(&format!("      {} ", plain::AT), &tame(&plain::places(&places)), WIDTH))?;
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
        (None, None) => change.path.clone(),
        (before, after) => format!("{}: {}", change.path, say::change(before.as_deref(), after.as_deref())),
    }
}

/// What a change does to each verdict, a sentence each; `last`: the verdicts before it, moved on to those after it.
fn effects(change: &Changed, methods: &[Called], last: &mut [Stage]) -> Vec<String> {
    let (mut out, mut quiet) = (Vec::new(), Vec::new());
    for (i, method) in methods.iter().enumerate() {
        let (label, standing) = (method.label.said(), method.standing[1]);
        match &change.then[i] {
            Some(then) if change.moved[i] => {
                let (before, after) = (method.stage(&last[i], standing), method.stage(then, standing));
                let effect = if before == after { Effect::Less(&after) } else { Effect::Becomes(&after) };
                out.push(say::effect(&label, &effect, change.interacts[i]));
                last[i] = then.clone();
            }
            Some(_) => quiet.push(label),
            None => out.push(say::effect(&label, &Effect::Later, false)),
        }
    }
    if !quiet.is_empty() {
        out.push(say::no_effect(&quiet));
    }
    out
}

fn agreed(agreement: &Agreement, labels: &[Called], out: &mut dyn Write) -> Result<(), Failure> {
    write!(out, "{}", hang("", &say::shared(agreement.values, agreement.same), WIDTH))?;
    for (method, fits) in labels.iter().zip(&agreement.compatible) {
        write!(out, "{}", hang("", &tame(&say::overlap(&method.label.said(), *fits)), WIDTH))?;
    }
    writeln!(out)?;
    corrected(&agreement.differences, labels, Sides::OfTwo, out)
}
