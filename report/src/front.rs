//! From texts to a page in one chain.

use std::collections::BTreeMap;

use scoring::range::{Assessment, Effort};
use scoring::{Rules, Teardown};

use crate::template::{TemplateError, Templates};
use crate::view::{Applied, Job, Others, Outlook, View, build};

/// A report on one record by some methods, ready to be written in any form.
///
/// ```
/// use report::{Form, Report};
/// use scoring::{Rules, Teardown};
///
/// # let text = scoring::front::LANTERN;
/// let teardown = Teardown::read("lantern.yaml", text)?;
/// let report = Report::of(&teardown, &[Rules::shipped("en-45554")?]);
/// let page = report.write(Form::Html)?;
/// assert!(page.contains("Lantern"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Report {
    view: View,
    csv: String,
    templates: Templates,
}

/// What a report is written as; each is UTF-8 text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Form {
    /// One self-contained HTML file.
    Html,
    /// Markdown, whole. Its drawings are files of their own: see [`Report::drawings`].
    Markdown,
    /// Markdown, the verdict on one page.
    Summary,
    /// JSON.
    Json,
    /// CSV with a head, a row a criterion.
    Csv,
    /// What to say on camera.
    Script,
    /// A card as SVG.
    Card,
}

impl Report {
    /// A report by these methods, the headline first. A method must be made for a device of this category.
    pub fn of(teardown: &Teardown, rules: &[Rules]) -> Self {
        let (record, sources) = teardown.parts();
        let effort = Effort::default();
        let worked: Vec<(Assessment, Outlook, Others)> = rules
            .iter()
            .enumerate()
            .map(|(place, rules)| {
                let assessment = Assessment::new(record, rules.method(), effort);
                let others = Others::new(record, rules.method(), effort);
                let outlook = match place {
                    0 => Outlook::leading(record, &assessment, &others),
                    _ => Outlook::new(record, &assessment),
                };
                (assessment, outlook, others)
            })
            .collect();
        let applied = worked
            .iter()
            .zip(rules)
            .map(|((assessment, outlook, others), rules)| Applied { assessment, text: rules.text(), outlook, others })
            .collect();
        let job = Job { record, sources, applied, version: env!("CARGO_PKG_VERSION"), photos: BTreeMap::new() };
        let csv = crate::csv::header() + &crate::csv::scores(&job);
        Self { view: build(&job), csv, templates: Templates::shipped() }
    }

    /// With templates of one's own in place of shipped ones, by file name. Templates are trusted.
    ///
    /// # Errors
    /// A name no shipped template has, or a template that can't be read.
    pub fn with_templates(mut self, own: BTreeMap<String, String>) -> Result<Self, TemplateError> {
        self.templates = Templates::with(own)?;
        Ok(self)
    }

    /// The report in one form.
    ///
    /// # Errors
    /// A template of one's own that fails.
    pub fn write(&self, form: Form) -> Result<String, TemplateError> {
        let (view, templates) = (&self.view, &self.templates);
        match form {
            Form::Html => crate::html::report(view, templates),
            Form::Markdown => crate::markdown::report(view, templates),
            Form::Summary => crate::markdown::summary(view, templates),
            Form::Json => Ok(crate::json::devices(std::slice::from_ref(view), crate::json::Layout::Compact)),
            Form::Csv => Ok(self.csv.clone()),
            Form::Script => Ok(crate::script::script(view)),
            Form::Card => Ok(crate::svg::card::card(view)),
        }
    }

    /// Drawings that the Markdown shows, as SVG by file name.
    pub fn drawings(&self) -> Vec<(String, String)> {
        crate::markdown::pictures(&self.view)
    }

    /// The record and methods this follows from, as one hash, per method in their order.
    pub fn fingerprints(&self) -> impl Iterator<Item = &str> {
        self.view.assessments.iter().map(|a| a.fingerprint.as_str())
    }
}
