//! The method in the report: its rules read aloud, its open readings.

use std::collections::BTreeMap;

use scoring::method::Method;
use scoring::range::firmness::OtherReading;

use super::types::{Reading, Ruling, Switch};
use crate::clean::line;

/// Open readings and the option in force.
pub(super) fn switches(method: &Method, readings: &[OtherReading]) -> Vec<Switch> {
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
                        range: found.map_or_else(|| "not worked out".to_owned(), |r| range(method, r)),
                        class: found.and_then(|r| r.classes.as_ref()).map_or_else(String::new, class),
                        changes: found.is_some_and(|r| r.differs),
                    }
                })
                .collect(),
            source: match (line(&s.rule.source), s.rule.certainty.phrase()) {
                (source, phrase) if says(&source, phrase) => source,
                (source, phrase) => format!("{source} ({phrase})"),
            },
        })
        .collect()
}

/// The verdict under another reading.
fn range(method: &Method, reading: &OtherReading) -> String {
    let [low, high] = reading.shown.each_ref().map(|s| line(s));
    match (low.is_empty() && high.is_empty(), low == high, method.scale.verdict) {
        (true, ..) => "does not apply".to_owned(),
        (_, true, _) => low,
        (.., true) => "not settled".to_owned(),
        _ => format!("{low} to {high}"),
    }
}

/// `class B`, `class D to B`.
pub(super) fn class([low, high]: &[String; 2]) -> String {
    if low == high { format!("class {}", line(low)) } else { format!("class {} to {}", line(low), line(high)) }
}

/// Points tables in words, by id of the criterion: `up to 2: 10; up to 4: 8; more: 0`.
pub(super) fn tables(method: &Method) -> BTreeMap<String, String> {
    let mut out = BTreeMap::new();
    for paragraph in scoring::method::aloud(method).into_iter().filter(|p| p.level > 0 && !p.rows.is_empty()) {
        // What is said of every row is said once.
        let all: Vec<Vec<String>> = paragraph.rows.iter().map(notes).collect();
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
                    (false, true) => format!(" (each {})", all[i].join(", ")),
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

fn notes(row: &scoring::method::Row) -> Vec<String> {
    let certainty = row.certainty.map(|c| c.phrase().to_owned());
    let mut out: Vec<String> =
        [row.source.as_deref().map(line), certainty, row.note.as_deref().map(line)].into_iter().flatten().collect();
    out.dedup();
    out
}

/// Whether a source says the certainty already: `own choice`, `own choice, after a paper`.
pub(super) fn says(source: &str, phrase: &str) -> bool {
    source.strip_prefix(phrase).is_some_and(|rest| rest.is_empty() || rest.starts_with(','))
}

/// The method read aloud, but for its criteria, told with their becauses, and its open readings, told in a table.
pub(super) fn rules(method: &Method) -> Vec<Ruling> {
    scoring::method::aloud(method)
        .into_iter()
        .filter(|p| p.level == 0 && p.heading != "Open reading")
        .map(|p| {
            let mut source: Vec<String> = Vec::new();
            source.extend(Some(line(&p.clause)).filter(|c| !c.is_empty()));
            source.extend(Some(line(&p.source)).filter(|s| !s.is_empty()));
            source.extend(p.certainty.map(|c| c.phrase().to_owned()).filter(|phrase| !says(&p.source, phrase)));
            Ruling {
                level: p.level,
                heading: line(&p.heading),
                // The report shows it as written, above.
                text: if p.id == method.id.value { String::new() } else { line(&p.text) },
                rows: p.rows.iter().map(|r| [line(&r.what), line(&r.value), notes(r).join(", ")]).collect(),
                source: source.join("; "),
            }
        })
        .collect()
}
