//! A record to fill in: every fact some methods read for a category, each unknown until somebody establishes it.
//!
//! What is asked for comes from the methods themselves, so a method of somebody's own gets its facts asked for too.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use scoring::assess::plan::roles_asked;
use scoring::method::{Criterion, CriterionKind, Measure, Method};
use scoring::vocab::promise::Of;
use scoring::vocab::{Category, Form, Promise};

use crate::terminal::wrap;
use crate::words::skeleton as say;

const PAIRING: Measure = Measure::Promise(Promise::Pairing);

/// Columns of comment text.
const COMMENT: usize = 100;

/// Columns of prose above a block.
const PROSE: usize = 76;
/// Column where comments beside values start.
const BESIDE: usize = 40;

/// What the schema of records is called beside a record.
const SCHEMA: &str = "unfasten-record.schema.json";

/// The text of a record to fill in.
pub(crate) fn record(category: Category, methods: &[&Method]) -> String {
    let asked = Asked::new(category, methods);
    // The comment by which editors find the schema of a YAML file.
    let mut out = format!("# yaml-language-server: $schema={SCHEMA}\n# {}\n", say::schema(SCHEMA));
    let ids: Vec<&str> = methods.iter().map(|m| m.id.value.as_str()).collect();
    comment(&mut out, &say::head(&category.to_string(), &ids));
    out.push_str("unfasten: 1\n");
    device(&mut out, category, &asked);
    teardown(&mut out, &asked);
    parts(&mut out, category, &asked);
    actions(&mut out, &asked);
    support(&mut out, &asked);
    marks(&mut out, category, methods);
    out.push_str("\nput back: {done: unknown, powered on: unknown, tested: unknown}\n");
    let [verdict, what] = say::OWN_VERDICT;
    let _ = writeln!(out, "# own verdict: {verdict}   # {what}");
    let [against, for_it] = say::REMARKS;
    let _ = writeln!(out, "# remarks:\n#   - {{against: {against}, at: 1:20}}\n#   - {{for: {for_it}, at: 8:10}}");
    out
}

/// What the methods ask about a category.
struct Asked {
    measures: BTreeSet<Measure>,
    /// Roles of a device that doesn't fold, and what each method says they weigh.
    roles: Vec<(String, Vec<String>)>,
    /// Roles only a folding device has.
    folding: Vec<String>,
}

impl Asked {
    fn new(category: Category, methods: &[&Method]) -> Self {
        let mut asked = Self { measures: BTreeSet::new(), roles: Vec::new(), folding: Vec::new() };
        for method in methods {
            for form in [Form::NotFolding, Form::Folding] {
                let device = method.for_device(category, form);
                measures(&device.root, &mut asked.measures);
                for (key, weight) in roles_asked(&device, category, form, &[]) {
                    let said = weight.map(|w| say::weight(&w.plain(), &method.id.value));
                    for role in key.split('|').map(str::trim) {
                        let only_folding =
                            scoring::vocab::role(category, role).is_some_and(|(r, _)| r.folding) && category.folds();
                        if !only_folding {
                            asked.role(role, said.as_deref().filter(|_| form == Form::NotFolding));
                        } else if !asked.folding.iter().any(|r| r == role) {
                            asked.folding.push(role.to_owned());
                        }
                    }
                }
            }
        }
        // A category without roles of its own: the commonest ones, to be replaced.
        if category.names_own_roles() && asked.roles.is_empty() && asked.routes() {
            for role in ["battery", "back cover"] {
                asked.role(role, None);
            }
        }
        asked
    }

    fn role(&mut self, role: &str, said: Option<&str>) {
        let at = self.roles.iter().position(|(r, _)| r == role).unwrap_or_else(|| {
            self.roles.push((role.to_owned(), Vec::new()));
            self.roles.len() - 1
        });
        let list = &mut self.roles[at].1;
        if let Some(said) = said.filter(|s| !list.iter().any(|l| l == s)) {
            list.push(said.to_owned());
        }
    }

    fn reads(&self, measure: &Measure) -> bool {
        self.measures.contains(measure)
    }

    /// Whether some method reads a fact.
    fn fact(&self, promise: Promise) -> bool {
        self.measures.iter().any(|m| m.facts().contains(&promise))
    }

    fn any(&self, list: &[Measure]) -> bool {
        list.iter().any(|m| self.reads(m))
    }

    fn routes(&self) -> bool {
        self.measures.iter().any(Measure::on_route)
    }
}

fn measures(node: &Criterion, out: &mut BTreeSet<Measure>) {
    match &node.kind {
        CriterionKind::Group { of, .. } => of.iter().for_each(|n| measures(n, out)),
        CriterionKind::Each { node, .. } => measures(node, out),
        CriterionKind::Leaf { measure, .. } => {
            out.insert(measure.clone());
        }
    }
}

fn device(out: &mut String, category: Category, asked: &Asked) {
    out.push_str("\ndevice:\n");
    let [unnamed, what] = say::NAME;
    field(out, 2, "name", unnamed, what);
    field(out, 2, "category", &category.to_string(), "");
    if category.folds() {
        field(out, 2, "form", "not folding", say::FORM);
    }
    let _ = writeln!(out, "  # maker:\n  # model:\n  # variant:\n  # region:\n  # condition: {}", say::CONDITION);
    if asked.fact(Promise::Price) {
        field(out, 2, "price", "unknown", say::PRICE);
    }
    let ingress = Promise::of(Of::Ingress).any(|p| asked.fact(p));
    if ingress || asked.reads(&Measure::Bundling) {
        field(out, 2, "ingress", "unknown", say::INGRESS);
    }
    inline(out, asked, "battery", Of::Battery, say::BATTERY);
    inline(out, asked, "endurance", Of::Endurance, say::ENDURANCE);
}

fn inline(out: &mut String, asked: &Asked, name: &str, of: Of, words: &str) {
    let read = Promise::of(of).filter(|p| asked.fact(*p));
    let read: Vec<String> = read.map(|p| format!("{}: unknown", p.row().field)).collect();
    if !read.is_empty() {
        let _ = writeln!(out, "  # {words}\n  {name}: {{{}}}", read.join(", "));
    }
}

fn teardown(out: &mut String, asked: &Asked) {
    let head = if asked.routes() { "teardown:" } else { "# teardown:" };
    let _ = writeln!(
        out,
        "\n{head}\n  # date: 2026-03-02\n  # by: \n  # video: teardown.mp4               # {}",
        say::VIDEO
    );
    if asked.routes() {
        field(out, 2, "place", "unknown", say::PLACE);
        field(out, 2, "skill", "unknown", say::SKILL);
    }
}

fn parts(out: &mut String, category: Category, asked: &Asked) {
    if asked.roles.is_empty() {
        return;
    }
    out.push('\n');
    comment(out, say::PARTS);
    if asked.any(&[Measure::Paired, PAIRING, Measure::Depth]) {
        comment(out, say::PAIRED);
    }
    comment(out, say::UNCOMMENT_PARTS);
    let paired = asked.any(&[Measure::Paired, PAIRING]);
    let mut body = "parts:\n".to_owned();
    for (role, weights) in &asked.roles {
        let pairing = if paired { ", paired: unknown" } else { "" };
        let note = if weights.is_empty() { String::new() } else { say::weighs(weights) };
        field(&mut body, 2, role, &format!("{{role: {role}{pairing}}}"), &note);
    }
    commented(out, &body);
    if !asked.folding.is_empty() {
        comment(out, &say::folding(&asked.folding));
    }
    comment(out, say::ABSENT);
    let _ = writeln!(out, "absent: [{}]", asked.folding.join(", "));
    if category.names_own_roles() {
        comment(out, say::OWN_ROLES);
        out.push_str("roles:\n");
        for (role, _) in &asked.roles {
            let _ = writeln!(out, "  {role}: {{weight: 1}}");
        }
    }
}

fn actions(out: &mut String, asked: &Asked) {
    // Asked for even where no route is read: a part nothing frees would be a complaint.
    if asked.roles.is_empty() {
        return;
    }
    out.push('\n');
    comment(out, say::ACTIONS);
    for line in say::ACTION {
        let _ = writeln!(out, "#   {line}");
    }
    let mut body = "actions:\n".to_owned();
    for (role, _) in &asked.roles {
        let _ = writeln!(body, "  - free: {role}\n    with: unknown\n    loosen: unknown\n    after: unknown");
    }
    commented(out, &body);
}

fn support(out: &mut String, asked: &Asked) {
    let mut body = String::new();
    let places = [
        (Of::Part, 6, format!("  spare parts:\n    # {}\n    every part:\n", say::PER_PART)),
        (Of::Information, 4, "  information:\n".to_owned()),
        (Of::Support, 2, String::new()),
    ];
    for (place, indent, head) in places {
        let asked: Vec<Promise> = Promise::of(place).filter(|p| asked.fact(*p)).collect();
        if !asked.is_empty() {
            body.push_str(&head);
        }
        for promise in asked {
            field(&mut body, indent, promise.row().field, "unknown", &answers(promise));
        }
    }
    if !body.is_empty() {
        out.push('\n');
        comment(out, say::SUPPORT);
        out.push_str("support:\n");
        out.push_str(&body);
    }
}

/// What may be written for a fact: its words, or what it is with an example.
fn answers(promise: Promise) -> String {
    let row = promise.row();
    match row.holds.words() {
        words if words.is_empty() => say::such_as(row.doc.trim_end_matches('.'), row.holds.example()),
        words => words.join(", "),
    }
}

fn marks(out: &mut String, category: Category, methods: &[&Method]) {
    let mut body = String::new();
    for method in methods {
        let mut read = BTreeSet::new();
        measures(&method.for_device(category, Form::NotFolding).root, &mut read);
        let rows: Vec<String> = read
            .into_iter()
            .filter_map(|m| match m {
                Measure::Mark(row) => Some(format!("    \"{row}\": unknown\n")),
                _ => None,
            })
            .collect();
        if !rows.is_empty() {
            let _ = write!(body, "  {}:\n{}", method.id.value, rows.concat());
        }
    }
    if !body.is_empty() {
        out.push('\n');
        comment(out, say::MARKS);
        out.push_str("marks:\n");
        out.push_str(&body);
    }
}

/// A field with its comment in a column where it fits, else above.
fn field(out: &mut String, indent: usize, name: &str, value: &str, words: &str) {
    let line = format!("{}{name}: {value}", " ".repeat(indent));
    if words.is_empty() {
        let _ = writeln!(out, "{line}");
    } else if line.len().max(BESIDE) + words.len() + 3 <= COMMENT {
        let _ = writeln!(out, "{line:<BESIDE$} # {words}");
    } else {
        for comment in wrap(words, PROSE) {
            let _ = writeln!(out, "{}# {comment}", " ".repeat(indent));
        }
        let _ = writeln!(out, "{line}");
    }
}

/// Lines nobody has filled in yet: as comments, so that a form handed in as it is says nothing.
fn commented(out: &mut String, body: &str) {
    for line in body.lines() {
        let _ = writeln!(out, "# {line}");
    }
}

fn comment(out: &mut String, words: &str) {
    for line in wrap(words, PROSE) {
        let _ = writeln!(out, "# {line}");
    }
}
