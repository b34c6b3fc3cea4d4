//! `unfasten score --marks`: published sheets of marks, added up and held against what they print.

use std::io::Write;

use report::csv::table;
use report::json::{Layout, VERSION};
use schemars::JsonSchema;
use scoring::assess::sheet::{self, AuditedLine, Computed, Sheet};
use scoring::exact::{Exact, Rounding};
use scoring::method::Method;
use scoring::text::diagnostic::in_file_order;
use scoring::text::{Diagnostic, Sources};
use serde::Serialize;

use crate::arguments::{Choice, Score, ScoreFormat};
use crate::failure::Failure;
use crate::files::read::{self, Kind};
use crate::job::{self, Chosen};
use crate::problems::{self, Form, any_error};
use crate::terminal::{column, hang, tame};
use crate::words::marks::{self as say, Below};
use crate::world::{WIDTH, World};

/// A sheet added up.
struct Held {
    sheet: Sheet,
    /// Criteria, total and index from the marks.
    rows: Vec<Computed>,
    /// What the audit says of each printed line.
    lines: Vec<AuditedLine>,
}

impl Held {
    fn follows(&self) -> bool {
        self.lines.iter().all(|l| l.possible)
    }

    fn line(&self, row: &str) -> Option<&AuditedLine> {
        self.lines.iter().find(|l| l.row == row)
    }
}

pub(crate) fn run(arguments: &Score, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let chosen = method(&arguments.choice, form, world)?;
    let mut sources = Sources::new();
    let (mut sheets, mut found) = (Vec::new(), Vec::new());
    for name in &arguments.marks {
        sheets.extend(sheets_of(name, &chosen.method, &mut sources, &mut found, world));
    }
    in_file_order(&mut found);
    if any_error(&found) {
        return Err(Failure::Problems(sources, found));
    }
    problems::show(form, world.err_styled, &sources, &found, world.err)?;
    let held: Vec<Held> = sheets
        .into_iter()
        .map(|sheet| Held {
            rows: sheet::computed(&sheet, &chosen.method),
            lines: sheet::audit(&sheet, &chosen.method),
            sheet,
        })
        .collect();
    match arguments.format {
        ScoreFormat::Text => text(&held, &chosen, &sources, world.out)?,
        ScoreFormat::Json => json(&held, &chosen, &sources, world)?,
        ScoreFormat::Jsonl => json_lines(&held, &sources, world)?,
        ScoreFormat::Csv => csv(&held, &sources, world.out)?,
        ScoreFormat::Devices => {
            return Err(Failure::said(say::NO_DEVICES));
        }
    }
    if held.iter().all(Held::follows) { Ok(()) } else { Err(Failure::NotMet) }
}

/// The sheets of one table, with what is wrong in it.
pub(super) fn sheets_of(
    name: &str,
    method: &Method,
    sources: &mut Sources,
    found: &mut Vec<Diagnostic>,
    world: &mut World<'_>,
) -> Vec<Sheet> {
    let sheets = match read::text(name, Kind::Table, world, sources) {
        Ok(file) => {
            let (list, problems) = sheet::read(sources, file);
            found.extend(problems);
            list
        }
        Err(problem) => {
            found.push(*problem);
            Vec::new()
        }
    };
    let scope = &method.scope.categories;
    for sheet in &sheets {
        if scope.contains(&sheet.category) {
            found.extend(sheet::unread(sheet, method));
            found.extend(sheet::uneven(sheet));
            continue;
        }
        let categories: Vec<&str> = scope.iter().map(scoring::vocab::Category::word).collect();
        let category = sheet.category.to_string();
        let [what, why, mend] = say::not_for(&sheet.name, &method.id.value, &category, &categories);
        found.push(Diagnostic::error("wrong-value", sheet.span, what).because(why).mend(mend));
    }
    sheets
}

/// The one method sheets are added up by.
pub(super) fn method(choice: &Choice, form: Form, world: &mut World<'_>) -> Result<Chosen, Failure> {
    let name = match &*choice.methods {
        [] => "fr-index",
        [one] => one,
        _ => return Err(Failure::said(say::ONE_METHOD)),
    };
    let choice = Choice { methods: vec![name.to_owned()], readings: choice.readings.clone() };
    let chosen = job::methods(&choice, form, world)?.remove(0);
    if sheet::takes_marks(&chosen.method) {
        return Ok(chosen);
    }
    Err(Failure::said(say::no_sheets_by(&chosen.method.id.value)))
}

/// At most three decimals.
pub(super) fn short(value: &Exact) -> String {
    let plain = value.plain();
    if plain.contains('/') || plain.split_once('.').is_some_and(|(_, d)| d.len() > 3) {
        value.display(3, Rounding::HalfUp)
    } else {
        plain
    }
}

fn as_printed(line: &AuditedLine) -> String {
    line.printed.value.display(line.printed.decimals, Rounding::HalfUp)
}

/// Why a printed line can't follow, or what it takes for it to.
fn remark(line: &AuditedLine) -> Option<String> {
    let printed = as_printed(line);
    let below = match &*line.row {
        "total" => Below::Criteria,
        "index" => Below::Total,
        _ => Below::Marks,
    };
    if !line.possible {
        return Some(say::cannot_follow(&line.row, &printed, below, &line.allowed.words()));
    }
    if line.as_printed || line.narrowed.is_empty() {
        return None;
    }
    let narrowed: Vec<String> = line.narrowed.iter().map(|(row, i)| say::narrowed(row, &i.words())).collect();
    Some(say::possible_if(&line.row, &printed, &narrowed))
}

fn text(held: &[Held], chosen: &Chosen, sources: &Sources, out: &mut dyn Write) -> Result<(), Failure> {
    for one in held {
        let head = format!("{} ({}), {}", tame(&one.sheet.name), one.sheet.category.word(), tame(&chosen.method.title));
        write!(out, "{}", hang("", &head, WIDTH))?;
        let [row, printed, exact, interval] = say::HEADS;
        let [row, printed, exact] = [column(row, ROW), column(printed, PRINTED), column(exact, EXACT)];
        writeln!(out, "  {row} {printed} {exact} {interval}")?;
        for row in &one.rows {
            let printed = one.line(&row.row).map_or_else(|| "-".to_owned(), as_printed);
            let exact = row.exact.as_ref().map_or_else(|| "-".to_owned(), short);
            let (row_, printed) = (column(&tame(&row.row), ROW), column(&printed, PRINTED));
            let title =
                if row.row == "total" || row.row == "index" { String::new() } else { format!("  {}", row.title) };
            // A printed line is held against what the lines below it leave, printed ones heard.
            let interval = one.line(&row.row).map_or(&row.interval, |l| &l.allowed);
            let said = format!("{}{}", interval.words(), tame(&title));
            writeln!(out, "  {row_} {printed} {} {}", column(&exact, EXACT), column(&said, 46).trim_end())?;
        }
        for line in &one.lines {
            if let Some(said) = remark(line) {
                let place = tame(&sources.place(line.printed.span));
                let lead = format!("  {}: ", say::lead(line.possible));
                write!(out, "{}", hang(&lead, &format!("{place}: {said}"), WIDTH))?;
            }
        }
        writeln!(out)?;
    }
    let bad = held.iter().filter(|h| !h.follows()).count();
    write!(out, "{}", hang("", &say::sheets(held.len(), bad), WIDTH))?;
    write!(out, "{}", hang("", say::NOTICE, WIDTH))?;
    Ok(())
}

/// Columns of a row, of its printed figure, and of what the marks give.
const ROW: usize = 6;
const PRINTED: usize = 8;
const EXACT: usize = 15;

/// Published sheets, added up and held against what they print.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Sheets<'s> {
    /// Version of this document.
    unfasten: u32,
    /// Id of the method they are added up by.
    method: &'s str,
    /// Its edition.
    edition: &'s str,
    /// The sheets, in the order of the table.
    sheets: Vec<SheetOf>,
}

/// A sheet on a line of its own.
#[derive(Serialize, JsonSchema)]
pub(crate) struct OnALine {
    /// Version of this line.
    unfasten: u32,
    /// The sheet.
    #[serde(flatten)]
    sheet: SheetOf,
}

/// A published sheet.
#[derive(Serialize, JsonSchema)]
pub(crate) struct SheetOf {
    /// Its name.
    sheet: String,
    /// Its product category.
    category: String,
    /// `file:line:column`.
    place: String,
    /// Every printed line can follow from the marks.
    follows: bool,
    /// Criteria, total and index.
    rows: Vec<RowOf>,
}

/// A criterion of a sheet, its total, or its index.
#[derive(Serialize, JsonSchema)]
struct RowOf {
    /// What is added up.
    row: String,
    /// Its title.
    title: String,
    /// The figure as printed.
    printed: Option<String>,
    /// Where it is printed.
    place: Option<String>,
    /// What the marks give, taken as exact.
    from_marks: Option<Exact>,
    /// What the marks allow, every printed figure standing for all that rounds to it.
    interval: Span,
    /// What the printed lines below leave of that.
    allowed: Option<Span>,
    /// The printed figure can follow.
    possible: Option<bool>,
    /// Marks that the printed figure narrows.
    narrowed: Vec<Narrowed>,
    /// What is wrong with it.
    remark: Option<String>,
}

/// What a mark must lie in for a printed figure to follow.
#[derive(Serialize, JsonSchema)]
struct Narrowed {
    /// The mark.
    row: String,
    /// Where it must lie.
    interval: Span,
}

/// An interval of figures.
#[derive(Serialize, JsonSchema)]
struct Span {
    /// Lowest value.
    low: Exact,
    /// Highest value.
    high: Exact,
    /// Whether the highest value itself is possible.
    high_included: bool,
}

fn json(held: &[Held], chosen: &Chosen, sources: &Sources, world: &mut World<'_>) -> Result<(), Failure> {
    let sheets = held.iter().map(|h| value(h, sources)).collect();
    let method = &chosen.method;
    world.json(&Sheets { unfasten: VERSION, method: &method.id.value, edition: &method.edition, sheets })?;
    Ok(())
}

/// The same, one sheet a line.
fn json_lines(held: &[Held], sources: &Sources, world: &mut World<'_>) -> Result<(), Failure> {
    world.layout = Layout::Compact;
    held.iter().try_for_each(|h| world.json(&OnALine { unfasten: VERSION, sheet: value(h, sources) }))?;
    Ok(())
}

fn value(held: &Held, sources: &Sources) -> SheetOf {
    let interval = |i: &sheet::Interval| Span { low: i.low.clone(), high: i.high.clone(), high_included: i.closed };
    let row = |c: &Computed| {
        let line = held.line(&c.row);
        RowOf {
            row: c.row.clone(),
            title: c.title.clone(),
            printed: line.map(as_printed),
            place: line.map(|l| sources.place(l.printed.span)),
            from_marks: c.exact.clone(),
            interval: interval(&c.interval),
            allowed: line.map(|l| interval(&l.allowed)),
            possible: line.map(|l| l.possible),
            narrowed: line.map_or_else(Vec::new, |l| {
                l.narrowed.iter().map(|(row, i)| Narrowed { row: row.clone(), interval: interval(i) }).collect()
            }),
            remark: line.and_then(remark),
        }
    };
    SheetOf {
        sheet: held.sheet.name.clone(),
        category: held.sheet.category.word().to_owned(),
        place: sources.place(held.sheet.span),
        follows: held.follows(),
        rows: held.rows.iter().map(row).collect(),
    }
}

/// Heads of the table of sheets.
const COLUMNS: [&str; 12] = [
    "sheet",
    "category",
    "row",
    "title",
    "printed",
    "from marks",
    "low",
    "high",
    "high included",
    "possible",
    "place",
    "remark",
];

/// One row a criterion, total and index of each sheet.
fn csv(held: &[Held], sources: &Sources, out: &mut dyn Write) -> Result<(), Failure> {
    let yes = |is: bool| if is { "yes" } else { "no" };
    let mut rows = vec![COLUMNS.map(str::to_owned)];
    for one in held {
        for row in &one.rows {
            let line = one.line(&row.row);
            // A printed line is held against what the lines below it leave, printed ones heard.
            let interval = line.map_or(&row.interval, |l| &l.allowed);
            rows.push([
                tame(&one.sheet.name),
                one.sheet.category.word().to_owned(),
                tame(&row.row),
                tame(&row.title),
                line.map(as_printed).unwrap_or_default(),
                row.exact.as_ref().map(short).unwrap_or_default(),
                short(&interval.low),
                short(&interval.high),
                yes(interval.closed).to_owned(),
                line.map_or("", |l| yes(l.possible)).to_owned(),
                line.map(|l| tame(&sources.place(l.printed.span))).unwrap_or_default(),
                line.and_then(remark).map(|r| tame(&r)).unwrap_or_default(),
            ]);
        }
    }
    out.write_all(table(rows).as_bytes())?;
    Ok(())
}
