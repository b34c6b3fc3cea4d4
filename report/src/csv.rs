//! Tables for spreadsheets: a row for each scored node, and devices side by side. `report/TABLES.md` says what each column
//! means. Columns are stable: new ones are added at the end.
//!
//! Every text cell that a spreadsheet could take for a formula has an apostrophe before it; so has every text that begins
//! with an apostrophe. [`plain`] takes it away again.

use scoring::compare::Table;
use scoring::compare::table::Row;
use scoring::exact::{Exact, Rounding};

use crate::view::View;
use crate::view::types::{Assessed, Node};

/// Heads of the columns of a table of scores.
pub const COLUMNS: [&str; 24] = [
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
];

/// Heads of the columns of a comparison before and behind those of the devices.
pub const COMPARED: [&str; 4] = ["node", "title", "part", "why they differ"];

/// What stands behind a device's name in the heads of its two columns of a comparison.
pub const ENDS: [&str; 2] = [", low", ", high"];

/// The assessments of several reports, with their heads. Lines end in a line feed.
pub fn assessments(views: &[View]) -> String {
    let rows: String = views.iter().flat_map(|v| v.assessments.iter().map(|a| rows(&v.record, a))).collect();
    header() + &rows
}

/// The heads of a table of scores.
pub fn header() -> String {
    table(std::iter::once(COLUMNS.map(str::to_owned)))
}

/// The rows of one assessment of a record.
pub fn rows(record: &str, assessed: &Assessed) -> String {
    let mut rows = Vec::new();
    node(record, assessed, &assessed.root, true, &mut rows);
    table(rows)
}

/// Devices side by side: one row a criterion, two columns a device, values with six decimals.
pub fn comparison(compared: &Table) -> String {
    let [first @ .., last] = COMPARED.map(str::to_owned);
    let names = compared.names.iter().map(|n| crate::clean::line(n));
    let mut heads = first.to_vec();
    heads.extend(names.flat_map(|name| ENDS.map(|end| format!("{name}{end}"))));
    heads.push(last);
    table(std::iter::once(heads).chain(compared.rows.iter().map(beside)))
}

fn beside(row: &Row) -> Vec<String> {
    let text = |t: Option<&str>| crate::clean::line(t.unwrap_or_default());
    let value = |v: Option<&Exact>| v.map_or_else(String::new, |v| v.display(6, Rounding::HalfUp));
    let mut cells = vec![text(Some(&row.id)), text(Some(&row.title)), text(row.role.as_deref())];
    for cell in &row.cells {
        cells.push(value(cell.as_ref().and_then(|c| c.low.as_ref())));
        cells.push(value(cell.as_ref().and_then(|c| c.high.as_ref())));
    }
    cells.push(text(row.reason.as_deref()));
    cells
}

fn table(rows: impl IntoIterator<Item = impl IntoIterator<Item = String>>) -> String {
    let mut writer = ::csv::WriterBuilder::new().from_writer(Vec::new());
    for row in rows {
        // Writing to memory can't fail.
        let _ = writer.write_record(row.into_iter().map(|c| neutral(&c)));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn node(record: &str, a: &Assessed, n: &Node, root: bool, rows: &mut Vec<Vec<String>>) {
    let text = |t: Option<&String>| t.cloned().unwrap_or_default();
    let (low, high) = (n.ends.first(), n.ends.last());
    let mut places: Vec<&str> = n.ends.iter().flat_map(|e| &e.evidence).map(|e| e.place.as_str()).collect();
    places.dedup();
    rows.push(vec![
        a.device.clone(),
        a.method.clone(),
        a.edition.clone(),
        n.id.clone(),
        n.title.clone(),
        text(n.role.as_ref()),
        n.group.unwrap_or_default().to_owned(),
        n.weight.clone(),
        text(n.low.as_ref()),
        text(n.high.as_ref()),
        text(n.exact_low.as_ref()),
        text(n.exact_high.as_ref()),
        if n.attained { "yes" } else { "no" }.to_owned(),
        low.map_or_else(String::new, |e| e.said.clone()),
        high.map_or_else(String::new, |e| e.said.clone()),
        n.rule.clause.clone(),
        n.rule.source.clone(),
        n.rule.certainty.clone(),
        places.join(" "),
        a.fingerprint.clone(),
        record.to_owned(),
        text(a.class_low.as_ref().filter(|_| root)),
        text(a.class_high.as_ref().filter(|_| root)),
        n.unknowns.len().to_string(),
    ]);
    n.children.iter().for_each(|c| node(record, a, c, false, rows));
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
