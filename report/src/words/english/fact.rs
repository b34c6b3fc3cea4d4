//! English: a fact, as well as it is known.

/// The record leaves it out.
pub const NOT_STATED: &str = "not stated";

/// A fact that holds or not.
pub fn yes_no(holds: bool) -> &'static str {
    if holds { "yes" } else { "no" }
}

/// One of several.
pub fn one_of(list: &[String]) -> String {
    format!("{}, not established which", list.join(" or "))
}

/// `4 to 6 working days`: one unit is enough.
pub fn from_to(low: &str, high: &str) -> String {
    let unit = |text: &str| text.split_once(' ').map(|(_, unit)| unit.trim_end_matches('s').to_owned());
    match low.split_once(' ') {
        Some((number, _)) if low.starts_with(|c: char| c.is_ascii_digit()) && unit(low) == unit(high) => {
            super::to(number, high)
        }
        _ => super::to(low, high),
    }
}

/// What may be so.
pub fn perhaps(what: &str) -> String {
    format!("perhaps {what}")
}
