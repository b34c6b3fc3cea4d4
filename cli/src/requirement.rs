//! Which assessments a requirement such as `score=7.0` or `class=B` is held against, and what is said of it.

use scoring::compare::Requirement;
use scoring::range::Assessment;

use crate::failure::Failure;

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
}

/// Reads requirements.
pub(crate) fn parse(list: &[String]) -> Result<Vec<Required>, Failure> {
    list.iter()
        .map(|text| match Requirement::parse(text) {
            Ok(what) => Ok(Required { text: text.clone(), what }),
            Err(error) => Err(Failure::wrong(error.to_string(), "write for instance --require class=B")),
        })
        .collect()
}

impl Required {
    /// Judges it by the assessments of one record: a score by the first that has one, a class by every one that has it.
    pub(crate) fn judge(&self, assessed: &[Assessment]) -> Result<Judged, Failure> {
        let mut asked: Vec<&Assessment> = match self.what {
            Requirement::Score(_) => assessed.iter().filter(|a| !a.method.scale.verdict).take(1).collect(),
            Requirement::Class(_) => assessed.iter().filter(|a| a.method.classes.is_some()).collect(),
        };
        let errors: Vec<String> =
            asked.iter().filter_map(|a| self.what.for_method(&a.method).err()).map(|e| e.to_string()).collect();
        asked.retain(|a| self.what.for_method(&a.method).is_ok());
        if asked.is_empty() {
            let why = errors
                .into_iter()
                .next()
                .unwrap_or_else(|| "no chosen method that fits this device gives it".to_owned());
            return Err(Failure::wrong(
                format!("`{}` can't be judged: {why}", self.text),
                "choose a method that gives it with --method",
            ));
        }
        let mut judged = Judged { met: true, why: String::new() };
        for one in asked {
            judged.met &= self.what.met(one).unwrap_or(false);
            let low = one.root.low.as_ref().map_or_else(|| "nothing".to_owned(), |low| one.show(low));
            let class = one.classes.as_ref().map(|[low, _]| format!(", class {low}")).unwrap_or_default();
            let said = format!("{} is {low}{class} at the low end", one.method.id.value);
            judged.why = if judged.why.is_empty() { said } else { format!("{}; {said}", judged.why) };
        }
        Ok(judged)
    }
}
