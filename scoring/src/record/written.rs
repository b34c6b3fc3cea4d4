//! Values that are written in a form of their own, for serde and for the schema.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::{Deserializer, SeqAccess, Visitor};

use super::forms::{known::known, times};
use super::{Fact, Known, Moment, Outcome, tables};
use crate::exact::Exact;
use crate::text::fields::{Bad, FACT, Shape, fact, find_word, form, leaf, part, span, text};
use crate::vocab::Basis;
use crate::vocab::class::{Words, wanted};

/// Types that are written in a form: what is wanted, how it is read, what the schema says of it.
macro_rules! written {
    ($($type:ty: $what:literal, $read:expr, $shape:expr;)+) => {
        $(impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                form(deserializer, $what, $read)
            }
        }
        schema!($type: $shape);)+
    };
}

macro_rules! schema {
    ($type:ty: $shape:expr) => {
        impl JsonSchema for $type {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> Cow<'static, str> {
                stringify!($type).into()
            }

            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                leaf($shape)
            }
        }
    };
}

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

/// What may stand under `with`.
#[derive(Clone, Debug)]
pub enum ToolsForm {}

/// What may stand under `loosen`.
#[derive(Clone, Debug)]
pub enum LoosenForm {}

/// What may stand under `after`.
#[derive(Clone, Debug)]
pub enum AfterForm {}

const SAFE: [&str; 5] = ["yes", "no", "true", "false", "together"];

written! {
    Moment: "a time such as `0:41`", times::moment, tables::TIME;
    Minutes: "a duration such as `4 min`", |t| times::duration(t).map(|s| Self(&s / &Exact::from(60))),
        &Shape::Form("a duration: `4 min`");
    HandsOn: "a duration such as `35 s`", |t| times::duration_span(t).map(|(low, high)| Self { low, high }),
        &Shape::Form("a duration or a span: `35 s`, `30..40 s`");
    Outcome: "an outcome", |t| find_word(t, "an outcome", tables::OUTCOMES).map(|i| Self::ALL[i]),
        &Shape::Words(|| tables::OUTCOMES.to_vec());
    MakesSafe: "yes, no or together", makes_safe, &Shape::Words(|| SAFE.to_vec());
}

schema!(FileName: &Shape::Text);
schema!(ToolsForm: tables::TOOLS);
schema!(LoosenForm: tables::FASTENERS);
schema!(AfterForm: tables::AFTER);

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

impl Knowable for bool {
    fn wanted() -> String {
        "yes or no".to_owned()
    }

    fn known(text: &str) -> Result<Known<Self>, Bad> {
        super::forms::known::yes_no(text)
    }
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
        let out = fact(&value, numbers, &tables::bases());
        Schema::try_from(out).unwrap_or_else(|_| unreachable!("a fact is an object"))
    }
}
