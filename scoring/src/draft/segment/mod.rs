//! What was said of one part, or of fasteners nobody named a part for, until something else is talked of.

use std::collections::BTreeSet;

use super::count::Count;
use names::words;

mod entry;
mod hear;
mod names;

pub(super) use names::{end_alike, everyday, is_cable, same, side};

/// Fasteners of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fastener {
    /// Word of the vocabulary.
    pub name: &'static str,
    /// How many.
    pub count: Count,
    /// Drive with its size.
    pub drive: Option<String>,
}

/// How far it was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// Done.
    Done,
    /// Tried in vain.
    Failed,
    /// Nobody tried.
    NotAttempted,
    /// Somebody else did it elsewhere.
    Told,
}

/// One entry of a draft: an action as far as it was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftedAction {
    /// Frees its part; else it is a `do`.
    pub frees: bool,
    /// The part, or what is done.
    pub name: String,
    /// Other names it was given.
    pub also: Vec<String>,
    /// Tools in the order said, `hands` among them; empty: unsaid.
    pub tools: Vec<String>,
    /// `None`: unsaid; empty: nothing holds it.
    pub fasteners: Option<Vec<Fastener>>,
    /// How far it was done.
    pub status: Status,
    /// It was said to come off.
    pub off: bool,
    /// Cues that say why it failed or was not tried.
    pub because: BTreeSet<usize>,
    /// Cues it rests on: the first is its start.
    pub rests_on: BTreeSet<usize>,
    /// All cues that speak of it.
    pub cues: BTreeSet<usize>,
}

/// Evidence said as done, or only as what one would do.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Said<T> {
    what: T,
    would: bool,
}

/// Talk about one thing, still going on.
#[derive(Clone, Debug, Default)]
pub(super) struct Segment {
    pub(super) name: Option<String>,
    pub(super) also: Vec<String>,
    tools: Vec<Said<String>>,
    fasteners: Vec<Said<Fastener>>,
    drive: Option<String>,
    of: String,
    pub(super) off: bool,
    pub(super) plug_off: bool,
    nothing: bool,
    failed: bool,
    tried: bool,
    pub(super) declined: bool,
    told: bool,
    alike: bool,
    because: BTreeSet<usize>,
    rests_on: BTreeSet<usize>,
    pub(super) cues: BTreeSet<usize>,
    /// Clauses since it came off.
    pub(super) since_off: usize,
    /// Listed on a line of its own (notes, labels).
    pub(super) listed: bool,
    differs: usize,
    corrects: usize,
    /// A verb for plugs was said.
    unplugged: bool,
    unplugged_by_verb: bool,
    /// That verb was said in a clause before this one.
    pulled_plug: bool,
    /// The part it was said to be held by ("held with a clamp"), which comes off instead of it.
    pub(super) held_by: Option<String>,
    /// The part its fasteners were said to lie under.
    pub(super) under: Option<String>,
    /// Its screws were said to be more of those before.
    pub(super) more: bool,
    /// The other name by which it was said to be off.
    pub(super) renamed: Option<String>,
}

impl Segment {
    pub(super) fn named(name: &str) -> Self {
        Self { name: Some(name.to_owned()), ..Self::default() }
    }

    pub(super) fn nameless(listed: bool) -> Self {
        Self { listed, ..Self::default() }
    }

    pub(super) fn is(&self, name: &str) -> bool {
        self.name.iter().chain(&self.also).any(|n| same(n, name))
    }

    /// Learns another name for the same thing; the fuller one leads where it holds all words of the shorter.
    pub(super) fn call(&mut self, name: &str) {
        match &mut self.name {
            Some(own) if own == name => {}
            Some(own) if words(own).is_subset(&words(name)) && own.len() < name.len() => *own = name.to_owned(),
            Some(own) if same(own, name) => {}
            // "The wires are undone, so that's the cord free": the wires were what held it.
            Some(own) if is_cable(own) && !is_cable(name) => {
                self.also.push(std::mem::replace(own, name.to_owned()));
            }
            Some(_) if self.also.iter().any(|a| a == name) => {}
            Some(_) => self.also.push(name.to_owned()),
            None => self.name = Some(name.to_owned()),
        }
    }

    /// Whether something was done or undone here, not only talked of.
    pub(super) fn live(&self) -> bool {
        self.off || self.plug_off || self.fasteners.iter().any(|f| !f.would) || self.tools.iter().any(|t| !t.would)
    }

    pub(super) fn any(&self) -> bool {
        self.live() || !self.fasteners.is_empty() || !self.tools.is_empty() || self.nothing
    }

    /// Told by somebody else.
    pub(super) fn is_told(&self) -> bool {
        self.told && !self.off
    }

    /// All of it is told.
    pub(super) fn hearsay(&mut self) {
        self.told = true;
    }

    /// Adds what was loosened here to an entry that was not finished.
    pub(super) fn adds_to(&self, entry: &mut DraftedAction) {
        for said in self.fasteners.iter().filter(|f| !f.would) {
            let list = entry.fasteners.get_or_insert_default();
            let known = list.iter().any(|f| f.name == said.what.name || f.count == said.what.count);
            if !known {
                list.push(said.what.clone());
            }
        }
        for said in
            self.tools.iter().filter(|t| !t.would && !entry.tools.contains(&t.what)).cloned().collect::<Vec<_>>()
        {
            entry.tools.push(said.what);
        }
        entry.rests_on.extend(&self.rests_on);
        entry.cues.extend(&self.cues);
    }

    /// Tried in vain, or left alone.
    pub(super) fn gave_up(&self) -> bool {
        self.failed || self.declined
    }

    pub(super) fn has_fasteners(&self) -> bool {
        self.nothing || !self.fasteners.is_empty()
    }

    /// Whether a number of fasteners, or a verb of work, was said.
    pub(super) fn worked(&self) -> bool {
        self.off
            || self.plug_off
            || self.unplugged
            || self.tools.iter().any(|t| !t.would)
            || self.fasteners.iter().any(|f| !f.would && matches!(f.what.count, Count::Is(2..) | Count::Between(..)))
    }

    /// One plug, and nothing else.
    pub(super) fn has_only_a_plug(&self) -> bool {
        self.only_plugs() && self.tools.is_empty() && self.fasteners.iter().all(|f| f.what.count == Count::Is(1))
    }

    fn only_plugs(&self) -> bool {
        !self.fasteners.is_empty() && self.fasteners.iter().all(|f| f.what.name == "connector")
    }

    /// Whether "it" may be the one pin just named.
    fn only_a_pin(&self) -> bool {
        self.fasteners.iter().all(|f| f.what.name == "pin" && f.what.count == Count::Is(1))
            && !self.fasteners.is_empty()
    }

    /// Whether a fastener with this count is known here.
    pub(super) fn knows(&self, name: &str, count: Count) -> bool {
        self.fasteners.iter().any(|f| f.what.name == name && (f.what.count == count || !count.said()))
    }

    /// Whether such fasteners were said here without their number.
    pub(super) fn counts_not(&self, name: &str) -> bool {
        self.fasteners.iter().any(|f| f.what.name == name && !f.what.count.said())
    }

    pub(super) fn has_screws(&self) -> bool {
        self.fasteners.iter().any(|f| crate::vocab::fastener(f.what.name).is_some_and(|w| w.driven))
    }

    /// Has screws whose drive nobody said.
    pub(super) fn has_undriven(&self) -> bool {
        self.fasteners.iter().any(|f| {
            !f.would && f.what.drive.is_none() && crate::vocab::fastener(f.what.name).is_some_and(|w| w.driven)
        })
    }

    /// A driver is in hand.
    pub(super) fn has_drive(&self) -> bool {
        self.drive.is_some()
    }

    pub(super) fn has_plugs(&self) -> bool {
        self.fasteners.iter().any(|f| f.what.name == "connector" && f.what.count != Count::Is(1))
    }

    /// A plug pulled, with nothing else said: what holds the part itself comes later, if at all.
    pub(super) fn plug_alone(&self) -> bool {
        (self.unplugged || self.plug_off) && self.only_plugs() && !self.off
    }

    /// Marks it as unplugged.
    pub(super) fn plug_came_off(&mut self, cue: usize) {
        self.plug_off = true;
        self.rests_on.insert(cue);
        self.cues.insert(cue);
    }

    /// Marks it as off, said with "it".
    pub(super) fn it_came_off(&mut self, plug: bool, that: bool, itself: bool, cue: usize) {
        let cable = self.name.as_deref().is_some_and(|n| is_cable(n) || n.ends_with("antenna"));
        let battery = self.name.as_deref().is_some_and(|n| n.contains("battery") || n.contains("pack"));
        // "I unplug it … so I take it out": the plug is out already.
        let plugged = !self.pulled_plug || that;
        if self.only_plugs() && (cable || plug && (battery && plugged || that)) {
            self.plug_off = true;
        } else if plug && self.only_a_pin() {
            // The pin is out; the part is not yet.
        } else if self.any() || !plug || itself {
            self.off = true;
        } else {
            return;
        }
        self.rests_on.insert(cue);
        self.cues.insert(cue);
    }

    /// Whether its name is that of one thing, so that "those" are others: its hoses, its screws.
    pub(super) fn is_one(&self) -> bool {
        let many = |n: &String| n.ends_with('s') && !n.ends_with("ss") || n.ends_with("feet") || n.contains(" and ");
        self.name.is_some() && !self.name.iter().chain(&self.also).any(many)
    }

    /// Whether what holds it is what came off.
    pub(super) fn gives_way_to(&mut self, name: &str) -> bool {
        let held = self.held_by.take_if(|h| same(h, name)).is_some() && !self.off;
        if held {
            self.name = Some(name.to_owned());
            self.also.clear();
        }
        held
    }

    /// What was said to lie under the part itself, taken from it.
    pub(super) fn below(&mut self) -> Option<Self> {
        let under = self.under.take_if(|u| self.name.as_ref().is_some_and(|n| same(n, u)))?;
        let driven = |f: &Said<Fastener>| crate::vocab::fastener(f.what.name).is_some_and(|w| w.driven);
        let (below, own): (Vec<_>, Vec<_>) = self.fasteners.drain(..).partition(driven);
        self.fasteners = own;
        (!below.is_empty()).then(|| Self {
            fasteners: below,
            rests_on: self.rests_on.clone(),
            drive: self.drive.clone(),
            under: Some(under),
            ..Self::default()
        })
    }

    /// Whether its plug can stand apart: there is one, and it is still in its place.
    pub(super) fn splits_plug(&self) -> bool {
        !self.off && self.unplugged && self.fasteners.iter().any(|f| f.what.name == "connector" && !f.would)
    }

    /// The plug as an action of its own, and what is left.
    pub(super) fn plug_first(mut self) -> (Option<DraftedAction>, Option<Self>) {
        let (plugs, rest): (Vec<_>, Vec<_>) = self.fasteners.drain(..).partition(|f| f.what.name == "connector");
        let last = self.rests_on.iter().next_back().copied();
        let own = Self {
            name: self.name.clone(),
            fasteners: plugs,
            unplugged: true,
            plug_off: true,
            rests_on: last.into_iter().collect(),
            cues: last.into_iter().collect(),
            ..Self::default()
        };
        self.fasteners = rest;
        self.unplugged = false;
        // What was said before told how it is held; the work on that begins now.
        self.rests_on.clear();
        self.cues.retain(|c| Some(*c) != last);
        (own.entry(), Some(self))
    }

    /// Whether a name ends in the same word.
    pub(super) fn ends_like(&self, name: &str) -> bool {
        self.name.as_ref().is_some_and(|own| names::end_alike(own, name))
    }

    /// Whether it is something else, not off yet, whose fasteners lie under a part.
    pub(super) fn lies_under(&self, name: &str) -> bool {
        !self.off && self.name.is_some() && !self.is(name) && self.under.as_ref().is_some_and(|u| same(u, name))
    }

    /// Whether all that was undone here was the plug or the latch of a cable: then it is about the cable.
    pub(super) fn gives_cable(&mut self, name: &str) -> bool {
        let small =
            |f: &Said<Fastener>| matches!(f.what.name, "clip" | "connector") && !matches!(f.what.count, Count::Is(3..));
        let gives = !self.off
            && !self.name.as_deref().is_some_and(is_cable)
            && !self.fasteners.is_empty()
            && self.fasteners.iter().all(small);
        if gives {
            self.name = Some(name.to_owned());
            self.also.clear();
            self.plug_off = true;
        }
        gives
    }

    pub(super) fn came_off(&mut self, cue: usize) {
        self.off = true;
        self.rests_on.insert(cue);
        self.cues.insert(cue);
    }
}
