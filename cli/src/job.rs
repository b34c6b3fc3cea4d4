//! From names on the command line to records and methods, with every problem on the way kept.

use std::path::{Path, PathBuf};

use scoring::method::{self, Method};
use scoring::range::Case;
use scoring::record::{self, Beside, Record};
use scoring::text::{Diagnostic, FileId, Source, Sources, fold};

use crate::arguments::{Choice, OnBench, VerdictOf};
use crate::failure::Failure;
use crate::files::inputs::Input;
use crate::files::read::{self, Kind, Within};
use crate::problems::{self, Form, any_error};
use crate::terminal::{hang, tame};
use crate::words::job as say;
use crate::world::WIDTH;
use crate::world::World;

/// A record as it came in.
#[derive(Debug)]
pub(crate) struct Taken {
    /// Name as given.
    pub(crate) name: String,
    /// Its text, and those it extends.
    pub(crate) sources: Sources,
    /// The record's own text.
    pub(crate) file: FileId,
    /// The record, unless something in it is an error.
    pub(crate) record: Option<Record>,
    /// Everything found.
    pub(crate) problems: Vec<Diagnostic>,
    /// How many texts `sources` holds.
    pub(crate) texts: FileId,
}

/// Texts under their bare file names: what is published doesn't tell how folders are laid out here, and is the same
/// from wherever the command was run.
pub(crate) fn bare(sources: &Sources, texts: FileId) -> Sources {
    renamed(sources, texts, file_name)
}

/// The name results give a file that was named like this: as it was named where that is relative, else its way from the
/// working folder or, where it isn't below that, its file name. Results are passed on; where folders stand here is not.
pub(crate) fn shown_name(name: &str) -> String {
    let path = Path::new(name);
    if !path.is_absolute() {
        return name.to_owned();
    }
    let here = std::env::current_dir().ok();
    let below = here.and_then(|here| Some(path.strip_prefix(here).ok()?.to_string_lossy().into_owned()));
    below.filter(|b| !b.is_empty()).unwrap_or_else(|| file_name(name))
}

fn file_name(name: &str) -> String {
    Path::new(name).file_name().map_or_else(|| name.to_owned(), |n| n.to_string_lossy().into_owned())
}

fn renamed(sources: &Sources, texts: FileId, name: fn(&str) -> String) -> Sources {
    let mut out = Sources::new();
    for id in 0..texts {
        let source = sources.get(id);
        out.add(source.renamed(&name(&source.name)));
    }
    out
}

impl Taken {
    /// The record, with warnings shown; errors end the run. Problems name files as they were named; the texts come back
    /// under the names results give them ([`shown_name`]).
    pub(crate) fn usable(self, form: Form, world: &mut World<'_>) -> Result<(Sources, FileId, Record), Failure> {
        match self.record {
            Some(record) if !any_error(&self.problems) => {
                // A draft that awaits review is no fault of this run: one line, and `check` tells the rest.
                let (drafts, faults): (Vec<&Diagnostic>, Vec<&Diagnostic>) =
                    self.problems.iter().partition(|d| form == Form::Marked && d.code == "not-reviewed");
                let faults: Vec<Diagnostic> = faults.into_iter().cloned().collect();
                problems::show(form, world.err_styled, &self.sources, &faults, world.err)?;
                for draft in drafts {
                    let text = format!("{}: {}", self.sources.place(draft.at.span), draft.message);
                    write!(world.err, "{}", hang("", &tame(&text), WIDTH))?;
                }
                Ok((renamed(&self.sources, self.texts, shown_name), self.file, record))
            }
            _ => Err(Failure::Problems(self.sources, self.problems)),
        }
    }
}

/// Reads a record and everything it extends, on a bench sheet.
pub(crate) fn record(name: &str, on: &OnBench, world: &mut World<'_>) -> Taken {
    let mut sources = Sources::new();
    let sheet = on.bench.as_ref().map(|name| (name, read::text(name, Kind::Sheet, world, &mut sources)));
    match sheet {
        Some((name, Err(problem))) => {
            let file = problem.at.span.file;
            Taken { name: name.clone(), sources, file, record: None, problems: vec![*problem], texts: file + 1 }
        }
        sheet => {
            let bench = sheet.and_then(|(_, file)| file.ok());
            record_joined(name, sources, Beside { tables: &[], bench }, world)
        }
    }
}

/// Reads a record and everything it extends, joined to support tables whose texts are given.
pub(crate) fn record_joined(name: &str, mut sources: Sources, beside: Beside<'_>, world: &mut World<'_>) -> Taken {
    let file = read::text(name, Kind::Record, world, &mut sources);
    let within = Within::of(name, world.base);
    taken(name.to_owned(), sources, file, beside, &within)
}

/// Reads one of many records and everything it extends, joined to support tables whose texts are given.
pub(crate) fn one_of(input: &Input, mut sources: Sources, beside: Beside<'_>, world: &mut World<'_>) -> Taken {
    let file = match &input.text {
        None => read::text(&input.file, Kind::Record, world, &mut sources),
        Some(text) => read::at_hand(&input.file, text.as_deref().map_err(|c| &**c), input.line, &mut sources),
    };
    let within = Within::of(&input.file, world.base);
    let mut taken = taken(input.name(), sources, file, beside, &within);
    if input.line.is_some() {
        taken.problems.iter_mut().filter(|p| p.code == "yaml-syntax").for_each(of_json);
    }
    taken
}

/// A line that can't be read, in the words of the people who wrote it: it is JSON to them.
fn of_json(problem: &mut Diagnostic) {
    let [what, why, mend] = say::NO_JSON.map(str::to_owned);
    problem.message = what;
    (problem.reason, problem.mend) = (Some(why), Some(mend));
    // The marked words are those of a YAML reader.
    problem.at.text.clear();
}

fn taken(
    name: String,
    mut sources: Sources,
    file: Result<FileId, Box<Diagnostic>>,
    beside: Beside<'_>,
    within: &Within,
) -> Taken {
    let file = match file {
        Ok(file) => file,
        Err(problem) => {
            let file = problem.at.span.file;
            return Taken { name, sources, file, record: None, problems: vec![*problem], texts: file + 1 };
        }
    };
    // Paths in `extends` arrive joined to the name of the file they stand in.
    let mut texts = file + 1;
    let mut load = |path: &str| {
        let source = read::beside(path, Path::new(path), within)?;
        texts += 1;
        Ok(source)
    };
    let read = record::read_beside(&mut sources, file, &mut load, beside.tables, beside.bench);
    // What leads is the verdict on the bench; the record keeps what it is without.
    let record = read.record.map(|r| r.on_bench().unwrap_or(r));
    Taken { name, sources, file, record, problems: read.diagnostics, texts }
}

/// A method as it came in.
#[derive(Debug)]
pub(crate) struct Chosen {
    /// The method, with the readings asked for.
    pub(crate) method: Method,
    /// Its text and those it extends, for the fingerprint.
    pub(crate) text: String,
}

/// Reads methods by id or file; problems are shown, errors end the run.
pub(crate) fn methods(choice: &Choice, form: Form, world: &mut World<'_>) -> Result<Vec<Chosen>, Failure> {
    let mut out: Vec<Chosen> = Vec::new();
    for name in &choice.methods {
        let chosen = method(name, form, world)?;
        if out.iter().all(|c| c.method.id.value != chosen.method.id.value) {
            out.push(chosen);
        }
    }
    if choice.methods.is_empty() {
        out = method::shipped().iter().map(|s| method(s.id, form, world)).collect::<Result<_, _>>()?;
    }
    for reading in &choice.readings {
        take_reading(reading, &mut out)?;
    }
    Ok(out)
}

/// Reads one method by id or file.
pub(crate) fn method(name: &str, form: Form, world: &mut World<'_>) -> Result<Chosen, Failure> {
    if let Some(read) = method::shipped_read(name) {
        return Ok(Chosen { method: read.method.clone(), text: read.text.clone() });
    }
    let MethodRead { sources, text, method, problems } = method_text(name, world)?;
    match method {
        Some(method) if !any_error(&problems) => {
            problems::show(form, world.err_styled, &sources, &problems, world.err)?;
            Ok(Chosen { method, text })
        }
        _ => Err(Failure::Problems(sources, problems)),
    }
}

/// What reading a method gave.
pub(crate) struct MethodRead {
    /// Texts problems point into.
    pub(crate) sources: Sources,
    /// The method's text and those it extends.
    pub(crate) text: String,
    /// The method, unless something in it is an error.
    pub(crate) method: Option<Method>,
    /// Everything found.
    pub(crate) problems: Vec<Diagnostic>,
}

/// Reads one method by id or file, and leaves its problems to the caller.
pub(crate) fn method_text(name: &str, world: &mut World<'_>) -> Result<MethodRead, Failure> {
    let mut sources = Sources::new();
    let file = match method::shipped_source(name) {
        Some(source) => sources.add(source),
        None if !looks_like_a_file(name) => return Err(no_such_method(name)),
        None => match read::text(name, Kind::Method, world, &mut sources) {
            Ok(file) => file,
            Err(problem) => return Err(Failure::Problems(sources, vec![*problem])),
        },
    };
    let (folder, within) = (folder_of(name), Within::of(name, world.base));
    let mut text = sources.get(file).text.to_string();
    let mut find = |wanted: &str| -> Option<Source> {
        let found =
            method::shipped_source(wanted).or_else(|| read::beside(wanted, &folder.join(wanted), &within).ok())?;
        text.push_str(&found.text);
        Some(found)
    };
    let (method, problems) = method::read(&mut sources, file, &mut find);
    Ok(MethodRead { sources, text, method, problems })
}

impl Chosen {
    /// Its verdicts, the bench verdict first; where there is one verdict only, that.
    pub(crate) fn both(&self) -> Vec<(VerdictOf, Method)> {
        let bench = self.method.bench_verdict().map(|m| (VerdictOf::Bench, m));
        bench.into_iter().chain([(VerdictOf::Full, self.method.clone())]).collect()
    }

    /// The method of the verdict asked for; where there is one verdict only, that.
    pub(crate) fn of(&self, verdict: VerdictOf) -> Method {
        match verdict {
            VerdictOf::Full => self.method.clone(),
            VerdictOf::Bench => self.method.bench_verdict().unwrap_or_else(|| self.method.clone()),
        }
    }
}

/// Methods for one record: all that were named, or of the shipped ones those made for such a device.
pub(crate) fn fitting<'c>(record: &Record, choice: &Choice, all: &'c [Chosen]) -> Result<Vec<&'c Chosen>, Failure> {
    let (category, form) = device_of(record, all);
    let fits = |c: &&Chosen| {
        category.is_among(&c.method.scope.categories)
            && !c.method.scope.without_forms.contains(&form)
            && has_its_marks(record, &c.method)
    };
    if choice.methods.is_empty() {
        return Ok(all.iter().filter(fits).collect());
    }
    all.iter().try_for_each(|c| must_fit(record, c))?;
    Ok(all.iter().collect())
}

/// Whether a method that reads nothing but given marks is given any: without them its range is the whole scale.
fn has_its_marks(record: &Record, method: &Method) -> bool {
    let measures = method.root.all().into_iter().filter_map(|node| match &node.kind {
        method::CriterionKind::Leaf { measure, .. } => Some(measure),
        _ => None,
    });
    let mut measures = measures.peekable();
    let only_marks = measures.peek().is_some() && measures.all(|m| matches!(m, method::Measure::Mark(_)));
    !only_marks || record.marks.contains_key(&method.id.value)
}

/// Refuses a method that is not for a device.
pub(crate) fn must_fit(record: &Record, chosen: &Chosen) -> Result<(), Failure> {
    let (category, form) = device_of(record, std::slice::from_ref(chosen));
    let scope = &chosen.method.scope;
    if category.is_among(&scope.categories) && !scope.without_forms.contains(&form) {
        return Ok(());
    }
    let for_what: Vec<&str> = scope.categories.iter().map(scoring::vocab::Category::word).collect();
    let of = [category.to_string(), form.to_string()];
    Err(Failure::said(say::not_for(&chosen.method.id.value, of.each_ref().map(String::as_str), &for_what)))
}

fn device_of(record: &Record, all: &[Chosen]) -> (scoring::vocab::Category, scoring::vocab::Form) {
    let category = record.device.category.value;
    // The form as ranges see it: stated, or told by the parts.
    let form = all.first().map_or(scoring::vocab::Form::NotFolding, |c| Case::new(record, &c.method).base.form);
    (category, form)
}

/// Takes another reading in every chosen method that has the switch.
fn take_reading(reading: &str, chosen: &mut [Chosen]) -> Result<(), Failure> {
    let known = || {
        let switches = chosen.iter().flat_map(|c| &c.method.switches);
        switches.flat_map(|s| s.options.iter().map(move |(o, _)| format!("{}={o}", s.id))).collect::<Vec<_>>()
    };
    let Some((switch, option)) = reading.split_once('=') else {
        return Err(Failure::said(say::no_reading(reading)));
    };
    let taken: Vec<Option<Method>> =
        chosen.iter().map(|c| c.method.with_switch(switch.trim(), option.trim())).collect();
    if taken.iter().all(Option::is_none) {
        return Err(Failure::said(say::no_method_reads(reading, &known())));
    }
    for (chosen, taken) in chosen.iter_mut().zip(taken) {
        if let Some(method) = taken {
            chosen.method = method;
        }
    }
    Ok(())
}

fn looks_like_a_file(name: &str) -> bool {
    name == "-" || name.contains(['/', '\\', '.']) || Path::new(name).exists()
}

fn no_such_method(name: &str) -> Failure {
    let ids: Vec<&str> = method::shipped().iter().map(|s| s.id).collect();
    Failure::said(say::no_method(name, nearest(name, ids.iter().copied()), &ids))
}

/// The nearest of some words, if one is near.
pub(crate) fn nearest<'w>(name: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    let name = fold(name);
    let scored = words.map(|w| (strsim::normalized_damerau_levenshtein(&name, &fold(w)), w));
    let best = scored.fold(None, |best: Option<(f64, &str)>, (s, w)| match best {
        Some((b, _)) if b >= s => best,
        _ => Some((s, w)),
    });
    best.filter(|(score, _)| *score > 0.6).map(|(_, word)| word)
}

/// The folder paths in a file start from.
fn folder_of(name: &str) -> PathBuf {
    if name == "-" { PathBuf::new() } else { Path::new(name).parent().map(Path::to_owned).unwrap_or_default() }
}
