//! What the command says of a way that destroys something, and of a role the device may not have.

use unfasten_cli::Exit;

use crate::command_support::{flat, project, unfasten_reading};

const DAMAGE: &str = "unfasten: 1
device: {name: D, maker: Ostrel, category: cordless vacuum cleaner}
teardown: {place: use, skill: layman}
parts:
  cell: {role: battery, paired: no}
actions:
  - {free: lid, with: PH0, loosen: 2 x screw PH0, after: [], destroys: [dust mesh]}
  - {free: cell, with: PH0, loosen: 2 x screw PH0, after: lid}
";

/// The action and what it destroys stand in the reason, the ledger and the route for programs.
#[test]
fn what_a_way_destroys_is_named() {
    let score = unfasten_reading(&["score", "-", "-m", "en-45554"], DAMAGE.as_bytes()).out;
    let flat = score.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("the battery comes out only by destroying the dust mesh"), "{score}");
    let text = unfasten_reading(&["route", "-", "cell"], DAMAGE.as_bytes()).out;
    assert!(text.contains("destroys dust mesh"), "{text}");
    let json = unfasten_reading(&["route", "-", "cell", "--format", "json"], DAMAGE.as_bytes()).out;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    let lines = json.pointer("/routes/0/ledger").unwrap().as_array().unwrap();
    let of = |action: &str| lines.iter().find(|l| l["action"] == action).unwrap()["destroys"].clone();
    assert_eq!((of("lid"), of("cell")), (serde_json::json!(["dust mesh"]), serde_json::json!([])));
    let html = unfasten_reading(&["report", "-", "-m", "en-45554"], DAMAGE.as_bytes()).out;
    assert!(html.contains("(destroys dust mesh)") && html.contains("dust mesh (by lid)"), "{html}");
}

/// A mark costs nothing by itself.
#[test]
fn wear_is_shown_and_costs_nothing() {
    let total = |text: &str| {
        let json = unfasten_reading(&["score", "-", "-m", "en-45554", "--format", "json"], text.as_bytes()).out;
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        (
            json.pointer("/devices/0/assessments/0/exact_low").cloned(),
            json.pointer("/devices/0/assessments/0/exact_high").cloned(),
        )
    };
    let worn = DAMAGE.replace("destroys:", "wears:");
    assert_eq!(total(&worn), total(&DAMAGE.replace(", destroys: [dust mesh]", "")));
    assert_ne!(total(&worn), total(DAMAGE));
    let html = unfasten_reading(&["report", "-", "-m", "en-45554"], worn.as_bytes()).out;
    assert!(html.contains("leaves a mark on: dust mesh"));
}

/// Regulation (EU) 2023/1670 asks for spare parts of an external charger, say; a device that may have none has not surely
/// failed what is asked of one, and the sentence doesn't say so beside "not settled".
#[test]
fn a_role_the_device_may_not_have_is_no_sure_fail() {
    let text = "unfasten: 1
device:
  name: Larch M
  maker: Ostrel
  category: smartphone
  form: not folding
  ingress: IP67
  battery: {cycles: 1000, capacity after 500 cycles: 90 %, capacity after 1000 cycles: 85 %}
  endurance: {power key: 225000, volume keys: 100000, charging port: 12000}
teardown: {place: use, skill: layman, basis: planned}
parts:
  c: {role: back cover, paired: no}
  b: {role: battery, paired: no}
  s: {role: display assembly, paired: no}
absent: [charging port, microphone, rear camera, front camera, speaker, button, sim tray, audio connector, memory tray]
actions:
  - {free: c, with: PH0, loosen: 4 x screw PH0, after: []}
  - {free: b, with: hands, loosen: connector, after: c}
  - {free: s, with: hands, loosen: connector, after: c}
support:
  spare parts:
    b: {to: public, years: 7, delivery: 4 working days, price published: yes}
    s: {to: public, years: 7, delivery: 4 working days, price published: yes}
    c: {to: public, years: 7, delivery: 4 working days, price published: yes}
    every part: {to: independent repairers, years: 7, delivery: 5 working days, price published: yes, pairing: not needed}
  updates: 6 years
  security updates: 7 years
";
    let out = unfasten_reading(&["score", "-", "-m", "eu-2023-1670"], text.as_bytes()).out;
    let flat = out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("not settled"), "{out}");
    assert!(flat.contains("that apply, 0 not met"), "{out}");
}

const OPEN: &str = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other}
roles: {cell: {weight: 1}}
parts: {cell: {role: cell, paired: no}}
actions:
  - {free: lid, loosen: 2 x screw PH0, after: []}
  - {free: cell, loosen: [connector, film adhesive], after: lid}
";

/// Every verdict stands with the sheet and without; the one with it leads and is what a gate reads.
#[test]
fn verdicts_are_given_with_the_bench_sheet_and_without() {
    let sheet = project("samples/bench-a.yaml");
    let on = ["--bench", sheet.as_str(), "-m", "en-45554"];
    let run = |words: &[&str]| unfasten_reading(&[words, &on].concat(), OPEN.as_bytes());
    let score = run(&["score", "-"]);
    assert_eq!(score.exit, Exit::Done, "{}", score.err);
    let text = flat(&score.out);
    assert!(text.contains("by the sheet of bench A;") && text.contains("without"), "{}", score.out);
    let json: serde_json::Value = serde_json::from_str(&run(&["score", "-", "--format", "json"]).out).unwrap();
    let found = json.pointer("/devices/0/assessments/0").unwrap();
    assert_eq!(json["devices"][0]["sheet"], "bench A");
    let (with, without) =
        (found["low"].as_str().unwrap().to_owned(), found["without_sheet"].as_str().unwrap().to_owned());
    assert!(!without.starts_with(&with), "{with} {without}");
    assert!(found["bench"]["without_sheet"].is_string());
    // A bound between the two low ends: met with the sheet, not met without.
    let bare = unfasten_reading(&["score", "-", "-m", "en-45554", "--format", "json"], OPEN.as_bytes()).out;
    let bare: serde_json::Value = serde_json::from_str(&bare).unwrap();
    assert_eq!(bare.pointer("/devices/0/sheet"), None);
    assert_ne!(bare.pointer("/devices/0/assessments/0/fingerprint"), Some(&found["fingerprint"]));
    // The exact low end: a gate is held against the value itself, not against what is shown of it.
    let exact = found["exact_low"].as_str().unwrap().to_owned();
    let gate = format!("score={exact}");
    let gated = run(&["check", "-", "--require", &gate]);
    assert_eq!(gated.exit, Exit::Done, "{}{}", gated.out, gated.err);
    assert!(flat(&gated.out).contains("by the sheet of bench A"), "{}", gated.out);
    let without = unfasten_reading(&["check", "-", "-m", "en-45554", "--require", &gate], OPEN.as_bytes());
    assert_eq!(without.exit, Exit::NotMet);
    // 4.0 is shown of 3.9625: where the rounded figure would belie the answer, the exact one stands before it.
    assert_eq!((&*with, &*exact), ("4.0", "317/80"));
    let rounded = run(&["check", "-", "--require", "score=4.0"]);
    assert_eq!(rounded.exit, Exit::NotMet);
    assert!(flat(&rounded.err).contains("gives 3.9625 (shown as 4.0) at the low end"), "{}", rounded.err);
    // All that it supplied is listed.
    let html = run(&["report", "-"]).out;
    assert!(html.contains("by the sheet of bench A") && html.contains("takes screwdriver PH0"), "{html}");
}

/// The bench verdict and the full one both stand, the bench verdict first; one promise moves the full one only.
#[test]
fn both_verdicts_always_stand() {
    let promised = format!("{OPEN}support: {{diagnosis: intuitive signal}}\n");
    let verdicts = |text: &str| {
        let json = unfasten_reading(&["score", "-", "-m", "en-45554", "--format", "json"], text.as_bytes()).out;
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        (
            json.pointer("/devices/0/assessments/0/bench/range").cloned().unwrap(),
            json.pointer("/devices/0/assessments/0/exact_low").cloned(),
        )
    };
    let (before, after) = (verdicts(OPEN), verdicts(&promised));
    assert_eq!(before.0, after.0);
    assert!(before.0.is_string() && before.1 != after.1);
    for text in [OPEN, &promised] {
        let out = flat(&unfasten_reading(&["score", "-", "-m", "en-45554"], text.as_bytes()).out);
        let (bench, full) = (out.find("bench verdict").unwrap(), out.find("full verdict").unwrap());
        assert!(bench < full, "{out}");
    }
    // A gate says which it reads; a full verdict without promises is lower than what the bench shows.
    let gate = |more: &[&str]| {
        let words = [&["check", "-", "-m", "en-45554", "--require", "score=1"], more].concat();
        let ran = unfasten_reading(&words, OPEN.as_bytes());
        (ran.exit, flat(&format!("{}{}", ran.out, ran.err)))
    };
    let (_, full) = gate(&[]);
    assert!(full.contains("by the full verdict") && full.contains("bench verdict"), "{full}");
    assert!(gate(&["--verdict", "bench"]).1.contains("by the bench verdict"));
    let changes = unfasten_reading(
        &["changes", "-", "-m", "en-45554", "--verdict", "bench", "--format", "json"],
        OPEN.as_bytes(),
    );
    let json: serde_json::Value = serde_json::from_str(&changes.out).unwrap_or_else(|_| panic!("{}", changes.err));
    assert_eq!(json["verdict"], "bench");
}
