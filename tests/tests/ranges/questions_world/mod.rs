//! Small devices and methods drawn at random, for checks against going through everything.
#![allow(dead_code, reason = "each test takes what it needs")]

use std::collections::BTreeMap;

use scoring::assess::{Plan, Router, evaluate};
use scoring::exact::Exact;
use scoring::method::{Measure, Method};
use scoring::range::{Answer, Case, Edit, Touches, Unknown};
use scoring::record::Term;
use scoring::record::complete::{
    Complete, CompleteAction, CompleteFastener, CompleteSupport, CompleteTool, Fill, Promised,
};
use scoring::route::{Limits, Need};
use scoring::text::{Source, Sources, Span};
use scoring::vocab::{Category, Form, Kind, Promise, ToolClass};

/// A small generator (splitmix64), so that a failing world can be drawn again from its number.
pub(crate) struct Draw(pub(crate) u64);

impl Draw {
    pub(crate) fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        usize::try_from((z ^ (z >> 31)) % n as u64).unwrap()
    }
    pub(crate) fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }
}

const HEAD: &str = "
unfasten method: 1
id: small
title: Small
edition: 1
about: For checks.
source: own choice
certainty: own
scope: {categories: [smartphone], rule: all}
scale: {from: 0, to: 10, decimals: 1, rounding: half up, rule: one decimal}
parts:
  - for: [smartphone]
    rule: three parts
    weights: {battery: 3, display assembly: 2, back cover: 1}
absent: {points: left out, rule: left out}
repeated: {rule: worst}
classes: {rule: by tenths, bounds: {A: 8, B: 6, C: 4, D: 0}}
steps: {simultaneous tools: one, heating: tool, mains: nothing, remote authorisation: nothing, destructive scored: no, rule: usual}
criteria:
  id: total
  title: Total
";

const CRITERIA: &str = "
    - {id: depth, title: Depth, weight: 3, each: priority, measure: depth, rule: d, bands: {up to 1: 10, up to 2: 8, up to 3: 5, up to 4: 3, more: 0}}
    - {id: fasteners, title: Fasteners, weight: 2, each: priority, measure: fasteners, rule: f, levels: {reusable: 10, resupplied: 8, removable: 5, neither: 0}}
    - {id: tools, title: Tools, weight: 2, each: priority, measure: tools, rule: t, levels: {none: 10, basic: 9, supplied with part: 8, supplied with product: 7, product-group specific: 5, commercially available: 4, proprietary: 1, not feasible: 0}}
    - {id: years, title: Years, weight: 1, each: priority, measure: spare part years, rule: y, bands: {from 7: 10, from 5: 6, less: 0}}
    - {id: updates, title: Updates, weight: 1.5, measure: update years, rule: u, bands: {from 7: 10, from 5: 6, from 3: 2, less: 0}}
    - {id: m1, title: M1, weight: 0.01, measure: mark one, rule: m, linear: {0: 0, 10: 10}}
    - {id: m2, title: M2, weight: 0.02, measure: mark two, rule: m, linear: {0: 0, 10: 10}}
";

/// How the total is made: a mean, the worst, or a mean with a limiting factor.
pub(crate) fn method(shape: usize) -> Method {
    let tail = match shape {
        0 => format!("  combine: mean\n  rule: mean\n  of:{CRITERIA}"),
        1 => format!("  combine: worst\n  rule: worst\n  of:{}", CRITERIA.replace("weight: ", "weights: ").lines().map(|l| {
            let mut l = l.to_owned();
            if let Some(at) = l.find("weights: ") {
                let end = l[at..].find(", ").unwrap() + at + 2;
                l.replace_range(at..end, "");
            }
            l + "\n"
        }).collect::<String>()),
        _ => format!(
            "  combine: cap\n  rule: cap\n  of:\n  - id: inner\n    title: Inner\n    combine: mean\n    rule: mean\n    of:{CRITERIA}
  - {{id: limit, title: Limit, each: [battery], combine: worst, measure: fasteners, rule: l, levels: {{reusable: 10, resupplied: 10, removable: 6, neither: 4}}}}\n",
        ),
    };
    read_method(&format!("{HEAD}{tail}"))
}

/// Reads a method, complaining loudly.
pub(crate) fn read_method(text: &str) -> Method {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("small.yaml", text));
    let (method, found) = scoring::method::read(&mut sources, file, &mut |_| None);
    let said: Vec<_> =
        found.iter().map(|d| format!("{}: {} {}", sources.place(d.at.span), d.code, d.message)).collect();
    method.unwrap_or_else(|| panic!("{said:#?}"))
}

pub(crate) fn exact(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}

fn unread() -> CompleteSupport {
    let zero = Exact::zero;
    CompleteSupport {
        facts: Promised::unread(false),
        marks: BTreeMap::from([("one".to_owned(), zero()), ("two".to_owned(), zero())]),
    }
}

fn action(
    frees: Option<u32>,
    does: Option<u32>,
    way: Vec<usize>,
    kind: Kind,
    after: Vec<u32>,
    written: usize,
) -> CompleteAction {
    CompleteAction {
        written: Some(written),
        frees: frees.into_iter().collect(),
        does,
        operations: vec![vec![way]],
        fasteners: vec![CompleteFastener { written: Some(0), kind, adhesive: kind != Kind::Reusable, count: 1 }],
        after: after.into_iter().map(Need::Thing).collect(),
        ..CompleteAction::by_hand(0)
    }
}

/// A phone of four actions: cover, plug, cell, display; some of it drawn.
pub(crate) fn base(draw: &mut Draw) -> Complete {
    let kinds = [Kind::Reusable, Kind::Resupplied, Kind::Removable, Kind::Neither];
    let mut kind = || kinds[draw.below(4)];
    let (k0, k2, k3) = (kind(), kind(), kind());
    let tool = |name: &str, class, heat| CompleteTool { name: name.into(), class, heat, solvent: false, many: false };
    let mut way = |most: usize| match draw.below(most + 1) {
        0 => vec![],
        n => vec![n - 1],
    };
    let actions = vec![
        action(Some(0), None, way(3), k0, vec![], 0),
        action(None, Some(3), way(2), Kind::Reusable, vec![0], 1),
        action(Some(1), None, way(4), k2, vec![0, 3], 2),
        action(Some(2), None, way(4), k3, if draw.one_in(2) { vec![1] } else { vec![] }, 3),
    ];
    let fill = |role: &str, thing: u32, years: &str| Fill {
        role: role.to_owned(),
        part: Some(thing as usize),
        thing,
        present: true,
        several_roles: false,
        paired: false,
        spare: Promised::unread(true).with(Promise::To, Term::Word(0)).with(Promise::Years, Term::Number(exact(years))),
    };
    let years = ["4", "5", "8"];
    let mut support = unread();
    support.facts.set(Promise::Updates, Term::Number(exact(["2", "4", "5", "7"][draw.below(4)])));
    Complete {
        category: Category::of("smartphone"),
        form: Form::NotFolding,
        tools: vec![
            tool("screwdriver PH0", ToolClass::Basic, false),
            tool("pick", ToolClass::Basic, false),
            tool("heat pad", ToolClass::Commercial, true),
            tool("five-lobe driver", ToolClass::Proprietary, false),
        ],
        things: std::sync::Arc::new(["cover", "cell", "display", "unplug cell"].map(str::to_owned).to_vec()),
        actions: actions.into(),
        official: Vec::new(),
        fills: vec![
            fill("back cover", 0, years[draw.below(3)]),
            fill("battery", 1, years[draw.below(3)]),
            fill("display assembly", 2, years[draw.below(3)]),
        ],
        support,
    }
}

fn unknown(path: &str, touches: Touches, answers: Vec<(&str, Vec<Edit>)>) -> Unknown {
    let answers = answers.into_iter().map(|(label, edits)| Answer { label: label.to_owned(), edits }).collect();
    Unknown {
        path: path.to_owned(),
        span: Span::default(),
        question: format!("{path}?"),
        touches,
        answers,
        between: false,
    }
}

/// Questions that can be asked of [`base`].
pub(crate) fn possible() -> Vec<Unknown> {
    let years = |fills: &[usize], y: &str| vec![Edit::Spare(fills.to_vec(), Promise::Years, Term::Number(exact(y)))];
    let mark = |row: &str, v: &str| vec![Edit::Mark(row.to_owned(), exact(v))];
    vec![
        unknown(
            "actions[0].loosen",
            Touches::Routes(vec![0]),
            vec![
                ("removable", vec![Edit::Fastener(0, 0, Kind::Removable)]),
                ("neither", vec![Edit::Fastener(0, 0, Kind::Neither)]),
            ],
        ),
        unknown(
            "actions[2].loosen",
            Touches::Routes(vec![2]),
            vec![
                ("reusable", vec![Edit::Fastener(2, 0, Kind::Reusable)]),
                ("resupplied", vec![Edit::Fastener(2, 0, Kind::Resupplied)]),
                ("removable", vec![Edit::Fastener(2, 0, Kind::Removable)]),
            ],
        ),
        unknown(
            "actions[3].with",
            Touches::Routes(vec![3]),
            vec![
                ("hands", vec![Edit::Ways(3, 0, vec![vec![]])]),
                ("PH0", vec![Edit::Ways(3, 0, vec![vec![0]])]),
                ("pick", vec![Edit::Ways(3, 0, vec![vec![1]])]),
                ("five-lobe", vec![Edit::Ways(3, 0, vec![vec![3]])]),
            ],
        ),
        unknown(
            "actions[3].after",
            Touches::Routes(vec![3]),
            vec![
                ("nothing", vec![Edit::After(3, vec![])]),
                ("cover", vec![Edit::After(3, vec![Need::Thing(0)])]),
                ("cell", vec![Edit::After(3, vec![Need::Thing(1)])]),
            ],
        ),
        unknown(
            "support.spare parts.every part.years",
            Touches::Spare(vec![0, 2], Measure::Promise(Promise::Years)),
            vec![
                ("below 5", years(&[0, 2], "4")),
                ("5 to 6", years(&[0, 2], "5")),
                ("at least 7", years(&[0, 2], "7")),
            ],
        ),
        unknown(
            "support.updates",
            Touches::Device(vec![Measure::Promise(Promise::Updates)]),
            vec![
                ("3", vec![Edit::Support(Promise::Updates, Term::Number(exact("3")))]),
                ("5", vec![Edit::Support(Promise::Updates, Term::Number(exact("5")))]),
            ],
        ),
        unknown(
            "marks.one",
            Touches::Device(vec![Measure::Mark("one".into())]),
            vec![("0", mark("one", "0")), ("10", mark("one", "10"))],
        ),
        unknown(
            "marks.two",
            Touches::Device(vec![Measure::Mark("two".into())]),
            vec![("1", mark("two", "1")), ("2", mark("two", "2")), ("3", mark("two", "3"))],
        ),
        unknown(
            "parts (display)",
            Touches::Part(2),
            vec![
                ("the device has one", vec![Edit::Present(2, true)]),
                ("the device has none", vec![Edit::Present(2, false)]),
            ],
        ),
    ]
}

/// A case with about `most` open questions.
pub(crate) fn case(draw: &mut Draw, most: usize) -> Case {
    let mut base = base(draw);
    let mut unknowns = possible();
    while unknowns.len() > most {
        let out = draw.below(unknowns.len());
        unknowns.remove(out);
    }
    for unknown in &unknowns {
        unknown.answers[0].edits.iter().for_each(|e| e.apply(&mut base));
    }
    Case { base, unknowns, assumed: Vec::new(), own_roles: Vec::new(), asleep: Vec::new(), done: Vec::new() }
}

/// The verdict of one completion, evaluated plainly.
pub(crate) fn plainly(case: &Case, method: &Method, choice: &[usize]) -> Option<Exact> {
    let device = case.complete(choice);
    let plan = Plan::new(method, &case.base, &case.own_roles);
    let router = Router::new(&device, &method.steps, Limits::default());
    evaluate(&plan, &device, &router).values[0].clone()
}

/// Every completion.
pub(crate) fn completions(case: &Case) -> Vec<Vec<usize>> {
    let mut out = vec![Vec::new()];
    for unknown in &case.unknowns {
        out = out
            .into_iter()
            .flat_map(|c: Vec<usize>| (0..unknown.answers.len()).map(move |a| c.iter().copied().chain([a]).collect()))
            .collect();
    }
    out
}
