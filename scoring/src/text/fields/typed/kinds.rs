//! Types that are read in a way of their own, and how they ask for it.

use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;
use std::ops::{Deref, DerefMut};

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::{Deserializer, Error as _, SeqAccess, Visitor};

use super::error::carry;
use crate::text::fields::Bad;
use crate::text::fields::described::LIST;
use crate::text::{Span, Spanned};

pub(super) const FORM: &str = "$form";
pub(super) const TEXT: &str = "$text";
pub(super) const MANY: &str = "$many";
pub(super) const NEEDED: &str = "$needed";
pub(super) const STATED: &str = "$stated";
pub(super) const SPANNED: &str = "$spanned";
pub(super) const UNREAD: &str = "$unread";
/// What a fact asks for: file, start and end of its place, its data path, whether it is stated; basis, source, value.
pub const FACT: &str = "$fact";

/// Reads a short form by a parser of its own. `what` says what is wanted where something else than one value stands.
///
/// # Errors
/// What the parser finds wrong, with place and mend where a record is read.
pub fn form<'de, D: Deserializer<'de>, T>(
    deserializer: D,
    what: &str,
    parse: impl FnOnce(&str) -> Result<T, Bad>,
) -> Result<T, D::Error> {
    deserializer.deserialize_newtype_struct(FORM, Form { what, parse })
}

struct Form<'w, P> {
    what: &'w str,
    parse: P,
}

impl<'de, T, P: FnOnce(&str) -> Result<T, Bad>> Visitor<'de> for Form<'_, P> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.what)
    }

    fn visit_borrowed_str<E: serde::de::Error>(self, text: &'de str) -> Result<T, E> {
        (self.parse)(text).map_err(|bad| E::custom(carry(&bad)))
    }

    /// Any other deserializer, which knows no places.
    fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<T, D::Error> {
        let text = String::deserialize(deserializer)?;
        (self.parse)(&text).map_err(|bad| D::Error::custom(bad.message))
    }
}

/// Reads any single value as text, trimmed. `what` says what is wanted where something else or nothing stands.
///
/// # Errors
/// Another shape, or nothing.
pub fn text<'de, D: Deserializer<'de>>(deserializer: D, what: &str) -> Result<String, D::Error> {
    deserializer.deserialize_newtype_struct(TEXT, Form { what, parse: |text: &str| Ok(text.trim().to_owned()) })
}

/// A field whose place is known and whose value is read later, since what may stand there depends on what else the record
/// says: its own words, its other fields. `T` says what it is for those who write and describe records.
pub struct Unread<T> {
    pub(super) at: usize,
    of: PhantomData<fn() -> T>,
}

impl<T> fmt::Debug for Unread<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unread({})", self.at)
    }
}

impl<T> Clone for Unread<T> {
    fn clone(&self) -> Self {
        Self { at: self.at, of: PhantomData }
    }
}

impl<'de, T> Deserialize<'de> for Unread<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct At;
        impl Visitor<'_> for At {
            type Value = usize;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a value that is read later")
            }

            fn visit_u64<E: serde::de::Error>(self, at: u64) -> Result<usize, E> {
                usize::try_from(at).map_err(E::custom)
            }
        }
        let at = deserializer.deserialize_newtype_struct(UNREAD, At)?;
        Ok(Self { at, of: PhantomData })
    }
}

/// A field that is complained of where it is left out, and whose mapping is read all the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needed<T>(pub Option<T>);

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Needed<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Given<T>(PhantomData<fn() -> T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Given<T> {
            type Value = Option<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a value")
            }

            fn visit_none<E: serde::de::Error>(self) -> Result<Option<T>, E> {
                Ok(None)
            }

            fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Option<T>, D::Error> {
                T::deserialize(deserializer).map(Some)
            }
        }
        deserializer.deserialize_newtype_struct(NEEDED, Given(PhantomData)).map(Self)
    }
}

/// A field that says whether something stands there that can't be read: what only follows from it is not complained of.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub enum Stated<T> {
    /// Nothing stands there.
    #[default]
    LeftOut,
    /// What stands there can't be read, which has been complained of.
    Unread,
    /// What stands there.
    Read(T),
}

impl<T> Stated<T> {
    /// What stands there, if it can be read.
    pub fn read(self) -> Option<T> {
        if let Self::Read(value) = self { Some(value) } else { None }
    }

    /// Whether something stands there that can't be read.
    pub fn is_unread(&self) -> bool {
        matches!(self, Self::Unread)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Stated<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct One<T>(PhantomData<fn() -> T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for One<T> {
            type Value = Stated<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a value")
            }

            fn visit_none<E: serde::de::Error>(self) -> Result<Stated<T>, E> {
                Ok(Stated::LeftOut)
            }

            fn visit_unit<E: serde::de::Error>(self) -> Result<Stated<T>, E> {
                Ok(Stated::Unread)
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut values: A) -> Result<Stated<T>, A::Error> {
                loop {
                    match values.next_element() {
                        Ok(Some(value)) => return Ok(Stated::Read(value)),
                        Ok(None) => return Ok(Stated::Unread),
                        // It comes again without what is wrong in it, or is taken out.
                        Err(_) => {}
                    }
                }
            }

            /// Any other deserializer, which ends at what can't be read.
            fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<Stated<T>, D::Error> {
                T::deserialize(deserializer).map(Stated::Read)
            }
        }
        deserializer.deserialize_newtype_struct(STATED, One(PhantomData))
    }
}

/// One, or a list of them; an item that can't be read is left out, and the others are read.
#[derive(Clone, PartialEq, Eq)]
pub struct Many<T>(pub Vec<T>);

impl<T: fmt::Debug> fmt::Debug for Many<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl<T> Default for Many<T> {
    fn default() -> Self {
        Self(Vec::new())
    }
}

impl<T> Deref for Many<T> {
    type Target = Vec<T>;

    fn deref(&self) -> &Vec<T> {
        &self.0
    }
}

impl<T> DerefMut for Many<T> {
    fn deref_mut(&mut self) -> &mut Vec<T> {
        &mut self.0
    }
}

impl<'m, T> IntoIterator for &'m Many<T> {
    type Item = &'m T;
    type IntoIter = std::slice::Iter<'m, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Many<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Each<T>(PhantomData<fn() -> T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Each<T> {
            type Value = Vec<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("one or a list")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Vec<T>, A::Error> {
                let mut out = Vec::new();
                loop {
                    match items.next_element() {
                        Ok(Some(item)) => out.push(item),
                        Ok(None) => return Ok(out),
                        // It has been complained of; it comes again without what is wrong in it, or the next one does.
                        Err(_) => {}
                    }
                }
            }

            /// Any other deserializer, which ends at the first item that can't be read.
            fn visit_newtype_struct<D: Deserializer<'de>>(self, deserializer: D) -> Result<Vec<T>, D::Error> {
                Vec::deserialize(deserializer)
            }
        }
        deserializer.deserialize_newtype_struct(MANY, Each(PhantomData)).map(Self)
    }
}

impl<T: JsonSchema> JsonSchema for Many<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        Vec::<T>::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        generator.subschema_for::<Vec<T>>()
    }
}

/// A list that needs its brackets even around one item, for those who write and describe records.
#[derive(Clone, Copy, Debug)]
pub struct ListOf<T>(PhantomData<fn() -> T>);

impl<T: JsonSchema> JsonSchema for ListOf<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        format!("list of {}", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        schemars::json_schema!({ (LIST): true, "type": "array", "items": generator.subschema_for::<T>() })
    }
}

/// Either of two: a mapping, or what is written shorter.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub enum Either<M, T> {
    /// A mapping with fields.
    Mapping(M),
    /// Anything else.
    Short(T),
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Spanned<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Parts<T>(PhantomData<fn() -> T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Parts<T> {
            type Value = Spanned<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a value with its place")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut parts: A) -> Result<Spanned<T>, A::Error> {
                let span = span(&mut parts)?;
                Ok(Spanned { value: part(&mut parts)?, span })
            }
        }
        deserializer.deserialize_tuple_struct(SPANNED, 4, Parts(PhantomData))
    }
}

/// The next part of a value that is read in parts.
///
/// # Errors
/// Those of the part.
pub fn part<'de, A: SeqAccess<'de>, T: Deserialize<'de>>(parts: &mut A) -> Result<T, A::Error> {
    parts.next_element()?.ok_or_else(|| A::Error::missing_field("part"))
}

/// The place that starts a value that is read in parts.
///
/// # Errors
/// Where none does.
pub fn span<'de, A: SeqAccess<'de>>(parts: &mut A) -> Result<Span, A::Error> {
    Ok(Span { file: part(parts)?, start: part(parts)?, end: part(parts)? })
}

/// Described as what it holds: to who writes a record it is no more than that.
macro_rules! described_as_held {
    ($($name:ident),+) => {$(
        impl<T: JsonSchema> JsonSchema for $name<T> {
            fn inline_schema() -> bool {
                true
            }

            fn schema_name() -> Cow<'static, str> {
                T::schema_name()
            }

            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                generator.subschema_for::<T>()
            }
        }
    )+};
}
described_as_held!(Spanned, Needed, Stated, Unread);

impl<M: JsonSchema, T: JsonSchema> JsonSchema for Either<M, T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let (short, mapping) = (generator.subschema_for::<T>(), generator.subschema_for::<M>());
        schemars::json_schema!({ "anyOf": [short, mapping] })
    }
}
