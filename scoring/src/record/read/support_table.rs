//! Support tables: promises kept as comma-separated values, one line a device and part, joined by maker and model.

use std::collections::{BTreeMap, BTreeSet};

use super::support;
use crate::record::{Device, field_tables};
use crate::text::csv::{self, odd_width, other_separator};
use crate::text::fields::{Reader, short};
use crate::text::limits::MOST_LINES;
use crate::text::yaml::{Scalar, YamlEntry, YamlKind, YamlNode};
use crate::text::{Diagnostic, FileId, Sources, Span, Spanned, fold, near};

/// Devices of a table that match no record, shown one by one; the rest is counted.
const SHOWN: usize = 10;

/// Maker and name or model of a device, folded: what a line of a table is joined by.
pub type Key = (String, String);

/// A support table as read; its positions point into the sources it was read from.
#[derive(Clone, Debug)]
pub struct SupportTable {
    /// Its text.
    pub file: FileId,
    rows: Vec<SupportRow>,
    devices: BTreeMap<Key, Vec<usize>>,
}

/// One line.
#[derive(Clone, Debug)]
pub(super) struct SupportRow {
    maker: Spanned<String>,
    model: Spanned<String>,
    /// Part, role or `every part`; `None`: it speaks of the whole device.
    part: Option<Spanned<String>>,
    /// Column, where it is named, and the cell.
    facts: Vec<(&'static str, Span, Spanned<String>)>,
    basis: Option<Spanned<String>>,
    source: Option<Spanned<String>>,
    span: Span,
}

/// The keys a record's device answers to: its maker with its name, and with its model where it states one. Lines of a
/// table say either. A device without a maker answers to none.
pub fn device_keys(device: &Device) -> Vec<Key> {
    let Some(maker) = &device.maker else { return Vec::new() };
    let names = [Some(&device.name), device.model.as_ref()].into_iter().flatten();
    let mut out: Vec<Key> = names.map(|n| (fold(&maker.value), fold(&n.value))).collect();
    out.dedup();
    out
}

impl SupportTable {
    /// Reads a table and checks every value in it; it can be used when nothing found is an error. All mistakes are
    /// given, in file order.
    pub fn read(sources: &Sources, file: FileId) -> (Self, Vec<Diagnostic>) {
        let mut reader = Reader::new(sources);
        let mut out = Self { file, rows: Vec::new(), devices: BTreeMap::new() };
        let (rows, found) = csv::rows(sources.get(file), file);
        for problem in found {
            reader.complain(problem);
        }
        if let Some((head, rows)) = rows.split_first()
            && let Some(columns) = columns(head, &mut reader)
        {
            let mut lost = Vec::new();
            for row in rows {
                // Under which columns its cells stand is not known, so nothing else is said of it.
                if let Some(problem) = odd_width(row, columns.len()) {
                    reader.complain(problem);
                    continue;
                }
                match row_of(row, &columns, &mut reader) {
                    (true, row) => out.rows.push(row),
                    (false, row) => lost.push(row),
                }
            }
            // Whose promises these are was not said; what is promised is checked all the same.
            for row in &lost {
                support::values(&gathered(&[row], &mut reader), &mut reader);
            }
        } else if rows.is_empty() && !reader.failed() {
            let start = Span { file, ..Span::default() };
            reader.complain(
                Diagnostic::error("missing-field", start, "the table has no head")
                    .because("Without the names of its columns nothing in it can be read.")
                    .mend("start it with a line such as `maker,model,part,to,years,price,source`"),
            );
        }
        for (i, row) in out.rows.iter().enumerate() {
            let lines = out.devices.entry((fold(&row.maker.value), fold(&row.model.value))).or_default();
            if lines.len() == MOST_LINES {
                reader.complain(overlong(row));
            }
            lines.push(i);
        }
        out.devices.values_mut().for_each(|lines| lines.truncate(MOST_LINES));
        for rows in out.devices.values() {
            // Values are checked here once, so that a line no record matches is checked too.
            let rows: Vec<&SupportRow> = rows.iter().map(|&i| &out.rows[i]).collect();
            support::values(&gathered(&rows, &mut reader), &mut reader);
        }
        let mut found = reader.finish();
        // A basis is read once for each fact of its line.
        found.dedup();
        (out, found)
    }

    /// The lines that speak of a device, in file order.
    pub(super) fn rows_for(&self, device: &Device) -> Vec<&SupportRow> {
        let mut rows: Vec<usize> =
            device_keys(device).iter().filter_map(|k| self.devices.get(k)).flatten().copied().collect();
        rows.sort_unstable();
        rows.iter().map(|&i| &self.rows[i]).collect()
    }

    /// Warnings about devices of the table that no record of a run is of. `seen` holds the keys of all records of the
    /// run (see [`device_keys`]).
    pub fn unmatched(&self, seen: &BTreeSet<Key>) -> Vec<Diagnostic> {
        let mut lost: Vec<(&Key, &Vec<usize>)> = self.devices.iter().filter(|(k, _)| !seen.contains(*k)).collect();
        lost.sort_by_key(|(_, rows)| rows[0]);
        let mut out = Vec::new();
        for (key, rows) in lost.iter().take(SHOWN) {
            let row = &self.rows[rows[0]];
            let lines = if rows.len() == 1 { "a line".to_owned() } else { format!("{} lines", rows.len()) };
            let device = short(&format!("{} {}", row.maker.value, row.model.value));
            let of_maker = seen.iter().filter(|(maker, _)| *maker == key.0).map(|(_, name)| &**name);
            let mend = match (near(&key.1, of_maker), near(&key.0, seen.iter().map(|(maker, _)| &**maker))) {
                (Some(name), _) => format!("did you mean `{name}`?"),
                (None, Some(maker)) if maker != key.0 => format!("did you mean the maker `{maker}`?"),
                _ => "write maker and model, or maker and name, as the record has them; or name the record too"
                    .to_owned(),
            };
            let span = Span { end: row.model.span.end.max(row.maker.span.start), ..row.maker.span };
            let span = if row.model.span.start > row.maker.span.start { span } else { row.model.span };
            out.push(
                Diagnostic::warning("support-unmatched", span, format!("{lines} on `{device}`, which no record is of"))
                    .because("What stands there was not used.")
                    .mend(mend),
            );
        }
        if let Some((_, rows)) = lost.get(SHOWN) {
            let row = &self.rows[rows[0]];
            let message = format!("{} more devices in this table match no record", lost.len() - SHOWN);
            out.push(
                Diagnostic::warning("support-unmatched", row.maker.span, message)
                    .because("What stands there was not used.")
                    .mend("nothing, if the table is of more devices than this run"),
            );
        }
        out
    }
}

/// A line too much about one device.
fn overlong(row: &SupportRow) -> Diagnostic {
    let device = short(&format!("{} {}", row.maker.value, row.model.value));
    Diagnostic::error("too-many-entries", row.span, format!("more than {MOST_LINES} lines on `{device}`"))
        .because("A device has a few facts for each of its parts.")
        .mend("check that maker and model stand in their columns, and that this is the right file")
}

/// Which field each column is; `None` when the lines below can't be read. A misspelt column is read as the one meant.
fn columns(head: &csv::CsvRow, reader: &mut Reader<'_>) -> Option<Vec<(Option<&'static str>, Span)>> {
    if let Some(problem) = other_separator(head) {
        reader.complain(problem);
        return None;
    }
    let table = &field_tables::SUPPORT_TABLE;
    let mut out: Vec<(Option<&'static str>, Span)> = Vec::new();
    for cell in &head.cells {
        let mut field = table.field(&cell.value).map(|f| f.name);
        let known: Vec<_> = table.names().collect();
        if field.is_none() {
            let mend = match near(&cell.value, known.iter().copied()) {
                Some(name) => {
                    let stands = head.cells.iter().any(|c| table.field(&c.value).is_some_and(|f| f.name == name));
                    let free = !stands && out.iter().all(|(f, _)| *f != Some(name));
                    field = Some(name).filter(|_| free);
                    format!("did you mean `{name}`?")
                }
                None => format!("columns here: {}", known.join(", ")),
            };
            let message = format!("`{}` is not a column of {}", short(&cell.value), table.name);
            reader.complain(
                Diagnostic::error("unknown-field", cell.span, message).because("It would have no effect.").mend(mend),
            );
        } else if let Some((_, first)) = out.iter().find(|(f, _)| *f == field) {
            reader.complain(
                Diagnostic::error(
                    "duplicate-field",
                    cell.span,
                    format!("the column `{}` stands twice", short(&cell.value)),
                )
                .also(*first, "first here")
                .because("Only one of the two could count.")
                .mend("delete one of the two"),
            );
        }
        out.push((field, cell.span));
    }
    for field in table.fields.iter().filter(|f| f.required && out.iter().all(|(c, _)| *c != Some(f.name))) {
        reader.complain(
            Diagnostic::error("missing-field", head.span, format!("the column `{}` is missing", field.name))
                .because(field.doc)
                .mend(format!("add the column `{}`", field.name)),
        );
    }
    Some(out)
}

/// One line, and whether it says whose it is.
fn row_of(row: &csv::CsvRow, columns: &[(Option<&'static str>, Span)], reader: &mut Reader<'_>) -> (bool, SupportRow) {
    let column = |name: &str| columns.iter().position(|(c, _)| *c == Some(name));
    let named = |name: &str| row.cells.get(column(name)?).filter(|c| !c.value.is_empty()).cloned();
    let mut whose = true;
    let mut needed = |name: &str| {
        let found = named(name);
        whose &= found.is_some();
        // That the whole column is missing is said once, at the head.
        if found.is_none() && column(name).is_some() {
            reader.complain(
                Diagnostic::error("empty-value", row.span, format!("this line has no {name}"))
                    .because("Lines are joined to records by maker and model.")
                    .mend(format!("write the {name} as the record has it")),
            );
        }
        found.unwrap_or_else(|| Spanned::new(String::new(), row.span))
    };
    let (maker, model) = (needed("maker"), needed("model"));
    let part = named("part");
    let mut facts = Vec::new();
    for ((column, head), cell) in columns.iter().zip(&row.cells) {
        let Some(column) = *column else { continue };
        let of_part = field_tables::SPARE.field(column).is_some();
        let other = matches!(column, "maker" | "model" | "part" | "basis" | "source" | "note");
        if other || cell.value.is_empty() {
            continue;
        }
        match (&part, of_part) {
            (Some(part), false) => reader.complain(
                Diagnostic::error("unknown-field", cell.span, format!("`{column}` is no fact of a spare part"))
                    .also(part.span, "the line is about this part")
                    .because("It is promised for the whole device.")
                    .mend("put it on a line of its own, whose `part` is empty"),
            ),
            (None, true) => reader.complain(
                Diagnostic::error("missing-field", cell.span, format!("`{column}` of which part?"))
                    .because("It is promised for a spare part, and this line names none.")
                    .mend("name a part or a role under `part`, or write `every part`"),
            ),
            _ => facts.push((column, *head, cell.clone())),
        }
    }
    let (basis, source) = (named("basis"), named("source"));
    (whose, SupportRow { maker, model, part, facts, basis, source, span: row.span })
}

/// The lines of one device as the `support` of a record would have them; complains about facts that stand twice.
pub(super) fn gathered(rows: &[&SupportRow], reader: &mut Reader<'_>) -> YamlNode {
    let mut seen: BTreeMap<(String, &str), Span> = BTreeMap::new();
    let whole = rows.first().map_or_else(Span::default, |r| r.span);
    let (mut spares, mut information, mut out) = (Spares::default(), Vec::new(), Vec::new());
    for row in rows {
        let part = row.part.as_ref().map(|p| fold(&p.value)).unwrap_or_default();
        for (column, head, cell) in &row.facts {
            if let Some(first) = seen.insert((part.clone(), column), cell.span) {
                reader.complain(
                    Diagnostic::error("duplicate-field", cell.span, format!("`{column}` is said a second time"))
                        .also(first, "first here")
                        .because("Only one of the two could count.")
                        .mend("delete one of the two"),
                );
                continue;
            }
            let (into, name): (&mut Vec<YamlEntry>, &str) = match (&row.part, column.strip_prefix("information ")) {
                (Some(part), _) => (spares.of(part), column),
                (None, Some(name)) => (&mut information, name),
                (None, None) => (&mut out, column),
            };
            into.push(YamlEntry { key: name.to_owned(), key_span: *head, value: value(row, cell) });
        }
    }
    let map = |key: &str, entries: Vec<YamlEntry>| {
        let value = YamlNode { span: whole, kind: YamlKind::Map(entries) };
        YamlEntry { key: key.to_owned(), key_span: whole, value }
    };
    for (key, entries) in [("spare parts", spares.into_entries()), ("information", information)] {
        if !entries.is_empty() {
            out.push(map(key, entries));
        }
    }
    YamlNode { span: whole, kind: YamlKind::Map(out) }
}

/// Spare parts in the order they are first named, and what is said of each.
#[derive(Default)]
struct Spares {
    list: Vec<(Spanned<String>, Vec<YamlEntry>)>,
    index: BTreeMap<String, usize>,
}

impl Spares {
    fn of(&mut self, part: &Spanned<String>) -> &mut Vec<YamlEntry> {
        let at = *self.index.entry(fold(&part.value)).or_insert_with(|| {
            self.list.push((part.clone(), Vec::new()));
            self.list.len() - 1
        });
        &mut self.list[at].1
    }

    fn into_entries(self) -> Vec<YamlEntry> {
        let entry = |(part, entries): (Spanned<String>, Vec<YamlEntry>)| {
            let value = YamlNode { span: part.span, kind: YamlKind::Map(entries) };
            YamlEntry { key: part.value, key_span: part.span, value }
        };
        self.list.into_iter().map(entry).collect()
    }
}

/// A cell as a fact, with the basis and source of its line.
fn value(row: &SupportRow, cell: &Spanned<String>) -> YamlNode {
    let scalar = |c: &Spanned<String>| YamlNode {
        span: c.span,
        kind: YamlKind::Scalar(Scalar { text: c.value.clone(), plain: false }),
    };
    let fields = [("is", Some(cell)), ("basis", row.basis.as_ref()), ("source", row.source.as_ref())];
    if row.basis.is_none() && row.source.is_none() {
        return scalar(cell);
    }
    let entries = fields
        .into_iter()
        .filter_map(|(key, c)| Some(YamlEntry { key: key.to_owned(), key_span: c?.span, value: scalar(c?) }));
    YamlNode { span: cell.span, kind: YamlKind::Map(entries.collect()) }
}
