//! Times in footage, durations, dates.

use super::numbers::unit;
use crate::exact::Exact;
use crate::record::{Moment, Timing};
use crate::text::fields::Bad;

/// Longest time in footage, seconds: 99 hours.
const LONGEST: u32 = 99 * 3600 + 59 * 60 + 59;

/// A time in the footage in seconds: `0:41`, `1:02:03`.
pub fn time(text: &str) -> Result<u32, Bad> {
    let wrong = || {
        let shown: String = text.chars().take(40).collect();
        Bad::new(0..text.len(), format!("`{shown}` is not a time in the footage"))
            .mend("write minutes and seconds `0:41`, or hours too `1:02:03`; seconds and minutes below 60")
    };
    let fields: Vec<&str> = text.trim().split(':').collect();
    if !(2..=3).contains(&fields.len()) {
        return Err(wrong());
    }
    let mut seconds = 0_u32;
    for (i, field) in fields.iter().enumerate() {
        let two = field.len() == 2 || (i == 0 && (1..=3).contains(&field.len()));
        if !two || !field.bytes().all(|b| b.is_ascii_digit()) {
            return Err(wrong());
        }
        let value: u32 = field.parse().map_err(|_| wrong())?;
        // The leading field may be larger: 75:30 is a way to write 1:15:30.
        if i > 0 && value > 59 {
            return Err(wrong());
        }
        seconds = seconds * 60 + value;
    }
    if seconds > LONGEST { Err(wrong()) } else { Ok(seconds) }
}

/// A time, a span of times `1:10..1:18`, or where to look: `about 4:10`, `within 4:00..4:30`.
pub fn moment(text: &str) -> Result<Moment, Bad> {
    let text_ = text.trim_start();
    let lead = text.len() - text_.len();
    for (word, timing) in [("about ", Timing::About), ("within ", Timing::Within)] {
        if !text_.get(..word.len()).is_some_and(|head| head.eq_ignore_ascii_case(word)) {
            continue;
        }
        let at = lead + word.len();
        let (from, to) = time_span(&text[at..]).map_err(|bad| bad.shifted(at))?;
        if (timing == Timing::About) != (from == to) {
            return Err(Bad::new(0..text.len(), format!("`{}` is not a time in the footage", text.trim()))
                .mend("write one time behind `about`, `about 4:10`, and two behind `within`, `within 4:00..4:30`"));
        }
        return Ok(Moment { from, to, timing });
    }
    let (from, to) = time_span(text)?;
    Ok(Moment { from, to, timing: Timing::Seen })
}

fn time_span(text: &str) -> Result<(u32, u32), Bad> {
    let Some((start, end)) = text.split_once("..") else {
        return time(text).map(|t| (t, t)).map_err(|bad| match dashed(text) {
            Some((from, to)) => bad.mend(format!("write two points between the times: `{from}..{to}`")),
            None => bad,
        });
    };
    let second = start.len() + 2;
    let (from, to) = (time(start)?, time(end).map_err(|bad| bad.shifted(second))?);
    if from > to {
        return Err(Bad::new(0..text.len(), format!("`{text}` ends before it begins")).mend(format!(
            "write the earlier time first: `{}..{}`",
            end.trim(),
            start.trim()
        )));
    }
    Ok((from, to))
}

/// Two times with another sign between them than two points: `2:00-3:53`, `2:00 to 3:53`.
fn dashed(text: &str) -> Option<(&str, &str)> {
    let signs = [" - ", "-", "\u{2013}", "\u{2014}", "\u{2026}", " to ", "/", ","];
    signs.iter().find_map(|sign| {
        let (from, to) = text.split_once(sign)?;
        let (from, to) = (from.trim(), to.trim());
        (time(from).ok()? <= time(to).ok()?).then_some((from, to))
    })
}

/// A duration in seconds: `35 s`, `2 min`, `1 h`.
pub fn duration(text: &str) -> Result<Exact, Bad> {
    let scales: [(&[&str], i64); 3] = [
        (&["s", "sec", "second", "seconds"], 1),
        (&["min", "mins", "minute", "minutes"], 60),
        (&["h", "hour", "hours"], 3600),
    ];
    for (units, scale) in scales {
        if let Some(value) = unit(text, units) {
            return Ok(&value * &Exact::from(scale));
        }
    }
    let shown: String = text.chars().take(40).collect();
    Err(Bad::new(0..text.len(), format!("`{shown}` is not a duration"))
        .mend("write a number and s, min or h: `35 s`, `4 min`"))
}

/// A duration or a span of durations in seconds: `35 s`, `30..40 s`.
pub fn duration_span(text: &str) -> Result<(Exact, Exact), Bad> {
    use crate::record::Known;
    match super::known::known_number(text, &duration)? {
        Known::Is(value) => Ok((value.clone(), value)),
        Known::Between(Some(low), Some(high)) => Ok((low, high)),
        _ => Err(Bad::new(0..text.len(), format!("`{text}` is not a duration or a span of durations"))
            .mend("write `35 s`, or a span `30..40 s`; leave it out if nobody measured it")),
    }
}

/// When something was released: a year, a month or a day, `2026`, `2026-03`, `2026-03-02`. As written; texts sort as times do.
pub fn release(text: &str) -> Result<String, Bad> {
    let whole = match text.len() {
        4 => format!("{text}-01-01"),
        7 => format!("{text}-01"),
        _ => text.to_owned(),
    };
    date(&whole).map(|_| text.to_owned()).map_err(|bad| {
        Bad { range: 0..text.len(), ..bad }.mend("write a year, a month or a day: `2026`, `2026-03`, `2026-03-02`")
    })
}

/// A date that exists: `2026-03-02`. As written.
pub fn date(text: &str) -> Result<String, Bad> {
    let parts: Vec<&str> = text.split('-').collect();
    let shaped = parts.len() == 3
        && parts.iter().zip([4, 2, 2]).all(|(p, n)| p.len() == n && p.bytes().all(|b| b.is_ascii_digit()));
    let shown: String = text.chars().take(40).collect();
    if !shaped {
        return Err(
            Bad::new(0..text.len(), format!("`{shown}` is not a date")).mend("write year, month and day: `2026-03-02`")
        );
    }
    match text.parse::<jiff::civil::Date>() {
        Ok(_) => Ok(text.to_owned()),
        Err(_) => Err(Bad::new(0..text.len(), format!("the date {shown} does not exist"))
            .code("no-such-date")
            .mend("write a day of the calendar, year, month and day: `2026-03-02`")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("0:41", Some((41, 41)))]
    #[case("1:02:03", Some((3723, 3723)))]
    #[case("75:30", Some((4530, 4530)))]
    #[case("1:10..1:18", Some((70, 78)))]
    #[case("1:10 .. 1:10", Some((70, 70)))]
    #[case("41", None)]
    #[case("0:5", None)]
    #[case("0:61", None)]
    #[case("1:75:00", None)]
    #[case("1:2:3:4", None)]
    #[case("-1:20", None)]
    #[case("1:18..1:10", None)]
    #[case("1:10..", None)]
    #[case("999:59:59", None)]
    #[case("::", None)]
    #[case("é:00", None)]
    fn reads_times(#[case] text: &str, #[case] seconds: Option<(u32, u32)>) {
        assert_eq!(time_span(text).ok(), seconds);
    }

    #[rstest]
    #[case("about 4:10", Some((250, 250, Timing::About)))]
    #[case("Within 4:00..4:30", Some((240, 270, Timing::Within)))]
    #[case("4:00..4:30", Some((240, 270, Timing::Seen)))]
    #[case("about 4:10..4:30", None)]
    #[case("within 4:10", None)]
    #[case("about", None)]
    #[case("about noon", None)]
    fn reads_moments(#[case] text: &str, #[case] wanted: Option<(u32, u32, Timing)>) {
        let read = moment(text).ok();
        assert_eq!(read.map(|m| (m.from, m.to, m.timing)), wanted);
        // A place to look is no duration.
        assert_eq!(read.and_then(|m| m.lasts()), (text == "4:00..4:30").then_some(30));
    }

    #[rstest]
    #[case("35 s", Some(("35", "35")))]
    #[case("2min", Some(("120", "120")))]
    #[case("30..40 s", Some(("30", "40")))]
    #[case("1.5 h", Some(("5400", "5400")))]
    #[case("90 s..2 min", Some(("90", "120")))]
    #[case("4", None)]
    #[case("4 fortnights", None)]
    #[case("unknown", None)]
    #[case("40..30 s", None)]
    fn reads_durations(#[case] text: &str, #[case] seconds: Option<(&str, &str)>) {
        let read = duration_span(text).ok().map(|(a, b)| (a.plain(), b.plain()));
        assert_eq!(read, seconds.map(|(a, b)| (a.to_owned(), b.to_owned())));
    }

    #[rstest]
    #[case("2026-03-02", "")]
    #[case("2024-02-29", "")]
    #[case("2026-02-29", "no-such-date")]
    #[case("2026-13-01", "no-such-date")]
    #[case("2.3.2026", "wrong-value")]
    #[case("2026-3-2", "wrong-value")]
    #[case("yesterday", "wrong-value")]
    fn dates_exist(#[case] text: &str, #[case] code: &str) {
        assert_eq!(date(text).err().map_or("", |b| b.code), code);
    }

    /// What the mend says to write is a span.
    #[rstest]
    #[case("3:10..2:50", "2:50..3:10")]
    #[case(" 1:02:03 .. 0:41", "0:41..1:02:03")]
    fn a_span_turned_round_is_put_right(#[case] bad: &str, #[case] good: &str) {
        let mend = moment(bad).expect_err("it ends before it begins").mend.expect("a mend");
        assert_eq!(mend, format!("write the earlier time first: `{good}`"));
        assert!(moment(good).is_ok());
    }
}
