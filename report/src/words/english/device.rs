//! English: which device a report is about, where its facts come from, and what a report is not.

/// Heads of the rows that name a device.
pub const NAMES: [&str; 4] = ["maker", "name", "model", "variant"];

/// What a variant starts from.
pub const MADE_FROM: &str = "made from the record of";

/// Heads of the rows that say what kind of device it is.
pub const KINDS: [&str; 4] = ["region", "register number", "category", "form"];

/// Heads of the rows of its figures: price, weight, release, condition.
pub const FIGURES: [&str; 4] = ["price", "weight", "released", "condition"];

/// Head of the day of the record; a design was not taken apart.
pub fn taken_apart_on(planned: bool) -> &'static str {
    if planned { "designed as of" } else { "taken apart" }
}

/// Heads of the rows of the bench: who, where, how well fitted out, how skilled.
pub const BENCH: [&str; 4] = ["by", "place of work", "working environment", "skill level"];

/// Heads of the rows of what was filmed: the film, and where in it taking apart ends.
pub const FOOTAGE: [&str; 2] = ["footage", "taking apart ends at"];

/// Head of a row of two names that may be of one part.
pub const TWO_NAMES: &str = "two names";

/// Head of the actions that make safe together.
pub const SAFE_AFTER_ALL: &str = "safe only after all of";

/// Head of how the facts of the bench are known.
pub const BASIS: &str = "basis of the bench facts";

/// Head of the tables that facts of the maker come from.
pub const TABLES: &str = "support facts also from";

/// A weight.
pub fn grams(weight: &str) -> String {
    format!("{weight} g")
}

/// A film without cuts.
pub fn uncut(footage: &str) -> String {
    format!("{footage}, uncut")
}

/// Two names of one part, or of what may be one.
pub fn two_names(one: &str, other: &str, perhaps: bool) -> String {
    let may = if perhaps { "may be one part; nobody established it" } else { "one part" };
    format!("`{one}` and `{other}`: {may}")
}

/// The devices a variant starts from, the nearest first, and whether it was taken apart itself.
pub fn made_from(bases: &[String], itself: bool) -> String {
    let said = bases.join(", made from that of ");
    if itself { said } else { format!("{said}; not taken apart itself") }
}

/// A verdict of somebody's own, and why.
pub fn because(verdict: &str, why: &str) -> String {
    format!("{verdict}, because {why}")
}

/// What a report is not, where word lists proposed which parts count.
pub fn proposed() -> String {
    format!("Draft: which parts count was proposed by word lists, and nobody has confirmed it. {STATUS}")
}

/// What a report is not, where word lists took remarks from the talk.
pub fn remarks_drafted() -> String {
    format!("Draft: remarks were taken from the talk by word lists, and nobody has confirmed them. {STATUS}")
}

/// What a report is not, where word lists wrote actions.
pub fn drafted(some: usize, all: usize) -> String {
    format!(
        "Draft: {some} of {all} actions were written by word lists from captions or notes, and nobody has reviewed them. {STATUS}"
    )
}

/// Whose word counts more.
pub const DEFERS: &str = "Follow the maker's safety information and local rules first. If in doubt, or if a cell is damaged, \
mains parts are involved or something doesn't match, leave the work to a qualified repairer.";

/// What a report is not.
pub const STATUS: &str = "Unofficial pre-check computed from one teardown record. Not a declared class, not a certificate, and \
not issued by or for any authority, standards body or maker.";
