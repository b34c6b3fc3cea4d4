//! What a record says, place by place and as well as it is known.

use std::collections::BTreeMap;
use std::ops::{Deref, DerefMut};

use super::entries::{ActionFields, DeviceFields, Mended, OwnVerdict, PartFields, Photo, PutBack, Teardown};
use super::promises::Facts;
use crate::exact::Exact;
pub use crate::text::Spanned;
use crate::text::{FileId, Span};
use crate::vocab::{Basis, Category, Family, Kind, ToolClass};

/// How well something is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Known<T> {
    /// Established.
    Is(T),
    /// One of these, not established which (at least two, as written).
    OneOf(Vec<T>),
    /// Numbers: between two values, ends included; `None` is open.
    Between(Option<T>, Option<T>),
    /// Nobody established it.
    Unknown,
}

impl<T> Known<T> {
    /// The same knowledge of another sort of value.
    pub fn map<U>(&self, to: impl Fn(&T) -> U) -> Known<U> {
        match self {
            Self::Is(value) => Known::Is(to(value)),
            Self::OneOf(list) => Known::OneOf(list.iter().map(to).collect()),
            Self::Between(low, high) => Known::Between(low.as_ref().map(&to), high.as_ref().map(&to)),
            Self::Unknown => Known::Unknown,
        }
    }
}

/// A fact of a record: value as known, place, and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact<T> {
    /// The value, as well as it is known.
    pub known: Known<T>,
    /// Where the value stands in the record (for an omission: the mapping it is missing from).
    pub span: Span,
    /// Data path such as `actions[2].with[0]`.
    pub path: String,
    /// Basis, where stated for this fact itself.
    pub basis: Option<Basis>,
    /// Source, where stated.
    pub source: Option<String>,
    /// False when the record leaves the field out.
    pub stated: bool,
}

impl<T> Fact<T> {
    /// A fact nobody stated; `span` is the mapping it is missing from.
    pub fn missing(span: Span, path: impl Into<String>) -> Self {
        Self { known: Known::Unknown, span, path: path.into(), basis: None, source: None, stated: false }
    }

    /// A fact that follows from a word or an omission and isn't written out.
    pub fn implied(known: Known<T>, span: Span, path: impl Into<String>) -> Self {
        Self { known, ..Self::missing(span, path) }
    }

    /// The same fact of another sort of value.
    pub fn map<U>(self, to: impl Fn(&T) -> U) -> Fact<U> {
        let Self { known, span, path, basis, source, stated } = self;
        Fact { known: known.map(to), span, path, basis, source, stated }
    }

    /// The established value, if it is.
    pub fn settled(&self) -> Option<&T> {
        match &self.known {
            Known::Is(value) => Some(value),
            _ => None,
        }
    }
}

/// A record as read. Positions point into the source it was read from.
#[derive(Clone, Debug)]
pub struct Record {
    /// The whole text.
    pub span: Span,
    /// Path of the record this one is a variant of.
    pub extends: Option<Spanned<String>>,
    /// The records it is made from, the nearest first.
    pub bases: Vec<Base>,
    /// What the bench sheet it names, or was read with, takes for granted; not applied: see [`Record::on_bench`].
    pub bench: Option<super::Bench>,
    /// Identity.
    pub device: Device,
    /// Circumstances.
    pub teardown: Teardown,
    /// Declared parts, in record order.
    pub parts: Vec<Part>,
    /// Roles the device does not have.
    pub absent: Vec<Spanned<String>>,
    /// Every tool that occurs, resolved against the vocabulary and the record's own words; [`ToolId`] indexes it.
    pub tools: Vec<Tool>,
    /// The record's own roles (category other): name and integer share.
    pub own_roles: Vec<(Spanned<String>, u32)>,
    /// Those of its own roles that a draft proposed and nobody has confirmed.
    pub proposed: Vec<Spanned<String>>,
    /// `order: as logged`.
    pub as_logged: Option<Span>,
    /// Actions, in record order.
    pub actions: Vec<Action>,
    /// Actions that exist only on the way back.
    pub back: Vec<Action>,
    /// The maker's own route: indices into `actions`.
    pub official: Option<Spanned<Vec<usize>>>,
    /// What the maker promises.
    pub support: Support,
    /// Whether it was put back: done, powered on, tested.
    pub put_back: PutBack,
    /// The reviewer's own verdict, shown beside, never mixed in.
    pub own_verdict: Option<OwnVerdict>,
    /// Marks given for methods that take marks: method id, row, mark out of 10.
    pub marks: BTreeMap<String, BTreeMap<String, Fact<Exact>>>,
    /// Remarks for and against.
    pub remarks: Vec<Remark>,
    /// What was put right since the record was first published, the oldest first.
    pub corrections: Vec<Mended>,
    /// Free text, Markdown.
    pub notes: Option<Spanned<String>>,
    /// Caution texts of the record's own hazards: folded name to text.
    pub own_hazards: BTreeMap<String, String>,
}

/// A record that a variant starts from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Base {
    /// Its text.
    pub file: FileId,
    /// Name of its device, where it has one.
    pub device: Option<String>,
}

/// Identity of the device.
#[derive(Clone, Debug)]
pub struct Device {
    /// Name.
    pub name: Spanned<String>,
    /// Category.
    pub category: Spanned<Category>,
    /// Figures of its battery, keys and port.
    pub facts: Facts,
    /// Its fields that stand for themselves: `device.maker` is one of them.
    pub fields: DeviceFields,
}

/// Gives an entry the fields that stand for themselves as its own.
macro_rules! fields_of {
    ($($entry:ty: $fields:ty;)+) => {
        $(impl Deref for $entry {
            type Target = $fields;

            fn deref(&self) -> &$fields {
                &self.fields
            }
        }

        impl DerefMut for $entry {
            fn deref_mut(&mut self) -> &mut $fields {
                &mut self.fields
            }
        })+
    };
}

fields_of! {
    Device: DeviceFields;
    Part: PartFields;
    Action: ActionFields;
}

/// An amount of money.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Money {
    /// ISO 4217 code.
    pub currency: String,
    /// Amount.
    pub amount: Exact,
}

impl Record {
    /// The actions above one, the nearest first: higher in the list, and not failed.
    pub fn above(&self, action: usize) -> impl Iterator<Item = usize> {
        (0..action).rev().filter(|&i| self.actions[i].outcome.value != Outcome::Failed)
    }

    /// Where a draft stated facts of the device or of the way back that nobody has confirmed.
    pub fn drafted_facts(&self) -> Vec<(&str, Span)> {
        let drafted = |basis: Option<Basis>| basis == Some(Basis::Drafted);
        let price = self.device.price.iter().filter(|p| drafted(p.basis)).map(|p| (&*p.path, p.span));
        let back = [&self.put_back.done, &self.put_back.powered_on, &self.put_back.tested];
        price.chain(back.into_iter().filter(|f| drafted(f.basis)).map(|f| (&*f.path, f.span))).collect()
    }

    /// Whether somebody saw an action, on this bench or in the footage a draft was made from: then the log has it in its place.
    pub fn witnessed(&self, action: &Action) -> bool {
        matches!(action.margin.basis.unwrap_or(self.teardown.basis()), Basis::Seen | Basis::Drafted)
    }

    /// Remarks a draft took from the talk that nobody has confirmed.
    pub fn drafted_remarks(&self) -> impl Iterator<Item = &Remark> {
        self.remarks.iter().filter(|r| r.drafted)
    }

    /// Actions of the way in that were drafted and that nobody has reviewed.
    pub fn drafted(&self) -> impl Iterator<Item = &Action> {
        let drafted = |a: &&Action| a.unreviewed() || a.margin.basis.unwrap_or(self.teardown.basis()) == Basis::Drafted;
        self.actions.iter().filter(drafted)
    }
}

/// A declared part.
#[derive(Clone, Debug)]
pub struct Part {
    /// Name as declared.
    pub name: Spanned<String>,
    /// Roles by their vocabulary name.
    pub roles: Vec<Spanned<Role>>,
    /// Another part this one is, or perhaps is (then `known` is that part or nothing): two mentions of one thing.
    pub same_as: Option<SameAs>,
    /// Nobody tried to free it.
    pub not_attempted: Option<Span>,
    /// Hazards, by vocabulary or own name.
    pub hazards: Vec<Spanned<String>>,
    /// Basis, source, note, photos.
    pub margin: Margin,
    /// Its fields that stand for themselves: `part.paired` is one of them.
    pub fields: PartFields,
}

/// `same as: main board`, or `same as: perhaps main board`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SameAs {
    /// The other part, by name as resolved.
    pub part: Spanned<String>,
    /// Nobody established whether they are one.
    pub perhaps: bool,
    /// Data path.
    pub path: String,
}

/// A role a part fills.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Role {
    /// Vocabulary name (`speaker`).
    pub name: String,
    /// Whether the word used names a secondary instance (`earpiece`).
    pub secondary: bool,
}

/// What may stand beside any entry.
#[derive(Clone, Debug, Default)]
pub struct Margin {
    /// Basis of all it says.
    pub basis: Option<Basis>,
    /// Source of all it says.
    pub source: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// Pictures.
    pub photos: Vec<Photo>,
}

/// Index into [`Record::tools`].
pub type ToolId = usize;

/// A tool that occurs in the record.
#[derive(Clone, Debug)]
pub struct Tool {
    /// Display name with drive and size (`screwdriver PH0`, `opening pick`).
    pub name: String,
    /// Name beside others: of a screw drive the drive alone (`PH0`), else the display name.
    pub short: String,
    /// Class, possibly unknown (own words only).
    pub class: Fact<ToolClass>,
    /// Whether it is a heat source.
    pub heat: bool,
    /// Whether it is a solvent.
    pub solvent: bool,
}

/// One use of tools at once; empty is bare hands.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct ToolSet {
    /// Tools with their settings.
    pub tools: Vec<ToolUse>,
}

/// A tool with settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToolUse {
    /// Which tool.
    pub tool: ToolId,
    /// Temperature, °C.
    pub celsius: Option<u32>,
    /// Minutes of use.
    pub minutes: Option<Exact>,
}

/// An operation: ways any of which suffices (`a or b`), each a set of tools.
pub type Ways = Vec<ToolSet>;

/// One item of `with`: an operation, or work nobody wrote down.
#[derive(Clone, Debug)]
pub struct Work {
    /// The ways of the operation, as well as they are known.
    pub ways: Fact<Ways>,
    /// Where `ways` is unknown: one operation with one tool (`one unknown`); else any number of them, none included.
    pub single: bool,
}

/// How far an item of `loosen` names what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A fastener.
    Fastener,
    /// One fastener of some kind (`one unknown`).
    One,
    /// Any number of fasteners of any kind, none included (`unknown`).
    Any,
}

/// A fastener loosened, `count` times.
#[derive(Clone, Debug)]
pub struct Loosened {
    /// Words for display: of a screw with a drive the drive's one name and the length (`screw T5 6 mm`), else as written.
    pub text: String,
    /// Whether it names a fastener.
    pub named: Named,
    /// Vocabulary name (`screw`); empty for `unknown`.
    pub fastener: String,
    /// What it is, as people call it.
    pub family: Family,
    /// How many.
    pub count: Fact<Exact>,
    /// Drive, as its tool name (`PH0`).
    pub drive: Option<String>,
    /// Length in millimetres, where stated: for whoever puts it back.
    pub length: Option<Exact>,
    /// `perhaps`: opened too, or not.
    pub perhaps: bool,
    /// Kind.
    pub kind: Fact<Kind>,
    /// Sticks by adhesion; unknown only when the fastener itself is unknown.
    pub adhesive: bool,
    /// A note.
    pub note: Option<String>,
    /// Where.
    pub span: Span,
    /// Data path.
    pub path: String,
}

/// What must be off or done first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// A part off or a `do` done, by name as resolved.
    Is(Spanned<String>),
    /// One of these, not established which: one variable.
    OneOf(Vec<Spanned<String>>, Span),
    /// This, or nothing in its place, not established which.
    Perhaps(Spanned<String>),
    /// One of the members, each all of its list.
    Any(Vec<Vec<Need>>, Span),
}

impl Need {
    /// Meets every name it speaks of, in their order.
    pub fn each_name<'n>(&'n self, meet: &mut impl FnMut(&'n Spanned<String>)) {
        match self {
            Self::Is(name) | Self::Perhaps(name) => meet(name),
            Self::OneOf(names, _) => names.iter().for_each(meet),
            Self::Any(members, _) => members.iter().flatten().for_each(|need| need.each_name(meet)),
        }
    }

    /// Changes every name it speaks of, in their order.
    pub fn each_name_mut(&mut self, change: &mut impl FnMut(&mut Spanned<String>)) {
        match self {
            Self::Is(name) | Self::Perhaps(name) => change(name),
            Self::OneOf(names, _) => names.iter_mut().for_each(change),
            Self::Any(members, _) => members.iter_mut().flatten().for_each(|need| need.each_name_mut(change)),
        }
    }
}

/// Known prerequisites.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum After {
    /// Stated.
    Needs(Vec<Need>),
    /// Unknown, or left out without `order`: nothing, the action above, or everything above.
    Unknown,
    /// Left out under `order: as logged`: the action above, assumed.
    Above,
}

/// How well a time in the footage is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Timing {
    /// As written; a span lasts from its start to its end.
    Seen,
    /// Near this time. It says nothing of how long it took.
    About,
    /// Somewhere between the two. It says nothing of how long it took.
    Within,
}

/// When in the footage, in seconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// Start.
    pub from: u32,
    /// End; the start again for a point.
    pub to: u32,
    /// How well it is known.
    pub timing: Timing,
}

impl Moment {
    /// Seconds from start to end, where the record shows a stretch and not only a place to look.
    pub fn lasts(&self) -> Option<u32> {
        (self.timing == Timing::Seen && self.to > self.from).then(|| self.to - self.from)
    }
}

/// What became of an action.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Done.
    Done,
    /// Tried and failed: does not exist as a way.
    Failed,
    /// Not tried: works as written or does not exist, unknown which.
    NotAttempted,
}

impl Outcome {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Done, Self::Failed, Self::NotAttempted];
}

/// What an action achieves.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Aim {
    /// Takes these parts off in one lift.
    Free(Vec<Spanned<String>>),
    /// Does something needed.
    Do(Spanned<String>),
}

/// One thing the person does.
#[derive(Clone, Debug)]
pub struct Action {
    /// Where the entry starts (its first key).
    pub span: Span,
    /// Data path, `actions[3]`.
    pub path: String,
    /// Id, unique in the record.
    pub id: String,
    /// What it achieves.
    pub aim: Aim,
    /// The span is uncut footage.
    pub uncut: bool,
    /// Work in order; never empty (`with: unknown` or missing is one item, any number of operations).
    pub with: Vec<Work>,
    /// Fasteners.
    pub loosen: Vec<Loosened>,
    /// `loosen` was stated (else nothing, assumed).
    pub loosen_stated: bool,
    /// Prerequisites and where they stand.
    pub after: Spanned<After>,
    /// Outcome.
    pub outcome: Spanned<Outcome>,
    /// Parts a `do` lays away from their place while something still connects them, by name.
    pub aside: Vec<Spanned<String>>,
    /// This `do` cleans.
    pub cleans: bool,
    /// After this the device is safe to work on.
    pub makes_safe: bool,
    /// `makes safe: together`: the device is safe once this and all others that say so are done, and not before.
    pub safe_together: bool,
    /// Hazards.
    pub hazards: Vec<Spanned<String>>,
    /// Basis, source, note, photos.
    pub margin: Margin,
    /// Its fields that stand for themselves: `action.mains` is one of them.
    pub fields: ActionFields,
}

impl Action {
    /// A draft wrote it, whatever its basis, and nobody has held it against its words.
    pub fn unreviewed(&self) -> bool {
        self.reviewed == Some(false)
    }

    /// Names this achieves: the parts freed, or the `do` name.
    pub fn names(&self) -> Vec<&str> {
        match &self.aim {
            Aim::Free(parts) => parts.iter().map(|p| p.value.as_str()).collect(),
            Aim::Do(name) => vec![name.value.as_str()],
        }
    }
}

/// What a remark does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Speaks for the device.
    For,
    /// Speaks against it.
    Against,
    /// Neither.
    Neither,
}

/// A remark.
#[derive(Clone, Debug)]
pub struct Remark {
    /// Whether it speaks for the device.
    pub side: Side,
    /// The text.
    pub text: Spanned<String>,
    /// Time in the footage.
    pub at: Option<Moment>,
    /// Pictures.
    pub photos: Vec<Photo>,
    /// Its place among the data, `remarks[0]`.
    pub path: String,
    /// A draft took it from the talk, and nobody has confirmed it.
    pub drafted: bool,
}

/// Whether a whole support topic is there.
#[derive(Clone, Debug)]
pub struct Support {
    /// Spare parts per folded key: part name, role name, or `every part`.
    pub spares: BTreeMap<String, Spare>,
    /// Where `spare parts` stands (or the mapping it is missing from).
    pub spares_span: Span,
    /// `spare parts: none`.
    pub no_spares: bool,
    /// What support tables say of spare parts, by the same keys; see [`Support::spare`] for both together.
    pub tabled: BTreeMap<String, Spare>,
    /// Support tables that speak of this device. Their facts on the whole device stand below where they count.
    pub tables: Vec<FileId>,
    /// What is promised for the device.
    pub facts: Facts,
}

/// What is promised for one spare part.
#[derive(Clone, Debug)]
pub struct Spare {
    /// The key as written.
    pub key: Spanned<String>,
    /// What is promised.
    pub facts: Facts,
}
