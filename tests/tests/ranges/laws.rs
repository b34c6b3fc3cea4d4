//! Laws that any correct aggregation has (reference page on EN 45554, last paragraph): all best is the top of the scale, all
//! worst the bottom; scaling all weights changes nothing; improving one value never lowers the index; a part of no
//! weight changes nothing; the order of parts changes nothing. Plus: no scored value depends on record order. Laws hold for every
//! shipped method they have a meaning for; that nothing gets worse by a better fact is held fact by fact in `laws_measures.rs`.

use std::collections::BTreeMap;

use outside::devices::{Seed, case, distinct};
use proptest::prelude::*;
use scoring::assess::evaluate::fold;
use scoring::assess::{Plan, PlanKind, Router, evaluate};
use scoring::exact::Exact;
use scoring::method::{Combine, Criterion, CriterionKind, Method, Roles, load_shipped};
use scoring::record::complete::Complete;
use scoring::route::Limits;

/// Those that weigh parts.
const WEIGHED: [&str; 2] = ["en-45554", "eu-2023-1669"];
const METHODS: [&str; 5] = ["en-45554", "eu-2023-1669", "eu-2023-1670", "eu-2023-1542-11", "fr-index"];

fn method(id: &str, device: &Complete) -> Method {
    load_shipped(id).expect("shipped").for_device(device.category, device.form)
}

fn total(method: &Method, device: &Complete) -> Option<Exact> {
    values(method, device)[0].1.clone()
}

fn values(method: &Method, device: &Complete) -> Vec<(String, Option<Exact>)> {
    let plan = Plan::new(method, device, &[]);
    let router = Router::new(device, &method.steps, Limits::default());
    let values = evaluate(&plan, device, &router).values;
    plan.nodes.iter().map(|n| n.id.clone()).zip(values).collect()
}

fn device(seed: &Seed) -> Complete {
    let case = case(seed);
    case.complete(&vec![0; case.unknowns.len()])
}

/// Weights below every mean times a number; those of a sum are what they are.
fn scale(node: &mut Criterion, by: &Exact) {
    let mean = matches!(&node.kind, CriterionKind::Group { how: Combine::Mean, .. });
    let children: Vec<&mut Criterion> = match &mut node.kind {
        CriterionKind::Group { of, .. } => of.iter_mut().collect(),
        CriterionKind::Each { node, .. } => vec![node],
        CriterionKind::Leaf { .. } => vec![],
    };
    for child in children {
        if let Some(weight) = child.weight.as_mut().filter(|_| mean) {
            weight.value = &weight.value * by;
        }
        scale(child, by);
    }
}

/// Criteria and lists of roles in another order, wherever order means nothing.
fn turn_round(node: &mut Criterion, by: usize) {
    match &mut node.kind {
        CriterionKind::Group { how, of } => {
            // The first is limited, or let through, by the others.
            let from = usize::from(matches!(how, Combine::Cap | Combine::Gate));
            let n = of.len().saturating_sub(from);
            of[from..].rotate_left(by % n.max(1));
            of.iter_mut().for_each(|child| turn_round(child, by));
        }
        CriterionKind::Each { roles, node, .. } => {
            if let Roles::Named(list) = roles {
                let n = list.len();
                list.rotate_left(by % n.max(1));
            }
            turn_round(node, by);
        }
        CriterionKind::Leaf { .. } => {}
    }
}

#[test]
fn ends_of_the_scale() {
    for id in METHODS {
        let device = device(&Seed {
            classes: vec![1, 1, 1],
            actions: vec![(3, 0, 0, false, 1); 5],
            unknowns: vec![],
            present: 0,
        });
        let method = method(id, &device);
        let plan = Plan::new(&method, &device, &[]);
        let end = |best: bool| {
            fold(&plan, &|leaf| match &plan.nodes[leaf].kind {
                PlanKind::Leaf(_, _, points) => {
                    let (low, high) = Plan::extremes(points);
                    Some(if best { high } else { low })
                }
                PlanKind::Group(..) => None,
            })[0]
                .clone()
        };
        assert_eq!(end(true), Some(method.scale.high.clone()), "{id}: all best");
        assert_eq!(end(false), Some(method.scale.low.clone()), "{id}: all worst");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn scaling_the_weights_of_a_mean_changes_nothing(seed in distinct(), id in prop::sample::select(METHODS.to_vec()), by in 1i64..50, under in 1i64..50) {
        let device = device(&seed);
        let method = method(id, &device);
        let mut scaled = method.clone();
        let by = Exact::ratio(by, under).unwrap();
        scale(&mut scaled.root, &by);
        for set in &mut scaled.part_sets {
            set.weights.iter_mut().for_each(|(_, w)| w.value = &w.value * &by);
        }
        prop_assert_eq!(values(&method, &device), values(&scaled, &device));
    }

    #[test]
    fn the_order_of_parts_changes_nothing(seed in distinct(), id in prop::sample::select(METHODS.to_vec()), turn in 0usize..9) {
        let device = device(&seed);
        let method = method(id, &device);
        let mut turned = method.clone();
        for set in &mut turned.part_sets {
            let n = set.weights.len();
            set.weights.rotate_left(turn % n.max(1));
        }
        turn_round(&mut turned.root, turn);
        let mut shuffled = device.clone();
        shuffled.fills.rotate_left(turn % device.fills.len());
        let by_id = |method: &Method, device: &Complete| values(method, device).into_iter().collect::<BTreeMap<_, _>>();
        prop_assert_eq!(by_id(&method, &device), by_id(&turned, &shuffled));
    }

    #[test]
    fn a_part_of_no_weight_changes_nothing(seed in distinct(), id in prop::sample::select(WEIGHED.to_vec())) {
        let device = device(&seed);
        let method = method(id, &device);
        // The lightest parts only: limiting factors look at the heaviest.
        let without = |zero: bool| {
            let mut m = method.clone();
            for set in &mut m.part_sets {
                if zero {
                    set.weights.iter_mut().filter(|(r, _)| r == "speaker").for_each(|(_, w)| w.value = Exact::zero());
                } else {
                    set.weights.retain(|(r, _)| r != "speaker");
                }
            }
            m
        };
        // A ladder of offers asks for all priority parts, so offer the speaker.
        let mut offered = device.clone();
        let to = (scoring::vocab::Promise::To, scoring::record::Term::Word(0));
        offered.fills.iter_mut().for_each(|f| f.spare.set(to.0, to.1.clone()));
        prop_assert_eq!(total(&without(true), &offered), total(&without(false), &offered));
    }

    #[test]
    fn improving_one_value_never_lowers_the_total(seed in distinct(), id in prop::sample::select(METHODS.to_vec()), which in any::<prop::sample::Index>()) {
        let device = device(&seed);
        let method = method(id, &device);
        let plan = Plan::new(&method, &device, &[]);
        let router = Router::new(&device, &method.steps, Limits::default());
        let evaluated = evaluate(&plan, &device, &router);
        let leaves: Vec<usize> = plan.leaves().collect();
        let better = leaves[which.index(leaves.len())];
        let PlanKind::Leaf(_, _, points) = &plan.nodes[better].kind else { unreachable!("leaves() gives leaves") };
        let (_, high) = Plan::extremes(points);
        let raised = fold(&plan, &|leaf| {
            let now = evaluated.values[leaf].clone();
            if leaf == better { now.map(|_| high.clone()) } else { now }
        });
        prop_assert!(raised[0] >= evaluated.values[0]);
    }

    /// Actions in another order: the same needs, the same ways, so the same values.
    #[test]
    fn no_scored_value_depends_on_record_order(seed in distinct(), id in prop::sample::select(METHODS.to_vec()), turn in 1usize..5) {
        let device = device(&seed);
        let method = method(id, &device);
        let mut turned = device.clone();
        let all = device.actions.iter().chain(&device.actions).cloned();
        let count = device.actions.len();
        turned.actions = all.skip(turn).take(count).collect();
        turned.official.iter_mut().for_each(|a| *a = (*a + count - turn) % count);
        prop_assert_eq!(values(&method, &device), values(&method, &turned));
    }
}
