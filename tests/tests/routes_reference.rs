//! The step rule held against `tests/data/routes-steps.json`: 66 instances whose optima were
//! computed by exhaustive search over all feasible sequences and confirmed by a second method
//! (own computation; certainty: derived).

use std::collections::BTreeMap;

use scoring::route::{
    Action, Answer, Certificate, Limits, Need, Operation, Problem, Taken, Target, Way, reference,
    replay,
};
use serde_json::Value;

fn strings(value: &Value) -> Vec<String> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|v| v.as_str().unwrap().to_owned())
        .collect()
}

#[derive(Default)]
struct Names {
    things: BTreeMap<String, u32>,
    tools: BTreeMap<String, u16>,
}

impl Names {
    fn thing(&mut self, name: &str) -> u32 {
        let next = u32::try_from(self.things.len()).unwrap();
        *self.things.entry(name.to_owned()).or_insert(next)
    }

    fn tool(&mut self, name: &str) -> u16 {
        let next = u16::try_from(self.tools.len()).unwrap();
        *self.tools.entry(name.to_owned()).or_insert(next)
    }
}

fn read(instance: &Value) -> (Problem, Target, u32, Vec<Taken>) {
    let mut names = Names::default();
    let mut problem = Problem::default();
    let actions = instance["actions"].as_array().unwrap();
    for action in actions {
        let free = strings(&action["free"]);
        let frees = free.iter().map(|name| names.thing(name)).collect();
        // An id that is also a freed part's name means the part.
        let id = action["id"].as_str().unwrap();
        let does = (!free.iter().any(|name| name == id)).then(|| names.thing(id));
        let mut after: Vec<Need> = strings(&action["after"])
            .iter()
            .map(|n| Need::Thing(names.thing(n)))
            .collect();
        for group in action["any"].as_array().unwrap() {
            let members = group.as_array().unwrap().iter().map(|member| match member {
                Value::String(name) => vec![Need::Thing(names.thing(name))],
                list => strings(list)
                    .iter()
                    .map(|n| Need::Thing(names.thing(n)))
                    .collect(),
            });
            after.push(Need::Any(members.collect()));
        }
        let operations = action["with"].as_array().unwrap().iter().map(|tools| {
            let mut tools: Vec<u16> = strings(tools).iter().map(|t| names.tool(t)).collect();
            tools.sort_unstable();
            Operation {
                ways: vec![Way { tools, class: 0 }],
            }
        });
        let operations = operations.collect();
        problem.actions.push(Action {
            frees,
            does,
            operations,
            after,
            ..Action::default()
        });
    }
    let target = strings(&instance["target"])
        .iter()
        .map(|name| names.thing(name))
        .collect();
    problem.things = u32::try_from(names.things.len()).unwrap();
    let route = strings(&instance["one_route"])
        .iter()
        .map(|name| {
            let action = actions
                .iter()
                .position(|a| a["id"] == name.as_str())
                .unwrap();
            Taken {
                action,
                ways: vec![0; problem.actions[action].operations.len()],
            }
        })
        .collect();
    let steps = u32::try_from(instance["steps"].as_u64().unwrap()).unwrap();
    (problem, Target::All(target), steps, route)
}

fn instances() -> Vec<(String, Problem, Target, u32, Vec<Taken>)> {
    let file: Value = serde_json::from_str(include_str!("../data/routes-steps.json")).unwrap();
    file["instances"]
        .as_array()
        .unwrap()
        .iter()
        .map(|instance| {
            let (problem, target, steps, route) = read(instance);
            (
                instance["name"].as_str().unwrap().to_owned(),
                problem,
                target,
                steps,
                route,
            )
        })
        .collect()
}

#[test]
fn every_optimum_is_met_and_proved() {
    let all = instances();
    assert_eq!(all.len(), 66);
    for (name, problem, target, steps, _) in all {
        let answer = reference(&problem, &target, Limits::default());
        let Answer::Route {
            route,
            certificate,
            tie_proved,
        } = answer
        else {
            panic!("{name}: {answer:?}");
        };
        assert_eq!(
            (route.key.steps, certificate, tie_proved),
            (steps, Certificate::Proved, true),
            "{name}"
        );
        assert_eq!(
            replay(&problem, Some(&target), &route.taken).unwrap().key,
            route.key,
            "{name}"
        );
    }
}

#[test]
fn the_replayer_counts_the_given_routes_alike() {
    for (name, problem, target, steps, route) in instances() {
        let recount = replay(&problem, Some(&target), &route).unwrap();
        assert_eq!(recount.key.steps, steps, "{name}");
        assert_eq!(recount.ledger.last().unwrap().total, steps, "{name}");
    }
}

#[test]
fn a_lowered_limit_never_claims_more_than_the_optimum() {
    for (name, problem, target, steps, _) in instances() {
        for states in [0, 1, 3, 10, 30] {
            match reference(&problem, &target, Limits { states }) {
                Answer::Route {
                    route, certificate, ..
                } => match certificate {
                    Certificate::Proved => assert_eq!(route.key.steps, steps, "{name}"),
                    Certificate::AtLeast(n) => {
                        assert!(n <= steps && route.key.steps >= steps, "{name}");
                    }
                },
                Answer::Undecided { at_least } => assert!(at_least <= steps, "{name}"),
                Answer::Unreachable => panic!("{name}"),
            }
        }
    }
}
