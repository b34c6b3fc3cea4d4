//! Sheets of marks as published: what a table says line by line, and whether its printed criteria, total and index can
//! follow from its printed marks.
//!
//! A printed figure stands for every value that rounds to it (half up): `8` for 7.5 up to, but not including, 8.5.
//! Intermediate marks of the French statutory sheet are not rounded, only displayed rounded (derived), so a sheet is held
//! against these intervals and never against equality.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::fmt::Write as _;

use crate::exact::{Exact, Rounding};
use crate::method::{Criterion, CriterionKind, Measure, Method};
use crate::text::diagnostic::in_file_order;
use crate::text::fields::short as cut;
use crate::text::{Diagnostic, FileId, Sources, Span, Spanned, csv, fold, near};
use crate::vocab::{Category, Form};

/// A figure as printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Printed {
    /// The figure.
    pub value: Exact,
    /// Decimals it is printed with.
    pub decimals: u8,
    /// Where it stands in the table.
    pub span: Span,
}

/// One published sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// Name, unique in the table.
    pub name: String,
    /// Category.
    pub category: Category,
    /// Row (`2.1`, `c2`, `total`, `index`) to the figure; rows not printed are missing.
    pub rows: BTreeMap<String, Printed>,
    /// Coefficients the table gives, by row; those of a criterion add to 2.
    pub coefficients: BTreeMap<String, Exact>,
    /// Its first line.
    pub span: Span,
}

/// Values a figure may stand for: `low` included, `high` only when `closed`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Interval {
    /// Lowest.
    pub low: Exact,
    /// Highest.
    pub high: Exact,
    /// The highest itself is possible.
    pub closed: bool,
}

impl Interval {
    fn printed(figure: &Printed, most: i64) -> Self {
        let unit = (0..figure.decimals).fold(Exact::one(), |u, _| &u / &Exact::from(10));
        let half = &unit / &Exact::from(2);
        let (low, high, top) = (&figure.value - &half, &figure.value + &half, Exact::from(most));
        let closed = high > top;
        Self { low: low.max(Exact::zero()), high: high.min(top), closed }
    }

    fn any(most: i64) -> Self {
        Self { low: Exact::zero(), high: Exact::from(most), closed: true }
    }

    fn scaled(&self, by: &Exact) -> Self {
        Self { low: &self.low * by, high: &self.high * by, closed: self.closed }
    }

    fn plus(&self, other: &Self) -> Self {
        Self { low: &self.low + &other.low, high: &self.high + &other.high, closed: self.closed && other.closed }
    }

    fn meet(&self, other: &Self) -> Option<Self> {
        let low = self.low.clone().max(other.low.clone());
        let (high, closed) = match self.high.cmp(&other.high) {
            std::cmp::Ordering::Less => (self.high.clone(), self.closed),
            std::cmp::Ordering::Equal => (self.high.clone(), self.closed && other.closed),
            std::cmp::Ordering::Greater => (other.high.clone(), other.closed),
        };
        (low < high || low == high && closed).then_some(Self { low, high, closed })
    }

    /// In words: `7.5 up to 8`, `below` said where the end is not included.
    pub fn words(&self) -> String {
        let upper = if self.closed { "up to" } else { "to below" };
        format!("{} {upper} {}", short(&self.low), short(&self.high))
    }
}

/// Exact where it is a decimal, else with three decimals.
fn short(value: &Exact) -> String {
    let plain = value.plain();
    if plain.contains('/') { value.display(3, Rounding::HalfUp) } else { plain }
}

/// What an audit says of one printed line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditedLine {
    /// Row.
    pub row: String,
    /// As printed.
    pub printed: Printed,
    /// What the lines below it allow.
    pub allowed: Interval,
    /// Whether some values allowed print as this figure.
    pub possible: bool,
    /// Whether it is what the printed figures below give as they stand.
    pub as_printed: bool,
    /// Marks that this line narrows: row, and what it must lie in before rounding.
    pub narrowed: Vec<(String, Interval)>,
}

/// Columns of a table of sheets.
const COLUMNS: [&str; 5] = ["sheet", "category", "row", "printed", "coefficient"];
/// How many of them a table must have.
const NEEDED: usize = 4;

/// Reads a table of sheets: columns `sheet`, `category`, `row`, `printed`, in any order, and `coefficient` where it gives the
/// coefficients of marks nobody else could read. All mistakes are given, in file order.
pub fn read(sources: &Sources, file: FileId) -> (Vec<Sheet>, Vec<Diagnostic>) {
    let (rows, found) = csv::rows(sources.get(file), file);
    let mut all = Sheets { list: Vec::new(), places: BTreeMap::new(), strange: BTreeMap::new(), found };
    let whole = Span { file, ..Span::default() };
    let (head, rows) = rows.split_first().map_or((None, &[][..]), |(head, rows)| (Some(head), rows));
    if let Some(problem) = head.and_then(csv::other_separator) {
        all.found.push(problem);
        return (all.list, all.found);
    }
    let columns = columns(head, whole, &mut all.found);
    let width = head.map_or(0, |h| h.cells.len());
    for row in rows {
        // A line may end before an empty figure.
        let short = row.cells.len() + 1 == width && columns[3] == Some(width - 1);
        if let Some(problem) = csv::odd_width(row, width).filter(|_| !short) {
            all.found.push(problem);
            continue;
        }
        let cells = columns.map(|at| row.cells.get(at?).cloned());
        line_of(cells, columns.map(|at| at.is_some()), row.span, &mut all);
    }
    all.tell_strange();
    in_file_order(&mut all.found);
    (all.list, all.found)
}

/// Where each column stands. A misspelt one is read as the one meant.
fn columns(head: Option<&csv::CsvRow>, whole: Span, found: &mut Vec<Diagnostic>) -> [Option<usize>; 5] {
    let cells: &[Spanned<String>] = head.map_or(&[], |h| &h.cells);
    let mut out = COLUMNS.map(|name| cells.iter().position(|c| fold(&c.value) == name));
    for (at, cell) in cells.iter().enumerate().filter(|(_, c)| !COLUMNS.contains(&fold(&c.value).as_str())) {
        let lacking = COLUMNS.into_iter().zip(&out).filter(|(_, at)| at.is_none()).map(|(name, _)| name);
        let meant = near(&cell.value, lacking).and_then(|name| COLUMNS.iter().position(|c| *c == name));
        let message = format!("`{}` is not a column of a table of marks", cut(&cell.value));
        found.push(match meant {
            Some(meant) => {
                out[meant] = Some(at);
                Diagnostic::error("unknown-field", cell.span, message)
                    .because("Nothing below it could be read.")
                    .mend(format!("did you mean `{}`?", COLUMNS[meant]))
            }
            None => Diagnostic::warning("unknown-field", cell.span, message)
                .because("What stands below it is not read.")
                .mend("nothing, if it is a remark of yours; else name it `sheet`, `category`, `row`, `printed` or `coefficient`"),
        });
    }
    for (name, _) in COLUMNS.into_iter().zip(&out).take(NEEDED).filter(|(_, at)| at.is_none()) {
        found.push(
            Diagnostic::error("missing-field", head.map_or(whole, |h| h.span), format!("there is no column `{name}`"))
                .because("Every line says its sheet, the category, the row and what is printed there.")
                .mend("start the table with `sheet,category,row,printed`"),
        );
    }
    out
}

/// Sheets so far, and where each stands in the list.
struct Sheets {
    list: Vec<Sheet>,
    places: BTreeMap<String, usize>,
    /// Words that are no category, with the places they stand in.
    strange: BTreeMap<String, Vec<Span>>,
    found: Vec<Diagnostic>,
}

impl Sheets {
    fn wrong(&mut self, span: Span, message: String, reason: &str, mend: String) {
        self.found.push(Diagnostic::error("wrong-value", span, message).because(reason).mend(mend));
    }

    /// A sheet repeats its category on every line, so a wrong one is told once.
    fn tell_strange(&mut self) {
        let words = || Category::shipped().iter().map(Category::word);
        for (word, places) in std::mem::take(&mut self.strange) {
            let others = match places.len() {
                1 => String::new(),
                2 => ", here and on another line".to_owned(),
                n => format!(", here and on {} other lines", n - 1),
            };
            let message = if word.is_empty() {
                format!("a line has no category{others}")
            } else {
                format!("`{}` is not a category{others}", cut(&word))
            };
            let mend = match near(&word, words()) {
                Some(word) => format!("did you mean `{word}`?"),
                None => format!("write one of: {}", words().collect::<Vec<_>>().join(", ")),
            };
            self.wrong(places[0], message, "Which rows a sheet has, and how they count, depends on it.", mend);
        }
    }
}

/// One line. A column that is missing (not `known`) was told at the head, so nothing is said of its cells.
fn line_of(cells: [Option<Spanned<String>>; 5], known: [bool; 5], whole: Span, all: &mut Sheets) {
    let [name, category, row, printed, coefficient] =
        cells.map(|c| c.unwrap_or_else(|| Spanned::new(String::new(), whole)));
    if name.value.is_empty() && known[0] {
        all.wrong(
            whole,
            "this line names no sheet".to_owned(),
            "A table may hold many sheets.",
            "write a name of your own under `sheet`, the same on every line of one sheet".to_owned(),
        );
    }
    let read = Category::from_word(&category.value);
    if read.is_none() && known[1] {
        let span = if category.value.is_empty() { whole } else { category.span };
        all.strange.entry(category.value.clone()).or_default().push(span);
    }
    let place = all.places.get(&name.value).copied().or_else(|| {
        let category = read.filter(|_| !name.value.is_empty())?;
        all.places.insert(name.value.clone(), all.list.len());
        all.list.push(Sheet {
            name: name.value.clone(),
            category,
            rows: BTreeMap::new(),
            coefficients: BTreeMap::new(),
            span: whole,
        });
        Some(all.list.len() - 1)
    });
    if let (Some(place), Some(read)) = (place, read)
        && all.list[place].category != read
    {
        let (first, before) = (all.list[place].span, all.list[place].category);
        all.found.push(
            Diagnostic::error(
                "wrong-value",
                category.span,
                format!("sheet `{}` is of category {before} first, of {read} here", cut(&name.value)),
            )
            .also(first, "first here")
            .because("A sheet is of one device, and so of one category.")
            .mend("mend the category, or give this sheet a name of its own"),
        );
    }
    let row_name = fold(&row.value);
    let is_row = matches!(row_name.as_str(), "total" | "index" | "c1" | "c2" | "c3" | "c4" | "c5")
        || matches!(row_name.as_bytes(), [b'1'..=b'5', b'.', b'1'..=b'9']);
    if !is_row {
        if known[2] {
            let message = if row.value.is_empty() {
                "this line names no row".to_owned()
            } else {
                format!("`{}` is not a row of the sheet", cut(&row.value))
            };
            let mend = match near(&row_name, ["total", "index"]) {
                Some(word) => format!("did you mean `{word}`?"),
                None => "rows are the marks `1.1` to `5.3`, the criteria `c1` to `c5`, `total` and `index`".to_owned(),
            };
            let span = if row.value.is_empty() { whole } else { row.span };
            all.wrong(span, message, "What the figure stands for is not known.", mend);
        }
        return;
    }
    given(&coefficient, &row_name, place, all);
    if printed.value.is_empty() {
        return;
    }
    let most = most(&row_name);
    let value = Exact::parse(&printed.value)
        .filter(|v| !v.is_negative() && !printed.value.contains('/'))
        // A sum beyond its scale is what an audit is to find; a mark beyond it is none.
        .filter(|v| *v <= Exact::from(most) || !row_name.contains('.'));
    let Some(value) = value else {
        let point = printed.value.replace(',', ".");
        let mend = if point != printed.value && Exact::parse(&point).is_some() {
            format!("write it with a decimal point: `{point}`")
        } else {
            "write it as printed, with a decimal point; leave it empty where none is printed".to_owned()
        };
        all.wrong(
            printed.span,
            format!("`{}` is not a figure from 0 to {most}", cut(&printed.value)),
            "It can't be added up.",
            mend,
        );
        return;
    };
    let Some(place) = place else { return };
    let decimals = printed.value.split_once('.').map_or(0, |(_, d)| u8::try_from(d.len()).unwrap_or(u8::MAX));
    let figure = Printed { value, decimals, span: printed.span };
    match all.list[place].rows.entry(row_name) {
        Entry::Vacant(free) => {
            free.insert(figure);
        }
        Entry::Occupied(taken) => {
            let message = format!("row `{}` of sheet `{}` stands twice", taken.key(), cut(&name.value));
            all.found.push(
                Diagnostic::error("duplicate-field", row.span, message)
                    .also(taken.get().span, "first here")
                    .because("Only one of the two could count.")
                    .mend("delete one of the two, or give the second sheet a name of its own"),
            );
        }
    }
}

/// Notes the coefficient a line gives for its mark.
fn given(coefficient: &Spanned<String>, row: &str, place: Option<usize>, all: &mut Sheets) {
    if coefficient.value.is_empty() {
        return;
    }
    let value = Exact::parse(&coefficient.value).filter(|v| !v.is_negative() && !v.is_zero() && *v <= Exact::from(2));
    match (value, row.contains('.')) {
        (Some(value), true) => {
            if let Some(place) = place {
                all.list[place].coefficients.insert(row.to_owned(), value);
            }
        }
        (_, false) => all.wrong(
            coefficient.span,
            format!("`{}` stands beside `{row}`, which is no mark", cut(&coefficient.value)),
            "Only marks are multiplied.",
            "leave it empty".to_owned(),
        ),
        (None, true) => all.wrong(
            coefficient.span,
            format!("`{}` is not a coefficient above 0, at most 2", cut(&coefficient.value)),
            "The coefficients of a criterion add to 2.",
            "write it with a decimal point, or leave it empty".to_owned(),
        ),
    }
}

/// Coefficients a table gives that do not add to 2 in their criterion.
pub fn uneven(sheet: &Sheet) -> Vec<Diagnostic> {
    let two = Exact::from(2);
    let mut out = Vec::new();
    for criterion in 1..=5 {
        let rows = given_for(sheet, &format!("c{criterion}"));
        let sum: Exact = rows.iter().map(|(_, w)| w.clone()).sum();
        if !rows.is_empty() && sum != two {
            let message = format!(
                "the coefficients of criterion {criterion} of sheet `{}` add to {}, not 2",
                cut(&sheet.name),
                sum.plain()
            );
            let mended = Diagnostic::error("weights-sum", sheet.span, message);
            out.push(
                mended
                    .because("The sheet is out of a hundred.")
                    .mend("give every mark of the criterion its coefficient"),
            );
        }
    }
    out
}

/// Rows and coefficients a table gives for a criterion.
fn given_for(sheet: &Sheet, criterion: &str) -> Vec<(String, Exact)> {
    let prefix = format!("{}.", criterion.trim_start_matches('c'));
    sheet.coefficients.iter().filter(|(r, _)| r.starts_with(&prefix)).map(|(r, w)| (r.clone(), w.clone())).collect()
}

/// Rows of the marks below a criterion with their coefficients: those of the table where it gives some, else the method's;
/// `None` where nobody could read them.
fn marks_of(criterion: &Criterion, sheet: &Sheet) -> Option<Vec<(String, Exact)>> {
    let given = given_for(sheet, &criterion.id);
    if !given.is_empty() {
        return Some(given);
    }
    let unread = criterion.children().iter().any(|n| n.weight.as_ref().is_some_and(|w| w.unread));
    (!unread).then(|| marks_below(criterion))
}

/// Warnings about marks the method does not read for a sheet's category: they count for nothing.
pub fn unread(sheet: &Sheet, method: &Method) -> Vec<Diagnostic> {
    let method = method.for_device(sheet.category, Form::NotFolding);
    let read: Vec<String> = method.root.children().iter().flat_map(marks_below).map(|(row, _)| row).collect();
    let strange = sheet
        .rows
        .iter()
        .filter(|(row, _)| row.contains('.') && !read.contains(row) && !sheet.coefficients.contains_key(*row));
    let warning = |(row, figure): (&String, &Printed)| {
        Diagnostic::warning(
            "unknown-field",
            figure.span,
            format!("a sheet of category {} has no mark `{row}`", sheet.category),
        )
        .because("It counts for nothing.")
        .mend(format!("mend the row or the category; marks here: {}", read.join(", ")))
    };
    strange.map(warning).collect()
}

fn most(row: &str) -> i64 {
    match row {
        "total" => 100,
        r if r.starts_with('c') => 20,
        _ => 10,
    }
}

/// Holds a sheet's printed criteria, total and index against its marks, by the coefficients of a method shaped like `fr-index`:
/// criteria `c1` to `c5`, each a weighted sum of marks. A criterion whose coefficients neither the table nor anybody else
/// gives is not held against its marks.
pub fn audit(sheet: &Sheet, method: &Method) -> Vec<AuditedLine> {
    let method = method.for_device(sheet.category, Form::NotFolding);
    let sheet = &evenly_printed(sheet);
    let mut out = Vec::new();
    let mut criteria: Vec<(String, Interval, Option<Exact>)> = Vec::new();
    for criterion in method.root.children() {
        let Some(marks) = marks_of(criterion, sheet) else {
            // Whatever its coefficients are, a criterion is out of 20.
            let shown = sheet.rows.get(&criterion.id);
            let interval = shown.map_or_else(|| Interval::any(20), |p| Interval::printed(p, 20));
            criteria.push((criterion.id.clone(), interval, shown.map(|p| p.value.clone())));
            continue;
        };
        let below: Vec<(String, Exact, Interval)> =
            marks.iter().map(|(row, w)| (row.clone(), w.clone(), mark(sheet, row))).collect();
        let exact = sum_printed(&marks, &sheet.rows);
        let (line, interval) = hold(sheet, &criterion.id, &below, exact.as_ref());
        out.extend(line);
        let shown = sheet.rows.get(&criterion.id).map(|p| p.value.clone());
        criteria.push((criterion.id.clone(), interval, shown));
    }
    let below: Vec<_> = criteria.iter().map(|(id, i, _)| (id.clone(), Exact::one(), i.clone())).collect();
    let shown: Option<Exact> =
        criteria.iter().map(|(_, _, v)| v.clone()).collect::<Option<Vec<_>>>().map(|l| l.into_iter().sum());
    let (line, total) = hold(sheet, "total", &below, shown.as_ref());
    out.extend(line);
    let tenth = &Exact::one() / &Exact::from(10);
    let shown = sheet.rows.get("total").map(|p| &p.value * &tenth);
    out.extend(hold(sheet, "index", &[("total".to_owned(), tenth, total)], shown.as_ref()).0);
    out
}

/// A sheet prints all its marks, and all its criteria, to one precision: `10` beside `9.2` is 10.0.
fn evenly_printed(sheet: &Sheet) -> Sheet {
    let mut out = sheet.clone();
    for kind in ['.', 'c'] {
        let finest = sheet.rows.iter().filter(|(r, _)| r.contains(kind)).map(|(_, p)| p.decimals).max();
        for (_, figure) in out.rows.iter_mut().filter(|(r, _)| r.contains(kind)) {
            figure.decimals = finest.unwrap_or(figure.decimals);
        }
    }
    out
}

/// A row of a sheet as it follows from the marks below it alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Computed {
    /// Row: `c1` to `c5`, `total`, `index`.
    pub row: String,
    /// Its title.
    pub title: String,
    /// What the printed marks give as they stand, unrounded; `None` where a mark is not printed.
    pub exact: Option<Exact>,
    /// What the values that print as those marks give; a mark that is not printed may be anything from 0 to 10.
    pub interval: Interval,
}

/// Criteria, total and index of a sheet as its marks give them, by a method as for [`audit`].
pub fn computed(sheet: &Sheet, method: &Method) -> Vec<Computed> {
    let method = method.for_device(sheet.category, Form::NotFolding);
    let sheet = &evenly_printed(sheet);
    let zero = Interval { low: Exact::zero(), high: Exact::zero(), closed: true };
    let mut out = Vec::new();
    let (mut total, mut sum) = (zero.clone(), Some(Exact::zero()));
    for criterion in method.root.children() {
        let marks = marks_of(criterion, sheet);
        let added = |marks: &Vec<(String, Exact)>| {
            marks.iter().fold(zero.clone(), |all, (row, w)| all.plus(&mark(sheet, row).scaled(w)))
        };
        let interval = marks.as_ref().map_or_else(|| Interval::any(20), added);
        let exact = marks.and_then(|m| sum_printed(&m, &sheet.rows));
        total = total.plus(&interval);
        sum = sum.zip(exact.as_ref()).map(|(a, b)| &a + b);
        out.push(Computed { row: criterion.id.clone(), title: criterion.title.clone(), exact, interval });
    }
    let tenth = &Exact::one() / &Exact::from(10);
    let index = Computed {
        row: "index".to_owned(),
        title: method.root.title.clone(),
        exact: sum.as_ref().map(|s| s * &tenth),
        interval: total.scaled(&tenth),
    };
    out.push(Computed { row: "total".to_owned(), title: "Total".to_owned(), exact: sum, interval: total });
    out.push(index);
    out
}

/// Whether a method adds up marks as the French statutory sheet does, so that sheets can be held against it.
pub fn takes_marks(method: &Method) -> bool {
    let criteria = method.root.children();
    let tenth = Exact::ratio(1, 10);
    let counts = |c: &Criterion| !marks_below(c).is_empty() && c.weight.as_ref().map(|w| w.value.clone()) == tenth;
    !criteria.is_empty() && criteria.iter().all(counts)
}

/// Rows of the marks below a criterion, with their coefficients.
fn marks_below(criterion: &Criterion) -> Vec<(String, Exact)> {
    let mark = |n: &Criterion| match &n.kind {
        CriterionKind::Leaf { measure: Measure::Mark(row), .. } => {
            Some((row.clone(), n.weight.as_ref()?.value.clone()))
        }
        _ => None,
    };
    criterion.children().iter().filter_map(mark).collect()
}

/// What a mark may be.
fn mark(sheet: &Sheet, row: &str) -> Interval {
    sheet.rows.get(row).map_or_else(|| Interval::any(10), |p| Interval::printed(p, 10))
}

fn sum_printed(marks: &[(String, Exact)], rows: &BTreeMap<String, Printed>) -> Option<Exact> {
    let each = marks.iter().map(|(row, w)| Some(&rows.get(row)?.value * w));
    Some(each.collect::<Option<Vec<_>>>()?.into_iter().sum())
}

/// One printed line against those below it; gives what the row may be after both are heard.
fn hold(
    sheet: &Sheet,
    row: &str,
    below: &[(String, Exact, Interval)],
    exact: Option<&Exact>,
) -> (Option<AuditedLine>, Interval) {
    let zero = Interval { low: Exact::zero(), high: Exact::zero(), closed: true };
    let allowed = below.iter().fold(zero, |sum, (_, w, i)| sum.plus(&i.scaled(w)));
    let Some(printed) = sheet.rows.get(row) else { return (None, allowed) };
    let shown = Interval::printed(printed, most(row));
    let both = allowed.meet(&shown);
    let as_printed = exact.is_some_and(|e| e.round(printed.decimals, Rounding::HalfUp) == printed.value);
    let mut narrowed = Vec::new();
    if both.is_some() {
        for (id, weight, interval) in below {
            // The row less what the others are at least, and at most.
            let (mut least, mut most) = (Exact::zero(), Exact::zero());
            for (_, w, i) in below.iter().filter(|(other, _, _)| other != id) {
                least = &least + &(w * &i.low);
                most = &most + &(w * &i.high);
            }
            let room = Interval {
                low: &(&shown.low - &most) / weight,
                high: &(&shown.high - &least) / weight,
                closed: shown.closed,
            };
            if let Some(met) = interval.meet(&room)
                && met != *interval
            {
                narrowed.push((id.clone(), met));
            }
        }
    }
    let line = AuditedLine {
        row: row.to_owned(),
        printed: printed.clone(),
        possible: both.is_some(),
        as_printed,
        narrowed,
        allowed: allowed.clone(),
    };
    // A figure beyond its scale says nothing about what is above it. An impossible line is named once; what is above it is held against what is printed.
    let beyond = printed.value > Exact::from(most(row));
    (Some(line), both.unwrap_or(if beyond { allowed } else { shown }))
}

/// The marks of a sheet as the text of a record, for a device known by nothing else.
pub fn as_record(sheet: &Sheet, method: &str) -> String {
    let mut out = format!(
        "unfasten: 1\ndevice: {{name: {:?}, category: {}}}\nmarks:\n  {method}:\n",
        sheet.name,
        sheet.category.word()
    );
    for (row, figure) in sheet.rows.iter().filter(|(r, _)| r.contains('.')) {
        let _ = writeln!(out, "    \"{row}\": {}", figure.value.plain());
    }
    out
}
