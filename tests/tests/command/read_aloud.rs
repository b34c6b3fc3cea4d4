//! Pages read aloud: what a sentence says can be looked up, and nothing is said in two ways. What must hold is what the
//! project asks of its own pages (every point has a because; one word for one thing); names of fasteners are those of the
//! records used here.

use std::collections::BTreeSet;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use report::template::Templates;
use report::view::View;
use rstest::rstest;
use scraper::{Html, Selector};

use crate::report_common::random::random;
use crate::report_common::{Case, names, sample_view, whole};

/// Random records, the same in every run, with the default method.
fn drawn(n: usize) -> Vec<(String, View)> {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[17; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    (0..n)
        .map(|_| random().new_tree(&mut runner).unwrap().current())
        .map(|text| (text.clone(), Case::with("random.yaml", &text, |m| m.id.value == "en-45554").view()))
        .collect()
}

/// Every line of a Markdown page, without marks, links and figures of tables.
fn lines(markdown: &str) -> Vec<String> {
    let plain = |l: &str| l.trim_start_matches(['#', '*', '-', ' ', '>']).replace("**", "").replace('\\', "");
    let told = |l: &&str| !l.starts_with(['|', '!', '<']) && !l.trim().is_empty();
    markdown.lines().filter(told).map(plain).collect()
}

#[test]
fn pages_of_random_records_read_well() {
    let templates = Templates::shipped();
    for (text, view) in drawn(6) {
        let page = report::markdown::report(&view, &templates).unwrap();
        lines(&page).iter().for_each(|l| sentence(&text, l));
        traced("random record", &view);
    }
}

#[test]
fn pages_of_samples_read_well() {
    let templates = Templates::shipped();
    for name in names() {
        let page = report::markdown::summary(sample_view(name), &templates).unwrap();
        lines(&page).iter().for_each(|l| sentence(name, l));
        // A sentence in bold starts a paragraph of its own.
        for (before, line) in page.lines().zip(page.lines().skip(1)) {
            assert!(!line.starts_with("**") || before.is_empty(), "{name}: {before} / {line}");
        }
    }
}

/// What no line of a page has, whatever it is about.
fn sentence(name: &str, text: &str) {
    let padded = format!(" {text} ");
    for odd in [
        " and 1 more",
        "full verdict: if",
        "(heat or solvent)",
        "()",
        " .",
        " ;",
        ",,",
        ";;",
        ": .",
        ": ;",
        " the the ",
        " a a ",
        " an an ",
        " to to ",
        " of of ",
        " and and ",
        " 1 steps",
        " one steps",
        " 1 points",
        " 1 parts",
        " 1 questions",
        "°C °C",
        "after line ",
        "Lines 1 to",
        "other · ",
        "Duration: ",
        " to at least ",
        "takes isopropyl",
        "(it reads",
        "0.0 points",
        "0.0 more",
    ] {
        assert!(!padded.contains(odd), "`{odd}` in {text}\n{name}");
    }
    // A word twice in a row is a slip, wherever it stands.
    let mut before = "";
    for word in text.split_whitespace() {
        let letters = word.chars().all(char::is_alphabetic) && word.len() > 1;
        assert!(!letters || word != before, "{word} twice in {text}\n{name}");
        before = word;
    }
    assert!(text.chars().next().is_none_or(|c| c != ','), "{text}\n{name}");
}

/// Every gain leads to a line of the record and to the criteria that read it, and there stands the rule.
fn traced(name: &str, view: &View) {
    let Some(brief) = &view.brief else { return };
    let html = report::html::report(view, &Templates::shipped()).unwrap();
    let page = Html::parse_document(&html);
    let ids: BTreeSet<&str> = page.select(&Selector::parse("[id]").unwrap()).filter_map(|e| e.attr("id")).collect();
    for cost in &brief.costs {
        assert!(ids.contains(cost.anchor.as_str()), "{name}: {cost:?}");
    }
    for open in &brief.open {
        assert!(ids.contains(open.anchor.as_str()), "{name}: {open:?}");
    }
    for rung in brief.ladder.iter().chain(&brief.promised) {
        let row = page.select(&Selector::parse(&format!("[id=\"{}\"]", rung.anchor)).unwrap()).next();
        let row = row.unwrap_or_else(|| panic!("{name}: {rung:?}"));
        let to: Vec<&str> =
            row.select(&Selector::parse("a").unwrap()).filter_map(|a| a.attr("href")?.strip_prefix('#')).collect();
        assert!(to.iter().all(|t| ids.contains(t)), "{name}: {rung:?}");
        assert!(!rung.criteria.is_empty(), "{name}: {rung:?}");
        // What nobody mentioned has no line; the criterion says so.
        let unsaid = rung.text.starts_with("the record mentions") || rung.text.starts_with("on the full verdict");
        assert!(unsaid || to.iter().any(|t| t.starts_with('L')), "{name}: {rung:?}");
        for link in &rung.criteria {
            let first = &view.assessments[0];
            let reason = first.reasons.iter().find(|r| {
                r.anchor == link.anchor || r.read.iter().flat_map(|r| &r.names).any(|n| n.anchor == link.anchor)
            });
            let reason = reason.unwrap_or_else(|| panic!("{name}: {link:?}"));
            assert!(!reason.rule.is_empty() && reason.source >= 1, "{name}: {reason:?}");
        }
    }
}

#[test]
fn gains_of_samples_lead_to_criterion_rule_and_line() {
    for name in names() {
        traced(name, sample_view(name));
    }
}

/// How sure the weakest rule is: the bench verdict has its own, and both places say the same of it.
#[test]
fn certainty_is_said_once() {
    for name in names() {
        let view = sample_view(name);
        let (Some(brief), Some(first)) = (&view.brief, view.assessments.first()) else { continue };
        let (_, summary) = brief.method.split_once(": ").unwrap();
        let summary = summary.trim_end_matches('.');
        assert!(first.weakest_said.contains(summary), "{name}: {summary} / {}", first.weakest_said);
        let bench = brief.method.contains("on the bench");
        assert_eq!(bench, !brief.full.is_empty(), "{name}");
    }
}

/// A line is one of the record; rows of a route have no number.
#[test]
fn rows_of_routes_are_no_lines() {
    for name in names() {
        for route in &sample_view(name).routes {
            for text in [route.first.as_str(), route.shared.as_ref().map_or("", |s| s.words.as_str())] {
                assert!(!text.to_lowercase().contains("line"), "{name}: {text}");
            }
        }
    }
}

/// No two chapters are called alike.
#[test]
fn chapters_differ() {
    for name in names() {
        let chapters = report::chapters::chapters(&crate::report_common::sample(name).record);
        let titles: BTreeSet<&String> = chapters.iter().map(|(_, t)| t).collect();
        assert_eq!(titles.len(), chapters.len(), "{name}: {chapters:#?}");
        for (_, title) in &chapters {
            assert!(!title.contains(" and 1 more") && !title.contains("rys"), "{name}: {title}");
        }
    }
}

/// A record with a back that is held in one way, and a cell in another.
fn held(back: &str, cell: &str, with: &str) -> View {
    let text = format!(
        "unfasten: 1\ndevice: {{name: Slab, maker: Ostrel, category: smartphone, form: not folding, price: 99 EUR}}\n\
         teardown: {{place: use, skill: layman}}\nparts:\n  lid: {{role: back cover, paired: no}}\n  \
         cell: {{role: battery, paired: no}}\n  panel: {{role: display assembly, paired: no}}\n\
         absent: [charging port, rear camera, speaker, front camera, microphone, button]\nactions:\n  \
         - {{free: lid, with: opening pick, loosen: {back}, after: []}}\n  \
         - {{free: panel, with: PH0, loosen: 2 x screw PH0, after: lid}}\n  \
         - {{free: cell, with: {with}, loosen: {cell}, after: lid}}\n"
    );
    Case::with("slab.yaml", &text, |m| m.id.value == "en-45554").view()
}

/// What sticks is called as the record calls it.
#[rstest]
#[case("{fastener: adhesive, kind: neither}", "The back is glued")]
#[case("{fastener: film adhesive, kind: neither}", "The back is glued")]
#[case("{fastener: double sided tape, kind: neither}", "The back is taped down")]
#[case("{fastener: foam tape, kind: neither}", "The back is taped down")]
#[case("{fastener: silicone, kind: neither}", "The back is sealed in")]
fn what_sticks_has_its_own_name(#[case] back: &str, #[case] starts: &str) {
    let view = held(back, "2 x clip", "hands");
    let brief = view.brief.unwrap();
    assert!(brief.sentence.starts_with(starts), "{}", brief.sentence);
    assert!(starts.contains("glued") || !brief.tree.iter().any(|i| i.text.contains("glue")), "{:?}", brief.tree);
    // A teardown without its day says so.
    assert!(brief.bench[0].contains("not stated"), "{:?}", brief.bench);
}

/// What a solvent opens isn't cut.
#[test]
fn what_a_solvent_opens_is_not_cut() {
    let view = held("4 x clip", "{fastener: film adhesive, kind: neither}", "[isopropyl alcohol, prying lever]");
    let brief = view.brief.unwrap();
    let work = &brief.parts[0].rows.iter().find(|r| r.what == "work").unwrap().said;
    assert!(work.contains("isopropyl alcohol") && !work.contains("to cut"), "{work}");
    assert!(!brief.tree.iter().any(|i| i.text.contains("to cut")), "{:?}", brief.tree);
    // The same with a lever alone is cut.
    let view = held("4 x clip", "{fastener: film adhesive, kind: neither}", "prying lever");
    let brief = view.brief.unwrap();
    assert!(brief.tree.iter().any(|i| i.text.contains("glue to cut")), "{:?}", brief.tree);
}

/// Tools nobody established are no bare hands, and no claim is made of what they are.
#[test]
fn unknown_tools_are_not_hands() {
    for (with, open) in [("hands", false), ("one unknown", true), ("unknown", true)] {
        let view = held("4 x clip", "2 x clip", with);
        let brief = view.brief.unwrap();
        let battery = &brief.parts[0];
        let work = &battery.rows.iter().find(|r| r.what == "work").unwrap().said;
        assert_eq!(work.contains("not established"), open, "{with}: {work}");
        assert!(!battery.head.contains("to at least"), "{with}: {}", battery.head);
        let claims = brief.sentence.contains("no part takes heat or glue");
        assert!(!(open && claims), "{with}: {}", brief.sentence);
    }
    // A number that is open upwards is no number of steps for all parts.
    let brief = held("4 x clip", "2 x clip", "unknown").brief.unwrap();
    assert!(brief.parts[0].head.contains("at least"), "{}", brief.parts[0].head);
    assert!(!brief.sentence.contains("steps deep"), "{}", brief.sentence);
}

/// Of a device of no category listed the bench shows nothing the method weighs: what leads is the whole verdict.
#[test]
fn a_verdict_of_promises_is_not_of_the_bench() {
    let brief = sample_view("lamp-two.yaml").brief.as_ref().unwrap();
    assert!(brief.script[0].text.starts_with("The Lamp Two gets"), "{:?}", brief.script);
    assert!(!brief.device.iter().any(|d| d == "other"), "{:?}", brief.device);
    assert!(brief.lost.starts_with("No point is lost for sure"), "{}", brief.lost);
}

#[rstest]
#[case("camera", "cameras")]
#[case("memory", "memories")]
#[case("key", "keys")]
#[case("switch", "switches")]
#[case("glass", "glasses")]
#[case("bearings", "bearings")]
fn words_have_their_plural(#[case] one: &str, #[case] more: &str) {
    assert_eq!(report::words::english::plural(one), more);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]
    /// One more is named, and nothing is named twice.
    #[test]
    fn lists_name_all_or_say_how_many(n in 0usize..12, shown in 1usize..5) {
        let items: Vec<String> = (0..n).map(|i| format!("part {i}")).collect();
        let text = report::plural::some(&items, shown);
        prop_assert!(!text.ends_with(" 1 more"));
        let named = items.iter().filter(|i| text.contains(i.as_str())).count();
        let more: usize = text.rsplit_once(" and ").and_then(|(_, m)| m.strip_suffix(" more")?.parse().ok()).unwrap_or(0);
        prop_assert_eq!(named + more, n);
        if n > 0 { whole("list", &text); }
    }
}
