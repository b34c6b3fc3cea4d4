//! English: what `unknowns` says, apart from the questions themselves.

use scoring::range::firmness::EndName;
use scoring::range::questions::EXACT_TO;

use super::plain;

pub(crate) const MOST_IN_TEXT: [&str; 2] =
    ["--most tells its questions as text or as a table", "use --format text or csv"];

/// A device, a method, and its verdict.
pub(crate) fn head(device: &str, method: &str, said: &str) -> String {
    format!("{device}, {method}: {said}")
}

/// How many questions matter most, of how many, and how far they narrow the range: at the worst, and at the best.
pub(crate) fn most(most: usize, all: usize, [worst, best]: [&str; 2]) -> String {
    format!(
        "The {} that matter most, of {all}. Answered for the worst they would leave {worst}, for the best {best}.",
        plain::questions(most),
    )
}

/// What was found of a question, when, and the line it stands on.
pub(crate) fn place(found: &str, at: Option<u32>, line: Option<u32>) -> String {
    let line = line.map_or_else(|| "not in the record yet".to_owned(), plain::line);
    format!("{found}{}; {line}", plain::at_time(at))
}

pub(crate) const WHO_ASKS: &str = "`unfasten answer` asks them; `--format csv` makes a table to fill in.";

/// In which order questions stand; `full`: they are those of the full verdict, and there is another.
pub(crate) fn order(full: bool) -> String {
    let of = if full { " of the full verdict" } else { "" };
    format!("Open questions{of}. First what leaves least open in the worst case, then on average.")
}

/// A place in the record, and its path.
pub(crate) fn at(place: &str, path: &str) -> String {
    format!("{place}, {path}")
}

pub(crate) fn more_outcomes(more: usize) -> String {
    format!("and {more} more outcomes: --format json")
}

/// What questions settle.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Settled {
    /// The verdict as it is shown.
    Verdict,
    /// The class.
    Class,
}

/// Which questions settle something, by their numbers, of how many; `smallest`: no fewer do.
pub(crate) fn settles(what: Settled, numbers: &[usize], all: usize, smallest: bool) -> String {
    let [head, middle] = match what {
        Settled::Verdict => ["The shown verdict", "the shown verdict"],
        Settled::Class => ["The class", "the class"],
    };
    let list: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    let by =
        || format!("{head} is settled by {} ({}), whatever the answers", plain::questions(list.len()), list.join(", "));
    match (list.len(), smallest) {
        (0, _) => format!("{head} is settled as it stands."),
        // That everything settles it goes without saying.
        (1, _) if all == 1 => format!("{head} hangs on this one question."),
        (n, true) if n == all => {
            format!("{head} needs an answer to every one of the {all} questions: no fewer settle it.")
        }
        (n, false) if n == all => {
            format!("No smaller set of questions than all {all} was found that settles {middle}.")
        }
        (_, true) => format!("{}; no fewer do it.", by()),
        (_, false) => {
            format!("{}; found greedily (proved to {EXACT_TO} questions), so fewer may do.", by())
        }
    }
}

/// Heads of the lists of what a verdict hinges on.
pub(crate) const CRITERIA: &str = "It hinges on these criteria:";
pub(crate) const FACTS: &str = "And on these facts, each changed alone:";
pub(crate) const WEIGHTS: &str = "Weights that could move the class:";
pub(crate) const READINGS: &str = "Other readings of open rules:";

/// At which end of a range.
fn at_end(end: EndName) -> &'static str {
    match end {
        EndName::Settled => "",
        EndName::Low => " at the low end",
        EndName::High => " at the high end",
    }
}

/// The class before, and the class after.
fn becomes([before, after]: &[String; 2], end: EndName) -> String {
    format!("{before} becomes {after}{}", at_end(end))
}

/// A criterion, its part and what is said of it, that moves the class one row off.
pub(crate) fn criterion(title: &str, part: Option<&str>, said: &str, class: &[String; 2], end: EndName) -> String {
    let part = part.map_or_else(String::new, |p| format!(", {p}"));
    format!("{title}{part} ({said}) one row off: {}", becomes(class, end))
}

/// A fact at a path that moves the class.
pub(crate) fn fact(text: &str, path: &str, class: &[String; 2], end: EndName) -> String {
    format!("{text} ({path}): {}", becomes(class, end))
}

/// From which weight on a class is another, below it or above.
pub(crate) fn bound(above: bool, weight: &str, class: &str) -> String {
    format!("{} {weight} it is class {class}", if above { "above" } else { "below" })
}

/// A criterion, its weight, and the weights that move the class.
pub(crate) fn weighs(id: &str, weight: &str, bounds: &[String], end: EndName) -> String {
    format!("{id} weighs {weight}; {}{}", bounds.join(", "), at_end(end))
}

/// How many criteria rest on memory, and where the verdict could lie were they all wrong.
pub(crate) fn from_memory(criteria: usize, range: &str) -> String {
    format!(
        "{} from memory of medium or low certainty; were they all wrong, the verdict could lie anywhere from {range}.",
        plain::criteria(criteria)
    )
}

/// Another reading of a rule.
pub(crate) fn reading(setting: &str, means: &str, said: &str, differs: bool) -> String {
    let differs = if differs { "" } else { " (no difference)" };
    format!("{setting} ({means}): {said}{differs}")
}
