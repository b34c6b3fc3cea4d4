//! How long the reference routes to every part of every shipped sample take, and how much memory the whole needs. Run with
//! `cargo bench -p unfasten-scoring --bench samples`; prints a Markdown table.
//!
//! An open question takes its first answer; ranges over the answers are benched elsewhere.
#![allow(clippy::print_stdout, reason = "a tool for developers")]

use std::time::{Duration, Instant};

use scoring::assess::{Reach, Router};
use scoring::method::load_shipped;
use scoring::range::Case;
use scoring::record;
use scoring::route::{Limits, Thing};
use scoring::text::{Source, Sources};

const ROUNDS: usize = 20;

fn main() {
    let method = load_shipped("en-45554").expect("the method ships");
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../samples");
    let mut names: Vec<_> = std::fs::read_dir(folder)
        .expect("samples are there")
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|e| e == "yaml") && !path.ends_with("bench-a.yaml"))
        .collect();
    names.sort();
    println!(
        "| sample | actions | parts | reached | steps of the longest | all proved | all parts, ms | memory so far, MB |"
    );
    println!("|---|--:|--:|--:|--:|---|--:|--:|");
    for path in names {
        let text = std::fs::read_to_string(&path).expect("a sample reads");
        let name = path.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
        let mut sources = Sources::new();
        let file = sources.add(Source::new(&name, &text));
        let read = record::read(&sources, file).record.expect("a sample is a record");
        let case = Case::new(&read, &method);
        let device = case.complete(&vec![0; case.unknowns.len()]);
        let mut parts: Vec<Thing> = device.actions.iter().flat_map(|a| a.frees.clone()).collect();
        parts.sort_unstable();
        parts.dedup();
        let mut least = Duration::MAX;
        let mut routes = Vec::new();
        for _ in 0..ROUNDS {
            // Each thread remembers solved routes: a fresh one knows none.
            let round = std::thread::scope(|scope| {
                let work = || {
                    let begun = Instant::now();
                    let router = Router::new(&device, &method.steps, Limits::default());
                    routes = parts.iter().map(|part| router.to(*part)).collect::<Vec<_>>();
                    begun.elapsed()
                };
                scope.spawn(work).join()
            });
            least = least.min(round.expect("no panic"));
        }
        println!(
            "| {name} | {} | {} | {} | {} | {} | {:.2} | {} |",
            device.actions.len(),
            parts.len(),
            routes.iter().filter(|r| r.reach != Reach::No).count(),
            routes.iter().map(|r| r.steps).max().unwrap_or(0),
            if routes.iter().all(|r| r.proved) { "yes" } else { "no" },
            least.as_secs_f64() * 1000.0,
            memory().map_or_else(|| "-".to_owned(), |kb| (kb / 1024).to_string()),
        );
    }
}

/// Most memory of this process so far, in kB, where the system tells.
fn memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
