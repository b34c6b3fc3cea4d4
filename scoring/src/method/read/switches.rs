//! Open readings and the settings their options make.

use super::head::absent;
use super::{Cite, Gap, Job};
use crate::method::{
    BasicTools, Instances, Reading, RouteOrder, STEP_SWITCHES, Setting, Start, StepSetting, Switch, field_tables,
};
use crate::text::fields::{Bad, Fields, Item, short};
use crate::text::{Diagnostic, near};
use crate::vocab::ToolClass;
use crate::vocab::class::Words;

pub(super) fn switches(fields: &Fields<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Vec<Switch> {
    let Some(list) = fields.get("switches") else {
        return Vec::new();
    };
    let items = list.list("a list of switches", job.reader);
    let read: Option<Vec<Option<Switch>>> =
        items.map(|items| items.iter().map(|item| switch(item, job, cite)).collect());
    if read.as_ref().is_none_or(|all| all.iter().any(Option::is_none)) {
        job.gaps.mark(Gap::Switches, list.node.span);
    }
    read.unwrap_or_default().into_iter().flatten().collect()
}

fn switch(item: &Item<'_>, job: &mut Job<'_, '_>, cite: &Cite) -> Option<Switch> {
    let fields = item.fields(&field_tables::SWITCH, job.reader)?;
    let span = item.node.span;
    let cite = job.cite(&fields, cite);
    let text = job.text(&fields, "open");
    let rule = job.ruled(fields.head, text.clone(), &cite);
    let id = fields.text("id", job.reader).map(|t| t.value);
    if id.is_none() {
        job.gaps.mark(Gap::Switches, span);
    }
    let (mut options, mut sets) = (Vec::new(), Vec::new());
    let named = fields.get("options").and_then(|i| i.names("a mapping from options to what they mean", job.reader));
    if named.is_none() {
        job.gaps.mark(Gap::Options, span);
    }
    for (name, item) in named.unwrap_or_default() {
        let option = item.fields(&field_tables::OPTION, job.reader);
        let means = option.as_ref().map(|o| job.text(o, "means")).unwrap_or_default();
        if let Some(option) = &option {
            let _ = option.text("source", job.reader);
        }
        let read = option.and_then(|o| o.get("sets")).and_then(|i| settings(&i, job));
        if read.is_none() {
            job.gaps.mark(Gap::Options, span);
        }
        sets.push(read.unwrap_or_default());
        options.push((name.value, means));
    }
    let chosen = fields.get("chosen").filter(|_| !options.is_empty()).and_then(|i| {
        let words: Vec<&str> = options.iter().map(|(id, _)| id.as_str()).collect();
        i.word("an option of this switch", &words, job.reader)
    });
    let chosen = chosen.map_or(0, |c| c.value);
    Some(Switch { id: id.unwrap_or_default(), text, options, sets, chosen, rule, span })
}

/// What an option sets; `None` where something of it can't be read.
fn settings(item: &Item<'_>, job: &mut Job<'_, '_>) -> Option<Vec<Setting>> {
    let fields = item.fields(&field_tables::SETS, job.reader)?;
    let mut out: Vec<Option<Setting>> = Vec::new();
    let names = |name: &str, job: &mut Job<'_, '_>| match fields.get(name) {
        Some(item) => item.names("a mapping from criteria", job.reader),
        None => Some(Vec::new()),
    };
    for (id, item) in names("reading", job)? {
        let word = item.word("`route` or `part`", &field_tables::READINGS, job.reader);
        out.push(word.map(|w| Setting::Reading(id.value, reading(w.value))));
    }
    for (id, item) in names("include", job)? {
        out.push(item.yes_no(job.reader).map(|y| Setting::Include(id.value, y.value)));
    }
    if let Some(steps) = fields.get("steps").map(|i| i.fields(&field_tables::STEPS, job.reader)) {
        match steps {
            Some(steps) => out.extend(step_settings(&steps, job)),
            None => out.push(None),
        }
    }
    if let Some(item) = fields.get("absent") {
        let points = item.parse("a number or `left out`", absent, job.reader);
        out.push(points.map(|p| Setting::Absent(p.value)));
    }
    if let Some(item) = fields.get("read tools as") {
        out.extend(read_as(&item, job).into_iter().map(|c| c.map(|(from, to)| Setting::ReadAs(from, to))));
    }
    for (id, item) in names("part sets", job)? {
        out.push(item.yes_no(job.reader).map(|y| Setting::PartSet(id.value, y.value)));
    }
    if let Some(item) = fields.get("basic tools") {
        out.push(basic_tools(&item, job).map(Setting::BasicTools));
    }
    if let Some(item) = fields.get("instances") {
        out.push(instances(&item, job).map(Setting::Instances));
    }
    if let Some(routes) = fields.get("routes").map(|i| i.fields(&field_tables::ROUTES, job.reader)) {
        match routes {
            Some(routes) => out.extend(route_settings(&routes, job)),
            None => out.push(None),
        }
    }
    if let Some(item) = fields.get("class from total") {
        let word = item.word("`exact` or `rounded`", &field_tables::TOTALS, job.reader);
        out.push(word.map(|w| Setting::ClassOfRounded(w.value == 1)));
    }
    out.into_iter().collect()
}

/// The fields of a step rule as settings; `None` for one that can't be read.
pub(super) fn step_settings(fields: &Fields<'_>, job: &mut Job<'_, '_>) -> Vec<Option<Setting>> {
    let mut out = Vec::new();
    for (name, options) in STEP_SWITCHES {
        if let Some(item) = fields.get(name) {
            let option = |text: &str| {
                StepSetting::read(name, text)
                    .map_err(|mend| Bad::new(0..text.len(), format!("`{text}` is no option of `{name}`")).mend(mend))
            };
            out.push(item.parse(options, option, job.reader).map(|s| Setting::Steps(s.value)));
        }
    }
    out
}

/// Tool classes and the classes they are read as; `None` for one that can't be read.
pub(super) fn read_as(item: &Item<'_>, job: &mut Job<'_, '_>) -> Vec<Option<(ToolClass, ToolClass)>> {
    let named = item.names("a mapping from tool classes to tool classes", job.reader);
    let mut out = Vec::new();
    for (name, item) in named.unwrap_or_default() {
        let to = job.word::<ToolClass>(&item).map(|c| c.value);
        let from = ToolClass::from_word(&name.value);
        if from.is_none() {
            let words = || ToolClass::ALL.iter().map(|c| c.word());
            job.complain(
                Diagnostic::error("wrong-value", name.span, format!("`{}` is not a tool class", short(&name.value)))
                    .because("Nothing would be read otherwise.")
                    .mend(match near(&name.value, words()) {
                        Some(word) => format!("did you mean `{word}`?"),
                        None => format!("write one of: {}", words().collect::<Vec<_>>().join(", ")),
                    }),
            );
        }
        out.push(from.zip(to));
    }
    out
}

/// Which tools count as basic.
pub(super) fn basic_tools(item: &Item<'_>, job: &mut Job<'_, '_>) -> Option<BasicTools> {
    let all = [BasicTools::Law, BasicTools::Standard];
    item.word("a list of basic tools", &field_tables::BASIC_TOOLS, job.reader).map(|w| all[w.value])
}

/// What several parts of one role count as.
pub(super) fn instances(item: &Item<'_>, job: &mut Job<'_, '_>) -> Option<Instances> {
    let all = [Instances::WorstPerMeasure, Instances::LowestAsWhole];
    item.word("what several parts of one role count as", &field_tables::INSTANCES, job.reader).map(|w| all[w.value])
}

/// The fields of a choice of routes as settings; `None` for one that can't be read.
pub(super) fn route_settings(fields: &Fields<'_>, job: &mut Job<'_, '_>) -> Vec<Option<Setting>> {
    let mut out = Vec::new();
    if let Some(item) = fields.get("official first") {
        out.push(item.yes_no(job.reader).map(|y| Setting::OfficialFirst(y.value)));
    }
    if let Some(item) = fields.get("order") {
        let all = [RouteOrder::HighestTotal, RouteOrder::FewestSteps];
        let word = item.word("which route is read", &field_tables::ORDERS, job.reader);
        out.push(word.map(|w| Setting::RouteOrder(all[w.value])));
    }
    if let Some(item) = fields.get("start") {
        let word = item.word("a state to start from", &field_tables::STARTS, job.reader);
        out.push(word.map(|w| Setting::Start([Start::AsUsed, Start::Disconnected][w.value])));
    }
    out
}

/// The reading with an index into [`field_tables::READINGS`].
pub(super) fn reading(index: usize) -> Reading {
    if index == 0 { Reading::Route } else { Reading::Part }
}
