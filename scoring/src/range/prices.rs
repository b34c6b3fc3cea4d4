//! Prices nobody settled: what a spare part costs as a share of the device's price.

use super::build::Builder;
use super::case::{Answer, Touches};
use super::edit::Edit;
use super::numbers::cells_by;
use super::reads::tables;
use crate::assess::Value;
use crate::assess::points::{points, thresholds};
use crate::exact::Exact;
use crate::method::Measure;
use crate::record::complete::NOT_SOLD;
use crate::record::{Known, Money, Spare, Term};
use crate::vocab::Promise;

const PRICE: Measure = Measure::Promise(Promise::Price);

impl Builder<'_> {
    /// Asks once for the price of the device, where it is open and parts have a price: their shares hang on it alone, so
    /// each may not take its own. Gives the parts (indices of fills) that are settled by the answer.
    pub(super) fn device_price(&mut self, offered: &[(usize, Money)]) -> Vec<usize> {
        let fact = self.record.device.price.as_ref();
        if fact.is_some_and(|f| f.settled().is_some()) {
            return Vec::new();
        }
        let known = fact.map_or(&Known::Unknown, |f| &f.known);
        let stated = currency(known);
        let priced = offered.iter().filter(|(_, m)| !m.amount.is_zero());
        let Some(unit) = stated.or_else(|| priced.clone().next().map(|(_, m)| &*m.currency)).map(str::to_owned) else {
            return Vec::new();
        };
        let parts: Vec<&(usize, Money)> = priced.filter(|(_, m)| m.currency == unit).collect();
        if parts.is_empty() {
            return Vec::new();
        }
        let known = amounts(known);
        let read = tables(self.method, &PRICE);
        let share = |part: &Exact, device: &Exact| {
            (part * &Exact::from(100)).checked_div(device).unwrap_or_else(|| Exact::from(NOT_SOLD))
        };
        let bounds = read.iter().flat_map(|(t, _)| thresholds(t)).flat_map(|t| {
            let device = |(_, m): &&(usize, Money)| (&m.amount * &Exact::from(100)).checked_div(&t);
            parts.iter().filter_map(device).collect::<Vec<_>>()
        });
        let rows = |device: &Exact| {
            let of = |(_, m): &&(usize, Money)| Value::Number(share(&m.amount, device));
            let given = |value: Value| {
                let row = |(t, scale): &(&_, _)| points(t, *scale, &[], &value);
                read.iter().map(row).map(|g| (g.row, g.points)).collect::<Vec<_>>()
            };
            parts.iter().map(of).map(given).collect::<Vec<_>>()
        };
        let cent = Exact::ratio(1, 100).unwrap_or_else(Exact::one);
        let cells = cells_by(&known, bounds.collect(), &rows, &cent, None);
        let (open_low, open_high) = match &known {
            Known::Between(low, high) => (low.is_none(), high.is_none()),
            known => (*known == Known::Unknown, *known == Known::Unknown),
        };
        let last = cells.len().saturating_sub(1);
        let answers = cells.into_iter().enumerate().map(|(i, cell)| {
            let edit = |(fill, m): &&(usize, Money)| {
                // Towards an open end a share has no last value; it reads as the limit does.
                let share = match i {
                    _ if last == 0 => share(&m.amount, &cell.value),
                    0 if open_low => Exact::from(NOT_SOLD),
                    i if i == last && open_high => Exact::zero(),
                    _ => share(&m.amount, &cell.value),
                };
                Edit::Spare(vec![*fill], Promise::Price, Term::Number(share))
            };
            Answer { label: format!("{} {unit}", cell.label), edits: parts.iter().map(edit).collect() }
        });
        let answers: Vec<Answer> = answers.collect();
        let span = fact.map_or(self.record.device.name.span, |f| f.span);
        let fills: Vec<usize> = parts.iter().map(|(f, _)| *f).collect();
        let question = || "What does the device cost when new?".to_owned();
        self.ask("device.price", span, question, Touches::Spare(fills.clone(), PRICE), answers);
        fills
    }

    /// Percent of the device's price, bounded on the sides on which both prices are.
    pub(super) fn price_share(&self, entry: Option<&Spare>) -> Known<Exact> {
        let device = self.record.device.price.as_ref().map(|f| &f.known);
        let part = entry.map(|e| e.facts[Promise::Price].known.map(price));
        let (Some(device), Some(part)) = (device, part) else { return Known::Unknown };
        let (Some(of), Some(unit)) = (currency(&part), currency(device)) else { return Known::Unknown };
        if of != unit {
            return Known::Unknown;
        }
        let share = |p: &Exact, d: &Exact| (p * &Exact::from(100)).checked_div(d);
        let (parts, devices) = (amounts(&part), amounts(device));
        if let (Some(parts), Some(devices)) = (listed(&parts), listed(&devices)) {
            let all: Option<Vec<Exact>> = parts.iter().flat_map(|p| devices.iter().map(move |d| share(p, d))).collect();
            let Some(mut all) = all else { return Known::Unknown };
            all.sort();
            all.dedup();
            return if all.len() == 1 { Known::Is(all.swap_remove(0)) } else { Known::OneOf(all) };
        }
        let (least, most) = ends(&parts);
        let (cheapest, dearest) = ends(&devices);
        let low = least.zip(dearest).and_then(|(p, d)| share(&p, &d));
        let high = most.zip(cheapest).and_then(|(p, d)| share(&p, &d));
        match (&low, &high) {
            (None, None) => Known::Unknown,
            _ => Known::Between(low, high),
        }
    }
}

/// The amount of a price as a record states it.
fn price(term: &Term) -> Money {
    term.money().cloned().unwrap_or_else(|| Money { currency: String::new(), amount: Exact::zero() })
}

/// The currency of a price, where it says one.
fn currency(known: &Known<Money>) -> Option<&str> {
    let first = match known {
        Known::Is(m) => Some(m),
        Known::OneOf(list) => list.first(),
        Known::Between(low, high) => low.as_ref().or(high.as_ref()),
        Known::Unknown => None,
    };
    first.map(|m| &*m.currency)
}

fn amounts(known: &Known<Money>) -> Known<Exact> {
    known.map(|m| m.amount.clone())
}

fn listed(known: &Known<Exact>) -> Option<Vec<Exact>> {
    match known {
        Known::Is(v) => Some(vec![v.clone()]),
        Known::OneOf(list) => Some(list.clone()),
        Known::Between(..) | Known::Unknown => None,
    }
}

fn ends(known: &Known<Exact>) -> (Option<Exact>, Option<Exact>) {
    match (listed(known), known) {
        (Some(list), _) => (list.iter().min().cloned(), list.iter().max().cloned()),
        (None, Known::Between(low, high)) => (low.clone(), high.clone()),
        _ => (None, None),
    }
}
