//! A search that was cut short: the part enters the verdict as *points of the route found .. points at most*, and nothing in any
//! form calls that proved or settled (the project's design, sections 2, 3 and 5). The true number of steps is known from outside:
//! covers are the points of the affine plane over three elements, latches its lines; a largest set of points without a line has
//! four (A090245 of the encyclopedia of integer sequences), so that 9 - 4 covers and then the core come off: 6 steps.

use crate::command_support::{flat, unfasten};
use crate::heavy;
use std::collections::BTreeMap;

use report::template::Templates;
use report::view::{Applied, Job, Others, Outlook, View, build};
use scoring::compare::causes::Causes;
use scoring::compare::{Changes, Requirement};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Case, Effort, Study, class_of, fitted};
use scoring::record::Record;
use scoring::text::{Source, Sources};
use serde_json::Value;

/// Nine covers, twelve latches, one core, as a device of a record's own roles and as the battery of a phone.
fn texts() -> [(&'static str, String); 2] {
    let own = heavy::covers(2);
    let phone = own
        .replace("category: other", "category: smartphone, form: not folding")
        .replace("roles: {core: {weight: 1}}\n", "")
        .replace("{role: core,", "{role: battery,")
        .replace(
            "actions:",
            "absent: [display assembly, back cover, front camera, rear camera, charging port, button, microphone, speaker]\nactions:",
        )
        + "support: {spare parts: {every part: {to: public, years: 7}}, information: {to: manufacturer only, cost: free, scope: comprehensive}, updates: 6, security updates: 6}\n";
    [("en-45554", own), ("eu-2023-1669", phone)]
}

fn read(text: &str) -> (Record, Sources) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("covers.yaml", text));
    let read = scoring::record::read(&sources, file);
    (read.record.unwrap_or_else(|| panic!("{:#?}", read.diagnostics)), sources)
}

fn method(id: &str, record: &Record) -> Method {
    fitted(&load_shipped(id).expect("ships"), record)
}

/// What the bench shows where a method has that alone, so that the search is all that is open. The phone's promises put its index
/// between 3.95 and 4.03 as the battery's depth gives 3 or 4 points (0.25 x 0.3 of the index each): class B or A from 4.00.
fn of(id: &str, record: &Record, states: u64) -> Assessment {
    let whole = method(id, record);
    let read = whole.bench_verdict().unwrap_or(whole);
    Assessment::new(record, &read, Effort { states, ..Effort::default() })
}

/// Efforts that leave the search unfinished, each with what comes of it.
fn cut(id: &str, record: &Record) -> Vec<Assessment> {
    let all = (0..9).map(|n| of(id, record, 1 << n));
    // The search for steps itself is open, not only that for what else a way may give.
    let open = |a: &Assessment| a.ends[1].evaluated.routes.values().any(|r| r.at_least < r.steps);
    all.filter(|found| !found.proved && found.root.low != found.root.high && open(found)).collect()
}

#[test]
fn an_unproved_part_is_a_span_of_points() {
    for (id, text) in texts() {
        let (record, _) = read(&text);
        let whole = of(id, &record, 1_000_000);
        assert!(whole.proved && whole.root.exact, "{id}");
        let depth = |found: &Assessment| {
            let leaf = found.root.walk().into_iter().find(|n| n.id.starts_with("depth/") || n.id.starts_with("S_DD/"));
            let leaf = leaf.expect("a depth").clone();
            (leaf.low.expect("points"), leaf.high.expect("points"), leaf.ends[0].said.clone())
        };
        // criteria: 4 to 7 steps give 6 of 10; 6 to 10 steps give 3 of 5.
        let points = Exact::from(if id == "en-45554" { 6 } else { 3 });
        assert_eq!(depth(&whole), (points.clone(), points.clone(), "6 steps".to_owned()), "{id}");
        let cut = cut(id, &record);
        assert!(cut.len() > 1, "{id}: {} efforts left the search open", cut.len());
        for found in &cut {
            let (low, high, _) = depth(found);
            assert!(low <= points && points <= high, "{id}: {low} to {high}");
            assert!(found.root.low <= whole.root.low && whole.root.high <= found.root.high, "{id}");
            // Nobody showed that either end is what the rule gives.
            assert_eq!((found.root.exact, found.settled(), found.attained), (false, false, [false; 2]), "{id}");
            // No answer is open: it is the search alone.
            assert!(found.unknowns.is_empty(), "{id}: {:?}", found.unknowns);
            let ends = [&found.root.low, &found.root.high].map(|v| v.clone().expect("an end"));
            if let Some(classes) = &found.classes {
                assert_eq!(*classes, ends.each_ref().map(|v| class_of(&found.method, v).expect("a class")), "{id}");
            }
            // A gate reads the points of the route found, nothing better.
            let met = |value: &Exact| Requirement::Score(value.clone()).met(found).expect("gives points");
            assert_eq!([met(&ends[0]), met(&ends[1])], [true, false], "{id}");
            if let Some([low, high]) = &found.classes
                && low != high
            {
                let met = |class: &String| Requirement::Class(class.clone()).met(found).expect("has classes");
                assert_eq!([met(low), met(high)], [true, false], "{id}");
            }
        }
        if id == "eu-2023-1669" {
            let spans = cut.iter().filter_map(|f| f.classes.as_ref()).filter(|[low, high]| low != high).count();
            assert!(spans > 0, "no class was left open");
        }
    }
}

fn viewed(record: &Record, sources: &Sources, found: &Assessment, outlook: &Outlook) -> View {
    let applied = vec![Applied::new(found, "text", outlook)];
    build(&Job { record, sources, applied, version: "0", photos: BTreeMap::new() })
}

#[test]
fn nothing_says_proved_of_it() {
    for (id, text) in texts() {
        let (record, sources) = read(&text);
        for found in &cut(id, &record) {
            let outlook = Outlook::default();
            let view = viewed(&record, &sources, found, &outlook);
            let json: Value = serde_json::from_str(&report::json::line_of(&view)).unwrap();
            let verdict = &json["assessments"][0];
            for key in ["proved", "attained", "attained_low", "attained_high"] {
                assert_eq!(verdict[key], false, "{id}: {key}");
            }
            let templates = Templates::shipped();
            let html = report::html::report(&view, &templates).unwrap();
            let markdown = report::markdown::report(&view, &templates).unwrap();
            for (form, text) in [("HTML", &html), ("Markdown", &markdown)] {
                let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
                let text = text.replace("Not every route behind it is proved shortest", "");
                for phrase in ["proved shortest", "proved least", "is settled", "it is proved", "both ends"] {
                    let at =
                        text.find(phrase).map(|at| text[at.saturating_sub(90)..].chars().take(160).collect::<String>());
                    assert_eq!(at, None, "{id}, {form}");
                }
                assert!(text.contains("best found, at least"), "{id}, {form}");
            }
            // The headline is the span, as the method shows its ends.
            let ends = [&found.root.low, &found.root.high].map(|v| found.show(v.as_ref().expect("an end")));
            let said = report::text::headline(&view.assessments[0]);
            assert!(ends.iter().all(|end| said.contains(end.as_str())), "{id}: {said}, {ends:?}");
        }
    }
}

/// Where the search was cut short nobody knows what costs most: no cause is told between bounds, and steps of a route found are at most
/// so many.
#[test]
fn no_cause_is_told_between_bounds() {
    for (id, text) in texts() {
        let (record, sources) = read(&text);
        for found in &cut(id, &record) {
            let effort = Effort { states: 2, ..Effort::default() };
            let causes = Causes::new(&record, &found.method, effort);
            assert_eq!((causes.before.attained, causes.causes.len(), causes.ladder.len()), ([false; 2], 0, 0), "{id}");
            let others = Others::new(&record, &found.method, Effort::default());
            let outlook = Outlook::leading(&record, found, &others);
            let spoken = viewed(&record, &sources, found, &outlook).brief.expect("a verdict leads").spoken;
            assert!(!spoken.contains("costs much") && !spoken.contains("depth"), "{id}: {spoken}");
            assert!(spoken.contains("at most ") || spoken.contains("cut short"), "{id}: {spoken}");
            let study = Study::of(Case::new(&record, &found.method), &found.method, effort);
            let tried = Changes::of(&record, &[&study]).tried;
            // The verdict as it stands is a bound, so no gain is that of a completion.
            assert!(tried.iter().flat_map(|t| &t.effects).all(|e| e.bounds == [true; 2]), "{id}");
        }
    }
}

/// The command itself: 81 covers, of which 61 come off (81 - 20) before the core is the 62nd, are more than one search may look
/// at.
#[test]
fn the_terminal_tells_a_bound() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("covers.yaml");
    std::fs::write(&path, heavy::covers(4)).unwrap();
    let ran = unfasten(&["score", path.to_str().unwrap()]);
    assert_eq!(ran.exit, unfasten_cli::Exit::Done, "{}", ran.err);
    let text = flat(&ran.out);
    for phrase in
        ["proved shortest", "proved least", "is settled", "both ends", "every fact the method reads is settled"]
    {
        let said = text.replace("Not every route behind it is proved shortest", "");
        let said = said.replace("not every route behind it is proved shortest", "");
        assert!(!said.contains(phrase), "{phrase}: {text}");
    }
    assert!(text.contains("never outside") && text.contains("cut short") && !text.contains("add up"), "{text}");
}
