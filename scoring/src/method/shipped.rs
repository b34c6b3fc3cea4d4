//! The methods that ship with the library, embedded as text.

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

/// A shipped method; `None` when there is none of this id.
pub fn load_shipped(id: &str) -> Option<Method> {
    let mut sources = Sources::new();
    let file = sources.add(shipped_source(id)?);
    read(&mut sources, file, &mut shipped_source).0
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
