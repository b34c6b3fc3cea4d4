//! What a verdict must reach: `class=B`, `score=7.0`.

use std::fmt;

use crate::exact::Exact;
use crate::method::Method;
use crate::range::{Assessment, class_of};

/// A bound a verdict must reach at its low end.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Requirement {
    /// At least this class.
    Class(String),
    /// At least this total, unrounded, in the method's own scale.
    Score(Exact),
}

/// Why a requirement can't be read or does not go with a method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RequireError {
    /// Neither `class=...` nor `score=...`.
    Form(String),
    /// The value after `score=` is no number.
    Number(String),
    /// The method has no classes.
    NoClasses {
        /// Method id.
        method: String,
    },
    /// The method has other classes.
    UnknownClass {
        /// As written.
        class: String,
        /// Those it has, best first.
        classes: Vec<String>,
    },
    /// The score lies outside the method's scale.
    OffScale {
        /// As written.
        score: Exact,
        /// Lowest and highest total.
        scale: [Exact; 2],
    },
}

impl fmt::Display for RequireError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form(text) => write!(f, "`{text}` asks for nothing known; write `class=B` or `score=7.0`"),
            Self::Number(text) => write!(f, "`{text}` is not a number; write a decimal such as 7.0"),
            Self::NoClasses { method } => write!(f, "`{method}` has no classes; write `score=...`"),
            Self::UnknownClass { class, classes } => {
                write!(f, "there is no class `{class}`; classes here: {}", classes.join(", "))
            }
            Self::OffScale { score, scale: [low, high] } => {
                write!(f, "{} is outside the scale, which runs from {} to {}", score.plain(), low.plain(), high.plain())
            }
        }
    }
}

impl std::error::Error for RequireError {}

impl Requirement {
    /// Reads `class=B` or `score=7.0`; spaces around the sign are allowed.
    ///
    /// # Errors
    /// [`RequireError::Form`] and [`RequireError::Number`].
    ///
    /// ```
    /// use scoring::compare::Requirement;
    /// assert_eq!(Requirement::parse("class = B").unwrap(), Requirement::Class("B".into()));
    /// assert!(Requirement::parse("score=seven").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, RequireError> {
        let form = || RequireError::Form(text.to_owned());
        let (key, value) = text.split_once('=').ok_or_else(form)?;
        let value = value.trim();
        match key.trim() {
            "class" if !value.is_empty() => Ok(Self::Class(value.to_owned())),
            "score" => Exact::parse(value).map(Self::Score).ok_or_else(|| RequireError::Number(value.to_owned())),
            _ => Err(form()),
        }
    }

    /// The requirement in the method's own words (class names as the method writes them).
    ///
    /// # Errors
    /// [`RequireError::NoClasses`], [`RequireError::UnknownClass`] and [`RequireError::OffScale`].
    pub fn for_method(&self, method: &Method) -> Result<Self, RequireError> {
        match self {
            Self::Class(class) => {
                let none = || RequireError::NoClasses { method: method.id.value.clone() };
                let names: Vec<&String> =
                    method.classes.as_ref().ok_or_else(none)?.bounds.iter().map(|(n, _)| n).collect();
                match names.iter().find(|n| n.eq_ignore_ascii_case(class)) {
                    Some(name) => Ok(Self::Class((*name).clone())),
                    None => Err(RequireError::UnknownClass {
                        class: class.clone(),
                        classes: names.into_iter().cloned().collect(),
                    }),
                }
            }
            Self::Score(score) => {
                let (low, high) = (&method.scale.low, &method.scale.high);
                if score < low || score > high {
                    let scale = [low.clone(), high.clone()];
                    return Err(RequireError::OffScale { score: score.clone(), scale });
                }
                Ok(self.clone())
            }
        }
    }

    /// Whether a total reaches it. Classes are compared in the method's order, best first; a total that is left out
    /// reaches nothing.
    pub fn reached(&self, method: &Method, total: Option<&Exact>) -> bool {
        let Some(total) = total else { return false };
        match self {
            Self::Score(score) => total >= score,
            Self::Class(wanted) => {
                let Some(classes) = &method.classes else { return false };
                let rank = |name: &str| classes.bounds.iter().position(|(n, _)| n.eq_ignore_ascii_case(name));
                match (class_of(method, total).as_deref().and_then(rank), rank(wanted)) {
                    (Some(has), Some(asks)) => has <= asks,
                    _ => false,
                }
            }
        }
    }

    /// Whether an assessment meets it at the low end of its range.
    ///
    /// # Errors
    /// As [`Requirement::for_method`].
    pub fn met(&self, assessment: &Assessment) -> Result<bool, RequireError> {
        let here = self.for_method(&assessment.method)?;
        Ok(here.reached(&assessment.method, assessment.root.low.as_ref()))
    }
}
