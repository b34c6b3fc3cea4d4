//! A bench sheet applied to a record: what a bench takes for granted fills what the record leaves open, and nothing else.

use std::collections::BTreeMap;

use super::{Fact, Known, Named, Record, Tool, Work};
use crate::text::FileId;
use crate::vocab::{Kind, Place, Skill};

/// How to begin a bench sheet, said of an empty one.
pub const START: &str = "start from `unfasten bench: 1` and `name:`";

/// What a bench sheet says about one record. Its facts carry the basis `assumed` and the sheet's name as source, and
/// their places lie in the sheet.
#[derive(Clone, Debug)]
pub struct Bench {
    /// What the sheet is called.
    pub name: String,
    /// Its text.
    pub file: FileId,
    /// Tools of the sheet that the record doesn't name; they follow those of [`Record::tools`].
    pub(super) tools: Vec<Tool>,
    /// Working environment.
    pub(super) place: Option<Fact<Place>>,
    /// Skill level.
    pub(super) skill: Option<Fact<Skill>>,
    /// Tools of actions that state none, by list (false: `actions`, true: `back`) and place in it.
    pub(super) with: BTreeMap<(bool, usize), Vec<Work>>,
    /// The record without what the sheet supplies, once it is applied.
    pub(super) without: Option<Box<Record>>,
    /// Kinds of fasteners that state none, by list, place in it, and place in `loosen`.
    pub(super) kinds: BTreeMap<(bool, usize, usize), Fact<Kind>>,
}

impl Record {
    /// The record with what its bench sheet takes for granted; `None` without a sheet, or where the sheet has nothing to
    /// add.
    pub fn on_bench(&self) -> Option<Self> {
        let sheet = self.bench.as_ref()?;
        let mut out = self.clone();
        let mut filled = false;
        let mut fill = |fact: &mut Fact<Place>| {
            if let Some(place) = sheet.place.as_ref().filter(|_| fact.known == Known::Unknown) {
                fact.clone_from(place);
                filled = true;
            }
        };
        fill(&mut out.teardown.place);
        let actions = || [false, true].into_iter();
        for back in actions() {
            let list = if back { &mut out.back } else { &mut out.actions };
            list.iter_mut().filter_map(|a| a.place.as_mut()).for_each(&mut fill);
        }
        let mut fill = |fact: &mut Fact<Skill>| {
            if let Some(skill) = sheet.skill.as_ref().filter(|_| fact.known == Known::Unknown) {
                fact.clone_from(skill);
                filled = true;
            }
        };
        fill(&mut out.teardown.skill);
        for back in actions() {
            let list = if back { &mut out.back } else { &mut out.actions };
            list.iter_mut().filter_map(|a| a.skill.as_mut()).for_each(&mut fill);
        }
        out.tools.extend(sheet.tools.iter().cloned());
        for back in actions() {
            let list = if back { &mut out.back } else { &mut out.actions };
            for (at, action) in list.iter_mut().enumerate() {
                if let Some(with) = sheet.with.get(&(back, at)) {
                    action.with.clone_from(with);
                    filled = true;
                }
                for (slot, loosened) in action.loosen.iter_mut().enumerate() {
                    if let Some(kind) = sheet.kinds.get(&(back, at, slot)) {
                        loosened.kind.clone_from(kind);
                        filled = true;
                    }
                }
            }
        }
        super::read::imply(&mut out.actions, &out.parts, &out.tools);
        super::read::imply(&mut out.back, &out.parts, &out.tools);
        if let Some(bench) = out.bench.as_mut().filter(|_| filled) {
            bench.without = Some(Box::new(self.clone()));
        }
        filled.then_some(out)
    }

    /// Where a bench sheet was applied: the sheet's name, and the record as it is without.
    pub fn without_sheet(&self) -> Option<(&str, &Self)> {
        let bench = self.bench.as_ref()?;
        Some((bench.name.as_str(), bench.without.as_deref()?))
    }
}

impl<T> Fact<T> {
    /// Whether a bench sheet supplied it.
    pub fn by_sheet(&self) -> bool {
        self.path.starts_with(SHEET)
    }
}

/// Data paths of a bench sheet begin so; a record has no such field with fields of its own.
pub(super) const SHEET: &str = "bench.";

/// Whether a kind is one the record leaves open, so that a sheet may speak: unknown, or any that an adhesive may have.
pub(super) fn open_kind(known: &Known<Kind>) -> bool {
    match known {
        Known::Unknown => true,
        Known::OneOf(list) => list.as_slice() == Kind::STICKY,
        Known::Is(_) | Known::Between(..) => false,
    }
}

/// Whether an action's tools are left open as a whole.
pub(super) fn open_with(with: &[Work]) -> bool {
    matches!(with, [only] if only.ways.known == Known::Unknown && !only.single)
}

/// Whether fasteners are named well enough to look up what they take.
pub(super) fn looked_up(loosen: &[super::Loosened]) -> bool {
    loosen.iter().all(|l| l.named == Named::Fastener && !l.perhaps)
}
