//! What a verdict must reach: `class=B`, `score=7.0`, `pass`.

use std::fmt;

use crate::exact::Exact;
use crate::method::Method;
use crate::range::{Assessment, class_of};

/// A bound a verdict must reach at its low end.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Requirement {
    /// At least this class.
    Class(String),
    /// At least this total, unrounded, in the method's own scale.
    Score(Exact),
    /// Every requirement is met, for methods that say pass or fail.
    Pass,
}

/// Why a requirement can't be read or does not go with a method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum RequireError {
    /// Neither `class=...` nor `score=...` nor `pass`.
    Form(String),
    /// The value after `score=` is no number.
    Number(String),
    /// The method says pass or fail.
    Verdict {
        /// Method id.
        method: String,
    },
    /// The method gives points, not pass or fail.
    NoVerdict {
        /// Method id.
        method: String,
    },
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
            Self::Form(text) => write!(f, "`{text}` asks for nothing known"),
            Self::Number(text) => write!(f, "`{text}` is not a number"),
            Self::Verdict { method } => write!(f, "`{method}` says pass or fail and gives no points"),
            Self::NoVerdict { method } => write!(f, "`{method}` gives points, not pass or fail"),
            Self::NoClasses { method } => write!(f, "`{method}` has no classes"),
            Self::UnknownClass { class, classes } => {
                write!(f, "there is no class `{class}` among {}", classes.join(", "))
            }
            Self::OffScale { score, scale: [low, high] } => {
                write!(f, "{} is outside the scale, which runs from {} to {}", score.plain(), low.plain(), high.plain())
            }
        }
    }
}

impl std::error::Error for RequireError {}

impl RequireError {
    /// What to write instead.
    pub fn mend(&self) -> String {
        match self {
            Self::Form(_) => "write `class=B`, `score=7.0` or `pass`".to_owned(),
            Self::Number(text) => match Exact::parse(&text.replace(',', ".")) {
                Some(_) if text.contains(',') => format!("write a point for the decimals: {}", text.replace(',', ".")),
                _ => "write a decimal such as 7.0".to_owned(),
            },
            Self::Verdict { .. } => "write `pass`, or choose a method that gives points with --method".to_owned(),
            Self::NoVerdict { .. } => "write a score or a class, or choose a legal method with --method".to_owned(),
            Self::NoClasses { .. } => "write a score, or choose a method that has classes with --method".to_owned(),
            Self::UnknownClass { .. } => "name one of these classes".to_owned(),
            Self::OffScale { .. } => "name a score within the scale".to_owned(),
        }
    }
}

impl Requirement {
    /// Reads `class=B`, `score=7.0` or `pass`; spaces around the sign are allowed.
    ///
    /// # Errors
    /// [`RequireError::Form`] and [`RequireError::Number`].
    ///
    /// ```
    /// use scoring::compare::Requirement;
    /// assert_eq!(Requirement::parse("class = B").unwrap(), Requirement::Class("B".into()));
    /// assert_eq!(Requirement::parse("pass").unwrap(), Requirement::Pass);
    /// assert!(Requirement::parse("score=seven").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, RequireError> {
        if text.trim() == "pass" {
            return Ok(Self::Pass);
        }
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
    /// [`RequireError::Verdict`], [`RequireError::NoVerdict`], [`RequireError::NoClasses`],
    /// [`RequireError::UnknownClass`] and [`RequireError::OffScale`].
    pub fn for_method(&self, method: &Method) -> Result<Self, RequireError> {
        let id = || method.id.value.clone();
        match self {
            Self::Pass if method.scale.verdict => Ok(Self::Pass),
            Self::Pass => Err(RequireError::NoVerdict { method: id() }),
            _ if method.scale.verdict => Err(RequireError::Verdict { method: id() }),
            Self::Class(class) => {
                let none = || RequireError::NoClasses { method: id() };
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
            Self::Pass => *total >= method.scale.high,
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

    /// How far a total is from reaching it, in points of the scale; nought where it does. Where classes are taken from the rounded
    /// total the distance is that of the rounded one. `None` for a pass, and where there is no total or no such class.
    pub fn distance(&self, method: &Method, total: Option<&Exact>) -> Option<Exact> {
        let total = total?;
        let (has, asked) = match self {
            Self::Pass => return None,
            Self::Score(score) => (total.clone(), score),
            Self::Class(wanted) => {
                let classes = method.classes.as_ref()?;
                let (_, bound) = classes.bounds.iter().find(|(name, _)| name.eq_ignore_ascii_case(wanted))?;
                let scale = &method.scale;
                let has = if classes.of_rounded { total.round(scale.decimals, scale.rounding) } else { total.clone() };
                (has, &bound.value)
            }
        };
        Some((asked - &has).max(Exact::zero()))
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
