//! From the view to the document.

use std::collections::BTreeMap;

use super::tree::{Shared, node};
use super::ways::way;
use super::{
    Assessment, Bench, Cause, Device, Effects, Headline, Loss, Losses, LostOrKept, Once, Reading, Switch, Unknown,
    there,
};
use crate::view::View;
use crate::view::types::{self, Assessed};

impl Device {
    /// What a report's view says of its device.
    pub fn of(view: &View) -> Self {
        let mut shared = Shared { rules: Once(BTreeMap::new()), evidence: Once(BTreeMap::new()) };
        let assessments = view.assessments.iter().map(|a| assessment(a, &mut shared)).collect();
        let mut actions = Once(BTreeMap::new());
        let routes = view.routes.iter().map(|r| way(r, &mut actions)).collect();
        let first = view.assessments.first();
        let brief = view.brief.as_ref();
        let loss = |rows: &[types::LostRow]| -> Vec<Loss> {
            let one = |r: &types::LostRow| Loss {
                title: r.title.clone(),
                low: r.low.clone(),
                high: r.high.clone(),
                limit: r.limit,
            };
            rows.iter().map(one).collect()
        };
        Self {
            record: view.record.clone(),
            device: view.title.clone(),
            category: view.category.clone(),
            sheet: first.and_then(|a| a.sheet.clone()),
            headline: first.map(|a| headline(view, a)),
            reason: first.map_or_else(String::new, |a| a.reason.clone()),
            lost: brief.map(|b| Losses { criteria: loss(&b.criteria), parts: loss(&b.parts_lost) }),
            causes: brief.map_or_else(Vec::new, |b| {
                let cause = |r: &types::Rung| Cause {
                    text: r.text.clone(),
                    alone: r.alone.clone(),
                    adds: Some(r.adds.clone()).filter(|a| !a[0].is_empty()),
                };
                b.ladder.iter().map(cause).collect()
            }),
            assessments,
            rules: shared.rules.list(),
            evidence: shared.evidence.list(),
            actions: actions.list(),
            routes,
            program: view.program.clone(),
            status: view.status.clone(),
        }
    }
}

fn headline(view: &View, a: &Assessed) -> Headline {
    let bench = a.headline.as_ref();
    let (range, out_of, attained) = match (&view.brief, bench) {
        (Some(b), _) => (b.range.clone(), b.out_of.clone(), b.attained),
        (None, Some(bench)) => (bench.range.clone(), bench.out_of.clone(), bench.attained),
        (None, None) => (a.range.clone(), a.out_of.clone(), a.attained),
    };
    Headline {
        method: a.method.clone(),
        verdict: if bench.is_some() { "bench" } else { "only" },
        range,
        out_of,
        attained,
        without_sheet: bench.map_or_else(|| a.without.clone(), |b| b.without.clone()),
    }
}

fn assessment(a: &Assessed, shared: &mut Shared) -> Assessment {
    let mut nodes = BTreeMap::new();
    anchors(&a.root, &mut nodes);
    let effects = |list: &[types::Contribution]| -> Vec<LostOrKept> {
        list.iter()
            .map(|e| LostOrKept {
                node: nodes.get(e.anchor.as_str()).map_or_else(String::new, |id| (*id).to_owned()),
                what: e.what.clone(),
                said: e.said.clone(),
                points: e.points.clone(),
                better: e.better.clone(),
            })
            .collect()
    };
    Assessment {
        method: a.method.clone(),
        title: a.title.clone(),
        edition: a.edition.clone(),
        low: a.low.clone(),
        high: a.high.clone(),
        exact_low: there(&a.exact_low),
        exact_high: there(&a.exact_high),
        class_low: a.class_low.clone(),
        class_high: a.class_high.clone(),
        said: crate::text::total(a),
        bench: a.headline.as_ref().map(|b| Bench {
            range: b.range.clone(),
            unknowns: b.unknowns,
            attained: b.attained,
            without_sheet: b.without.clone(),
        }),
        without_sheet: a.without.clone(),
        attained: a.attained,
        attained_low: a.attained_low,
        attained_high: a.attained_high,
        reached_low: a.reached_low.clone(),
        reached_high: a.reached_high.clone(),
        proved: a.proved,
        weakest: a.weakest.clone(),
        fingerprint: a.fingerprint.clone(),
        supplied_from: there(&a.supplied_from),
        binds: a.binds.clone(),
        standing: a.standing.clone(),
        information_only: a.information_only.clone(),
        not_covered: a.not_covered.clone(),
        rests_on: a.rests_on.clone(),
        reason: a.reason.clone(),
        effects: Effects { drags: effects(&a.drags), holds: effects(&a.holds), open: effects(&a.open) },
        unknowns: a.unknowns.iter().map(unknown).collect(),
        switches: a.switches.iter().map(switch).collect(),
        root: node(&a.root, None, shared),
    }
}

fn anchors<'n>(node: &'n types::ReasonedNode, out: &mut BTreeMap<&'n str, &'n str>) {
    out.insert(&node.anchor, &node.id);
    node.children.iter().for_each(|c| anchors(c, out));
}

fn unknown(u: &types::Unknown) -> Unknown {
    Unknown {
        number: u.number,
        path: u.path.clone(),
        place: u.place.clone(),
        question: u.question.clone(),
        answers: u.answers.clone(),
        low: u.low.clone(),
        high: u.high.clone(),
        worst: u.worst.clone(),
        mean: u.mean.clone(),
    }
}

fn switch(s: &types::Switch) -> Switch {
    let reading = |r: &types::Reading| Reading {
        means: r.means.clone(),
        range: r.range.clone(),
        class: r.class.clone(),
        changes: r.changes,
    };
    Switch {
        id: s.id.clone(),
        text: s.text.clone(),
        chosen: s.chosen.clone(),
        others: s.others.iter().map(reading).collect(),
        source: s.source.clone(),
    }
}
