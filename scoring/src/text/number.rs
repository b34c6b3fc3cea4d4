//! Singular and plural of names that people gave to things.

/// Endings of words that end in s and are one thing: `lens`, `glass`, `bus`, `chassis`, `gas`, `Asus`-like names.
const ONE: [&str; 5] = ["ss", "us", "is", "as", "os"];
/// Single things whose names end in s all the same.
const SINGLE: [&str; 2] = ["lens", "series"];

/// More than one thing by its form: `side keys`, `bearings`, `left and right damper`.
pub fn many(name: &str) -> bool {
    let last = name.rsplit(' ').next().unwrap_or_default();
    let by_form = last.ends_with('s') && !ONE.iter().any(|e| last.ends_with(e)) && !SINGLE.contains(&last);
    by_form || name.contains(" and ")
}

/// A thing as it comes from a shop: `a new battery`, `new bearings`.
pub fn a_new(name: &str) -> String {
    if many(name) { format!("new {name}") } else { format!("a new {name}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_and_many() {
        for one in ["battery", "glass", "lens", "chassis", "bus", "front lens"] {
            assert!(!many(one), "{one}");
        }
        for more in ["bearings", "side keys", "left and right damper"] {
            assert!(many(more), "{more}");
        }
        assert_eq!(a_new("bearings"), "new bearings");
        assert_eq!(a_new("pump"), "a new pump");
    }
}
