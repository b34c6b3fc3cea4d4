//! English: phrases of comparisons: what holds devices down, what would settle their order, which order figures follow.

use super::english::number;
use crate::plural::list;

/// What a comparison is not.
pub const NOTICE: &str = "Unofficial pre-checks, each computed from one teardown record; not declared classes.";

/// Heading of the verdicts of all devices, where they have one each.
pub const VERDICTS: &str = "Verdicts";

/// The same where they have two, with the word of the one that is compared.
pub fn verdicts_compared(which: &str) -> String {
    format!("Verdicts (compared: the {which} one)")
}

/// Nothing of a method could be scored.
pub const NOTHING_SCORED: &str = "nothing scored";

/// A device with what is said of it.
pub fn with(device: &str, said: &str) -> String {
    format!("{device} ({said})")
}

/// Devices that share a place in the order.
pub fn tier(place: usize, devices: &[String]) -> String {
    format!("tier {place}: {}", devices.join("; "))
}

/// Heading of the order.
pub const ORDER: &str = "Order, as far as the ranges allow one (within a tier none is claimed)";

/// Heading of how far weights could move.
pub const MOVES: &str = "How far one weight could move before devices change places (its share of its group, the others keeping \
                         their ratios; limiting factors left aside)";

/// Heading of limits that hold devices down.
pub const HELD: &str = "Held down by limiting factors";

/// Heading of what would settle the order of devices whose ranges overlap.
pub const SETTLES: &str = "What would settle the order";

/// Heading of what holds under any weights.
pub const ANY_WEIGHTS: &str = "Under any weights";

/// A device that is as good as another whatever is weighed how.
pub fn dominates(better: &str, worse: &str, limits_aside: bool) -> String {
    let aside = if limits_aside { "; limiting factors left aside" } else { "" };
    format!("{better} is at least as good as {worse} in all that is weighed, and better in something{aside}")
}

/// Why devices differ, with their names.
pub fn against(better: &str, worse: &str, why: &str) -> String {
    format!("{better} against {worse}: {why}")
}

/// A row's title, with the part it is about.
pub fn title(title: &str, part: Option<&str>) -> String {
    part.map_or_else(|| title.to_owned(), |part| format!("{title}: {part}"))
}

/// Heading of what one of two devices is surely ahead in.
pub fn ahead(device: &str) -> String {
    format!("{AHEAD}: {device}")
}

/// The same of more than two.
pub fn best_ahead() -> String {
    format!("{AHEAD}, the best against the worst")
}

const AHEAD: &str = "Ahead whatever the open answers";

/// Heads of the best and the worst of several devices.
pub const BEST_AND_WORST: [&str; 2] = ["best", "worst"];

/// Heads of a table of differences: criterion, the better, the worse, points.
pub fn columns([better, worse]: [&str; 2]) -> [String; 4] {
    ["criterion", better, worse, "points"].map(str::to_owned)
}

/// A difference as a sentence: the row, between which of several devices, why, and what it is worth.
pub fn difference(title: &str, pair: Option<[&str; 2]>, why: &str, worth: &str) -> String {
    let who = pair.map_or_else(String::new, |[better, worse]| format!(", {better} against {worse}"));
    let worth = if worth.is_empty() { String::new() } else { format!(" ({worth} points)") };
    format!("{title}{who}: {why}{worth}")
}

/// What was read of the worse device, and why.
pub fn because(read: &str, why: &[String]) -> String {
    if why.is_empty() { read.to_owned() } else { format!("{read}: {}", why.join(", ")) }
}

/// What is said of a device.
pub fn named(device: &str, said: &str) -> String {
    format!("{device}: {said}")
}

/// Heading of other weights, where none were drawn.
pub const OTHER_WEIGHTS: &str = "With other weights";

/// The same of so many criteria, where they were.
pub fn other_weights(criteria: usize, limits_aside: bool) -> String {
    let aside = if limits_aside { ", limiting factors left aside" } else { "" };
    format!("{OTHER_WEIGHTS} of the {criteria} criteria{aside}")
}

/// Why no weights were drawn.
pub fn none_drawn(criterion: &str, device: &str) -> String {
    format!("none drawn, because {criterion} is left out for {device}")
}

/// How weights were drawn, and how good the shares are.
pub fn drawn(samples: &str, draw: u64, half: &str) -> String {
    format!(
        "{samples} weightings drawn, each of all weightings as likely as any other (draw {draw}); each share is good to {half} \
         percentage points"
    )
}

/// Of which criteria.
pub fn criteria(titles: &[String]) -> String {
    format!("criteria: {}", titles.join("; "))
}

/// A weight that is one of a part.
pub fn of_part(title: &str) -> String {
    format!("{title} (a part)")
}

/// At which share two devices come to the same.
pub fn draws_level(share: &str, device: &str, with: &str) -> String {
    format!("at about {share} {device} draws level with {with}")
}

/// Something stays whatever a weight is.
pub const WHATEVER_IT_IS: &str = "whatever it is";

/// A share now, from where to where the order stays, where the first place does if that is elsewhere (`None` inside: everywhere),
/// and what happens beyond.
pub fn moves(name: &str, now: &str, order: &str, first: Option<Option<&str>>, beyond: &[String]) -> String {
    let first = match first {
        None => String::new(),
        Some(None) => format!(", first place {WHATEVER_IT_IS}"),
        Some(Some(stays)) => format!(", first place from {stays}"),
    };
    format!("{name}: {now} now; the order stays from {order}{first} ({})", beyond.join("; "))
}

/// Weights that change nothing; `others`: some change something.
pub fn still(weights: usize, others: bool) -> String {
    match (others, weights) {
        (false, n) => format!("None of {n} weights changes the order, whatever it is"),
        (true, 1) => "One other weight changes nothing, whatever it is".to_owned(),
        (true, n) => format!("{n} other weights change nothing, whatever they are"),
    }
}

/// Weights inside of criteria that devices have different parts in.
pub fn not_followed(titles: &[String]) -> String {
    format!("Not followed inside {}, where the devices have different parts or criteria", titles.join(", "))
}

/// A verdict on its scale, for who hears a bar.
pub fn of_scale(verdict: &str, [least, most]: [&str; 2]) -> String {
    format!("{verdict}, of {least} to {most}")
}

/// A place in the order under some weights.
pub fn rank(place: usize) -> String {
    format!("rank {place}")
}

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
