//! Roles, fasteners, tools and hazards as shipped, and how a word is looked up.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::Family;
use super::category::Category;
use super::class::{Certainty, Kind, ToolClass, Words};
use crate::text::fold;

/// A role: which priority part a part is.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoleWord {
    /// The name methods use.
    pub name: String,
    /// Other words for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// Words for a secondary instance (`earpiece` for a speaker).
    #[serde(default)]
    pub secondary: Vec<String>,
    /// In phones and tablets only where the display folds.
    #[serde(default)]
    pub folding: bool,
}

/// A fastener.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FastenerWord {
    /// Name.
    pub name: String,
    /// Other words for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// Its kind, where the trade fixes it.
    #[serde(default)]
    pub kind: Option<Kind>,
    /// Sticks by adhesion.
    #[serde(default)]
    pub adhesive: bool,
    /// Seals.
    #[serde(default)]
    pub seal: bool,
    /// Takes a drive (`screw PH0`).
    #[serde(default)]
    pub driven: bool,
}

/// A tool.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolWord {
    /// Name.
    pub name: String,
    /// Other words for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// Class; `unknown` where the word alone does not settle it (`screwdriver`).
    #[serde(deserialize_with = "class_or_unknown")]
    pub class: Option<ToolClass>,
    /// A heat source.
    #[serde(default)]
    pub heat: bool,
    /// A solvent.
    #[serde(default)]
    pub solvent: bool,
    /// Believed to be on EN 45554's own list of basic tools, besides those of the law (from memory, medium confidence).
    #[serde(default)]
    pub standard: bool,
    /// May be written with a size (`combination wrench 10 mm`).
    #[serde(default)]
    pub sized: bool,
    /// How sure the class is.
    pub certainty: Certainty,
}

/// A screw drive.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DriveWord {
    /// Standard name.
    pub name: String,
    /// Letters the size follows at once (`PH`).
    #[serde(default)]
    pub prefix: Option<String>,
    /// Word the size follows after a space (`hex`).
    #[serde(default)]
    pub word: Option<String>,
    /// Sizes made; empty where the size is in millimetres.
    #[serde(default)]
    pub sizes: Vec<String>,
    /// The size is in millimetres.
    #[serde(default)]
    pub mm: bool,
    /// Everyday words.
    #[serde(default)]
    pub also: Vec<String>,
    /// Standard; empty where none is known to us.
    pub standard: String,
    /// Class of its tool.
    pub class: ToolClass,
    /// What its tool is called: `screwdriver` or `key`.
    pub tool: String,
    /// How sure the class is.
    pub certainty: Certainty,
}

/// A hazard to people.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HazardWord {
    /// Name.
    pub name: String,
    /// Other words for it.
    #[serde(default)]
    pub also: Vec<String>,
    /// The usual caution.
    pub caution: String,
}

fn class_or_unknown<'de, D: serde::Deserializer<'de>>(deserializer: D) -> Result<Option<ToolClass>, D::Error> {
    let text = String::deserialize(deserializer)?;
    if text == "unknown" {
        return Ok(None);
    }
    let bad = || serde::de::Error::custom(format!("`{text}` is not a tool class"));
    ToolClass::from_word(&text).map(Some).ok_or_else(bad)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RoleFile {
    source: String,
    certainty: Certainty,
    roles: Vec<RoleWord>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct FastenerFile {
    source: String,
    certainty: Certainty,
    fasteners: Vec<FastenerWord>,
    pub(super) families: BTreeMap<Family, Vec<String>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ToolFile {
    tools: Vec<ToolWord>,
    drives: Vec<DriveWord>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HazardFile {
    source: String,
    certainty: Certainty,
    hazards: Vec<HazardWord>,
}

impl RoleWord {
    /// Categories that have it.
    pub fn categories(&self) -> Vec<Category> {
        Category::shipped().iter().copied().filter(|c| c.roles().any(|r| r.name == self.name)).collect()
    }
}

pub(super) fn load<T: serde::de::DeserializeOwned>(text: &'static str) -> T {
    // The text is compiled in, and a test reads every file.
    serde_yaml::from_str(text).unwrap_or_else(|e| panic!("a shipped vocabulary file: {e}"))
}

static ROLES: LazyLock<RoleFile> = LazyLock::new(|| load(include_str!("roles.yaml")));
pub(super) static FASTENERS: LazyLock<FastenerFile> = LazyLock::new(|| load(include_str!("fasteners.yaml")));
static TOOLS: LazyLock<ToolFile> = LazyLock::new(|| load(include_str!("tools.yaml")));
static HAZARDS: LazyLock<HazardFile> = LazyLock::new(|| load(include_str!("hazards.yaml")));

/// Index by folded word, names before other words.
fn index<'a>(words: impl Iterator<Item = (&'a str, &'a [String])> + Clone) -> BTreeMap<String, usize> {
    let mut out = BTreeMap::new();
    for (i, (name, _)) in words.clone().enumerate() {
        out.entry(fold(name)).or_insert(i);
    }
    for (i, (_, also)) in words.enumerate() {
        for word in also {
            out.entry(fold(word)).or_insert(i);
        }
    }
    out
}

static FASTENER_INDEX: LazyLock<BTreeMap<String, usize>> =
    LazyLock::new(|| index(FASTENERS.fasteners.iter().map(|f| (&*f.name, &*f.also))));
static TOOL_INDEX: LazyLock<BTreeMap<String, usize>> =
    LazyLock::new(|| index(TOOLS.tools.iter().map(|t| (&*t.name, &*t.also))));
static HAZARD_INDEX: LazyLock<BTreeMap<String, usize>> =
    LazyLock::new(|| index(HAZARDS.hazards.iter().map(|h| (&*h.name, &*h.also))));

/// A folded word and, where it looks like a plural, its singulars.
pub(crate) fn singulars(text: &str) -> Vec<String> {
    let word = fold(text);
    let mut out = vec![word.clone()];
    if let Some(stem) = word.strip_suffix("ies") {
        out.push(format!("{stem}y"));
    }
    if let Some(stem) = word.strip_suffix("es") {
        out.push(stem.to_owned());
    }
    if let Some(stem) = word.strip_suffix('s') {
        out.push(stem.to_owned());
    }
    out
}

/// The roles a category has, in the order of the vocabulary; none where a record names its own.
pub fn roles(category: Category) -> impl Iterator<Item = &'static RoleWord> {
    category.roles()
}

/// All roles of all categories.
pub fn all_roles() -> &'static [RoleWord] {
    &ROLES.roles
}

/// The role a word names in a category (plurals understood), and whether it names a secondary instance of it.
/// Where a record names its own roles, words of every category are known.
pub fn role(category: Category, word: &str) -> Option<(&'static RoleWord, bool)> {
    let listed: Vec<&'static RoleWord> =
        if category.names_own_roles() { ROLES.roles.iter().collect() } else { category.roles().collect() };
    for key in singulars(word) {
        for rank in 0..3 {
            let named = |r: &&'static RoleWord| match rank {
                0 => fold(&r.name) == key,
                1 => r.also.iter().any(|w| fold(w) == key),
                _ => r.secondary.iter().any(|w| fold(w) == key),
            };
            if let Some(found) = listed.iter().copied().find(|r| named(r)) {
                return Some((found, rank == 2));
            }
        }
    }
    None
}

/// The fastener a word names (plurals understood).
pub fn fastener(word: &str) -> Option<&'static FastenerWord> {
    singulars(word).iter().find_map(|k| FASTENER_INDEX.get(k)).map(|&i| &FASTENERS.fasteners[i])
}

/// All shipped fasteners.
pub fn fasteners() -> &'static [FastenerWord] {
    &FASTENERS.fasteners
}

/// The tool a word names, without drive, size and settings (plurals understood).
pub fn tool(word: &str) -> Option<&'static ToolWord> {
    singulars(word).iter().find_map(|k| TOOL_INDEX.get(k)).map(|&i| &TOOLS.tools[i])
}

/// All shipped tools.
pub fn tools() -> &'static [ToolWord] {
    &TOOLS.tools
}

/// All shipped drives.
pub fn drives() -> &'static [DriveWord] {
    &TOOLS.drives
}

/// The hazard a word names (plurals understood).
pub fn hazard(word: &str) -> Option<&'static HazardWord> {
    singulars(word).iter().find_map(|k| HAZARD_INDEX.get(k)).map(|&i| &HAZARDS.hazards[i])
}

/// All shipped hazards.
pub fn hazards() -> &'static [HazardWord] {
    &HAZARDS.hazards
}

/// Where the shipped word lists come from, and how sure they are: roles, fasteners, hazards.
pub fn provenance() -> [(&'static str, Certainty); 3] {
    [(&ROLES.source, ROLES.certainty), (&FASTENERS.source, FASTENERS.certainty), (&HAZARDS.source, HAZARDS.certainty)]
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[test]
    fn shipped_files_read_and_no_word_means_two_things() {
        fn once<'a>(words: impl Iterator<Item = &'a String>) {
            let mut seen = std::collections::BTreeSet::new();
            for word in words {
                assert!(seen.insert(fold(word)), "`{word}` stands twice");
            }
        }
        once(fasteners().iter().flat_map(|f| std::iter::once(&f.name).chain(&f.also)));
        once(tools().iter().flat_map(|t| std::iter::once(&t.name).chain(&t.also)));
        once(hazards().iter().flat_map(|h| std::iter::once(&h.name).chain(&h.also)));
        for category in Category::shipped() {
            once(roles(*category).flat_map(|r| std::iter::once(&r.name).chain(&r.also).chain(&r.secondary)));
        }
        assert!(provenance().iter().all(|(source, _)| !source.is_empty()));
    }

    /// Regulation (EU) 2023/1670, Annex I, list of basic tools (read): 16 entries, of which three are
    /// screwdrivers and one a key, named here by their drives.
    #[rstest]
    #[case("slotted 3 mm")]
    #[case("PH0")]
    #[case("T5")]
    #[case("hex 2 mm")]
    #[case("combination wrench 10 mm")]
    #[case("combination pliers")]
    #[case("combination pliers for stripping and crimping")]
    #[case("half-round-nose pliers")]
    #[case("diagonal cutters")]
    #[case("multigrip pliers")]
    #[case("locking pliers")]
    #[case("prying lever")]
    #[case("tweezers")]
    #[case("magnifying glass")]
    #[case("spudger")]
    #[case("pick")]
    fn basic_tools_of_the_regulation_are_basic(#[case] word: &str) {
        let class = crate::vocab::drive::drive(word).map(|d| d.word.class);
        let sized = word.rsplit_once(" 10").map_or(word, |(w, _)| w);
        assert_eq!(class.or(tool(sized).and_then(|t| t.class)), Some(ToolClass::Basic));
    }

    #[test]
    fn nothing_else_is_basic() {
        let basic = tools().iter().filter(|t| t.class == Some(ToolClass::Basic)).count();
        let drives = drives().iter().filter(|d| d.class == ToolClass::Basic).count();
        // Cross recess H and Z are one entry of the list.
        assert_eq!(basic + drives - 1, 16);
    }

    #[rstest]
    #[case(Category::of("smartphone"), "Batteries", Some(("battery", false)))]
    #[case(Category::of("smartphone"), "earpiece", Some(("speaker", true)))]
    #[case(Category::of("laptop"), "main-board", Some(("main board", false)))]
    #[case(Category::of("cordless vacuum cleaner"), "main board", Some(("control board", false)))]
    #[case(Category::of("washing machine"), "motor brush", None)]
    #[case(Category::of("washing machine"), "motor brushes", Some(("motor brushes", false)))]
    #[case(Category::of("laptop"), "door seal", None)]
    #[case(Category::OTHER, "switches", Some(("switch", false)))]
    fn words_name_roles(#[case] category: Category, #[case] word: &str, #[case] found: Option<(&str, bool)>) {
        assert_eq!(role(category, word).map(|(r, s)| (&*r.name, s)), found);
    }

    #[rstest]
    #[case("screws", "screw", Some(Kind::Reusable))]
    #[case("adhesive film", "film adhesive", None)]
    #[case("zip-ties", "cable tie", Some(Kind::Removable))]
    #[case("latches", "clip", Some(Kind::Reusable))]
    fn words_name_fasteners(#[case] word: &str, #[case] name: &str, #[case] kind: Option<Kind>) {
        let found = fastener(word).unwrap();
        assert_eq!((&*found.name, found.kind), (name, kind));
    }
}
