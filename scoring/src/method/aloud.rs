//! A method read aloud: its rules in plain words, in order, each with its source and certainty.
//!
//! What is returned is structure, not layout: the command prints it, the report sets it as an appendix.

use super::{
    Absent, Applies, Cited, Classes, Combine, Group, Measure, MeasureScale, Method, Node, NodeKind,
    PartSet, Points, Reading, Roles, Rule, StepRule, Switch, either_of,
};
use crate::exact::Exact;
use crate::vocab::Certainty;

/// One thing a method says.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Paragraph {
    /// How deep it stands: 0 for the method and its blocks, 1 for the topmost criterion, and so on.
    pub level: usize,
    /// Id of the criterion, switch or block (`scope`, `parts 2`).
    pub id: String,
    /// Heading.
    pub heading: String,
    /// Plain words, one sentence or a few.
    pub text: String,
    /// A small table: what, how much.
    pub rows: Vec<Row>,
    /// Clause, empty where there is none.
    pub clause: String,
    /// Source of the rule.
    pub source: String,
    /// How sure the rule is; `None` for text that states no rule.
    pub certainty: Option<Certainty>,
    /// The switch it depends on.
    pub switch: Option<String>,
}

/// A row of a paragraph's table.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Row {
    /// What (`3 to 5 steps`, `battery`).
    pub what: String,
    /// How much (`4`).
    pub value: String,
    /// Certainty, where it differs from the paragraph's.
    pub certainty: Option<Certainty>,
    /// Source, where it differs from the paragraph's.
    pub source: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// Reads a method aloud, as it stands with its switches.
pub fn aloud(method: &Method) -> Vec<Paragraph> {
    let mut out = vec![about(method), scope(method), scale(method)];
    let plural = method.part_sets.len() > 1;
    for (at, set) in method.part_sets.iter().enumerate() {
        out.push(part_set(set, if plural { Some(at + 1) } else { None }));
    }
    if !method.part_sets.is_empty() || matches!(method.absent, Absent::Points(_)) {
        let text = format!(
            "A priority part the device does not have {}.",
            method.absent.words()
        );
        out.push(block(
            "absent",
            "Parts that are not there",
            both(&text, &method.absent_rule.text),
            &method.absent_rule,
        ));
        out.push(block(
            "repeated",
            "Several parts of one role",
            method.repeated_rule.text.clone(),
            &method.repeated_rule,
        ));
    }
    out.push(steps(&method.steps));
    for (at, company) in method.company.iter().enumerate() {
        let with = company
            .with
            .as_ref()
            .map_or_else(|| "any other role".to_owned(), |w| or(w));
        let sealed = if company.if_sealed {
            ", if ingress protection and endurance limits are met"
        } else {
            ""
        };
        let text = format!("One part may be {} and {with}{sealed}.", or(&company.roles));
        out.push(block(
            &format!("company {}", at + 1),
            "Parts that may share a piece",
            both(&text, &company.rule.text),
            &company.rule,
        ));
    }
    criterion(method, &method.root, 1, Above::default(), &mut out);
    for parked in &method.parked {
        let mut left = Vec::new();
        criterion(method, &parked.node, 1, Above::default(), &mut left);
        for paragraph in &mut left {
            paragraph.text = format!("Left out by a switch. {}", paragraph.text);
        }
        out.extend(left);
    }
    out.extend(method.classes.as_ref().map(classes));
    out.extend(method.switches.iter().map(switch));
    for (at, note) in method.notes.iter().enumerate() {
        out.push(plain(&format!("note {}", at + 1), "Note", note.clone()));
    }
    out
}

fn plain(id: &str, heading: &str, text: String) -> Paragraph {
    Paragraph {
        level: 0,
        id: id.to_owned(),
        heading: heading.to_owned(),
        text,
        rows: Vec::new(),
        clause: String::new(),
        source: String::new(),
        certainty: None,
        switch: None,
    }
}

fn block(id: &str, heading: &str, text: String, rule: &Rule) -> Paragraph {
    Paragraph {
        clause: rule.clause.clone(),
        source: rule.source.clone(),
        certainty: Some(rule.certainty),
        switch: rule.switch.clone(),
        ..plain(id, heading, text)
    }
}

/// Two texts, without saying the same thing twice.
fn both(first: &str, second: &str) -> String {
    match (first.trim(), second.trim()) {
        (a, b) if a == b || b.is_empty() => a.to_owned(),
        ("", b) => b.to_owned(),
        (a, b) => format!("{a} {b}"),
    }
}

fn or<S: AsRef<str>>(words: &[S]) -> String {
    joined(words, "or")
}

/// `a`, `a and b`, `a, b and c`.
fn joined<S: AsRef<str>>(words: &[S], last: &str) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.as_slice() {
        [] => "nothing".to_owned(),
        [one] => (*one).to_owned(),
        [start @ .., end] => format!("{} {last} {end}", start.join(", ")),
    }
}

fn strings<T: ToString>(items: &[T]) -> Vec<String> {
    items.iter().map(ToString::to_string).collect()
}

fn about(method: &Method) -> Paragraph {
    let mut rows = Vec::new();
    let mut row = |what: &str, value: &str| {
        if !value.is_empty() {
            rows.push(Row {
                what: what.to_owned(),
                value: value.to_owned(),
                certainty: None,
                source: None,
                note: None,
            });
        }
    };
    row("edition", &method.edition);
    row("in force from", method.in_force.0.as_deref().unwrap_or(""));
    row("in force until", method.in_force.1.as_deref().unwrap_or(""));
    row("extends", method.extends.as_ref().map_or("", |e| &e.value));
    Paragraph {
        rows,
        ..plain(
            &method.id.value,
            &method.title,
            method.about.trim().to_owned(),
        )
    }
}

fn scope(method: &Method) -> Paragraph {
    let scope = &method.scope;
    let without = match scope.without_forms.as_slice() {
        [] => String::new(),
        forms => format!(", but not to {} devices", or(&strings(forms))),
    };
    let text = format!(
        "Applies to {}{without}.",
        joined(&strings(&scope.categories), "and")
    );
    block("scope", "Scope", both(&text, &scope.rule.text), &scope.rule)
}

fn scale(method: &Method) -> Paragraph {
    let scale = &method.scale;
    let text = if scale.verdict {
        "Pass, fail, or not settled where the record leaves both open.".to_owned()
    } else {
        format!(
            "Totals run from {} to {}, shown with {} {}.",
            scale.low.display(scale.decimals, scale.rounding),
            scale.high.display(scale.decimals, scale.rounding),
            scale.decimals,
            if scale.decimals == 1 {
                "decimal"
            } else {
                "decimals"
            },
        )
    };
    block("scale", "Scale", both(&text, &scale.rule.text), &scale.rule)
}

fn part_set(set: &PartSet, number: Option<usize>) -> Paragraph {
    let id = number.map_or_else(|| "parts".to_owned(), |n| format!("parts {n}"));
    let forms = if set.forms.is_empty() {
        String::new()
    } else {
        format!(", {}", or(&strings(&set.forms)))
    };
    let heading = format!("Priority parts: {}{forms}", or(&strings(&set.categories)));
    let total = set.total();
    let rows = set.weights.iter().map(|(role, weight)| {
        let share = weight
            .value
            .checked_div(&total)
            .map(|s| (&s * &Exact::from(100)).display(1, crate::exact::Rounding::HalfUp));
        let value = format!("{} ({} %)", weight.value.plain(), share.unwrap_or_default());
        row(either_of(role).join(" or "), value, weight, &set.rule)
    });
    let own = if set.own_roles {
        "The roles and shares of the record itself."
    } else {
        ""
    };
    Paragraph {
        rows: rows.collect(),
        ..block(&id, &heading, both(own, &set.rule.text), &set.rule)
    }
}

fn row(what: String, value: String, number: &Cited<Exact>, rule: &Rule) -> Row {
    Row {
        what,
        value,
        certainty: number.certainty.filter(|c| *c != rule.certainty),
        source: number.source.clone().filter(|s| *s != rule.source),
        note: number.note.clone(),
    }
}

fn steps(steps: &StepRule) -> Paragraph {
    let mut text = vec![
        if steps.heat_is_tool {
            "Heat sources count as tools."
        } else {
            "Heat sources are not counted."
        }
        .to_owned(),
    ];
    if steps.mains_is_step {
        text.push("Unplugging mains equipment is a step.".to_owned());
    }
    if steps.pairing_surcharge > 0 {
        text.push(format!(
            "A part that needs remote authorisation gets {} more.",
            steps.pairing_surcharge
        ));
    }
    if steps.destructive_scored {
        text.push("A part whose every way destroys something is scored on that way.".to_owned());
    }
    block(
        "steps",
        "What counts as a step",
        both(&steps.rule.text, &text.join(" ")),
        &steps.rule,
    )
}

fn classes(classes: &Classes) -> Paragraph {
    let rows = classes.bounds.iter().map(|(name, bound)| {
        row(
            name.clone(),
            format!("from {}", bound.value.plain()),
            bound,
            &classes.rule,
        )
    });
    let total = if classes.of_rounded {
        "rounded"
    } else {
        "exact"
    };
    let text = format!("Taken from the {total} total.");
    Paragraph {
        rows: rows.collect(),
        ..block(
            "classes",
            "Classes",
            both(&text, &classes.rule.text),
            &classes.rule,
        )
    }
}

fn switch(switch: &Switch) -> Paragraph {
    let rows = switch
        .options
        .iter()
        .enumerate()
        .map(|(at, (id, means))| Row {
            what: id.clone(),
            value: means.clone(),
            certainty: None,
            source: None,
            note: (at == switch.chosen).then(|| "in force".to_owned()),
        });
    let id = format!("switch {}", switch.id);
    Paragraph {
        rows: rows.collect(),
        ..block(&id, "Open reading", switch.text.clone(), &switch.rule)
    }
}

/// What the criterion above says: how it combines, and its group.
#[derive(Clone, Copy, Default)]
struct Above {
    how: Option<Combine>,
    group: Option<Group>,
}

/// A criterion and all below. An `each` with one measure is one paragraph.
fn criterion(method: &Method, node: &Node, level: usize, above: Above, out: &mut Vec<Paragraph>) {
    let mut words = vec![how(method, node, above)];
    let mut rows = Vec::new();
    let leaf = match &node.kind {
        NodeKind::Each { node: inner, .. } if matches!(inner.kind, NodeKind::Leaf { .. }) => inner,
        _ => node,
    };
    if let NodeKind::Leaf {
        measure,
        reading,
        points,
    } = &leaf.kind
    {
        words.push(measured(measure, *reading));
        rows = self::points(measure, points, &leaf.rule);
        if method.scale.verdict {
            for row in &mut rows {
                verdict(method, row);
            }
        }
    }
    let text = both(
        &node.rule.text,
        &words
            .into_iter()
            .filter(|w| !w.is_empty())
            .collect::<Vec<_>>()
            .join(" "),
    );
    out.push(Paragraph {
        level,
        rows,
        ..block(&node.id, &node.title, text, &node.rule)
    });
    let combine = match &node.kind {
        NodeKind::Group { how, .. } => Some(*how),
        _ => None,
    };
    let above = Above {
        how: combine,
        group: node.group,
    };
    if !std::ptr::eq(leaf, node) {
        return;
    }
    for child in node.children() {
        criterion(method, child, level + 1, above, out);
    }
}

/// Weight, group, scope and combination in words.
fn how(method: &Method, node: &Node, above: Above) -> String {
    let mut out = Vec::new();
    if let (Some(weight), Some(Combine::Mean | Combine::Sum)) = (&node.weight, above.how) {
        let mark = weight
            .certainty
            .filter(|c| *c != node.rule.certainty)
            .map(|c| format!(" ({c})"))
            .unwrap_or_default();
        out.push(format!("Weight {}{mark}.", weight.value.plain()));
    }
    // Said where a group opens; below that it goes without saying.
    out.extend(
        node.group
            .filter(|g| Some(*g) != above.group)
            .map(|g| group(g).to_owned()),
    );
    if node.applies != Applies::default() {
        let only = [
            strings(&node.applies.categories),
            strings(&node.applies.forms),
        ]
        .concat();
        out.push(format!("Only for {}.", or(&only)));
    }
    match &node.kind {
        NodeKind::Group { how, of } => out.push(combined(method, *how, of)),
        NodeKind::Each { roles, how, .. } => {
            let which = match roles {
                Roles::Priority => "every priority part".to_owned(),
                Roles::Highest => "every part of the highest weight".to_owned(),
                Roles::Named(roles) if roles.len() == 1 => format!("the {}", roles[0].value),
                Roles::Named(roles) => format!(
                    "each of {}",
                    joined(&roles.iter().map(|r| &r.value).collect::<Vec<_>>(), "and")
                ),
            };
            let how = match how {
                Combine::Worst => "the worst counts",
                Combine::Best => "the best counts",
                _ => "the mean by part weight counts",
            };
            out.push(format!("Scored for {which}; {how}."));
        }
        NodeKind::Leaf { .. } => {}
    }
    out.join(" ")
}

fn group(group: Group) -> &'static str {
    match group {
        Group::ProductRelated => "Product-related.",
        Group::SupportRelated => "Support-related.",
    }
}

fn combined(method: &Method, how: Combine, of: &[Node]) -> String {
    let titles: Vec<&str> = of.iter().map(|n| n.title.as_str()).collect();
    match (how, titles.as_slice()) {
        (Combine::Mean, _) => "The weighted mean of what follows.".to_owned(),
        (Combine::Sum, _) => "Weight times value, added up.".to_owned(),
        (Combine::Worst, _) if method.scale.verdict => "All of what follows must pass.".to_owned(),
        (Combine::Best, _) if method.scale.verdict => "One of what follows must pass.".to_owned(),
        (Combine::Worst, _) => "The worst of what follows.".to_owned(),
        (Combine::Best, _) => "The best of what follows.".to_owned(),
        (Combine::Cap, [first, ..]) => {
            format!("{first}, but at most what each limit after it allows.")
        }
        (Combine::Gate, [first, ..]) => {
            format!(
                "{first}, if all else that follows is at its best; otherwise {}.",
                method.scale.low.plain()
            )
        }
        _ => String::new(),
    }
}

fn measured(measure: &Measure, reading: Reading) -> String {
    let at = match (measure.on_route(), reading) {
        (false, _) => "",
        (true, Reading::Route) => ", read on the whole reference route",
        (true, Reading::Part) => ", read at the part",
    };
    let meaning = measure.meaning().trim_end_matches('.');
    let meaning = meaning.split(": `").next().unwrap_or(meaning);
    format!("Measured: {}{at}.", lower_first(meaning))
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect())
}

/// Points of a verdict method in words.
fn verdict(method: &Method, row: &mut Row) {
    if row.value == method.scale.high.plain() {
        "pass".clone_into(&mut row.value);
    } else if row.value == method.scale.low.plain() {
        "fail".clone_into(&mut row.value);
    }
}

/// Points as rows, bounds in words.
fn points(measure: &Measure, points: &Points, rule: &Rule) -> Vec<Row> {
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
                out.push(row(
                    with_unit(what),
                    band.points.value.plain(),
                    &band.points,
                    rule,
                ));
                before = band.bound.as_ref();
            }
            out
        }
        Points::Levels(levels) => levels
            .iter()
            .map(|(word, p)| row(word.clone(), p.value.plain(), p, rule))
            .collect(),
        Points::Linear(corners) => corners
            .iter()
            .map(|(x, p)| {
                row(
                    with_unit(format!("at {}", x.plain())),
                    p.value.plain(),
                    p,
                    rule,
                )
            })
            .collect(),
        Points::Rungs(rungs) => {
            let what = |roles: &Option<Vec<String>>| match roles {
                None => "all priority parts".to_owned(),
                Some(roles) if roles.is_empty() => "less than that".to_owned(),
                Some(roles) => joined(roles, "and"),
            };
            rungs
                .iter()
                .map(|r| row(what(&r.roles), r.points.value.plain(), &r.points, rule))
                .collect()
        }
        Points::AsIs => Vec::new(),
    }
}
