//! `unfasten methods`: what ships, one method explained, method files checked.

use std::io::Write;

use scoring::method::{self, AloudRow, Paragraph};

use crate::arguments::{Methods, MethodsAction};
use crate::failure::Failure;
use crate::job;
use crate::problems::{Form, any_error, counted, show_all};
use crate::terminal::{column, hang, tame};
use crate::words::methods as say;
use crate::world::{WIDTH, World};

/// Columns of the words explained below a method.
const WORD: usize = 17;

pub(crate) fn run(arguments: &Methods, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    match (&arguments.action, &arguments.method) {
        (Some(MethodsAction::Check { files, strict }), _) => check(files, *strict, form, world),
        (None, Some(name)) => {
            let chosen = job::method(name, form, world)?;
            for paragraph in method::aloud(&chosen.method) {
                said(&paragraph, name, world.out)?;
            }
            for (word, meaning) in say::WORDS {
                write!(world.out, "{}", hang(&format!("{}  ", column(word, WORD)), meaning, WIDTH))?;
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
        let categories: Vec<&str> = method.scope.categories.iter().map(scoring::vocab::Category::word).collect();
        write!(world.out, "{}", hang(&" ".repeat(18), &say::edition(&tame(&method.edition)), WIDTH))?;
        write!(world.out, "{}", hang(&" ".repeat(18), &say::for_categories(&categories), WIDTH))?;
    }
    write!(world.out, "\n{}", hang("", say::MORE, WIDTH))?;
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

/// One paragraph of a method read aloud; `method` is how it was named.
fn said(paragraph: &Paragraph, method: &str, out: &mut dyn Write) -> Result<(), Failure> {
    let indent = "  ".repeat(paragraph.level.min(6));
    let switch = paragraph.id.strip_prefix("switch ");
    // Criteria and switches are named by their ids elsewhere: in `--reading`, in `change:` of a method.
    let heading = match (switch, paragraph.level) {
        (Some(id), _) => say::switch(&paragraph.heading, id),
        (None, 0) => paragraph.heading.clone(),
        (None, _) if scoring::text::fold(&paragraph.heading) == scoring::text::fold(&paragraph.id) => {
            paragraph.heading.clone()
        }
        (None, _) => say::with_id(&paragraph.heading, &paragraph.id),
    };
    write!(out, "{}", hang(&indent, &tame(&heading), WIDTH))?;
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
    if let (Some(id), Some(other)) = (switch, paragraph.rows.iter().find(|r| r.note.is_none())) {
        let how = say::otherwise(method, id, &other.what);
        write!(out, "{}", hang(&inner, &tame(&how), WIDTH))?;
    }
    let mut origin = Vec::new();
    if let Some(certainty) = paragraph.certainty {
        origin.push(if paragraph.source.is_empty() { say::OWN.to_owned() } else { paragraph.source.clone() });
        origin.extend((!paragraph.clause.is_empty()).then(|| paragraph.clause.clone()));
        // An own choice is said once.
        let own = certainty == scoring::vocab::Certainty::Own && origin[0].starts_with(certainty.phrase());
        origin.extend((!own).then(|| say::certainty(certainty)));
    }
    origin.extend(paragraph.switch.as_ref().map(|s| say::open_reading(s)));
    if !origin.is_empty() {
        write!(out, "{}", hang(&format!("{inner}[ "), &format!("{} ]", tame(&origin.join("; "))), WIDTH))?;
    }
    writeln!(out)?;
    Ok(())
}

fn row_said(row: &AloudRow) -> String {
    let beside: Vec<String> =
        [row.note.clone(), row.source.clone(), row.certainty.map(|c| c.to_string())].into_iter().flatten().collect();
    say::with_notes(&row.value, &beside)
}
