//! What a record leaves open, as questions people can answer: alike ones once for all, in the order a bench answers them.
//!
//! First which parts count, then place and skill, then what the footage shows, in its order; then what is asked or looked up;
//! last what needs the device again. [`asks`] finds them, [`Ask::changes`] makes an answer a change of the record's text.

mod alike;
mod most;
mod opened;
mod order;
mod parts;
mod promises;
mod words;
mod write;

use super::behind::Bearing;
use super::case::{Case, Unknown};
use crate::assess::Plan;
use crate::method::Method;
use crate::record::{Action, Aim, Outcome, Record, Side};
use crate::text::edit::TextChange;
use crate::text::{Sources, fold};
use crate::vocab::Basis;

pub use most::{Most, most};

/// Where an answer is found, in the order questions are asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Found {
    /// For whoever took it apart to say: which parts count.
    Parts,
    /// Of the whole teardown: where, and who could do it.
    Bench,
    /// In the footage.
    Footage,
    /// By asking or looking up.
    LookUp,
    /// By having the device again.
    Device,
}

impl Found {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Parts => "for you to say",
            Self::Bench => "of the whole teardown",
            Self::Footage => "in the footage",
            Self::LookUp => "ask or look up",
            Self::Device => "needs the device again",
        }
    }
}

/// An answer offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// As it is typed.
    pub answer: String,
    /// What it means, where the words alone don't say it.
    pub means: String,
}

impl Offer {
    fn plain(answer: impl Into<String>) -> Self {
        Self { answer: answer.into(), means: String::new() }
    }

    fn new(answer: impl Into<String>, means: impl Into<String>) -> Self {
        Self { answer: answer.into(), means: means.into() }
    }
}

/// One thing a question is about, where it is asked of several.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Of {
    /// Part, or what is done.
    pub name: String,
    /// Path of the value.
    pub path: String,
    /// Second of the footage.
    pub at: Option<u32>,
}

/// Where an answer goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum To {
    /// The same value at each; one may have its own, `battery: 12 EUR; motor: 30 EUR`.
    Same(Vec<Of>),
    /// One value each, in this order, separated by commas.
    Each(Vec<String>),
    /// Whether a drafted action was done; it may be taken out.
    Review(String),
    /// Whom a drafted remark speaks for; it may be put right or taken out.
    Remark(String),
    /// Which of these could be taken off or done as soon as one thing was; `None`: on the closed device.
    Order(Option<String>, Vec<Of>),
    /// Which parts count, and how much.
    Parts(Vec<String>),
    /// Which part fills a role.
    Role(String, Vec<String>),
    /// Whether two names are one part: the path, and the other name.
    Twin(String, String),
    /// One of these words, and what each changes.
    Choice(Vec<(String, TextChange)>),
    /// Whether anybody looked at the promises: nothing is written.
    Looked,
}

/// One question.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ask {
    /// What names it: the path of its value, several apart by `; `, or what a list to tick is about.
    pub key: String,
    /// In plain words.
    pub question: String,
    /// Where the answer is found.
    pub found: Found,
    /// Second of the footage.
    pub at: Option<u32>,
    /// Line of the record; none where nothing stands there yet.
    pub line: Option<u32>,
    /// Answers offered; others may do too.
    pub offers: Vec<Offer>,
    /// How an answer is written; none of those that are written in figures has answers offered.
    pub form: String,
    /// What else may be written where it is asked of several things at once.
    pub of_several: String,
    /// Where an answer goes.
    pub to: To,
    /// A promise: not asked where nobody looked.
    pub promise: bool,
    /// Asked only where the lists to tick left it open.
    pub last: bool,
    /// The questions of the case it settles.
    pub unknowns: Vec<usize>,
}

impl Ask {
    /// The same question of each thing by itself.
    pub fn apart(&self) -> Vec<Self> {
        let To::Same(of) = &self.to else { return vec![self.clone()] };
        let one = |o: &Of| Self {
            key: o.path.clone(),
            question: format!("{} Here of `{}` alone.", self.question, o.name),
            at: o.at.or(self.at),
            of_several: String::new(),
            to: To::Same(vec![o.clone()]),
            ..self.clone()
        };
        of.iter().map(one).collect()
    }

    /// All that is said of how an answer is written.
    pub fn forms(&self) -> String {
        format!("{}{}", self.form, self.of_several)
    }

    /// How many things it is asked of at once.
    pub fn many(&self) -> usize {
        if let To::Same(of) = &self.to { of.len() } else { 1 }
    }
}

/// The range of the verdict once a question has each of the answers offered, all else open; none where answers are not those of a
/// list (numbers, names, things to tick).
pub fn leads(study: &super::Study<'_>, ask: &Ask) -> Vec<super::Range> {
    let of_a_list = matches!(ask.to, To::Same(_) | To::Choice(_)) && !ask.key.ends_with(".after");
    let count = ask.offers.len();
    let fits = |u: &usize| study.case.unknowns[*u].answers.len() == count;
    if !of_a_list || count == 0 || !ask.unknowns.iter().all(fits) {
        return Vec::new();
    }
    (0..count).map(|a| study.range_given(&ask.unknowns.iter().map(|&u| (u, a)).collect::<Vec<_>>())).collect()
}

/// A record with what is open in it.
pub(super) struct Asking<'a> {
    record: &'a Record,
    sources: &'a Sources,
    case: &'a Case,
}

/// A question and what it is sorted by within its group.
type Placed = (usize, Ask);

/// Every question of a record under a method, in order. What no criterion reads is not asked. `case` is that of the record with
/// what its bench sheet takes for granted.
pub fn asks(record: &Record, sources: &Sources, method: &Method) -> Vec<Ask> {
    let on_bench = record.on_bench();
    let case = Case::new(on_bench.as_ref().unwrap_or(record), method);
    asks_of(record, sources, method, &case)
}

/// The same, of a case already made.
pub fn asks_of(record: &Record, sources: &Sources, method: &Method, case: &Case) -> Vec<Ask> {
    let bearing: std::collections::BTreeSet<usize> = {
        let plan = Plan::new(method, &case.base, &case.own_roles);
        Bearing::new(&plan, case).leaves.into_values().flatten().collect()
    };
    let asking = Asking { record, sources, case };
    let open: Vec<usize> = (0..case.unknowns.len()).filter(|u| bearing.contains(u)).collect();
    let mut out: Vec<Placed> = Vec::new();
    asking.parts(&open, &mut out);
    asking.bench(&open, &mut out);
    asking.twins(&open, &mut out);
    asking.reviews(&mut out);
    asking.remarks(&mut out);
    asking.facts(&mut out);
    asking.order(&open, &mut out);
    asking.opened(&open, &mut out);
    asking.alike(&open, &mut out);
    asking.promises(&open, &mut out);
    out.sort_by_key(|(place, ask)| (ask.found, *place));
    let mut asks: Vec<Ask> = Vec::new();
    for (_, ask) in out {
        // One place may be open in two ways; it is asked once.
        match asks.iter_mut().find(|a| a.key == ask.key) {
            Some(first) => first.unknowns.extend(ask.unknowns),
            None => asks.push(ask),
        }
    }
    asks
}

impl<'a> Asking<'a> {
    fn unknown(&self, u: usize) -> &'a Unknown {
        &self.case.unknowns[u]
    }

    fn line(&self, u: usize) -> Option<u32> {
        let unknown = self.unknown(u);
        (!unknown.nowhere(self.sources)).then(|| self.sources.position(unknown.span).line)
    }

    /// The action a path is in, by its place in the record, and what follows its path.
    fn action<'p>(&self, path: &'p str) -> Option<(usize, &'p str)> {
        self.record.actions.iter().enumerate().find_map(|(i, a)| {
            let rest = path.strip_prefix(&*a.path)?;
            rest.strip_prefix('.').map(|field| (i, field))
        })
    }

    /// Drafted actions, each to be held against its words.
    fn reviews(&self, out: &mut Vec<Placed>) {
        for action in self.record.drafted() {
            let Some((place, _)) = self.action(&format!("{}.basis", action.path)) else { continue };
            let told = action.margin.basis == Some(Basis::Told);
            let what = words::work(action, &self.record.tools);
            let outcome = match action.outcome.value {
                Outcome::Done if told => "told of, not done here",
                Outcome::Done if matches!(action.aim, Aim::Free(_)) => "taken off",
                Outcome::Done => "done",
                Outcome::Failed => "tried without success",
                Outcome::NotAttempted => "not tried",
            };
            out.push((
                3 * place,
                Ask {
                    key: format!("{}.basis", action.path),
                    question: format!(
                        "A draft has `{}` {outcome}; {what}. Is that so?{}",
                        action.id,
                        self.said(action)
                    ),
                    found: Found::Footage,
                    at: time(action),
                    line: Some(self.sources.position(action.span).line),
                    offers: vec![
                        Offer::new("seen", "yes, it was so on this bench; what is unknown in it is asked next"),
                        Offer::new("told", "it was shown or described, not done here"),
                        Offer::new("drop", "no such thing was done: take the entry out"),
                    ],
                    form: "or what is wrong set right, fields apart by `;`: `with: PH0; loosen: 2 x clip`".to_owned(),
                    of_several: String::new(),
                    to: To::Review(action.path.clone()),
                    promise: false,
                    last: false,
                    unknowns: Vec::new(),
                },
            ));
        }
    }

    /// Other facts a draft stated.
    fn facts(&self, out: &mut Vec<Placed>) {
        for (path, span) in self.record.drafted_facts() {
            let said = self.sources.excerpt(span);
            let question = match path {
                "device.price" => format!("A draft says the device cost {said} when new. Is that so?"),
                "put back.done" => "A draft says it was put back together. Was it?".to_owned(),
                "put back.powered on" => "A draft says it works again. Does it power on?".to_owned(),
                _ => "A draft says it was tested. Was it?".to_owned(),
            };
            let price = path == "device.price";
            let offers = if price {
                vec![Offer::new(said, "as the draft has it")]
            } else {
                vec![Offer::plain("yes"), Offer::plain("no")]
            };
            out.push((
                usize::MAX - 1,
                Ask {
                    key: path.to_owned(),
                    question,
                    found: Found::Footage,
                    at: None,
                    line: Some(self.sources.position(span).line),
                    offers,
                    form: if price { "an amount and a currency: `79 EUR`" } else { "yes, no or unknown" }.to_owned(),
                    of_several: String::new(),
                    to: To::Same(vec![Of { name: path.to_owned(), path: path.to_owned(), at: None }]),
                    promise: false,
                    last: false,
                    unknowns: Vec::new(),
                },
            ));
        }
    }

    /// Remarks a draft took from the talk: chopped where a caption ends, and for or against by a word.
    fn remarks(&self, out: &mut Vec<Placed>) {
        for remark in self.record.drafted_remarks() {
            let side = match remark.side {
                Side::For => "as one for the device",
                Side::Against => "as one against the device",
                Side::Neither => "as one that speaks neither for nor against",
            };
            out.push((
                usize::MAX - 1,
                Ask {
                    key: remark.path.clone(),
                    question: format!("A draft has a remark, {side}: \"{}\". What is it?", remark.text.value),
                    found: Found::Footage,
                    at: remark.at.as_ref().map(|at| at.from),
                    line: Some(self.sources.position(remark.text.span).line),
                    offers: vec![
                        Offer::new("for", "it speaks for the device"),
                        Offer::new("against", "it speaks against it"),
                        Offer::new("note", "neither"),
                        Offer::new("drop", "no remark: take it out"),
                    ],
                    form: "or in words of your own: `against: the foot is torn each time`".to_owned(),
                    of_several: String::new(),
                    to: To::Remark(remark.path.clone()),
                    promise: false,
                    last: false,
                    unknowns: Vec::new(),
                },
            ));
        }
    }

    /// Two mentions that may be one part.
    fn twins(&self, open: &[usize], out: &mut Vec<Placed>) {
        for &u in open {
            let unknown = self.unknown(u);
            let twin = self.record.parts.iter().find_map(|p| p.same_as.as_ref().filter(|s| s.path == unknown.path));
            let Some(twin) = twin else { continue };
            out.push((
                0,
                Ask {
                    key: unknown.path.clone(),
                    question: unknown.question.clone(),
                    found: Found::Footage,
                    at: None,
                    line: self.line(u),
                    offers: vec![
                        Offer::new("one part", "whatever takes one off takes off the other"),
                        Offer::new("two parts", "each comes off by itself"),
                    ],
                    form: "one of these".to_owned(),
                    of_several: String::new(),
                    to: To::Twin(twin.path.clone(), twin.part.value.clone()),
                    promise: false,
                    last: false,
                    unknowns: vec![u],
                },
            ));
        }
    }

    /// The words a draft put above an action, as comments.
    fn said(&self, action: &Action) -> String {
        const LONGEST: usize = 300;
        let source = self.sources.get(action.span.file);
        let above = &source.text[..action.span.start as usize];
        let mut words: Vec<&str> = above
            .lines()
            .rev()
            .skip(1)
            .map(str::trim)
            .map_while(|l| l.strip_prefix('#'))
            .map(str::trim)
            .filter(|l| !l.is_empty())
            .collect();
        words.reverse();
        let text = words.join(" / ");
        match text.char_indices().nth(LONGEST) {
            _ if text.is_empty() => String::new(),
            None => format!(" Said: {text}"),
            Some((at, _)) => format!(" Said: {}\u{2026}", &text[..at]),
        }
    }

    /// Where it was done and what the work needs: one question.
    fn bench(&self, open: &[usize], out: &mut Vec<Placed>) {
        let of = |path: &str| open.iter().copied().find(|&u| self.unknown(u).path == path);
        let (place, skill) = (of("teardown.place"), of("teardown.skill"));
        let paths: Vec<(usize, &str)> = [(place, "teardown.place"), (skill, "teardown.skill")]
            .into_iter()
            .filter_map(|(u, p)| Some((u?, p)))
            .collect();
        let Some(&(first, _)) = paths.first() else { return };
        let both = paths.len() == 2;
        let mut offers = Vec::new();
        let offered = |u: Option<usize>| -> Vec<&'a str> {
            u.map_or_else(Vec::new, |u| self.unknown(u).answers.iter().map(|a| &*a.label).collect())
        };
        for (list, meaning) in [(offered(place), words::place as fn(&str) -> &str), (offered(skill), words::skill)] {
            offers.extend(list.into_iter().map(|w| Offer::new(w, meaning(w))));
        }
        let question = match (place, skill) {
            (Some(_), Some(_)) => "Where was it taken apart, and what does the work need of whoever does it?",
            (Some(_), None) => "Where was it taken apart?",
            _ => "What does the work need of whoever does it?",
        };
        let skilled = if skill.is_some() { ". The skill is what the work needs, not who you are" } else { "" };
        let written = if both { "both, the place first: `use, layman`" } else { "one of these, or `a | b`" };
        out.push((
            0,
            Ask {
                key: paths.iter().map(|(_, p)| *p).collect::<Vec<_>>().join("; "),
                question: question.to_owned(),
                found: Found::Bench,
                at: None,
                line: self.line(first),
                offers,
                form: format!("{written}{skilled}"),
                of_several: String::new(),
                to: To::Each(paths.iter().map(|(_, p)| (*p).to_owned()).collect()),
                promise: false,
                last: false,
                unknowns: paths.iter().map(|(u, _)| *u).collect(),
            },
        ));
    }
}

fn time(action: &Action) -> Option<u32> {
    action.at.as_ref().map(|at| at.value.from)
}

/// What an action achieves, by its first name.
fn achieved(action: &Action) -> &str {
    action.names().first().copied().unwrap_or_default()
}

fn same(a: &str, b: &str) -> bool {
    fold(a) == fold(b)
}
