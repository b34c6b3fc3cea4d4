//! `unfasten methods`: what ships, one method explained, method files checked.

use std::io::Write;

use scoring::method::{self, Paragraph, Row};

use crate::arguments::{Methods, MethodsAction};
use crate::failure::Failure;
use crate::job;
use crate::problems::{Form, any_error, counted, show_all};
use crate::terminal::{column, hang, tame};
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &Methods, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    match (&arguments.action, &arguments.method) {
        (Some(MethodsAction::Check { files, strict }), _) => check(files, *strict, form, world),
        (None, Some(name)) => {
            let chosen = job::method(name, form, world)?;
            for paragraph in method::aloud(&chosen.method) {
                said(&paragraph, world.out)?;
            }
            Ok(())
        }
        (None, None) => list(form, world),
    }
}

fn list(form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    for shipped in method::shipped() {
        let method = job::method(shipped.id, form, world)?.method;
        let lead = column(shipped.id, 18);
        write!(world.out, "{}", hang(&lead, &tame(&method.title), WIDTH))?;
        let categories: Vec<&str> = method.scope.categories.iter().map(|c| scoring::vocab::Words::word(*c)).collect();
        write!(world.out, "{}", hang(&" ".repeat(18), &format!("edition: {}", tame(&method.edition)), WIDTH))?;
        write!(world.out, "{}", hang(&" ".repeat(18), &format!("for: {}", categories.join(", ")), WIDTH))?;
    }
    let more = "`unfasten methods METHOD` explains one in full. A file of your own works wherever an id does; \
                `unfasten methods check FILE` lists its problems.";
    write!(world.out, "\n{}", hang("", more, WIDTH))?;
    Ok(())
}

fn check(files: &[String], strict: bool, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let mut all = Vec::new();
    for name in files {
        let (sources, found) = match job::method_text(name, world) {
            Ok(read) => (read.sources, read.problems),
            Err(Failure::Problems(sources, found)) => (sources, found),
            Err(other) => return Err(other),
        };
        all.push((sources, found));
    }
    show_all(form, world.out_styled, &all, world.out)?;
    if form == Form::Marked {
        for (name, (_, found)) in files.iter().zip(&all) {
            write!(world.out, "{}", hang("", &format!("{}: {}", tame(name), counted(found)), WIDTH))?;
        }
    }
    let bad = all.iter().any(|(_, found)| any_error(found) || strict && !found.is_empty());
    if bad { Err(Failure::Shown) } else { Ok(()) }
}

/// One paragraph of a method read aloud.
fn said(paragraph: &Paragraph, out: &mut dyn Write) -> Result<(), Failure> {
    let indent = "  ".repeat(paragraph.level.min(6));
    write!(out, "{}", hang(&indent, &tame(&paragraph.heading), WIDTH))?;
    let inner = format!("{indent}  ");
    if !paragraph.text.trim().is_empty() {
        write!(out, "{}", hang(&inner, &tame(&paragraph.text), WIDTH))?;
    }
    let widest =
        paragraph.rows.iter().map(|r| unicode_width::UnicodeWidthStr::width(r.what.as_str())).max().unwrap_or(0);
    for row in &paragraph.rows {
        let lead = format!("{inner}  {}  ", column(&tame(&row.what), widest.min(36)));
        write!(out, "{}", hang(&lead, &tame(&row_said(row)), WIDTH))?;
    }
    let mut origin = Vec::new();
    if let Some(certainty) = paragraph.certainty {
        origin.push(if paragraph.source.is_empty() { "own".to_owned() } else { paragraph.source.clone() });
        origin.extend((!paragraph.clause.is_empty()).then(|| paragraph.clause.clone()));
        // An own choice is said once.
        let own = certainty == scoring::vocab::Certainty::Own && origin[0].starts_with(certainty.phrase());
        origin.extend((!own).then(|| format!("certainty: {certainty}")));
    }
    origin.extend(paragraph.switch.as_ref().map(|s| format!("open reading: {s}")));
    if !origin.is_empty() {
        write!(out, "{}", hang(&format!("{inner}[ "), &format!("{} ]", tame(&origin.join("; "))), WIDTH))?;
    }
    writeln!(out)?;
    Ok(())
}

fn row_said(row: &Row) -> String {
    let mut text = row.value.clone();
    let beside: Vec<String> =
        [row.note.clone(), row.source.clone(), row.certainty.map(|c| c.to_string())].into_iter().flatten().collect();
    if !beside.is_empty() {
        text.push_str(&format!(" ({})", beside.join("; ")));
    }
    text
}
