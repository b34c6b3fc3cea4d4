//! The samples under the shipped methods: what is said about them hangs together.

use std::collections::BTreeMap;

use outside::fuzz::processor;
use scoring::compare::{Changes, Requirement, cheapest};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Case, Effort, Firmness, Guide, Study};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

fn sample(name: &str) -> Record {
    let path = format!("{}/../samples/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, &std::fs::read_to_string(path).unwrap()));
    let read = record::read(&sources, file);
    let said: Vec<_> =
        read.diagnostics.iter().map(|d| format!("{}: {} {}", sources.place(d.at.span), d.code, d.message)).collect();
    read.record.unwrap_or_else(|| panic!("{said:#?}"))
}

fn fitted(record: &Record, id: &str) -> Method {
    let method = load_shipped(id).unwrap();
    let case = Case::new(record, &method);
    method.for_device(case.base.category, case.base.form)
}

fn hangs_together(name: &str, id: &str) {
    let record = sample(name);
    let method = fitted(&record, id);
    let clock = processor();
    let study = Study::new(&record, &method, Effort::default());
    let guide = Guide::of(&study);
    for question in &guide.questions {
        for leads in &question.answers {
            assert!(leads.range.low >= guide.range.low && leads.range.high <= guide.range.high, "{}", question.path);
        }
    }
    let open = study.open();
    assert!(guide.settles_verdict.unknowns.iter().all(|u| open.contains(u)));
    let changes = Changes::of(&record, &[&study]);
    let ids: std::collections::BTreeSet<&str> = changes.tried.iter().map(|t| t.change.id.as_str()).collect();
    assert_eq!(ids.len(), changes.tried.len(), "ids are unique");
    // A step up from where the low end stands.
    if !method.scale.verdict
        && let Some(low) = &guide.range.low
    {
        let target = Requirement::Score((low + &Exact::ratio(1, 2).unwrap()).min(method.scale.high.clone()));
        let list: Vec<_> = changes.tried.iter().map(|t| t.change.clone()).collect();
        let found = cheapest(&study, &list, &BTreeMap::new(), &target);
        if let Some(found) = &found {
            let case = found.changes.iter().fold(study.case.clone(), |c, x| x.apply(&c));
            let range = Study::of(case, &method, Effort::default()).range(0);
            assert!(target.reached(&method, range.low.as_ref()));
        }
    }
    std::hint::black_box(Firmness::new(&record, &method, Effort::default()));
    // A few seconds with optimisation; without, on the slowest of the samples, half a minute.
    let taken = clock.and_then(|before| Some(processor()? - before));
    assert!(taken.is_none_or(|t| t < 120.0), "{name} {id}: {taken:?} s");
}

#[test]
fn open_laptop() {
    for id in ["en-45554", "eu-2023-1542-11"] {
        hangs_together("laptop", id);
    }
}

#[test]
fn folding_tablet() {
    for id in ["en-45554", "eu-2023-1669", "eu-2023-1670"] {
        hangs_together("folding-tablet", id);
    }
}

#[test]
fn open_phone() {
    for id in ["en-45554", "eu-2023-1669", "eu-2023-1542-11"] {
        hangs_together("bar-phone", id);
    }
}

#[test]
fn lamp() {
    hangs_together("lamp-two", "en-45554");
}
