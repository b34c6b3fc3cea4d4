//! English: phrases of comparisons: what holds devices down, what would settle their order, which order figures follow.

use super::english::number;
use crate::plural::list;

/// A verdict that limiting factors hold at one end: the device, which end, the value there and without any limit, what
/// holds it, and the limit that would hold it next, with the value there.
pub fn held(name: &str, end: &str, [at, free]: [&str; 2], by: &[String], then: Option<&[String; 2]>) -> String {
    let by = list(by);
    let then = then.map_or_else(String::new, |[limit, at]| format!("; lifted alone, {limit} would hold it at {at}"));
    format!("{name}, {end}: {at}, held by {by}{then}; without limits {free}")
}

/// What a verdict comes to without limits; of an end nobody tried a bound.
pub fn free_of_limits(shown: &str, attained: bool, high: bool) -> String {
    match (attained, high) {
        (true, _) => shown.to_owned(),
        (false, false) => format!("at least {shown}"),
        (false, true) => format!("at most {shown}"),
    }
}

/// `7.1 to 7.2`.
pub fn from_to([low, high]: [&str; 2]) -> String {
    format!("{low} to {high}")
}

/// Two devices that come to the same, with nothing open.
pub fn level(pair: [&str; 2]) -> String {
    format!("{} or {}: nothing would. Both come to the same, and nothing of either is open", pair[0], pair[1])
}

/// A question that settles an order by itself, and what its answers say.
pub fn settles_alone(pair: [&str; 2], question: &str, answers: &str) -> String {
    format!("{} or {}: settled by one answer. {question} {answers}", pair[0], pair[1])
}

/// That no question settles an order by itself; `exact`: every answer's range has its ends attained.
pub fn none_alone(pair: [&str; 2], exact: bool) -> String {
    let none = if exact {
        "no question settles it alone, whatever its answer"
    } else {
        "no question is known to settle it alone (some ranges are outer bounds)"
    };
    format!("{} or {}: {none}", pair[0], pair[1])
}

/// Two questions that settle an order together, whatever the answers.
pub fn settle_together(one: &str, other: &str) -> String {
    format!("Settled by two answers together, whatever they are: {one} And: {other}")
}

/// A question of which some answers settle an order.
pub fn settles_partly(question: &str, answers: &str) -> String {
    format!("Settled by some answers, not by all. {question} {answers}")
}

/// A question with the device it is about.
pub fn of_device(question: &str, device: &str) -> String {
    format!("{device}: {question}")
}

/// What answers say of the order: `removable: A above; neither: the order stays open.`
pub fn answers_say(answers: &[(String, Option<&str>)]) -> String {
    let said: Vec<String> = answers
        .iter()
        .map(|(answer, above)| match above {
            Some(device) => format!("{answer}: {device} above"),
            None => format!("{answer}: stays open"),
        })
        .collect();
    format!("{}.", said.join("; "))
}

/// Devices whose questions were too many to go through.
pub fn passed_over(devices: &[&str]) -> String {
    let names: Vec<String> = devices.iter().map(|d| (*d).to_owned()).collect();
    format!("Not gone through: what is open of {}, since it is too much (unfasten unknowns asks it all)", list(&names))
}

/// That what would settle the order is worked out for a few devices only.
pub fn too_many_devices(devices: usize, most: usize) -> String {
    format!("Worked out for at most {} devices at a time, and these are {}", number(most), number(devices))
}

/// Which order figures about weights follow: pairs of neighbours, and whether it is that of the verdicts too.
pub fn order_followed(pairs: &[String], limits_aside: bool, same: bool) -> String {
    let by = if limits_aside { "before limiting factors" } else { "of the verdicts" };
    let differs = if same { "" } else { "; that of the verdicts, limits and all, is another one" };
    format!("The order followed is the one {by}: {}{differs}", pairs.join("; "))
}

/// A pair in order.
pub fn above(better: &str, worse: &str) -> String {
    format!("{better} above {worse}")
}
