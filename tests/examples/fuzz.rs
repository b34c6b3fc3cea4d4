//! The long run of the mutation loop: `cargo run --release -p unfasten-tests --example fuzz -- SECONDS [SEED]`. Every target
//! in turn until the time is over; what goes wrong is kept as a file in the temporary folder and named.

#![allow(clippy::print_stdout, reason = "a tool for developers")]

use std::process::ExitCode;
use std::time::{Duration, Instant};

use outside::fuzz::targets::TARGETS;
use outside::fuzz::{Draws, mutated, tried};

fn main() -> ExitCode {
    let mut numbers = std::env::args().skip(1).filter_map(|a| a.parse::<u64>().ok());
    let (seconds, seed) = (numbers.next().unwrap_or(60), numbers.next().unwrap_or(1));
    // What panics is told below, with the text that did it.
    std::panic::set_hook(Box::new(|_| {}));
    let end = Instant::now() + Duration::from_secs(seconds);
    let mut all: Vec<_> = TARGETS.iter().map(|t| (t, (t.seeds)(), Draws::new(seed), 0_u64, 0_u64)).collect();
    while Instant::now() < end {
        for (target, seeds, draws, count, faults) in &mut all {
            let turn = Instant::now() + Duration::from_millis(500);
            while Instant::now() < turn {
                let text = mutated(seeds, draws);
                *count += 1;
                if let Err(fault) = tried(target, &text) {
                    *faults += 1;
                    let file =
                        std::env::temp_dir().join(format!("fuzz-{}-{seed}-{count}", target.name.replace(' ', "-")));
                    let kept = std::fs::write(&file, &fault.text).map(|()| file.display().to_string());
                    println!("{}: {} ({})", target.name, fault.what, kept.unwrap_or_else(|e| e.to_string()));
                }
            }
        }
    }
    for (target, _, _, count, faults) in &all {
        println!("{}: {count} texts, {faults} faults", target.name);
    }
    if all.iter().all(|(.., faults)| *faults == 0) { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
