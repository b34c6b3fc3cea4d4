//! The summary and what it rests on: sums that come out exactly, a sentence and a script that keep their length, a picture in
//! which no two texts meet. Lengths and sizes are those the project set itself; sums follow from the terms of the weighted
//! mean; steps in the picture are held against the reference routes and a replayer that shares no code with the search.

use std::collections::BTreeMap;

use proptest::prelude::*;
use report::facts::{Facts, Lead, losses};
use report::picture::{self, Stretch};
use report::template::Templates;
use report::view::Others;
use report::words;
use rstest::rstest;
use scoring::assess::Reach;
use scoring::compare::causes::RUNGS;
use scoring::exact::Exact;
use scoring::range::{Assessment, Effort};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

use crate::report_common::random::random;
use crate::report_common::{names, sample, sample_view, samples, whole};

fn read(name: &str, text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, text));
    let read = record::read(&sources, file);
    read.record.unwrap_or_else(|| panic!("{name}: {:#?}\n{text}", read.diagnostics))
}

fn lead(record: &Record) -> Option<Lead> {
    let method = scoring::range::fitted(&scoring::method::load_shipped("en-45554").unwrap(), record);
    let effort = Effort { looks: 100, pool: 400_000, ..Effort::default() };
    let others = Others::new(record, &method, effort);
    Lead::new(record, &Assessment::new(record, &method, effort), others.bench.as_ref(), RUNGS)
}

/// What every summary keeps to, of samples and of random records.
fn sound(name: &str, text: &str) {
    let record = read(name, text);
    let Some(lead) = lead(&record) else { return };
    let Some(facts) = Facts::new(&record, &lead) else { return };
    // Sums.
    for end in [0, 1] {
        let by_criterion: Exact = facts.lost.criteria.iter().map(|l| l.points[end].clone()).sum();
        assert_eq!(&by_criterion + &facts.lost.unexplained[end], facts.lost.all[end], "{name}");
        let rungs: Exact = lead.causes.ladder.iter().map(|r| r[end].clone()).sum();
        let before = [&lead.causes.before.low, &lead.causes.before.high][end].clone().unwrap();
        assert!(&(&rungs + &lead.causes.rest[end]) + &before >= Exact::from(10), "{name}");
    }
    // Words.
    let said = words::sentence(&facts);
    assert!(words::words(&said.text) <= words::WORDS, "{name}: {}", said.text);
    assert!(said.text.ends_with('.') && said.spoken.contains(&facts.shown[0]), "{name}: {}", said.spoken);
    for gone in ["Most is lost", "unknown", "|", "  ", "can't be reached to", "the the "] {
        assert!(!said.text.contains(gone), "{name}: {}", said.text);
    }
    // Every phrase, read aloud.
    let mut phrases = vec![said.text.clone(), said.spoken.clone()];
    phrases.extend(facts.causes.iter().map(|c| words::cost(&facts, c)));
    phrases.extend(facts.promises.iter().map(words::promise_cost));
    phrases.extend(facts.open.iter().map(|o| words::open_line(&facts, o)));
    phrases.extend(facts.limit.iter().map(|l| words::lift(&facts, l)));
    phrases.extend(words::script(&record, &facts).into_iter().map(|s| s.text));
    phrases.extend(picture::list(&picture::tree(&record, &lead.assessment, usize::MAX)).into_iter().map(|i| i.text));
    phrases.iter().for_each(|p| whole(name, p));
    let script = words::script(&record, &facts);
    // A part is told once.
    for (i, a) in script.iter().enumerate() {
        assert!(script[i + 1..].iter().all(|b| a.text != b.text), "{name}: {}", a.text);
    }
    assert!(script.len() <= 7 && script.last().unwrap().text == "Not an official score.", "{name}");
    // The picture.
    for rows in [picture::ROWS, usize::MAX] {
        let tree = picture::tree(&record, &lead.assessment, rows);
        let laid = picture::layout(&tree);
        for (i, a) in laid.labels.iter().enumerate() {
            assert!(a.size >= 9.0, "{name}: {a:?}");
            let [left, top, right, bottom] = a.area();
            assert!(
                left >= 0.0 && top >= 0.0 && right <= 704.0 && bottom <= laid.height,
                "{name}: {a:?} {}",
                laid.height
            );
            for b in &laid.labels[i + 1..] {
                assert!(!a.meets(b), "{name}: {} meets {}\n{a:?}\n{b:?}", a.text, b.text);
            }
        }
        if rows == picture::ROWS {
            assert!(tree.roots.iter().map(leaves).sum::<usize>() <= picture::ROWS, "{name}");
        } else {
            assert!(tree.more.is_empty());
            steps_agree(name, &lead.assessment, &tree);
        }
    }
}

/// Results of other methods, a line each: no cut sentence, no row of a standard, requirements by what is read in the device.
#[test]
fn lines_of_other_methods_are_whole() {
    for name in names() {
        let view = sample_view(name);
        let Some(brief) = &view.brief else { continue };
        for law in &brief.laws {
            for text in [&law.text, &law.result, &law.sure] {
                assert!(!text.contains('…') && !text.contains("(over ") && !text.is_empty(), "{name}: {law:?}");
            }
            // What stands behind it names acts and articles, which have capitals.
            [&law.text, &law.result].into_iter().for_each(|text| whole(name, text));
            assert!(["yes", "no", "open", "number"].contains(&law.form), "{law:?}");
        }
        // No label tells two columns apart by a number alone.
        let columns = view.assessments.iter().flat_map(|a| &a.matrix.columns);
        assert!(columns.clone().all(|c| !c.ends_with("(2)")), "{name}: {:?}", columns.collect::<Vec<_>>());
    }
}

/// Requirements not met stand first, each with its source and what would meet it; what asks nothing of a part stands once.
#[test]
fn requirements_not_met_stand_first() {
    let view = sample_view("bar-phone.yaml");
    for a in view.assessments.iter().filter(|a| a.requirements) {
        let rank = |form: &str| ["no", "open", "yes"].iter().position(|f| *f == form);
        let told: Vec<_> = a.reasons.iter().filter(|r| !r.read.is_empty()).collect();
        let order: Vec<_> = told.iter().filter_map(|r| rank(r.read[0].form)).collect();
        assert!(order.windows(2).all(|w| w[0] <= w[1]), "{}: {order:?}", a.method);
        for reason in told.iter().filter(|r| r.read[0].form == "no") {
            assert!(reason.source >= 1 && reason.source <= a.sources.len(), "{reason:?}");
            let of_choice =
                reason.made.is_empty() && reason.meets.is_empty() && reason.read[0].said.starts_with("set by");
            assert!(!reason.meets.is_empty() || of_choice, "{reason:#?}");
            let placed =
                |r: &report::view::types::Read| !r.places.is_empty() || r.names.iter().any(|n| !n.places.is_empty());
            assert!(of_choice || placed(&reason.read[0]), "{reason:#?}");
        }
        let of_device = told.iter().flat_map(|r| &r.read).flat_map(|r| &r.names).filter(|n| n.name == "the device");
        assert!(of_device.count() <= told.len());
    }
}

fn leaves(stretch: &Stretch) -> usize {
    if stretch.next.is_empty() { 1 } else { stretch.next.iter().map(leaves).sum() }
}

/// Each part that counts stands once, at the steps of its reference route.
fn steps_agree(name: &str, a: &Assessment, tree: &picture::Tree) {
    let mut drawn: Vec<(String, u32)> = Vec::new();
    tree.roots.iter().for_each(|r| ends(r, &mut drawn));
    let end = &a.ends[1];
    let mut wanted: BTreeMap<u32, u32> = BTreeMap::new();
    for role in a.roles.iter().filter(|r| r.weight.is_some()) {
        for fill in end.device.fills.iter().filter(|f| f.present && f.part.is_some()) {
            if scoring::assess::plan::role_fits(&role.role, &fill.role)
                && let Some(route) = end.evaluated.routes.get(&fill.thing).filter(|r| r.reach != Reach::No)
            {
                wanted.insert(fill.thing, route.steps);
            }
        }
    }
    let mut steps: Vec<u32> = wanted.into_values().collect();
    let mut found: Vec<u32> = drawn.iter().map(|(_, s)| *s).collect();
    steps.sort_unstable();
    found.sort_unstable();
    steps.dedup();
    found.dedup();
    assert_eq!(found, steps, "{name}: {drawn:?}");
}

fn ends(stretch: &Stretch, out: &mut Vec<(String, u32)>) {
    assert!(stretch.steps[0] <= stretch.steps[1]);
    if let Some(end) = &stretch.end {
        out.push((end.name.clone(), stretch.steps[1]));
    }
    for next in &stretch.next {
        assert_eq!(next.steps[0], stretch.steps[1]);
        ends(next, out);
    }
}

#[test]
fn summaries_of_samples_are_sound() {
    for (name, text) in samples() {
        sound(&name, &text);
    }
}

#[test]
fn the_phone_is_told_by_its_glued_back() {
    let record = read("phone", &samples().iter().find(|(n, _)| n == "bar-phone.yaml").unwrap().1);
    let lead = lead(&record).unwrap();
    let facts = Facts::new(&record, &lead).unwrap();
    let said = words::sentence(&facts);
    assert!(said.text.starts_with("The back is glued and the other eight parts lie behind it"), "{}", said.text);
    assert!(said.text.contains("the battery takes seven steps, heat and alcohol"), "{}", said.text);
    assert!(said.text.ends_with("Open: whether the glue of the back comes off clean."), "{}", said.text);
    let script = words::script(&record, &facts);
    let count: usize = script.iter().map(|s| words::words(&s.text)).sum();
    assert!((50..=75).contains(&count) && (5..=7).contains(&script.len()), "{count}: {script:#?}");
    let chapters = report::chapters::chapters(&record);
    assert!(chapters.len() <= report::chapters::MOST && chapters[0].0 == 0);
    for pair in chapters.windows(2) {
        assert!(pair[1].0 - pair[0].0 >= report::chapters::APART, "{chapters:#?}");
    }
    for (_, title) in &chapters {
        assert!(title.chars().count() <= report::chapters::LETTERS && !title.contains("plug"), "{title}");
    }
    assert!(chapters.iter().any(|(_, t)| t == "Cameras"), "{chapters:#?}");
    assert!(chapters.iter().any(|(_, t)| t.contains("fails")), "{chapters:#?}");
}

/// Sizes the project set itself: a page that travels by mail, a summary that fits a note.
#[test]
fn pages_keep_to_their_size() {
    let templates = Templates::shipped();
    // As the command does: a sheet without marks says nothing.
    let phone = sample("bar-phone.yaml");
    let mut job = phone.job();
    job.applied.retain(|one| one.assessment.method.id.value != "fr-index");
    let view = report::view::build(&job);
    let html = report::html::report(&view, &templates).unwrap();
    let markdown = report::markdown::report(&view, &templates).unwrap();
    let summary = report::markdown::summary(&view, &templates).unwrap();
    assert!(summary.len() < 6_000, "{}", summary.len());
    assert!(summary.contains(&view.brief.as_ref().unwrap().sentence));
    assert!(html.len() < 250_000 && markdown.len() < 80_000, "{} {}", html.len(), markdown.len());
}

/// A limit that binds is a row of its own and comes first. The numbers: the mean of the bench criteria would be above 3, and
/// a battery that comes out only by damage holds it there.
#[test]
fn a_limit_that_binds_comes_first() {
    let record = read("glued.yaml", GLUED);
    let lead = lead(&record).unwrap();
    let facts = Facts::new(&record, &lead).unwrap();
    assert_eq!(facts.shown, ["3.0", "3.0"], "{:?}", facts.shown);
    let first = &facts.lost.criteria[0];
    assert!(first.limit && !first.points[0].is_zero(), "{:#?}", facts.lost.criteria);
    assert!(facts.limit.is_some());
    let said = words::sentence(&facts);
    assert!(said.text.starts_with("Held at 3.0: the battery comes out only by destroying"), "{}", said.text);
}

const GLUED: &str = "\
unfasten: 1
device: {name: Slab, maker: Ostrel, category: smartphone, form: not folding, price: 99 EUR}
teardown: {date: 2026-05-02, place: use, skill: layman}
parts:
  lid: {role: back cover, paired: no}
  cell: {role: battery, paired: no}
  panel: {role: display assembly, paired: no}
absent: [charging port, rear camera, speaker, front camera, microphone, button]
actions:
  - {free: lid, with: hands, loosen: 4 x clip, after: []}
  - {free: panel, with: PH0, loosen: 2 x screw PH0, after: lid}
  - {free: cell, with: opening pick, loosen: {fastener: film adhesive, kind: neither}, after: lid, destroys: [cell]}
";

#[rstest]
#[case("5.3", "five point three")]
#[case("6.0", "six")]
#[case("0.4", "zero point four")]
#[case("10", "ten")]
fn numbers_are_read_aloud(#[case] shown: &str, #[case] aloud: &str) {
    assert_eq!(words::english::aloud(shown), aloud);
}

/// Rows of points must come out whatever is open; here a criterion that two ends read differently.
#[test]
fn losses_add_up_at_both_ends() {
    for name in names() {
        for (a, ..) in sample(name).assessments.iter().filter(|(a, ..)| !a.method.scale.verdict) {
            let lost = losses(a);
            for end in [0, 1] {
                let sum: Exact = lost.criteria.iter().map(|l| l.points[end].clone()).sum();
                assert_eq!(&sum + &lost.unexplained[end], lost.all[end], "{name} {}", a.method.id.value);
                // Where weights are not known there is no total, so nothing says what each criterion costs of it.
                let explained = lost.unexplained[end].is_zero() || a.method.no_total().is_some();
                assert!(!a.root.exact || explained, "{name} {}", a.method.id.value);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 50, max_shrink_iters: 10, ..ProptestConfig::default() })]
    #[test]
    fn summaries_of_random_records_are_sound(text in random()) {
        sound("random.yaml", &text);
    }
}
