//! A value set in place: the record has it, and every other byte is as it was.

use proptest::prelude::*;
use scoring::text::Source;
use scoring::text::edit::set;
use scoring::text::yaml::{Tree, YamlKind, YamlNode};

const SAMPLES: [&str; 3] = ["lamp-two", "bar-phone", "washing-machine"];

fn sample(name: &str) -> String {
    std::fs::read_to_string(format!("{}/../samples/{name}.yaml", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// Paths of all single values and lists.
fn paths(node: &YamlNode, at: &str, out: &mut Vec<String>) {
    match &node.kind {
        YamlKind::Scalar(_) => out.push(at.to_owned()),
        YamlKind::List(items) => {
            out.push(at.to_owned());
            items.iter().enumerate().for_each(|(i, n)| paths(n, &format!("{at}[{i}]"), out));
        }
        YamlKind::Map(entries) => {
            let dot = if at.is_empty() { "" } else { "." };
            entries.iter().for_each(|e| paths(&e.value, &format!("{at}{dot}{}", e.key), out));
            if !at.is_empty() {
                out.push(format!("{at}.field nobody has"));
            }
        }
    }
}

fn tree(text: &str) -> YamlNode {
    Tree::parse(&Source::new("x", text), 0).root.unwrap()
}

/// The value at a path, walked by general means: `serde_yaml` reads the text, the path is one of [`paths`].
fn at<'v>(value: &'v serde_yaml::Value, path: &str) -> Option<&'v serde_yaml::Value> {
    if path.is_empty() {
        return Some(value);
    }
    if let Some(rest) = path.strip_prefix('[') {
        let (n, rest) = rest.split_once(']')?;
        return at(value.get(n.parse::<usize>().ok()?)?, rest.strip_prefix('.').unwrap_or(rest));
    }
    let map = value.as_mapping()?;
    map.iter().find_map(|(k, v)| {
        let rest = path.strip_prefix(k.as_str()?)?;
        (rest.is_empty() || rest.starts_with(['.', '['])).then(|| at(v, rest.strip_prefix('.').unwrap_or(rest)))?
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn only_the_answer_changes(sample_at in 0..SAMPLES.len(), pick in any::<prop::sample::Index>(), value in prop::sample::select(vec![
        "unknown", "hands", "[PH0, spudger]", "2 x clip", "[]", "{is: 5, source: seen there}", "\"with: colon\"", "a | b", "5..6", "not attempted",
    ])) {
        let text = sample(SAMPLES[sample_at]);
        let mut all = Vec::new();
        paths(&tree(&text), "", &mut all);
        let path = pick.get(&all);
        let Ok(edit) = set(&Source::new("x", &text), path, value) else {
            // A field can't be added to what is a list, and nothing else is refused.
            prop_assert!(path.ends_with("field nobody has"), "{path}: {value}");
            return Ok(());
        };
        let edited = edit.apply(&text);
        // Every byte outside the edit stands as it stood.
        prop_assert_eq!(&edited[..edit.range.start], &text[..edit.range.start]);
        prop_assert_eq!(&edited[edit.range.start + edit.with.len()..], &text[edit.range.end..]);
        // And the edit is no larger than its value and the field that had to be written.
        prop_assert!(edit.with.len() <= value.len() + path.len() + 40, "{edit:?}");
        let (before, after): (serde_yaml::Value, serde_yaml::Value) = (serde_yaml::from_str(&text).unwrap(), serde_yaml::from_str(&edited).unwrap());
        let wanted: serde_yaml::Value = serde_yaml::from_str(value).unwrap();
        prop_assert_eq!(at(&after, path), Some(&wanted), "{} in {}", path, edited);
        // Comments are all there, in order.
        let comments = |t: &str| t.lines().filter(|l| l.trim_start().starts_with('#')).map(str::to_owned).collect::<Vec<_>>();
        prop_assert_eq!(comments(&text), comments(&edited));
        // What is elsewhere reads as before.
        for other in all.iter().filter(|o| !o.ends_with("nobody has") && !path.starts_with(o.as_str()) && !o.starts_with(path.as_str())).take(60) {
            prop_assert_eq!(at(&before, other), at(&after, other), "{}", other);
        }
    }
}
