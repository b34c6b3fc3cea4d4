//! Small words of every page: counts, lists, clock times.

/// `1 step`, `3 steps`: an English count with a regular plural.
pub fn count(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

/// More than one of something, regularly: `screws`, `batteries`, `latches`.
pub fn plural(word: &str) -> String {
    match word.strip_suffix('y') {
        Some(stem) if !stem.ends_with(['a', 'e', 'i', 'o', 'u']) => return format!("{stem}ies"),
        _ => {}
    }
    let hiss = ["s", "x", "z", "ch", "sh"].iter().any(|e| word.ends_with(e));
    format!("{word}{}", if hiss { "es" } else { "s" })
}

/// `a`, `a and b`, `a, b and c`.
pub fn list<S: AsRef<str>>(items: &[S]) -> String {
    joined(items, "and")
}

/// `a`, `a or b`, `a, b or c`.
pub fn either<S: AsRef<str>>(items: &[S]) -> String {
    joined(items, "or")
}

fn joined<S: AsRef<str>>(items: &[S], last: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [rest @ .., end] => {
            let rest: Vec<&str> = rest.iter().map(AsRef::as_ref).collect();
            format!("{} {last} {}", rest.join(", "), end.as_ref())
        }
    }
}

/// The first few of a list and how many more: `a, b and 3 more`. One more is named, since its name says more than a number.
pub fn some<S: AsRef<str>>(items: &[S], shown: usize) -> String {
    if items.len() <= shown + 1 {
        return list(items);
    }
    let first: Vec<&str> = items.iter().take(shown).map(AsRef::as_ref).collect();
    format!("{} and {} more", first.join(", "), items.len() - shown)
}

/// Seconds as people read a clock: `1:20`, `1:02:03`.
pub fn clock(seconds: u32) -> String {
    let (h, m, s) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    if h > 0 { format!("{h}:{m:02}:{s:02}") } else { format!("{m}:{s:02}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_lists_and_times() {
        assert_eq!(count(1, "unknown"), "1 unknown");
        assert_eq!(count(0, "step"), "0 steps");
        assert_eq!(list::<&str>(&[]), "");
        assert_eq!(list(&["a"]), "a");
        assert_eq!(list(&["a", "b", "c"]), "a, b and c");
        assert_eq!(either(&["a", "b", "c"]), "a, b or c");
        assert_eq!(["key", "battery", "latch", "tape"].map(plural), ["keys", "batteries", "latches", "tapes"]);
        assert_eq!(some(&["a", "b", "c"], 2), "a, b and c");
        assert_eq!(some(&["a", "b", "c", "d"], 2), "a, b and 2 more");
        assert_eq!([0, 80, 3723].map(clock), ["0:00", "1:20", "1:02:03"]);
    }
}
