//! The files of instances with proved optima.

use std::collections::BTreeMap;

use scoring::route::{Action, Need, Operation, RouteProblem, Taken, Target, Way};
use serde_json::Value;

fn strings(value: &Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|v| v.as_str().unwrap().to_owned()).collect()
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

fn read(instance: &Value) -> (RouteProblem, Target, u32, Vec<Taken>) {
    let mut names = Names::default();
    let mut problem = RouteProblem::default();
    let actions = instance["actions"].as_array().unwrap();
    for action in actions {
        let free = strings(&action["free"]);
        let frees = free.iter().map(|name| names.thing(name)).collect();
        // An id that is also a freed part's name means the part.
        let id = action["id"].as_str().unwrap();
        let does = (!free.iter().any(|name| name == id)).then(|| names.thing(id));
        let mut after: Vec<Need> = strings(&action["after"]).iter().map(|n| Need::Thing(names.thing(n))).collect();
        for group in action["any"].as_array().unwrap() {
            let members = group.as_array().unwrap().iter().map(|member| match member {
                Value::String(name) => vec![Need::Thing(names.thing(name))],
                list => strings(list).iter().map(|n| Need::Thing(names.thing(n))).collect(),
            });
            after.push(Need::Any(members.collect()));
        }
        let operations = action["with"].as_array().unwrap().iter().map(|tools| {
            let mut tools: Vec<u16> = strings(tools).iter().map(|t| names.tool(t)).collect();
            tools.sort_unstable();
            Operation { ways: vec![Way { tools, ..Way::default() }], ..Operation::default() }
        });
        let operations = operations.collect();
        problem.actions.push(Action { frees, does, operations, after, ..Action::default() });
    }
    let target = strings(&instance["target"]).iter().map(|name| names.thing(name)).collect();
    problem.things = u32::try_from(names.things.len()).unwrap();
    let route = strings(&instance["one_route"])
        .iter()
        .map(|name| {
            let action = actions.iter().position(|a| a["id"] == name.as_str()).unwrap();
            Taken { action, ways: vec![0; problem.actions[action].operations.len()] }
        })
        .collect();
    let steps = u32::try_from(instance["steps"].as_u64().unwrap()).unwrap();
    (problem, Target::All(target), steps, route)
}

/// `routes-steps.json`: name, problem, target, least steps, one route with them.
pub fn steps() -> Vec<(String, RouteProblem, Target, u32, Vec<Taken>)> {
    let file: Value = serde_json::from_str(include_str!("../../../data/routes-steps.json")).unwrap();
    file["instances"]
        .as_array()
        .unwrap()
        .iter()
        .map(|instance| {
            let (problem, target, steps, route) = read(instance);
            (instance["name"].as_str().unwrap().to_owned(), problem, target, steps, route)
        })
        .collect()
}

/// `routes-small.json`: name, problem, target, cost of one change, least time.
pub fn small() -> Vec<(String, RouteProblem, Target, u32, u32)> {
    let file: Value = serde_json::from_str(include_str!("../../../data/routes-small.json")).unwrap();
    let number = |value: &Value| u32::try_from(value.as_u64().unwrap()).unwrap();
    let list = |value: &Value| value.as_array().unwrap().iter().map(number).collect::<Vec<_>>();
    let groups = ["instances", "hand_made"].map(|key| file[key].as_array().unwrap());
    groups
        .into_iter()
        .flatten()
        .map(|instance| {
            let mut names = Names::default();
            let tasks = instance["tasks"].as_array().unwrap();
            let actions = tasks.iter().map(|task| {
                let mut after: Vec<Need> = list(&task["and"]).into_iter().map(Need::Thing).collect();
                for group in task["or"].as_array().unwrap() {
                    let members = list(group).into_iter().map(|thing| vec![Need::Thing(thing)]);
                    after.push(Need::Any(members.collect()));
                }
                let tools = vec![names.tool(task["tool"].as_str().unwrap())];
                Action {
                    does: Some(number(&task["id"])),
                    operations: vec![Operation { ways: vec![Way { tools, ..Way::default() }], ..Operation::default() }],
                    after,
                    seconds: number(&task["time"]),
                    ..Action::default()
                }
            });
            let problem =
                RouteProblem { actions: actions.collect(), things: u32::try_from(tasks.len()).unwrap(), each: false };
            (
                instance["name"].as_str().unwrap().to_owned(),
                problem,
                Target::All(vec![number(&instance["target"])]),
                number(&instance["tool_change"]),
                number(&instance["optimum"]),
            )
        })
        .collect()
}
