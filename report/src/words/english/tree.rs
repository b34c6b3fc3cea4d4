//! English: the tree of criteria: what is read, how values are put together, how far it is to more points.

use scoring::method::{Combine, Group};

/// A criterion that has nothing to read.
pub const LEFT_OUT: &str = "left out";

/// One that has something to read at one end only.
pub fn left_out_or(points: &str) -> String {
    format!("left out, or {points}")
}

/// The unit of a difference between two shares in percent.
pub const POINTS_OF_PERCENT: &str = "percentage points";

/// A change to a greater number.
pub const MORE: &str = "more";

/// A change to a smaller one, of what is counted or of what is measured.
pub fn less(counted: bool) -> &'static str {
    if counted { "fewer" } else { "less" }
}

/// A difference without a short form.
pub fn about(amount: &str) -> String {
    format!("about {amount}")
}

/// `1 step fewer would give 8.00`.
pub fn would_give(by: &str, unit: &str, way: &str, points: &str) -> String {
    let unit = match (by, unit) {
        (_, "") => String::new(),
        ("1", "marks out of 10") => " mark".to_owned(),
        (_, "marks out of 10") => " marks".to_owned(),
        ("1", many) => format!(" {}", many.strip_suffix('s').unwrap_or(many)),
        (_, "code digit") => " code digits".to_owned(),
        (_, many) => format!(" {many}"),
    };
    format!("{by}{unit} {way} would give {points}")
}

/// What another change would give, behind a first: `1 more, 4.00`.
pub fn would_give_too(by: &str, way: &str, points: &str) -> String {
    format!("{by} {way}, {points}")
}

/// A sum without terms.
pub const NOTHING_TO_COUNT: &str = "nothing to count";

/// How a group is put together.
pub fn combined(how: Combine) -> &'static str {
    match how {
        Combine::Mean => "weighted mean",
        Combine::Sum => "weighted sum",
        Combine::Worst => "the lowest counts",
        Combine::Best => "the highest counts",
        Combine::Cap => "the first, but at most each of the others",
        Combine::Gate => "the first, if all the others are met",
        Combine::Apart => "side by side, not added up",
    }
}

/// What a criterion measures.
pub fn measured_by(measure: &str) -> String {
    format!("measure: {measure}")
}

/// The word for a group.
pub fn group(group: Group) -> &'static str {
    match group {
        Group::ProductRelated => "product-related",
        Group::SupportRelated => "support-related",
    }
}
