//! What several checks share. The checks themselves are under `tests/tests`, one file a source.

pub mod devices;

use scoring::vocab::Certainty;

/// How sure, surest first; an own choice claims nothing.
pub fn rank(certainty: Certainty) -> usize {
    match certainty {
        Certainty::Read => 0,
        Certainty::Secondary => 1,
        Certainty::MemoryHigh => 2,
        Certainty::MemoryMedium => 3,
        Certainty::MemoryLow => 4,
        Certainty::Derived | Certainty::Own => 5,
    }
}
