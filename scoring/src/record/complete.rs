//! A record with every question answered: what routes are searched on and methods assess.

use crate::exact::Exact;
use crate::route;
use crate::vocab::{Access, Category, Form, Kind, Place, Skill, ToolClass};

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
    /// Names of what can be reached: parts off and `do`s done; index is a [`route::Thing`].
    pub things: Vec<String>,
    /// Actions: the record's in order, then those that stand for parts nobody tried and roles nobody mentioned.
    pub actions: Vec<CompleteAction>,
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
    pub name: String,
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
    pub frees: Vec<route::Thing>,
    /// Milestone of a `do`.
    pub does: Option<route::Thing>,
    /// Parts laid aside: away from their place, still connected.
    pub aside: Vec<route::Thing>,
    /// Cleans: removes what is left of an adhesive or dirt, and frees nothing.
    pub cleans: bool,
    /// Operations: ways, each a sorted set of tools.
    pub operations: Vec<Vec<Vec<usize>>>,
    /// Fasteners: kind, adhesive, how many.
    pub fasteners: Vec<CompleteFastener>,
    /// Prerequisites, all of.
    pub after: Vec<route::Need>,
    /// Parts destroyed.
    pub destroys: Vec<route::Thing>,
    /// Unplugs mains.
    pub mains: bool,
    /// Working environment.
    pub place: Place,
    /// Skill level.
    pub skill: Skill,
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
    pub thing: route::Thing,
    /// Whether the device has it (false: absent).
    pub present: bool,
    /// Fills other roles too.
    pub several_roles: bool,
    /// Needs software pairing.
    pub paired: bool,
    /// The promise for this part.
    pub spare: CompleteSpare,
}

/// Promises for one part.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct CompleteSpare {
    /// Offered to.
    pub to: Access,
    /// Years.
    pub years: Exact,
    /// Working days.
    pub delivery: Exact,
    /// Price as percent of the device's price.
    pub price_share: Exact,
    /// Price published.
    pub price_published: bool,
    /// Interface: rank in the measure's words.
    pub interface: u8,
    /// Pairing access: rank in the measure's words.
    pub pairing: u8,
}

/// Promises for the device. Words are ranks in their measure's words, 0 best.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CompleteSupport {
    /// Who gets information.
    pub information_to: Access,
    /// It costs nothing.
    pub information_free: bool,
    /// Scope of information.
    pub information_scope: u8,
    /// Years of updates.
    pub updates: Exact,
    /// Years of security updates.
    pub security_updates: Exact,
    /// Diagnosis.
    pub diagnosis: u8,
    /// Return options.
    pub returns: u8,
    /// Data transfer and deletion.
    pub data: u8,
    /// Reset.
    pub reset: u8,
    /// Full cycles to 80 %.
    pub battery_cycles: Exact,
    /// Percent after 500 cycles.
    pub capacity_500: Exact,
    /// Percent after 1 000 cycles.
    pub capacity_1000: Exact,
    /// Ingress digits: dust, water.
    pub ingress: (u8, u8),
    /// Endurance: power key, volume keys, charging port.
    pub endurance: [Exact; 3],
    /// Marks by row.
    pub marks: std::collections::BTreeMap<String, Exact>,
}
