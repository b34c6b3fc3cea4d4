//! Devices ranked as far as their verdicts allow it: tiers, exact dominance, and what other weights would say.

mod acceptability;
mod dominance;
mod spans;
mod weights;

use crate::exact::Exact;
use crate::range::{Assessment, Graded};
use crate::vocab::Category;

pub use acceptability::{Acceptability, SAMPLES, acceptability};
pub use dominance::{above_under_any_weights, dominates, limited};
pub use spans::{Span, Spans, Stretch, spans};
pub use weights::Generator;

/// A device in a comparison.
#[derive(Clone, Copy, Debug)]
pub struct Entry<'a> {
    /// Name of the device.
    pub name: &'a str,
    /// Category of the device.
    pub category: Category,
    /// Its verdict.
    pub assessment: &'a Assessment,
}

/// Why devices can't be compared.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Refusal {
    /// Assessed by different methods: ids of the first and of this one.
    Methods(String, String),
    /// Assessed by different editions of one method.
    Editions(String, String),
    /// Assessed under different readings of one method: the switch.
    Readings(String),
    /// Of different categories.
    Categories(Category, Category),
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Methods(a, b) => write!(f, "assessed by different methods: `{a}` and `{b}`"),
            Self::Editions(a, b) => write!(f, "assessed by different editions: `{a}` and `{b}`"),
            Self::Readings(switch) => write!(f, "assessed under different readings of `{switch}`"),
            Self::Categories(a, b) => write!(f, "of different categories: {a} and {b}"),
        }
    }
}

impl std::error::Error for Refusal {}

/// Checks that verdicts can stand beside each other. A different method is always refused; what else differs is refused
/// unless `mixed` says otherwise.
///
/// # Errors
/// The first [`Refusal`], in the order of the entries.
pub fn comparable(entries: &[Entry<'_>], mixed: bool) -> Result<(), Refusal> {
    let Some((first, rest)) = entries.split_first() else { return Ok(()) };
    let one = &first.assessment.method;
    for entry in rest {
        let other = &entry.assessment.method;
        if one.id.value != other.id.value {
            return Err(Refusal::Methods(one.id.value.clone(), other.id.value.clone()));
        }
        if mixed {
            continue;
        }
        if one.edition != other.edition {
            return Err(Refusal::Editions(one.edition.clone(), other.edition.clone()));
        }
        let chosen = one.switches.iter().zip(&other.switches).find(|(a, b)| a.chosen != b.chosen);
        if let Some((switch, _)) = chosen {
            return Err(Refusal::Readings(switch.id.clone()));
        }
        if first.category != entry.category {
            return Err(Refusal::Categories(first.category, entry.category));
        }
    }
    Ok(())
}

/// Devices ranked as far as it goes.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Ranking {
    /// Names, in the order given; all else refers to them by index.
    pub names: Vec<String>,
    /// Criteria whose weights are drawn: node ids.
    pub criteria: Vec<String>,
    /// Their titles.
    pub titles: Vec<String>,
    /// Tiers, best first: a device stands one tier below the lowest of those surely above it. What is claimed is `above`:
    /// ranges of devices in neighbouring tiers may overlap.
    pub tiers: Vec<Vec<usize>>,
    /// Pairs surely in order by the verdict itself: better, worse.
    pub above: Vec<(usize, usize)>,
    /// Pairs in order under any weights of criteria and parts ([`above_under_any_weights`]): better, worse.
    pub dominates: Vec<(usize, usize)>,
    /// What other weights would say; `None` where a criterion is left out for some device, or there is only one criterion.
    pub acceptability: Option<Acceptability>,
    /// The plain sentence for each device, where weights were drawn.
    pub sentences: Vec<String>,
    /// How far each weight could move before devices change places.
    pub spans: Spans,
    /// There are limiting factors; dominance, weightings and spans leave them aside.
    pub limited: bool,
}

impl Ranking {
    /// Ranks devices.
    ///
    /// # Errors
    /// As [`comparable`].
    pub fn new(entries: &[Entry<'_>], mixed: bool, samples: u32, seed: u64) -> Result<Self, Refusal> {
        comparable(entries, mixed)?;
        let n = entries.len();
        let totals: Vec<[Option<Exact>; 2]> =
            entries.iter().map(|e| [e.assessment.root.low.clone(), e.assessment.root.high.clone()]).collect();
        let better = |a: &[Option<Exact>; 2], b: &[Option<Exact>; 2]| a[0].is_some() && b[1].is_some() && a[0] > b[1];
        let pairs = |holds: &dyn Fn(usize, usize) -> bool| -> Vec<(usize, usize)> {
            (0..n).flat_map(|i| (0..n).map(move |j| (i, j))).filter(|&(i, j)| i != j && holds(i, j)).collect()
        };
        let above = pairs(&|i, j| better(&totals[i], &totals[j]));
        let criteria: Vec<&Graded> = entries.first().map(|e| criteria(&e.assessment.root)).unwrap_or_default();
        let ids: Vec<String> = criteria.iter().map(|c| c.id.clone()).collect();
        let ranges: Option<Vec<Vec<[Exact; 2]>>> = entries
            .iter()
            .map(|e| {
                ids.iter()
                    .map(|id| {
                        let node = e.assessment.find(id)?;
                        Some([node.low.clone()?, node.high.clone()?])
                    })
                    .collect()
            })
            .collect();
        let root = |i: usize| &entries[i].assessment.root;
        let dominates = pairs(&|i, j| above_under_any_weights(root(i), root(j)));
        let acceptability = ranges.filter(|_| ids.len() > 1).map(|ranges| {
            let floats: Vec<Vec<[f64; 2]>> =
                ranges.iter().map(|r| r.iter().map(|[l, h]| [l.to_f64(), h.to_f64()]).collect()).collect();
            acceptability(&floats, samples, seed)
        });
        Ok(Self {
            names: entries.iter().map(|e| e.name.to_owned()).collect(),
            titles: criteria.iter().map(|c| c.title.clone()).collect(),
            criteria: ids,
            tiers: tiers(n, &above),
            spans: spans(&entries.iter().map(|e| &e.assessment.root).collect::<Vec<_>>()),
            limited: entries.iter().any(|e| limited(&e.assessment.root)),
            above,
            dominates,
            sentences: acceptability.as_ref().map_or_else(Vec::new, |a| (0..n).map(|i| a.sentence(i)).collect()),
            acceptability,
        })
    }
}

/// Criteria whose weights can be drawn: the children of the first mean or sum of several, going down through limiting
/// factors and groups of one.
pub fn criteria(root: &Graded) -> Vec<&Graded> {
    use crate::method::Combine;
    use crate::range::GradedKind;
    let mut node = root;
    loop {
        match (&node.kind, node.children.as_slice()) {
            (GradedKind::Group(Combine::Mean | Combine::Sum), children) if children.len() > 1 => {
                return children.iter().collect();
            }
            (GradedKind::Group(Combine::Worst | Combine::Best | Combine::Gate), children) if children.len() > 1 => {
                return Vec::new();
            }
            (_, [first, ..]) => node = first,
            (_, []) => return Vec::new(),
        }
    }
}

/// Tiers of a partial order given by its pairs.
fn tiers(n: usize, above: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut tier = vec![0; n];
    // The order has no circles, so n rounds settle it.
    for _ in 0..n {
        for &(i, j) in above {
            tier[j] = tier[j].max(tier[i] + 1);
        }
    }
    let deepest = tier.iter().max().map_or(0, |t| t + 1);
    (0..deepest).map(|t| (0..n).filter(|&i| tier[i] == t).collect()).collect()
}
