//! `criteria/STEPS.md` recounted: every example of the page is read as the record it is, and every option in the table below it
//! counted by the engine. The counts on the page are by hand from the rule as it states it (own), so the page, the switches
//! and the engine hold one another.

use std::collections::BTreeMap;

use scoring::assess::{Reach, Router};
use scoring::method::{
    Heating, Method, Remote, STEP_SWITCHES, Simultaneous, StepRule, StepSetting, load_shipped, shipped,
};
use scoring::range::Case;
use scoring::record::Record;
use scoring::record::complete::Complete;
use scoring::route::{Limits, Thing};
use scoring::text::{Source, Sources};

const PAGE: &str = include_str!("../../../criteria/STEPS.md");

fn record(name: &str, text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, text));
    let read = scoring::record::read(&sources, file);
    read.record.unwrap_or_else(|| panic!("{name}: {:#?}", read.diagnostics))
}

/// An example of the page, with the head every record has.
fn example(text: &str) -> Record {
    let head = "unfasten: 1\ndevice: {name: Example, category: other}\nteardown: {place: use, skill: layman}\n";
    record("example.yaml", &format!("{head}{text}"))
}

fn thing(device: &Complete, name: &str) -> Thing {
    Thing::try_from(device.things.iter().position(|t| t == name).unwrap()).unwrap()
}

/// Steps to the cell as the page writes them.
fn steps(record: &Record, method: &Method) -> String {
    let device = Case::new(record, method).base;
    let router = Router::new(&device, &method.steps, Limits::default());
    let cell = thing(&device, "cell");
    let route = router.to(cell);
    if !router.scored(&route) {
        assert_ne!(route.reach, Reach::Yes);
        return "no route".to_owned();
    }
    assert_eq!(route.ledger.last().unwrap().total, route.steps);
    let paired = record.parts.iter().any(|p| p.name.value == "cell" && p.paired.settled() == Some(&true));
    match method.steps.remote {
        Remote::LeastPoints if paired => "least points".to_owned(),
        remote if paired => (route.steps + remote.steps()).to_string(),
        _ => route.steps.to_string(),
    }
}

/// The method with one option of the step rule, and what goes with it.
fn with(method: &Method, switch: &str, option: &str) -> Method {
    let mut method = method.clone();
    let setting = StepSetting::read(switch, option).unwrap();
    method.steps.set(setting);
    if setting == StepSetting::Heating(Heating::Step) {
        method.steps.set(StepSetting::Simultaneous(Simultaneous::Each));
    }
    assert_eq!(method.steps.unfit(), None);
    method
}

/// The text between a heading and the next of its kind or above.
fn section<'p>(heading: &str) -> &'p str {
    let begin = PAGE.find(heading).unwrap_or_else(|| panic!("no {heading}")) + heading.len();
    let rest = &PAGE[begin..];
    &rest[..rest.find("\n##").unwrap_or(rest.len())]
}

/// Rows of the first table of a text, without its head.
fn rows(text: &str) -> Vec<Vec<String>> {
    let cells = |line: &str| line.trim_matches('|').split('|').map(|c| c.trim().trim_matches('`').to_owned()).collect();
    text.lines().skip_while(|l| !l.starts_with("|---")).skip(1).take_while(|l| l.starts_with('|')).map(cells).collect()
}

#[test]
fn every_switch_has_an_example_that_counts_as_the_page_says() {
    let method = load_shipped("en-45554").unwrap();
    for (switch, _) in STEP_SWITCHES {
        let text = section(&format!("### {switch}\n"));
        let yaml = text.split("```yaml\n").nth(1).and_then(|t| t.split("```").next()).unwrap();
        let record = example(yaml);
        let mut counts = Vec::new();
        for row in rows(text) {
            let found = steps(&record, &with(&method, switch, &row[0]));
            assert_eq!(found, row[1], "{switch}: {}", row[0]);
            counts.push(found);
        }
        counts.dedup();
        assert!(counts.len() >= 2, "{switch}: an example that shows no difference");
    }
}

#[test]
fn the_first_example_counts_three() {
    assert!(PAGE.contains("The cell is at depth 3."));
    let lamp = example(
        "actions:\n  - {free: base ring, with: [heat pad, opening pick], loosen: film adhesive, after: []}\n  - {do: unplug \
         cell, with: hands, loosen: connector, after: base ring}\n  - {free: cell, with: PH0, loosen: 5 x screw PH0, \
         after: [base ring, unplug cell]}\n",
    );
    assert_eq!(steps(&lamp, &load_shipped("en-45554").unwrap()), "3");
}

#[test]
fn a_back_freed_by_heat_alone_counts_as_the_page_says() {
    assert!(PAGE.contains("A back that a heat pad alone frees counts 1, 2 and 1."));
    let back = example("actions:\n  - {free: cell, with: heat pad, loosen: film adhesive, after: []}\n");
    let method = load_shipped("en-45554").unwrap();
    let counts = ["tool", "step", "nothing"].map(|option| steps(&back, &with(&method, "heating", option)));
    assert_eq!(counts, ["1", "2", "1"]);
}

/// Freed first, a part can't be laid aside any more; freed later, both end a step.
#[test]
fn laying_aside_is_void_once_the_part_is_off() {
    let text = |first: &str| {
        format!(
            "actions:\n  - {{do: lay screen aside, with: hands, aside: [screen], after: [{first}]}}\n  - {{free: screen, \
             with: hands, after: []}}\n  - {{free: cell, with: hands, after: [lay screen aside, screen]}}\n"
        )
    };
    let method = with(&load_shipped("en-45554").unwrap(), "aside", "step");
    assert_eq!(steps(&example(&text("screen")), &method), "2");
    // The order is free: the screen first is shorter.
    assert_eq!(steps(&example(&text("")), &method), "2");
    let after = text("")
        .replace("with: hands, after: []}\n  - {free: cell", "with: hands, after: lay screen aside}\n  - {free: cell");
    assert_eq!(steps(&example(&after), &method), "3");
}

#[test]
fn the_shipped_methods_count_as_the_page_says() {
    let table = rows(section("## The shipped methods\n"));
    let named: Vec<&String> = table.iter().map(|row| &row[0]).collect();
    for method in shipped() {
        assert!(named.iter().any(|n| *n == method.id), "{} is not on the page", method.id);
    }
    for row in table {
        let steps = load_shipped(&row[0]).unwrap().steps;
        let mut stated = StepRule::usual(steps.rule.clone());
        for ((switch, _), option) in STEP_SWITCHES.iter().zip(&row[1..6]) {
            stated.set(StepSetting::read(switch, option.trim_end_matches(" (own)")).unwrap());
        }
        assert_eq!(steps, stated, "{}", row[0]);
    }
}

/// Fewest steps by part, in some completion of a sample; parts that can't be reached are left out.
fn counts(record: &Record, method: &Method) -> BTreeMap<String, u32> {
    let device = Case::new(record, method).base;
    let router = Router::new(&device, &method.steps, Limits::default());
    let part = |part: &scoring::record::Part| {
        let name = part.name.value.clone();
        let route = router.to(thing(&device, &name));
        let counted = route.reach == Reach::Yes && !part.roles.is_empty();
        assert!(!counted || route.at_least == route.steps, "{name} is not proved");
        counted.then_some((name, route.steps))
    };
    record.parts.iter().filter_map(part).collect()
}

#[test]
fn the_samples_count_as_the_page_says() {
    let samples: [(&str, &str); 6] = [
        ("bar-phone", include_str!("../../../samples/bar-phone.yaml")),
        ("cordless-vacuum", include_str!("../../../samples/cordless-vacuum.yaml")),
        ("laptop", include_str!("../../../samples/laptop.yaml")),
        ("slate-tablet", include_str!("../../../samples/slate-tablet.yaml")),
        ("washing-machine", include_str!("../../../samples/washing-machine.yaml")),
        ("folding-tablet", include_str!("../../../samples/folding-tablet.yaml")),
    ];
    let usual = load_shipped("en-45554").unwrap();
    let options = [
        ("simultaneous tools", "each"),
        ("heating", "step"),
        ("heating", "nothing"),
        ("aside", "step"),
        ("mains", "step"),
    ];
    let mut table = String::from(
        "| sample | part | rule | tools each | heating step | heating nothing | aside step | mains step |\n",
    );
    table.push_str("|---|---|---|---|---|---|---|---|\n");
    for (name, text) in samples {
        let record = record(name, text);
        let base = counts(&record, &usual);
        let others = options.map(|(switch, option)| counts(&record, &with(&usual, switch, option)));
        for (part, steps) in base {
            let cells = others.each_ref().map(|o| match o.get(&part) {
                Some(other) if *other != steps => other.to_string(),
                _ => "-".to_owned(),
            });
            if cells.iter().any(|cell| cell != "-") {
                table.push_str(&format!("| {name} | {part} | {steps} | {} |\n", cells.join(" | ")));
            }
        }
    }
    assert!(PAGE.contains(&table), "the page should have\n{table}");
}
