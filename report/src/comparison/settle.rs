//! What would settle the order of devices whose ranges overlap, as sentences.

use scoring::compare::Undecided;
use scoring::compare::undecided::Decider;

use super::{Compared, SETTLED_FOR};
use crate::clean::line;
use crate::words::compare as say;

/// Questions shown of those that settle an order alone, or by some of their answers.
const SHOWN: usize = 3;

/// A few sentences for each pair whose order is open.
pub fn settles(c: &Compared<'_>) -> Vec<String> {
    let (devices, pairs) = (c.ranking.names.len(), c.ranking.above.len());
    if devices > SETTLED_FOR && 2 * pairs < devices * (devices - 1) {
        return vec![say::too_many_devices(devices, SETTLED_FOR)];
    }
    c.undecided.iter().flat_map(|pair| of_pair(c, pair)).collect()
}

fn of_pair(c: &Compared<'_>, one: &Undecided) -> Vec<String> {
    let names: Vec<String> = c.ranking.names.iter().map(|n| line(n)).collect();
    let pair = one.pair.map(|i| names[i].as_str());
    if one.level {
        return vec![say::level(pair)];
    }
    let asked = |d: &Decider| say::of_device(&line(&d.question), &names[d.device]);
    let answers = |d: &Decider| {
        let list: Vec<(String, Option<&str>)> =
            d.answers.iter().map(|a| (line(&a.answer), a.above.map(|i| names[i].as_str()))).collect();
        say::answers_say(&list)
    };
    let mut out: Vec<String> =
        one.alone.iter().take(SHOWN).map(|d| say::settles_alone(pair, &asked(d), &answers(d))).collect();
    if out.is_empty() {
        out.push(say::none_alone(pair, one.exact && one.passed_over.is_empty()));
        out.extend(one.together.iter().take(1).map(|[a, b]| say::settle_together(&asked(a), &asked(b))));
        out.extend(one.partly.iter().take(SHOWN).map(|d| say::settles_partly(&asked(d), &answers(d))));
    }
    if !one.passed_over.is_empty() {
        let over: Vec<&str> = one.passed_over.iter().map(|&i| names[i].as_str()).collect();
        out.push(say::passed_over(&over));
    }
    out
}
