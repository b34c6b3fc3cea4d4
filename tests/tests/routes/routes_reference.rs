//! The engine held against two files of instances with proved optima, `tests/data/routes-steps.json`
//! (66, the step rule; exhaustive search over all feasible sequences, confirmed by a second method)
//! and `tests/data/routes-small.json` (44, times and tool changes; state search confirmed by
//! enumeration). Both are the project's own computations (certainty: derived).

use crate::routes_support;

use routes_support::reference_files::{small, steps};
use scoring::route::{Certificate, Cost, Limits, SearchAnswer, cheapest, reference, replay};

#[test]
fn every_optimum_is_met_and_proved() {
    let all = steps();
    assert_eq!(all.len(), 66);
    for (name, problem, target, steps, _) in all {
        let answer = reference(&problem, &target, Limits::default());
        let SearchAnswer::Route { route, certificate, tie_proved } = answer else {
            panic!("{name}: {answer:?}");
        };
        assert_eq!((route.key.steps, certificate, tie_proved), (steps, Certificate::Proved, true), "{name}");
        assert_eq!(replay(&problem, Some(&target), &route.taken).unwrap().key, route.key, "{name}");
    }
}

#[test]
fn the_replayer_counts_the_given_routes_alike() {
    for (name, problem, target, steps, route) in steps() {
        let recount = replay(&problem, Some(&target), &route).unwrap();
        assert_eq!(recount.key.steps, steps, "{name}");
        assert_eq!(recount.ledger.last().unwrap().total, steps, "{name}");
    }
}

#[test]
fn a_lowered_limit_never_claims_more_than_the_optimum() {
    for (name, problem, target, steps, _) in steps() {
        for states in [0, 1, 3, 10, 30] {
            match reference(&problem, &target, Limits { states }) {
                SearchAnswer::Route { route, certificate, .. } => match certificate {
                    Certificate::Proved => assert_eq!(route.key.steps, steps, "{name}"),
                    Certificate::AtLeast(n) => {
                        assert!(n <= steps && route.key.steps >= steps, "{name}");
                    }
                },
                SearchAnswer::Undecided { at_least } => assert!(at_least <= steps, "{name}"),
                SearchAnswer::Unreachable => panic!("{name}"),
            }
        }
    }
}

#[test]
fn least_times_are_met_and_proved() {
    let all = small();
    assert_eq!(all.len(), 44);
    for (name, problem, target, change, optimum) in all {
        let answer = cheapest(&problem, &target, Cost::Time { change }, Limits::default());
        let SearchAnswer::Route { route, certificate, tie_proved } = answer else {
            panic!("{name}: {answer:?}");
        };
        let count = replay(&problem, Some(&target), &route.taken).unwrap();
        let total = count.seconds + u64::from(count.changes) * u64::from(change);
        assert_eq!((total, certificate, tie_proved), (optimum.into(), Certificate::Proved, true), "{name}");
    }
}

#[test]
fn a_lowered_limit_never_claims_more_than_the_least_time() {
    for (name, problem, target, change, optimum) in small() {
        for states in [0, 1, 3, 10, 30] {
            match cheapest(&problem, &target, Cost::Time { change }, Limits { states }) {
                SearchAnswer::Route { certificate: Certificate::AtLeast(bound), .. }
                | SearchAnswer::Undecided { at_least: bound } => assert!(bound <= optimum, "{name}"),
                SearchAnswer::Route { .. } => {}
                SearchAnswer::Unreachable => panic!("{name}"),
            }
        }
    }
}
