//! The shipped samples: what they must show. Step counts were worked out for the records by a separate plain search in
//! another language when they were written; they are stated here as constants.

use rstest::rstest;
use scoring::assess::Router;
use scoring::method::load_shipped;
use scoring::range::{Assessment, Case, Effort};
use scoring::record::Record;
use scoring::route::Limits;
use scoring::text::{Source, Sources};

fn text(name: &str) -> String {
    let path = format!("{}/../samples/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).expect("a sample")
}

fn read(text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("sample.yaml", text));
    let read = scoring::record::read(&sources, file);
    let found: Vec<&str> = read.diagnostics.iter().map(|d| d.message.as_str()).collect();
    read.record.unwrap_or_else(|| panic!("{found:?}"))
}

/// The record without one action, taken out as a person would: from its dash to the next.
fn without(text: &str, id: &str) -> String {
    let at = text.find(&format!("id: {id}\n")).expect("the action");
    let start = text[..at].rfind("\n  - ").expect("its dash") + 1;
    let end = text[at..].find("\n  - ").map_or(text.len(), |n| at + n + 1);
    format!("{}{}", &text[..start], &text[end..])
}

fn verdict(record: &Record) -> [String; 2] {
    let method = load_shipped("en-45554").expect("shipped");
    let a = Assessment::new(record, &method, Effort::default());
    [a.root.low, a.root.high].map(|v| v.expect("a score").to_string())
}

/// Steps of the reference route to a part, every unknown at its first answer (these parts' routes have none).
fn steps(record: &Record, part: &str) -> u32 {
    let method = load_shipped("en-45554").expect("shipped");
    let case = Case::new(record, &method);
    let thing = case.base.things.iter().position(|t| t == part).unwrap_or_else(|| panic!("no part {part}"));
    let router = Router::new(&case.base, &method.steps, Limits::default());
    let route = router.to(u32::try_from(thing).expect("small"));
    assert_eq!(route.steps, route.at_least, "{part} is proved");
    route.steps
}

#[rstest]
#[case("bar-phone", &[("back glass", 2), ("cell", 7), ("display", 6), ("selfie camera", 8), ("port board", 6), ("ear speaker", 9), ("side keys", 11)])]
#[case("slate-tablet", &[("back", 3), ("display", 5), ("card tray", 1)])]
#[case("laptop", &[("bottom cover", 4), ("cell pack", 5), ("keyboard", 6), ("power key", 7), ("main board", 11)])]
#[case("washing-machine", &[("door lock", 2), ("drain pump", 3), ("motor", 3), ("motor brushes", 4), ("control board", 4), ("door seal", 9)])]
#[case("folding-tablet", &[("left cover", 3), ("wide cell", 4), ("narrow cell", 4), ("page keys", 9), ("tuner microphone", 8), ("folding display", 12), ("lower hinge", 19)])]
#[case("tumble-dryer", &[("fan wheel", 2), ("belt", 9), ("pump", 5), ("control board", 6), ("capacitor", 4), ("door", 1), ("drum bearing", 11)])]
#[case("headphones", &[("cell", 3), ("left driver", 4), ("right driver", 6), ("microphone", 5)])]
fn steps_agree_with_a_separate_search(#[case] sample: &str, #[case] expected: &[(&str, u32)]) {
    let record = read(&text(sample));
    let found: Vec<(&str, u32)> = expected.iter().map(|(part, _)| (*part, steps(&record, part))).collect();
    assert_eq!(found, expected);
}

/// Deleting one alternative lengthens the way to a part and changes the default verdict.
#[rstest]
#[case("laptop", "keyboard from above", "keyboard", 6, 16)]
#[case("washing-machine", "door lock past the seal", "door lock", 2, 8)]
#[case("tumble-dryer", "fan wheel through the hatch", "fan wheel", 2, 12)]
fn a_deleted_alternative_changes_a_score(
    #[case] sample: &str,
    #[case] id: &str,
    #[case] part: &str,
    #[case] with: u32,
    #[case] alone: u32,
) {
    let whole = text(sample);
    let (before, after) = (read(&whole), read(&without(&whole, id)));
    assert_eq!((steps(&before, part), steps(&after, part)), (with, alone));
    assert_ne!(verdict(&before), verdict(&after));
}

/// One sample has 30 or more actions, one has order unknowns that matter, one leaves nothing open.
#[test]
fn samples_show_what_they_are_for() {
    assert!(read(&text("folding-tablet")).actions.len() >= 30);
    let method = load_shipped("en-45554").expect("shipped");
    let vacuum = Assessment::new(&read(&text("cordless-vacuum")), &method, Effort::default());
    let orders = vacuum.unknowns.iter().filter(|u| u.path.ends_with(".after")).count();
    assert!(orders >= 3, "{orders} order unknowns matter");
    let tablet = Assessment::new(&read(&text("slate-tablet")), &method, Effort::default());
    assert!(tablet.settled());
    assert!(tablet.unknowns.is_empty());
}
