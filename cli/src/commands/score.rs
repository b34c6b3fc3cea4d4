//! `unfasten score`: verdicts of records.

use std::collections::BTreeMap;

use report::json::Layout;
use report::view::{self, View};
use report::{csv, json};
use scoring::assess::Kept;
use scoring::method::Method;
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
    let Score { records, choice, joined, many, format, .. } = arguments;
    let chosen = job::methods(choice, form, world)?;
    let tables = Tables::read(joined, form, world)?;
    let how = How { threads: many.threads, form };
    let mut frame = Frame { format: *format, chosen: &chosen, started: false };
    let inputs = Inputs::new(records, world);
    let bad = many::each(
        inputs,
        how,
        world,
        &|input, world| {
            let mut taken = tables.one_of(input, world);
            if *format == ScoreFormat::Text {
                // Said under the verdicts.
                taken.problems.retain(|d| d.code != "not-reviewed");
            }
            let (sources, _, record) = taken.usable(form, world)?;
            written((*format, world.layout), &record, &sources, choice, &chosen)
        },
        &mut |pieces: Vec<String>, world| frame.add(&pieces, world),
    )?;
    frame.end(world)?;
    tables.finish(form, world)?;
    if bad { Err(Failure::Shown) } else { Ok(()) }
}

/// The verdicts of one record, in pieces that stand one behind the other.
fn written(
    (format, layout): (ScoreFormat, Layout),
    record: &Record,
    sources: &Sources,
    choice: &Choice,
    chosen: &[Chosen],
) -> Result<Vec<String>, Failure> {
    if format == ScoreFormat::Text {
        let view = Assessed::scored(record, choice, chosen)?.view(record, sources, BTreeMap::new());
        let mut text = Vec::new();
        verdict::write(&view, &mut text)?;
        return Ok(vec![String::from_utf8_lossy(&text).into_owned()]);
    }
    if format == ScoreFormat::Csv {
        let assessed = Assessed::plain(record, choice, chosen)?;
        return Ok(vec![csv::scores(&assessed.job(record, sources, BTreeMap::new()))]);
    }
    if format == ScoreFormat::Devices {
        let assessed = Assessed::plain(record, choice, chosen)?;
        let methods: Vec<&Method> = chosen.iter().map(|c| &c.method).collect();
        return Ok(vec![csv::device(&assessed.job(record, sources, BTreeMap::new()), &methods)]);
    }
    let view = viewed(record, sources, choice, chosen, BTreeMap::new())?;
    Ok(vec![if format == ScoreFormat::Jsonl { json::line_of(&view) } else { json::item(&view, layout) }])
}

/// What stands around and between the pieces. Nothing is written before the first of them.
struct Frame<'c> {
    format: ScoreFormat,
    chosen: &'c [Chosen],
    started: bool,
}

impl Frame<'_> {
    fn add(&mut self, pieces: &[String], world: &mut World<'_>) -> Result<(), Failure> {
        for piece in pieces {
            let lead = match (self.format, self.started) {
                (ScoreFormat::Csv, false) => csv::header(),
                (ScoreFormat::Devices, false) => {
                    csv::devices_header(&self.chosen.iter().map(|c| &c.method).collect::<Vec<_>>())
                }
                (ScoreFormat::Json, false) => json::start(world.layout).to_owned(),
                (ScoreFormat::Json, true) => json::between(world.layout).to_owned(),
                _ => String::new(),
            };
            world.out.write_all(lead.as_bytes())?;
            world.out.write_all(piece.as_bytes())?;
            self.started = true;
        }
        Ok(())
    }

    fn end(&self, world: &mut World<'_>) -> Result<(), Failure> {
        if self.started && self.format == ScoreFormat::Json {
            world.out.write_all(json::end(world.layout).as_bytes())?;
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
    Ok(Assessed::new(record, choice, chosen)?.view(record, sources, photos))
}

/// Looks ahead from the assessment that leads, and from one that doesn't.
type First = fn(&Record, &Assessment, &view::Others) -> view::Outlook;
type Rest = fn(&Record, &Assessment) -> view::Outlook;

/// A record assessed by the methods that fit it: the work, done once however often it is shown.
pub(crate) struct Assessed<'c>(Vec<(Assessment, view::Outlook, view::Others, &'c Chosen)>);

impl<'c> Assessed<'c> {
    /// For pages.
    pub(crate) fn new(record: &Record, choice: &Choice, chosen: &'c [Chosen]) -> Result<Self, Failure> {
        Ok(Self::plain(record, choice, chosen)?.looking(record, view::Outlook::leading, view::Outlook::new))
    }

    /// For the text of a score, which tells nothing of other readings.
    fn scored(record: &Record, choice: &Choice, chosen: &'c [Chosen]) -> Result<Self, Failure> {
        let plain = Self::plain(record, choice, chosen)?;
        Ok(plain.looking(record, view::Outlook::scored_leading, view::Outlook::scored))
    }

    fn looking(mut self, record: &Record, first: First, rest: Rest) -> Self {
        for (place, (assessment, outlook, others, _)) in self.0.iter_mut().enumerate() {
            *outlook = if place == 0 { first(record, assessment, others) } else { rest(record, assessment) };
        }
        self
    }

    /// Without the outlook, for tables that have no place for it.
    fn plain(record: &Record, choice: &Choice, chosen: &'c [Chosen]) -> Result<Self, Failure> {
        // One handle for all that is asked of one record.
        let kept = Kept::default();
        let assess = |c: &'c Chosen| {
            let (method, effort) = (&c.method, Effort::default());
            let others = view::Others::keeping(record, method, effort, &kept);
            (Assessment::keeping(record, method, effort, &kept), view::Outlook::default(), others, c)
        };
        Ok(Self(job::fitting(record, choice, chosen)?.into_iter().map(assess).collect()))
    }

    pub(crate) fn view(&self, record: &Record, sources: &Sources, photos: BTreeMap<String, view::Photo>) -> View {
        view::build(&self.job(record, sources, photos))
    }

    fn job<'j>(
        &'j self,
        record: &'j Record,
        sources: &'j Sources,
        photos: BTreeMap<String, view::Photo>,
    ) -> view::Job<'j> {
        let applied = self
            .0
            .iter()
            .map(|(assessment, outlook, others, c)| view::Applied { assessment, text: &c.text, outlook, others })
            .collect();
        view::Job { record, sources, applied, version: env!("CARGO_PKG_VERSION"), photos }
    }
}
