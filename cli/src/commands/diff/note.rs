//! The differences as Markdown, ready to be published as a correction note.

use std::io::Write;

use report::correction::Note;
use scoring::compare::{Agreement, Correction};
use scoring::method::Method;

use super::{Called, effects, what};
use crate::failure::Failure;
use crate::terminal::markdown::escaped;
use crate::words::diff::{self as say, Sides};
use crate::words::{compare::NOTICE, verdict};

/// A correction of one device's verdicts.
pub(super) fn correction(
    correction: &Correction,
    head: &Note,
    methods: (&[Method], &[Called]),
    out: &mut dyn Write,
) -> Result<(), Failure> {
    writeln!(out, "# {}\n", escaped(&head.title))?;
    head.paragraphs.iter().try_for_each(|text| writeln!(out, "{}\n", escaped(text)))?;
    differences(correction, methods, Sides::Corrected, out)
}

/// Two people's records of one device.
pub(super) fn agreement(
    agreement: &Agreement,
    name: &str,
    methods: (&[Method], &[Called]),
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let shared = say::shared(agreement.values, agreement.same);
    writeln!(out, "# {}\n\n{}\n", say::two_records(&escaped(name)), escaped(&shared))?;
    for (method, fits) in methods.1.iter().zip(&agreement.compatible) {
        writeln!(out, "- {}", say::overlap(&escaped(&method.label.said()), *fits))?;
    }
    writeln!(out)?;
    differences(&agreement.differences, methods, Sides::OfTwo, out)
}

fn differences(
    correction: &Correction,
    (methods, labels): (&[Method], &[Called]),
    sides: Sides,
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let sheets = say::sheets(&correction.sheets);
    if !sheets.is_empty() {
        writeln!(out, "{}\n", escaped(&sheets))?;
    }
    writeln!(out, "| {} |\n|---|---|---|", say::columns(sides).join(" | "))?;
    for (i, method) in methods.iter().enumerate() {
        let title = format!("{}{}", verdict::method(&method.title, &method.edition), labels[i].label.which());
        let before = escaped(&labels[i].whole(&correction.before[i], 0));
        let after = escaped(&labels[i].whole(&correction.after[i], 1));
        writeln!(out, "| {} | {before} | {after} |", escaped(&title))?;
    }
    for (label, rows) in labels.iter().zip(&correction.moved).filter(|(_, rows)| !rows.is_empty()) {
        writeln!(out, "\n{}\n", say::moved_under(&escaped(&label.label.said())))?;
        for row in rows {
            writeln!(out, "- {}", escaped(&crate::commands::changes::row(row)))?;
        }
    }
    if correction.changes.is_empty() {
        writeln!(out, "\n{}", say::NO_VALUE_DIFFERS)?;
    } else {
        writeln!(out, "\n## {}", say::WHAT_DIFFERS)?;
    }
    if !correction.not_taken_over.is_empty() {
        writeln!(out, "\n{}", escaped(&say::not_taken_over(&correction.not_taken_over)))?;
    }
    if !correction.changes.is_empty() {
        writeln!(out)?;
    }
    let mut last = correction.before.clone();
    for (number, change) in correction.changes.iter().enumerate() {
        let places: Vec<&str> =
            [&change.old_place, &change.new_place].into_iter().filter_map(|p| p.as_deref()).collect();
        writeln!(out, "{}. {}", number + 1, escaped(&say::standing_at(&what(change), &places)))?;
        for effect in effects(change, labels, &mut last) {
            writeln!(out, "    - {}", escaped(&effect))?;
        }
    }
    writeln!(out, "\n{NOTICE}")?;
    Ok(())
}
