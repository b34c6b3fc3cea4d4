//! The French statutory sheet against an independent reimplementation: marks times coefficients from the table below, in
//! thousandths, on random sheets of every category, with marks settled, open and given as alternatives or spans. Every
//! coefficient bears, the index rounds both ways and at exact halves, and what is known from memory only says so.
//!
//! Code de l'environnement, L541-9-2, and the orders of 29 December 2020 and 22 April 2022: structure and
//! coefficients read on published sheets of mowers, washing machines and dishwashers; those of smartphones and laptops memory
//! high; of cordless vacuum cleaners read for criteria 1 to 3, of other kinds nobody read them: there is no total then.
//! Rounding of the index, half up: memory medium; that marks in between are not rounded: derived.

use crate::oracle_world;

use std::collections::BTreeMap;

use num_rational::Ratio;
use oracle_world::{Coverage, Dice};
use rstest::rstest;
use scoring::exact::Exact;
use scoring::method::load_shipped;
use scoring::range::{Assessment, Effort};
use scoring::record::{Record, read};
use scoring::text::{Source, Sources};
use scoring::vocab::Certainty;

type R = Ratio<i64>;

/// Criterion, sub-criterion, coefficient in tenths; the coefficients of a criterion add to 2.
const COMMON: [(&str, &str, i64); 9] = [
    ("c1", "1.1", 20),
    ("c2", "2.1", 10),
    ("c2", "2.2", 5),
    ("c2", "2.3", 5),
    ("c3", "3.1", 10),
    ("c3", "3.2", 5),
    ("c3", "3.3", 3),
    ("c3", "3.4", 2),
    ("c4", "4.1", 20),
];

/// Criterion 5: category, certainty of its rows, and node, row, coefficient in tenths.
type Fifth = (&'static str, Certainty, &'static [(&'static str, &'static str, i64)]);
const FIFTH: [Fifth; 5] = [
    (
        "smartphone",
        Certainty::MemoryHigh,
        &[("5.1 updates", "5.1", 10), ("5.2 updates", "5.2", 5), ("5.3 updates", "5.3", 5)],
    ),
    (
        "laptop",
        Certainty::MemoryHigh,
        &[("5.1 updates", "5.1", 10), ("5.2 updates", "5.2", 5), ("5.3 updates", "5.3", 5)],
    ),
    (
        "washing machine",
        Certainty::Read,
        &[("5.1 washing", "5.1", 10), ("5.2 washing", "5.2", 5), ("5.3 washing", "5.3", 5)],
    ),
    (
        "dishwasher",
        Certainty::Read,
        &[("5.1 washing", "5.1", 10), ("5.2 washing", "5.2", 5), ("5.3 washing", "5.3", 5)],
    ),
    ("mower", Certainty::Read, &[("5.1 mower", "5.1", 20)]),
];

/// A mark as the record gives it, in hundredths.
#[derive(Clone, Copy, Debug)]
enum Mark {
    Is(i64),
    Or(i64, i64),
    Span(i64, i64),
    AtLeast(i64),
    Unknown,
    Missing,
}

impl Mark {
    fn random(dice: &mut Dice, open: usize) -> Self {
        // Sheets print tenths; a mark under way may be finer.
        let one = |dice: &mut Dice| {
            let step = [10, 100, 5, 1][dice.below(4)];
            i64::try_from(dice.below(1001)).unwrap() / step * step
        };
        let (a, b) = (one(dice), one(dice));
        let (low, high) = (a.min(b), a.max(b));
        match dice.below(100) {
            n if n >= open => Self::Is(a),
            n if n % 5 == 0 && low < high => Self::Or(high, low),
            n if n % 5 == 1 && low < high => Self::Span(low, high),
            n if n % 5 == 2 && a < 1000 => Self::AtLeast(a),
            n if n % 5 == 3 => Self::Missing,
            _ => Self::Unknown,
        }
    }

    fn ends(self) -> (i64, i64) {
        match self {
            Self::Is(a) => (a, a),
            Self::Or(a, b) | Self::Span(a, b) => (a.min(b), a.max(b)),
            Self::AtLeast(a) => (a, 1000),
            Self::Unknown | Self::Missing => (0, 1000),
        }
    }

    fn text(self) -> String {
        let number = |n: i64| format!("{}.{:02}", n / 100, n % 100);
        match self {
            Self::Is(a) => number(a),
            Self::Or(a, b) => format!("{} | {}", number(a), number(b)),
            Self::Span(a, b) => format!("{}..{}", number(a), number(b)),
            Self::AtLeast(a) => format!("at least {}", number(a)),
            Self::Unknown | Self::Missing => "unknown".to_owned(),
        }
    }
}

fn record(category: &str, marks: &BTreeMap<String, Mark>) -> (Record, String) {
    let rows = marks.iter().filter(|(_, m)| !matches!(m, Mark::Missing));
    let rows: String = rows.map(|(row, mark)| format!("    \"{row}\": {}\n", mark.text())).collect();
    let marks = if rows.is_empty() { String::new() } else { format!("marks:\n  fr-index:\n{rows}") };
    let text = format!("unfasten: 1\ndevice: {{name: Sheet, maker: Ostrel, category: {category}}}\n{marks}");
    let mut sources = Sources::new();
    let file = sources.add(Source::new("sheet.yaml", &text));
    let found = read(&sources, file);
    (found.record.unwrap_or_else(|| panic!("{:#?}\n{text}", found.diagnostics)), text)
}

fn exact(r: R) -> Exact {
    Exact::ratio(*r.numer(), *r.denom()).expect("a ratio")
}

/// To tenths, halves up.
fn tenths(r: R) -> i64 {
    (r * 10 + R::new(1, 2)).floor().to_integer()
}

fn shown(tenths: i64) -> String {
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// Node to least and most: marks, criteria out of 20, the index, which is a tenth of their total.
fn sheet(fifth: &Fifth, marks: &BTreeMap<String, Mark>) -> BTreeMap<String, [R; 2]> {
    let mut out = BTreeMap::new();
    let own = fifth.2.iter().map(|(node, row, tenths)| ("c5", *node, *row, *tenths));
    let all = COMMON.iter().map(|(c, row, tenths)| (*c, *row, *row, *tenths)).chain(own);
    for (criterion, node, row, coefficient) in all {
        let (low, high) = marks.get(row).copied().unwrap_or(Mark::Missing).ends();
        let ends = [low, high].map(|m| R::new(m, 100));
        out.insert(node.to_owned(), ends);
        for (id, share) in [(criterion, R::new(coefficient, 10)), ("index", R::new(coefficient, 100))] {
            let sum = out.entry(id.to_owned()).or_insert([R::from(0); 2]);
            *sum = [0, 1].map(|end| sum[end] + ends[end] * share);
        }
    }
    out
}

#[test]
fn agrees_on_random_sheets() {
    let method = load_shipped("fr-index").unwrap();
    let mut cover = Coverage::default();
    for seed in 0..1500_u64 {
        let mut dice = Dice::new(seed + 60_000);
        let fifth = &FIFTH[(seed % 5) as usize];
        let (category, certainty, own) = fifth;
        let open = [0, 0, 30, 100][dice.below(4)];
        let mut marks: BTreeMap<String, Mark> = BTreeMap::new();
        for (_, row, _) in COMMON {
            marks.insert(row.to_owned(), Mark::random(&mut dice, open));
        }
        // Rows that only another category has are read by nobody.
        for row in ["5.1", "5.2", "5.3"] {
            marks.insert(row.to_owned(), Mark::random(&mut dice, open));
        }
        let (record, text) = record(category, &marks);
        let found = Assessment::new(&record, &method, Effort::default());
        let wanted = sheet(fifth, &marks);
        let nodes = found.root.walk();
        assert_eq!(nodes.len(), wanted.len(), "{seed}: the tree and the table differ in rows");
        for node in nodes {
            let ends = wanted.get(&node.id).unwrap_or_else(|| panic!("{category}: {} unheard of", node.id));
            let ends = ends.map(|r| Some(exact(r)));
            assert_eq!([node.low.clone(), node.high.clone()], ends, "{seed}: {}\n{text}", node.id);
            let sure = if own.iter().any(|(id, ..)| *id == node.id) { *certainty } else { Certainty::Read };
            assert_eq!(node.rule.certainty, sure, "{category}: {}", node.id);
        }
        // A total shows its weakest input; own choices are a mark of their own. The step rule and the rounding are secondary.
        let weakest = if *certainty == Certainty::MemoryHigh { Certainty::MemoryHigh } else { Certainty::Secondary };
        assert_eq!(found.weakest, weakest, "{category}");

        let [low, high] = wanted["index"];
        for (end, value) in [(low, &found.root.low), (high, &found.root.high)] {
            assert_eq!(found.show(value.as_ref().unwrap()), shown(tenths(end)), "{seed}: {end}");
            let rest = end * 10 - (end * 10).floor();
            let even = (end * 10).floor().to_integer() % 2 == 0;
            cover.hit(match rest.cmp(&R::new(1, 2)) {
                std::cmp::Ordering::Less if rest == R::from(0) => "on a tenth",
                std::cmp::Ordering::Less => "rounded down",
                std::cmp::Ordering::Equal if even => "half over an even tenth",
                std::cmp::Ordering::Equal => "half over an odd tenth",
                std::cmp::Ordering::Greater => "rounded up",
            });
        }
        if low == high {
            // Criteria rounded to tenths first would sometimes give another index.
            let early: i64 = ["c1", "c2", "c3", "c4", "c5"].iter().map(|c| tenths(wanted[*c][0])).sum();
            let early = tenths(R::new(early, 100));
            cover.hit(if early == tenths(low) { "rounding late: alike" } else { "rounding late: otherwise" });
        }
        cover.hit(format!("{category} {}", if low == high { "settled" } else { "open" }));
        for mark in marks.values() {
            let name = format!("{mark:?}");
            cover.hit(name.split('(').next().unwrap());
            if let Mark::Is(0 | 1000) = mark {
                cover.hit(format!("end of the marks: {}", mark.text()));
            }
        }
    }
    let mut wanted: Vec<String> = Vec::new();
    for (category, ..) in FIFTH {
        wanted.extend(["settled", "open"].map(|w| format!("{category} {w}")));
    }
    wanted.extend(["Is", "Or", "Span", "AtLeast", "Unknown", "Missing"].map(str::to_owned));
    wanted.extend(["0.00", "10.00"].map(|m| format!("end of the marks: {m}")));
    wanted.extend(["on a tenth", "rounded down", "rounded up"].map(str::to_owned));
    wanted.extend(["even", "odd"].map(|w| format!("half over an {w} tenth")));
    wanted.extend(["alike", "otherwise"].map(|w| format!("rounding late: {w}")));
    cover.assert(wanted);
}

/// One mark up by one moves its criterion by the coefficient and the index by a tenth of that, and nothing else.
#[rstest]
fn every_coefficient_bears(#[values(0, 1, 2, 3, 4)] which: usize) {
    let method = load_shipped("fr-index").unwrap();
    let fifth = &FIFTH[which];
    let own = fifth.2.iter().map(|(_, row, tenths)| ("c5", *row, *tenths));
    let all: Vec<(&str, &str, i64)> = COMMON.iter().copied().chain(own).collect();
    for criterion in ["c1", "c2", "c3", "c4", "c5"] {
        let sum: i64 = all.iter().filter(|(c, ..)| *c == criterion).map(|(.., tenths)| tenths).sum();
        assert_eq!(sum, 20, "{criterion}: the coefficients add to 2");
    }
    let plain: BTreeMap<String, Mark> = all.iter().map(|(_, row, _)| ((*row).to_owned(), Mark::Is(500))).collect();
    let values = |marks: &BTreeMap<String, Mark>| -> BTreeMap<String, Exact> {
        let found = Assessment::new(&record(fifth.0, marks).0, &method, Effort::default());
        found.root.walk().into_iter().map(|n| (n.id.clone(), n.low.clone().unwrap())).collect()
    };
    let before = values(&plain);
    assert_eq!(before["index"], Exact::from(5), "five throughout is five");
    for (criterion, row, coefficient) in all {
        let mut raised = plain.clone();
        raised.insert(row.to_owned(), Mark::Is(600));
        let after = values(&raised);
        for (id, value) in &before {
            let gain = match id.as_str() {
                "index" => R::new(coefficient, 100),
                c if c == criterion => R::new(coefficient, 10),
                c if c == row || c.split(' ').next() == Some(row) => R::from(1),
                _ => R::from(0),
            };
            assert_eq!(after[id], value + &exact(gain), "{}: {row} moves {id}", fifth.0);
        }
    }
}

/// A mark that no row of the category asks about changes nothing.
#[rstest]
#[case("mower")]
fn rows_of_other_categories_are_not_read(#[case] category: &str) {
    let method = load_shipped("fr-index").unwrap();
    let index = |marks: &[(&str, i64)]| {
        let marks = marks.iter().map(|(row, m)| ((*row).to_owned(), Mark::Is(*m))).collect();
        let found = Assessment::new(&record(category, &marks).0, &method, Effort::default());
        [found.root.low.clone(), found.root.high.clone()]
    };
    assert_eq!(index(&[("5.1", 700)]), index(&[("5.1", 700), ("5.2", 100), ("5.3", 900)]));
}

/// Nobody read the coefficients of criteria 4 and 5: the three criteria that were read are given, and no total.
#[test]
fn what_was_read_is_given_without_a_total() {
    let method = load_shipped("fr-index").unwrap();
    let marks = COMMON.iter().map(|(_, row, _)| ((*row).to_owned(), Mark::Is(500))).collect();
    let found = Assessment::new(&record("cordless vacuum cleaner", &marks).0, &method, Effort::default());
    assert_eq!((&found.root.low, &found.root.high), (&None, &None));
    assert!(found.method.no_total().is_some_and(|w| w.contains("could not be read")));
    for criterion in ["c1", "c2", "c3"] {
        assert_eq!(found.find(criterion).unwrap().low, Some(Exact::from(10)), "{criterion}");
    }
    for criterion in ["c4", "c5"] {
        assert_eq!(found.find(criterion).unwrap().low, None, "{criterion}");
    }
}
