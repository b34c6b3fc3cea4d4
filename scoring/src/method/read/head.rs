//! The blocks around the tree of criteria.

use super::switches::{step_settings, switches};
use super::{Cite, Job, exact, node};
use crate::exact::{Exact, Rounding};
use crate::method::{
    Absent, Classes, Company, Method, PartSet, Rule, Scale, Scope, StepRule, check, either_of, tables,
};
use crate::text::fields::{Bad, Fields, Item};
use crate::text::{Diagnostic, Spanned};
use crate::vocab::class::Words;
use crate::vocab::{Category, Certainty};

/// Reads a whole file; `None` when there is no tree of criteria to speak of.
pub(super) fn method(root: &Item<'_>, job: &mut Job<'_, '_>) -> Option<Method> {
    if root.node.get("unfasten method").is_none() && root.node.get("unfasten").is_some() {
        job.complain(
            Diagnostic::error("not-a-method", root.head(), "this is a record, not a method")
                .because("A method file starts with `unfasten method: 1`.")
                .mend("give the record as RECORD and a method file or id as METHOD"),
        );
        return None;
    }
    let fields = root.fields(&tables::METHOD, job.reader)?;
    version(&fields, job);
    let cite = Cite {
        source: fields.text("source", job.reader).map(|t| t.value),
        clause: None,
        certainty: fields.get("certainty").and_then(|i| job.word::<Certainty>(&i)).map(|c| c.value),
    };
    let id = id(&fields, job).unwrap_or_else(|| Spanned::new(String::new(), fields.head));
    let in_force = fields.get("in force").and_then(|i| i.fields(&tables::IN_FORCE, job.reader));
    let in_force = in_force.map_or((None, None), |f| {
        let mut day = |name| f.text(name, job.reader).map(|t| t.value);
        (day("from"), day("until"))
    });
    let scope = block(&fields, "scope", &tables::SCOPE, job, &cite, |f, rule, job| Scope {
        categories: job.vocabulary(f, "categories"),
        without_forms: job.vocabulary(f, "without forms"),
        rule,
    });
    let scale = block(&fields, "scale", &tables::SCALE, job, &cite, scale);
    let part_sets = part_sets(&fields, job, &cite);
    let absent = block(&fields, "absent", &tables::ABSENT, job, &cite, |f, rule, job| {
        let points = f.get("points").and_then(|i| i.parse("a number or `left out`", absent, job.reader));
        (points.map_or(Absent::LeaveOut, |p| p.value), rule)
    });
    let repeated = block(&fields, "repeated", &tables::REPEATED, job, &cite, |_, rule, _| rule);
    let classes = block(&fields, "classes", &tables::CLASSES, job, &cite, classes);
    let steps = block(&fields, "steps", &tables::STEPS, job, &cite, |f, rule, job| {
        let mut steps = StepRule::usual(rule);
        for setting in step_settings(f, job) {
            steps.set(&setting);
        }
        steps
    });
    let company = company(&fields, job, &cite);
    let switches = switches(&fields, job, &cite);
    let criteria = fields.get("criteria").and_then(|i| node::node(&i, None, &cite, None, job));
    let texts = |name: &str, job: &mut Job<'_, '_>| -> Vec<String> {
        let items = fields.get(name).and_then(|i| i.list("a list of texts", job.reader)).unwrap_or_default();
        items.iter().filter_map(|i| i.text("text", job.reader)).map(|t| t.value).collect()
    };
    let notes = texts("notes", job);
    let sub_scores = fields.get("sub scores").and_then(|i| i.list("a list of ids", job.reader)).unwrap_or_default();
    let sub_scores: Vec<_> = sub_scores.iter().filter_map(|i| i.text("an id", job.reader)).collect();
    let headline = fields.text("headline without support", job.reader);
    if let Some(root) = criteria.as_ref().filter(|_| job.broken.is_empty()) {
        let named = sub_scores.iter().map(|id| (id, "`sub scores`"));
        for (id, what) in named.chain(headline.iter().map(|id| (id, "`headline without support`"))) {
            if let Some(complaint) = check::unknown_id(root, &id.value, id.span, what) {
                job.complain(complaint);
            }
        }
    }
    if scope.is_none() || scale.is_none() {
        job.broken.push(root.node.span);
    }
    let own = |text: &str| Rule::own(text);
    let (absent, absent_rule) = absent
        .unwrap_or_else(|| (Absent::LeaveOut, own("A part the device does not have is left out, its weight with it.")));
    Some(Method {
        title: job.text(&fields, "title"),
        edition: job.text(&fields, "edition"),
        in_force,
        about: job.text(&fields, "about"),
        scope: scope.unwrap_or_else(|| Scope {
            categories: Category::ALL.to_vec(),
            without_forms: Vec::new(),
            rule: own(""),
        }),
        scale: scale.unwrap_or_else(|| Scale {
            low: Exact::zero(),
            high: Exact::from(10),
            decimals: 1,
            rounding: Rounding::HalfUp,
            rule: own(""),
            verdict: false,
        }),
        part_sets,
        absent,
        absent_rule,
        repeated_rule: repeated
            .unwrap_or_else(|| own("Of several parts of one role the worst counts for each measure.")),
        classes,
        switches,
        steps: steps.unwrap_or_else(|| StepRule::usual(own("The default step rule."))),
        company,
        root: criteria?,
        sub_scores: sub_scores.into_iter().map(|id| id.value).collect(),
        headline_without_support: headline.map(|t| t.value),
        notes,
        parked: Vec::new(),
        extends: fields.text("extends", job.reader),
        span: root.node.span,
        id,
    })
}

impl Rule {
    /// An own choice.
    fn own(text: &str) -> Self {
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
        found.map_or_else(|| Exact::from(left_out), |n| n.value)
    };
    let (low, high) = (end("from", 0), end("to", 10));
    if low >= high {
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
    let rounding = fields.get("rounding").and_then(|i| i.word("a rounding", &tables::ROUNDINGS, job.reader));
    let all = [Rounding::HalfUp, Rounding::HalfEven, Rounding::Down, Rounding::Up];
    let verdict = job.yes(fields, "verdict", false);
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
    let items = fields.get("parts").and_then(|i| i.list("a list of part sets", job.reader)).unwrap_or_default();
    items.iter().filter_map(|item| part_set(item, job, cite)).collect()
}

fn part_set(item: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Option<PartSet> {
    let set = item.fields(&tables::PART_SET, job.reader)?;
    let rule = ruled(&set, cite, job);
    let mut weights = Vec::new();
    let named = set.get("weights").and_then(|i| i.names("a mapping from roles to weights", job.reader));
    for (name, item) in named.unwrap_or_default() {
        let role = either_of(&name.value).join(" | ");
        match job.number(&item) {
            Some(mut weight) => {
                weight.span = super::joined(name.span, weight.span);
                weights.push((role, weight));
            }
            None => job.broken.push(item.node.span),
        }
    }
    Some(PartSet {
        categories: job.vocabulary(&set, "for"),
        forms: job.vocabulary(&set, "forms"),
        weights,
        sum: set.get("sum").and_then(|i| job.plain(&i)).map(|n| n.value),
        own_roles: job.yes(&set, "own roles", false),
        rule,
        span: item.node.span,
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
    let total = fields.get("from total").and_then(|i| i.word("`exact` or `rounded`", &tables::TOTALS, job.reader));
    let named = fields.get("bounds").and_then(|i| i.names("a mapping from classes to lower bounds", job.reader));
    let mut bounds = Vec::new();
    for (name, item) in named.unwrap_or_default() {
        match job.number(&item) {
            Some(mut bound) => {
                bound.span = super::joined(name.span, bound.span);
                bounds.push((name.value, bound));
            }
            None => job.broken.push(item.node.span),
        }
    }
    Classes { bounds, of_rounded: total.is_some_and(|t| t.value == 1), rule }
}

fn company(fields: &Fields<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<Company> {
    let items = fields.get("company").and_then(|i| i.list("a list of entries", job.reader)).unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some(entry) = item.fields(&tables::COMPANY, job.reader) else {
            continue;
        };
        let rule = ruled(&entry, cite, job);
        let roles = |name: &str, job: &mut Job<'_, '_>| -> Vec<String> {
            let items = entry.get(name).map(|i| i.one_or_many()).unwrap_or_default();
            items.iter().filter_map(|i| i.text("a role", job.reader)).map(|t| t.value).collect()
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
