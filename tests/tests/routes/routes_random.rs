//! The engine held against oracles that share nothing with it, on random problems.

use crate::routes_support;

use routes_support::random::{Dice, Family};
use routes_support::{enumeration, plain};
use rstest::rstest;
use scoring::route::{
    Certificate, Cost, Limits, Need, Operation, RouteProblem, SearchAnswer, Taken, Target, Way, cheapest, reference,
    replay,
};

fn proved(problem: &RouteProblem, target: &Target) -> Option<scoring::route::Route> {
    match reference(problem, target, Limits::default()) {
        SearchAnswer::Route { route, certificate: Certificate::Proved, tie_proved: true } => Some(route),
        SearchAnswer::Unreachable => None,
        other => panic!("not proved: {other:?}"),
    }
}

#[rstest]
#[case::plain(Family::PLAIN, 600)]
#[case::keys(Family { keys: true, ..Family::PLAIN }, 600)]
#[case::ways(Family { ways: 40, keys: true, actions: 6, ..Family::PLAIN }, 500)]
#[case::several_ways_to_a_part(Family { again: 50, frees: 70, keys: true, ..Family::PLAIN }, 600)]
#[case::alternatives(Family { any: 70, again: 20, ..Family::PLAIN }, 600)]
#[case::loops(Family { loops: true, any: 60, again: 20, keys: true, ..Family::PLAIN }, 600)]
#[case::damage(Family { damages: 45, again: 30, any: 50, keys: true, ..Family::PLAIN }, 600)]
#[case::odd(Family { odd: true, again: 70, frees: 75, any: 40, ..Family::PLAIN }, 800)]
#[case::switches(Family { switches: true, ..Family::PLAIN }, 900)]
#[case::switches_and_alternatives(Family { switches: true, any: 60, again: 40, frees: 60, ways: 20, ..Family::PLAIN }, 900)]
#[case::switches_and_odd(
    Family { switches: true, odd: true, again: 60, frees: 65, any: 50, ways: 30, loops: true, keys: true, actions: 6,
        ..Family::PLAIN }, 900)]
#[case::everything(
    Family { odd: true, again: 40, frees: 60, any: 50, ways: 30, damages: 20, loops: true,
        keys: true, actions: 6, ..Family::PLAIN }, 800)]
fn every_key_is_that_of_full_enumeration(#[case] family: Family, #[case] count: u64) {
    let mut reachable = 0;
    for seed in 0..count {
        let (problem, target) = family.problem(&mut Dice::new(seed));
        let expected = enumeration::best(&problem, &target);
        let found = proved(&problem, &target).map(|route| {
            let (order, ways) = route.taken.into_iter().map(|t| (t.action, t.ways)).unzip();
            (route.key, order, ways)
        });
        assert_eq!(found, expected, "seed {seed}: {problem:?} {target:?}");
        reachable += u64::from(expected.is_some());
    }
    assert!(reachable * 3 > count, "too few of the problems have a route");
}

#[rstest]
#[case::steps(Cost::Steps)]
#[case::time(Cost::Time { change: 4 })]
#[case::parts(Cost::Parts)]
fn other_costs_agree_with_plain_search(#[case] cost: Cost) {
    let families = [
        Family { actions: 9, any: 40, again: 30, ways: 20, ..Family::PLAIN },
        Family { actions: 9, any: 60, loops: true, odd: true, again: 40, ..Family::PLAIN },
        Family { actions: 9, any: 40, again: 30, ways: 20, switches: true, ..Family::PLAIN },
    ];
    for family in families {
        for seed in 0..300 {
            let (problem, target) = family.problem(&mut Dice::new(seed));
            let mut targets = vec![target];
            let parts: Vec<u32> = problem.actions.iter().flat_map(|a| a.frees.clone()).collect();
            targets.push(Target::AnyOf(parts[parts.len().saturating_sub(3)..].to_vec()));
            targets.push(Target::All(vec![parts[0], parts[parts.len() - 1]]));
            for target in targets {
                let expected = plain::least(&problem, &target, cost, 1_000_000).unwrap();
                let found = cheapest(&problem, &target, cost, Limits::default());
                let found = found.route().map(|route| {
                    let count = replay(&problem, Some(&target), &route.taken).unwrap();
                    match cost {
                        Cost::Steps => count.key.steps.into(),
                        Cost::Time { change } => count.seconds + u64::from(count.changes) * u64::from(change),
                        Cost::Parts => count.key.parts.into(),
                    }
                });
                assert_eq!(found, expected, "seed {seed} {target:?}: {problem:?}");
            }
        }
    }
}

/// 25 actions, 6 tools, 3 alternatives; at least half with an optimum of six or more.
#[test]
fn larger_problems_agree_with_plain_search() {
    let family = Family { actions: 25, tools: 6, any: 12, near: 6, again: 12, ..Family::PLAIN };
    let (mut checked, mut long, mut turned) = (0, 0, 0);
    for seed in 0..150 {
        if checked == 40 {
            break;
        }
        let (problem, target) = family.problem(&mut Dice::new(1_000 + seed));
        let Ok(expected) = plain::least(&problem, &target, Cost::Steps, 10_000) else {
            continue;
        };
        let route = proved(&problem, &target);
        let steps = route.as_ref().map(|route| u64::from(route.key.steps));
        assert_eq!(steps, expected, "seed {seed}: {problem:?}");
        checked += 1;
        long += u32::from(steps >= Some(6));
        // An alternative on the route whose removal changes the optimum.
        if let Some(route) = route {
            turned += u32::from(route.taken.iter().any(|taken| {
                let mut without = problem.clone();
                without.actions[taken.action].operations[0].ways.clear();
                let other = proved(&without, &target);
                other.is_some_and(|other| other.key.steps != route.key.steps)
            }));
        }
    }
    assert!(checked >= 40, "{checked} small enough for the oracle");
    assert!(long * 2 >= checked, "{long} of {checked} with six steps or more");
    assert!(turned >= 10, "{turned} whose alternatives matter");
}

#[test]
fn a_lowered_limit_gives_a_true_bound() {
    let family = Family { actions: 14, tools: 4, any: 40, again: 30, keys: true, ..Family::PLAIN };
    let mut stopped = 0;
    for seed in 0..300 {
        let (problem, target) = family.problem(&mut Dice::new(seed));
        let Some(best) = proved(&problem, &target) else {
            continue;
        };
        for states in [0, 1, 2, 5, 20, 80] {
            match reference(&problem, &target, Limits { states }) {
                SearchAnswer::Route { route, certificate, .. } => {
                    let recount = replay(&problem, Some(&target), &route.taken).unwrap();
                    assert_eq!(recount.key, route.key);
                    assert!(route.key >= best.key);
                    match certificate {
                        Certificate::Proved => assert_eq!(route.key.steps, best.key.steps),
                        Certificate::AtLeast(bound) => {
                            stopped += 1;
                            assert!(bound <= best.key.steps);
                        }
                    }
                }
                SearchAnswer::Undecided { at_least } => assert!(at_least <= best.key.steps),
                SearchAnswer::Unreachable => panic!("seed {seed}"),
            }
        }
    }
    assert!(stopped > 100, "{stopped}");
}

#[test]
fn the_order_of_the_record_changes_no_key() {
    let family =
        Family { actions: 10, any: 40, again: 30, ways: 20, damages: 10, keys: true, loops: true, ..Family::PLAIN };
    for seed in 0..300 {
        let mut dice = Dice::new(seed);
        let (problem, target) = family.problem(&mut dice);
        let key = proved(&problem, &target).map(|route| route.key);
        let mut shuffled = problem.clone();
        for at in (1..shuffled.actions.len()).rev() {
            shuffled.actions.swap(at, dice.below(at + 1));
        }
        assert_eq!(proved(&shuffled, &target).map(|route| route.key), key, "seed {seed}");
    }
}

/// Unscrewing and lifting count alike as one action or as two, done one right after the other (the
/// step rule says so). The least count can only fall: a part loosened early may be lifted later,
/// where its removal absorbs a change.
#[test]
fn splitting_unscrew_and_lift_never_changes_a_count() {
    let family = Family { actions: 9, any: 40, again: 20, ..Family::PLAIN };
    let mut split_on_route = 0;
    for seed in 0..300 {
        let mut dice = Dice::new(seed);
        let (problem, target) = family.problem(&mut dice);
        let mut split = problem.clone();
        let mut unscrew = vec![None; problem.actions.len()];
        for (at, first) in unscrew.iter_mut().enumerate() {
            if problem.actions[at].does.is_some() || !dice.chance(60) {
                continue;
            }
            let loose = split.things;
            split.things += 1;
            let lift = &mut split.actions[at];
            let mut before = lift.clone();
            before.frees.clear();
            before.does = Some(loose);
            lift.operations = vec![Operation { ways: vec![Way::default()], ..Operation::default() }];
            lift.after = vec![Need::Thing(loose)];
            *first = Some(split.actions.len());
            split.actions.push(before);
        }
        let Some(route) = proved(&problem, &target) else {
            assert!(proved(&split, &target).is_none());
            continue;
        };
        let mut taken = Vec::new();
        for step in &route.taken {
            if let Some(action) = unscrew[step.action] {
                split_on_route += 1;
                let ways = step.ways.clone();
                taken.push(Taken { action, ways });
                taken.push(Taken { action: step.action, ways: vec![0] });
            } else {
                taken.push(step.clone());
            }
        }
        let recount = replay(&split, Some(&target), &taken).unwrap();
        assert_eq!(recount.key.steps, route.key.steps, "seed {seed}");
        let least = proved(&split, &target).unwrap().key.steps;
        assert!(least <= route.key.steps, "seed {seed}: {problem:?}");
    }
    assert!(split_on_route > 200);
}

#[test]
fn a_route_broken_anywhere_is_refused() {
    let family = Family { actions: 9, any: 30, again: 20, ..Family::PLAIN };
    let mut refused = 0;
    for seed in 0..200 {
        let (problem, target) = family.problem(&mut Dice::new(seed));
        let Some(route) = proved(&problem, &target) else {
            continue;
        };
        for at in 0..route.taken.len() {
            // Nothing on a best route can be left out.
            let mut shorter: Vec<Taken> = route.taken.clone();
            shorter.remove(at);
            assert!(replay(&problem, Some(&target), &shorter).is_err(), "seed {seed}");
            refused += 1;
        }
    }
    assert!(refused > 300);
}
