//! Proxy times: how long a route takes a practised pair of hands, from a table that is data.
//!
//! Hands-on time, waiting time and reassembly time stay apart. Waiting is only ever what the record says. Times are
//! estimates: shown with two figures at most, and as a range.

mod own;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::LazyLock;

use serde::Deserialize;

use super::outcome::PartRoute;
use super::problem::Posed;
use crate::exact::Exact;
use crate::record::complete::Complete;
use crate::record::written::HandsOn;
use crate::record::{Loosened, Record};
use crate::route::RouteProblem;
use crate::text::{Diagnostic, FileId, Sources};
use crate::vocab::Certainty;

/// Seconds in one TMU: MTM-1 data card (read).
pub const TMU_SECONDS: f64 = 0.036;

/// A table of proxy times.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Times {
    /// Seconds per TMU.
    #[serde(rename = "unit seconds")]
    pub unit: f64,
    /// How far a nominal time may be off either way, percent.
    #[serde(rename = "spread percent")]
    pub spread: f64,
    /// Entries.
    pub entries: Vec<TimeEntry>,
}

/// One proxy time.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeEntry {
    /// What it is for: a motion of the table, or a fastener of the vocabulary.
    #[serde(rename = "for")]
    pub what: String,
    /// Index values; TMU = 10 x their sum.
    #[serde(default)]
    pub indices: Vec<u32>,
    /// Seconds, where measured directly.
    #[serde(default)]
    pub seconds: Option<f64>,
    /// How sure.
    pub certainty: Certainty,
    /// Where from.
    pub source: String,
}

impl TimeEntry {
    /// Nominal seconds, where one TMU is `unit` seconds; measured ones come first.
    fn nominal(&self, unit: f64) -> f64 {
        self.seconds.unwrap_or_else(|| f64::from(self.indices.iter().sum::<u32>()) * 10.0 * unit)
    }
}

/// The shipped table.
///
/// # Panics
/// Never: the embedded table is read by a test.
pub fn shipped() -> &'static Times {
    static TIMES: LazyLock<Times> =
        LazyLock::new(|| serde_yaml::from_str(include_str!("times.yaml")).expect("the shipped table reads"));
    &TIMES
}

impl Times {
    /// Reads a table of the user's own; entries it lacks are taken from the shipped one, with the times they have there.
    ///
    /// `fasteners` are names beyond the vocabulary that entries may be for: those of the record at hand. The spread is
    /// that of the user's table throughout. All mistakes are given, in file order.
    pub fn read(sources: &Sources, file: FileId, fasteners: &[&str]) -> Result<Self, Vec<Diagnostic>> {
        own::read(sources, file, fasteners)
    }

    /// The entry for something.
    pub fn entry(&self, what: &str) -> Option<&TimeEntry> {
        self.entries.iter().find(|e| e.what == what)
    }

    /// The entry that stands for a fastener.
    fn of_fastener(&self, loosened: &Loosened) -> &str {
        let driven = crate::vocab::fastener(&loosened.fastener).is_some_and(|f| f.driven);
        match self.entry(&loosened.fastener) {
            Some(entry) => &entry.what,
            None if loosened.adhesive => "adhesive",
            None if driven || loosened.drive.is_some() => "screw",
            None => "other",
        }
    }

    /// The entries an action is timed by; none where the record has a time of its own.
    fn used(&self, record: &Record, device: &Complete, action: usize) -> Vec<&str> {
        let complete = &device.actions[action];
        let mut out = Vec::new();
        match complete.written.map(|w| &record.actions[w]) {
            Some(written) if written.takes.is_some() => return out,
            Some(written) if written.loosen.is_empty() => out.push("hands"),
            Some(written) => {
                out.push("positioning");
                out.extend(written.loosen.iter().map(|l| self.of_fastener(l)));
            }
            None => out.push("other"),
        }
        if !complete.frees.is_empty() {
            out.push("removing a part");
        }
        out
    }

    /// Nominal milliseconds of something; 0 for what the table lacks.
    pub fn milliseconds(&self, what: &str) -> u32 {
        to_milliseconds(self.entry(what).map_or(0.0, |e| e.nominal(self.unit)))
    }

    fn fastener(&self, loosened: &Loosened) -> u32 {
        let what = self.of_fastener(loosened);
        // An unsettled count is timed once: counts bear on nothing else.
        let count = loosened.count.settled().map_or(1.0, Exact::to_f64).max(1.0);
        to_milliseconds(f64::from(self.milliseconds(what)) / 1000.0 * count)
    }

    /// Nominal hands-on milliseconds of an action, tool handling excluded; the record's own `takes` comes first.
    pub fn action(&self, record: &Record, device: &Complete, action: usize) -> u32 {
        let complete = &device.actions[action];
        let removal = if complete.frees.is_empty() { 0 } else { self.milliseconds("removing a part") };
        let Some(written) = complete.written.map(|w| &record.actions[w]) else {
            return self.milliseconds("other") + removal;
        };
        if let Some(takes) = &written.takes {
            let HandsOn { low, high } = &takes.value;
            return to_milliseconds(f64::midpoint(low.to_f64(), high.to_f64()));
        }
        let fasteners: u32 = written.loosen.iter().map(|l| self.fastener(l)).fold(0, u32::saturating_add);
        let hands = if fasteners == 0 { self.milliseconds("hands") } else { self.milliseconds("positioning") };
        fasteners.saturating_add(hands).saturating_add(removal)
    }

    /// Nominal hands-on milliseconds of undoing an action, tool handling excluded: what was heated, cut or pried apart is laid in
    /// its place, everything else is the same work backwards.
    fn back(&self, record: &Record, device: &Complete, action: usize) -> (u32, bool) {
        let complete = &device.actions[action];
        let Some(written) = complete.written.map(|w| &record.actions[w]) else {
            return (self.action(record, device, action), false);
        };
        if !opened_by_force(device, action, &written.loosen) {
            return (self.action(record, device, action), written.takes.is_some());
        }
        let placing = if complete.frees.is_empty() { 0 } else { self.milliseconds("removing a part") };
        let joined =
            written.loosen.iter().filter(|l| !l.adhesive).map(|l| self.fastener(l)).fold(0, u32::saturating_add);
        (joined.saturating_add(self.milliseconds("positioning")).saturating_add(placing), false)
    }

    /// The route problem with nominal times, and the nominal cost of a tool change.
    pub fn pose(&self, record: &Record, device: &Complete, posed: &Posed) -> (RouteProblem, u32) {
        let mut problem = posed.problem.clone();
        for (action, &origin) in problem.actions.iter_mut().zip(&posed.origin) {
            action.seconds = self.action(record, device, origin);
        }
        (problem, self.milliseconds("tool change").saturating_add(self.milliseconds("tool pick-up")))
    }
}

/// Whether an action is done with heat, or opens what sticks: nobody heats or pries to put a part back.
fn opened_by_force(device: &Complete, action: usize, loosened: &[Loosened]) -> bool {
    let tools = device.actions[action].operations.iter().flatten().flatten();
    loosened.iter().any(|l| l.adhesive) || tools.into_iter().any(|&t| device.tools[t].heat)
}

fn to_milliseconds(seconds: f64) -> u32 {
    // Clamped first, so the cast cannot wrap.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let out = (seconds * 1000.0).round().clamp(0.0, f64::from(u32::MAX)) as u32;
    out
}

/// How long a route takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Duration {
    /// Hands-on, seconds, low to high.
    pub hands_on: (f64, f64),
    /// Waiting, seconds, as the record says.
    pub waiting: f64,
    /// Putting it together again, hands-on, seconds, low to high: the same work backwards, without the heating, cutting and
    /// prying of what sticks, which is laid in its place instead. What it then needs (pressing, curing) is not timed.
    pub reassembly: (f64, f64),
    /// Of the hands-on time, the share that rests on times the user measured.
    pub own_share: f64,
    /// Seconds seen in uncut footage of the actions on the route, and the estimate for the same actions.
    pub observed: Option<(f64, (f64, f64))>,
    /// The weakest certainty of the entries used; `None`: every time is the user's own.
    pub weakest: Option<Certainty>,
}

/// Times a route found by any cost.
pub fn duration(times: &Times, record: &Record, device: &Complete, route: &PartRoute) -> Duration {
    let spread = times.spread / 100.0;
    let (mut fixed, mut own, mut waiting) = (0.0, 0.0, 0.0);
    let (mut back, mut back_own) = (0.0, (0.0, 0.0));
    let (mut seen, mut seen_nominal, mut any_seen) = (0.0, 0.0, false);
    let mut own_range = (0.0, 0.0);
    let mut used = BTreeSet::new();
    for &(action, _) in &route.taken {
        used.extend(times.used(record, device, action));
        let nominal = f64::from(times.action(record, device, action)) / 1000.0;
        let written = device.actions[action].written.map(|w| &record.actions[w]);
        if let Some(takes) = written.and_then(|w| w.takes.as_ref()) {
            own += nominal;
            own_range.0 += takes.value.low.to_f64();
            own_range.1 += takes.value.high.to_f64();
        } else {
            fixed += nominal;
        }
        match (times.back(record, device, action), written.and_then(|w| w.takes.as_ref())) {
            ((_, true), Some(takes)) => {
                back_own.0 += takes.value.low.to_f64();
                back_own.1 += takes.value.high.to_f64();
            }
            ((nominal, _), _) => back += f64::from(nominal) / 1000.0,
        }
        waiting += written.and_then(|w| w.wait.as_ref()).map_or(0.0, |w| w.value.0.to_f64() * 60.0);
        let uncut = written.filter(|w| w.uncut).and_then(|w| w.at.as_ref());
        if let Some(lasts) = uncut.and_then(|at| at.value.lasts()) {
            seen += f64::from(lasts);
            seen_nominal += nominal;
            any_seen = true;
        }
    }
    let pick_up = f64::from(times.milliseconds("tool pick-up")) / 1000.0;
    let change = f64::from(times.milliseconds("tool change")) / 1000.0 + pick_up;
    let mut changes = 0.0;
    let (mut held, mut held_back) = (false, false);
    for step in &route.ledger {
        let with_tools =
            super::ledger::used(device, step.action, step.operation, step.way).is_some_and(|set| !set.is_empty());
        if step.change {
            changes += change;
            used.extend(["tool change", "tool pick-up"]);
        } else if with_tools && !held {
            changes += pick_up;
            used.insert("tool pick-up");
        }
        held |= with_tools;
        // On the way back a tool is taken up only for what is joined again.
        let written = device.actions[step.action].written.map(|w| &record.actions[w]);
        let joins = written
            .is_none_or(|w| !opened_by_force(device, step.action, &w.loosen) || w.loosen.iter().any(|l| !l.adhesive));
        if joins && with_tools {
            back += if !held_back {
                pick_up
            } else if step.change {
                change
            } else {
                0.0
            };
            held_back = true;
        }
    }
    fixed += changes;
    let hands_on = (own_range.0 + fixed * (1.0 - spread), own_range.1 + fixed * (1.0 + spread));
    let marks: Vec<Certainty> = used.iter().filter_map(|what| times.entry(what)).map(|e| e.certainty).collect();
    // `own` is a mark of its own and doesn't weaken.
    let weakest = marks.iter().copied().filter(|c| *c <= Certainty::MemoryLow).max();
    let weakest = weakest.or(marks.first().map(|_| Certainty::Own));
    Duration {
        hands_on,
        waiting,
        reassembly: (back_own.0 + back * (1.0 - spread), back_own.1 + back * (1.0 + spread)),
        own_share: if own + fixed > 0.0 { own / (own + fixed) } else { 0.0 },
        observed: any_seen.then_some((seen, (seen_nominal * (1.0 - spread), seen_nominal * (1.0 + spread)))),
        weakest,
    }
}

/// Seconds with two figures at most: `45 s`, `2.5 min`, `1.2 h`.
pub fn two_figures(seconds: f64) -> String {
    let (value, unit) = match seconds {
        s if s < 99.5 => (s, "s"),
        s if s < 99.5 * 60.0 => (s / 60.0, "min"),
        s => (s / 3600.0, "h"),
    };
    let mut out = String::new();
    let _ =
        if value < 9.95 && unit != "s" { write!(out, "{value:.1} {unit}") } else { write!(out, "{value:.0} {unit}") };
    out
}

/// A range with two figures at most: `35 to 58 s`.
pub fn in_words((low, high): (f64, f64)) -> String {
    let (low, high) = (two_figures(low), two_figures(high));
    match (low.rsplit_once(' '), high.rsplit_once(' ')) {
        _ if low == high => low,
        (Some((value, unit)), Some((_, other))) if unit == other => format!("{value} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use rstest::rstest;

    /// Arithmetic of sequence models, TMU and seconds: worked totals of a public specification text (read, derived).
    #[rstest]
    #[case(&[6, 6, 1, 1, 0, 3, 0], 170, 6.12)]
    #[case(&[1, 0, 1, 1, 0, 3, 10, 1, 0, 1, 0], 180, 6.48)]
    fn sequences_add_up(#[case] indices: &[u32], #[case] tmu: u32, #[case] seconds: f64) {
        assert_eq!(10 * indices.iter().sum::<u32>(), tmu);
        assert_relative_eq!(f64::from(tmu) * TMU_SECONDS, seconds, epsilon = 1e-9);
    }

    /// Get a tool, then n x (P3 A1 L10), put it aside: 190, 330, 610, 1170 TMU (derived).
    #[rstest]
    #[case(1, 190)]
    #[case(2, 330)]
    #[case(4, 610)]
    #[case(8, 1170)]
    fn screws_with_one_tool(#[case] n: u32, #[case] tmu: u32) {
        let times = shipped();
        let total = times.milliseconds("tool pick-up") + n * times.milliseconds("screw");
        assert_relative_eq!(f64::from(total) / 1000.0, f64::from(tmu) * TMU_SECONDS, epsilon = 1e-9);
    }

    /// Process time X, index to seconds (read): the smallest index whose seconds reach the actual time.
    #[rstest]
    #[case(0.4, 1)]
    #[case(0.5, 1)]
    #[case(4.6, 16)]
    #[case(21.5, 54)]
    fn process_times(#[case] seconds: f64, #[case] index: u32) {
        const X: [(u32, f64); 9] =
            [(1, 0.5), (3, 1.5), (6, 2.5), (10, 4.5), (16, 7.0), (24, 9.5), (32, 13.0), (42, 17.0), (54, 21.5)];
        assert_eq!(X.iter().find(|(_, s)| *s >= seconds).map(|(i, _)| *i), Some(index));
    }

    /// Assembly analysis of two irons (Open Mechanical Engineering Journal 10, tables 3 and 4, read): printed rows sum to
    /// the printed totals, recomputed rows do not, because two row types are misprinted.
    #[rstest]
    #[case(204.14, 207.14, 3.0)]
    #[case(174.08, 176.08, 2.0)]
    fn misprinted_rows_are_found(#[case] printed: f64, #[case] recomputed: f64, #[case] off: f64) {
        // 1.95 + 5.50 printed as 5.45 (2.00 short), 1.95 + 1.50 printed as 2.45 (1.00 short).
        let short = [1.95 + 5.50 - 5.45, 1.95 + 1.50 - 2.45];
        assert_relative_eq!(short[0], 2.0, epsilon = 1e-9);
        assert_relative_eq!(short[1], 1.0, epsilon = 1e-9);
        assert_relative_eq!(recomputed - printed, off, epsilon = 1e-9);
        let found = (0..=2).flat_map(|a| (0..=3).map(move |b| f64::from(a) * short[0] + f64::from(b) * short[1]));
        assert!(found.into_iter().any(|sum| (sum - off).abs() < 1e-9));
    }

    #[rstest]
    #[case((35.2, 58.4), "35 to 58 s")]
    #[case((90.0, 150.0), "90 s to 2.5 min")]
    #[case((610.0, 1000.0), "10 to 17 min")]
    #[case((7.0, 7.0), "7 s")]
    fn two_figures_at_most(#[case] range: (f64, f64), #[case] shown: &str) {
        assert_eq!(in_words(range), shown);
    }
}
