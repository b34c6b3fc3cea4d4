//! Changes to a design: what each does, against the record with the change written into it; and the cheapest sets,
//! against every set of changes.
#![allow(clippy::cast_possible_wrap, reason = "small counts")]

use crate::questions_world;

use std::collections::BTreeMap;

use questions_world::{completions, exact, method, plainly};
use rstest::rstest;
use scoring::compare::changes::candidates;
use scoring::compare::{Change, Changes, Requirement, cheapest};
use scoring::exact::Exact;
use scoring::method::Method;
use scoring::range::{Case, Effort, Study};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

const RECORD: &str = "
unfasten: 1
device: {name: Test, maker: Ostrel, category: smartphone, form: not folding, price: 400 EUR}
teardown: {date: 2026-01-02, place: use, skill: layman}
parts:
  cover: {role: back cover, paired: no}
  cell: {role: battery, paired: no}
  display: {role: display assembly, paired: no}
tools:
  odd key: {class: proprietary}
actions:
  - free: cover
    with: odd key
    loosen: {fastener: film adhesive, kind: removable | neither}
    after: []
  - free: cell
    with: PH0
    loosen: {fastener: film adhesive, kind: resupplied}
    after: cover
  - free: display
    with: opening pick
    loosen: {fastener: film adhesive, kind: neither}
    after: [cover, cell]
support:
  spare parts: {every part: {to: public, years: 5}}
  updates: 3
marks:
  small: {one: 4, two: 5}
";

/// [`RECORD`] with a short cut to the cell that failed, of which much is unknown, through a hatch nothing else needs.
fn with_short_cut() -> String {
    RECORD
        .replace(
            "  odd key: {class: proprietary}\n",
            "  odd key: {class: proprietary}\n  hook: {class: basic | proprietary}\n",
        )
        .replace(
            "support:",
            "  - do: open hatch
    with: hands
    loosen: {fastener: seal, kind: resupplied | neither}
    after: []
  - free: cell
    with: hook
    loosen: {fastener: film adhesive}
    after: open hatch
    place: use | workshop
    outcome: failed
    because: the hook slipped
support:",
        )
}

fn read(text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("test.yaml", text));
    let read = record::read(&sources, file);
    let said: Vec<_> =
        read.diagnostics.iter().map(|d| format!("{}: {} {}", sources.place(d.at.span), d.code, d.message)).collect();
    read.record.unwrap_or_else(|| panic!("{said:#?}"))
}

fn low(case: &Case, method: &Method) -> Exact {
    completions(case).iter().filter_map(|c| plainly(case, method, c)).min().unwrap()
}

/// A change does what writing it into the record does.
#[rstest]
#[case("fastener actions[0].loosen -> reusable", "film adhesive, kind: removable | neither", "screw, kind: reusable")]
#[case("fastener actions[1].loosen -> reusable", "film adhesive, kind: resupplied", "screw, kind: reusable")]
#[case("tool actions[0].with -> hands", "with: odd key", "with: hands")]
#[case("tool actions[0].with -> screwdriver PH0", "with: odd key", "with: PH0")]
#[case("order actions[2].after -> without cell", "after: [cover, cell]", "after: [cover]")]
#[case("spare support.spare parts.every part -> years 7", "years: 5", "years: 7")]
#[case("promise support.updates -> 7", "updates: 3", "updates: 7")]
fn does_what_the_record_would(#[case] id: &str, #[case] from: &str, #[case] to: &str) {
    for shape in 0..3 {
        let method = method(shape);
        let before = read(RECORD);
        let changes = Changes::new(&before, std::slice::from_ref(&method), Effort::default());
        let study = Study::new(&before, &method, Effort::default());
        let change = candidates(&before, &[&study]).into_iter().find(|c| c.id == id);
        let Some(change) = change else {
            panic!("{:#?}", candidates(&before, &[&study]).iter().map(|c| &c.id).collect::<Vec<_>>())
        };
        let after = RECORD.replacen(from, to, 1);
        assert_ne!(after, RECORD);
        let expected = Study::new(&read(&after), &method, Effort::default()).range(0);
        let case = change.apply(&study.case);
        assert_eq!(Study::of(case.clone(), &method, Effort::default()).range(0), expected, "{id}");
        assert_eq!(study.with_case(case, 1).range(0), expected, "{id}: routes taken over");
        if let Some(tried) = changes.tried.iter().find(|t| t.change.id == id) {
            assert_eq!(tried.effects[0].range, expected);
        }
    }
}

/// A way that failed can be made to work: then what is unknown of it counts, and only then.
#[test]
fn a_way_that_failed_can_be_made_to_work() {
    let text = with_short_cut();
    let done = text.replace("    outcome: failed\n    because: the hook slipped\n", "");
    let (before, after) = (read(&text), read(&done));
    for shape in 0..3 {
        let method = method(shape);
        let study = Study::new(&before, &method, Effort::default());
        // Nobody need say anything about a way that does not exist, nor about what only it needs.
        let asked: Vec<&str> = study.open().into_iter().map(|u| study.case.unknowns[u].path.as_str()).collect();
        assert!(asked.iter().all(|p| !p.starts_with("actions[4]") && !p.starts_with("tools")), "{asked:?}");
        assert_eq!(study.range(0), Study::new(&read(RECORD), &method, Effort::default()).range(0));
        let change = candidates(&before, &[&study]).into_iter().find(|c| c.id == "way actions[4].outcome -> done");
        let case = change.expect("offered").apply(&study.case);
        let expected = Study::new(&after, &method, Effort::default());
        assert_eq!(Study::of(case.clone(), &method, Effort::default()).range(0), expected.range(0));
        assert_eq!(study.with_case(case.clone(), 1).range(0), expected.range(0), "routes taken over");
        let paths = |case: &Case| {
            let mut paths: Vec<String> = case.unknowns.iter().map(|u| u.path.clone()).collect();
            paths.sort();
            paths
        };
        assert_eq!(paths(&case), paths(&expected.case));
    }
}

/// Every change listed improves a criterion, and the list is in order of what the change buys.
#[test]
fn lists_what_helps_best_first() {
    let method = method(0);
    let changes = Changes::new(&read(RECORD), &[method], Effort::default());
    assert!(!changes.tried.is_empty());
    let gains: Vec<&Exact> = changes.tried.iter().map(|t| &t.effects[0].gain_low).collect();
    assert!(gains.is_sorted_by(|a, b| a >= b), "{gains:?}");
    for tried in &changes.tried {
        let rows = &tried.effects[0].rows;
        let better =
            rows.iter().any(|r| exact(&r.after[0]) > exact(&r.before[0]) || exact(&r.after[1]) > exact(&r.before[1]));
        assert!(better, "{}", tried.change.id);
    }
}

/// The cheapest set over all sets of at most `most` changes, by going through them.
fn by_hand(
    case: &Case,
    changes: &[Change],
    cost: &dyn Fn(&Change) -> Exact,
    most: usize,
    good: &dyn Fn(&Exact) -> bool,
    method: &Method,
) -> Option<Exact> {
    let mut best: Option<Exact> = None;
    let mut open: Vec<(usize, Vec<usize>)> = vec![(0, vec![])];
    while let Some((from, set)) = open.pop() {
        let total: Exact = set.iter().map(|&i| cost(&changes[i])).sum();
        let made = set.iter().fold(case.clone(), |c, &i| changes[i].apply(&c));
        if best.as_ref().is_none_or(|b| total < *b) && good(&low(&made, method)) {
            best = Some(total);
        }
        if set.len() < most {
            for i in from..changes.len() {
                if set.iter().all(|&j| !changes[i].excludes(&changes[j])) {
                    open.push((i + 1, set.iter().copied().chain([i]).collect()));
                }
            }
        }
    }
    best
}

#[rstest]
#[case(RECORD, 0, "score=5", 2)]
#[case(RECORD, 0, "class=B", 2)]
#[case(RECORD, 1, "score=1", 2)]
#[case(RECORD, 1, "class=D", 2)]
#[case(RECORD, 2, "score=5.5", 2)]
#[case(&with_short_cut(), 0, "score=5", 2)]
#[case(&with_short_cut(), 1, "score=1", 2)]
#[case(&with_short_cut(), 2, "score=5.5", 2)]
fn cheapest_set_against_every_set(#[case] text: &str, #[case] shape: usize, #[case] target: &str, #[case] most: usize) {
    let method = method(shape);
    let record = read(text);
    let study = Study::new(&record, &method, Effort::default());
    let target = Requirement::parse(target).unwrap();
    // Few enough to go through: the changes of the bench.
    let changes: Vec<Change> = candidates(&record, &[&study])
        .into_iter()
        .filter(|c| c.path.starts_with("actions") || c.id.starts_with("promise"))
        .collect();
    for costs in [
        BTreeMap::new(),
        changes
            .iter()
            .enumerate()
            .map(|(i, c)| (c.id.clone(), Exact::ratio(1 + (i as i64 * 7) % 5, 2).unwrap()))
            .collect(),
    ] {
        let cost = |c: &Change| costs.get(&c.id).cloned().unwrap_or_else(Exact::one);
        let good = |v: &Exact| target.reached(&method, Some(v));
        let found = cheapest(&study, &changes, &costs, &target);
        let expected = by_hand(&study.case, &changes, &cost, most, &good, &method);
        if let Some(found) = &found {
            let made = found.changes.iter().fold(study.case.clone(), |c, x| x.apply(&c));
            assert!(good(&low(&made, &method)), "reaches the target at the low end");
            assert_eq!(found.cost, found.changes.iter().map(cost).sum::<Exact>());
        }
        match (found, expected) {
            (Some(found), Some(expected)) if found.proved => assert!(found.cost <= expected, "{found:#?} {expected}"),
            (Some(found), None) => assert!(found.changes.len() > most),
            (Some(_), Some(_)) | (None, None) => {}
            (None, Some(expected)) => panic!("missed one of cost {expected}"),
        }
    }
}
