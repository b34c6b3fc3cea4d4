//! How long a report takes once its record is assessed: the view, and the view as HTML, with every method that fits: of the
//! phone, for which the budget stands, and of the folding tablet, the largest sample page. Run with
//! `cargo bench -p unfasten-report --bench render`.

#![allow(clippy::print_stdout, reason = "a tool for developers")]

use std::collections::BTreeMap;
use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use report::template::Templates;
use report::view::{Applied, Job, Outlook, build};
use scoring::range::{Assessment, Effort};
use scoring::text::{Source, Sources};

/// That of the command.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn render(c: &mut Criterion) {
    page(c, "bar-phone", include_str!("../../samples/bar-phone.yaml"));
    page(c, "folding-tablet", include_str!("../../samples/folding-tablet.yaml"));
}

fn page(c: &mut Criterion, name: &str, text: &str) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(&format!("{name}.yaml"), text));
    let record = scoring::record::read(&sources, file).record.expect("a sample is a record");
    let assessed: Vec<_> = scoring::method::shipped()
        .iter()
        .filter_map(|s| Some((scoring::method::load_shipped(s.id)?, s.text)))
        .filter(|(m, _)| m.scope.categories.contains(&record.device.category.value))
        .map(|(m, text)| {
            let assessment = Assessment::new(&record, &m, Effort::default());
            let outlook = Outlook::new(&record, &assessment);
            (assessment, text, outlook)
        })
        .collect();
    let applied =
        || assessed.iter().map(|(assessment, text, outlook)| Applied::new(assessment, text, outlook)).collect();
    let job = Job { record: &record, sources: &sources, applied: applied(), version: "0.1.0", photos: BTreeMap::new() };
    let templates = Templates::shipped();
    let view = build(&job);
    processor_time(&format!("{name}: view"), || drop(black_box(build(black_box(&job)))));
    processor_time(&format!("{name}: HTML"), || drop(black_box(report::html::report(black_box(&view), &templates))));
    c.bench_function(&format!("view of {name}"), |b| b.iter(|| black_box(build(black_box(&job)))));
    c.bench_function(&format!("HTML of {name}"), |b| {
        b.iter(|| black_box(report::html::report(black_box(&view), &templates)));
    });
    c.bench_function(&format!("view and HTML of {name}"), |b| {
        b.iter(|| black_box(report::html::report(&build(black_box(&job)), &templates)));
    });
}

/// Processor time so far, milliseconds; other work on the machine doesn't count. Linux only.
fn processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    Some(text.split(' ').next()?.parse::<f64>().ok()? / 1e6)
}

fn processor_time(what: &str, mut work: impl FnMut()) {
    const TIMES: u32 = 50;
    let before = processor();
    (0..TIMES).for_each(|_| work());
    if let (Some(before), Some(after)) = (before, processor()) {
        println!("{what}: {:.1} ms of processor time", (after - before) / f64::from(TIMES));
    }
}

criterion_group!(benches, render);
criterion_main!(benches);
