//! From a file, and the files it extends, to one tree.
//!
//! Bases are merged on the trees, before anything is read, so that every check sees the method as it will be and
//! every place still points into the file it stands in.

use super::entries::POINTS;
use super::schema::METHOD;
use crate::text::yaml::{Tree, YamlEntry, YamlKind, YamlNode};
use crate::text::{Diagnostic, FileId, Source, Sources, Span, fold, near};

/// How many files may extend one another.
const LONGEST_CHAIN: usize = 8;

/// A method's tree with its bases merged in.
pub(super) struct Loaded {
    pub(super) root: Option<YamlNode>,
    /// A base could not be found: what is missing may stand there.
    pub(super) partial: bool,
    pub(super) diagnostics: Vec<Diagnostic>,
}

/// Loads a file and its bases; `find` gives the text of a shipped id or a file.
pub(super) fn load(sources: &mut Sources, file: FileId, find: &mut dyn FnMut(&str) -> Option<Source>) -> Loaded {
    let mut diagnostics = Vec::new();
    let mut chain: Vec<YamlNode> = Vec::new();
    let mut names: Vec<String> = vec![sources.get(file).name.to_string()];
    let mut next = file;
    let mut partial = false;
    loop {
        let tree = Tree::past_mistakes(sources.get(next), next).begun_by(super::START);
        if tree.root.is_some() && !sources.get(next).is_quoted() {
            // Complaints about its fields would quote them.
            diagnostics.push(
                Diagnostic::error("not-a-method", Span { file: next, start: 0, end: 0 }, "nothing in this file says that it is a method")
                    .because("A method is a mapping whose first field is `unfasten method: 1`. Of another file nothing is shown.")
                    .mend("name the method, or start this file from `unfasten method: 1`"),
            );
            partial = true;
            break;
        }
        diagnostics.extend(tree.diagnostics);
        let Some(mut root) = tree.root else { break };
        let base = head_field(&root, "extends");
        let base = base.map(|e| (e.value.text().unwrap_or("").trim().to_owned(), e.value.span));
        let id = root.get("id").and_then(|e| e.value.text()).map(fold);
        names.extend(id);
        settle(&mut root);
        chain.push(root);
        let Some((name, span)) = base else { break };
        // A file that took over the id of the shipped method it extends is no circle.
        let own = chain.len() == 1 && names[1..].iter().any(|n| fold(n) == fold(&name));
        if own && super::shipped().iter().any(|s| fold(s.id) == fold(&name)) {
            diagnostics.push(
                Diagnostic::error(
                    "extends-circle",
                    span,
                    format!("this file has the id of `{name}`, which it extends"),
                )
                .because("A changed method must not pass for the one it extends.")
                .mend("give this file an `id` of its own"),
            );
        } else if names.iter().any(|n| fold(n) == fold(&name)) || chain.len() >= LONGEST_CHAIN {
            diagnostics.push(
                Diagnostic::error("extends-circle", span, format!("`{name}` extends itself by way of this file"))
                    .because("No file is the one to start from.")
                    .mend("let one of the files stand without `extends`"),
            );
            // What a circle lacks can't be told.
            partial = true;
            break;
        }
        let mut found = find(&name);
        if found.is_none() {
            let shipped = near(&name, super::shipped().iter().map(|s| s.id));
            let mend = match shipped {
                Some(id) => format!("did you mean `{id}`?"),
                None => "write a shipped id (`unfasten methods` lists them) or the path of a method file".to_owned(),
            };
            diagnostics.push(
                Diagnostic::error("extends-unknown", span, format!("there is no method `{name}` to extend"))
                    .because("The base is neither shipped nor a file that can be read.")
                    .mend(mend),
            );
            // The rest of the file is checked against the base that was probably meant.
            found = shipped.and_then(&mut *find);
        }
        let Some(source) = found else {
            partial = true;
            break;
        };
        names.push(source.name.to_string());
        next = sources.add(source);
    }
    let mut layers = chain.into_iter().rev();
    let mut root = layers.next();
    for layer in layers {
        if let Some(base) = root.take() {
            root = Some(merge(base, layer, &mut diagnostics));
        }
    }
    Loaded { root, partial, diagnostics }
}

/// A field at the top of a method, also where it is misspelt (which is told when the whole is read).
fn head_field<'n>(root: &'n YamlNode, name: &str) -> Option<&'n YamlEntry> {
    let YamlKind::Map(entries) = &root.kind else {
        return None;
    };
    let meant =
        |e: &&YamlEntry| METHOD.field(&e.key).is_none() && near(&e.key, METHOD.names()).is_some_and(|n| n == name);
    entries.iter().find(|e| fold(&e.key) == name).or_else(|| entries.iter().find(meant))
}

/// Blocks of a method that inherit source and certainty from the file.
const BLOCKS: [&str; 11] =
    ["scope", "scale", "parts", "absent", "repeated", "classes", "steps", "routes", "company", "switches", "criteria"];

/// Writes the file's source and certainty into its blocks, so that they survive a merge.
fn settle(root: &mut YamlNode) {
    let inherited: Vec<YamlEntry> = ["source", "certainty"].iter().filter_map(|f| root.get(f).cloned()).collect();
    let YamlKind::Map(entries) = &mut root.kind else {
        return;
    };
    for entry in entries.iter_mut().filter(|e| BLOCKS.contains(&fold(&e.key).as_str())) {
        match &mut entry.value.kind {
            YamlKind::List(items) => items.iter_mut().for_each(|item| add(item, &inherited)),
            YamlKind::Map(_) => add(&mut entry.value, &inherited),
            YamlKind::Scalar(_) => {}
        }
    }
}

/// Adds entries a mapping lacks.
fn add(node: &mut YamlNode, entries: &[YamlEntry]) {
    let missing: Vec<YamlEntry> = entries.iter().filter(|e| node.get(&e.key).is_none()).cloned().collect();
    if let YamlKind::Map(own) = &mut node.kind {
        own.extend(missing);
    }
}

/// A base with a layer on top: fields of the layer replace the base's, `change` reaches into the criteria.
fn merge(mut base: YamlNode, layer: YamlNode, diagnostics: &mut Vec<Diagnostic>) -> YamlNode {
    let cite: Vec<YamlEntry> = ["source", "certainty"].iter().filter_map(|f| layer.get(f).cloned()).collect();
    let change = head_field(&layer, "change").map(|e| e.key_span);
    let YamlKind::Map(fields) = layer.kind else {
        return layer;
    };
    for field in ["id", "title"] {
        if !fields.iter().any(|e| fold(&e.key) == field) {
            let head = fields.first().map_or(layer.span, |e| e.key_span);
            diagnostics.push(
                Diagnostic::error("missing-field", head, format!("`{field}` is missing in a method"))
                    .because("A changed method must not pass for the one it extends.")
                    .mend(format!("add `{field}:`")),
            );
        }
    }
    for field in fields {
        if Some(field.key_span) == change {
            changes(&mut base, field.clone(), &cite, diagnostics);
            if fold(&field.key) == "change" {
                continue;
            }
        }
        if let YamlKind::Map(own) = &mut base.kind {
            match own.iter_mut().find(|e| fold(&e.key) == fold(&field.key)) {
                Some(entry) => *entry = field,
                None => own.push(field),
            }
        }
    }
    base.span = layer.span;
    base
}

fn changes(base: &mut YamlNode, change: YamlEntry, cite: &[YamlEntry], diagnostics: &mut Vec<Diagnostic>) {
    let YamlKind::Map(wanted) = change.value.kind else {
        diagnostics.push(
            Diagnostic::error("wrong-shape", change.value.span, "`change` is not a mapping from criteria to fields")
                .mend("write `change: {some-id: {weight: 2}}`"),
        );
        return;
    };
    let Some(criteria) = fields_of(base).and_then(|own| own.iter_mut().find(|e| fold(&e.key) == "criteria")) else {
        return;
    };
    for entry in wanted {
        let mut ids = Vec::new();
        ids_below(&criteria.value, &mut ids);
        if let Some(node) = node_of(&mut criteria.value, &fold(&entry.key)) {
            replace(node, entry, cite, diagnostics);
            continue;
        }
        let meant = near(&entry.key, ids.iter().map(String::as_str)).map(fold);
        let mend = match &meant {
            Some(id) => format!("did you mean `{}`?", ids.iter().find(|i| fold(i) == *id).unwrap_or(id)),
            None => format!("criteria here: {}", ids.join(", ")),
        };
        diagnostics.push(
            Diagnostic::error("criterion-unknown", entry.key_span, format!("there is no criterion `{}`", entry.key))
                .because("The change would have no effect.")
                .mend(mend),
        );
        if let Some(node) = meant.and_then(|id| node_of(&mut criteria.value, &id)) {
            replace(node, entry, cite, diagnostics);
        }
    }
}

fn fields_of(node: &mut YamlNode) -> Option<&mut Vec<YamlEntry>> {
    match &mut node.kind {
        YamlKind::Map(entries) => Some(entries),
        _ => None,
    }
}

fn ids_below(node: &YamlNode, ids: &mut Vec<String>) {
    ids.extend(node.get("id").and_then(|e| e.value.text()).map(str::to_owned));
    match &node.kind {
        YamlKind::Map(entries) => entries.iter().for_each(|e| ids_below(&e.value, ids)),
        YamlKind::List(items) => items.iter().for_each(|n| ids_below(n, ids)),
        YamlKind::Scalar(_) => {}
    }
}

fn node_of<'n>(node: &'n mut YamlNode, id: &str) -> Option<&'n mut YamlNode> {
    if node.get("id").and_then(|e| e.value.text()).is_some_and(|t| fold(t) == id) {
        return Some(node);
    }
    match &mut node.kind {
        YamlKind::Map(entries) => entries
            .iter_mut()
            .filter(|e| matches!(fold(&e.key).as_str(), "of" | "score"))
            .find_map(|e| node_of(&mut e.value, id)),
        YamlKind::List(items) => items.iter_mut().find_map(|n| node_of(n, id)),
        YamlKind::Scalar(_) => None,
    }
}

/// Replaces fields of a criterion. What is replaced cites the changing file, not the base.
fn replace(node: &mut YamlNode, change: YamlEntry, cite: &[YamlEntry], diagnostics: &mut Vec<Diagnostic>) {
    let YamlKind::Map(fields) = change.value.kind else {
        diagnostics.push(
            Diagnostic::error(
                "wrong-shape",
                change.value.span,
                format!("the change of `{}` is not a mapping", change.key),
            )
            .mend("write the fields to replace, such as `{weight: 2}`"),
        );
        return;
    };
    let points = fields.iter().any(|f| POINTS.contains(&fold(&f.key).as_str()));
    let own_cite = fields.iter().any(|f| fold(&f.key) == "points from");
    let Some(own) = fields_of(node) else { return };
    if points {
        own.retain(|e| !POINTS.contains(&fold(&e.key).as_str()) && fold(&e.key) != "points from");
        if !own_cite && !cite.is_empty() {
            own.push(made("points from", change.key_span, cite.to_vec()));
        }
    }
    for mut field in fields {
        if fold(&field.key) == "weight" && matches!(field.value.kind, YamlKind::Scalar(_)) {
            let mut number = vec![YamlEntry { key: "is".into(), key_span: field.key_span, value: field.value.clone() }];
            number.extend_from_slice(cite);
            field.value = YamlNode { span: field.value.span, kind: YamlKind::Map(number) };
        }
        match own.iter_mut().find(|e| fold(&e.key) == fold(&field.key)) {
            Some(entry) => *entry = field,
            None => own.push(field),
        }
    }
}

fn made(key: &str, span: Span, entries: Vec<YamlEntry>) -> YamlEntry {
    YamlEntry { key: key.to_owned(), key_span: span, value: YamlNode { span, kind: YamlKind::Map(entries) } }
}
