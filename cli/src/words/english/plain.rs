//! English: counts of things, verdicts and their ends, and what several commands say.

use scoring::method::Standing;
use scoring::text::words::{clock, count};

use crate::arguments::VerdictOf;
use crate::ends::Ends;

pub(crate) fn actions(n: usize) -> String {
    count(n, "action")
}

pub(crate) fn changes(n: usize) -> String {
    count(n, "change")
}

pub(crate) fn criteria(n: usize) -> String {
    if n == 1 { format!("{n} criterion") } else { format!("{n} criteria") }
}

pub(crate) fn facts(n: usize) -> String {
    count(n, "fact")
}

pub(crate) fn parts(n: usize) -> String {
    count(n, "part")
}

pub(crate) fn questions(n: usize) -> String {
    count(n, "question")
}

pub(crate) fn records(n: usize) -> String {
    count(n, "record")
}

pub(crate) fn sheets(n: usize) -> String {
    count(n, "sheet")
}

/// Counted steps, `counted`: said to be so; which may be open upwards.
pub(crate) fn steps(n: u32, counted: bool) -> String {
    let (known, open) = scoring::record::complete::open_count(n);
    let least = if open { "at least " } else { "" };
    format!("{least}{}", count(known as usize, if counted { "counted step" } else { "step" }))
}

/// `4.0 to 9.5, class D to B`, `not settled`, `no total`.
pub(crate) fn range(ends: &Ends<'_>) -> String {
    let [low, high] = ends.shown;
    let range = if ends.none() {
        NO_TOTAL.to_owned()
    } else if ends.one() {
        low.clone()
    } else if ends.passes {
        "not settled".to_owned()
    } else {
        format!("{low} to {high}")
    };
    match ends.classes {
        Some([low, high]) => format!("{range}, {}", class(low, high)),
        None => range,
    }
}

/// `class B`, `class D to B`.
pub(crate) use report::words::english::class;

/// The method gives no total.
pub(crate) const NO_TOTAL: &str = "no total";

/// A verdict of a rule that does not surely bind the device is what would be.
pub(crate) fn would(standing: Standing, ends: &Ends<'_>) -> String {
    let said = range(ends);
    if standing.day().is_some() && ends.decided() { format!("would {said}") } else { said }
}

/// `bench verdict`, `full verdict`.
pub(crate) fn verdict_of(of: VerdictOf) -> &'static str {
    match of {
        VerdictOf::Full => "full verdict",
        VerdictOf::Bench => "bench verdict",
    }
}

/// Which of the two verdicts of a method, behind its name: ` (bench verdict)`.
pub(crate) fn which(of: VerdictOf) -> String {
    format!(" ({})", verdict_of(of))
}

/// A verdict with what it is without the bench sheet: `verdict 5.0 by the sheet of A, 3.1 to 7.2 without`.
pub(crate) fn with_and_without(of: Option<VerdictOf>, range: &str, sheet: Option<[&str; 2]>) -> String {
    let name = of.map_or("verdict", verdict_of);
    match sheet {
        Some([sheet, without]) => format!("{name} {range} by the sheet of {sheet}, {without} without"),
        None => format!("{name} {range}"),
    }
}

/// Nothing of a method is asked of a device.
pub(crate) const DOES_NOT_APPLY: &str = "does not apply";

/// Where in the footage: ` at 1:20`.
pub(crate) fn at_time(seconds: Option<u32>) -> String {
    seconds.map_or_else(String::new, |s| format!(" at {}", clock(s)))
}

/// A line of the record.
pub(crate) fn line(line: u32) -> String {
    format!("line {line}")
}

/// The word before a place.
pub(crate) const AT: &str = "at";

/// What was in one place and is in another now.
pub(crate) fn places(places: &[&str]) -> String {
    places.join(", now ")
}

/// A near word for one nobody knows.
pub(crate) fn did_you_mean(near: &str) -> String {
    format!("did you mean {near}?")
}

/// The same, for what is written.
pub(crate) fn did_you_mean_text(near: &str) -> String {
    format!("did you mean `{near}`?")
}

/// All there are to choose from.
pub(crate) fn there_are(all: &str) -> String {
    format!("there are: {all}")
}

/// What a method is for.
pub(crate) fn it_is_for(categories: &[&str]) -> String {
    format!("it is for: {}", categories.join(", "))
}

/// Every fact is there.
pub(crate) const NOTHING_OPEN: &str = "Nothing is open: every fact the method reads is settled.";

/// Where mistakes of a record are told.
pub(crate) const SEE_CHECK: &str = "see `unfasten check`";

/// The same, of one record.
pub(crate) const SEE_CHECK_ABOUT: &str = "see what `unfasten check` says about it";

/// A record that has changed under the program.
pub(crate) const READ_TWICE: &str = "a record that was read can't be read again";

/// A mend.
pub(crate) const NAME_ITS_FILE: &str = "name the record's file";

/// More than is shown, which JSON has.
pub(crate) fn more_in_json(more: usize) -> String {
    format!("and {more} more: --format json")
}

/// The first few of a list and how many there are.
pub(crate) fn first_of(first: &[String], all: usize) -> String {
    format!("{} | … ({all} in all)", first.join(" | "))
}
