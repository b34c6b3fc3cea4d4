//! Which assessments a requirement such as `score=7.0` or `class=B` is held against, and what is said of it.

use schemars::JsonSchema;
use scoring::compare::Requirement;
use scoring::exact::{Exact, Rounding};
use scoring::method::Method;
use scoring::range::{Assessment, class_of, rests_on};
use serde::Serialize;

use crate::failure::Failure;
use crate::words::requirement as say;

/// A requirement as written.
#[derive(Clone, Debug)]
pub(crate) struct Required {
    /// As written.
    pub(crate) text: String,
    what: Requirement,
}

/// How a requirement fared.
#[derive(Debug)]
pub(crate) struct Judged {
    /// Whether it holds at the low end.
    pub(crate) met: bool,
    /// The figures.
    pub(crate) why: String,
    /// The same by method, for programs.
    pub(crate) by: Vec<Figures>,
}

/// The figures of one method for a requirement.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Figures {
    /// Method id.
    method: String,
    /// Whether it holds by this method.
    met: bool,
    /// Low end as the method shows it; `null`: there is no total.
    low: Option<String>,
    /// Low end, exact.
    exact_low: Option<String>,
    /// Class at the low end; `null`: the method has none.
    class: Option<String>,
    /// How far the low end is from what is asked, exact, nought where it is met; `null` for pass or fail.
    distance: Option<String>,
}

/// Reads requirements.
pub(crate) fn parse(list: &[String]) -> Result<Vec<Required>, Failure> {
    list.iter()
        .map(|text| match Requirement::parse(text) {
            Ok(what) => Ok(Required { text: text.clone(), what }),
            Err(error) => Err(Failure::wrong(error.to_string(), error.mend())),
        })
        .collect()
}

impl Required {
    /// Judges it by the assessments of one record: a score by the first that gives points, a class by every
    /// one that has it, a pass by every one that says pass or fail.
    pub(crate) fn judge(&self, assessed: &[Assessment]) -> Result<Judged, Failure> {
        let mut asked: Vec<&Assessment> = match self.what {
            Requirement::Score(_) => assessed.iter().filter(|a| !a.method.scale.verdict).take(1).collect(),
            Requirement::Class(_) => assessed.iter().filter(|a| a.method.classes.is_some()).collect(),
            Requirement::Pass => assessed.iter().filter(|a| a.method.scale.verdict).collect(),
        };
        let (text, errors) = (&self.text, unfit(&self.what, asked.iter().map(|a| &a.method)));
        asked.retain(|a| self.what.for_method(&a.method).is_ok());
        if asked.is_empty() {
            return Err(errors.unwrap_or_else(|| none_gives(text)));
        }
        let mut judged = Judged { met: true, why: String::new(), by: Vec::new() };
        for one in asked {
            let met = self.what.met(one).unwrap_or(false);
            judged.met &= met;
            let distance = self.what.distance(&one.method, one.root.low.as_ref());
            judged.by.push(Figures {
                method: one.method.id.value.clone(),
                met,
                low: one.root.low.as_ref().map(|low| one.show(low)),
                exact_low: one.root.low.as_ref().map(Exact::plain),
                class: one.classes.as_ref().map(|[low, _]| low.clone()),
                distance: distance.as_ref().map(Exact::plain),
            });
            let low = one.root.low.as_ref().map(|low| self.said(one, low));
            let class = one.classes.as_ref().map(|[low, _]| low.as_str());
            // A requirement is judged as if the rule bound the device, and says so where it does not, or may not.
            let said = say::gives(&one.method.id.value, low.as_deref(), class, one.standing.day());
            let far = distance.filter(|_| !met).map(|gap| far(&self.what, &one.method, &gap)).unwrap_or_default();
            let said = format!("{said}{far}{}", rests(one));
            judged.why = if judged.why.is_empty() { said } else { format!("{}; {said}", judged.why) };
        }
        Ok(judged)
    }

    /// A low end as the method shows it; the exact one before it where the rounded figure would belie the judgement.
    fn said(&self, one: &Assessment, low: &Exact) -> String {
        let shown = one.show(low);
        let belies = |asked: &Exact| Exact::parse(&shown).is_some_and(|s| (s >= *asked) != (low >= asked));
        let hidden = match &self.what {
            Requirement::Score(asked) => belies(asked),
            // The figure shown would be of another class.
            Requirement::Class(_) => {
                let of = |value: &Exact| class_of(&one.method, value);
                Exact::parse(&shown).is_some_and(|s| of(&s) != of(low))
            }
            Requirement::Pass => false,
        };
        if hidden { say::shown_as(&low.plain(), &shown) } else { shown }
    }
}

/// `, 0.06 to class C`: how far a requirement is, in the decimals of the scale where it has no more, else exact.
pub(crate) fn far(what: &Requirement, method: &Method, gap: &Exact) -> String {
    let scale = &method.scale;
    let short = gap.display(scale.decimals, scale.rounding);
    let exact = Exact::parse(&short).as_ref() == Some(gap);
    let gap = match gap.plain() {
        _ if exact => short,
        // A fraction nobody reads: rounded up, since less would not reach it.
        plain if plain.contains('/') => gap.display(scale.decimals + 2, Rounding::Up),
        plain => plain,
    };
    match what.for_method(method) {
        Ok(Requirement::Class(class)) => say::to_class(&gap, &class),
        Ok(Requirement::Score(score)) => say::to_score(&gap, &score.plain()),
        _ => String::new(),
    }
}

/// Facts and readings named before the rest is counted.
const RESTS: usize = 3;

/// On what a verdict of pass or fail rests that nobody saw or read.
fn rests(one: &Assessment) -> String {
    let all = rests_on(one);
    // One more is named.
    let shown = if all.len() == RESTS + 1 { all.len() } else { RESTS };
    let told: Vec<[&str; 2]> = all.iter().take(shown).map(|r| [r.how, &*r.text]).collect();
    say::rests_on(&told, all.len().saturating_sub(shown))
}

/// Why no method of a list can be asked: the first complaint, `None` where one can be, or there is none to ask.
pub(crate) fn unfit<'m>(what: &Requirement, methods: impl Iterator<Item = &'m Method>) -> Option<Failure> {
    let mut first = None;
    for method in methods {
        match what.for_method(method) {
            Ok(_) => return None,
            Err(error) => first = first.or(Some(Failure::wrong(error.to_string(), error.mend()))),
        }
    }
    first
}

/// No method gives what is asked.
pub(crate) fn none_gives(text: &str) -> Failure {
    Failure::said(say::none_gives(text))
}
