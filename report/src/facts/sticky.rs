//! What sticks, by the word of the record: a tape is no glue, and who reads that it comes off looks for a tape.

use scoring::record::complete::{CompleteAction, CompleteFastener};
use scoring::record::{Loosened, Record};
use scoring::vocab::Kind;

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
    /// Of what was loosened; words as written win over the entry of the vocabulary they stand for.
    pub fn of(loosened: Option<&Loosened>) -> Self {
        let Some(l) = loosened else { return Self::Glue };
        let says = |word: &str| l.text.contains(word) || l.fastener.contains(word);
        let row = [
            ("tape", Self::Tape),
            ("foam", Self::Tape),
            ("strip", Self::Strips),
            ("stretch release", Self::Strips),
            ("pull tab", Self::Strips),
            ("seal", Self::Sealant),
            ("silicone", Self::Sealant),
            ("potting", Self::Potting),
        ];
        row.into_iter().find(|(word, _)| says(word)).map_or(Self::Glue, |(_, sticky)| sticky)
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
