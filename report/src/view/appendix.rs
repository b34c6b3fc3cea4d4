//! The method in the report: its rules read aloud, its open readings.

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

/// The method read aloud.
pub(super) fn rules(method: &Method) -> Vec<Ruling> {
    scoring::method::aloud(method)
        .into_iter()
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
                        let notes: Vec<String> = [r.source.as_deref().map(line), r.certainty.map(certainty), r.note.as_deref().map(line)]
                            .into_iter()
                            .flatten()
                            .collect();
                        [line(&r.what), line(&r.value), notes.join(", ")]
                    })
                    .collect(),
                source: source.join("; "),
            }
        })
        .collect()
}
