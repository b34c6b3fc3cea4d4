//! The methods that ship with the library, embedded as text.

use std::sync::OnceLock;

use super::{Method, read};
use crate::text::{Source, Sources, fold};

/// A shipped method.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shipped {
    /// Id.
    pub id: &'static str,
    /// Name of its file under `criteria/`.
    pub file: &'static str,
    /// The text of the file.
    pub text: &'static str,
}

macro_rules! shipped {
    ($($id:literal),+) => {
        &[$(Shipped {
            id: $id,
            file: concat!("criteria/", $id, ".yaml"),
            text: include_str!(concat!("../../criteria/", $id, ".yaml")),
        }),+]
    };
}

static ALL: &[Shipped] = shipped![
    "en-45554",
    "eu-2023-1669",
    "eu-2023-1670",
    "eu-2023-1542-11",
    "eu-2023-2534",
    "eu-2023-2533",
    "eu-2019-2023",
    "fr-index"
];

/// All shipped methods, the default verdict first.
pub fn shipped() -> &'static [Shipped] {
    ALL
}

/// The source of a shipped method, for `extends`.
pub fn shipped_source(id: &str) -> Option<Source> {
    let found = ALL.iter().find(|s| fold(s.id) == fold(id))?;
    Some(Source::new(found.file, found.text))
}

/// A shipped method as it is read, without a complaint.
#[derive(Debug)]
pub struct ShippedRead {
    /// The method.
    pub method: Method,
    /// Its text and those of the methods it extends.
    pub text: String,
}

/// What the constant texts above say, read once: a program that works on many records in turn asks for them each time.
static READ: [OnceLock<Option<ShippedRead>>; ALL.len()] = [const { OnceLock::new() }; ALL.len()];

/// A shipped method and its text; `None` when there is none of this id.
pub fn shipped_read(id: &str) -> Option<&'static ShippedRead> {
    let place = ALL.iter().position(|s| fold(s.id) == fold(id))?;
    let reading = || {
        let mut sources = Sources::new();
        let file = sources.add(shipped_source(id)?);
        let mut text = ALL[place].text.to_owned();
        let mut find = |wanted: &str| {
            let found = shipped_source(wanted)?;
            text.push_str(&found.text);
            Some(found)
        };
        let method = read(&mut sources, file, &mut find).0?;
        Some(ShippedRead { method, text })
    };
    READ[place].get_or_init(reading).as_ref()
}

/// A shipped method; `None` when there is none of this id.
pub fn load_shipped(id: &str) -> Option<Method> {
    shipped_read(id).map(|read| read.method.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every shipped method reads without a complaint, errors and warnings alike.
    #[test]
    fn shipped_methods_are_clean() {
        for shipped in shipped() {
            let mut sources = Sources::new();
            let file = sources.add(Source::new(shipped.file, shipped.text));
            let (method, found) = read(&mut sources, file, &mut shipped_source);
            let shown: Vec<_> =
                found.iter().map(|d| format!("{} {} {}", sources.place(d.at.span), d.code, d.message)).collect();
            assert!(shown.is_empty(), "{shown:#?}");
            assert_eq!(method.unwrap().id.value, shipped.id);
        }
    }
}
