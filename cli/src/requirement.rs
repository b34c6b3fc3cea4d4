//! Requirements on a verdict, such as `score=7.0` or `class=B`: they must hold at the low end of its range.

use std::fmt;

use scoring::exact::Exact;
use scoring::range::Assessment;

use crate::failure::Failure;

/// Something that must hold for every completion of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Requirement {
    /// The total of the default verdict, or of the one method named, is at least this. Compared exactly, unrounded.
    Score(Exact, String),
    /// The class is this or better, by every chosen method that has classes.
    Class(String),
}

impl fmt::Display for Requirement {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Score(_, text) => write!(f, "score={text}"),
            Self::Class(class) => write!(f, "class={class}"),
        }
    }
}

/// How a requirement fared.
#[derive(Debug)]
pub(crate) struct Judged {
    /// Whether it holds.
    pub(crate) met: bool,
    /// The figures.
    pub(crate) why: String,
}

/// Reads requirements.
pub(crate) fn parse(list: &[String]) -> Result<Vec<Requirement>, Failure> {
    list.iter()
        .map(|text| {
            let wrong = || Failure::wrong(format!("`{text}` is not a requirement"), "write score=7.0 or class=B");
            let (what, value) = text.split_once('=').ok_or_else(wrong)?;
            let value = value.trim();
            match what.trim() {
                "score" => Ok(Requirement::Score(Exact::parse(value).ok_or_else(wrong)?, value.to_owned())),
                "class" if !value.is_empty() => Ok(Requirement::Class(value.to_owned())),
                _ => Err(wrong()),
            }
        })
        .collect()
}

impl Requirement {
    /// Judges a requirement by the low end of the assessments of one record.
    pub(crate) fn judge(&self, assessed: &[Assessment]) -> Result<Judged, Failure> {
        match self {
            Self::Score(wanted, _) => {
                let of = assessed.iter().find(|a| !a.method.scale.verdict).ok_or_else(|| self.nowhere())?;
                let (met, low) = match &of.root.low {
                    Some(low) => (low >= wanted, of.show(low)),
                    None => (false, "nothing".to_owned()),
                };
                Ok(Judged { met, why: format!("{} is {low} at the low end", of.method.id.value) })
            }
            Self::Class(wanted) => {
                let mut said = Vec::new();
                let mut met = true;
                for one in assessed {
                    let Some(classes) = &one.method.classes else { continue };
                    let rank = |name: &str| classes.bounds.iter().position(|(n, _)| n.eq_ignore_ascii_case(name));
                    let Some(bound) = rank(wanted) else { continue };
                    let low = one.classes.as_ref().map(|[low, _]| low.clone());
                    met &= low.as_deref().and_then(rank).is_some_and(|r| r <= bound);
                    let low = low.unwrap_or_else(|| "not scored".to_owned());
                    said.push(format!("{} is class {low} at the low end", one.method.id.value));
                }
                if said.is_empty() {
                    return Err(self.nowhere());
                }
                Ok(Judged { met, why: said.join("; ") })
            }
        }
    }

    fn nowhere(&self) -> Failure {
        Failure::wrong(
            format!("no chosen method that fits this device can meet `{self}`"),
            "choose one that gives it with --method",
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("score")]
    #[case("score=high")]
    #[case("class=")]
    #[case("weight=3")]
    fn refuses(#[case] text: &str) {
        assert!(parse(&[text.to_owned()]).is_err());
    }

    #[test]
    fn reads() {
        let read = parse(&["score=7.0".to_owned(), "class=B".to_owned()]).unwrap();
        assert_eq!(read[0], Requirement::Score(Exact::from(7), "7.0".to_owned()));
        assert_eq!(read[1].to_string(), "class=B");
    }
}
