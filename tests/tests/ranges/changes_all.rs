//! No change that does something is left out of the list, and no action that costs something out of the causes: each candidate
//! tried by itself, in a study of its own that knows nothing of the others, against what the engine lists after it has
//! set aside most of them in groups.

use proptest::prelude::*;
use scoring::compare::causes::{CauseOf, Causes, leading, without_limits};
use scoring::compare::changes::{candidates, distinct};
use scoring::compare::{Changes, hinging};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Case, Edit, Effort, Study, fitted};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};
use scoring::vocab::{Kind, Place, Skill};

use crate::worlds::World;

fn sample(name: &str) -> Record {
    let path = format!("{}/../samples/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, &std::fs::read_to_string(path).unwrap()));
    record::read(&sources, file).record.expect("a sample reads")
}

/// Ids of changes with which some criterion has more points at an end, each looked at by itself.
fn one_by_one(record: &Record, study: &Study<'_>) -> Vec<String> {
    let before = study.leaf_ends();
    let betters = |case: Case| {
        let after = Study::of(case, study.method(), Effort::default()).leaf_ends();
        after.iter().any(|(leaf, ends)| (0..2).any(|end| ends[end] > before[leaf][end]))
    };
    let all = distinct(candidates(record, &[study])).into_iter().map(|(change, _)| change);
    let mut ids: Vec<String> = all.filter(|c| betters(c.apply(&study.case))).map(|c| c.id).collect();
    ids.sort();
    ids
}

fn listed(record: &Record, study: &Study<'_>) -> Vec<String> {
    let mut ids: Vec<String> = Changes::of(record, &[study]).tried.into_iter().map(|t| t.change.id).collect();
    ids.sort();
    ids
}

/// Names of actions that gain something at an end where they alone are as good as can be: by hand, reusable, anywhere, by
/// anybody, nothing destroyed.
fn costly(record: &Record, method: &Method) -> Vec<usize> {
    let method = without_limits(method);
    let study = Study::new(record, &method, Effort::default());
    let before = study.range(0);
    let over = |a: &Option<Exact>, b: &Option<Exact>| matches!((a, b), (Some(a), Some(b)) if b > a);
    let gains = |action: &usize| {
        let mut case = study.case.clone();
        let known = |edit: &Edit| match edit {
            Edit::Place(list, _) | Edit::Skill(list, _) => list.contains(action),
            Edit::Ways(a, ..) | Edit::Operations(a, _) | Edit::Fastener(a, ..) | Edit::Adhesive(a, ..) => a == action,
            Edit::Count(a, ..) | Edit::Fasten(a, ..) | Edit::Exists(a, _) => a == action,
            _ => false,
        };
        // Only actions of which nothing is asked: what is taken back otherwise is the engine's business.
        if case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits).any(known) {
            return false;
        }
        let this = &mut case.base.actions[*action];
        this.operations.iter_mut().for_each(|o| *o = vec![vec![]]);
        this.fasteners.iter_mut().for_each(|f| (f.kind, f.adhesive) = (Kind::Reusable, false));
        this.destroys.clear();
        (this.place, this.skill) = (Place::Use, Skill::Layman);
        let after = Study::of(case, &method, Effort::default()).range(0);
        over(&before.low, &after.low) || over(&before.high, &after.high)
    };
    let tried = |a: &usize| record.actions[*a].outcome.value != record::Outcome::Failed;
    (0..record.actions.len()).filter(tried).filter(gains).collect()
}

fn holds(record: &Record, method: &Method) {
    let study = Study::new(record, method, Effort::default());
    let (listed, mut alone) = (listed(record, &study), one_by_one(record, &study));
    if !study.case.unknowns.is_empty() {
        // What a criterion comes to by itself, whatever the routes, can seem to rise where a change only takes a question away:
        // the verdict gains nothing then, and neither does anything with the best that could be made of that place.
        let before = study.range(0);
        let gains = |id: &String| {
            let change = candidates(record, &[&study]).into_iter().find(|c| c.id == *id).expect("a candidate");
            let after = Study::of(change.apply(&study.case), method, Effort::default()).range(0);
            after.low > before.low || after.high > before.high
        };
        alone.retain(|id| listed.contains(id) || gains(id));
    }
    assert_eq!(listed, alone);
    if study.range(0).exact {
        let causes = Causes::new(record, method, Effort::default()).causes;
        for action in costly(record, method) {
            // Where an action frees the part of another cause, only the one that gains more is told.
            let frees = &study.case.base.actions[action].frees;
            let parts = study.case.base.fills.iter().filter(|f| frees.contains(&f.thing)).count();
            let told = causes.iter().any(|c| c.of == CauseOf::Action(action));
            assert!(told || parts > 0, "{} costs something", record.actions[action].id);
        }
    }
}

#[test]
fn samples() {
    for (name, id) in [("bar-phone", "en-45554"), ("slate-tablet", "en-45554"), ("cordless-vacuum", "fr-index")] {
        let Some(method) = load_shipped(id) else { continue };
        let record = sample(name);
        let method = leading(&fitted(&method, &record));
        if method.scope.categories.contains(&record.device.category.value) {
            holds(&record, &method);
        }
    }
}

/// Facts on which a class hinges are found among all changes, too.
#[test]
fn hinges() {
    let record = sample("bar-phone");
    let method = fitted(&load_shipped("en-45554").unwrap(), &record);
    let study = Study::new(&record, &method, Effort::default());
    let now = study.range(0);
    let said = |study: &Study<'_>| {
        let range = study.range(0);
        range.exact.then(|| range.classes(&method).unwrap_or_else(|| range.shown(&method)))
    };
    let Some(was) = said(&study) else { panic!("{now:?}") };
    let found = hinging(&record, &study);
    for (change, _) in distinct(candidates(&record, &[&study])) {
        let Some(is) = said(&Study::of(change.apply(&study.case), &method, Effort::default())) else { continue };
        if is != was {
            assert!(found.iter().any(|f| f.path == change.path), "{}", change.id);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn random_devices(seed in any::<u64>(), hidden in any::<u64>(), open in any::<bool>()) {
        let world = World::draw(seed);
        let world = if open { world.hide(hidden) } else { world };
        let method = world.method();
        if let Some(record) = world.record() {
            holds(&record, &method);
        }
    }
}

/// Found by a draw: two needs between which nobody decided. Without either of them alone the one way or the other is free;
/// without both it must be, too, and neither may be set aside because they were looked at together.
#[test]
fn both_answers_gone() {
    let world = World::draw(16_073_044_770_291_332_728).hide(18_270_683_853_380_046_716);
    let record = world.record().expect("a record");
    let method = world.method();
    holds(&record, &method);
    let study = Study::new(&record, &method, Effort::default());
    let both = candidates(&record, &[&study]).into_iter().filter(|c| c.id.starts_with("order actions[1].after"));
    let both: Vec<_> = both.collect();
    assert_eq!(both.len(), 2);
    let one = both.iter().map(|c| Study::of(c.apply(&study.case), &method, Effort::default()).range(0).low);
    let case = both.iter().fold(study.case.clone(), |case, c| c.apply(&case));
    let joint = Study::of(case, &method, Effort::default()).range(0).low;
    assert!(one.max().expect("two") <= joint);
}
