//! Parts and roles: never freed, freed twice, near names, absent and there, form.

use std::collections::BTreeSet;

use crate::record::{Aim, Record};
use crate::text::{Diagnostic, Sources, fold, near};
use crate::vocab::{self, Form};

pub(super) fn check(record: &Record, sources: &Sources, out: &mut Vec<Diagnostic>) {
    freed(record, out);
    roles(record, sources, out);
    form(record, out);
}

fn freed(record: &Record, out: &mut Vec<Diagnostic>) {
    let mut freed: BTreeSet<&str> = BTreeSet::new();
    for action in &record.actions {
        let Aim::Free(names) = &action.aim else { continue };
        for (i, name) in names.iter().enumerate() {
            if let Some(first) = names[..i].iter().find(|n| n.value == name.value) {
                out.push(
                    Diagnostic::warning("freed-twice", name.span, format!("`{}` stands twice in one lift", name.value))
                        .also(first.span, "first here")
                        .because("A part comes off once.")
                        .mend("delete one of the two, or give two pieces two names"),
                );
            }
            freed.insert(&name.value);
        }
    }
    let declared: BTreeSet<&str> = record.parts.iter().map(|p| &*p.name.value).collect();
    let waiting: Vec<_> = record
        .parts
        .iter()
        .filter(|p| !freed.contains(&*p.name.value) && p.not_attempted.is_none() && p.same_as.is_none())
        .collect();
    let mut meant: BTreeSet<&str> = BTreeSet::new();
    for action in &record.actions {
        let Aim::Free(names) = &action.aim else { continue };
        for name in names.iter().filter(|n| !declared.contains(&*n.value)) {
            let Some(found) = near(&name.value, waiting.iter().map(|p| &*p.name.value)) else { continue };
            let part = waiting.iter().find(|p| p.name.value == found);
            let mut made = Diagnostic::warning(
                "near-name",
                name.span,
                format!("`{}` is nearly the declared part `{found}`", name.value),
            );
            if let Some(part) = part {
                made = made.also(part.name.span, "declared here, and never freed");
                meant.insert(&part.name.value);
            }
            out.push(
                made.because("As written it is another part, without a role.")
                    .mend(format!("write `{found}`, or list `{}` under `parts` too", name.value)),
            );
        }
    }
    let damaged = |name: &str| record.actions.iter().flat_map(|a| &a.destroys).any(|d| fold(&d.value) == fold(name));
    for part in waiting.iter().filter(|p| !meant.contains(&*p.name.value)) {
        let name = &part.name.value;
        // A part that is destroyed on the way and fills no role (a seal, a label) never comes off whole.
        if part.roles.is_empty() && damaged(name) {
            continue;
        }
        let warning = Diagnostic::warning("never-freed", part.name.span, format!("no action frees `{name}`"));
        out.push(if part.roles.is_empty() {
            warning
                .because("It has no role, so no verdict asks for it, but no route can be shown either.")
                .mend("add the action that frees it, or delete it here")
        } else {
            warning
                .because("As written the part can't be reached, which scores worst.")
                .mend("add the action, or write `outcome: not attempted` here")
        });
    }
}

fn roles(record: &Record, sources: &Sources, out: &mut Vec<Diagnostic>) {
    let category = record.device.category.value;
    for part in &record.parts {
        for role in &part.roles {
            if let Some(absent) = record.absent.iter().find(|a| a.value == role.value.name) {
                let message =
                    format!("the role {} is listed as absent, yet `{}` fills it", role.value.name, part.name.value);
                out.push(
                    Diagnostic::error("absent-but-there", absent.span, message)
                        .also(role.span, "filled here")
                        .because("The device either has it or not.")
                        .mend("delete one of the two"),
                );
            }
            let named = record.own_roles.iter().any(|(own, _)| own.value == role.value.name);
            if !category.names_own_roles() || named || vocab::role(category, &role.value.name).is_some() {
                continue;
            }
            let own = record.own_roles.iter().map(|(own, _)| &*own.value);
            let shipped = vocab::words::all_roles().iter().map(|r| &*r.name);
            if let Some(found) = near(&role.value.name, own.chain(shipped)) {
                let written = sources.excerpt(role.span);
                out.push(
                    Diagnostic::warning("near-name", role.span, format!("the role `{written}` is nearly `{found}`"))
                        .because("As written it is a role of its own that no method knows.")
                        .mend(format!("write `{found}`, or list `{written}` under `roles`")),
                );
            }
        }
    }
}

fn form(record: &Record, out: &mut Vec<Diagnostic>) {
    let Some(form) = &record.device.form else { return };
    let category = record.device.category.value;
    if !category.folds() {
        out.push(
            Diagnostic::warning("form-unused", form.span, format!("`form` means nothing for the category {category}"))
                .because("Only rules for smartphones and slate tablets ask whether the display folds.")
                .mend("delete `form`, or check the category"),
        );
        return;
    }
    let folds = |name: &str| matches!(name, "hinge assembly" | "display folding mechanism");
    let hinge = record.parts.iter().flat_map(|p| &p.roles).find(|r| folds(&fold(&r.value.name)));
    if let (Some(Form::NotFolding), Some(hinge)) = (form.settled(), hinge) {
        out.push(
            Diagnostic::warning(
                "form-contradicts-parts",
                form.span,
                format!("the form is not folding, yet a part is the {}", hinge.value.name),
            )
            .also(hinge.span, "this part")
            .because("Folding devices have other priority parts.")
            .mend("write `form: folding`, or check the part's role"),
        );
    }
}
