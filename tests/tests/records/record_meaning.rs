//! Fields that say how well something is known, or what a way leaves behind: how they are read, as samples/README.md
//! describes them.

use rstest::rstest;
use scoring::record::{self, After, Known, Named, Need, Record, Timing};
use scoring::text::{Severity, Source, Sources};

fn read(fields: &str) -> (Option<Record>, Vec<String>) {
    let text = format!("unfasten: 1\ndevice: {{name: Lamp Two, category: other}}\n{fields}\n");
    let mut sources = Sources::new();
    let file = sources.add(Source::new("r.yaml", &text));
    let read = record::read(&sources, file);
    let said = |d: &scoring::text::Diagnostic| format!("{} {}", d.code, sources.excerpt(d.at.span));
    let errors = read.diagnostics.iter().filter(|d| d.severity == Severity::Error).map(said).collect();
    (read.record, errors)
}

fn action(fields: &str) -> record::Action {
    let (record, errors) = read(&format!("parts: {{a: {{}}, b: {{}}, mesh: {{}}}}\nactions:\n  - {{{fields}}}\n"));
    record.unwrap_or_else(|| panic!("{errors:?}")).actions.swap_remove(0)
}

/// Any number, one, or a fastener with its length; `perhaps` stands before the count.
#[rstest]
#[case("unknown", Named::Any, false, None, "unknown")]
#[case("one unknown", Named::One, false, None, "one unknown")]
#[case("[3 x screw T5 6 mm, unknown]", Named::Fastener, false, Some("6"), "screw T5 6 mm")]
#[case("perhaps 2 x clip", Named::Fastener, true, None, "clip")]
#[case("{fastener: perhaps film adhesive, kind: removable}", Named::Fastener, true, None, "film adhesive")]
#[case("{fastener: screw, drive: T5, length: 2.5 mm}", Named::Fastener, false, Some("2.5"), "screw T5 2.5 mm")]
#[case("screw hex 2 mm", Named::Fastener, false, None, "screw hex 2 mm")]
#[case("screw hex 2 mm 8 mm", Named::Fastener, false, Some("8"), "screw hex 2 mm 8 mm")]
#[case("4 x bolt 12 mm", Named::Fastener, false, Some("12"), "bolt 12 mm")]
fn fasteners_say_how_well_they_are_known(
    #[case] loosen: &str,
    #[case] named: Named,
    #[case] perhaps: bool,
    #[case] length: Option<&str>,
    #[case] text: &str,
) {
    let action = action(&format!("free: a, with: hands, loosen: {loosen}, after: []"));
    let first = &action.loosen[0];
    assert_eq!((first.named, first.perhaps, &*first.text), (named, perhaps, text));
    assert_eq!(first.length.as_ref().map(scoring::exact::Exact::plain).as_deref(), length);
    // A drive in millimetres stays the drive.
    if text.contains("hex") {
        assert_eq!(first.drive.as_deref(), Some("hex 2 mm"));
    }
}

#[rstest]
#[case("clip 5 mm")]
#[case("screw T5 0 mm")]
#[case("[clip, nothing]")]
#[case("perhaps unknown")]
#[case("perhaps")]
fn fasteners_that_mean_nothing_are_refused(#[case] loosen: &str) {
    let (_, errors) = read(&format!("actions:\n  - {{free: a, with: hands, loosen: {loosen}, after: []}}"));
    assert!(!errors.is_empty(), "{loosen}");
}

/// `unknown` is any number of operations, `one unknown` one; so it is in a list.
#[test]
fn unknown_work_is_one_operation_only_where_it_says_so() {
    let work = |with: &str| -> Vec<(bool, bool)> {
        let action = action(&format!("free: a, {with} after: []"));
        action.with.iter().map(|w| (w.ways.known == Known::Unknown, w.single)).collect()
    };
    assert_eq!(work("with: unknown,"), [(true, false)]);
    assert_eq!(work(""), [(true, false)]);
    assert_eq!(work("with: one unknown,"), [(true, true)]);
    assert_eq!(work("with: [PH0, unknown, one unknown],"), [(false, true), (true, false), (true, true)]);
}

#[test]
fn perhaps_in_after_is_one_name() {
    let fields = "free: a, with: hands, after: [perhaps b, {any: [b, [perhaps mesh]]}]";
    let (_, errors) = read(&format!(
        "parts: {{a: {{}}, b: {{}}, mesh: {{}}}}\nactions:\n  - {{{fields}}}\n  - {{free: b, after: []}}\n  - {{free: mesh, after: []}}"
    ));
    assert_eq!(errors, Vec::<String>::new());
    let After::Needs(needs) = action("free: a, with: hands, after: perhaps b").after.value else { panic!("stated") };
    assert!(matches!(&needs[..], [Need::Perhaps(name)] if name.value == "b"), "{needs:?}");
}

/// Nothing is always met, so a member that asks for nothing makes the whole ask for nothing.
#[rstest]
#[case("after: {any: [b, []]}", "wrong-value []")]
#[case("after: {any: [b, nothing]}", "wrong-value nothing")]
#[case("after: perhaps b | mesh", "wrong-value perhaps b | mesh")]
#[case("after: perhaps ring", "unknown-reference ring")]
fn needs_that_mean_nothing_are_refused(#[case] after: &str, #[case] wanted: &str) {
    let (_, errors) = read(&format!(
        "parts: {{b: {{}}, mesh: {{}}}}\nactions:\n  - {{free: b, after: []}}\n  - {{free: mesh, after: []}}\n  - {{free: a, with: hands, {after}}}"
    ));
    assert_eq!(errors, [wanted]);
}

/// What is destroyed or marked need not be a part; what is laid aside is one.
#[test]
fn what_a_way_leaves_behind_is_read() {
    let made = action("free: a, with: hands, after: [], destroys: [mesh, dust net], wears: [b, one clip of six]");
    let names = |list: &[record::Spanned<String>]| list.iter().map(|n| n.value.clone()).collect::<Vec<_>>();
    assert_eq!(
        (names(&made.destroys), names(&made.wears)),
        (vec!["mesh".into(), "dust net".into()], vec!["b".into(), "one clip of six".into()])
    );
    let made = action("do: fold out, with: hands, after: [], aside: a, cleans: yes");
    assert_eq!((names(&made.aside), made.cleans), (vec!["a".to_owned()], true));
    let (_, errors) = read("actions:\n  - {do: fold out, with: hands, after: [], aside: board}");
    assert_eq!(errors, ["unknown-reference board"]);
    let (_, errors) = read("actions:\n  - {free: a, with: hands, after: [], cleans: yes, aside: a}");
    assert_eq!(errors, ["only-in-do cleans", "only-in-do aside"]);
}

/// Where to look is no duration, even in uncut footage.
#[test]
fn places_to_look_are_times_without_length() {
    let at = |text: &str| {
        action(&format!("free: a, with: hands, after: [], uncut: yes, at: {text}")).at.as_ref().unwrap().value
    };
    assert_eq!((at("about 4:10").timing, at("about 4:10").lasts()), (Timing::About, None));
    assert_eq!((at("within 4:00..4:30").timing, at("within 4:00..4:30").lasts()), (Timing::Within, None));
    assert_eq!(at("4:00..4:30").lasts(), Some(30));
}

#[test]
fn the_day_on_the_market_is_a_fact() {
    let known = |text: &str| {
        let text = format!("unfasten: 1\ndevice: {{name: L, category: other{text}}}\n");
        let mut sources = Sources::new();
        let file = sources.add(Source::new("r.yaml", &text));
        record::read(&sources, file).record.map(|r| r.device.on_market.known.map(|d| d.0.clone()))
    };
    assert_eq!(known(""), Some(Known::Unknown));
    assert_eq!(known(", on market: 2026-03-02"), Some(Known::Is("2026-03-02".to_owned())));
    let span = Known::Between(Some("2025-11-01".to_owned()), Some("2026-03-02".to_owned()));
    assert_eq!(known(", on market: 2025-11-01..2026-03-02"), Some(span));
    assert_eq!(known(", on market: 2026-02-30"), None);
}
