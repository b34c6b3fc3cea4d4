//! A draft as a table to change in any spreadsheet, and back: one row an action, and one for what was said beside.
//!
//! Columns: `use` (`keep`, `drop`, or `join` to the row above), `time`, `part`, `off` (`yes`, `do` for what frees nothing,
//! `tried`, `no`, `told`), `with`, `held by`, `words`. Values are written as in a record, several apart by `; `.

use super::actions::Aside;
use super::said::Proposed;
use super::segment::Status;
use super::sheet::{Quote, Row, Sheet, clock, span};
use crate::text::csv::{self, cell};
use crate::text::{Diagnostic, Source, Span, fold};
use crate::vocab::Category;

/// Columns, in order.
pub const COLUMNS: [&str; 7] = ["use", "time", "part", "off", "with", "held by", "words"];

/// The table. Rows are in order of time.
pub fn table(sheet: &Sheet) -> String {
    let mut rows: Vec<(Option<u32>, [String; 7])> = Vec::new();
    for row in &sheet.rows {
        let held = match &row.fasteners {
            None => "unknown".to_owned(),
            Some(list) if list.is_empty() => "nothing".to_owned(),
            Some(list) => list.join("; "),
        };
        let off = match (row.frees, row.status) {
            (false, _) => "do",
            (_, Status::Done) => "yes",
            (_, Status::Failed) => "tried",
            (_, Status::NotAttempted) => "no",
            (_, Status::Told) => "told",
        };
        let with = if row.tools.is_empty() { "unknown".to_owned() } else { row.tools.join("; ") };
        let words = row.words.iter().map(|q| q.words.as_str()).collect::<Vec<_>>().join(" / ");
        rows.push((
            row.at.map(|(from, _)| from),
            [
                "keep".to_owned(),
                row.at.map(span).unwrap_or_default(),
                row.name.clone(),
                off.to_owned(),
                with,
                held,
                words,
            ],
        ));
    }
    for (_, quotes) in &sheet.asides {
        for quote in quotes {
            let time = quote.at.map(clock).unwrap_or_default();
            let empty = String::new;
            rows.push((quote.at, ["drop".to_owned(), time, empty(), empty(), empty(), empty(), quote.words.clone()]));
        }
    }
    rows.sort_by_key(|(at, _)| *at);
    let mut out = COLUMNS.join(",") + "\n";
    for (_, cells) in rows {
        out.push_str(&cells.iter().map(|c| cell(c)).collect::<Vec<_>>().join(","));
        out.push('\n');
    }
    out
}

/// Reads a table back. `file` is the id of the source, for places of complaints.
///
/// # Errors
/// Every mistake of the table with its place: a column that is missing, a word of `use` or `off` that isn't one, a time
/// that can't be read, a row kept without a part.
pub fn read(source: &Source, file: u16, device: &str, category: Category) -> Result<Sheet, Vec<Diagnostic>> {
    let (lines, mut wrong) = csv::rows(source, file);
    let Some((head, body)) = lines.split_first() else {
        return Err(vec![
            Diagnostic::error("table-syntax", Span { file, start: 0, end: 0 }, "there is nothing in this table")
                .because("Its first line names the columns.")
                .mend("make it with `unfasten draft SOURCE --to list`"),
        ]);
    };
    let place = |name: &str| head.cells.iter().position(|c| fold(&c.value) == name);
    for column in COLUMNS.iter().filter(|c| place(c).is_none()) {
        wrong.push(
            Diagnostic::error("table-syntax", head.span, format!("there is no column `{column}`"))
                .because("A list that a record is made of has all its columns, in any order.")
                .mend(format!("let the first line be: {}", COLUMNS.join(","))),
        );
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let mut sheet = Sheet {
        source: source.name.to_string(),
        device: device.to_owned(),
        category,
        rows: Vec::new(),
        asides: Vec::new(),
        proposed: Vec::new(),
        remarks: Vec::new(),
        verdict: None,
        price: None,
        ends: None,
        works: None,
    };
    let mut dropped = Vec::new();
    for line in body {
        let get = |name: &str| place(name).and_then(|i| line.cells.get(i));
        let value = |name: &str| get(name).map_or("", |c| c.value.trim());
        let span_of = |name: &str| get(name).map_or(line.span, |c| c.span);
        let at = match times(value("time")) {
            Ok(at) => at,
            Err(()) => {
                wrong.push(
                    Diagnostic::error("table-syntax", span_of("time"), format!("`{}` is not a time", value("time")))
                        .because("Times point into the footage.")
                        .mend("write `4:10`, `1:02:03` or a span `4:10..4:25`, or leave it empty"),
                );
                None
            }
        };
        let words = Quote { at: at.map(|(a, _)| a), words: value("words").to_owned() };
        match &*fold(value("use")) {
            "drop" => dropped.push(words),
            "keep" => match row(&value, at, words) {
                Ok(row) => sheet.rows.push(row),
                Err((column, message, mend)) => {
                    wrong.push(
                        Diagnostic::error("table-syntax", span_of(column), message)
                            .because("A row that is kept becomes an action.")
                            .mend(mend),
                    );
                }
            },
            "join" => match sheet.rows.last_mut() {
                Some(above) => join(above, &value, at, words),
                None => wrong.push(
                    Diagnostic::error("table-syntax", span_of("use"), "there is no row above to join")
                        .because("`join` adds a row to the one that is kept above it.")
                        .mend("write `keep`"),
                ),
            },
            other => wrong.push(
                Diagnostic::error("table-syntax", span_of("use"), format!("`{other}` is not keep, drop or join"))
                    .because("This column says what becomes of the row.")
                    .mend("write keep, drop or join"),
            ),
        }
    }
    if !wrong.is_empty() {
        crate::text::diagnostic::in_file_order(&mut wrong);
        return Err(wrong);
    }
    if !dropped.is_empty() {
        sheet.asides.push((Aside::Mentioned, dropped));
    }
    if category.names_own_roles() {
        let freed = sheet.rows.iter().filter(|r| r.frees && r.status == Status::Done);
        sheet.proposed = freed.map(|r| Proposed { part: r.name.clone(), why: "from the list".to_owned() }).collect();
        sheet.proposed.dedup_by(|a, b| a.part == b.part);
    }
    Ok(sheet)
}

type Wrong = (&'static str, String, &'static str);

fn row<'v>(value: &impl Fn(&str) -> &'v str, at: Option<(u32, u32)>, words: Quote) -> Result<Row, Wrong> {
    let name = value("part");
    if name.is_empty() {
        return Err((
            "part",
            "a row is kept that names no part".to_owned(),
            "name the part, or what is done, or write `drop`",
        ));
    }
    let (frees, status) = match &*fold(value("off")) {
        "yes" => (true, Status::Done),
        "do" => (false, Status::Done),
        "tried" => (true, Status::Failed),
        "no" => (true, Status::NotAttempted),
        "told" => (true, Status::Told),
        other => {
            return Err((
                "off",
                format!("`{other}` does not say whether it came off"),
                "write yes, do, tried, no or told",
            ));
        }
    };
    let because =
        matches!(status, Status::Failed | Status::NotAttempted).then(|| words.words.clone()).filter(|w| !w.is_empty());
    Ok(Row {
        at,
        frees,
        name: name.to_owned(),
        tools: several(value("with")),
        fasteners: held(value("held by")),
        status,
        because,
        also: Vec::new(),
        words: if words.words.is_empty() { Vec::new() } else { vec![words] },
        refit: Vec::new(),
    })
}

fn several(cell: &str) -> Vec<String> {
    cell.split(';').map(str::trim).filter(|t| !t.is_empty() && fold(t) != "unknown").map(str::to_owned).collect()
}

fn held(cell: &str) -> Option<Vec<String>> {
    match &*fold(cell) {
        "" | "unknown" => None,
        "nothing" => Some(Vec::new()),
        _ => Some(several(cell)),
    }
}

fn join<'v>(above: &mut Row, value: &impl Fn(&str) -> &'v str, at: Option<(u32, u32)>, words: Quote) {
    for tool in several(value("with")) {
        if !above.tools.contains(&tool) {
            above.tools.push(tool);
        }
    }
    if let Some(more) = held(value("held by")) {
        above.fasteners.get_or_insert_default().extend(more);
    }
    if let (Some((from, to)), Some((a, b))) = (above.at, at) {
        above.at = Some((from.min(a), to.max(b)));
    }
    if !words.words.is_empty() {
        above.words.push(words);
    }
}

/// `4:10`, `4:10..4:25`, or nothing.
fn times(text: &str) -> Result<Option<(u32, u32)>, ()> {
    if text.is_empty() {
        return Ok(None);
    }
    crate::draft::cues::span_of(text).map(Some).ok_or(())
}
