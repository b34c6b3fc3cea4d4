//! How far one weight could move before devices change places: held against a dense scan that adds up the totals anew for
//! each share, and against scoring the records anew by methods with other weights.

use proptest::prelude::*;
use scoring::compare::rank::{Span, Spans, spans};
use scoring::exact::Exact;
use scoring::method::{self, Combine, Method, load_shipped};
use scoring::range::{Assessment, Effort, Graded, GradedKind};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

/// A lamp with a battery and a back cover, whose bench and support facts are chosen.
fn lamp(facts: &[usize; 6], weights: [u32; 2]) -> Record {
    let one = |k: usize, of: &[&str]| of[facts[k] % of.len()].to_owned();
    let text = format!(
        "unfasten: 1\ndevice: {{name: Lamp, maker: Ostrel, category: other, price: 79 EUR}}\n\
         roles:\n  battery: {{weight: {}}}\n  back cover: {{weight: {}}}\n\
         parts:\n  cell: {{role: battery, paired: no}}\n  lid: {{role: back cover, paired: no}}\n\
         teardown: {{place: use, skill: {}}}\n\
         actions:\n  - {{free: lid, after: [], with: {}, loosen: {}}}\n  - {{free: cell, after: lid, with: {}, loosen: clip}}\n\
         support:\n  spare parts: {{every part: {{to: public, years: {}, price: 9 EUR, interface: standard part, pairing: not needed}}}}\n  \
         information: {{to: {}, cost: free, scope: basic}}\n  diagnosis: public codes\n  return options: basic\n  \
         data transfer and deletion: built in\n  reset: integrated\n",
        weights[0],
        weights[1],
        one(0, &["layman", "generalist", "expert"]),
        one(1, &["hands", "PH0", "[PH0, opening pick, spudger]"]),
        one(
            2,
            &[
                "2 x clip",
                "{fastener: film adhesive, kind: removable}",
                "{fastener: film adhesive, kind: removable | neither}"
            ]
        ),
        one(3, &["hands", "PH1", "[PH1, PH0, PH1]"]),
        one(4, &["5", "7", "3", "5..9", "unknown"]),
        one(5, &["public", "independent repairers", "none"]),
    );
    let mut sources = Sources::new();
    let file = sources.add(Source::new("lamp.yaml", &text));
    let read = record::read(&sources, file);
    read.record.unwrap_or_else(|| panic!("{:?}", read.diagnostics))
}

fn assessed(record: &Record, method: &Method) -> Assessment {
    Assessment::new(record, method, Effort::default())
}

/// The total of a tree at one end, one weight at a share of its group; limiting factors left aside. Written anew.
fn total(node: &Graded, end: usize, key: &(String, bool), share: &Exact) -> Exact {
    let own = || [&node.low, &node.high][end].clone().expect("a value");
    let GradedKind::Group(combine) = &node.kind else { return own() };
    if *combine == Combine::Cap {
        return total(&node.children[0], end, key, share);
    }
    if !matches!(combine, Combine::Mean | Combine::Sum) {
        return own();
    }
    let members: Vec<&Graded> = node.children.iter().filter(|c| c.low.is_some()).collect();
    let parts = node.role.is_none() && members.iter().all(|c| c.role.is_some());
    let is = |c: &Graded| {
        let base = c.role.as_ref().and_then(|r| c.id.strip_suffix(&format!("/{r}"))).unwrap_or(&c.id);
        parts == key.1 && if parts { c.role.as_deref() == Some(&*key.0) } else { base == key.0 }
    };
    let sum: Exact = members.iter().map(|c| c.weight.clone()).sum();
    let moved = members.iter().find(|c| is(c)).filter(|_| members.len() > 1);
    let mut out = Exact::zero();
    for c in &members {
        let weight = match moved {
            Some(m) if m.id == c.id => &sum * share,
            Some(m) => {
                let rest = &sum - &m.weight;
                &(&c.weight * &(&sum * &(&Exact::one() - share))) / &rest
            }
            None => c.weight.clone(),
        };
        out = &out + &(&weight * &total(c, end, key, share));
    }
    if *combine == Combine::Mean { &out / &sum } else { out }
}

fn inside(span: &Span, share: &Exact) -> bool {
    let [low, high] = &span.order.ends;
    let [down, up] = &span.order.gives_way;
    (low < share || low == share && down.is_none()) && (share < high || share == high && up.is_none())
}

/// Every weight of some lamps scanned from 0 to 1: in order inside the stretch and nowhere else; level where it ends.
fn scanned(assessments: &[Assessment], found: &Spans) -> usize {
    let n = assessments.len();
    let mut changing = 0;
    for span in &found.weights {
        let key = (span.id.clone(), span.part);
        let ahead = |share: &Exact, i: usize, j: usize| {
            let [a, b] = [(i, 0), (j, 1)].map(|(d, end)| total(&assessments[d].root, end, &key, share));
            &a - &b
        };
        let in_order = |share: &Exact, of: Option<usize>| -> Vec<(usize, usize)> {
            let pairs = (0..n).flat_map(|i| (0..n).map(move |j| (i, j)));
            pairs.filter(|&(i, j)| i != j && of.is_none_or(|f| f == i) && ahead(share, i, j) > Exact::zero()).collect()
        };
        let now = in_order(&span.share, None);
        assert!(found.pairs.iter().all(|p| now.contains(p)), "neighbours are in order");
        let first_now = found.first.map(|f| in_order(&span.share, Some(f)));
        for k in 0..=120 {
            let share = Exact::ratio(k, 120).unwrap();
            let then = in_order(&share, None);
            assert_eq!(now.iter().all(|p| then.contains(p)), inside(span, &share), "{} at {share}: {span:?}", span.id);
            if let (Some(first), Some(now)) = (&span.first, &first_now) {
                let then = in_order(&share, found.first);
                let as_order = Span { order: first.clone(), ..span.clone() };
                assert_eq!(now.iter().all(|p| then.contains(p)), inside(&as_order, &share), "{} first", span.id);
            }
        }
        for (end, pair) in span.order.ends.iter().zip(&span.order.gives_way) {
            if let Some((i, j)) = pair {
                assert_eq!(ahead(end, *i, *j), Exact::zero(), "{} is level at its end", span.id);
                changing += 1;
            }
        }
    }
    changing
}

fn roots(assessments: &[Assessment]) -> Vec<&Graded> {
    assessments.iter().map(|a| &a.root).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn stretches_agree_with_a_dense_scan(facts in prop::collection::vec(prop::array::uniform6(0_usize..60), 2..4)) {
        let method = load_shipped("en-45554").unwrap();
        let all: Vec<Assessment> = facts.iter().map(|f| assessed(&lamp(f, [2, 1]), &method)).collect();
        let found = spans(&roots(&all));
        scanned(&all, &found);
        prop_assert_eq!(found.pairs.is_empty(), found.weights.is_empty());
    }
}

/// Better on the bench, and better in what the maker promises.
const BENCH: [usize; 6] = [0, 0, 0, 0, 2, 2];
const MAKER: [usize; 6] = [1, 2, 1, 2, 1, 0];
const BETWEEN: [usize; 6] = [0, 1, 0, 1, 0, 1];

#[test]
fn settled_lamps_change_places_somewhere() {
    let method = load_shipped("en-45554").unwrap();
    let all = [BENCH, MAKER, BETWEEN].map(|f| assessed(&lamp(&f, [2, 1]), &method));
    let found = spans(&roots(&all));
    assert!(scanned(&all, &found) >= 4, "{found:?}");
    assert!(found.weights.iter().any(|s| s.part) && found.untold.is_empty(), "{found:?}");
}

/// en-45554 with the weight of one criterion replaced.
fn with_weight(id: &str, weight: &Exact) -> Method {
    let text = format!(
        "unfasten method: 1\nid: other\ntitle: Other\nextends: en-45554\nsource: test\ncertainty: own\nchange:\n  {id}: {{weight: {weight}}}\n"
    );
    let mut sources = Sources::new();
    let file = sources.add(Source::new("other.yaml", &text));
    let (read, found) = method::read(&mut sources, file, &mut method::shipped_source);
    read.unwrap_or_else(|| panic!("{found:?}"))
}

/// Just inside a bound the pair is still in order when the records are scored anew, just outside it no longer is.
#[test]
fn bounds_hold_when_the_records_are_scored_anew() {
    let method = load_shipped("en-45554").unwrap();
    let records = [BENCH, MAKER, BETWEEN].map(|f| lamp(&f, [2, 1]));
    let all = records.each_ref().map(|r| assessed(r, &method));
    let found = spans(&roots(&all));
    let hair = Exact::ratio(1, 10_000).unwrap();
    let mut checked = 0;
    for span in &found.weights {
        for (end, outwards) in [(0, -1), (1, 1)] {
            let Some((i, j)) = span.order.gives_way[end] else { continue };
            for side in [-1, 1] {
                let share = &span.order.ends[end] + &(&hair * &Exact::from(side * outwards));
                if share <= Exact::zero() || share >= Exact::one() {
                    continue;
                }
                let odds = &share / &(&Exact::one() - &share);
                let ahead: Exact = if span.part {
                    // Weights of parts stand in the records, as whole numbers.
                    let whole = odds.to_string();
                    let (a, b) = whole.split_once('/').unwrap_or((&whole, "1"));
                    let (a, b): (u32, u32) = (a.parse().unwrap(), b.parse().unwrap());
                    let weights = if span.id == "battery" { [a, b] } else { [b, a] };
                    let again = [i, j].map(|d| assessed(&lamp(&[BENCH, MAKER, BETWEEN][d], weights), &method));
                    lead(&again)
                } else {
                    let group = beside(&all[0].root, &span.id);
                    let other = with_weight(&span.id, &(&group * &odds));
                    lead(&[i, j].map(|d| assessed(&records[d], &other)))
                };
                assert_eq!(ahead > Exact::zero(), side < 0, "{} at {share}, ahead by {ahead}", span.id);
                checked += 1;
            }
        }
    }
    assert!(checked >= 4, "{checked}");
}

/// Lead of the first over the second in all criteria together; no limiting factor of the bench is in force.
fn lead(pair: &[Assessment]) -> Exact {
    let value = |a: &Assessment, id: &str| a.find(id).and_then(|n| n.low.clone()).expect("a criterion");
    for a in pair {
        assert_eq!(value(a, "product-related"), value(a, "product-related-criteria"));
        let index = a.find("index").expect("the criteria together");
        assert_eq!(index.low, index.high, "settled");
    }
    &value(&pair[0], "index") - &value(&pair[1], "index")
}

/// Sum of the weights beside a criterion in its group.
fn beside(node: &Graded, id: &str) -> Exact {
    fn find<'g>(node: &'g Graded, id: &str) -> Option<&'g Graded> {
        let here = |c: &Graded| c.id == id || c.role.as_ref().is_some_and(|r| c.id == format!("{id}/{r}"));
        if node.children.iter().any(here) { Some(node) } else { node.children.iter().find_map(|c| find(c, id)) }
    }
    let group = find(node, id).expect("the criterion");
    let is = |c: &&Graded| c.id == id || c.role.as_ref().is_some_and(|r| c.id == format!("{id}/{r}"));
    group.children.iter().filter(|c| c.low.is_some() && !is(c)).map(|c| c.weight.clone()).sum()
}
