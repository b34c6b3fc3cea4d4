//! A memo never changes an answer: each variation of a random problem is asked with a memo that has seen the others, and
//! held against the same question asked afresh, with ample and with short limits. Key by key; the fresh search itself is
//! held against enumeration in `routes_random.rs`.

use crate::routes_support;

use routes_support::random::{Dice, Family};
use rstest::rstest;
use scoring::route::{
    Limits, Memo, RouteProblem, SearchAnswer, Target, Ties, reference, reference_remembered, reference_unordered,
    replay,
};

/// The problem with another rank, tie, tool or need somewhere, as the answers of an unknown would have it.
fn varied(problem: &RouteProblem, dice: &mut Dice) -> RouteProblem {
    let mut other = problem.clone();
    let count = other.actions.len();
    let action = &mut other.actions[dice.below(count)];
    let rank = u8::try_from(dice.below(4)).unwrap();
    match dice.below(6) {
        0 => action.kind = rank,
        1 => action.place = rank,
        2 => action.skill = rank,
        3 => action.tie = rank.into(),
        4 => action.after.truncate(1),
        _ => {
            for way in action.operations.iter_mut().flat_map(|o| &mut o.ways) {
                way.class = rank;
                if !way.tools.is_empty() {
                    way.tools = vec![u16::from(rank) * 40];
                }
            }
        }
    }
    other
}

#[rstest]
#[case::ample(Limits::default())]
#[case::short(Limits { states: 60 })]
#[case::shorter(Limits { states: 9 })]
fn a_memo_never_changes_an_answer(#[case] limits: Limits) {
    let families = [
        Family { keys: true, any: 60, again: 30, ..Family::PLAIN },
        Family { keys: true, ways: 40, again: 30, damages: 30, odd: true, actions: 7, ..Family::PLAIN },
    ];
    let mut routes = 0;
    for family in families {
        for seed in 0..60 {
            let mut dice = Dice::new(seed);
            let (mut problem, target): (RouteProblem, Target) = family.problem(&mut dice);
            let mut memo = Memo::default();
            for _ in 0..25 {
                problem = varied(&problem, &mut dice);
                let fresh = reference_unordered(&problem, &target, limits);
                let mut ask = |ties| reference_remembered(&problem, &target, limits, ties, &mut memo);
                let (any, first) = (ask(Ties::Any), ask(Ties::RecordOrder));
                assert_eq!(any.answer, fresh, "seed {seed}: {problem:?} {target:?}");
                assert_eq!(first.answer, reference(&problem, &target, limits), "seed {seed}: {problem:?} {target:?}");
                assert_eq!(any.states, first.states, "order takes nothing from the limit");
                let kept = any.answer;
                if let SearchAnswer::Route { route, .. } = kept {
                    let recount = replay(&problem, Some(&target), &route.taken).expect("a route");
                    assert_eq!(recount.key, route.key);
                    routes += 1;
                }
            }
        }
    }
    assert!(routes > 500, "{routes}");
}
