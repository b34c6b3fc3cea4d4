//! What to find out next, against going through every completion of small records. The check is independent of the
//! search: every completion is evaluated plainly, and what the questions say is read off the list.
#![allow(clippy::cast_possible_wrap, reason = "small counts")]

use crate::questions_world;

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use questions_world::{Draw, case, completions, method, plainly};
use scoring::exact::Exact;
use scoring::range::{Case, Effort, Guide, Study, class_of, show};

type Values = Vec<(Vec<usize>, Option<Exact>)>;

fn ends<'v>(values: impl Iterator<Item = &'v (Vec<usize>, Option<Exact>)>) -> (Option<Exact>, Option<Exact>) {
    let list: Vec<Exact> = values.filter_map(|(_, v)| v.clone()).collect();
    (list.iter().min().cloned(), list.iter().max().cloned())
}

/// Whether answers to `asked` always leave one thing to show.
fn settles(values: &Values, asked: &BTreeSet<usize>, shown: &dyn Fn(&Exact) -> String) -> bool {
    let mut seen: BTreeMap<Vec<usize>, BTreeSet<Option<String>>> = BTreeMap::new();
    for (choice, value) in values {
        let key = asked.iter().map(|&u| choice[u]).collect();
        seen.entry(key).or_default().insert(value.as_ref().map(shown));
    }
    seen.values().all(|s| s.len() == 1)
}

fn smallest(values: &Values, n: usize, shown: &dyn Fn(&Exact) -> String) -> usize {
    (0..1_u32 << n)
        .map(|mask| (0..n).filter(|i| mask >> i & 1 == 1).collect::<BTreeSet<usize>>())
        .filter(|asked| settles(values, asked, shown))
        .map(|asked| asked.len())
        .min()
        .unwrap()
}

fn check(case: Case, shape: usize) {
    let method = method(shape);
    let values: Values = completions(&case)
        .into_iter()
        .map(|c| {
            let value = plainly(&case, &method, &c);
            (c, value)
        })
        .collect();
    let study = Study::of(case.clone(), &method, Effort::default());
    let guide = Guide::of(&study);
    assert_eq!((guide.range.low.clone(), guide.range.high.clone()), ends(values.iter()));
    let mut order = Vec::new();
    for question in &guide.questions {
        let mut widths = Vec::new();
        for (a, leads) in question.answers.iter().enumerate() {
            let expected = ends(values.iter().filter(|(c, _)| c[question.unknown] == a));
            assert_eq!(
                (leads.range.low.clone(), leads.range.high.clone()),
                expected,
                "{} {}",
                question.path,
                leads.answer
            );
            widths.push(&expected.1.unwrap() - &expected.0.unwrap());
        }
        let mean = widths.iter().cloned().sum::<Exact>().checked_div(&Exact::from(widths.len() as i64)).unwrap();
        order.push((widths.iter().max().unwrap().clone(), mean, question.unknown));
    }
    assert!(order.is_sorted(), "{order:?}");
    // What no leaf reads is no question, and indeed changes nothing.
    for u in (0..case.unknowns.len()).filter(|u| guide.questions.iter().all(|q| q.unknown != *u)) {
        let all_but: BTreeSet<usize> = (0..case.unknowns.len()).filter(|x| *x != u).collect();
        assert!(settles(&values, &all_but, &Exact::plain));
    }
    let n = case.unknowns.len();
    let display = |v: &Exact| show(&method, v);
    let class = |v: &Exact| class_of(&method, v).unwrap();
    let said = &guide.settles_verdict;
    assert!(said.smallest);
    assert!(settles(&values, &said.unknowns.iter().copied().collect(), &display), "{said:?}");
    assert_eq!(said.unknowns.len(), smallest(&values, n, &display), "{said:?}");
    let said = guide.settles_class.as_ref().unwrap();
    assert!(said.smallest);
    assert!(settles(&values, &said.unknowns.iter().copied().collect(), &class), "{said:?}");
    assert_eq!(said.unknowns.len(), smallest(&values, n, &class), "{said:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, ..ProptestConfig::default() })]
    #[test]
    fn agrees_with_every_completion(seed in any::<u64>(), shape in 0_usize..3, most in 1_usize..6) {
        check(case(&mut Draw(seed), most), shape);
    }
}

/// Seven questions at once: 200 to 1 300 completions, 128 sets of questions.
#[test]
fn agrees_on_seven_questions() {
    check(case(&mut Draw(7), 7), 0);
    check(case(&mut Draw(8), 7), 2);
}

/// A case with one question answered has the completions that go with the answer, no others.
#[test]
fn fixing_an_answer_is_choosing_it() {
    let case = case(&mut Draw(3), 5);
    for u in 0..case.unknowns.len() {
        for a in 0..case.unknowns[u].answers.len() {
            let fixed = case.fix(u, a);
            for choice in completions(&fixed) {
                let mut whole = choice.clone();
                whole.insert(u, a);
                assert_eq!(fixed.complete(&choice), case.complete(&whole));
            }
        }
    }
}

/// Where completions are too many to go through, what is said still holds: bounds contain every completion's value and
/// the questions named settle the verdict, if perhaps more than needed.
#[test]
fn bounds_hold_where_completions_are_too_many() {
    let case = case(&mut Draw(11), 6);
    let method = method(0);
    let values: Values = completions(&case)
        .into_iter()
        .map(|c| {
            let v = plainly(&case, &method, &c);
            (c, v)
        })
        .collect();
    let few = Effort { looks: 1, ..Effort::default() };
    let guide = Guide::of(&Study::of(case.clone(), &method, few));
    for question in &guide.questions {
        for (a, leads) in question.answers.iter().enumerate() {
            let (low, high) = ends(values.iter().filter(|(c, _)| c[question.unknown] == a));
            assert!(leads.range.low <= low && leads.range.high >= high, "{} {}", question.path, leads.answer);
        }
    }
    let asked = guide.settles_verdict.unknowns.iter().copied().collect();
    assert!(settles(&values, &asked, &|v| show(&method, v)));
}
