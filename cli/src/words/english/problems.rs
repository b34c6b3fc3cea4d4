//! English: what is said around problems.

use scoring::text::Severity;
use scoring::text::words::count;

use super::plain;

/// Leads of why a problem is one; the mend has its word in `failure`.
pub(crate) const WHY: &str = "why";

/// So many more of a kind, which are not shown: what, why that is, and the mend.
pub(crate) fn more(more: usize) -> String {
    format!("and {more} more of this kind")
}
pub(crate) const MORE: [&str; 2] = ["After this many, most follow from a few.", "mend the first ones and check again"];

/// How many problems of each severity there are.
pub(crate) fn counted(counts: &[(usize, Severity)]) -> String {
    let words: Vec<String> = counts.iter().filter(|(n, _)| *n > 0).map(|(n, s)| count(*n, s.word())).collect();
    if words.is_empty() { "no problems".to_owned() } else { words.join(", ") }
}

/// Problems of one code that are not shown, in so many records; without a code where there is none.
pub(crate) fn left(problems: usize, code: Option<&str>, in_records: usize) -> String {
    let kind = code.map_or_else(String::new, |code| format!(" ({code})"));
    format!("and {problems} more of this kind{kind}, in {}", plain::records(in_records))
}

/// Records of which warnings are not shown.
pub(crate) fn unwarned(records: usize) -> String {
    format!("and warnings of {} more", plain::records(records))
}

/// What is left out, and how to see it.
pub(crate) fn left_out(left: &[String]) -> String {
    format!("{}; mend the first ones and run it again, or see all with `--problems json`", left.join("; "))
}
