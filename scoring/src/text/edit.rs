//! One value of a YAML text set in place: every byte outside it stays as it is.
//!
//! A path is written as in complaints and questions: `actions[3].after`, `parts.battery.paired`, `support.updates`.

use std::ops::Range;

use super::yaml::{Tree, YamlKind, YamlNode};
use super::{Source, fold};

/// Bytes of a text to be replaced, and by what. An empty range inserts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// Bytes replaced.
    pub range: Range<usize>,
    /// What stands there instead.
    pub with: String,
}

impl Edit {
    /// The text with the edit made.
    pub fn apply(&self, text: &str) -> String {
        format!("{}{}{}", &text[..self.range.start], self.with, &text[self.range.end..])
    }
}

/// Why a value can't be set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refused {
    /// The text is no YAML of the kind read here.
    NotYaml,
    /// The path names no place: a list item that is not there, or a field of something that has none.
    NoPlace,
    /// The value is no YAML that fits on one line in that place.
    NoValue,
}

/// One change of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TextChange {
    /// A value at a path.
    Set(String, String),
    /// What stands at a path goes, with its line.
    Remove(String),
    /// An item of a list goes; a list that loses its last stays as `[]`, which says that there is none.
    Unlist(String),
}

impl TextChange {
    /// The path it is about.
    pub fn path(&self) -> &str {
        match self {
            Self::Set(path, _) | Self::Remove(path) | Self::Unlist(path) => path,
        }
    }

    /// Whether something goes, so that paths behind it change.
    pub fn takes_out(&self) -> bool {
        !matches!(self, Self::Set(..))
    }
}

/// A text with several changes made, one after the other. Items that go are taken out last, from the end, so that paths of
/// the other changes hold.
///
/// # Errors
/// The change that can't be made and why.
pub fn change(source: &Source, changes: &[TextChange]) -> Result<String, (TextChange, Refused)> {
    let mut now = source.clone();
    let (removals, sets): (Vec<&TextChange>, Vec<&TextChange>) = changes.iter().partition(|c| c.takes_out());
    // `actions[10]` before `actions[9]`: by the numbers in it, the last first.
    let mut removals = removals;
    removals.sort_by_key(|c| std::cmp::Reverse(numbers(c.path())));
    removals.dedup();
    for change in sets.into_iter().chain(removals) {
        let edit = match change {
            TextChange::Set(path, value) => set(&now, path, value),
            TextChange::Remove(path) => remove(&now, path),
            TextChange::Unlist(path) => match last_of(&now, path) {
                Some(list) => set(&now, list, "[]"),
                None => remove(&now, path),
            },
        };
        let text = edit.map_err(|why| (change.clone(), why))?.apply(&now.text);
        now = Source::new(&now.name, &text);
    }
    Ok(now.text.to_string())
}

/// Where a path stands, or as far of it as the text has; none where not even its first step is there.
pub fn place(source: &Source, path: &str) -> Option<super::Span> {
    let tree = Tree::parse(source, 0);
    let mut node = tree.root.as_ref()?;
    let (mut rest, mut found) = (path, None);
    while let Some((step, more)) = first(rest, |key| node.get(key).is_some()) {
        let next = match (&step, &node.kind) {
            (Step::Key(key), _) => node.get(key).map(|e| (&e.value, e.key_span)),
            (Step::Item(n), YamlKind::List(items)) => items.get(*n).map(|i| (i, i.span)),
            _ => None,
        };
        let Some((below, span)) = next else { break };
        (node, found, rest) = (below, Some(span), more);
    }
    found
}

/// The path of a list of which a path names the only item.
fn last_of<'p>(source: &Source, path: &'p str) -> Option<&'p str> {
    let list = path.strip_suffix(']')?.rsplit_once('[')?.0;
    let tree = Tree::parse(source, 0);
    let mut node = tree.root.as_ref()?;
    let mut rest = list;
    while let Some((step, more)) = first(rest, |key| node.get(key).is_some()) {
        node = match (&step, &node.kind) {
            (Step::Key(key), _) => &node.get(key)?.value,
            (Step::Item(n), YamlKind::List(items)) => items.get(*n)?,
            _ => return None,
        };
        rest = more;
    }
    matches!(&node.kind, YamlKind::List(items) if items.len() == 1).then_some(list)
}

fn numbers(path: &str) -> Vec<usize> {
    path.split(|c: char| !c.is_ascii_digit()).filter_map(|n| n.parse().ok()).collect()
}

/// One step of a path.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Step {
    Key(String),
    Item(usize),
}

/// What has to change for a path to have a value, written in YAML on one line (`[lid, fan]`, `2 x clip`, `unknown`).
///
/// # Errors
/// See [`Refused`]. Where an edit is given, the edited text reads as before but for the value at the path.
pub fn set(source: &Source, path: &str, value: &str) -> Result<Edit, Refused> {
    let tree = Tree::parse(source, 0);
    let root = tree.root.filter(|_| tree.diagnostics.is_empty()).ok_or(Refused::NotYaml)?;
    let value = value.trim();
    if value.is_empty() || value.contains(['\n', '\r']) {
        return Err(Refused::NoValue);
    }
    if too_deep(path) {
        return Err(Refused::NoPlace);
    }
    let edit = at(source, &root, path, value)?;
    // Whatever the value was meant to be, nothing else may read differently afterwards.
    let edited = Source::new(&source.name, &edit.apply(&source.text));
    let again = Tree::parse(&edited, 0);
    let after = again.root.filter(|_| again.diagnostics.is_empty()).ok_or(Refused::NoValue)?;
    let expected = value_of(value).ok_or(Refused::NoValue)?;
    if same_but(&plain(&root), &plain(&after), path, &plain(&expected)) { Ok(edit) } else { Err(Refused::NoValue) }
}

/// What has to change for a field or an item to be gone, with the lines it stands on and the comment beside it. Comments above it
/// stay. Where nothing else stands beside it, what holds it goes too.
///
/// # Errors
/// See [`Refused`].
pub fn remove(source: &Source, path: &str) -> Result<Edit, Refused> {
    let tree = Tree::parse(source, 0);
    let root = tree.root.filter(|_| tree.diagnostics.is_empty()).ok_or(Refused::NotYaml)?;
    if too_deep(path) {
        return Err(Refused::NoPlace);
    }
    let edit = take(source, &root, path)?.ok_or(Refused::NoPlace)?;
    let edited = Source::new(&source.name, &edit.apply(&source.text));
    let again = Tree::parse(&edited, 0);
    let after = again.root.filter(|_| again.diagnostics.is_empty()).ok_or(Refused::NoValue)?;
    let expected = without(&plain(&root), path).ok_or(Refused::NoPlace)?;
    if plain(&after) == expected { Ok(edit) } else { Err(Refused::NoPlace) }
}

/// The edit that takes out what a path names; `None` where it is all there is, so that its holder has to go.
fn take(source: &Source, node: &YamlNode, path: &str) -> Result<Option<Edit>, Refused> {
    let (step, rest) = first(path, |key| node.get(key).is_some()).ok_or(Refused::NoPlace)?;
    let (span, value, alone, index, count): (_, &YamlNode, bool, usize, usize) = match (&step, &node.kind) {
        (Step::Key(key), YamlKind::Map(entries)) => {
            let index = entries.iter().position(|e| fold(&e.key) == fold(key)).ok_or(Refused::NoPlace)?;
            (entries[index].key_span, &entries[index].value, entries.len() == 1, index, entries.len())
        }
        (Step::Item(n), YamlKind::List(items)) => {
            let item = items.get(*n).ok_or(Refused::NoPlace)?;
            (item.span, item, items.len() == 1, *n, items.len())
        }
        _ => return Err(Refused::NoPlace),
    };
    if !rest.is_empty()
        && let Some(edit) = take(source, value, rest)?
    {
        return Ok(Some(edit));
    }
    if alone {
        return Ok(None);
    }
    let text = &source.text;
    let (start, end) = (span.start as usize, end_of(source, value).max(span.end as usize));
    if matches!(text.as_bytes().get(node.span.start as usize), Some(b'{' | b'[')) {
        // Between brackets, with one of the commas beside it.
        let range = if index + 1 < count {
            let comma = text[end..].find(',').map(|n| end + n + 1).ok_or(Refused::NoPlace)?;
            let space = text[comma..].len() - text[comma..].trim_start_matches(' ').len();
            start..comma + space
        } else {
            text[..start].rfind(',').ok_or(Refused::NoPlace)?..end
        };
        return Ok(Some(Edit { range, with: String::new() }));
    }
    let line = text[..start].rfind('\n').map_or(0, |n| n + 1);
    let lead = text[line..start].trim();
    let item = matches!(step, Step::Item(_));
    if !(lead.is_empty() && !item || lead == "-" && item) {
        return Err(Refused::NoPlace);
    }
    let end = text[end..].find('\n').map_or(text.len(), |n| end + n + 1);
    Ok(Some(Edit { range: line..end, with: String::new() }))
}

/// A value without what a path names.
fn without(value: &serde_yaml::Value, path: &str) -> Option<serde_yaml::Value> {
    use serde_yaml::Value;
    let is = |k: &Value, key: &str| k.as_str().is_some_and(|k| fold(k) == fold(key));
    let (step, rest) = first(path, |key| matches!(value, Value::Mapping(m) if m.keys().any(|k| is(k, key))))?;
    match (step, value) {
        (Step::Key(key), Value::Mapping(map)) => {
            let mut out = serde_yaml::Mapping::new();
            for (k, v) in map {
                if !is(k, &key) {
                    out.insert(k.clone(), v.clone());
                } else if !rest.is_empty()
                    && let Some(v) = without(v, rest)
                {
                    out.insert(k.clone(), v);
                }
            }
            (!out.is_empty()).then_some(Value::Mapping(out))
        }
        (Step::Item(n), Value::Sequence(list)) => {
            let mut out = list.clone();
            match (rest.is_empty(), without(list.get(n)?, rest)) {
                (false, Some(v)) => out[n] = v,
                _ => {
                    out.remove(n);
                }
            }
            (!out.is_empty()).then_some(Value::Sequence(out))
        }
        _ => None,
    }
}

/// A value on its own.
fn value_of(value: &str) -> Option<YamlNode> {
    let tree = Tree::parse(&Source::new("", &format!("v: {value}\n")), 0);
    match tree.root?.kind {
        // All of it, so that no comment hides behind it.
        YamlKind::Map(mut entries) if entries.len() == 1 && tree.diagnostics.is_empty() => {
            entries.pop().map(|e| e.value).filter(|v| v.span.end as usize == "v: ".len() + value.len())
        }
        _ => None,
    }
}

fn plain(node: &YamlNode) -> serde_yaml::Value {
    node.value()
}

/// Whether two values differ at a path only, and the second has the value there. A single value that had to become a
/// mapping (a fastener that gets a kind) and a mapping that had to be made are allowed for.
fn same_but(before: &serde_yaml::Value, after: &serde_yaml::Value, path: &str, value: &serde_yaml::Value) -> bool {
    use serde_yaml::Value;
    let Some((step, rest)) = first(
        path,
        |key| matches!(after, Value::Mapping(m) if m.keys().any(|k| k.as_str().is_some_and(|k| fold(k) == fold(key)))),
    ) else {
        return after == value;
    };
    match (step, before, after) {
        (Step::Item(0), before, after) if !matches!(after, Value::Sequence(_)) => same_but(before, after, rest, value),
        (Step::Item(n), Value::Sequence(a), Value::Sequence(b)) => {
            a.len() == b.len()
                && a.iter()
                    .zip(b)
                    .enumerate()
                    .all(|(i, (a, b))| if i == n { same_but(a, b, rest, value) } else { a == b })
        }
        (Step::Key(key), before, Value::Mapping(b)) => {
            let empty = serde_yaml::Mapping::new();
            let a = if let Value::Mapping(a) = before { a } else { &empty };
            let is = |k: &Value| k.as_str().is_some_and(|k| fold(k) == fold(&key));
            let others = a.iter().filter(|(k, _)| !is(k)).all(|(k, v)| b.get(k) == Some(v));
            let promoted = !matches!(before, Value::Mapping(_) | Value::Null) && !rest_is_long(rest);
            let size = b.len() == a.len() + usize::from(!a.keys().any(is)) || promoted;
            let old = a.iter().find(|(k, _)| is(k)).map_or(&Value::Null, |(_, v)| v);
            others && size && b.iter().find(|(k, _)| is(k)).is_some_and(|(_, v)| same_but(old, v, rest, value))
        }
        _ => false,
    }
}

fn rest_is_long(rest: &str) -> bool {
    rest.contains('.')
}

/// Points and brackets within one name up to which a path is tried: the work grows with their number and with the name.
const POINTS: usize = 40;

/// Whether a path has more steps than any text that is read here is deep.
fn too_deep(path: &str) -> bool {
    path.matches(['.', '[']).nth(super::limits::DEEPEST + POINTS).is_some()
}

/// The first step of a path and what follows. `known` says which keys are there: names may hold points themselves.
fn first(path: &str, known: impl Fn(&str) -> bool) -> Option<(Step, &str)> {
    if path.is_empty() {
        return None;
    }
    if let Some(rest) = path.strip_prefix('[') {
        let (number, rest) = rest.split_once(']')?;
        return Some((Step::Item(number.parse().ok()?), rest.strip_prefix('.').unwrap_or(rest)));
    }
    // A key with points or brackets of its own stands in quotes.
    if let Some(rest) = path.strip_prefix('"')
        && let Some((key, rest)) = rest.split_once('"')
    {
        return Some((Step::Key(key.to_owned()), rest.strip_prefix('.').unwrap_or(rest)));
    }
    let ends =
        path.char_indices().filter(|(_, c)| matches!(c, '.' | '[')).map(|(i, _)| i).chain(std::iter::once(path.len()));
    let ends: Vec<usize> = ends.take(POINTS).collect();
    let end = ends.iter().rev().copied().find(|e| known(&path[..*e])).or_else(|| ends.first().copied())?;
    let rest = &path[end..];
    Some((Step::Key(path[..end].to_owned()), rest.strip_prefix('.').unwrap_or(rest)))
}

fn at(source: &Source, node: &YamlNode, path: &str, value: &str) -> Result<Edit, Refused> {
    let range = block(source, node).unwrap_or(node.span.start as usize..end_of(source, node));
    let Some((step, rest)) = first(path, |key| node.get(key).is_some()) else {
        return Ok(replace(source, range, value));
    };
    match (step, &node.kind) {
        (Step::Item(n), YamlKind::List(items)) => at(source, items.get(n).ok_or(Refused::NoPlace)?, rest, value),
        // One item may be written without its list.
        (Step::Item(0), _) => at(source, node, rest, value),
        (Step::Item(_), _) => Err(Refused::NoPlace),
        (Step::Key(key), YamlKind::Map(entries)) => match node.get(&key) {
            Some(entry) if entry.value.is_nothing() && entry.value.span.start == entry.value.span.end => {
                let behind = colon(source, entry.key_span.end as usize)?;
                Ok(Edit { range: behind..behind, with: format!(" {}", nested(rest, value)?) })
            }
            Some(entry) => at(source, &entry.value, rest, value),
            None => {
                let with = format!("{}: {}", written(&key), nested(rest, value)?);
                let text = source.text.as_bytes();
                if text.get(range.start) == Some(&b'{') {
                    // `{a: b}`, before the bracket that closes it.
                    let close = range.end - 1;
                    let inner = source.text[range.start + 1..close].trim_end();
                    let end = range.start + 1 + inner.len();
                    let comma = inner.ends_with(',') || inner.trim().is_empty();
                    let lead = match (inner.trim().is_empty(), comma) {
                        (true, _) => String::new(),
                        (_, true) => " ".to_owned(),
                        _ => ", ".to_owned(),
                    };
                    return Ok(Edit { range: end..end, with: lead + &with });
                }
                let last = entries.last().ok_or(Refused::NoPlace)?;
                // Behind the last entry, on a line of its own, as far in as its key.
                let column = source.position(last.key_span.start).column as usize - 1;
                let end = block_end(source, end_of(source, &last.value).max(last.key_span.end as usize));
                Ok(Edit { range: end..end, with: format!("\n{}{with}", " ".repeat(column)) })
            }
        },
        // `information: unknown` gets a field: it becomes a mapping.
        (Step::Key(key), YamlKind::Scalar(scalar)) => {
            let field = format!("{key}: {}", nested(rest, value)?);
            let kept = promoted(&scalar.text, &key);
            let with = if kept.is_empty() { format!("{{{field}}}") } else { format!("{{{kept}, {field}}}") };
            Ok(replace(source, range, &with))
        }
        (Step::Key(_), YamlKind::List(_)) => Err(Refused::NoPlace),
    }
}

/// What a single value keeps when it becomes a mapping: `4 x solder` is a fastener with its count.
fn promoted(text: &str, key: &str) -> String {
    let fastener = matches!(&*fold(key), "kind" | "count" | "drive" | "note");
    if !fastener || matches!(&*fold(text), "unknown" | "") {
        return String::new();
    }
    match text.split_once(" x ") {
        Some((_, name)) if fold(key) == "count" => format!("fastener: {}", name.trim()),
        Some((count, name)) => format!("fastener: {}, count: {}", name.trim(), count.trim()),
        None => format!("fastener: {}", text.trim()),
    }
}

/// A value under fields that are not there yet: `{to: public}`.
fn nested(rest: &str, value: &str) -> Result<String, Refused> {
    match first(rest, |_| false) {
        None => Ok(value.to_owned()),
        Some((Step::Key(key), rest)) => Ok(format!("{{{}: {}}}", written(&key), nested(rest, value)?)),
        Some((Step::Item(0), rest)) => nested(rest, value),
        Some((Step::Item(_), _)) => Err(Refused::NoPlace),
    }
}

/// A text as YAML reads it back on one line: in quotes only where it would mean something else.
pub fn written(text: &str) -> String {
    let plain = text.starts_with(|c: char| c.is_alphanumeric())
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || matches!(c, ' ' | '.' | '-' | '\'' | '°' | '(' | ')' | '/' | '+'))
        && !text.ends_with(' ')
        && !matches!(&*text.to_lowercase(), "null" | "true" | "false")
        && text.parse::<f64>().is_err();
    if plain { text.to_owned() } else { format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\"")) }
}

/// One past the last byte of a node. The parser's own mark of a list or mapping in brackets may stand behind a comment.
fn end_of(source: &Source, node: &YamlNode) -> usize {
    let text = source.text.as_bytes();
    let start = node.span.start as usize;
    let last = match &node.kind {
        YamlKind::Scalar(_) => return node.span.end as usize,
        YamlKind::List(items) => items.last(),
        YamlKind::Map(entries) => entries.last().map(|e| &e.value),
    };
    let close = match text.get(start) {
        Some(b'{') => b'}',
        Some(b'[') => b']',
        _ => return last.map_or(node.span.end as usize, |n| end_of(source, n)),
    };
    let key_end =
        if let YamlKind::Map(entries) = &node.kind { entries.last().map_or(0, |e| e.key_span.end as usize) } else { 0 };
    let mut at = last.map_or(start + 1, |n| end_of(source, n)).max(key_end).max(start + 1);
    while at < text.len() && text[at] != close {
        if text[at] == b'#' {
            at = source.text[at..].find('\n').map_or(text.len(), |n| at + n);
        } else {
            at += 1;
        }
    }
    (at + 1).min(text.len())
}

/// A text of several lines with its sign (`|`, `>`), which the parser's marks leave out, without its last line break.
fn block(source: &Source, node: &YamlNode) -> Option<Range<usize>> {
    let YamlKind::Scalar(_) = node.kind else { return None };
    let before = source.text[..node.span.start as usize].trim_end();
    let sign = before.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '+' | '-'));
    let own = source.text[node.span.start as usize..].starts_with(['|', '>']);
    let start = match sign.strip_suffix(['|', '>']) {
        _ if own => node.span.start as usize,
        Some(rest) if rest.ends_with([' ', ':']) => rest.len(),
        _ => return None,
    };
    Some(start..source.text[..node.span.end as usize].trim_end().len())
}

fn replace(source: &Source, range: Range<usize>, value: &str) -> Edit {
    // A value right behind its colon needs the space YAML wants there.
    let tight = range.start > 0 && source.text.as_bytes()[range.start - 1] == b':';
    Edit { range, with: if tight { format!(" {value}") } else { value.to_owned() } }
}

/// One past the colon behind a key.
fn colon(source: &Source, from: usize) -> Result<usize, Refused> {
    source.text[from..].find(':').map(|n| from + n + 1).ok_or(Refused::NoPlace)
}

/// The end of the line a value ends on, without its line break: a comment beside it stays with it.
fn block_end(source: &Source, end: usize) -> usize {
    let text = &source.text;
    let line = text[end..].find('\n').map_or(text.len(), |n| end + n);
    let line = if text[..line].ends_with('\r') { line - 1 } else { line };
    line.max(end)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    const TEXT: &str = "a: 1   # one\nparts:\n  cell: {role: battery}  # it\n  lid:\nlist:\n  - free: lid\n    with: unknown # said\n    loosen: [4 x solder, glue]\n  - do: x\nsupport: unknown\ntold: |-\n  One line.\n\n  Another: with a colon.\nlast:\n  deep:\n    at: 1\n\n# end\n";

    #[rstest]
    #[case("a", "2", "a: 2   # one")]
    #[case("told", "short", "told: short")]
    #[case("told.is", "short", "told: {is: short}")]
    #[case("parts.cell.role", "[battery, fan]", "  cell: {role: [battery, fan]}  # it")]
    #[case("parts.cell.paired", "no", "  cell: {role: battery, paired: no}  # it")]
    #[case("parts.lid.paired", "no", "  lid: {paired: no}")]
    #[case("list[0].with", "[PH0, spudger]", "    with: [PH0, spudger] # said")]
    #[case("list[0].with[0]", "hands", "    with: hands # said")]
    #[case("list[0].after", "[]", "    loosen: [4 x solder, glue]\n    after: []")]
    #[case("list[0].loosen[0].kind", "removable", "    loosen: [{fastener: solder, count: 4, kind: removable}, glue]")]
    #[case(
        "list[0].loosen[1].kind",
        "removable | neither",
        "    loosen: [4 x solder, {fastener: glue, kind: removable | neither}]"
    )]
    #[case("support.information.to", "public", "support: {information: {to: public}}")]
    #[case("last.deep.other", "2", "    at: 1\n    other: 2")]
    #[case("new.deeper", "x", "    at: 1\nnew: {deeper: x}\n\n# end")]
    fn sets_in_place(#[case] path: &str, #[case] value: &str, #[case] wanted: &str) {
        let source = Source::new("x", TEXT);
        let edited = set(&source, path, value).unwrap().apply(TEXT);
        assert!(edited.contains(wanted), "{edited}");
    }

    #[rstest]
    #[case("a", "a: 1   # one\n", "")]
    #[case("parts.cell", "  cell: {role: battery}  # it\n", "")]
    #[case("parts.cell.role", "  cell: {role: battery}  # it\n", "")]
    #[case("list[1]", "  - do: x\n", "")]
    #[case("list[0].loosen[0]", "[4 x solder, glue]", "[glue]")]
    #[case("list[0].loosen[1]", "[4 x solder, glue]", "[4 x solder]")]
    #[case("last.deep.at", "last:\n  deep:\n    at: 1\n", "")]
    #[case("list[0]", "  - free: lid\n    with: unknown # said\n    loosen: [4 x solder, glue]\n", "")]
    fn takes_out(#[case] path: &str, #[case] gone: &str, #[case] left: &str) {
        let edited = remove(&Source::new("x", TEXT), path).unwrap().apply(TEXT);
        assert_eq!(edited, TEXT.replace(gone, left));
    }

    #[test]
    fn several_changes_hold_their_places() {
        let changes = [
            TextChange::Remove("list[0]".to_owned()),
            TextChange::Set("list[1].after".to_owned(), "[]".to_owned()),
            TextChange::Remove("list[1].gone".to_owned()),
        ];
        let refused = change(&Source::new("x", TEXT), &changes).unwrap_err();
        assert_eq!(refused, (changes[2].clone(), Refused::NoPlace));
        let text = change(&Source::new("x", TEXT), &changes[..2]).unwrap();
        assert!(text.contains("list:\n  - do: x\n    after: []\n"), "{text}");
    }

    #[rstest]
    #[case("after: [a, b]  # x\n", "after: []  # x\n")]
    #[case("after:\n  - a\n  - b\nrest: 1\n", "after:\n  []\nrest: 1\n")]
    fn a_list_that_loses_all_stays_empty(#[case] text: &str, #[case] left: &str) {
        let both = ["after[0]", "after[1]"].map(|p| TextChange::Unlist(p.to_owned()));
        assert_eq!(change(&Source::new("x", text), &both).unwrap(), left);
    }

    #[rstest]
    #[case("list[7].with", "x", Refused::NoPlace)]
    #[case("list.with", "x", Refused::NoPlace)]
    #[case("a", "[1", Refused::NoValue)]
    #[case("a", "1\nb: 2", Refused::NoValue)]
    #[case("a", "x # y", Refused::NoValue)]
    #[case("parts.cell.paired", "no, more: 1", Refused::NoValue)]
    #[case("a", "", Refused::NoValue)]
    fn refuses(#[case] path: &str, #[case] value: &str, #[case] why: Refused) {
        assert_eq!(set(&Source::new("x", TEXT), path, value), Err(why));
    }
}
