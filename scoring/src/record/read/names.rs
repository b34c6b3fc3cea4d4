//! One namespace for parts and `do`s: declared spellings, ids, and references brought to them.

use std::collections::{BTreeMap, BTreeSet};

use super::Root;
use crate::record::{Action, After, Aim, Part};
use crate::text::fields::{Reader, short};
use crate::text::{Diagnostic, Severity, Span, Spanned, fold, near};

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Thing {
    Part,
    Do,
}

/// All names of a record.
pub(super) struct Names {
    /// Folded name to declared spelling, sort, and place.
    things: BTreeMap<String, (String, Thing, Span)>,
    /// Folded names of roles in use.
    pub(super) roles: BTreeSet<String>,
}

impl Names {
    /// Collects the names of parts and actions. The first spelling counts, that of `parts` before all.
    pub(super) fn collect(parts: &[Part], actions: &[Action], reader: &mut Reader<'_>) -> Self {
        let mut things = BTreeMap::new();
        let mut roles = BTreeSet::new();
        for part in parts {
            things.insert(fold(&part.name.value), (part.name.value.clone(), Thing::Part, part.name.span));
            roles.extend(part.roles.iter().map(|r| fold(&r.value.name)));
        }
        for action in actions {
            let (sort, names) = match &action.aim {
                Aim::Free(names) => (Thing::Part, names.iter().collect::<Vec<_>>()),
                Aim::Do(name) => (Thing::Do, vec![name]),
            };
            for name in names {
                let entry = things.entry(fold(&name.value)).or_insert((name.value.clone(), sort, name.span));
                if entry.1 != sort {
                    let message = format!("`{}` is both a part and a `do`", short(&name.value));
                    reader.complain(
                        Diagnostic::error("name-twice", name.span, message)
                            .also(entry.2, "first here")
                            .because("Parts and `do`s share one namespace: `after` could mean either.")
                            .mend("give the `do` another name, such as `unplug ...` or `lift ...`"),
                    );
                }
            }
        }
        Self { things, roles }
    }

    /// The declared spelling of a name.
    pub(super) fn find(&self, name: &str) -> Option<&str> {
        self.things.get(&fold(name)).map(|t| &*t.0)
    }

    /// Whether a name stands for a part.
    pub(super) fn is_part(&self, name: &str) -> bool {
        self.things.get(&fold(name)).is_some_and(|t| t.1 == Thing::Part)
    }

    /// Names of parts, in order of spelling.
    pub(super) fn parts(&self) -> impl Iterator<Item = &str> {
        self.things.values().filter(|t| t.1 == Thing::Part).map(|t| &*t.0)
    }

    fn all(&self) -> impl Iterator<Item = &str> {
        self.things.values().map(|t| &*t.0)
    }

    /// Brings a name to its declared spelling, or complains.
    fn resolve(
        &self,
        name: &mut Spanned<String>,
        ids: &BTreeMap<String, usize>,
        actions: &[Vec<String>],
        reader: &mut Reader<'_>,
    ) {
        if let Some(found) = self.find(&name.value) {
            name.value = found.to_owned();
            return;
        }
        if reader.full() {
            return;
        }
        let none = matches!(&*fold(&name.value), "none" | "no" | "n/a" | "nil" | "-");
        let mend = match (near(&name.value, self.all()), ids.get(&fold(&name.value))) {
            (_, None) if none => "write `[]` where nothing has to come before".to_owned(),
            (_, None) if name.value.contains(',') => format!("write several as a list: `[{}]`", short(&name.value)),
            (_, Some(&action)) => format!("name what that action achieves: `{}`", actions[action].join("`, `")),
            (Some(found), None) => format!("did you mean `{found}`?"),
            (None, None) => "name a part or a `do` of this record, or add the action that frees it".to_owned(),
        };
        let message = format!("nothing in this record is called `{}`", short(&name.value));
        reader.complain(
            Diagnostic::error("unknown-reference", name.span, message)
                .because("What is needed here can't be found, so the order is not known.")
                .mend(mend),
        );
    }

    /// Brings every name in actions to its declared spelling; complains about those nobody declared.
    pub(super) fn resolve_all(&self, actions: &mut [Action], ids: &BTreeMap<String, usize>, reader: &mut Reader<'_>) {
        let achieved: Vec<Vec<String>> =
            actions.iter().map(|a| a.names().into_iter().map(str::to_owned).collect()).collect();
        for action in actions {
            match &mut action.aim {
                Aim::Free(names) => names.iter_mut().for_each(|n| self.spell(n)),
                Aim::Do(name) => self.spell(name),
            }
            if let After::Needs(needs) = &mut action.after.value {
                for need in needs {
                    need.each_name_mut(&mut |name| self.resolve(name, ids, &achieved, reader));
                }
            }
            // What is destroyed or marked need not be a part of its own: a mesh, one clip of six.
            let fields = &mut action.fields;
            fields.destroys.iter_mut().chain(fields.wears.iter_mut()).for_each(|n| self.spell(n));
            for part in &mut action.aside {
                if self.is_part(&part.value) {
                    self.spell(part);
                    continue;
                }
                let mend = match near(&part.value, self.parts()) {
                    Some(name) => format!("did you mean `{name}`?"),
                    None => "name a part of this record, or list it under `parts`".to_owned(),
                };
                let message = format!("no part of this record is called `{}`", short(&part.value));
                reader.complain(
                    Diagnostic::error("unknown-reference", part.span, message)
                        .because("Only a part of the record can be laid aside, since it comes off or goes back later.")
                        .mend(mend),
                );
            }
        }
    }

    /// Brings the other names of parts to their declared spelling; complains about those nobody declared, and about a part that is
    /// said to be itself.
    pub(super) fn resolve_parts(&self, parts: &mut [Part], reader: &mut Reader<'_>) {
        for part in parts {
            let Some(other) = part.same_as.as_mut() else { continue };
            let own = fold(&other.part.value) == fold(&part.name.value);
            if self.is_part(&other.part.value) && !own {
                self.spell(&mut other.part);
                continue;
            }
            let others = self.parts().filter(|n| fold(n) != fold(&part.name.value));
            let mend = match near(&other.part.value, others).filter(|_| !own) {
                Some(name) => format!("did you mean `{name}`?"),
                None => "name another part of this record".to_owned(),
            };
            let called = short(&other.part.value);
            let message = if own {
                format!("`{called}` is said to be itself")
            } else {
                format!("no part of this record is called `{called}`")
            };
            reader.complain(
                Diagnostic::error("unknown-reference", other.part.span, message)
                    .because("`same as` says that two names of the record are one part.")
                    .mend(mend),
            );
        }
    }

    fn spell(&self, name: &mut Spanned<String>) {
        if let Some(found) = self.find(&name.value) {
            name.value = found.to_owned();
        }
    }
}

/// Gives every action its id: stated, or derived from what it achieves, ` (way 2)` for a second way. The index is by
/// folded id.
pub(super) fn give_ids(actions: &mut [Action], reader: &mut Reader<'_>) -> BTreeMap<String, usize> {
    let mut index: BTreeMap<String, usize> = BTreeMap::new();
    let mut places: Vec<Span> = Vec::new();
    for action in actions.iter() {
        places.push(action.span);
    }
    // Stated ids first: a derived one gives way to them.
    for (i, action) in actions.iter().enumerate().filter(|(_, a)| !a.id.is_empty()) {
        if let Some(&first) = index.get(&fold(&action.id)) {
            let message = format!("the id `{}` stands on two actions", short(&action.id));
            reader.complain(
                Diagnostic::error("duplicate-id", action.span, message)
                    .also(places[first], "first here")
                    .because("An id names one way, so that `official` and variants can point at it.")
                    .mend("give one of them another id"),
            );
        } else {
            index.insert(fold(&action.id), i);
        }
    }
    for (i, action) in actions.iter_mut().enumerate() {
        if action.id.is_empty() {
            let base = action.names().join(" + ");
            action.id = free_id(&base, |id| index.contains_key(&fold(id)));
            index.insert(fold(&action.id), i);
        }
    }
    index
}

/// The id, or the first `id (way N)` that is not taken.
pub(super) fn free_id(base: &str, taken: impl Fn(&str) -> bool) -> String {
    let mut id = base.to_owned();
    let mut way = 2;
    while taken(&id) {
        id = format!("{base} (way {way})");
        way += 1;
    }
    id
}

/// `official`: indices of the actions named by id, or by what only one action achieves.
pub(super) fn official(
    root: &Root<'_>,
    actions: &[Action],
    ids: &BTreeMap<String, usize>,
    reader: &mut Reader<'_>,
) -> Option<Spanned<Vec<usize>>> {
    let item = root.get(&root.official)?;
    let mut out = Vec::new();
    for one in item.one_or_many() {
        let Some(id) = one.text("the id of an action", reader) else { continue };
        let key = fold(&id.value);
        let achieving: Vec<usize> =
            (0..actions.len()).filter(|&i| actions[i].names().iter().any(|n| fold(n) == key)).collect();
        match (ids.get(&key), &*achieving) {
            (Some(&i), _) => out.push(i),
            (None, [i]) => out.push(*i),
            _ => {
                let mend = match near(&id.value, actions.iter().map(|a| &*a.id)) {
                    Some(found) => format!("did you mean `{found}`?"),
                    None => {
                        "write the id of an action: the part it frees, the name of its `do`, or its `id`".to_owned()
                    }
                };
                reader.complain(
                    Diagnostic::error(
                        "unknown-reference",
                        id.span,
                        format!("no action has the id `{}`", short(&id.value)),
                    )
                    .because("The maker's own route can't be followed past it.")
                    .mend(mend),
                );
            }
        }
    }
    Some(Spanned::new(out, item.head()))
}

/// Whether any complaint is an error.
pub(super) fn any_error(diagnostics: &[Diagnostic]) -> bool {
    diagnostics.iter().any(|d| d.severity == Severity::Error)
}
