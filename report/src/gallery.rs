//! An index of many devices: one static page with their comparison.

use std::cmp::Reverse;

use scoring::exact::Exact;
use serde::Serialize;

use crate::template::{TemplateError, Templates};
use crate::view::View;
use crate::view::types::{Assessed, Bar};
use crate::words::english as en;

/// What the index template receives.
#[derive(Clone, Debug, Serialize)]
pub struct Gallery {
    /// Version of this view.
    pub unfasten: u32,
    /// Title of the page.
    pub title: String,
    /// Program and version.
    pub program: String,
    /// What reports are not.
    pub status: String,
    /// Methods, as columns: id and title.
    pub methods: Vec<[String; 2]>,
    /// Devices, by category, then by the low and the high end of the verdict that leads, best first.
    pub devices: Vec<Device>,
}

/// A device in the index.
#[derive(Clone, Debug, Serialize)]
pub struct Device {
    /// Maker and name.
    pub title: String,
    /// Category.
    pub category: String,
    /// Date of the teardown; empty where not stated.
    pub date: String,
    /// Address of its report, relative.
    pub link: String,
    /// The reason of the headline verdict.
    pub reason: String,
    /// One cell for each method; `None` where it doesn't fit the device.
    pub cells: Vec<Option<Cell>>,
}

/// A verdict in the index.
#[derive(Clone, Debug, Serialize)]
pub struct Cell {
    /// Range.
    pub range: String,
    /// Class; empty without classes.
    pub class: String,
    /// Range bar, SVG; empty for verdicts.
    pub bar: String,
    /// How many unknowns are left.
    pub unknowns: usize,
    /// `bench verdict` where range and bar are its, as in the report, and the bench sheet it was judged by; may be empty.
    pub of: String,
    /// The full verdict where the bench verdict leads, else empty.
    pub full: String,
}

/// Makes the view of an index from reports and their relative addresses.
pub fn gallery(title: &str, reports: &[(&str, &View)]) -> Gallery {
    let mut order: Vec<&(&str, &View)> = reports.iter().collect();
    order.sort_by_key(|(link, view)| {
        let end = |e: usize| view.assessments.first().and_then(|a| Exact::parse(&leading(a)[e]));
        (view.category.clone(), Reverse(end(0)), Reverse(end(1)), view.title.clone(), *link)
    });
    // Columns in the order in which the devices listed bring them, whatever the order of the files.
    let mut methods: Vec<[String; 2]> = Vec::new();
    for a in order.iter().flat_map(|(_, v)| &v.assessments) {
        if !methods.iter().any(|m| m[0] == a.method) {
            methods.push([a.method.clone(), a.title.clone()]);
        }
    }
    let devices = order
        .into_iter()
        .map(|(link, view)| Device {
            title: view.title.clone(),
            category: view.category.clone(),
            date: view.date.clone(),
            link: crate::photo::relative(link).unwrap_or_default(),
            reason: match &view.brief {
                Some(brief) => brief.spoken.clone(),
                None => view.assessments.first().map_or_else(String::new, |a| a.reason.clone()),
            },
            cells: methods.iter().map(|m| view.assessments.iter().find(|a| a.method == m[0]).map(cell)).collect(),
        })
        .collect();
    let first = reports.first().map(|(_, v)| *v);
    Gallery {
        unfasten: crate::view::VERSION,
        title: crate::clean::line(title),
        program: first.map_or_else(String::new, |v| v.program.clone()),
        status: first.map_or_else(String::new, |v| v.status.clone()),
        methods,
        devices,
    }
}

/// Both ends of the verdict that leads a report, as fractions.
fn leading(a: &Assessed) -> [String; 2] {
    a.headline.as_ref().map_or_else(|| [a.exact_low.clone(), a.exact_high.clone()], |h| h.exact.clone())
}

/// What leads the report leads here.
fn cell(a: &Assessed) -> Cell {
    let svg = |bar: &Option<Bar>| bar.as_ref().map_or_else(String::new, |b| b.svg.clone());
    match &a.headline {
        Some(h) => Cell {
            range: h.range.clone(),
            class: String::new(),
            bar: svg(&h.bar),
            unknowns: h.unknowns,
            of: en::judged(&h.title, a.sheet.as_deref()),
            full: crate::text::total(a),
        },
        None => Cell {
            range: a.range.clone(),
            class: a.class.clone(),
            bar: svg(&a.bar),
            unknowns: a.unknowns.len(),
            of: en::judged("", a.sheet.as_deref()),
            full: String::new(),
        },
    }
}

/// The index page.
pub fn index(gallery: &Gallery, templates: &Templates) -> Result<String, TemplateError> {
    templates.render("index.html", gallery)
}
