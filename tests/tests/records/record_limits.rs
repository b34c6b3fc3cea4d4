//! Lists, texts and mistakes without end: a clear error at a cap that has a name, and work that grows with the text below it.
//! The caps are the program's own; the sizes tried are those that once took many seconds.

use outside::fuzz::processor;
use rstest::rstest;
use scoring::record::{self, SupportTable};
use scoring::text::limits::{LARGEST, LONGEST_TEXT, MOST_CHOICES, MOST_ITEMS, MOST_LINES};
use scoring::text::{Diagnostic, Source, Sources};

/// Processor time for one text of at most 4 MB, seconds, in a build without optimisation.
const MOST: f64 = 20.0;

fn record(rest: &str) -> String {
    format!("unfasten: 1\ndevice: {{name: Lamp, maker: Ostrel, category: other}}\n{rest}")
}

fn action(field: &str, value: &str) -> String {
    record(&format!("actions:\n  - {{free: lid, with: PH0, after: [], {field}: {value}}}\n"))
}

fn joined(piece: &str, between: &str, times: usize) -> String {
    vec![piece; times].join(between)
}

fn numbered(piece: &str, times: usize) -> String {
    (0..times).map(|i| format!("{piece}{i}")).collect::<Vec<_>>().join(", ")
}

fn read(text: &str) -> Vec<Diagnostic> {
    assert!(text.len() <= LARGEST, "{} bytes", text.len());
    let mut sources = Sources::new();
    let file = sources.add(Source::checked("large.yaml", text.as_bytes()).expect("a text"));
    record::read(&sources, file).diagnostics
}

fn timed<T>(work: impl FnOnce() -> T) -> T {
    let before = processor();
    let out = work();
    if let (Some(before), Some(after)) = (before, processor()) {
        assert!(after - before < MOST, "{:.1} s", after - before);
    }
    out
}

#[rstest]
#[case::alternatives(record(&format!("actions:\n  - {{free: lid, after: [], with: {}}}\n", joined("PH0", " | ", 6_000))), "too-many-entries")]
#[case::ways(record(&format!("actions:\n  - {{free: lid, after: [], with: {}}}\n", joined("PH0", " or ", 6_000))), "too-many-entries")]
#[case::tools(record(&format!("actions:\n  - {{free: lid, after: [], with: {}}}\n", joined("PH0", " + ", 6_000))), "too-many-entries")]
#[case::very_many(record(&format!("actions:\n  - {{free: lid, after: [], with: {}}}\n", joined("PH0", " | ", 80_000))), "yaml-size")]
#[case::counts(action("loosen", &format!("[{{fastener: clip, count: {}}}]", joined("1", " | ", 9_000))), "too-many-entries")]
#[case::needs(record(&format!("actions:\n  - {{free: lid, with: PH0, after: {}}}\n", joined("a", " | ", 9_000))), "too-many-entries")]
#[case::fasteners(action("loosen", &format!("[{}]", joined("clip", ", ", 200_000))), "yaml-size")]
#[case::absent(record(&format!("absent: [{}]\n", joined("battery", ", ", 300_000))), "yaml-size")]
#[case::long_name(record(&format!("parts: {{{}: {{role: lid}}}}\n", "n".repeat(3_000_000))), "yaml-size")]
#[case::long_note(record(&format!("notes: {}\n", "n ".repeat(1_500_000))), "yaml-size")]
fn what_has_no_end_is_one_clear_error(#[case] text: String, #[case] code: &str) {
    let found = timed(|| read(&text));
    let told: Vec<&Diagnostic> = found.iter().filter(|d| d.code == code).collect();
    assert!(
        !told.is_empty() && found.len() < 400,
        "{:?}",
        found.iter().map(|d| (d.code, &d.message)).collect::<Vec<_>>()
    );
    assert!(told.iter().all(|d| d.message.len() < 300 && d.mend.is_some()), "{:?}", told[0].message);
}

/// Just below the caps nothing is refused.
#[rstest]
#[case::alternatives(action("loosen", &format!("[{{fastener: clip, count: {}}}]", numbered("", MOST_CHOICES).replace(", ", " | "))))]
#[case::fasteners(action("loosen", &format!("[{}]", joined("clip", ", ", MOST_ITEMS))))]
#[case::absent(record(&format!("absent: [{}]\n", joined("lid", ", ", MOST_ITEMS))))]
#[case::long_note(record(&format!("notes: {}\n", "n".repeat(LONGEST_TEXT))))]
fn below_the_caps_work_is_small(#[case] text: String) {
    let found = timed(|| read(&text));
    assert!(!found.iter().any(|d| matches!(d.code, "too-many-entries" | "yaml-size")), "{found:?}");
}

/// Mistakes by the ten thousand: each would be held against every name there is.
#[rstest]
#[case::references(record(&format!("actions:\n{}", (0..30).map(|i| format!("  - {{free: part{i}, with: PH0, after: [{}]}}\n", numbered("nobody", 9_000))).collect::<String>())))]
#[case::roles(record(&format!("parts:\n{}", (0..120).map(|i| format!("  p{i}: {{role: [{}]}}\n", numbered("| r", 2_000))).collect::<String>())))]
#[case::tools(record(&format!("actions:\n{}", (0..30).map(|i| format!("  - {{free: p{i}, after: [], with: [{}]}}\n", numbered("spuger", 9_000))).collect::<String>())))]
#[case::fields(record(&(0..9_000).map(|i| format!("devce{i}: 1\n")).collect::<String>()))]
#[case::twice(record(&"notes: x\n".repeat(100_000)))]
fn mistakes_have_an_end(#[case] text: String) {
    let found = timed(|| read(&text));
    assert!((100..400).contains(&found.len()), "{} problems", found.len());
}

#[test]
fn lines_on_one_device_have_an_end() {
    let table = |lines: usize| format!("maker,model,updates\n{}", "Ostrel,Lamp,5 years\n".repeat(lines));
    let found = |text: &str| {
        let mut sources = Sources::new();
        let file = sources.add(Source::checked("table.csv", text.as_bytes()).expect("a text"));
        SupportTable::read(&sources, file).1
    };
    let many = timed(|| found(&table(190_000)));
    assert_eq!(many.iter().filter(|d| d.code == "too-many-entries").count(), 1, "{:?}", many[0]);
    assert!(!timed(|| found(&table(MOST_LINES))).iter().any(|d| d.code == "too-many-entries"));
}

/// A path that only claims to lead somewhere is refused in time that grows with its length, not with its points too. A fuzzed table of
/// answers took twelve seconds.
#[rstest]
#[case::points(joined("a", ".", 25_000))]
#[case::brackets(joined("a", "[", 25_000))]
#[case::long_names(joined("include a report here", ".md", 2_500))]
fn a_path_without_end_is_refused_at_once(#[case] path: String) {
    let source = Source::new("lamp.yaml", &record("roles: {lid: {weight: 1}, a cell 1.5 V: {weight: 2}}\n"));
    let before = processor();
    assert!(scoring::text::edit::set(&source, &path, "1").is_err());
    if let (Some(before), Some(after)) = (before, processor()) {
        assert!(after - before < 1.0, "{:.1} s", after - before);
    }
    // A name may hold points all the same.
    let done = scoring::text::edit::set(&source, "roles.a cell 1.5 V.weight", "3").expect("a place");
    let done = done.apply(&source.text);
    assert!(done.contains("a cell 1.5 V: {weight: 3}"), "{done}");
}
