//! The head of a correction note: when, what in plain words, by whom, before and after with the cause, and whether it is the
//! first.

use scoring::compare::Correction;
use scoring::compare::diff::{Changed, Stage};
use scoring::method::{Method, Standing};
use scoring::record::{Mended, Record};
use scoring::text::Day;
use serde::Serialize;
use sha2::{Digest, Sha256};

use crate::clean::line;
use crate::words::english as en;

/// Changes named as the reason of one verdict.
const CAUSES: usize = 2;

/// A correction as a note tells it, each text a sentence or a few.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Note {
    /// The title, with the day where the record states one.
    pub title: String,
    /// What follows, a paragraph each.
    pub paragraphs: Vec<String>,
}

/// What a report says it was corrected from: the note, and the record as it stood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Since {
    /// The note.
    #[serde(flatten)]
    pub note: Note,
    /// Name of the old record's file.
    pub against: String,
    /// SHA-256 over its text and those it extends, in hexadecimal: whoever holds the old record can tell that it is this one.
    pub fingerprint: String,
}

impl Since {
    /// A note held against an old record: the name of its file, its own text and those it extends.
    pub fn new<'t>(note: Note, against: &str, texts: impl Iterator<Item = &'t str>) -> Self {
        let mut hash = Sha256::new();
        for text in texts {
            hash.update(format!("{}\n", text.len()));
            hash.update(text);
        }
        Self { note, against: line(against), fingerprint: crate::fingerprint::hex(&hash.finalize()) }
    }
}

/// A verdict of a correction: its method, which of its verdicts it is, and whether its rule binds the device.
#[derive(Clone, Copy, Debug)]
pub struct Of<'a> {
    /// The method.
    pub method: &'a Method,
    /// ` (bench verdict)`; empty where the method has one verdict.
    pub which: &'a str,
    /// Whether the rule binds the device, as the old and as the new record has it.
    pub standing: [Standing; 2],
}

/// The corrections a new record lists and the old one doesn't.
pub fn new_ones<'r>(old: &Record, new: &'r Record) -> Vec<&'r Mended> {
    let told = |m: &Mended| old.corrections.iter().any(|o| dated(o) == dated(m) && o.what.value == m.what.value);
    new.corrections.iter().filter(|m| !told(m)).collect()
}

/// The note on what changed from an old record to a new one, by verdicts in the order of the correction.
pub fn note(old: &Record, new: &Record, correction: &Correction, verdicts: &[Of<'_>]) -> Note {
    let mended = new_ones(old, new);
    let name = crate::view::title(new);
    let day = mended.last().and_then(|m| day(m));
    let mut paragraphs = Vec::new();
    if mended.is_empty() {
        paragraphs.push(en::CHANGED_BELOW.to_owned());
    }
    for one in &mended {
        let by = one.by.as_ref().map(|b| line(&b.value));
        paragraphs.push(en::mended(&line(&one.what.value), one.line.map(|l| l.0), by.as_deref()));
    }
    if mended.is_empty() {
        paragraphs.push(en::pointed_out(None));
    }
    let told = |i: usize, Of { method, standing, .. }: &Of<'_>| {
        [
            said(&correction.before[i], method.scale.verdict, standing[0]),
            said(&correction.after[i], method.scale.verdict, standing[1]),
        ]
    };
    let mut moved = 0;
    for (i, of) in verdicts.iter().enumerate() {
        let [before, now] = told(i, of);
        if before == now {
            continue;
        }
        moved += 1;
        let scale = &of.method.scale;
        let out_of = if scale.verdict { String::new() } else { en::out_of(&scale.high.plain()) };
        let mut why: Vec<String> =
            correction.changes.iter().filter(|c| c.moved[i] && c.then[i].is_some()).map(cause).collect();
        let more = why.len().saturating_sub(CAUSES);
        why.truncate(CAUSES);
        let name = format!("{}{}", line(&of.method.title), of.which);
        paragraphs.push(en::before_and_now(&name, [&before, &now], &out_of, &why, more));
    }
    paragraphs.push(en::others_stay(moved, verdicts.len()));
    paragraphs.push(en::cumulative(old.corrections.len(), mended.len()));
    Note { title: en::correction_of(day.as_deref(), &name), paragraphs }
}

/// The day of a correction in words, where the record states one.
pub fn day(mended: &Mended) -> Option<String> {
    dated(mended).map(|day| Day::parse(day).map_or_else(|_| line(day), Day::in_words))
}

/// A correction as the report itself lists it.
pub(crate) fn told(mended: &Mended) -> String {
    let by = mended.by.as_ref().map(|b| line(&b.value));
    en::corrected(day(mended).as_deref(), &line(&mended.what.value), mended.line.map(|l| l.0), by.as_deref())
}

fn dated(mended: &Mended) -> Option<&str> {
    mended.on.as_ref().map(|d| &*d.value)
}

/// A verdict at one stage; of a rule that may not bind the device, what it would be.
fn said(stage: &Stage, verdict: bool, standing: Standing) -> String {
    let [low, high] = &stage.shown;
    let range = match (low == high, verdict) {
        (true, true) if standing.day().is_some() => en::would(&line(low)),
        (true, _) => line(low),
        (false, true) => en::NOT_SETTLED.to_owned(),
        (false, false) => en::to(&line(low), &line(high)),
    };
    match &stage.classes {
        Some([a, b]) => format!("{range}, {}", en::class(&line(a), &line(b))),
        None => range,
    }
}

/// A change that moved a verdict, as the records have it.
fn cause(change: &Changed) -> String {
    let place = change.new_place.as_ref().or(change.old_place.as_ref()).map(|p| line(p));
    en::cause(
        &line(&change.path),
        change.before.as_deref().map(line),
        change.after.as_deref().map(line),
        place.as_deref(),
    )
}
