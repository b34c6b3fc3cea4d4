//! Fixed-width sets of small numbers.

/// A set of numbers below a width fixed at creation.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Bits(pub(super) Vec<u64>);

/// Words needed for `width` numbers, at least one.
pub(super) fn words(width: usize) -> usize {
    width.div_ceil(64).max(1)
}

impl Bits {
    pub(super) fn new(width: usize) -> Self {
        Self(vec![0; words(width)])
    }

    pub(super) fn full(width: usize) -> Self {
        let mut bits = Self(vec![u64::MAX; words(width)]);
        let spare = bits.0.len() * 64 - width;
        if let Some(last) = bits.0.last_mut() {
            *last = if spare >= 64 { 0 } else { u64::MAX >> spare };
        }
        bits
    }

    /// Empty, for numbers below a width.
    pub(super) fn reset(&mut self, width: usize) {
        self.0.clear();
        self.0.resize(words(width), 0);
    }

    pub(super) fn insert(&mut self, at: usize) {
        self.0[at / 64] |= 1 << (at % 64);
    }

    pub(super) fn remove(&mut self, at: usize) {
        self.0[at / 64] &= !(1 << (at % 64));
    }

    pub(super) fn has(&self, at: usize) -> bool {
        self.0[at / 64] >> (at % 64) & 1 == 1
    }

    pub(super) fn unite(&mut self, other: &Self) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine |= theirs;
        }
    }

    pub(super) fn keep(&mut self, other: &Self) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine &= theirs;
        }
    }

    pub(super) fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(mine, theirs)| mine & theirs != 0)
    }

    pub(super) fn within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(mine, theirs)| mine & !theirs == 0)
    }

    /// The members, ascending.
    pub(super) fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(place, word)| Ones(*word).map(move |b| place * 64 + b))
    }
}

/// The places of the ones in a word, ascending.
pub(super) struct Ones(pub(super) u64);

impl Iterator for Ones {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        if self.0 == 0 {
            return None;
        }
        let at = self.0.trailing_zeros() as usize;
        self.0 &= self.0 - 1;
        Some(at)
    }
}
