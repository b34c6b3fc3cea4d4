//! One mistake never hides the next, and hostile input gives one clear error each, without a panic.

use proptest::prelude::*;
use rstest::rstest;
use scoring::record;
use scoring::text::{Severity, Source, Sources};

/// `code line` of every complaint, or of the refusal.
fn found(bytes: &[u8]) -> Vec<(String, u32)> {
    let mut sources = Sources::new();
    match Source::checked("r.yaml", bytes) {
        Ok(source) => {
            let file = sources.add(source);
            let read = record::read(&sources, file);
            assert_eq!(read.record.is_none(), read.diagnostics.iter().any(|d| d.severity == Severity::Error));
            for d in &read.diagnostics {
                assert!(!d.message.is_empty() && d.reason.is_some() && d.mend.is_some(), "{d:?}");
            }
            read.diagnostics.iter().map(|d| (d.code.to_owned(), sources.position(d.at.span).line)).collect()
        }
        Err(refusal) => {
            let file = sources.add(refusal.source.clone());
            let d = refusal.diagnostic(file);
            vec![(d.code.to_owned(), sources.position(d.at.span).line)]
        }
    }
}

/// Twenty mistakes, five of them type errors; each line says which code it gets.
#[test]
fn twenty_mistakes_are_twenty_complaints() {
    let text = include_str!("../../fixtures/twenty-mistakes.yaml");
    let mut wanted: Vec<(String, u32)> = Vec::new();
    for (i, line) in text.lines().enumerate() {
        if let Some((_, codes)) = line.split_once("#! ") {
            wanted.extend(codes.split_whitespace().map(|c| (c.to_owned(), u32::try_from(i).unwrap() + 1)));
        }
    }
    assert_eq!(wanted.len(), 20);
    let types = wanted.iter().filter(|(c, _)| matches!(&**c, "wrong-value" | "wrong-shape" | "empty-value"));
    assert!(types.count() >= 5);
    assert_eq!(found(text.as_bytes()), wanted);
}

/// A misspelt category hides no mistake in what hangs on it: the same are found as once it is put right.
#[test]
fn a_misspelt_category_hides_nothing() {
    let text = "unfasten: 1
device: {name: Slab, maker: Ostrel, category: smart phone}
teardown: {place: use, skill: layman}
parts:
  lid: {role: backcover}
  port: {role: usb port}
actions:
  - {free: lid, with: PH0, loosen: 2 x screw PH0, after: []}
  - {free: port, with: hands, loosen: connector, after: lid}
";
    let right = found(text.replace("smart phone", "smartphone").as_bytes());
    assert!(right.iter().any(|(code, _)| code == "unknown-role"), "{right:?}");
    let mut wrong = found(text.as_bytes());
    assert_eq!(wrong.remove(0), ("wrong-value".to_owned(), 2));
    let errors = |list: &[(String, u32)]| list.iter().filter(|(c, _)| c == "unknown-role").cloned().collect::<Vec<_>>();
    assert_eq!(errors(&wrong), errors(&right));
}

#[rstest]
#[case("none", "write `[]` where nothing has to come before")]
#[case("No", "write `[]` where nothing has to come before")]
#[case("lid, pack", "write several as a list: `[lid, pack]`")]
#[case("lit", "did you mean `lid`?")]
fn an_order_written_otherwise_is_mended(#[case] after: &str, #[case] mend: &str) {
    let text = format!(
        "unfasten: 1
device: {{name: Slab, maker: Ostrel, category: other}}
teardown: {{place: use, skill: layman}}
roles: {{pack: {{weight: 1}}}}
parts: {{lid: {{}}, pack: {{role: pack}}}}
actions:
  - {{free: lid, with: PH0, loosen: 2 x screw PH0, after: []}}
  - free: pack
    with: hands
    loosen: connector
    after: {after}
"
    );
    let mut sources = Sources::new();
    let file = sources.add(Source::new("r.yaml", &text));
    let read = record::read(&sources, file);
    let mends: Vec<&str> = read.diagnostics.iter().filter_map(|d| d.mend.as_deref()).collect();
    assert!(mends.contains(&mend), "{mends:?}");
}

#[rstest]
#[case::empty(b"".to_vec(), "empty-file")]
#[case::mark_only("\u{feff}".as_bytes().to_vec(), "empty-file")]
#[case::comment_only(b"# nothing yet\n".to_vec(), "empty-file")]
#[case::not_yaml(b"{ this: [is not".to_vec(), "yaml-syntax")]
#[case::prose(b"Dear reader, this is not a record.".to_vec(), "not-a-record")]
#[case::binary(b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR".to_vec(), "not-utf8")]
#[case::nul(b"unfasten: 1\0".to_vec(), "odd-character")]
#[case::one_long_line(vec![b'a'; 100_000_000], "file-too-large")]
#[case::long_line_within_the_limit(vec![b'a'; 4_000_000], "yaml-size")]
#[case::nested("[".repeat(10_000).into_bytes(), "yaml-depth")]
#[case::nested_block("- ".repeat(10_000).into_bytes(), "yaml-depth")]
#[case::other_version(b"unfasten: 2\nparts: 7\n".to_vec(), "other-version")]
#[case::levels_of_aliases(levels().into_bytes(), "yaml-anchor")]
#[case::one_big_anchor(big_anchor().into_bytes(), "yaml-anchor")]
fn hostile_input_gives_one_error(#[case] bytes: Vec<u8>, #[case] code: &str) {
    let found = found(&bytes);
    assert_eq!(found.iter().map(|(c, _)| &**c).collect::<Vec<_>>(), [code]);
}

fn levels() -> String {
    let mut out = "unfasten: 1\na0: &a0 [x, x]\n".to_owned();
    for i in 1..10 {
        out += &format!("a{i}: &a{i} [{}]\n", vec![format!("*a{}", i - 1); 10].join(", "));
    }
    out
}

fn big_anchor() -> String {
    format!("big: &big [{}]\nuse: [{}]\n", vec!["x"; 3000].join(", "), vec!["*big"; 3000].join(", "))
}

#[test]
fn a_byte_order_mark_does_not_move_places() {
    let plain = "unfasten: 1\ndevice: {name: Lamp, category: lamp}\n";
    let marked = format!("\u{feff}{plain}");
    assert_eq!(found(plain.as_bytes()), found(marked.as_bytes()));
    assert_eq!(found(plain.as_bytes()), [("wrong-value".to_owned(), 2)]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_safe(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        found(&bytes);
    }

    /// Words of the format thrown together: no panic, and a record comes out exactly when nothing is an error.
    #[test]
    fn any_record_like_text_is_safe(lines in prop::collection::vec(
        "(  |    |  - )?(unfasten|device|parts|actions|free|do|after|with|loosen|role|support|absent|at|order|any|kind): ?(1|\\[\\]|\\{any: \\[a, \\[b, c\\]\\]\\}|a|b|a \\| b|unknown|3 x screw PH0|PH0 or PH1|heat pad 70 °C|as logged|\\{name: x, category: other\\})?",
        0..20,
    )) {
        found(format!("unfasten: 1\ndevice: {{name: x, category: other}}\n{}", lines.join("\n")).as_bytes());
    }

    /// Any value in any place of a good record.
    #[test]
    fn any_value_is_safe(value in "[ -~é€°×]{0,30}", place in 0..9_usize) {
        let values: Vec<String> = (0..9).map(|i| if i == place { value.clone() } else { "unknown".to_owned() }).collect();
        found(format!(
            "unfasten: 1\ndevice: {{name: x, category: other}}\nteardown:\n  place: {}\n  skill: {}\nactions:\n  - free: a\n    with: {}\n    loosen: {}\n    after: {}\n    at: {}\n    takes: {}\nsupport:\n  updates: {}\n  spare parts: {}\n",
            values[0], values[1], values[2], values[3], values[4], values[5], values[6], values[7], values[8],
        ).as_bytes());
    }
}

/// What a tired person writes for two tools or a drive by its shop name, with the mend that names the right form.
#[rstest]
#[case(
    "PH1 and spudger",
    "unknown-tool",
    "write `[PH1, spudger]` for one after the other, or `PH1 + spudger` for both at once"
)]
#[case(
    "'PH00, spudger'",
    "unknown-tool",
    "write `[PH00, spudger]` for one after the other, or `PH00 + spudger` for both at once"
)]
#[case("PH0/PH1", "unknown-tool", "write `PH0 or PH1` where either suffices")]
#[case("Trox 8", "unknown-tool", "write the short name of its drive; of this size there are T8, TR8")]
#[case(
    "'Trox 8, tweezers'",
    "unknown-tool",
    "write `[Trox 8, tweezers]` for one after the other, or `Trox 8 + tweezers` for both at once"
)]
fn tools_written_otherwise_are_mended(#[case] with: &str, #[case] code: &str, #[case] mend: &str) {
    let text = format!(
        "unfasten: 1\ndevice: {{name: x, category: other}}\nactions:\n  - {{free: a, after: [], with: {with}}}\n"
    );
    let mut sources = Sources::new();
    let file = sources.add(Source::new("record.yaml", &text));
    let found = record::read(&sources, file).diagnostics;
    assert_eq!(found.iter().map(|d| (d.code, d.mend.as_deref())).collect::<Vec<_>>(), [(code, Some(mend))]);
}

#[rstest]
#[case(
    "device: {name: '', category: other}\n",
    "`name` is empty; text is wanted",
    "write text between the quotes, or leave the field out if it may be left out"
)]
#[case(
    "device: {name: x, category: other}\nput back: yes\n",
    "`put back` is a single value, where the way back (a mapping with fields such as `done:`) is wanted",
    "write `{done: ...}`"
)]
#[case(
    "device: {name: x, category: other}\nactions: [{free: a, after: [], with: hands, loosen: 'glue, 2 x clip'}]\n",
    "`glue, 2 x clip` is not one fastener",
    "write a list: `[glue, 2 x clip]`"
)]
fn short_cuts_are_mended(#[case] text: &str, #[case] message: &str, #[case] mend: &str) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("record.yaml", &format!("unfasten: 1\n{text}")));
    let found = record::read(&sources, file).diagnostics;
    assert_eq!(found.iter().map(|d| (&*d.message, d.mend.as_deref())).collect::<Vec<_>>(), [(message, Some(mend))]);
}

fn codes(text: &str) -> Vec<&'static str> {
    let mut sources = Sources::new();
    let file =
        sources.add(Source::new("record.yaml", &format!("unfasten: 1\ndevice: {{name: x, category: other}}\n{text}")));
    record::read(&sources, file).diagnostics.iter().map(|d| d.code).collect()
}

/// Only where the vocabulary knows every tool and none turns this screw; no hand turns a drive.
#[rstest]
#[case("with: PH0, loosen: 2 x screw T5", true)]
#[case("with: [T5, PH0], loosen: [2 x screw T5, screw PH0]", false)]
#[case("with: PH0 or T5, loosen: 2 x screw T5", false)]
#[case("with: PH0 | unknown-driver, loosen: screw T5", false)]
#[case("with: my key, loosen: screw T5", false)]
#[case("with: [PH0, combination pliers], loosen: screw T5", false)]
#[case("with: screwdriver, loosen: screw T5", false)]
#[case("with: hands, loosen: screw T5", true)]
#[case("with: hands, loosen: screw", false)]
#[case("with: spudger, loosen: screw T5", true)]
#[case("with: PH0, loosen: screw T5, outcome: failed", false)]
#[case("with: unknown, loosen: screw T5", false)]
fn a_screw_no_tool_turns_is_doubted(#[case] action: &str, #[case] doubted: bool) {
    let text = format!(
        "tools: {{my key: {{class: basic}}, unknown-driver: {{class: basic}}}}\nactions:\n  - {{free: a, after: [], {action}}}\n"
    );
    assert_eq!(codes(&text).contains(&"drive-without-tool"), doubted, "{:?}", codes(&text));
}

/// A seal that is destroyed on the way and fills no role is no mistake; one with a role is.
#[test]
fn what_is_destroyed_need_not_come_off() {
    let text = "actions:\n  - {free: lid, after: [], with: hands, destroys: label}\n";
    assert_eq!(codes(&format!("parts: {{label: {{}}}}\n{text}")), Vec::<&str>::new());
    assert_eq!(codes(&format!("parts: {{label: {{role: battery}}}}\n{text}")), ["never-freed"]);
    assert_eq!(
        codes(&format!("parts: {{seal: {{}}}}\n{}", text.replace("destroys: label", "destroys: lid"))),
        ["never-freed", "destroys-what-it-frees"]
    );
}

#[test]
fn names_above_200_letters_are_doubted() {
    let named = |n: usize| codes(&format!("actions:\n  - {{free: {}, after: [], with: hands}}\n", "é".repeat(n)));
    assert_eq!((named(200), named(201)), (vec![], vec!["long-name"]));
}
