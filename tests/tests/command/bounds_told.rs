//! What is told of a verdict with a bound: an end nobody has shown to be some completion's carries no route, no proof and no
//! value, in any form (the project's design, sections 2 and 5: *an end is exact, with reasons, or a bound, without*).

use crate::heavy;
use std::collections::BTreeMap;

use report::template::Templates;
use report::view::{Applied, Job, Outlook, View, build};
use scoring::method::load_shipped;
use scoring::range::{Assessment, Effort, fitted};
use scoring::record::Record;
use scoring::text::{Source, Sources};
use serde_json::Value;

const PHONE: &str = include_str!("../../../samples/bar-phone.yaml");
const VACUUM: &str = include_str!("../../../samples/cordless-vacuum.yaml");

/// Records with much open, each by methods that leave bounds after a look or two.
fn cases() -> Vec<(String, Record, Sources, Assessment)> {
    let mut out = Vec::new();
    let texts = [heavy::first_draft(), heavy::without_absent(PHONE), VACUUM.to_owned()];
    for (number, text) in texts.iter().enumerate() {
        for id in ["en-45554", "eu-2023-1669", "eu-2023-1670", "eu-2023-1542-11"] {
            let mut sources = Sources::new();
            let file = sources.add(Source::new("record.yaml", text));
            let record = scoring::record::read(&sources, file).record.expect("a record");
            let method = load_shipped(id).expect("ships");
            if !method.scope.categories.contains(&record.device.category.value) {
                continue;
            }
            let effort = Effort { looks: 2, ..Effort::default() };
            let assessment = Assessment::new(&record, &fitted(&method, &record), effort);
            out.push((format!("{number} {id}"), record, sources, assessment));
        }
    }
    out
}

/// Every object of a document, with the keys that lead to it.
fn walk<'v>(value: &'v Value, path: &str, found: &mut dyn FnMut(&str, &'v serde_json::Map<String, Value>)) {
    match value {
        Value::Object(map) => {
            found(path, map);
            map.iter().for_each(|(key, value)| walk(value, &format!("{path}/{key}"), found));
        }
        Value::Array(list) => list.iter().enumerate().for_each(|(i, v)| walk(v, &format!("{path}/{i}"), found)),
        _ => {}
    }
}

#[test]
fn nothing_is_read_at_a_bound() {
    let (mut bounds, mut exact) = (0, 0);
    for (name, record, sources, assessment) in &cases() {
        let outlook = Outlook::default();
        let applied = Applied::new(assessment, "text", &outlook);
        let job = Job { record, sources, applied: vec![applied], version: "0", photos: BTreeMap::new() };
        let view: View = build(&job);
        let json: Value = serde_json::from_str(&report::json::line_of(&view)).unwrap();
        let verdict = &json["assessments"][0];
        let attained = [&verdict["attained_low"], &verdict["attained_high"]].map(|v| v.as_bool().unwrap());
        assert_eq!(attained, assessment.attained, "{name}");
        assert_eq!(verdict["attained"], attained == [true; 2], "{name}");
        let mut met = 0;
        walk(verdict, "", &mut |path, object| {
            if path.rsplit('/').nth(1) == Some("ends") {
                met += 1;
                let wanted = match object.get("end").and_then(Value::as_str) {
                    Some("low") => attained[0],
                    Some(_) => attained[1],
                    None => attained == [true; 2],
                };
                // Of a bound only what was tried is told, and it says so.
                let tried = object.get("tried").and_then(Value::as_str);
                assert_eq!(tried.is_some_and(|t| t.contains("tried")), !wanted, "{name}{path}: {tried:?}");
            }
        });
        assert!(met > 3, "{name}: no ends were met");
        let (Some(low), Some(high)) = (&assessment.root.low, &assessment.root.high) else { continue };
        let figure = |key: &str| verdict[key].as_str().and_then(scoring::exact::Exact::parse);
        if let (Some(least), Some(most)) = (figure("reached_low"), figure("reached_high")) {
            assert!(*low <= least && least <= most && most <= *high, "{name}: {least} to {most}");
        }
        let rows = report::csv::header() + &report::csv::scores(&job);
        let mut reader = csv::Reader::from_reader(rows.as_bytes());
        let heads = reader.headers().unwrap().clone();
        let column = |head: &str| heads.iter().position(|h| h == head).unwrap();
        for row in reader.records().map(Result::unwrap) {
            for (end, is) in [("low", attained[0]), ("high", attained[1])] {
                if !is {
                    assert_eq!(&row[column(&format!("read at {end} end"))], "", "{name}: {row:?}");
                }
            }
        }
        if attained == [true; 2] {
            exact += 1;
            continue;
        }
        bounds += 1;
        assert_eq!(verdict["proved"], false, "{name}");
        let templates = Templates::shipped();
        let texts =
            [report::html::report(&view, &templates).unwrap(), report::markdown::report(&view, &templates).unwrap()];
        for text in texts {
            let of = |phrase: &str| {
                text.match_indices(phrase).next().map(|(at, _)| text[at..].chars().take(60).collect::<String>())
            };
            assert_eq!(of("both ends of the verdict"), None, "{name}");
            assert_eq!(of("behind it is proved"), None, "{name}");
            assert_eq!(of("verdict is settled"), None, "{name}");
            assert_eq!(of("both ends of en-"), None, "{name}");
            let told = &view.assessments[0].bounds;
            assert!(!told.is_empty() && text.replace('\n', " ").replace("  ", " ").contains(told), "{name}: {told}");
        }
    }
    assert!(bounds >= 2 && exact >= 1, "{bounds} verdicts with a bound, {exact} without");
}
