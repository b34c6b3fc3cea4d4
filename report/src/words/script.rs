//! What to say on camera: five to seven short sentences, each with the time in the footage to show.

use scoring::assess::Reach;
use scoring::record::{Record, Spare, Term};
use scoring::vocab::class::fold;
use scoring::vocab::{Access, Promise};

use super::brief::asked;
use super::sentence::{CauseWords, behind, capital, cause_words, depth, one_length, part_name};
use super::{english as en, words};
use crate::facts::{CauseFact, Facts, Open, PartFact, WayToPart, What};

/// A sentence and when to show what it says, seconds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Seconds; `None`: nothing in the footage shows it.
    pub at: Option<u32>,
    /// The sentence.
    pub text: String,
}

/// Fewest and most words.
const LENGTH: [usize; 2] = [50, 75];

/// The script of the verdict that leads.
pub fn script(record: &Record, facts: &Facts) -> Vec<Shown> {
    let mut must: Vec<(u8, Shown)> = Vec::new();
    let [low, high] = &facts.shown;
    let score = if low == high { en::aloud(low) } else { format!("{} to {}", en::aloud(low), en::aloud(high)) };
    let settled = if facts.attained { "" } else { " at the outside" };
    must.push((
        0,
        Shown {
            at: facts.starts,
            text: en::gets(&facts.device, facts.bench, &format!("{score}{settled}"), &en::aloud(&facts.top)),
        },
    ));
    let mut roles: Vec<String> = Vec::new();
    let mut whole = false;
    if let Some(cause) = facts.causes.first() {
        let CauseWords { text: main, name, roles: spoken, whole: told, .. } = cause_words(facts, cause);
        let text = behind(facts, cause, &name).first().map_or_else(|| main.clone(), |b| format!("{main}, and {b}"));
        let small = facts.causes.first().is_some_and(|c| c.least().to_f64() < 0.3);
        let lead = if small { "nothing costs much; what costs most: " } else { "" };
        must.push((1, Shown { at: time(facts, cause), text: format!("{}.", capital(&format!("{lead}{text}"))) }));
        // What was said of a part whole is not said again.
        whole = told;
        roles = spoken;
    }
    for (place, part) in facts.parts.iter().take(2).enumerate() {
        if whole && roles.contains(&part.role) {
            continue;
        }
        let said = part_sentence(facts, part, roles.contains(&part.role));
        if must.iter().any(|(_, shown)| shown.text == said) {
            continue;
        }
        #[expect(clippy::cast_possible_truncation, reason = "0 or 1")]
        must.push((2 + place as u8, Shown { at: part.way.as_ref().and_then(|w| w.at), text: said }));
    }
    if let Some(text) = facts.parts.first().and_then(|p| price(record, p)) {
        must.push((4, Shown { at: None, text }));
    }
    let open = if facts.ends[0] == facts.ends[1] { &[][..] } else { &facts.open[..] };
    let told = |open: &Open| {
        let worth =
            if open.moves.is_zero() { String::new() } else { format!(", worth up to {}", en::worth(&open.moves)) };
        format!("{}{worth}", asked(facts, open))
    };
    if let Some(first) = open.first() {
        must.push((5, Shown { at: None, text: en::open(&told(first)) }));
    } else {
        must.push((
            5,
            Shown { at: None, text: if facts.bench { en::BENCH_SETTLED } else { en::ALL_SETTLED }.to_owned() },
        ));
    }
    must.push((9, Shown { at: None, text: "Not an official score.".to_owned() }));
    let total = |list: &[(u8, Shown)]| list.iter().map(|(_, s)| words(&s.text)).sum::<usize>();
    // Too short: the next causes, then what else is open. Too long: the second part goes, then the price.
    for cause in facts.causes.iter().skip(1) {
        if total(&must) >= LENGTH[0] || must.len() >= 7 {
            break;
        }
        let CauseWords { text: main, roles: spoken, .. } = cause_words(facts, cause);
        let told = facts.parts.iter().take(2).any(|p| spoken.contains(&p.role));
        if !told {
            must.push((6, Shown { at: time(facts, cause), text: format!("{}.", capital(&main)) }));
        }
    }
    for drop in [3, 4] {
        if total(&must) > LENGTH[1] || must.len() > 7 {
            must.retain(|(kind, _)| *kind != drop);
        }
    }
    let n = facts.parts.iter().filter(|p| p.way.is_some()).count();
    if n > 1 && total(&must) < LENGTH[0] && must.len() < 7 {
        must.push((
            7,
            Shown {
                at: None,
                text: format!("{} parts count, each by the shortest way the record holds.", capital(&en::number(n))),
            },
        ));
    }
    for next in open.iter().skip(1) {
        if total(&must) >= LENGTH[0] || must.len() >= 7 {
            break;
        }
        must.push((5, Shown { at: None, text: en::open_too(&told(next)) }));
    }
    if total(&must) < LENGTH[0] && must.len() < 7 {
        must.push((
            8,
            Shown { at: None, text: "Every point has its reason and its line of the record in the report.".to_owned() },
        ));
    }
    must.sort_by_key(|(kind, _)| *kind);
    must.into_iter().map(|(_, s)| s).collect()
}

fn time(facts: &Facts, cause: &CauseFact) -> Option<u32> {
    match &cause.of {
        What::Action(doing) => doing.at,
        What::Part(at, _) => facts.parts[*at].way.as_ref().and_then(|w| w.at),
    }
}

fn part_sentence(facts: &Facts, part: &PartFact, again: bool) -> String {
    let name = part_name(part);
    let Some(way) = &part.way else { return format!("The record does not mention {}.", en::the(&name)) };
    let failed = match (&part.failed, way.reach) {
        (None, _) => "",
        (Some(_), Reach::No) => "; what was tried failed",
        (Some(_), _) => "; another way failed",
    };
    let text = match way.reach {
        Reach::No => en::out_of_reach(&name),
        Reach::Damage => en::destroyed(&name, &way.destroys),
        Reach::Yes if one_length(facts, part, way) => {
            format!("{} {} {} down{}", en::the(&name), en::verb(&name, "is", "are"), en::steps(way.steps), with(way))
        }
        Reach::Yes => en::takes(&name, &[depth(facts, part, way)]),
    };
    let again = if again && way.reach == Reach::Yes { "" } else { failed };
    format!("{}{again}.", capital(&text))
}

fn with(way: &WayToPart) -> String {
    let heat = match way.heats.len() {
        0 => None,
        1 => Some("heat".to_owned()),
        n => Some(format!("heat {}", if n == 2 { "twice".to_owned() } else { format!("{} times", en::number(n)) })),
    };
    let solvent = way.solvents.first().map(|s| s.rsplit(' ').next().unwrap_or(s).to_owned());
    let all: Vec<String> = heat.into_iter().chain(solvent).collect();
    if all.is_empty() { String::new() } else { format!(", with {}", crate::plural::list(&all)) }
}

/// Price of the heaviest part and who may buy it, where the record states either.
fn price(record: &Record, part: &PartFact) -> Option<String> {
    let keys = part.names.iter().map(String::as_str).chain(part.role.split('|').map(str::trim)).chain(["every part"]);
    let spare = record.support.spare(keys)?;
    let spare: &Spare = &spare;
    let name = part_name(part);
    let price = spare.facts[Promise::Price].settled().and_then(Term::money).map(|m| {
        let currency = if fold(&m.currency) == "eur" { "euros".to_owned() } else { m.currency.clone() };
        let whole = m.amount == m.amount.round(0, scoring::exact::Rounding::HalfUp);
        format!("{} {currency}", m.amount.display(if whole { 0 } else { 2 }, scoring::exact::Rounding::HalfUp))
    });
    let to = spare.facts.word::<Access>(Promise::To).map(|a| match a {
        Access::Public => "sold to anyone".to_owned(),
        Access::Independent => "sold to repairers only".to_owned(),
        Access::Authorised => "sold to authorised repairers only".to_owned(),
        Access::Manufacturer => "kept by the maker".to_owned(),
        Access::None => "sold to nobody".to_owned(),
        other => format!("sold to {other}"),
    });
    let (new, is) = (capital(&en::a_new(&name)), en::verb(&name, "is", "are"));
    let it = en::verb(&name, "it", "them");
    match (price, to) {
        (Some(price), Some(to)) => Some(format!("{new} {is} {price}, {to}.")),
        (Some(price), None) => Some(format!("{new} {is} {price}; who may buy {it} is open.")),
        (None, Some(to)) => Some(format!("{new} {is} {to}, at a price nobody stated.")),
        (None, None) => None,
    }
}
