//! A record with every question answered: what routes are searched on and methods assess.

pub use super::actions::Actions;
use std::sync::Arc;

use super::promises::Term;
use crate::exact::Exact;
use crate::need::{Need, Thing};
use crate::vocab::promise::Promise;
use crate::vocab::{Category, Form, Kind, Place, Skill, ToolClass};

/// Stands for days and percents of what nobody sells: beyond any bound.
pub const NOT_SOLD: i64 = 1_000_000;

/// Stands for any number of steps or of joints, where nobody wrote down how many: beyond any bound.
pub const MANY: u32 = 1_000_000;

/// A count that may hold [`MANY`]: what is known of it, and whether any number comes on top.
pub fn open_count(n: u32) -> (u32, bool) {
    (n % MANY, n >= MANY)
}

/// Index into [`Complete::actions`].
pub type ActionIndex = usize;

/// A complete record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Complete {
    /// Category.
    pub category: Category,
    /// Form.
    pub form: Form,
    /// Tools, the record's own first ([`crate::record::ToolId`]), then fresh ones that unknowns brought in.
    pub tools: Vec<CompleteTool>,
    /// Names of what can be reached: parts off and `do`s done; index is a [`Thing`].
    pub things: Arc<Vec<String>>,
    /// Actions: the record's in order, then those that stand for parts nobody tried and roles nobody mentioned.
    pub actions: Actions,
    /// The maker's own route, where it is known: indices of `actions`, in its order.
    pub official: Vec<ActionIndex>,
    /// Parts that fill roles.
    pub fills: Vec<Fill>,
    /// Support facts.
    pub support: CompleteSupport,
}

/// A tool with its class.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CompleteTool {
    /// Display name.
    pub name: Arc<str>,
    /// Class.
    pub class: ToolClass,
    /// Heat source.
    pub heat: bool,
    /// Solvent.
    pub solvent: bool,
    /// Stands for any number of operations with any tools: using it costs [`MANY`] steps.
    pub many: bool,
}

/// An action with every question answered.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CompleteAction {
    /// Index into [`crate::record::Record::actions`]; `None` for one that stands for something nobody wrote down.
    pub written: Option<usize>,
    /// False: does not exist as a way.
    pub exists: bool,
    /// Parts freed.
    pub frees: Vec<Thing>,
    /// Milestone of a `do`.
    pub does: Option<Thing>,
    /// Parts laid aside: away from their place, still connected.
    pub aside: Vec<Thing>,
    /// Cleans: removes what is left of an adhesive or dirt, and frees nothing.
    pub cleans: bool,
    /// Operations: ways, each a sorted set of tools.
    pub operations: Vec<Vec<Vec<usize>>>,
    /// Fasteners: kind, adhesive, how many.
    pub fasteners: Vec<CompleteFastener>,
    /// Prerequisites, all of.
    pub after: Vec<Need>,
    /// Parts destroyed.
    pub destroys: Vec<Thing>,
    /// Unplugs mains.
    pub mains: bool,
    /// Working environment.
    pub place: Place,
    /// Skill level.
    pub skill: Skill,
}

impl CompleteAction {
    /// Takes one thing off by hand, at any time: stands for something nobody wrote down, before its questions are asked.
    pub fn by_hand(thing: Thing) -> Self {
        Self {
            written: None,
            exists: true,
            frees: vec![thing],
            does: None,
            operations: vec![vec![vec![]]],
            fasteners: Vec::new(),
            after: Vec::new(),
            destroys: Vec::new(),
            aside: Vec::new(),
            cleans: false,
            mains: false,
            place: Place::Use,
            skill: Skill::Layman,
        }
    }

    /// Makes it as good as it can be for what it reaches: bare hands, no fasteners, anybody's place and skill, nothing destroyed.
    pub(crate) fn make_best(&mut self) {
        self.exists = true;
        self.operations.iter_mut().for_each(|o| *o = vec![vec![]]);
        self.fasteners.clear();
        self.destroys.clear();
        self.place = Place::Use;
        self.skill = Skill::Layman;
    }
}

/// Fasteners of one sort opened by an action.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CompleteFastener {
    /// Index into the written action's `loosen`; `None` where nobody wrote it down.
    pub written: Option<usize>,
    /// Kind.
    pub kind: Kind,
    /// Sticks by adhesion.
    pub adhesive: bool,
    /// How many; 0: there is none, [`MANY`]: any number.
    pub count: u32,
}

/// A part filling a role.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Fill {
    /// Role, vocabulary name.
    pub role: String,
    /// Index into [`crate::record::Record::parts`]; `None` for a role nobody mentioned.
    pub part: Option<usize>,
    /// The part as a milestone.
    pub thing: Thing,
    /// Whether the device has it (false: absent).
    pub present: bool,
    /// Fills other roles too.
    pub several_roles: bool,
    /// Needs software pairing.
    pub paired: bool,
    /// What is promised for this part.
    pub spare: Promised,
}

/// What of a part filling a role the ways to it, or measures read on them, can depend on: not what is promised.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct OnRoutes {
    thing: Thing,
    present: bool,
    several_roles: bool,
    paired: bool,
}

impl Fill {
    /// What the ways to it depend on.
    pub(crate) fn on_routes(&self) -> OnRoutes {
        let Self { thing, present, several_roles, paired, .. } = *self;
        OnRoutes { thing, present, several_roles, paired }
    }
}

/// Facts of one sort with every question answered, a value for each row.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Promised {
    of_part: bool,
    values: Vec<Term>,
}

impl Promised {
    /// All at their worst: of one spare part, or of the device. Stands where no measure of a method reads, and is never shown.
    pub fn unread(of_part: bool) -> Self {
        let own = Promise::ALL.iter().filter(|p| p.of_part() == of_part);
        let worst = |p: &Promise| match p.row().holds.words().len() {
            0 => Term::Number(Exact::zero()),
            n => Term::Word(u8::try_from(n - 1).unwrap_or(u8::MAX)),
        };
        Self { of_part, values: own.map(worst).collect() }
    }

    /// The number of a fact; 0 of one that holds words.
    pub fn number(&self, promise: Promise) -> Exact {
        self[promise].number().cloned().unwrap_or_else(Exact::zero)
    }

    /// The rank of the word of a fact, 0 best; 0 of one that holds numbers.
    pub fn rank(&self, promise: Promise) -> u8 {
        self[promise].rank().unwrap_or(0)
    }

    /// Puts a value in the place of another.
    ///
    /// # Panics
    /// If the fact is of another sort.
    pub fn set(&mut self, promise: Promise, value: Term) {
        let place = self.place(promise);
        self.values[place] = value;
    }

    /// With one value in the place of another.
    ///
    /// # Panics
    /// If the fact is of another sort.
    #[must_use]
    pub fn with(mut self, promise: Promise, value: Term) -> Self {
        self.set(promise, value);
        self
    }

    /// Whether no fact is worse than in another of the same sort.
    pub fn no_worse(&self, other: &Self) -> bool {
        let rows = Promise::ALL.iter().filter(|p| p.of_part() == self.of_part);
        rows.zip(self.values.iter().zip(&other.values)).all(|(p, (x, y))| match x {
            Term::Number(_) if !p.row().holds.fewer() => x >= y,
            _ => x <= y,
        })
    }

    fn place(&self, promise: Promise) -> usize {
        assert_eq!(promise.of_part(), self.of_part, "{promise:?} is of another sort");
        promise as usize - if self.of_part { 0 } else { Promise::PARTS }
    }
}

impl std::ops::Index<Promise> for Promised {
    type Output = Term;

    /// # Panics
    /// If the fact is of another sort.
    fn index(&self, promise: Promise) -> &Term {
        &self.values[self.place(promise)]
    }
}

/// What is known of the device beside its parts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompleteSupport {
    /// Promises and figures.
    pub facts: Promised,
    /// Marks by row.
    pub marks: std::collections::BTreeMap<String, Exact>,
}
