//! What was said of one part, or of fasteners nobody named a part for, until something else is talked of.

use std::collections::BTreeSet;

use super::clause::Clause;
use super::count::Count;
use super::spot::{LISTS, What};

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
pub struct Entry {
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
    /// The part its fasteners were said to lie under.
    pub(super) under: Option<String>,
}

/// Words of a name without their plural.
fn words(name: &str) -> BTreeSet<String> {
    name.split(' ')
        .map(|w| crate::vocab::words::singulars(w).pop().filter(|s| s.len() > 2).unwrap_or_else(|| w.to_owned()))
        .collect()
}

/// A name without a last word that adds nothing ("battery pack", "wheel module").
fn bare(name: &str) -> &str {
    match name.rsplit_once(' ') {
        None if matches!(name, "cell" | "cells" | "pack" | "batteries") => "battery",
        Some((rest, "pack" | "module" | "modules" | "assembly" | "unit" | "cell" | "cells" | "piece")) => rest,
        _ => name,
    }
}

/// Whether two names may mean the same part: they end alike, and one holds all words of the other.
pub(super) fn same(a: &str, b: &str) -> bool {
    let heads = |n: &str| words(n.rsplit(' ').next().unwrap_or(n));
    let subset = |a: &str, b: &str| words(a).is_subset(&words(b)) || words(b).is_subset(&words(a));
    let end_alike = |a: &str, b: &str| heads(a) == heads(b);
    subset(a, b) && end_alike(a, b) || subset(bare(a), bare(b)) && end_alike(bare(a), bare(b))
}

/// Whether a name is one of a cable: something unplugged rather than taken off.
pub(super) fn is_cable(name: &str) -> bool {
    let last = name.rsplit(' ').next().unwrap_or(name);
    matches!(last, "cable" | "cables" | "ribbon" | "ribbons" | "flex" | "wire" | "wires" | "harness" | "lead")
        || name.starts_with("ribbon")
        || name.starts_with("flex cable")
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
    pub(super) fn adds_to(&self, entry: &mut Entry) {
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

    pub(super) fn has_screws(&self) -> bool {
        self.fasteners.iter().any(|f| crate::vocab::fastener(f.what.name).is_some_and(|w| w.driven))
    }

    /// A plug pulled, with nothing else said: what holds the part itself comes later, if at all.
    pub(super) fn plug_alone(&self) -> bool {
        self.unplugged && self.only_plugs() && !self.off
    }

    /// Marks it as off, said with "it".
    pub(super) fn it_came_off(&mut self, plug: bool, cue: usize) {
        let cable = self.name.as_deref().is_some_and(is_cable);
        let battery = self.name.as_deref().is_some_and(|n| n.contains("battery") || n.contains("pack"));
        if self.only_plugs() && (cable || plug && battery) {
            self.plug_off = true;
        } else if plug && self.only_a_pin() {
            // The pin is out; the part is not yet.
        } else if self.any() || !plug {
            self.off = true;
        } else {
            return;
        }
        self.rests_on.insert(cue);
    }

    pub(super) fn came_off(&mut self, cue: usize) {
        self.off = true;
        self.rests_on.insert(cue);
    }

    /// What a clause says of status, tools and fasteners. `last` is the drive used last. Gives the cues of words that were
    /// taken back.
    pub(super) fn hear(&mut self, clause: &Clause, last: &mut Option<String>) -> Vec<usize> {
        let says = &clause.says;
        let all = clause.cues.0..=clause.cues.1;
        let mut corrected = Vec::new();
        if says.told && !self.off {
            self.told = true;
        }
        if clause.tokens.iter().any(|t| t.text == "same") {
            self.alike = true;
        }
        self.under = self.under.take().or_else(|| under(clause));
        if says.nothing_holds && self.fasteners.is_empty() {
            self.nothing = true;
            self.rests_on.extend(all.clone());
        }
        // "There's a screw under the label … okay, fifth screw": pointed at before, undone now.
        let again =
            |s: &super::spot::Spot| matches!(&s.what, What::Fastener { name, count, .. } if self.knows(name, *count));
        if clause.opens && self.name.is_none() && self.tools.is_empty() && clause.spots.iter().any(again) {
            self.rests_on.clear();
        }
        let would = says.would || says.not_attempted || self.declined || self.told;
        if says.same_tool
            && let Some(drive) = last.clone()
        {
            self.drive = Some(drive.clone());
            self.tool(drive, would);
            self.rests_on.extend(all.clone());
        }
        self.corrects = if says.corrects { 3 } else { self.corrects.saturating_sub(1) };
        self.differs = if says.differs { 3 } else { self.differs.saturating_sub(1) };
        for spot in clause.spots.iter().filter(|s| !s.denied) {
            let cue = clause.tokens[spot.from].cues.0;
            match &spot.what {
                What::Part(_) => continue,
                What::Tool(tool) => self.tool(tool.clone(), would),
                // "Same cross head as before": the one used last.
                What::Drive(drive)
                    if clause.tokens.iter().any(|t| t.text == "same")
                        && last.as_deref().and_then(family) == everyday(drive)
                        && everyday(drive).is_some() =>
                {
                    let known = last.clone().unwrap_or_default();
                    corrected.extend(self.takes_drive(&known, clause, would, last));
                }
                What::Drive(drive) => {
                    let secured = secured(drive, clause);
                    corrected.extend(self.takes_drive(secured.as_deref().unwrap_or(drive), clause, would, last));
                }
                What::Fastener { name: "pin", verb: false, .. } if pin_of_a_drive(clause) => continue,
                What::Fastener { name, count, of, verb } => {
                    if self.of.is_empty() && !of.is_empty() {
                        self.of = of.clone();
                    }
                    let adds = clause.tokens[spot.from.saturating_sub(3)..spot.from]
                        .iter()
                        .any(|t| matches!(&*t.text, "more" | "another"));
                    let they = clause.tokens.first().is_some_and(|t| matches!(&*t.text, "they" | "these" | "those"));
                    let count =
                        if they && *count == Count::Is(1) && *name == "press fit" { &Count::Unknown } else { count };
                    self.unplugged |= *verb && *name == "connector" && !would;
                    if !self.fastener(name, *count, would, *verb, adds) {
                        continue;
                    }
                }
            }
            self.rests_on.insert(cue);
        }
        if let Some(count) = clause.count {
            let plural = self.fasteners.iter_mut().rev().find(|f| !matches!(f.what.count, Count::Is(1)));
            if let Some(found) = plural
                .filter(|f| f.what.count == Count::Unknown || says.corrects || matches!(count, Count::Between(..)))
            {
                found.what.count = count;
                self.rests_on.extend(all.clone());
            }
        }
        if says.not_attempted && !self.off {
            self.declined = true;
            self.because.extend(all.clone());
        } else if self.declined && !self.off && says.would {
            self.because.extend(all.clone());
        }
        if says.failed && !self.off {
            self.failed = true;
            self.because.extend(all);
        }
        self.tried |= says.tried && !says.not_attempted && !self.off;
        corrected
    }

    fn tool(&mut self, tool: String, would: bool) {
        if let Some(found) = self.tools.iter_mut().find(|t| {
            t.what == tool || t.what.starts_with(&format!("{tool} ")) || tool.starts_with(&format!("{} ", t.what))
        }) {
            if tool.len() > found.what.len() {
                found.what = tool;
            }
            found.would &= would;
        } else {
            self.tools.push(Said { what: tool, would });
        }
    }

    fn takes_drive(&mut self, drive: &str, clause: &Clause, would: bool, last: &mut Option<String>) -> Vec<usize> {
        // "Cross head. PH1." is one drive in two goes, either way round.
        if let Some(old) = self.drive.clone().filter(|d| d != drive) {
            match (family(&old), family(drive)) {
                (Some(_), Some(_)) => {}
                (None, Some(f)) if everyday(&old) == Some(f) => {
                    self.tools.retain(|t| t.what != old);
                    for fastener in self.fasteners.iter_mut().filter(|f| f.what.drive.as_deref() == Some(&old)) {
                        fastener.what.drive = Some(drive.to_owned());
                    }
                }
                (Some(f), None) if everyday(drive) == Some(f) => return Vec::new(),
                _ => {}
            }
        }
        let old = self.drive.clone().filter(|d| d != drive && (family(d).is_some() || family(drive).is_none()));
        let odd = self.differs > 0
            && self.fasteners.iter().any(|f| f.what.drive.is_some() && f.what.drive.as_deref() != Some(drive));
        let mut corrected = Vec::new();
        match old {
            Some(old) if self.corrects > 0 => {
                for fastener in self.fasteners.iter_mut().filter(|f| f.what.drive.as_deref() == Some(&old)) {
                    fastener.what.drive = Some(drive.to_owned());
                }
                self.tools.retain(|t| t.what != old);
                corrected.push(clause.cues.0);
            }
            Some(_) if odd && !clause.spots.iter().any(|s| matches!(s.what, What::Fastener { .. })) => {
                let what = Fastener { name: "screw", count: Count::Is(1), drive: Some(drive.to_owned()) };
                self.fasteners.push(Said { what, would });
            }
            _ => {
                let open = self.fasteners.iter_mut().filter(|f| f.what.drive.is_none());
                for fastener in open.filter(|f| crate::vocab::fastener(f.what.name).is_some_and(|w| w.driven)) {
                    fastener.what.drive = Some(drive.to_owned());
                }
            }
        }
        self.drive = Some(drive.to_owned());
        *last = Some(drive.to_owned());
        self.tool(drive.to_owned(), would);
        corrected
    }

    /// Adds fasteners, or learns their number. False where they are part of what was said already.
    fn fastener(&mut self, name: &'static str, count: Count, would: bool, verb: bool, adds: bool) -> bool {
        let corrects = self.corrects > 0;
        let driven = crate::vocab::fastener(name).is_some_and(|w| w.driven);
        let drive = if driven { self.drive.clone() } else { None };
        // The latch of a plug is no fastener of its own.
        let plug = self.fasteners.iter().any(|f| f.what.name == "connector");
        if name == "clip" && plug && matches!(count, Count::Is(1) | Count::Unsaid) {
            return false;
        }
        if name == "connector" {
            self.fasteners.retain(|f| !(f.what.name == "clip" && f.what.count == Count::Is(1) && !f.would));
        }
        let adhesive = |n: &str| crate::vocab::fastener(n).is_some_and(|w| w.adhesive);
        if let Some(known) =
            self.fasteners.iter_mut().find(|f| f.what.name != name && adhesive(f.what.name) && adhesive(name))
        {
            // "Glued … with hot glue": one joint, named more closely.
            if known.what.name == "adhesive" {
                known.what.name = name;
            }
            known.would &= would;
            return true;
        }
        let known = self
            .fasteners
            .iter_mut()
            .rev()
            .find(|f| f.what.name == name && (f.what.drive == drive || f.what.drive.is_none() || drive.is_none()));
        match known {
            Some(known) if adds && count.said() && known.what.count.said() => {
                if let (Count::Is(a), Count::Is(b)) = (known.what.count, count) {
                    known.what.count = Count::Is(a + b);
                }
                known.would &= would;
            }
            Some(known)
                if name == "connector"
                    && count == Count::Is(1)
                    && !verb
                    && known.what.count == Count::Is(1)
                    && adds =>
            {
                known.what.count = Count::Is(2);
            }
            Some(known) => {
                // "One snap, two snaps" tallies: the larger number stands, unless it is taken back or a span is said.
                let more =
                    matches!((known.what.count, count), (Count::Is(a), Count::Is(b)) if b > a || corrects && b > 1);
                if count.said() && (!known.what.count.said() || more || matches!(count, Count::Between(..))) {
                    known.what.count = count;
                }
                if known.what.drive.is_none() {
                    known.what.drive = drive;
                }
                known.would &= would;
            }
            None => self.fasteners.push(Said { what: Fastener { name, count, drive }, would }),
        }
        true
    }

    /// Takes over what was loosened before its part was named.
    pub(super) fn join(&mut self, before: &Segment) {
        for said in before.fasteners.iter().rev() {
            let same =
                self.fasteners.iter().position(|f| f.what.name == said.what.name && f.what.drive == said.what.drive);
            match same {
                Some(at) if !self.fasteners[at].what.count.said() => self.fasteners[at].what.count = said.what.count,
                Some(_) if !said.what.count.said() => {}
                _ => self.fasteners.insert(0, said.clone()),
            }
        }
        for tool in before
            .tools
            .iter()
            .rev()
            .filter(|t| !self.tools.iter().any(|own| own.what == t.what))
            .cloned()
            .collect::<Vec<_>>()
        {
            self.tools.insert(0, tool);
        }
        self.rests_on.extend(&before.rests_on);
        self.cues.extend(&before.cues);
    }

    /// What kind of screws nobody named a part for: "back screws".
    pub(super) fn loose_name(&self, place: Option<&str>) -> String {
        let first = self.fasteners.first().map_or("fasteners", |f| f.what.name);
        let plural =
            if first.ends_with('h') || first.ends_with('s') { format!("{first}es") } else { format!("{first}s") };
        match (place, &*self.of) {
            (_, of) if !of.is_empty() => format!("{of} {plural}"),
            (Some(place), _) => format!("{place} {plural}"),
            _ => plural,
        }
    }

    /// The entry it comes to; `None` where a thing was only talked of.
    pub(super) fn entry(&self) -> Option<Entry> {
        let name = self.name.clone()?;
        let tried = self.tried || self.tools.iter().any(|t| !t.would);
        let status = if self.told && !self.off {
            Status::Told
        } else if self.declined && !self.off && !self.plug_off {
            if !(self.any() || self.alike) {
                return None;
            }
            if self.failed && tried && !self.tools.is_empty() { Status::Failed } else { Status::NotAttempted }
        } else if self.failed && !self.off && !self.plug_off && tried {
            Status::Failed
        } else if self.failed && !self.off && !self.plug_off && self.any() {
            // Given up before anything was tried.
            Status::NotAttempted
        } else {
            Status::Done
        };
        let keep = |would: bool| !would || matches!(status, Status::Told | Status::NotAttempted);
        let fasteners: Vec<Fastener> =
            self.fasteners.iter().filter(|f| keep(f.would)).map(|f| f.what.clone()).collect();
        let tools: Vec<String> = self.tools.iter().filter(|t| keep(t.would)).map(|t| t.what.clone()).collect();
        if status == Status::Told && fasteners.is_empty() && tools.is_empty() {
            return None;
        }
        let plugs = !fasteners.is_empty() && fasteners.iter().all(|f| f.name == "connector");
        let frees = match status {
            Status::Done => self.off || !(plugs || is_cable(&name)),
            _ => true,
        };
        let settled = self.off || self.plug_off || self.listed && (self.nothing || self.live());
        // What only says how a thing is held tells of no work: neither a number, nor a tool, nor that it came off.
        let weak = |f: &Fastener| {
            !f.count.said() || matches!(f.name, "press fit" | "weld" | "heat stake" | "rivet") || adhesive_word(f.name)
        };
        if status == Status::Done && !settled && tools.is_empty() && fasteners.iter().all(weak) {
            return None;
        }
        let fasteners = if !fasteners.is_empty() {
            Some(fasteners)
        } else if self.nothing {
            Some(Vec::new())
        } else {
            None
        };
        let first = fasteners.as_ref().and_then(|f| f.first()).map_or("connector", |f| f.name);
        let verb = match first {
            "connector" => "unplug",
            "solder" => "desolder",
            "clip" => "unclip",
            "screw" => "unscrew",
            _ => "loosen",
        };
        let name = if frees { name } else { format!("{verb} {name}") };
        Some(Entry {
            frees,
            name,
            also: self.also.clone(),
            tools,
            fasteners,
            status,
            off: self.off || self.plug_off,
            because: if matches!(status, Status::Failed | Status::NotAttempted) {
                self.because.clone()
            } else {
                BTreeSet::new()
            },
            rests_on: if self.rests_on.is_empty() { self.cues.clone() } else { self.rests_on.clone() },
            cues: self.cues.clone(),
        })
    }

    /// The entry of fasteners that were loosened for no part that was named.
    pub(super) fn loose(&self, place: Option<&str>) -> Option<Entry> {
        let named = Segment { name: Some(self.loose_name(place)), off: false, plug_off: true, ..self.clone() };
        if !self.fasteners.iter().any(|f| !f.would) {
            return None;
        }
        let entry = named.entry()?;
        Some(Entry { frees: false, name: self.loose_name(place), ..entry })
    }
}

/// "Four screws under the label": the part that covers fasteners.
fn under(clause: &Clause) -> Option<String> {
    let fastener = clause.spots.iter().find(|s| !s.denied && matches!(s.what, What::Fastener { verb: false, .. }))?;
    clause.spots.iter().filter(|s| s.from > fastener.to).find_map(|s| match &s.what {
        What::Part(name)
            if clause.tokens[fastener.to..s.from]
                .iter()
                .any(|t| matches!(&*t.text, "under" | "underneath" | "beneath" | "behind" | "below")) =>
        {
            Some(name.clone())
        }
        _ => None,
    })
}

/// "Security T10", "torx with a pin in": the drive with a pin, where the words of a clause say so.
fn secured(drive: &str, clause: &Clause) -> Option<String> {
    let said = |w: &str| clause.tokens.iter().any(|t| t.text == w);
    if !(said("security") || said("tamper") || pin_of_a_drive(clause)) {
        return None;
    }
    if drive == "star" {
        return Some("security star".to_owned());
    }
    let size = drive.strip_prefix('T').filter(|s| s.starts_with(|c: char| c.is_ascii_digit()))?;
    crate::vocab::drive::drive(&format!("TR{size}")).map(|d| d.name)
}

/// "Torx … but with a pin in": the pin is part of the drive.
fn pin_of_a_drive(clause: &Clause) -> bool {
    let with = clause.tokens.windows(3).any(|w| w[0].text == "with" && w[1].text == "a" && w[2].text == "pin");
    with && clause.spots.iter().any(|s| matches!(s.what, What::Drive(_)))
}

/// The letters of a drive with its size.
fn family(drive: &str) -> Option<&'static str> {
    ["PH", "PZ", "TR", "T", "hex "]
        .into_iter()
        .find(|f| drive.strip_prefix(f).is_some_and(|s| s.starts_with(|c: char| c.is_ascii_digit())))
}

fn adhesive_word(name: &str) -> bool {
    crate::vocab::fastener(name).is_some_and(|w| w.adhesive)
}

/// The letters of a drive said without its size.
fn everyday(drive: &str) -> Option<&'static str> {
    match drive {
        "cross head" => Some("PH"),
        "cross head z" => Some("PZ"),
        "star" => Some("T"),
        "security star" => Some("TR"),
        "hexagon socket" => Some("hex "),
        _ => None,
    }
}

/// Whether a word names a side of the device.
pub(super) fn side(clause: &Clause) -> Option<String> {
    let side = |w: &str| matches!(w, "back" | "bottom" | "top" | "front" | "rear" | "side" | "sides" | "underside");
    clause
        .tokens
        .windows(3)
        .find(|w| {
            matches!(&*w[0].text, "on" | "at" | "in" | "around")
                && w[1].text == "the"
                && side(&w[2].text)
                && !LISTS.heads.contains(&*w[2].text)
        })
        .map(|w| w[2].text.clone())
}
