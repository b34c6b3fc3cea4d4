//! English: what `methods` says around a method read aloud.

use scoring::vocab::Certainty;

/// The edition of a method, and what it is for.
pub(crate) fn edition(edition: &str) -> String {
    format!("edition: {edition}")
}
pub(crate) fn for_categories(categories: &[&str]) -> String {
    format!("for: {}", categories.join(", "))
}

pub(crate) const MORE: &str = "`unfasten methods METHOD` explains one in full. A file of your own works wherever an id does; \
                               `unfasten methods check FILE` lists its problems.";

/// Words a method can't do without, for who meets them here first.
pub(crate) const WORDS: [(&str, &str); 7] = [
    ("steps", "what the rule above counts while a part is taken out, from the closed device"),
    (
        "reference route",
        "of all ways to a part in the record, the one that damages nothing and counts the fewest steps; all that is \
         measured of the part is read on it",
    ),
    ("at the part", "only the action that frees the part, with what that action needs"),
    (
        "fasteners",
        "reusable: can be used again; resupplied: new ones come with the new part; removable: comes off without harm \
         to the device, but is spent; neither: none of these",
    ),
    (
        "tools",
        "basic: on the list of the law (unfasten about tools shows it); commercially available: anybody can buy it; \
         proprietary: only the maker has it",
    ),
    (
        "certainty",
        "read: read in the source itself; secondary: in a text that restates it; memory: recalled, not verified; own: \
         a choice of whoever wrote the method; derived: follows from other numbers",
    ),
    (
        "points",
        "the number right of a value, on the scale of the method; what stands in brackets is said of that number alone",
    ),
];

/// A switch by its heading and the name it is set by.
pub(crate) fn switch(heading: &str, id: &str) -> String {
    format!("{heading}: {id}")
}

/// A heading with the id its criterion is named by elsewhere.
pub(crate) fn with_id(heading: &str, id: &str) -> String {
    format!("{heading} (id: {id})")
}

/// How another reading is taken.
pub(crate) fn otherwise(method: &str, switch: &str, option: &str) -> String {
    format!("Taken otherwise by: --method {method} --reading {switch}={option}")
}

/// A rule nobody else made.
pub(crate) const OWN: &str = "own";

pub(crate) fn certainty(certainty: Certainty) -> String {
    format!("certainty: {certainty}")
}

pub(crate) fn open_reading(switch: &str) -> String {
    format!("open reading: {switch}")
}

/// A value with what is said beside it.
pub(crate) fn with_notes(value: &str, beside: &[String]) -> String {
    if beside.is_empty() { value.to_owned() } else { format!("{value} ({})", beside.join("; ")) }
}
