//! English: what `draft` says beside the draft.

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
