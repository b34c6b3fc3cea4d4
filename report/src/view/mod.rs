//! From assessments to what templates receive.
//!
//! [`build`] makes every string that a report shows; templates only lay them out. The types are in [`types`], documented
//! for people who write templates in `report/templates/README.md`.

mod appendix;
mod brief;
mod effects;
mod gains;
mod log;
mod outlook;
mod parts;
pub(crate) mod place;
mod reasons;
mod routes;
pub(crate) mod tree;
pub mod types;
mod verdict;

use std::collections::{BTreeMap, BTreeSet};

use scoring::assess::Kept;
use scoring::method::Method;
use scoring::range::{Assessment, Effort};
use scoring::record::Record;
use scoring::text::Sources;
use scoring::vocab::Words;

pub use outlook::Outlook;
pub use types::{VERSION, View};
pub use verdict::binds;

use crate::clean::{line, slug};
use crate::words::english as en;
use place::Places;
use types::{Assessed, Pair};

/// Verdicts that stand beside the full one of a method.
#[derive(Clone, Debug, Default)]
pub struct Others {
    /// The bench verdict: what the bench shows alone.
    pub bench: Option<Assessment>,
    /// Both verdicts, bench and full, of the record without what its bench sheet supplies.
    pub without: [Option<Assessment>; 2],
}

impl Others {
    /// The verdicts beside the full one of a method for a record.
    pub fn new(record: &Record, method: &Method, effort: Effort) -> Self {
        Self::keeping(record, method, effort, &Kept::default())
    }

    /// As [`Others::new`], with what was worked out before.
    pub fn keeping(record: &Record, method: &Method, effort: Effort, kept: &Kept) -> Self {
        let bench = method.bench_verdict();
        let of =
            |record: &Record, method: Option<&Method>| method.map(|m| Assessment::keeping(record, m, effort, kept));
        let without = record.without_sheet();
        Self {
            bench: of(record, bench.as_ref()),
            without: match without {
                Some((_, without)) => [of(without, bench.as_ref()), of(without, Some(method))],
                None => [None, None],
            },
        }
    }
}

/// Where a method has one verdict and the record no bench sheet.
static ALONE: Others = Others { bench: None, without: [None, None] };

/// A method applied to the record, with the text it was read from.
#[derive(Clone, Copy, Debug)]
pub struct Applied<'a> {
    /// The assessment.
    pub assessment: &'a Assessment,
    /// Text of the method file and of those it extends, for the fingerprint.
    pub text: &'a str,
    /// Questions and readings of the assessment.
    pub outlook: &'a Outlook,
    /// The verdicts beside it.
    pub others: &'a Others,
}

impl<'a> Applied<'a> {
    /// A method with its full verdict alone.
    pub fn new(assessment: &'a Assessment, text: &'a str, outlook: &'a Outlook) -> Self {
        Self { assessment, text, outlook, others: &ALONE }
    }
}

/// A picture as the caller found it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Photo {
    /// Shown from its relative path.
    Linked,
    /// Put into the report: bytes without metadata (see [`crate::photo::strip`]).
    Embedded(crate::photo::Stripped),
    /// Not found or refused, and why.
    Missing(String),
}

/// Everything a report is made of.
#[derive(Clone, Debug)]
pub struct Job<'a> {
    /// The record.
    pub record: &'a Record,
    /// The texts its positions point into.
    pub sources: &'a Sources,
    /// Assessments, the headline first.
    pub applied: Vec<Applied<'a>>,
    /// Version of the program, such as `0.1.0`.
    pub version: &'a str,
    /// Pictures by file name as the record has it; those not named here are linked.
    pub photos: BTreeMap<String, Photo>,
}

/// Makes the view of a report.
pub fn build(job: &Job<'_>) -> View {
    let places = Places::new(job.record, job.sources);
    let routes = routes::Routes::collect(job, &places);
    let mut assessments = assessed(job, &places, &routes);
    let brief = job
        .applied
        .first()
        .and_then(|a| a.outlook.lead.as_deref())
        .and_then(|l| brief::brief(job, &places, &assessments, l));
    if let (Some(brief), Some(first)) = (&brief, assessments.first_mut()) {
        first.reason.clone_from(&brief.sentence);
    }
    same_questions(&mut assessments);
    let gains = brief.iter().flat_map(|b| b.ladder.iter().chain(&b.promised)).flat_map(|r| &r.criteria);
    let gains: BTreeSet<String> = gains.map(|l| l.anchor.clone()).collect();
    assessments.iter_mut().for_each(|a| anchors_in_use(a, &gains));
    let mut pictures = log::Pictures::new(job);
    let log = log::log(job, &places, &mut pictures);
    let remarks = log::remarks(job, &places, &mut pictures);
    let back = log::way_back(job, &places, &mut pictures);
    let parts = parts::cards(job, &places, &routes, &assessments);
    let cautions = log::cautions(job);
    let mut view = View {
        unfasten: VERSION,
        program: format!("unfasten {}", line(job.version)),
        title: title(job.record),
        record: name(job),
        pictures: slug(std::path::Path::new(&name(job)).file_stem().and_then(|s| s.to_str()).unwrap_or_default()),
        category: line(job.record.device.category.value.word()),
        date: job.record.teardown.date.as_ref().map_or_else(String::new, |d| line(&d.value)),
        device: device(job),
        brief,
        print: "summary",
        assessments,
        parts,
        routes: routes.finish(),
        log,
        back,
        remarks,
        corrections: job.record.corrections.iter().map(crate::correction::told).collect(),
        since: None,
        own_verdict: job.record.own_verdict.as_ref().map(|v| match &v.because {
            Some(why) => en::because(&line(&v.is.value), &line(&why.value)),
            None => line(&v.is.value),
        }),
        cautions,
        defers: en::DEFERS.to_owned(),
        status: status(job.record),
        drafted: job.record.drafted().count(),
        notes: job.record.notes.as_ref().map(|n| crate::clean::lines(&n.value)),
        photo_size: pictures.size(),
        photos: pictures.finish(),
        listing: places.listing(),
        data: String::new(),
    };
    view.data = crate::data::block(&view);
    view
}

impl View {
    /// The report as one that says what was corrected since an earlier record.
    #[must_use]
    pub fn since(mut self, since: &crate::correction::Since) -> Self {
        self.since = Some(types::Since {
            title: since.note.title.clone(),
            paragraphs: since.note.paragraphs.clone(),
            fingerprint: since.fingerprint.clone(),
            against: en::held_against(&since.against, &since.fingerprint),
        });
        if let Some(brief) = self.brief.as_mut().filter(|b| b.corrected.is_empty()) {
            en::CHANGED_SINCE.clone_into(&mut brief.corrected);
        }
        self.data = crate::data::block(&self);
        self
    }
}

/// Takes out anchors of what was read that nothing leads to: a page holds hundreds.
fn anchors_in_use(a: &mut Assessed, gains: &BTreeSet<String>) {
    let mut used = gains.clone();
    for effect in a.drags.iter().chain(&a.holds).chain(&a.open) {
        used.insert(effect.anchor.clone());
        used.extend(effect.cells.iter().map(|c| c.anchor.clone()));
    }
    used.extend(a.matrix.rows.iter().flat_map(|r| r.cells.iter().flatten()).map(|c| c.anchor.clone()));
    used.extend(a.sub_scores.iter().chain(&a.headline).map(|s| s.anchor.clone()));
    used.extend(a.reasons.iter().filter_map(|r| r.sum.as_ref()).flat_map(|s| &s.rows).map(|r| r.anchor.clone()));
    for name in a.reasons.iter_mut().flat_map(|r| &mut r.read).flat_map(|r| &mut r.names) {
        name.also.retain(|anchor| used.contains(anchor));
        if !used.contains(&name.anchor) {
            name.anchor.clear();
        }
    }
}

/// A question that several methods ask is told whole with the first of them.
fn same_questions(assessments: &mut [Assessed]) {
    for at in 1..assessments.len() {
        let (before, rest) = assessments.split_at_mut(at);
        for unknown in &mut rest[0].unknowns {
            let found = before.iter().find_map(|a| Some((a, a.unknowns.iter().find(|u| u.path == unknown.path)?)));
            if let Some((a, first)) = found {
                unknown.same = en::same_question(first.number, &a.method);
            }
        }
    }
}

/// What a report is not; of a draft, first that it is one.
fn status(record: &scoring::record::Record) -> String {
    let all = record.actions.len();
    match record.drafted().count() {
        0 if !record.proposed.is_empty() => en::proposed(),
        0 if record.drafted_remarks().next().is_some() => en::remarks_drafted(),
        0 => en::STATUS.to_owned(),
        n => en::drafted(n, all),
    }
}

/// Name of the record.
pub fn name(job: &Job<'_>) -> String {
    line(&job.sources.get(job.record.span.file).label())
}

fn assessed(job: &Job<'_>, places: &Places<'_>, routes: &routes::Routes) -> Vec<Assessed> {
    let mut keys = BTreeSet::new();
    let each = job.applied.iter().enumerate().map(|(index, applied)| {
        let key = place::unique(slug(&applied.assessment.method.id.value), &mut keys);
        verdict::assessed(job, places, routes, index, applied, key)
    });
    each.collect()
}

/// Maker and name.
pub fn title(record: &Record) -> String {
    let name = line(&record.device.name.value);
    match &record.device.maker {
        Some(maker) => format!("{} {name}", line(&maker.value)),
        None => name,
    }
}

/// The devices and files a variant starts from, the nearest first.
fn made_from(job: &Job<'_>) -> Option<String> {
    let base = |b: &scoring::record::Base| {
        let file = &*job.sources.get(b.file).name;
        b.device.as_ref().map_or_else(|| file.to_owned(), |device| format!("{device} ({file})"))
    };
    let all: Vec<String> = job.record.bases.iter().map(base).collect();
    let own = job.record.teardown.date.is_some() || job.record.teardown.video.is_some();
    (!all.is_empty()).then(|| en::made_from(&all, own))
}

fn device(job: &Job<'_>) -> Vec<Pair> {
    let (d, t) = (&job.record.device, &job.record.teardown);
    let mut out = Vec::new();
    let mut add = |what: &str, said: Option<String>| {
        out.extend(said.map(|said| Pair { what: what.to_owned(), said: line(&said) }));
    };
    let text = |s: &Option<scoring::record::Spanned<String>>| s.as_ref().map(|s| s.value.clone());
    let [maker, name, model, variant] = en::NAMES;
    add(maker, text(&d.maker));
    add(name, Some(d.name.value.clone()));
    add(model, text(&d.model));
    add(variant, text(&d.variant));
    // What it takes over was seen on another device.
    add(en::MADE_FROM, made_from(job));
    let [region, register, category, form] = en::KINDS;
    add(region, text(&d.region));
    add(register, text(&d.register_number));
    add(category, Some(d.category.value.word().to_owned()));
    add(form, d.form.as_ref().map(|f| place::known(&f.known, |w| w.word().to_owned())));
    let [price, weight, released, condition] = en::FIGURES;
    add(price, d.price.as_ref().map(|p| place::known(&p.known, place::money)));
    let grams = |w: &scoring::record::written::Grams| en::grams(&w.0.plain());
    add(weight, d.weight.stated.then(|| place::known(&d.weight.known, grams)));
    add(released, d.released.stated.then(|| place::known(&d.released.known, |r| r.0.clone())));
    add(condition, text(&d.condition));
    add(en::taken_apart_on(t.basis() == scoring::vocab::Basis::Planned), t.date.as_ref().map(|d| line(&d.value)));
    let [by, place_of_work, environment, skill] = en::BENCH;
    add(by, text(&t.by));
    add(place_of_work, text(&t.place_of_work));
    add(environment, t.place.stated.then(|| place::known(&t.place.known, |w| w.word().to_owned())));
    add(skill, t.skill.stated.then(|| place::known(&t.skill.known, |w| w.word().to_owned())));
    let [footage, ends] = en::FOOTAGE;
    add(footage, text(&t.video).map(|v| if t.uncut { en::uncut(&v) } else { v }));
    add(ends, t.ends.as_ref().map(|e| crate::clean::clock(e.value.0)));
    for part in &job.record.parts {
        let of = |s: &scoring::record::SameAs| en::two_names(&part.name.value, &s.part.value, s.perhaps);
        add(en::TWO_NAMES, part.same_as.as_ref().map(of));
    }
    let together: Vec<&str> = job.record.actions.iter().filter(|a| a.safe_together).map(|a| &*a.id).collect();
    add(en::SAFE_AFTER_ALL, (!together.is_empty()).then(|| together.join(", ")));
    if t.basis() != scoring::vocab::Basis::Seen {
        add(en::BASIS, Some(t.basis().word().to_owned()));
    }
    let tables: Vec<&str> = job.record.support.tables.iter().map(|t| &*job.sources.get(*t).name).collect();
    add(en::TABLES, (!tables.is_empty()).then(|| tables.join(", ")));
    out
}
