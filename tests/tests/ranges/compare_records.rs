//! Records beside each other: tables with reasons, refusals, corrections and agreement. Expected verdicts come from
//! assessing the texts as wholes; sentences from the wording the project asks for.

use crate::questions_world;

use outside::method_of;
use questions_world::{exact, method};
use rstest::rstest;
use scoring::compare::rank::{RankedDevice, Ranking, Refusal};
use scoring::compare::{Agreement, Correction, Requirement, SideBySide};
use scoring::exact::Exact;
use scoring::method::Method;
use scoring::range::{Assessment, Effort, Study};
use scoring::record::{self, Record};
use scoring::text::yaml::YamlNode;
use scoring::text::{Source, Sources};
use scoring::vocab::Category;

const RECORD: &str = "
unfasten: 1
device: {name: Test, maker: Ostrel, category: smartphone, form: not folding, price: 400 EUR}
teardown: {date: 2026-01-02, place: use, skill: layman}
parts:
  back: {role: back cover, paired: no}
  cell: {role: battery, paired: no}
  display: {role: display assembly, paired: no}
actions:
  - free: back
    at: 0:10
    with: opening pick
    loosen: {fastener: film adhesive, kind: removable}
    after: []
  - do: unplug cell
    with: hands
    loosen: connector
    after: back
  - free: cell
    with: PH0
    loosen: 4 x screw
    after: unplug cell
  - free: display
    with: PH00
    loosen: 2 x screw
    after: cell
support:
  spare parts: {every part: {to: public, years: 5}}
  updates: 3
marks:
  small: {one: 4, two: 5}
";

fn tree(sources: &mut Sources, text: &str) -> YamlNode {
    let file = sources.add(Source::new("test.yaml", text));
    record::tree(sources, file, &mut |_| Err("none".to_owned())).0.unwrap()
}

fn read(text: &str) -> Record {
    let mut sources = Sources::new();
    let root = tree(&mut sources, text);
    let read = record::read_tree(&root, &sources);
    let said: Vec<_> =
        read.diagnostics.iter().map(|d| format!("{}: {} {}", sources.place(d.at.span), d.code, d.message)).collect();
    read.record.unwrap_or_else(|| panic!("{said:#?}"))
}

fn changed(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(RECORD.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replacen(from, to, 1)
    })
}

fn verdict(text: &str, method: &Method) -> scoring::range::Range {
    Study::new(&read(text), method, Effort::default()).range(0)
}

/// Every change alone, and all in turn, give the verdict of the text with the change in it.
#[test]
fn a_correction_says_what_each_change_did() {
    let kind = ("kind: removable", "kind: neither");
    let updates = ("updates: 3", "updates: 7");
    let time = ("at: 0:10", "at: 0:12");
    let tool = ("with: PH0\n", "with: hands\n");
    let new = changed(&[kind, updates, time, tool]);
    let method = method(0);
    let mut sources = Sources::new();
    let (old_tree, new_tree) = (tree(&mut sources, RECORD), tree(&mut sources, &new));
    let found =
        Correction::new(&sources, &old_tree, &new_tree, std::slice::from_ref(&method), Effort::default()).unwrap();
    assert_eq!(found.before[0].range, verdict(RECORD, &method));
    assert_eq!(found.after[0].range, verdict(&new, &method));
    let paths: Vec<&str> = found.changes.iter().map(|c| c.path.as_str()).collect();
    assert_eq!(
        paths,
        ["actions[free back].at", "actions[free back].loosen.kind", "actions[free cell].with", "support.updates"]
    );
    let turns = [time, kind, tool, updates];
    for (i, change) in found.changes.iter().enumerate() {
        assert_eq!(change.then[0].as_ref().unwrap().range, verdict(&changed(&turns[..=i]), &method), "{}", change.path);
        assert_eq!(
            change.alone[0].as_ref().unwrap().range,
            verdict(&changed(&turns[i..=i]), &method),
            "{}",
            change.path
        );
    }
    assert_eq!(found.changes.last().unwrap().then[0].as_ref().unwrap().range, found.after[0].range);
    let moved: Vec<bool> = found.changes.iter().map(|c| c.moved[0]).collect();
    // The cell's driver is neither the worst tool met nor a change of its own.
    assert_eq!(moved, [false, true, false, true]);
    let kind = &found.changes[1];
    assert_eq!((kind.before.as_deref(), kind.after.as_deref()), (Some("removable"), Some("neither")));
    assert!(kind.old_place.as_ref().unwrap().starts_with("test.yaml:13:"), "{kind:?}");
}

/// Changes that only work together are marked: a part renamed is no record until its last mention is renamed.
#[test]
fn changes_that_depend_on_each_other_say_so() {
    // Two joints on the way to the cell: its worst fastener stays `neither` until both are changed.
    let method = method(0);
    let glued =
        changed(&[("kind: removable", "kind: neither"), ("4 x screw", "{fastener: film adhesive, kind: neither}")]);
    let free = glued.replace("kind: neither", "kind: resupplied");
    let mut sources = Sources::new();
    let (one, two) = (tree(&mut sources, &glued), tree(&mut sources, &free));
    let found = Correction::new(&sources, &one, &two, std::slice::from_ref(&method), Effort::default()).unwrap();
    let interacts: Vec<bool> = found.changes.iter().map(|c| c.interacts[0]).collect();
    assert_eq!(interacts, [false, true], "the second does more in its turn than alone");
    let a = tree(&mut sources, RECORD);
    let renamed = RECORD.replace("cell", "pack");
    let b = tree(&mut sources, &renamed);
    let found = Correction::new(&sources, &a, &b, &[questions_world::method(0)], Effort::default()).unwrap();
    assert_eq!(found.before[0].range, found.after[0].range);
    assert!(found.changes.iter().any(|c| c.then[0].is_none() && c.interacts[0]), "{:#?}", found.changes);
    assert_eq!(found.changes.last().unwrap().then[0].as_ref().unwrap().range, found.after[0].range);
}

/// An action added or taken out lands where it stands in the new record.
#[rstest]
#[case(
    "actions[do unhook lid]",
    "  - do: unplug cell",
    "  - do: unhook lid\n    with: hands\n    loosen: clip\n    after: back\n  - do: unplug cell"
)]
#[case(
    "actions[do hold back]",
    "  - free: back",
    "  - do: hold back\n    with: hands\n    loosen: clip\n    after: []\n  - free: back"
)]
fn actions_are_known_by_what_they_do(#[case] path: &str, #[case] from: &str, #[case] to: &str) {
    let new = changed(&[(from, to)]);
    let method = method(0);
    let mut sources = Sources::new();
    let (a, b) = (tree(&mut sources, RECORD), tree(&mut sources, &new));
    for (from, to) in [(&a, &b), (&b, &a)] {
        let found = Correction::new(&sources, from, to, std::slice::from_ref(&method), Effort::default()).unwrap();
        assert_eq!(found.changes.len(), 1);
        assert_eq!(found.changes[0].path, path);
        assert_eq!(found.changes[0].then[0].as_ref().unwrap().range, found.after[0].range);
    }
}

#[test]
fn agreement_counts_values_and_compares_verdicts() {
    let method = method(0);
    let mut sources = Sources::new();
    let other = changed(
        &[("kind: removable", "kind: removable | neither"), ("by: x", "by: y")]
            .map(|(a, b)| if a == "by: x" { ("updates: 3", "updates: 3..4") } else { (a, b) }),
    );
    let (a, b) = (tree(&mut sources, RECORD), tree(&mut sources, &other));
    let found = Agreement::new(&sources, &a, &b, std::slice::from_ref(&method), Effort::default()).unwrap();
    assert_eq!(found.values[0], found.values[1]);
    assert_eq!(found.same, found.values[0] - 2);
    assert_eq!(found.differences.changes.len(), 2);
    assert_eq!(found.compatible, [true], "the second leaves open what the first settles");
    let same = Agreement::new(&sources, &a, &a, &[method], Effort::default()).unwrap();
    assert_eq!(same.same, same.values[0]);
    assert!(same.differences.changes.is_empty());
}

fn entry<'a>(name: &'a str, assessment: &'a Assessment) -> RankedDevice<'a> {
    RankedDevice { name, category: Category::of("smartphone"), assessment }
}

#[test]
fn tables_give_reasons() {
    let method = method(0);
    let better = changed(&[
        (
            "with: opening pick\n    loosen: {fastener: film adhesive, kind: removable}",
            "with: PH0\n    loosen: 2 x screw",
        ),
        ("after: cell", "after: back"),
        ("with: PH00", "with: PH0"),
    ]);
    let one = Assessment::new(&read(RECORD), &method, Effort::default());
    let two = Assessment::new(&read(&better), &method, Effort::default());
    let entries = [entry("Old", &one), entry("New", &two)];
    let table = SideBySide::new(&entries, false).unwrap();
    assert_eq!(table.rows[0].id, "total");
    let row = table.rows.iter().find(|r| r.id == "depth/part/display assembly");
    let row = row.unwrap_or_else(|| panic!("{:?}", table.rows.iter().map(|r| &r.id).collect::<Vec<_>>()));
    assert_eq!(row.depth, 2);
    let why = row.reason.as_ref().unwrap();
    assert_eq!((why.worse, why.better), (0, 1));
    assert_eq!(why.words(), "2 steps against 3: glued back, three tools, two parts in the way");
    assert_eq!(row.cells[0].as_ref().unwrap().said[0], "3 steps");
    let same = table.rows.iter().find(|r| r.id == "updates").unwrap();
    assert_eq!(same.reason, None);
    // The new one is at least as good everywhere, better in three criteria: no weights are needed.
    let ranking = Ranking::new(&entries, false, 2_000, 1).unwrap();
    assert_eq!(ranking.dominates, [(1, 0)]);
    assert_eq!(ranking.tiers, [vec![1], vec![0]]);
    assert_eq!(ranking.criteria, ["depth", "fasteners", "tools", "years", "updates", "m1", "m2"]);
    assert_eq!(ranking.sentences, ["last in every weighting drawn", "first in every weighting drawn"]);
}

/// A method of two groups of two measures each.
const GROUPS: &str = "
unfasten method: 1
id: groups
title: Groups
edition: 1
about: For checks.
source: own choice
certainty: own
scope: {categories: [smartphone], rule: all}
scale: {from: 0, to: 10, decimals: 1, rounding: half up, rule: one decimal}
steps: {simultaneous tools: one, heating: tool, mains: nothing, remote authorisation: nothing, destructive scored: no, rule: usual}
criteria:
  id: total
  title: Total
  combine: mean
  rule: mean
  of:
    - id: product
      title: Product
      weight: 1
      combine: mean
      rule: mean
      of:
        - {id: m1, title: M1, weight: 1, measure: mark one, rule: m, linear: {0: 0, 10: 10}}
        - {id: m2, title: M2, weight: 1, measure: mark two, rule: m, linear: {0: 0, 10: 10}}
    - {id: m3, title: M3, weight: 1, measure: mark three, rule: m, linear: {0: 0, 10: 10}}
";

fn groups(text: &str) -> Method {
    let (method, problems) = method_of(text);
    method.unwrap_or_else(|| panic!("{problems:?}"))
}

/// Groups may dominate where a measure inside them doesn't: then other weights inside the group turn the order, and
/// nothing is claimed. The expected pairs are worked out by hand from the marks.
#[rstest]
// Product 6 against 5, m3 level: but m2 is 3 against 5.
#[case(["9", "3", "5"], ["5", "5", "5"], false)]
#[case(["9", "5", "5"], ["5", "5", "5"], true)]
#[case(["5", "5", "5"], ["5", "5", "5"], false)]
// The worst of one against the best of the other.
#[case(["6", "5..7", "5"], ["5", "4..5", "5"], true)]
#[case(["6", "5..7", "5"], ["5", "4..5.5", "5"], false)]
fn dominance_is_tested_where_weights_act(#[case] one: [&str; 3], #[case] two: [&str; 3], #[case] dominates: bool) {
    let method = groups(GROUPS);
    let marked = |m: [&str; 3]| {
        let text = RECORD
            .replace("small: {one: 4, two: 5}", &format!("groups: {{one: {}, two: {}, three: {}}}", m[0], m[1], m[2]));
        Assessment::new(&read(&text), &method, Effort::default())
    };
    let (a, b) = (marked(one), marked(two));
    let ranking = Ranking::new(&[entry("a", &a), entry("b", &b)], false, 500, 1).unwrap();
    let expected: &[(usize, usize)] = if dominates { &[(0, 1)] } else { &[] };
    assert_eq!(ranking.dominates, expected);
    assert!(!ranking.limited);
}

/// Weights are drawn of what is weighed, however deep groups are nested: product and m3 are no two criteria but three.
#[rstest]
#[case(["9", "3", "5"], None)]
// A mark nobody gave is open, not left out.
#[case(["9", "unknown", "5"], None)]
fn weights_are_drawn_of_criteria_not_of_groups(#[case] marks: [&str; 3], #[case] not_drawn: Option<(usize, usize)>) {
    let method = groups(GROUPS);
    let text = RECORD.replace(
        "small: {one: 4, two: 5}",
        &format!("groups: {{one: {}, two: {}, three: {}}}", marks[0], marks[1], marks[2]),
    );
    let one = Assessment::new(&read(&text), &method, Effort::default());
    let ranking = Ranking::new(&[entry("a", &one), entry("b", &one)], false, 500, 1).unwrap();
    assert_eq!(ranking.criteria, ["m1", "m2", "m3"]);
    assert_eq!(ranking.not_drawn, not_drawn);
    assert_eq!(ranking.acceptability.is_some(), not_drawn.is_none());
}

/// Where a device has no value for a criterion, nothing is drawn and it is said why.
#[test]
fn a_criterion_left_out_keeps_weights_from_being_drawn() {
    let method = method(0);
    let absent = RECORD
        .replace("  back: {role: back cover, paired: no}\n", "")
        .replace("  cell: {role: battery, paired: no}\n", "")
        .replace("  display: {role: display assembly, paired: no}\n", "  lid: {}\n")
        .replace("actions:", "absent: [back cover, battery, display assembly]\nactions:");
    let one = Assessment::new(&read(RECORD), &method, Effort::default());
    let two = Assessment::new(&read(&absent), &method, Effort::default());
    let ranking = Ranking::new(&[entry("a", &one), entry("b", &two)], false, 500, 1).unwrap();
    assert_eq!(ranking.not_drawn, Some((0, 1)), "depth of b");
    assert_eq!(ranking.titles[0], "Depth");
    assert!(ranking.acceptability.is_none() && ranking.sentences.is_empty());
}

/// What a difference is worth is its share of the verdict, by hand from the weights of [`GROUPS`]: m1 a quarter, m3 a half.
/// Where ranges overlap no difference is claimed, and the greatest stands first.
#[test]
fn differences_say_what_they_are_worth() {
    let method = groups(GROUPS);
    let marked = |m: &str| {
        let text = RECORD.replace("small: {one: 4, two: 5}", &format!("groups: {m}"));
        Assessment::new(&read(&text), &method, Effort::default())
    };
    let one = marked("{one: 8, two: 2..5, three: 4}");
    let two = marked("{one: 5..6, two: 4, three: 7}");
    let three = marked("{one: 7, two: 4, three: 5}");
    let entries = [entry("a", &one), entry("b", &two), entry("c", &three)];
    let table = SideBySide::new(&entries, false).unwrap();
    let found: Vec<_> = table
        .reasons()
        .into_iter()
        .map(|(row, why)| (row.id.as_str(), why.worse, why.better, why.worth.as_ref().unwrap().plain(), why.words()))
        .collect();
    let said = |good: &str, bad: &str| format!("{good} out of 10 against {bad}");
    assert_eq!(
        found,
        [("m3", 0, 1, "1.5".to_owned(), said("7", "4")), ("m1", 1, 0, "0.5".to_owned(), said("8", "5 to 6")),]
    );
}

/// A difference in fasteners or tools names the place that decided it, a part out of reach only that.
#[test]
fn reasons_name_what_decided() {
    let method = method(0);
    let worse = changed(&[
        ("kind: removable", "kind: neither"),
        ("with: PH00\n    loosen: 2 x screw", "with: PH00\n    loosen: 2 x screw\n    outcome: failed"),
    ]);
    let one = Assessment::new(&read(RECORD), &method, Effort::default());
    let two = Assessment::new(&read(&worse), &method, Effort::default());
    let table = SideBySide::new(&[entry("a", &one), entry("b", &two)], false).unwrap();
    let words = |id: &str| {
        let row = table.rows.iter().find(|r| r.id == id).unwrap_or_else(|| panic!("{id}"));
        row.reason.as_ref().map(scoring::compare::side_by_side::Reason::words)
    };
    assert_eq!(
        words("fasteners/part/battery").as_deref(),
        Some("removable against neither: free back: film adhesive, neither")
    );
    assert_eq!(words("depth/part/display assembly").as_deref(), Some("3 steps against can't be reached: no way to it"));
}

/// No ranking is claimed where ranges overlap.
#[test]
fn overlapping_ranges_share_a_tier() {
    let method = method(0);
    let open = changed(&[("kind: removable", "kind: reusable | neither"), ("updates: 3", "updates: unknown")]);
    let one = Assessment::new(&read(RECORD), &method, Effort::default());
    let two = Assessment::new(&read(&open), &method, Effort::default());
    let ranking = Ranking::new(&[entry("a", &one), entry("b", &two)], false, 500, 1).unwrap();
    assert_eq!(ranking.tiers, [vec![0, 1]]);
    // Nobody heads a tier by a high end that answers may take away: the one that surely comes to more stands first.
    let (low, high) = (|a: &Assessment| a.root.low.clone(), |a: &Assessment| a.root.high.clone());
    assert!(low(&one) > low(&two) && high(&one) < high(&two), "one range inside the other");
    let turned = Ranking::new(&[entry("b", &two), entry("a", &one)], false, 500, 1).unwrap();
    assert_eq!(turned.tiers, [vec![1, 0]]);
    assert!(ranking.above.is_empty() && ranking.dominates.is_empty());
}

#[test]
fn different_editions_and_categories_are_refused() {
    let method = method(0);
    let mut later = method.clone();
    later.edition = "2".to_owned();
    let mut foreign = method.clone();
    foreign.id.value = "other".to_owned();
    let record = read(RECORD);
    let make = |m: &Method| Assessment::new(&record, m, Effort::default());
    let (one, two, three) = (make(&method), make(&later), make(&foreign));
    let editions = [entry("a", &one), entry("b", &two)];
    assert_eq!(SideBySide::new(&editions, false).unwrap_err(), Refusal::Editions("1".into(), "2".into()));
    assert!(SideBySide::new(&editions, true).is_ok());
    let tablet = RankedDevice { category: Category::of("slate tablet"), ..entry("b", &one) };
    let refusal = Ranking::new(&[entry("a", &one), tablet], false, 10, 1).unwrap_err();
    assert_eq!(refusal, Refusal::Categories(Category::of("smartphone"), Category::of("slate tablet")));
    assert!(Ranking::new(&[entry("a", &one), tablet], true, 10, 1).is_ok());
    let methods = [entry("a", &one), entry("b", &three)];
    assert!(SideBySide::new(&methods, true).is_err(), "another method is another scale");
}

/// Met at the low end or not at all; class bounds are inclusive.
#[rstest]
#[case("class=B", "6", true)]
#[case("class=b", "7.99", true)]
#[case("class=B", "5.999", false)]
#[case("class=A", "7.99", false)]
#[case("score=7.0", "7", true)]
#[case("score=7.0", "6.95", false)]
fn requirements(#[case] text: &str, #[case] total: &str, #[case] met: bool) {
    let method = method(0);
    let requirement = Requirement::parse(text).unwrap().for_method(&method).unwrap();
    assert_eq!(requirement.reached(&method, Some(&exact(total))), met);
    assert!(!requirement.reached(&method, None));
}

#[rstest]
#[case("rank=3")]
#[case("class=")]
#[case("score=good")]
#[case("score=7,5")]
#[case("passed")]
#[case("B")]
fn unreadable_requirements(#[case] text: &str) {
    assert!(Requirement::parse(text).is_err());
}

#[test]
fn requirements_a_method_cannot_meet() {
    let method = method(0);
    for (text, expected) in
        [("class=G", "among A, B, C, D"), ("score=11", "runs from 0 to 10"), ("pass", "gives points, not pass or fail")]
    {
        let error = Requirement::parse(text).unwrap().for_method(&method).unwrap_err();
        assert!(error.to_string().contains(expected), "{error}");
        assert!(!error.mend().is_empty());
    }
    let legal = scoring::method::load_shipped("eu-2023-1542-11").unwrap();
    for text in ["class=A", "score=1"] {
        let error = Requirement::parse(text).unwrap().for_method(&legal).unwrap_err();
        assert!(error.mend().contains("`pass`"), "{error}");
    }
    let pass = Requirement::parse("pass").unwrap().for_method(&legal).unwrap();
    assert!(pass.reached(&legal, Some(&Exact::one())));
    assert!(!pass.reached(&legal, Some(&Exact::zero())) && !pass.reached(&legal, None));
}

/// A range that straddles a bound does not meet it.
#[test]
fn requirements_are_met_at_the_low_end() {
    let method = method(0);
    let open = changed(&[("updates: 3", "updates: unknown")]);
    let assessment = Assessment::new(&read(&open), &method, Effort::default());
    let low = assessment.root.low.clone().unwrap();
    let high = assessment.root.high.clone().unwrap();
    assert!(low < high);
    assert!(Requirement::Score(low).met(&assessment).unwrap());
    assert!(!Requirement::Score(high).met(&assessment).unwrap());
}

/// A limit that holds a device down is named with what decided it, and with what the verdict would be without.
#[test]
fn what_holds_a_device_down_is_named() {
    let method = scoring::method::load_shipped("en-45554").unwrap();
    let paired = changed(&[("cell: {role: battery, paired: no}", "cell: {role: battery, paired: yes}")]);
    let unsold = changed(&[("spare parts: {every part: {to: public, years: 5}}", "spare parts: none")]);
    let read = [RECORD.to_owned(), paired, unsold].map(|t| Assessment::new(&read(&t), &method, Effort::default()));
    let [free, paired, unsold] = &read;
    let entries = [entry("free", free), entry("paired", paired), entry("unsold", unsold)];
    let table = SideBySide::new(&entries, false).unwrap();
    let ranking = Ranking::new(&entries, false, 100, 1).unwrap();
    let assessments = [free, paired, unsold];
    let compared = report::comparison::Compared {
        ranking: &ranking,
        table: &table,
        assessments: &assessments,
        method: &method,
        version: "0",
        verdicts: &[],
        verdict: "full",
        sheets: "",
        undecided: &[],
    };
    let held = report::comparison::held(&compared);
    // All limits that bind, at both ends: read off the trees, where a limit binds that is below the criteria and as low as the
    // verdict.
    let (mut lines, mut several) = (0, 0);
    for (name, a) in ["free", "paired", "unsold"].into_iter().zip(assessments) {
        let (first, limits) = a.root.children.split_first().unwrap();
        for e in [0, 1] {
            let points = |n: &scoring::range::Graded| n.ends[e].points.clone();
            let binding: Vec<&str> = limits
                .iter()
                .filter(|l| points(l).is_some() && points(l) < points(first) && points(l) == points(&a.root))
                .map(|l| l.title.as_str())
                .collect();
            let label = if e == 0 { "low end" } else { "high end" };
            let told = held.iter().find(|h| {
                h.starts_with(&format!("{name}, ")) && (h.contains(&format!("{label}: ")) || h.contains("both "))
            });
            assert_eq!(told.is_some(), !binding.is_empty(), "{name} {label}: {held:?}");
            let Some(told) = told else { continue };
            assert!(binding.iter().all(|title| told.contains(title)), "{binding:?}: {told}");
            lines += 1;
            several += usize::from(binding.len() > 1);
        }
    }
    assert!(lines > 1 && several > 0, "{lines} {several} {held:?}");
    // Nobody knows the price: without limits the criteria alone, assessed as a method of their own; an end nobody tried is only a
    // bound.
    let mut bare = method.clone();
    let scoring::method::CriterionKind::Group { of, .. } = &bare.root.kind else {
        panic!("limits stand above the criteria")
    };
    bare.root = of[0].clone();
    let alone = Assessment::new(&super::compare_records::read(RECORD), &bare, Effort::default()).root.low.unwrap();
    let said = held[0].split("; without limits ").nth(1).expect("what it is without");
    let figure = exact(said.trim_start_matches("at least "));
    assert!(figure <= exact(&free.show(&alone)), "{said}: {alone:?}");
    assert!(said.starts_with("at least ") || said == free.show(&alone), "{said}: {alone:?}");
    assert!(held[0].contains("held by Limit: price of the spare part, battery"), "{held:?}");
    // What nobody sells has no price, rather than a very high one.
    let price = unsold.find("limit-price/part/battery").unwrap();
    assert_eq!(price.ends[0].said, "no part sold");
    assert!(price.ends[0].margin.is_none());
    // A fact under `parts` was seen on the bench, unless it says otherwise.
    let coded = paired.find("limit-pairing/part/battery").unwrap();
    assert_eq!(coded.ends[0].evidence[0].basis, scoring::vocab::Basis::Seen);
}
