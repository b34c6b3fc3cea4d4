//! Categories of somebody's own, in a record and in a method, and the priority parts each shipped category has.

use outside::method_of;
use rstest::rstest;
use scoring::method::{Method, load_shipped, shipped};
use scoring::range::{Assessment, Effort};
use scoring::text::{Source, Sources};
use scoring::vocab::{Category, Form};

const METHOD: &str = "
unfasten method: 1
id: loaves
title: Loaves
source: own choice
certainty: own
own categories: {bread maker: [kneading blade, heating element]}
scope: {categories: [bread maker]}
scale: {from: 0, to: 10}
parts:
  - {for: [bread maker], weights: {kneading blade: 3, heating element: 1}}
criteria:
  id: total
  each: priority
  measure: paired
  levels: {no: 10, yes: 0}
";

const RECORD: &str = "
unfasten: 1
device: {name: Crust, maker: Ostrel, category: Bread Maker}
roles: {kneading blade: {weight: 3}, heating element: {weight: 1}}
parts:
  blade: {role: kneading blade, paired: no}
  coil: {role: heating element, paired: yes}
actions:
  - {free: blade, with: hands, loosen: nothing, after: []}
  - {free: coil, with: PH2, loosen: 2 x screw PH2, after: blade}
";

fn read(text: &str) -> (Option<scoring::record::Record>, Vec<String>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("record.yaml", text));
    let read = scoring::record::read(&sources, file);
    (read.record, read.diagnostics.iter().map(|d| d.code.to_owned()).collect())
}

/// Both ends of a record's total.
fn score(text: &str, method: &Method) -> (String, String) {
    let (record, told) = read(text);
    let record = record.unwrap_or_else(|| panic!("{told:?}"));
    let found = Assessment::new(&record, method, Effort::default()).root;
    (found.low.unwrap().plain(), found.high.unwrap().plain())
}

/// Three times ten and once nought, over four.
#[test]
fn a_category_of_ones_own_is_a_few_lines() {
    let (method, told) = method_of(METHOD);
    let method = method.unwrap_or_else(|| panic!("{told:?}"));
    assert_eq!(score(RECORD, &method), ("7.5".to_owned(), "7.5".to_owned()));
}

/// The default method takes the record's own roles with their shares, as for `other`; the same record of category `other`
/// scores the same.
#[test]
fn a_category_of_ones_own_is_an_other_one() {
    let method = load_shipped("en-45554").unwrap();
    let own = score(RECORD, &method.for_device(Category::own("bread maker").unwrap(), Form::NotFolding));
    let other = RECORD.replace("Bread Maker", "other");
    assert_eq!(own, score(&other, &method.for_device(Category::OTHER, Form::NotFolding)));
}

#[rstest]
// Without roles, a misspelt one is all it can be.
#[case("roles: {kneading blade: {weight: 3}, heating element: {weight: 1}}", "", "wrong-value")]
#[case("Bread Maker", "smartphon", "wrong-value")]
#[case("Bread Maker", "laptop", "role-of-its-own")]
fn a_category_nobody_knows_is_told(#[case] right: &str, #[case] wrong: &str, #[case] code: &str) {
    let told = read(&RECORD.replace(right, wrong)).1;
    assert!(told.iter().any(|t| t == code), "{told:?}");
}

#[rstest]
#[case("categories: [bread maker]}", "categories: [bred maker]}", "wrong-value")]
#[case("own categories: {bread maker:", "own categories: {laptop:", "wrong-value")]
#[case("weights: {kneading blade: 3", "weights: {kneading blades: 3", "role-unknown")]
fn a_method_is_held_to_its_own_categories(#[case] right: &str, #[case] wrong: &str, #[case] code: &str) {
    let (_, told) = method_of(&METHOD.replace(right, wrong));
    assert!(told.iter().any(|t| t.starts_with(code)), "{told:?}");
}

/// Every category has priority parts in the default method, or names its own; every priority part is a role it has.
#[test]
fn every_category_has_priority_parts() {
    for category in Category::shipped() {
        let mut sets = shipped().iter().map(|s| load_shipped(s.id).unwrap());
        let default = sets.next().unwrap();
        let set = default.part_set(*category, Form::NotFolding).unwrap_or_else(|| panic!("{category}"));
        assert_eq!(set.own_roles, category.names_own_roles(), "{category}");
        for (role, weight) in &set.weights {
            assert!(category.roles().any(|r| r.name == *role), "{category}: {role}");
            assert!(!weight.value.is_zero() && !weight.value.is_negative(), "{category}: {role}");
        }
    }
}
