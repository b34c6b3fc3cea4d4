//! Tables for spreadsheets: a row for each scored node, a row for each device, and devices side by side. `report/TABLES.md` says what each column
//! means. Columns are stable: new ones are added at the end.
//!
//! Every text cell that a spreadsheet could take for a formula has an apostrophe before it; so has every text that begins
//! with an apostrophe. [`plain`] takes it away again.

use scoring::compare::SideBySide;
use scoring::compare::side_by_side::CriterionRow;
use scoring::exact::{Exact, Rounding};
use scoring::method::Method;
use scoring::range::{Assessment, Graded, Range, rests_on};
use scoring::text::Span;

use crate::clean::line;
use crate::fingerprint;
use crate::view::place::Places;
use crate::view::tree::{points, rule};
use crate::view::{self, Job, title};
use crate::words::english::group;

/// Heads of the columns of a table of scores.
pub const COLUMNS: [&str; 35] = [
    "device",
    "method",
    "edition",
    "node",
    "title",
    "part",
    "group",
    "weight",
    "low",
    "high",
    "exact low",
    "exact high",
    "attained",
    "read at low end",
    "read at high end",
    "clause",
    "source",
    "certainty",
    "evidence",
    "fingerprint",
    "record",
    "class low",
    "class high",
    "unknowns",
    "supplied from",
    "binds",
    "category",
    "sheet",
    "low without sheet",
    "high without sheet",
    "rests on",
    "low attained",
    "high attained",
    "reached low",
    "reached high",
];

/// Heads of the columns of a comparison before and behind those of the devices.
pub const COMPARED: [&str; 5] = ["node", "title", "part", "supplied from", "why they differ"];

/// What stands behind a device's name in the heads of its columns of a comparison.
pub const OF_EACH: [&str; 4] = [", low", ", high", ", sheet", ", binds"];

/// What holds for all rows of one device of a comparison.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Circumstances {
    /// The bench sheet that fills something in; empty: none.
    pub sheet: String,
    /// Whether the rule binds it: `yes`, `no`, `open`.
    pub binds: String,
}

/// The heads of a table of scores.
pub fn header() -> String {
    table(std::iter::once(COLUMNS.map(str::to_owned)))
}

/// The rows of a record's assessments, without heads. Lines end in a line feed.
pub fn scores(job: &Job<'_>) -> String {
    let places = Places::new(job.record, job.sources);
    let mut rows = Vec::new();
    for applied in &job.applied {
        let about = About {
            places: &places,
            method: &applied.assessment.method,
            classes: applied.assessment.classes.as_ref(),
            range: applied.assessment.range(),
            first: [
                title(job.record),
                line(&applied.assessment.method.id.value),
                line(&applied.assessment.method.edition),
            ],
            last: [fingerprint::of(job, applied), view::name(job)],
            device: [
                job.record.device.category.value.word().to_owned(),
                job.record.without_sheet().map_or_else(String::new, |(sheet, _)| line(sheet)),
            ],
            rests: rests(applied.assessment),
            without: applied.others.without[1].as_ref(),
            day: [
                applied.assessment.method.days.supplied_from.map(|d| d.to_string()).unwrap_or_default(),
                view::binds(applied.assessment.standing).to_owned(),
            ],
        };
        about.node(&applied.assessment.root, true, &mut rows);
    }
    table(rows)
}

/// Heads of the columns of a table of devices before those of the methods.
pub const DEVICE: [&str; 4] = ["device", "category", "record", "sheet"];

/// What stands behind a method's id in the heads of its columns of a table of devices; the first four only where it has two
/// verdicts, those of classes only where it has classes.
pub const VERDICTS: [&str; 16] = [
    "bench low",
    "bench high",
    "bench low without sheet",
    "bench high without sheet",
    "low",
    "high",
    "low without sheet",
    "high without sheet",
    "class low",
    "class high",
    "attained",
    "unknowns",
    "supplied from",
    "binds",
    "fingerprint",
    "rests on",
];

/// Which of [`VERDICTS`] a method has.
fn verdicts_of(method: &Method) -> impl Iterator<Item = (usize, &'static str)> {
    let (bench, classes) = (method.bench_verdict().is_some(), method.classes.is_some());
    let verdict = method.scale.verdict;
    VERDICTS.into_iter().enumerate().filter(move |(i, _)| match i {
        0..4 => bench,
        8..10 => classes,
        15 => verdict,
        _ => true,
    })
}

/// The heads of a table of devices judged by some methods.
pub fn devices_header(methods: &[&Method]) -> String {
    let of = |m: &&Method| {
        let id = line(&m.id.value);
        verdicts_of(m).map(|(_, what)| format!("{id}, {what}")).collect::<Vec<_>>()
    };
    table(std::iter::once(DEVICE.map(str::to_owned).into_iter().chain(methods.iter().flat_map(of)).collect::<Vec<_>>()))
}

/// One device as a row below [`devices_header`], given the same methods; cells of methods that don't fit it are empty.
pub fn device(job: &Job<'_>, methods: &[&Method]) -> String {
    let mut cells = vec![
        title(job.record),
        job.record.device.category.value.word().to_owned(),
        view::name(job),
        job.record.without_sheet().map_or_else(String::new, |(sheet, _)| line(sheet)),
    ];
    for method in methods {
        let found = job.applied.iter().find(|a| a.assessment.method.id.value == method.id.value);
        let Some(applied) = found else {
            cells.extend(verdicts_of(method).map(|_| String::new()));
            continue;
        };
        let a = applied.assessment;
        let ends = |of: Option<&Assessment>| {
            let shown = |v: &Option<Exact>| v.as_ref().map_or_else(String::new, |v| points(method, v));
            of.map_or_else(Default::default, |a| [shown(&a.root.low), shown(&a.root.high)])
        };
        let others = applied.others;
        let [bench_low, bench_high] = ends(others.bench.as_ref());
        let [bench_low_without, bench_high_without] = ends(others.without[0].as_ref());
        let [low, high] = ends(Some(a));
        let [low_without, high_without] = ends(others.without[1].as_ref());
        let [class_low, class_high] = a.classes.clone().unwrap_or_default();
        let all = [
            bench_low,
            bench_high,
            bench_low_without,
            bench_high_without,
            low,
            high,
            low_without,
            high_without,
            line(&class_low),
            line(&class_high),
            if a.root.exact { "yes" } else { "no" }.to_owned(),
            a.root.unknowns.len().to_string(),
            a.method.days.supplied_from.map(|d| d.to_string()).unwrap_or_default(),
            view::binds(a.standing).to_owned(),
            fingerprint::of(job, applied),
            rests(a),
        ];
        cells.extend(verdicts_of(method).map(|(i, _)| all[i].clone()));
    }
    table(std::iter::once(cells))
}

/// Devices side by side: one row a criterion, four columns a device, values with six decimals. `each`: of every device, in
/// order; `supplied_from`: the day from which the rule binds devices first supplied then, where it names one.
pub fn comparison(compared: &SideBySide, each: &[Circumstances], supplied_from: Option<&str>) -> String {
    let [first @ .., day, last] = COMPARED.map(str::to_owned);
    let names = compared.names.iter().map(|n| line(n));
    let mut heads = first.to_vec();
    heads.extend(names.flat_map(|name| OF_EACH.map(|of| format!("{name}{of}"))));
    heads.extend([day, last]);
    let day = supplied_from.unwrap_or_default();
    table(std::iter::once(heads).chain(compared.rows.iter().map(|row| beside(row, &compared.names, each, day))))
}

fn beside(row: &CriterionRow, names: &[String], each: &[Circumstances], day: &str) -> Vec<String> {
    let text = |t: Option<&str>| line(t.unwrap_or_default());
    let value = |v: Option<&Exact>| v.map_or_else(String::new, |v| v.display(6, Rounding::HalfUp));
    let mut cells = vec![text(Some(&row.id)), text(Some(&row.title)), text(row.role.as_deref())];
    for (at, cell) in row.cells.iter().enumerate() {
        let of = each.get(at).cloned().unwrap_or_default();
        cells.push(value(cell.as_ref().and_then(|c| c.low.as_ref())));
        cells.push(value(cell.as_ref().and_then(|c| c.high.as_ref())));
        cells.extend([line(&of.sheet), of.binds]);
    }
    cells.push(day.to_owned());
    cells.push(crate::comparison::reason(row, names).unwrap_or_default());
    cells
}

/// Rows as one text; what could run as a formula gets an apostrophe in front.
pub fn table(rows: impl IntoIterator<Item = impl IntoIterator<Item = String>>) -> String {
    let mut writer = ::csv::WriterBuilder::new().from_writer(Vec::new());
    for row in rows {
        // Writing to memory can't fail.
        let _ = writer.write_record(row.into_iter().map(|c| neutral(&c)));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

/// What a verdict of pass or fail rests on that nobody saw or read, in one cell.
fn rests(a: &Assessment) -> String {
    let all: Vec<String> = rests_on(a).iter().map(|r| line(&format!("{}: {}", r.how, r.text))).collect();
    all.join("; ")
}

/// What the rows of one assessment share.
struct About<'a> {
    places: &'a Places<'a>,
    method: &'a Method,
    classes: Option<&'a [String; 2]>,
    /// What completions of the verdict reach, and whether its ends are some completion's.
    range: Range,
    /// Device, method, edition.
    first: [String; 3],
    /// Fingerprint, record.
    last: [String; 2],
    /// The day its rule binds from, and whether it binds.
    day: [String; 2],
    /// Category, bench sheet.
    device: [String; 2],
    /// What a verdict of pass or fail rests on that nobody saw or read.
    rests: String,
    /// The verdict without the sheet.
    without: Option<&'a Assessment>,
}

impl About<'_> {
    fn node(&self, node: &Graded, root: bool, rows: &mut Vec<Vec<String>>) {
        let shown = |v: &Option<Exact>| v.as_ref().map_or_else(String::new, |v| points(self.method, v));
        let exact = |v: &Option<Exact>| v.as_ref().map_or_else(String::new, Exact::to_string);
        let class = |end: usize| self.classes.filter(|_| root).map_or_else(String::new, |c| line(&c[end]));
        let yes = |is: bool| if is { "yes" } else { "no" }.to_owned();
        // At a bound nothing is read: no completion has it.
        let said = |end: usize| if self.range.attained[end] { line(&node.ends[end].said) } else { String::new() };
        let reached = |end: usize| if root { exact(&self.range.reached[end]) } else { String::new() };
        let mut spans: Vec<Span> = Vec::new();
        for found in node.ends.iter().flat_map(|e| &e.evidence) {
            if !spans.contains(&found.span) {
                spans.push(found.span);
            }
        }
        let mut places: Vec<String> = spans.into_iter().map(|s| self.places.place(s)).collect();
        places.dedup();
        let rule = rule(&node.rule);
        let [device, method, edition] = self.first.clone();
        let [fingerprint, record] = self.last.clone();
        let [supplied, binds] = self.day.clone();
        let [category, sheet] = self.device.clone();
        let without = |end: fn(&Graded) -> &Option<Exact>| {
            self.without.filter(|_| root).map_or_else(String::new, |w| shown(end(&w.root)))
        };
        rows.push(vec![
            device,
            method,
            edition,
            node.id.clone(),
            line(&node.title),
            node.role.as_deref().map_or_else(String::new, line),
            node.group.map_or_else(String::new, |g| group(g).to_owned()),
            node.weight.plain(),
            shown(&node.low),
            shown(&node.high),
            exact(&node.low),
            exact(&node.high),
            yes(node.exact),
            said(0),
            said(1),
            rule.clause,
            rule.source,
            rule.certainty,
            places.join(" "),
            fingerprint,
            record,
            class(0),
            class(1),
            node.unknowns.len().to_string(),
            supplied,
            binds,
            category,
            sheet,
            without(|n| &n.low),
            without(|n| &n.high),
            if root { self.rests.clone() } else { String::new() },
            yes(node.attained[0]),
            yes(node.attained[1]),
            reached(0),
            reached(1),
        ]);
        node.children.iter().for_each(|c| self.node(c, false, rows));
    }
}

/// Beginnings a spreadsheet takes for a formula, or passes over to find one; and our own mark.
/// Source: the usual advice against formulas in CSV (OWASP, "CSV Injection"; memory medium).
const RISKY: [char; 12] = ['=', '+', '-', '@', '\t', '\r', '\n', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}', '\''];

/// A cell that no spreadsheet takes for a formula. Plain negative numbers and fractions stay.
pub fn neutral(cell: &str) -> String {
    let figure = |b: u8| b.is_ascii_digit() || b".,/".contains(&b);
    let number = cell.strip_prefix('-').is_some_and(|n| n.bytes().all(figure) && n.bytes().any(|b| b.is_ascii_digit()));
    if !number && cell.starts_with(RISKY) { format!("'{cell}") } else { cell.to_owned() }
}

/// What a cell said before [`neutral`].
pub fn plain(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("=1+1", "'=1+1")]
    #[case("+cmd", "'+cmd")]
    #[case("-2+3", "'-2+3")]
    #[case("@sum", "'@sum")]
    #[case("\tx", "'\tx")]
    #[case("\rx", "'\rx")]
    #[case("-1.5", "-1.5")]
    #[case("-1/3", "-1/3")]
    #[case("-", "'-")]
    #[case("\u{ff1d}1+1", "'\u{ff1d}1+1")]
    #[case("'=1", "''=1")]
    #[case("a=b", "a=b")]
    fn neutralises_formulas(#[case] cell: &str, #[case] shown: &str) {
        assert_eq!(neutral(cell), shown);
        assert_eq!(plain(shown), cell);
    }

    proptest::proptest! {
        #[test]
        fn every_text_comes_back(text in "[=+@'\t\r\n 0-9\\-\u{ff1d}a\"]{0,6}") {
            let bytes = table([[text.clone(), "end".to_owned()]]);
            let mut reader = ::csv::ReaderBuilder::new().has_headers(false).from_reader(bytes.as_bytes());
            let row = reader.records().next().unwrap().unwrap();
            proptest::prop_assert_eq!(plain(&row[0]), &text);
            // Nothing but a plain number begins with a sign.
            let number = Exact::parse(&row[0].replace([',', '.', '/'], "0")).is_some();
            proptest::prop_assert!(number || !row[0].starts_with(&RISKY[..11]));
        }
    }
}
