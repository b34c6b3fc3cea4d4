//! The tree of criteria.

use super::{Cite, Job, points, switches, under};
use crate::method::{Applies, Combine, Group, Measure, Node, NodeKind, Reading, Roles, Rule, tables};
use crate::text::fields::{Bad, Fields, Item};
use crate::text::{Diagnostic, Span, near};

const ALL_COMBINES: [Combine; 6] =
    [Combine::Mean, Combine::Sum, Combine::Worst, Combine::Best, Combine::Cap, Combine::Gate];

/// What a criterion takes from the one above, where it is the `score` of an `each`.
pub(super) struct Above {
    id: String,
    title: String,
    span: Span,
}

/// Reads a criterion and all below; `None` when it says nothing that can be scored.
pub(super) fn node(
    item: &Item<'_>,
    above: Option<&Above>,
    around: &Cite,
    group: Option<Group>,
    job: &mut Job<'_, '_>,
) -> Option<Node> {
    let read = node_or_none(item, above, around, group, job);
    if read.is_none() {
        job.broken.push(item.node.span);
    }
    read
}

fn node_or_none(
    item: &Item<'_>,
    above: Option<&Above>,
    around: &Cite,
    group: Option<Group>,
    job: &mut Job<'_, '_>,
) -> Option<Node> {
    let fields = item.fields(&tables::NODE, job.reader)?;
    let cite = job.cite(&fields, around);
    let mut span = item.head();
    let id = match (fields.text("id", job.reader), above) {
        (Some(id), _) => {
            span = id.span;
            id.value
        }
        (None, Some(above)) => format!("{}/part", above.id),
        (None, None) => {
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
    let text = fields.text("rule", job.reader).map_or_else(|| title.clone(), |t| t.value);
    let rule = job.rule(&fields, text, &cite);
    let own = fields.get("group").and_then(|i| i.word("a group", &tables::GROUPS, job.reader));
    let group = own.map(|g| [Group::ProductRelated, Group::SupportRelated][g.value]).or(group);
    let weight = fields.get("weight").and_then(|i| {
        let number = job.number(&i);
        if number.is_none() {
            job.broken.push(i.node.span);
        }
        // A weight belongs to the rule that combines, not to the criterion it weighs.
        number.map(|n| under(n, around))
    });
    let applies = fields.get("only for").and_then(|i| i.fields(&tables::APPLIES, job.reader));
    let applies = applies.map_or_else(Applies::default, |f| Applies {
        categories: job.vocabulary(&f, "categories"),
        forms: job.vocabulary(&f, "forms"),
    });
    let weights_sum = fields.get("weights sum to").and_then(|i| job.plain(&i));
    let kind = kind(&fields, &Above { id: id.clone(), title: title.clone(), span }, &cite, group, &rule, job)?;
    Some(Node { id, title, weight, rule, group, applies, weights_sum, kind, span })
}

fn kind(
    fields: &Fields<'_>,
    this: &Above,
    cite: &Cite,
    group: Option<Group>,
    rule: &Rule,
    job: &mut Job<'_, '_>,
) -> Option<NodeKind> {
    let how = fields.get("combine").and_then(|i| i.word("a way to combine", &tables::COMBINES, job.reader));
    let how = how.map_or(Combine::Mean, |h| ALL_COMBINES[h.value]);
    let stated: Vec<&str> = ["of", "score", "measure"].into_iter().filter(|f| fields.get(f).is_some()).collect();
    if stated.len() != 1 {
        let message = match stated.as_slice() {
            [] => format!("`{}` says neither what is measured nor what is below it", this.id),
            _ => format!(
                "`{}` has {} at once",
                this.id,
                stated.iter().map(|s| format!("`{s}`")).collect::<Vec<_>>().join(" and ")
            ),
        };
        job.complain(
            Diagnostic::error("criterion-kind", this.span, message)
                .because("A criterion combines others (`of`), scores each part (`each` with `score` or `measure`), or reads one measure (`measure`).")
                .mend("keep exactly one of `of`, `score` and `measure`"),
        );
        return None;
    }
    let each = fields.get("each");
    if each.is_none() && stated == ["score"] || each.is_some() && stated == ["of"] {
        job.complain(
            Diagnostic::error(
                "criterion-kind",
                this.span,
                format!("in `{}`, `each` and `score` belong together", this.id),
            )
            .because("`score` is what is scored for each part; `of` combines criteria of the whole device.")
            .mend("write `each:` with `score:` or `measure:`, or `of:` without `each:`"),
        );
        return None;
    }
    if let Some(list) = fields.get("of") {
        let items = list.list("a list of criteria", job.reader)?;
        let of = items.iter().filter_map(|i| node(i, None, cite, group, job)).collect();
        return Some(NodeKind::Group { how, of });
    }
    let Some(each) = each else {
        return leaf(fields, cite, job);
    };
    let roles = roles(&each, job);
    let inner = if let Some(score) = fields.get("score") {
        node(&score, Some(this), cite, group, job)?
    } else {
        Node {
            id: format!("{}/part", this.id),
            title: this.title.clone(),
            weight: None,
            rule: rule.clone(),
            group,
            applies: Applies::default(),
            weights_sum: None,
            kind: leaf(fields, cite, job)?,
            span: this.span,
        }
    };
    Some(NodeKind::Each { roles, how, node: Box::new(inner) })
}

fn roles(item: &Item<'_>, job: &mut Job<'_, '_>) -> Roles {
    match item.node.text().map(crate::text::fold).as_deref() {
        Some("priority") => Roles::Priority,
        Some("highest") => Roles::Highest,
        _ => Roles::Named(item.one_or_many().iter().filter_map(|i| i.text("a role", job.reader)).collect()),
    }
}

fn leaf(fields: &Fields<'_>, cite: &Cite, job: &mut Job<'_, '_>) -> Option<NodeKind> {
    let measure = fields.get("measure").and_then(|i| i.parse("a measure", measure, job.reader));
    let read_at = fields.get("read at").and_then(|i| i.word("`route` or `part`", &tables::READINGS, job.reader));
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
    let points = points::points(fields, measure.as_ref().map(|m| &m.value), cite, job);
    Some(NodeKind::Leaf {
        measure: measure?.value,
        reading: read_at.map_or(Reading::Route, |r| switches::reading(r.value)),
        points: points?,
    })
}

fn measure(text: &str) -> Result<Measure, Bad> {
    Measure::from_word(text).ok_or_else(|| {
        let words = || Measure::ALL.iter().map(|(word, ..)| *word);
        let mend = match near(text, words()) {
            Some(word) => format!("did you mean `{word}`?"),
            None => format!("measures: {}, mark ROW", words().collect::<Vec<_>>().join(", ")),
        };
        Bad::new(0..text.len(), format!("`{text}` is not a measure")).code("measure-unknown").mend(mend)
    })
}
