//! How long the commands that are thought with take, and what they count: one table, in Markdown, kept in `PERFORMANCE.md`.
//!
//! `taskset -c 0 cargo bench -p unfasten-tests --bench quick` (one processor: then the work is done on one thread, and what is
//! counted is the same each time). Processor time is that of the process, in steps of a hundredth of a second, so it hardly
//! depends on what else the machine does; counted work doesn't depend on it at all, so that a regression shows on a noisy
//! machine too. Words given after `--` leave only the rows that hold them all: `-- changes workstation`.
#![allow(clippy::print_stdout, reason = "a bench says what it measured")]

#[path = "../performance/heavy.rs"]
mod heavy;

use ::report::view::{Others, Outlook};
use scoring::assess::{Kept, Router};
use scoring::compare::Changes;
use scoring::method::{Method, load_shipped, shipped};
use scoring::range::{Assessment, Case, Effort, Guide, Study, fitted};
use scoring::record::Record;
use scoring::route::Limits;
use scoring::text::{Source, Sources};

/// That of the command.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const PHONE: &str = include_str!("../../samples/bar-phone.yaml");

/// Processor time of this process so far, in seconds. Linux only, where a tick is a hundredth of a second.
fn processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    let mut fields = text.rsplit_once(')')?.1.split_whitespace().skip(11);
    let ticks: f64 = fields.next()?.parse::<f64>().ok()? + fields.next()?.parse::<f64>().ok()?;
    Some(ticks / 100.0)
}

/// Whether a row was asked for: all are, unless words that stand in its first two cells are given.
fn asked_for(command: &str, record: &str) -> bool {
    let cells = format!("{command} {record}");
    std::env::args().skip(1).filter(|a| !a.starts_with('-')).all(|word| cells.contains(&word))
}

/// Does some work with a fresh handle and prints what it took.
fn row(command: &str, record: &str, work: impl FnOnce(&Kept) -> String) {
    if !asked_for(command, record) {
        return;
    }
    let kept = Kept::default();
    let before = processor();
    let said = work(&kept);
    let took = before.zip(processor()).map_or_else(|| "unknown".to_owned(), |(a, b)| format!("{:.2}", b - a));
    let counted = kept.work();
    println!(
        "| {command} | {record} | {took} | {} | {} | {} | {} | {said} |",
        counted.asked, counted.searches, counted.states, counted.looks
    );
}

fn read(name: &str, text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, text));
    let read = scoring::record::read(&sources, file);
    read.record.unwrap_or_else(|| panic!("{name}: {:?}", read.diagnostics))
}

/// The methods that fit a record, the default one first; both verdicts of each.
fn methods(record: &Record) -> Vec<Method> {
    let all = shipped().iter().filter_map(|s| load_shipped(s.id));
    all.filter(|m| m.scope.categories.contains(&record.device.category.value)).map(|m| fitted(&m, record)).collect()
}

fn said(a: &Assessment) -> String {
    let [low, high] = a.range().shown(&a.method);
    let how = if a.root.exact { "exact" } else { "a bound" };
    format!("{low} to {high}, {how}")
}

/// What the text of `score` works out: both verdicts of every method, what is open, what costs most.
fn score(record: &Record, kept: &Kept) -> String {
    looked_ahead(record, kept, Outlook::scored_leading, Outlook::scored)
}

/// What a page works out: other readings and the ladder of causes too.
fn report(record: &Record, kept: &Kept) -> String {
    looked_ahead(record, kept, Outlook::leading, Outlook::new)
}

fn looked_ahead(
    record: &Record,
    kept: &Kept,
    first: fn(&Record, &Assessment, &Others) -> Outlook,
    rest: fn(&Record, &Assessment) -> Outlook,
) -> String {
    let mut out = String::new();
    for (place, method) in methods(record).iter().enumerate() {
        let others = Others::keeping(record, method, Effort::default(), kept);
        let assessment = Assessment::keeping(record, method, Effort::default(), kept);
        drop(if place == 0 { first(record, &assessment, &others) } else { rest(record, &assessment) });
        if place == 0 {
            out = said(others.bench.as_ref().unwrap_or(&assessment));
        }
    }
    out
}

fn unknowns(record: &Record, kept: &Kept) -> String {
    let method = &methods(record)[0];
    let guide = Guide::of(&Study::keeping(Case::new(record, method), method, Effort::default(), kept));
    format!("{} questions", guide.questions.len())
}

fn changes(record: &Record, kept: &Kept) -> String {
    let method = &methods(record)[0];
    let study = Study::keeping(Case::new(record, method), method, Effort::default(), kept);
    format!("{} changes", Changes::of(record, &[&study]).tried.len())
}

fn route(record: &Record, part: &str, kept: &Kept) -> String {
    let method = &methods(record)[0];
    let case = Case::new(record, method);
    let thing = case.base.things.iter().position(|t| t == part).and_then(|t| u32::try_from(t).ok()).expect("the part");
    let found = Router::keeping(&case.base, &method.steps, Limits::default(), kept).to(thing);
    let how = if found.proved { "proved" } else { "a bound" };
    format!("{} steps found, at least {}, {how}", found.steps, found.at_least)
}

fn main() {
    println!("| command | record | processor time, s | routes asked | searches | states | looks | result |");
    println!("|---|---|--:|--:|--:|--:|--:|---|");
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../samples");
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .expect("samples are there")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "yaml") && !path.ends_with("bench-a.yaml"))
        .collect();
    names.sort();
    let first = heavy::first_draft();
    let mut records: Vec<(String, Record)> = names
        .iter()
        .map(|path| {
            let text = std::fs::read_to_string(path).expect("a sample reads");
            let name = path.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
            let record = read(&name, &text);
            (name, record)
        })
        .collect();
    records.push(("first draft".to_owned(), read("first draft", &first)));
    for (name, record) in &records {
        row("score", name, |kept| score(record, kept));
        row("unknowns", name, |kept| unknowns(record, kept));
        row("changes", name, |kept| changes(record, kept));
        row("report", name, |kept| report(record, kept));
    }
    let open = read("without absent", &heavy::without_absent(PHONE));
    row("eu-2023-1670", "bar-phone without its `absent` line", |kept| {
        let method = fitted(&load_shipped("eu-2023-1670").expect("ships"), &open);
        said(&Assessment::keeping(&open, &method, Effort::default(), kept))
    });
    for (name, text) in [
        ("30 parts x 5 ways", heavy::many_ways(30, 5)),
        ("400 parts x 5 ways", heavy::many_ways(400, 5)),
        ("2,000 actions with `any`", heavy::alternatives(2_000)),
    ] {
        let record = read(name, &text);
        row("score", name, |kept| score(&record, kept));
    }
    for (name, dimension) in [("27 covers, AG(3,3)", 3), ("81 covers, AG(4,3)", 4)] {
        let record = read(name, &heavy::covers(dimension));
        row("route", name, |kept| route(&record, "core", kept));
    }
}
