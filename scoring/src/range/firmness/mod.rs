//! How firm a verdict is: the single rules and weights it hinges on, what low-certainty rules could do together,
//! and what other readings say.

mod weights;

use std::collections::{BTreeMap, BTreeSet};

use super::assessment::{Assessment, Graded, GradedKind, class_of, show};
use super::study::Effort;
use super::study::Range;
use super::{Case, Study};
use crate::assess::evaluate::fold;
use crate::assess::{Kept, Plan, PlanKind};
use crate::exact::Exact;
use crate::method::{Method, Points};
use crate::record::Record;
use crate::vocab::Certainty;

pub use weights::WeightSpan;

/// How firm a verdict is.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Firmness {
    /// Criteria that move the class (for a method without classes: the shown verdict) when one value falls one row off.
    pub hinges: Vec<Hinge>,
    /// How far each weight could move before the class changes; empty for a method without classes.
    pub weights: Vec<WeightSpan>,
    /// What rules of `memory medium` and `memory low` certainty could do together.
    pub low_certainty: LowCertainty,
    /// Every other option of every switch.
    pub readings: Vec<OtherReading>,
}

/// One criterion, one row off.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Hinge {
    /// Node id.
    pub id: String,
    /// Title.
    pub title: String,
    /// The part it is about.
    pub role: Option<String>,
    /// End of the verdict it is worked out at; both are the same where it is settled.
    pub end: EndName,
    /// What was read there.
    pub said: String,
    /// Points, and points one row off.
    pub points: [Exact; 2],
    /// Verdict as it stands, and one row off.
    pub shown: [String; 2],
    /// Class (shown verdict for a method without classes), and class one row off.
    pub class: [String; 2],
    /// How sure the rule is.
    pub certainty: Certainty,
}

/// An end of the verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EndName {
    /// The verdict is settled.
    Settled,
    /// The low end.
    Low,
    /// The high end.
    High,
}

/// Rules of low certainty taken together.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct LowCertainty {
    /// Criteria that rest on them: node ids.
    pub criteria: Vec<String>,
    /// Range of the verdict when each of them may give any points its table has.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
}

/// Another option of a switch.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct OtherReading {
    /// Switch id.
    pub switch: String,
    /// What is open, in words.
    pub open: String,
    /// Option id.
    pub option: String,
    /// What it means.
    pub means: String,
    /// Range under it.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
    /// The shown verdict or the class differs from the one under the reading in force.
    pub differs: bool,
}

impl Firmness {
    /// How firm the verdict of a record under a method is (taken as given: [`Method::for_device`] comes before).
    pub fn new(record: &Record, method: &Method, effort: Effort) -> Self {
        let assessment = Assessment::new(record, method, effort);
        let study = Study::keeping(Case::new(record, method), method, effort, &assessment.kept);
        let ends: Vec<End<'_>> = if assessment.settled() {
            vec![End::new(EndName::Settled, 0, &study.plan, &assessment)]
        } else {
            vec![
                End::new(EndName::Low, 0, &study.plan, &assessment),
                End::new(EndName::High, 1, &study.plan, &assessment),
            ]
        };
        Self {
            hinges: ends.iter().flat_map(End::hinges).collect(),
            weights: ends.iter().flat_map(|e| weights::spans(e.plan, &e.points, e.name)).collect(),
            low_certainty: low_certainty(&study.plan, &ends, &assessment),
            readings: readings(record, method, &assessment.range(), effort, &assessment.kept),
        }
    }
}

/// The verdict at one end, leaf by leaf.
struct End<'a> {
    name: EndName,
    place: usize,
    plan: &'a Plan<'a>,
    points: BTreeMap<usize, Option<Exact>>,
    /// Graded leaf by plan node.
    leaves: BTreeMap<usize, &'a Graded>,
    total: Option<Exact>,
}

impl<'a> End<'a> {
    fn new(name: EndName, place: usize, plan: &'a Plan<'a>, assessment: &'a Assessment) -> Self {
        // The tree was built from the same plan, node by node in preorder.
        let leaves: BTreeMap<usize, &Graded> = assessment
            .root
            .walk()
            .into_iter()
            .enumerate()
            .filter(|(_, g)| matches!(g.kind, GradedKind::Leaf { .. }))
            .collect();
        let points: BTreeMap<usize, Option<Exact>> =
            leaves.iter().map(|(i, g)| (*i, g.ends[place].points.clone())).collect();
        let total = fold(plan, &|l| points.get(&l).cloned().flatten())[0].clone();
        Self { name, place, plan, points, leaves, total }
    }

    fn class(&self, total: Option<&Exact>) -> String {
        let method = self.plan.method;
        total.map_or_else(String::new, |t| class_of(method, t).unwrap_or_else(|| show(method, t)))
    }

    fn with(&self, changed: &BTreeMap<usize, Exact>) -> Option<Exact> {
        let points = |l: usize| changed.get(&l).cloned().or_else(|| self.points.get(&l).cloned().flatten());
        fold(self.plan, &points)[0].clone()
    }

    /// Points one row off; better first where there is a better row.
    fn row_off(&self, leaf: usize, better: bool) -> Option<Exact> {
        let PlanKind::Leaf(_, _, table) = &self.plan.nodes[leaf].kind else { return None };
        let now = self.points.get(&leaf)?.as_ref()?;
        let rows = rows(table);
        if better { rows.into_iter().find(|p| p > now) } else { rows.into_iter().rev().find(|p| p < now) }
    }

    fn hinges(&self) -> Vec<Hinge> {
        let method = self.plan.method;
        let was = self.class(self.total.as_ref());
        let shown = |t: Option<&Exact>| t.map_or_else(String::new, |t| show(method, t));
        let mut out = Vec::new();
        for (&leaf, graded) in &self.leaves {
            for better in [true, false] {
                let Some(off) = self.row_off(leaf, better) else { continue };
                let Some(now) = self.points[&leaf].clone() else { continue };
                let total = self.with(&BTreeMap::from([(leaf, off.clone())]));
                let is = self.class(total.as_ref());
                if is != was {
                    out.push(Hinge {
                        id: graded.id.clone(),
                        title: graded.title.clone(),
                        role: graded.role.clone(),
                        end: self.name,
                        said: graded.ends[self.place].said.clone(),
                        points: [now, off],
                        shown: [shown(self.total.as_ref()), shown(total.as_ref())],
                        class: [was.clone(), is],
                        certainty: graded.rule.certainty,
                    });
                }
            }
        }
        out
    }
}

/// Distinct points a table's rows give, ascending; none where points don't go by rows.
fn rows(table: &Points) -> Vec<Exact> {
    let all: BTreeSet<Exact> = match table {
        Points::Bands(list) => list.iter().map(|b| b.points.value.clone()).collect(),
        Points::Levels(list) => list.iter().map(|(_, p)| p.value.clone()).collect(),
        Points::Rungs(list) => list.iter().map(|r| r.points.value.clone()).collect(),
        Points::Linear(_) | Points::AsIs => BTreeSet::new(),
    };
    all.into_iter().collect()
}

fn low_certainty(plan: &Plan<'_>, ends: &[End<'_>], assessment: &Assessment) -> LowCertainty {
    let weak = |g: &Graded| matches!(g.rule.certainty, Certainty::MemoryMedium | Certainty::MemoryLow);
    let extreme = |end: &End<'_>, high: bool| {
        let changed: BTreeMap<usize, Exact> = end
            .leaves
            .iter()
            .filter(|(leaf, g)| weak(g) && end.points[*leaf].is_some())
            .filter_map(|(&leaf, _)| match &plan.nodes[leaf].kind {
                PlanKind::Leaf(_, _, table) => {
                    let (low, top) = Plan::extremes(table);
                    Some((leaf, if high { top } else { low }))
                }
                PlanKind::Group(..) => None,
            })
            .collect();
        end.with(&changed)
    };
    let low = ends.first().and_then(|e| extreme(e, false));
    let high = ends.last().and_then(|e| extreme(e, true));
    let range = Range::plain(low, high, assessment.root.exact);
    let criteria = assessment
        .root
        .walk()
        .into_iter()
        .filter(|g| matches!(g.kind, GradedKind::Leaf { .. }) && weak(g))
        .map(|g| g.id.clone())
        .collect();
    LowCertainty { criteria, shown: range.shown(plan.method), classes: range.classes(plan.method), range }
}

/// What the verdict is under every option of every switch that is not in force; `now` is the verdict as it stands, worked
/// out with the same effort. `kept` is what was worked out before.
pub fn readings(record: &Record, method: &Method, now: &Range, effort: Effort, kept: &Kept) -> Vec<OtherReading> {
    let mut out = Vec::new();
    for switch in &method.switches {
        for (place, (option, means)) in switch.options.iter().enumerate() {
            if place == switch.chosen {
                continue;
            }
            let Some(other) = method.with_switch(&switch.id, option) else { continue };
            let range = Study::keeping(Case::new(record, &other), &other, effort, kept).range(0);
            let (shown, classes) = (range.shown(&other), range.classes(&other));
            out.push(OtherReading {
                switch: switch.id.clone(),
                open: switch.text.clone(),
                option: option.clone(),
                means: means.clone(),
                differs: shown != now.shown(method) || classes != now.classes(method),
                shown,
                classes,
                range,
            });
        }
    }
    out
}
