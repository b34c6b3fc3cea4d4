//! What a clause adds to a segment: tools, drives, fasteners and their counts, and how far it was done.

use super::names::{everyday, held_by, under};
use super::{Fastener, Said, Segment};
use crate::draft::clause::Clause;
use crate::draft::count::Count;
use crate::draft::spot::{Spot, What};

impl Segment {
    /// What a clause says of status, tools and fasteners. `last` is the drive used last,
    /// `as_before` that of a part named behind "same … as". Gives the cues of words that were
    /// taken back.
    pub(in crate::draft) fn hear(
        &mut self,
        clause: &Clause,
        last: &mut Option<String>,
        as_before: Option<String>,
    ) -> Vec<usize> {
        let says = &clause.says;
        self.pulled_plug = self.unplugged_by_verb;
        let all = clause.cues.0..=clause.cues.1;
        let mut corrected = Vec::new();
        if says.told && !self.off {
            self.told = true;
        }
        if clause.tokens.iter().any(|t| t.text == "same") {
            self.alike = true;
        }
        self.under = self.under.take().or_else(|| under(clause));
        self.held_by = self.held_by.take().or_else(|| held_by(clause));
        if says.nothing_holds && self.fasteners.is_empty() {
            self.nothing = true;
            self.rests_on.extend(all.clone());
        }
        // "There's a screw under the label … okay, fifth screw": pointed at before, undone now.
        let again = |s: &Spot| matches!(&s.what, What::Fastener { name, count, .. } if self.knows(name, *count));
        // "It's held with three screws … so, the three screws": told before, undone now.
        let the = |s: &Spot| {
            clause.tokens[..s.to].iter().rev().take(4).any(|t| matches!(&*t.text, "the" | "these" | "those"))
        };
        let counted = |s: &Spot| matches!(s.what, What::Fastener { count: Count::Is(2..), .. });
        let pointed = clause.opens && self.name.is_none() && self.tools.is_empty() && clause.spots.iter().any(again);
        // "There's a screw under the foot … so three screws": one was pointed at, all are undone now.
        let all_of = |s: &Spot| {
            matches!(&s.what, What::Fastener { name, count: Count::Is(2..), .. }
                if self.fasteners.iter().any(|f| f.what.name == *name && f.what.count == Count::Is(1)))
        };
        let pointed = pointed || self.name.is_none() && self.tools.is_empty() && clause.spots.iter().any(all_of);
        if pointed || !self.off && clause.spots.iter().any(|s| again(s) && counted(s) && the(s)) {
            self.rests_on.clear();
        }
        // "I leave it lying there. Unplug the cable": now it is done.
        let unplugs = |s: &Spot| !s.denied && matches!(s.what, What::Fastener { verb: true, name: "connector", .. });
        if self.declined
            && !says.not_attempted
            && !says.would
            && clause.topic.is_none()
            && clause.spots.iter().any(unplugs)
        {
            self.declined = false;
            self.because.clear();
        }
        let would = says.would || says.not_attempted && !self.warns(clause) || self.declined || self.told;
        if says.same_tool
            && !clause.spots.iter().any(|s| matches!(s.what, What::Drive(_)))
            && let Some(drive) = as_before.or(last.clone())
        {
            self.drive = Some(drive.clone());
            self.tool(drive, would);
            self.rests_on.extend(all.clone());
        }
        self.corrects = if says.corrects { 3 } else { self.corrects.saturating_sub(1) };
        self.differs = if says.differs { 3 } else { self.differs.saturating_sub(1) };
        // "It's unplugged, I've got the plug here": how things stand before any work.
        let stands = self.name.is_none()
            && clause
                .tokens
                .windows(2)
                .any(|w| matches!(&*w[0].text, "'s" | "is" | "'re" | "are") && w[1].text == "unplugged");
        for spot in clause.spots.iter().filter(|s| !s.denied) {
            if stands && matches!(spot.what, What::Fastener { name: "connector", .. }) {
                continue;
            }
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
                What::Fastener { name: "pin", verb: false, .. } if pin_of_a_drive(clause) || pin(clause, "without") => {
                    continue;
                }
                What::Fastener { name, count, of, verb } => {
                    if self.of.is_empty() && !of.is_empty() && self.fasteners.is_empty() {
                        self.of = of.clone();
                    }
                    let adds = clause.tokens[spot.from.saturating_sub(3)..spot.from]
                        .iter()
                        .any(|t| matches!(&*t.text, "more" | "another"));
                    let also = clause.tokens[..spot.from].iter().rev().take(4).any(|t| t.text == "also");
                    self.more |= (adds || also) && self.fasteners.is_empty();
                    let they = clause.tokens.first().is_some_and(|t| matches!(&*t.text, "they" | "these" | "those"));
                    let count =
                        if they && *count == Count::Is(1) && *name == "press fit" { &Count::Unknown } else { count };
                    let its_plug = *verb || !of.is_empty() && self.is(of);
                    self.unplugged_by_verb |= *verb && *name == "connector" && !would;
                    self.unplugged |= its_plug && *name == "connector" && !would;
                    let beside_screws = clause.spots.iter().any(|s| !s.denied && matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven)));
                    // "4 x PH1 + ground screw (PH2)".
                    let own = own_drive(clause, spot).filter(|d| self.drive.as_ref().is_some_and(|o| o != d));
                    if let (Some(drive), Count::Is(n), false) = (own, *count, says.corrects)
                        && crate::vocab::fastener(name).is_some_and(|w| w.driven)
                    {
                        // "Six T20, one of them TR20": five and one.
                        let of_them = matches!(clause.tokens.get(spot.to).map_or("", |t| &*t.text), "of");
                        if let Some(known) = self.fasteners.iter_mut().rev().find(|f| of_them && f.what.name == *name)
                            && let Count::Is(all) = known.what.count
                            && all > n
                        {
                            known.what.count = Count::Is(all - n);
                        }
                        let what = Fastener { name, count: *count, drive: Some(drive) };
                        self.fasteners.push(Said { what, would });
                        self.rests_on.insert(cue);
                        continue;
                    }
                    if !self.fastener(name, *count, would, (*verb, adds, beside_screws)) {
                        continue;
                    }
                }
            }
            self.rests_on.insert(cue);
        }
        if let Some(count) = clause.count {
            let plural = self.fasteners.iter_mut().rev().find(|f| !matches!(f.what.count, Count::Is(1)));
            if let Some(found) = plural.filter(|f| {
                f.what.count == Count::Unknown || says.corrects || total(clause) || matches!(count, Count::Between(..))
            }) {
                found.what.count = count;
                self.rests_on.extend(all.clone());
            }
        }
        if says.not_attempted && !self.off && !self.warns(clause) {
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

    /// "Don't touch the capacitor" warns of something beside the part at hand.
    fn warns(&self, clause: &Clause) -> bool {
        clause.tokens.windows(2).any(|w| w[0].text == "not" && w[1].text == "touch")
            && clause.spots.iter().any(|s| matches!(&s.what, What::Part(n) if !self.is(n)))
            && (self.live() || self.name.is_some())
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
                // "A security one, T20, no, T15": still one with a pin.
                let pinned = drive.strip_prefix('T').filter(|n| old.starts_with("TR") && !n.starts_with('R'));
                let pinned = pinned.and_then(|n| crate::vocab::drive::drive(&format!("TR{n}"))).map(|d| d.name);
                let drive = pinned.as_deref().unwrap_or(drive);
                for fastener in self.fasteners.iter_mut().filter(|f| f.what.drive.as_deref() == Some(&old)) {
                    fastener.what.drive = Some(drive.to_owned());
                }
                self.tools.retain(|t| t.what != old);
                corrected.push(clause.cues.0);
                self.drive = Some(drive.to_owned());
                *last = Some(drive.to_owned());
                self.tool(drive.to_owned(), would);
                return corrected;
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
    fn fastener(
        &mut self,
        name: &'static str,
        count: Count,
        would: bool,
        (verb, adds, beside_screws): (bool, bool, bool),
    ) -> bool {
        let corrects = self.corrects > 0;
        let driven = crate::vocab::fastener(name).is_some_and(|w| w.driven);
        let drive = if driven { self.drive.clone() } else { None };
        // The latch of a plug is no fastener of its own.
        let plug = self.fasteners.iter().any(|f| f.what.name == "connector");
        if name == "clip" && plug && !beside_screws && matches!(count, Count::Is(1) | Count::Unsaid) {
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
}

/// The drive with its size that stands right behind a fastener: "screw (PH2)", "one of them security TR20".
fn own_drive(clause: &Clause, spot: &Spot) -> Option<String> {
    let small =
        |w: &str| matches!(w, "of" | "them" | "those" | "these" | "is" | "are" | "the" | "a" | "security" | "with");
    clause.spots.iter().find_map(|s| match &s.what {
        What::Drive(d) if !s.denied && s.from >= spot.to && s.from - spot.to <= 4 && family(d).is_some() => {
            clause.tokens[spot.to..s.from].iter().all(|t| small(&t.text)).then(|| d.clone())
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

/// "So nine altogether": the number of all that was counted before.
fn total(clause: &Clause) -> bool {
    let word = |w: &str| clause.tokens.iter().any(|t| t.text == w);
    word("altogether") || word("total") || clause.tokens.windows(2).any(|w| w[0].text == "in" && w[1].text == "all")
}

/// "Torx … but with a pin in": the pin is part of the drive.
fn pin_of_a_drive(clause: &Clause) -> bool {
    pin(clause, "with") && clause.spots.iter().any(|s| matches!(s.what, What::Drive(_)))
}

/// "With a pin", "without the pin".
fn pin(clause: &Clause, with: &str) -> bool {
    let words = |w: &[crate::draft::tokens::Token]| {
        w[0].text == with && matches!(&*w[1].text, "a" | "the" | "that") && w[2].text == "pin"
    };
    clause.tokens.windows(3).any(words)
}

/// The letters of a drive with its size.
fn family(drive: &str) -> Option<&'static str> {
    ["PH", "PZ", "TR", "T", "hex "]
        .into_iter()
        .find(|f| drive.strip_prefix(f).is_some_and(|s| s.starts_with(|c: char| c.is_ascii_digit())))
}
