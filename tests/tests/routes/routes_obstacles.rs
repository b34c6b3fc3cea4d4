//! What stands in the way, and orders as performed, on cases small enough to count by hand with
//! the step rule (own figures, counted on paper; certainty: own).

use crate::routes_support;

use routes_support::enumeration;
use routes_support::random::{Dice, Family};
use rstest::rstest;
use scoring::route::{
    Action, Limits, Need, Operation, ReplayError, RouteProblem, SearchAnswer, SupposedChange, Taken, Target, Way,
    obstacles, performed, reference, reference_unordered, replay,
};

fn with(tools: &[u16]) -> Vec<Operation> {
    vec![Operation { ways: vec![Way { tools: tools.to_vec(), ..Way::default() }], ..Operation::default() }]
}

fn free(part: u32, tool: u16, after: &[u32]) -> Action {
    Action {
        frees: vec![part],
        operations: with(&[tool]),
        after: after.iter().copied().map(Need::Thing).collect(),
        ..Action::default()
    }
}

fn loosen(thing: u32, tool: u16, after: &[u32]) -> Action {
    Action { frees: Vec::new(), does: Some(thing), ..free(thing, tool, after) }
}

/// Cover (tool 0), then three clamps with tools 1, 2, 1 in that order, then the core with tool 1:
/// 2 removals; the change to tool 1 coincides, those to 2 and back don't: 4 steps.
fn clamps() -> (RouteProblem, Target) {
    let actions = vec![free(0, 0, &[]), loosen(1, 1, &[0]), loosen(2, 2, &[1]), loosen(3, 1, &[2]), free(4, 1, &[3])];
    (RouteProblem { things: 5, actions, each: false }, Target::All(vec![4]))
}

#[test]
fn savings_are_those_counted_by_hand() {
    let (problem, target) = clamps();
    let found: Vec<_> = obstacles(&problem, &target, Limits::default())
        .into_iter()
        .map(|obstacle| (obstacle.change, obstacle.saved))
        .collect();
    // An action already done needs nothing before it. With clamp 2 or 3 done only tool 1 and the
    // core's removal are left; with clamp 1 done, one change and it. Clamp 2 by hand, tool 2 in
    // hand or tool 1 in hand save both changes. Without the cover its removal is saved and its
    // tool's change was free; clamp 1 by hand lets the cover's removal absorb tool 2.
    let expected = [
        (SupposedChange::Done(2), 3),
        (SupposedChange::Done(3), 3),
        (SupposedChange::Done(1), 2),
        (SupposedChange::ByHand(2), 2),
        (SupposedChange::InHand(1), 2),
        (SupposedChange::InHand(2), 2),
        (SupposedChange::Done(0), 1),
        (SupposedChange::ByHand(1), 1),
    ];
    assert_eq!(found, expected);
}

#[test]
fn every_saving_is_the_difference_of_two_enumerated_optima() {
    let family = Family { actions: 6, any: 30, ways: 20, ..Family::PLAIN };
    let mut seen = 0;
    for seed in 0..60 {
        let (problem, target) = family.problem(&mut Dice::new(seed));
        let Some((key, ..)) = enumeration::best(&problem, &target) else {
            continue;
        };
        let found = obstacles(&problem, &target, Limits::default());
        for tool in 0..3 {
            let mut other = problem.clone();
            let ways = other.actions.iter_mut().flat_map(|a| &mut a.operations);
            for way in ways.flat_map(|operation| &mut operation.ways) {
                way.tools.retain(|t| *t != tool);
            }
            let after = enumeration::best(&other, &target).unwrap().0.steps;
            let saved = found.iter().find(|o| o.change == SupposedChange::InHand(tool));
            assert_eq!(saved.map_or(0, |o| o.saved), key.steps - after, "seed {seed}");
            seen += u32::from(saved.is_some());
        }
    }
    assert!(seen > 20);
}

#[test]
fn the_order_performed_is_counted_until_the_target_is_off() {
    let (problem, target) = clamps();
    let whole = performed(&problem, &target, &[0, 1, 2, 3, 4]).unwrap();
    assert_eq!((whole.replayed.key.steps, whole.reached), (4, true));
    // Out of order, and short of the target.
    let early = performed(&problem, &target, &[1, 0, 2]).unwrap();
    assert_eq!((early.replayed.key.steps, early.reached, early.unmet), (2, false, vec![1]));
    let again = performed(&problem, &target, &[0, 0]);
    assert_eq!(again, Err(ReplayError::Repeated { position: 1 }));
}

#[rstest]
#[case::unknown(vec![9], ReplayError::UnknownAction { position: 0 })]
#[case::repeated(vec![0, 0], ReplayError::Repeated { position: 1 })]
#[case::too_early(vec![0, 2], ReplayError::NotEnabled { position: 1 })]
#[case::short(vec![0, 1], ReplayError::TargetNotReached)]
fn what_is_no_route_is_refused(#[case] order: Vec<usize>, #[case] error: ReplayError) {
    let (problem, target) = clamps();
    let taken: Vec<Taken> = order.into_iter().map(|action| Taken { action, ways: vec![0] }).collect();
    assert_eq!(replay(&problem, Some(&target), &taken), Err(error));
}

/// Sizes and numbers no caller should send must neither panic nor run away.
#[test]
fn strange_problems_get_an_answer() {
    let none = Target::All(vec![u32::MAX]);
    assert_eq!(reference(&RouteProblem::default(), &none, Limits::default()), SearchAnswer::Unreachable);
    let empty = Target::All(Vec::new());
    let answer = reference(&RouteProblem::default(), &empty, Limits::default());
    assert_eq!(answer.route().unwrap().key, scoring::route::Key::default());
    let any = Target::AnyOf(Vec::new());
    assert_eq!(reference(&RouteProblem::default(), &any, Limits::default()), SearchAnswer::Unreachable);
    // No operation at all, and an operation without ways.
    let bare = Action { frees: vec![u32::MAX], ..Action::default() };
    let stuck = Action { operations: vec![Operation::default()], ..bare.clone() };
    let problem = RouteProblem { things: 1, actions: vec![stuck.clone()], each: false };
    assert_eq!(reference(&problem, &none, Limits::default()), SearchAnswer::Unreachable);
    let problem = RouteProblem { things: 1, actions: vec![stuck, bare], each: false };
    assert_eq!(reference(&problem, &none, Limits::default()).route().unwrap().key.steps, 1);
    // A chain longer than any record: refused as too large, answered by a route without proof.
    let count = 6_000;
    let chain = (0..count).map(|at| free(at, 0, &[at.saturating_sub(1)][..usize::from(at > 0)]));
    let problem = RouteProblem { things: count, actions: chain.collect(), each: false };
    let target = Target::All(vec![count - 1]);
    let answer = reference_unordered(&problem, &target, Limits::default());
    assert_eq!(answer.route().unwrap().key.steps, count);
}
