//! `unfasten score`: verdicts of records.

use std::collections::BTreeMap;

use report::view::{self, View};
use scoring::range::{Assessment, Effort};
use scoring::record::Record;
use scoring::text::Sources;

use crate::arguments::{Choice, Score, ScoreFormat};
use crate::failure::Failure;
use crate::job::{self, Chosen};
use crate::problems::{self, Form};
use crate::terminal::verdict;
use crate::world::World;

pub(crate) fn run(arguments: &Score, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = job::methods(&arguments.choice, form, world)?;
    let mut views = Vec::new();
    let mut bad = false;
    for name in &arguments.records {
        // A bad record doesn't keep the good ones from their verdict.
        match job::record(name, world).usable(form, world) {
            Ok((sources, _, record)) => {
                views.push(viewed(&record, &sources, &arguments.choice, &chosen, BTreeMap::new())?);
            }
            Err(Failure::Problems(sources, found)) => {
                problems::show(form, world.err_styled, &sources, &found, world.err)?;
                bad = true;
            }
            Err(other) => return Err(other),
        }
    }
    match arguments.format {
        ScoreFormat::Text => views.iter().try_for_each(|view| verdict::write(view, world.out))?,
        ScoreFormat::Json => world.out.write_all(report::json::assessments(&views).as_bytes())?,
        ScoreFormat::Csv => world.out.write_all(report::csv::assessments(&views).as_bytes())?,
    }
    if bad { Err(Failure::Shown) } else { Ok(()) }
}

/// A record assessed by the methods that fit it, ready to be shown.
pub(crate) fn viewed(
    record: &Record,
    sources: &Sources,
    choice: &Choice,
    chosen: &[Chosen],
    photos: BTreeMap<String, view::Photo>,
) -> Result<View, Failure> {
    Ok(Assessed::new(record, choice, chosen)?.view(record, sources, photos))
}

/// A record assessed by the methods that fit it: the work, done once however often it is shown.
pub(crate) struct Assessed<'c>(Vec<(Assessment, view::Outlook, &'c Chosen)>);

impl<'c> Assessed<'c> {
    pub(crate) fn new(record: &Record, choice: &Choice, chosen: &'c [Chosen]) -> Result<Self, Failure> {
        let assess = |c: &'c Chosen| {
            let assessment = Assessment::new(record, &c.method, Effort::default());
            let outlook = view::Outlook::new(record, &assessment);
            (assessment, outlook, c)
        };
        Ok(Self(job::fitting(record, choice, chosen)?.into_iter().map(assess).collect()))
    }

    pub(crate) fn view(&self, record: &Record, sources: &Sources, photos: BTreeMap<String, view::Photo>) -> View {
        let applied = self
            .0
            .iter()
            .map(|(assessment, outlook, c)| view::Applied { assessment, text: &c.text, outlook })
            .collect();
        view::build(&view::Job { record, sources, applied, version: env!("CARGO_PKG_VERSION"), photos })
    }
}
