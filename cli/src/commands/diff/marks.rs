//! `unfasten diff --marks`: what changed between two tables of published sheets, figure by figure, and what the marks give now.

use std::collections::BTreeSet;

use report::json::VERSION;
use schemars::JsonSchema;
use scoring::assess::sheet::{self, Printed, Sheet};
use scoring::exact::Rounding;
use scoring::method::Method;
use scoring::text::diagnostic::in_file_order;
use scoring::text::{Sources, fold};
use serde::Serialize;

use super::super::marks::{method, sheets_of, short};
use crate::arguments::{Diff, NoteFormat};
use crate::failure::Failure;
use crate::problems::{self, Form, any_error};
use crate::terminal::markdown::escaped;
use crate::terminal::{hang, tame};
use crate::words::diff as say;
use crate::words::marks::NOTICE;
use crate::world::{WIDTH, World};

/// What changed between two tables of sheets.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Changes<'s> {
    /// Version of this document.
    unfasten: u32,
    /// Id of the method they are added up by.
    method: &'s str,
    /// Its edition.
    edition: &'s str,
    /// Sheets that stand in both and differ, in the order of the new table.
    changed: Vec<ChangedSheet>,
    /// Sheets that stand in both alike.
    same: usize,
    /// Sheets of the old table alone.
    only_old: Vec<String>,
    /// Sheets of the new table alone.
    only_new: Vec<String>,
}

/// A sheet that differs.
#[derive(Serialize, JsonSchema)]
struct ChangedSheet {
    /// Its name.
    sheet: String,
    /// Its product category, in the old table and in the new one.
    category: [String; 2],
    /// Figures printed that differ: marks, criteria, total, index.
    printed: Vec<Figure>,
    /// What the marks give where that differs: criteria, total, index; between bounds where a mark is not printed.
    from_marks: Vec<Figure>,
}

/// A figure that differs.
#[derive(Serialize, JsonSchema)]
struct Figure {
    /// The row of the sheet.
    row: String,
    /// In the old table; none where it has none.
    before: Option<String>,
    /// In the new table.
    after: Option<String>,
    /// `file:line:column` in the old table; none for what is worked out.
    before_place: Option<String>,
    /// The same in the new one.
    after_place: Option<String>,
}

pub(super) fn run(arguments: &Diff, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = method(&arguments.choice, form, world)?;
    let (mut sources, mut found) = (Sources::new(), Vec::new());
    let [old, new] =
        [&arguments.old, &arguments.new].map(|name| sheets_of(name, &chosen.method, &mut sources, &mut found, world));
    in_file_order(&mut found);
    if any_error(&found) {
        return Err(Failure::Problems(sources, found));
    }
    problems::show(form, world.err_styled, &sources, &found, world.err)?;
    let changes = compared(&old, &new, &chosen.method, &sources);
    match arguments.format {
        NoteFormat::Json => world.json(&changes)?,
        NoteFormat::Text => {
            let lines = told(&changes, "");
            for (margin, text) in lines {
                write!(world.out, "{}", hang(&margin, &tame(&text), WIDTH))?;
            }
        }
        NoteFormat::Md => {
            writeln!(world.out, "# {}", say::SHEETS)?;
            for (margin, text) in told(&changes, "- ") {
                // A list stands between blank lines.
                let around = if margin.is_empty() { "\n" } else { "" };
                writeln!(world.out, "{around}{margin}{}{around}", escaped(&tame(&text)))?;
            }
        }
    }
    Ok(())
}

fn compared<'m>(old: &[Sheet], new: &[Sheet], method: &'m Method, sources: &Sources) -> Changes<'m> {
    let of = |list: &[Sheet], one: &Sheet| list.iter().position(|s| fold(&s.name) == fold(&one.name));
    let (mut changed, mut same) = (Vec::new(), 0);
    for sheet in new {
        let Some(before) = of(old, sheet).map(|i| &old[i]) else { continue };
        let one = ChangedSheet {
            sheet: tame(&sheet.name),
            category: [before, sheet].map(|s| s.category.word().to_owned()),
            printed: printed([before, sheet], sources),
            from_marks: from_marks([before, sheet], method),
        };
        if one.printed.is_empty() && one.from_marks.is_empty() && one.category[0] == one.category[1] {
            same += 1;
        } else {
            changed.push(one);
        }
    }
    let only = |list: &[Sheet], other: &[Sheet]| -> Vec<String> {
        list.iter().filter(|s| of(other, s).is_none()).map(|s| tame(&s.name)).collect()
    };
    Changes {
        unfasten: VERSION,
        method: &method.id.value,
        edition: &method.edition,
        changed,
        same,
        only_old: only(old, new),
        only_new: only(new, old),
    }
}

/// Figures printed that differ, by value or by their decimals.
fn printed([old, new]: [&Sheet; 2], sources: &Sources) -> Vec<Figure> {
    let rows: BTreeSet<&String> = old.rows.keys().chain(new.rows.keys()).collect();
    let shown = |p: &Printed| p.value.display(p.decimals, Rounding::HalfUp);
    rows.into_iter()
        .filter_map(|row| {
            let [before, after] = [old.rows.get(row), new.rows.get(row)];
            (before.map(shown) != after.map(shown)).then(|| Figure {
                row: tame(row),
                before: before.map(shown),
                after: after.map(shown),
                before_place: before.map(|p| sources.place(p.span)),
                after_place: after.map(|p| sources.place(p.span)),
            })
        })
        .collect()
}

/// What the marks give, where that differs: also under a printed total that stays.
fn from_marks(pair: [&Sheet; 2], method: &Method) -> Vec<Figure> {
    let [old, new] = pair.map(|s| sheet::computed(s, method));
    let said = |row: &sheet::Computed| row.exact.as_ref().map_or_else(|| row.interval.words(), short);
    let find = |list: &[sheet::Computed], row: &str| list.iter().find(|r| r.row == row).map(said);
    let rows: Vec<&String> = new.iter().map(|r| &r.row).chain(old.iter().map(|r| &r.row)).collect();
    let mut out: Vec<Figure> = Vec::new();
    for row in rows {
        let (before, after) = (find(&old, row), find(&new, row));
        if before != after && !out.iter().any(|f| f.row == *row) {
            out.push(Figure { row: tame(row), before, after, before_place: None, after_place: None });
        }
    }
    out
}

/// The changes as lines: what stands before each, and what it says.
fn told(changes: &Changes<'_>, item: &str) -> Vec<(String, String)> {
    let mut out: Vec<(String, String)> = Vec::new();
    let margin = if item.is_empty() { "    ".to_owned() } else { item.to_owned() };
    for one in &changes.changed {
        out.push((String::new(), say::sheet(&one.sheet, one.category.each_ref().map(String::as_str))));
        for figure in &one.printed {
            let places: Vec<&str> =
                [&figure.before_place, &figure.after_place].into_iter().filter_map(|p| p.as_deref()).collect();
            out.push((margin.clone(), say::printed(&figure.row, &moved(figure), &places)));
        }
        for figure in &one.from_marks {
            out.push((margin.clone(), say::from_marks(&figure.row, &moved(figure))));
        }
    }
    for (old, names) in [(true, &changes.only_old), (false, &changes.only_new)] {
        if !names.is_empty() {
            out.push((String::new(), say::only_in(old, names)));
        }
    }
    out.push((String::new(), say::in_both(changes.changed.len(), changes.same)));
    out.push((String::new(), NOTICE.to_owned()));
    out
}

fn moved(figure: &Figure) -> String {
    say::change(figure.before.as_deref(), figure.after.as_deref())
}
