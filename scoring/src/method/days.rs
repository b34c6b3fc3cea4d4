//! From which day a method applies, and how a verdict is said of a device it does not bind yet.

use super::Rule;
use crate::text::Day;

/// The days of a method.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Days {
    /// First day of the rule.
    pub from: Option<Day>,
    /// It binds devices first supplied on this day or later.
    pub supplied_from: Option<Day>,
    /// Last day, as written.
    pub until: Option<String>,
    /// Where that is said.
    pub rule: Rule,
}

/// Whether the rule of a method binds a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// It does, or the method names no day.
    Binds,
    /// The device was first supplied before the day.
    Before(Day),
    /// The device may have been first supplied before the day.
    Open(Day),
}

impl Days {
    /// Whether the rule binds a device of which the first and the last day it may first have been supplied on are known,
    /// or not (`None`).
    pub fn standing(&self, earliest: Option<Day>, latest: Option<Day>) -> Standing {
        match self.supplied_from {
            Some(day) if latest.is_some_and(|l| l < day) => Standing::Before(day),
            Some(day) if earliest.is_none_or(|e| e < day) => Standing::Open(day),
            _ => Standing::Binds,
        }
    }
}

impl Standing {
    /// The day that decides; `None` where the rule binds.
    pub fn day(self) -> Option<Day> {
        match self {
            Self::Binds => None,
            Self::Before(day) | Self::Open(day) => Some(day),
        }
    }

    /// A verdict as it is said of the device: `would fail (applies to devices first supplied from 18 February 2027)`.
    ///
    /// ```
    /// use scoring::{method::Standing, text::Day};
    /// let day = Day::parse("2027-02-18").unwrap();
    /// let said = "would fail (applies to devices first supplied from 18 February 2027)";
    /// assert_eq!(Standing::Open(day).said("fail"), said);
    /// assert_eq!(Standing::Before(day).said("4.01"), "4.01 (applies to devices first supplied from 18 February 2027)");
    /// assert_eq!(Standing::Binds.said("fail"), "fail");
    /// ```
    pub fn said(self, verdict: &str) -> String {
        let Some(day) = self.day() else { return verdict.to_owned() };
        let would = if matches!(verdict, "pass" | "fail") { "would " } else { "" };
        format!("{would}{verdict} (applies to devices first supplied from {})", day.in_words())
    }

    /// Why the verdict is only what would be, in one sentence; empty where the rule binds.
    pub fn because(self) -> String {
        match self {
            Self::Binds => String::new(),
            Self::Before(day) => format!(
                "The rule applies to devices first supplied from {}; this one was first supplied before.",
                day.in_words()
            ),
            Self::Open(day) => format!(
                "The rule applies to devices first supplied from {}; the record does not say that this one was \
                 (`on market` under `device`).",
                day.in_words()
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Regulation (EU) 2023/1542, Article 96 (`read`): from 18 February 2027.
    #[rstest]
    #[case(Some("2027-02-18"), Some("2027-02-18"), false, true)]
    #[case(Some("2027-02-17"), Some("2027-02-17"), true, false)]
    #[case(None, None, false, false)]
    #[case(Some("2027-02-17"), Some("2027-02-18"), false, false)]
    #[case(Some("2028-01-01"), None, false, true)]
    #[case(None, Some("2026-01-01"), true, false)]
    fn days_around_the_day(
        #[case] earliest: Option<&str>,
        #[case] latest: Option<&str>,
        #[case] before: bool,
        #[case] binds: bool,
    ) {
        let day = |t: Option<&str>| t.map(|t| Day::parse(t).unwrap());
        let from = day(Some("2027-02-18"));
        let days = Days { from, supplied_from: from, until: None, rule: Rule::own("") };
        let found = days.standing(day(earliest), day(latest));
        assert_eq!((matches!(found, Standing::Before(_)), found == Standing::Binds), (before, binds));
        assert_eq!(found.because().is_empty(), binds);
    }
}
