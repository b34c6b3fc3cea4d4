//! What a clause adds to the part at hand, and what of it belongs to no work.

use super::{Aside, Sorter, parts, spoken_in};
use crate::draft::clause::Clause;
use crate::draft::off::Off;
use crate::draft::segment::{Segment, Status, same, side};
use crate::draft::spot::What;

/// How many clauses back what was pointed at may still be meant by "that".
const POINTED: usize = 4;

impl Sorter {
    /// "A drop of glue for the feet": what the way back of something needs.
    pub(super) fn refit(&mut self, clause: &Clause) {
        let said = |list: &[&str]| clause.tokens.iter().any(|t| list.contains(&&*t.text));
        let glue = clause.spots.iter().any(|s| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.adhesive || w.seal)));
        let buy = said(&["buy", "order", "replace", "new", "fresh"]);
        if !(glue || buy || said(&["careful", "forget", "grease", "paste"])) {
            return;
        }
        let freed = |name: &&String| self.out.entries.iter().any(|e| e.status == Status::Done && same(&e.name, name));
        if let Some(part) = parts(clause).find(freed).cloned() {
            self.out.refits.push((part, clause.cues.0, buy));
        }
    }
    /// Remembers the one part a clause points at.
    pub(super) fn point(&mut self, clause: &Clause) {
        self.pointed = self.pointed.take().map(|(name, ago)| (name, ago + 1)).filter(|(_, ago)| *ago <= POINTED);
        let mut named =
            clause.spots.iter().filter_map(|s| if let What::Part(n) = &s.what { Some((s, n)) } else { None });
        let (Some((spot, name)), None) = (named.next(), named.next()) else { return };
        let word = |back: usize| spot.from.checked_sub(back).map_or("", |i| &*clause.tokens[i].text);
        let is = |w: &str| matches!(w, "'s" | "is");
        let it = |w: &str| matches!(w, "it" | "that" | "there" | "this" | "here");
        if matches!(word(1), "a" | "the" | "this")
            && is(word(2))
            && it(word(3))
            && clause.off.is_none()
            && !self.freed(name)
        {
            self.pointed = Some((name.clone(), 0));
        }
    }

    /// Remembers what somebody set out to take off.
    pub(super) fn intend(&mut self, clause: &Clause, named: bool) {
        if clause.intends.is_some() && clause.off.is_none() && !clause.says.not_attempted {
            self.intended.clone_from(&clause.intends);
        } else if named || clause.topic.is_some() {
            self.intended = None;
        }
        if self.intended.as_ref().is_some_and(|n| self.freed(n)) {
            self.intended = None;
        }
    }

    pub(super) fn attach(&mut self, clause: &Clause, named: bool) {
        let says = &clause.says;
        let loosens = clause.spots.iter().any(|s| !s.denied && matches!(s.what, What::Fastener { .. }));
        let works =
            loosens || clause.spots.iter().any(|s| !s.denied && matches!(s.what, What::Tool(_) | What::Drive(_)));
        if let Some(side) = side(clause).filter(|_| loosens) {
            self.place = Some(side);
        }
        if says.again && !named && clause.spots.iter().any(|s| matches!(s.what, What::Fastener { verb: true, .. })) {
            self.aside(clause, Aside::Twice);
            return;
        }
        // Something loosened behind a part that is off belongs to what comes next.
        if let Some(current) = &mut self.current
            && current.off
            && !named
        {
            current.since_off += 1;
            let counted = clause
                .spots
                .iter()
                .any(|s| !s.denied && matches!(&s.what, What::Fastener { count, verb, .. } if count.said() || *verb));
            let late = current.since_off > 2 || current.has_fasteners();
            let only_hands = clause
                .spots
                .iter()
                .all(|s| matches!(&s.what, What::Tool(t) if t == "hands") || matches!(s.what, What::Part(_)));
            let known = clause.spots.iter().all(|s| match &s.what {
                What::Fastener { name, count, .. } => current.knows(name, *count),
                _ => true,
            });
            // "There's one plug on it which I unplug": its own, though it is out of its place.
            let its_plug = current.since_off <= 2
                && clause.tokens.windows(3).any(|w| {
                    matches!(&*w[0].text, "on" | "to" | "from")
                        && (matches!(&*w[1].text, "it" | "its")
                            || w[1].text == "the" && matches!(&*w[2].text, "back" | "end" | "bottom"))
                })
                && clause.spots.iter().all(|s| matches!(s.what, What::Fastener { name: "connector", .. }))
                && loosens;
            let driven = clause.spots.iter().any(|s| matches!(&s.what, What::Fastener { name, .. } if crate::vocab::fastener(name).is_some_and(|w| w.driven)));
            let drive_alone = current.since_off == 1
                && !clause.spots.is_empty()
                && clause.spots.iter().all(|s| matches!(s.what, What::Drive(_)))
                && current.has_undriven();
            // "It just unclips, there's two little tabs": how many.
            let learns = current.since_off <= 2
                && clause.spots.iter().all(|s| match &s.what {
                    What::Fastener { name, .. } => current.counts_not(name),
                    _ => false,
                });
            let its_plug = its_plug || learns && loosens;
            if works && !its_plug && (late || driven) && !(only_hands && current.since_off <= 1) && !drive_alone {
                let broke = clause
                    .tokens
                    .iter()
                    .any(|t| matches!(&*t.text, "broke" | "broken" | "snapped" | "cracked" | "lost" | "missing"));
                if known || broke {
                    self.aside(clause, Aside::Twice);
                    return;
                }
                if counted && !says.would && !says.question {
                    self.close();
                } else {
                    self.aside(clause, Aside::Mentioned);
                    return;
                }
            }
        }
        // "Unplug the webcam, and then it's seven screws": those hold something else, or the same thing once more.
        let then = clause.tokens.iter().take(2).any(|t| t.text == "then");
        let driven = clause.spots.iter().any(|s| !s.denied && matches!(&s.what, What::Fastener { name, count, .. } if count.said() && crate::vocab::fastener(name).is_some_and(|w| w.driven)));
        if then && driven && !named && self.current.as_ref().is_some_and(Segment::plug_alone) {
            self.close();
        }
        // "Under there is the axle nut": not of what has just come off.
        let beneath = clause.tokens.windows(2).any(|w| {
            matches!(&*w[0].text, "under" | "underneath" | "behind" | "beneath" | "below")
                && matches!(&*w[1].text, "there" | "it" | "that" | "those" | "them" | "these")
        });
        if beneath && loosens && !named && self.current.as_ref().is_some_and(|c| c.name.is_some() && c.live()) {
            self.close();
        }
        if self.current.is_none() && works && !says.would && !says.question {
            self.current = Some(Segment::nameless(self.by_line));
        }
        let as_before = self.as_before(clause);
        let Some(current) = &mut self.current else {
            self.aside(clause, Aside::Mentioned);
            return;
        };
        if says.question && !loosens && !named {
            self.aside(clause, Aside::Mentioned);
            return;
        }
        let corrected = current.hear(clause, &mut self.last_drive, as_before);
        if let Some(Off::It { plug, many, itself }) = clause.off
            && !says.would
            && !(many && (current.is_one() || current.name.is_none()))
        {
            // "It's a heat shield, four screws, and that lifts out": what was pointed at.
            if current.name.is_none()
                && current.has_fasteners()
                && let Some(name) = self.pointed.take().map(|(name, _)| name).or_else(|| self.intended.take())
            {
                current.call(&name);
            }
            // "They're on a small plug, so I pull that off": the plug.
            let that =
                clause.spots.iter().any(|s| !s.denied && matches!(s.what, What::Fastener { name: "connector", .. }));
            current.it_came_off(plug, that, itself || many, clause.cues.1);
        }
        current.cues.extend(spoken_in(clause));
        // "Unplug it first": done before, and apart from, what holds the part itself.
        let verb = clause
            .spots
            .iter()
            .find(|s| !s.denied && matches!(s.what, What::Fastener { verb: true, name: "connector", .. }));
        let first =
            verb.is_some_and(|s| clause.tokens[s.to..].iter().take(4).any(|t| matches!(&*t.text, "first" | "before")));
        let rest = current.name.clone().filter(|_| first && !says.would && !self.by_line && current.splits_plug());
        for cue in corrected {
            self.out.asides.insert(cue, Aside::Corrected);
        }
        if let Some(name) = rest {
            let (plug, held) = self.current.take().map_or((None, None), Segment::plug_first);
            self.push(plug);
            self.current = held.or_else(|| Some(Segment::named(&name)));
        }
    }

    /// "Same driver as the clamp": the drive of the screws of a part that was named.
    fn as_before(&self, clause: &Clause) -> Option<String> {
        let same_as = clause.tokens.iter().position(|t| t.text == "same")?;
        let at = same_as + clause.tokens[same_as..].iter().position(|t| matches!(&*t.text, "as" | "like"))?;
        let part = clause.spots.iter().find_map(|s| match &s.what {
            What::Part(name) if s.from > at => Some(name),
            _ => None,
        })?;
        let entry = self.out.entries.iter().rev().find(|e| same(&e.name, part))?;
        entry.fasteners.iter().flatten().find_map(|f| f.drive.clone())
    }

    /// Cues that hold nothing but what is said not to be there.
    pub(super) fn denials(&mut self, clause: &Clause, named: bool) {
        // Words that name the part at hand stay with it, whatever else they deny.
        if !named
            && clause.spots.iter().any(|s| s.denied)
            && clause.spots.iter().all(|s| s.denied || matches!(s.what, What::Part(_)))
        {
            let cues = spoken_in(clause);
            if let Some(current) = &mut self.current {
                current.cues.retain(|c| !cues.contains(c));
            }
            for cue in cues {
                self.out.asides.insert(cue, Aside::Denied);
            }
        }
    }
}
