//! How ends are called: an end that some completion has, and a bound, at which nothing is read.

use scoring::exact::Exact;
use scoring::method::Method;
use scoring::range::{Range, show};

use super::english;

/// What an end of a verdict is called. Where it is a bound, what can be told is of a completion that was tried.
pub fn end(attained: bool, high: bool) -> &'static str {
    match (attained, high) {
        (true, false) => "low end",
        (true, true) => "high end",
        (false, false) => "tried near the low end",
        (false, true) => "tried near the high end",
    }
}

/// What both are called where the same is read at them.
pub fn both_ends(attained: [bool; 2]) -> &'static str {
    if attained == [true; 2] { "both ends" } else { "both completions tried" }
}

/// What the answers that were tried come to, and that nothing leaves the range: of a range of which an end is a bound.
/// Empty where both ends are exact.
pub fn bounds(range: &Range, method: &Method) -> String {
    if range.attained == [true; 2] {
        return String::new();
    }
    let shown = |v: &Option<Exact>| v.as_ref().map(|v| show(method, v));
    let [low, high] = [shown(&range.low), shown(&range.high)].map(Option::unwrap_or_default);
    let outer = if low == high { low } else { format!("{low} to {high}") };
    match (range.reached.each_ref().map(shown), method.scale.verdict) {
        ([Some(a), Some(b)], true) if a == b => format!("bounds: the answers tried all give {a}, others may not"),
        ([Some(_), Some(_)], true) => "reached both fail and pass".to_owned(),
        (_, true) => "bounds: neither pass nor fail is sure to be reached".to_owned(),
        ([a, b], false) => english::reached_within(a.as_deref().zip(b.as_deref()), &outer),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use scoring::method::load_shipped;

    fn range(attained: [bool; 2], ends: [i64; 2], reached: [Option<i64>; 2]) -> Range {
        let [low, high] = ends.map(|v| Some(Exact::from(v)));
        Range { low, high, exact: attained == [true; 2], attained, reached: reached.map(|v| v.map(Exact::from)) }
    }

    #[test]
    fn tells_what_was_reached_beside_a_bound_only() {
        let method = load_shipped("en-45554").expect("ships");
        let said = |r: &Range| bounds(r, &method);
        assert_eq!(said(&range([true; 2], [3, 6], [Some(3), Some(6)])), "");
        assert_eq!(
            said(&range([false, true], [3, 6], [Some(4), Some(6)])),
            "reached 4.0 to 6.0; never outside 3.0 to 6.0"
        );
        assert_eq!(said(&range([false; 2], [3, 6], [Some(5), Some(5)])), "reached 5.0; never outside 3.0 to 6.0");
        let crossed = said(&range([false; 2], [3, 6], [None, None]));
        assert_eq!(crossed, "never outside 3.0 to 6.0; which of it can be reached is not known");
        let law = load_shipped("eu-2023-1542-11").expect("ships");
        let said = bounds(&range([false; 2], [0, 1], [Some(0), Some(0)]), &law);
        assert!(said.contains("fail") && !said.contains("settled"), "{said}");
    }
}
