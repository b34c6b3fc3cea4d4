//! The method in the report: its rules read aloud, its open readings.

use std::collections::BTreeMap;

use scoring::method::Method;

use super::types::{Ruling, Switch};
use super::verdict::certainty;
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
        let rows: Vec<String> = paragraph
            .rows
            .iter()
            .map(|r| {
                let more: Vec<String> = notes(r);
                let more = if more.is_empty() { String::new() } else { format!(" ({})", more.join(", ")) };
                format!("{}: {}{more}", line(&r.what), line(&r.value))
            })
            .collect();
        out.entry(paragraph.id).or_insert(rows.join("; "));
    }
    out
}

fn notes(row: &scoring::method::Row) -> Vec<String> {
    [row.source.as_deref().map(line), row.certainty.map(certainty), row.note.as_deref().map(line)]
        .into_iter()
        .flatten()
        .collect()
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
                rows: p
                    .rows
                    .iter()
                    .map(|r| {
                        [line(&r.what), line(&r.value), notes(r).join(", ")]
                    })
                    .collect(),
                source: source.join("; "),
            }
        })
        .collect()
}
