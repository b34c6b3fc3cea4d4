//! The blocks around the tree of criteria.

use serde::de::DeserializeOwned;

use super::switches::{read_as, route_settings, step_settings, switches};
use super::{Cite, Gap, Job, certainty, node, source};
use crate::exact::{Exact, Rounding};
use crate::method::entries::{
    ClassesFields, CompanyFields, MethodFields, PartSetFields, Ruled, ScaleFields, ScopeFields, WeightsForFields,
};
use crate::method::schema::DESCRIBED;
use crate::method::written::{CriterionId, Decimals, RoleName, Total};
use crate::method::{
    Absent, BasicTools, Cited, Classes, Company, Days, Instances, Method, PartSet, Routes, Rule, Scale, Scope,
    StepRule, WeightOrigin, either_of,
};
use crate::text::fields::{Item, Items, ListOf, Many, Unread, short};
use crate::text::{Diagnostic, Span, Spanned};
use crate::vocab::{Category, Certainty};

/// Reads a whole file; `None` when it is no method. What can't be read gets a stand-in and a mark in the gaps.
///
/// `partial`: the rest may stand in a base that was not found, so nothing is missing.
pub(super) fn method(root: &Item<'_>, partial: bool, job: &mut Job<'_, '_>) -> Option<Method> {
    if root.node.get("unfasten method").is_none() && root.node.get("unfasten").is_some() {
        job.complain(
            Diagnostic::error("not-a-method", root.head(), "this is a record, not a method")
                .because("A method file starts with `unfasten method: 1`.")
                .mend("give the record as RECORD and a method file or id as METHOD"),
        );
        return None;
    }
    let read = if partial {
        root.partly_typed::<MethodFields>(&DESCRIBED, job.reader)
    } else {
        job.typed::<MethodFields>(root)
    };
    let (fields, items) = read?;
    let head = root.head();
    let cite = Cite { source: source(&fields.source), clause: None, certainty: certainty(&fields.certainty) };
    let id = fields.id.0.map(|id| Spanned::new(id.value.0, id.span));
    let id = id.unwrap_or_else(|| Spanned::new(String::new(), head));
    let days = block(&fields.applies, &items, job, &cite, |f, _, rule, _| Days {
        from: f.from,
        supplied_from: f.supplied_from,
        until: f.until,
        rule,
    });
    let own_categories = items.get(&fields.own_categories).map(|i| own_categories(&i, head, job)).unwrap_or_default();
    let scope = block(&fields.scope.0, &items, job, &cite, scope);
    let scale = block(&fields.scale.0, &items, job, &cite, scale);
    for (gap, unread) in [(Gap::Scope, scope.is_none()), (Gap::Scale, scale.is_none())] {
        if unread {
            job.gaps.mark(gap, root.node.span);
        }
    }
    let own = |text: &str| Rule::own(text);
    let scope = scope.unwrap_or_else(|| Scope {
        categories: Vec::new(),
        without_forms: Vec::new(),
        information_only: (Vec::new(), String::new()),
        rule: own(""),
    });
    let scale = scale.unwrap_or_else(|| Scale {
        low: Exact::zero(),
        high: Exact::from(10),
        decimals: 1,
        rounding: Rounding::HalfUp,
        rule: own(""),
        verdict: false,
    });
    let part_sets = items.get(&fields.parts).map(|i| part_sets(&i, job, &cite)).unwrap_or_default();
    let absent = block(&fields.absent, &items, job, &cite, |f, _, rule, job| {
        if let Some(points) = &f.points.0 {
            absent_on_scale(points, &scale, job);
        }
        (f.points.0.map_or(Absent::LeaveOut, |p| p.value), rule)
    });
    let (absent, absent_rule) = absent
        .unwrap_or_else(|| (Absent::LeaveOut, own("A part the device does not have is left out, its weight with it.")));
    let repeated = block(&fields.repeated, &items, job, &cite, |f, _, rule, _| {
        (f.instances.unwrap_or(Instances::WorstPerMeasure), rule)
    });
    let (instances, repeated_rule) = repeated.unwrap_or_else(|| (Instances::WorstPerMeasure, own("")));
    let classes = block(&fields.classes, &items, job, &cite, classes);
    let steps = block(&fields.steps, &items, job, &cite, |f, inside, rule, job| {
        let mut steps = StepRule::usual(rule);
        for setting in step_settings(f).into_iter().flatten() {
            steps.apply(&setting);
        }
        if let Some(unfit) = steps.unfit() {
            let problem = Diagnostic::error("steps-unfit", inside.head, unfit);
            job.complain(
                problem.because("Heating while another tool is used is both.").mend("write `simultaneous tools: each`"),
            );
        }
        steps
    });
    let routes = block(&fields.routes, &items, job, &cite, |f, _, rule, _| {
        let mut routes = Routes::usual(rule);
        for setting in route_settings(f).into_iter().flatten() {
            routes.set(&setting);
        }
        routes
    });
    let company = items.get(&fields.company).map(|i| company(&i, job, &cite)).unwrap_or_default();
    let switches = switches(&fields.switches, &items, job, &cite);
    let criteria = match items.get(&fields.criteria.0) {
        Some(item) => node::node(&item, None, &cite, None, job),
        None => node::stand_in(root.node.span, job),
    };
    let notes = texts(&fields.notes, &items, job);
    let not_covered = texts(&fields.not_covered, &items, job);
    let read_as = items.get(&fields.read_as).map(|i| read_as(&i, job)).unwrap_or_default();
    let weight_origins = items.get(&fields.weights_for).map(|i| weight_origins(&i, head, job)).unwrap_or_default();
    let sub_scores = items.get(&fields.sub_scores).and_then(|i| i.list("a list of ids", job.reader));
    let sub_scores: Vec<Spanned<String>> = sub_scores
        .unwrap_or_default()
        .iter()
        .filter_map(|i| job.typed::<Spanned<CriterionId>>(i))
        .map(|(id, _)| Spanned::new(id.value.0, id.span))
        .collect();
    job.named.criteria.extend(sub_scores.iter().map(|id| (id.clone(), "`sub scores`")));
    Some(Method {
        title: fields.title.0.unwrap_or_default(),
        edition: fields.edition.unwrap_or_default(),
        days: days.unwrap_or_else(|| Days { from: None, supplied_from: None, until: None, rule: own("") }),
        about: fields.about.unwrap_or_default(),
        scope,
        scale,
        own_categories,
        part_sets,
        absent,
        absent_rule,
        instances,
        repeated_rule,
        classes,
        switches,
        steps: steps.unwrap_or_else(|| StepRule::usual(own("The default step rule."))),
        routes: routes.unwrap_or_else(|| Routes::usual(own(""))),
        company,
        root: criteria,
        sub_scores: sub_scores.into_iter().map(|id| id.value).collect(),
        not_covered,
        notes,
        read_as: read_as.into_iter().flatten().collect(),
        weight_origins,
        basic_tools: fields.basic_tools.unwrap_or(BasicTools::Law),
        parked: Vec::new(),
        extends: fields.extends,
        span: root.node.span,
        id,
    })
}

/// Categories the vocabulary lacks, each with its roles.
fn own_categories(item: &Item<'_>, head: Span, job: &mut Job<'_, '_>) -> Vec<(Category, Vec<String>)> {
    let named = item.names("a mapping from categories to roles", job.reader);
    let mut out = Vec::new();
    for (name, item) in named.unwrap_or_default() {
        let roles = job.typed::<Many<RoleName>>(&item).map(|(roles, _)| roles.0).unwrap_or_default();
        let wrong = if Category::from_word(&name.value).is_some() {
            Some((format!("`{}` is a category of the vocabulary", short(&name.value)), "use it, or take another name"))
        } else if Category::own(&name.value).is_none() {
            let message = format!("`{}` is no name for a category", short(&name.value));
            Some((message, "write letters, digits and spaces, at most 40 of them"))
        } else {
            None
        };
        if let Some((message, mend)) = wrong {
            job.gaps.mark(Gap::Scope, head);
            job.complain(
                Diagnostic::error("wrong-value", name.span, message)
                    .because("Records name their category by one word, which means one thing.")
                    .mend(mend),
            );
        }
        if let Some(category) = Category::own(&name.value) {
            job.own_categories.push(category);
            out.push((category, roles.into_iter().map(|r| r.0).collect()));
        }
    }
    out
}

/// A list of texts.
fn texts(field: &Option<Unread<ListOf<String>>>, items: &Items<'_>, job: &mut Job<'_, '_>) -> Vec<String> {
    let list = items.get(field).and_then(|i| i.list("a list of texts", job.reader)).unwrap_or_default();
    list.iter().filter_map(|i| job.typed(i)).map(|(text, _)| text).collect()
}

fn scope(fields: ScopeFields, inside: &Inside<'_>, rule: Rule, job: &mut Job<'_, '_>) -> Scope {
    let Inside { items, head } = inside;
    let categories = job.categories(&fields.categories.0, items, Gap::Scope, *head);
    let named = items.get(&fields.categories.0);
    if named.as_ref().is_none_or(|i| i.one_or_many().is_empty()) {
        job.gaps.mark(Gap::Scope, *head);
    }
    if let Some(item) = named.filter(|i| i.one_or_many().is_empty()) {
        job.complain(
            Diagnostic::error("wrong-value", item.span(), "the scope names no category")
                .because("The method would apply to no device.")
                .mend("name the categories it applies to"),
        );
    }
    let information_only = fields.information_only.map_or((Vec::new(), String::new()), |only| {
        let categories = job.categories(&only.r#for.0, items, Gap::Scope, *head);
        (categories, only.because.0.unwrap_or_default())
    });
    let without_forms = job.words(fields.without_forms, Gap::Scope, *head);
    Scope { categories, without_forms, information_only, rule }
}

fn absent_on_scale(absent: &Spanned<Absent>, scale: &Scale, job: &mut Job<'_, '_>) {
    if let Absent::Points(points) = &absent.value
        && !job.gaps.any(Gap::Scale)
        && (*points < scale.low || *points > scale.high)
    {
        let message = format!(
            "an absent part scores {}, outside the scale of {} to {}",
            points.plain(),
            scale.low.plain(),
            scale.high.plain()
        );
        job.complain(
            Diagnostic::error("points-outside", absent.span, message)
                .because("Its points are combined with those of parts that are there.")
                .mend(format!("write points from {} to {}", scale.low.plain(), scale.high.plain())),
        );
    }
}

impl Rule {
    /// An own choice.
    pub(in crate::method) fn own(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            clause: String::new(),
            source: "own choice".to_owned(),
            certainty: Certainty::Own,
            switch: None,
        }
    }
}

/// What of a block is read later, and the place that names the block.
struct Inside<'t> {
    items: Items<'t>,
    head: Span,
}

/// Reads a block with a rule of its own.
fn block<F: Ruled + DeserializeOwned, T>(
    field: &Option<Unread<F>>,
    items: &Items<'_>,
    job: &mut Job<'_, '_>,
    cite: &Cite,
    then: impl FnOnce(F, &Inside<'_>, Rule, &mut Job<'_, '_>) -> T,
) -> Option<T> {
    let (fields, inside, rule) = ruled(&items.get(field)?, cite, job)?;
    Some(then(fields, &inside, rule, job))
}

fn ruled<'t, F: Ruled + DeserializeOwned>(
    item: &Item<'t>,
    cite: &Cite,
    job: &mut Job<'_, '_>,
) -> Option<(F, Inside<'t>, Rule)> {
    let (fields, items) = job.typed::<F>(item)?;
    let said = fields.said();
    let text = said.rule.cloned().unwrap_or_default();
    let rule = job.rule(&said, item.head(), text, &Job::cite(&said, cite));
    Some((fields, Inside { items, head: item.head() }, rule))
}

fn scale(fields: ScaleFields, inside: &Inside<'_>, rule: Rule, job: &mut Job<'_, '_>) -> Scale {
    let (from, to) = (fields.from.0, fields.to.0);
    if from.is_none() || to.is_none() || fields.verdict.is_unread() {
        job.gaps.mark(Gap::Scale, inside.head);
    }
    let span = to.as_ref().map_or(inside.head, |to| to.span);
    let low = from.map_or_else(|| Exact::from(0), |n| n.0);
    let high = to.map_or_else(|| Exact::from(10), |n| n.value.0);
    if low >= high && !job.gaps.any(Gap::Scale) {
        job.gaps.mark(Gap::Scale, inside.head);
        job.complain(
            Diagnostic::error("scale-empty", span, format!("the scale runs from {} to {}", low.plain(), high.plain()))
                .because("The best total must be above the worst.")
                .mend("mend `from` and `to`"),
        );
    }
    let verdict = fields.verdict.read().unwrap_or(false);
    let decimals = fields.decimals.map_or(u8::from(!verdict), |Decimals(n)| n);
    Scale { low, high, decimals, rounding: fields.rounding.unwrap_or(Rounding::HalfUp), rule, verdict }
}

fn part_sets(parts: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<PartSet> {
    let items = parts.list("a list of part sets", job.reader);
    let sets: Option<Vec<Option<PartSet>>> =
        items.map(|items| items.iter().map(|item| part_set(item, job, cite)).collect());
    if sets.as_ref().is_none_or(|sets| sets.iter().any(Option::is_none)) {
        job.gaps.mark(Gap::PartSets, parts.node.span);
    }
    sets.unwrap_or_default().into_iter().flatten().collect()
}

fn part_set(item: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Option<PartSet> {
    let (set, Inside { items, .. }, rule) = ruled::<PartSetFields>(item, cite, job)?;
    let span = item.node.span;
    let mut weights = Vec::new();
    let named = items.get(&set.weights).map(|i| i.names("a mapping from roles to weights", job.reader));
    if matches!(named, Some(None)) || set.sum.is_unread() || set.own_roles.is_unread() {
        job.gaps.mark(Gap::Shares, span);
    }
    for (name, item) in named.flatten().unwrap_or_default() {
        let role = either_of(&name.value).join(" | ");
        let mut weight = job.number(&item).unwrap_or_else(|| {
            job.gaps.mark(Gap::Shares, span);
            let span = item.span();
            Cited { value: Exact::zero(), certainty: None, source: None, note: None, unread: false, span }
        });
        weight.span = super::joined(name.span, weight.span);
        weights.push((role, weight));
    }
    let categories = job.categories(&set.r#for.0, &items, Gap::For, span);
    if set.r#for.0.is_none() {
        job.gaps.mark(Gap::For, span);
    }
    Some(PartSet {
        id: set.id,
        left_out: false,
        categories,
        forms: job.words(set.forms, Gap::For, span),
        weights,
        sum: set.sum.read().map(|n| n.0),
        own_roles: set.own_roles.read().unwrap_or(false),
        rule,
        span,
    })
}

fn classes(fields: ClassesFields, inside: &Inside<'_>, rule: Rule, job: &mut Job<'_, '_>) -> Classes {
    let named = inside.items.get(&fields.bounds.0);
    let named = named.and_then(|i| i.names("a mapping from classes to lower bounds", job.reader));
    let mut bounds = Vec::new();
    if named.is_none() {
        job.gaps.mark(Gap::Classes, inside.head);
    }
    for (name, item) in named.unwrap_or_default() {
        match job.known_number(&item) {
            Some(mut bound) => {
                bound.span = super::joined(name.span, bound.span);
                bounds.push((name.value, bound));
            }
            None => job.gaps.mark(Gap::Classes, item.span()),
        }
    }
    Classes { bounds, of_rounded: fields.from_total == Some(Total::Rounded), rule }
}

fn weight_origins(list: &Item<'_>, head: Span, job: &mut Job<'_, '_>) -> Vec<WeightOrigin> {
    let mut out = Vec::new();
    for item in list.list("a list of entries", job.reader).unwrap_or_default() {
        let Some((entry, items)) = job.typed::<WeightsForFields>(&item) else { continue };
        let below = entry.below.0.unwrap_or_default().0;
        let below: Vec<_> = below.into_iter().map(|id| Spanned::new(id.value.0, id.span)).collect();
        job.named.criteria.extend(below.iter().map(|id| (id.clone(), "`weights for`")));
        out.push(WeightOrigin {
            categories: job.categories(&entry.r#for.0, &items, Gap::Scope, head),
            below: below.into_iter().map(|t| t.value).collect(),
            source: source(&entry.source),
            certainty: certainty(&entry.certainty),
            unread: entry.read == Some(false),
        });
    }
    out
}

fn company(list: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<Company> {
    let mut out = Vec::new();
    for item in list.list("a list of entries", job.reader).unwrap_or_default() {
        let Some((entry, _, rule)) = ruled::<CompanyFields>(&item, cite, job) else {
            continue;
        };
        let named = |roles: Option<Many<Spanned<RoleName>>>| {
            let roles = roles.unwrap_or_default().0.into_iter();
            roles.map(|role| Spanned::new(role.value.0, role.span)).collect::<Vec<_>>()
        };
        let is_any = |role: &Spanned<String>| crate::text::fold(&role.value) == "any";
        let (roles, with) = (named(entry.roles.0), named(entry.with.0));
        let any = with.iter().any(is_any);
        job.named.roles.extend(roles.iter().chain(with.iter().filter(|role| !is_any(role))).cloned());
        let words = |roles: Vec<Spanned<String>>| roles.into_iter().map(|role| role.value).collect();
        out.push(Company { roles: words(roles), with: (!any).then(|| words(with)), if_sealed: entry.if_sealed, rule });
    }
    out
}
