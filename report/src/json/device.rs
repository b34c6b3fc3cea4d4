//! What stands about one device: its verdicts with their trees, and once each what those refer to.
//!
//! A field that has nothing to say is left out.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::view::View;
use crate::view::types::{self, Assessed, LedgerRow};

/// A device by its record, and all its verdicts. Rules, evidence, actions and routes stand once; others refer to them by their
/// place in these lists, from 0.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Device {
    /// The record as it was named.
    pub record: String,
    /// Maker and name.
    pub device: String,
    /// Product category.
    pub category: String,
    /// The bench sheet that supplied what the record leaves open.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sheet: Option<String>,
    /// The verdict that leads.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub headline: Option<Headline>,
    /// Its reason in one sentence.
    pub reason: String,
    /// Points it lacks to the best, by criterion and by part; each list adds up to all of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lost: Option<Losses>,
    /// What the leading verdict would gain if one cause alone were as good as can be, what gains most first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub causes: Vec<Cause>,
    /// One for each method, that which leads first.
    pub assessments: Vec<Assessment>,
    /// Rules, with what they read and how it becomes points.
    pub rules: Vec<Rule>,
    /// Places of the record that decided something.
    pub evidence: Vec<Evidence>,
    /// Actions on routes.
    pub actions: Vec<Action>,
    /// Reference routes.
    pub routes: Vec<Way>,
    /// Program and version.
    pub program: String,
    /// What this is not.
    pub status: String,
}

/// The verdict that leads.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Headline {
    /// Its method.
    pub method: String,
    /// `bench`: what the bench shows alone; `full`: with the maker's promises; `only`: the method makes no difference.
    pub verdict: &'static str,
    /// In words: `5.1 to 6.0`.
    pub range: String,
    /// Its scale: `of 10`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub out_of: String,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// The same without the bench sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_sheet: Option<String>,
}

/// Lost points.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Losses {
    /// By criterion.
    pub criteria: Vec<Loss>,
    /// By part.
    pub parts: Vec<Loss>,
}

/// Points lost on one thing.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Loss {
    /// Criterion or part.
    pub title: String,
    /// Lost at the low end of the verdict.
    pub low: String,
    /// Lost at the high end: for sure.
    pub high: String,
    /// It is a limit that binds.
    #[serde(skip_serializing_if = "no")]
    pub limit: bool,
}

/// Something that costs points.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Cause {
    /// In words.
    pub text: String,
    /// What mending it alone would gain at the low and the high end.
    pub alone: [String; 2],
    /// What it adds once those above it are mended.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub adds: Option<[String; 2]>,
}

/// One method applied to the device.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Assessment {
    /// Method id.
    pub method: String,
    /// Its title.
    pub title: String,
    /// Its edition.
    pub edition: String,
    /// Low end as the method shows it; empty where nothing could be scored.
    pub low: String,
    /// High end.
    pub high: String,
    /// Low end as a fraction.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_low: Option<String>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_high: Option<String>,
    /// Class at the low end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class_low: Option<String>,
    /// Class at the high end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class_high: Option<String>,
    /// As it is said: `would fail (applies to devices first supplied from 18 February 2027)`.
    pub said: String,
    /// The bench verdict, where the method asks something of the maker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bench: Option<Bench>,
    /// The same without the bench sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_sheet: Option<String>,
    /// Both ends are attained; false marks outer bounds.
    pub attained: bool,
    /// Every route behind it is proved shortest.
    pub proved: bool,
    /// The weakest certainty among its rules, in words.
    pub weakest: String,
    /// SHA-256 over record, method, readings and program.
    pub fingerprint: String,
    /// The rule binds devices first supplied on this day or later.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supplied_from: Option<String>,
    /// Whether it binds this one: `yes`, `no`, `open`.
    pub binds: String,
    /// Why the verdict is only what would be.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub standing: String,
    /// Why the result is for information only.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub information_only: String,
    /// What the source of the method asks and the method does not cover.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_covered: Vec<String>,
    /// What a verdict of pass or fail rests on that nobody saw or read.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rests_on: Vec<String>,
    /// The reason in one sentence.
    pub reason: String,
    /// What moves it.
    pub effects: Effects,
    /// Open facts, the most useful question first.
    pub unknowns: Vec<Unknown>,
    /// Open readings.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub switches: Vec<Switch>,
    /// The verdict and the criteria below it.
    pub root: Node,
}

/// The bench verdict beside a full one.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Bench {
    /// In words.
    pub range: String,
    /// Open facts that bear on it.
    pub unknowns: usize,
    /// Both ends are attained.
    pub attained: bool,
    /// The same without the bench sheet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without_sheet: Option<String>,
}

/// What moves a verdict. No criterion stands in two of the three.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Effects {
    /// What drags it down, most first.
    pub drags: Vec<Effect>,
    /// What holds it up.
    pub holds: Vec<Effect>,
    /// What is open.
    pub open: Vec<Effect>,
}

/// A contribution lost or kept.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Effect {
    /// Id of the criterion.
    pub node: String,
    /// Criterion and part.
    pub what: String,
    /// What was read.
    pub said: String,
    /// Points, in words; the verdict for requirements.
    pub points: String,
    /// How far it is to more points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub better: Option<String>,
}

/// A fact nobody established.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Unknown {
    /// Its number here, from 1: nodes refer to it.
    pub number: usize,
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// The question.
    pub question: String,
    /// Possible answers.
    pub answers: Vec<String>,
    /// The answer at the low end.
    pub low: String,
    /// The answer at the high end.
    pub high: String,
    /// Points still open after the least helpful answer.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub worst: String,
    /// Points still open on average over the answers.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub mean: String,
}

/// An open reading of a rule.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Switch {
    /// Its name.
    pub id: String,
    /// What is open.
    pub text: String,
    /// The option in force.
    pub chosen: String,
    /// The others, and the verdict under each.
    pub others: Vec<Reading>,
    /// Source and certainty of the choice.
    pub source: String,
}

/// Another option of an open reading.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Reading {
    /// In words.
    pub means: String,
    /// The verdict under it.
    pub range: String,
    /// Its class.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub class: String,
    /// The shown verdict or the class is another one.
    pub changes: bool,
}

/// A scored node.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Node {
    /// Unique in the assessment: `S_F/battery`.
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub role: Option<String>,
    /// `product-related` or `support-related`; left out where it is that of the node above.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<&'static str>,
    /// Weight in the node above; left out: 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weight: Option<String>,
    /// Low end as shown; left out: nothing is scored there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low: Option<String>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high: Option<String>,
    /// Low end as a fraction, where it is not exactly what is shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_low: Option<String>,
    /// High end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact_high: Option<String>,
    /// At least one end is a bound that no completion is known to have.
    #[serde(skip_serializing_if = "no")]
    pub bound: bool,
    /// Place of its rule in `rules`.
    pub rule: usize,
    /// Numbers of the unknowns that bear on it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub unknowns: Vec<usize>,
    /// One entry where both ends of the verdict rest on the same, else two.
    pub ends: Vec<End>,
    /// How its children make it: `(2 × 10.00 + 1 × 5.00) / 3 = 8.33`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub how: String,
    /// What it is made of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub children: Vec<Node>,
}

/// A node at one end of the verdict, or at both.
#[derive(Debug, Serialize, JsonSchema)]
pub struct End {
    /// `low` or `high`; left out: both.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end: Option<&'static str>,
    /// Points as shown, where they are not the end of the node itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<String>,
    /// What was read, in words.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub said: String,
    /// Note of the row that gave the points.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// How far it is to the rows beside it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub margins: Vec<Margin>,
    /// Id of the child that decided.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decided: Option<String>,
    /// Places in `evidence`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub evidence: Vec<usize>,
    /// Place in `routes` of the route it was read on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub route: Option<usize>,
}

/// How far a value is from the row beside it.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Margin {
    /// By how much the value would have to change.
    pub by: String,
    /// Its unit.
    #[serde(skip_serializing_if = "str::is_empty")]
    pub unit: &'static str,
    /// `more`, `less` or `fewer`.
    pub way: &'static str,
    /// Points there as shown.
    pub points: String,
}

/// A rule, what it reads, and how that becomes points.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Rule {
    /// In plain words.
    pub text: String,
    /// The measure read, or how the children are combined.
    pub kind: String,
    /// `up to 2: 10; up to 4: 8; more: 0`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub table: String,
    /// Clause of the source.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub clause: String,
    /// Where it comes from.
    pub source: String,
    /// How sure that is.
    pub certainty: String,
    /// The open reading it depends on.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub switch: Option<String>,
}

/// A place of the record that decided something.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Evidence {
    /// Data path.
    pub path: String,
    /// `file:line:column`.
    pub place: String,
    /// The line, shortened.
    pub excerpt: String,
    /// What it says, in words.
    pub text: String,
    /// Time in the footage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Where the fact comes from: `seen`, `told`, `stated`, `planned`, `drafted`, `assumed`.
    pub basis: String,
    /// Source, where stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

/// An action on a route.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Action {
    /// Id.
    pub id: String,
    /// What is done.
    pub what: String,
    /// Fasteners loosened.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub loosens: String,
    /// Time in the footage.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<String>,
    /// Hazards.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub hazards: String,
    /// Parts it destroys.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub destroys: String,
    /// It makes the device safe to work on.
    #[serde(skip_serializing_if = "no")]
    pub makes_safe: bool,
    /// `file:line:column`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub place: String,
}

/// A reference route.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Way {
    /// Target part.
    pub target: String,
    /// In words: `9 steps`, `can't be reached`.
    pub steps: String,
    /// Counted steps.
    pub count: u32,
    /// `proved shortest`, `best found, at least 7`.
    pub certificate: String,
    /// Reached without damage, only by damage, or not at all.
    pub reach: &'static str,
    /// What to know before the first step: hazards on the way, and what makes the device safe.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub first: String,
    /// Its operations in order.
    pub operations: Vec<Operation>,
}

/// One operation on a route.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Operation {
    /// Place of its action in `actions`.
    pub action: usize,
    /// Tools with their settings, `hands` for none.
    pub tools: String,
    /// Steps counted here.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts, or why not.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub why: String,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "asked by serde with a reference")]
fn no(flag: &bool) -> bool {
    !flag
}

fn there(text: &str) -> Option<String> {
    (!text.is_empty()).then(|| text.to_owned())
}

/// Things that stand once, in the order they were met.
struct Once<T>(BTreeMap<T, usize>);

impl<T: Ord> Once<T> {
    fn place(&mut self, thing: T) -> usize {
        let next = self.0.len();
        *self.0.entry(thing).or_insert(next)
    }

    fn list(self) -> Vec<T> {
        let mut all: Vec<(T, usize)> = self.0.into_iter().collect();
        all.sort_by_key(|(_, place)| *place);
        all.into_iter().map(|(thing, _)| thing).collect()
    }
}

/// What nodes refer to.
struct Shared {
    rules: Once<Rule>,
    evidence: Once<Evidence>,
}

impl Device {
    /// What a report's view says of its device.
    pub fn of(view: &View) -> Self {
        let mut shared = Shared { rules: Once(BTreeMap::new()), evidence: Once(BTreeMap::new()) };
        let assessments = view.assessments.iter().map(|a| assessment(a, &mut shared)).collect();
        let mut actions = Once(BTreeMap::new());
        let routes = view.routes.iter().map(|r| way(r, &mut actions)).collect();
        let first = view.assessments.first();
        let brief = view.brief.as_ref();
        let loss = |rows: &[types::LostRow]| -> Vec<Loss> {
            let one = |r: &types::LostRow| Loss {
                title: r.title.clone(),
                low: r.low.clone(),
                high: r.high.clone(),
                limit: r.limit,
            };
            rows.iter().map(one).collect()
        };
        Self {
            record: view.record.clone(),
            device: view.title.clone(),
            category: view.category.clone(),
            sheet: first.and_then(|a| a.sheet.clone()),
            headline: first.map(|a| headline(view, a)),
            reason: first.map_or_else(String::new, |a| a.reason.clone()),
            lost: brief.map(|b| Losses { criteria: loss(&b.criteria), parts: loss(&b.parts_lost) }),
            causes: brief.map_or_else(Vec::new, |b| {
                let cause = |r: &types::Rung| Cause {
                    text: r.text.clone(),
                    alone: r.alone.clone(),
                    adds: Some(r.adds.clone()).filter(|a| !a[0].is_empty()),
                };
                b.ladder.iter().map(cause).collect()
            }),
            assessments,
            rules: shared.rules.list(),
            evidence: shared.evidence.list(),
            actions: actions.list(),
            routes,
            program: view.program.clone(),
            status: view.status.clone(),
        }
    }
}

fn headline(view: &View, a: &Assessed) -> Headline {
    let bench = a.headline.as_ref();
    let (range, out_of, attained) = match (&view.brief, bench) {
        (Some(b), _) => (b.range.clone(), b.out_of.clone(), b.attained),
        (None, Some(bench)) => (bench.range.clone(), bench.out_of.clone(), bench.attained),
        (None, None) => (a.range.clone(), a.out_of.clone(), a.attained),
    };
    Headline {
        method: a.method.clone(),
        verdict: if bench.is_some() { "bench" } else { "only" },
        range,
        out_of,
        attained,
        without_sheet: bench.map_or_else(|| a.without.clone(), |b| b.without.clone()),
    }
}

fn assessment(a: &Assessed, shared: &mut Shared) -> Assessment {
    let mut nodes = BTreeMap::new();
    anchors(&a.root, &mut nodes);
    let effects = |list: &[types::Effect]| -> Vec<Effect> {
        list.iter()
            .map(|e| Effect {
                node: nodes.get(e.anchor.as_str()).map_or_else(String::new, |id| (*id).to_owned()),
                what: e.what.clone(),
                said: e.said.clone(),
                points: e.points.clone(),
                better: e.better.clone(),
            })
            .collect()
    };
    Assessment {
        method: a.method.clone(),
        title: a.title.clone(),
        edition: a.edition.clone(),
        low: a.low.clone(),
        high: a.high.clone(),
        exact_low: there(&a.exact_low),
        exact_high: there(&a.exact_high),
        class_low: a.class_low.clone(),
        class_high: a.class_high.clone(),
        said: crate::text::total(a),
        bench: a.headline.as_ref().map(|b| Bench {
            range: b.range.clone(),
            unknowns: b.unknowns,
            attained: b.attained,
            without_sheet: b.without.clone(),
        }),
        without_sheet: a.without.clone(),
        attained: a.attained,
        proved: a.proved,
        weakest: a.weakest.clone(),
        fingerprint: a.fingerprint.clone(),
        supplied_from: there(&a.supplied_from),
        binds: a.binds.clone(),
        standing: a.standing.clone(),
        information_only: a.information_only.clone(),
        not_covered: a.not_covered.clone(),
        rests_on: a.rests_on.clone(),
        reason: a.reason.clone(),
        effects: Effects { drags: effects(&a.drags), holds: effects(&a.holds), open: effects(&a.open) },
        unknowns: a.unknowns.iter().map(unknown).collect(),
        switches: a.switches.iter().map(switch).collect(),
        root: node(&a.root, None, shared),
    }
}

fn anchors<'n>(node: &'n types::Node, out: &mut BTreeMap<&'n str, &'n str>) {
    out.insert(&node.anchor, &node.id);
    node.children.iter().for_each(|c| anchors(c, out));
}

fn unknown(u: &types::Unknown) -> Unknown {
    Unknown {
        number: u.number,
        path: u.path.clone(),
        place: u.place.clone(),
        question: u.question.clone(),
        answers: u.answers.clone(),
        low: u.low.clone(),
        high: u.high.clone(),
        worst: u.worst.clone(),
        mean: u.mean.clone(),
    }
}

fn switch(s: &types::Switch) -> Switch {
    let reading = |r: &types::Reading| Reading {
        means: r.means.clone(),
        range: r.range.clone(),
        class: r.class.clone(),
        changes: r.changes,
    };
    Switch {
        id: s.id.clone(),
        text: s.text.clone(),
        chosen: s.chosen.clone(),
        others: s.others.iter().map(reading).collect(),
        source: s.source.clone(),
    }
}

/// A fraction that says more than what is shown: not that `10` is `10.00`, nor what `pass` counts as.
fn more(exact: Option<&String>, shown: Option<&String>) -> Option<String> {
    use scoring::exact::Exact;
    let exact = exact?;
    let said = Exact::parse(shown?);
    (said.is_some() && said != Exact::parse(exact)).then(|| exact.clone())
}

fn node(n: &types::Node, above: Option<&'static str>, shared: &mut Shared) -> Node {
    let rule = Rule {
        text: n.rule.text.clone(),
        kind: n.kind.clone(),
        table: n.table.clone(),
        clause: n.rule.clause.clone(),
        source: n.rule.source.clone(),
        certainty: n.rule.certainty.clone(),
        switch: n.rule.switch.clone(),
    };
    Node {
        id: n.id.clone(),
        title: n.title.clone(),
        role: n.role.clone(),
        group: n.group.filter(|g| Some(*g) != above),
        weight: Some(n.weight.clone()).filter(|w| w != "1"),
        low: n.low.clone(),
        high: n.high.clone(),
        exact_low: more(n.exact_low.as_ref(), n.low.as_ref()),
        exact_high: more(n.exact_high.as_ref(), n.high.as_ref()),
        bound: !n.attained,
        rule: shared.rules.place(rule),
        unknowns: n.unknowns.clone(),
        ends: n.ends.iter().map(|e| end(e, n, shared)).collect(),
        how: n.how.clone(),
        children: n.children.iter().map(|c| node(c, n.group, shared)).collect(),
    }
}

fn end(e: &types::End, n: &types::Node, shared: &mut Shared) -> End {
    let own = match e.end {
        "low" => e.points == n.low,
        "high" => e.points == n.high,
        _ => e.points == n.low && e.points == n.high,
    };
    let evidence = |v: &types::Evidence| Evidence {
        path: v.path.clone(),
        place: v.place.clone(),
        excerpt: v.excerpt.clone(),
        text: v.text.clone(),
        at: v.at.clone(),
        basis: v.basis.clone(),
        source: v.source.clone(),
    };
    let margin = |m: &types::Margin| Margin { by: m.by.clone(), unit: m.unit, way: m.way, points: m.points.clone() };
    End {
        end: Some(e.end).filter(|e| *e != "both"),
        points: e.points.clone().filter(|_| !own),
        said: e.said.clone(),
        note: e.note.clone(),
        margins: e.margins.iter().map(margin).collect(),
        decided: e.decided.clone(),
        evidence: e.evidence.iter().map(|v| shared.evidence.place(evidence(v))).collect(),
        route: e.route,
    }
}

fn way(r: &types::Route, actions: &mut Once<Action>) -> Way {
    let mut operations: Vec<Operation> = Vec::new();
    for line in &r.lines {
        // Only the first operation of an action says what is done.
        let action = match operations.last() {
            Some(last) if line.what.is_empty() => last.action,
            _ => actions.place(action(line)),
        };
        operations.push(Operation {
            action,
            tools: line.tools.clone(),
            counted: line.counted,
            total: line.total,
            why: line.why.clone(),
        });
    }
    Way {
        target: r.target.clone(),
        steps: r.steps.clone(),
        count: r.count,
        certificate: r.certificate.clone(),
        reach: r.reach,
        first: r.first.clone(),
        operations,
    }
}

fn action(line: &LedgerRow) -> Action {
    Action {
        id: line.action.clone(),
        what: line.what.clone(),
        loosens: line.loosens.clone(),
        at: line.at.clone(),
        hazards: line.hazards.clone(),
        destroys: line.destroys.clone(),
        makes_safe: line.makes_safe,
        place: line.place.clone(),
    }
}
