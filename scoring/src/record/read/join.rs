//! Support tables joined to a record: what the record leaves open is taken from them.

use super::names::Names;
use super::support;
use super::support_table::{SupportTable, gathered};
use super::words::Vocabulary;
use crate::record::joined::{Standing, fill_all, standing};
use crate::record::{Device, Facts, Part, Support};
use crate::text::fields::{Item, Reader, short};
use crate::text::{Diagnostic, Span, fold};

/// The record's support with what the tables say of its device.
pub(super) fn joined(
    mut own: Support,
    device: &Device,
    parts: &[Part],
    tables: &[SupportTable],
    (words, names): (&Vocabulary, &Names),
    reader: &mut Reader<'_>,
) -> Support {
    let mut rows = Vec::new();
    for table in tables {
        let speaking = table.rows_for(device);
        if !speaking.is_empty() {
            own.tables.push(table.file);
            rows.extend(speaking);
        }
    }
    if rows.is_empty() {
        return own;
    }
    let mut inner = Reader::new(reader.sources());
    let tree = gathered(&rows, &mut inner);
    let item = Item { node: &tree, key: None, path: "support".to_owned() };
    let table = support::support_of(&item, words, names, &mut inner);
    compare(&own, &table, parts, &mut inner);
    for problem in inner.finish() {
        reader.complain(problem.also(device.name.span, "the device it is joined to"));
    }
    fill_all(&mut own.facts, &table.facts);
    own.tabled = table.spares;
    own
}

fn differs(record: Span, table: Span, none: bool, reader: &mut Reader<'_>) {
    let sources = reader.sources();
    let said = |span: Span| short(sources.excerpt(span).trim_matches('"'));
    let message = if none {
        format!("the table promises `{}`, the record says there are no spare parts", said(table))
    } else {
        format!("the table says `{}`, the record `{}`", said(table), said(record))
    };
    reader.complain(
        Diagnostic::warning("support-differs", table, message)
            .also(record, "stated here")
            .because("The record's word counts; this one is not used.")
            .mend("correct the one that is wrong, or write `unknown` in the record"),
    );
}

fn all_held(record: &Facts, table: &Facts, reader: &mut Reader<'_>) {
    for (promise, said) in table.iter() {
        let own = &record[promise];
        if standing(own, said) == Standing::Differs {
            differs(own.span, said.span, false, reader);
        }
    }
}

/// Complains where the two contradict each other.
fn compare(own: &Support, table: &Support, parts: &[Part], reader: &mut Reader<'_>) {
    all_held(&own.facts, &table.facts, reader);
    for (key, said) in &table.spares {
        if own.no_spares && !said.refused() {
            differs(own.spares_span, said.key.span, true, reader);
            continue;
        }
        // The record's word on the same or on more; a word on less, such as one part of all, is no contradiction.
        let roles = parts.iter().filter(|p| fold(&p.name.value) == *key).flat_map(|p| &p.roles);
        let roles: Vec<String> = roles.map(|r| fold(&r.value.name)).collect();
        let over = [vec![key.clone()], roles, vec!["every part".to_owned()]].concat();
        let Some(own) = over.iter().find_map(|k| own.spares.get(k)) else { continue };
        all_held(&own.facts, &said.facts, reader);
    }
}
