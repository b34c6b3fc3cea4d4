//! What a record's own words give away as a hazard is one, named or not. The cautions are the usual ones of the trade.

use rstest::rstest;
use scoring::text::{Source, Sources};

const RECORD: &str = "
unfasten: 1
device: {name: Test, maker: Ostrel, category: other}
parts:
  pack: {role: battery, paired: no}
  lid: {}
order: as logged
actions:
  - free: lid
    with: TOOL
    HAZARD
  - free: pack
    with: hands
";

fn hazards(tool: &str, hazard: &str) -> Vec<Vec<String>> {
    let text = RECORD.replace("TOOL", tool).replace("HAZARD", hazard);
    let mut sources = Sources::new();
    let file = sources.add(Source::new("test.yaml", &text));
    let read = scoring::record::read(&sources, file);
    let record = read.record.unwrap_or_else(|| panic!("{:?}", read.diagnostics));
    record.actions.iter().map(|a| a.hazards.iter().map(|h| h.value.clone()).collect()).collect()
}

#[rstest]
#[case("PH0", "note: none", &[])]
#[case("hair dryer", "note: none", &["heat"])]
#[case("[soldering iron, adhesive remover]", "note: none", &["heat", "solvent"])]
#[case("hands | heat gun", "note: none", &["heat"])]
// Named already, by another name.
#[case("heat gun", "hazard: hot surface", &["heat"])]
#[case("heat gun", "hazard: [glass, heat]", &["glass", "heat"])]
fn tools_give_hazards_away(#[case] tool: &str, #[case] hazard: &str, #[case] expected: &[&str]) {
    let found = hazards(tool, hazard);
    assert_eq!(found[0], expected);
    assert_eq!(found[1], ["lithium cell"], "a battery is one whether or not it is named");
}
