//! Values that are written in a form of their own, for serde and for the schema.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::{Deserializer, SeqAccess, Visitor};

use super::forms::known::{known, known_number, money, yes_no};
use super::forms::{numbers, times};
use super::read::{millimetres, no_drive};
use super::{Fact, Known, Moment, Money, Outcome, field_tables};
use crate::exact::Exact;
use crate::text::fields::{Bad, FACT, Shape, fact, find_word, form, part, shaped, short, span, text, written};
use crate::vocab::Basis;
use crate::vocab::class::{Words, wanted};

/// Minutes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Minutes(pub Exact);

/// Measured hands-on time, seconds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HandsOn {
    /// At least.
    pub low: Exact,
    /// At most.
    pub high: Exact,
}

/// Whether the device is safe once this is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MakesSafe {
    /// It is.
    Yes,
    /// It isn't.
    No,
    /// Once all that say so are done.
    Together,
}

/// Name of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FileName(pub String);

/// A day, `2026-03-02`, checked to exist; days sort as texts.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date(pub String);

/// A year, month or day, as written; they sort as texts.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Release(pub String);

/// A protection code, upper case: `IP67`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ProtectionCode(pub String);

/// Read as the text they are.
macro_rules! texts {
    ($($type:ty),+) => {
        $(impl std::ops::Deref for $type {
            type Target = str;

            fn deref(&self) -> &str {
                &self.0
            }
        })+
    };
}

texts!(Date, Release, ProtectionCode);

/// A weight in grams.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Grams(pub Exact);

/// A time in the footage, seconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Seconds(pub u32);

/// A line of a record, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineNumber(pub u32);

/// The one outcome a part may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NotAttempted;

/// How many.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Count(pub Exact);

/// A mark out of 10.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mark(pub Exact);

/// A screw drive, by its one name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DriveName(pub String);

/// A length of a shank.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Millimetres(pub Exact);

/// A share among roles of one's own, from 1 to 1000.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Share(pub u32);

/// The one order a record may state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AsLogged;

/// What is read by what it belongs to.
#[derive(Clone, Debug)]
pub enum Anything {}

/// What may stand under `unfasten`.
#[derive(Clone, Debug)]
pub enum VersionForm {}

/// What may stand under `support`.
#[derive(Clone, Debug)]
pub enum SupportForm {}

/// What may stand under `with`.
#[derive(Clone, Debug)]
pub enum ToolsForm {}

/// What may stand under `loosen`.
#[derive(Clone, Debug)]
pub enum LoosenForm {}

/// What may stand under `after`.
#[derive(Clone, Debug)]
pub enum AfterForm {}

/// What may stand under `same as`.
#[derive(Clone, Debug)]
pub enum SamePartForm {}

/// What may stand under `category`.
#[derive(Clone, Debug)]
pub enum CategoryForm {}

/// What may stand under `battery`.
#[derive(Clone, Debug)]
pub enum BatteryForm {}

/// What may stand under `endurance`.
#[derive(Clone, Debug)]
pub enum EnduranceForm {}

const SAFE: [&str; 5] = ["yes", "no", "true", "false", "together"];

written! {
    Moment: "a time such as `0:41`", times::moment, field_tables::TIME;
    Minutes: "a duration such as `4 min`", |t| times::duration(t).map(|s| Self(&s / &Exact::from(60))),
        &Shape::Form("a duration: `4 min`");
    HandsOn: "a duration such as `35 s`", |t| times::duration_span(t).map(|(low, high)| Self { low, high }),
        &Shape::Form("a duration or a span: `35 s`, `30..40 s`");
    Outcome: "an outcome", |t| find_word(t, "an outcome", field_tables::OUTCOMES).map(|i| Self::ALL[i]),
        &Shape::Words(|| field_tables::OUTCOMES.to_vec());
    Date: "a date such as 2026-03-02", |t| times::date(t).map(Self), &Shape::Form("a date: `2026-03-02`");
    Seconds: "a time such as `14:05`", |t| times::time(t).map(Self), &Shape::Form("a time: `14:05`");
    DriveName: "a screw drive", drive_name, &Shape::Text;
    Millimetres: "a length such as `6 mm`", |t| millimetres(t).map(Self), &Shape::Form("millimetres: `6 mm`");
    Share: SHARE, share, &Shape::Number;
    AsLogged: "an order", |t| find_word(t, "an order", &AS_LOGGED).map(|_| Self), &Shape::Words(|| AS_LOGGED.to_vec());
    LineNumber: "a line number", line_number, &Shape::Number;
    NotAttempted: "an outcome of a part", |t| find_word(t, "an outcome of a part", &NOT_ATTEMPTED).map(|_| Self),
        &Shape::Words(|| NOT_ATTEMPTED.to_vec());
    MakesSafe: "yes, no or together", makes_safe, &Shape::Words(|| SAFE.to_vec());
}

shaped!(Release: &Shape::Form("a year, month or day: `2026`, `2026-03`, `2026-03-02`"));
shaped!(ProtectionCode: &Shape::Form("a protection code: `IP67`"));
shaped!(Grams: &Shape::Form("a weight: `174 g`, `2.1 kg`"));
shaped!(Money: &Shape::Form("an amount and an ISO 4217 currency: `79 EUR`"));
shaped!(SamePartForm: &Shape::Form("a part: `main board`, `perhaps main board`"));
shaped!(CategoryForm: field_tables::CATEGORY);
shaped!(BatteryForm: field_tables::OF_BATTERY);
shaped!(EnduranceForm: field_tables::OF_ENDURANCE);
shaped!(Count: &Shape::Number);
shaped!(Mark: &Shape::Number);
shaped!(VersionForm: &Shape::Number);
shaped!(SupportForm: field_tables::OF_SUPPORT);
shaped!(Anything: &Shape::Anything);
shaped!(FileName: &Shape::Text);
shaped!(ToolsForm: field_tables::TOOLS);
shaped!(LoosenForm: field_tables::FASTENERS);
shaped!(AfterForm: field_tables::AFTER);

const AS_LOGGED: [&str; 1] = ["as logged"];
const SHARE: &str = "a whole number from 1 to 1000";

fn share(text: &str) -> Result<Share, Bad> {
    match text.parse::<u32>() {
        Ok(n) if (1..=1000).contains(&n) => Ok(Share(n)),
        _ => Err(Bad::new(0..text.len(), format!("`{}` is not {SHARE}", short(text))).mend(format!("write {SHARE}"))),
    }
}

fn drive_name(text: &str) -> Result<DriveName, Bad> {
    crate::vocab::drive::drive(text).map(|d| DriveName(d.name)).ok_or_else(|| no_drive(text, 0))
}

const NOT_ATTEMPTED: [&str; 1] = ["not attempted"];

fn line_number(text: &str) -> Result<LineNumber, Bad> {
    let what = "a line number";
    let bad = |_| Bad::new(0..text.len(), format!("`{}` is not {what}", short(text))).mend(format!("write {what}"));
    text.trim().parse().map(LineNumber).map_err(bad)
}

fn makes_safe(text: &str) -> Result<MakesSafe, Bad> {
    find_word(text, "yes, no or together", &SAFE).map(|i| match i {
        0 | 2 => MakesSafe::Yes,
        4 => MakesSafe::Together,
        _ => MakesSafe::No,
    })
}

impl<'de> Deserialize<'de> for FileName {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        text(deserializer, "a file name").map(Self)
    }
}

/// What a fact can hold.
pub trait Knowable: Sized {
    /// What is wanted where something else than one value stands.
    fn wanted() -> String;

    /// A text as well as it says what is known.
    ///
    /// # Errors
    /// It is not of this sort.
    fn known(text: &str) -> Result<Known<Self>, Bad>;
}

impl<W: Words> Knowable for W {
    fn wanted() -> String {
        wanted::<W>()
    }

    fn known(text: &str) -> Result<Known<Self>, Bad> {
        known(text, &W::read)
    }
}

/// Types facts hold: what is wanted, and how a text is read as well as it says what is known.
macro_rules! knowable {
    ($($type:ty: $what:literal, $read:expr;)+) => {
        $(impl Knowable for $type {
            fn wanted() -> String {
                $what.to_owned()
            }

            fn known(text: &str) -> Result<Known<Self>, Bad> {
                $read(text)
            }
        })+
    };
}

knowable! {
    bool: "yes or no", yes_no;
    Grams: "a weight such as `174 g`", |t| known_number(t, &|t| numbers::grams(t).map(Grams));
    Release: "a year, month or day such as 2026-03", |t| known_number(t, &|t| times::release(t).map(Release));
    Date: "a date such as 2026-03-02", |t| known_number(t, &|t| times::date(t).map(Date));
    ProtectionCode: "a protection code such as `IP67`", |t| known(t, &|t| numbers::ingress(t).map(ProtectionCode));
    Count: "a count", |t| known_number(t, &|t| numbers::count(t).map(Count));
    Mark: "a mark from 0 to 10", |t| known_number(t, &|t| numbers::mark(t).map(Mark));
    Money: "a price such as `79 EUR`", money;
}

impl<'de, T: Knowable> Deserialize<'de> for Fact<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_tuple_struct(FACT, 8, Parts(PhantomData))
    }
}

struct Parts<T>(PhantomData<fn() -> T>);

impl<'de, T: Knowable> Visitor<'de> for Parts<T> {
    type Value = Fact<T>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&T::wanted())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Fact<T>, A::Error> {
        let (span, path, stated): (_, String, bool) = (span(&mut parts)?, part(&mut parts)?, part(&mut parts)?);
        if !stated {
            return Ok(Fact::missing(span, path));
        }
        let (basis, source): (Option<Basis>, _) = (part(&mut parts)?, part(&mut parts)?);
        let Value(known) = part(&mut parts)?;
        Ok(Fact { known, span, path, basis, source, stated })
    }
}

/// What is known, from its text.
struct Value<T>(Known<T>);

impl<'de, T: Knowable> Deserialize<'de> for Value<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        form(deserializer, &T::wanted(), T::known).map(Self)
    }
}

impl<T: JsonSchema> JsonSchema for Fact<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = serde_json::Value::from(generator.subschema_for::<T>());
        let numbers = value["type"] == "number" || !value["$comment"].is_null();
        let out = fact(&value, numbers, &field_tables::bases());
        Schema::try_from(out).unwrap_or_else(|_| unreachable!("a fact is an object"))
    }
}
