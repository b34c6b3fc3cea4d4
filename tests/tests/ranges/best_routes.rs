//! Reference routes are a choice with the highest total, and ranges hold every completion: drawn records and methods (mean, sum,
//! worst, best, cap, gate, left-out parts, destructive routes) against everything counted outside the engine.

#![allow(clippy::option_option, reason = "refused, and left out, are two things")]

use num_rational::Ratio;
use proptest::prelude::*;
use scoring::assess::{Plan, Router, evaluate};
use scoring::exact::Exact;
use scoring::range::{Case, Effort, Study, Touches};
use scoring::record::Record;
use scoring::route::Limits;
use scoring::text::{Source, Sources};

use crate::worlds::{RouteRead, World};

fn exact(value: Option<Ratio<i64>>) -> Option<Exact> {
    value.map(|v| Exact::ratio(*v.numer(), *v.denom()).expect("a ratio"))
}

/// The total of a world without anything hidden, by the engine; the outer `None`: its record is refused.
fn engine(world: &World) -> Option<Option<Exact>> {
    Some(total(world, &world.record()?))
}

fn total(world: &World, record: &Record) -> Option<Exact> {
    let method = world.method();
    let case = Case::new(record, &method);
    // What is left open is asked of roles the device lacks, and read by nothing.
    assert!(case.unknowns.iter().all(|u| matches!(u.touches, Touches::Spare(..))), "{}", world.record_text());
    let plan = Plan::new(&method, &case.base, &case.own_roles);
    let router = Router::new(&case.base, &method.steps, Limits::default());
    let evaluated = evaluate(&plan, &case.base, &router);
    assert!(evaluated.proved);
    evaluated.values[0].clone()
}

fn both(world: &World) -> String {
    format!("{}\n{}", world.record_text(), world.method_text())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 120, max_shrink_iters: 0, ..ProptestConfig::default() })]

    #[test]
    fn no_choice_of_routes_has_a_higher_total(seed: u64) {
        let world = World::draw(seed);
        let Some(expected) = world.total() else { return Ok(()) };
        if let Some(found) = engine(&world) {
            prop_assert_eq!(found, exact(expected), "{}", both(&world));
        }
    }

    /// The readings that take the shortest route, or the maker's own where it reaches the part, whatever else is met on it.
    #[test]
    fn other_readings_take_the_route_they_name(seed: u64, which in 0_usize..3) {
        let read = [RouteRead::Fewest, RouteRead::Official, RouteRead::OfficialOrFewest][which];
        let world = World::draw(seed).reading(read, !seed);
        // `None`: too many choices, or routes that only their names tell apart.
        let Some(expected) = world.total() else { return Ok(()) };
        if let Some(found) = engine(&world) {
            prop_assert_eq!(found, exact(expected), "{:?} {}", read, both(&world));
        }
    }

    /// One more way never lowers the total.
    #[test]
    fn one_more_way_never_lowers_the_total(seed: u64, which in any::<prop::sample::Index>()) {
        let world = World::draw(seed);
        let mut fewer = world.clone();
        let at = which.index(fewer.actions.len());
        fewer.actions[at].exists = false;
        if let (Some(less), Some(more)) = (engine(&fewer), engine(&world)) {
            prop_assert!(less <= more, "without a{at}: {}", both(&world));
        }
    }

    /// With every `after` stated, the order of lines and of alternatives changes nothing.
    #[test]
    fn shuffled_lines_and_alternatives_give_the_same(seed: u64, turn in 1_usize..7) {
        let world = World::draw(seed);
        let mut turned = world.clone();
        let by = turn % turned.actions.len();
        turned.actions.rotate_left(by);
        for act in &mut turned.actions {
            act.operations.iter_mut().for_each(|o| o.reverse());
            act.after.reverse();
            act.after.iter_mut().for_each(|any| any.reverse());
        }
        prop_assert_eq!(engine(&world), engine(&turned), "{}", both(&world));
    }

    /// Nor do the names of things and actions, which sort the other way round here.
    #[test]
    fn other_names_give_the_same(seed: u64) {
        let world = World::draw(seed);
        let mut text = world.record_text();
        for part in 0..world.parts.len() {
            text = text.replace(&format!("p{part}"), &format!("thing {}", 99 - part));
        }
        for action in (0..world.actions.len()).rev() {
            text = text.replace(&format!("id: a{action}\n"), &format!("id: way {}\n", 999 - action));
        }
        let text = text.replace("d0", "a bolt");
        prop_assert!(text.contains("thing 99"), "{text}");
        let mut sources = Sources::new();
        let file = sources.add(Source::new("renamed.yaml", &text));
        let renamed = scoring::record::read(&sources, file).record.map(|r| total(&world, &r));
        prop_assert_eq!(engine(&world), renamed, "{}", both(&world));
    }
}

fn ranges(world: &World, effort: Effort, exactly: bool) -> Result<(), TestCaseError> {
    let Some(expected) = world.range() else { return Ok(()) };
    let method = world.method();
    let Some(case) = world.case(&method) else { return Ok(()) };
    let range = Study::of(case, &method, effort).range(0);
    let [low, high] = expected.map(exact);
    if exactly {
        prop_assert!(range.exact, "{range:?} {}", both(world));
    }
    if low.is_none() {
        return Ok(());
    }
    prop_assert!(
        range.low.is_some() && range.low <= low && range.high >= high,
        "{range:?} {low:?} {high:?} {}",
        both(world)
    );
    prop_assert!(!range.attained[0] || range.low == low, "{range:?} {low:?} {}", both(world));
    prop_assert!(!range.attained[1] || range.high == high, "{range:?} {high:?} {}", both(world));
    // What completions reached lies between the ends they really have.
    let [reached_low, reached_high] = &range.reached;
    prop_assert!(reached_low.as_ref().is_none_or(|r| Some(r) >= low.as_ref()), "{range:?} {low:?}");
    prop_assert!(reached_high.as_ref().is_none_or(|r| Some(r) <= high.as_ref()), "{range:?} {high:?}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 80, max_shrink_iters: 0, ..ProptestConfig::default() })]

    /// Likewise where a part is read on the shortest route, or on the maker's own.
    #[test]
    fn ends_of_other_readings_are_those_of_the_completions(seed: u64, which in 0_usize..3) {
        let read = [RouteRead::Fewest, RouteRead::Official, RouteRead::OfficialOrFewest][which];
        ranges(&World::draw(seed).reading(read, !seed).hide(!seed), Effort::default(), true)?;
    }

    #[test]
    fn exact_ends_are_those_of_the_completions(seed: u64) {
        ranges(&World::draw(seed).hide(!seed), Effort::default(), true)?;
    }

    #[test]
    fn a_bound_holds_every_completion(seed: u64) {
        ranges(&World::draw(seed).hide(!seed), Effort { looks: 1, ..Effort::default() }, false)?;
    }

    /// Nor is one left where the searches for a part are cut short, at their first state or in the midst of them: what stands for
    /// all that was not gone through has no less of anything.
    #[test]
    fn a_search_cut_short_holds_every_completion(seed: u64, states in 1_u64..60, which in 0_usize..4) {
        let world = World::draw(seed).hide(!seed);
        let read = [RouteRead::Fewest, RouteRead::Official, RouteRead::OfficialOrFewest];
        let world = match read.get(which) {
            Some(read) => world.reading(*read, !seed),
            None => world,
        };
        ranges(&world, Effort { states, looks: 50, ..Effort::default() }, false)?;
    }

    /// An exact range is neither left by an answer nor widened by one, and some answer reaches each end.
    #[test]
    fn an_answer_never_leaves_a_range(seed: u64) {
        let world = World::draw(seed).hide(!seed);
        let method = world.method();
        let Some(case) = world.case(&method) else { return Ok(()) };
        let study = Study::of(case, &method, Effort::default());
        let range = study.range(0);
        for (u, unknown) in study.case.unknowns.iter().enumerate() {
            let mut ends: [Vec<Exact>; 2] = [Vec::new(), Vec::new()];
            for answer in 0..unknown.answers.len() {
                // With an answer that contradicts what was done there is no completion.
                if !can_stand(&study.case, (u, answer)) {
                    continue;
                }
                let given = study.range_given(&[(u, answer)]);
                let fixed = Study::of(study.case.fix(u, answer), &method, Effort::default()).range(0);
                prop_assert_eq!(&given, &fixed, "{} answered: {}", unknown.path, both(&world));
                let (Some(low), Some(high)) = (given.low, given.high) else { continue };
                prop_assert!(Some(&low) >= range.low.as_ref() && Some(&high) <= range.high.as_ref(), "{}", both(&world));
                ends[0].push(low);
                ends[1].push(high);
            }
            prop_assert_eq!(ends[0].iter().min(), range.low.as_ref());
            prop_assert_eq!(ends[1].iter().max(), range.high.as_ref());
        }
    }
}

/// Whether what was done could have been done with an answer and some others.
fn can_stand(case: &Case, (u, answer): (usize, usize)) -> bool {
    let mut choices = vec![Vec::new()];
    for (at, unknown) in case.unknowns.iter().enumerate() {
        let answers: Vec<usize> = if at == u { vec![answer] } else { (0..unknown.answers.len()).collect() };
        choices = choices.iter().flat_map(|c: &Vec<usize>| answers.iter().map(|a| [&c[..], &[*a]].concat())).collect();
    }
    choices.iter().any(|choice| case.stands(choice))
}
