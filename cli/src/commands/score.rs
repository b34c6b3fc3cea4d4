//! `unfasten score`: verdicts of records.

use std::collections::BTreeMap;

use report::view::{self, View};
use report::{csv, json};
use scoring::range::{Assessment, Effort};
use scoring::record::Record;
use scoring::text::Sources;

use crate::arguments::{Choice, Score, ScoreFormat};
use crate::failure::Failure;
use crate::files::inputs::Inputs;
use crate::job::{self, Chosen};
use crate::many::{self, How};
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::verdict;
use crate::world::World;

pub(crate) fn run(arguments: &Score, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    if !arguments.marks.is_empty() {
        return super::marks::run(arguments, form, world);
    }
    let Score { records, choice, many, joined, format, .. } = arguments;
    let chosen = job::methods(choice, form, world)?;
    let tables = Tables::read(joined, form, world)?;
    let how = How { threads: many.threads, form };
    let mut frame = Frame { format: *format, started: false };
    let bad = many::each(
        Inputs::new(records),
        how,
        world,
        &|input, world| {
            let (sources, _, record) = tables.one_of(input, world).usable(form, world)?;
            written(*format, &record, &sources, choice, &chosen)
        },
        &mut |pieces: Vec<String>, world| frame.add(&pieces, world),
    )?;
    tables.finish(form, world)?;
    frame.end(world)?;
    if bad { Err(Failure::Shown) } else { Ok(()) }
}

/// The verdicts of one record, in pieces that stand one behind the other.
fn written(
    format: ScoreFormat,
    record: &Record,
    sources: &Sources,
    choice: &Choice,
    chosen: &[Chosen],
) -> Result<Vec<String>, Failure> {
    if format == ScoreFormat::Text {
        let view = viewed(record, sources, choice, chosen, BTreeMap::new())?;
        let mut text = Vec::new();
        verdict::write(&view, &mut text)?;
        return Ok(vec![String::from_utf8_lossy(&text).into_owned()]);
    }
    with_job(record, sources, choice, chosen, BTreeMap::new(), |job| {
        if format == ScoreFormat::Csv {
            return vec![csv::scores(job)];
        }
        let (name, assessed) = (view::name(job), view::assessments(job));
        if format == ScoreFormat::Jsonl {
            return assessed.iter().map(|a| json::line_of(&name, a)).collect();
        }
        assessed.iter().map(json::item).collect()
    })
}

/// What stands around and between the pieces. Nothing is written before the first of them.
struct Frame {
    format: ScoreFormat,
    started: bool,
}

impl Frame {
    fn add(&mut self, pieces: &[String], world: &mut World<'_>) -> Result<(), Failure> {
        for piece in pieces {
            let lead = match (self.format, self.started) {
                (ScoreFormat::Csv, false) => &*csv::header(),
                (ScoreFormat::Json, false) => json::START,
                (ScoreFormat::Json, true) => json::BETWEEN,
                _ => "",
            };
            world.out.write_all(lead.as_bytes())?;
            world.out.write_all(piece.as_bytes())?;
            self.started = true;
        }
        Ok(())
    }

    fn end(&self, world: &mut World<'_>) -> Result<(), Failure> {
        if self.started && self.format == ScoreFormat::Json {
            world.out.write_all(json::END.as_bytes())?;
        }
        Ok(())
    }
}

/// A record assessed by the methods that fit it, ready to be shown.
pub(crate) fn viewed(
    record: &Record,
    sources: &Sources,
    choice: &Choice,
    chosen: &[Chosen],
    photos: BTreeMap<String, view::Photo>,
) -> Result<View, Failure> {
    with_job(record, sources, choice, chosen, photos, view::build)
}

/// Hands on a record assessed by the methods that fit it.
fn with_job<T>(
    record: &Record,
    sources: &Sources,
    choice: &Choice,
    chosen: &[Chosen],
    photos: BTreeMap<String, view::Photo>,
    take: impl FnOnce(&view::Job<'_>) -> T,
) -> Result<T, Failure> {
    let fitting = job::fitting(record, choice, chosen)?;
    let assessed: Vec<Assessment> =
        fitting.iter().map(|c| Assessment::new(record, &c.method, Effort::default())).collect();
    let applied =
        assessed.iter().zip(&fitting).map(|(assessment, c)| view::Applied { assessment, text: &c.text }).collect();
    Ok(take(&view::Job { record, sources, applied, version: env!("CARGO_PKG_VERSION"), photos }))
}
