//! Open readings and the settings their options make.

use std::collections::BTreeMap;

use serde::de::DeserializeOwned;

use super::{Cite, Gap, Job};
use crate::method::entries::{OptionFields, RoutesFields, RuleSaid, SetsFields, StepsFields, SwitchFields};
use crate::method::written::{StepOption, Total};
use crate::method::{Setting, Switch};
use crate::text::fields::{Item, Items, ListOf, Stated, Unread, short};
use crate::text::{Diagnostic, near};
use crate::vocab::ToolClass;
use crate::vocab::class::Words;

pub(super) fn switches(
    field: &Option<Unread<ListOf<SwitchFields>>>,
    items: &Items<'_>,
    job: &mut Job<'_, '_>,
    cite: &Cite,
) -> Vec<Switch> {
    let Some(list) = items.get(field) else {
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
    let (fields, items) = job.typed::<SwitchFields>(item)?;
    let span = item.node.span;
    let (source, certainty) = (&fields.source, &fields.certainty);
    let said = RuleSaid { rule: None, clause: fields.clause.as_ref(), source, certainty, switch: None };
    let text = fields.open.0.unwrap_or_default();
    let rule = job.ruled(item.head(), text.clone(), &Job::cite(&said, cite));
    if fields.id.0.is_none() {
        job.gaps.mark(Gap::Switches, span);
    }
    let (mut options, mut sets) = (Vec::new(), Vec::new());
    let named = items.get(&fields.options.0);
    let named = named.and_then(|i| i.names("a mapping from options to what they mean", job.reader));
    if named.is_none() {
        job.gaps.mark(Gap::Options, span);
    }
    for (name, item) in named.unwrap_or_default() {
        let option = job.typed::<OptionFields>(&item);
        let read = option.as_ref().and_then(|(o, items)| settings(&items.get(&o.sets.0)?, job));
        if read.is_none() {
            job.gaps.mark(Gap::Options, span);
        }
        sets.push(read.unwrap_or_default());
        options.push((name.value, option.and_then(|(o, _)| o.means.0).unwrap_or_default()));
    }
    let chosen = items.get(&fields.chosen.0).filter(|_| !options.is_empty()).and_then(|i| {
        let words: Vec<&str> = options.iter().map(|(id, _)| id.as_str()).collect();
        i.word("an option of this switch", &words, job.reader)
    });
    let chosen = chosen.map_or(0, |c| c.value);
    Some(Switch { id: fields.id.0.unwrap_or_default(), text, options, sets, chosen, rule, span })
}

/// Settings as they stand in a file; `None` for one that can't be read.
type Settings = Vec<Option<Setting>>;

/// What an option sets; `None` where something of it can't be read.
fn settings(item: &Item<'_>, job: &mut Job<'_, '_>) -> Option<Vec<Setting>> {
    let (fields, items) = job.typed::<SetsFields>(item)?;
    let mut out = Settings::new();
    out.extend(of_criteria(&fields.reading, &items, Setting::Reading, job));
    out.extend(of_criteria(&fields.include, &items, Setting::Include, job));
    out.extend(inside(fields.steps, step_settings));
    out.extend(one(fields.absent, Setting::Absent));
    if let Some(item) = items.get(&fields.read_as) {
        out.extend(read_as(&item, job).into_iter().map(|c| c.map(|(from, to)| Setting::ReadAs(from, to))));
    }
    out.extend(of_criteria(&fields.part_sets, &items, Setting::PartSet, job));
    out.extend(one(fields.basic_tools, Setting::BasicTools));
    out.extend(one(fields.instances, Setting::Instances));
    out.extend(inside(fields.routes, route_settings));
    out.extend(one(fields.class_from_total, |total| Setting::ClassOfRounded(total == Total::Rounded)));
    out.into_iter().collect()
}

/// A setting for each name of a mapping.
fn of_criteria<T: DeserializeOwned>(
    field: &Option<Unread<BTreeMap<String, T>>>,
    items: &Items<'_>,
    setting: impl Fn(String, T) -> Setting,
    job: &mut Job<'_, '_>,
) -> Settings {
    let Some(item) = items.get(field) else { return Vec::new() };
    let Some(named) = item.names("a mapping from criteria", job.reader) else { return vec![None] };
    named.into_iter().map(|(id, item)| Some(setting(id.value, job.typed(&item)?.0))).collect()
}

/// The setting a field makes, if it is there.
fn one<T>(field: Stated<T>, setting: impl FnOnce(T) -> Setting) -> Settings {
    inside(field, |value| vec![Some(setting(value))])
}

/// The settings the fields of a mapping make.
fn inside<T>(fields: Stated<T>, settings: impl FnOnce(T) -> Settings) -> Settings {
    match fields {
        Stated::LeftOut => Vec::new(),
        Stated::Unread => vec![None],
        Stated::Read(fields) => settings(fields),
    }
}

/// The fields of a step rule as settings; `None` for one that can't be read.
pub(super) fn step_settings(fields: StepsFields) -> Settings {
    fn of<const AT: usize>(field: Stated<StepOption<AT>>) -> Settings {
        one(field, |StepOption(setting)| Setting::Steps(setting))
    }
    let StepsFields { simultaneous, heating, aside, mains, remote, destructive_scored, .. } = fields;
    let all = [of(simultaneous), of(heating), of(aside), of(mains), of(remote), of(destructive_scored)];
    all.concat()
}

/// Tool classes and the classes they are read as; `None` for one that can't be read.
pub(super) fn read_as(item: &Item<'_>, job: &mut Job<'_, '_>) -> Vec<Option<(ToolClass, ToolClass)>> {
    let named = item.names("a mapping from tool classes to tool classes", job.reader);
    let mut out = Vec::new();
    for (name, item) in named.unwrap_or_default() {
        let to = job.typed::<ToolClass>(&item).map(|(class, _)| class);
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

/// The fields of a choice of routes as settings; `None` for one that can't be read.
pub(super) fn route_settings(fields: RoutesFields) -> Settings {
    let all = [
        one(fields.official_first, Setting::OfficialFirst),
        one(fields.order, Setting::RouteOrder),
        one(fields.start, Setting::Start),
    ];
    all.concat()
}
