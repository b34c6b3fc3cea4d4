//! `with` and `usual`: operations and their tools.

use super::facts;
use super::words::Vocabulary;
use crate::record::forms::tools::{Operation, operation};
use crate::record::{Fact, Known, Loosened, ToolSet, ToolUse, Ways, Work, tables};
use crate::text::fields::{Fields, Item, Reader};
use crate::text::yaml::NodeKind;
use crate::text::{Diagnostic, fold};

/// `usual`: the items by folded fastener and drive.
pub(super) struct Usual<'t>(Vec<(String, Option<String>, Item<'t>)>);

impl<'t> Usual<'t> {
    /// Reads the keys; the tools are read where they are used, and once here so that a mistake is found anyway.
    pub(super) fn read(root: &Fields<'t>, words: &mut Vocabulary, reader: &mut Reader<'_>) -> Self {
        let entries = root.get("usual").and_then(|u| u.names("fasteners by name", reader)).unwrap_or_default();
        let mut out = Vec::new();
        for (name, item) in entries {
            operations(&item, words, reader);
            match words.fastener(&name.value) {
                Ok(found) => out.push((fold(&found.name), found.drive, item)),
                Err(bad) => {
                    let mut complaint = Diagnostic::error(bad.code, name.span, bad.message)
                        .because("`usual` names fasteners, each with the tool it usually takes.");
                    complaint.mend = bad.mend;
                    reader.complain(complaint);
                }
            }
        }
        Self(out)
    }

    /// The usual tools of a fastener: those of its drive before those of any.
    fn of(&self, fastener: &Loosened) -> Option<&Item<'t>> {
        let name = fold(&fastener.fastener);
        let named = |drive: &Option<String>| self.0.iter().find(|(n, d, _)| *n == name && d == drive).map(|(.., i)| i);
        named(&fastener.drive).or_else(|| named(&None))
    }
}

/// Operations of an action, and whether they come from `usual`.
pub(super) fn with(
    fields: &Fields<'_>,
    loosen: &[Loosened],
    words: &mut Vocabulary,
    usual: &Usual<'_>,
    reader: &mut Reader<'_>,
) -> (Vec<Work>, bool) {
    let unknown = || vec![Work { ways: Fact::missing(fields.head, fields.path_of("with")), single: false }];
    if let Some(item) = fields.get("with") {
        let read = operations(&item, words, reader);
        return (if read.is_empty() { unknown() } else { read }, false);
    }
    let mut out: Vec<Work> = Vec::new();
    for fastener in loosen {
        let Some(item) = usual.of(fastener) else { return (unknown(), false) };
        // Mistakes in it were reported when `usual` was read.
        let mut silent = Reader::new(reader.sources());
        for mut work in operations(item, words, &mut silent) {
            let same = |last: &Work| last.ways.known == work.ways.known && last.ways.span == work.ways.span;
            if out.last().is_some_and(same) {
                continue;
            }
            work.ways.stated = false;
            out.push(work);
        }
    }
    if out.is_empty() { (unknown(), false) } else { (out, true) }
}

/// One operation or a list of them.
fn operations(item: &Item<'_>, words: &mut Vocabulary, reader: &mut Reader<'_>) -> Vec<Work> {
    if let NodeKind::List(items) = &item.node.kind
        && items.is_empty()
    {
        let complaint = Diagnostic::error("wrong-value", item.span(), "the list of tools is empty")
            .because("No tool could mean bare hands, or that nobody wrote them down.")
            .mend("write `hands` for no tool, or `unknown`");
        reader.complain(complaint);
    }
    item.one_or_many().iter().filter_map(|i| one_operation(i, words, reader)).collect()
}

fn one_operation(item: &Item<'_>, words: &mut Vocabulary, reader: &mut Reader<'_>) -> Option<Work> {
    let mut fact = Fact::missing(item.span(), item.path.clone());
    fact.stated = true;
    let mut value = item.clone();
    if let NodeKind::Map(_) = item.node.kind {
        let fields = item.fields(&tables::FACT, reader)?;
        fact.basis = facts::basis(&fields, reader);
        fact.source = fields.text("source", reader).map(|s| s.value);
        value = fields.get("is")?;
        fact.span = value.span();
    }
    let text = value.node.text().unwrap_or_default().to_owned();
    match &*fold(&text) {
        "unknown" => return Some(Work { ways: fact, single: false }),
        "one unknown" => return Some(Work { ways: fact, single: true }),
        _ => {}
    }
    let read = value.parse("a tool such as `PH0`, or `hands`", operation, reader)?.value;
    fact.known = resolve(&value, &text, &read, words, reader)?;
    Some(Work { ways: fact, single: true })
}

/// Looks the tools up; all unknown ones are reported.
fn resolve(
    item: &Item<'_>,
    text: &str,
    read: &Operation,
    words: &mut Vocabulary,
    reader: &mut Reader<'_>,
) -> Option<Known<Ways>> {
    let mut alternatives: Vec<Ways> = Vec::new();
    let mut good = true;
    for alternative in read {
        let mut ways = Ways::new();
        for set in alternative {
            let mut tools: Vec<ToolUse> = Vec::new();
            for named in set {
                let span = item.part(named.name.clone(), reader);
                match words.tool(&text[named.name.clone()], span) {
                    Ok(tool) => tools.push(ToolUse { tool, celsius: named.celsius, minutes: named.minutes.clone() }),
                    Err(bad) => {
                        item.bad(bad.shifted(named.name.start), reader);
                        good = false;
                    }
                }
            }
            ways.push(ToolSet { tools });
        }
        alternatives.push(ways);
    }
    match (good, alternatives.len()) {
        (false, _) => None,
        (true, 1) => alternatives.pop().map(Known::Is),
        (true, _) => Some(Known::OneOf(alternatives)),
    }
}
