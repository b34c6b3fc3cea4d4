//! The shipped sample records read without an error, and the format page is true.

use std::path::Path;

use scoring::record;
use scoring::text::{Severity, Source, Sources};
use scoring::vocab::{Basis, Words};

fn folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../samples"))
}

/// Reads a text and gives `severity code line:column message` of every complaint.
fn complaints(name: &str, text: &str) -> (Option<record::Record>, Vec<String>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, text));
    let read = record::read(&sources, file);
    let shown = read.diagnostics.iter().map(|d| {
        let severity = if d.severity == Severity::Error { "error" } else { "warning" };
        format!("{severity} {} {} {}", d.code, sources.place(d.at.span), d.message)
    });
    let shown = shown.collect();
    (read.record, shown)
}

#[test]
fn samples_read_without_errors() {
    let mut names: Vec<_> = std::fs::read_dir(folder()).unwrap().map(|e| e.unwrap().path()).collect();
    names.retain(|p| p.extension().is_some_and(|e| e == "yaml") && !p.ends_with("bench-a.yaml"));
    names.sort();
    assert!(names.len() >= 5);
    for path in names {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let (record, complaints) = complaints(&name, &std::fs::read_to_string(&path).unwrap());
        assert!(record.is_some(), "{complaints:#?}");
        insta::assert_snapshot!(format!("warnings_{name}"), complaints.join("\n"));
    }
}

/// Every field of every table is named on the format page.
#[test]
fn the_format_page_names_every_field() {
    let page = std::fs::read_to_string(folder().join("README.md")).unwrap();
    for table in record::field_tables::all() {
        for field in table.fields {
            // A written name is looked up folded.
            assert_eq!(scoring::text::fold(field.name), field.name, "{}", table.name);
            let named = page.contains(&format!("`{}`", field.name))
                || page.contains(&format!("{}:", field.name))
                || page.split(['`', '{', '}', ',']).any(|w| w.trim() == field.name);
            assert!(named, "`{}` of {} is not on the format page", field.name, table.name);
        }
    }
}

/// The tables of fields of the format pages are those made from the structs that describe the fields.
#[test]
fn the_tables_of_the_format_pages_are_current() {
    let of_records = ["a record", "the device", "the teardown", "a part", "an action", "a bench sheet"];
    let of_methods = ["a rule", "a method", "the scope", "a part set", "the step rule", "a switch", "a criterion"];
    let named = [&of_records[..], &of_methods[..]];
    for (page, named) in outside::fields::PAGES.into_iter().zip(named) {
        let text = std::fs::read_to_string(folder().join("..").join(page)).unwrap();
        let wanted = outside::fields::with_tables(&text);
        for name in named {
            assert!(text.contains(&format!("<!-- fields: {name} -->")), "{page} has no table of {name}");
        }
        let line = text.lines().zip(wanted.lines()).find(|(is, should)| is != should);
        assert!(text == wanted, "`cargo run -p unfasten-tests --example fields` writes {page} anew: {line:#?}");
    }
}

/// What was read of each action, one line each.
fn outline(record: &record::Record) -> String {
    let tools: Vec<_> = record.tools.iter().map(|t| format!("{} ({:?})", t.name, t.class.known)).collect();
    let mut out = format!("tools: {}\n", tools.join(", "));
    for part in &record.parts {
        let roles: Vec<_> = part.roles.iter().map(|r| r.value.name.as_str()).collect();
        out += &format!("part {}: {}\n", part.name.value, roles.join(" and "));
    }
    for a in &record.actions {
        let with: Vec<_> = a.with.iter().map(|w| format!("{:?}", w.ways.known)).collect();
        let loosen: Vec<_> = a
            .loosen
            .iter()
            .map(|l| format!("{:?} {} {:?} {:?}", l.count.known, l.fastener, l.drive, l.kind.known))
            .collect();
        let needs = match &a.after.value {
            record::After::Needs(needs) => {
                let name = |n: &record::Need| match n {
                    record::Need::Is(n) => n.value.clone(),
                    other => format!("{other:?}").split("Span {").next().unwrap_or_default().to_owned(),
                };
                needs.iter().map(name).collect::<Vec<_>>().join(" and ")
            }
            other => format!("{other:?}"),
        };
        out += &format!(
            "\n{}: {:?} at {:?}\n  with {}\n  loosen {}\n  after {needs}\n  safe {} buy {:?} hazards {}\n",
            a.id,
            a.outcome.value,
            a.at.as_ref().map(|t| t.value),
            with.join("; "),
            loosen.join("; "),
            a.makes_safe,
            a.refit.value.buy,
            a.hazards.len()
        );
    }
    out
}

/// The record on the format page is the shipped one, and reads.
#[test]
fn the_example_of_the_format_page_reads() {
    let page = std::fs::read_to_string(folder().join("README.md")).unwrap();
    let example = page.split("```yaml\n").nth(1).unwrap().split("```").next().unwrap();
    let shipped = std::fs::read_to_string(folder().join("lamp-two.yaml")).unwrap();
    assert!(shipped.ends_with(example), "lamp-two.yaml and the page differ");
    let (record, complaints) = complaints("page.yaml", example);
    let record = record.unwrap_or_else(|| panic!("{complaints:#?}"));
    assert_eq!(complaints, Vec::<String>::new());
    insta::assert_snapshot!("lamp_two_as_read", outline(&record));
}

/// The samples are valid by the JSON Schema, read by another YAML reader and judged by another program.
#[test]
fn samples_fit_the_schema() {
    let schema = record::schema();
    let validator = jsonschema::draft202012::new(&schema).expect("a valid schema");
    for entry in std::fs::read_dir(folder()).unwrap().map(Result::unwrap) {
        if entry.path().extension().is_none_or(|e| e != "yaml") || entry.path().ends_with("bench-a.yaml") {
            continue;
        }
        let value: serde_json::Value = serde_yaml::from_str(&std::fs::read_to_string(entry.path()).unwrap()).unwrap();
        let errors: Vec<String> =
            validator.iter_errors(&value).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert_eq!(errors, Vec::<String>::new(), "{}", entry.path().display());
    }
    let bad = serde_json::json!({ "unfasten": 1, "device": { "name": "x", "category": ["ship"] } });
    assert!(!validator.is_valid(&bad));
    // Every basis that reading knows, and no other.
    for (basis, good) in Basis::ALL.iter().map(|b| (b.word(), true)).chain([("guessed", false)]) {
        let price = serde_json::json!({ "is": "79 EUR", "basis": basis });
        let device = serde_json::json!({ "name": "x", "category": "other", "price": price });
        assert_eq!(validator.is_valid(&serde_json::json!({ "unfasten": 1, "device": device })), good, "{basis}");
    }
}

/// A variant leaves out what its base says; a record that stands alone says it all.
#[test]
fn the_schema_lets_variants_be_short() {
    let validator = jsonschema::draft202012::new(&record::schema()).expect("a valid schema");
    let valid = |text: &str| validator.is_valid(&serde_yaml::from_str::<serde_json::Value>(text).unwrap());
    assert!(valid("{unfasten: 1, extends: base.yaml}"));
    assert!(valid("{unfasten: 1, extends: base.yaml, device: {variant: clips}, without: [foot]}"));
    assert!(valid("{unfasten: 1, device: {name: Lamp Two, category: other}}"));
    assert!(!valid("{unfasten: 1}"));
    assert!(!valid("{unfasten: 1, device: {variant: clips}}"));
    assert!(!valid("{unfasten: 1, device: {name: Lamp Two}}"));
    assert!(!valid("{extends: base.yaml}"));
    assert!(!valid("{unfasten: 1, extends: base.yaml, device: {colour: red}}"));
    assert!(!valid("{unfasten: 1, extends: base.yaml, device: {category: [ship]}}"));
}

const BASE: &str = "unfasten: 1\ndevice: {name: Lamp Two, category: other, price: 79 EUR}\nactions:\n  - {free: ring, after: [], with: hands}\n  - {free: cell, after: ring, with: PH0, loosen: 2 x screw PH0}\n  - {free: foot, after: ring, with: hands}\n";

/// A variant: fields merged, an action replaced by id, one added, one taken out; places stay in their file.
#[test]
fn a_variant_is_merged_and_keeps_its_places() {
    let study = "unfasten: 1\nextends: base.yaml\ndevice: {variant: clip study}\nwithout: [foot]\nactions:\n  - {free: cell, after: ring, with: hands, loosen: 2 x clip}\n  - {free: lid, after: ring, with: hands}\n";
    let mut sources = Sources::new();
    let file = sources.add(Source::new("d/study.yaml", study));
    let mut asked = Vec::new();
    let read = record::read_with(&mut sources, file, &mut |path| {
        asked.push(path.to_owned());
        Ok(Source::new(path, BASE))
    });
    assert_eq!(asked, ["d/base.yaml"]);
    let record = read.record.unwrap_or_else(|| panic!("{:#?}", read.diagnostics));
    let ids: Vec<_> = record.actions.iter().map(|a| &*a.id).collect();
    assert_eq!(ids, ["ring", "cell", "lid"]);
    assert_eq!(record.actions[1].loosen[0].fastener, "clip");
    assert_eq!(record.device.name.value, "Lamp Two");
    assert_eq!(sources.place(record.actions[0].span), "d/base.yaml:4:6");
    assert_eq!(sources.place(record.actions[1].span), "d/study.yaml:6:6");
}

#[test]
fn circles_of_variants_are_found() {
    let mut sources = Sources::new();
    let head = "unfasten: 1\nextends: ";
    let file = sources.add(Source::new("a.yaml", &format!("{head}b.yaml\n")));
    let read = record::read_with(&mut sources, file, &mut |path| {
        let next = if path == "b.yaml" { "c.yaml" } else { "./a.yaml" };
        Ok(Source::new(path, &format!("{head}{next}\n")))
    });
    assert_eq!(read.diagnostics.len(), 1);
    assert_eq!(
        read.diagnostics[0].message,
        "records extend each other in a circle: a.yaml -> b.yaml -> c.yaml -> a.yaml"
    );
}
