//! What sticks, by the word of the record: a tape is no glue, and who reads that it comes off looks for a tape.

use scoring::record::complete::{CompleteAction, CompleteFastener};
use scoring::record::{Loosened, Record};
use scoring::vocab::{Family, Kind};

/// Something that sticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sticky {
    /// Glue, or a film of it.
    Glue,
    /// Tape, with foam or without.
    Tape,
    /// Strips that are pulled out.
    Strips,
    /// Silicone and the like.
    Sealant,
    /// A mass poured over parts.
    Potting,
}

impl Sticky {
    /// Of what was loosened; glue where nothing says otherwise.
    pub fn of(loosened: Option<&Loosened>) -> Self {
        match loosened.map(|l| l.family) {
            Some(Family::Tape) => Self::Tape,
            Some(Family::Strips) => Self::Strips,
            Some(Family::Sealant) => Self::Sealant,
            Some(Family::Potting) => Self::Potting,
            _ => Self::Glue,
        }
    }

    /// What sticks in an action and is cut, or left behind.
    pub(crate) fn opened(record: &Record, action: &CompleteAction) -> impl Iterator<Item = Self> {
        let written = action.written.map(|w| &record.actions[w]);
        action
            .fasteners
            .iter()
            .filter(|f| stuck(f))
            .map(move |f| Self::of(f.written.and_then(|i| written.and_then(|w| w.loosen.get(i)))))
    }
}

fn stuck(fastener: &CompleteFastener) -> bool {
    fastener.adhesive && fastener.kind >= Kind::Removable
}
