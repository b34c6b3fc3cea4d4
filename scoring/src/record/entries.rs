//! The fields of entries, each described once: its name, what it is, what may stand there.
//!
//! What these structs say is read by serde (see [`text::fields`](crate::text::fields)), and from it come the JSON Schema, the
//! tables of fields of the format page, and the names that a misspelt field is near to. The doc comment of a field is what
//! is said of it there. A field whose value depends on what else the record says is [`Unread`]: its reader is under `read/`.

use schemars::JsonSchema;
use serde::Deserialize;

use super::written::{AfterForm, FileName, HandsOn, LoosenForm, MakesSafe, Minutes, ToolsForm};
use super::{Fact, Moment, Outcome};
use crate::text::Spanned;
use crate::text::fields::{Either, Unread};
use crate::vocab::{Basis, Place, Skill};

/// `photo` of an entry: a file name, `{file, alt}`, or a list of those.
pub type Photos = Vec<Either<Photo, Spanned<FileName>>>;

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
