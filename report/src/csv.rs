//! One row per scored node, for spreadsheets. Columns are stable: new ones are added at the end.

use crate::view::View;
use crate::view::types::{Assessed, Node};

/// Heads of the columns.
pub const COLUMNS: [&str; 20] = [
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
];

/// The assessments of several reports. Lines end in a line feed.
///
/// Cells that a spreadsheet would take for a formula (beginning with `=`, `+`, `-`, `@`, a tab or a carriage return)
/// begin with an apostrophe instead.
pub fn assessments(views: &[View]) -> String {
    let mut writer = ::csv::WriterBuilder::new().from_writer(Vec::new());
    let mut rows: Vec<Vec<String>> = vec![COLUMNS.iter().map(|c| (*c).to_owned()).collect()];
    for assessed in views.iter().flat_map(|v| &v.assessments) {
        node(assessed, &assessed.root, &mut rows);
    }
    for row in rows {
        // Writing to memory can't fail.
        let _ = writer.write_record(row.iter().map(|c| neutral(c)));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn node(a: &Assessed, n: &Node, rows: &mut Vec<Vec<String>>) {
    let text = |t: &Option<String>| t.clone().unwrap_or_default();
    let (low, high) = (n.ends.first(), n.ends.last());
    let mut places: Vec<&str> = n.ends.iter().flat_map(|e| &e.evidence).map(|e| e.place.as_str()).collect();
    places.dedup();
    rows.push(vec![
        a.device.clone(),
        a.method.clone(),
        a.edition.clone(),
        n.id.clone(),
        n.title.clone(),
        text(&n.role),
        n.group.unwrap_or_default().to_owned(),
        n.weight.clone(),
        text(&n.low),
        text(&n.high),
        text(&n.exact_low),
        text(&n.exact_high),
        if n.attained { "yes" } else { "no" }.to_owned(),
        low.map_or_else(String::new, |e| e.said.clone()),
        high.map_or_else(String::new, |e| e.said.clone()),
        n.rule.clause.clone(),
        n.rule.source.clone(),
        n.rule.certainty.clone(),
        places.join(" "),
        a.fingerprint.clone(),
    ]);
    n.children.iter().for_each(|c| node(a, c, rows));
}

/// A cell that no spreadsheet takes for a formula. Plain negative numbers stay.
pub fn neutral(cell: &str) -> String {
    let number = cell.strip_prefix('-').is_some_and(|n| n.bytes().all(|b| b.is_ascii_digit() || b".,/".contains(&b)));
    if !number && cell.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{cell}") } else { cell.to_owned() }
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
    #[case("a=b", "a=b")]
    fn neutralises_formulas(#[case] cell: &str, #[case] shown: &str) {
        assert_eq!(neutral(cell), shown);
    }
}
