//! What the way back says against the way in: kinds and what is bought, heat written apart from its use.

use super::values;
use crate::record::{Action, After, Aim, Known, Loosened, Outcome, Record};
use crate::text::Diagnostic;
use crate::text::fields::short;
use crate::vocab::Kind;

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    for action in &record.actions {
        contradictions(action, out);
    }
    heat_apart(record, out);
}

/// A fastener that is used again, or comes with the part, needs no buying.
fn contradictions(action: &Action, out: &mut Vec<Diagnostic>) {
    if action.outcome.value != Outcome::Done || action.refit.value.buy.is_empty() {
        return;
    }
    for fastener in action.loosen.iter().filter(|l| l.kind.stated) {
        let Known::Is(kind @ (Kind::Reusable | Kind::Resupplied)) = fastener.kind.known else { continue };
        let Some(bought) = action.refit.value.buy.iter().find(|b| about(b, fastener)) else { continue };
        let why = match kind {
            Kind::Reusable => "A reusable fastener is used again, so nothing is bought for it.",
            _ => "A resupplied fastener comes with the spare part at no extra cost.",
        };
        let message = format!("the {} is {kind}, yet the refit buys `{}`", fastener.text, short(bought));
        out.push(
            Diagnostic::warning("kind-contradicts-refit", fastener.kind.span, message)
                .also(action.refit.span, "bought here")
                .because(why)
                .mend("write the kind it really has (removable, neither), or take it off the list"),
        );
    }
}

/// Whether what is bought is the fastener: they share its main word.
fn about(bought: &str, fastener: &Loosened) -> bool {
    let bought = crate::text::fold(bought);
    let name = crate::text::fold(&fastener.fastener);
    let stems: Vec<&str> =
        name.split(' ').chain(fastener.adhesive.then_some("glue")).chain(fastener.adhesive.then_some("film")).collect();
    stems.iter().any(|w| w.len() > 2 && bought.split(' ').any(|b| b.trim_end_matches('s') == w.trim_end_matches('s')))
}

fn heat_apart(record: &Record, out: &mut Vec<Diagnostic>) {
    for (i, action) in record.actions.iter().enumerate() {
        let Aim::Do(name) = &action.aim else { continue };
        if action.outcome.value == Outcome::Failed || !heat_only(record, action) {
            continue;
        }
        let needing: Vec<&Action> = record
            .actions
            .iter()
            .enumerate()
            .filter(|(j, a)| *j != i && needs(a, &name.value))
            .map(|(_, a)| a)
            .collect();
        let [one] = needing[..] else { continue };
        out.push(
            Diagnostic::warning(
                "heat-apart",
                action.span,
                format!("`{}` only heats, and only `{}` needs it", name.value, one.id),
            )
            .also(one.span, "needs it")
            .because("Heat is used while it lasts; written apart, a route may put other work in between.")
            .mend("write one action with both tools: `with: [heat pad ..., opening pick]`"),
        );
    }
}

fn heat_only(record: &Record, action: &Action) -> bool {
    action.loosen.is_empty()
        && action.with.iter().all(|operation| {
            let sets: Vec<_> = values(&operation.ways.known).into_iter().flatten().collect();
            let heat = |t: &crate::record::ToolUse| record.tools.get(t.tool).is_some_and(|t| t.heat);
            !sets.is_empty() && sets.iter().all(|s| !s.tools.is_empty() && s.tools.iter().all(heat))
        })
}

fn needs(action: &Action, name: &str) -> bool {
    let After::Needs(needs) = &action.after.value else { return false };
    let mut found = false;
    needs.iter().for_each(|need| need.each_name(&mut |n| found |= n.value == name));
    found
}
