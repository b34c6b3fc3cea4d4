//! Variants: what is taken over from a base, with which basis, and what is not. By the meaning samples/README.md gives
//! `extends`; the rule that nothing observed on another bench is passed on is our own (samples/README.md, Variants).

use crate::command_support;

use std::path::Path;

use command_support::{Ran, unfasten};
use scoring::record::{self, Read};
use scoring::text::{Source, Sources};
use scoring::vocab::Basis;
use unfasten_cli::Exit;

const BASE: &str = "unfasten: 1
device: {name: Lamp Two, maker: Ostrel, category: other, price: 79 EUR, condition: used, register number: R-1}
teardown: {date: 2026-03-02, by: bench A, video: lamp.mp4, place of work: shed, uncut: yes, place: use, skill: layman}
parts:
  ring: {photo: ring.jpg}
  cell: {role: battery, paired: no}
  foot: {}
actions:
  - {free: ring, at: 0:41..0:50, after: [], with: hands, photo: off.jpg, takes: 9 s}
  - {free: cell, at: 1:10, after: ring, with: PH0, loosen: 2 x screw PH0}
  - {free: foot, after: ring, with: hands}
official: [ring, cell]
put back: {done: yes}
own verdict: patient work
remarks: [{for: screws of one length, photo: screws.jpg}]
notes: Opened on a Monday.
";

fn study(text: &str) -> (Read, Sources) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("study.yaml", &format!("unfasten: 1\nextends: base.yaml\n{text}")));
    let read = record::read_with(&mut sources, file, &mut |path| Ok(Source::new(path, BASE)));
    (read, sources)
}

#[test]
fn what_was_observed_on_the_base_is_not_taken_over() {
    let (read, _) = study("device: {variant: clips}\n");
    let record = read.record.unwrap_or_else(|| panic!("{:#?}", read.diagnostics));
    let teardown = &record.teardown;
    assert!(teardown.date.is_none() && teardown.by.is_none() && teardown.video.is_none());
    assert!(teardown.place_of_work.is_none() && !teardown.uncut);
    assert!(record.device.condition.is_none() && record.device.register_number.is_none());
    assert!(record.own_verdict.is_none() && record.remarks.is_empty() && record.notes.is_none());
    assert!(!record.put_back.done.stated);
    assert!(record.actions.iter().all(|a| a.at.is_none() && a.margin.photos.is_empty()));
    assert!(record.parts.iter().all(|p| p.margin.photos.is_empty()));
    // Facts of the device and its actions are.
    assert!(teardown.place.stated && teardown.skill.stated && record.device.price.is_some());
    assert_eq!((record.actions.len(), record.actions[0].takes.is_some()), (3, true));
    assert_eq!(record.bases.iter().map(|b| b.device.as_deref()).collect::<Vec<_>>(), [Some("Lamp Two")]);
    // What the variant states itself stands.
    let (read, _) = study("own verdict: quick work\nteardown: {date: 2026-05-01}\nput back: {done: no}\n");
    let record = read.record.unwrap();
    assert!(record.own_verdict.is_some() && record.teardown.date.is_some() && record.put_back.done.stated);
}

#[test]
fn facts_taken_over_keep_their_basis() {
    let (read, _) = study(
        "teardown: {basis: planned}\nparts: {foot: {paired: no}}\nactions:\n  - {free: cell, after: ring, with: hands, loosen: clip}\n",
    );
    let record = read.record.unwrap_or_else(|| panic!("{:#?}", read.diagnostics));
    assert_eq!(record.teardown.basis(), Basis::Planned);
    let bases: Vec<_> = record.actions.iter().map(|a| a.margin.basis).collect();
    assert_eq!(bases, [Some(Basis::Seen), None, Some(Basis::Seen)], "the changed action is as planned as the study");
    assert_eq!(record.teardown.place.basis, Some(Basis::Seen));
    let paired = |name: &str| record.parts.iter().find(|p| p.name.value == name).unwrap().paired.basis;
    assert_eq!((paired("cell"), paired("foot")), (Some(Basis::Seen), None));
}

/// A complaint about a line of the base that the variant causes names both places.
#[test]
fn complaints_about_the_base_name_both_files() {
    let (read, sources) = study("without: [cell, cel]\n");
    let said: Vec<(String, String, Vec<String>)> = read
        .diagnostics
        .iter()
        .map(|d| {
            let also = d.also.iter().map(|l| format!("{} {}", sources.place(l.span), l.text)).collect();
            (sources.place(d.at.span), d.message.clone(), also)
        })
        .collect();
    let official = said.iter().find(|(at, ..)| at.starts_with("base.yaml:12:")).unwrap_or_else(|| panic!("{said:#?}"));
    assert_eq!(official.2, ["study.yaml:3:11 taken out here"]);
    let without = said.iter().find(|(at, ..)| at == "study.yaml:3:17").unwrap_or_else(|| panic!("{said:#?}"));
    assert_eq!(without.1, "base.yaml has no action with the id `cel`");
}

fn written(dir: &Path, base: &str) -> [String; 3] {
    let path = |name: &str| dir.join(name).display().to_string();
    std::fs::write(path("base.yaml"), base).unwrap();
    std::fs::write(
        path("study.yaml"),
        "unfasten: 1\nextends: base.yaml\ndevice: {variant: clips}\nteardown: {basis: planned}\n",
    )
    .unwrap();
    [path("study.yaml"), path("out"), path("out/study.html")]
}

/// A record and a design made from it: what differs is what the design says, each fact with the basis it has in both; what a
/// variant never takes over is named and not counted.
#[test]
fn differences_from_the_base_are_what_the_variant_says() {
    let dir = tempfile::tempdir().unwrap();
    let [study, ..] = written(dir.path(), BASE);
    let base = dir.path().join("base.yaml").display().to_string();
    let own = "actions:\n  - {id: cell, free: cell, after: ring, with: hands, loosen: clip}\n";
    std::fs::write(&study, std::fs::read_to_string(&study).unwrap() + own).unwrap();
    let ran = unfasten(&["diff", &base, &study, "--method", "en-45554", "--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let said: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let texts = |list: &serde_json::Value, key: Option<&str>| -> Vec<String> {
        let text = |one: &serde_json::Value| key.map_or(one, |k| &one[k]).as_str().unwrap().to_owned();
        list.as_array().unwrap().iter().map(text).collect()
    };
    let correction = &said["correction"];
    let mut changed = texts(&correction["changes"], Some("path"));
    changed.sort();
    // What was put back counts in the full verdict, and so does that it no longer is.
    let expected = [
        "actions[free cell].basis",
        "actions[free cell].id",
        "actions[free cell].loosen",
        "actions[free cell].with",
        "device.variant",
        "extends",
        "teardown.basis",
    ];
    let rest: Vec<&String> = changed.iter().filter(|c| *c != "put back").collect();
    assert_eq!(rest, expected);
    let mut left = texts(&correction["not_taken_over"], None);
    left.retain(|l| l != "put back");
    left.sort();
    let expected = [
        "actions[free cell].at",
        "actions[free ring].at",
        "actions[free ring].photo",
        "device.condition",
        "device.register number",
        "notes",
        "own verdict",
        "parts.ring.photo",
        "remarks",
        "teardown.by",
        "teardown.date",
        "teardown.place of work",
        "teardown.uncut",
        "teardown.video",
    ];
    assert_eq!(left, expected);
    let ran = unfasten(&["diff", &base, &study, "--method", "en-45554"]);
    assert!(ran.out.contains("takes over of its base's bench"), "{}", ran.out);
    // Between two that are not made from one another nothing is left out.
    std::fs::write(&study, BASE.replace("79 EUR, condition: used", "79 EUR")).unwrap();
    let ran = unfasten(&["diff", &base, &study, "--method", "en-45554"]);
    assert!(ran.out.contains("device.condition: taken out") && !ran.out.contains("takes over"), "{}", ran.out);
}

/// A report says what a variant is made from, and no longer verifies once the base changed.
#[test]
fn reports_name_the_base_and_fingerprints_cover_it() {
    let dir = tempfile::tempdir().unwrap();
    let base = BASE
        .replace("photo: ring.jpg", "hazard: glass")
        .replace(", photo: off.jpg", "")
        .replace(", photo: screws.jpg", "");
    let [study, out, page] = written(dir.path(), &base);
    let ran = unfasten(&["report", &study, "--out", &out, "--method", "en-45554"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let html = std::fs::read_to_string(&page).unwrap();
    assert!(html.contains("Lamp Two (base.yaml); not taken apart itself"));
    assert!(!html.contains("bench A") && !html.contains("patient work") && !html.contains("one length"));
    let verify = || -> Ran { unfasten(&["verify", &page, &study]) };
    assert_eq!(verify().exit, Exit::Done);
    // A change of the base that changes no number.
    written(dir.path(), &base.replace("Monday", "Tuesday"));
    let ran = verify();
    assert_eq!(ran.exit, Exit::NotMet, "{}", ran.out);
    assert!(ran.out.contains("fingerprint"), "{}", ran.out);
}
