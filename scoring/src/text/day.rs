//! Days of the calendar.

use std::fmt;

use super::fields::Bad;

/// A day that exists.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(jiff::civil::Date);

impl Day {
    /// Reads `2026-03-02`.
    ///
    /// # Errors
    /// A text of another form, and a day the calendar does not have.
    ///
    /// ```
    /// use scoring::text::Day;
    /// assert_eq!(Day::parse("2027-02-18").unwrap().in_words(), "18 February 2027");
    /// assert!(Day::parse("2027-02-29").is_err() && Day::parse("18 February").is_err());
    /// ```
    pub fn parse(text: &str) -> Result<Self, Bad> {
        let parts: Vec<&str> = text.split('-').collect();
        let shaped = parts.len() == 3
            && parts.iter().zip([4, 2, 2]).all(|(p, n)| p.len() == n && p.bytes().all(|b| b.is_ascii_digit()));
        let shown: String = text.chars().take(40).collect();
        if !shaped {
            return Err(Bad::new(0..text.len(), format!("`{shown}` is not a date"))
                .mend("write year, month and day: `2026-03-02`"));
        }
        text.parse().map(Self).map_err(|_| {
            Bad::new(0..text.len(), format!("the date {shown} does not exist"))
                .code("no-such-date")
                .mend("write a day of the calendar, year, month and day: `2026-03-02`")
        })
    }

    /// As read in a sentence: `18 February 2027`.
    pub fn in_words(self) -> String {
        self.0.strftime("%-d %B %Y").to_string()
    }
}

impl fmt::Display for Day {
    /// `2027-02-18`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}
