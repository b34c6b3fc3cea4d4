//! Renders records with every shipped method that fits: `render OUT RECORD...`. For looking, and for the browser checks.

use std::collections::BTreeMap;
use std::path::Path;

use report::template::Templates;
use report::view::{Applied, Job, Others, Outlook, View, build};
use scoring::range::{Assessment, Effort};
use scoring::text::{Source, Sources};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let out = args.next().ok_or("usage: render OUT RECORD...")?;
    let mut views = Vec::new();
    for path in args {
        views.push(render(Path::new(&out), &path)?);
    }
    let reports: Vec<(&str, &View)> = views.iter().map(|(link, view)| (link.as_str(), view)).collect();
    let gallery = report::gallery::gallery("Devices on record", &reports);
    std::fs::create_dir_all(Path::new(&out).join("gallery"))?;
    let page = report::gallery::index(&gallery, &Templates::shipped())?;
    std::fs::write(Path::new(&out).join("gallery/index.html"), page)?;
    Ok(())
}

fn render(out: &Path, path: &str) -> Result<(String, View), Box<dyn std::error::Error>> {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(path, &std::fs::read_to_string(path)?));
    let read = scoring::record::read(&sources, file);
    let record = read.record.ok_or_else(|| format!("{path}: {:?}", read.diagnostics))?;
    let category = record.device.category.value;
    let methods: Vec<_> = scoring::method::shipped()
        .iter()
        .filter_map(|s| Some((scoring::method::load_shipped(s.id)?, s.text)))
        .filter(|(m, _)| m.scope.categories.contains(&category))
        // As the command does: a sheet without marks says nothing.
        .filter(|(m, _)| m.id.value != "fr-index" || record.marks.contains_key(&m.id.value))
        .collect();
    let assessments: Vec<_> = methods
        .iter()
        .enumerate()
        .map(|(i, (m, text))| {
            let assessment = Assessment::new(&record, m, Effort::default());
            let others = Others::new(&record, m, Effort::default());
            let outlook = match i {
                0 => Outlook::leading(&record, &assessment, &others),
                _ => Outlook::new(&record, &assessment),
            };
            (assessment, *text, outlook, others)
        })
        .collect();
    let applied = assessments
        .iter()
        .map(|(assessment, text, outlook, others)| Applied { others, ..Applied::new(assessment, text, outlook) })
        .collect();
    let job = Job { record: &record, sources: &sources, applied, version: "0.1.0", photos: BTreeMap::new() };
    let view = build(&job);
    let stem = Path::new(path).file_stem().ok_or("no name")?.to_string_lossy();
    let folder = out.join(stem.as_ref());
    std::fs::create_dir_all(&folder)?;
    let templates = Templates::shipped();
    std::fs::write(folder.join("report.html"), report::html::report(&view, &templates)?)?;
    let routes = View { print: "routes", ..view.clone() };
    std::fs::write(folder.join("routes.html"), report::html::report(&routes, &templates)?)?;
    std::fs::write(folder.join("report.md"), report::markdown::report(&view, &templates)?)?;
    // Pictures are linked by relative path, so they go along.
    if let Some(photos) = Path::new(path).parent().map(|p| p.join("photos")).filter(|p| p.is_dir()) {
        std::fs::create_dir_all(folder.join("photos"))?;
        for entry in std::fs::read_dir(photos)? {
            let entry = entry?;
            std::fs::copy(entry.path(), folder.join("photos").join(entry.file_name()))?;
        }
    }
    let views = [view];
    std::fs::write(folder.join("report.json"), report::json::devices(&views, report::json::Layout::Indented))?;
    std::fs::write(folder.join("report.csv"), report::csv::header() + &report::csv::scores(&job))?;
    for (name, svg) in report::markdown::pictures(&views[0]) {
        std::fs::write(folder.join(name), svg)?;
    }
    std::fs::write(folder.join("card.svg"), report::svg::card::card(&views[0]))?;
    std::fs::write(folder.join("report.summary.md"), report::markdown::summary(&views[0], &templates)?)?;
    std::fs::write(folder.join("script.txt"), report::script::script(&views[0]))?;
    std::fs::write(folder.join("description.txt"), report::chapters::description(&record, &views[0]))?;
    let [view] = views;
    Ok((format!("{stem}/report.html"), view))
}
