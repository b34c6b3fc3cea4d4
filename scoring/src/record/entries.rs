//! The fields of entries, each described once: its name, what it is, what may stand there.
//!
//! What these structs say is read by serde (see [`text::fields`](crate::text::fields)), and from it come the JSON Schema, the
//! tables of fields of the format page, and the names that a misspelt field is near to. The doc comment of a field is what
//! is said of it there. A field whose value depends on what else the record says is [`Unread`]: its reader is under `read/`.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::written::{
    AfterForm, Anything, AsLogged, BatteryForm, CategoryForm, Count, Date, DriveName, EnduranceForm, FileName, Grams,
    HandsOn, LineNumber, LoosenForm, MakesSafe, Mark, Millimetres, Minutes, NotAttempted, ProtectionCode, Release,
    SamePartForm, Seconds, Share, SupportForm, ToolsForm, VersionForm,
};
use super::{Fact, Moment, Money, Outcome};
use crate::text::Spanned;
use crate::text::fields::{Either, ListOf, Many, Needed, Unread};
use crate::vocab::{Basis, Form, Kind, Place, Skill, ToolClass};

/// `photo` of an entry: a file name, `{file, alt}`, or a list of those.
pub type Photos = Many<Either<Photo, Spanned<FileName>>>;

/// A record.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a record")]
pub(super) struct RecordFields {
    /// Version of the format: 1.
    #[expect(dead_code, reason = "looked at before anything else is read")]
    unfasten: Needed<Unread<VersionForm>>,
    /// A path to another record, relative to this one: this file is a variant of it (see *Variants*).
    pub(super) extends: Option<Spanned<String>>,
    /// In a variant: ids of actions of the base that it does not have.
    #[expect(dead_code, reason = "taken out before the variant is read")]
    without: Option<Unread<Many<String>>>,
    /// Identity of the device.
    pub(super) device: Needed<Unread<DeviceFields>>,
    /// Circumstances of the teardown.
    ///
    /// Left out: nothing stated.
    pub(super) teardown: Option<Unread<Teardown>>,
    /// Names of parts to their roles.
    ///
    /// Left out: no part has a role.
    pub(super) parts: Option<Unread<BTreeMap<String, PartFields>>>,
    /// List of roles this device does not have.
    pub(super) absent: Option<Unread<Many<String>>>,
    /// Tools of your own.
    ///
    /// Left out: only the shipped vocabulary.
    pub(super) tools: Option<Unread<BTreeMap<String, ToolFields>>>,
    /// Fasteners of your own.
    ///
    /// Left out: only the shipped vocabulary.
    pub(super) fasteners: Option<Unread<BTreeMap<String, FastenerFields>>>,
    /// Hazards of your own: name to caution text.
    ///
    /// Left out: only the shipped vocabulary.
    pub(super) hazards: Option<Unread<BTreeMap<String, String>>>,
    /// Roles of your own, where the category has none of the vocabulary.
    ///
    /// Left out: only the shipped vocabulary.
    pub(super) roles: Option<Unread<BTreeMap<String, RoleFields>>>,
    /// Path of a bench sheet, relative to this file (see *Bench sheets*): what this bench takes for granted where the
    /// record leaves it open.
    #[expect(dead_code, reason = "its sheet is looked for before the record is read")]
    bench: Option<String>,
    /// `as logged`: an action that states no `after` needs the one above it (listed as assumed).
    ///
    /// Left out: each such `after` is unknown.
    pub(super) order: Option<Unread<Spanned<AsLogged>>>,
    /// List of actions, in the order they were done.
    ///
    /// Left out: none.
    pub(super) actions: Option<Unread<ListOf<ActionFields>>>,
    /// List of actions that exist only on the way back, same fields, `do` only.
    ///
    /// Left out: none.
    pub(super) back: Option<Unread<ListOf<ActionFields>>>,
    /// List of action ids: the maker's own route where it is known.
    pub(super) official: Option<Unread<Many<String>>>,
    /// What the maker promises.
    ///
    /// Left out: every support fact unknown.
    pub(super) support: Option<Unread<SupportForm>>,
    /// Whether it was put back: `{done, powered on, tested}`, each a yes/no fact.
    ///
    /// Left out: unknown.
    #[serde(rename = "put back")]
    pub(super) put_back: Option<Unread<PutBack>>,
    /// Your gut feeling in a few words, such as `patient work, nothing breaks`, with its reason `{is: 6/10, because:
    /// the glue}`; shown beside, never mixed in.
    #[serde(rename = "own verdict")]
    pub(super) own_verdict: Option<Either<OwnVerdict, Spanned<String>>>,
    /// For methods that take marks as given: `{fr-index: {"1.1": 7.7}}`, 0 to 10.
    ///
    /// Left out: unknown.
    pub(super) marks: Option<Unread<BTreeMap<String, BTreeMap<String, Fact<Mark>>>>>,
    /// List of `{for: text}`, `{against: text}` or, where it speaks neither for nor against, `{note: text}`, each with
    /// an optional `at` and `photo`; reports show them as one list in the order of the footage, those without a time
    /// last.
    pub(super) remarks: Option<Unread<ListOf<RemarkFields>>>,
    /// List of `{on, by, what, line}`: what was put right since the record was first published, the oldest first;
    /// `what` is a sentence, `on` the day, `by` who pointed it out, `line` the line of the record it was about, as it
    /// was published; only `what` is needed. Reports list them, and `diff --format md` makes its note of the last ones.
    pub(super) corrections: Option<Unread<ListOf<Mended>>>,
    /// Free text in Markdown; raw HTML is shown as text.
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
    /// The part or parts this takes off in one lift: a name or a list of names. Exactly one of `free` and `do`.
    ///
    /// Left out: error, without `do`.
    pub(super) free: Option<Unread<Many<String>>>,
    /// Something needed that frees nothing: a name for it.
    ///
    /// Left out: error, without `free`.
    pub(super) r#do: Option<Unread<String>>,
    /// A name for this way; needed only where several ways lead to one part.
    ///
    /// Left out: the freed names or the `do` name; a second way gets ` (way 2)`.
    pub(super) id: Option<String>,
    /// Time in the footage, `0:41`, `1:02:03`, or a span `1:10..1:18`; where only the place is known, `about 4:10` or
    /// `within 4:00..4:30`, which say nothing of how long it took.
    pub at: Option<Spanned<Moment>>,
    /// Yes/no: this action's span is uncut footage.
    ///
    /// Left out: the teardown's.
    pub(super) uncut: Option<bool>,
    /// Tools in order, used without interruption.
    ///
    /// Left out: unknown, or what the bench sheet says.
    pub(super) with: Option<Unread<ToolsForm>>,
    /// Fasteners opened; `nothing`; `one unknown`; `unknown` (any number of any kind).
    ///
    /// Left out: nothing (assumed).
    pub(super) loosen: Option<Unread<LoosenForm>>,
    /// What must be off or done before.
    ///
    /// Left out: unknown (nothing; the action above; everything above), or `order`.
    pub(super) after: Option<Unread<AfterForm>>,
    /// `done`, `failed`, `not attempted`.
    ///
    /// Left out: `done`.
    pub(super) outcome: Option<Spanned<Outcome>>,
    /// Why it failed or was not attempted.
    pub because: Option<String>,
    /// A part, or list of them, that is of no use afterwards: it makes this a destructive way. It need not be a part
    /// that comes off (a mesh, a label).
    ///
    /// Left out: none.
    pub destroys: Many<Spanned<String>>,
    /// A part, or list of them, that keeps a mark it can live with (a torn edge, one clip of six snapped): shown, costs
    /// nothing by itself.
    ///
    /// Left out: none.
    pub wears: Many<Spanned<String>>,
    /// On a `do`: a part, or list of them, laid away from its place while something still connects it. Void once the
    /// part is off.
    ///
    /// Left out: none.
    pub(super) aside: Option<Unread<Many<Spanned<String>>>>,
    /// Yes/no, on a `do`: it cleans. A solvent that frees a joint doesn't clean.
    ///
    /// Left out: no.
    pub(super) cleans: Option<Unread<bool>>,
    /// Yes/no: after this the device is safe to work on. `together`: it is safe once this and every other action that
    /// says so are done.
    ///
    /// Left out: no.
    #[serde(rename = "makes safe")]
    pub(super) makes_safe: Option<MakesSafe>,
    /// Yes/no: this unplugs mains equipment.
    ///
    /// Left out: no.
    pub mains: bool,
    /// Working environment, where it differs from the teardown's.
    ///
    /// Left out: the teardown's, else unknown.
    pub place: Option<Fact<Place>>,
    /// Skill level, where it differs from the teardown's.
    ///
    /// Left out: the teardown's, else unknown.
    pub skill: Option<Fact<Skill>>,
    /// A hazard or a list; heat sources, solvents and batteries are cautioned of without being named.
    pub(super) hazard: Option<Unread<Many<String>>>,
    /// What the way back needs: `{buy, care, check, if skipped}`, each text or a list of texts.
    pub refit: Spanned<Refit>,
    /// Minutes nobody works (softening, cooling), `4 min`.
    ///
    /// Left out: none.
    pub wait: Option<Spanned<Minutes>>,
    /// `no`: a draft wrote it, whatever its basis, and nobody has held it against its words.
    ///
    /// Left out: yes.
    pub reviewed: Option<bool>,
    /// Your own measured hands-on time, `35 s`, `2 min`, or a span `30..40 s`.
    ///
    /// Left out: estimated.
    pub takes: Option<Spanned<HandsOn>>,
    /// A file name, `{file, alt}`, or a list of those.
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
    pub buy: Many<String>,
    /// What to take care of.
    pub care: Many<String>,
    /// What to check.
    pub check: Many<String>,
    /// What happens if skipped.
    #[serde(rename = "if skipped")]
    pub if_skipped: Many<String>,
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
        written.0.into_iter().map(photo).collect()
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
    /// `folding`, `not folding`, `rollable`: for smartphones and slate tablets; left out: folding if a part has the
    /// role `hinge assembly` or `display folding mechanism`, else not folding (assumed).
    pub form: Option<Fact<Form>>,
    /// Fact: price when new, an amount and ISO 4217 currency, `79 EUR`, `79.90 EUR`.
    pub price: Option<Fact<Money>>,
    /// Fact: its weight, `174 g`, `2.1 kg`.
    pub weight: Fact<Grams>,
    /// Fact: when the product was released, a year, month or day: `2026`, `2026-03`, `2026-03-02`.
    pub released: Fact<Release>,
    /// Fact: the day this unit was first supplied, `2026-03-02`, for rules that apply from a day on.
    #[serde(rename = "on market")]
    pub on_market: Fact<Date>,
    /// Fact: protection code such as `IP67`; both where two are printed, `IP68/IP69`. By IEC 60529 a second numeral 9
    /// (jets of hot water) says nothing about immersion (from memory), so alone it counts as 4.
    pub ingress: Fact<ProtectionCode>,
    /// `{cycles: 800, capacity after 500 cycles: 83 %, capacity after 1000 cycles: 80 %}`, facts (`cycles`: full cycles
    /// to 80 %).
    pub(super) battery: Option<Unread<BatteryForm>>,
    /// `{power key: 225000, volume keys: 100000, charging port: 12000}`, facts, operations.
    pub(super) endurance: Option<Unread<EnduranceForm>>,
}

/// `teardown`: circumstances.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(rename = "the teardown")]
pub struct Teardown {
    /// Day of the teardown, `2026-03-02`.
    pub date: Option<Spanned<Date>>,
    /// Who took it apart.
    pub by: Option<Spanned<String>>,
    /// The footage.
    pub video: Option<Spanned<String>>,
    /// Where, in words.
    #[serde(rename = "place of work")]
    pub place_of_work: Option<Spanned<String>>,
    /// Fact: working environment of every action that states none: `use`, `workshop`, `production-equivalent`.
    pub place: Fact<Place>,
    /// Fact: skill level of every action that states none: `layman`, `generalist`, `expert`, `manufacturer`.
    pub skill: Fact<Skill>,
    /// Time in the footage where taking apart ends, `14:05`: an action behind it gets a warning, and chapters know it.
    pub ends: Option<Spanned<Seconds>>,
    /// Basis of every bench fact that states none (default `seen`; a design study says `planned`).
    basis: Option<Basis>,
    /// Yes/no: the footage is uncut, so `at` spans are observed times.
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
    /// A role of the category, or a list of roles (then none of them is isolated); left out: no role.
    pub(super) role: Option<Unread<Many<String>>>,
    /// Another part of the record that this is: two mentions, one part, and whatever takes one off takes off the other.
    /// `perhaps main board`: nobody established whether they are one, which is an unknown of its own.
    #[serde(rename = "same as")]
    pub(super) same_as: Option<Unread<SamePartForm>>,
    /// `not attempted`: nobody tried; stands for one action with all its fields unknown.
    pub(super) outcome: Option<Spanned<NotAttempted>>,
    /// Why it was not attempted.
    pub because: Option<String>,
    /// Yes/no fact: coded to this one device, a replacement needs software pairing (default unknown only where a method
    /// reads it and it is not stated).
    pub paired: Fact<bool>,
    /// One or a list of hazards.
    pub(super) hazard: Option<Unread<Many<String>>>,
    /// Basis of all the entry says.
    pub(super) basis: Option<Basis>,
    /// Source of all the entry says.
    pub(super) source: Option<String>,
    /// A note.
    pub(super) note: Option<String>,
    /// A file name, `{file, alt}`, or a list of those.
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
    /// A file name, `{file, alt}`, or a list of those.
    pub(super) photo: Photos,
    /// `drafted`: a draft took it from the talk, and nobody has confirmed it.
    pub(super) basis: Option<Basis>,
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
    /// Fastener, with its drive where it matters (`screw five-lobe 1`), to tools as under `with`; `the driver that
    /// fits` is the tool of the screw's own drive; the key `nothing` is for actions that loosen nothing.
    #[expect(clippy::zero_sized_map_values, reason = "says what stands there; no such map is made")]
    pub(super) tools: Option<Unread<BTreeMap<String, ToolsForm>>>,
    /// Fastener to its kind, a fact, where the record states none.
    pub(super) kinds: Option<Unread<BTreeMap<String, Fact<Kind>>>>,
}

/// A fact written as a mapping.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a fact")]
pub(super) struct FactFields {
    /// The value, as well as it is known.
    pub(super) is: Needed<Unread<Anything>>,
    /// Where it comes from: seen, told, stated, planned, drafted, assumed.
    pub(super) basis: Option<Basis>,
    /// Where it can be checked.
    pub(super) source: Option<String>,
}

/// A need of which one of several is enough.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "an alternative")]
pub(super) struct AnyFields {
    /// One of these is needed; a member may be a list (all of it).
    pub(super) any: Needed<Unread<ListOf<Anything>>>,
}
