//! Prints random route problems with the engine's answer and time, one JSON object a line, for the
//! independent check in `tests/oracle`.
#![allow(clippy::print_stdout, clippy::cast_possible_truncation, reason = "a tool for developers")]

#[path = "../../tests/tests/routes/routes_support/mod.rs"]
mod routes_support;

use std::time::Instant;

use routes_support::random::{Dice, Family};
use scoring::route::{Certificate, Limits, Need, RouteProblem, SearchAnswer, Target, reference};
use serde_json::{Value, json};

fn need(need: &Need) -> Value {
    match need {
        Need::Thing(thing) => json!(thing),
        Need::Any(members) => {
            let all = |member: &Vec<Need>| member.iter().map(self::need).collect::<Vec<_>>();
            json!({ "any": members.iter().map(all).collect::<Vec<_>>() })
        }
    }
}

fn line(kind: &str, seed: u64, problem: &RouteProblem, target: u32) -> Option<Value> {
    let begun = Instant::now();
    let answer = reference(problem, &Target::All(vec![target]), Limits::default());
    let seconds = begun.elapsed().as_secs_f64();
    let (steps, proved) = match answer {
        SearchAnswer::Route { route, certificate, .. } => (Some(route.key.steps), certificate == Certificate::Proved),
        SearchAnswer::Unreachable => (None, true),
        SearchAnswer::Undecided { .. } => return None,
    };
    let actions: Vec<Value> = problem
        .actions
        .iter()
        .map(|action| {
            let tools = action.operations.iter().map(|operation| &operation.ways[0].tools);
            json!({
                "frees": action.frees,
                "does": action.does,
                "with": tools.collect::<Vec<_>>(),
                "after": action.after.iter().map(need).collect::<Vec<_>>(),
            })
        })
        .collect();
    Some(json!({
        "kind": kind, "seed": seed, "actions": actions, "target": target,
        "steps": steps, "proved": proved, "seconds": seconds,
    }))
}

fn main() {
    let family =
        |actions| Family { actions, tools: 4, any: 30, again: 15, near: 6, loops: actions % 3 == 0, ..Family::PLAIN };
    let batches = [("agree", 300, 8, 11, 5_000), ("better", 20, 24, 7, 9_000)];
    for (kind, count, least, spread, first) in batches {
        let mut seed = first;
        let mut made = 0;
        while made < count {
            seed += 1;
            let actions = least + (seed as usize) % spread;
            let (problem, target) = family(actions).problem(&mut Dice::new(seed));
            let Target::All(target) = target else {
                continue;
            };
            let Some(line) = line(kind, seed, &problem, target[0]) else {
                continue;
            };
            // Long routes only where the question is whether a better one exists.
            if kind == "better" && line["steps"].as_u64().is_none_or(|steps| steps < 6) {
                continue;
            }
            println!("{line}");
            made += 1;
        }
    }
}
