//! Support tables: promises kept apart from records give what the same promises written into the record give.

use crate::command_support;

use std::collections::BTreeMap;

use command_support::{project, text_of, unfasten};
use proptest::prelude::*;
use rstest::rstest;
use scoring::method::{load_shipped, shipped};
use scoring::range::{Assessment, Effort};
use scoring::record::{self, Record, SupportTable};
use scoring::text::{Diagnostic, Source, Sources};
use serde_yaml::Value;
use unfasten_cli::Exit;

fn joined(record: &str, tables: &[&str]) -> (Option<Record>, Vec<Diagnostic>, Sources) {
    let mut sources = Sources::new();
    let mut found = Vec::new();
    let tables: Vec<SupportTable> = tables
        .iter()
        .map(|text| {
            let file = sources.add(Source::new("support.csv", text));
            let (table, problems) = SupportTable::read(&sources, file);
            found.extend(problems);
            table
        })
        .collect();
    let file = sources.add(Source::new("record.yaml", record));
    let read = record::read_joined(&mut sources, file, &mut |_| Err("none".to_owned()), &tables);
    found.extend(read.diagnostics);
    (read.record, found, sources)
}

fn said(found: &[Diagnostic], sources: &Sources) -> Vec<String> {
    found.iter().map(|d| format!("{} {}: {}", sources.place(d.at.span), d.code, d.message)).collect()
}

/// Verdict, ends of every criterion, and the questions with their answers, by one method.
fn assessed(record: &Record, method: &str) -> String {
    let method = load_shipped(method).expect("shipped");
    let a = Assessment::new(record, &method, Effort::default());
    let mut out = format!("{:?} {:?} {:?}\n", a.root.low, a.root.high, a.classes);
    let mut nodes = vec![&a.root];
    while let Some(node) = nodes.pop() {
        out += &format!("{} {:?} {:?}\n", node.id, node.low, node.high);
        nodes.extend(&node.children);
    }
    let mut questions: Vec<String> = a
        .unknowns
        .iter()
        .map(|u| format!("{}: {:?}\n", u.question, u.answers.iter().map(|x| &x.label).collect::<Vec<_>>()))
        .collect();
    questions.sort();
    out + "questions\n" + &questions.concat()
}

/// Two such texts are the same; shows the first line that isn't.
fn same(what: &str, left: &str, right: &str) {
    for (a, b) in left.lines().zip(right.lines()) {
        assert_eq!(a, b, "{what}");
    }
    assert_eq!(left.lines().count(), right.lines().count(), "{what}");
}

fn methods(record: &Record) -> Vec<&'static str> {
    let fits = |id: &&str| load_shipped(id).is_some_and(|m| m.scope.categories.contains(&record.device.category.value));
    shipped().iter().map(|s| s.id).filter(fits).filter(|id| *id != "fr-index").collect()
}

fn plain(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Number(n) => n.to_string(),
        Value::Bool(b) => if *b { "yes" } else { "no" }.to_owned(),
        other => panic!("{other:?} is no cell"),
    }
}

/// A record's text without its `support`, and that as a table.
fn taken_out(text: &str) -> (String, String) {
    let value: Value = serde_yaml::from_str(text).unwrap();
    let start = text.find("\nsupport:").unwrap() + 1;
    let end = text[start..]
        .match_indices('\n')
        .map(|(n, _)| start + n + 1)
        .find(|&n| !text[n..].starts_with([' ', '\n', '#']));
    let rest = format!("{}{}", &text[..start], &text[end.unwrap_or(text.len())..]);
    let device = &value["device"];
    let name = |field: &str| plain(&device[field]);
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut rows: Vec<BTreeMap<&str, String>> = Vec::new();
    let mut fact = |part: &str, column: &'static str, value: &Value, whole: Option<&Value>| {
        let mut row = BTreeMap::from([("maker", name("maker")), ("model", name("name")), ("part", part.to_owned())]);
        for (key, from) in [("basis", whole), ("source", whole), ("basis", Some(value)), ("source", Some(value))] {
            if let Some(said) = from.and_then(|f| f.get(key)) {
                row.insert(key, plain(said));
            }
        }
        row.insert(column, plain(value.get("is").unwrap_or(value)));
        rows.push(row);
    };
    let support = &value["support"];
    let columns = || record::field_tables::SUPPORT_TABLE.names();
    for column in columns() {
        let value = match column.strip_prefix("information ") {
            Some(field) => support["information"].get(field),
            None => support.get(column),
        };
        value.into_iter().for_each(|v| fact("", column, v, None));
        for (part, entry) in support["spare parts"].as_mapping().into_iter().flatten() {
            if record::field_tables::SPARE.field(column).is_some() && !matches!(column, "basis" | "source") {
                entry.get(column).into_iter().for_each(|v| fact(&plain(part), column, v, Some(entry)));
            }
        }
    }
    writer.write_record(columns()).unwrap();
    for row in &rows {
        writer.write_record(columns().map(|c| row.get(c).map_or("", String::as_str))).unwrap();
    }
    (rest, String::from_utf8(writer.into_inner().unwrap()).unwrap())
}

#[rstest]
#[case("bar-phone")]
#[case("folding-tablet")]
#[case("slate-tablet")]
#[case("laptop")]
#[case("washing-machine")]
#[case("lamp-two")]
fn promises_of_a_sample_moved_to_a_table_change_nothing(#[case] sample: &str) {
    let text = text_of(&format!("samples/{sample}.yaml"));
    let (rest, table) = taken_out(&text);
    let (whole, ..) = joined(&text, &[]);
    let (apart, found, sources) = joined(&rest, &[&table]);
    let (whole, apart) = (whole.unwrap(), apart.unwrap_or_else(|| panic!("{:?}", said(&found, &sources))));
    assert!(table.lines().count() > 1, "the sample promises something");
    for method in methods(&whole) {
        same(method, &assessed(&apart, method), &assessed(&whole, method));
    }
    // And a table that says again what the record says changes nothing and contradicts nothing.
    let (twice, found, sources) = joined(&text, &[&table]);
    assert!(found.iter().all(|d| !d.code.starts_with("support")), "{:?}", said(&found, &sources));
    same("twice", &assessed(&twice.unwrap(), "en-45554"), &assessed(&whole, "en-45554"));
}

/// A lamp whose `support` and roles are given; its parts come off by hand.
fn lamp(support: &str) -> String {
    format!(
        "unfasten: 1\ndevice: {{name: Lamp Two, maker: Ostrel, model: L-2, category: other, price: 79 EUR}}\n\
         parts:\n  cell: {{role: battery, paired: no}}\n  lid: {{role: back cover, paired: no}}\n\
         actions:\n  - {{free: lid, after: [], with: hands, loosen: 2 x clip}}\n  - {{free: cell, after: lid, with: hands, loosen: clip}}\n\
         roles:\n  battery: {{weight: 2}}\n  back cover: {{weight: 1}}\n\
         teardown: {{place: use, skill: layman}}\nsupport:\n{support}"
    )
}

const HEAD: &str = "maker,model,part,to,years,price,updates,basis,source\n";

/// Record and table on the left give what the record on the right gives.
#[rstest]
// What the record's general entry says still counts where the table only adds to one part.
#[case(
    "  spare parts: {every part: {to: public}}\n",
    "Ostrel,Lamp Two,cell,,7,,,,\n",
    "  spare parts: {every part: {to: public}, cell: {to: public, years: 7}}\n"
)]
// By role, by model number, and in other spelling.
#[case(
    "  spare parts: {cell: {to: public}}\n",
    "OSTREL, l_2 ,Battery,,7,,,,\n",
    "  spare parts: {cell: {to: public, years: 7}}\n"
)]
// The record's unknown and what it leaves open are filled; what it says stands.
#[case(
    "  spare parts: {cell: {to: unknown, years: 5..7}}\n  updates: 3 years\n",
    "Ostrel,Lamp Two,cell,public,7,,,,\nOstrel,Lamp Two,,,,,3 years,,\n",
    "  spare parts: {cell: {to: public, years: 7}}\n  updates: 3 years\n"
)]
// `every part` speaks for parts that no line names, as in a record.
#[case(
    "  spare parts: unknown\n",
    "Ostrel,Lamp Two,every part,none,5,,,,\nOstrel,Lamp Two,cell,public,,19 EUR,,,\n",
    "  spare parts: {every part: {to: none, years: 5}, cell: {to: public, price: 19 EUR}}\n"
)]
// A line on another device says nothing.
#[case(
    "  spare parts: {cell: {to: public}}\n",
    "Ostrel,Lamp Three,cell,,7,,,,\nOther,Lamp Two,cell,,7,,,,\n",
    "  spare parts: {cell: {to: public}}\n"
)]
fn a_table_fills_what_the_record_leaves_open(#[case] support: &str, #[case] lines: &str, #[case] whole: &str) {
    let (left, found, sources) = joined(&lamp(support), &[&format!("{HEAD}{lines}")]);
    assert!(found.is_empty(), "{:?}", said(&found, &sources));
    let (right, ..) = joined(&lamp(whole), &[]);
    // Questions differ where one entry of the record speaks for several parts.
    let scores = |r: Record| assessed(&r, "en-45554").split("questions").next().unwrap().to_owned();
    same("joined", &scores(left.unwrap()), &scores(right.unwrap()));
}

#[rstest]
#[case(
    "  updates: 5 years\n",
    "Ostrel,Lamp Two,,,,,7 years,,\n",
    "support.csv:2:21 support-differs: the table says `7 years`, the record `5 years`"
)]
#[case(
    "  spare parts: none\n",
    "Ostrel,Lamp Two,cell,public,,,,,\n",
    "support.csv:2:17 support-differs: the table promises `cell`, the record says there are no spare parts"
)]
#[case(
    "  spare parts: {every part: {to: none}}\n",
    "Ostrel,Lamp Two,cell,public,,,,,\n",
    "support.csv:2:22 support-differs: the table says `public`, the record `none`"
)]
fn the_record_wins_with_a_warning(#[case] support: &str, #[case] lines: &str, #[case] warning: &str) {
    let (left, found, sources) = joined(&lamp(support), &[&format!("{HEAD}{lines}")]);
    assert_eq!(said(&found, &sources), [warning]);
    let (right, ..) = joined(&lamp(support), &[]);
    same("joined", &assessed(&left.unwrap(), "en-45554"), &assessed(&right.unwrap(), "en-45554"));
}

#[test]
fn every_mistake_of_a_table_is_reported_with_its_place() {
    let table = "maker,model,prat,part,to,years,updates,basis,source,years\n\
                 Ostrel,Lamp Two,,cell,publik,seven,,seen it,page 3,\n\
                 Ostrel,Lamp Two,,cell,public,,7 years,,,\n\
                 Ostrel,Lamp Two,,,public,,,,,\n\
                 Ostrel,,,cell,public,,,,,\n\
                 Ostrel,lamp two,,CELL,public,,,,,\n\
                 Ostrel,L-2,,lide,public,,,,,\n";
    let mut sources = Sources::new();
    let file = sources.add(Source::new("support.csv", table));
    let (_, found) = SupportTable::read(&sources, file);
    insta::assert_snapshot!(said(&found, &sources).join("\n"));
    let mends: Vec<_> = found.iter().filter_map(|d| d.mend.as_deref()).collect();
    assert!(mends.contains(&"did you mean `part`?") && mends.contains(&"did you mean `public`?"), "{mends:?}");
    // Parts are known only beside a record; facts said twice by name and by model likewise.
    let lines = format!(
        "{HEAD}Ostrel,Lamp Two,cel,public,,,,,\nOstrel,L-2,cell,public,,,,,\nOstrel,Lamp Two,cell,public,,,,,\n"
    );
    let (record, found, sources) = joined(&lamp("  updates: 3 years\n"), &[&lines]);
    assert!(record.is_none());
    assert_eq!(
        said(&found, &sources),
        [
            "support.csv:2:17 unknown-reference: `cel` is neither a part of this record nor a role",
            "support.csv:4:22 duplicate-field: `to` is said a second time",
        ]
    );
    assert_eq!(found[0].mend.as_deref(), Some("did you mean `cell`?"));
    assert_eq!(sources.place(found[0].also[0].span), "record.yaml:2:16");
}

#[test]
fn evidence_names_the_table() {
    let (vacuum, table) = (project("samples/cordless-vacuum.yaml"), project("samples/support.csv"));
    let ran = unfasten(&["score", &vacuum, "--support", &table, "--format", "json", "--method", "en-45554"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let value: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let mut found = Vec::new();
    let mut stack = vec![&value];
    while let Some(value) = stack.pop() {
        if let Some(place) = value.get("place").and_then(|p| p.as_str()).filter(|p| p.contains("support.csv")) {
            found.push((
                place.to_owned(),
                value["text"].clone(),
                value["basis"].clone(),
                value["source"].clone(),
                value["excerpt"].clone(),
            ));
        }
        match value {
            serde_json::Value::Array(list) => stack.extend(list),
            serde_json::Value::Object(map) => stack.extend(map.values()),
            _ => {}
        }
    }
    let cell =
        found.iter().find(|(place, ..)| place.ends_with("support.csv:3:24")).unwrap_or_else(|| panic!("{found:?}"));
    assert_eq!(
        (cell.1.as_str(), cell.2.as_str(), cell.3.as_str()),
        (Some("cell pack: offered to"), Some("stated"), Some("spares list of the maker"))
    );
    assert!(cell.4.as_str().unwrap().starts_with("Ostrel,Sedge,cell pack,public"));
    // The other devices of the table are named at the end, on the other stream.
    assert!(ran.err.contains("support-unmatched") && ran.err.contains("Yarrow"), "{}", ran.err);
}

#[test]
fn a_report_is_verified_with_its_table() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(path("lamp.yaml"), lamp("  updates: 3 years\n")).unwrap();
    let lines = "Ostrel,Lamp Two,cell,public,7,19 EUR,,told,a dealer\n";
    std::fs::write(path("promises.csv"), format!("{HEAD}{lines}")).unwrap();
    // The same facts; only another remark beside them.
    std::fs::write(path("other.csv"), format!("# asked in May\n{HEAD}{lines}")).unwrap();
    std::fs::write(path("strange.csv"), format!("{HEAD}Other,Radio,,,,,5,,\n")).unwrap();
    let (record, out) = (path("lamp.yaml"), path("out"));
    let ran = unfasten(&["report", &record, "--support", &path("promises.csv"), "--out", &out]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let page = std::fs::read_to_string(path("out/lamp.html")).unwrap();
    assert!(page.contains("promises.csv:2:22") && page.contains("a dealer"), "the reason names the table");
    for form in ["html", "md", "json"] {
        let report = path(&format!("out/lamp.{form}"));
        let verify = |more: &[&str]| unfasten(&[&["verify", &report, &record], more].concat());
        assert_eq!(verify(&["--support", &path("promises.csv")]).exit, Exit::Done, "{form}");
        assert_eq!(verify(&[]).exit, Exit::NotMet, "{form}");
        let other = verify(&["--support", &path("other.csv")]);
        assert_eq!(other.exit, Exit::NotMet, "{form}: {}", other.out);
        // A table that doesn't speak of the device changes nothing.
        let both = verify(&["--support", &path("promises.csv"), "--support", &path("strange.csv")]);
        assert_eq!((both.exit, both.err.contains("Radio")), (Exit::Done, true), "{form}: {}", both.out);
    }
    let strict = |table: &str| unfasten(&["check", &record, "--strict", "--support", &path(table)]).exit;
    assert_eq!((strict("promises.csv"), strict("strange.csv")), (Exit::Done, Exit::WrongInput));
}

#[rstest]
#[case(&["check"])]
#[case(&["score"])]
#[case(&["unknowns"])]
#[case(&["changes"])]
#[case(&["report"])]
fn commands_take_tables_and_refuse_broken_ones(#[case] command: &[&str]) {
    let (lamp, table) = (project("samples/lamp-two.yaml"), project("samples/support.csv"));
    let ran = unfasten(&[command, &[&lamp, "--support", &table]].concat());
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let without = unfasten(&[command, &[&lamp]].concat());
    assert!(ran.out != without.out, "the table changes what is said");
    for broken in [project("samples/README.md"), project("samples/no-such.csv")] {
        let ran = unfasten(&[command, &[&lamp, "--support", &broken]].concat());
        assert_eq!(ran.exit, Exit::WrongInput, "{}", ran.err);
        // A check is there to name mistakes, those of the record too; anything else writes nothing.
        assert_eq!(ran.out.is_empty(), *command != ["check"], "{}", ran.out);
    }
}

#[test]
fn a_comparison_takes_tables() {
    let (lamp, fan, table) =
        (project("samples/lamp-two.yaml"), project("samples/cordless-vacuum.yaml"), project("samples/support.csv"));
    let ran = unfasten(&["compare", &lamp, &fan, "--mixed", "--support", &table, "--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert_ne!(ran.out, unfasten(&["compare", &lamp, &fan, "--mixed", "--format", "json"]).out);
}

#[test]
fn the_tables_of_the_samples_read_without_a_complaint() {
    let page = text_of("samples/README.md");
    let example = page.split("```csv\n").nth(1).and_then(|t| t.split("```").next()).expect("the example of the page");
    for text in [example, &text_of("samples/support.csv")] {
        let mut sources = Sources::new();
        let file = sources.add(Source::new("support.csv", text));
        let (_, found) = SupportTable::read(&sources, file);
        assert_eq!(said(&found, &sources), [""; 0]);
        let (record, found, sources) = joined(&text_of("samples/cordless-vacuum.yaml"), &[text]);
        assert!(record.is_some() && found.iter().all(|d| sources.get(d.at.span.file).name.ends_with("yaml")));
    }
}

/// Many records on several threads: joined alike, and what nothing was joined to is said once, at the end.
#[test]
fn tables_are_joined_to_many_records() {
    let folder = tempfile::tempdir().unwrap();
    let mut table = HEAD.to_owned();
    for i in 0..30 {
        let record =
            lamp("  updates: 3 years\n").replace("Lamp Two", &format!("Lamp {i}")).replace("L-2", &format!("L{i}"));
        std::fs::write(folder.path().join(format!("lamp{i}.yaml")), record).unwrap();
        table += &format!("Ostrel,L{i},cell,public,{},,,,\n", i % 9);
    }
    std::fs::write(folder.path().join("promises.csv"), table + "Ostrel,Lamp 31,cell,public,,,,,\n").unwrap();
    let (records, table) = (folder.path().to_str().unwrap(), folder.path().join("promises.csv"));
    let ran = |threads: &str| {
        unfasten(&[
            "score",
            records,
            "--threads",
            threads,
            "--format",
            "csv",
            "-m",
            "en-45554",
            "--support",
            table.to_str().unwrap(),
        ])
    };
    let (one, four) = (ran("1"), ran("4"));
    assert_eq!((one.exit, &one.out), (Exit::Done, &four.out), "{}", one.err);
    assert_eq!(one.out.matches("promises.csv:").count(), four.out.matches("promises.csv:").count());
    assert!(one.out.contains("promises.csv:31:"), "the last lamp has its line");
    assert_eq!((one.err.matches("support-unmatched").count(), &one.err), (1, &four.err));
}

#[test]
fn hostile_text_of_a_table_stays_text() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    std::fs::write(path("lamp.yaml"), lamp("  updates: 3 years\n")).unwrap();
    let hostile = "<script>alert(1)</script>\"\" onload=x \u{202e}";
    std::fs::write(
        path("promises.csv"),
        format!("{HEAD}Ostrel,Lamp Two,every part,public,7,19 EUR,,told,\"{hostile}\"\n"),
    )
    .unwrap();
    for form in ["html", "md"] {
        let ran = unfasten(&["report", &path("lamp.yaml"), "--support", &path("promises.csv"), "--to", form]);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        assert!(ran.out.contains("promises.csv") && ran.out.contains("alert(1)"), "the source is shown");
        let mut html = ran.out.clone();
        if form == "md" {
            html.clear();
            pulldown_cmark::html::push_html(&mut html, pulldown_cmark::Parser::new(&ran.out));
        }
        let page = scraper::Html::parse_document(&html);
        assert!(page.select(&scraper::Selector::parse("script, [onload]").unwrap()).next().is_none(), "{form}");
        assert!(!ran.out.contains('\u{202e}'), "{form}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    /// Whatever stands in a table, reading and joining it gives complaints with places in its text, never a panic.
    #[test]
    fn any_table_can_be_read(
        columns in prop::sample::subsequence(record::field_tables::SUPPORT_TABLE.names().collect::<Vec<_>>(), 2..8),
        cells in prop::collection::vec(prop::sample::select(vec![
            "", "Ostrel", "Lamp Two", "cell", "battery", "every part", "public", "7 years", "5..", "|", "unknown", "none",
            "19 EUR", "stated", "\"", "a\"b", "é", "\n", ";", "#", "yes", "free | fee", "\u{0}",
        ]), 0..60),
    ) {
        let mut text = columns.join(",") + "\n";
        for row in cells.chunks(columns.len()) {
            text += &(row.join(",") + "\n");
        }
        let mut sources = Sources::new();
        let file = sources.add(Source::new("support.csv", &text));
        let (table, found) = SupportTable::read(&sources, file);
        let record = sources.add(Source::new("record.yaml", &lamp("  spare parts: {cell: {to: public}}\n")));
        let read = record::read_joined(&mut sources, record, &mut |_| Err(String::new()), std::slice::from_ref(&table));
        for d in found.iter().chain(&read.diagnostics).chain(&table.unmatched(&std::collections::BTreeSet::new())) {
            for span in std::iter::once(d.at.span).chain(d.also.iter().map(|l| l.span)) {
                prop_assert!(span.start <= span.end && span.end as usize <= sources.get(span.file).text.len(), "{d:?}");
                prop_assert!(sources.get(span.file).text.get(span.start as usize..span.end as usize).is_some(), "{d:?}");
            }
        }
    }
}

/// Every line of a table has as many cells (RFC 4180, section 2.4). One that hasn't gets one complaint, whatever its cells
/// would mean in the columns they slipped into.
#[test]
fn a_line_of_another_width_is_one_mistake() {
    let table = format!(
        "{HEAD}Ostrel,Lamp Two,cell,public,7 years,12, EUR,,,\n\
         Ostrel,Lamp Two,cell,7 years,12 EUR,,stated,\n\
         Ostrel,Lamp Two,cel,public,,,,,\n"
    );
    let (_, found, sources) = joined(&lamp("  updates: 3 years\n"), &[&table]);
    assert_eq!(
        said(&found, &sources),
        [
            "support.csv:2:47 table-syntax: this line has 10 cells; the head has 9",
            "support.csv:3:1 table-syntax: this line has 8 cells; the head has 9",
            "support.csv:4:17 unknown-reference: `cel` is neither a part of this record nor a role",
        ]
    );
    assert!(found.iter().all(|d| d.mend.is_some() && d.reason.is_some()));
}

/// `check` names what is wrong in a table and the parts no record has, in one run.
#[test]
fn a_check_names_lines_and_parts_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    std::fs::write(path("lamp.yaml"), lamp("  updates: 3 years\n")).unwrap();
    let table = "maker,modell,part,to,years\n\
                 Ostrel,Lamp Two,cel,public,7\n\
                 Ostrel,Lamp Two,cell,publik,7\n\
                 Ostrel,Lamp Two,lid,public,seven,\n\
                 Ostrel,,lid,publik,7\n";
    std::fs::write(path("table.csv"), table).unwrap();
    let ran = unfasten(&["--problems", "line", "check", &path("lamp.yaml"), "--support", &path("table.csv")]);
    assert_eq!(ran.exit, Exit::WrongInput);
    let said: Vec<&str> = ran.out.lines().map(|l| l.rsplit_once("table.csv:").map_or(l, |(_, l)| l)).collect();
    let wanted = ["1:7", "3:22", "4:34", "5:1", "5:13", "2:17"];
    assert_eq!(said.len(), wanted.len(), "{}", ran.out);
    for (line, place) in said.iter().zip(wanted) {
        assert!(line.starts_with(&format!("{place}:")), "{line} {place}");
    }
}
