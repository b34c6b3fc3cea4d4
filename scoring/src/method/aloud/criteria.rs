//! Criteria, measures and points in plain words.

use super::{AloudRow, Paragraph, and, block, both, or, row, strings};
use crate::exact::Exact;
use crate::method::{
    Applies, Combine, Criterion, CriterionKind, Group, Measure, MeasureScale, Method, Points, Reading, Roles, Rule,
};
use crate::vocab::Certainty;

/// What the criterion above says: how it combines, and its group.
#[derive(Clone, Copy, Default)]
pub(super) struct Above {
    how: Option<Combine>,
    group: Option<Group>,
}

/// A criterion and all below. An `each` with one measure is one paragraph.
pub(super) fn criterion(method: &Method, node: &Criterion, level: usize, above: Above, out: &mut Vec<Paragraph>) {
    let mut words = vec![how(method, node, above)];
    let mut rows = Vec::new();
    let leaf = match &node.kind {
        CriterionKind::Each { node: inner, .. } if matches!(inner.kind, CriterionKind::Leaf { .. }) => inner,
        _ => node,
    };
    if let CriterionKind::Leaf { measure, reading, points } = &leaf.kind {
        words.push(measured(measure, *reading));
        rows = self::points(measure, points, &leaf.rule);
        if method.scale.verdict {
            for row in &mut rows {
                verdict(method, row);
            }
        }
    }
    let text = both(&node.rule.text, &words.into_iter().filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" "));
    out.push(Paragraph { level, rows, ..block(&node.id, &node.title, text, &node.rule) });
    let combine = match &node.kind {
        CriterionKind::Group { how, .. } => Some(*how),
        _ => None,
    };
    let above = Above { how: combine, group: node.group };
    if !std::ptr::eq(leaf, node) {
        return;
    }
    for child in node.children() {
        criterion(method, child, level + 1, above, out);
    }
}

/// Weight, group, scope and combination in words.
fn how(method: &Method, node: &Criterion, above: Above) -> String {
    let mut out = Vec::new();
    if let (Some(weight), Some(Combine::Mean | Combine::Sum)) = (&node.weight, above.how) {
        let mark = weight
            .certainty
            .filter(|c| *c != node.rule.certainty || weight.source.as_ref().is_some_and(|s| *s != node.rule.source))
            .map(|c| match weight.source.as_ref().filter(|s| **s != node.rule.source) {
                // The usual source of what is certain by being chosen says it once.
                Some(source) if c == Certainty::Own && source == "own choice" => format!(" ({source})"),
                Some(source) => format!(" ({source}; certainty: {c})"),
                None => format!(" (certainty: {c})"),
            })
            .unwrap_or_default();
        out.push(if weight.unread {
            "Weight not read.".to_owned()
        } else {
            format!("Weight {}{mark}.", weight.value.plain())
        });
    }
    // Said where a group opens; below that it goes without saying.
    out.extend(node.group.filter(|g| Some(*g) != above.group).map(|g| group(g).to_owned()));
    if node.applies != Applies::default() {
        let only = [strings(&node.applies.categories), strings(&node.applies.forms)].concat();
        out.push(format!("Only for {}.", or(&only)));
    }
    match &node.kind {
        CriterionKind::Group { how, of } => out.push(combined(method, *how, of)),
        CriterionKind::Each { roles, how, .. } => {
            let which = match roles {
                Roles::Priority => "every priority part".to_owned(),
                Roles::Highest => "every priority part of the highest weight".to_owned(),
                Roles::Named(roles) if roles.len() == 1 => format!("the {}", roles[0].value),
                Roles::Named(roles) => {
                    format!("each of {}", and(&roles.iter().map(|r| &r.value).collect::<Vec<_>>()))
                }
            };
            let how = match how {
                Combine::Worst => "the worst counts",
                Combine::Best => "the best counts",
                _ if matches!(roles, Roles::Named(list) if list.len() > 1) => {
                    "the mean counts, by part weight where each of them has one"
                }
                _ => "the mean by part weight counts",
            };
            out.push(format!("Scored for {which}; {how}."));
        }
        CriterionKind::Leaf { .. } => {}
    }
    out.join(" ")
}

fn group(group: Group) -> &'static str {
    match group {
        Group::ProductRelated => "Product-related.",
        Group::SupportRelated => "Support-related.",
    }
}

fn combined(method: &Method, how: Combine, of: &[Criterion]) -> String {
    let titles: Vec<&str> = of.iter().map(|n| n.title.as_str()).collect();
    match (how, titles.as_slice()) {
        (Combine::Mean, _) => "The weighted mean of what follows.".to_owned(),
        (Combine::Sum, _) => "Weight times value, added up.".to_owned(),
        (Combine::Worst, _) if method.scale.verdict => "All of what follows must pass.".to_owned(),
        (Combine::Best, _) if method.scale.verdict => "One of what follows must pass.".to_owned(),
        (Combine::Apart, _) => "What follows stands side by side; nothing is added up.".to_owned(),
        (Combine::Worst, _) => "The worst of what follows.".to_owned(),
        (Combine::Best, _) => "The best of what follows.".to_owned(),
        (Combine::Cap, [first, ..]) => {
            format!("{first}, but at most what each limit after it allows.")
        }
        (Combine::Gate, [first, ..]) => {
            format!("{first}, if all else that follows is at its best; otherwise {}.", method.scale.low.plain())
        }
        _ => String::new(),
    }
}

fn measured(measure: &Measure, reading: Reading) -> String {
    let at = match (measure.on_route(), reading) {
        (false, _) => "",
        (true, Reading::Route) if measure.says_where() => "",
        (true, Reading::Route) => " on the reference route",
        (true, Reading::Part) => " at the part itself",
    };
    let meaning = measure.meaning().trim_end_matches('.');
    let meaning = meaning.split(": `").next().unwrap_or(meaning);
    format!("Measured: {}{at}.", lower_first(meaning))
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect())
}

/// Points of a verdict method in words.
fn verdict(method: &Method, row: &mut AloudRow) {
    if row.value == method.scale.high.plain() {
        "pass".clone_into(&mut row.value);
    } else if row.value == method.scale.low.plain() {
        "fail".clone_into(&mut row.value);
    }
}

/// Points as rows, bounds in words.
fn points(measure: &Measure, points: &Points, rule: &Rule) -> Vec<AloudRow> {
    let with_unit = |text: String| {
        let unit = measure.unit();
        match unit.strip_suffix('s') {
            Some(one) if text == "1" || text.ends_with(" 1") => format!("{text} {one}"),
            _ => format!("{text} {unit}"),
        }
    };
    match points {
        Points::Bands(bands) => {
            let more = measure.scale() == MeasureScale::Number;
            let mut before: Option<&Exact> = None;
            let mut out = Vec::new();
            for band in bands {
                let what = match (&band.bound, before, more) {
                    (Some(b), _, true) => format!("{} or more", b.plain()),
                    (None, Some(b), true) => format!("less than {}", b.plain()),
                    (None, Some(b), false) => format!("more than {}", b.plain()),
                    (Some(b), None, false) if b.is_zero() => "0".to_owned(),
                    (Some(b), _, false) => format!("at most {}", b.plain()),
                    (None, None, _) => "any number of".to_owned(),
                };
                out.push(row(with_unit(what), band.points.value.plain(), &band.points, rule));
                before = band.bound.as_ref();
            }
            out
        }
        Points::Levels(levels) => levels.iter().map(|(word, p)| row(word.clone(), p.value.plain(), p, rule)).collect(),
        Points::Linear(corners) => {
            corners.iter().map(|(x, p)| row(with_unit(format!("at {}", x.plain())), p.value.plain(), p, rule)).collect()
        }
        Points::Rungs(rungs) => {
            let what = |roles: &Option<Vec<String>>| match roles {
                None => "all priority parts".to_owned(),
                Some(roles) if roles.is_empty() => "less than that".to_owned(),
                Some(roles) => and(roles),
            };
            rungs.iter().map(|r| row(what(&r.roles), r.points.value.plain(), &r.points, rule)).collect()
        }
        Points::AsIs => Vec::new(),
    }
}
