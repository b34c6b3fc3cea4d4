//! Scale, part sets, classes and switches.

use std::collections::BTreeSet;

use super::reach::reach;
use super::tree::{known_role, negative, unknown_id, weightless};
use super::{Gap, Job, sum};
use crate::exact::Exact;
use crate::method::{CriterionKind, PartSet, Roles, Setting, Switch, either_of};
use crate::text::{Diagnostic, Span, fold, near};
use crate::vocab::{Category, Form};

pub(super) fn check(job: &mut Job<'_, '_, '_>) {
    part_sets(job);
    classes(job);
    for switch in &job.method.switches {
        self::switch(switch, job);
    }
    switches_named(job);
}

fn part_sets(job: &mut Job<'_, '_, '_>) {
    let method = job.method;
    let devices = job.devices();
    let uses = |roles: &Roles| matches!(roles, Roles::Priority | Roles::Highest);
    let priority =
        method.root.all().into_iter().find(|n| matches!(&n.kind, CriterionKind::Each { roles, .. } if uses(roles)));
    for (at, set) in method.part_sets.iter().enumerate() {
        let used = PartSet { left_out: false, ..set.clone() };
        let fits: Vec<&(Category, Form)> = devices.iter().filter(|(c, f)| used.fits(*c, *f)).collect();
        // A set that a switch may leave out leaves its devices to others.
        let left = fits.iter().any(|(c, f)| !method.part_sets[..at].iter().any(|s| s.id.is_none() && s.fits(*c, *f)));
        let devices_known = !job.gaps.any(Gap::Scope) && !job.gaps.has(Gap::For, set.span);
        if !devices_known {
            // Which devices it is for, or which there are, was told not to be readable.
        } else if fits.is_empty() {
            job.complain(
                Diagnostic::warning("part-set-never", set.span, "this part set is for no device in scope")
                    .because("It could never be used.")
                    .mend("widen the scope, or delete the set"),
            );
        } else if !left {
            job.complain(
                Diagnostic::warning(
                    "part-set-never",
                    set.span,
                    "an earlier part set fits every device this one is for",
                )
                .because("The first set that fits is used, so this one never is.")
                .mend("move it up, or delete it"),
            );
        }
        let roles_known = !job.gaps.has(Gap::For, set.span);
        let shares_known = !job.gaps.has(Gap::Shares, set.span);
        for (role, weight) in &set.weights {
            for word in if roles_known { either_of(role) } else { Vec::new() } {
                known_role(word, weight.span, &set.categories, job);
            }
            if weight.value.is_negative() {
                job.complain(negative(weight.span));
            } else if weight.value.is_zero() && weight.note.is_none() && shares_known {
                job.complain(weightless(weight.span, role));
            }
        }
        if !shares_known {
            continue;
        }
        let total = sum(set.weights.iter().map(|(_, w)| &w.value));
        if set.own_roles {
            continue;
        }
        let unread = set.weights.iter().any(|(_, w)| w.unread);
        if let Some(wanted) = set.sum.as_ref().filter(|s| **s != total && !unread) {
            let off = wanted - &total;
            job.complain(
                Diagnostic::error(
                    "weights-sum",
                    set.span,
                    format!("the weights of this part set sum to {}, not {}", total.plain(), wanted.plain()),
                )
                .because("The source says what they sum to.")
                .mend(super::off_by(&off)),
            );
        } else if total.is_zero() {
            job.complain(
                Diagnostic::error("weights-sum", set.span, "nothing in this part set weighs anything")
                    .because("A mean of nothing has no value.")
                    .mend("add `weights:`, or `own roles: yes` for category other"),
            );
        }
    }
    let Some(priority) = priority else { return };
    let mut without: Vec<Category> =
        devices.iter().filter(|(c, f)| method.part_set(*c, *f).is_none()).map(|(c, _)| *c).collect();
    without.dedup();
    let sets_known = ![Gap::Scope, Gap::PartSets, Gap::For].iter().any(|g| job.gaps.any(*g));
    if !without.is_empty() && sets_known {
        let names: Vec<String> = without.iter().map(ToString::to_string).collect();
        job.complain(
            Diagnostic::error(
                "part-set-missing",
                priority.span,
                format!("no part set fits every device of category {}", names.join(", ")),
            )
            .because(format!("`{}` goes through priority parts.", priority.id))
            .mend("add a set under `parts:`, or narrow the scope"),
        );
    }
}

fn classes(job: &mut Job<'_, '_, '_>) {
    let Some(classes) = &job.method.classes else {
        return;
    };
    let mut ordered = true;
    for pair in classes.bounds.windows(2) {
        if let [(better, a), (worse, b)] = pair
            && b.value >= a.value
        {
            ordered = false;
            job.complain(
                Diagnostic::error(
                    "class-order",
                    b.span,
                    format!("class {worse} starts at {}, not below class {better}", b.value.plain()),
                )
                .because("A total could be in both, or one could never be reached.")
                .mend("write the classes best first, each with a lower bound than the one before"),
            );
        }
    }
    let devices = job.devices().into_iter().map(|(c, f)| job.method.for_device(c, f));
    let ends: Option<Vec<(Exact, Exact)>> = devices.map(|m| reach(&m, &job.gaps, &m.root)).collect();
    let Some(ends) = ends else { return };
    let (Some(low), Some(high)) = (ends.iter().map(|e| e.0.clone()).min(), ends.iter().map(|e| e.1.clone()).max())
    else {
        return;
    };
    let mut above: Option<&Exact> = None;
    for (name, bound) in &classes.bounds {
        if bound.value > high || ordered && above.is_some_and(|a| *a <= low) {
            job.complain(
                Diagnostic::warning("class-never", bound.span, format!("no total can be in class {name}"))
                    .because(format!("Totals run from {} to {}.", low.plain(), high.plain()))
                    .mend("mend its bound, or delete it"),
            );
        }
        above = Some(&bound.value);
    }
    // A bound that can't be read may be the lowest.
    if let Some((name, bound)) = classes.bounds.iter().min_by(|a, b| a.1.value.cmp(&b.1.value))
        && bound.value > low
        && !job.gaps.any(Gap::Classes)
    {
        job.complain(
            Diagnostic::error("class-gap", bound.span, format!("totals below {} are in no class", bound.value.plain()))
                .because(format!("Class {name} is the last one, and totals start at {}.", low.plain()))
                .mend(format!("let the last class start at {}", low.plain())),
        );
    }
}

/// What a setting is about, without its value.
fn subject(setting: &Setting) -> String {
    match setting {
        Setting::Reading(id, _) => format!("reading of {}", fold(id)),
        Setting::Steps(setting) => setting.name().to_owned(),
        Setting::Absent(_) => "absent".to_owned(),
        Setting::Instances(_) => "instances".to_owned(),
        Setting::OfficialFirst(_) => "official first".to_owned(),
        Setting::RouteOrder(_) => "order of routes".to_owned(),
        Setting::Start(_) => "start".to_owned(),
        Setting::ClassOfRounded(_) => "class from total".to_owned(),
        Setting::Include(id, _) => format!("include of {}", fold(id)),
        Setting::ReadAs(from, _) => format!("reading of {from} tools"),
        Setting::PartSet(id, _) => format!("part set {}", fold(id)),
        Setting::BasicTools(_) => "basic tools".to_owned(),
    }
}

/// The first option that leaves a step rule whose switches don't go together, the others as chosen.
fn unfit<'s>(switch: &'s Switch, job: &Job<'_, '_, '_>) -> Option<&'s str> {
    let mut chosen = job.method.steps.clone();
    for other in &job.method.switches {
        other.sets.get(other.chosen).into_iter().flatten().for_each(|setting| chosen.apply(setting));
    }
    let unfit = |sets: &[Setting]| {
        let mut steps = chosen.clone();
        sets.iter().for_each(|setting| steps.apply(setting));
        steps.unfit().is_some() && sets.iter().any(|setting| matches!(setting, Setting::Steps(_)))
    };
    let at = switch.sets.iter().position(|sets| unfit(sets))?;
    switch.options.get(at).map(|(option, _)| option.as_str())
}

fn switch(switch: &Switch, job: &mut Job<'_, '_, '_>) {
    let span = switch.span;
    let same = |s: &&Switch| !switch.id.is_empty() && s.span < span && fold(&s.id) == fold(&switch.id);
    let twice = job.method.switches.iter().find(same);
    if let Some(first) = twice {
        job.complain(
            Diagnostic::error("duplicate-id", span, format!("two switches have the id `{}`", switch.id))
                .also(first.span, "first here")
                .because("Nobody could say which one is meant.")
                .mend("give one of them another id"),
        );
    }
    if let Some(option) = unfit(switch, job) {
        job.complain(
            Diagnostic::error(
                "steps-unfit",
                span,
                format!("with option `{option}` `heating` is `step` and `simultaneous tools` is `one`"),
            )
            .because("Heating while another tool is used is both.")
            .mend("let the option set `simultaneous tools: each`, or another `heating`"),
        );
    }
    let subjects: Vec<BTreeSet<String>> = switch.sets.iter().map(|s| s.iter().map(subject).collect()).collect();
    if job.gaps.has(Gap::Options, span) {
        // What its options set is not known in full.
    } else if switch.options.is_empty() {
        job.complain(
            Diagnostic::error("switch-never", span, format!("`{}` has no options", switch.id))
                .because("There is no reading to take.")
                .mend("add options under `options:`, or delete the switch"),
        );
    } else if subjects.iter().any(|s| *s != subjects[0]) {
        job.complain(
            Diagnostic::error(
                "switch-uneven",
                span,
                format!("the options of `{}` do not set the same things", switch.id),
            )
            .because("Going from one option to another must undo everything the first one set.")
            .mend("let every option set everything the others set"),
        );
    } else if switch.sets.len() < 2 || switch.sets.iter().all(|s| *s == switch.sets[0]) {
        job.complain(
            Diagnostic::warning("switch-never", span, format!("no option of `{}` changes anything", switch.id))
                .because("The readings it offers are one and the same.")
                .mend("let the options set different things, or delete the switch"),
        );
    }
    let told: BTreeSet<String> =
        switch.sets.iter().flatten().filter_map(|s| target(s, span, &switch.id, job)).collect();
    for id in told {
        let named = format!("switch `{}`", switch.id);
        unknown_id(&id, span, &named, job);
    }
}

/// The criterion a setting names. Complains about one that can't be set that way.
fn target(setting: &Setting, span: Span, switch: &str, job: &mut Job<'_, '_, '_>) -> Option<String> {
    let (id, wrong) = match setting {
        Setting::Reading(id, _) => {
            let on_route = |k: &CriterionKind| matches!(k, CriterionKind::Leaf { measure, .. } if measure.on_route());
            let node = job.method.node(id).filter(|n| !job.gaps.has(Gap::Kind, n.span));
            (id, node.is_some_and(|n| !on_route(&n.kind)).then_some("itself reads nothing on a route"))
        }
        Setting::Include(id, _) => {
            let in_group = job.method.root.all().into_iter().any(
                |n| matches!(&n.kind, CriterionKind::Group { of, .. } if of.iter().skip(1).any(|c| fold(&c.id) == fold(id))),
            );
            (
                id,
                (job.method.node(id).is_some() && !in_group)
                    .then_some("can't be left out: it is the first or only one of its kind"),
            )
        }
        Setting::PartSet(id, _) => {
            let named = |s: &PartSet| s.id.as_ref().is_some_and(|i| fold(i) == fold(id));
            if !job.method.part_sets.iter().any(named) && !job.gaps.any(Gap::PartSets) {
                job.complain(
                    Diagnostic::error("switch-target", span, format!("switch `{switch}` names no part set: `{id}`"))
                        .because("It would have no effect.")
                        .mend("give a set of `parts` that `id:`"),
                );
            }
            return None;
        }
        Setting::ClassOfRounded(_) if job.method.classes.is_none() => {
            job.complain(
                Diagnostic::error(
                    "switch-target",
                    span,
                    format!("switch `{switch}` sets classes, and the method has none"),
                )
                .because("It would have no effect.")
                .mend("add `classes:`, or delete the setting"),
            );
            return None;
        }
        _ => return None,
    };
    if let Some(wrong) = wrong {
        let below = format!("{id}/part");
        let mend = match setting {
            Setting::Reading(..) if job.method.node(&below).is_some() => format!("write `{below}`"),
            _ => "name a criterion that can be set that way".to_owned(),
        };
        job.complain(
            Diagnostic::error("switch-target", span, format!("switch `{switch}` sets `{id}`, which {wrong}"))
                .because("It would have no effect, or leave nothing to combine.")
                .mend(mend),
        );
    }
    Some(id.clone())
}

/// Rules must name switches that exist.
fn switches_named(job: &mut Job<'_, '_, '_>) {
    let switches = &job.method.switches;
    for named in &job.named.switches {
        if switches.iter().any(|s| fold(&s.id) == fold(&named.value)) {
            continue;
        }
        let mend = match near(&named.value, switches.iter().map(|s| s.id.as_str())) {
            Some(name) => format!("did you mean `{name}`?"),
            // It may be the switch whose id could not be read.
            None if job.gaps.any(Gap::Switches) => continue,
            None => "add it under `switches:`, or delete `switch:`".to_owned(),
        };
        job.complain(
            Diagnostic::error("switch-unknown", named.span, format!("there is no switch `{}`", named.value))
                .because("A reader would look for the other reading in vain.")
                .mend(mend),
        );
    }
}
