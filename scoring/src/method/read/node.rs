//! The tree of criteria.

use super::{Cite, Gap, Job, points, switches, under};
use crate::method::{Applies, Combine, Group, Measure, Node, NodeKind, Points, Reading, Roles, Rule, field_tables};
use crate::text::fields::{Bad, Fields, Item, short};
use crate::text::yaml::{Entry, Node as TreeNode, NodeKind as TreeKind, Scalar};
use crate::text::{Diagnostic, Span, near};

const ALL_COMBINES: [Combine; 7] =
    [Combine::Mean, Combine::Sum, Combine::Worst, Combine::Best, Combine::Cap, Combine::Gate, Combine::Apart];

/// What a criterion takes from the one above, where it is the `score` of an `each`.
pub(super) struct Above {
    id: String,
    title: String,
    span: Span,
}

/// Reads a criterion and all below. What can't be read gets a stand-in and a mark in the gaps.
pub(super) fn node(
    item: &Item<'_>,
    above: Option<&Above>,
    around: &Cite,
    group: Option<Group>,
    job: &mut Job<'_, '_>,
) -> Node {
    if let Some(named) = under_its_name(item, job) {
        return node(&Item { node: &named, key: item.key, path: item.path.clone() }, above, around, group, job);
    }
    let Some(fields) = item.fields(&field_tables::NODE, job.reader) else {
        return stand_in(item.span(), job);
    };
    let cite = job.cite(&fields, around);
    let mut span = item.head();
    let id = match (fields.get("id").map(|i| i.text("text", job.reader)), above) {
        (Some(Some(id)), _) => {
            span = id.span;
            id.value
        }
        (Some(None), _) => {
            job.gaps.mark(Gap::Id, span);
            String::new()
        }
        (None, Some(above)) => format!("{}/part", above.id),
        (None, None) => {
            job.gaps.mark(Gap::Id, span);
            job.complain(
                Diagnostic::error("missing-field", fields.head, "`id` is missing in a criterion")
                    .because("Becauses, switches and changes name criteria by their id.")
                    .mend("add `id:`"),
            );
            String::new()
        }
    };
    let title = fields.text("title", job.reader).map(|t| t.value);
    let title = title.or_else(|| above.map(|a| a.title.clone())).unwrap_or_else(|| id.clone());
    let short = fields.get("short").and_then(|i| i.parse("a word", nine_letters, job.reader)).map(|s| s.value);
    let text = fields.text("rule", job.reader).map_or_else(|| title.clone(), |t| t.value);
    let rule = job.rule(&fields, text, &cite);
    let own = fields.get("group").and_then(|i| i.word("a group", &field_tables::GROUPS, job.reader));
    let group = own.map(|g| [Group::ProductRelated, Group::SupportRelated][g.value]).or(group);
    let weight = fields.get("weight").map(|i| job.number(&i));
    if matches!(weight, Some(None)) {
        job.gaps.mark(Gap::Weight, span);
    }
    // A weight belongs to the rule that combines, not to the criterion it weighs.
    let weight = weight.flatten().map(|n| under(n, around));
    let applies = match fields.get("only for").map(|i| i.fields(&field_tables::APPLIES, job.reader)) {
        None => Applies::default(),
        Some(None) => {
            job.gaps.mark(Gap::Applies, span);
            Applies::default()
        }
        Some(Some(f)) => Applies {
            categories: job.categories(&f, "categories", Gap::Applies, span),
            forms: job.vocabulary(&f, "forms", Gap::Applies, span),
        },
    };
    let weights_sum = fields.get("weights sum to").and_then(|i| job.plain(&i));
    let kind = kind(&fields, &Above { id: id.clone(), title: title.clone(), span }, &cite, group, &rule, job);
    Node { id, title, short, weight, rule, group, applies, weights_sum, kind, span }
}

/// A criterion written below its name, `- steps: {measure: depth}`: told, and read as `- {id: steps, measure: depth}`.
fn under_its_name(item: &Item<'_>, job: &mut Job<'_, '_>) -> Option<TreeNode> {
    let TreeKind::Map(entries) = &item.node.kind else { return None };
    let [Entry { key, key_span, value: TreeNode { kind: TreeKind::Map(fields), .. } }] = &**entries else {
        return None;
    };
    if field_tables::NODE.field(key).is_some() || near(key, field_tables::NODE.names()).is_some() && fields.is_empty() {
        return None;
    }
    job.complain(
        Diagnostic::error(
            "criterion-kind",
            *key_span,
            format!("the criterion `{}` is written below its name", short(key)),
        )
        .because("A criterion is one mapping, and its name is a field of it.")
        .mend(format!("write `id: {}` as its first field, the others beside it", short(key))),
    );
    let scalar = TreeNode { span: *key_span, kind: TreeKind::Scalar(Scalar { text: key.clone(), plain: true }) };
    let id = Entry { key: "id".to_owned(), key_span: *key_span, value: scalar };
    let others = fields.iter().filter(|f| !crate::text::alike(&f.key, "id")).cloned();
    Some(TreeNode { span: item.node.span, kind: TreeKind::Map(std::iter::once(id).chain(others).collect()) })
}

/// What stands for a criterion of which nothing could be read.
pub(super) fn stand_in(span: Span, job: &mut Job<'_, '_>) -> Node {
    for gap in [Gap::Id, Gap::Kind, Gap::Weight, Gap::Applies] {
        job.gaps.mark(gap, span);
    }
    Node {
        id: String::new(),
        title: String::new(),
        short: None,
        weight: None,
        rule: Rule::own(""),
        group: None,
        applies: Applies::default(),
        weights_sum: None,
        kind: NodeKind::Group { how: Combine::Mean, of: Vec::new() },
        span,
    }
}

fn kind(
    fields: &Fields<'_>,
    this: &Above,
    cite: &Cite,
    group: Option<Group>,
    rule: &Rule,
    job: &mut Job<'_, '_>,
) -> NodeKind {
    let how = fields.get("combine").map(|i| i.word("a way to combine", &field_tables::COMBINES, job.reader));
    if matches!(how, Some(None)) {
        job.gaps.mark(Gap::Combine, this.span);
    }
    let how = how.flatten().map_or(Combine::Mean, |h| ALL_COMBINES[h.value]);
    let stated: Vec<&str> = ["of", "score", "measure"].into_iter().filter(|f| fields.get(f).is_some()).collect();
    let each = fields.get("each");
    let wrong = if stated.len() != 1 {
        let message = match stated.as_slice() {
            [] if this.id.is_empty() => "this criterion says neither what is measured nor what is below it".to_owned(),
            [] => format!("`{}` says neither what is measured nor what is below it", this.id),
            _ => format!(
                "`{}` has {} at once",
                this.id,
                stated.iter().map(|s| format!("`{s}`")).collect::<Vec<_>>().join(" and ")
            ),
        };
        Some((
            message,
            "A criterion combines others (`of`), scores each part (`each` with `score` or `measure`), or reads one measure (`measure`).",
            "keep exactly one of `of`, `score` and `measure`",
        ))
    } else if each.is_none() && stated == ["score"] || each.is_some() && stated == ["of"] {
        Some((
            format!("in `{}`, `each` and `score` belong together", this.id),
            "`score` is what is scored for each part; `of` combines criteria of the whole device.",
            "write `each:` with `score:` or `measure:`, or `of:` without `each:`",
        ))
    } else {
        None
    };
    if let Some((message, reason, mend)) = wrong {
        let complaint = Diagnostic::error("criterion-kind", this.span, message).because(reason).mend(mend);
        job.complain(complaint);
        return unclear(fields, this, how, cite, group, job);
    }
    if let Some(list) = fields.get("of") {
        return NodeKind::Group { how, of: below(&list, this, cite, group, job) };
    }
    let Some(each) = each else {
        return leaf(fields, this, cite, job);
    };
    let roles = roles(&each, this, job);
    let inner = if let Some(score) = fields.get("score") {
        node(&score, Some(this), cite, group, job)
    } else {
        Node {
            id: format!("{}/part", this.id),
            title: this.title.clone(),
            short: None,
            weight: None,
            rule: rule.clone(),
            group,
            applies: Applies::default(),
            weights_sum: None,
            kind: leaf(fields, this, cite, job),
            span: this.span,
        }
    };
    NodeKind::Each { roles, how, node: Box::new(inner) }
}

/// A criterion that is not exactly one thing: all it states is read, so that what stands below it is checked.
fn unclear(
    fields: &Fields<'_>,
    this: &Above,
    how: Combine,
    cite: &Cite,
    group: Option<Group>,
    job: &mut Job<'_, '_>,
) -> NodeKind {
    job.gaps.mark(Gap::Kind, this.span);
    let mut of = fields.get("of").map(|list| below(&list, this, cite, group, job)).unwrap_or_default();
    of.extend(fields.get("score").map(|score| node(&score, Some(this), cite, group, job)));
    if fields.get("measure").is_some() {
        leaf(fields, this, cite, job);
    }
    NodeKind::Group { how, of }
}

fn below(list: &Item<'_>, this: &Above, cite: &Cite, group: Option<Group>, job: &mut Job<'_, '_>) -> Vec<Node> {
    let items = list.list("a list of criteria", job.reader);
    if items.is_none() {
        job.gaps.mark(Gap::Kind, this.span);
    }
    items.unwrap_or_default().iter().map(|i| node(i, None, cite, group, job)).collect()
}

fn roles(item: &Item<'_>, this: &Above, job: &mut Job<'_, '_>) -> Roles {
    match item.node.text().map(crate::text::fold).as_deref() {
        Some("priority") => Roles::Priority,
        Some("highest") => Roles::Highest,
        _ => {
            let read: Vec<_> = item.one_or_many().iter().map(|i| i.text("a role", job.reader)).collect();
            if read.iter().any(Option::is_none) {
                job.gaps.mark(Gap::Roles, this.span);
            }
            Roles::Named(read.into_iter().flatten().collect())
        }
    }
}

fn leaf(fields: &Fields<'_>, this: &Above, cite: &Cite, job: &mut Job<'_, '_>) -> NodeKind {
    let measure = fields.get("measure").and_then(|i| i.parse("a measure", measure, job.reader));
    if measure.is_none() {
        job.gaps.mark(Gap::Kind, this.span);
    }
    let read_at = fields.get("read at").and_then(|i| i.word("`route` or `part`", &field_tables::READINGS, job.reader));
    if let (Some(at), Some(measure)) = (&read_at, &measure)
        && !measure.value.on_route()
    {
        job.complain(
            Diagnostic::warning(
                "reading-unused",
                at.span,
                format!("`{}` is not read on a route", measure.value.word()),
            )
            .because("`read at` has no effect here.")
            .mend("delete `read at`"),
        );
    }
    let points = points::points(fields, measure.as_ref().map(|m| &m.value), this.span, cite, job);
    if points.is_none() {
        job.gaps.mark(Gap::Points, this.span);
    }
    NodeKind::Leaf {
        measure: measure.map_or(Measure::Depth, |m| m.value),
        reading: read_at.map_or(Reading::Route, |r| switches::reading(r.value)),
        points: points.unwrap_or_else(|| Points::Levels(Vec::new())),
    }
}

/// A word that has room in a drawing.
fn nine_letters(text: &str) -> Result<String, Bad> {
    if text.chars().count() > 9 {
        return Err(Bad::new(0..text.len(), format!("`{text}` has more than nine letters")).mend("a shorter word"));
    }
    Ok(text.to_owned())
}

fn measure(text: &str) -> Result<Measure, Bad> {
    Measure::from_word(text).ok_or_else(|| {
        let words: Vec<String> = Measure::all().iter().map(Measure::word).collect();
        let words = || words.iter().map(String::as_str);
        let mend = match near(text, words()) {
            Some(word) => format!("did you mean `{word}`?"),
            None => format!("measures: {}, mark ROW", words().collect::<Vec<_>>().join(", ")),
        };
        Bad::new(0..text.len(), format!("`{text}` is not a measure")).code("measure-unknown").mend(mend)
    })
}
