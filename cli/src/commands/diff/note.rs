//! The differences as Markdown, ready to be published as a correction note.

use std::io::Write;

use report::comparison::NOTICE;
use report::correction::Note;
use scoring::compare::{Agreement, Correction};
use scoring::method::Method;

use super::{Called, effects, overlap, shared, sheets, what, whole};
use crate::failure::Failure;
use crate::terminal::markdown::escaped;

/// A correction of one device's verdicts.
pub(super) fn correction(
    correction: &Correction,
    head: &Note,
    methods: (&[Method], &[Called]),
    out: &mut dyn Write,
) -> Result<(), Failure> {
    writeln!(out, "# {}\n", escaped(&head.title))?;
    head.paragraphs.iter().try_for_each(|text| writeln!(out, "{}\n", escaped(text)))?;
    differences(correction, methods, ["was", "is now"], out)
}

/// Two people's records of one device.
pub(super) fn agreement(
    agreement: &Agreement,
    name: &str,
    methods: (&[Method], &[Called]),
    out: &mut dyn Write,
) -> Result<(), Failure> {
    writeln!(out, "# Two records of one device: {}\n\n{}\n", escaped(name), escaped(&shared(agreement)))?;
    for (method, fits) in methods.1.iter().zip(&agreement.compatible) {
        writeln!(out, "- {}: {}", escaped(&method.label), overlap(*fits))?;
    }
    writeln!(out)?;
    differences(&agreement.differences, methods, ["first record", "second record"], out)
}

fn differences(
    correction: &Correction,
    (methods, labels): (&[Method], &[Called]),
    [was, now]: [&str; 2],
    out: &mut dyn Write,
) -> Result<(), Failure> {
    let sheets = sheets(correction);
    if !sheets.is_empty() {
        writeln!(out, "{}\n", escaped(&sheets))?;
    }
    writeln!(out, "| method | {was} | {now} |\n|---|---|---|")?;
    for (i, method) in methods.iter().enumerate() {
        let of = labels[i].label.strip_prefix(&*method.id.value).unwrap_or_default();
        let title = format!("{} ({}){of}", method.title, method.edition);
        let before = escaped(&whole(&correction.before[i], labels[i].standing[0]));
        let after = escaped(&whole(&correction.after[i], labels[i].standing[1]));
        writeln!(out, "| {} | {before} | {after} |", escaped(&title))?;
    }
    for (label, rows) in labels.iter().zip(&correction.moved).filter(|(_, rows)| !rows.is_empty()) {
        writeln!(out, "\nWhat moved under {}:\n", escaped(&label.label))?;
        for row in rows {
            writeln!(out, "- {}", escaped(&crate::commands::changes::row(row)))?;
        }
    }
    if correction.changes.is_empty() {
        writeln!(out, "\nNo value differs.")?;
    } else {
        writeln!(out, "\n## What differs\n")?;
    }
    let mut last = correction.before.clone();
    for (number, change) in correction.changes.iter().enumerate() {
        let places: Vec<&str> =
            [&change.old_place, &change.new_place].into_iter().filter_map(|p| p.as_deref()).collect();
        let places = if places.is_empty() { String::new() } else { format!(" ({})", places.join(", now ")) };
        writeln!(out, "{}. {}", number + 1, escaped(&format!("{}{places}", what(change))))?;
        for effect in effects(change, labels, &mut last) {
            writeln!(out, "    - {}", escaped(&effect))?;
        }
    }
    writeln!(out, "\n{NOTICE}")?;
    Ok(())
}
