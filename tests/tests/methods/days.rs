//! From which day a method applies: every place that shows the verdict says so while the device may be older.
//!
//! Days: Regulation (EU) 2023/1542, Article 96 (`read`): 18 February 2027; Regulation (EU) 2019/2023 (`read`): 1 March 2021;
//! Delegated Regulation (EU) 2023/2534 (`read`): on labels for devices placed on the market from 1 January 2027; Regulations (EU)
//! 2023/1669 and 2023/1670 (`read`): 20 June 2025; Regulation (EU) 2023/2533: 1 July 2025 (`memory medium`). That a rule binds
//! devices first supplied from its day is `own` where the law was not read on it.

use rstest::rstest;
use scoring::method::{Standing, load_shipped};
use scoring::range::{Assessment, Effort, rests_on};
use scoring::record;
use scoring::text::{Day, Source, Sources};

#[rstest]
#[case("eu-2023-1542-11", Some("2027-02-18"))]
#[case("eu-2019-2023", Some("2021-03-01"))]
#[case("eu-2023-2534", Some("2027-01-01"))]
#[case("eu-2023-1669", Some("2025-06-20"))]
#[case("eu-2023-1670", Some("2025-06-20"))]
#[case("eu-2023-2533", Some("2025-07-01"))]
#[case("en-45554", None)]
#[case("fr-index", None)]
fn days_of_the_shipped_methods(#[case] id: &str, #[case] day: Option<&str>) {
    let method = load_shipped(id).unwrap();
    assert_eq!(method.days.supplied_from.map(|d| d.to_string()).as_deref(), day);
}

const LAMP: &str = "
unfasten: 1
device: {name: Glow, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
parts: {cell: {role: battery}}
actions:
  - {free: cell, with: heat gun, loosen: nothing, after: []}
";

fn assess(on_market: &str, text: &str) -> Assessment {
    let device = if on_market.is_empty() { String::new() } else { format!(", on market: {on_market}") };
    let text = text.replace("category: other", &format!("category: other{device}"));
    let mut sources = Sources::new();
    let file = sources.add(Source::new("lamp.yaml", &text));
    let found = record::read(&sources, file);
    let record = found.record.unwrap_or_else(|| panic!("{:#?}", found.diagnostics));
    Assessment::new(&record, &load_shipped("eu-2023-1542-11").unwrap(), Effort::default())
}

#[rstest]
#[case("", false)]
#[case("2027-02-17", false)]
#[case("2027-02-18", true)]
#[case("2030-01-01", true)]
#[case("2027-02-17 | 2027-02-18", false)]
#[case("unknown", false)]
fn a_verdict_before_its_day_is_what_would_be(#[case] on_market: &str, #[case] binds: bool) {
    let found = assess(on_market, LAMP);
    let said = found.standing.said(&found.show(found.root.low.as_ref().unwrap()));
    let would = "would fail (applies to devices first supplied from 18 February 2027)";
    assert_eq!(said, if binds { "fail" } else { would });
    let day = Day::parse("2027-02-18").unwrap();
    let older = on_market == "2027-02-17";
    assert_eq!(found.standing == Standing::Before(day), older);
}

/// A verdict says on what it rests that nobody saw: told, planned, assumed or open facts; and which of its readings of the law are
/// our own. Those of Article 11 are `own` in the reference: where heat is looked for, on which way, from which day (that the
/// article applies from 18 February 2027 is `read`; that this goes by the first supply is not).
#[rstest]
#[case("", "", &[])]
#[case("with: heat gun", "with: {is: heat gun, basis: told}", &["told"])]
#[case("skill: layman}", "skill: layman, basis: planned}", &["planned"])]
#[case("with: heat gun", "with: unknown", &["open"])]
fn a_verdict_says_on_what_it_rests(#[case] right: &str, #[case] wrong: &str, #[case] hows: &[&str]) {
    let text = LAMP.replacen(right, wrong, usize::from(!right.is_empty()));
    let found = assess("2028-01-01", &text);
    let rests = rests_on(&found);
    let facts: std::collections::BTreeSet<&str> = rests.iter().map(|r| r.how).filter(|h| *h != "own reading").collect();
    assert_eq!(facts.into_iter().collect::<Vec<_>>(), hows, "{rests:?}");
    let own: Vec<&str> = rests.iter().filter(|r| r.how == "own reading").map(|r| r.text.as_str()).collect();
    for reading in ["(where-worst-is-met)", "which way to a part counts", "first supplied from 18 February 2027"] {
        assert!(own.iter().any(|o| o.contains(reading)), "{reading}: {own:?}");
    }
}

/// A fail by a tool whose class the law doesn't have rests on how that class is read; one by a proprietary tool does not.
#[rstest]
#[case("proprietary", false)]
#[case("supplied with part", true)]
#[case("product-group specific", true)]
fn a_class_read_as_another_is_an_own_reading(#[case] class: &str, #[case] read: bool) {
    let text = LAMP
        .replace("with: heat gun", "with: house key")
        .replace("parts:", &format!("tools: {{house key: {{class: {class}}}}}\nparts:"));
    let found = assess("2028-01-01", &text);
    assert_eq!(found.show(found.root.high.as_ref().unwrap()), "fail");
    let said = rests_on(&found).iter().any(|r| r.text.contains(&format!("{class} read as proprietary")));
    assert_eq!(said, read, "{:?}", rests_on(&found));
}

/// Every legal method that ships says which way counts and from which state on, and prints both.
#[test]
fn the_way_and_the_state_are_stated() {
    for shipped in scoring::method::shipped() {
        for stated in ["\nroutes:\n", "  order: ", "  start: "] {
            assert!(shipped.text.contains(stated), "{} does not state `{stated}`", shipped.id);
        }
    }
}
