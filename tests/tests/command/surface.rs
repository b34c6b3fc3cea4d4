//! What the two libraries offer to people outside this workspace: the root of each, and nothing else. A line that goes or
//! changes here breaks somebody's program.

use std::fs;
use std::path::Path;

/// Every public line of a library's front: what its root names, then what each of those has.
fn surface(library: &str) -> String {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(library).join("src");
    let mut files: Vec<_> = match fs::read_dir(source.join("front")) {
        Ok(folder) => folder.map(|f| f.unwrap().path()).filter(|p| !p.ends_with("mod.rs")).collect(),
        Err(_) => vec![source.join("front.rs")],
    };
    files.sort();
    files.insert(0, source.join("lib.rs"));
    let mut out = String::new();
    for file in files {
        let text = fs::read_to_string(&file).unwrap();
        let mut hidden = false;
        for line in with_uses_in_a_line(&text).lines() {
            let line = line.trim_end();
            let item = line.trim_start();
            // A method of a public type may be hidden, a room is.
            hidden |= item.contains("doc(hidden)");
            if item.starts_with("pub ") && !item.starts_with("pub mod") && !std::mem::take(&mut hidden) {
                out.push_str(line.trim_end_matches(['{', ' ']));
                out.push('\n');
            }
            // Variants of enums.
            if file.ends_with("front.rs")
                && line.starts_with("    ")
                && line.ends_with(',')
                && !line.contains(['(', ':', '='])
            {
                out.push_str(line);
                out.push('\n');
            }
        }
    }
    out
}

/// A text whose `pub use` of many names stands on one line each.
fn with_uses_in_a_line(text: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for line in text.lines() {
        out.push_str(if inside { line.trim() } else { line });
        inside = (inside || line.starts_with("pub use ")) && !line.ends_with(';');
        out.push_str(match line.ends_with(['{', ',']) {
            true if inside && line.ends_with('{') => "",
            true if inside => " ",
            _ => "\n",
        });
    }
    out.replace(", };", "};")
}

#[test]
fn the_libraries_offer_a_page() {
    let page = format!("scoring\n\n{}\nreport\n\n{}", surface("scoring"), surface("report"));
    assert!(page.lines().count() < 130, "more than a page:\n{page}");
    insta::assert_snapshot!(page);
}
