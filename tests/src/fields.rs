//! The tables of fields of the format page, made from the structs that describe the fields.

use scoring::record::tables;
use scoring::text::fields::Table;

/// What starts the table of a mapping on a page, before its name: `<!-- fields: an action -->`.
const START: &str = "<!-- fields: ";
/// What ends it.
const END: &str = "<!-- end of fields -->";

/// A page with its tables of fields as they should be.
///
/// # Panics
/// If a table is started that nothing describes, or has no end.
pub fn with_tables(page: &str) -> String {
    let mut out = String::new();
    let mut rest = page;
    while let Some((before, behind)) = rest.split_once(START) {
        let (name, behind) = behind.split_once(" -->").expect("a name");
        let (_, behind) = behind.split_once(END).unwrap_or_else(|| panic!("the table of {name} has no end"));
        let table = tables::all().find(|t| t.name == name).unwrap_or_else(|| panic!("nothing describes {name}"));
        out += &format!("{before}{START}{name} -->\n{}{END}", rows(table));
        rest = behind;
    }
    out + rest
}

fn rows(table: &Table) -> String {
    let third = table.fields.iter().any(|f| !f.left_out.is_empty());
    let mut out =
        if third { "| field | what | left out |\n|---|---|---|\n" } else { "| field | what |\n|---|---|\n" }.to_owned();
    for field in table.fields {
        let cell = |text: &str| text.replace('|', "\\|");
        let needed = if field.required && !third { "Required. " } else { "" };
        out += &format!("| `{}` | {needed}{} |", field.name, cell(field.doc));
        if third {
            let left_out = match field.left_out {
                "" if field.required => "error",
                "" => "–",
                means => means,
            };
            out += &format!(" {} |", cell(left_out));
        }
        out += "\n";
    }
    out
}
