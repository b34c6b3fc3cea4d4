//! Values of method files that are written in a form of their own, for serde and for the schema.

use std::borrow::Cow;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::Deserializer;

use super::{
    Absent, BasicTools, Combine, Group, Instances, Measure, Reading, RouteOrder, STEP_SWITCHES, Start, StepSetting,
};
use crate::exact::{Exact, Rounding};
use crate::text::fields::{Bad, Shape, find_word, form, leaf, shaped, short, text, written};
use crate::text::{Day, fold, near};
use crate::vocab::Category;

/// Types that are one of some words: what is wanted, and the words with what they mean.
macro_rules! worded {
    ($($type:ident: $what:literal, { $($word:literal => $variant:ident),+ })+) => {
        $(impl $type {
            /// The words, as method files have them.
            pub(super) const WORDS: &'static [&'static str] = &[$($word),+];
        }
        written!($type: $what, |t| find_word(t, $what, Self::WORDS).map(|i| [$(Self::$variant),+][i]););)+
    };
}

worded! {
    Combine: "a way to combine", {
        "mean" => Mean, "sum" => Sum, "worst" => Worst, "best" => Best, "cap" => Cap, "gate" => Gate, "apart" => Apart
    }
    Group: "a group", { "product-related" => ProductRelated, "support-related" => SupportRelated }
    Reading: "`route` or `part`", { "route" => Route, "part" => Part }
    Rounding: "a rounding", { "half up" => HalfUp, "half even" => HalfEven, "down" => Down, "up" => Up }
    Instances: "what several parts of one role count as", {
        "worst per measure" => WorstPerMeasure, "lowest as a whole" => LowestAsWhole
    }
    RouteOrder: "which route is read", { "highest total" => HighestTotal, "fewest steps first" => FewestSteps }
    Start: "a state to start from", { "as used" => AsUsed, "disconnected" => Disconnected }
    BasicTools: "a list of basic tools", { "law" => Law, "standard" => Standard }
    Total: "`exact` or `rounded`", { "exact" => Exact, "rounded" => Rounded }
}

/// What the schema says of types that are one of some words.
macro_rules! words_shaped {
    ($($type:ident),+) => {
        $(shaped!($type: &Shape::Words(|| $type::WORDS.to_vec()));)+
    };
}

words_shaped!(Combine, Reading, Rounding, Instances, RouteOrder, Start, BasicTools, Total);

/// The total that classes are taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Total {
    Exact,
    Rounded,
}

/// The version of the format.
#[derive(Clone, Copy, Debug)]
pub(super) struct FormatVersion;

/// Id of a method.
#[derive(Clone, Debug)]
pub(super) struct MethodId(pub(super) String);

/// A number without anything beside it.
#[derive(Clone, Debug)]
pub(super) struct Plain(pub(super) Exact);

/// A number, or that nobody could read it.
#[derive(Clone, Debug)]
pub(super) enum PlainOrUnread {
    NotRead,
    Number(Exact),
}

/// Digits of a total when shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Decimals(pub(super) u8);

/// A word that has room in a drawing.
#[derive(Clone, Debug)]
pub(super) struct NineLetters(pub(super) String);

/// A setting of one switch of the step rule, by its place among them.
#[derive(Clone, Copy, Debug)]
pub(super) struct StepOption<const AT: usize>(pub(super) StepSetting);

/// What may stand where categories are named.
#[derive(Clone, Debug)]
pub(super) enum CategoryForm {}

/// Name of a role.
#[derive(Clone, Debug)]
pub(super) struct RoleName(pub(super) String);

/// Id of a criterion.
#[derive(Clone, Debug)]
pub(super) struct CriterionId(pub(super) String);

const NUMBER: &Shape = &Shape::Form("a decimal such as 0.30, or a fraction such as 1/3");
const DECIMALS: &str = "a whole number from 0 to 6";

written! {
    FormatVersion: "1", format_version, &Shape::Form("1");
    MethodId: "an id", method_id, &Shape::Text;
    Plain: "a number", |t| exact(t, 0).map(Self), NUMBER;
    PlainOrUnread: "a number", plain_or_unread, NUMBER;
    Decimals: DECIMALS, decimals, &Shape::Number;
    NineLetters: "a word", nine_letters, &Shape::Text;
    Absent: "a number or `left out`", absent, &Shape::Form("a number, or `left out`");
    Measure: "a measure", measure, &Shape::Text;
    Day: "a date such as 2027-02-18", Self::parse, &Shape::Form("a date such as 2027-02-18");
}

shaped!(CategoryForm: &Shape::Either(&[Shape::Words(categories), Shape::Text]));
shaped!(RoleName: &Shape::Text);
shaped!(CriterionId: &Shape::Text);

fn categories() -> Vec<&'static str> {
    Category::shipped().iter().map(Category::word).collect()
}

impl<'de> Deserialize<'de> for RoleName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        text(deserializer, "a role").map(Self)
    }
}

impl<'de> Deserialize<'de> for CriterionId {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        text(deserializer, "an id").map(Self)
    }
}

impl<'de, const AT: usize> Deserialize<'de> for StepOption<AT> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let (name, options) = STEP_SWITCHES[AT];
        let option = |text: &str| {
            let bad = |mend| Bad::new(0..text.len(), format!("`{}` is no option of `{name}`", short(text))).mend(mend);
            StepSetting::read(name, text).map(Self).map_err(bad)
        };
        form(deserializer, options, option)
    }
}

impl<const AT: usize> JsonSchema for StepOption<AT> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("option of {}", STEP_SWITCHES[AT].0).into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        leaf(STEP_SHAPES[AT])
    }
}

/// What may stand at each of [`STEP_SWITCHES`].
const STEP_SHAPES: [&Shape; 6] = [
    &Shape::Words(|| vec!["one", "each"]),
    &Shape::Words(|| vec!["tool", "step", "nothing"]),
    &Shape::Words(|| vec!["nothing", "step"]),
    &Shape::Words(|| vec!["nothing", "step"]),
    &Shape::Form("`nothing`, `2 more steps` (1 to 100), or `least points`"),
    &Shape::YesNo,
];

fn format_version(text: &str) -> Result<FormatVersion, Bad> {
    match text.trim() {
        "1" => Ok(FormatVersion),
        other => {
            let message = format!("this is method format `{}`; this program reads 1", short(other));
            Err(Bad::new(0..text.len(), message).code("method-version").mend("write `unfasten method: 1`"))
        }
    }
}

fn method_id(text: &str) -> Result<MethodId, Bad> {
    let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if text.len() <= 60 && text.chars().all(good) {
        return Ok(MethodId(text.to_owned()));
    }
    Err(Bad::new(0..text.len(), "a method's id has lower-case letters, digits and hyphens only")
        .mend("write an id such as `house-weights-2026`"))
}

/// Reads an exact number that stands at a byte of a longer text.
pub(super) fn exact(text: &str, at: usize) -> Result<Exact, Bad> {
    Exact::parse(text).ok_or_else(|| {
        let bare =
            text.trim_start_matches(|c: char| !c.is_ascii_digit()).trim_end_matches(|c: char| !c.is_ascii_digit());
        let alone = Exact::parse(bare).map(|_| bare);
        let mend = match alone {
            Some(bare) => format!("write the number alone: `{bare}`"),
            None => "write a decimal such as 0.30, or a fraction such as 1/3".to_owned(),
        };
        Bad::new(at..at + text.len(), format!("`{}` is not a number", short(text))).mend(mend).meant(alone)
    })
}

fn plain_or_unread(text: &str) -> Result<PlainOrUnread, Bad> {
    if fold(text) == "not read" {
        return Ok(PlainOrUnread::NotRead);
    }
    exact(text, 0).map(PlainOrUnread::Number)
}

fn decimals(text: &str) -> Result<Decimals, Bad> {
    match text.trim().parse() {
        Ok(n) if n <= 6 => Ok(Decimals(n)),
        Ok(_) => {
            Err(Bad::new(0..text.len(), "a total is shown with at most 6 decimals").mend(format!("write {DECIMALS}")))
        }
        Err(_) => {
            let message = format!("`{}` is not {DECIMALS}", short(text));
            Err(Bad::new(0..text.len(), message).mend(format!("write {DECIMALS}")))
        }
    }
}

fn nine_letters(text: &str) -> Result<NineLetters, Bad> {
    if text.chars().count() > 9 {
        return Err(
            Bad::new(0..text.len(), format!("`{}` has more than nine letters", short(text))).mend("a shorter word")
        );
    }
    Ok(NineLetters(text.to_owned()))
}

/// A number, or `left out`.
fn absent(text: &str) -> Result<Absent, Bad> {
    if fold(text) == "left out" {
        return Ok(Absent::LeaveOut);
    }
    exact(text, 0).map(Absent::Points).map_err(|bad| bad.mend("write a number, or `left out`"))
}

fn measure(text: &str) -> Result<Measure, Bad> {
    Measure::from_word(text).ok_or_else(|| {
        let words: Vec<String> = Measure::all().iter().map(Measure::word).collect();
        let words = || words.iter().map(String::as_str);
        let mend = match near(text, words()) {
            Some(word) => format!("did you mean `{word}`?"),
            None => format!("measures: {}, mark ROW", words().collect::<Vec<_>>().join(", ")),
        };
        Bad::new(0..text.len(), format!("`{}` is not a measure", short(text))).code("measure-unknown").mend(mend)
    })
}
