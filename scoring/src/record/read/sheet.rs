//! A bench sheet: place, skill, and the tools and kinds a bench takes for granted by fastener and drive.

use std::collections::BTreeMap;

use super::tools;
use super::words::Vocabulary;
use crate::record::bench::{Bench, SHEET, looked_up, open_kind, open_with};
use crate::record::entries::BenchFields;
use crate::record::{Action, Fact, Known, Loosened, ToolSet, ToolUse, Work, field_tables};
use crate::text::fields::{Item, Reader};
use crate::text::yaml::{Tree, YamlKind, YamlNode};
use crate::text::{Diagnostic, FileId, Sources, Span, Spanned, fold};
use crate::vocab::{Basis, Kind};

/// The version of bench sheets this program reads.
const VERSION: &str = "1";
/// Stands for the driver of the screw's own drive.
const FITS: &str = "the driver that fits";
/// Stands for an action that loosens nothing.
const NOTHING: &str = "nothing";

/// A fastener, or one with a drive, and what the sheet says of it.
type Entry<T> = (String, Option<String>, T);

enum Tools {
    /// The tool of the fastener's drive, where it states one.
    Fits(Span),
    Work(Vec<Work>),
}

/// The root of a sheet; complaints where it is none.
pub(super) fn parsed(sources: &Sources, file: FileId) -> Result<YamlNode, Vec<Diagnostic>> {
    let tree = Tree::parse(sources.get(file), file).begun_by(crate::record::bench::START);
    let Some(root) = tree.root.filter(|_| tree.diagnostics.is_empty()) else { return Err(tree.diagnostics) };
    let version = root.get("unfasten bench").map(|v| v.value.text().unwrap_or_default().trim().to_owned());
    match version.as_deref() {
        Some(VERSION) => Ok(root),
        _ => {
            let span =
                if root.span.start == root.span.end { root.span } else { Span { end: root.span.start, ..root.span } };
            let place = root.get("unfasten bench").map_or(span, |v| v.key_span);
            Err(vec![
                Diagnostic::error("not-a-bench-sheet", place, "this file is not a bench sheet of version 1")
                    .because("A bench sheet is a mapping whose first field is `unfasten bench: 1`.")
                    .mend("start from `unfasten bench: 1` and `name:`, or name another file"),
            ])
        }
    }
}

/// What a sheet says about the actions of a record. Tools it brings in are taken out of `words` again.
pub(super) fn applied(
    root: &YamlNode,
    file: FileId,
    [actions, back]: [&[Action]; 2],
    words: &mut Vocabulary,
    reader: &mut Reader<'_>,
) -> Option<Bench> {
    let before = words.used.len();
    let item = Item { node: root, key: None, path: SHEET.trim_end_matches('.').to_owned() };
    let (fields, items) = item.typed::<BenchFields>(&field_tables::DESCRIBED, reader)?;
    let name = fields.name.0.unwrap_or_default();
    let (mut place, mut skill) = (fields.place, fields.skill);
    place.iter_mut().for_each(|f| assume(f, &name));
    skill.iter_mut().for_each(|f| assume(f, &name));
    let mut with: Vec<Entry<Tools>> = Vec::new();
    for (key, item) in items.get(&fields.tools).and_then(|t| t.names("fasteners by name", reader)).unwrap_or_default() {
        let fits = item.node.text().is_some_and(|t| fold(t) == FITS);
        let said = if fits { Tools::Fits(item.span()) } else { Tools::Work(tools::operations(&item, words, reader)) };
        if fold(&key.value) == NOTHING {
            with.push((NOTHING.to_owned(), None, said));
        } else if let Some((fastener, drive)) = fastener(&key, words, reader) {
            with.push((fastener, drive, said));
        }
    }
    let mut kinds: Vec<Entry<Fact<Kind>>> = Vec::new();
    for (key, item) in items.get(&fields.kinds).and_then(|t| t.names("fasteners by name", reader)).unwrap_or_default() {
        let read = item.typed::<Fact<Kind>>(&field_tables::DESCRIBED, reader).map(|(kind, _)| kind);
        if let (Some((fastener, drive)), Some(mut kind)) = (fastener(&key, words, reader), read) {
            assume(&mut kind, &name);
            kinds.push((fastener, drive, kind));
        }
    }
    let mut out = Bench {
        name,
        file,
        tools: Vec::new(),
        place,
        skill,
        with: BTreeMap::new(),
        without: None,
        kinds: BTreeMap::new(),
    };
    for (back, list) in [(false, actions), (true, back)] {
        for (at, action) in list.iter().enumerate() {
            if open_with(&action.with)
                && let Some(work) = work_of(&action.loosen, &with, &out.name, words)
            {
                out.with.insert((back, at), work);
            }
            for (slot, loosened) in action.loosen.iter().enumerate().filter(|(_, l)| open_kind(&l.kind.known)) {
                if let Some(kind) = of(loosened, &kinds) {
                    out.kinds.insert((back, at, slot), kind.clone());
                }
            }
        }
    }
    out.tools = words.used.split_off(before);
    Some(out)
}

fn assume<T>(fact: &mut Fact<T>, sheet: &str) {
    (fact.basis, fact.source) = (Some(Basis::Assumed), Some(sheet.to_owned()));
}

/// The fastener and drive a key names.
fn fastener(key: &Spanned<String>, words: &Vocabulary, reader: &mut Reader<'_>) -> Option<(String, Option<String>)> {
    match words.fastener(&key.value) {
        Ok(found) => Some((fold(&found.name), found.drive)),
        Err(bad) => {
            let mut complaint = Diagnostic::error(bad.code, key.span, bad.message)
                .because("A bench sheet goes by fasteners, with their drive where it matters.");
            complaint.mend = bad.mend;
            reader.complain(complaint);
            None
        }
    }
}

/// What is said of a fastener: that of its drive before that of any.
fn of<'s, T>(loosened: &Loosened, said: &'s [Entry<T>]) -> Option<&'s T> {
    let name = fold(&loosened.fastener);
    let find =
        |drive: Option<&String>| said.iter().find(|(n, d, _)| *n == name && d.as_ref() == drive).map(|(.., t)| t);
    loosened.drive.as_ref().and_then(|d| find(Some(d))).or_else(|| find(None))
}

/// The tools of an action whose fasteners the sheet speaks of, all of them; `None` where it leaves one out.
fn work_of(loosen: &[Loosened], with: &[Entry<Tools>], sheet: &str, words: &mut Vocabulary) -> Option<Vec<Work>> {
    if !looked_up(loosen) {
        return None;
    }
    let mut out: Vec<Work> = Vec::new();
    let mut push = |mut work: Work| {
        assume(&mut work.ways, sheet);
        if out.last().is_none_or(|last| last.ways.known != work.ways.known) {
            out.push(work);
        }
    };
    if loosen.is_empty() {
        let (.., Tools::Work(said)) = with.iter().find(|(n, ..)| n == NOTHING)? else { return None };
        said.iter().cloned().for_each(&mut push);
    }
    for loosened in loosen {
        match of(loosened, with)? {
            Tools::Work(said) => said.iter().cloned().for_each(&mut push),
            Tools::Fits(span) => {
                let tool = crate::vocab::drive::drive(loosened.drive.as_deref()?)?.tool();
                let tool = words.tool(&tool, *span).ok()?;
                let used = ToolSet { tools: vec![ToolUse { tool, celsius: None, minutes: None }] };
                let known = Known::Is(vec![used]);
                let ways =
                    Fact { stated: true, ..Fact::implied(known, *span, format!("{SHEET}tools.{}", loosened.fastener)) };
                push(Work { ways, single: true });
            }
        }
    }
    Some(out).filter(|work| !work.is_empty())
}

/// Whether a node is a mapping that names a sheet: the path, and where it stands.
pub(super) fn named(root: &YamlNode) -> Option<(String, Span)> {
    let entry = root.get("bench")?;
    match &entry.value.kind {
        YamlKind::Scalar(text) if !text.text.trim().is_empty() => Some((text.text.trim().to_owned(), entry.value.span)),
        _ => None,
    }
}
