//! Ids, weights, scopes and roles of criteria.

use std::collections::BTreeMap;

use super::{Gap, Job};
use crate::method::{Combine, Criterion, CriterionKind, Roles};
use crate::text::{Diagnostic, Span, fold, near};
use crate::vocab::{self, Category, Form};

pub(super) fn check(job: &mut Job<'_, '_, '_>) {
    ids(job);
    let root = &job.method.root;
    if let Some(weight) = &root.weight {
        job.complain(weight_unused(weight.span, "the topmost criterion is combined with nothing"));
    }
    node(root, Some(false), job);
    weights(job);
    names(job);
}

/// Criteria and roles named elsewhere must exist.
fn names(job: &mut Job<'_, '_, '_>) {
    for (id, what) in &job.named.criteria {
        unknown_id(&id.value, id.span, what, job);
    }
    for role in &job.named.roles {
        known_role(&role.value, role.span, &job.method.scope.categories, job);
    }
}

/// Two criteria must not share an id.
fn ids(job: &mut Job<'_, '_, '_>) {
    let mut seen: BTreeMap<String, Span> = BTreeMap::new();
    let mut before = None;
    for node in job.method.root.all() {
        // A measure written directly below `each` stands where its `each` stands; its id follows from that one.
        let derived = before.replace(node.span) == Some(node.span);
        if node.id.is_empty() || derived {
            continue;
        }
        match seen.get(&fold(&node.id)) {
            Some(first) => job.complain(
                Diagnostic::error("duplicate-id", node.span, format!("two criteria have the id `{}`", node.id))
                    .also(*first, "first here")
                    .because("Switches, changes and becauses could mean either.")
                    .mend("give one of them another id"),
            ),
            None => {
                seen.insert(fold(&node.id), node.span);
            }
        }
    }
}

/// `in_part`: below an `each`; `None` where that is not known.
fn node(node: &Criterion, in_part: Option<bool>, job: &mut Job<'_, '_, '_>) {
    applies(node, job);
    let unclear = job.gaps.has(Gap::Kind, node.span);
    let inside = match &node.kind {
        CriterionKind::Leaf { measure, .. } => {
            if !unclear && measure.per_part() && in_part == Some(false) {
                job.complain(
                    Diagnostic::error(
                        "part-measure-outside",
                        node.span,
                        format!("`{}` reads `{}`, which is read for one part", node.id, measure.word()),
                    )
                    .because("Outside `each` there is no part to read it for.")
                    .mend("add `each: priority`, or another set of roles"),
                );
            }
            in_part
        }
        CriterionKind::Each { roles, how, .. } => {
            each(node, roles, *how, in_part, job);
            Some(true)
        }
        CriterionKind::Group { how, of } => {
            group(node, *how, of, unclear, job);
            if unclear { None } else { in_part }
        }
    };
    for child in node.children() {
        self::node(child, inside, job);
    }
}

fn each(node: &Criterion, roles: &Roles, how: Combine, in_part: Option<bool>, job: &mut Job<'_, '_, '_>) {
    if in_part == Some(true) {
        job.complain(
            Diagnostic::error(
                "each-in-each",
                node.span,
                format!("`{}` goes through parts inside another `each`", node.id),
            )
            .because("A part has no parts of its own here.")
            .mend("take one of the two `each` out"),
        );
    }
    if !matches!(how, Combine::Mean | Combine::Worst | Combine::Best) {
        job.complain(
            Diagnostic::error("each-combine", node.span, format!("parts can't be combined by `{}`", how.word()))
                .because("How many parts there are depends on the device, so only mean, worst and best have a meaning.")
                .mend("write `combine: mean`, `worst` or `best`"),
        );
    }
    match roles {
        Roles::Named(named) => {
            if named.is_empty() && !job.gaps.has(Gap::Roles, node.span) {
                job.complain(
                    Diagnostic::error("criterion-empty", node.span, format!("`{}` names no role", node.id))
                        .because("Nothing would be scored.")
                        .mend("name the roles, or write `each: priority`"),
                );
            }
            for role in named {
                known_role(&role.value, role.span, &job.method.scope.categories, job);
            }
        }
        Roles::Priority | Roles::Highest => {}
    }
}

fn group(node: &Criterion, how: Combine, of: &[Criterion], unclear: bool, job: &mut Job<'_, '_, '_>) {
    if unclear {
        return;
    }
    let how_known = !job.gaps.has(Gap::Combine, node.span);
    let limits = matches!(how, Combine::Cap | Combine::Gate);
    if of.is_empty() || limits && of.len() < 2 {
        let message = format!(
            "`{}` combines by `{}` but has {}",
            node.id,
            how.word(),
            if of.is_empty() { "nothing below it" } else { "nothing that limits" }
        );
        job.complain(
            Diagnostic::error("criterion-empty", node.span, message)
                .because("Its value would not depend on anything it combines.")
                .mend("add criteria under `of:`"),
        );
    }
    let weighed = matches!(how, Combine::Mean | Combine::Sum);
    for child in of {
        match &child.weight {
            None if how_known && weighed && !job.gaps.has(Gap::Weight, child.span) => job.complain(
                Diagnostic::error("weight-missing", child.span, format!("`{}` has no weight", child.id))
                    .because(format!("`{}` combines by `{}`, which weighs.", node.id, how.word()))
                    .mend("add `weight:`"),
            ),
            Some(weight) if !weighed => {
                job.complain(weight_unused(weight.span, &format!("`{}` combines by `{}`", node.id, how.word())));
            }
            Some(weight) if weight.value.is_negative() => job.complain(negative(weight.span)),
            // A note says that it is meant.
            Some(weight) if weight.value.is_zero() && weight.note.is_none() && how_known => {
                job.complain(weightless(weight.span, &child.id));
            }
            _ => {}
        }
    }
    if let (Some(sum), false) = (&node.weights_sum, weighed) {
        job.complain(weight_unused(sum.span, &format!("`{}` combines by `{}`", node.id, how.word())));
    }
}

fn weight_unused(span: Span, why: &str) -> Diagnostic {
    Diagnostic::warning("weight-unused", span, "this weight has no effect")
        .because(format!("{}{}, which does not weigh.", why[..1].to_uppercase(), &why[1..]))
        .mend("delete it, or combine by `mean` or `sum`")
}

pub(super) fn negative(span: Span) -> Diagnostic {
    Diagnostic::error("weight-negative", span, "a weight is below zero")
        .because("A better part would lower the score.")
        .mend("write a weight of zero or more")
}

/// A warning about what is asked and counts for nothing.
pub(super) fn weightless(span: Span, what: &str) -> Diagnostic {
    Diagnostic::warning("weight-zero", span, format!("`{what}` weighs nothing"))
        .because("It is asked, shown and explained, and can never change the total.")
        .mend("give it a weight above zero, or delete it")
}

/// Sums of weights, for every device in scope: what is `only for` others does not count.
fn weights(job: &mut Job<'_, '_, '_>) {
    let mut told: Vec<Span> = Vec::new();
    for (category, form) in job.devices() {
        let method = job.method.for_device(category, form);
        for node in method.root.all() {
            let CriterionKind::Group { how: Combine::Mean | Combine::Sum, of } = &node.kind else {
                continue;
            };
            let unread = [Gap::Kind, Gap::Combine].iter().any(|g| job.gaps.has(*g, node.span))
                || of.iter().any(|n| n.weight.as_ref().is_none_or(|w| w.unread));
            if unread || told.contains(&node.span) {
                continue;
            }
            let sum = super::sum(of.iter().filter_map(|n| n.weight.as_ref()).map(|w| &w.value));
            // A criterion that may be for other devices counts or doesn't; what is wrong either way is told.
            let certain = of.iter().filter(|n| !job.gaps.has(Gap::Applies, n.span));
            let without = super::sum(certain.filter_map(|n| n.weight.as_ref()).map(|w| &w.value));
            let wanted = node.weights_sum.as_ref().filter(|w| w.value != sum && w.value != without);
            if let Some(wanted) = wanted.filter(|_| !of.is_empty()) {
                told.push(node.span);
                let off = &wanted.value - &sum;
                job.complain(
                    Diagnostic::error(
                        "weights-sum",
                        node.span,
                        format!("the weights below `{}` sum to {}, not {}", node.id, sum.plain(), wanted.value.plain()),
                    )
                    .also(wanted.span, "what they must sum to")
                    .because(format!("For a device of category {category} they are {}.", listed(of)))
                    .mend(super::off_by(&off)),
                );
            } else if sum.is_zero() && !of.is_empty() {
                told.push(node.span);
                let message =
                    format!("for a device of category {category} nothing below `{}` weighs anything", node.id);
                job.complain(
                    Diagnostic::error("weights-sum", node.span, message)
                        .because("A mean of nothing has no value.")
                        .mend("give at least one criterion a weight above zero"),
                );
            }
        }
    }
}

fn listed(of: &[Criterion]) -> String {
    let weights: Vec<String> = of.iter().filter_map(|n| n.weight.as_ref()).map(|w| w.value.plain()).collect();
    weights.join(" + ")
}

/// `only for` must leave some device in scope.
fn applies(node: &Criterion, job: &mut Job<'_, '_, '_>) {
    let unread = job.gaps.any(Gap::Scope) || job.gaps.has(Gap::Applies, node.span);
    if unread || job.devices().iter().any(|&(c, f): &(Category, Form)| node.applies.fits(c, f)) {
        return;
    }
    job.complain(
        Diagnostic::warning("only-for-never", node.span, format!("`{}` is for no device in scope", node.id))
            .because("It could never count.")
            .mend("widen `only for`, or delete the criterion"),
    );
}

/// A role must be known to at least one of some categories, by its own name.
pub(super) fn known_role(word: &str, span: Span, categories: &[Category], job: &mut Job<'_, '_, '_>) {
    // Where the scope could not be read in full, a role may be one of the rest.
    let categories = if job.gaps.any(Gap::Scope) { Category::shipped() } else { categories };
    let declared = |c: &Category| job.method.own_categories.iter().any(|(own, _)| own == c);
    let brought =
        |(c, roles): &(Category, Vec<String>)| categories.contains(c) && roles.iter().any(|r| fold(r) == fold(word));
    if job.method.own_categories.iter().any(brought) {
        return;
    }
    let found = categories.iter().filter(|c| !declared(c)).find_map(|&c| vocab::words::role(c, word));
    let own = categories.iter().any(|c| c.names_own_roles() && !declared(c));
    match found {
        Some((role, false)) if fold(&role.name) == fold(word) => {}
        Some((role, _)) => job.complain(
            Diagnostic::error("role-unknown", span, format!("`{word}` is another word for the role `{}`", role.name))
                .because("Methods name roles by one word, so that two methods mean the same part.")
                .mend(format!("write `{}`", role.name)),
        ),
        None => {
            let names = vocab::words::all_roles().iter().map(|r| r.name.as_str());
            let mend = match near(word, names) {
                Some(name) if fold(name) == fold(word) => {
                    let of: Vec<String> = vocab::words::role(Category::OTHER, word)
                        .map(|(r, _)| r.categories().iter().map(ToString::to_string).collect())
                        .unwrap_or_default();
                    format!("it is a role of {}; write one of a category in scope", of.join(", "))
                }
                Some(name) => format!("did you mean `{name}`?"),
                None if own => {
                    "nothing, if your records name it under `roles`; else see `unfasten about roles`".to_owned()
                }
                None => "write a role of a category in scope; `unfasten about roles` lists them".to_owned(),
            };
            let message = format!("no category in scope has a role `{word}`");
            let make = if own { Diagnostic::warning } else { Diagnostic::error };
            let reason = if own {
                "Only a record that names this role itself could fill it."
            } else {
                "No record could ever have such a part."
            };
            job.complain(make("role-unknown", span, message).because(reason).mend(mend));
        }
    }
}

/// Complains about an id that is no criterion.
pub(super) fn unknown_id(id: &str, span: Span, what: &str, job: &mut Job<'_, '_, '_>) {
    let root = &job.method.root;
    if root.find(id).is_some() {
        return;
    }
    let all: Vec<&str> = root.all().iter().map(|n| n.id.as_str()).collect();
    let mend = match near(id, all.iter().copied()) {
        Some(name) => format!("did you mean `{name}`?"),
        // It may be the id that could not be read.
        None if job.gaps.any(Gap::Id) => return,
        None => "write the id of a criterion".to_owned(),
    };
    job.complain(
        Diagnostic::error("criterion-unknown", span, format!("{what} names `{id}`, which is no criterion"))
            .because("It would have no effect.")
            .mend(mend),
    );
}
