//! Names nobody could call something by, and several written as one.

use crate::record::{Aim, Record};
use crate::text::fields::short;
use crate::text::{Diagnostic, Spanned, fold};

/// Letters of the longest name that passes without a word. Names stand in tables, headings and file names; a text this long is a remark.
const LONGEST: usize = 200;

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    let device = &record.device;
    let of_device = [Some(&device.name), device.maker.as_ref(), device.model.as_ref(), device.variant.as_ref()];
    let parts = record.parts.iter().map(|p| &p.name);
    let actions = record.actions.iter().chain(&record.back).flat_map(|a| match &a.aim {
        Aim::Free(names) => names.as_slice(),
        Aim::Do(name) => std::slice::from_ref(name),
    });
    let roles = record.own_roles.iter().map(|(name, _)| name);
    let all = of_device.into_iter().flatten().chain(parts).chain(actions).chain(roles);
    out.extend(record.actions.iter().flat_map(|a| match &a.aim {
        Aim::Free(names) => names.iter().filter_map(|n| several(record, n)).collect(),
        Aim::Do(_) => Vec::new(),
    }));
    let mut told: Vec<&str> = Vec::new();
    for name in all {
        if let Some(complaint) = too_long(name).filter(|_| !told.contains(&&*name.value)) {
            told.push(&name.value);
            out.push(complaint);
        }
    }
}

/// `free: lid, ring` frees one part of that name. Where it is declared so, it is meant so.
fn several(record: &Record, name: &Spanned<String>) -> Option<Diagnostic> {
    let names: Vec<&str> = name.value.split(',').map(str::trim).filter(|n| !n.is_empty()).collect();
    let declared = record.parts.iter().any(|p| fold(&p.name.value) == fold(&name.value));
    (names.len() > 1 && !declared).then(|| {
        Diagnostic::warning("several-as-one", name.span, format!("`{}` is one part by this name", short(&name.value)))
            .because("Parts that come off together are written as a list.")
            .mend(format!("write `[{}]`, or list the name under `parts` if it is one", names.join(", ")))
    })
}

fn too_long(name: &Spanned<String>) -> Option<Diagnostic> {
    let letters = name.value.chars().count();
    (letters > LONGEST).then(|| {
        Diagnostic::warning("long-name", name.span, format!("`{}` is a name of {letters} letters", short(&name.value)))
            .because("It stands in headings and tables, where nobody could read it.")
            .mend("give it a short name, and put the rest under `note:`")
    })
}
