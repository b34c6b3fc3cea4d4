//! What was corrected since an earlier record of one device, for reports that say so.

use std::path::Path;

use report::correction::{Of, Since, note};
use scoring::compare::Correction;
use scoring::compare::diff::places;
use scoring::method::Method;
use scoring::range::{Effort, binding};
use scoring::record;

use super::diff::{Label, labels, one_device, tree};
use crate::arguments::{Choice, VerdictOf};
use crate::failure::Failure;
use crate::job::{self, Chosen};
use crate::support::Tables;
use crate::words;
use crate::world::World;

/// The correction note of a record held against an older one, by the methods of its report. Both are read beside the same
/// tables and on the same bench sheet, where one is named for the run.
pub(super) fn since(
    [old, new]: [&str; 2],
    (choice, chosen): (&Choice, &[Chosen]),
    tables: &Tables,
    world: &mut World<'_>,
) -> Result<Since, Failure> {
    if new == "-" || old == "-" {
        return Err(Failure::said(words::report::BEFORE_OF_INPUT));
    }
    let mut sources = tables.sources().clone();
    let beside = tables.beside();
    let trees = [tree(old, &mut sources, beside, world)?, tree(new, &mut sources, beside, world)?];
    let [before, record] = trees.each_ref().map(|root| record::read_tree_beside(root, &sources, beside).record);
    let (Some(before), Some(record)) = (before, record) else {
        return Err(Failure::Failed(words::plain::READ_TWICE.to_owned()));
    };
    one_device([&before, &record], places(&trees[0], &trees[1]))?;
    let fitting = job::fitting(&record, choice, chosen)?;
    let verdicts: Vec<(VerdictOf, Method)> = fitting.iter().flat_map(|c| c.both()).collect();
    let methods: Vec<Method> = verdicts.iter().map(|(_, m)| m.clone()).collect();
    let mut correction = Correction::beside(&sources, beside, [&trees[0], &trees[1]], &methods, Effort::default())
        .map_err(|e| Failure::wrong(e.to_string(), words::plain::SEE_CHECK_ABOUT))?;
    // What is published does not tell how folders are laid out here.
    for change in &mut correction.changes {
        for place in [&mut change.old_place, &mut change.new_place].into_iter().flatten() {
            *place = file_name(place);
        }
    }
    let which: Vec<String> = labels(&verdicts).iter().map(Label::which).collect();
    let of: Vec<Of<'_>> = methods
        .iter()
        .zip(&which)
        .map(|(method, which)| Of { method, which, standing: [binding(method, &before), binding(method, &record)] })
        .collect();
    let note = note(&before, &record, &correction, &of);
    let texts = std::iter::once(before.span.file).chain(before.bases.iter().map(|b| b.file));
    Ok(Since::new(note, &file_name(old), texts.map(|id| &*sources.get(id).text)))
}

fn file_name(path: &str) -> String {
    Path::new(path).file_name().map_or_else(|| path.to_owned(), |n| n.to_string_lossy().into_owned())
}
