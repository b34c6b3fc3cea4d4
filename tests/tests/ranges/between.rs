//! Ends of ranges against records written out: what an outside recount of some thousand records found wrong. Each open record is
//! closed in every way it can be written, each closed record judged by plain evaluation.

use rstest::rstest;
use scoring::exact::Exact;
use scoring::method::{self, Method, load_shipped};
use scoring::range::{Assessment, Effort, Range, fitted};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

fn read(text: &str) -> Option<Record> {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("a.yaml", text));
    record::read(&sources, file).record
}

fn own(text: &str) -> Method {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("method.yaml", text));
    let (read, found) = method::read(&mut sources, file, &mut method::shipped_source);
    read.unwrap_or_else(|| panic!("{found:#?}"))
}

fn range(text: &str, method: &Method) -> Option<Range> {
    let record = read(text)?;
    Some(Assessment::new(&record, &fitted(method, &record), Effort::default()).range())
}

/// The range of a record that is open at `?1`, `?2` ...; and the least and the greatest of all the ways it can be closed. What `check`
/// refuses is no way.
fn both(text: &str, open: &[(&str, &str, &[&str])], method: &Method) -> (Range, [Exact; 2]) {
    let asked = open.iter().fold(text.to_owned(), |text, (mark, unknown, _)| text.replace(mark, unknown));
    let mut closed = vec![text.to_owned()];
    for (mark, _, answers) in open {
        closed = closed.iter().flat_map(|text| answers.iter().map(|a| text.replace(mark, a))).collect();
    }
    let values: Vec<Exact> = closed
        .iter()
        .filter_map(|text| {
            let range = range(text, method)?;
            assert_eq!(range.low, range.high, "closed: {text}");
            range.low
        })
        .collect();
    let truth = [values.iter().min().unwrap().clone(), values.iter().max().unwrap().clone()];
    (range(&asked, method).unwrap(), truth)
}

/// What is said to be exact is what the closed records come to; a bound holds them.
fn holds(range: &Range, [low, high]: &[Exact; 2], why: &str) {
    let ends = [range.low.clone().unwrap(), range.high.clone().unwrap()];
    assert!(ends[0] <= *low && ends[1] >= *high, "{why}: {range:?} does not hold {low:?} to {high:?}");
    for (end, (is, truth)) in range.attained.iter().zip(ends.iter().zip([low, high])) {
        assert!(!end || is == truth, "{why}: {range:?} is not {low:?} to {high:?}");
    }
    for (reached, beyond) in
        range.reached.iter().flatten().zip([|a: &Exact, b: &Exact| a >= b, |a: &Exact, b: &Exact| a <= b])
    {
        assert!(beyond(reached, if beyond(low, high) { high } else { low }), "{why}: reached {reached:?}");
    }
}

const HEAD: &str = "unfasten method: 1\nid: own\ntitle: Own\nsource: own\ncertainty: own\nscope: {categories: [other], rule: x}\n\
    scale: {from: 0, to: 10, decimals: 2, rule: x}\nparts: [{for: [other], own roles: yes, rule: x}]\n";

/// Where the shortest way counts, a tool that nobody named may be one heat source, which no tool and any number of tools leave out.
#[rstest]
#[case("heat or solvent", "levels: {none: 10, heat or solvent: 4}")]
#[case(
    "tools",
    "levels: {none: 10, basic: 8, supplied with part: 7, supplied with product: 6, product-group specific: 4, commercially available: 3, proprietary: 2, not feasible: 0}"
)]
#[case("depth", "bands: {up to 1: 10, up to 2: 6, up to 3: 3, more: 0}")]
fn tools_nobody_named_on_the_shortest_way(#[case] measure: &str, #[case] points: &str) {
    let text = "unfasten: 1
device: {name: Tern, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {motor: {weight: 1}}
parts: {mot: {role: motor}}
tools: {odd key: {class: proprietary}}
actions:
- {do: wipe, with: five-lobe 2, loosen: nothing, after: []}
- {free: mot, with: [PH0, knife], loosen: nothing, after: wipe}
- {free: mot, with: [five-lobe 2, ?1], loosen: nothing, after: []}
";
    let method = own(&format!(
        "{HEAD}routes: {{rule: x, order: fewest steps first}}\ncriteria: {{id: total, title: Total, rule: x, each: priority, \
         measure: {measure}, {points}}}\n"
    ));
    let answers =
        ["hands", "five-lobe 2", "PH0", "heat gun", "knife", "odd key", "heat gun, PH0", "PH0, PH1, PH2, knife"];
    let (range, truth) = both(text, &[("?1", "unknown", &answers)], &method);
    holds(&range, &truth, measure);
}

/// What is perhaps one part under two names may be above it where it is two.
#[rstest]
#[case("cell", "twin")]
#[case("twin", "cell")]
fn perhaps_one_part_with_an_open_order(#[case] first: &str, #[case] second: &str) {
    let text = format!(
        "unfasten: 1
device: {{name: Tern, maker: Ostrel, category: other}}
teardown: {{place: use, skill: layman}}
roles: {{battery: {{weight: 1}}, motor: {{weight: 1}}}}
parts:
  cell: {{role: battery, paired: no}}
  twin: {{?1role: motor, paired: no}}
actions:
- {{free: {first}, with: PH0, loosen: {{fastener: film adhesive, kind: neither}}, after: []}}
- {{free: {second}, with: PH1, loosen: clip, after: ?2}}
"
    );
    let method = load_shipped("en-45554").unwrap().bench_verdict().unwrap();
    let open: [(&str, &str, &[&str]); 2] =
        [("?1", "same as: perhaps cell, ", &["same as: cell, ", ""]), ("?2", "unknown", &["[]", first])];
    let (range, truth) = both(&text, &open, &method);
    holds(&range, &truth, first);
    assert!(range.exact, "{range:?}");
}

/// Two orders that can't both be so: `check` refuses a circle, and an end rests on none.
#[rstest]
#[case("?1", "?2")]
#[case("?1", "[mot]")]
fn orders_that_exclude_each_other(#[case] mot: &str, #[case] cell: &str) {
    let text = format!(
        "unfasten: 1
device: {{name: Tern, maker: Ostrel, category: other}}
teardown: {{place: use, skill: layman}}
roles: {{motor: {{weight: 1}}, battery: {{weight: 1}}}}
parts:
  mot: {{role: motor, paired: no}}
  cell: {{role: battery, paired: no}}
actions:
- {{free: mot, with: PH0, loosen: clip, after: {mot}}}
- {{free: cell, with: hands, loosen: clip, after: {cell}}}
"
    );
    let open: [(&str, &str, &[&str]); 2] =
        [("?1", "perhaps cell", &["[]", "[cell]"]), ("?2", "perhaps mot", &["[]", "[mot]"])];
    for method in [load_shipped("en-45554").unwrap().bench_verdict().unwrap(), load_shipped("eu-2023-1542-11").unwrap()]
    {
        let (range, truth) = both(&text, &open, &method);
        holds(&range, &truth, &method.id.value);
        assert!(range.exact, "{range:?}");
    }
}

/// There are no half joints.
#[rstest]
#[case("1..3", &["1", "2", "3"])]
#[case("2..4", &["2", "3", "4"])]
fn joints_are_whole(#[case] count: &str, #[case] answers: &[&str]) {
    let text = "unfasten: 1
device: {name: Tern, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {fan: {weight: 1}}
parts: {blade: {role: fan}}
actions:
- {free: lid, with: hands, loosen: {fastener: film adhesive, count: ?1, kind: removable}, after: []}
- {free: blade, with: hands, loosen: nothing, after: lid}
";
    let one = |points: &str| {
        own(&format!(
            "{HEAD}criteria: {{id: total, title: Total, rule: x, each: priority, measure: adhesives, {points}}}\n"
        ))
    };
    for points in ["bands: {up to 0: 10, up to 2: 5, up to 4: 2, more: 0}", "linear: {0: 10, 4: 0}"] {
        let (range, truth) = both(text, &[("?1", count, answers)], &one(points));
        holds(&range, &truth, points);
        assert!(range.exact, "{points}: {range:?}");
    }
}

/// Of several parts of a role one counts as a whole: which, hangs on what is open about their routes, so no criterion of their
/// spare parts is settled by itself.
#[test]
fn which_part_counts_as_a_whole_may_be_open() {
    let text = "unfasten: 1
device: {name: Tern, maker: Ostrel, category: other, price: 100 EUR}
teardown: {place: use, skill: expert}
roles: {motor: {weight: 1}, fan: {weight: 1}}
parts:
  mot: {role: motor, paired: no}
  mot b: {role: motor, paired: no}
actions:
- {free: plate, with: hands, loosen: nothing, after: []}
- {free: shield, with: hands, loosen: nothing, after: []}
- {free: mot, with: five-lobe 2, loosen: nothing, after: ?1}
- {free: mot b, with: isopropyl alcohol, loosen: nothing, after: []}
support:
  spare parts:
    mot: {to: authorised repairers, years: 7, price: 45 EUR, interface: standard interface}
    every part: {to: manufacturer only, years: 7, price: 45 EUR, interface: standard interface}
  information: {to: manufacturer only, scope: comprehensive}
  diagnosis: none
  return options: none
";
    let mut method = load_shipped("en-45554").unwrap();
    method.instances = method::Instances::LowestAsWhole;
    let of = |text: &str| {
        let record = read(text).unwrap();
        Assessment::new(&record, &fitted(&method, &record), Effort::default())
    };
    let open = of(&text.replace("?1", "unknown"));
    for answer in ["[]", "plate", "shield", "[plate, shield]"] {
        let closed = of(&text.replace("?1", answer));
        for (node, whole) in open.root.walk().into_iter().zip(closed.root.walk()) {
            assert_eq!(node.id, whole.id);
            let holds = node.low <= whole.low && whole.high <= node.high;
            assert!(
                holds,
                "{answer}: {} {:?} to {:?}, closed {:?} to {:?}",
                node.id, node.low, node.high, whole.low, whole.high
            );
        }
    }
}
