//! Ranking under weights nobody prefers, against closed forms and against numpy and scipy.
//!
//! Closed forms: weights uniform on the simplex are Dirichlet(1, …, 1); shares are areas (`derived`). Tables in
//! `data/weights-tables.json` come from `oracle/weights.py`: first ranks as volumes by scipy, the rest by numpy's own
//! Dirichlet generator (`derived`). Sampling error: 200 000 weightings have a 95 % half-width of 0.0022; 0.006 is 5σ.
#![allow(clippy::float_cmp, clippy::print_stderr, reason = "sampling results are compared as they are")]

use approx::assert_abs_diff_eq;
use proptest::prelude::*;
use rstest::rstest;
use scoring::compare::rank::{Generator, SAMPLES, acceptability, dominates};
use scoring::exact::Exact;

const N: u32 = 200_000;
const ERROR: f64 = 0.006;

fn settled(table: &[&[f64]]) -> Vec<Vec<[f64; 2]>> {
    table.iter().map(|row| row.iter().map(|v| [*v, *v]).collect()).collect()
}

/// Form 1: a = (1, 0), b = (0, 1), c = (0.6, 0.6).
#[test]
fn two_criteria_and_a_compromise() {
    let found = acceptability(&settled(&[&[1.0, 0.0], &[0.0, 1.0], &[0.6, 0.6]]), N, 1);
    for (i, ranks) in [[0.4, 0.1, 0.5], [0.4, 0.1, 0.5], [0.2, 0.8, 0.0]].iter().enumerate() {
        for (r, share) in ranks.iter().enumerate() {
            assert_abs_diff_eq!(found.ranks[i][r][0], share, epsilon = ERROR);
            assert_eq!(found.ranks[i][r][0], found.ranks[i][r][1], "settled values: sure is possible");
        }
    }
    // c beats a where w_1 < 0.6.
    assert_abs_diff_eq!(found.wins[2][0][0], 0.6, epsilon = ERROR);
    assert_eq!(found.span[2], [0, 1]);
    assert_eq!(found.sentence(2), "first in 20 % of weightings, never worse than second");
}

/// Form 2: three unit vectors and d = (t, t, t): first with (3t − 1)², from t = 1/2 on 1 − 3(1 − t)²; last with (1 − 3t)².
#[rstest]
#[case(0.4, 0.04, 0.0)]
#[case(0.5, 0.25, 0.0)]
#[case(0.6, 0.52, 0.0)]
#[case(0.2, 0.0, 0.16)]
fn one_level_alternative(#[case] t: f64, #[case] first: f64, #[case] last: f64) {
    let table = settled(&[&[1.0, 0.0, 0.0], &[0.0, 1.0, 0.0], &[0.0, 0.0, 1.0], &[t, t, t]]);
    let found = acceptability(&table, N, 2);
    assert_abs_diff_eq!(found.ranks[3][0][0], first, epsilon = ERROR);
    assert_abs_diff_eq!(found.ranks[3][3][0], last, epsilon = ERROR);
}

/// Form 3: three unit vectors: every share 1/3, central weight of the first (11/18, 7/36, 7/36).
#[test]
fn three_unit_vectors() {
    let found = acceptability(&settled(&[&[1.0, 0.0, 0.0], &[0.0, 1.0, 0.0], &[0.0, 0.0, 1.0]]), N, 3);
    for i in 0..3 {
        for r in 0..3 {
            assert_abs_diff_eq!(found.ranks[i][r][0], 1.0 / 3.0, epsilon = ERROR);
        }
    }
    let central = found.central[0].as_ref().unwrap();
    for (has, is) in central.iter().zip([11.0 / 18.0, 7.0 / 36.0, 7.0 / 36.0]) {
        assert_abs_diff_eq!(*has, is, epsilon = ERROR);
    }
    assert_eq!(found.confidence[0], Some([true, true]));
}

/// Whether draws of three weights have the moments of Dirichlet(1, 1, 1): mean 1/3, variance 1/18, covariance −1/36, and
/// sorted means 11/18, 5/18, 1/9.
fn has_the_moments(draws: &[Vec<f64>]) -> bool {
    let n = draws.len() as f64;
    let mean = |f: &dyn Fn(&[f64]) -> f64| draws.iter().map(|w| f(w)).sum::<f64>() / n;
    let near = |a: f64, b: f64, by: f64| (a - b).abs() < by;
    let third = 1.0 / 3.0;
    (0..3).all(|i| {
        near(mean(&|w| w[i]), third, 0.003)
            && near(mean(&|w| (w[i] - third).powi(2)), 1.0 / 18.0, 0.001)
            && near(mean(&|w| (w[i] - third) * (w[(i + 1) % 3] - third)), -1.0 / 36.0, 0.001)
            && near(
                mean(&|w| {
                    let mut w = w.to_vec();
                    w.sort_by(|a, b| b.total_cmp(a));
                    w[i]
                }),
                [11.0 / 18.0, 5.0 / 18.0, 1.0 / 9.0][i],
                0.003,
            )
    })
}

#[test]
fn weights_are_uniform_on_the_simplex() {
    let mut generator = Generator::new(4);
    let draws: Vec<Vec<f64>> = (0..N).map(|_| generator.weights(3)).collect();
    assert!(draws.iter().all(|w| (w.iter().sum::<f64>() - 1.0).abs() < 1e-12 && w.iter().all(|x| *x >= 0.0)));
    assert!(has_the_moments(&draws));
}

/// The same check turns down normalised uniform numbers, so it would notice them.
#[test]
fn normalised_uniforms_are_noticed() {
    let mut generator = Generator::new(4);
    let draws: Vec<Vec<f64>> = (0..N)
        .map(|_| {
            let w: Vec<f64> = (0..3).map(|_| generator.unit()).collect();
            let sum: f64 = w.iter().sum();
            w.into_iter().map(|x| x / sum).collect()
        })
        .collect();
    assert!(!has_the_moments(&draws));
}

#[derive(serde::Deserialize)]
struct Stored {
    tables: Vec<Table>,
}

#[derive(serde::Deserialize)]
struct Table {
    values: Vec<Vec<f64>>,
    first: Vec<f64>,
    ranks: Vec<Vec<f64>>,
    wins: Vec<Vec<f64>>,
}

#[test]
fn agrees_with_numpy_and_scipy() {
    let stored: Stored = serde_json::from_str(include_str!("../../data/weights-tables.json")).unwrap();
    assert!(stored.tables.len() >= 8);
    for table in stored.tables {
        let rows: Vec<&[f64]> = table.values.iter().map(Vec::as_slice).collect();
        let found = acceptability(&settled(&rows), N, 5);
        for i in 0..rows.len() {
            assert_abs_diff_eq!(found.ranks[i][0][0], table.first[i], epsilon = ERROR);
            for j in 0..rows.len() {
                assert_abs_diff_eq!(found.ranks[i][j][0], table.ranks[i][j], epsilon = ERROR);
                assert_abs_diff_eq!(found.wins[i][j][0], table.wins[i][j], epsilon = ERROR);
            }
        }
    }
}

/// The half-width stated is that of the sample size, and the same seed gives the same result.
#[test]
fn says_how_much_was_drawn() {
    let table = settled(&[&[1.0, 0.0], &[0.0, 1.0]]);
    let found = acceptability(&table, 9_604, 6);
    assert_abs_diff_eq!(found.half_width, 0.01, epsilon = 1e-12);
    assert_eq!(found, acceptability(&table, 9_604, 6));
    assert!(acceptability(&table, SAMPLES, 6).half_width < 0.005);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// What dominates wins under every weighting drawn; what is possible is never less than what is sure; and sure shares
    /// of a settled table are those of the table with any of its values opened up, at most.
    #[test]
    fn laws_of_acceptability(
        table in prop::collection::vec(prop::collection::vec((0_u8..10, 0_u8..4), 3), 2..5),
        seed in any::<u64>(),
    ) {
        let open: Vec<Vec<[f64; 2]>> =
            table.iter().map(|r| r.iter().map(|(l, w)| [f64::from(*l), f64::from(l + w)]).collect()).collect();
        let exact: Vec<Vec<[Exact; 2]>> = table
            .iter()
            .map(|r| r.iter().map(|(l, w)| [Exact::from(i64::from(*l)), Exact::from(i64::from(l + w))]).collect())
            .collect();
        let found = acceptability(&open, 500, seed);
        for i in 0..open.len() {
            let sure: f64 = found.ranks[i].iter().map(|r| r[0]).sum();
            let possible: f64 = found.ranks[i].iter().map(|r| r[1]).sum();
            prop_assert!(sure <= 1.0 + 1e-9 && possible >= 1.0 - 1e-9);
            for j in (0..open.len()).filter(|j| *j != i) {
                prop_assert!(found.wins[i][j][0] <= found.wins[i][j][1]);
                if dominates(&exact[i], &exact[j]) {
                    // Only a weighting with no weight where it is better would be a tie, and none is drawn.
                    prop_assert_eq!(found.wins[i][j][0], 1.0);
                    prop_assert_eq!(found.wins[j][i][1], 0.0);
                }
            }
        }
        let low: Vec<Vec<[f64; 2]>> = open.iter().map(|r| r.iter().map(|v| [v[0], v[0]]).collect()).collect();
        let settled = acceptability(&low, 500, seed);
        for i in 0..open.len() {
            for r in 0..open.len() {
                prop_assert!(found.ranks[i][r][0] <= settled.ranks[i][r][0]);
                prop_assert!(found.ranks[i][r][1] >= settled.ranks[i][r][1]);
            }
        }
    }
}
