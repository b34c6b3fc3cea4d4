//! The words of a record: shipped vocabulary plus the record's own, and how texts are looked up in both.

use std::collections::BTreeMap;

use super::Root;
use crate::exact::Exact;
use crate::record::entries::{FastenerFields, RoleFields, ToolFields};
use crate::record::{Fact, Known, Role, Tool, ToolId, field_tables};
use crate::text::fields::{Bad, Item, Reader, short};
use crate::text::{Diagnostic, Span, Spanned, fold, near};
use crate::vocab::{self, Basis, Category, Kind, ToolClass, drive, words};

/// A fastener of the record's own.
struct OwnFastener {
    name: String,
    fields: FastenerFields,
}

/// What is known of a fastener named in a record.
pub(super) struct FastenerFound {
    pub(super) name: String,
    /// Kind, where the words fix it.
    pub(super) kind: Option<Fact<Kind>>,
    pub(super) adhesive: bool,
    pub(super) seal: bool,
    /// Shipped words without a kind are adhesives, seals and joints made once.
    pub(super) shipped: bool,
    pub(super) drive: Option<String>,
    /// Turned, so that a length behind it is one of a shank.
    driven: bool,
    /// Millimetres.
    pub(super) length: Option<Exact>,
}

/// All words of one record, and the tools that have occurred so far.
pub(super) struct Vocabulary {
    pub(super) category: Category,
    pub(super) roles: Vec<(Spanned<String>, u32)>,
    pub(super) proposed: Vec<Spanned<String>>,
    pub(super) hazards: BTreeMap<String, String>,
    hazard_names: BTreeMap<String, String>,
    tools: BTreeMap<String, Tool>,
    fasteners: BTreeMap<String, OwnFastener>,
    pub(super) used: Vec<Tool>,
    index: BTreeMap<String, ToolId>,
}

impl Vocabulary {
    /// Reads the record's own words.
    pub(super) fn read(root: &Root<'_>, category: Category, reader: &mut Reader<'_>) -> Self {
        let mut out = Self {
            category,
            roles: Vec::new(),
            proposed: Vec::new(),
            hazards: BTreeMap::new(),
            hazard_names: BTreeMap::new(),
            tools: BTreeMap::new(),
            fasteners: BTreeMap::new(),
            used: Vec::new(),
            index: BTreeMap::new(),
        };
        for (name, item) in entries(root.get(&root.tools), "tools by name", reader) {
            out.own_tool(&name, &item, reader);
        }
        for (name, item) in entries(root.get(&root.fasteners), "fasteners by name", reader) {
            plain_name(&name, reader);
            let Some((fields, _)) = item.typed::<FastenerFields>(&field_tables::DESCRIBED, reader) else { continue };
            let fastener = OwnFastener { name: name.value.clone(), fields };
            out.fasteners.insert(fold(&name.value), fastener);
        }
        for (name, item) in entries(root.get(&root.hazards), "hazards by name", reader) {
            if let Some(text) = item.text("a caution text", reader) {
                out.hazards.insert(fold(&name.value), text.value);
                out.hazard_names.insert(fold(&name.value), name.value);
            }
        }
        for (name, item) in entries(root.get(&root.roles), "roles by name", reader) {
            if !category.names_own_roles() {
                let message = format!("a {category} has roles of its own; `{}` can't be added", short(&name.value));
                reader.complain(
                    Diagnostic::error("role-of-its-own", name.span, message)
                        .because("Methods weigh the roles they name, so an added one would never count.")
                        .mend("use the category's roles, or a category of your own"),
                );
                continue;
            }
            let Some((fields, _)) = item.typed::<RoleFields>(&field_tables::DESCRIBED, reader) else { continue };
            if fields.basis == Some(Basis::Drafted) {
                out.proposed.push(name.clone());
            }
            out.roles.push((name, fields.weight.map_or(1, |w| w.0)));
        }
        out.call_roles_by_their_names(category);
        out
    }

    /// Gives own roles the names methods ask for (`battery pack` is the battery), but for one that would fall together with
    /// another.
    fn call_roles_by_their_names(&mut self, category: Category) {
        let named = |name: &str| vocab::role(category, name).filter(|(_, secondary)| !secondary).map(|(r, _)| &*r.name);
        let known: Vec<Option<&str>> = self.roles.iter().map(|(name, _)| named(&name.value)).collect();
        for (at, (name, _)) in self.roles.iter_mut().enumerate() {
            if let Some(known_name) = known[at]
                && known.iter().filter(|k| **k == Some(known_name)).count() == 1
            {
                known_name.clone_into(&mut name.value);
            }
        }
    }

    fn own_tool(&mut self, name: &Spanned<String>, item: &Item<'_>, reader: &mut Reader<'_>) {
        plain_name(name, reader);
        let Some((fields, _)) = item.typed::<ToolFields>(&field_tables::DESCRIBED, reader) else { return };
        let shown = fields.drive.map_or_else(|| name.value.clone(), |d| format!("{} {}", name.value, d.0));
        let tool = Tool {
            short: shown.clone(),
            name: shown,
            class: fields.class.0.unwrap_or_else(|| Fact::missing(item.head(), format!("{}.class", item.path))),
            heat: fields.heat,
            solvent: fields.solvent,
        };
        self.tools.insert(fold(&name.value), tool);
    }

    /// The tool a text names. `span` is its place.
    pub(super) fn tool(&mut self, text: &str, span: Span) -> Result<ToolId, Bad> {
        let found = self.find_tool(text, span).ok_or_else(|| self.no_tool(text))?;
        let key = fold(&found.name);
        if let Some(&id) = self.index.get(&key) {
            return Ok(id);
        }
        self.used.push(found);
        self.index.insert(key, self.used.len() - 1);
        Ok(self.used.len() - 1)
    }

    fn find_tool(&self, text: &str, span: Span) -> Option<Tool> {
        if let Some(own) = words::singulars(text).iter().find_map(|k| self.tools.get(k)) {
            return Some(own.clone());
        }
        let implied = |name: &str, class| Fact::implied(class, span, format!("tools.{name}"));
        if let Some(drive) = drive::drive(text) {
            let name = drive.tool();
            let class = implied(&name, Known::Is(drive.word.class));
            return Some(Tool { name, short: drive.name, class, heat: false, solvent: false });
        }
        let (word, size) = match vocab::tool(text) {
            Some(word) => (word, None),
            None => sized(text)?,
        };
        let name = size.map_or_else(|| word.name.clone(), |s| format!("{} {s}", word.name));
        let class = implied(&name, word.class.map_or(Known::Unknown, Known::Is));
        Some(Tool { short: name.clone(), name, class, heat: word.heat, solvent: word.solvent })
    }

    fn no_tool(&self, text: &str) -> Bad {
        let own = self.tools.values().map(|t| &*t.name);
        let shipped = words::tools().iter().flat_map(|t| std::iter::once(&*t.name).chain(t.also.iter().map(|a| &**a)));
        let named = drive_names();
        let known = own.chain(shipped).chain(named.iter().map(|n| &**n));
        let mend = match (self.several(text), near(text, known)) {
            (Some(mend), _) => mend,
            (None, Some(name)) => format!("did you mean `{name}`?"),
            (None, None) if !same_size(text).is_empty() => {
                format!("write the short name of its drive; of this size there are {}", same_size(text).join(", "))
            }
            (None, None) => format!(
                "use a word of the vocabulary (`unfasten about tools`), or declare it: `tools: {{{}: {{class: basic}}}}`; classes: {}",
                crate::text::edit::written(&short(text)),
                crate::vocab::class::Words::ALL
                    .iter()
                    .map(|c: &ToolClass| crate::vocab::class::Words::word(*c))
                    .collect::<Vec<_>>()
                    .join(", ")
            ),
        };
        Bad::new(0..text.len(), format!("`{}` is not a known tool", short(text))).code("unknown-tool").mend(mend)
    }

    /// The mend for several tools written as one: `PH1 and spudger`, `PH00, spudger`, `PH0/PH1`.
    fn several(&self, text: &str) -> Option<String> {
        let known = |name: &&str| {
            crate::record::forms::tools::is_hands(name) || self.find_tool(name, Span::default()).is_some()
        };
        let split = |sign: &str| -> Option<Vec<String>> {
            let names: Vec<&str> = text.split(sign).map(str::trim).collect();
            (names.len() > 1 && names.iter().any(known)).then(|| names.into_iter().map(str::to_owned).collect())
        };
        if let Some(names) = split("/") {
            return Some(format!("write `{}` where either suffices", names.join(" or ")));
        }
        let names = [" and ", ", ", ",", " & ", " then "].into_iter().find_map(split)?;
        // Hands hold the tool: they are no second one.
        if names.iter().any(|n| crate::record::forms::tools::is_hands(n)) {
            return Some(format!("write `[{}]` for one after the other", names.join(", ")));
        }
        Some(format!(
            "write `[{}]` for one after the other, or `{}` for both at once",
            names.join(", "),
            names.join(" + ")
        ))
    }

    /// The fastener some words name, with a drive behind or before it, and a length behind all where it has a shank.
    pub(super) fn fastener(&self, text: &str) -> Result<FastenerFound, Bad> {
        let whole = self.driven(text);
        // Some drives end in millimetres themselves, so a length is looked for where nothing else fits.
        if whole.is_err()
            && let Some((words, length)) = long(text)
            && let Ok(found) = self.driven(words)
            && found.driven
        {
            return Ok(FastenerFound { length: Some(length), ..found });
        }
        whole
    }

    fn driven(&self, text: &str) -> Result<FastenerFound, Bad> {
        if let Some(found) = self.find_fastener(text) {
            return Ok(found);
        }
        if let Some(bad) = self.misspelt_with_drive(text) {
            return Err(bad);
        }
        let breaks: Vec<usize> = text.match_indices(' ').map(|(i, _)| i).take(40).collect();
        let (mut misdriven, mut loose) = (None, None);
        for &at in breaks.iter().rev() {
            let (front, back) = (text[..at].trim(), text[at..].trim());
            for (words, driven, range) in [(front, back, at + 1..text.len()), (back, front, 0..at)] {
                let Some(found) = self.find_fastener(words) else { continue };
                if let Some(drive) = drive::drive(driven) {
                    return Ok(FastenerFound { drive: Some(drive.name), ..found });
                }
                // Only what is turned has a drive; beside anything else the words tell which one it is.
                if !found.driven {
                    loose.get_or_insert((words.to_owned(), driven.to_owned()));
                    continue;
                }
                misdriven.get_or_insert((words.to_owned(), driven.to_owned(), range));
            }
        }
        let pieces: Vec<&str> = text.split(',').map(str::trim).collect();
        if pieces.len() > 1 && pieces.iter().any(|p| self.fastener(p).is_ok()) {
            return Err(Bad::new(0..text.len(), format!("`{}` is not one fastener", short(text)))
                .code("unknown-fastener")
                .mend(format!("write a list: `[{}]`", pieces.join(", "))));
        }
        if let Some((words, driven, range)) = misdriven {
            let bad = no_drive(&driven, range.start);
            if bad.meant.is_some() {
                return Err(bad);
            }
            let note = crate::text::edit::written(&driven);
            return Err(bad.mend(format!(
                "write its drive, such as `{words} PH0` or `{words} T5`; what is no drive goes into a note: `{{fastener: {words}, note: {note}}}`"
            )));
        }
        if let Some((words, rest)) = loose {
            let note = crate::text::edit::written(&rest);
            return Err(Bad::new(0..text.len(), format!("`{}` is not a known fastener", short(text)))
                .code("unknown-fastener")
                .mend(format!(
                    "write `{words}`, or with what tells it apart as a note: `{{fastener: {words}, note: {note}}}`"
                )));
        }
        let own = self.fasteners.values().map(|f| &*f.name);
        let shipped =
            words::fasteners().iter().flat_map(|f| std::iter::once(&*f.name).chain(f.also.iter().map(|a| &**a)));
        let mend = match near(text, own.chain(shipped)) {
            Some(name) => format!("did you mean `{name}`?"),
            None => declare_fastener(text),
        };
        Err(Bad::new(0..text.len(), format!("`{}` is not a known fastener", short(text)))
            .code("unknown-fastener")
            .mend(mend))
    }

    /// `scrw PH0`: a drive, and a word near to something that is turned.
    fn misspelt_with_drive(&self, text: &str) -> Option<Bad> {
        let (front, back) = text.trim().rsplit_once(' ').map(|(f, b)| (f.trim(), b.trim()))?;
        let size_apart = text.match_indices(' ').map(|(i, _)| (text[..i].trim(), text[i..].trim()));
        let (words, drive) =
            size_apart.chain([(front, back)]).find(|(w, d)| drive::drive(d).is_some() && !w.is_empty())?;
        if self.find_fastener(words).is_some() {
            return None;
        }
        let turned = words::fasteners()
            .iter()
            .filter(|f| f.driven)
            .flat_map(|f| std::iter::once(&*f.name).chain(f.also.iter().map(|a| &**a)));
        let name = near(words, turned)?;
        Some(
            Bad::new(0..text.len(), format!("`{}` is not a known fastener", short(text)))
                .code("unknown-fastener")
                .mend(format!("did you mean `{name} {drive}`?")),
        )
    }

    fn find_fastener(&self, text: &str) -> Option<FastenerFound> {
        if let Some(own) = words::singulars(text).iter().find_map(|k| self.fasteners.get(k)) {
            return Some(FastenerFound {
                name: own.name.clone(),
                kind: own.fields.kind.clone(),
                adhesive: own.fields.adhesive,
                seal: own.fields.seal,
                shipped: false,
                drive: None,
                driven: true,
                length: None,
            });
        }
        let word = vocab::fastener(text)?;
        Some(FastenerFound {
            name: word.name.clone(),
            kind: word.kind.map(|k| Fact::implied(Known::Is(k), Span::default(), String::new())),
            adhesive: word.adhesive,
            seal: word.seal,
            shipped: true,
            drive: None,
            driven: word.driven,
            length: None,
        })
    }

    /// The role a word names.
    pub(super) fn role(&self, text: &str) -> Result<Role, Bad> {
        let keys = words::singulars(text);
        if let Some((own, _)) = self.roles.iter().find(|(own, _)| keys.contains(&fold(&own.value))) {
            return Ok(Role { name: own.value.clone(), secondary: false });
        }
        if let Some((role, secondary)) = vocab::role(self.category, text) {
            return Ok(Role { name: role.name.clone(), secondary });
        }
        if self.category.names_own_roles() {
            // Any word may be a role of an uncommon device.
            return Ok(Role { name: text.split_whitespace().collect::<Vec<_>>().join(" "), secondary: false });
        }
        let known: Vec<_> = vocab::roles(self.category).collect();
        let spelled = known.iter().flat_map(|r| std::iter::once(&*r.name).chain(r.also.iter().map(|a| &**a)));
        let mend = match near(text, spelled) {
            Some(name) => format!("did you mean `{name}`?"),
            None => format!(
                "roles here: {}; leave the role out for any other part",
                known.iter().map(|r| &*r.name).collect::<Vec<_>>().join(", ")
            ),
        };
        let message = format!("`{}` is not a role of a {}", short(text), self.category);
        Err(Bad::new(0..text.len(), message).code("unknown-role").mend(mend))
    }

    /// The hazards of a field, in their own spelling.
    pub(super) fn hazards(&self, item: Option<Item<'_>>, reader: &mut Reader<'_>) -> Vec<Spanned<String>> {
        let items = item.map(|i| i.one_or_many()).unwrap_or_default();
        items.iter().filter_map(|i| i.parse("a hazard", |t| self.hazard(t), reader)).collect()
    }

    fn hazard(&self, text: &str) -> Result<String, Bad> {
        if let Some(own) = self.hazard_names.get(&fold(text)) {
            return Ok(own.clone());
        }
        if let Some(word) = vocab::hazard(text) {
            return Ok(word.name.clone());
        }
        let shipped = words::hazards().iter().map(|h| &*h.name);
        let mend = match near(text, shipped.clone().chain(self.hazard_names.values().map(|v| &**v))) {
            Some(name) => format!("did you mean `{name}`?"),
            None => format!(
                "shipped hazards: {}; or declare it: `hazards: {{{}: caution text}}`",
                shipped.collect::<Vec<_>>().join(", "),
                short(text)
            ),
        };
        Err(Bad::new(0..text.len(), format!("`{}` is not a known hazard", short(text)))
            .code("unknown-hazard")
            .mend(mend))
    }
}

fn entries<'t>(item: Option<Item<'t>>, wanted: &str, reader: &mut Reader<'_>) -> Vec<(Spanned<String>, Item<'t>)> {
    item.and_then(|item| item.names(wanted, reader)).unwrap_or_default()
}

/// Names of tools and fasteners stand in short forms, where some signs mean something else.
fn plain_name(name: &Spanned<String>, reader: &mut Reader<'_>) {
    let text = fold(&name.value);
    let signs = text.contains(['|', '+', ',']) || text.split(' ').any(|w| w == "or");
    if signs || matches!(&*text, "hands" | "unknown" | "one unknown" | "nothing" | "") || text.starts_with("perhaps ") {
        reader.complain(
            Diagnostic::error(
                "reserved-name",
                name.span,
                format!("`{}` can't be a name of your own", short(&name.value)),
            )
            .because("`|`, `+`, `or`, `hands`, `nothing`, `perhaps` and `unknown` have a meaning of their own where names stand.")
            .mend("choose another name"),
        );
    }
}

/// The mend for a fastener nobody knows: what its declaration looks like, and what each kind means.
fn declare_fastener(text: &str) -> String {
    use crate::vocab::class::Words as _;
    let kinds: Vec<String> = Kind::ALL.iter().map(|k| format!("{} ({})", k.word(), k.means())).collect();
    format!(
        "use a word of the vocabulary (`unfasten about fasteners`), or declare it: `fasteners: {{{}: {{kind: reusable}}}}`; kinds: {}",
        crate::text::edit::written(&short(text)),
        kinds.join(", ")
    )
}

pub(in crate::record) fn no_drive(text: &str, at: usize) -> Bad {
    let names = drive_names();
    let (meant, sizes) = (near(text, names.iter().map(|n| &**n)), same_size(text).join(", "));
    let mend = match meant {
        Some(name) => format!("did you mean `{name}`?"),
        None if !sizes.is_empty() => format!("write its short name; of this size there are {sizes}"),
        None => "write a drive such as `PH0`, `T5`, `hex 2 mm` or `slotted 3 mm`; other remarks belong into a note"
            .to_owned(),
    };
    let meant = meant.map(str::to_owned).or(Some(sizes).filter(|s| !s.is_empty()));
    Bad::new(at..at + text.len(), format!("`{}` is not a known screw drive", short(text)))
        .code("unknown-drive")
        .mend(mend)
        .meant(meant)
}

/// Short names of the drives made in the size a word ends with, where the word itself is not known.
fn same_size(text: &str) -> Vec<String> {
    let text = fold(text);
    let Some((word, size)) = text.rsplit_once(' ') else { return Vec::new() };
    if word.contains(' ') || size.is_empty() || !size.bytes().all(|b| b.is_ascii_digit()) {
        return Vec::new();
    }
    let made = words::drives().iter().filter(|d| d.sizes.iter().any(|s| s == size));
    made.filter_map(|d| Some(format!("{}{size}", d.prefix.as_ref()?))).collect()
}

fn drive_names() -> Vec<String> {
    let mut out = Vec::new();
    for word in words::drives() {
        let glued = |size: &String| match (&word.prefix, &word.word) {
            (Some(prefix), _) => format!("{prefix}{size}"),
            (None, short) => format!("{} {size}", short.as_ref().unwrap_or(&word.name)),
        };
        out.extend(word.sizes.iter().map(glued));
        out.extend(word.word.clone());
        out.push(word.name.clone());
    }
    out
}

/// Words and the millimetres behind them: `screw T5 6 mm`.
fn long(text: &str) -> Option<(&str, Exact)> {
    let bare = text.trim_end().strip_suffix("mm")?.trim_end();
    let (words, length) = bare.rsplit_once(' ')?;
    Some((words.trim_end(), millimetres(length).ok()?))
}

/// A length in millimetres, more than nothing: `6`, `2.5`.
pub(in crate::record) fn millimetres(text: &str) -> Result<Exact, Bad> {
    let read = crate::record::forms::numbers::unit(text, &["", "mm"]).filter(|n| !n.is_zero());
    read.ok_or_else(|| {
        Bad::new(0..text.len(), format!("`{}` is not a length", short(text))).mend("write millimetres: `6 mm`")
    })
}

/// A shipped tool that takes a size, with the size in one spelling: `combination wrench 10 mm`.
fn sized(text: &str) -> Option<(&'static vocab::ToolWord, Option<String>)> {
    let text = text.trim();
    let bare = text.strip_suffix("mm").unwrap_or(text).trim_end();
    let (word, size) = bare.rsplit_once(' ')?;
    let word = vocab::tool(word).filter(|w| w.sized)?;
    Some((word, Some(format!("{} mm", drive::millimetres(size)?))))
}

/// The kind of a fastener that states none itself.
pub(super) fn implied_kind(found: &FastenerFound, span: Span, path: &str) -> Fact<Kind> {
    match &found.kind {
        // A kind of the record's own words is one fact, shared by all that are loosened.
        Some(own) if own.stated => own.clone(),
        Some(shipped) => Fact::implied(shipped.known.clone(), span, path),
        None if found.shipped || found.adhesive || found.seal => {
            Fact::implied(Known::OneOf(Kind::STICKY.to_vec()), span, path)
        }
        None => Fact::missing(span, path),
    }
}
