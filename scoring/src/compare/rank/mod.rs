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
pub struct RankedDevice<'a> {
    /// Name of the device.
    pub name: &'a str,
    /// Category of the device.
    pub category: Category,
    /// Its verdict.
    pub assessment: &'a Assessment,
}

/// Why devices can't be compared.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
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
pub fn comparable(entries: &[RankedDevice<'_>], mixed: bool) -> Result<(), Refusal> {
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
#[derive(Clone, Debug, PartialEq, serde::Serialize, schemars::JsonSchema)]
pub struct Ranking {
    /// Names, in the order given; all else refers to them by index.
    pub names: Vec<String>,
    /// Criteria whose weights are drawn: node ids.
    pub criteria: Vec<String>,
    /// Their titles.
    pub titles: Vec<String>,
    /// Tiers, best first: a device stands one tier below the lowest of those surely above it. What is claimed is `above`:
    /// ranges of devices in neighbouring tiers may overlap. Within a tier they stand by what they surely come to, their low
    /// end; of equals by the high end, then in the order given.
    pub tiers: Vec<Vec<usize>>,
    /// Pairs surely in order by the verdict itself: better, worse.
    pub above: Vec<(usize, usize)>,
    /// Pairs in order under any weights of criteria and parts ([`above_under_any_weights`]): better, worse.
    pub dominates: Vec<(usize, usize)>,
    /// What other weights would say; `None` where a criterion is left out for some device, or nothing is weighed.
    pub acceptability: Option<Acceptability>,
    /// The criterion (index into the titles) that keeps weights from being drawn, because it is left out, and the device.
    pub not_drawn: Option<(usize, usize)>,
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
    pub fn new(entries: &[RankedDevice<'_>], mixed: bool, samples: u32, draw: u64) -> Result<Self, Refusal> {
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
        let drawn = values(entries, &criteria);
        let root = |i: usize| &entries[i].assessment.root;
        let dominates = pairs(&|i, j| above_under_any_weights(root(i), root(j)));
        let acceptability =
            drawn.as_ref().ok().filter(|_| !criteria.is_empty()).map(|v| acceptability(v, samples, draw));
        Ok(Self {
            names: entries.iter().map(|e| e.name.to_owned()).collect(),
            titles: criteria.iter().map(|c| c.title.clone()).collect(),
            criteria: criteria.iter().map(|c| c.id.clone()).collect(),
            not_drawn: drawn.err(),
            tiers: tiers(&totals, &above),
            spans: spans(&entries.iter().map(|e| &e.assessment.root).collect::<Vec<_>>()),
            limited: entries.iter().any(|e| limited(&e.assessment.root)),
            above,
            dominates,
            sentences: acceptability.as_ref().map_or_else(Vec::new, |a| (0..n).map(|i| a.sentence(i)).collect()),
            acceptability,
        })
    }
}

/// Ranges of criteria, a row for each device; or the first criterion some device has no value for, and that device.
fn values(entries: &[RankedDevice<'_>], criteria: &[&Graded]) -> Result<Vec<Vec<[f64; 2]>>, (usize, usize)> {
    let cell = |device: usize, number: usize| {
        let node = entries[device].assessment.find(&criteria[number].id);
        let ends = node.and_then(|n| Some([n.low.as_ref()?.to_f64(), n.high.as_ref()?.to_f64()]));
        ends.ok_or((number, device))
    };
    (0..entries.len()).map(|device| (0..criteria.len()).map(|number| cell(device, number)).collect()).collect()
}

/// Criteria whose weights can be drawn: what means and sums combine, however deep they are nested, down to measures, to
/// criteria over parts and to rules of worst, best or gate. Limiting factors are left aside. Empty where nothing is weighed.
pub fn criteria(root: &Graded) -> Vec<&Graded> {
    let mut out = Vec::new();
    gather(root, &mut out);
    if out.len() > 1 { out } else { Vec::new() }
}

fn gather<'g>(node: &'g Graded, out: &mut Vec<&'g Graded>) {
    use crate::method::Combine;
    use crate::range::GradedKind;
    let over_parts = node.children.iter().any(|c| c.role.is_some());
    match (&node.kind, node.children.as_slice()) {
        (GradedKind::Group(Combine::Cap), [first, ..]) => gather(first, out),
        (GradedKind::Group(Combine::Mean | Combine::Sum), children) if !over_parts => {
            children.iter().for_each(|c| gather(c, out));
        }
        _ => out.push(node),
    }
}

/// Tiers of a partial order given by its pairs. Nobody heads a tier by a high end that open facts may take away.
fn tiers(totals: &[[Option<Exact>; 2]], above: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let n = totals.len();
    let mut tier = vec![0; n];
    // The order has no circles, so n rounds settle it.
    for _ in 0..n {
        for &(i, j) in above {
            tier[j] = tier[j].max(tier[i] + 1);
        }
    }
    let deepest = tier.iter().max().map_or(0, |t| t + 1);
    (0..deepest)
        .map(|t| {
            let mut list: Vec<usize> = (0..n).filter(|&i| tier[i] == t).collect();
            list.sort_by(|&i, &j| totals[j].cmp(&totals[i]));
            list
        })
        .collect()
}
