//! `route --steps`: another option of the step rule without a method. The counts are by hand from `criteria/STEPS.md` (own).

use crate::command_support;

use command_support::{fits, unfasten, unfasten_reading};
use rstest::rstest;
use unfasten_cli::Exit;

const BACK: &str = "unfasten: 1
device: {name: Glued, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
parts: {back: {}, screen: {}, cell: {}}
actions:
  - {free: back, with: [heat pad, spudger + opening pick], loosen: film adhesive, after: []}
  - {do: wipe seat, with: hands, cleans: yes, loosen: nothing, after: back}
  - {do: lay screen aside, with: hands, aside: [screen], loosen: connector, after: wipe seat}
  - {free: cell, with: opening pick, loosen: film adhesive, after: lay screen aside}
";

fn route(steps: &[&str]) -> (Exit, String, String) {
    let mut arguments = vec!["route", "-", "cell"];
    for option in steps {
        arguments.extend(["--steps", option]);
    }
    let ran = unfasten_reading(&arguments, BACK.as_bytes());
    (ran.exit, ran.out, ran.err)
}

#[rstest]
// Pad to pair is a change; two removals.
#[case(&[], 3, &[])]
// The pair counts one more.
#[case(&["simultaneous-tools=each"], 4, &["2 tools at once"])]
// Heating, the pair, the back, cleaning, the cell.
#[case(&["simultaneous tools=each", "heating=step"], 5, &["heating", "2 tools at once", "cleaning"])]
#[case(&["heating=nothing"], 2, &[])]
#[case(&["aside=step"], 4, &["laid aside"])]
fn each_option_counts_and_says_why(#[case] options: &[&str], #[case] steps: u32, #[case] why: &[&str]) {
    let (exit, out, err) = route(options);
    assert_eq!(exit, Exit::Done, "{err}");
    assert!(out.contains(&format!("cell: {steps} steps, proved")), "{out}");
    for reason in why {
        assert!(out.contains(reason), "{reason}: {out}");
    }
    fits("route", &out);
}

#[rstest]
#[case(&["heating=step"], "simultaneous-tools=each")]
#[case(&["heating=often"], "`tool`, `step` or `nothing`")]
#[case(&["glue=step"], "heating")]
#[case(&["heating"], "SWITCH=OPTION")]
#[case(&["remote-authorisation=0 more steps"], "1 more step")]
fn what_is_no_option_is_refused_with_what_could_be_written(#[case] options: &[&str], #[case] mend: &str) {
    let (exit, out, err) = route(options);
    assert_eq!((exit, out.as_str()), (Exit::WrongInput, ""), "{err}");
    assert!(err.contains(mend), "{err}");
}

fn success(arguments: &[&str]) -> String {
    let ran = unfasten(arguments);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    ran.out
}

/// What remote authorisation adds stands in the ledger, on a line of its own with the place that says so, and every total agrees:
/// two removals, and two steps more (STEPS.md: *N more steps* are added to every route to the part).
#[test]
fn steps_for_remote_authorisation_stand_in_the_ledger() {
    let folder = tempfile::tempdir().unwrap();
    let record = "unfasten: 1
device: {name: Pair, maker: Ostrel, category: smartphone, form: not folding}
teardown: {place: use, skill: layman}
parts:
  cover: {role: back cover, paired: no}
  pack: {role: battery, paired: yes}
actions:
  - {free: cover, with: hands, loosen: 2 x clip, after: []}
  - {free: pack, with: hands, loosen: connector, after: cover}
";
    let path = folder.path().join("pair.yaml");
    std::fs::write(&path, record).unwrap();
    let path = path.to_str().unwrap();
    let switch = ["--steps", "remote-authorisation=2 more steps"];
    let text = success(&[&["route", path, "pack"][..], &switch].concat());
    assert!(text.contains("pack (battery): 4 steps, proved shortest"), "{text}");
    let last = text.lines().position(|l| l.contains("have a new pack authorised remotely")).expect("its line");
    assert!(text.lines().nth(last + 1).is_some_and(|l| l.contains("+2     4  remote authorisation")), "{text}");
    // What was done on the bench is told without it.
    assert!(text.contains("you took 2 counted steps to the pack, the fewest there are"), "{text}");
    let json = success(&[&["route", path, "pack", "--format", "json"][..], &switch].concat());
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let route = &json["routes"][0];
    assert_eq!([&route["steps_low"], &route["steps_high"], &route["bound"]], [4, 4, 4]);
    assert_eq!(route["certificate"], "proved");
    assert_eq!(route["actions"], serde_json::json!(["cover", "pack"]));
    let line = route["ledger"].as_array().unwrap().last().unwrap();
    assert_eq!(
        (&line["counted"], &line["total"], &line["why"][0]),
        (&2.into(), &4.into(), &"remote authorisation".into())
    );
    // A part that is not paired pays nothing.
    let cover = success(&[&["route", path, "cover"][..], &switch].concat());
    assert!(cover.contains("cover (back cover): 1 step, proved shortest") && !cover.contains("authorised"), "{cover}");
    let out = folder.path().join("out");
    let read = ["--method", "eu-2023-1669", "--reading", "pairing-surcharge=two", "--out", out.to_str().unwrap()];
    success(&[&["report", path][..], &read].concat());
    for name in ["pair.html", "pair.md"] {
        let page = std::fs::read_to_string(out.join(name)).unwrap();
        assert!(page.contains("have a new pack authorised remotely"), "{name}");
        assert!(page.contains("remote authorisation") && page.contains("4 steps"), "{name}");
    }
}
