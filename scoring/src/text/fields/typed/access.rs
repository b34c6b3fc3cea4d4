//! The parts of a value, one after the other, as serde asks for them.

use std::iter::Peekable;
use std::rc::Rc;
use std::vec::IntoIter;

use serde::de::value::{BoolDeserializer, StringDeserializer, U32Deserializer};
use serde::de::{self, DeserializeSeed, Deserializer, IntoDeserializer as _, Visitor};

use super::{Error, Session, Value, name};
use crate::text::Span;
use crate::text::fields::{Fields, Item};
use crate::text::yaml::YamlKind;

/// What is left out.
#[derive(Clone, Copy, Default)]
pub(in crate::text::fields) struct Absent<'p> {
    /// The mapping it is missing from.
    pub(in crate::text::fields) head: Span,
    /// The data path it would have, in two pieces: written out where something asks for it.
    pub(in crate::text::fields) path: (&'p str, &'p str),
    /// Nothing is read: it is asked whether a struct could do without.
    pub(in crate::text::fields) asking: bool,
    /// Something stands there that can't be read.
    pub(in crate::text::fields) unread: bool,
}

impl Absent<'_> {
    fn whole_path(&self) -> String {
        match self.path {
            (path, "") | ("", path) => path.to_owned(),
            (above, name) => format!("{above}.{name}"),
        }
    }
}

/// A value, or what is left out in its place.
pub(super) enum Place<'a, 't, 'r, 's> {
    Given(Value<'a, 't, 'r, 's>),
    Absent(Absent<'a>),
}

/// A value as a place of its own.
pub(super) fn given<'a, 't, 'r, 's>(item: Item<'t>, session: &'a Session<'t, 'r, 's>) -> Place<'a, 't, 'r, 's> {
    Place::Given(Value { item, session })
}

impl<'t> Place<'_, 't, '_, '_> {
    fn seed<T: DeserializeSeed<'t>>(self, seed: T) -> Result<T::Value, Error> {
        match self {
            Self::Given(value) => seed.deserialize(value),
            Self::Absent(absent) => seed.deserialize(absent),
        }
    }
}

/// The fields of a mapping: those that can be read, then those that are left out or taken out. A struct that can't do without
/// one of the latter is given up at it, and by then everything else in it has been read.
pub(super) struct Entries<'a, 't, 'r, 's> {
    fields: Rc<Fields<'t>>,
    /// Names of the struct, which are those of its table.
    names: &'static [&'static str],
    session: &'a Session<'t, 'r, 's>,
    /// Which of them can be read.
    readable: Vec<bool>,
    /// Those that can be read are over.
    left_out: bool,
    next: usize,
}

impl<'a, 't, 'r, 's> Entries<'a, 't, 'r, 's> {
    pub(super) fn of(fields: Rc<Fields<'t>>, names: &'static [&'static str], session: &'a Session<'t, 'r, 's>) -> Self {
        let readable = |place| fields.node(place).is_some_and(|node| !session.is_out(node));
        let readable = (0..names.len()).map(readable).collect();
        Self { fields, names, session, readable, left_out: false, next: 0 }
    }

    /// The next field of the half that is gone through.
    fn advance(&mut self) -> Option<usize> {
        loop {
            let Some(readable) = self.readable.get(self.next) else {
                if std::mem::replace(&mut self.left_out, true) {
                    return None;
                }
                self.next = 0;
                continue;
            };
            self.next += 1;
            if *readable != self.left_out {
                return Some(self.next - 1);
            }
        }
    }
}

impl<'t> de::MapAccess<'t> for Entries<'_, 't, '_, '_> {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'t>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        self.advance().map(|place| seed.deserialize(name(self.names[place]))).transpose()
    }

    fn next_value_seed<T: DeserializeSeed<'t>>(&mut self, seed: T) -> Result<T::Value, Error> {
        let place = self.next.checked_sub(1).ok_or_else(Error::lacking)?;
        match self.fields.at(place).filter(|_| !self.left_out) {
            Some(item) => given(item, self.session).seed(seed),
            None => seed.deserialize(absent(&self.fields, self.names[place], self.fields.node(place).is_some())),
        }
    }
}

/// A field of a mapping as something left out, though what stands there may be `unread`.
fn absent<'f>(fields: &'f Fields<'_>, name: &'f str, unread: bool) -> Absent<'f> {
    Absent { head: fields.head, path: (&fields.path, name), asking: false, unread }
}

/// The items of a list that can be read. One that fails since something in it is taken out comes again, without it: so the
/// list need not be begun anew, which would make many mistakes in a long list costly.
pub(super) struct List<'a, 't, 'r, 's> {
    items: Peekable<IntoIter<Item<'t>>>,
    session: &'a Session<'t, 'r, 's>,
}

impl<'a, 't, 'r, 's> List<'a, 't, 'r, 's> {
    pub(super) fn of(items: Vec<Item<'t>>, session: &'a Session<'t, 'r, 's>) -> Self {
        Self { items: items.into_iter().peekable(), session }
    }
}

impl<'t> de::SeqAccess<'t> for List<'_, 't, '_, '_> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'t>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        while self.items.next_if(|item| self.session.is_out(item.node)).is_some() {}
        let Some(item) = self.items.peek().cloned() else { return Ok(None) };
        let before = self.session.out.borrow().len();
        let read = seed.deserialize(Value { item, session: self.session });
        if read.is_ok() || self.session.out.borrow().len() == before {
            self.items.next();
        }
        read.map(Some)
    }
}

/// File, start and end of a place, one by one.
struct SpanParts(Span, u8);

impl SpanParts {
    fn next<'t, T: DeserializeSeed<'t>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        let at = self.0;
        let number = [u32::from(at.file), at.start, at.end][usize::from(self.1)];
        self.1 += 1;
        let number: U32Deserializer<Error> = number.into_deserializer();
        seed.deserialize(number).map(Some)
    }

    fn are_over(&self) -> bool {
        self.1 > 2
    }
}

/// A place, then the value that stands there.
pub(super) struct Placed<'a, 't, 'r, 's> {
    span: SpanParts,
    value: Option<Place<'a, 't, 'r, 's>>,
}

impl<'a, 't, 'r, 's> Placed<'a, 't, 'r, 's> {
    pub(super) fn of(span: Span, value: Place<'a, 't, 'r, 's>) -> Self {
        Self { span: SpanParts(span, 0), value: Some(value) }
    }
}

impl<'t> de::SeqAccess<'t> for Placed<'_, 't, '_, '_> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'t>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        if !self.span.are_over() {
            return self.span.next(seed);
        }
        self.value.take().map(|value| value.seed(seed)).transpose()
    }
}

/// Place, path, whether it is stated; then basis, source and the value itself.
pub(super) struct Facts<'a, 't, 'r, 's> {
    span: SpanParts,
    path: String,
    stated: bool,
    next: u8,
    parts: [Option<Place<'a, 't, 'r, 's>>; 3],
}

impl<'a, 't, 'r, 's> Facts<'a, 't, 'r, 's> {
    /// A value alone, or `{is, basis, source}`.
    pub(super) fn of(item: &Item<'t>, session: &'a Session<'t, 'r, 's>) -> Option<Self> {
        let absent = || Some(Place::Absent(Absent { head: item.head(), ..Absent::default() }));
        let (mut span, mut parts) = (item.span(), [absent(), absent(), None]);
        if let YamlKind::Map(_) = item.node.kind {
            let fields = session.fields(item, session.described.named(super::A_FACT))?;
            span = fields.get("is").map_or(span, |is| is.span());
            parts = ["basis", "source", "is"].map(|name| {
                let given_item = fields.get(name).filter(|item| !session.is_out(item.node));
                given_item.map(|item| given(item, session)).or_else(absent)
            });
        } else {
            parts[2] = Some(given(item.clone(), session));
        }
        Some(Self { span: SpanParts(span, 0), path: item.path.clone(), stated: true, next: 0, parts })
    }
}

impl<'t> de::SeqAccess<'t> for Facts<'_, 't, '_, '_> {
    type Error = Error;

    fn next_element_seed<T: DeserializeSeed<'t>>(&mut self, seed: T) -> Result<Option<T::Value>, Error> {
        if !self.span.are_over() {
            return self.span.next(seed);
        }
        self.next += 1;
        match self.next {
            1 => {
                let path: StringDeserializer<Error> = std::mem::take(&mut self.path).into_deserializer();
                seed.deserialize(path).map(Some)
            }
            2 => {
                let stated: BoolDeserializer<Error> = self.stated.into_deserializer();
                seed.deserialize(stated).map(Some)
            }
            n => {
                let part = self.parts.get_mut(usize::from(n) - 3).and_then(Option::take);
                part.map(|part| part.seed(seed)).transpose()
            }
        }
    }
}

/// One of two variants, and its value.
pub(super) struct Which<'a, 't, 'r, 's> {
    pub(super) variant: &'static str,
    pub(super) value: Value<'a, 't, 'r, 's>,
}

impl<'a, 't, 'r, 's> de::EnumAccess<'t> for Which<'a, 't, 'r, 's> {
    type Error = Error;
    type Variant = Value<'a, 't, 'r, 's>;

    fn variant_seed<V: DeserializeSeed<'t>>(self, seed: V) -> Result<(V::Value, Self::Variant), Error> {
        Ok((seed.deserialize(name(self.variant))?, self.value))
    }
}

impl<'t> de::VariantAccess<'t> for Value<'_, 't, '_, '_> {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        Err(Error::lacking())
    }

    fn newtype_variant_seed<T: DeserializeSeed<'t>>(self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(self)
    }

    fn tuple_variant<V: Visitor<'t>>(self, _: usize, _: V) -> Result<V::Value, Error> {
        Err(Error::lacking())
    }

    fn struct_variant<V: Visitor<'t>>(self, _: &'static [&'static str], _: V) -> Result<V::Value, Error> {
        Err(Error::lacking())
    }
}

/// What is left out is `None`, no, an empty list, a fact nobody stated, a mapping of such; anything else can't be.
impl<'t> Deserializer<'t> for Absent<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'t>>(self, _: V) -> Result<V::Value, Error> {
        Err(Error::lacking())
    }

    fn deserialize_option<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_none()
    }

    fn deserialize_bool<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_bool(false)
    }

    fn deserialize_seq<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_seq(de::value::SeqDeserializer::<_, Error>::new(std::iter::empty::<u32>()))
    }

    fn deserialize_newtype_struct<V: Visitor<'t>>(self, name: &'static str, visitor: V) -> Result<V::Value, Error> {
        match name {
            super::MANY => self.deserialize_seq(visitor),
            super::NEEDED if !self.asking => visitor.visit_none(),
            super::STATED if self.unread => visitor.visit_unit(),
            super::STATED => visitor.visit_none(),
            _ => Err(Error::lacking()),
        }
    }

    fn deserialize_tuple_struct<V: Visitor<'t>>(
        self,
        name: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        if name == super::FACT {
            let parts = [None, None, None];
            let span = SpanParts(self.head, 0);
            return visitor.visit_seq(Facts { span, path: self.whole_path(), stated: false, next: 0, parts });
        }
        visitor.visit_seq(Placed::of(self.head, Place::Absent(self)))
    }

    fn deserialize_struct<V: Visitor<'t>>(
        self,
        _: &'static str,
        names: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let path = self.whole_path();
        visitor.visit_map(Nothing {
            of: Absent { path: (&path, ""), unread: false, ..self },
            names: names.iter(),
            now: "",
        })
    }

    serde::forward_to_deserialize_any! {
        <W: Visitor<'t>>
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit unit_struct tuple map enum identifier ignored_any
    }
}

/// The fields of a mapping that is left out.
struct Nothing<'p> {
    of: Absent<'p>,
    names: std::slice::Iter<'static, &'static str>,
    now: &'static str,
}

impl<'t> de::MapAccess<'t> for Nothing<'_> {
    type Error = Error;

    fn next_key_seed<K: DeserializeSeed<'t>>(&mut self, seed: K) -> Result<Option<K::Value>, Error> {
        let Some(next) = self.names.next() else { return Ok(None) };
        self.now = next;
        seed.deserialize(name(next)).map(Some)
    }

    fn next_value_seed<T: DeserializeSeed<'t>>(&mut self, seed: T) -> Result<T::Value, Error> {
        seed.deserialize(Absent { path: (self.of.path.0, self.now), ..self.of })
    }
}
