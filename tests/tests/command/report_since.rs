//! A report that was given the record as it stood says what was corrected since. Expected words come from the records
//! themselves and from `score` of each; nothing is read from the note's own code.

use std::fs;
use std::path::Path;

use crate::command_support::{project, unfasten};
use unfasten_cli::Exit;

/// A fan whose cell is stuck down by a tape of a kind nobody established.
const FAN: &str = "unfasten: 1
device: {name: Breeze, maker: Ostrel, category: other, price: 49 EUR}
teardown: {date: 2026-05-02, place: use, skill: layman}
roles:
  motor: {weight: 2}
  battery: {weight: 1}
parts:
  motor: {role: motor, paired: no}
  cell: {role: battery, paired: no, hazard: lithium cell}
actions:
  - {free: grille, with: hands, loosen: 4 x clip, after: []}
  - {do: unplug cell, with: hands, loosen: connector, after: grille, makes safe: yes}
  - {free: cell, with: spudger, loosen: {fastener: foam tape, kind: removable | neither}, after: unplug cell}
  - {free: motor, with: PH1, loosen: 2 x screw PH1, after: [grille, unplug cell]}
";

/// An old record and a new one of the fan: its tape turns out to come off clean.
fn records(folder: &Path, corrections: &str) -> [String; 2] {
    let old = FAN.to_owned();
    let new = format!("{}{corrections}", old.replacen("removable | neither", "removable", 1));
    [("old/breeze.yaml", old), ("new/breeze.yaml", new)].map(|(name, text)| {
        let file = folder.join(name);
        fs::create_dir_all(file.parent().unwrap()).unwrap();
        fs::write(&file, text).unwrap();
        file.to_str().unwrap().to_owned()
    })
}

/// The bench verdict as `score` prints it.
fn bench(record: &str) -> String {
    let said = unfasten(&["score", record, "--method", "en-45554"]).out;
    let line = said.lines().find(|l| l.trim_start().starts_with("bench verdict")).expect("a bench verdict");
    line.trim().trim_start_matches("bench verdict").trim().trim_end_matches(" of 10").to_owned()
}

#[test]
fn a_report_given_its_old_record_says_what_was_corrected() {
    let folder = tempfile::tempdir().unwrap();
    let listed = "corrections:\n  - {on: 2026-04-02, by: a viewer, what: the tape comes off clean}\n";
    let [old, new] = records(folder.path(), listed);
    let out = folder.path().join("out");
    let at = |name: &str| out.join(name).to_str().unwrap().to_owned();
    let ran = unfasten(&["report", &new, "--method", "en-45554", "--before", &old, "--out", out.to_str().unwrap()]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let [before, now] = [bench(&old), bench(&new)];
    assert_ne!(before, now, "the answer moves the verdict");
    for name in ["breeze.md", "breeze.html"] {
        let text = fs::read_to_string(at(name)).unwrap();
        for part in [
            "Correction of 2 April 2026",
            "the tape comes off clean",
            "Pointed out by a viewer.",
            "(bench verdict)",
            "First correction of this report.",
            "Held against the earlier record breeze.yaml, SHA-256 ",
        ] {
            assert!(text.contains(part), "{name}: {part}");
        }
        assert!(text.contains(&format!("before {before}, now {now} of 10. Why: ")), "{name}: {before} -> {now}");
        assert!(!text.contains(folder.path().to_str().unwrap()), "{name} tells where the records stood");
        // It is verified with the old record, not without, and not with another one.
        let ran = unfasten(&["verify", &at(name), &new, "--before", &old]);
        assert_eq!((ran.exit, ran.out.contains("byte for byte")), (Exit::Done, true), "{}{}", ran.out, ran.err);
        let ran = unfasten(&["verify", &at(name), &new]);
        assert_eq!(ran.exit, Exit::WrongInput, "{}", ran.out);
        assert!(ran.err.contains("--before OLD"), "{}", ran.err);
        let ran = unfasten(&["verify", &at(name), &new, "--before", &new]);
        assert_eq!(ran.exit, Exit::NotMet, "{}{}", ran.out, ran.err);
        assert!(ran.out.contains("earlier record"), "{}", ran.out);
    }
    // The note of `diff` says the same of it.
    let note = unfasten(&["diff", &old, &new, "--method", "en-45554", "--format", "md"]).out;
    assert!(note.contains(&format!("before {before}, now {now} of 10")), "{note}");
}

/// The second correction stands on the first; a record that lists none says so and still tells what moved.
#[test]
fn corrections_are_cumulative_or_not() {
    let folder = tempfile::tempdir().unwrap();
    let first = "corrections:\n  - {on: 2026-04-02, by: a viewer, what: four clips not five}\n";
    let second = format!("{first}  - {{on: 2026-05-09, what: the tape comes off clean}}\n");
    let [old, new] = records(folder.path(), &second);
    fs::write(&old, format!("{}\n{first}", fs::read_to_string(&old).unwrap().trim_end())).unwrap();
    let page = |old: &str, new: &str| {
        let ran = unfasten(&["report", new, "--method", "en-45554", "--before", old]);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        ran.out
    };
    let text = page(&old, &new);
    assert!(text.contains("Correction of 9 May 2026"), "{text}");
    assert!(text.contains("Correction 2 of this report; what stood before holds the earlier ones."), "{text}");
    let since = &text[text.find("Correction of 9 May 2026").unwrap()..];
    assert!(!since[..since.find("Held against").unwrap()].contains("four clips"), "the first one was told before");
    let [old, new] = records(folder.path(), "");
    let text = page(&old, &new);
    assert!(text.contains("the record says nothing of its corrections"), "{text}");
    assert!(text.contains("Changed since an earlier record"), "the summary says so: {text}");
    // Nothing moved, and no number is made up.
    let text = page(&new, &new);
    assert!(text.contains("All results stay as they were."), "{text}");
}

#[test]
fn only_one_device_has_an_earlier_record() {
    let [lamp, laptop] = ["lamp-two", "laptop"].map(|n| project(&format!("samples/{n}.yaml")));
    let ran = unfasten(&["report", &laptop, "--before", &lamp]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains("two devices"), "{}", ran.err);
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let ran = unfasten(&["report", &laptop, &lamp, "--before", &lamp, "--out", out]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains("by itself"), "{}", ran.err);
}
