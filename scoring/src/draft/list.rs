//! A draft as a table to change in any spreadsheet, and back: one row an action, and one for what was said beside.
//!
//! Columns: `use`, `time`, `part`, `role`, `off`, `with`, `held by`, `words`. A row is used as an action (`keep`), as more of the
//! action above (`join`), as a comment (`drop`), or as what was said beside the work: a remark (`for`, `against`), the closing
//! judgement (`verdict`), the price (`price`; both in the column `part`), the begin of putting back (`back`), and that it works
//! again (`works`). `role: yes` proposes that the part counts. `off` is `yes`, `do` for what frees nothing, `tried`, `no` or `told`;
//! of a row dropped it says why. Values are written as in a record, several apart by `; `.

use super::actions::Aside;
use super::said::Proposed;
use super::segment::Status;
use super::sheet::{Quote, Sheet, SheetRow, clock, fasteners, several, span};
use crate::text::csv::{self, cell};
use crate::text::{Diagnostic, Source, Span, fold};
use crate::vocab::Category;

/// Columns, in order.
pub const COLUMNS: [&str; 8] = ["use", "time", "part", "role", "off", "with", "held by", "words"];

/// What is said beside the work, as the column `use` calls it.
const BESIDE: [&str; 6] = ["for", "against", "verdict", "price", "back", "works"];

/// Why a row is dropped, as the column `off` calls it.
const WHY: [(Aside, &str); 5] = [
    (Aside::Mentioned, "mentioned"),
    (Aside::Twice, "said twice"),
    (Aside::Corrected, "taken back"),
    (Aside::Denied, "denied"),
    (Aside::Back, "put back"),
];

/// A row that is no action: its use, its words, what stands in `part` and in `off`.
fn beside(how: &str, quote: &Quote, part: &str, off: &str) -> (Option<u32>, [String; 8]) {
    let time = quote.at.map(clock).unwrap_or_default();
    let cells = [how, &time, part, "", off, "", "", &quote.words].map(str::to_owned);
    (quote.at, cells)
}

/// The table. Rows are in order of time.
pub fn table(sheet: &Sheet) -> String {
    let mut rows: Vec<(Option<u32>, [String; 8])> = Vec::new();
    let counts = |row: &SheetRow| row.frees && sheet.proposed.iter().any(|p| p.part == row.name);
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
                if counts(row) { "yes" } else { "" }.to_owned(),
                off.to_owned(),
                with,
                held,
                words,
            ],
        ));
    }
    for (why, quotes) in &sheet.asides {
        let word = WHY.iter().find(|(w, _)| w == why).map_or("", |(_, word)| word);
        rows.extend(quotes.iter().map(|q| beside("drop", q, "", word)));
    }
    rows.extend(sheet.remarks.iter().map(|(good, q)| beside(if *good { "for" } else { "against" }, q, "", "")));
    rows.extend(sheet.verdict.iter().map(|(mark, q)| beside("verdict", q, mark, "")));
    rows.extend(sheet.price.iter().map(|(price, q)| beside("price", q, price, "")));
    rows.extend(sheet.ends.iter().map(|q| beside("back", q, "", "")));
    rows.extend(sheet.works.iter().map(|q| beside("works", q, "", "")));
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
    let mut sheet = Sheet::blank(&source.name, device, category);
    let mut counting: Vec<String> = Vec::new();
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
            "drop" => drop(&mut sheet, &value, words),
            said if BESIDE.contains(&said) => {
                if let Err((column, message, mend)) = said_beside(&mut sheet, said, value("part"), words) {
                    wrong.push(
                        Diagnostic::error("table-syntax", span_of(column), message)
                            .because("What is said beside the work stands in the record by its value and its words.")
                            .mend(mend),
                    );
                }
            }
            "keep" => match row(&value, at, words) {
                Ok((row, counts)) => {
                    if counts && !counting.contains(&row.name) {
                        counting.push(row.name.clone());
                    }
                    sheet.rows.push(row);
                }
                Err((column, message, mend)) => {
                    wrong.push(
                        Diagnostic::error("table-syntax", span_of(column), message)
                            .because("A row that is kept becomes an action.")
                            .mend(mend),
                    );
                }
            },
            "join" => match sheet.rows.last_mut() {
                Some(above) => above.join(blank(&value, at, words)),
                None => wrong.push(
                    Diagnostic::error("table-syntax", span_of("use"), "there is no row above to join")
                        .because("`join` adds a row to the one that is kept above it.")
                        .mend("write `keep`"),
                ),
            },
            other => wrong.push(
                Diagnostic::error("table-syntax", span_of("use"), format!("`{other}` is not keep, drop or join"))
                    .because("This column says what becomes of the row.")
                    .mend(format!(
                        "write keep, drop or join, or of what was said beside the work: {}",
                        BESIDE.join(", ")
                    )),
            ),
        }
    }
    if !wrong.is_empty() {
        crate::text::diagnostic::in_file_order(&mut wrong);
        return Err(wrong);
    }
    sheet.asides.sort_by_key(|(why, _)| *why);
    if category.names_own_roles() {
        let why = "marked in the list".to_owned();
        sheet.proposed = counting.into_iter().map(|part| Proposed { part, why: why.clone() }).collect();
    }
    Ok(sheet)
}

/// A row that becomes a comment: its words, or where it has none what it named.
fn drop<'v>(sheet: &mut Sheet, value: &impl Fn(&str) -> &'v str, mut words: Quote) {
    if words.words.is_empty() {
        value("part").clone_into(&mut words.words);
    }
    if words.words.is_empty() {
        return;
    }
    let off = fold(value("off"));
    let why = WHY.iter().find(|(_, word)| *word == off).map_or(Aside::Mentioned, |(why, _)| *why);
    sheet.put_aside(why, words);
}

/// A remark, the judgement, the price, or what begins and ends the way back.
fn said_beside(sheet: &mut Sheet, how: &str, part: &str, words: Quote) -> Result<(), Wrong> {
    let missing = |what: &str, mend: &'static str| Err(("part", format!("{what} is missing"), mend));
    let once = |taken: bool| {
        let twice = || ("use", format!("there is a row `{how}` above already"), "let one of the two be `drop`");
        if taken { Err(twice()) } else { Ok(()) }
    };
    match how {
        "for" | "against" if words.words.is_empty() => {
            return Err(("words", "a remark has no words".to_owned(), "write what was said, or `drop`"));
        }
        "for" | "against" => sheet.remarks.push((how == "for", words)),
        "verdict" if part.is_empty() => return missing("the closing judgement", "write it under `part`: `6/10`"),
        "verdict" if !part.chars().all(|c| c.is_alphanumeric() || matches!(c, ' ' | '/' | '.' | '-' | '%')) => {
            return Err(("part", format!("`{part}` is no short judgement"), "write it as `6/10`, or in a few words"));
        }
        "verdict" => {
            once(sheet.verdict.is_some())?;
            sheet.verdict = Some((part.to_owned(), words));
        }
        "price" if part.is_empty() => return missing("the price", "write it under `part`: `80 EUR`"),
        "price" if !is_price(part) => {
            return Err(("part", format!("`{part}` is no price"), "write a number and a currency: `80 EUR`"));
        }
        "price" => {
            once(sheet.price.is_some())?;
            sheet.price = Some((part.to_owned(), words));
        }
        "back" => {
            once(sheet.ends.is_some())?;
            sheet.ends = Some(words);
        }
        _ => {
            once(sheet.works.is_some())?;
            sheet.works = Some(words);
        }
    }
    Ok(())
}

type Wrong = (&'static str, String, &'static str);

/// `80 EUR`, `79.50 EUR`.
fn is_price(text: &str) -> bool {
    let Some((number, currency)) = text.split_once(' ') else { return false };
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let (whole, cents) = number.split_once('.').unwrap_or((number, "0"));
    digits(whole) && digits(cents) && currency.len() == 3 && currency.bytes().all(|b| b.is_ascii_uppercase())
}

/// An action, and whether its part is said to count.
fn row<'v>(value: &impl Fn(&str) -> &'v str, at: Option<(u32, u32)>, words: Quote) -> Result<(SheetRow, bool), Wrong> {
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
    let counts = match &*fold(value("role")) {
        "" | "no" => false,
        "yes" if frees => true,
        "yes" => {
            return Err((
                "role",
                "a row that frees nothing has no part that could count".to_owned(),
                "leave `role` empty, or write yes under `off`",
            ));
        }
        other => {
            return Err((
                "role",
                format!("`{other}` does not say whether the part counts"),
                "write yes, or leave it empty",
            ));
        }
    };
    let because =
        matches!(status, Status::Failed | Status::NotAttempted).then(|| words.words.clone()).filter(|w| !w.is_empty());
    Ok((SheetRow { frees, name: name.to_owned(), status, because, ..blank(value, at, words) }, counts))
}

/// What any row says of an action: when, with what, what held it, in which words.
fn blank<'v>(value: &impl Fn(&str) -> &'v str, at: Option<(u32, u32)>, words: Quote) -> SheetRow {
    let words = if words.words.is_empty() { Vec::new() } else { vec![words] };
    let (tools, fasteners) = (several(value("with"), ';'), fasteners(value("held by"), ';'));
    SheetRow { tools, fasteners, ..SheetRow::blank(at, words) }
}

/// `4:10`, `4:10..4:25`, or nothing.
fn times(text: &str) -> Result<Option<(u32, u32)>, ()> {
    if text.is_empty() {
        return Ok(None);
    }
    crate::draft::cues::span_of(text).map(Some).ok_or(())
}
