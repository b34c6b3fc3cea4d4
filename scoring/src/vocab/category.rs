//! Product categories: data beside this module, and names of one's own.

use std::cmp::Ordering;
use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::words::{RoleWord, all_roles};
use crate::text::fold;

/// Most bytes the name of a category has.
pub const LONGEST_CATEGORY: usize = 40;

/// A product category, which is its name. What is known of the shipped ones stands in `categories.yaml`; any other name is
/// a category of somebody's own, whose roles a record names itself.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Category {
    name: [u8; LONGEST_CATEGORY],
    length: u8,
}

/// What is known of a shipped category.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CategoryWord {
    /// Name.
    pub name: String,
    /// Other words for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// Its display may fold, and rules ask whether it does.
    #[serde(default)]
    pub folds: bool,
    /// Runs on mains, so that mains is a hazard whether or not a record says so.
    #[serde(default)]
    pub mains: bool,
    /// Names of its roles (`roles.yaml`), the order of lists; empty: a record names its own.
    #[serde(default)]
    pub roles: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CategoryFile {
    source: String,
    certainty: super::Certainty,
    categories: Vec<CategoryWord>,
}

static FILE: LazyLock<CategoryFile> = LazyLock::new(|| super::words::load(include_str!("categories.yaml")));
static SHIPPED: LazyLock<Vec<Category>> =
    LazyLock::new(|| FILE.categories.iter().map(|c| Category::of(&c.name)).collect());

/// Where the shipped categories and their lists of roles come from, and how sure they are.
pub fn category_provenance() -> (&'static str, super::Certainty) {
    (&FILE.source, FILE.certainty)
}

impl Category {
    /// Anything else; the record names its own roles.
    pub const OTHER: Self = Self::of("other");

    /// The category of this name, spelt as the vocabulary spells it. What is beyond [`LONGEST_CATEGORY`] bytes is cut off;
    /// names from a file go through [`Self::from_word`] and [`Self::own`].
    ///
    /// ```
    /// use scoring::vocab::Category;
    /// assert_eq!(Category::from_word("Slate-Tablet"), Some(Category::of("slate tablet")));
    /// ```
    pub const fn of(name: &str) -> Self {
        let text = name.as_bytes();
        let (mut out, mut at) = ([0; LONGEST_CATEGORY], 0);
        while at < text.len() && at < LONGEST_CATEGORY {
            out[at] = text[at];
            at += 1;
        }
        #[allow(clippy::cast_possible_truncation, reason = "at most LONGEST_CATEGORY")]
        let length = at as u8;
        Self { name: out, length }
    }

    /// The shipped categories, in the order of the vocabulary.
    pub fn shipped() -> &'static [Self] {
        &SHIPPED
    }

    /// The shipped category a word names (case, spaces, hyphens and underscores folded).
    pub fn from_word(text: &str) -> Option<Self> {
        let key = fold(text);
        let named = |c: &&CategoryWord| fold(&c.name) == key || c.also.iter().any(|a| fold(a) == key);
        FILE.categories.iter().find(named).map(|c| Self::of(&c.name))
    }

    /// A category of somebody's own; `None` where the text is no name: letters, digits and spaces, at most
    /// [`LONGEST_CATEGORY`] bytes.
    pub fn own(text: &str) -> Option<Self> {
        let name = fold(text);
        let good = !name.is_empty()
            && name.len() <= LONGEST_CATEGORY
            && name.chars().all(|c| c.is_alphanumeric() || c == ' ')
            && name.chars().any(char::is_alphabetic);
        good.then(|| Self::of(&name))
    }

    /// The spelling.
    pub fn word(&self) -> &str {
        std::str::from_utf8(&self.name[..usize::from(self.length)]).unwrap_or_default()
    }

    /// What the vocabulary knows of it; `None` for one of somebody's own.
    pub fn known(&self) -> Option<&'static CategoryWord> {
        FILE.categories.iter().find(|c| c.name == self.word())
    }

    /// Whether rules ask if its display folds.
    pub fn folds(&self) -> bool {
        self.known().is_some_and(|c| c.folds)
    }

    /// Whether it runs on mains.
    pub fn mains(&self) -> bool {
        self.known().is_some_and(|c| c.mains)
    }

    /// Whether a record names its roles, as for `other`.
    pub fn names_own_roles(&self) -> bool {
        self.known().is_none_or(|c| c.roles.is_empty())
    }

    /// Whether it is one of some: by name, or as an `other` one where it has no roles of the vocabulary.
    pub fn is_among(&self, list: &[Self]) -> bool {
        list.contains(self) || self.names_own_roles() && list.contains(&Self::OTHER)
    }

    /// Its roles, in order; none where a record names its own.
    pub fn roles(&self) -> impl Iterator<Item = &'static RoleWord> + use<> {
        let names = self.known().map(|c| c.roles.as_slice()).unwrap_or_default();
        names.iter().filter_map(|name| all_roles().iter().find(|r| r.name == *name))
    }
}

impl Ord for Category {
    /// The order of the vocabulary, then names.
    fn cmp(&self, other: &Self) -> Ordering {
        let at = |c: &Self| SHIPPED.iter().position(|s| s == c).unwrap_or(usize::MAX);
        at(self).cmp(&at(other)).then_with(|| self.word().cmp(other.word()))
    }
}

impl PartialOrd for Category {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Debug for Category {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Category({})", self.word())
    }
}

impl fmt::Display for Category {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.word())
    }
}

impl serde::Serialize for Category {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

impl schemars::JsonSchema for Category {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Category".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "A product category, by its word." })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Every role a category lists is a word of the vocabulary, no word names two categories, no name is cut.
    #[test]
    fn the_file_holds_together() {
        let mut seen = std::collections::BTreeSet::new();
        for category in &FILE.categories {
            for word in std::iter::once(&category.name).chain(&category.also) {
                assert!(seen.insert(fold(word)), "`{word}` stands twice");
            }
            assert!(category.name.len() <= LONGEST_CATEGORY);
            for role in &category.roles {
                assert!(all_roles().iter().any(|r| r.name == *role), "{}: no role `{role}`", category.name);
            }
            let roles: std::collections::BTreeSet<_> = category.roles.iter().collect();
            assert_eq!(roles.len(), category.roles.len(), "{}", category.name);
        }
        for role in all_roles() {
            assert!(
                Category::shipped().iter().any(|c| c.roles().any(|r| r.name == role.name)),
                "`{}` unused",
                role.name
            );
        }
    }

    #[rstest]
    #[case("Washing_Machine", Some("washing machine"))]
    #[case("clothes dryer", Some("tumble dryer"))]
    #[case("toaster", None)]
    fn words_name_categories(#[case] word: &str, #[case] name: Option<&str>) {
        assert_eq!(Category::from_word(word).as_ref().map(Category::word), name);
    }

    #[rstest]
    #[case("Bread  Maker", Some("bread maker"))]
    #[case("", None)]
    #[case("12", None)]
    #[case("a|b", None)]
    #[case("\u{1b}[31mx", None)]
    #[case("a category whose name is longer than forty bytes", None)]
    fn names_of_ones_own(#[case] text: &str, #[case] name: Option<&str>) {
        assert_eq!(Category::own(text).as_ref().map(Category::word), name);
    }

    /// One of somebody's own is an `other` one to methods that know no better, and has no roles of the vocabulary.
    #[test]
    fn own_ones_are_other_ones() {
        let own = Category::own("bread maker").unwrap();
        assert!(own.names_own_roles() && own.is_among(&[Category::OTHER]) && own.roles().next().is_none());
        assert!(!Category::of("laptop").is_among(&[Category::OTHER]));
    }
}
