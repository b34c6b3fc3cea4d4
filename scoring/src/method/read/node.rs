//! The tree of criteria.

use super::{Cite, Gap, Job, points, under};
use crate::method::entries::{CriterionFields, Ruled};
use crate::method::schema::CRITERION;
use crate::method::written::RoleName;
use crate::method::{Applies, Combine, Criterion, CriterionKind, Group, Measure, Points, Reading, Roles, Rule};
use crate::text::fields::{Item, Items, Many, Stated, short};
use crate::text::yaml::{Scalar, YamlEntry, YamlKind, YamlNode};
use crate::text::{Diagnostic, Span, Spanned, near};

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
) -> Criterion {
    if let Some(named) = under_its_name(item, job) {
        return node(&Item { node: &named, key: item.key, path: item.path.clone() }, above, around, group, job);
    }
    let Some((mut fields, items)) = job.typed::<CriterionFields>(item) else {
        return stand_in(item.span(), job);
    };
    let cite = Job::cite(&fields.said(), around);
    let mut span = item.head();
    let id = match (std::mem::take(&mut fields.id), above) {
        (Stated::Read(id), _) => {
            span = id.span;
            id.value
        }
        (Stated::Unread, _) => {
            job.gaps.mark(Gap::Id, span);
            String::new()
        }
        (Stated::LeftOut, Some(above)) => format!("{}/part", above.id),
        (Stated::LeftOut, None) => {
            job.gaps.mark(Gap::Id, span);
            job.complain(
                Diagnostic::error("missing-field", span, "`id` is missing in a criterion")
                    .because("Becauses, switches and changes name criteria by their id.")
                    .mend("add `id:`"),
            );
            String::new()
        }
    };
    let title = fields.title.take().or_else(|| above.map(|a| a.title.clone())).unwrap_or_else(|| id.clone());
    let text = fields.said().rule.unwrap_or(&title).clone();
    let rule = job.rule(&fields.said(), item.head(), text, &cite);
    let group = fields.group.or(group);
    let weight = items.get(&fields.weight).map(|i| job.number(&i));
    if matches!(weight, Some(None)) {
        job.gaps.mark(Gap::Weight, span);
    }
    // A weight belongs to the rule that combines, not to the criterion it weighs.
    let weight = weight.flatten().map(|n| under(n, around));
    let applies = match std::mem::take(&mut fields.only_for) {
        Stated::LeftOut => Applies::default(),
        Stated::Unread => {
            job.gaps.mark(Gap::Applies, span);
            Applies::default()
        }
        Stated::Read(only) => Applies {
            categories: job.categories(&only.categories, &items, Gap::Applies, span),
            forms: job.words(only.forms, Gap::Applies, span),
        },
    };
    let weights_sum = fields.weights_sum.take().map(|sum| Spanned::new(sum.value.0, sum.span));
    let short = fields.short.take().map(|word| word.0);
    let this = Above { id: id.clone(), title: title.clone(), span };
    let kind = kind(&Stood { fields, items, head: item.head() }, &this, &cite, group, &rule, job);
    Criterion { id, title, short, weight, rule, group, applies, weights_sum, kind, span }
}

/// A criterion as it stands in the file.
struct Stood<'t> {
    fields: CriterionFields,
    items: Items<'t>,
    head: Span,
}

/// A criterion written below its name, `- steps: {measure: depth}`: told, and read as `- {id: steps, measure: depth}`.
fn under_its_name(item: &Item<'_>, job: &mut Job<'_, '_>) -> Option<YamlNode> {
    let YamlKind::Map(entries) = &item.node.kind else { return None };
    let [YamlEntry { key, key_span, value: YamlNode { kind: YamlKind::Map(fields), .. } }] = &**entries else {
        return None;
    };
    if CRITERION.field(key).is_some() || near(key, CRITERION.names()).is_some() && fields.is_empty() {
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
    let scalar = YamlNode { span: *key_span, kind: YamlKind::Scalar(Scalar { text: key.clone(), plain: true }) };
    let id = YamlEntry { key: "id".to_owned(), key_span: *key_span, value: scalar };
    let others = fields.iter().filter(|f| !crate::text::alike(&f.key, "id")).cloned();
    Some(YamlNode { span: item.node.span, kind: YamlKind::Map(std::iter::once(id).chain(others).collect()) })
}

/// What stands for a criterion of which nothing could be read.
pub(super) fn stand_in(span: Span, job: &mut Job<'_, '_>) -> Criterion {
    for gap in [Gap::Id, Gap::Kind, Gap::Weight, Gap::Applies] {
        job.gaps.mark(gap, span);
    }
    Criterion {
        id: String::new(),
        title: String::new(),
        short: None,
        weight: None,
        rule: Rule::own(""),
        group: None,
        applies: Applies::default(),
        weights_sum: None,
        kind: CriterionKind::Group { how: Combine::Mean, of: Vec::new() },
        span,
    }
}

fn kind(
    stood: &Stood<'_>,
    this: &Above,
    cite: &Cite,
    group: Option<Group>,
    rule: &Rule,
    job: &mut Job<'_, '_>,
) -> CriterionKind {
    let Stood { fields, items, .. } = stood;
    if fields.combine.is_unread() {
        job.gaps.mark(Gap::Combine, this.span);
    }
    let how = if let Stated::Read(how) = fields.combine { how } else { Combine::Mean };
    let below_or_measured = [
        ("of", fields.of.is_some()),
        ("score", fields.score.is_some()),
        ("measure", fields.measure != Stated::LeftOut),
    ];
    let stated: Vec<&str> = below_or_measured.into_iter().filter(|(_, is)| *is).map(|(name, _)| name).collect();
    let each = items.get(&fields.each);
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
        return unclear(stood, this, how, cite, group, job);
    }
    if let Some(list) = items.get(&fields.of) {
        return CriterionKind::Group { how, of: below(&list, this, cite, group, job) };
    }
    let Some(each) = each else {
        return leaf(stood, this, cite, job);
    };
    let roles = roles(&each, this, job);
    let inner = if let Some(score) = items.get(&fields.score) {
        node(&score, Some(this), cite, group, job)
    } else {
        Criterion {
            id: format!("{}/part", this.id),
            title: this.title.clone(),
            short: None,
            weight: None,
            rule: rule.clone(),
            group,
            applies: Applies::default(),
            weights_sum: None,
            kind: leaf(stood, this, cite, job),
            span: this.span,
        }
    };
    CriterionKind::Each { roles, how, node: Box::new(inner) }
}

/// A criterion that is not exactly one thing: all it states is read, so that what stands below it is checked.
fn unclear(
    stood: &Stood<'_>,
    this: &Above,
    how: Combine,
    cite: &Cite,
    group: Option<Group>,
    job: &mut Job<'_, '_>,
) -> CriterionKind {
    job.gaps.mark(Gap::Kind, this.span);
    let Stood { fields, items, .. } = stood;
    let mut of = items.get(&fields.of).map(|list| below(&list, this, cite, group, job)).unwrap_or_default();
    of.extend(items.get(&fields.score).map(|score| node(&score, Some(this), cite, group, job)));
    if fields.measure != Stated::LeftOut {
        leaf(stood, this, cite, job);
    }
    CriterionKind::Group { how, of }
}

fn below(list: &Item<'_>, this: &Above, cite: &Cite, group: Option<Group>, job: &mut Job<'_, '_>) -> Vec<Criterion> {
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
            let read = job.typed::<Many<Stated<Spanned<RoleName>>>>(item).map(|(roles, _)| roles);
            let roles = job.words(read.unwrap_or_default(), Gap::Roles, this.span);
            Roles::Named(roles.into_iter().map(|role| Spanned::new(role.value.0, role.span)).collect())
        }
    }
}

fn leaf(stood: &Stood<'_>, this: &Above, cite: &Cite, job: &mut Job<'_, '_>) -> CriterionKind {
    let Stood { fields, items, head } = stood;
    let measure = fields.measure.clone().read();
    if measure.is_none() {
        job.gaps.mark(Gap::Kind, this.span);
    }
    if let (Some(at), Some(measure)) = (&fields.read_at, &measure)
        && !measure.on_route()
    {
        job.complain(
            Diagnostic::warning("reading-unused", at.span, format!("`{}` is not read on a route", measure.word()))
                .because("`read at` has no effect here.")
                .mend("delete `read at`"),
        );
    }
    let points = points::points(fields, items, (this.span, *head), cite, job);
    if points.is_none() {
        job.gaps.mark(Gap::Points, this.span);
    }
    CriterionKind::Leaf {
        measure: measure.unwrap_or(Measure::Depth),
        reading: fields.read_at.as_ref().map_or(Reading::Route, |at| at.value),
        points: points.unwrap_or_else(|| Points::Levels(Vec::new())),
    }
}
