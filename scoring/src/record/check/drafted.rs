//! What a draft wrote and nobody has reviewed: told once, however much it is.

use crate::record::Record;
use crate::text::Diagnostic;

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    let facts = record.drafted_facts();
    let first = record
        .drafted()
        .next()
        .map(|a| a.span)
        .or(record.proposed.first().map(|p| p.span))
        .or(facts.first().map(|f| f.1))
        .or(record.drafted_remarks().next().map(|r| r.text.span));
    let Some(first) = first else { return };
    let many = match (record.drafted().count(), record.proposed.is_empty()) {
        (0, true) if facts.is_empty() => match record.drafted_remarks().count() {
            1 => "1 remark was drafted and nobody has confirmed it".to_owned(),
            n => format!("{n} remarks were drafted and nobody has confirmed them"),
        },
        (0, true) => "the price or the way back was drafted, and nobody has confirmed it".to_owned(),
        (0, _) => "a draft proposed which parts count, and nobody has confirmed it".to_owned(),
        (1, true) => "1 action was drafted and nobody has reviewed it".to_owned(),
        (1, false) => "1 action was drafted, and which parts count; nobody has reviewed it".to_owned(),
        (n, true) => format!("{n} actions were drafted and nobody has reviewed them"),
        (n, false) => format!("{n} actions were drafted, and which parts count; nobody has reviewed them"),
    };
    out.push(
        Diagnostic::warning("not-reviewed", first, many)
            .because("Word lists wrote it from captions or notes; they may have misheard.")
            .mend("hold each against the footage and delete its `basis: drafted` or `reviewed: no`, or let `unfasten answer` ask"),
    );
}
