//! The tables of fields of the format pages, made from the structs that describe the fields.

use scoring::text::fields::{Field, Table};
use scoring::{method, record};

/// The pages that have such tables, from the root of the project.
pub const PAGES: [&str; 2] = ["samples/README.md", "criteria/README.md"];

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
        let mut all = record::field_tables::all().chain(method::tables());
        let table = all.find(|t| t.name == name).unwrap_or_else(|| panic!("nothing describes {name}"));
        out += &format!("{before}{START}{name} -->\n{}{END}", rows(table));
        rest = behind;
    }
    out + rest
}

/// What every block of a method says of its rule, which a page lists once.
const RULE: &str = "a rule";

/// The fields of a table but those of its rule.
fn own_fields(table: &Table) -> Vec<&Field> {
    let rule = method::tables().find(|t| t.name == RULE).filter(|_| table.name != RULE);
    let ruled = rule.is_some_and(|rule| rule.names().all(|name| table.field(name).is_some()));
    let of_rule = |name: &str| ruled && rule.is_some_and(|rule| rule.field(name).is_some());
    table.fields.iter().filter(|f| !of_rule(f.name)).collect()
}

fn rows(table: &Table) -> String {
    let fields = own_fields(table);
    let third = fields.iter().any(|f| !f.left_out.is_empty());
    let mut out =
        if third { "| field | what | left out |\n|---|---|---|\n" } else { "| field | what |\n|---|---|\n" }.to_owned();
    for field in fields {
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
