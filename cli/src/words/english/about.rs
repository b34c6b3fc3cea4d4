//! English: what `about` says around codes and lists.

use super::plain;

/// That there are lists of words too.
pub(crate) fn lists(lists: &[&str]) -> String {
    format!("Words of the trade are listed by: unfasten about {}", lists.join("|"))
}

/// A code nobody knows, and its mend.
pub(crate) fn no_code(code: &str, near: Option<&str>) -> [String; 2] {
    let mend = match near {
        Some(near) => plain::did_you_mean(near),
        None => "`unfasten about` lists all codes, `unfasten about tools` all tools".to_owned(),
    };
    [format!("there is no code `{code}`"), mend]
}

/// Head of the list of tools.
pub(crate) const TOOLS: &str = "Tools, by class. A size or settings may follow: `hex 2 mm`, `heat pad 70 °C 4 min`. Any tool of \
                                yours goes under `tools:` in the record, with its class.";

/// Its last line.
pub(crate) const NO_TOOL: &str = "No tool at all is `hands`. Other classes are for tools of your own.";

/// Heading of tools whose class hangs on more than their word.
pub(crate) const NO_CLASS: &str = "class not told by the word alone, so write the drive";

/// What is said of a tool.
pub(crate) const SIZED: &str = "takes a size in mm";
pub(crate) const HEAT: &str = "a heat source";
pub(crate) const SOLVENT: &str = "a solvent";

/// A screwdriver, the drive it is for, and the standard of that.
pub(crate) fn driver(tool: &str, drive: &str, standard: Option<&str>) -> String {
    let standard = standard.map_or_else(String::new, |s| format!(" ({s})"));
    format!("{tool} for {drive}{standard}")
}

/// How a drive of any width is written.
pub(crate) fn written_any(word: &str) -> String {
    format!("written {word} 2 mm, any width")
}

/// How the sizes of a drive are written.
pub(crate) fn written(sizes: &[String]) -> String {
    format!("written {}", sizes.join(", "))
}

/// Head of the list of fasteners.
pub(crate) const FASTENERS: &str = "Fasteners, by kind. A screw, bolt or nut takes its drive: `5 x screw PH0`. Where the kind is \
                                    not told by the word, say it in the record, `{fastener: gasket, kind: removable}`; left out \
                                    it is unknown. Any fastener of yours goes under `fasteners:`.";

/// Heading of fasteners whose kind hangs on more than their word.
pub(crate) const NO_KIND: &str = "kind not told by the word";

/// What is said of a fastener.
pub(crate) const DRIVEN: &str = "takes a drive";
pub(crate) const ADHESIVE: &str = "an adhesive";
pub(crate) const SEAL: &str = "a seal";

/// Head of the list of hazards.
pub(crate) const HAZARDS: &str = "Hazards, with the usual caution of each. The maker's safety information and local rules come \
                                  first; leave what you are not sure of to a qualified repairer. Any hazard of yours goes under \
                                  `hazards:`.";

/// Head of the list of roles.
pub(crate) const ROLES: &str = "Roles, by category. `secondary` are words for a lesser one of the same role. A record of a \
                                category without roles here, or of one of your own, knows them all and names its own under \
                                `roles:`.";

/// Words for a lesser one of a role.
pub(crate) fn secondary(words: &[String]) -> String {
    format!("secondary {}", words.join(", "))
}

/// A role of devices that fold.
pub(crate) const FOLDING: &str = "only where the display folds";

/// Other words for the same.
pub(crate) fn also(words: &[String]) -> String {
    format!("also {}", words.join(", "))
}
