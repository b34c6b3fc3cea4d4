//! Screws whose drive none of the tools stated can turn: one of the two is a slip.

use crate::record::{Action, Loosened, Outcome, Record};
use crate::text::Diagnostic;
use crate::vocab::drive::{Drive, drive};
use crate::vocab::tool;

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    for action in record.actions.iter().chain(&record.back).filter(|a| a.outcome.value != Outcome::Failed) {
        let Some(drivers) = drivers(record, action) else { continue };
        for screw in &action.loosen {
            let Some(wanted) = screw.drive.as_deref().and_then(drive) else { continue };
            if drivers.iter().any(|d| turns(d, &wanted)) {
                continue;
            }
            out.push(complaint(action, screw, &drivers, &wanted));
        }
    }
}

fn complaint(action: &Action, screw: &Loosened, drivers: &[Drive], wanted: &Drive) -> Diagnostic {
    let tools: Vec<String> = drivers.iter().map(|d| format!("`{}`", d.name)).collect();
    let message = match tools.as_slice() {
        [] => format!("nothing in `with` turns a screw `{}`", wanted.name),
        _ => format!("{} does not turn a screw `{}`", tools.join(" or "), wanted.name),
    };
    let mut made = Diagnostic::warning("drive-without-tool", screw.span, message);
    if let Some(with) = action.with.first().filter(|w| w.ways.span != screw.span) {
        made = made.also(with.ways.span, "the tools of this action");
    }
    made.because("One of the two is a slip, and tool changes are counted as steps.")
        .mend(format!("correct the drive, or add the tool that turned it: `{}`", wanted.name))
}

/// The tools of an action that turn one drive each; `None` where one is not established, a word of the record's own, or
/// turns screws by their outside or by force, so that nothing can be said.
fn drivers(record: &Record, action: &Action) -> Option<Vec<Drive>> {
    let mut out: Vec<Drive> = Vec::new();
    for operation in &action.with {
        let ways = super::values(&operation.ways.known);
        if ways.is_empty() {
            return None;
        }
        for used in ways.into_iter().flatten().flat_map(|set| &set.tools) {
            let name = &record.tools[used.tool].name;
            match drive(name) {
                Some(found) if out.iter().any(|d| d.name == found.name) => {}
                Some(found) => out.push(found),
                None if idle(name) => {}
                None => return None,
            }
        }
    }
    Some(out)
}

/// Tools nobody turns a screw with.
const IDLE: [&str; 14] = [
    "prying lever",
    "tweezers",
    "magnifying glass",
    "spudger",
    "opening pick",
    "heat pad",
    "heat gun",
    "hot plate",
    "hair dryer",
    "isopropyl alcohol",
    "adhesive remover",
    "suction cup",
    "tray pin",
    "multimeter",
];

fn idle(name: &str) -> bool {
    tool(name).is_some_and(|word| IDLE.contains(&&*word.name))
}

/// Whether a tool of one drive turns a screw of another, in practice: standards fit one to one, benches don't.
///
/// A tool or screw without a size may be of any. A neighbouring size of a cross recess grips, and so do cross recess H
/// and Z in each other; a hollow hexalobular driver turns screws without the pin; a flat blade turns what has a slot or
/// two opposite corners. Own choices, on the lenient side.
fn turns(tool: &Drive, screw: &Drive) -> bool {
    let (of, to) = (&*tool.word.name, &*screw.word.name);
    let cross = |name: &str| name.starts_with("cross recess");
    if cross(of) && cross(to) {
        let number = |d: &Drive| sized(d).then(|| cross_size(&d.name)).flatten();
        return match (number(tool), number(screw)) {
            (Some(a), Some(b)) => a.abs_diff(b) <= 1,
            _ => true,
        };
    }
    if of == "slotted" {
        return matches!(to, "slotted" | "hexalobular") || cross(to);
    }
    if of == to {
        return !sized(tool) || !sized(screw) || tool.name == screw.name;
    }
    if of == "hexalobular with pin" && to == "hexalobular" {
        let number = |d: &Drive| d.name.trim_start_matches(|c: char| !c.is_ascii_digit()).to_owned();
        return !sized(tool) || !sized(screw) || number(tool) == number(screw);
    }
    false
}

/// Whether a drive is named with its size.
fn sized(drive: &Drive) -> bool {
    drive.name != drive.word.name
}

/// Size of a cross recess on one scale: 0000 is -3, 0 is 0.
fn cross_size(name: &str) -> Option<i32> {
    let digits = name.trim_start_matches(|c: char| !c.is_ascii_digit());
    match digits.len() {
        0 => None,
        1 => digits.parse().ok(),
        zeros => i32::try_from(zeros).ok().map(|n| 1 - n),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// ISO 8764 (cross recess H and Z), ISO 10664 (hexalobular), ISO 2936, ISO 2380: one size of one drive each; what fits
    /// beside that is our own, lenient choice.
    #[rstest]
    #[case("PH0", "T5", false)]
    #[case("T5", "T5", true)]
    #[case("T6", "T5", false)]
    #[case("T10", "T1", false)]
    #[case("TR8", "T8", true)]
    #[case("T8", "TR8", false)]
    #[case("TR8", "T10", false)]
    #[case("PH0", "PH00", true)]
    #[case("PH000", "PH1", false)]
    #[case("PH1", "PZ1", true)]
    #[case("cross head", "PH2", true)]
    #[case("cross head", "T5", false)]
    #[case("slotted 3 mm", "PH0", true)]
    #[case("slotted 3 mm", "tri-lobe 0", false)]
    #[case("hex 2 mm", "hex 2.5 mm", false)]
    #[case("hex key", "hex 2.5 mm", true)]
    #[case("five-lobe 2", "five-lobe 1", false)]
    fn tools_turn_screws(#[case] tool: &str, #[case] screw: &str, #[case] wanted: bool) {
        assert_eq!(turns(&drive(tool).unwrap(), &drive(screw).unwrap()), wanted);
    }
}
