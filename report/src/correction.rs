//! The head of a correction note: when, what in plain words, by whom, before and after with the cause, and whether it is the
//! first.

use scoring::compare::Correction;
use scoring::compare::diff::{Changed, Stage};
use scoring::method::Method;
use scoring::record::{Mended, Record};
use scoring::text::Day;

use crate::clean::line;
use crate::words::english as en;

/// A correction as a note tells it, each text a sentence or a few.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Note {
    /// The title, with the day where the record states one.
    pub title: String,
    /// What follows, a paragraph each.
    pub paragraphs: Vec<String>,
}

/// The corrections a new record lists and the old one doesn't.
pub fn new_ones<'r>(old: &Record, new: &'r Record) -> Vec<&'r Mended> {
    let told =
        |m: &Mended| old.corrections.iter().any(|o| o.date.value == m.date.value && o.what.value == m.what.value);
    new.corrections.iter().filter(|m| !told(m)).collect()
}

/// The note on what changed from an old record to a new one, by methods in the order of the correction.
pub fn note(old: &Record, new: &Record, correction: &Correction, methods: &[Method]) -> Note {
    let mended = new_ones(old, new);
    let name = crate::view::title(new);
    let day = mended.last().map(|m| day(m));
    let mut paragraphs = Vec::new();
    if mended.is_empty() {
        paragraphs.push(en::CHANGED_BELOW.to_owned());
    }
    for one in &mended {
        let by = one.by.as_ref().map(|b| line(&b.value));
        paragraphs.push(en::mended(&line(&one.what.value), by.as_deref()));
    }
    if mended.is_empty() {
        paragraphs.push(en::pointed_out(None));
    }
    let moved: Vec<usize> =
        (0..methods.len()).filter(|&i| said(&correction.before[i]) != said(&correction.after[i])).collect();
    for &i in &moved {
        let method = &methods[i];
        let of = if method.scale.verdict { String::new() } else { en::out_of(&method.scale.high.plain()) };
        let why = correction.changes.iter().find(|c| c.moved[i] && c.then[i].is_some()).map(cause);
        paragraphs.push(en::before_and_now(
            &line(&method.title),
            [&said(&correction.before[i]), &said(&correction.after[i])],
            &of,
            why.as_deref(),
        ));
    }
    paragraphs.push(en::others_stay(moved.len(), methods.len()));
    paragraphs.push(en::cumulative(old.corrections.len(), mended.len()));
    Note { title: en::correction_of(day.as_deref(), &name), paragraphs }
}

/// The day of a correction in words.
pub fn day(mended: &Mended) -> String {
    Day::parse(&mended.date.value).map_or_else(|_| line(&mended.date.value), Day::in_words)
}

fn said(stage: &Stage) -> String {
    let [low, high] = &stage.shown;
    let range = if low == high { line(low) } else { en::to(&line(low), &line(high)) };
    match &stage.classes {
        Some([a, b]) => format!("{range}, {}", en::class(&line(a), &line(b))),
        None => range,
    }
}

/// The first change that moved a verdict, as the records have it.
fn cause(change: &Changed) -> String {
    let place = change.new_place.as_ref().or(change.old_place.as_ref()).map(|p| line(p));
    en::cause(
        &line(&change.path),
        change.before.as_deref().map(line),
        change.after.as_deref().map(line),
        place.as_deref(),
    )
}
