//! Arrows of the house: what each room uses, read from its text, held against the list in DEVELOPERS.md.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// The rooms of a crate in the order of the list of DEVELOPERS.md: a line of two spaces, a name and what it is, below a
/// line that starts with the crate's folder.
fn listed(page: &str, house: &str) -> Vec<String> {
    let below = page.lines().skip_while(|l| !l.starts_with(&format!("{house}/  "))).skip(1);
    let rooms = below.take_while(|l| l.starts_with("  "));
    rooms.map(|l| l.split_whitespace().next().unwrap_or_default().to_owned()).collect()
}

/// All files of a crate with the room they are in, in the order of their names.
fn files(house: &str) -> Vec<(String, PathBuf, String)> {
    fn walk(folder: &Path, out: &mut Vec<PathBuf>) {
        for path in std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
            if path.is_dir() {
                walk(&path, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                out.push(path);
            }
        }
    }
    let top = root().join(house).join("src");
    let mut paths = Vec::new();
    walk(&top, &mut paths);
    paths.sort();
    let room = |path: &Path| {
        let first = path.strip_prefix(&top).unwrap().iter().next().unwrap().to_string_lossy().into_owned();
        first.trim_end_matches(".rs").to_owned()
    };
    paths.into_iter().map(|p| (room(&p), p.clone(), std::fs::read_to_string(&p).unwrap())).collect()
}

/// The names that follow `crate::` (or another root) in a text that is no comment: `crate::a::b`, `crate::{a, b::c}`.
fn used(text: &str, root: &str) -> Vec<String> {
    let code: String = text.lines().filter(|l| !l.trim_start().starts_with("//")).map(|l| format!("{l}\n")).collect();
    let name = |s: &str| s.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut out = Vec::new();
    for (at, _) in code.match_indices(root) {
        let whole = code[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != ':');
        let rest = &code[at + root.len()..];
        match rest.strip_prefix('{') {
            _ if !whole => {}
            Some(group) => {
                let mut depth = 1;
                let mut start = true;
                for (i, c) in group.char_indices() {
                    match c {
                        '{' => depth += 1,
                        '}' => depth -= 1,
                        ',' if depth == 1 => start = true,
                        c if start && depth == 1 && !c.is_whitespace() => {
                            out.push(name(&group[i..]));
                            start = false;
                        }
                        _ => {}
                    }
                    if depth == 0 {
                        break;
                    }
                }
            }
            None => out.push(name(rest)),
        }
    }
    out
}

#[test]
fn names_behind_a_root_are_found() {
    let text =
        "use crate::a::{b, c};\nuse crate::{d, e::{f, g},\n h};\n// crate::i\nlet x = crate::j(othercrate::k);\n";
    assert_eq!(used(text, "crate::"), ["a", "d", "e", "h", "j"]);
}

#[test]
fn rooms_of_scoring_use_those_above_them() {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let rooms = listed(&page, "scoring");
    assert!(rooms.len() > 8, "the list of rooms is gone: {rooms:?}");
    let place: BTreeMap<&str, usize> = rooms.iter().enumerate().map(|(i, r)| (&**r, i)).collect();
    let mut wrong = Vec::new();
    let mut seen = 0;
    for (room, path, text) in files("scoring").into_iter().filter(|(room, ..)| room != "lib") {
        let Some(own) = place.get(&*room) else {
            wrong.push(format!("{}: the room `{room}` is not in the list", path.display()));
            continue;
        };
        for name in used(&text, "crate::") {
            seen += 1;
            if place.get(&*name).is_none_or(|at| at > own) {
                wrong.push(format!("{}: `{room}` uses `{name}`", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(seen > 200, "only {seen} uses were found");
}

/// `cli` uses `report` uses `scoring`: by the names of their crates.
#[test]
fn crates_use_one_another_one_way() {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    assert!(page.contains("`cli` uses `report` uses `scoring`"), "the arrows of the crates are gone from the page");
    for (house, never) in [("scoring", &["report::", "unfasten_cli::"][..]), ("report", &["unfasten_cli::"])] {
        for (_, path, text) in files(house) {
            for name in never {
                assert_eq!(used(&text, name), [""; 0], "{} uses {name}", path.display());
            }
        }
    }
    let reports = files("report").iter().flat_map(|(.., text)| used(text, "scoring::")).count();
    assert!(reports > 20, "only {reports} uses of scoring were found in report");
}
