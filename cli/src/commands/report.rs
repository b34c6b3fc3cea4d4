//! `unfasten report`: a record's verdicts as something to publish.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use report::photo;
use report::template::Templates;
use report::view::{Photo, View};
use scoring::record::Record;

use super::score::viewed;
use crate::arguments::{Photos, Report, ReportForm};
use crate::failure::Failure;
use crate::files::folder::{self, Files};
use crate::job;
use crate::problems::Form;
use crate::terminal::{hang, tame};
use crate::world::{WIDTH, World};

/// Largest picture put into a report, bytes.
const LARGEST_PHOTO: u64 = 20 << 20;

pub(crate) fn run(arguments: &Report, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let forms = forms(arguments)?;
    let chosen = job::methods(&arguments.choice, form, world)?;
    let (sources, _, record) = job::record(&arguments.record, world).usable(form, world)?;
    let templates = templates(arguments)?;
    let embedded = pictures(&record, &arguments.record, arguments.photos, world)?;
    // A Markdown file links its pictures: an article's editor wants files, not megabytes of text.
    let linked: BTreeMap<String, Photo> =
        embedded.iter().map(|(name, p)| (name.clone(), if let Photo::Missing(_) = p { p.clone() } else { Photo::Linked })).collect();
    let view = |photos: BTreeMap<String, Photo>| viewed(&record, &sources, &arguments.choice, &chosen, photos);
    let stem = stem(&arguments.record);
    let mut files = Files::new();
    for one in &forms {
        match one {
            ReportForm::Html => {
                let text = report::html::report(&view(embedded.clone())?, &templates).map_err(|e| broken_template(&e))?;
                files.insert(format!("{stem}.html"), text.into_bytes());
            }
            ReportForm::Md => {
                let view = view(linked.clone())?;
                let text = report::markdown::report(&view, &templates).map_err(|e| broken_template(&e))?;
                files.insert(format!("{stem}.md"), text.into_bytes());
                if arguments.out.is_some() {
                    files.extend(drawings(&view));
                }
            }
            ReportForm::Json => {
                let text = report::json::assessments(&[view(linked.clone())?]);
                files.insert(format!("{stem}.json"), text.into_bytes());
            }
        }
    }
    match &arguments.out {
        None => files.values().try_for_each(|bytes| world.out.write_all(bytes))?,
        Some(folder) => {
            folder::write(folder, &files, arguments.force)?;
            let list: Vec<String> = files.keys().filter(|f| f.starts_with(&stem)).cloned().collect();
            let text = format!("wrote {} to {}", list.join(", "), folder.display());
            write!(world.err, "{}", hang("", &tame(&text), WIDTH))?;
        }
    }
    Ok(())
}

fn forms(arguments: &Report) -> Result<Vec<ReportForm>, Failure> {
    let mut forms = arguments.to.clone();
    forms.sort_unstable();
    forms.dedup();
    match (&arguments.out, forms.len()) {
        (Some(_), 0) => Ok(vec![ReportForm::Html, ReportForm::Md, ReportForm::Json]),
        (None, 0) => Ok(vec![ReportForm::Md]),
        (None, 2..) => Err(Failure::wrong("several forms can't share standard output", "name a folder with --out")),
        _ => Ok(forms),
    }
}

/// Pictures a Markdown report refers to.
fn drawings(view: &View) -> Files {
    report::markdown::pictures(view).into_iter().map(|(name, svg)| (name, svg.into_bytes())).collect()
}

/// The shipped templates, with those of a folder in their place.
fn templates(arguments: &Report) -> Result<Templates, Failure> {
    let Some(folder) = &arguments.template else { return Ok(Templates::shipped()) };
    let unreadable = |e: std::io::Error| {
        Failure::wrong(format!("templates in `{}` can't be read: {e}", folder.display()), "`unfasten template DIR` writes a set to start from")
    };
    let mut pieces = BTreeMap::new();
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        // A folder of one's own holds other things too; only what could be a template is taken.
        let known = report::template::SHIPPED.iter().any(|(n, _)| *n == name);
        let metadata = entry.metadata().map_err(unreadable)?;
        if known && metadata.is_file() {
            if metadata.len() > scoring::text::check::LARGEST as u64 {
                return Err(Failure::wrong(format!("the template `{name}` is too large"), "take pictures out of it"));
            }
            pieces.insert(name, fs::read_to_string(entry.path()).map_err(unreadable)?);
        }
    }
    Templates::with(pieces).map_err(|e| broken_template(&e))
}

fn broken_template(error: &report::template::TemplateError) -> Failure {
    Failure::wrong(format!("a template can't be used: {error}"), "compare it with the shipped one (`unfasten template DIR`)")
}

/// The pictures a record names, as found beside it. Missing or refused ones are said, and leave their text equivalent.
fn pictures(record: &Record, name: &str, how: Photos, world: &mut World<'_>) -> Result<BTreeMap<String, Photo>, Failure> {
    let folder = if name == "-" { PathBuf::new() } else { Path::new(name).parent().map(Path::to_owned).unwrap_or_default() };
    let mut out = BTreeMap::new();
    for file in named(record) {
        let photo = match (found(&file, &folder), how) {
            (Err(why), _) => {
                let text = format!("picture `{}`: {why}; its text equivalent stands in", tame(&file));
                write!(world.err, "{}", hang("warning: ", &text, WIDTH))?;
                Photo::Missing(why)
            }
            (Ok(_), Photos::Link) => Photo::Linked,
            (Ok(stripped), Photos::Embed) => Photo::Embedded(stripped),
        };
        out.insert(file, photo);
    }
    Ok(out)
}

fn found(file: &str, folder: &Path) -> Result<photo::Stripped, String> {
    let path = photo::relative(file).ok_or("only paths below the record's own folder are followed")?;
    let path = folder.join(path);
    let metadata = fs::metadata(&path).map_err(|_| "not found".to_owned())?;
    if !metadata.is_file() || metadata.len() > LARGEST_PHOTO {
        return Err(format!("not a picture of at most {} MB", LARGEST_PHOTO >> 20));
    }
    let bytes = fs::read(&path).map_err(|e| e.to_string())?;
    photo::strip(&bytes).map_err(|refused| refused.to_string())
}

/// Files of pictures a record names, in order, each once.
fn named(record: &Record) -> Vec<String> {
    let parts = record.parts.iter().flat_map(|p| &p.margin.photos);
    let actions = record.actions.iter().chain(&record.back).flat_map(|a| &a.margin.photos);
    let remarks = record.remarks.iter().flat_map(|r| &r.photos);
    let mut out: Vec<String> = Vec::new();
    for (file, _) in parts.chain(actions).chain(remarks) {
        if !out.contains(&file.value) {
            out.push(file.value.clone());
        }
    }
    out
}

/// Name of the report: that of the record.
fn stem(name: &str) -> String {
    let stem = Path::new(name).file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    if name == "-" || stem.is_empty() { "report".to_owned() } else { stem }
}
