//! The blocks around the tree of criteria.

use super::switches::{basic_tools, instances, read_as, route_settings, step_settings, switches};
use super::{Cite, Gap, Job, exact, node};
use crate::exact::{Exact, Rounding};
use crate::method::{
    Absent, BasicTools, Cited, Classes, Company, Days, Instances, Method, PartSet, Routes, Rule, Scale, Scope,
    StepRule, WeightOrigin, either_of, field_tables,
};
use crate::text::fields::{Bad, Fields, Item, short};
use crate::text::{Diagnostic, Spanned};
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
    let fields = if partial {
        root.some_fields(&field_tables::METHOD, job.reader)?
    } else {
        root.fields(&field_tables::METHOD, job.reader)?
    };
    version(&fields, job);
    let cite = Cite { source: job.source(&fields), clause: None, certainty: job.certainty(&fields) };
    let id = id(&fields, job).unwrap_or_else(|| Spanned::new(String::new(), fields.head));
    let days = block(&fields, "applies", &field_tables::DAYS, job, &cite, |f, rule, job| Days {
        from: job.day(f, "from"),
        supplied_from: job.day(f, "supplied from"),
        until: f.text("until", job.reader).map(|t| t.value),
        rule,
    });
    let own_categories = own_categories(&fields, job);
    let scope = block(&fields, "scope", &field_tables::SCOPE, job, &cite, scope);
    let scale = block(&fields, "scale", &field_tables::SCALE, job, &cite, scale);
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
    let part_sets = part_sets(&fields, job, &cite);
    let absent = block(&fields, "absent", &field_tables::ABSENT, job, &cite, |f, rule, job| {
        let points = f.get("points").and_then(|i| i.parse("a number or `left out`", absent, job.reader));
        if let Some(points) = &points {
            absent_on_scale(points, &scale, job);
        }
        (points.map_or(Absent::LeaveOut, |p| p.value), rule)
    });
    let (absent, absent_rule) = absent
        .unwrap_or_else(|| (Absent::LeaveOut, own("A part the device does not have is left out, its weight with it.")));
    let repeated = block(&fields, "repeated", &field_tables::REPEATED, job, &cite, |f, rule, job| {
        let read = f.get("instances").and_then(|i| instances(&i, job));
        (read.unwrap_or(Instances::WorstPerMeasure), rule)
    });
    let (instances, repeated_rule) = repeated.unwrap_or_else(|| (Instances::WorstPerMeasure, own("")));
    let classes = block(&fields, "classes", &field_tables::CLASSES, job, &cite, classes);
    let steps = block(&fields, "steps", &field_tables::STEPS, job, &cite, |f, rule, job| {
        let mut steps = StepRule::usual(rule);
        for setting in step_settings(f, job).into_iter().flatten() {
            steps.apply(&setting);
        }
        if let Some(unfit) = steps.unfit() {
            let problem = Diagnostic::error("steps-unfit", f.head, unfit);
            job.complain(
                problem.because("Heating while another tool is used is both.").mend("write `simultaneous tools: each`"),
            );
        }
        steps
    });
    let routes = block(&fields, "routes", &field_tables::ROUTES, job, &cite, |f, rule, job| {
        let mut routes = Routes::usual(rule);
        for setting in route_settings(f, job).into_iter().flatten() {
            routes.set(&setting);
        }
        routes
    });
    let company = company(&fields, job, &cite);
    let switches = switches(&fields, job, &cite);
    let criteria = match fields.get("criteria") {
        Some(item) => node::node(&item, None, &cite, None, job),
        None => node::stand_in(root.node.span, job),
    };
    let notes = texts(&fields, "notes", "text", job);
    let not_covered = texts(&fields, "not covered", "text", job);
    let read_as = fields.get("read tools as").map(|i| read_as(&i, job)).unwrap_or_default();
    let weight_origins = weight_origins(&fields, job);
    let basic = fields.get("basic tools").and_then(|i| basic_tools(&i, job));
    let sub_scores = texts(&fields, "sub scores", "an id", job);
    job.named.criteria.extend(sub_scores.iter().map(|id| (id.clone(), "`sub scores`")));
    let words = |texts: Vec<Spanned<String>>| texts.into_iter().map(|t| t.value).collect();
    Some(Method {
        title: job.text(&fields, "title"),
        edition: job.text(&fields, "edition"),
        days: days.unwrap_or_else(|| Days { from: None, supplied_from: None, until: None, rule: own("") }),
        about: job.text(&fields, "about"),
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
        sub_scores: words(sub_scores),
        not_covered: words(not_covered),
        notes: words(notes),
        read_as: read_as.into_iter().flatten().collect(),
        weight_origins,
        basic_tools: basic.unwrap_or(BasicTools::Law),
        parked: Vec::new(),
        extends: fields.text("extends", job.reader),
        span: root.node.span,
        id,
    })
}

/// Categories the vocabulary lacks, each with its roles.
fn own_categories(fields: &Fields<'_>, job: &mut Job<'_, '_>) -> Vec<(Category, Vec<String>)> {
    let named = fields.get("own categories").and_then(|i| i.names("a mapping from categories to roles", job.reader));
    let mut out = Vec::new();
    for (name, item) in named.unwrap_or_default() {
        let roles: Vec<_> = item.one_or_many().iter().filter_map(|i| i.text("a role", job.reader)).collect();
        let wrong = if Category::from_word(&name.value).is_some() {
            Some((format!("`{}` is a category of the vocabulary", short(&name.value)), "use it, or take another name"))
        } else if Category::own(&name.value).is_none() {
            let message = format!("`{}` is no name for a category", short(&name.value));
            Some((message, "write letters, digits and spaces, at most 40 of them"))
        } else {
            None
        };
        if let Some((message, mend)) = wrong {
            job.gaps.mark(Gap::Scope, fields.head);
            job.complain(
                Diagnostic::error("wrong-value", name.span, message)
                    .because("Records name their category by one word, which means one thing.")
                    .mend(mend),
            );
        }
        if let Some(category) = Category::own(&name.value) {
            job.own_categories.push(category);
            out.push((category, roles.into_iter().map(|r| r.value).collect()));
        }
    }
    out
}

/// A list of texts.
fn texts(fields: &Fields<'_>, name: &str, what: &str, job: &mut Job<'_, '_>) -> Vec<Spanned<String>> {
    let wanted = if what == "text" { "a list of texts" } else { "a list of ids" };
    let items = fields.get(name).and_then(|i| i.list(wanted, job.reader)).unwrap_or_default();
    items.iter().filter_map(|i| i.text(what, job.reader)).collect()
}

fn scope(fields: &Fields<'_>, rule: Rule, job: &mut Job<'_, '_>) -> Scope {
    let categories = job.categories(fields, "categories", Gap::Scope, fields.head);
    let none = fields.get("categories").filter(|i| i.one_or_many().is_empty());
    if let Some(item) = none {
        job.gaps.mark(Gap::Scope, fields.head);
        job.complain(
            Diagnostic::error("wrong-value", item.span(), "the scope names no category")
                .because("The method would apply to no device.")
                .mend("name the categories it applies to"),
        );
    } else if fields.get("categories").is_none() {
        job.gaps.mark(Gap::Scope, fields.head);
    }
    let only = fields.get("information only").and_then(|i| i.fields(&field_tables::INFORMATION_ONLY, job.reader));
    let information_only = only.map_or((Vec::new(), String::new()), |f| {
        (job.categories(&f, "for", Gap::Scope, fields.head), job.text(&f, "because"))
    });
    let without_forms = job.vocabulary(fields, "without forms", Gap::Scope, fields.head);
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

fn version(fields: &Fields<'_>, job: &mut Job<'_, '_>) {
    if let Some(item) = fields.get("unfasten method") {
        let version = |text: &str| match text.trim() {
            "1" => Ok(()),
            other => Err(Bad::new(0..text.len(), format!("this is method format `{other}`; this program reads 1"))
                .code("method-version")
                .mend("write `unfasten method: 1`")),
        };
        item.parse("1", version, job.reader);
    }
}

fn id(fields: &Fields<'_>, job: &mut Job<'_, '_>) -> Option<Spanned<String>> {
    fields.get("id")?.parse(
        "an id",
        |text| {
            let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
            if text.len() <= 60 && text.chars().all(good) {
                return Ok(text.to_owned());
            }
            Err(Bad::new(0..text.len(), "a method's id has lower-case letters, digits and hyphens only")
                .mend("write an id such as `house-weights-2026`"))
        },
        job.reader,
    )
}

/// Reads a block with a rule of its own.
fn block<T>(
    fields: &Fields<'_>,
    name: &str,
    table: &'static crate::text::fields::Table,
    job: &mut Job<'_, '_>,
    cite: &Cite,
    then: impl FnOnce(&Fields<'_>, Rule, &mut Job<'_, '_>) -> T,
) -> Option<T> {
    let block = fields.get(name)?.fields(table, job.reader)?;
    let rule = ruled(&block, cite, job);
    Some(then(&block, rule, job))
}

fn ruled(block: &Fields<'_>, cite: &Cite, job: &mut Job<'_, '_>) -> Rule {
    let cite = job.cite(block, cite);
    let text = job.text(block, "rule");
    job.rule(block, text, &cite)
}

fn scale(fields: &Fields<'_>, rule: Rule, job: &mut Job<'_, '_>) -> Scale {
    let mut end = |name: &str, left_out: i64| {
        let found = fields.get(name).and_then(|i| job.plain(&i));
        if found.is_none() {
            job.gaps.mark(Gap::Scale, fields.head);
        }
        found.map_or_else(|| Exact::from(left_out), |n| n.value)
    };
    let (low, high) = (end("from", 0), end("to", 10));
    if low >= high && !job.gaps.any(Gap::Scale) {
        job.gaps.mark(Gap::Scale, fields.head);
        let span = fields.get("to").map_or(fields.head, |i| i.span());
        job.complain(
            Diagnostic::error("scale-empty", span, format!("the scale runs from {} to {}", low.plain(), high.plain()))
                .because("The best total must be above the worst.")
                .mend("mend `from` and `to`"),
        );
    }
    let decimals = fields.get("decimals").and_then(|i| {
        let found = i.read::<u8>("a whole number from 0 to 6", job.reader)?;
        if found.value > 6 {
            job.complain(
                Diagnostic::error("wrong-value", found.span, "a total is shown with at most 6 decimals")
                    .mend("write a whole number from 0 to 6"),
            );
            return None;
        }
        Some(found.value)
    });
    let rounding = fields.get("rounding").and_then(|i| i.word("a rounding", &field_tables::ROUNDINGS, job.reader));
    let all = [Rounding::HalfUp, Rounding::HalfEven, Rounding::Down, Rounding::Up];
    let verdict = match fields.get("verdict").map(|i| i.yes_no(job.reader)) {
        None => false,
        Some(Some(yes)) => yes.value,
        Some(None) => {
            job.gaps.mark(Gap::Scale, fields.head);
            false
        }
    };
    Scale {
        low,
        high,
        decimals: decimals.unwrap_or(u8::from(!verdict)),
        rounding: rounding.map_or(Rounding::HalfUp, |r| all[r.value]),
        rule,
        verdict,
    }
}

fn part_sets(fields: &Fields<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<PartSet> {
    let Some(parts) = fields.get("parts") else {
        return Vec::new();
    };
    let items = parts.list("a list of part sets", job.reader);
    let sets: Option<Vec<Option<PartSet>>> =
        items.map(|items| items.iter().map(|item| part_set(item, job, cite)).collect());
    if sets.as_ref().is_none_or(|sets| sets.iter().any(Option::is_none)) {
        job.gaps.mark(Gap::PartSets, parts.node.span);
    }
    sets.unwrap_or_default().into_iter().flatten().collect()
}

fn part_set(item: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Option<PartSet> {
    let set = item.fields(&field_tables::PART_SET, job.reader)?;
    let span = item.node.span;
    let rule = ruled(&set, cite, job);
    let mut weights = Vec::new();
    let named = set.get("weights").map(|i| i.names("a mapping from roles to weights", job.reader));
    if matches!(named, Some(None)) {
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
    let categories = job.categories(&set, "for", Gap::For, span);
    if set.get("for").is_none() {
        job.gaps.mark(Gap::For, span);
    }
    let sum = set.get("sum").map(|i| job.plain(&i));
    let own_roles = set.get("own roles").map(|i| i.yes_no(job.reader));
    if matches!(sum, Some(None)) || matches!(own_roles, Some(None)) {
        job.gaps.mark(Gap::Shares, span);
    }
    Some(PartSet {
        id: set.text("id", job.reader).map(|t| t.value),
        left_out: false,
        categories,
        forms: job.vocabulary(&set, "forms", Gap::For, span),
        weights,
        sum: sum.flatten().map(|n| n.value),
        own_roles: own_roles.flatten().is_some_and(|y| y.value),
        rule,
        span,
    })
}

/// A number, or `left out`.
pub(super) fn absent(text: &str) -> Result<Absent, Bad> {
    if crate::text::fold(text) == "left out" {
        return Ok(Absent::LeaveOut);
    }
    exact(text, 0).map(Absent::Points).map_err(|bad| bad.mend("write a number, or `left out`"))
}

fn classes(fields: &Fields<'_>, rule: Rule, job: &mut Job<'_, '_>) -> Classes {
    let total =
        fields.get("from total").and_then(|i| i.word("`exact` or `rounded`", &field_tables::TOTALS, job.reader));
    let named = fields.get("bounds").and_then(|i| i.names("a mapping from classes to lower bounds", job.reader));
    let mut bounds = Vec::new();
    if named.is_none() {
        job.gaps.mark(Gap::Classes, fields.head);
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
    Classes { bounds, of_rounded: total.is_some_and(|t| t.value == 1), rule }
}

fn weight_origins(fields: &Fields<'_>, job: &mut Job<'_, '_>) -> Vec<WeightOrigin> {
    let items = fields.get("weights for").and_then(|i| i.list("a list of entries", job.reader)).unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some(entry) = item.fields(&field_tables::WEIGHTS_FOR, job.reader) else { continue };
        let named = entry.get("below").map(|i| i.one_or_many()).unwrap_or_default();
        let below: Vec<_> = named.iter().filter_map(|i| i.text("an id", job.reader)).collect();
        job.named.criteria.extend(below.iter().map(|id| (id.clone(), "`weights for`")));
        out.push(WeightOrigin {
            categories: job.categories(&entry, "for", Gap::Scope, fields.head),
            below: below.into_iter().map(|t| t.value).collect(),
            source: job.source(&entry),
            certainty: job.certainty(&entry),
            unread: !job.yes(&entry, "read", true),
        });
    }
    out
}

fn company(fields: &Fields<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<Company> {
    let items = fields.get("company").and_then(|i| i.list("a list of entries", job.reader)).unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some(entry) = item.fields(&field_tables::COMPANY, job.reader) else {
            continue;
        };
        let rule = ruled(&entry, cite, job);
        let roles = |name: &str, job: &mut Job<'_, '_>| -> Vec<String> {
            let items = entry.get(name).map(|i| i.one_or_many()).unwrap_or_default();
            let named: Vec<_> = items.iter().filter_map(|i| i.text("a role", job.reader)).collect();
            let any = |t: &&Spanned<String>| name == "with" && crate::text::fold(&t.value) == "any";
            job.named.roles.extend(named.iter().filter(|t| !any(t)).cloned());
            named.into_iter().map(|t| t.value).collect()
        };
        let with = roles("with", job);
        let any = with.iter().any(|w| crate::text::fold(w) == "any");
        out.push(Company {
            roles: roles("roles", job),
            with: (!any).then_some(with),
            if_sealed: job.yes(&entry, "if sealed", false),
            rule,
        });
    }
    out
}
