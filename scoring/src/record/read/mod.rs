//! From a text to a record: every field read from its own place, every mistake kept.

mod actions;
mod after;
mod device;
mod facts;
mod hazards;
mod join;
mod loosen;
mod names;
mod parts;
mod sheet;
mod support;
mod support_table;
mod tools;
mod variant;
mod words;

pub(super) use hazards::imply;
pub use support_table::{Key, SupportTable, device_keys};
pub(crate) use variant::{made_from, observed, on_one_basis};
pub(super) use words::{millimetres, no_drive};

use super::entries::RecordFields;
use super::{OwnVerdict, Record, check, field_tables};
use crate::text::fields::{Item, Items, Reader, Unread, short};
use crate::text::yaml::{Tree, YamlKind, YamlNode};
use crate::text::{Diagnostic, FileId, Source, Sources, Span};
use crate::vocab::Category;

/// The format version this program reads.
pub const VERSION: &str = "1";
/// Entries of a list that are read.
const MOST: usize = 2_000;

/// What came of reading a record.
#[derive(Clone, Debug)]
pub struct Read {
    /// The record; `None` when anything is an error.
    pub record: Option<Record>,
    /// Everything worth saying, of reading and of [`check`](super::check()), in file order.
    pub diagnostics: Vec<Diagnostic>,
}

/// Reads and checks a record. A variant (`extends`) is an error here: its base can't be looked up; see [`read_with`].
///
/// Reading never panics and never stops at the first mistake; a text that is not YAML, or of another format version,
/// gives one error.
pub fn read(sources: &Sources, file: FileId) -> Read {
    let mut sources = sources.clone();
    read_with(&mut sources, file, &mut |_| Err("it is not at hand here".to_owned()))
}

/// Reads and checks a record that may be a variant of others, which `load` gets by path. Paths in `extends` are
/// relative to the file they stand in; `load` gets them joined to that file's name. Loaded texts are added to `sources`.
pub fn read_with(sources: &mut Sources, file: FileId, load: &mut dyn FnMut(&str) -> Result<Source, String>) -> Read {
    read_joined(sources, file, load, &[])
}

/// As [`read_with`], with what support tables say of the device where the record leaves it open. The tables' texts
/// stand in `sources` already.
pub fn read_joined(
    sources: &mut Sources,
    file: FileId,
    load: &mut dyn FnMut(&str) -> Result<Source, String>,
    tables: &[SupportTable],
) -> Read {
    read_beside(sources, file, load, tables, None)
}

/// As [`read_joined`], on a bench sheet whose text stands in `sources` already. It takes the place of the one the record
/// names.
pub fn read_beside(
    sources: &mut Sources,
    file: FileId,
    load: &mut dyn FnMut(&str) -> Result<Source, String>,
    tables: &[SupportTable],
    bench: Option<FileId>,
) -> Read {
    let mut problems = Vec::new();
    let merged = variant::merged(sources, file, load, &mut problems);
    let Some(merged) = merged else { return Read { record: None, diagnostics: problems } };
    let mut own = |sources: &mut Sources| match sheet_of(sources, &merged.root, load) {
        Ok(file) => file,
        Err(problem) => {
            problems.push(*problem);
            None
        }
    };
    let bench = bench.or_else(|| own(sources));
    let sheet = sheet_in(sources, bench, &mut problems);
    let mut reader = Reader::new(sources);
    for problem in problems {
        reader.complain(problem);
    }
    let mut read = finished(&merged.root, tables, sheet.as_ref(), reader);
    for problem in &mut read.diagnostics {
        of_a_variant(problem, &merged, sources);
    }
    if let Some(record) = &mut read.record {
        record.bases = merged.bases;
    }
    read
}

/// Adds to a complaint about a base's text which variant it is read for, and what that takes out.
fn of_a_variant(problem: &mut Diagnostic, merged: &variant::Merged, sources: &Sources) {
    if merged.bases.iter().all(|b| b.file != problem.at.span.file) {
        return;
    }
    let said = crate::text::fold(sources.excerpt(problem.at.span).trim_matches(['"', '\'']));
    let taken = merged.without.iter().find(|(id, _)| *id == said);
    let extends = merged.root.get("extends").map(|e| e.value.span);
    let label = match (taken, extends) {
        (Some((_, span)), _) => (*span, "taken out here"),
        (None, Some(span)) => (span, "read for the variant that starts from it"),
        (None, None) => return,
    };
    problem.also.push(crate::text::diagnostic::Label { span: label.0, text: label.1.to_owned() });
}

/// The tree of a record, variants merged into their bases; `None` when there is none to speak of.
pub fn tree(
    sources: &mut Sources,
    file: FileId,
    load: &mut dyn FnMut(&str) -> Result<Source, String>,
) -> (Option<YamlNode>, Vec<Diagnostic>) {
    let mut problems = Vec::new();
    let merged = variant::merged(sources, file, load, &mut problems);
    (merged.map(|m| m.root), problems)
}

/// Gets the bench sheet that the tree of a record names and adds its text to `sources`, for [`read_tree`] to find.
///
/// # Errors
/// `bench-missing` where it can't be had.
pub fn sheet_of(
    sources: &mut Sources,
    root: &YamlNode,
    load: &mut dyn FnMut(&str) -> Result<Source, String>,
) -> Result<Option<FileId>, Box<Diagnostic>> {
    let Some((path, span)) = sheet::named(root) else { return Ok(None) };
    variant::beside(sources, span, &path, load).map(Some).map_err(|reason| {
        Box::new(
            Diagnostic::error("bench-missing", span, format!("the bench sheet can't be read: {}", short(&path)))
                .because(format!("{reason}."))
                .mend("write the path of a bench sheet, relative to this file, or take the field out"),
        )
    })
}

/// The root of a bench sheet; what is wrong with it goes to `problems`.
fn sheet_in(sources: &Sources, bench: Option<FileId>, problems: &mut Vec<Diagnostic>) -> Option<(YamlNode, FileId)> {
    let file = bench?;
    match sheet::parsed(sources, file) {
        Ok(root) => Some((root, file)),
        Err(found) => {
            problems.extend(found);
            None
        }
    }
}

/// What records are read beside; its texts stand in the same [`Sources`].
#[derive(Clone, Copy, Debug, Default)]
pub struct Beside<'t> {
    /// Support tables.
    pub tables: &'t [SupportTable],
    /// A bench sheet, in place of those the records name.
    pub bench: Option<FileId>,
}

/// Reads and checks a record from its tree, which may be put together from several texts of `sources`. The bench sheet it
/// names counts if [`sheet_of`] brought it there.
pub fn read_tree(root: &YamlNode, sources: &Sources) -> Read {
    read_tree_beside(root, sources, Beside::default())
}

/// As [`read_tree`], joined to support tables and on a bench sheet.
pub fn read_tree_beside(root: &YamlNode, sources: &Sources, beside: Beside<'_>) -> Read {
    let own = || {
        let (path, span) = sheet::named(root)?;
        variant::at_hand(sources, span, &path)
    };
    let mut problems = Vec::new();
    let sheet = sheet_in(sources, beside.bench.or_else(own), &mut problems);
    let mut reader = Reader::new(sources);
    for problem in problems {
        reader.complain(problem);
    }
    finished(root, beside.tables, sheet.as_ref(), reader)
}

fn finished(
    root: &YamlNode,
    tables: &[SupportTable],
    sheet: Option<&(YamlNode, FileId)>,
    mut reader: Reader<'_>,
) -> Read {
    let record = build(root, tables, sheet, &mut reader);
    if let Some(record) = &record {
        for problem in check(record, reader.sources()) {
            reader.complain(problem);
        }
    }
    let diagnostics = reader.finish();
    let record = record.filter(|_| !names::any_error(&diagnostics));
    Read { record, diagnostics }
}

/// A list that no bench ever fills: what is compared each with each would hold the machine for long.
fn overlong(root: &YamlNode) -> Option<Diagnostic> {
    ["parts", "actions", "back"].into_iter().find_map(|field| {
        let entry = root.get(field)?;
        let count = match &entry.value.kind {
            YamlKind::Map(entries) => entries.len(),
            YamlKind::List(items) => items.len(),
            YamlKind::Scalar(_) => 0,
        };
        (count > MOST).then(|| {
            Diagnostic::error(
                "too-many-entries",
                entry.key_span,
                format!("`{field}` has {count} entries; {MOST} are read"),
            )
            .because("A large appliance taken down to its last part has a few hundred.")
            .mend("describe each sub-assembly in a record of its own, or check that this is the right file")
        })
    })
}

/// Parses one file and checks its version; complaints that end reading give `None`.
fn parsed(sources: &Sources, file: FileId, problems: &mut Vec<Diagnostic>) -> Option<YamlNode> {
    let tree = Tree::past_mistakes(sources.get(file), file).begun_by(crate::record::START);
    if tree.root.is_some() && !sources.get(file).is_quoted() {
        // Complaints about its fields would quote them.
        let start = crate::text::Span { file, start: 0, end: 0 };
        problems.push(
            Diagnostic::error("not-a-record", start, "nothing in this file says that it is a record")
                .because("A record is a mapping whose first field is `unfasten: 1`. Of another file nothing is shown.")
                .mend("name the record, or start this file from `unfasten: 1` and a `device:`"),
        );
        return None;
    }
    let cut_short = tree.diagnostics.iter().any(|d| matches!(d.code, "yaml-size" | "yaml-syntax"));
    problems.extend(tree.diagnostics);
    let root = tree.root?;
    let YamlKind::Map(_) = &root.kind else {
        // A text without end has been complained of, and one that is no YAML may be anything.
        if cut_short {
            return None;
        }
        let first = crate::text::Span { end: root.span.start, ..root.span };
        problems.push(
            Diagnostic::error("not-a-record", first, format!("this file is {}, not a record", root.shape()))
                .because("A record is a mapping whose first field is `unfasten: 1`.")
                .mend("start from `unfasten: 1` and `device: {name: ..., category: ...}`"),
        );
        return None;
    };
    if let Some(version) = root.get("unfasten")
        && version.value.text() != Some(VERSION)
    {
        let written = short(version.value.text().unwrap_or_default());
        let message = format!("this file is of format version `{written}`; this program reads {VERSION}");
        let place = if version.value.is_nothing() { version.key_span } else { version.value.span };
        problems.clear();
        problems.push(
            Diagnostic::error("other-version", place, message)
                .because("Fields may mean something else in another version.")
                .mend("write `unfasten: 1`, or use a program that reads that version"),
        );
        return None;
    }
    Some(root)
}

/// The top level of a record.
struct Root<'t> {
    fields: RecordFields,
    /// What of its fields is still to be read.
    items: Items<'t>,
    /// The place that names it, for what is missing.
    head: Span,
}

impl std::ops::Deref for Root<'_> {
    type Target = RecordFields;

    fn deref(&self) -> &RecordFields {
        &self.fields
    }
}

impl<'t> Root<'t> {
    fn get<T>(&self, field: &Option<Unread<T>>) -> Option<Item<'t>> {
        self.items.get(field)
    }
}

/// Builds as much of the record as can be read; `None` when its root is of no use.
fn build(
    root: &YamlNode,
    support_tables: &[SupportTable],
    sheet: Option<&(YamlNode, FileId)>,
    reader: &mut Reader<'_>,
) -> Option<Record> {
    if let Some(problem) = overlong(root) {
        reader.complain(problem);
        return None;
    }
    let span = root.span;
    let root = Item::root(root);
    let (fields, items) = root.typed(&field_tables::DESCRIBED, reader)?;
    let fields = Root { fields, items, head: root.head() };
    let category = device::category(&fields).unwrap_or(Category::OTHER);
    let mut words = words::Vocabulary::read(&fields, category, reader);
    let teardown = device::teardown(&fields, reader)?;
    let mut parts = parts::parts(&fields, &words, reader);
    let mut actions = actions::actions(&fields, false, &mut words, &teardown, reader);
    let mut back = actions::actions(&fields, true, &mut words, &teardown, reader);
    let names = names::Names::collect(&parts, &actions, reader);
    let ids = names::give_ids(&mut actions, reader);
    names.resolve_all(&mut actions, &ids, reader);
    let all: Vec<_> = actions.iter().chain(&back).cloned().collect();
    let back_names = names::Names::collect(&parts, &all, &mut Reader::new(reader.sources()));
    names.resolve_parts(&mut parts, reader);
    let back_ids = names::give_ids(&mut back, reader);
    back_names.resolve_all(&mut back, &back_ids, reader);
    let device = device::device(&fields, reader).or_else(|| device::nameless(&fields, category))?;
    let support = support::support(&fields, &words, &names, reader);
    let support = join::joined(support, &device, &parts, support_tables, (&words, &names), reader);
    let order = fields.order.as_ref().and_then(|o| fields.items.read(o, reader));
    hazards::imply(&mut actions, &parts, &words.used);
    hazards::imply(&mut back, &parts, &words.used);
    let bench = sheet.and_then(|(root, file)| sheet::applied(root, *file, [&actions, &back], &mut words, reader));
    Some(Record {
        bench,
        span,
        bases: Vec::new(),
        device,
        absent: parts::absent(&fields, &words, reader),
        as_logged: order.map(|o| o.span),
        official: names::official(&fields, &actions, &ids, reader),
        support,
        put_back: device::put_back(&fields, reader)?,
        marks: support::marks(&fields, reader),
        remarks: support::remarks(&fields, reader),
        corrections: support::corrections(&fields, reader),
        own_verdict: fields.fields.own_verdict.map(OwnVerdict::from),
        extends: fields.fields.extends,
        notes: fields.fields.notes,
        own_roles: words.roles,
        proposed: words.proposed,
        own_hazards: words.hazards,
        tools: words.used,
        teardown,
        parts,
        actions,
        back,
    })
}
