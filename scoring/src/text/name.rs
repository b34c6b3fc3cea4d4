//! Names: how they are compared, and which known name a misspelt one is near to.

use std::borrow::Cow;

/// Folds a name for comparison: trimmed, lower case, runs of spaces, hyphens and underscores to one space.
pub fn fold(text: &str) -> String {
    folded(text).into_owned()
}

/// A name folded, which most names are as they stand.
pub(crate) fn folded(text: &str) -> Cow<'_, str> {
    if is_folded(text) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len());
    for word in text.split(|c: char| c.is_whitespace() || c == '-' || c == '_').filter(|w| !w.is_empty()) {
        if !out.is_empty() {
            out.push(' ');
        }
        out.extend(word.chars().flat_map(char::to_lowercase));
    }
    Cow::Owned(out)
}

/// Whether a name is folded as it stands: most names are.
fn is_folded(text: &str) -> bool {
    let mut space = true;
    for byte in text.bytes() {
        match byte {
            b' ' if space => return false,
            b' ' => space = true,
            b'\t'..=b'\r' | b'-' | b'_' | b'A'..=b'Z' | 0x80.. => return false,
            _ => space = false,
        }
    }
    !space || text.is_empty()
}

/// Whether two names are the same once folded.
pub fn alike(a: &str, b: &str) -> bool {
    a == b || !(is_folded(a) && is_folded(b)) && fold(a) == fold(b)
}

/// Longest name that is compared for nearness; nobody misspells a longer one by a letter.
const LONGEST: usize = 60;

/// The known name a misspelt one is nearest to, if any is near: at most a third of its letters differ
/// (swapped neighbours count once). Ties go to the first.
pub fn near<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    nearest(name, known, |letters| (letters / 3).clamp(1, 4))
}

/// The same where any name may be meant as it stands: of five letters or more, one may be another, of nine or more two.
pub fn slip<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let most = |letters| match letters {
        0..5 => 0,
        5..9 => 1,
        _ => 2,
    };
    nearest(name, known, most).filter(|meant| !alike(meant, name))
}

fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>, most: impl Fn(usize) -> usize) -> Option<&'a str> {
    let name = fold(name);
    let letters = name.chars().count();
    if letters > LONGEST {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    for candidate in known {
        let folded = fold(candidate);
        let length = folded.chars().count();
        let allowed = most(letters.max(length));
        if letters.abs_diff(length) > allowed {
            continue;
        }
        let distance = strsim::damerau_levenshtein(&name, &folded);
        if distance <= allowed && distance < letters.min(length) && best.is_none_or(|(d, _)| distance < d) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("batery", Some("battery"))]
    #[case("BATTERY ", Some("battery"))]
    #[case("back-covr", Some("back cover"))]
    #[case("x", None)]
    #[case("hinge", None)]
    fn finds_near_names(#[case] name: &str, #[case] found: Option<&str>) {
        assert_eq!(near(name, ["battery", "back cover", "button"]), found);
    }

    proptest::proptest! {
        /// The short way gives what the long way does: word by word, lower case, one space.
        #[test]
        fn folding_is_the_same_both_ways(a in "[a-cA-C \\t_\\-Éİß\u{a0}\u{1c}]{0,6}", b in "[a-cA-C \\t_\\-É]{0,6}") {
            let long = |text: &str| -> String {
                let words = text.split(|c: char| c.is_whitespace() || c == '-' || c == '_').filter(|w| !w.is_empty());
                words.map(|w| w.chars().flat_map(char::to_lowercase).collect::<String>()).collect::<Vec<_>>().join(" ")
            };
            proptest::prop_assert_eq!(fold(&a), long(&a));
            proptest::prop_assert_eq!(alike(&a, &b), long(&a) == long(&b));
        }
    }

    #[test]
    fn folds_hyphens_case_and_runs() {
        assert_eq!(fold("  Put-Back__Now "), "put back now");
    }
}
