//! An index of many devices: one static page with their comparison.

use std::cmp::Reverse;

use scoring::exact::Exact;
use serde::Serialize;

use crate::template::{TemplateError, Templates};
use crate::view::View;
use crate::view::types::Assessed;

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
    /// Devices, by category, then by the low and the high end of the first method's total, best first.
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
    /// The score that stands first in the report where that is not the total: `6.1 of 10, product-related`; else empty.
    pub headline: String,
}

/// Makes the view of an index from reports and their relative addresses.
pub fn gallery(title: &str, reports: &[(&str, &View)]) -> Gallery {
    let mut methods: Vec<[String; 2]> = Vec::new();
    for a in reports.iter().flat_map(|(_, v)| &v.assessments) {
        if !methods.iter().any(|m| m[0] == a.method) {
            methods.push([a.method.clone(), a.title.clone()]);
        }
    }
    let mut order: Vec<&(&str, &View)> = reports.iter().collect();
    order.sort_by_key(|(link, view)| {
        let end = |f: fn(&Assessed) -> &String| view.assessments.first().and_then(|a| Exact::parse(f(a)));
        (
            said(view, "category"),
            Reverse(end(|a| &a.exact_low)),
            Reverse(end(|a| &a.exact_high)),
            view.title.clone(),
            *link,
        )
    });
    let devices = order
        .into_iter()
        .map(|(link, view)| Device {
            title: view.title.clone(),
            category: said(view, "category"),
            date: said(view, "taken apart"),
            link: crate::photo::relative(link).unwrap_or_default(),
            reason: match &view.brief {
                Some(brief) => brief.spoken.clone(),
                None => view.assessments.first().map_or_else(String::new, |a| a.reason.clone()),
            },
            cells: methods
                .iter()
                .map(|m| {
                    let a = view.assessments.iter().find(|a| a.method == m[0])?;
                    Some(Cell {
                        range: a.range.clone(),
                        class: a.class.clone(),
                        bar: a.bar.as_ref().map_or_else(String::new, |b| b.svg.clone()),
                        unknowns: a.unknowns.len(),
                        headline: a.headline.as_ref().map_or_else(String::new, |_| crate::text::headline(a)),
                    })
                })
                .collect(),
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

fn said(view: &View, what: &str) -> String {
    view.device.iter().find(|p| p.what == what).map_or_else(String::new, |p| p.said.clone())
}

/// The index page.
pub fn index(gallery: &Gallery, templates: &Templates) -> Result<String, TemplateError> {
    templates.render("index.html", gallery)
}
