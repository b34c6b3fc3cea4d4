//! English: what `score` says around a verdict; its sentences are those of the report.

use super::plain;

/// A record by what it is called and the name of its file.
pub(crate) fn title(title: &str, record: &str) -> String {
    format!("{title}  ({record})")
}

/// Lead what is said of a verdict.
pub(crate) const OWN_VERDICT: &str = "own verdict";
pub(crate) const VERDICT: &str = "verdict";
pub(crate) const BENCH_VERDICT: &str = report::words::english::BENCH_VERDICT;
pub(crate) const FULL_VERDICT: &str = "full verdict";
pub(crate) const APPLIES: &str = "applies";
pub(crate) const STATUS: &str = "status";
pub(crate) const WHY: &str = "why";
pub(crate) const NOT_MET: &str = "not met";
pub(crate) const COSTS_MOST: &str = "costs most";
pub(crate) const MOST_OPEN: &str = "most open";
pub(crate) const RESTS_ON: &str = "rests on";
pub(crate) const NOT_COVERED: &str = "not covered";
pub(crate) const CERTAINTY: &str = "certainty";
pub(crate) const ASSUMED: &str = "assumed";
pub(crate) const OPEN: &str = "open";

/// What the reviewer says.
pub(crate) fn own_verdict(text: &str) -> String {
    format!("{text} (the reviewer's, not computed)")
}

/// A method by its title and edition.
pub(crate) fn method(title: &str, edition: &str) -> String {
    format!("{title} ({edition})")
}

/// A range on its scale, the class, what stands behind the figures, and what it is without the bench sheet.
pub(crate) fn range(range: &str, out_of: &str, class: &str, bounds: &str, sheet: Option<[&str; 2]>) -> String {
    let scale = if out_of.is_empty() { String::new() } else { format!(" {out_of}") };
    let class = if class.is_empty() { String::new() } else { format!(", {class}") };
    let bounds = if bounds.is_empty() { String::new() } else { format!(" ({bounds})") };
    let sheet =
        sheet.map_or_else(String::new, |[sheet, without]| format!(" by the sheet of {sheet}; {without} without"));
    format!("{range}{scale}{class}{bounds}{sheet}")
}

/// A score of a part of the method, and why something is left out of it.
pub(crate) fn sub_score(range: &str, left_out: &str) -> String {
    if left_out.is_empty() { range.to_owned() } else { format!("{range}: {left_out}") }
}

/// A requirement that is not met: its part, and what was read.
pub(crate) fn not_met(title: &str, part: Option<&str>, read: Option<&str>) -> String {
    let part = part.map_or_else(String::new, |part| format!(": {part}"));
    let read = read.map_or_else(String::new, |read| format!(" ({read})"));
    format!("{title}{part}{read}")
}

/// Points, and what they are for.
pub(crate) fn points(points: &str, what: &str) -> String {
    format!("{points}: {what}")
}

/// An effect: what, what is said of it, and the points of it.
pub(crate) fn effect(what: &str, said: &str, points: Option<&str>) -> String {
    let points = points.map_or_else(String::new, |points| format!(": {points} points"));
    format!("{what} ({said}){points}")
}

/// How sure the weakest rule is, and whether routes are proved; `None`: no route is asked for.
pub(crate) fn weakest(weakest: &str, routes: Option<&str>) -> String {
    let routes = routes.map_or_else(String::new, |said| format!("; {said}"));
    format!("weakest rule {weakest}{routes}")
}

pub(crate) fn assumed(facts: usize) -> String {
    format!("{} settled without being stated", plain::facts(facts))
}

/// More than is shown.
pub(crate) fn more(more: usize) -> String {
    format!("and {more} more: unfasten score RECORD --format json")
}

pub(crate) const NOTHING_OPEN: &str = "nothing: every fact the method reads is settled";

/// Nothing is asked, and so many actions of a draft are not reviewed.
pub(crate) fn drafted(actions: usize) -> String {
    let actions = scoring::text::words::count(actions, "drafted action");
    format!("no question of its own; but nobody has reviewed {actions}, and an answer may change them")
}

/// How many questions are open; `idle`: none can change the verdict.
pub(crate) fn open(questions: usize, idle: bool) -> String {
    let idle = if idle { ", none of which can change the verdict" } else { "" };
    format!("{}{idle}", plain::questions(questions))
}

/// More questions than are shown.
pub(crate) fn more_questions(more: usize, record: &str, method: &str) -> String {
    format!("and {more} more: unfasten check {record} --method {method}")
}

/// Where an unknown stands, and its answers at both ends where they differ.
pub(crate) fn question(place: &str, ends: Option<[&str; 2]>) -> String {
    let ends = ends.map_or_else(String::new, |[low, high]| format!("; low end: {low}; high end: {high}"));
    format!("{} {place}{ends}", plain::AT)
}
