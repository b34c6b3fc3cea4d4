//! Which facts settle the order of two devices, against going through every completion of both: each is evaluated plainly, and
//! what an answer says of the order is read off the lists. Shares no code with the search for ranges or with what is tested.

use std::collections::BTreeSet;

use proptest::prelude::*;
use scoring::compare::undecided::{Standing, Undecided, undecided};
use scoring::exact::Exact;
use scoring::range::questions::questions;
use scoring::range::{Case, Effort, Study};

use crate::questions_world::{Draw, case, completions, method, plainly};

/// Every completion of a device and what it comes to.
type Values = Vec<(Vec<usize>, Exact)>;

fn values(case: &Case, shape: usize) -> Values {
    let method = method(shape);
    let all = completions(case).into_iter();
    all.map(|c| (plainly(case, &method, &c).expect("a total"), c)).map(|(v, c)| (c, v)).collect()
}

/// Who stands above in every pair of completions: the first, the second, or nobody always.
fn order<'v>(one: impl Iterator<Item = &'v Exact>, other: impl Iterator<Item = &'v Exact>) -> Option<usize> {
    let (one, other): (Vec<_>, Vec<_>) = (one.collect(), other.collect());
    let every = |holds: &dyn Fn(&Exact, &Exact) -> bool| one.iter().all(|a| other.iter().all(|b| holds(a, b)));
    if every(&|a, b| a > b) {
        Some(0)
    } else if every(&|a, b| a < b) {
        Some(1)
    } else {
        None
    }
}

fn given(values: &Values, u: usize, a: usize) -> impl Iterator<Item = &Exact> {
    values.iter().filter(move |(c, _)| c[u] == a).map(|(_, v)| v)
}

fn all(values: &Values) -> impl Iterator<Item = &Exact> {
    values.iter().map(|(_, v)| v)
}

/// What each answer to a question of one of the two says, by going through all completions.
fn said(both: [&Values; 2], device: usize, u: usize, answers: usize) -> Vec<Option<usize>> {
    let [one, other] = both;
    (0..answers)
        .map(|a| if device == 0 { order(given(one, u, a), all(other)) } else { order(all(one), given(other, u, a)) })
        .collect()
}

fn check(cases: [Case; 2], shape: usize) -> Option<Undecided> {
    let method = method(shape);
    let both = cases.each_ref().map(|c| values(c, shape));
    let studies = cases.each_ref().map(|c| Study::of(c.clone(), &method, Effort::default()));
    let standings = studies.each_ref().map(|s| Standing { range: s.range(0), questions: Some(questions(s)) });
    let mut found = undecided(&standings);
    if order(all(&both[0]), all(&both[1])).is_some() {
        assert!(found.is_empty(), "the ranges lie apart");
        return None;
    }
    assert_eq!(found.len(), 1);
    let found = found.remove(0);
    assert!(found.exact && found.passed_over.is_empty(), "small cases are gone through whole");
    let points: BTreeSet<&Exact> = all(&both[0]).chain(all(&both[1])).collect();
    assert_eq!(found.level, points.len() == 1, "{points:?}");
    // Every question of either, as the lists have it.
    let (mut alone, mut partly) = (BTreeSet::new(), BTreeSet::new());
    for (device, case) in cases.iter().enumerate() {
        for (u, unknown) in case.unknowns.iter().enumerate() {
            let said = said([&both[0], &both[1]], device, u, unknown.answers.len());
            let settled = said.iter().filter(|s| s.is_some()).count();
            // A question nothing reads settles nothing and is not asked.
            if settled == said.len() {
                alone.insert((device, unknown.path.clone()));
            } else if settled > 0 {
                partly.insert((device, unknown.path.clone()));
            }
            let listed = found.alone.iter().chain(&found.partly).find(|d| d.device == device && d.path == unknown.path);
            if let Some(listed) = listed {
                assert_eq!(listed.answers.iter().map(|a| a.above).collect::<Vec<_>>(), said, "{}", unknown.path);
            }
        }
    }
    let names = |list: &[scoring::compare::undecided::Decider]| -> BTreeSet<(usize, String)> {
        list.iter().map(|d| (d.device, d.path.clone())).collect()
    };
    assert_eq!(names(&found.alone), alone);
    assert_eq!(names(&found.partly), partly);
    // Pairs, one question of each, where none does alone.
    let joint: BTreeSet<[String; 2]> = found.together.iter().map(|p| p.each_ref().map(|d| d.path.clone())).collect();
    let mut expected = BTreeSet::new();
    for (u, x) in cases[0].unknowns.iter().enumerate() {
        for (w, y) in cases[1].unknowns.iter().enumerate() {
            let settles = (0..x.answers.len())
                .all(|a| (0..y.answers.len()).all(|b| order(given(&both[0], u, a), given(&both[1], w, b)).is_some()));
            if settles {
                expected.insert([x.path.clone(), y.path.clone()]);
            }
        }
    }
    if found.alone.is_empty() {
        assert!(joint.is_subset(&expected), "{joint:?} {expected:?}");
        assert_eq!(joint.is_empty(), expected.is_empty(), "{expected:?}");
    } else {
        assert!(joint.is_empty(), "one answer is enough");
    }
    Some(found)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]
    #[test]
    fn agrees_with_every_completion_of_both(one in any::<u64>(), other in any::<u64>(), shape in 0_usize..3, most in 1_usize..5) {
        check([case(&mut Draw(one), most), case(&mut Draw(other), most)], shape);
    }
}

/// All three kinds of result occur among fixed draws, so that the check above is about something.
#[test]
fn every_kind_of_result_occurs() {
    let (mut alone, mut together, mut partly, mut level) = (0, 0, 0, 0);
    for n in 0..120_usize {
        let seed = n as u64;
        let cases = [case(&mut Draw(seed), 1 + n % 3), case(&mut Draw(seed + 7), 1 + n % 2)];
        let Some(found) = check(cases, n % 3) else { continue };
        alone += usize::from(!found.alone.is_empty());
        together += usize::from(!found.together.is_empty());
        partly += usize::from(!found.partly.is_empty());
        level += usize::from(found.level);
    }
    assert!(alone > 0 && together > 0 && partly > 0, "{alone} {together} {partly} {level}");
}
