//! `unfasten report`: a record's verdicts as something to publish.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use report::clean::slug;
use report::photo;
use report::template::Templates;
use report::view::{Photo, View};
use scoring::record::Record;

use super::score::Assessed;
use crate::arguments::{Photos, Print, Report, ReportForm};
use crate::failure::{Failure, warned};
use crate::files::folder::{self, Files};
use crate::files::inputs::{Input, Inputs};
use crate::files::read::Within;
use crate::files::seen;
use crate::job::{self, Chosen};
use crate::many::{self, How};
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::{hang, tame};
use crate::words::report as say;
use crate::world::{WIDTH, World};

/// Largest picture put into a report, bytes.
const LARGEST_PHOTO: u64 = 20 << 20;

/// The list of files written, without its ending.
const LIST: &str = "unfasten-files";

/// One record's report.
struct Page {
    stem: String,
    view: View,
    files: Files,
}

pub(crate) fn run(arguments: &Report, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if arguments.watch {
        return super::watch::run(arguments, form, world);
    }
    render(arguments, form, world).map(|_| ())
}

/// Renders once; the names of the files written into the folder.
pub(super) fn render(arguments: &Report, form: Form, world: &mut World<'_>) -> Result<Vec<String>, Failure> {
    let inputs = Inputs::new(&arguments.records, world);
    let folder = arguments.records.iter().any(|r| Path::new(r).is_dir());
    let several = inputs.several() || folder && inputs.any();
    let forms = forms(arguments, several)?;
    if several && arguments.before.is_some() {
        return Err(Failure::said(say::BEFORE_OF_ONE));
    }
    let chosen = job::methods(&arguments.choice, form, world)?;
    let templates = templates(arguments.template.as_deref())?;
    let tables = Tables::read(&arguments.joined, form, world)?;
    let mut pages: Vec<Page> = Vec::new();
    // What the index and the list of files are called, no report is.
    let mut stems: BTreeMap<String, usize> = [(LIST.to_owned(), 1)].into();
    if several {
        stems.insert("index".to_owned(), 1);
    }
    let bad = many::each(
        inputs,
        How { threads: arguments.many.threads, form },
        world,
        &|input, world| page(input, &forms, (&templates, &tables), &chosen, arguments, form, world),
        &mut |mut page: Page, _| {
            page.take_a_name(&mut stems);
            pages.push(page);
            Ok(())
        },
    )?;
    tables.finish(form, world)?;
    let mut files: Files = pages.iter().flat_map(|p| p.files.clone()).collect();
    if several && !pages.is_empty() {
        let links: Vec<(String, &View)> = pages.iter().map(|p| (format!("{}.html", p.stem), &p.view)).collect();
        let linked: Vec<(&str, &View)> = links.iter().map(|(link, view)| (link.as_str(), *view)).collect();
        let gallery = report::gallery::gallery(say::INDEX, &linked);
        let text = report::gallery::index(&gallery, &templates).map_err(|e| broken_template(&e))?;
        files.insert("index.html".to_owned(), text.into_bytes());
    }
    match &arguments.out {
        None => files.values().try_for_each(|bytes| world.out.write_all(bytes))?,
        Some(folder) if !files.is_empty() => {
            folder::write(folder, &files, arguments.force)?;
            let list: Vec<String> = files.keys().filter(|f| !drawing(f)).cloned().collect();
            let text = say::wrote(&list, &folder.display().to_string());
            write!(world.err, "{}", hang("", &tame(&text), WIDTH))?;
        }
        Some(_) => {}
    }
    if bad { Err(Failure::Shown) } else { Ok(files.into_keys().collect()) }
}

impl Page {
    /// Gives the report another name where an earlier one has it: two records of one name in different folders. Names that
    /// differ only in case are one to many file systems; pictures have plainer names, which must differ too.
    fn take_a_name(&mut self, taken: &mut BTreeMap<String, usize>) {
        let pictures = |stem: &str| format!("{}.svg", slug(stem));
        let drawn = self.files.keys().any(|f| drawing(f));
        let mut stem = self.stem.clone();
        while taken.contains_key(&stem.to_lowercase()) || drawn && taken.contains_key(&pictures(&stem)) {
            let n = taken.entry(self.stem.to_lowercase()).or_insert(1);
            *n += 1;
            stem = format!("{}-{n}", self.stem);
        }
        taken.insert(stem.to_lowercase(), 1);
        if drawn {
            taken.insert(pictures(&stem), 1);
        }
        if stem != self.stem {
            self.rename(&stem);
        }
    }

    /// Gives the report another name, and its pictures where it shows them.
    fn rename(&mut self, stem: &str) {
        let [before, after] = [&self.stem, stem].map(slug);
        let files = std::mem::take(&mut self.files);
        let named = |name: String, bytes: Vec<u8>| {
            if drawing(&name) {
                return (name.replacen(&before, &after, 1), bytes);
            }
            let rest = name.strip_prefix(&self.stem).unwrap_or(&name);
            let bytes = match String::from_utf8(bytes) {
                // What a record says can't begin a picture: its brackets are escaped.
                Ok(text) if rest == ".md" => text.replace(&format!("]({before}-"), &format!("]({after}-")).into_bytes(),
                Ok(text) => text.into_bytes(),
                Err(other) => other.into_bytes(),
            };
            (format!("{stem}{rest}"), bytes)
        };
        self.files = files.into_iter().map(|(name, bytes)| named(name, bytes)).collect();
        stem.clone_into(&mut self.stem);
    }
}

/// The report of one record, in memory.
fn page(
    input: &Input,
    forms: &[ReportForm],
    (templates, tables): (&Templates, &Tables),
    chosen: &[Chosen],
    arguments: &Report,
    form: Form,
    world: &mut World<'_>,
) -> Result<Page, Failure> {
    let name = &input.file;
    let taken = tables.one_of(input, world);
    let texts = taken.texts;
    let (sources, _, record) = taken.usable(form, world)?;
    let sources = job::bare(&sources, texts);
    let drafted = record.drafted().count();
    let remarks = record.drafted_remarks().count();
    if (drafted > 0 || remarks > 0 || !record.proposed.is_empty()) && !arguments.draft {
        return Err(Failure::said(say::draft(name, drafted, remarks)));
    }
    let embedded = pictures(&record, name, arguments.photos, world)?;
    // A Markdown file links its pictures: an article's editor wants files, not megabytes of text.
    let linked = without_bytes(&embedded);
    let assessed = Assessed::new(&record, &arguments.choice, chosen)?;
    let since = match &arguments.before {
        Some(old) => {
            seen::note(Path::new(old));
            Some(super::before::since([old, name], (&arguments.choice, chosen), tables, world)?)
        }
        None => None,
    };
    let view = |photos: &BTreeMap<String, Photo>| {
        let view = assessed.view(&record, &sources, photos.clone());
        match &since {
            Some(since) => view.since(since),
            None => view,
        }
    };
    let stem = match input.line {
        Some(line) => format!("{}-{line}", stem(name)),
        None => stem(name),
    };
    let (mut page, mut plain) = (view(&embedded), view(&linked));
    plain.pictures = slug(&stem);
    page.print = match arguments.print {
        Print::Summary => "summary",
        Print::Routes => "routes",
        Print::All => "all",
    };
    let mut files = Files::new();
    for one in forms {
        match one {
            ReportForm::Html => {
                let text = report::html::report(&page, templates).map_err(|e| broken_template(&e))?;
                files.insert(format!("{stem}.html"), text.into_bytes());
            }
            ReportForm::Md => {
                let text = report::markdown::report(&plain, templates).map_err(|e| broken_template(&e))?;
                files.insert(format!("{stem}.md"), text.into_bytes());
                if arguments.out.is_some() {
                    files.extend(drawings(&plain));
                    files.insert(format!("{stem}.summary.md"), summary(&plain, templates)?);
                }
            }
            ReportForm::Json => {
                let text = report::json::devices(std::slice::from_ref(&plain), world.layout);
                files.insert(format!("{stem}.json"), text.into_bytes());
            }
            ReportForm::Summary => {
                files.insert(format!("{stem}.summary.md"), summary(&plain, templates)?);
            }
            ReportForm::Script => {
                files.insert(format!("{stem}-script.txt"), report::script::script(&plain).into_bytes());
            }
            ReportForm::Video => {
                let text = report::chapters::description(&record, &plain);
                files.insert(format!("{stem}-video.txt"), text.into_bytes());
            }
            ReportForm::Card => {
                let card = report::svg::card::card(&plain);
                // Dots are no text: they go into a folder only.
                if let Some(picture) = report::svg::png::png(&card).filter(|_| arguments.out.is_some()) {
                    files.insert(format!("{stem}-card.png"), picture);
                }
                files.insert(format!("{stem}-card.svg"), card.into_bytes());
            }
        }
    }
    Ok(Page { stem, view: page, files })
}

fn summary(view: &View, templates: &Templates) -> Result<Vec<u8>, Failure> {
    let text = report::markdown::summary(view, templates).map_err(|e| broken_template(&e))?;
    Ok(text.into_bytes())
}

/// The same pictures, linked.
pub(crate) fn without_bytes(photos: &BTreeMap<String, Photo>) -> BTreeMap<String, Photo> {
    let linked = |p: &Photo| if let Photo::Missing(_) = p { p.clone() } else { Photo::Linked };
    photos.iter().map(|(name, p)| (name.clone(), linked(p))).collect()
}

fn forms(arguments: &Report, several: bool) -> Result<Vec<ReportForm>, Failure> {
    let mut forms = arguments.to.clone();
    forms.sort_unstable();
    forms.dedup();
    match (&arguments.out, forms.len()) {
        (None, _) if several => Err(Failure::said(say::SEVERAL_REPORTS)),
        (Some(_), _) if several => {
            // The index links pages.
            if !forms.contains(&ReportForm::Html) {
                forms.insert(0, ReportForm::Html);
            }
            Ok(forms)
        }
        (Some(_), 0) => Ok(vec![ReportForm::Html, ReportForm::Md, ReportForm::Json]),
        (None, 0) => Ok(vec![ReportForm::Md]),
        (None, 2..) => Err(Failure::said(say::SEVERAL_FORMS)),
        _ => Ok(forms),
    }
}

/// Whether a file is a picture that goes along with a Markdown report, not a report of its own.
fn drawing(name: &str) -> bool {
    Path::new(name).extension().is_some_and(|e| e == "svg") && !name.ends_with("-card.svg")
}

/// Pictures a Markdown report refers to.
fn drawings(view: &View) -> Files {
    report::markdown::pictures(view).into_iter().map(|(name, svg)| (name, svg.into_bytes())).collect()
}

/// The shipped templates, with those of a folder in their place.
pub(crate) fn templates(folder: Option<&Path>) -> Result<Templates, Failure> {
    let Some(folder) = folder else { return Ok(Templates::shipped()) };
    let unreadable = |e: std::io::Error| Failure::said(say::unreadable_templates(&folder.display().to_string(), &e));
    let mut pieces = BTreeMap::new();
    seen::note(folder);
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        let entry = entry.map_err(unreadable)?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let metadata = entry.metadata().map_err(unreadable)?;
        seen::note(&entry.path());
        let shipped = || report::template::SHIPPED.iter().map(|(n, _)| *n);
        // Pieces of other names are for others to take in; what is no template at all may lie beside them.
        let piece = ["html", "md", "css"].iter().any(|e| name.rsplit_once('.').is_some_and(|(_, end)| end == *e));
        if name == report::template::README.0 {
            continue;
        }
        if !shipped().any(|n| n == name) && !piece {
            // A folder of one's own holds other things too; a slip of the pen would go unseen.
            if let Some(near) = scoring::text::near(&name, shipped()).filter(|_| !metadata.is_dir()) {
                return Err(Failure::said(say::no_template(&name, near)));
            }
            continue;
        }
        if !metadata.is_file() {
            return Err(Failure::said(say::no_file(&name)));
        }
        if metadata.len() > scoring::text::check::LARGEST as u64 {
            return Err(Failure::said(say::too_large(&name)));
        }
        pieces.insert(name, fs::read_to_string(entry.path()).map_err(unreadable)?);
    }
    Templates::with(pieces).map_err(|e| broken_template(&e))
}

pub(crate) fn broken_template(error: &report::template::TemplateError) -> Failure {
    Failure::said(say::broken_template(error))
}

/// The pictures a record names, as found beside it. Missing or refused ones are said, and leave their text equivalent.
pub(crate) fn pictures(
    record: &Record,
    name: &str,
    how: Photos,
    world: &mut World<'_>,
) -> Result<BTreeMap<String, Photo>, Failure> {
    let folder =
        if name == "-" { PathBuf::new() } else { Path::new(name).parent().map(Path::to_owned).unwrap_or_default() };
    // No link leads out of it, wherever records may be read from.
    let within = Within::of(name, None);
    let mut out = BTreeMap::new();
    for file in named(record) {
        let photo = match (found(&file, &folder, &within), how) {
            (Err(why), _) => {
                write!(world.err, "{}", warned(&say::no_picture(&file, &why)))?;
                Photo::Missing(why)
            }
            (Ok(_), Photos::Link) => Photo::Linked,
            (Ok(stripped), Photos::Embed) => Photo::Embedded(stripped),
        };
        out.insert(file, photo);
    }
    Ok(out)
}

fn found(file: &str, folder: &Path, within: &Within) -> Result<photo::Stripped, String> {
    photo::relative(file).ok_or(say::NOT_BELOW)?;
    let path = within.reach(&folder.join(file)).map_err(|_| say::NOT_BELOW)?;
    seen::note(&path);
    let metadata = fs::metadata(&path).map_err(|_| say::NOT_FOUND)?;
    if !metadata.is_file() || metadata.len() > LARGEST_PHOTO {
        return Err(say::not_at_most(LARGEST_PHOTO >> 20));
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
    for scoring::record::Photo { file, .. } in parts.chain(actions).chain(remarks) {
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
