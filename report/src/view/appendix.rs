//! The method in the report: its rules read aloud, its open readings.

use std::collections::BTreeMap;

use scoring::method::Method;
use scoring::range::firmness::OtherReading;
use scoring::vocab::{Category, Form};

use super::reasons::Cited;
use super::types::{Reading, Ruling, Switch};
use crate::clean::line;
use crate::words::english as en;
use crate::words::reading;

/// Open readings and the option in force.
pub(super) fn switches(method: &Method, readings: &[OtherReading], cited: &mut Cited) -> Vec<Switch> {
    method
        .switches
        .iter()
        .map(|s| Switch {
            id: line(&s.id),
            text: line(&s.text),
            chosen: s.options.get(s.chosen).map_or_else(String::new, |(_, words)| line(words)),
            others: s
                .options
                .iter()
                .enumerate()
                .filter(|(i, _)| *i != s.chosen)
                .map(|(_, (option, words))| {
                    let found = readings.iter().find(|r| r.switch == s.id && r.option == *option);
                    Reading {
                        means: line(words),
                        range: found.map_or_else(|| en::NOT_WORKED_OUT.to_owned(), |r| range(method, r)),
                        class: found.and_then(|r| r.classes.as_ref()).map_or_else(String::new, class),
                        changes: found.is_some_and(|r| r.differs),
                    }
                })
                .collect(),
            source: source(&s.rule),
            matters: readings.iter().any(|r| r.switch == s.id && r.differs),
            cited: cited.of(reading::source(&line(&s.rule.clause), &line(&s.rule.source), said(&s.rule))),
        })
        .collect()
}

/// How sure a rule is, unless its source says so.
fn said(rule: &scoring::method::Rule) -> &'static str {
    let phrase = rule.certainty.phrase();
    if says(&rule.source, phrase) { "" } else { phrase }
}

/// Source and certainty in one text.
fn source(rule: &scoring::method::Rule) -> String {
    match (line(&rule.source), said(rule)) {
        (source, "") => source,
        (source, phrase) => format!("{source} ({phrase})"),
    }
}

/// The verdict under another reading.
fn range(method: &Method, reading: &OtherReading) -> String {
    let [low, high] = reading.shown.each_ref().map(|s| line(s));
    match (low.is_empty() && high.is_empty(), low == high, method.scale.verdict) {
        (true, ..) => en::DOES_NOT_APPLY.to_owned(),
        (_, true, _) => low,
        (.., true) => en::NOT_SETTLED.to_owned(),
        _ => en::to(&low, &high),
    }
}

/// `class B`, `class D to B`.
pub(super) fn class([low, high]: &[String; 2]) -> String {
    en::class(&line(low), &line(high))
}

/// Points tables in words, by id of the criterion: `up to 2: 10; up to 4: 8; more: 0`.
pub(super) fn tables(method: &Method, cited: &mut Cited) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    for paragraph in scoring::method::aloud(method).into_iter().filter(|p| p.level > 0 && !p.rows.is_empty()) {
        // What is said of every row is said once.
        let all: Vec<Vec<String>> = paragraph.rows.iter().map(|r| cites(r, cited)).collect();
        let common = all.windows(2).all(|w| w[0] == w[1]);
        let brackets = |notes: &[String]| {
            if notes.is_empty() { String::new() } else { format!(" ({})", notes.join(", ")) }
        };
        // What is said of several rows in a row is said after the last of them.
        let rows: Vec<String> = paragraph
            .rows
            .iter()
            .enumerate()
            .map(|(i, r)| {
                let same = |j: usize| all.get(j) == Some(&all[i]);
                let each = i > 0 && same(i - 1) && !all[i].is_empty();
                let more = match (common || same(i + 1), each) {
                    (true, _) => String::new(),
                    (false, true) => format!(" ({})", en::each(&all[i])),
                    (false, false) => brackets(&all[i]),
                };
                format!("{}: {}{more}", line(&r.what), line(&r.value))
            })
            .collect();
        let tail = if common { brackets(&all[0]) } else { String::new() };
        out.entry(paragraph.id).or_insert(rows.join("; ") + &tail);
    }
    out
}

/// The note of a row, and its source by number.
fn cites(row: &scoring::method::AloudRow, cited: &mut Cited) -> Vec<String> {
    let certainty = row.certainty.map(scoring::vocab::Certainty::phrase).unwrap_or_default();
    let source = row.source.as_deref().map(line).unwrap_or_default();
    let certainty = if says(&source, certainty) { "" } else { certainty };
    let whole = reading::source("", &source, certainty);
    let number = (!whole.is_empty()).then(|| format!("[{}]", cited.of(whole)));
    number.into_iter().chain(row.note.as_deref().map(line)).collect()
}

fn notes(row: &scoring::method::AloudRow) -> Vec<String> {
    let certainty = row.certainty.map(|c| c.phrase().to_owned());
    let mut out: Vec<String> =
        [row.source.as_deref().map(line), certainty, row.note.as_deref().map(line)].into_iter().flatten().collect();
    out.dedup();
    out
}

/// The block of part weights in force for the device the method was fitted to.
fn part_rule(method: &Method, category: Category, form: Form) -> Vec<String> {
    let several = method.part_sets.len() > 1;
    let found = method.part_sets.iter().position(|s| s.fits(category, form));
    found.map(|at| if several { format!("parts {}", at + 1) } else { "parts".to_owned() }).into_iter().collect()
}

/// Whether a source says the certainty already: `own choice`, `own choice, after a paper`.
pub(super) fn says(source: &str, phrase: &str) -> bool {
    source.strip_prefix(phrase).is_some_and(|rest| rest.is_empty() || rest.starts_with(','))
}

/// The method read aloud, but for its criteria, told with their reasons, its open readings, told before, the weights of its
/// parts, of which the report has those of this device, and what its own lines say already.
pub(super) fn rules(method: &Method, (category, form): (Category, Form), cited: &mut Cited) -> Vec<Ruling> {
    let switch = |id: &str| id.starts_with("switch ");
    // Blocks of part weights are called `parts`, or `parts 2` where there are several.
    let parts = |id: &str| id == "parts" || id.starts_with("parts ");
    let own = |id: &str| id == method.id.value;
    let weights = part_rule(method, category, form);
    scoring::method::aloud(method)
        .into_iter()
        .filter(|p| p.level == 0 && !switch(&p.id) && !own(&p.id))
        .filter(|p| !parts(&p.id) || weights.contains(&p.id))
        .map(|p| {
            let sure = p.certainty.map(|c| c.phrase().to_owned()).filter(|phrase| !says(&p.source, phrase));
            let source = reading::source(&line(&p.clause), &line(&p.source), &sure.unwrap_or_default());
            Ruling {
                level: p.level,
                heading: line(&p.heading),
                text: line(&p.text),
                // Weights stand with the parts asked about.
                rows: if parts(&p.id) { &p.rows[..0] } else { &p.rows[..] }
                    .iter()
                    .map(|r| [line(&r.what), line(&r.value), notes(r).join(", ")])
                    .collect(),
                cited: if source.is_empty() { 0 } else { cited.of(source) },
            }
        })
        .collect()
}
