//! An index of many devices: one static page with their comparison.

use std::cmp::Reverse;
use std::collections::BTreeMap;

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
    /// Title of the method that leads most of the reports.
    pub lead: String,
    /// Devices, by category, then by the low and the high end of the verdict that leads, best first.
    pub devices: Vec<Device>,
}

/// A device in the index.
#[derive(Clone, Debug, Serialize)]
pub struct Device {
    /// Maker and name.
    pub title: String,
    /// Category and date of the teardown, where stated.
    pub about: Vec<String>,
    /// Address of its report, relative.
    pub link: String,
    /// The reason of the headline verdict.
    pub reason: String,
    /// The verdict that leads its report.
    pub lead: Option<IndexCell>,
    /// Those of the other methods that fit it.
    pub others: Vec<IndexCell>,
}

/// A verdict in the index.
#[derive(Clone, Debug, Serialize)]
pub struct IndexCell {
    /// Title of the method.
    pub title: String,
    /// Range.
    pub range: String,
    /// Class; empty without classes.
    pub class: String,
    /// Range bar, SVG; empty for verdicts.
    pub bar: String,
    /// `bench verdict` where range and bar are its, as in the report, the bench sheet it was judged by, open questions.
    pub notes: Vec<String>,
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
    // The method most reports lead with, the first of equals by its title: it needn't stand in every row.
    let mut titles: BTreeMap<&str, usize> = BTreeMap::new();
    for a in reports.iter().filter_map(|(_, v)| v.assessments.first()) {
        *titles.entry(a.title.as_str()).or_default() += 1;
    }
    let lead =
        titles.iter().max_by_key(|(title, n)| (**n, Reverse(**title))).map_or("", |(title, _)| *title).to_owned();
    let devices = order
        .into_iter()
        .map(|(link, view)| Device {
            title: view.title.clone(),
            about: [&view.category, &view.date]
                .into_iter()
                // A device of no category listed is told by what else is known of it.
                .filter(|t| !t.is_empty() && *t != "other")
                .cloned()
                .collect(),
            link: crate::photo::relative(link).unwrap_or_default(),
            reason: match &view.brief {
                Some(brief) => brief.spoken.clone(),
                None => view.assessments.first().map_or_else(String::new, |a| a.reason.clone()),
            },
            lead: view.assessments.first().map(cell),
            others: view.assessments.iter().skip(1).map(cell).collect(),
        })
        .collect();
    let first = reports.first().map(|(_, v)| *v);
    Gallery {
        unfasten: crate::view::VERSION,
        title: crate::clean::line(title),
        program: first.map_or_else(String::new, |v| v.program.clone()),
        status: first.map_or_else(String::new, |v| v.status.clone()),
        lead,
        devices,
    }
}

/// Both ends of the verdict that leads a report, as fractions.
fn leading(a: &Assessed) -> [String; 2] {
    a.headline.as_ref().map_or_else(|| [a.exact_low.clone(), a.exact_high.clone()], |h| h.exact.clone())
}

/// What leads the report leads here.
fn cell(a: &Assessed) -> IndexCell {
    let svg = |bar: &Option<Bar>| bar.as_ref().map_or_else(String::new, |b| b.svg.clone());
    let notes = |of: String, open: usize| -> Vec<String> {
        [of, en::questions_open(open)].into_iter().filter(|t| !t.is_empty()).collect()
    };
    let title = a.title.clone();
    match &a.headline {
        Some(h) => IndexCell {
            title,
            range: h.range.clone(),
            class: String::new(),
            bar: svg(&h.bar),
            notes: notes(en::judged(&h.title, a.sheet.as_deref()), h.unknowns),
            full: crate::text::total(a),
        },
        None => IndexCell {
            title,
            range: a.range.clone(),
            class: a.class.clone(),
            bar: svg(&a.bar),
            notes: notes(en::judged("", a.sheet.as_deref()), a.unknowns.len()),
            full: String::new(),
        },
    }
}

/// The index page.
pub fn index(gallery: &Gallery, templates: &Templates) -> Result<String, TemplateError> {
    templates.render("index.html", gallery)
}
