//! `with`: operations and their tools.

use super::words::Vocabulary;
use crate::record::entries::FactFields;
use crate::record::field_tables::DESCRIBED;
use crate::record::forms::tools::{Operation, operation};
use crate::record::{Fact, Known, ToolSet, ToolUse, Ways, Work};
use crate::text::fields::{Item, Reader};
use crate::text::yaml::YamlKind;
use crate::text::{Diagnostic, fold};

/// The work of an action, in order.
pub(super) fn with(
    item: Option<Item<'_>>,
    action: &Item<'_>,
    words: &mut Vocabulary,
    reader: &mut Reader<'_>,
) -> Vec<Work> {
    let read = item.map(|item| operations(&item, words, reader)).unwrap_or_default();
    if read.is_empty() {
        return vec![Work { ways: Fact::missing(action.head(), format!("{}.with", action.path)), single: false }];
    }
    read
}

/// One operation or a list of them.
pub(super) fn operations(item: &Item<'_>, words: &mut Vocabulary, reader: &mut Reader<'_>) -> Vec<Work> {
    if let YamlKind::List(items) = &item.node.kind
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
    if let YamlKind::Map(_) = item.node.kind {
        let (fields, items) = item.typed::<FactFields>(&DESCRIBED, reader)?;
        (fact.basis, fact.source) = (fields.basis, fields.source);
        value = items.get(&fields.is.0)?;
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
