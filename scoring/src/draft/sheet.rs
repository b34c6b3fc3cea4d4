//! A draft as rows, ready to be written as a record or as a table to change by hand.

use super::Draft;
use super::actions::Aside;
use super::cues::Kind;
use super::said::{self, Proposed};
use super::segment::{DraftedAction, Fastener, Status, same};
use crate::text::fold;
use crate::vocab::{self, Category};

/// Words with their time in seconds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quote {
    /// Second it was said.
    pub at: Option<u32>,
    /// As it stands in the source.
    pub words: String,
}

/// One action.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetRow {
    /// First and last second.
    pub at: Option<(u32, u32)>,
    /// Frees its part; else a `do`.
    pub frees: bool,
    /// The part, or what is done.
    pub name: String,
    /// Tools as a record writes them; empty: unsaid.
    pub tools: Vec<String>,
    /// Fasteners as a record writes them; `None`: unsaid, empty: nothing holds it.
    pub fasteners: Option<Vec<String>>,
    /// How far it was done.
    pub status: Status,
    /// Why it failed or was not tried.
    pub because: Option<String>,
    /// Other names it was given.
    pub also: Vec<String>,
    /// What was said of it.
    pub words: Vec<Quote>,
    /// What the way back needs, as it was said, and whether it is something to buy.
    pub refit: Vec<(bool, String)>,
    /// Somebody held it against what was said.
    pub reviewed: bool,
}

impl SheetRow {
    /// A row of which only the time and the words are known.
    pub(super) fn blank(at: Option<(u32, u32)>, words: Vec<Quote>) -> Self {
        Self {
            at,
            frees: true,
            name: String::new(),
            tools: Vec::new(),
            fasteners: None,
            status: Status::Done,
            because: None,
            also: Vec::new(),
            words,
            refit: Vec::new(),
            reviewed: false,
        }
    }

    /// Adds what another row says of the same action.
    pub(super) fn join(&mut self, more: Self) {
        for tool in more.tools {
            if !self.tools.contains(&tool) {
                self.tools.push(tool);
            }
        }
        if let Some(held) = more.fasteners {
            self.fasteners.get_or_insert_default().extend(held);
        }
        if let (Some((from, to)), Some((a, b))) = (self.at, more.at) {
            self.at = Some((from.min(a), to.max(b)));
        }
        self.words.extend(more.words);
    }
}

/// Everything a draft record holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// Name of the source.
    pub source: String,
    /// Name of the device.
    pub device: String,
    /// Its category.
    pub category: Category,
    /// Actions in order.
    pub rows: Vec<SheetRow>,
    /// Trade words outside any action, by why.
    pub asides: Vec<(Aside, Vec<Quote>)>,
    /// For a category without parts of its own: which may count.
    pub proposed: Vec<Proposed>,
    /// Remarks, and whether each speaks for the device.
    pub remarks: Vec<(bool, Quote)>,
    /// The closing judgement and its words.
    pub verdict: Option<(String, Quote)>,
    /// What the device cost, and the words.
    pub price: Option<(String, Quote)>,
    /// With which words putting back begins.
    pub ends: Option<Quote>,
    /// With which words it works again.
    pub works: Option<Quote>,
}

impl Sheet {
    /// One that holds nothing.
    pub(super) fn blank(source: &str, device: &str, category: Category) -> Self {
        Self {
            source: source.to_owned(),
            device: device.to_owned(),
            category,
            rows: Vec::new(),
            asides: Vec::new(),
            proposed: Vec::new(),
            remarks: Vec::new(),
            verdict: None,
            price: None,
            ends: None,
            works: None,
        }
    }

    /// Puts words among those that stand in no action.
    pub(super) fn put_aside(&mut self, why: Aside, words: Quote) {
        match self.asides.iter_mut().find(|(w, _)| *w == why) {
            Some((_, quotes)) => quotes.push(words),
            None => self.asides.push((why, vec![words])),
        }
    }
}

/// Values apart by a sign; none for `unknown`.
pub(super) fn several(written: &str, apart: char) -> Vec<String> {
    written.split(apart).map(str::trim).filter(|v| !v.is_empty() && fold(v) != "unknown").map(str::to_owned).collect()
}

/// What holds a part: `unknown`, `nothing`, or fasteners apart by a sign.
pub(super) fn fasteners(written: &str, apart: char) -> Option<Vec<String>> {
    match &*fold(written) {
        "" | "unknown" => None,
        "nothing" => Some(Vec::new()),
        _ => Some(several(written, apart)),
    }
}

/// Words of a remark that stand for themselves.
const SHORT: usize = 5;

impl Draft {
    /// The draft as rows.
    pub fn sheet(&self, source: &str, device: &str, category: Category) -> Sheet {
        let sorted = &self.sorted;
        let mut asides: Vec<(Aside, Vec<Quote>)> = Vec::new();
        for why in [Aside::Mentioned, Aside::Twice, Aside::Corrected, Aside::Denied, Aside::Back] {
            let quotes: Vec<Quote> =
                sorted.asides.iter().filter(|(_, w)| **w == why).map(|(cue, _)| self.quote(*cue)).collect();
            if !quotes.is_empty() {
                asides.push((why, quotes));
            }
        }
        let proposed = if category.names_own_roles() {
            said::proposed(&sorted.entries, sorted.wanted.iter().cloned(), sorted.worn.iter().cloned(), &sorted.named)
        } else {
            Vec::new()
        };
        Sheet {
            source: source.to_owned(),
            device: device.to_owned(),
            category,
            rows: sorted.entries.iter().map(|e| self.row(e)).collect(),
            asides,
            proposed,
            remarks: sorted.remarks.iter().map(|(cue, good)| (*good, self.remark(*cue))).collect(),
            price: sorted.price.as_ref().map(|(p, cue)| (p.clone(), self.quote(*cue))),
            ends: sorted.back_from.map(|cue| self.quote(cue)),
            works: sorted.works.map(|cue| self.quote(cue)),
            verdict: said::verdict(&self.clauses).map(|(mark, cue)| (mark, self.quote(cue))),
        }
    }

    pub(super) fn quote(&self, cue: usize) -> Quote {
        let cue = &self.cues[cue];
        Quote { at: cue.start.map(|s| s / 1000), words: cue.text.clone() }
    }

    /// A remark; two words ("thank you") need those before them.
    fn remark(&self, cue: usize) -> Quote {
        let mut quote = self.quote(cue);
        if let Some(before) =
            cue.checked_sub(1).filter(|_| quote.words.split_whitespace().count() < SHORT).map(|c| self.quote(c))
            && !before.words.is_empty()
        {
            quote = Quote { at: before.at, words: format!("{} {}", before.words, quote.words) };
        }
        quote
    }

    fn row(&self, entry: &DraftedAction) -> SheetRow {
        let at = self.at(entry).map(|(from, to)| (from / 1000, to / 1000));
        let because = entry.because.iter().map(|c| self.cues[*c].text.clone()).collect::<Vec<_>>().join(" ");
        SheetRow {
            at: if self.kind == Kind::Times { at.map(|(a, _)| (a, a)) } else { at },
            frees: entry.frees,
            name: entry.name.clone(),
            tools: entry.tools.clone(),
            fasteners: entry.fasteners.as_ref().map(|f| f.iter().map(written).collect()),
            status: entry.status,
            because: Some(because).filter(|b| !b.is_empty()),
            also: entry.also.iter().filter(|a| !same(a, &entry.name)).cloned().collect(),
            words: entry.cues.iter().map(|c| self.quote(*c)).collect(),
            refit: self
                .sorted
                .refits
                .iter()
                .filter(|(part, ..)| entry.frees && entry.status == Status::Done && same(part, &entry.name))
                .map(|(_, cue, buy)| (*buy, self.quote(*cue).words))
                .collect(),
            reviewed: false,
        }
    }
}

/// `5..6 x clip`, `4 x screw T6`, `adhesive`, `unknown x screw`.
fn written(fastener: &Fastener) -> String {
    let drive = fastener.drive.as_ref().map_or_else(String::new, |d| format!(" {d}"));
    let counted = vocab::fastener(fastener.name).is_some_and(|w| !w.adhesive && !w.seal && w.name != "solder");
    match fastener.count.written() {
        Some(count) => format!("{count} x {}{drive}", fastener.name),
        None if counted || fastener.name == "solder" => format!("unknown x {}{drive}", fastener.name),
        None => format!("{}{drive}", fastener.name),
    }
}

pub(super) use crate::text::words::clock;

/// `4:10`, `4:10..4:25`.
pub(super) fn span((from, to): (u32, u32)) -> String {
    if to > from { format!("{}..{}", clock(from), clock(to)) } else { clock(from) }
}
