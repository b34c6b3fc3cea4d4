//! Tables of comma-separated values (RFC 4180) as cells that know their places.
//!
//! Blank lines and lines that start with `#` are skipped. Space around a cell doesn't count; a cell in double quotes may
//! hold commas, line breaks and doubled quotes.

use super::fields::short;
use super::{Diagnostic, FileId, Source, Span, Spanned};

/// One line of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvRow {
    /// Its cells; a quoted cell's place includes the quotes.
    pub cells: Vec<Spanned<String>>,
    /// From the first byte to the last, without the line break.
    pub span: Span,
}

/// The lines of a table, the head first, with every mistake in file order. A quote that is not closed ends reading.
pub fn rows(source: &Source, file: FileId) -> (Vec<CsvRow>, Vec<Diagnostic>) {
    let mut lines = Lines { text: &source.text, file, at: 0, found: Vec::new() };
    let mut out = Vec::new();
    while lines.at < lines.text.len() {
        out.extend(lines.line());
    }
    (out, lines.found)
}

/// One cell as it is written, quoted where it must be; a leading sign that spreadsheets take for a formula gets a space.
pub fn cell(value: &str) -> String {
    let value = if value.starts_with(['=', '+', '-', '@']) { format!(" {value}") } else { value.to_owned() };
    if value.contains([',', '"', '\n', '\r']) || value.starts_with('#') {
        format!("\"{}\"", value.replace('"', "\"\""))
    } else {
        value
    }
}

struct Lines<'t> {
    text: &'t str,
    file: FileId,
    at: usize,
    found: Vec<Diagnostic>,
}

impl Lines<'_> {
    fn span(&self, start: usize, end: usize) -> Span {
        let byte = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span { file: self.file, start: byte(start), end: byte(end) }
    }

    /// The next line; `None` for one that is skipped or can't be read.
    fn line(&mut self) -> Option<CsvRow> {
        let start = self.at;
        let end = self.text[start..].find('\n').map_or(self.text.len(), |n| start + n);
        let whole = self.text[start..end].trim_end_matches('\r');
        if whole.trim().is_empty() || whole.starts_with('#') {
            self.at = end + 1;
            return None;
        }
        let mut cells = Vec::new();
        loop {
            let (cell, more) = self.cell()?;
            cells.push(cell);
            if !more {
                break;
            }
        }
        let body = self.text[start..self.at.min(self.text.len())].trim_end_matches(['\r', '\n']).len();
        Some(CsvRow { cells, span: self.span(start, start + body) })
    }

    /// The next cell, and whether another follows on this line. Stands behind the comma or line break afterwards.
    fn cell(&mut self) -> Option<(Spanned<String>, bool)> {
        let blank = |rest: &str| rest.len() - rest.trim_start_matches([' ', '\t']).len();
        let start = self.at + blank(&self.text[self.at..]);
        if !self.text[start..].starts_with('"') {
            let end = self.text[start..].find([',', '\n']).map_or(self.text.len(), |n| start + n);
            let text = self.text[start..end].trim_end();
            let cell = Spanned::new(text.to_owned(), self.span(start, start + text.len()));
            return Some((cell, self.pass(end)));
        }
        let mut text = String::new();
        let mut at = start + 1;
        loop {
            let Some(quote) = self.text[at..].find('"').map(|n| at + n) else {
                self.found.push(
                    Diagnostic::error("table-syntax", self.span(start, start + 1), "a quote that is not closed")
                        .because("Where the cell ends is not known, so nothing behind it can be read.")
                        .mend("close it; a quote inside a quoted cell is doubled"),
                );
                self.at = self.text.len();
                return None;
            };
            text.push_str(&self.text[at..quote]);
            at = quote + 1;
            if !self.text[at..].starts_with('"') {
                break;
            }
            text.push('"');
            at += 1;
        }
        let cell = Spanned::new(text.trim().to_owned(), self.span(start, at));
        let end = self.text[at..].find([',', '\n']).map_or(self.text.len(), |n| at + n);
        let stray = self.text[at..end].trim();
        if !stray.is_empty() {
            let place = at + blank(&self.text[at..]);
            self.found.push(
                Diagnostic::error(
                    "table-syntax",
                    self.span(place, place + stray.len()),
                    format!("`{}` behind a quoted cell", short(stray)),
                )
                .because("A cell is quoted as a whole or not at all.")
                .mend("put the whole cell in quotes, and double the quotes inside it"),
            );
        }
        Some((cell, self.pass(end)))
    }

    fn pass(&mut self, end: usize) -> bool {
        self.at = end + 1;
        self.text[end..].starts_with(',')
    }
}

/// Complains about a line with more cells than the head, or with fewer: every line of a table has as many (RFC 4180,
/// section 2.4).
pub(crate) fn odd_width(row: &CsvRow, columns: usize) -> Option<Diagnostic> {
    let cells = row.cells.len();
    let message = format!("this line has {cells} cell{}; the head has {columns}", if cells == 1 { "" } else { "s" });
    if cells < columns {
        return Some(
            Diagnostic::error("table-syntax", row.span, message)
                .because("A comma is missing, and which cell stands under which column is not known.")
                .mend("write a comma for every empty cell too"),
        );
    }
    let first = row.cells.get(columns)?;
    let span = Span { end: row.span.end.max(first.span.start), ..first.span };
    Some(
        Diagnostic::error("table-syntax", span, message)
            .because("There is a comma too many, and which cell stands under which column is not known.")
            .mend("put a cell that holds a comma in double quotes, or delete the comma"),
    )
}

/// The complaint about a head that separates its columns by something else, if it does.
pub(crate) fn other_separator(head: &CsvRow) -> Option<Diagnostic> {
    let [only] = &*head.cells else { return None };
    let other = [';', '\t'].into_iter().find(|c| only.value.contains(*c))?;
    let name = if other == ';' { "semicolons" } else { "tabs" };
    Some(
        Diagnostic::error("table-syntax", only.span, format!("the columns are separated by {name}"))
            .because("Only commas separate columns here.")
            .mend("save the table as comma-separated values"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn read(text: &str) -> (Vec<Vec<String>>, Vec<String>) {
        let source = Source::new("t.csv", text);
        let (rows, found) = rows(&source, 0);
        let cells = rows.into_iter().map(|r| r.cells.into_iter().map(|c| c.value).collect()).collect();
        let said = found.iter().map(|d| {
            let at = source.position(d.at.span.start);
            format!("{}:{} {}", at.line, at.column, d.message)
        });
        (cells, said.collect())
    }

    #[rstest]
    #[case("a,b\n1, 2 \n", "[a][b] [1][2]")]
    #[case("# head\na,b\r\n\r\n1,\r\n", "[a][b] [1][]")]
    #[case("a\n\"x, \"\"y\"\"\nz\" ,w", "[a] [x, \"y\"\nz][w]")]
    #[case("5\" disc,b", "[5\" disc][b]")]
    #[case("\u{feff}a,", "[a][]")]
    fn cells_are_read(#[case] text: &str, #[case] wanted: &str) {
        let (rows, found) = read(text);
        let shown: Vec<String> = rows.iter().map(|r| r.iter().map(|c| format!("[{c}]")).collect()).collect();
        assert_eq!((shown.join(" "), found), (wanted.to_owned(), vec![]));
    }

    #[rstest]
    #[case("a,b\n1,\"2\n3,4\n", &["2:3 a quote that is not closed"])]
    #[case("a,b\n\"1\" x,2\n\"3\"y,4", &["2:5 `x` behind a quoted cell", "3:4 `y` behind a quoted cell"])]
    fn mistakes_are_placed(#[case] text: &str, #[case] wanted: &[&str]) {
        assert_eq!(read(text).1, wanted);
    }

    proptest! {
        /// Held against the crate `csv`, which writes what is read here.
        #[test]
        fn what_another_writer_wrote_is_read_back(table in prop::collection::vec(prop::collection::vec("[a-zé \",;\r\n#|]{0,8}", 3), 1..6)) {
            let mut writer = csv::WriterBuilder::new().quote_style(csv::QuoteStyle::Always).from_writer(Vec::new());
            for row in &table {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            let trim = |r: &Vec<String>| r.iter().map(|c| c.trim().to_owned()).collect();
            let trimmed: Vec<Vec<String>> = table.iter().map(trim).collect();
            prop_assert_eq!(read(&text), (trimmed, vec![]));
        }

        #[test]
        fn nothing_panics_and_places_lie_in_the_text(text in "[a\",\n\r é#]{0,40}") {
            let source = Source::new("t.csv", &text);
            for row in rows(&source, 0).0 {
                for cell in row.cells {
                    prop_assert!(source.text.get(cell.span.start as usize..cell.span.end as usize).is_some());
                }
            }
        }
    }
}
