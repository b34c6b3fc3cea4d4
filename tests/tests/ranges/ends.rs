//! Ranges against brute force: on random small devices, the ends of a verdict equal the minimum and maximum of plain
//! evaluations over all completions, the completion named for each end gives exactly that value, and no node of the tree is ever
//! outside its range.
//!
//! The oracle goes through all completions and shares with the engine only the plain evaluation of a complete record.

use outside::devices::{Seed, case, distinct};
use proptest::prelude::*;
use scoring::assess::{Plan, Router, evaluate};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Case, Effort, Study};
use scoring::route::Limits;

const METHODS: [&str; 5] = ["en-45554", "eu-2023-1669", "eu-2023-1670", "eu-2023-1542-11", "fr-index"];

fn brute_force(method: &Method, plan: &Plan<'_>, case: &Case) -> Vec<(Option<Exact>, Option<Exact>)> {
    let mut out: Vec<(Option<Exact>, Option<Exact>)> = vec![(None, None); plan.nodes.len()];
    let mut choice = vec![0; case.unknowns.len()];
    loop {
        let device = case.complete(&choice);
        let router = Router::new(&device, &method.steps, Limits::default());
        let evaluated = evaluate(plan, &device, &router);
        for (ends, value) in out.iter_mut().zip(&evaluated.values) {
            if let Some(v) = value {
                let low = ends.0.take().map_or(v.clone(), |l: Exact| l.min(v.clone()));
                let high = ends.1.take().map_or(v.clone(), |h: Exact| h.max(v.clone()));
                *ends = (Some(low), Some(high));
            }
        }
        let Some(place) = (0..choice.len()).rev().find(|&p| choice[p] + 1 < case.unknowns[p].answers.len()) else {
            return out;
        };
        choice[place] += 1;
        choice[place + 1..].fill(0);
    }
}

fn check(id: &str, seed: &Seed, effort: Effort) -> Result<(), TestCaseError> {
    let case = case(seed);
    // Two answers to one place would be two variables for one fact, which a record never has.
    let method = load_shipped(id).expect("shipped").for_device(case.base.category, case.base.form);
    let study = Study::of(case.clone(), &method, effort);
    let expected = brute_force(&method, &study.plan, &case);
    for (node, (low, high)) in expected.into_iter().enumerate() {
        let (found, id) = (study.range(node), &study.plan.nodes[node].id);
        for (place, (found_end, end)) in [(&found.low, &low), (&found.high, &high)].into_iter().enumerate() {
            let Some(end) = end else { continue };
            let Some(found_end) = found_end else {
                return Err(TestCaseError::fail(format!("{id}: {end} in a completion, left out in the range")));
            };
            let inside = if place == 0 { found_end <= end } else { found_end >= end };
            prop_assert!(inside, "{id}, end {place}: {found_end} found, {end} in a completion");
            prop_assert!(
                !found.attained[place] || found_end == end,
                "{id}, end {place}: {found_end} said to be attained, {end} is"
            );
        }
        if node == 0 && effort == Effort::default() {
            prop_assert!(found.exact, "the verdict is only bounded");
            prop_assert_eq!(&found.reached, &[low, high]);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn ends_are_attained_and_hold_every_completion(seed in distinct(), id in prop::sample::select(METHODS.to_vec())) {
        check(id, &seed, Effort::default())?;
    }

    /// With hardly any effort allowed, ends become bounds: never inside the true range, and marked.
    #[test]
    fn bounds_hold_every_completion(seed in distinct(), id in prop::sample::select(METHODS.to_vec())) {
        check(id, &seed, Effort { looks: 1, ..Effort::default() })?;
    }

    /// Likewise with hardly any states for the ways to a part.
    #[test]
    fn searches_cut_short_hold_every_completion(
        seed in distinct(), id in prop::sample::select(METHODS.to_vec()), states in 1_u64..200
    ) {
        check(id, &seed, Effort { states, looks: 50, ..Effort::default() })?;
    }
}
