//! How long proved routes take, and what was not proved. Run with
//! `cargo bench -p unfasten-scoring --bench routes`; prints a Markdown table.
#![allow(clippy::print_stdout, clippy::cast_possible_truncation, reason = "a tool for developers")]

#[path = "../../tests/tests/routes/routes_support/mod.rs"]
mod routes_support;

use std::time::Instant;

use routes_support::families::{chains, grid, latches, teardown};
use routes_support::random::{Dice, Family};
use scoring::route::{Certificate, Limits, RouteProblem, SearchAnswer, Target, reference, reference_unordered};

type Ask = fn(&RouteProblem, &Target, Limits) -> SearchAnswer;

fn row(name: &str, questions: &[(RouteProblem, Target)], ask: Ask) {
    let started = Instant::now();
    let mut worst = 0.0_f64;
    let mut open = Vec::new();
    let mut proved = 0;
    let mut ties = 0;
    for (problem, target) in questions {
        let begun = Instant::now();
        let answer = ask(problem, target, Limits::default());
        worst = worst.max(begun.elapsed().as_secs_f64());
        match answer {
            SearchAnswer::Route { route, certificate, tie_proved } => match certificate {
                Certificate::Proved => {
                    proved += 1;
                    ties += u32::from(tie_proved);
                }
                Certificate::AtLeast(bound) => {
                    open.push(format!("{} found, at least {bound}", route.key.steps));
                }
            },
            SearchAnswer::Unreachable => proved += 1,
            SearchAnswer::Undecided { at_least } => open.push(format!("none found, at least {at_least}")),
        }
    }
    let total = started.elapsed().as_secs_f64();
    println!(
        "| {name} | {} | {:.3} | {:.3} | {proved} | {ties} | {} |",
        questions.len(),
        total * 1000.0,
        worst * 1000.0,
        if open.is_empty() { "-".to_owned() } else { open.join("; ") }
    );
}

fn main() {
    println!("| family | routes | all, ms | worst, ms | steps proved | all keys proved | not proved |");
    println!("|---|---|---|---|---|---|---|");
    let both: [(&str, Ask); 2] = [(", keys only", reference_unordered), ("", reference)];
    for (what, ask) in both {
        let small: Vec<_> = (0..200)
            .map(|seed| {
                let family = Family {
                    actions: 10 + (seed as usize % 31),
                    tools: 4,
                    any: 15,
                    again: 10,
                    near: 8,
                    keys: true,
                    ..Family::PLAIN
                };
                family.problem(&mut Dice::new(seed))
            })
            .collect();
        row(&format!("records of 10 to 40 actions{what}"), &small, ask);
        for side in [6, 8, 10] {
            let all: Vec<_> = (0..5).map(|seed| grid(side, 8, seed)).collect();
            row(&format!("grid {side} x {side}, 8 tools, half removals{what}"), &all, ask);
        }
        for count in [2, 3, 4] {
            let all: Vec<_> = (0..3).map(|seed| chains(count, 12, seed)).collect();
            row(&format!("{count} chains of 12 tools{what}"), &all, ask);
        }
        let all: Vec<_> = (0..5).map(|seed| latches(30, 60, seed)).collect();
        row(&format!("30 covers x 60 latches{what}"), &all, ask);
        for seed in 0..3 {
            let (problem, parts) = teardown(120, seed);
            let all: Vec<_> = parts.into_iter().map(|p| (problem.clone(), Target::All(vec![p]))).collect();
            row(&format!("teardown {seed} of 120 actions, every part{what}"), &all, ask);
        }
    }
}
