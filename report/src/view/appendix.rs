//! The method in the report: its rules read aloud, its open readings.

use std::collections::BTreeMap;

use scoring::method::Method;

use super::types::{Ruling, Switch};
use crate::clean::line;

/// Open readings and the option in force.
pub(super) fn switches(method: &Method) -> Vec<Switch> {
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
                .map(|(_, (_, words))| line(words))
                .collect(),
            source: format!("{} ({})", line(&s.rule.source), s.rule.certainty.phrase()),
        })
        .collect()
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
        let rows: Vec<String> = paragraph
            .rows
            .iter()
            .zip(&all)
            .map(|(r, notes)| {
                let more = if common { String::new() } else { brackets(notes) };
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

/// The method read aloud, but for its criteria: those are told with their becauses.
pub(super) fn rules(method: &Method) -> Vec<Ruling> {
    scoring::method::aloud(method)
        .into_iter()
        .filter(|p| p.level == 0)
        .map(|p| {
            let mut source: Vec<String> = Vec::new();
            source.extend(Some(line(&p.clause)).filter(|c| !c.is_empty()));
            source.extend(Some(line(&p.source)).filter(|s| !s.is_empty()));
            source.extend(p.certainty.map(|c| c.phrase().to_owned()));
            Ruling {
                level: p.level,
                heading: line(&p.heading),
                text: line(&p.text),
                rows: p.rows.iter().map(|r| [line(&r.what), line(&r.value), notes(r).join(", ")]).collect(),
                source: source.join("; "),
            }
        })
        .collect()
}
