//! Short phrases for the summary: what costs, what is open, what lifts a limit.

use scoring::exact::{Exact, Rounding};
use scoring::method::Measure;
use scoring::range::{Edit, SpareFact, SupportFact};

use super::english as en;
use super::sentence::{behind, called, capital, cause_words, range};
use crate::facts::{Asks, CauseFact, Facts, Limit, Open, Promise, PromiseAsk, SpareAsk};
use crate::plural::list;

/// What a question asks, after `Open:`.
pub fn asked(facts: &Facts, open: &Open) -> String {
    let of = |names: &[String]| -> String {
        let names: Vec<String> = names.iter().map(|n| en::the(&called(facts, n))).collect();
        list(&names)
    };
    let plain = |names: &[String]| list(&names.iter().map(|n| called(facts, n)).collect::<Vec<_>>());
    match &open.asks {
        Asks::Clean(names) => format!("whether the glue of {} comes off clean", of(names)),
        Asks::Kind(names) => format!("what becomes of the fasteners of {}", of(names)),
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
        Asks::Spare(SpareAsk::To, names) => format!("who can buy {}", some(facts, names)),
        Asks::Spare(SpareAsk::Years, names) => format!("how long {} can be bought", some(facts, names)),
        Asks::Spare(SpareAsk::Delivery, names) => {
            format!("how fast {} {}", some(facts, names), one_or_more(names, "comes", "come"))
        }
        Asks::Spare(SpareAsk::Price, names) => {
            format!("what {} {}", some(facts, names), one_or_more(names, "costs", "cost"))
        }
        Asks::Spare(SpareAsk::Interface, names) => {
            let is = one_or_more(names, "is a standard part", "are standard parts");
            format!("whether {} {is}", some(facts, names))
        }
        Asks::Spare(SpareAsk::Pairing, names) => format!("who may pair {}", some(facts, names)),
        Asks::Promise(PromiseAsk::InformationTo) => "who gets the repair information".to_owned(),
        Asks::Promise(PromiseAsk::InformationCost) => "what the repair information costs".to_owned(),
        Asks::Promise(PromiseAsk::InformationScope) => "how much repair information there is".to_owned(),
        Asks::Promise(PromiseAsk::SecurityUpdates) => "how long security updates come".to_owned(),
        Asks::Promise(PromiseAsk::Updates) => "how long updates come".to_owned(),
        Asks::Promise(PromiseAsk::Diagnosis) => "how faults make themselves known".to_owned(),
        Asks::Promise(PromiseAsk::Returns) => "what the maker takes back".to_owned(),
        Asks::Promise(PromiseAsk::Data) => "how data are moved and deleted".to_owned(),
        Asks::Promise(PromiseAsk::Reset) => "how it is reset".to_owned(),
        Asks::Promise(PromiseAsk::Endurance) => "how long keys and sockets last".to_owned(),
        Asks::Promise(PromiseAsk::Battery) => "how long the battery lasts".to_owned(),
        Asks::Promise(PromiseAsk::Ingress) => "how well it keeps out dust and water".to_owned(),
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

/// The verb for what [`some`] says.
fn one_or_more(names: &[String], one: &'static str, more: &'static str) -> &'static str {
    match names {
        [name] if !en::many(name) => one,
        _ => more,
    }
}

/// A question with where its answers lead: `whether …: yes 5.6 to 6.6, no 5.3 to 6.0`.
pub fn open_line(facts: &Facts, open: &Open) -> String {
    let answers: Vec<String> = open
        .answers
        .iter()
        .map(|a| {
            let label = match a.yes {
                Some(true) if open.answers.len() == 2 => "yes",
                Some(false) if open.answers.len() == 2 => "no",
                _ => a.label.as_str(),
            };
            format!("{label} {}", range(&a.shown))
        })
        .collect();
    let asked = capital(&asked(facts, open));
    let told = matches!(open.asks, Asks::Clean(_) | Asks::Works(..) | Asks::Has(_) | Asks::Paired(_));
    match answers.len() {
        2 if told => format!("{asked}: {}", answers.join(", ")),
        _ => asked,
    }
}

/// A cause in a line: `the back is glued; the other eight parts lie behind it`.
pub fn cost(facts: &Facts, cause: &CauseFact) -> String {
    let (main, name, _) = cause_words(facts, cause);
    match behind(facts, cause, &name).first() {
        Some(behind) => format!("{main}; {behind}"),
        None => main,
    }
}

/// A promise in a line, by what would be promised at best: `full verdict: if every spare part were sold to anyone`.
pub fn promise_cost(promise: &Promise) -> String {
    // Several answers at once: that of repair information, which is one promise.
    let best = if promise.best.len() > 1 { en::ALL_INFORMATION.to_owned() } else { promised(promise.best.first()) };
    format!("full verdict: if {best}")
}

fn promised(best: Option<&Edit>) -> String {
    let rank = |measure: Measure, rank: u8| measure.words().get(usize::from(rank)).copied().unwrap_or_default();
    let years = |y: &Exact| en::counted(y, "year", "years");
    match best {
        Some(Edit::Spare(_, fact)) => match fact {
            SpareFact::To(_) => "every spare part were sold to anyone".to_owned(),
            SpareFact::Years(y) => format!("every spare part were on offer for {}", years(y)),
            SpareFact::Delivery(d) => {
                format!("every spare part came within {}", en::counted(d, "working day", "working days"))
            }
            SpareFact::PriceShare(s) => format!("no spare part cost over {} % of the device", s.plain()),
            SpareFact::PricePublished(_) => "the price of every spare part were published".to_owned(),
            SpareFact::Interface(r) => format!("every spare part were a {}", rank(Measure::SpareInterface, *r)),
            SpareFact::Pairing(_) => "no spare part needed pairing".to_owned(),
        },
        Some(Edit::Support(fact)) => match fact {
            SupportFact::InformationTo(_) => "anyone got the repair information".to_owned(),
            SupportFact::InformationFree(_) => "the repair information were free of charge".to_owned(),
            SupportFact::InformationScope(_) => "the repair information left nothing out".to_owned(),
            SupportFact::Updates(y) => format!("updates came for {}", years(y)),
            SupportFact::SecurityUpdates(y) => format!("security updates came for {}", years(y)),
            SupportFact::Diagnosis(r) => format!("faults made themselves known by {}", rank(Measure::Diagnosis, *r)),
            SupportFact::Returns(r) => format!("what the maker takes back were {}", rank(Measure::Returns, *r)),
            SupportFact::Data(r) => format!("moving and deleting data were {}", rank(Measure::Data, *r)),
            SupportFact::Reset(r) => format!("the reset were {}", rank(Measure::Reset, *r)),
            SupportFact::BatteryCycles(n) => format!("the battery lasted {} cycles", n.plain()),
            SupportFact::Capacity500(n) => format!("the battery kept {} % after 500 cycles", n.plain()),
            SupportFact::Capacity1000(n) => format!("the battery kept {} % after 1 000 cycles", n.plain()),
            SupportFact::IngressDust(n) => format!("it kept out dust by digit {n} of its code"),
            SupportFact::IngressWater(n) => format!("it kept out water by digit {n} of its code"),
            SupportFact::Endurance(_, n) => format!("keys and sockets lasted {} operations", n.plain()),
            SupportFact::Mark(row, n) => format!("row {row} had the mark {}", n.plain()),
        },
        _ => "every promise were at its best".to_owned(),
    }
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
        Measure::SpareTo => format!("{} on sale to independent repairers", en::the(&name)),
        Measure::SparePrice => format!("a lower price of {}", en::the(&name)),
        _ => name,
    };
    let takes: Vec<&Exact> = limit.takes.iter().filter(|t| !t.is_zero()).collect();
    let most = takes.iter().max().map_or_else(String::new, |t| t.display(1, Rounding::HalfUp));
    format!("a limit takes {most}; what lifts it: {to}")
}

/// A line of the tree of ways, as an indented list has it.
pub fn tree_line(name: &str, steps: u32, counts: bool) -> String {
    if counts { format!("{name}, {}", en::steps(steps)) } else { name.to_owned() }
}
