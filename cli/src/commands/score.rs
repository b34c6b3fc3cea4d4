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
use crate::support::Tables;
use crate::terminal::verdict;
use crate::world::World;

pub(crate) fn run(arguments: &Score, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if !arguments.marks.is_empty() {
        return super::marks::run(arguments, form, world);
    }
    let chosen = job::methods(&arguments.choice, form, world)?;
    let mut tables = Tables::read(&arguments.joined, form, world)?;
    let mut views = Vec::new();
    let mut bad = false;
    for name in &arguments.records {
        // A bad record doesn't keep the good ones from their verdict.
        match tables.record(name, world).usable(form, world) {
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
    tables.finish(form, world)?;
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
    let fitting = job::fitting(record, choice, chosen)?;
    let assessed: Vec<Assessment> =
        fitting.iter().map(|c| Assessment::new(record, &c.method, Effort::default())).collect();
    let applied =
        assessed.iter().zip(&fitting).map(|(assessment, c)| view::Applied { assessment, text: &c.text }).collect();
    Ok(view::build(&view::Job { record, sources, applied, version: env!("CARGO_PKG_VERSION"), photos }))
}
