//! Many records: read, checked, assessed by two methods, written as the table of `score --format csv`, stage by stage and
//! by the command itself. Prints Markdown; kept in `performance/batch.md`.
//!
//! The records are the folding tablet of `samples/`, settled, each a little different; then the same with ten unknowns.
//! `cargo bench -p unfasten-tests --bench batch [-- RECORDS]`. The plain script beside this file does the like with `PyYAML`
//! and networkx in the same run when `BATCH_PYTHON` names a Python that has them.
#![allow(clippy::unchecked_time_subtraction, reason = "later minus earlier")]
#![allow(clippy::print_stdout, reason = "a bench says what it measured")]
#![allow(clippy::cast_precision_loss, reason = "rates are shown to two figures")]

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use report::view::{Applied, Job, Outlook};
use scoring::method::{Method, load_shipped, shipped_source};
use scoring::range::{Assessment, Case, Effort, Study};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};
use unfasten_cli::{Exit, Streams, run as unfasten};

/// That of the command.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const TABLET: &str = include_str!("../../samples/folding-tablet.yaml");

/// One settled record, by number.
fn settled(number: usize) -> String {
    let kinds = ["removable", "resupplied", "neither", "reusable"];
    TABLET
        .replace("    outcome: not attempted\n", "")
        .replace("    with: unknown\n", "    with: spudger\n")
        .replace("kind: removable | neither", "kind: removable")
        .replacen("kind: removable", &format!("kind: {}", kinds[number % 4]), 1 + number % 3)
        .replace("updates: 6 years", &format!("updates: {} years", 3 + number % 6))
        .replace("price: 46 EUR", &format!("price: {} EUR", 20 + number % 80))
        .replace("years: 8, price: 31", &format!("years: {}, price: 31", 2 + number % 8))
}

/// The same with ten facts open that the default method reads, one of them of the bench.
fn open(number: usize) -> String {
    let mut text = settled(number)
        .replace("security updates: ", "security updates: unknown # ")
        .replace("diagnosis: ", "diagnosis: unknown # ")
        .replace("return options: ", "return options: unknown # ")
        .replace("data transfer and deletion: ", "data transfer and deletion: unknown # ")
        .replace("reset: ", "reset: unknown # ")
        .replace(
            "information: {to: public, cost: free, scope: comprehensive}",
            "information: {to: unknown, cost: unknown, scope: unknown}",
        )
        .replace("{to: public, years: 8, price: 519 EUR", "{to: public, years: unknown, price: 519 EUR")
        .replace("battery:           {to: public, years: 8", "battery:           {to: public, years: unknown")
        .replace("upper hinge:       {to: independent repairers", "upper hinge:       {to: unknown");
    let whole = text.replacen(
        "loosen: 2 x spring\n    after: [spine strip",
        "loosen: {fastener: film adhesive, kind: unknown}\n    after: [spine strip",
        1,
    );
    text = whole.replacen("with: spring hook\n", "with: spring hook | hands\n", 1);
    text
}

/// A method and its text.
type Chosen = (Method, String);

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

fn read(text: &str) -> (Sources, Record) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("record.yaml", text));
    let read = record::read_with(&mut sources, file, &mut |_| Err("nothing is extended".to_owned()));
    match read.record {
        Some(record) => (sources, record),
        None => {
            panic!("{:?}", read.diagnostics.iter().map(|d| (sources.place(d.at.span), &d.message)).collect::<Vec<_>>())
        }
    }
}

fn assessed(record: &Record, methods: &[Chosen]) -> Vec<Assessment> {
    methods.iter().map(|(m, _)| Assessment::new(record, m, Effort::default())).collect()
}

fn one(text: &str, methods: &[Chosen], table: &mut String) -> Stages {
    let clock = Instant::now();
    let (sources, record) = read(text);
    let read = clock.elapsed();
    let assessments = assessed(&record, methods);
    let assess = clock.elapsed() - read;
    let outlook = Outlook::default();
    let applied = assessments
        .iter()
        .zip(methods)
        .map(|(assessment, (_, text))| Applied::new(assessment, text, &outlook))
        .collect();
    let job = Job { record: &record, sources: &sources, applied, version: "0", photos: BTreeMap::new() };
    table.push_str(&report::csv::scores(&job));
    Stages { read, assess, write: clock.elapsed() - read - assess }
}

/// Runs `count` records on some threads, rows in input order; never more than a few records in memory.
fn run(count: usize, threads: usize, make: fn(usize) -> String, methods: &[Chosen]) -> (Duration, Stages, usize) {
    let clock = Instant::now();
    let mut stages = Stages::default();
    let mut bytes = 0;
    std::thread::scope(|scope| {
        // Each thread takes every so manieth record; results are taken from one after the other.
        let results: Vec<_> = (0..threads)
            .map(|first| {
                let (send, receive) = std::sync::mpsc::sync_channel::<(Stages, String)>(8);
                scope.spawn(move || {
                    for number in (first..count).step_by(threads) {
                        let mut rows = String::new();
                        let stages = one(&make(number), methods, &mut rows);
                        if send.send((stages, rows)).is_err() {
                            return;
                        }
                    }
                });
                receive
            })
            .collect();
        for number in 0..count {
            let Ok((part, rows)) = results[number % threads].recv() else { return };
            stages.add(part);
            bytes += rows.len();
        }
    });
    (clock.elapsed(), stages, bytes)
}

/// Most memory this process has had at once, in MB, where the system tells.
fn peak() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse::<f64>().ok().map(|kb| kb / 1024.0)
}

fn line(what: &str, count: usize, threads: usize, make: fn(usize) -> String, methods: &[Chosen]) -> f64 {
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
fn split(record: &Record, methods: &[Chosen]) {
    let rounds = 100;
    let time = |work: &dyn Fn(&Method)| -> f64 {
        let clock = Instant::now();
        for _ in 0..rounds {
            methods.iter().for_each(|(m, _)| work(m));
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

/// The command itself on one file of JSON Lines; how many records a second.
fn command(file: &Path, count: usize, threads: usize) -> f64 {
    struct Counted(usize);
    impl Write for Counted {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.0 += bytes.len();
            Ok(bytes.len())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }
    let (mut out, mut err) = (Counted(0), Vec::new());
    let mut streams = Streams {
        input: &mut io::empty(),
        out: &mut out,
        err: &mut err,
        out_styled: false,
        err_styled: false,
        err_terminal: false,
    };
    let (file, threads) = (file.to_str().expect("UTF-8"), threads.to_string());
    let line = ["unfasten", "score", file, "--format", "csv", "--threads", &threads];
    let clock = Instant::now();
    let exit = unfasten(line.into_iter().chain(METHODS.iter().flat_map(|m| ["--method", m])), &mut streams);
    assert_eq!(exit, Exit::Done, "{}", String::from_utf8_lossy(&err));
    let rate = count as f64 / clock.elapsed().as_secs_f64();
    let most = peak().map_or_else(|| "unknown".to_owned(), |mb| format!("{mb:.0} MB"));
    println!("| {count} | {threads} | {rate:.0} | {:.0} MB | {most} |", out.0 as f64 / 1e6);
    rate
}

const METHODS: [&str; 2] = ["en-45554", "eu-2023-1669"];

fn main() {
    let count = std::env::args().find_map(|a| a.parse().ok()).unwrap_or(10_000);
    let (_, first) = read(&settled(0));
    let methods: Vec<Chosen> = METHODS
        .iter()
        .filter_map(|id| Some((load_shipped(id)?, shipped_source(id)?.text.to_string())))
        .map(|(m, text)| {
            let case = Case::new(&first, &m);
            (m.for_device(case.base.category, case.base.form), text)
        })
        .collect();
    // Facts some method lacks, over all variants of the record.
    let lacking = |make: fn(usize) -> String| -> Vec<usize> {
        let all = (0..12).map(|n| assessed(&read(&make(n)).1, &methods));
        let counts: Vec<Vec<usize>> = all.map(|a| a.iter().map(|a| a.unknowns.len()).collect()).collect();
        (0..methods.len()).map(|m| counts.iter().map(|c| c[m]).max().unwrap_or(0)).collect()
    };
    assert_eq!(lacking(settled), [0, 0], "the settled record lacks facts");
    println!("| records | number | threads | records a second | reading | assessing | table | most memory so far |");
    println!("|---|--:|--:|--:|--:|--:|--:|--:|");
    line("settled", count / 10, 1, settled, &methods);
    let alone = line("settled", count, 1, settled, &methods);
    line("settled", count, 2, settled, &methods);
    line("ten unknowns", count / 10, 1, open, &methods);
    line("ten unknowns", count / 10, 2, open, &methods);
    println!(
        "\nFacts the methods lack: {:?} of the settled record, {:?} of the open one. Actions: {}, parts: {}.",
        lacking(settled),
        lacking(open),
        first.actions.len(),
        first.parts.len()
    );
    split(&first, &methods);
    let dir = std::env::temp_dir().join(format!("unfasten-batch-{}", std::process::id()));
    std::fs::create_dir_all(&dir).expect("a directory for the records");
    println!("\n`score FILE.jsonl --format csv` with the settled records:\n");
    println!("| records | threads | records a second | table | most memory so far |\n|--:|--:|--:|--:|--:|");
    let file = dir.join("settled.jsonl");
    for (count, threads) in [(count / 10, 1), (count, 1), (count, 2)] {
        let mut lines = io::BufWriter::new(std::fs::File::create(&file).expect("a file of records"));
        for number in 0..count {
            let value: serde_yaml::Value = serde_yaml::from_str(&settled(number)).expect("YAML");
            serde_json::to_writer(&mut lines, &value).expect("JSON");
            writeln!(lines).expect("a line");
        }
        lines.into_inner().expect("a file of records");
        command(&file, count, threads);
    }
    if let Ok(python) = std::env::var("BATCH_PYTHON") {
        plain_script(&python, &dir, alone);
    } else {
        println!("\nBATCH_PYTHON is not set: no plain script was run.");
    }
    std::fs::remove_dir_all(&dir).expect("the records to be removable");
}

/// The plain script in the same run, on some of the same records.
fn plain_script(python: &str, dir: &Path, alone: f64) {
    let few = 60;
    for number in 0..few {
        std::fs::write(dir.join(format!("{number:05}.yaml")), settled(number)).expect("a record for the script");
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/batch.py");
    let out = Command::new(python).arg(script).arg(dir).output().expect("the Python named by BATCH_PYTHON");
    let said = String::from_utf8_lossy(&out.stdout).trim().to_owned();
    match said.lines().last().and_then(|l| l.parse::<f64>().ok()) {
        Some(rate) => println!(
            "\nPlain script, {few} settled records, one thread: {rate:.1} records a second; ratio {:.0}.",
            alone / rate
        ),
        None => println!("\nThe plain script failed: {}", String::from_utf8_lossy(&out.stderr)),
    }
}
