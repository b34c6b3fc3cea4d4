//! Ranges against brute force: on random small devices, the ends of every node equal the minimum and maximum of plain
//! evaluations over all completions, and the completion named for each end gives exactly that value.
//!
//! The oracle goes through all completions and shares with the engine only the plain evaluation of a complete record.

use outside::devices::{Seed, case, distinct};
use proptest::prelude::*;
use scoring::assess::{Plan, Router, evaluate};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::Case;
use scoring::range::optimise::{End, Optimiser};
use scoring::range::tables::{Effort, Tables};
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

fn check(id: &str, seed: &Seed) -> Result<(), TestCaseError> {
    let case = case(seed);
    // Two answers to one place would be two variables for one fact, which a record never has.
    let method = load_shipped(id).expect("shipped").for_device(case.base.category, case.base.form);
    let plan = Plan::new(&method, &case.base, &[]);
    let tables = Tables::new(&plan, &case, Effort::default());
    let optimiser = Optimiser::new(&plan, &tables);
    let expected = brute_force(&method, &plan, &case);
    for (node, (low, high)) in expected.into_iter().enumerate() {
        let (found_low, found_high) = (optimiser.end(node, End::Low), optimiser.end(node, End::High));
        prop_assert!(found_low.exact && found_high.exact, "{} marked outer", plan.nodes[node].id);
        prop_assert_eq!(&found_low.value, &low, "low of {}", plan.nodes[node].id);
        prop_assert_eq!(&found_high.value, &high, "high of {}", plan.nodes[node].id);
        for (found, end) in [(&found_low, &low), (&found_high, &high)] {
            let mut choice = vec![0; case.unknowns.len()];
            for (c, component) in tables.components.iter().enumerate() {
                let signature = &component.signatures[found.with.get(&c).copied().unwrap_or(0)];
                for (&u, &answer) in component.unknowns.iter().zip(&signature.choice) {
                    choice[u] = answer;
                }
            }
            let device = case.complete(&choice);
            let router = Router::new(&device, &method.steps, Limits::default());
            let there = evaluate(&plan, &device, &router).values[node].clone();
            prop_assert_eq!(&there, end, "{} is not attained by its completion", plan.nodes[node].id);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn ends_of_the_default_verdict_are_attained_and_exact(seed in distinct()) {
        check("en-45554", &seed)?;
    }

    #[test]
    fn ends_of_the_eu_index_are_attained_and_exact(seed in distinct()) {
        check("eu-2023-1669", &seed)?;
    }

    #[test]
    fn ends_of_the_legal_rows_are_attained_and_exact(seed in distinct()) {
        check("eu-2023-1670", &seed)?;
    }

    #[test]
    fn ends_of_the_battery_article_are_attained_and_exact(seed in distinct()) {
        check("eu-2023-1542-11", &seed)?;
    }

    #[test]
    fn ends_of_the_sheet_are_attained_and_exact(seed in distinct()) {
        check("fr-index", &seed)?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// With hardly any effort allowed, ends become outer bounds: never inside the true range, and marked.
    #[test]
    fn outer_bounds_contain_every_completion(seed in distinct(), id in prop::sample::select(METHODS.to_vec())) {
        let case = case(&seed);
        let method = load_shipped(id).expect("shipped").for_device(case.base.category, case.base.form);
        let plan = Plan::new(&method, &case.base, &[]);
        let effort = Effort { routes: 2, group: 3, ..Effort::default() };
        let tables = Tables::new(&plan, &case, effort);
        let optimiser = Optimiser::new(&plan, &tables);
        for (node, (low, high)) in brute_force(&method, &plan, &case).into_iter().enumerate() {
            let (found_low, found_high) = (optimiser.end(node, End::Low), optimiser.end(node, End::High));
            let id = &plan.nodes[node].id;
            prop_assert!(found_low.value <= low, "{id}: {:?} > {:?}", found_low.value, low);
            prop_assert!(found_high.value >= high, "{id}: {:?} < {:?}", found_high.value, high);
            if found_low.value != low {
                prop_assert!(!found_low.exact, "{id} is not attained and not marked");
            }
        }
    }
}
