//! What a record can say of a device beside its verdict: read, told apart, and where it is a matter of the verdict, in its range.

use scoring::method::load_shipped;
use scoring::range::{Effort, Study, fitted};
use scoring::record::{self, Known, Record, Side};
use scoring::text::{Severity, Source, Sources};

const TEXT: &str = "unfasten: 1
device: {name: Lamp, category: other, weight: 1.2 kg, released: 2026-03, price: 20 EUR}
teardown: {place: use, skill: layman, ends: 3:00}
roles: {board: {weight: 1}}
parts:
  board: {role: board, paired: no}
  speed board: {same as: perhaps board}
actions:
  - {free: lid, at: 0:10, with: hands, loosen: clip, after: []}
  - {do: unplug mains, at: 0:20, with: hands, loosen: connector, after: [], makes safe: together}
  - {do: short capacitor, at: 0:30, with: screwdriver, loosen: nothing, after: lid, makes safe: together}
  - {free: speed board, at: 0:40, with: pull strap, loosen: foam tape, after: lid}
  - {free: board, at: 0:50, with: [PH0, PH1, T5], loosen: [screw PH0, screw PH1, screw T5], after: [lid, short capacitor, unplug mains]}
back:
  - {do: fold the cable under the lid, at: 3:20}
own verdict: {is: 6/10, because: the glue}
corrections:
  - {on: 2026-04-02, by: a viewer, what: four clips not five, line: 9}
remarks:
  - {note: it smells of lavender, at: 0:05}
";

fn read(text: &str) -> (Option<Record>, Vec<String>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("x.yaml", text));
    let read = record::read(&sources, file);
    let errors = read.diagnostics.iter().filter(|d| d.severity == Severity::Error).map(|d| d.message.clone()).collect();
    (read.record, errors)
}

#[test]
fn everything_is_read() {
    let (record, errors) = read(TEXT);
    assert_eq!(errors, Vec::<String>::new());
    let record = record.unwrap();
    assert!(matches!(&record.device.weight.known, Known::Is(w) if w.0.plain() == "1200"));
    assert_eq!(record.device.released.settled().map(|r| &**r), Some("2026-03"));
    assert_eq!(record.teardown.ends.as_ref().map(|e| e.value.0), Some(180));
    assert_eq!(record.remarks[0].side, Side::Neither);
    assert_eq!(record.own_verdict.as_ref().and_then(|v| v.because.as_ref()).map(|b| &*b.value), Some("the glue"));
    assert_eq!(
        (record.corrections[0].line.map(|l| l.0), &*record.corrections[0].what.value),
        (Some(9), "four clips not five")
    );
    assert_eq!(record.actions.iter().filter(|a| a.safe_together).count(), 2);
    assert!(record.actions.iter().all(|a| !a.makes_safe));
    assert_eq!(record.back[0].at.as_ref().map(|a| a.value.from), Some(200));
    // A pull aid that comes with the product is a tool of its own class.
    let strap = record.tools.iter().find(|t| t.name == "pull aid").unwrap();
    assert_eq!(strap.class.settled().map(ToString::to_string).as_deref(), Some("supplied with product"));
}

/// Where two mentions may be one part, the range holds both: the lower end of one and the higher of the other.
#[test]
fn two_mentions_that_may_be_one_part_are_one_unknown() {
    let ends = |text: &str| {
        let (record, errors) = read(text);
        assert_eq!(errors, Vec::<String>::new());
        let record = record.unwrap();
        let method = fitted(&load_shipped("en-45554").unwrap(), &record);
        let study = Study::new(&record, &method, Effort::default());
        let range = study.range(0);
        let asked = study.case.unknowns.iter().filter(|u| u.path.ends_with("same as")).count();
        (range.low.unwrap(), range.high.unwrap(), asked)
    };
    let perhaps = ends(TEXT);
    let one = ends(&TEXT.replace("same as: perhaps board", "same as: board"));
    let two = ends(&TEXT.replace("  speed board: {same as: perhaps board}\n", ""));
    assert_eq!((perhaps.2, one.2, two.2), (1, 0, 0));
    // With a second way, by a strap alone, the board is reached more easily than by three drives.
    assert!(one.1 > two.1, "{one:?} {two:?}");
    assert_eq!(perhaps.0, one.0.min(two.0));
    assert_eq!(perhaps.1, one.1.max(two.1));
}

#[test]
fn what_cannot_be_so_is_refused() {
    for (from, to, said) in [
        ("same as: perhaps board", "same as: bord", "no part of this record is called `bord`"),
        ("same as: perhaps board", "same as: speed board", "is said to be itself"),
        ("weight: 1.2 kg", "weight: heavy", "is not a weight"),
        ("released: 2026-03", "released: 2026-13", "does not exist"),
        ("ends: 3:00", "ends: late", "is not a time"),
        ("makes safe: together", "makes safe: jointly", "is not yes, no or together"),
        ("{note: it smells of lavender, at: 0:05}", "{note: a, for: b}", "exactly one of `for`, `against` and `note`"),
        (", what: four clips not five", "", "`what` is missing"),
    ] {
        let (_, errors) = read(&TEXT.replacen(from, to, 1));
        assert!(errors.iter().any(|e| e.contains(said)), "{to}: {errors:?}");
    }
}
