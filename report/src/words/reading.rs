//! What was read, and by which rule: phrases of the reasons.

use super::english as en;
use crate::view::types::End;

/// Where a rule comes from: clause, source, how sure.
pub fn source(clause: &str, source: &str, phrase: &str) -> String {
    let said: Vec<&str> = [clause, source, phrase].into_iter().filter(|t| !t.is_empty()).collect();
    said.join(", ")
}

/// `Skill level: sim tray`.
pub fn of_part(title: &str, role: &str) -> String {
    format!("{title}: {role}")
}

/// What is measured or how it is put together, its group and weight, and its table.
pub fn made(kind: &str, group: Option<&str>, weight: &str, table: &str) -> String {
    let mut out: Vec<String> = vec![kind.to_owned()];
    out.extend(group.map(str::to_owned));
    out.extend(Some(weight).filter(|w| !w.is_empty()).map(en::weight));
    out.extend(Some(table).filter(|t| !t.is_empty()).map(en::points_by));
    out.join("; ")
}

/// The same of a criterion and of its parts.
pub fn made_of(criterion: &str, parts: &str) -> String {
    format!("{criterion}; {parts}")
}

/// A mean of equal values.
pub fn all_alike(parts: usize) -> String {
    en::all_alike(parts)
}

/// What a bound asks: `at least 800 cycles`.
pub fn bound(more: bool, bound: &str, unit: &str) -> String {
    en::bound(more, bound, unit)
}

/// What was read at the two ends, or at both.
pub fn read(ends: &[End]) -> String {
    match ends {
        [low, high] => {
            // Where two things were read, how far each is from the next bound is not asked yet.
            let read = |e: &End| if low.said == high.said { with_margin(e) } else { without_margin(e) };
            let one = |e: &End| match (&e.points, e.said.is_empty()) {
                (Some(points), false) => format!("{}, {points}", read(e)),
                (Some(points), true) => points.clone(),
                (None, _) => read(e),
            };
            let (low, high) = (one(low), one(high));
            if low == high { low } else { en::at_ends(&low, &high) }
        }
        ends => ends.first().map_or_else(String::new, with_margin),
    }
}

fn with_margin(end: &End) -> String {
    let mut out = without_margin(end);
    if let Some(margin) = &end.margin {
        out.push_str(&format!(" ({margin})"));
    }
    out
}

fn without_margin(end: &End) -> String {
    let mut out = end.said.clone();
    if let Some(note) = end.note.as_ref().filter(|n| **n != end.said) {
        out.push_str(&format!(" ({note})"));
    }
    if let Some(decided) = &end.decided {
        out.push_str(&format!("; {}", en::set_by(decided)));
    }
    out
}

/// Where a fact comes from where nobody saw it on this bench.
pub fn basis(basis: &str, source: Option<&str>) -> String {
    let mut out: Vec<String> = Vec::new();
    if basis != scoring::vocab::Words::word(scoring::vocab::Basis::Seen) {
        out.push(basis.to_owned());
    }
    out.extend(source.map(en::from_source));
    out.join(", ")
}

/// Numbers in order, neighbours together: `1, 5 to 9, 12`.
pub fn numbers(list: &[usize]) -> String {
    let mut out: Vec<String> = Vec::new();
    let mut rest = list;
    while let Some((&first, _)) = rest.split_first() {
        let run = rest.iter().zip(first..).take_while(|(n, wanted)| **n == *wanted).count();
        let last = rest[run - 1];
        out.push(match run {
            1 => first.to_string(),
            2 => format!("{first}, {last}"),
            _ => en::to(&first.to_string(), &last.to_string()),
        });
        rest = &rest[run..];
    }
    out.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_runs() {
        assert_eq!(numbers(&[1, 5, 6, 7, 9, 10]), "1, 5 to 7, 9, 10");
        assert_eq!(numbers(&[]), "");
    }
}
