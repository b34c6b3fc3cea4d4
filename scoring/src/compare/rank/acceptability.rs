//! How often each alternative gets each rank when every weighting counts alike: stochastic multicriteria acceptability
//! analysis (Lahdelma & Salminen, Operations Research 49(3) 2001, 444–454; `memory, high`).
//!
//! Values that are not settled get no distribution: nobody knows one. Each statement is made twice instead, for the values
//! least and most in favour of the alternative; for settled values the two agree.

use super::weights::Generator;

/// What sampling weights says about some alternatives. Vectors are in the order of the alternatives; pairs are (least,
/// most) over the ranges of the values.
#[derive(Clone, Debug, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Acceptability {
    /// Weightings drawn.
    pub samples: u32,
    /// Which drawing: the generator starts from this number.
    pub draw: u64,
    /// 95 % half-width of every share, at its widest: 0.98 / √samples.
    pub half_width: f64,
    /// Share of weightings in which an alternative gets a rank (0 is first): surely, and possibly. Ties share the better rank.
    pub ranks: Vec<Vec<[f64; 2]>>,
    /// Best and worst rank in any weighting drawn, 0 first.
    pub span: Vec<[usize; 2]>,
    /// Mean weights of the weightings in which an alternative can be first; `None` where there are none.
    pub central: Vec<Option<Vec<f64>>>,
    /// Whether an alternative is first under its own central weights: surely, and possibly.
    pub confidence: Vec<Option<[bool; 2]>>,
    /// Share of weightings in which the first alternative scores above the second.
    pub wins: Vec<Vec<[f64; 2]>>,
}

/// Default number of weightings: half-width 0.0049.
pub const SAMPLES: u32 = 40_000;

/// Samples weights. `values[i][k]` is the range of alternative `i` in criterion `k`, in points, more is better.
/// All rows are as long as the first; with no alternatives or criteria the shares are empty.
pub fn acceptability(values: &[Vec<[f64; 2]>], samples: u32, draw: u64) -> Acceptability {
    let n = values.len();
    let criteria = values.first().map_or(0, Vec::len);
    let mut generator = Generator::new(draw);
    let mut counts = Counts::new(n, criteria);
    for _ in 0..samples {
        let weights = generator.weights(criteria);
        let totals: Vec<[f64; 2]> = values.iter().map(|v| total(v, &weights)).collect();
        counts.add(&totals, &weights);
    }
    counts.finish(values, samples, draw)
}

fn total(values: &[[f64; 2]], weights: &[f64]) -> [f64; 2] {
    let sum = |end: usize| values.iter().zip(weights).map(|(v, w)| v[end] * w).sum();
    [sum(0), sum(1)]
}

/// Best and worst rank of each alternative over the ranges of its and the others' totals.
fn ranks(totals: &[[f64; 2]]) -> Vec<[usize; 2]> {
    let above = |i: usize, surely: bool| {
        let others = totals.iter().enumerate().filter(|(j, _)| *j != i);
        let me = totals[i];
        others.filter(|(_, t)| if surely { t[0] > me[1] } else { t[1] > me[0] }).count()
    };
    (0..totals.len()).map(|i| [above(i, true), above(i, false)]).collect()
}

struct Counts {
    ranks: Vec<Vec<[u32; 2]>>,
    span: Vec<[usize; 2]>,
    first: Vec<u32>,
    sums: Vec<Vec<f64>>,
    wins: Vec<Vec<[u32; 2]>>,
}

impl Counts {
    fn new(n: usize, criteria: usize) -> Self {
        Self {
            ranks: vec![vec![[0, 0]; n]; n],
            span: vec![[n.saturating_sub(1), 0]; n],
            first: vec![0; n],
            sums: vec![vec![0.0; criteria]; n],
            wins: vec![vec![[0, 0]; n]; n],
        }
    }

    fn add(&mut self, totals: &[[f64; 2]], weights: &[f64]) {
        for (i, [best, worst]) in ranks(totals).into_iter().enumerate() {
            for rank in best..=worst {
                self.ranks[i][rank][0] += u32::from(best == worst);
                self.ranks[i][rank][1] += 1;
            }
            self.span[i] = [self.span[i][0].min(best), self.span[i][1].max(worst)];
            if best == 0 {
                self.first[i] += 1;
                self.sums[i].iter_mut().zip(weights).for_each(|(s, w)| *s += w);
            }
            for (j, other) in totals.iter().enumerate().filter(|(j, _)| *j != i) {
                self.wins[i][j][0] += u32::from(totals[i][0] > other[1]);
                self.wins[i][j][1] += u32::from(totals[i][1] > other[0]);
            }
        }
    }

    fn finish(self, values: &[Vec<[f64; 2]>], samples: u32, draw: u64) -> Acceptability {
        let drawn = f64::from(samples.max(1));
        let share = |table: Vec<Vec<[u32; 2]>>| -> Vec<Vec<[f64; 2]>> {
            let cell = |c: [u32; 2]| c.map(|n| f64::from(n) / drawn);
            table.into_iter().map(|row| row.into_iter().map(cell).collect()).collect()
        };
        let central: Vec<Option<Vec<f64>>> = self
            .sums
            .into_iter()
            .zip(&self.first)
            .map(|(sums, &n)| (n > 0).then(|| sums.into_iter().map(|s| s / f64::from(n)).collect()))
            .collect();
        let confidence = central
            .iter()
            .enumerate()
            .map(|(i, weights)| {
                let weights = weights.as_ref()?;
                let totals: Vec<[f64; 2]> = values.iter().map(|v| total(v, weights)).collect();
                let [best, worst] = ranks(&totals)[i];
                Some([worst == 0, best == 0])
            })
            .collect();
        Acceptability {
            samples,
            draw,
            half_width: 0.98 / drawn.sqrt(),
            ranks: share(self.ranks),
            span: self.span,
            central,
            confidence,
            wins: share(self.wins),
        }
    }
}

impl Acceptability {
    /// The plain sentence for one alternative: `first in 93 % of weightings, never worse than second`.
    pub fn sentence(&self, alternative: usize) -> String {
        let [least, most] = self.ranks[alternative].first().copied().unwrap_or([0.0, 0.0]);
        let first = match (percent(least), percent(most)) {
            (a, b) if a == b => format!("first in {a} of weightings"),
            (a, b) => format!("first in {a} to {b} of weightings, depending on what is still open"),
        };
        let [best, worst] = self.span[alternative];
        let places = self.ranks.len();
        match () {
            () if places < 2 => "nothing to compare with".to_owned(),
            () if worst == 0 => "first in every weighting drawn".to_owned(),
            () if best + 1 == places => "last in every weighting drawn".to_owned(),
            () if best == worst => format!("{} in every weighting drawn", ordinal(best)),
            () if worst + 1 < places => format!("{first}, never worse than {}", ordinal(worst)),
            () if best > 0 => format!("never better than {}", ordinal(best)),
            () => first,
        }
    }
}

/// Whole percents; what is not quite none or all says so.
fn percent(share: f64) -> String {
    match share {
        s if s <= 0.0 => "0 %".to_owned(),
        s if s >= 1.0 => "100 %".to_owned(),
        s if s < 0.005 => "less than 1 %".to_owned(),
        s if s >= 0.995 => "more than 99 %".to_owned(),
        s => format!("{:.0} %", s * 100.0),
    }
}

/// `first`, `second`, … from 0.
pub(super) fn ordinal(rank: usize) -> String {
    const WORDS: [&str; 10] =
        ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"];
    WORDS.get(rank).map_or_else(|| format!("place {}", rank + 1), |w| (*w).to_owned())
}
