//! English: what leads a failure, and failures of the machine.

/// Leads what is wrong.
pub(crate) const ERROR: &str = "error";

/// Leads what to do about it.
pub(crate) const MEND: &str = "mend";

/// Leads what is odd and ends nothing.
pub(crate) const WARNING: &str = "warning";

/// Leads what the machine could not do.
pub(crate) const FAILED: &str = "failed";

pub(crate) fn output(error: &std::io::Error) -> String {
    format!("output failed: {error}")
}

pub(crate) fn no_thread(error: &std::io::Error) -> String {
    format!("no thread could be started: {error}")
}
