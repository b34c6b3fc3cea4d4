//! A case that differs by a few edits from one worked out before takes over what the edits can't touch. Held against the same
//! case worked out alone: the values are the same, whatever was edited, and in whatever order; where alone a search was cut
//! short, what was known beside may prove more, and says nothing that the bound rules out.

use outside::devices;
use proptest::prelude::*;
use rstest::rstest;
use scoring::method::{Method, load_shipped};
use scoring::range::{Case, Effort, Range, Study, fitted};
use scoring::record::complete::CompleteAction;
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};
use scoring::vocab::{Kind, Place, Skill, ToolClass};

fn sample(name: &str) -> Record {
    let text = std::fs::read_to_string(format!("{}/../samples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let mut sources = Sources::new();
    let file = sources.add(Source::new("sample.yaml", &text));
    record::read(&sources, file).record.unwrap()
}

/// The bench verdict where the method has one: then only routes and what is read on them count.
fn method(id: &str, record: &Record) -> Method {
    let method = load_shipped(id).unwrap();
    let method = method.bench_verdict().unwrap_or(method);
    fitted(&method, record)
}

/// Takes a thing off by hand from the closed device.
fn another_way(case: &mut Case, from: usize) {
    if let Some(&thing) = case.base.actions[from].frees.first() {
        case.base.actions.push(CompleteAction::by_hand(thing));
    }
}

/// One edit of how something is done, for better or worse.
fn edit(case: &mut Case, (what, which, how): (u8, usize, usize)) {
    let index = which % case.base.actions.len();
    let tools = case.base.tools.len().max(1);
    if what % 9 == 8 {
        return another_way(case, index);
    }
    if what % 9 == 7 {
        if !case.base.tools.is_empty() {
            case.base.tools[which % tools].class = ToolClass::Proprietary;
        }
        return;
    }
    let action = &mut case.base.actions[index];
    match what % 9 {
        0 => {
            // As good as can be.
            action.operations.iter_mut().for_each(|o| *o = vec![vec![]]);
            action.fasteners.clear();
            action.destroys.clear();
            (action.place, action.skill) = (Place::Use, Skill::Layman);
        }
        1 => action.operations.iter_mut().for_each(|o| *o = vec![vec![]]),
        2 => action.operations.iter_mut().take(1).for_each(|o| *o = vec![vec![how % tools]]),
        3 => action.fasteners.clear(),
        4 => action.fasteners.iter_mut().for_each(|f| f.kind = [Kind::Reusable, Kind::Neither][how % 2]),
        5 => action.place = [Place::Use, Place::Workshop][how % 2],
        _ => action.skill = [Skill::Layman, Skill::Expert][how % 2],
    }
}

/// Of one case, what came out beside another one and alone.
fn same(beside: &Range, alone: &Range, why: &str) {
    if alone.exact {
        assert_eq!(beside, alone, "{why}");
    } else {
        assert!(beside.low >= alone.low && beside.high <= alone.high, "{why}: {beside:?} beyond {alone:?}");
    }
}

/// Each edit on top of those before, every case both ways: from the first one, and from the one before.
fn agree(case: Case, method: &Method, edits: &[(u8, usize, usize)]) {
    let study = Study::of(case, method, Effort::default());
    let mut row: Option<Study<'_>> = None;
    for one in edits {
        let mut case = row.as_ref().unwrap_or(&study).case.clone();
        edit(&mut case, *one);
        let alone = Study::of(case.clone(), method, Effort::default()).range(0);
        same(&study.with_case(case.clone(), 1).range(0), &alone, &format!("{edits:?}: from the first"));
        let next = match &row {
            Some(before) => before.then(case),
            None => study.with_case(case, 1),
        };
        same(&next.range(0), &alone, &format!("{edits:?}: from the one before"));
        row = Some(next);
    }
}

/// Past the limit of work too, what comes out doesn't hang on who asked first, nor with how much work allowed.
fn order_of_asking(case: &Case, method: &Method, edits: [(u8, usize, usize); 2], pool: u64) {
    let effort = Effort { pool, ..Effort::default() };
    let ask = |study: &Study<'_>, one: (u8, usize, usize), many: usize| {
        let mut case = case.clone();
        edit(&mut case, one);
        study.with_case(case, many).range(0)
    };
    let [first, second] = edits;
    let study = || Study::of(case.clone(), method, effort);
    let (one, other) = (study(), study());
    let (a, b) = (ask(&one, first, 1), ask(&one, second, 10_000));
    let (d, c) = (ask(&other, second, 10_000), ask(&other, first, 1));
    assert_eq!((a, b), (c, d), "{edits:?} with {pool}");
}

fn edits() -> impl Strategy<Value = Vec<(u8, usize, usize)>> {
    prop::collection::vec((0_u8..9, any::<usize>(), any::<usize>()), 1..5)
}

#[rstest]
#[case("workstation-120", "en-45554", 24)]
#[case("laptop", "en-45554", 24)]
#[case("folding-tablet", "en-45554", 12)]
#[case("slate-tablet", "eu-2023-1669", 12)]
#[case("washing-machine", "en-45554", 12)]
fn samples_with_edits(#[case] name: &str, #[case] id: &str, #[case] cases: u32) {
    let record = sample(name);
    let method = method(id, &record);
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    proptest!(config, |(edits in edits())| {
        agree(Case::new(&record, &method), &method, &edits);
    });
}

#[rstest]
#[case("workstation-120", 48)]
#[case("laptop", 48)]
fn past_the_limit(#[case] name: &str, #[case] cases: u32) {
    let record = sample(name);
    let method = method("en-45554", &record);
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    let edits = prop::array::uniform2((0_u8..9, any::<usize>(), any::<usize>()));
    proptest!(config, |(edits in edits, pool in 3_u32..20)| {
        order_of_asking(&Case::new(&record, &method), &method, edits, 1 << pool);
    });
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]
    #[test]
    fn small_devices_with_edits(seed in devices::seed(), edits in edits(), shape in 0_usize..2) {
        let case = devices::case(&seed);
        let record = sample("bar-phone");
        let method = method(["en-45554", "eu-2023-1669"][shape], &record);
        agree(case, &method, &edits);
    }
}
