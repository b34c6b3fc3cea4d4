//! Described structs, read by serde from items.
//!
//! A struct with `Deserialize` and `JsonSchema` says all there is to say of the fields of one sort of mapping (see
//! [`Described`](super::Described)); here serde reads it over the tree of places. What is wrong in a file is complained of
//! at its place, with its mend, and one mistake hides no other: an entry that can't be read is taken out, as if it had been
//! left out, and reading is repeated until nothing is wrong any more.
//!
//! Some types need more than a value: its place, a short form, how well it is known. They ask for it under names that start
//! with `$`, which no other deserializer knows; see [`form`], [`Unread`], [`Either`] and what implements `Deserialize` for
//! [`Spanned`](crate::text::Spanned) and facts.

mod access;
mod error;
mod kinds;

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use serde::de::{DeserializeOwned, Deserializer, Error as _, IntoDeserializer as _, Unexpected, Visitor};

use super::{Described, Fields, Item, Reader, Table};
use crate::text::Span;
use crate::text::yaml::{YamlKind, YamlNode};

pub(super) use access::Absent;
use access::{Entries, Facts, List, Placed, Which, given};
pub(super) use error::Error;
use error::Trouble;
pub use kinds::{Either, FACT, ListOf, Many, Needed, Stated, Unread, form, part, span, text};
use kinds::{FORM, MANY, NEEDED, SPANNED, STATED, TEXT, UNREAD};

/// What a described struct left to be read later, by its [`Unread`] fields.
#[derive(Debug)]
pub struct Items<'t> {
    described: &'static Described,
    items: Vec<Item<'t>>,
}

impl<'t> Items<'t> {
    /// The item of a field.
    pub fn item<T>(&self, field: &Unread<T>) -> Item<'t> {
        self.items[field.at].clone()
    }

    /// The item of a field that may be left out.
    pub fn get<T>(&self, field: &Option<Unread<T>>) -> Option<Item<'t>> {
        field.as_ref().map(|field| self.item(field))
    }

    /// The value of a field, read now.
    pub fn read<T: DeserializeOwned>(&self, field: &Unread<T>, reader: &mut Reader<'_>) -> Option<T> {
        self.item(field).typed(self.described, reader).map(|(value, _)| value)
    }
}

impl<'t> Item<'t> {
    /// A value of a described type, as far as it can be read; `None` where nothing is left of it. Complains about everything
    /// in it that is wrong.
    pub fn typed<T: DeserializeOwned>(
        &self,
        described: &'static Described,
        reader: &mut Reader<'_>,
    ) -> Option<(T, Items<'t>)> {
        self.described(described, false, reader)
    }

    /// As [`Item::typed`], of a mapping the rest of which stands elsewhere: none of its own fields is missing.
    pub fn partly_typed<T: DeserializeOwned>(
        &self,
        described: &'static Described,
        reader: &mut Reader<'_>,
    ) -> Option<(T, Items<'t>)> {
        self.described(described, true, reader)
    }

    fn described<T: DeserializeOwned>(
        &self,
        described: &'static Described,
        partly: bool,
        reader: &mut Reader<'_>,
    ) -> Option<(T, Items<'t>)> {
        let session = Session {
            described,
            part: partly.then(|| identity(self.node)),
            reader: RefCell::new(reader),
            out: RefCell::default(),
            mappings: RefCell::default(),
            unread: RefCell::default(),
        };
        loop {
            session.unread.borrow_mut().clear();
            let before = session.out.borrow().len();
            let read = T::deserialize(Value { item: self.clone(), session: &session });
            if let Ok(value) = read {
                return Some((value, Items { described, items: session.unread.into_inner() }));
            }
            let more = session.out.borrow().len() > before;
            debug_assert!(more, "an error that no entry is to blame for");
            if !more || session.is_out(self.node) || session.reader.borrow().full() {
                return None;
            }
        }
    }
}

/// A struct none of whose fields is given: facts are missing from the place named, under their paths below `path`. `None` if
/// it can't do without one of them.
pub fn left_out<T: DeserializeOwned>(head: Span, path: &str) -> Option<T> {
    T::deserialize(Absent { head, path: (path, ""), ..Absent::default() }).ok()
}

/// What a fact written as a mapping is called.
const A_FACT: &str = "a fact";

/// What one reading of a struct has found so far, over all its repetitions.
struct Session<'t, 'r, 's> {
    described: &'static Described,
    /// The mapping the rest of which stands elsewhere.
    part: Option<usize>,
    reader: RefCell<&'r mut Reader<'s>>,
    /// Nodes that can't be read, by where they are in memory; nothing is put into order by it.
    out: RefCell<BTreeSet<usize>>,
    /// Mappings whose fields have been looked through and complained of.
    mappings: RefCell<BTreeMap<usize, Option<Rc<Fields<'t>>>>>,
    unread: RefCell<Vec<Item<'t>>>,
}

fn identity(node: &YamlNode) -> usize {
    std::ptr::from_ref(node).addr()
}

impl<'t> Session<'t, '_, '_> {
    fn is_out(&self, node: &YamlNode) -> bool {
        self.out.borrow().contains(&identity(node))
    }

    fn take_out(&self, node: &YamlNode) {
        self.out.borrow_mut().insert(identity(node));
    }

    /// The fields of a mapping; complains the first time it is asked.
    fn fields(&self, item: &Item<'t>, table: &'static Table) -> Option<Rc<Fields<'t>>> {
        let mut mappings = self.mappings.borrow_mut();
        let at = identity(item.node);
        let read = || {
            let reader = &mut **self.reader.borrow_mut();
            let fields =
                if self.part == Some(at) { item.some_fields(table, reader) } else { item.fields(table, reader) };
            fields.map(Rc::new)
        };
        mappings.entry(at).or_insert_with(read).clone()
    }
}

/// A value of the tree, for serde.
struct Value<'a, 't, 'r, 's> {
    item: Item<'t>,
    session: &'a Session<'t, 'r, 's>,
}

impl<'t> Value<'_, 't, '_, '_> {
    /// Complains about what went wrong with this value, and takes it out.
    fn settled<V>(&self, result: Result<V, Error>) -> Result<V, Error> {
        result.map_err(|error| {
            let mut reader = self.session.reader.borrow_mut();
            match error.trouble {
                Trouble::Said => return Error::said(),
                Trouble::Lacking => {}
                Trouble::Shape(wanted) => self.item.wrong_shape(&wanted, &mut reader),
                Trouble::Bad(bad) => self.item.bad(bad, &mut reader),
            }
            self.session.take_out(self.item.node);
            Error::said()
        })
    }

    /// The text that stands here, as written; nothing where so much is wrong already that no value is read any more.
    fn written<'v>(&self, visitor: &impl Visitor<'v>) -> Result<&'t str, Error> {
        let text = self.item.node.text().filter(|_| !self.item.node.is_nothing());
        if text.is_some() && self.session.reader.borrow().full() {
            return Err(Error::lacking());
        }
        text.ok_or_else(|| Error::invalid_type(Unexpected::Other(""), visitor))
    }

    /// The place that a value is shown at: its own, of more than a single value what names it.
    fn place(&self) -> Span {
        match self.item.node.kind {
            YamlKind::Scalar(_) => self.item.span(),
            _ => self.item.head(),
        }
    }
}

impl<'t> Deserializer<'t> for Value<'_, 't, '_, '_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_string(visitor)
    }

    fn deserialize_option<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    fn deserialize_bool<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        let yes = self.item.yes_no(&mut self.session.reader.borrow_mut());
        // What is wrong with it has been said.
        self.settled(yes.ok_or_else(Error::lacking).and_then(|yes| visitor.visit_bool(yes.value)))
    }

    fn deserialize_str<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        self.deserialize_string(visitor)
    }

    fn deserialize_string<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        let text = self.item.text("text", &mut self.session.reader.borrow_mut());
        self.settled(text.ok_or_else(Error::lacking).and_then(|text| visitor.visit_string(text.value)))
    }

    /// One value, or a list of them.
    fn deserialize_seq<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        self.settled(visitor.visit_seq(List::of(self.item.one_or_many(), self.session)))
    }

    fn deserialize_newtype_struct<V: Visitor<'t>>(self, name: &'static str, visitor: V) -> Result<V::Value, Error> {
        match name {
            FORM => {
                let text = self.written(&visitor);
                self.settled(text.and_then(|text| visitor.visit_borrowed_str(text)))
            }
            TEXT => {
                let text = self.item.node.text().filter(|t| !self.item.node.is_nothing() && !t.trim().is_empty());
                let text = text.ok_or_else(|| Error::invalid_type(Unexpected::Other(""), &visitor));
                self.settled(text.and_then(|text| visitor.visit_borrowed_str(text)))
            }
            UNREAD => {
                let mut unread = self.session.unread.borrow_mut();
                unread.push(self.item);
                visitor.visit_u64(unread.len() as u64 - 1)
            }
            MANY => self.deserialize_seq(visitor),
            NEEDED => visitor.visit_some(self),
            STATED => visitor.visit_seq(List::of(vec![self.item], self.session)),
            _ => visitor.visit_newtype_struct(self),
        }
    }

    fn deserialize_tuple_struct<V: Visitor<'t>>(
        self,
        name: &'static str,
        _: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        match name {
            SPANNED => {
                let place = self.place();
                visitor.visit_seq(Placed::of(place, given(self.item, self.session)))
            }
            FACT => {
                let Some(facts) = Facts::of(&self.item, self.session) else {
                    return self.settled(Err(Error::lacking()));
                };
                self.settled(visitor.visit_seq(facts))
            }
            _ => Err(Error::custom(format!("`{name}` is not read from records"))),
        }
    }

    fn deserialize_struct<V: Visitor<'t>>(
        self,
        name: &'static str,
        names: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let fields = self.session.fields(&self.item, self.session.described.named(name));
        let entries = fields.map(|fields| Entries::of(fields, names, self.session));
        self.settled(entries.ok_or_else(Error::lacking).and_then(|entries| visitor.visit_map(entries)))
    }

    /// The first of two variants is a mapping, the second anything else.
    fn deserialize_enum<V: Visitor<'t>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let mapping = matches!(self.item.node.kind, YamlKind::Map(_));
        visitor.visit_enum(Which { variant: variants[usize::from(!mapping)], value: self })
    }

    fn deserialize_identifier<V: Visitor<'t>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_str(self.item.node.text().unwrap_or_default())
    }

    serde::forward_to_deserialize_any! {
        <W: Visitor<'t>>
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char bytes byte_buf unit unit_struct tuple map ignored_any
    }
}

/// A name of a field or variant, for serde.
fn name(name: &'static str) -> serde::de::value::StrDeserializer<'static, Error> {
    name.into_deserializer()
}
