//! Order: circles, actions that can't be reached, order nobody stated, footage that goes backwards.

use std::collections::{BTreeMap, BTreeSet};

use crate::record::{Action, After, Need, Outcome, Record};
use crate::text::{Diagnostic, Span};

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    let reach = Reach::of(record);
    own_parts(record, out);
    circles_and_dead_ends(record, &reach, out);
    unstated(record, out);
    footage(record, out);
    for action in record.actions.iter().chain(&record.back) {
        if let After::Needs(needs) = &action.after.value {
            lonely(needs, out);
        }
    }
}

/// Which actions can be reached when every unknown turns out well.
pub(super) struct Reach<'r> {
    reached: Vec<bool>,
    achieved: BTreeSet<&'r str>,
    /// Actions that achieve a name and exist as ways.
    ways: BTreeMap<&'r str, Vec<usize>>,
    /// Names that somebody at least tried or declared; others were reported as unknown references.
    known: BTreeSet<&'r str>,
}

impl<'r> Reach<'r> {
    pub(super) fn of(record: &'r Record) -> Self {
        Self::among(record, &|_| true)
    }

    /// As if there were only some of the actions (indices into [`Record::actions`]).
    pub(super) fn among(record: &'r Record, keep: &dyn Fn(usize) -> bool) -> Self {
        let mut out = Self {
            reached: vec![false; record.actions.len()],
            achieved: record.parts.iter().filter(|p| p.not_attempted.is_some()).map(|p| &*p.name.value).collect(),
            ways: BTreeMap::new(),
            known: record.parts.iter().map(|p| &*p.name.value).collect(),
        };
        for (i, action) in record.actions.iter().enumerate() {
            out.known.extend(action.names());
            if action.outcome.value != Outcome::Failed {
                for name in action.names() {
                    out.ways.entry(name).or_default().push(i);
                }
            }
        }
        loop {
            let ready: Vec<usize> =
                (0..record.actions.len()).filter(|&i| keep(i) && !out.reached[i] && out.enabled(record, i)).collect();
            if ready.is_empty() {
                return out;
            }
            for i in ready {
                out.reached[i] = true;
                if record.actions[i].outcome.value != Outcome::Failed {
                    out.achieved.extend(record.actions[i].names());
                }
            }
        }
    }

    fn enabled(&self, record: &Record, action: usize) -> bool {
        match &record.actions[action].after.value {
            After::Unknown => true,
            After::Above => record.above(action).next().is_none_or(|a| self.reached[a]),
            After::Needs(needs) => needs.iter().all(|n| self.met(n)),
        }
    }

    /// Whether some way leads to a name.
    pub(super) fn achieves(&self, name: &str) -> bool {
        self.achieved.contains(name)
    }

    fn has(&self, name: &str) -> bool {
        self.achieved.contains(name) || !self.known.contains(name)
    }

    fn met(&self, need: &Need) -> bool {
        match need {
            Need::Is(name) => self.has(&name.value),
            Need::Perhaps(_) => true,
            Need::OneOf(names, _) => names.iter().any(|n| self.has(&n.value)),
            Need::Any(members, _) => members.is_empty() || members.iter().any(|m| m.iter().all(|n| self.met(n))),
        }
    }

    /// Names that keep a need from being met, with their places.
    fn unmet<'n>(&self, need: &'n Need, out: &mut Vec<(&'n str, Span)>) {
        match need {
            _ if self.met(need) => {}
            Need::Is(name) => out.push((&name.value, name.span)),
            Need::Perhaps(_) => {}
            Need::OneOf(names, _) => out.extend(names.iter().map(|n| (&*n.value, n.span))),
            Need::Any(members, _) => {
                for need in members.iter().flatten() {
                    self.unmet(need, out);
                }
            }
        }
    }

    fn blocked_by<'n>(&self, action: &'n Action) -> Vec<(&'n str, Span)> {
        let mut out = Vec::new();
        if let After::Needs(needs) = &action.after.value {
            for need in needs {
                self.unmet(need, &mut out);
            }
        }
        out
    }
}

fn own_parts(record: &Record, out: &mut Vec<Diagnostic>) {
    for action in &record.actions {
        let After::Needs(needs) = &action.after.value else { continue };
        for need in needs {
            if let Need::Is(name) = need
                && action.names().contains(&&*name.value)
            {
                out.push(
                    Diagnostic::error(
                        "needs-itself",
                        name.span,
                        format!("`{}` is needed before it is achieved", name.value),
                    )
                    .also(action.span, "by this action")
                    .because("An action can't wait for what it does itself.")
                    .mend("name what must be off or done before; `after: []` if nothing"),
                );
            }
        }
    }
}

fn circles_and_dead_ends(record: &Record, reach: &Reach<'_>, out: &mut Vec<Diagnostic>) {
    let mut reported: BTreeSet<Vec<usize>> = BTreeSet::new();
    for start in (0..record.actions.len()).filter(|&i| !reach.reached[i]) {
        let action = &record.actions[start];
        for (name, span) in reach.blocked_by(action) {
            let ways = reach.ways.get(name).map_or(&[][..], Vec::as_slice);
            if ways.is_empty() {
                dead_end(action, name, span, out);
            }
        }
        let Some(circle) = circle(record, reach, start) else { continue };
        // One action that waits for itself has its own complaint.
        let mut members: Vec<usize> = circle.iter().map(|(i, _)| *i).collect();
        members.sort_unstable();
        if circle.len() > 1 && reported.insert(members) {
            report_circle(record, &circle, out);
        }
    }
}

fn dead_end(action: &Action, name: &str, span: Span, out: &mut Vec<Diagnostic>) {
    let message = format!("`{}` can never be reached: nothing takes `{name}` off or does it", action.id);
    let made = if action.outcome.value == Outcome::Done {
        Diagnostic::error("never-reached", span, message)
            .because("It is said to be done, but what it needs is never achieved.")
    } else {
        Diagnostic::warning("never-reached", span, message).because("It doesn't count as a way to anything.")
    };
    out.push(made.mend(format!("add the action that frees or does `{name}`, or name what was really needed")));
}

/// A circle of needs that starts from an action: each with the place where the next is named.
fn circle(record: &Record, reach: &Reach<'_>, start: usize) -> Option<Vec<(usize, Span)>> {
    let mut path: Vec<(usize, Span)> = Vec::new();
    let mut at = start;
    loop {
        if let Some(first) = path.iter().position(|(i, _)| *i == at) {
            let mut circle = path.split_off(first);
            let least = (0..circle.len()).min_by_key(|&i| circle[i].0)?;
            circle.rotate_left(least);
            return Some(circle);
        }
        let (next, span) = reach.blocked_by(&record.actions[at]).into_iter().find_map(|(name, span)| {
            let ways = reach.ways.get(name)?;
            ways.iter().find(|&&w| !reach.reached[w]).map(|&w| (w, span))
        })?;
        path.push((at, span));
        at = next;
    }
}

fn report_circle(record: &Record, circle: &[(usize, Span)], out: &mut Vec<Diagnostic>) {
    let id = |i: usize| record.actions[i].id.as_str();
    let mut names: Vec<&str> = circle.iter().map(|(i, _)| id(*i)).collect();
    names.push(names[0]);
    let (first, span) = circle[0];
    let mut made =
        Diagnostic::error("order-circle", span, format!("these wait for each other: {}", names.join(" -> ")))
            .marked(format!("`{}` waits for this", id(first)));
    for (i, span) in &circle[1..] {
        made = made.also(*span, format!("`{}` waits for this", id(*i)));
    }
    out.push(
        made.because("None of them can be the first, so none can ever be done.")
            .mend("take out one of these needs, or write it as `{any: [...]}` with another way"),
    );
}

/// Places where the order was left out; the reader puts the action's own place there.
fn unstated(record: &Record, out: &mut Vec<Diagnostic>) {
    let open: Vec<&Action> =
        record.actions.iter().filter(|a| a.after.value == After::Unknown && a.after.span == a.span).collect();
    let Some(first) = open.first() else { return };
    let message = match open.len() {
        1 => format!("`{}` states no order", first.id),
        n => format!("{n} actions state no order, the first is `{}`", first.id),
    };
    let mut made = Diagnostic::warning("order-unstated", first.span, message);
    for action in open.iter().skip(1).take(3) {
        made = made.also(action.span, "nor does this");
    }
    out.push(
        made.because("Each may need nothing, the action above, or everything above, which widens every result.").mend(
            "write `order: as logged` once, or `after:` in each action (`after: []` if it can be reached at once)",
        ),
    );
}

fn footage(record: &Record, out: &mut Vec<Diagnostic>) {
    let mut last: Option<(u32, Span)> = None;
    for at in record.actions.iter().filter_map(|a| a.at.as_ref()) {
        let start = at.value.from;
        if let Some((before, span)) = last
            && start < before
        {
            out.push(
                Diagnostic::warning("footage-backwards", at.span, "the footage goes backwards here")
                    .also(span, "later than this one")
                    .because("Actions are listed in the order they were done.")
                    .mend("check both times, or move the action"),
            );
        }
        last = Some((start, at.span));
    }
    // What stands behind the end of the teardown was hardly done in it.
    let Some(end) = &record.teardown.ends else { return };
    for at in record.actions.iter().filter_map(|a| a.at.as_ref()).filter(|at| at.value.from > end.value.0) {
        out.push(
            Diagnostic::warning("after-the-end", at.span, "this time lies behind the end of the teardown")
                .also(end.span, "it ends here")
                .because("What was done later was putting back, or another device.")
                .mend("check both times, or move the action to `back`"),
        );
    }
}

fn lonely(needs: &[Need], out: &mut Vec<Diagnostic>) {
    for need in needs {
        let Need::Any(members, span) = need else { continue };
        if members.len() == 1 {
            out.push(
                Diagnostic::warning("any-alone", *span, "`any` has one member only")
                    .because("One of one is no choice.")
                    .mend("write the name alone, or add the other way"),
            );
        }
        for member in members {
            lonely(member, out);
        }
    }
}
