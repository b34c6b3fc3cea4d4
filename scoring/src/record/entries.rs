//! The fields of entries, each described once: its name, what it is, what may stand there.
//!
//! What these structs say is read by serde (see [`text::fields`](crate::text::fields)), and from it come the JSON Schema, the
//! tables of fields of the format page, and the names that a misspelt field is near to. The doc comment of a field is what
//! is said of it there. A field whose value depends on what else the record says is [`Unread`]: its reader is under `read/`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::written::{
    AfterForm, AsLogged, BatteryForm, CategoryForm, Count, Date, DriveName, EnduranceForm, FileName, Grams, HandsOn,
    LineNumber, LoosenForm, MakesSafe, Mark, Millimetres, Minutes, NotAttempted, ProtectionCode, Release, SamePartForm,
    Seconds, Share, SupportForm, ToolsForm, VersionForm,
};
use super::{Fact, Moment, Money, Outcome};
use crate::text::Spanned;
use crate::text::fields::{Either, ListOf, Needed, Unread};
use crate::vocab::{Basis, Form, Kind, Place, Skill, ToolClass};

/// `photo` of an entry: a file name, `{file, alt}`, or a list of those.
pub type Photos = Vec<Either<Photo, Spanned<FileName>>>;

/// A record.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a record")]
pub(super) struct RecordFields {
    /// Version of the format: 1.
    #[expect(dead_code, reason = "looked at before anything else is read")]
    unfasten: Needed<Unread<VersionForm>>,
    /// Path of the record this one is a variant of, relative to this one.
    pub(super) extends: Option<Spanned<String>>,
    /// In a variant: ids of actions of the base that it does not have.
    #[expect(dead_code, reason = "taken out before the variant is read")]
    without: Option<Unread<Vec<String>>>,
    /// Identity of the device.
    pub(super) device: Needed<Unread<DeviceFields>>,
    /// Circumstances of the teardown.
    pub(super) teardown: Option<Unread<Teardown>>,
    /// Names of parts to their roles.
    pub(super) parts: Option<Unread<BTreeMap<String, PartFields>>>,
    /// Roles this device does not have.
    pub(super) absent: Option<Unread<Vec<String>>>,
    /// Tools of your own.
    pub(super) tools: Option<Unread<BTreeMap<String, ToolFields>>>,
    /// Fasteners of your own.
    pub(super) fasteners: Option<Unread<BTreeMap<String, FastenerFields>>>,
    /// Hazards of your own: name to caution text.
    pub(super) hazards: Option<Unread<BTreeMap<String, String>>>,
    /// Roles of your own, where the category has none of the vocabulary.
    pub(super) roles: Option<Unread<BTreeMap<String, RoleFields>>>,
    /// Path of a bench sheet: what this bench takes for granted, relative to this file.
    #[expect(dead_code, reason = "its sheet is looked for before the record is read")]
    bench: Option<String>,
    /// `as logged`: an action that states no `after` needs the one above it.
    pub(super) order: Option<Unread<Spanned<AsLogged>>>,
    /// What was done, in order.
    pub(super) actions: Option<Unread<ListOf<ActionFields>>>,
    /// Actions that exist only on the way back, `do` only.
    pub(super) back: Option<Unread<ListOf<ActionFields>>>,
    /// Ids of the actions of the maker's own route.
    pub(super) official: Option<Unread<Vec<String>>>,
    /// What the maker promises.
    pub(super) support: Option<Unread<SupportForm>>,
    /// Whether it was put back.
    #[serde(rename = "put back")]
    pub(super) put_back: Option<Unread<PutBack>>,
    /// Your gut feeling, shown beside, never mixed in; with its reason as `{is, because}`.
    #[serde(rename = "own verdict")]
    pub(super) own_verdict: Option<Either<OwnVerdict, Spanned<String>>>,
    /// Method id to rows to marks, 0 to 10, for methods that take marks as given.
    pub(super) marks: Option<Unread<BTreeMap<String, BTreeMap<String, Fact<Mark>>>>>,
    /// What speaks for or against the device, or neither.
    pub(super) remarks: Option<Unread<ListOf<RemarkFields>>>,
    /// What was put right since the record was first published, the oldest first.
    pub(super) corrections: Option<Unread<ListOf<Mended>>>,
    /// Free text in Markdown.
    pub(super) notes: Option<Spanned<String>>,
}

/// An entry of `tools`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a tool of your own")]
pub(super) struct ToolFields {
    /// Tool class.
    pub(super) class: Needed<Fact<ToolClass>>,
    /// Its drive and size.
    pub(super) drive: Option<DriveName>,
    /// It is a heat source.
    pub(super) heat: bool,
    /// It is a solvent.
    pub(super) solvent: bool,
}

/// An entry of `fasteners`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a fastener of your own")]
pub(super) struct FastenerFields {
    /// What becomes of it when opened.
    pub(super) kind: Option<Fact<Kind>>,
    /// It sticks by adhesion.
    pub(super) adhesive: bool,
    /// It seals.
    pub(super) seal: bool,
}

/// An entry of `roles`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a role of your own")]
pub(super) struct RoleFields {
    /// Its share, a whole number of 1 or more.
    pub(super) weight: Option<Share>,
    /// `drafted`: a draft proposed it, and nobody has confirmed it.
    pub(super) basis: Option<Basis>,
}

/// An entry of `actions` or `back`, as far as its fields stand for themselves.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(rename = "an action")]
pub struct ActionFields {
    /// The part or parts this takes off in one lift.
    pub(super) free: Option<Unread<Vec<String>>>,
    /// Something needed that frees nothing.
    pub(super) r#do: Option<Unread<String>>,
    /// A name for this way.
    pub(super) id: Option<String>,
    /// Time in the footage.
    pub at: Option<Spanned<Moment>>,
    /// This span is uncut footage.
    pub(super) uncut: Option<bool>,
    /// Tools in order, used without interruption.
    pub(super) with: Option<Unread<ToolsForm>>,
    /// Fasteners opened; `nothing`; `one unknown`; `unknown` (any number of any kind).
    pub(super) loosen: Option<Unread<LoosenForm>>,
    /// What must be off or done before.
    pub(super) after: Option<Unread<AfterForm>>,
    /// done, failed or not attempted.
    pub(super) outcome: Option<Spanned<Outcome>>,
    /// Why it failed or was not attempted.
    pub because: Option<String>,
    /// Parts this destroys.
    pub destroys: Vec<Spanned<String>>,
    /// Parts that keep a mark they can live with; costs nothing.
    pub wears: Vec<Spanned<String>>,
    /// Parts a `do` lays aside while something still connects them.
    pub(super) aside: Option<Unread<Vec<Spanned<String>>>>,
    /// This `do` cleans.
    pub(super) cleans: Option<Unread<bool>>,
    /// After this the device is safe to work on; `together`: once all that say so are done.
    #[serde(rename = "makes safe")]
    pub(super) makes_safe: Option<MakesSafe>,
    /// This unplugs mains equipment.
    pub mains: bool,
    /// Working environment, where it differs from the teardown's.
    pub place: Option<Fact<Place>>,
    /// Skill level, where it differs from the teardown's.
    pub skill: Option<Fact<Skill>>,
    /// One or a list of hazards.
    pub(super) hazard: Option<Unread<Vec<String>>>,
    /// What the way back needs.
    pub refit: Spanned<Refit>,
    /// Time nobody works (softening, cooling).
    pub wait: Option<Spanned<Minutes>>,
    /// `no`: a draft wrote it, and nobody has held it against its words.
    pub reviewed: Option<bool>,
    /// Your own measured hands-on time.
    pub takes: Option<Spanned<HandsOn>>,
    /// A file name, {file, alt}, or a list of those.
    pub(super) photo: Photos,
    /// Basis of all the entry says.
    pub(super) basis: Option<Basis>,
    /// Source of all the entry says.
    pub(super) source: Option<String>,
    /// A note.
    pub(super) note: Option<String>,
}

/// A fastener of `loosen` written as a mapping.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a fastener")]
pub(super) struct LoosenFields {
    /// Which fastener.
    pub(super) fastener: Unread<String>,
    /// How many.
    pub(super) count: Option<Fact<Count>>,
    /// Its drive, such as PH0.
    pub(super) drive: Option<DriveName>,
    /// Its length.
    pub(super) length: Option<Millimetres>,
    /// What becomes of it when opened.
    pub(super) kind: Option<Fact<Kind>>,
    /// A note.
    pub(super) note: Option<String>,
    /// Basis of all the entry says.
    pub(super) basis: Option<Basis>,
    /// Source of all the entry says.
    pub(super) source: Option<String>,
}

/// `refit` of an action.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(rename = "the refit")]
pub struct Refit {
    /// What to buy.
    pub buy: Vec<String>,
    /// What to take care of.
    pub care: Vec<String>,
    /// What to check.
    pub check: Vec<String>,
    /// What happens if skipped.
    #[serde(rename = "if skipped")]
    pub if_skipped: Vec<String>,
}

/// `{file, alt}`.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename = "a photo")]
pub struct Photo {
    /// File name, relative to the record.
    pub file: Spanned<String>,
    /// What the picture shows, for those who can't see it.
    pub alt: Option<String>,
}

impl Photo {
    /// The photos of an entry, however they are written.
    pub(super) fn all(written: Photos) -> Vec<Self> {
        let photo = |entry| match entry {
            Either::Mapping(photo) => photo,
            Either::Short(Spanned { value: FileName(file), span }) => {
                Self { file: Spanned::new(file, span), alt: None }
            }
        };
        written.into_iter().map(photo).collect()
    }
}

/// `device`, as far as its fields stand for themselves.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "the device")]
pub struct DeviceFields {
    /// What the device is called.
    pub(super) name: Needed<Spanned<String>>,
    /// Who makes it.
    pub maker: Option<Spanned<String>>,
    /// Model.
    pub model: Option<Spanned<String>>,
    /// Variant, such as memory size or colour.
    pub variant: Option<Spanned<String>>,
    /// Where it is sold.
    pub region: Option<Spanned<String>>,
    /// Its number in a public register.
    #[serde(rename = "register number")]
    pub register_number: Option<Spanned<String>>,
    /// Condition of the unit.
    pub condition: Option<Spanned<String>>,
    /// Product category; roles and methods depend on it. One of your own, with `roles`.
    pub(super) category: Needed<Unread<CategoryForm>>,
    /// folding, not folding, rollable (smartphones and slate tablets).
    pub form: Option<Fact<Form>>,
    /// Price when new: amount and ISO 4217 currency.
    pub price: Option<Fact<Money>>,
    /// Its weight.
    pub weight: Fact<Grams>,
    /// When the product was released.
    pub released: Fact<Release>,
    /// Day this unit was first supplied, for rules that apply from a day on.
    #[serde(rename = "on market")]
    pub on_market: Fact<Date>,
    /// Protection code such as IP67.
    pub ingress: Fact<ProtectionCode>,
    /// Endurance of the battery.
    pub(super) battery: Option<Unread<BatteryForm>>,
    /// Endurance of keys and port, operations.
    pub(super) endurance: Option<Unread<EnduranceForm>>,
}

/// `teardown`: circumstances.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "the teardown")]
pub struct Teardown {
    /// Day of the teardown, such as 2026-03-02.
    pub date: Option<Spanned<Date>>,
    /// Who took it apart.
    pub by: Option<Spanned<String>>,
    /// The footage.
    pub video: Option<Spanned<String>>,
    /// Where, in words.
    #[serde(rename = "place of work")]
    pub place_of_work: Option<Spanned<String>>,
    /// Working environment of every action that states none.
    pub place: Fact<Place>,
    /// Skill level of every action that states none.
    pub skill: Fact<Skill>,
    /// Time in the footage where taking apart ends.
    pub ends: Option<Spanned<Seconds>>,
    /// Basis of every bench fact that states none.
    basis: Option<Basis>,
    /// The footage is uncut, so spans are observed times.
    pub uncut: bool,
}

impl Teardown {
    /// Basis of bench facts that state none.
    pub fn basis(&self) -> Basis {
        self.basis.unwrap_or(Basis::Seen)
    }
}

/// An entry of `parts`, as far as its fields stand for themselves.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "a part")]
pub struct PartFields {
    /// A role of the category, or a list of roles.
    pub(super) role: Option<Unread<Vec<String>>>,
    /// Another part that this is; `perhaps NAME` where two mentions may be one part.
    #[serde(rename = "same as")]
    pub(super) same_as: Option<Unread<SamePartForm>>,
    /// `not attempted`: nobody tried to free it.
    pub(super) outcome: Option<Spanned<NotAttempted>>,
    /// Why it was not attempted.
    pub because: Option<String>,
    /// Coded to this one device: a replacement needs software pairing.
    pub paired: Fact<bool>,
    /// One or a list of hazards.
    pub(super) hazard: Option<Unread<Vec<String>>>,
    /// Basis of all the entry says.
    pub(super) basis: Option<Basis>,
    /// Source of all the entry says.
    pub(super) source: Option<String>,
    /// A note.
    pub(super) note: Option<String>,
    /// A file name, {file, alt}, or a list of those.
    pub(super) photo: Photos,
}

/// `put back`.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "the way back")]
pub struct PutBack {
    /// It was put back together.
    pub done: Fact<bool>,
    /// It powers on.
    #[serde(rename = "powered on")]
    pub powered_on: Fact<bool>,
    /// It was tested.
    pub tested: Fact<bool>,
}

/// `own verdict` with its reason.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "your own verdict")]
pub struct OwnVerdict {
    /// The verdict.
    pub is: Spanned<String>,
    /// Why.
    pub because: Option<Spanned<String>>,
}

impl From<Either<Self, Spanned<String>>> for OwnVerdict {
    fn from(written: Either<Self, Spanned<String>>) -> Self {
        match written {
            Either::Mapping(verdict) => verdict,
            Either::Short(is) => Self { is, because: None },
        }
    }
}

/// An entry of `remarks`: exactly one of the first three.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "a remark")]
pub struct RemarkFields {
    /// What speaks for the device.
    pub(super) r#for: Option<Unread<Spanned<String>>>,
    /// What speaks against it.
    pub(super) against: Option<Unread<Spanned<String>>>,
    /// What speaks neither for nor against it.
    pub(super) note: Option<Unread<Spanned<String>>>,
    /// Time in the footage.
    pub(super) at: Option<Moment>,
    /// A file name, {file, alt}, or a list of those.
    pub(super) photo: Photos,
}

/// An entry of `corrections`: something put right in a published record.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename = "a correction")]
pub struct Mended {
    /// Day of the correction, such as 2026-05-02.
    pub on: Option<Spanned<Date>>,
    /// Who pointed it out.
    pub by: Option<Spanned<String>>,
    /// What was put right, in a sentence.
    pub what: Spanned<String>,
    /// Line of the record it was about, as it was published.
    pub line: Option<LineNumber>,
}

/// A bench sheet.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a bench sheet")]
pub(super) struct BenchFields {
    /// Version of the format: 1.
    #[serde(rename = "unfasten bench")]
    #[expect(dead_code, reason = "looked at before anything else is read")]
    version: Needed<Unread<VersionForm>>,
    /// What the sheet is called: the source of what it supplies.
    pub(super) name: Needed<String>,
    /// Working environment, where a record states none.
    pub(super) place: Option<Fact<Place>>,
    /// Skill level, where a record states none.
    pub(super) skill: Option<Fact<Skill>>,
    /// Fastener, with its drive where it matters, to tools; `the driver that fits`; `nothing`: where nothing is loosened.
    pub(super) tools: Option<Unread<BTreeMap<String, ToolsForm>>>,
    /// Fastener to its kind, where a record states none.
    pub(super) kinds: Option<Unread<BTreeMap<String, Fact<Kind>>>>,
}
