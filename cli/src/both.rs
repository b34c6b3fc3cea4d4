//! Both verdicts of a method, the bench verdict first, each with what it is without the bench sheet: what stands wherever a
//! command speaks of a verdict.

use schemars::JsonSchema;
use scoring::assess::Kept;
use scoring::range::{Case, Effort, Study, binding, fitted};
use scoring::record::Record;
use serde::Serialize;

use crate::arguments::VerdictOf;
use crate::ends::Ends;
use crate::job::Chosen;
use crate::words::plain as say;

/// The verdicts of one method.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub(crate) struct Both {
    /// Id of the method.
    pub(crate) method: String,
    /// Name of the bench sheet that fills something in.
    pub(crate) sheet: Option<String>,
    /// The day from which the rule binds devices first supplied then, where it names one.
    pub(crate) supplied_from: Option<String>,
    /// Whether it binds this one: `yes`, `no`, `open`.
    pub(crate) binds: &'static str,
    /// The bench verdict first; one where the method asks nothing of the maker.
    pub(crate) verdicts: Vec<One>,
}

/// One verdict.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub(crate) struct One {
    /// `bench`, `full`, or `only` where there is no other.
    pub(crate) verdict: &'static str,
    /// The same as a fact; none where there is no other.
    #[serde(skip)]
    of: Option<VerdictOf>,
    /// In words: `4.0 to 9.5, class D to B`.
    pub(crate) range: String,
    /// The same without what the sheet fills in.
    pub(crate) without: Option<String>,
}

impl Both {
    /// The verdicts of a record, with what was worked out before.
    pub(crate) fn of(record: &Record, chosen: &Chosen, kept: &Kept) -> Self {
        let all = chosen.both();
        let one = all.len() == 1;
        let plain = record.without_sheet();
        let verdicts = all
            .iter()
            .map(|(of, method)| {
                let range = |record: &Record| {
                    let method = fitted(method, record);
                    let study = Study::keeping(Case::new(record, &method), &method, Effort::default(), kept);
                    let range = study.range(0);
                    match method.no_total() {
                        Some(_) => say::NO_TOTAL.to_owned(),
                        // Nothing of it is asked of this device.
                        None if range.high.is_none() => say::DOES_NOT_APPLY.to_owned(),
                        None => {
                            let (shown, classes) = (range.shown(&method), range.classes(&method));
                            let said = say::range(&Ends::of(&method, &shown, classes.as_ref()));
                            binding(&method, record).said(&said)
                        }
                    }
                };
                let of = (!one).then_some(*of);
                One {
                    verdict: of.map_or("only", VerdictOf::word),
                    of,
                    range: range(record),
                    without: plain.map(|(_, plain)| range(plain)),
                }
            })
            .collect();
        Self {
            method: chosen.method.id.value.clone(),
            sheet: plain.map(|(sheet, _)| sheet.to_owned()),
            supplied_from: chosen.method.days.supplied_from.map(|d| d.to_string()),
            binds: report::view::binds(binding(&chosen.method, record)),
            verdicts,
        }
    }

    /// In one line: `bench verdict 5.0 to 6.0 by the sheet of A, 3.1 to 7.2 without; full verdict ...`.
    pub(crate) fn said(&self) -> String {
        let said: Vec<String> = self
            .verdicts
            .iter()
            .map(|one| {
                let sheet = self.sheet.as_deref().zip(one.without.as_deref());
                say::with_and_without(one.of, &one.range, sheet.map(|(sheet, without)| [sheet, without]))
            })
            .collect();
        said.join("; ")
    }
}
