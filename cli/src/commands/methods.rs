//! `unfasten methods`: what ships, one method explained, method files checked.

use std::io::Write;

use scoring::method::{self, AloudRow, Paragraph};

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
                said(&paragraph, name, world.out)?;
            }
            for (word, meaning) in WORDS {
                write!(world.out, "{}", hang(&format!("{word}  "), meaning, WIDTH))?;
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

/// Words a method can't do without, for who meets them here first.
const WORDS: [(&str, &str); 7] = [
    ("steps            ", "what the rule above counts while a part is taken out, from the closed device"),
    (
        "reference route  ",
        "of all ways to a part in the record, the one that damages nothing and counts the fewest steps; all that is \
         measured of the part is read on it",
    ),
    ("at the part      ", "only the action that frees the part, with what that action needs"),
    (
        "fasteners        ",
        "reusable: can be used again; resupplied: new ones come with the new part; removable: comes off without harm \
         to the device, but is spent; neither: none of these",
    ),
    (
        "tools            ",
        "basic: on the list of the law (unfasten about tools shows it); commercially available: anybody can buy it; \
         proprietary: only the maker has it",
    ),
    (
        "certainty        ",
        "read: read in the source itself; secondary: in a text that restates it; memory: recalled, not verified; own: \
         a choice of whoever wrote the method; derived: follows from other numbers",
    ),
    (
        "points           ",
        "the number right of a value, on the scale of the method; what stands in brackets is said of that number alone",
    ),
];

/// One paragraph of a method read aloud; `method` is how it was named.
fn said(paragraph: &Paragraph, method: &str, out: &mut dyn Write) -> Result<(), Failure> {
    let indent = "  ".repeat(paragraph.level.min(6));
    let switch = paragraph.id.strip_prefix("switch ");
    // Criteria and switches are named by their ids elsewhere: in `--reading`, in `change:` of a method.
    let heading = match (switch, paragraph.level) {
        (Some(id), _) => format!("{}: {id}", paragraph.heading),
        (None, 0) => paragraph.heading.clone(),
        (None, _) if scoring::text::fold(&paragraph.heading) == scoring::text::fold(&paragraph.id) => {
            paragraph.heading.clone()
        }
        (None, _) => format!("{} (id: {})", paragraph.heading, paragraph.id),
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
        let how = format!("Taken otherwise by: --method {method} --reading {id}={}", other.what);
        write!(out, "{}", hang(&inner, &tame(&how), WIDTH))?;
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

fn row_said(row: &AloudRow) -> String {
    let mut text = row.value.clone();
    let beside: Vec<String> =
        [row.note.clone(), row.source.clone(), row.certainty.map(|c| c.to_string())].into_iter().flatten().collect();
    if !beside.is_empty() {
        text.push_str(&format!(" ({})", beside.join("; ")));
    }
    text
}
