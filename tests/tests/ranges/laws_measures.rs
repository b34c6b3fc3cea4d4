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
use scoring::record::complete::{Complete, CompleteFastener};
use scoring::route::{Limits, Need};
use scoring::vocab::class::Words;
use scoring::vocab::{Access, Category, Form, Kind, Place, Skill, ToolClass};

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

fn word(rank: usize, measure: &Measure) -> u8 {
    u8::try_from(rank.min(measure.words().len() - 1)).unwrap()
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
        Measure::SpareTo | Measure::SparesOffered => device.fills[spot.fill].spare.to = rank::<Access>(to),
        Measure::SpareYears => device.fills[spot.fill].spare.years = number(to, &[12, 10, 7, 6, 5, 2, 0]),
        Measure::SpareDelivery => device.fills[spot.fill].spare.delivery = number(to, &[1, 5, 6, 10, 11]),
        Measure::SparePrice => device.fills[spot.fill].spare.price_share = number(to, &[0, 40, 41, 60, 61]),
        Measure::PricePublished => device.fills[spot.fill].spare.price_published = to == 0,
        Measure::SpareInterface => device.fills[spot.fill].spare.interface = word(to, measure),
        Measure::Pairing => {
            device.fills[spot.fill].paired = true;
            device.fills[spot.fill].spare.pairing = word(to, measure);
        }
        Measure::Updates => device.support.updates = number(to, &[10, 7, 6, 5, 4, 0]),
        Measure::SecurityUpdates => device.support.security_updates = number(to, &[7, 5, 4, 0]),
        Measure::Information => {
            // Who and at what cost together; the ladder has a step between the two.
            let ladder = [(0, true), (1, true), (1, false), (2, false), (4, false)];
            let (who, free) = ladder[to.min(4)];
            device.support.information_to = rank::<Access>(who);
            device.support.information_free = free;
        }
        Measure::InformationTo => device.support.information_to = rank::<Access>(to),
        Measure::InformationScope => device.support.information_scope = word(to, measure),
        Measure::Diagnosis => device.support.diagnosis = word(to, measure),
        Measure::Returns => device.support.returns = word(to, measure),
        Measure::Data => device.support.data = word(to, measure),
        Measure::Reset => device.support.reset = word(to, measure),
        Measure::BatteryCycles => device.support.battery_cycles = number(to, &[1000, 800, 799, 0]),
        Measure::Capacity500 => device.support.capacity_500 = number(to, &[100, 83, 82, 0]),
        Measure::Capacity1000 => device.support.capacity_1000 = number(to, &[100, 80, 79, 0]),
        Measure::IngressDust => device.support.ingress.0 = 6 - u8::try_from(to.min(6)).unwrap(),
        Measure::IngressWater => device.support.ingress.1 = 8 - u8::try_from(to.min(8)).unwrap(),
        Measure::PowerKey => device.support.endurance[0] = number(to, &[225_000, 224_999, 20_000, 19_999]),
        Measure::VolumeKeys => device.support.endurance[1] = number(to, &[100_000, 99_999, 10_000, 9_999]),
        Measure::PortEndurance => device.support.endurance[2] = number(to, &[12_000, 11_999, 3_000, 2_999]),
        Measure::Mark(row) => {
            device.support.marks.insert(row.clone(), number(to, &[10, 9, 6, 3, 0]));
        }
    }
}

fn measures() -> Vec<Measure> {
    let marks = ROWS.iter().map(|row| Measure::Mark((*row).to_owned()));
    Measure::ALL.iter().map(|(.., measure)| measure.clone()).chain(marks).collect()
}

/// Everything kind, so that one fact decides more often.
fn polish(device: &mut Complete) {
    device.support.battery_cycles = Exact::from(800);
    (device.support.capacity_500, device.support.capacity_1000) = (Exact::from(83), Exact::from(80));
    device.support.ingress = (6, 7);
    device.support.endurance = [225_000, 100_000, 12_000].map(Exact::from);
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
