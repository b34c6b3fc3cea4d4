//! Messages that misled people once, and that a mend offered is one that works.

use proptest::prelude::*;
use rstest::rstest;
use scoring::record;
use scoring::text::{Diagnostic, Severity, Source, Sources};

/// A record with one action, and something in the place of its fields.
fn record(fields: &str) -> String {
    format!(
        "unfasten: 1\ndevice: {{name: Lamp, category: other}}\nactions:\n  - free: lid\n    after: []\n    {fields}\n"
    )
}

fn errors(text: &str) -> (Sources, Vec<Diagnostic>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("x.yaml", text));
    let read = record::read(&sources, file);
    (sources, read.diagnostics.into_iter().filter(|d| d.severity == Severity::Error).collect())
}

fn only(text: &str) -> Diagnostic {
    let (_, found) = errors(text);
    assert_eq!(found.len(), 1, "{found:#?}\n{text}");
    found.into_iter().next().unwrap()
}

#[rstest]
#[case("loosen: zebra connector", "write `connector`")]
#[case("loosen: 2 x white glue", "write `glue`")]
#[case("loosen: about 5 x clip", "`4..6`")]
#[case("loosen: ~12 x screw PH0", "`11..13`")]
#[case("loosen: lip", "did you mean `clip`?")]
#[case("loosen: scrw PH0", "did you mean `screw PH0`?")]
#[case("loosen: 4 x scrw T5", "did you mean `screw T5`?")]
#[case("at: 2:00-3:53", "`2:00..3:53`")]
#[case("at: 2:00 to 3:53", "`2:00..3:53`")]
#[case("loosen: {fastener: glue, kind: sticky}", "removable (comes off clean)")]
#[case("loosen: zebra", "neither (leaves residue or damage)")]
#[case("skill: wizard", "layman (the work needs no experience and no qualification)")]
#[case("place: garage", "use (where the device is used)")]
fn the_mend_says_what_to_write(#[case] fields: &str, #[case] mend: &str) {
    let found = only(&record(fields));
    assert!(found.mend.as_deref().is_some_and(|m| m.contains(mend)), "{found:#?}");
}

/// Words of the bench that were taken for drives are fasteners.
#[rstest]
#[case("coax connector")]
#[case("2 x coaxial connector")]
#[case("glue strip")]
#[case("hot glue")]
#[case("press fit pin")]
fn words_of_the_bench_are_fasteners(#[case] text: &str) {
    let (_, found) = errors(&record(&format!("loosen: {text}")));
    assert!(found.is_empty(), "{found:#?}");
}

/// A comma between brackets ends a text: it is told once, with the whole text in quotes.
#[test]
fn a_comma_between_brackets_is_told_as_one() {
    let text = record("loosen: clip") + "remarks: [{for: light, easy to open, and cheap, at: 1:00}]\n";
    let found = only(&text);
    assert_eq!(
        found.mend.as_deref(),
        Some("put the text in quotes: `for: \"light, easy to open, and cheap\"`"),
        "{found:#?}"
    );
    let mended = text.replace("for: light, easy to open, and cheap", "for: \"light, easy to open, and cheap\"");
    assert!(errors(&mended).1.is_empty());
    // A field that is misspelt and has a value is none.
    let found = only(&(record("loosen: clip") + "remarks: [{for: light, colour: 1}]\n"));
    assert!(!found.mend.unwrap().contains("quotes"));
}

/// Texts in backquotes of a mend: what it says to write.
fn offered(mend: &str) -> Vec<String> {
    mend.split('`').skip(1).step_by(2).map(str::to_owned).collect()
}

/// Every text a mend offers stands where the wrong one stood, or is an entry of its own, and is read without a complaint.
fn works(text: &str, wrong: &Diagnostic, sources: &Sources) -> Result<(), String> {
    let mend = wrong.mend.as_deref().ok_or("no mend")?;
    let span = wrong.at.span;
    for offer in offered(mend).iter().filter(|o| !o.starts_with("unfasten about")) {
        if offer.contains("...") {
            return Err(format!("`{offer}` is nothing to write"));
        }
        let (from, to) = (span.start as usize, span.end as usize);
        let replaced = format!("{}{offer}{}", &text[..from], &text[to..]);
        // The whole value of the field, which is a line of its own in these records.
        let line = text[..from].rfind('\n').map_or(0, |n| n + 1);
        let end = text[from..].find('\n').map_or(text.len(), |n| from + n);
        let colon = line + text[line..end].find(": ").map_or(0, |n| n + 2);
        let whole = format!("{}{offer}{}", &text[..colon], &text[end..]);
        let declared = format!("{text}{offer}\n");
        // What was mended reads; what else was wrong beside it is told next.
        let fine = |new: &str, from: usize, to: usize| {
            errors(new).1.iter().all(|d| (d.at.span.end as usize) <= from || (d.at.span.start as usize) >= to)
        };
        let accepted = fine(&replaced, from, from + offer.len())
            || fine(&whole, colon, colon + offer.len())
            || fine(&declared, text.len(), declared.len()) && offer.contains(": {");
        if !accepted {
            return Err(format!("`{offer}` of `{mend}` is refused where {} stands", sources.excerpt(span)));
        }
    }
    Ok(())
}

fn slips() -> impl Strategy<Value = String> {
    let word = prop::sample::select(vec![
        "screw",
        "scrw",
        "clip",
        "lip",
        "connector",
        "conector",
        "coax",
        "glue",
        "glew",
        "hot",
        "white",
        "battery",
        "PH0",
        "ph9",
        "T5",
        "tx5",
        "hex",
        "2 mm",
        "press",
        "fit",
        "pin",
        "zebra",
        "foam",
        "tape",
        "strip",
        "about",
        "5 x",
        "5",
        "x",
        "12 x",
        "~3 x",
        "some",
    ]);
    // Something is always named in the end: a count of nothing has a complaint of its own.
    let last = prop::sample::select(vec![
        "screw", "scrw", "clip", "lip", "conector", "glue", "glew", "PH0", "tx5", "pin", "zebra", "strip",
    ]);
    let text = (prop::collection::vec(word, 0..3), last).prop_map(|(w, l)| [w, vec![l]].concat().join(" "));
    let time = (0_u32..80, 0_u32..80, prop::sample::select(vec!["-", " to ", "..", "–", " - ", ":", "/"]))
        .prop_map(|(a, b, sign)| format!("at: {a}:{b:02}{sign}{}:{:02}", a + 1, b));
    let tool = prop::sample::select(vec![
        "spuger",
        "PH1 and spudger",
        "twezers",
        "heat pda",
        "PH0/PH1",
        "pick, hands",
        "screwdrver",
        "zebra",
        "T55x",
    ]);
    prop_oneof![
        3 => text.prop_map(|t| format!("loosen: {t}")),
        1 => time,
        1 => tool.prop_map(|t| format!("with: {t}")),
        1 => prop::sample::select(vec!["skill: laymann", "skill: x", "place: workshp", "outcome: dnoe", "outcome: maybe", "makes safe: perhaps"]).prop_map(str::to_owned),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn every_mend_offered_is_accepted(fields in slips()) {
        let text = record(&fields);
        let (sources, found) = errors(&text);
        for wrong in &found {
            if let Err(why) = works(&text, wrong, &sources) {
                return Err(TestCaseError::fail(format!("{why}\n{text}{wrong:#?}")));
            }
        }
    }
}
