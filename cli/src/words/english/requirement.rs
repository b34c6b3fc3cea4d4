//! English: what is said of a requirement such as `score=7.0`.

use scoring::text::Day;

/// What a method gives at the low end, which class, and from which day its rule binds, where it may not bind the device.
pub(crate) fn gives(method: &str, low: Option<&str>, class: Option<&str>, day: Option<Day>) -> String {
    let low = low.unwrap_or("nothing");
    let class = class.map_or_else(String::new, |class| format!(", class {class}"));
    match day {
        None => format!("{method} gives {low}{class} at the low end"),
        Some(day) => format!(
            "{method} would give {low}{class} at the low end (judged as if it applied; it applies to devices first supplied from \
             {})",
            day.in_words()
        ),
    }
}

/// An exact figure, and as what it is shown.
pub(crate) fn shown_as(exact: &str, shown: &str) -> String {
    format!("{exact} (shown as {shown})")
}

/// How far a low end is from a class, or a score.
pub(crate) fn to_class(gap: &str, class: &str) -> String {
    format!(", {gap} to class {class}")
}
pub(crate) fn to_score(gap: &str, score: &str) -> String {
    format!(", {gap} to {score}")
}

/// What a verdict rests on that nobody saw or read, and how many more.
pub(crate) fn rests_on(shown: &[[&str; 2]], more: usize) -> String {
    let mut said: Vec<String> = shown.iter().map(|[how, what]| format!("{how}: {what}")).collect();
    if more > 0 {
        said.push(format!("{more} more"));
    }
    if said.is_empty() { String::new() } else { format!(" (rests on {})", said.join("; ")) }
}

/// No method gives what is asked.
pub(crate) fn none_gives(text: &str) -> [String; 2] {
    [
        format!("no chosen method that fits this device gives `{text}`"),
        "choose a method that gives it with --method".to_owned(),
    ]
}
