//! Nothing gets worse by a better fact: for every measure of the closed set, a fact it reads made better, all else alike, lowers no
//! node of any shipped method (reference page on EN 45554, last paragraph: improving one class never lowers the index).
//!
//! Devices have one way to each part. With several, a better fact may make another route the reference route, whose other
//! measures may be worse: the law then holds for the first key that differs only.

use std::sync::LazyLock;

use outside::devices::{ROWS, Seed, case, distinct};
use proptest::prelude::*;
use scoring::assess::{Plan, Router, evaluate};
use scoring::exact::Exact;
use scoring::method::{Measure, Method, load_shipped, shipped};
use scoring::record::Term;
use scoring::record::complete::{Complete, CompleteFastener};
use scoring::route::{Limits, Need};
use scoring::vocab::class::Words;
use scoring::vocab::{Category, Form, Kind, Place, Promise, Skill, ToolClass};

/// Every shipped method, for smartphones and for slate tablets.
static METHODS: LazyLock<Vec<(Category, Method)>> = LazyLock::new(|| {
    let all: Vec<Method> = shipped().iter().map(|m| load_shipped(m.id).unwrap()).collect();
    let fits = |c: Category| all.iter().filter(move |m| m.scope.categories.contains(&c)).map(move |m| (c, m));
    let both = fits(Category::of("smartphone")).chain(fits(Category::of("slate tablet")));
    both.map(|(c, m)| (c, m.for_device(c, Form::NotFolding))).collect()
});

/// What of a device is changed, and where.
struct Spot {
    action: usize,
    tool: usize,
    fill: usize,
}

fn rank<W: Words + Copy>(rank: usize) -> W {
    W::ALL[rank.min(W::ALL.len() - 1)]
}

/// Bounds of the shipped methods and what lies around them, best first.
fn number(rank: usize, values: &[i64]) -> Exact {
    Exact::from(values[rank.min(values.len() - 1)])
}

/// Sets a fact that a measure reads: rank 0 is the best, more is worse.
fn set(measure: &Measure, device: &mut Complete, spot: &Spot, to: usize) {
    let action = &mut device.actions[spot.action];
    match measure {
        Measure::Depth => {
            action.operations = (0..to).map(|i| vec![vec![i % 2]]).collect();
            if to == 0 {
                action.operations = vec![vec![vec![]]];
            }
        }
        Measure::Fasteners => action.fasteners[0].kind = rank::<Kind>(to),
        Measure::Tools => device.tools[spot.tool].class = rank::<ToolClass>(to),
        Measure::Environment => action.place = rank::<Place>(to),
        Measure::Skill => action.skill = rank::<Skill>(to),
        Measure::Isolation => device.fills[spot.fill].several_roles = to > 0,
        Measure::Adhesives => {
            let kind = action.fasteners[0].kind;
            action.fasteners =
                (0..4).map(|i| CompleteFastener { written: None, kind, adhesive: i < to, count: 1 }).collect();
        }
        Measure::Reachable => {
            let other = (u32::try_from(spot.action).unwrap() + 1) % 4;
            action.destroys = if to > 0 { vec![other] } else { vec![] };
            action.exists = to < 2;
            // What may not be there at all is on no route of the maker's, which counts before every shorter one.
            device.official.retain(|a| *a != spot.action);
        }
        Measure::HeatOrSolvent => device.tools[spot.tool].solvent = to > 0,
        Measure::PartsInTheWay => {
            // Earlier ones only, so that nothing waits for itself.
            let before = (0..spot.action.min(4)).take(to);
            action.after = before.map(|t| Need::Thing(u32::try_from(t).unwrap())).collect();
        }
        Measure::Paired => device.fills[spot.fill].paired = to > 0,
        Measure::Bundling => {
            // The front camera by itself, with a microphone (in a sealed device), with the display.
            device.fills[4].present = true;
            for (fill, present) in [(8, to == 1), (1, to > 1)] {
                device.fills[fill].present = present;
                device.fills[fill].thing = 3;
            }
        }
        Measure::SparesOffered => {
            device.fills[spot.fill].spare.set(Promise::To, value(to, Promise::To));
        }
        Measure::Information => {
            // Who and at what cost together; the ladder has a step between the two.
            let ladder = [(0, 0), (1, 0), (1, 1), (2, 1), (4, 1)];
            let (who, cost) = ladder[to.min(4)];
            device.support.facts.set(Promise::InformationTo, Term::Word(who));
            device.support.facts.set(Promise::InformationCost, Term::Word(cost));
        }
        Measure::Promise(promise) if promise.of_part() => {
            device.fills[spot.fill].paired |= *promise == Promise::Pairing;
            device.fills[spot.fill].spare.set(*promise, value(to, *promise));
        }
        Measure::Promise(promise) => device.support.facts.set(*promise, value(to, *promise)),
        Measure::Mark(row) => {
            device.support.marks.insert(row.clone(), number(to, &[10, 9, 6, 3, 0]));
        }
    }
}

/// A value of a fact, 0 best: around the bounds that shipped methods have.
fn value(to: usize, promise: Promise) -> Term {
    let list: &[i64] = match promise {
        Promise::Years => &[12, 10, 7, 6, 5, 2, 0],
        Promise::Delivery => &[1, 5, 6, 10, 11],
        Promise::Price => &[0, 40, 41, 60, 61],
        Promise::Updates => &[10, 7, 6, 5, 4, 0],
        Promise::SecurityUpdates => &[7, 5, 4, 0],
        Promise::BatteryCycles => &[1000, 800, 799, 0],
        Promise::Capacity500 => &[100, 83, 82, 0],
        Promise::Capacity1000 => &[100, 80, 79, 0],
        Promise::IngressDust => &[6, 5, 4, 3, 2, 1, 0],
        Promise::IngressWater => &[8, 7, 6, 5, 4, 3, 2, 1, 0],
        Promise::PowerKey => &[225_000, 224_999, 20_000, 19_999],
        Promise::VolumeKeys => &[100_000, 99_999, 10_000, 9_999],
        Promise::PortEndurance => &[12_000, 11_999, 3_000, 2_999],
        other => match other.row().holds {
            holds if !holds.words().is_empty() => {
                return Term::Word(u8::try_from(to.min(holds.words().len() - 1)).unwrap());
            }
            holds if holds.fewer() => &[0, 3, 5, 7, 10],
            _ => &[10, 7, 5, 3, 0],
        },
    };
    Term::Number(number(to, list))
}

fn measures() -> Vec<Measure> {
    let marks = ROWS.iter().map(|row| Measure::Mark((*row).to_owned()));
    Measure::all().iter().cloned().chain(marks).collect()
}

/// Everything kind, so that one fact decides more often.
fn polish(device: &mut Complete) {
    for (promise, figure) in [
        (Promise::BatteryCycles, 800),
        (Promise::Capacity500, 83),
        (Promise::Capacity1000, 80),
        (Promise::IngressDust, 6),
        (Promise::IngressWater, 7),
        (Promise::PowerKey, 225_000),
        (Promise::VolumeKeys, 100_000),
        (Promise::PortEndurance, 12_000),
    ] {
        device.support.facts.set(promise, Term::Number(Exact::from(figure)));
    }
    device.tools.iter_mut().for_each(|t| t.class = ToolClass::Basic);
    for action in &mut device.actions {
        action.skill = Skill::Layman;
        action.fasteners.iter_mut().for_each(|f| f.kind = Kind::Reusable);
    }
}

fn holds(
    seed: &Seed,
    measure: &Measure,
    spot: &Spot,
    ranks: (usize, usize),
    tablet: bool,
    kind: bool,
) -> Result<usize, TestCaseError> {
    let case = case(seed);
    let mut base = case.complete(&vec![0; case.unknowns.len()]);
    if kind {
        polish(&mut base);
    }
    if tablet {
        base.category = Category::of("slate tablet");
    }
    let [better, worse] = [ranks.0.min(ranks.1), ranks.0.max(ranks.1)].map(|to| {
        let mut device = base.clone();
        set(measure, &mut device, spot, to);
        device
    });
    let mut moved = 0;
    for (_, method) in METHODS.iter().filter(|(category, _)| *category == base.category) {
        let id = &method.id.value;
        let plan = Plan::new(method, &better, &[]);
        let values = |device: &Complete| {
            let router = Router::new(device, &method.steps, Limits::default());
            evaluate(&plan, device, &router).values
        };
        for (node, (good, bad)) in plan.nodes.iter().zip(values(&better).into_iter().zip(values(&worse))) {
            // Company comes and goes with a part, whose own rows come and go as well.
            if *measure == Measure::Bundling && !node.id.ends_with("bundling/front camera") {
                continue;
            }
            moved += usize::from(good != bad);
            prop_assert!(
                good >= bad,
                "{id}: {} falls from {bad:?} to {good:?} by a better {}",
                node.id,
                measure.word()
            );
        }
    }
    Ok(moved)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn a_better_fact_lowers_nothing(
        seed in distinct(),
        measure in prop::sample::select(measures()),
        (action, tool, fill) in (0usize..5, 0usize..3, 0usize..4),
        ranks in (0usize..8, 0usize..8),
        tablet: bool,
        kind: bool,
    ) {
        holds(&seed, &measure, &Spot { action, tool, fill }, ranks, tablet, kind)?;
    }
}

/// The law is about something: from the best to the worst, every measure moves some node of some method.
#[test]
fn every_measure_moves_something() {
    for measure in measures() {
        let seed = Seed { classes: vec![1, 1, 1], actions: vec![(0, 0, 0, false, 1); 5], unknowns: vec![], present: 0 };
        let spot = Spot { action: 3, tool: 0, fill: 0 };
        let moved = holds(&seed, &measure, &spot, (0, 7), false, true).unwrap();
        assert!(moved > 0, "{} moves nothing", measure.word());
    }
}
