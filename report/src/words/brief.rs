//! Short phrases for the summary: what costs, what is open, what lifts a limit.

use scoring::method::Measure;
use scoring::range::Edit;
use scoring::record::Term;
use scoring::vocab::promise::Of;
use scoring::vocab::{self, Promise as Fact};

use super::english as en;
use super::sentence::{CauseWords, behind, called, capital, cause_words, range};
use crate::facts::{Asks, CauseFact, Facts, Limit, Open, Promise};
use crate::plural::list;

/// What a question asks, after `Open:`.
pub fn asked(facts: &Facts, open: &Open) -> String {
    let of = |names: &[String]| -> String {
        let names: Vec<String> = names.iter().map(|n| en::the(&called(facts, n))).collect();
        list(&names)
    };
    let plain = |names: &[String]| list(&names.iter().map(|n| called(facts, n)).collect::<Vec<_>>());
    match &open.asks {
        Asks::Clean(names, sticky) => format!("whether {}", en::off_clean(*sticky, &of(names))),
        Asks::Kind(names, fastener) if fastener.is_empty() => format!("what becomes of the fasteners of {}", of(names)),
        Asks::Kind(names, fastener) => format!("what becomes of the {fastener} of {}", of(names)),
        Asks::Works(names, true) => format!("whether {} can be taken out, which nobody tried", of(names)),
        Asks::Works(names, false) => format!("whether \"{}\" works, which nobody tried", list(names)),
        Asks::Tool(names) => format!("which tool {} takes", of(names)),
        Asks::Before(names) => format!("what must come off before {}", of(names)),
        Asks::Holds(names) => format!("what holds {}", of(names)),
        Asks::Place => "where the work can be done".to_owned(),
        Asks::Skill => "how much skill it takes".to_owned(),
        Asks::ToolClass(tool) => format!("whether {} can be bought", en::the(tool)),
        Asks::Has(role) => format!("whether it has {}, which the record does not mention", en::a(role)),
        Asks::Paired(names) => format!("whether {} must be paired", en::a_new(&plain(names))),
        Asks::Spare(promise, names) => {
            en::asked_of_spares(*promise, &some(facts, names), names.len() == 1 && !en::many(&names[0]))
        }
        Asks::Promise(promise) => en::asked(*promise).map_or_else(|| open.question.clone(), str::to_owned),
        Asks::Other => open.question.clone(),
    }
}

fn some(facts: &Facts, names: &[String]) -> String {
    match names {
        [] => "spare parts".to_owned(),
        [one] => en::a_new(&called(facts, one)),
        [one, two] => format!("{} and {}", en::a_new(&called(facts, one)), en::a_new(&called(facts, two))),
        more => format!("{} spare parts", en::number(more.len())),
    }
}

/// A question with where its answers lead: `whether …: yes 5.6 to 6.6, no 5.3 to 6.0`.
pub fn open_line(facts: &Facts, open: &Open) -> String {
    // That a part must be paired is a yes, and bad news.
    let yes = !matches!(open.asks, Asks::Paired(_));
    let answers: Vec<String> = open
        .answers
        .iter()
        .map(|a| {
            let label = match a.good {
                Some(good) if open.answers.len() == 2 => {
                    if good == yes {
                        "yes"
                    } else {
                        "no"
                    }
                }
                _ => a.label.as_str(),
            };
            format!("{label} {}", range(&a.shown))
        })
        .collect();
    let asked = capital(&asked(facts, open));
    let told = matches!(open.asks, Asks::Clean(..) | Asks::Works(..) | Asks::Has(_) | Asks::Paired(_));
    match answers.len() {
        2 if told => format!("{asked}: {}", answers.join(", ")),
        _ => asked,
    }
}

/// A cause in a line: `the back is glued; the other eight parts lie behind it`.
pub fn cost(facts: &Facts, cause: &CauseFact) -> String {
    let CauseWords { text: main, name, .. } = cause_words(facts, cause);
    match behind(facts, cause, &name).first() {
        Some(behind) => format!("{main}; {behind}"),
        None => main,
    }
}

/// A promise in a line, by what would be promised at best: `on the full verdict, if every spare part were sold to anyone`.
pub fn promise_cost(promise: &Promise) -> String {
    let information = |edit: &Edit| matches!(edit, Edit::Support(fact, _) if fact.row().of == Of::Information);
    // That of repair information is one promise.
    let best = match &promise.best[..] {
        [] => en::BEST.to_owned(),
        [one] => promised(one),
        several if several.iter().all(information) => en::ALL_INFORMATION.to_owned(),
        several => list(&several.iter().map(promised).collect::<Vec<_>>()),
    };
    format!("on the full verdict, if {best}")
}

fn promised(best: &Edit) -> String {
    let said = |promise: Fact, term: &Term| scoring::record::promises::say(promise, term);
    let (promise, term) = match best {
        Edit::Spare(_, promise, term) | Edit::Support(promise, term) => (*promise, said(*promise, term)),
        _ => return en::BEST.to_owned(),
    };
    en::if_promised(promise, &term)
}

/// What lifts a limit.
pub fn lift(facts: &Facts, limit: &Limit) -> String {
    let names: Vec<String> = limit
        .roles
        .iter()
        .map(|r| {
            let part = facts.parts.iter().find(|p| p.role == *r);
            part.map_or_else(|| r.clone(), super::sentence::part_name)
        })
        .collect();
    let name = list(&names);
    let to = match limit.measure {
        Measure::Reachable => format!("a way to {} that destroys nothing", en::the(&name)),
        Measure::Tools => format!("a tool for {} that anyone can buy", en::the(&name)),
        Measure::Paired => format!("{} that {} without pairing", en::a_new(&name), en::verb(&name, "works", "work")),
        Measure::Promise(vocab::Promise::To) => format!("{} on sale to independent repairers", en::the(&name)),
        Measure::Promise(vocab::Promise::Price) => format!("a lower price of {}", en::the(&name)),
        _ => name,
    };
    // What it takes stands before the line.
    format!("a limit; what lifts it: {to}")
}

/// A line of the tree of ways, as an indented list has it.
pub fn tree_line(name: &str, steps: u32, counts: bool) -> String {
    if counts { format!("{name}, {}", en::steps(steps)) } else { name.to_owned() }
}
