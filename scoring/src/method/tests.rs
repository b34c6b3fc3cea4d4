//! Reading, checking and saying methods.

use std::collections::BTreeSet;

use super::*;
use crate::exact::{Exact, Rounding};
use crate::text::fields::Table;
use crate::text::{Diagnostic, Severity, Source, Sources};
use crate::vocab::{Category, Form};
use rstest::rstest;

const HOUSE: &str = include_str!("tests/house.yaml");
const README: &str = include_str!("../../../criteria/README.md");

fn read_text(text: &str) -> (Option<Method>, Vec<Diagnostic>, Sources) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("house.yaml", text));
    let (method, found) = read(&mut sources, file, &mut shipped_source);
    (method, found, sources)
}

fn good(text: &str) -> Method {
    let (method, found, sources) = read_text(text);
    let shown: Vec<_> =
        found.iter().map(|d| format!("{} {} {}", sources.place(d.at.span), d.code, d.message)).collect();
    assert!(shown.is_empty(), "{shown:#?}");
    method.unwrap()
}

#[test]
fn the_house_method_is_clean() {
    good(HOUSE);
}

/// Each code's example, put into a clean method, gets that complaint and no panic; its mend is in the clean one.
#[test]
fn every_code_has_an_example_that_triggers_it() {
    for code in codes::all() {
        assert!(HOUSE.contains(&code.right), "{}: `{}` is not in house.yaml", code.code, code.right);
        let bad = HOUSE.replacen(&code.right, &code.wrong, 1);
        let (method, found, _) = read_text(&bad);
        let codes: Vec<_> = found.iter().map(|d| d.code).collect();
        assert!(codes.contains(&&*code.code), "{} is not among {codes:?}", code.code);
        let complaint = found.iter().find(|d| d.code == code.code).unwrap();
        assert!(complaint.mend.is_some() || complaint.reason.is_some(), "{} has neither reason nor mend", code.code);
        let failed = found.iter().any(|d| d.severity == Severity::Error);
        assert_eq!(method.is_none(), failed, "{}", code.code);
    }
}

/// All complaints of all examples as a person sees them: place, marked text, headline, reason, mend.
#[test]
fn complaints_read_well() {
    use std::fmt::Write;
    let mut out = String::new();
    for code in codes::all() {
        let (_, found, sources) = read_text(&HOUSE.replacen(&code.right, &code.wrong, 1));
        let _ = writeln!(out, "{}: {}", code.code, code.title);
        for d in found {
            let at = sources.position(d.at.span);
            let marked = sources.excerpt(d.at.span).lines().next().unwrap_or_default();
            let severity = if d.severity == Severity::Error { "error" } else { "warning" };
            let _ = writeln!(out, "  {severity} {} {}:{} `{marked}`: {}", d.code, at.line, at.column, d.message);
            let _ = writeln!(out, "    {} -> {}", d.reason.unwrap_or_default(), d.mend.unwrap_or_default());
        }
    }
    insta::assert_snapshot!(out);
}

/// Every code written in the sources of this module is registered, and the other way round.
#[test]
fn codes_used_are_the_codes_registered() {
    let sources = concat!(
        include_str!("load.rs"),
        include_str!("days.rs"),
        include_str!("spread.rs"),
        include_str!("written.rs"),
        include_str!("read/mod.rs"),
        include_str!("read/head.rs"),
        include_str!("read/node.rs"),
        include_str!("read/points.rs"),
        include_str!("read/switches.rs"),
        include_str!("check/head.rs"),
        include_str!("check/tree.rs"),
        include_str!("check/points.rs"),
    );
    for code in codes::all() {
        assert!(
            sources.contains(&format!("\"{}\"", code.code)),
            "`{}` is registered, but nothing complains so",
            code.code
        );
    }
    let general = ["missing-field", "wrong-value", "wrong-shape"];
    for (at, _) in sources.match_indices("Diagnostic::error(").chain(sources.match_indices("Diagnostic::warning(")) {
        let rest = &sources[at..];
        let Some(word) = rest.split('"').nth(1).filter(|w| w.contains('-') && !w.contains(' ')) else {
            continue;
        };
        assert!(codes::all().iter().any(|c| c.code == word) || general.contains(&word), "`{word}` is not registered");
    }
    let unique: BTreeSet<_> = codes::all().iter().map(|c| &c.code).collect();
    assert_eq!(unique.len(), codes::all().len());
}

/// Many mistakes at once, types among them: all reported, each on its line.
#[test]
fn one_mistake_does_not_hide_the_next() {
    let bad = HOUSE
        .replace("to: 10}", "to: ten}")
        .replace("fan: 1", "fan: much")
        .replace("measure: adhesives", "measure: glue")
        .replace("up to 6: 5", "up to six: 5")
        .replace("expert: 2", "exprt: 2")
        .replace("id: updates", "idd: updates");
    let (method, found, sources) = read_text(&bad);
    assert!(method.is_none());
    let shown: Vec<_> = found.iter().map(|d| format!("{} {}", d.code, sources.excerpt(d.at.span))).collect();
    insta::assert_snapshot!(shown.join("\n"));
}

#[rstest]
#[case("")]
#[case("- a\n- b\n")]
#[case("unfasten method: 1\n")]
#[case("unfasten method: 1\nid: x\ntitle: x\nextends: en-45554\nchange: 7\n")]
#[case("unfasten method: 1\ncriteria: {of: [[], 3, {each: {}, measure: depth, bands: [1]}]}\n")]
#[case(
    "unfasten method: 1\ncriteria: {each: priority, score: {of: []}}\nparts: [{for: moon, weights: 3}]\nswitches: [{options: {a: {sets: {steps: 3}}}}]\n"
)]
fn what_is_no_method_is_refused_without_panic(#[case] text: &str) {
    assert!(read_text(text).0.is_none());
}

mod hostile {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        /// A method with any run of it cut out or replaced never panics.
        #[test]
        fn mangled_methods_never_panic(start in 0usize..2200, len in 0usize..60, junk in "[-a-z0-9 :{}\\[\\],\n|]{0,12}") {
            let mut chars: Vec<char> = HOUSE.chars().collect();
            let start = start.min(chars.len());
            let end = (start + len).min(chars.len());
            chars.splice(start..end, junk.chars());
            let text: String = chars.into_iter().collect();
            let (method, found, _) = read_text(&text);
            prop_assert_eq!(method.is_none(), found.iter().any(|d| d.severity == Severity::Error));
        }
    }
}

#[test]
fn a_method_extends_another() {
    let text = "unfasten method: 1\nid: mine\ntitle: Mine\nsource: me\ncertainty: own\nextends: eu-2023-1669\n\
        classes: {rule: Two classes., bounds: {in: 3, out: 1}}\n\
        change:\n  S_F: {weight: 0.10, levels: {reusable: 5, resupplied: 4, removable: 1, neither: 1}}\n  S_T: {weight: 0.20}\n";
    let method = good(text);
    assert_eq!((method.id.value.as_str(), method.title.as_str()), ("mine", "Mine"));
    let node = method.node("S_F").unwrap();
    let weight = node.weight.as_ref().unwrap();
    assert_eq!((weight.value.clone(), weight.source.as_deref()), (Exact::parse("0.1").unwrap(), Some("me")));
    let CriterionKind::Leaf { points: Points::Levels(levels), .. } = &method.node("S_F/part").unwrap().kind else {
        panic!()
    };
    assert_eq!(levels[1].1.value, Exact::from(4));
    assert_eq!(levels[1].1.source.as_deref(), Some("me"));
    // What is not changed cites what it cited before.
    let base = load_shipped("eu-2023-1669").unwrap();
    assert_eq!(method.node("S_DD").unwrap().rule, base.node("S_DD").unwrap().rule);
    let weights =
        |m: &Method| m.part_sets[1].weights.iter().map(|(r, w)| (r.clone(), w.value.clone())).collect::<Vec<_>>();
    assert_eq!(weights(&method), weights(&base));
    assert_eq!(method.part_sets[1].rule, base.part_sets[1].rule);
    assert_eq!(method.classes.unwrap().bounds.len(), 2);
    // The changed weights are checked like any others.
    let (none, found, sources) = read_text(&text.replace("0.20", "0.25"));
    assert!(none.is_none());
    assert_eq!(found.iter().map(|d| d.code).collect::<Vec<_>>(), ["weights-sum"]);
    assert!(sources.place(found[0].at.span).starts_with("criteria/eu-2023-1669.yaml"));
}

#[test]
fn circles_over_files_are_found() {
    let file = |extends: &str| format!("unfasten method: 1\nid: x-{extends}\ntitle: X\nextends: {extends}.yaml\n");
    let mut sources = Sources::new();
    let first = sources.add(Source::new("a.yaml", &file("b")));
    let mut find = |name: &str| {
        let next = if name == "b.yaml" { "c" } else { "a" };
        Some(Source::new(name, &file(next)))
    };
    let (method, found) = read(&mut sources, first, &mut find);
    assert!(method.is_none());
    assert!(found.iter().any(|d| d.code == "extends-circle"), "{found:?}");
}

/// Every option of every shipped switch can be taken, and taking the chosen one again restores the method.
#[test]
fn switches_change_and_restore() {
    for shipped in shipped() {
        let method = load_shipped(shipped.id).unwrap();
        for switch in &method.switches {
            let chosen = &switch.options[switch.chosen].0;
            for (option, _) in switch.options.iter().filter(|(o, _)| o != chosen) {
                let other = method.with_switch(&switch.id, option).unwrap();
                let changed = format!("{other:?}") != format!("{method:?}");
                assert!(changed, "{}: {} {option} changes nothing", shipped.id, switch.id);
                let back = other.with_switch(&switch.id, chosen).unwrap();
                assert_eq!(format!("{back:?}"), format!("{method:?}"), "{}: {}", shipped.id, switch.id);
            }
        }
    }
}

/// Limits taken out in any order and put back in any order stand where they stood.
#[test]
fn parked_criteria_keep_their_place() {
    let method = load_shipped("en-45554").unwrap();
    let ids: Vec<&str> = method.switches.iter().map(|s| s.id.as_str()).filter(|id| id.starts_with("limit")).collect();
    for turn in 0..ids.len() {
        let mut other = method.clone();
        let mut order = ids.clone();
        order.rotate_left(turn);
        for id in &order {
            other = other.with_switch(id, "off").unwrap();
        }
        assert!(other.node("limit-way").is_none());
        assert_eq!(other.parked.len(), 8);
        order.reverse();
        order.rotate_left(turn / 2);
        for id in &order {
            other = other.with_switch(id, "on").unwrap();
        }
        assert_eq!(other.root, method.root, "turn {turn}");
    }
}

#[rstest]
#[case(Category::of("smartphone"), &["5.1 updates", "5.2 updates", "5.3 updates"])]
#[case(Category::of("washing machine"), &["5.1 washing", "5.2 washing", "5.3 washing"])]
#[case(Category::of("mower"), &["5.1 mower"])]
#[case(Category::of("cordless vacuum cleaner"), &["5.1 other kinds", "5.2 other kinds", "5.3 other kinds"])]
fn a_method_is_fitted_to_a_device(#[case] category: Category, #[case] rows: &[&str]) {
    let method = load_shipped("fr-index").unwrap().for_device(category, Form::NotFolding);
    let ids: Vec<_> = method.node("c5").unwrap().children().iter().map(|n| n.id.as_str()).collect();
    assert_eq!(ids, rows);
}

fn fenced(page: &str) -> Vec<&str> {
    page.split("```yaml\n").skip(1).filter_map(|rest| rest.split("```").next()).collect()
}

/// The examples of the format page are read without a complaint.
#[test]
fn the_format_page_examples_are_clean() {
    let examples = fenced(README);
    assert_eq!(examples.len(), 2);
    let whole = good(examples[0]);
    assert_eq!(whole.id.value, "workshop-evening");
    let house = good(examples[1]);
    assert_eq!(house.node("depth").unwrap().weight.as_ref().unwrap().value, Exact::from(6));
}

/// A row of the format page's table of measures.
fn measure_row(name: &str, measure: &Measure) -> String {
    let of = match (measure.on_route(), measure.per_part()) {
        (true, _) => "part, route",
        (false, true) => "part",
        _ => "device",
    };
    let values = match measure.scale() {
        MeasureScale::Words => measure.words().iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", "),
        MeasureScale::Rungs => "roles".to_owned(),
        MeasureScale::Fewer => format!("{}, fewer is better", measure.unit()),
        MeasureScale::Number => format!("{}, more is better", measure.unit()),
    };
    let meaning = measure.meaning().split(": `").next().unwrap_or_default().trim_end_matches('.');
    format!("| `{name}` | {meaning} | {values} | {of} | {} |", measure.settled_by())
}

#[test]
fn the_format_page_names_every_measure_and_field() {
    let rows: Vec<_> = Measure::all().iter().map(|m| measure_row(&m.word(), m)).collect();
    let rows = [rows, vec![measure_row("mark ROW", &Measure::Mark(String::new()))]].concat().join("\n");
    assert!(README.contains(&rows), "the table of measures should be:\n{rows}");
    let pages = [README, include_str!("../../../criteria/STEPS.md")].concat();
    let fields = tables().flat_map(|t| t.fields.iter().map(move |f| (f.name, t.name)));
    // A written name is looked up folded.
    assert!(tables().flat_map(Table::names).all(|field| crate::text::fold(field) == field));
    let unnamed: Vec<_> =
        fields.filter(|(f, _)| !pages.contains(&format!("`{f}`")) && !pages.contains(&format!("{f}:"))).collect();
    assert!(unnamed.is_empty(), "fields the pages do not name: {unnamed:?}");
    for word in Combine::WORDS.iter().chain(Rounding::WORDS).chain(Group::WORDS) {
        assert!(README.contains(&format!("`{word}`")), "`{word}`");
    }
}

/// Every measure is used by a shipped method.
#[test]
fn shipped_methods_use_every_measure() {
    let used: BTreeSet<Measure> = shipped()
        .iter()
        .flat_map(|s| {
            let method = load_shipped(s.id).unwrap();
            let leaf = |n: &Criterion| match &n.kind {
                CriterionKind::Leaf { measure, .. } => Some(measure.clone()),
                _ => None,
            };
            method.root.all().into_iter().filter_map(leaf).collect::<Vec<_>>()
        })
        .collect();
    for measure in Measure::all() {
        assert!(used.contains(measure), "`{}` is used by no shipped method", measure.word());
    }
}

/// A method as a person would explain it: one paragraph a line, rows below.
fn spoken(method: &Method) -> String {
    use std::fmt::Write;
    let mut out = String::new();
    for p in aloud(method) {
        let sure = p.certainty.map(|c| {
            format!(
                " [{c}; {}{}]",
                p.source,
                if p.clause.is_empty() { String::new() } else { format!(", {}", p.clause) }
            )
        });
        let _ =
            writeln!(out, "{}{} ({}): {}{}", "  ".repeat(p.level), p.heading, p.id, p.text, sure.unwrap_or_default());
        for r in p.rows {
            let marks = [r.certainty.map(|c| c.to_string()), r.source, r.note]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join("; ");
            let marks = if marks.is_empty() { marks } else { format!(" [{marks}]") };
            let _ = writeln!(out, "{}- {}: {}{marks}", "  ".repeat(p.level + 1), r.what, r.value);
        }
    }
    out
}

#[rstest]
#[case("en-45554")]
#[case("eu-2023-1669")]
#[case("eu-2023-1670")]
#[case("eu-2023-1542-11")]
#[case("fr-index")]
fn methods_are_read_aloud(#[case] id: &str) {
    insta::assert_snapshot!(format!("aloud_{id}"), spoken(&load_shipped(id).unwrap()));
}

#[test]
fn the_schema_knows_every_table() {
    let schema = schema();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    for name in ["criterion", "part-set", "switch", "number", "rung"] {
        assert!(schema["$defs"][name].is_object(), "{name}");
    }
}

/// Mistakes of every sort at once, with the complaint each one gets, at the text it is made in.
const MISTAKES: &[(&str, &str, &str, &str)] = &[
    (
        "categories: [smartphone, laptop]}\nscale",
        "categories: [smartphone, laptop]}\nscales",
        "unknown-field",
        "scales",
    ),
    ("sum: 10\n", "sum: 11\n", "weights-sum", "for: [smartphone]"),
    ("back cover: 4", "back lid: 4", "role-unknown", "back lid: 4"),
    ("fan: 1", "fan: much", "wrong-value", "much"),
    ("fair: 4, poor: 0", "fair: 8, poor: 0", "class-order", "fair: 8"),
    ("poor: 0", "poor: 1", "class-gap", "poor: 1"),
    ("chosen: on", "chosen: onn", "wrong-value", "onn"),
    ("{include: {out of reach: no}}", "{include: {out of reach: no}, absent: 3}", "switch-uneven", "id: far-parts"),
    ("sub scores: [mean]", "sub scores: [meen]", "criterion-unknown", "meen"),
    ("weights sum to: 10", "weights sum to: 12", "weights-sum", "mean"),
    ("up to 6: 5, more: 0", "up to 1: 5, more: 0", "band-order", "up to 1"),
    ("measure: adhesives", "measure: glue", "measure-unknown", "glue"),
    ("expert: 2, ", "exprt: 12, ", "level-unknown", "exprt"),
    ("layman: 10", "layman: 11", "points-outside", "layman: 11"),
    ("all of: [battery]", "all of: [batery]", "role-unknown", "batery"),
    ("only for: {categories: [smartphone, laptop]}", "only for: {categories: [smartfone]}", "wrong-value", "smartfone"),
    ("from 5: 10, less: 0", "from 5: ten, less: 0", "wrong-value", "ten"),
    ("combine: worst", "combine: wurst", "wrong-value", "wurst"),
    ("yes: 10, only by damage: 3", "yes: 10, only by damage: 30", "points-outside", "only by damage: 30"),
];

/// A line of what a file gets: code and marked text.
fn told(text: &str) -> Vec<(String, String)> {
    let (_, found, sources) = read_text(text);
    let first = |d: &Diagnostic| sources.excerpt(d.at.span).lines().next().unwrap_or_default().trim().to_owned();
    found.iter().map(|d| (d.code.to_owned(), first(d))).collect()
}

fn with_mistakes(skip: Option<usize>) -> String {
    let mistakes = MISTAKES.iter().enumerate().filter(|(at, _)| Some(*at) != skip);
    mistakes.fold(HOUSE.to_owned(), |text, (_, (right, wrong, ..))| {
        assert!(text.contains(right), "`{right}` is not in the file");
        text.replacen(right, wrong, 1)
    })
}

/// Sums, scales and classes are checked beside what can't be read, and nothing is said that only follows.
#[test]
fn all_mistakes_are_told_in_one_run() {
    let mut wanted: Vec<(String, String)> =
        MISTAKES.iter().map(|(_, _, code, at)| ((*code).to_owned(), (*at).to_owned())).collect();
    // The same text gets two complaints: it is misspelt, and its points are off the scale.
    wanted.push(("points-outside".into(), "exprt: 12".into()));
    wanted.push(("points-order".into(), "exprt: 12".into()));
    wanted.push(("points-order".into(), "only by damage: 30".into()));
    let mut found = told(&with_mistakes(None));
    found.sort();
    wanted.sort();
    assert_eq!(found, wanted);
}

/// Mending one mistake takes away its complaints and brings no other up.
#[test]
fn mending_one_mistake_leaves_the_others() {
    let all = told(&with_mistakes(None));
    for (at, (_, wrong, code, place)) in MISTAKES.iter().enumerate() {
        let left = told(&with_mistakes(Some(at)));
        assert!(left.len() < all.len(), "{code} {wrong}: {left:#?}");
        assert!(!left.contains(&((*code).to_owned(), (*place).to_owned())), "{code} {wrong}");
        assert!(
            left.iter().all(|c| all.contains(c)),
            "{code} {wrong} hid {:?}",
            left.iter().find(|c| !all.contains(c))
        );
    }
}

/// What an author wrote without a full stop does not run into what follows.
#[test]
fn sentences_of_an_author_end() {
    let text = HOUSE
        .replace(
            "scope: {categories: [smartphone, laptop]}",
            "scope: {categories: [smartphone, laptop], rule: what people bring}",
        )
        .replace("- id: skill\n", "- id: skill\n          rule: by whom (at best)\n");
    let said = aloud(&good(&text));
    let text_of = |id: &str| said.iter().find(|p| p.id == id).map(|p| p.text.as_str()).unwrap();
    assert!(text_of("scope").ends_with("what people bring."), "{}", text_of("scope"));
    assert!(text_of("skill").starts_with("by whom (at best). Weight 2."), "{}", text_of("skill"));
}

/// What a person writes from the format page alone, with the one complaint each slip gets.
#[rstest]
#[case("scale: {from: 0, to: 10}", "scale: 0..10", "wrong-shape", "write `{from: ..., to: ...}`")]
#[case("sum: 10\n", "sum: 10 %\n", "wrong-value", "write the number alone: `10`")]
#[case("up to 6: 5", "up to 6 steps: 5", "band-name", "write `up to 6`")]
#[case(
    "certainty: own",
    "certainty: own choice",
    "wrong-value",
    "write one of: read, secondary, memory high, memory medium, memory low, derived, own"
)]
#[case(
    "- id: skill\n          weight: 2\n          each: priority\n          measure: skill\n          levels",
    "- skill: {weight: 2, each: priority, measure: skill, levels: {layman: 10, generalist: 6, expert: 2, manufacturer: 0}}\n        - id: other\n          weight: 0\n          each: priority\n          measure: skill\n          levels",
    "criterion-kind",
    "write `id: skill` as its first field, the others beside it"
)]
#[case(
    "{all of: [battery], points: 5}",
    "{all of: [battery], points: 5}, {all of: [battery, back cover], points: 4}",
    "rung-never",
    "write the rungs that ask most first"
)]
fn slips_get_one_complaint(#[case] right: &str, #[case] wrong: &str, #[case] code: &str, #[case] mend: &str) {
    assert!(HOUSE.contains(right), "{right}");
    let (_, found, _) = read_text(&HOUSE.replacen(right, wrong, 1));
    let found: Vec<_> = found.iter().filter(|d| d.severity == Severity::Error).collect();
    assert_eq!(found.iter().map(|d| (d.code, d.mend.as_deref())).collect::<Vec<_>>(), [(code, Some(mend))]);
}

/// Where a measure is read is said once.
#[test]
fn measures_that_name_the_route_are_those_whose_meaning_does() {
    for measure in Measure::all() {
        assert_eq!(measure.meaning().contains("route"), measure.says_where(), "{measure:?}: {}", measure.meaning());
    }
}
