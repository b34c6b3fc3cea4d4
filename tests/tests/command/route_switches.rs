//! `route --steps`: another option of the step rule without a method. The counts are by hand from `criteria/STEPS.md` (own).

use crate::command_support;

use command_support::{fits, unfasten_reading};
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
