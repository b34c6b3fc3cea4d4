//! Amounts no device has: slips of the pen.

use super::values;
use crate::exact::Exact;
use crate::record::{Fact, Facts, Known, Money, Record, Term};
use crate::text::{Diagnostic, Sources, Span};
use crate::vocab::promise::{Holds, Promise};

/// Bounds past which a number is more likely a slip than a fact (our choice).
const MOST_FASTENERS: i64 = 200;
const HOTTEST: u32 = 500;
const COOLEST: u32 = 25;
const LONGEST_MINUTES: i64 = 240;
const DEAREST: i64 = 100_000;
const MOST_YEARS: i64 = 30;
const MOST_DAYS: i64 = 365;

pub(super) fn check(record: &Record, sources: &Sources, out: &mut Vec<Diagnostic>) {
    let odd = |code, span: Span, what: &str, mend: &str| {
        let written = crate::text::fields::short(sources.excerpt(span));
        Diagnostic::warning(code, span, format!("`{written}` is {what}"))
            .because("It looks like a slip of the pen.")
            .mend(mend.to_owned())
    };
    let over =
        |fact: &Fact<Exact>, most: i64| fact.stated && values(&fact.known).iter().any(|v| **v > Exact::from(most));
    for action in record.actions.iter().chain(&record.back) {
        for loosened in action.loosen.iter().filter(|l| over(&l.count, MOST_FASTENERS)) {
            out.push(odd(
                "absurd-count",
                loosened.count.span,
                "more fasteners than a device has in one place",
                "check the count",
            ));
        }
        for operation in &action.with {
            let tools = values(&operation.ways.known).into_iter().flatten().flat_map(|set| &set.tools);
            for tool in tools {
                if tool.celsius.is_some_and(|c| !(COOLEST..=HOTTEST).contains(&c)) {
                    out.push(odd(
                        "absurd-temperature",
                        operation.ways.span,
                        "not a temperature to work at",
                        "check the temperature, in degrees Celsius",
                    ));
                }
                if tool.minutes.as_ref().is_some_and(|m| *m > Exact::from(LONGEST_MINUTES)) {
                    out.push(odd(
                        "absurd-time",
                        operation.ways.span,
                        "longer than a tool is held",
                        "check the minutes",
                    ));
                }
            }
        }
        if let Some(wait) = action.wait.as_ref().filter(|w| w.value.0 > Exact::from(48 * 60)) {
            out.push(odd("absurd-time", wait.span, "longer than anybody waits", "check the duration"));
        }
        if let Some(takes) = action.takes.as_ref().filter(|t| t.value.high > Exact::from(LONGEST_MINUTES * 60)) {
            out.push(odd("absurd-time", takes.span, "longer than one action takes", "check the duration"));
        }
    }
    let price = |fact: &Fact<Money>| {
        values(&fact.known).iter().any(|m| m.amount > Exact::from(DEAREST) || (m.amount.is_zero()))
    };
    if let Some(device) = record.device.price.as_ref().filter(|p| price(p)) {
        out.push(odd("absurd-price", device.span, "not a price for a device", "check the amount"));
    }
    let mut too_long = |facts: &Facts| {
        for (promise, fact) in facts.iter() {
            let (most, what, mend) = match promise.row().holds {
                Holds::Years => (MOST_YEARS, "longer than anybody promises", "check the years"),
                Holds::Days => (MOST_DAYS, "longer than anybody waits for a part", "check the working days"),
                _ => continue,
            };
            if over(&fact.clone().map(|t| t.number().cloned().unwrap_or_else(Exact::zero)), most) {
                out.push(odd("absurd-years", fact.span, what, mend));
            }
        }
    };
    let mut dear = Vec::new();
    for spare in record.support.spares.values().chain(record.support.tabled.values()) {
        let price = &spare.facts[Promise::Price];
        let amounts = values(&price.known).into_iter().filter_map(Term::money);
        if amounts.clone().any(|m| m.amount > Exact::from(DEAREST)) || dearer(record, price) {
            dear.push(odd("absurd-price", price.span, "more than the whole device costs", "check both prices"));
        }
        too_long(&spare.facts);
    }
    too_long(&record.support.facts);
    out.extend(dear);
    out.dedup();
}

/// A spare part that surely costs more than the device.
fn dearer(record: &Record, spare: &Fact<Term>) -> bool {
    match (record.device.price.as_ref().map(|p| &p.known), &spare.known) {
        (Some(Known::Is(device)), Known::Is(Term::Money(spare))) => {
            device.currency == spare.currency && spare.amount > device.amount
        }
        _ => false,
    }
}
