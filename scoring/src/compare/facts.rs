//! The single facts on which a verdict hinges: each is changed in the record and the whole verdict worked out anew, so that what is
//! said is what `score` says of the changed record.

use std::collections::BTreeMap;

use super::changes::{Change, candidates, distinct, promising, worse};
use super::threads::side_by_side;
use crate::exact::Exact;
use crate::range::firmness::EndName;
use crate::range::{Range, Study};
use crate::record::Record;

/// A fact of the record on which the class hinges (for a method without classes: the shown verdict).
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct FactHinge {
    /// The change, as `unfasten changes` names it (`fastener actions[3].loosen -> reusable`); worse ones have ids of the same form.
    pub id: String,
    /// Data path of the fact.
    pub path: String,
    /// The change in words.
    pub text: String,
    /// End of the verdict that moves.
    pub end: EndName,
    /// It moves up rather than down.
    pub better: bool,
    /// Class as it stands, and with the change.
    pub class: [String; 2],
}

/// Facts on which the class hinges, in record order: of each place and direction the change that moves the verdict least.
pub fn hinging(record: &Record, study: &Study<'_>) -> Vec<FactHinge> {
    let method = study.method();
    let now = study.range(0);
    let settled = now.exact && now.low == now.high;
    let said = |range: &Range| range.classes(method).unwrap_or_else(|| range.shown(method));
    let was = said(&now);
    let better: Vec<Change> = distinct(candidates(record, &[study])).into_iter().map(|(change, _)| change).collect();
    let better = promising(better, &[study], |_, after| said(&after.range(0)) == was);
    let list: Vec<Change> = better.into_iter().chain(worse(record, &[study])).collect();
    let many = list.len();
    let ranges = side_by_side(&list, |change| {
        let case = change.apply(&study.case);
        if case.base == study.case.base && case.unknowns == study.case.unknowns {
            return now.clone();
        }
        study.with_case(case, many).range(0)
    });
    // By place, end and direction; in the order first met.
    let mut order: Vec<FactHinge> = Vec::new();
    let mut least: BTreeMap<(String, EndName, bool), (usize, Exact)> = BTreeMap::new();
    for (change, range) in list.iter().zip(ranges) {
        let is = said(&range);
        let ends = if settled { vec![(0, EndName::Settled)] } else { vec![(0, EndName::Low), (1, EndName::High)] };
        for (end, name) in ends {
            // A change that leaves a settled verdict open settles nothing about its class, nor does a bound.
            if !(now.attained[end] && range.attained[end]) {
                continue;
            }
            if was[end] == is[end] || settled && is[0] != is[1] {
                continue;
            }
            let value = |r: &Range| if end == 0 { r.low.clone() } else { r.high.clone() };
            let (Some(before), Some(after)) = (value(&now), value(&range)) else { continue };
            let better = after > before;
            let far = if better { &after - &before } else { &before - &after };
            let place = change.id.split(" -> ").next().unwrap_or_default().to_owned();
            let hinge = FactHinge {
                id: change.id.clone(),
                path: change.path.clone(),
                text: change.words.clone(),
                end: name,
                better,
                class: [was[end].clone(), is[end].clone()],
            };
            match least.get_mut(&(place.clone(), name, better)) {
                Some((at, known)) if far < *known => {
                    order[*at] = hinge;
                    *known = far;
                }
                Some(_) => {}
                None => {
                    least.insert((place, name, better), (order.len(), far));
                    order.push(hinge);
                }
            }
        }
    }
    order
}
