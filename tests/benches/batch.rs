//! Many records: read, checked, assessed by two methods, written as CSV. Prints Markdown; kept in `performance/batch.md`.
//!
//! The records are the largest phone of `samples/`, settled, each a little different; then the same with ten unknowns.
//! `cargo bench -p unfasten-tests --bench batch [-- RECORDS]`. The plain script beside this file does the like with `PyYAML`
//! and networkx in the same run when `BATCH_PYTHON` names a Python that has them.
#![allow(clippy::unchecked_time_subtraction, reason = "later minus earlier")]
#![allow(clippy::print_stdout, reason = "a bench says what it measured")]
#![allow(clippy::cast_precision_loss, reason = "rates are shown to two figures")]

use std::process::Command;
use std::time::{Duration, Instant};

use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Case, Effort, Study};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

const PHONE: &str = include_str!("../../samples/folding-phone.yaml");

/// One settled record, by number.
fn settled(number: usize) -> String {
    let kinds = ["removable", "resupplied", "neither", "reusable"];
    PHONE
        .replace("    outcome: not attempted\n", "")
        .replacen("kind: removable", &format!("kind: {}", kinds[number % 4]), 1 + number % 3)
        .replace("updates: 7 years", &format!("updates: {} years", 3 + number % 6))
        .replace("price: 49 EUR", &format!("price: {} EUR", 20 + number % 80))
        .replace("years: 7, price: 99", &format!("years: {}, price: 99", 2 + number % 8))
}

/// The same with ten unknowns, two of them of the bench.
fn open(number: usize) -> String {
    let mut text = settled(number)
        .replace("security updates: ", "security updates: unknown # ")
        .replace("diagnosis: ", "diagnosis: unknown # ")
        .replace("return options: ", "return options: unknown # ")
        .replace("data transfer and deletion: ", "data transfer and deletion: unknown # ")
        .replace("reset: ", "reset: unknown # ")
        .replace(
            "information: {to: public, cost: free, scope: comprehensive}",
            "information: {to: public, cost: unknown, scope: unknown}",
        )
        .replace("{to: public, years: 7, price: 39 EUR", "{to: public, years: unknown, price: 39 EUR");
    let whole = text.replacen(
        "loosen: 4 x clip\n    after: [carrier plate left",
        "loosen: {fastener: film adhesive, kind: unknown}\n    after: [carrier plate left",
        1,
    );
    text = whole.replacen("with: prying lever\n", "with: prying lever | hands\n", 1);
    text
}

#[derive(Clone, Copy, Default)]
struct Stages {
    read: Duration,
    assess: Duration,
    write: Duration,
}

impl Stages {
    fn add(&mut self, other: Self) {
        self.read += other.read;
        self.assess += other.assess;
        self.write += other.write;
    }
}

fn read(text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("record.yaml", text));
    let read = record::read(&sources, file);
    match read.record {
        Some(record) => record,
        None => {
            panic!("{:?}", read.diagnostics.iter().map(|d| (sources.place(d.at.span), &d.message)).collect::<Vec<_>>())
        }
    }
}

fn one(number: usize, text: &str, methods: &[Method], rows: &mut csv::Writer<Vec<u8>>) -> Stages {
    let clock = Instant::now();
    let record = read(text);
    let read = clock.elapsed();
    let assessments: Vec<Assessment> = methods.iter().map(|m| Assessment::new(&record, m, Effort::default())).collect();
    let assess = clock.elapsed().checked_sub(read).unwrap();
    for assessment in &assessments {
        let show = |v: &Option<scoring::exact::Exact>| v.as_ref().map_or_else(String::new, |v| assessment.show(v));
        let (low, high) = (show(&assessment.root.low), show(&assessment.root.high));
        let row = [number.to_string(), record.device.name.value.clone(), assessment.method.id.value.clone(), low, high];
        rows.write_record(row).expect("memory");
    }
    Stages { read, assess, write: clock.elapsed().checked_sub(read).unwrap() - assess }
}

/// Runs `count` records on some threads, chunk by chunk, rows in input order; never more than a chunk in memory.
fn run(count: usize, threads: usize, make: fn(usize) -> String, methods: &[Method]) -> (Duration, Stages, usize) {
    let clock = Instant::now();
    let mut stages = Stages::default();
    let mut bytes = 0;
    let chunk = 100;
    let mut from = 0;
    while from < count {
        let starts: Vec<usize> = (0..threads).map(|t| from + t * chunk).filter(|s| *s < count).collect();
        let done: Vec<(Stages, Vec<u8>)> = std::thread::scope(|scope| {
            let work: Vec<_> = starts
                .into_iter()
                .map(|start| {
                    scope.spawn(move || {
                        let mut rows = csv::Writer::from_writer(Vec::new());
                        let mut stages = Stages::default();
                        for number in start..count.min(start + chunk) {
                            stages.add(one(number, &make(number), methods, &mut rows));
                        }
                        (stages, rows.into_inner().unwrap_or_default())
                    })
                })
                .collect();
            work.into_iter().filter_map(|w| w.join().ok()).collect()
        });
        for (part, text) in done {
            stages.add(part);
            bytes += text.len();
        }
        from += threads * chunk;
    }
    (clock.elapsed(), stages, bytes)
}

/// Most memory this process has had at once, in MB, where the system tells.
fn peak() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse::<f64>().ok().map(|kb| kb / 1024.0)
}

fn line(what: &str, count: usize, threads: usize, make: fn(usize) -> String, methods: &[Method]) -> f64 {
    let (whole, stages, _) = run(count, threads, make, methods);
    let all = (stages.read + stages.assess + stages.write).as_secs_f64();
    let share = |d: Duration| 100.0 * d.as_secs_f64() / all;
    let rate = count as f64 / whole.as_secs_f64();
    println!(
        "| {what} | {count} | {threads} | {rate:.0} | {:.0} % | {:.0} % | {:.1} % | {} |",
        share(stages.read),
        share(stages.assess),
        share(stages.write),
        peak().map_or_else(|| "unknown".to_owned(), |mb| format!("{mb:.0} MB"))
    );
    rate
}

/// Where assessing spends its time.
fn split(record: &Record, methods: &[Method]) {
    let rounds = 100;
    let time = |work: &dyn Fn(&Method)| -> f64 {
        let clock = Instant::now();
        for _ in 0..rounds {
            methods.iter().for_each(work);
        }
        1e6 * clock.elapsed().as_secs_f64() / f64::from(rounds)
    };
    let case = time(&|m| drop(Case::new(record, m)));
    let study = time(&|m| drop(Study::new(record, m, Effort::default())));
    let whole = time(&|m| drop(Assessment::new(record, m, Effort::default())));
    println!(
        "\nAssessing one record by both methods, in microseconds: {case:.0} resolving, {:.0} routes and measures, {:.0} ranges, evidence and the tree.",
        study - case,
        whole - study
    );
}

fn main() {
    let count = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(10_000);
    let first = read(&settled(0));
    let unknowns = |text: &str| {
        let record = read(text);
        let method = load_shipped("en-45554").expect("shipped");
        Case::new(&record, &method).unknowns.len()
    };
    let methods: Vec<Method> = ["en-45554", "eu-2023-1669"]
        .iter()
        .filter_map(|id| load_shipped(id))
        .map(|m| {
            let case = Case::new(&first, &m);
            m.for_device(case.base.category, case.base.form)
        })
        .collect();
    println!("| records | number | threads | records a second | reading | assessing | CSV | most memory so far |");
    println!("|---|--:|--:|--:|--:|--:|--:|--:|");
    line("settled", count / 10, 1, settled, &methods);
    let alone = line("settled", count, 1, settled, &methods);
    line("settled", count, 2, settled, &methods);
    let name = format!("{} unknowns", unknowns(&open(0)));
    line(&name, count / 10, 1, open, &methods);
    line(&name, count / 10, 2, open, &methods);
    println!(
        "\nUnknowns of the settled record: {}. Actions: {}, parts: {}.",
        unknowns(&settled(0)),
        first.actions.len(),
        first.parts.len()
    );
    split(&first, &methods);
    let Ok(python) = std::env::var("BATCH_PYTHON") else {
        println!("\nBATCH_PYTHON is not set: no plain script was run.");
        return;
    };
    let dir = std::env::temp_dir().join(format!("unfasten-batch-{}", std::process::id()));
    std::fs::create_dir_all(&dir).expect("a directory for the script's records");
    let few = 60;
    for number in 0..few {
        std::fs::write(dir.join(format!("{number:05}.yaml")), settled(number)).expect("a record for the script");
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/batch.py");
    let out = Command::new(python).arg(script).arg(&dir).output().expect("the Python named by BATCH_PYTHON");
    let said = String::from_utf8_lossy(&out.stdout).trim().to_owned();
    match said.lines().last().and_then(|l| l.parse::<f64>().ok()) {
        Some(rate) => println!(
            "\nPlain script, {few} settled records, one thread: {rate:.1} records a second; ratio {:.0}.",
            alone / rate
        ),
        None => println!("\nThe plain script failed: {}", String::from_utf8_lossy(&out.stderr)),
    }
    std::fs::remove_dir_all(&dir).expect("the script's records to be removable");
}
