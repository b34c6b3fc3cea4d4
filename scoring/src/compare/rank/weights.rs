//! Weights nobody prefers: drawn uniformly from all that are non-negative and sum to one.

/// A small generator: a counter through splitmix64 (Steele, Lea, Flood, "Fast splittable pseudorandom number
/// generators", OOPSLA 2014; constants `memory, high`). The same seed gives the same numbers on every machine.
#[derive(Clone, Debug)]
pub struct Generator {
    state: u64,
}

impl Generator {
    /// A generator that starts from a seed.
    pub fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number from 0 up to but not including 1, in steps of 2^-53.
    #[allow(clippy::cast_precision_loss, reason = "53 bits are exact")]
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Weights for `n` criteria: the gaps between sorted uniform numbers, which are distributed as Dirichlet(1, …, 1).
    /// Normalised uniform numbers are not: they crowd the middle.
    pub fn weights(&mut self, n: usize) -> Vec<f64> {
        let mut cuts: Vec<f64> = (1..n).map(|_| self.unit()).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.push(1.0);
        let mut from = 0.0;
        cuts.into_iter()
            .map(|cut| {
                let gap = cut - from;
                from = cut;
                gap
            })
            .collect()
    }
}
