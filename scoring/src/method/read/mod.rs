//! Reads method files: every mistake collected, with its place and mend.

mod head;
mod node;
mod points;
mod switches;

use serde::de::DeserializeOwned;

use super::entries::{Number, NumberFields, RuleSaid};
use super::gaps::{Gap, Gaps, Named};
use super::schema::DESCRIBED;
use super::written::{CategoryForm, PlainOrUnread};
use super::{Cited, Method, Rule, check, load, switch};
use crate::exact::Exact;
use crate::text::fields::{Bad, Either, Item, Items, Many, Reader, Stated, Unread, short};
use crate::text::{Diagnostic, FileId, Source, Sources, Span, near};
use crate::vocab::{Category, Certainty};

/// How many other places one complaint marks.
const MOST_PLACES: usize = 5;

/// Reads a method file; `find` gives the text of a shipped id or a file named in `extends`.
///
/// All mistakes are reported, in file order; there is a method only if none is an error. The texts of bases are
/// added to `sources`.
pub fn read(
    sources: &mut Sources,
    file: FileId,
    find: &mut dyn FnMut(&str) -> Option<Source>,
) -> (Option<Method>, Vec<Diagnostic>) {
    let loaded = load::load(sources, file, find);
    let mut reader = Reader::new(sources);
    for diagnostic in loaded.diagnostics {
        reader.complain(diagnostic);
    }
    let mut method = None;
    if let Some(root) = &loaded.root {
        let mut job = Job {
            reader: &mut reader,
            gaps: Gaps::default(),
            named: Named::default(),
            own_categories: Vec::new(),
            uncited: [Vec::new(), Vec::new()],
        };
        method = head::method(&Item::root(root), loaded.partial, &mut job);
        job.tell_uncited();
        let Job { gaps, named, .. } = job;
        if let Some(found) = &method {
            check::check(found, gaps, &named, &mut reader);
        }
    }
    let method = method.filter(|_| !reader.failed()).map(switch::settled);
    let mut found = reader.finish();
    // What the top of the file says of all its blocks is read with each of them.
    found.dedup();
    (method, found)
}

/// One file being read.
struct Job<'r, 's> {
    reader: &'r mut Reader<'s>,
    gaps: Gaps,
    named: Named,
    /// Categories the method brings.
    own_categories: Vec<Category>,
    /// Rules without a source, and without a certainty.
    uncited: [Vec<Span>; 2],
}

/// Source and certainty in force.
#[derive(Clone, Debug, Default)]
struct Cite {
    source: Option<String>,
    clause: Option<String>,
    certainty: Option<Certainty>,
}

impl Job<'_, '_> {
    fn complain(&mut self, diagnostic: Diagnostic) {
        self.reader.complain(diagnostic);
    }

    /// A mapping or value as its struct describes it; what of it is read later stays with its place.
    fn typed<'t, T: DeserializeOwned>(&mut self, item: &Item<'t>) -> Option<(T, Items<'t>)> {
        item.typed(&DESCRIBED, self.reader)
    }

    /// The words that could be read; marks a gap where one can't be.
    fn words<W>(&mut self, words: Many<Stated<W>>, gap: Gap, at: Span) -> Vec<W> {
        if words.iter().any(Stated::is_unread) {
            self.gaps.mark(gap, at);
        }
        words.0.into_iter().filter_map(Stated::read).collect()
    }

    /// One or many categories: of the vocabulary, or of the method's own. Marks a gap where one can't be read.
    fn categories(
        &mut self,
        field: &Option<Unread<Many<CategoryForm>>>,
        items: &Items<'_>,
        gap: Gap,
        at: Span,
    ) -> Vec<Category> {
        let items = items.get(field).map(|i| i.one_or_many()).unwrap_or_default();
        let own = std::mem::take(&mut self.own_categories);
        let category = |text: &str| {
            let found = Category::from_word(text).or_else(|| Category::own(text).filter(|c| own.contains(c)));
            found.ok_or_else(|| {
                let names = || Category::shipped().iter().chain(&own).map(Category::word);
                let mend = match near(text, names()) {
                    Some(name) => format!("did you mean `{name}`?"),
                    None => format!(
                        "write one of: {}; or give the roles of one of your own under `own categories`",
                        names().collect::<Vec<_>>().join(", ")
                    ),
                };
                Bad::new(0..text.len(), format!("`{}` is not a category", short(text))).mend(mend)
            })
        };
        let read: Vec<_> = items.iter().map(|i| i.parse("a category", category, self.reader)).collect();
        self.own_categories = own;
        if read.iter().any(Option::is_none) {
            self.gaps.mark(gap, at);
        }
        read.into_iter().flatten().map(|c| c.value).collect()
    }

    /// Source and certainty of a block, inheriting what it leaves out.
    fn cite(said: &RuleSaid<'_>, around: &Cite) -> Cite {
        let source = source(said.source);
        // A clause is one of a source: a block with a source of its own does not inherit it.
        let clause = said.clause.or(around.clause.as_ref().filter(|_| source.is_none())).cloned();
        let certainty = certainty(said.certainty).or(around.certainty);
        Cite { source: source.or_else(|| around.source.clone()), clause, certainty }
    }

    /// The rule of a block with the switch it depends on.
    fn rule(&mut self, said: &RuleSaid<'_>, head: Span, text: String, cite: &Cite) -> Rule {
        self.named.switches.extend(said.switch.cloned());
        Rule { switch: said.switch.map(|t| t.value.clone()), ..self.ruled(head, text, cite) }
    }

    /// A rule that depends on no switch. Notes where nothing gives source or certainty.
    fn ruled(&mut self, head: Span, text: String, cite: &Cite) -> Rule {
        for (at, missing) in [cite.source.is_none(), cite.certainty.is_none()].into_iter().enumerate() {
            if missing && !self.uncited[at].contains(&head) {
                self.uncited[at].push(head);
            }
        }
        Rule {
            text,
            clause: cite.clause.clone().unwrap_or_default(),
            source: cite.source.clone().unwrap_or_default(),
            certainty: cite.certainty.unwrap_or(Certainty::Own),
            switch: None,
        }
    }

    /// Complains about rules without a source, and without a certainty: once each, since one line at the top mends all.
    fn tell_uncited(&mut self) {
        let fields = [("source", "missing-source"), ("certainty", "missing-certainty")];
        for ((field, code), places) in fields.into_iter().zip(std::mem::take(&mut self.uncited)) {
            let Some((first, rest)) = places.split_first() else {
                continue;
            };
            let others = match rest.len() {
                0 => String::new(),
                1 => ", nor has another one".to_owned(),
                n => format!(", nor have {n} others"),
            };
            let mut complaint = Diagnostic::error(
                code,
                *first,
                format!("this rule has no {field}, nor has anything around it{others}"),
            )
            .because("Every number in a verdict says where it comes from and how sure we are.")
            .mend(format!("add `{field}:` here, or at the top of the file for all that says nothing else"));
            for place in rest.iter().take(MOST_PLACES) {
                complaint = complaint.also(*place, "here too");
            }
            self.complain(complaint);
        }
    }

    /// A number: plain, `not read` (which points can't be, see [`Self::known_number`]), or `{is, source, certainty, note}`.
    fn number(&mut self, item: &Item<'_>) -> Option<Cited<Exact>> {
        let span = item.node.span;
        let plain = Cited { value: Exact::one(), certainty: None, source: None, note: None, unread: false, span };
        Some(match self.typed::<Number>(item)?.0 {
            Either::Short(PlainOrUnread::NotRead) => Cited { note: Some("not read".to_owned()), unread: true, ..plain },
            Either::Short(PlainOrUnread::Number(value)) => Cited { value, ..plain },
            Either::Mapping(NumberFields { is, source: from, certainty: how_sure, note }) => {
                Cited { value: is.0?.0, certainty: certainty(&how_sure), source: source(&from), note, ..plain }
            }
        })
    }

    /// As [`Self::number`], where what nobody read can't stand.
    fn known_number(&mut self, item: &Item<'_>) -> Option<Cited<Exact>> {
        let found = self.number(item)?;
        if found.unread {
            self.complain(
                Diagnostic::error("wrong-value", found.span, "only a weight may be `not read`")
                    .because("Nothing could be scored by it.")
                    .mend("write the number, with its certainty"),
            );
            return None;
        }
        Some(found)
    }
}

/// The source a mapping states; one that can't be read is told, so it counts as stated.
fn source(said: &Stated<String>) -> Option<String> {
    match said {
        Stated::LeftOut => None,
        Stated::Unread => Some(String::new()),
        Stated::Read(source) => Some(source.clone()),
    }
}

/// The certainty a mapping states; one that can't be read is told, so it counts as stated.
fn certainty(said: &Stated<Certainty>) -> Option<Certainty> {
    match said {
        Stated::LeftOut => None,
        Stated::Unread => Some(Certainty::Own),
        Stated::Read(certainty) => Some(*certainty),
    }
}

/// From the start of a name to the end of its value.
fn joined(name: Span, value: Span) -> Span {
    Span { start: name.start.min(value.start), ..value }
}

/// Fills in the certainty and source of a number from the rule it belongs to.
fn under(mut number: Cited<Exact>, cite: &Cite) -> Cited<Exact> {
    number.certainty = number.certainty.or(cite.certainty);
    number.source = number.source.or_else(|| cite.source.clone());
    number
}
