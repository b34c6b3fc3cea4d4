//! English: results of legal methods.

use scoring::method::Measure;

use super::number;

/// A method that gives none.
pub const NO_TOTAL: &str = "no total";

/// Nothing to score.
pub const DOES_NOT_APPLY: &str = "does not apply";

/// Neither met nor missed for sure.
pub const NOT_SETTLED: &str = "not settled";

/// Why there is no total.
pub const WEIGHTS_UNREAD: &str = "weights that could not be read; the scores of parts and criteria stand below";

/// A result that binds nobody.
pub const INFORMATION_ONLY: &str = "for information only";

/// Whether requirements are met, or would be where the rule does not bind the device yet.
pub fn met(met: bool, would: bool) -> &'static str {
    match (met, would) {
        (true, false) => "met",
        (false, false) => "not met",
        (true, true) => "would be met",
        (false, true) => "would not be met",
    }
}

/// `for devices first supplied from 18 February 2027`.
pub fn supplied_from(day: &str) -> String {
    format!("for devices first supplied from {day}")
}

/// `2 of 112 not met, 86 open; first: sim tray, skill level`.
pub fn requirements(of: usize, not_met: usize, open: usize, first: &str) -> String {
    if not_met == 0 && open == 0 {
        return match of {
            1 => "the one requirement is met".to_owned(),
            _ => format!("all {of} met"),
        };
    }
    let missed = if not_met == 0 { String::new() } else { format!("{not_met} of {of} not met") };
    let open = match (open, not_met) {
        (0, _) => String::new(),
        (n, 0) => format!("{n} of {of} open, none surely missed"),
        (n, _) => format!(", {n} open"),
    };
    let first = if first.is_empty() { String::new() } else { format!("; first: {first}") };
    format!("{missed}{open}{first}")
}

/// `of criteria most is lost on fasteners 1.00, tools 0.98 and steps 0.40`.
pub fn most_lost_by_criterion(named: &str) -> String {
    if named.is_empty() { "nothing is lost".to_owned() } else { format!("of criteria most is lost on {named}") }
}

/// `of parts and promises most is lost on the battery (0.66) and repair information (0.30)`.
pub fn most_lost(named: &str) -> String {
    if named.is_empty() {
        "nothing is lost".to_owned()
    } else {
        format!("of parts and promises most is lost on {named}")
    }
}

/// Facts or readings of one kind that a result rests on; what is open was told.
pub fn rests(how: &str, n: usize) -> Option<String> {
    let one = |one: &str, more: &str| format!("{} {}", number(n), if n == 1 { one } else { more });
    match how {
        "own reading" => Some(one("reading of our own", "readings of our own")),
        "open" => None,
        how => Some(format!("{} {how}", one("fact", "facts"))),
    }
}

/// `rests on one fact told and one reading of our own`.
pub fn rests_on(what: &str) -> String {
    format!("rests on {what}")
}

/// A verdict of a rule that may not bind.
pub fn would(verdict: &str) -> String {
    format!("would {verdict}")
}

/// `Of 112 requirements that apply, 2 not met (first: …), 86 not settled, 24 met.`
pub fn requirements_reason(of: usize, not_met: usize, open: usize, first: &str) -> String {
    let first = if first.is_empty() { String::new() } else { format!(" (first: {first})") };
    let met = of - not_met - open;
    let of = format!("{of} {}", if of == 1 { "requirement that applies" } else { "requirements that apply" });
    format!("Of {of}, {not_met} not met{first}, {open} not settled, {met} met.")
}

/// A word of a measure beside the name of its criterion: `heat and solvents: used`, not `heat and solvents: heat or solvent`.
pub fn read_as(measure: &Measure, said: &str) -> String {
    match (measure, said) {
        (Measure::HeatOrSolvent, "heat or solvent") => "used".to_owned(),
        (Measure::HeatOrSolvent, "none") => "none used".to_owned(),
        _ => said.to_owned(),
    }
}

/// What was read where a requirement is missed, for where nothing but the name of the criterion stands beside it.
pub fn missed(kind: &str, said: &str) -> String {
    match (kind, said) {
        ("measure: fasteners", "neither") => "neither reusable nor removable".to_owned(),
        _ => said.to_owned(),
    }
}

/// `none` as what would meet a requirement, where the word alone could be read as "nothing would".
pub fn none_of(measure: &Measure) -> Option<&'static str> {
    match measure {
        Measure::HeatOrSolvent => Some("a way without heat or solvent"),
        Measure::Tools => Some("no tool at all"),
        _ => None,
    }
}
