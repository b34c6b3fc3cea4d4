//! English: where a published report and its record part, and what can't be published.

/// What stands on one side alone, or was asked there alone.
pub const NOT_THERE: &str = "not there";
/// There is none.
pub const NONE: &str = "none";
/// A method the report applies.
pub const ASSESSED: &str = "assessed";
/// A method the record is not assessed by.
pub const NOT_ASSESSED: &str = "not assessed";

/// What differs.
pub const DEVICE: &str = "device";
/// How many routes there are.
pub const NUMBER_OF_ROUTES: &str = "number of routes";
/// The record something was corrected since.
pub const FINGERPRINT_OF_EARLIER: &str = "fingerprint of the earlier record";

/// A method.
pub fn method(id: &str) -> String {
    format!("method {id}")
}

/// The route to a part.
pub fn route_to(target: &str) -> String {
    format!("route to {target}")
}

/// A route by its steps and its lines.
pub fn route(steps: &str, lines: &[&str]) -> String {
    format!("{steps}: {}", lines.join(", "))
}

/// The fingerprint of a method.
pub fn fingerprint(method: &str) -> String {
    format!("{method}, fingerprint (record, method, options or program differ)")
}

/// The verdict a reader sees.
pub fn verdict_shown(key: &str) -> String {
    format!("{key}, verdict shown")
}

/// An end of a verdict, or its class there.
pub fn end_of(method: &str, high: bool) -> String {
    format!("{method}, {} end", if high { "high" } else { "low" })
}
/// The class at an end.
pub fn class_of(method: &str, high: bool) -> String {
    format!("{method}, class, {} end", if high { "high" } else { "low" })
}

/// A criterion.
pub fn node(method: &str, id: &str) -> String {
    format!("{method}, node {id}")
}

/// A line.
pub fn line_of_report(number: usize) -> String {
    format!("line {number} of the report")
}

/// How many entries a list has.
pub fn entries(path: &str) -> String {
    format!("{path}, entries")
}

/// Why a picture is not taken.
pub const NO_PICTURE: &str = "neither a JPEG nor a PNG nor a WebP picture";
/// It moves.
pub const MOVING_PICTURE: &str = "a moving picture, of which no frame is the one to show";
/// It ends early, or makes no sense.
pub const BROKEN_PICTURE: &str = "the picture file is damaged, so its metadata can't be taken out";

/// A template by a name nothing asks for, a near name, and all there are.
pub fn no_template(name: &str, near: Option<&str>, all: &[&str]) -> String {
    let meant = near.map_or_else(String::new, |n| format!(", did you mean `{n}`?"));
    format!("no template is called `{name}`, and none takes it in{meant}; there are {}", all.join(", "))
}

/// What templates may not do.
pub const NO_JOINING: &str = "`+` needs a number beside it; texts are joined by `~`, lists by a loop over each";
/// A sum with a start.
pub const SUM_FROM_NOUGHT: &str = "`sum` starts at 0 here";
/// It takes too long.
pub const TOO_MUCH: &str = "takes too long or makes too much; is there a loop without end, or a text that doubles?";

/// The page could not be written.
pub const NOT_WRITTEN: &str = "could not write";

/// A text by a key nobody knows.
pub fn no_text(key: &str) -> String {
    format!("no text `{key}` for these arguments")
}
