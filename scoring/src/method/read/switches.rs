//! Open readings and the settings their options make.

use super::head::absent;
use super::{Cite, Job};
use crate::method::{Reading, Rule, Setting, Switch, tables};
use crate::text::Diagnostic;
use crate::text::fields::{Fields, Item};

pub(super) fn switches(fields: &Fields<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<Switch> {
    let items = fields.get("switches").and_then(|i| i.list("a list of switches", job.reader)).unwrap_or_default();
    items.iter().filter_map(|item| switch(item, job, cite)).collect()
}

fn switch(item: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Option<Switch> {
    let fields = item.fields(&tables::SWITCH, job.reader)?;
    let cite = job.cite(&fields, cite);
    let text = job.text(&fields, "open");
    let rule = {
        let clause = cite.clause.clone().unwrap_or_default();
        let source = cite.source.clone().unwrap_or_default();
        Rule { text: text.clone(), clause, source, certainty: cite.certainty?, switch: None }
    };
    let id = fields.text("id", job.reader)?.value;
    let (mut options, mut sets) = (Vec::new(), Vec::new());
    let named = fields.get("options").and_then(|i| i.names("a mapping from options to what they mean", job.reader));
    for (name, item) in named.unwrap_or_default() {
        let Some(option) = item.fields(&tables::OPTION, job.reader) else {
            continue;
        };
        let means = job.text(&option, "means");
        let _ = option.text("source", job.reader);
        sets.push(option.get("sets").map(|i| settings(&i, job)).unwrap_or_default());
        options.push((name.value, means));
    }
    let chosen = fields.get("chosen").and_then(|i| {
        let words: Vec<&str> = options.iter().map(|(id, _)| id.as_str()).collect();
        i.word("an option of this switch", &words, job.reader)
    });
    let chosen = chosen.map_or(0, |c| c.value);
    (!options.is_empty()).then_some(Switch { id, text, options, sets, chosen, rule, span: item.node.span })
}

fn settings(item: &Item<'_>, job: &mut Job<'_, '_>) -> Vec<Setting> {
    let Some(fields) = item.fields(&tables::SETS, job.reader) else {
        return Vec::new();
    };
    let mut out = Vec::new();
    let names = |name: &str, job: &mut Job<'_, '_>| {
        fields.get(name).and_then(|i| i.names("a mapping from criteria", job.reader)).unwrap_or_default()
    };
    for (id, item) in names("reading", job) {
        if let Some(word) = item.word("`route` or `part`", &tables::READINGS, job.reader) {
            out.push(Setting::Reading(id.value, reading(word.value)));
        }
    }
    for (id, item) in names("include", job) {
        out.extend(item.yes_no(job.reader).map(|y| Setting::Include(id.value, y.value)));
    }
    if let Some(steps) = fields.get("steps").and_then(|i| i.fields(&tables::STEPS, job.reader)) {
        out.extend(step_settings(&steps, job));
    }
    if let Some(points) = fields.get("absent").and_then(|i| i.parse("a number or `left out`", absent, job.reader)) {
        out.push(Setting::Absent(points.value));
    }
    let total = fields.get("class from total");
    if let Some(word) = total.and_then(|i| i.word("`exact` or `rounded`", &tables::TOTALS, job.reader)) {
        out.push(Setting::ClassOfRounded(word.value == 1));
    }
    out
}

/// The fields of a step rule as settings.
pub(super) fn step_settings(fields: &Fields<'_>, job: &mut Job<'_, '_>) -> Vec<Setting> {
    type Make = fn(bool) -> Setting;
    let mut out = Vec::new();
    let kinds: [(&str, Make); 3] = [
        ("heat is tool", Setting::HeatIsTool),
        ("mains is step", Setting::MainsIsStep),
        ("destructive scored", Setting::DestructiveScored),
    ];
    for (name, setting) in kinds {
        out.extend(fields.yes_no(name, job.reader).map(|y| setting(y.value)));
    }
    if let Some(n) = fields.get("pairing surcharge").and_then(|i| i.read::<u32>("a whole number of steps", job.reader))
    {
        if n.value > 100 {
            job.complain(
                Diagnostic::error("wrong-value", n.span, "a surcharge of more than 100 steps")
                    .mend("write a whole number from 0 to 100"),
            );
        }
        out.push(Setting::PairingSurcharge(n.value));
    }
    out
}

/// The reading with an index into [`tables::READINGS`].
pub(super) fn reading(index: usize) -> Reading {
    if index == 0 { Reading::Route } else { Reading::Part }
}
