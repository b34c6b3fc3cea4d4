//! English: what `draft` says beside the draft.

use scoring::draft::segment::Status;
use scoring::text::words::count;

use super::plain;

/// What was written, and what comes next: of a record (else a list), with so many actions and lines said beside.
pub(crate) fn wrote(path: &str, actions: usize, beside: usize, record: bool) -> String {
    let next = if record {
        format!("look it through, then: unfasten check {path}")
    } else {
        format!("change it, then: unfasten draft --from {path}")
    };
    format!(
        "wrote {path}: {}, and {} said beside; nobody has reviewed it; {next}",
        plain::actions(actions),
        count(beside, "line"),
    )
}

/// What a device is called of which nobody knows the name.
pub(crate) const UNNAMED: &str = "unnamed";

pub(crate) const NO_TERMINAL: [&str; 2] = [
    "the talk is gone through at a terminal, and this is none",
    "leave out --ask, or make a table to change: `unfasten draft SOURCE --to list`",
];

pub(crate) const NOT_A_LIST: &str = "--ask makes a record, and no list";

pub(crate) const LEAVE_OUT_TO: &str = "leave out `--to list`, or --ask";

pub(crate) const AS_A_RECORD: &str = "write it as a record does: `with: PH0; loosen: 2 x clip`";

/// How to answer.
pub(crate) const HOW: &str = "Each place of the talk, in its order. Nothing: leave it as it stands; a number: what is offered; a \
                              name: that came off (`battery; with: PH0; loosen: 2 x clip`; where it did not, \
                              `outcome: failed`; `do: drain the tank`). Several apart by +: `seen + fan`, `lid + fan`. \
                              join: more of the action before; u: undo; p: open the footage; q: stop, the rest stays \
                              as drafted.";

/// What can be said of a drafted action.
pub(crate) const OFFERS: [&str; 3] =
    ["seen: it was so", "told: it was described, not done here", "drop: nothing of the kind was done"];

pub(crate) const NOTHING_DRAFTED: &str = "nothing drafted";

pub(crate) const NO_PLAYER: &str = "Name a command with --player, such as --player 'COMMAND --start={time} FOOTAGE'.";

pub(crate) const NO_VIDEO: &str = "A draft knows no file of the footage: name it in --player instead of {video}.";

/// A place of the talk: which of how many, and when.
pub(crate) fn place(number: usize, of: usize, at: Option<u32>) -> String {
    format!("{number} of {of}{}", plain::at_time(at))
}

/// What was said.
pub(crate) fn words(words: &str) -> String {
    format!("\"{words}\"")
}

/// An action in the words an answer takes.
pub(crate) fn action(frees: bool, name: &str, status: Status, with: Option<&str>, loosen: Option<&str>) -> String {
    let how = match (frees, status) {
        (false, _) => "done",
        (_, Status::Done) => "came off",
        (_, Status::Failed) => "tried without success",
        (_, Status::NotAttempted) => "not tried",
        (_, Status::Told) => "told of, not done here",
    };
    let loosen = if loosen == Some("") { "nothing" } else { loosen.unwrap_or("unknown") };
    format!("{name} ({how}); with: {}; loosen: {loosen}", with.unwrap_or("unknown"))
}

/// What the draft has at a place.
pub(crate) fn as_drafted(action: &str) -> String {
    format!("drafted: {action}")
}

/// What was taken into the record; `again`: an action before it frees a part of the same name.
pub(crate) fn taken(action: &str, again: bool) -> String {
    let again = if again { "; that name stood before: one more way to it" } else { "" };
    format!("taken: {action}{again}")
}

pub(crate) const DROPPED: &str = "taken: nothing was done here";

/// A place added to the action before it.
pub(crate) fn joined(name: &str) -> String {
    format!("taken: more of {name}")
}

/// A part heard in the words, as an answer.
pub(crate) fn came_off(name: &str) -> String {
    format!("{name} came off")
}

/// What was written after going through the talk: so many actions, of which some are as drafted.
pub(crate) fn went_through(path: &str, actions: usize, left: usize) -> String {
    let left = if left == 0 { String::new() } else { format!(", {left} of them as drafted") };
    format!("wrote {path}: {}{left}; next: unfasten answer {path}", plain::actions(actions))
}
