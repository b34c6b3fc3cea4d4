//! Numbers with and without units, money, codes.

use crate::exact::Exact;
use crate::record::Money;
use crate::text::fields::Bad;

/// Most digits a number may have; enough for any price or count.
const MOST_DIGITS: usize = 12;

/// A plain decimal number of zero or more, at most 12 digits: `7`, `79.90`.
pub fn number(text: &str) -> Result<Exact, Bad> {
    plain(text).ok_or_else(|| bad(text, "a number", "write a plain number such as 7 or 79.90"))
}

/// A whole number of one or more.
pub fn count(text: &str) -> Result<Exact, Bad> {
    let whole = text.bytes().all(|b| b.is_ascii_digit());
    match plain(text) {
        Some(value) if whole && !value.is_zero() => Ok(value),
        _ => Err(bad(text, "a count", "write a whole number of 1 or more, `unknown`, or a span `3..5`")),
    }
}

/// Years: `7`, `7 years`, `1 year`.
pub fn years(text: &str) -> Result<Exact, Bad> {
    unit(text, &["", "years", "year", "y", "a"])
        .ok_or_else(|| bad(text, "a number of years", "write years: `7` or `7 years`"))
}

/// Working days: `3`, `3 working days`, `1 working day`, `3 days`.
pub fn working_days(text: &str) -> Result<Exact, Bad> {
    unit(text, &["", "working days", "working day", "days", "day"])
        .ok_or_else(|| bad(text, "a number of working days", "write working days: `3 working days`"))
}

/// Percent, 0 to 100: `83 %`, `83`.
pub fn percent(text: &str) -> Result<Exact, Bad> {
    match unit(text, &["", "%", "percent"]) {
        Some(value) if value <= Exact::from(100) => Ok(value),
        _ => Err(bad(text, "a percentage", "write percent from 0 to 100: `83 %`")),
    }
}

/// A weight in grams: `174 g`, `2.1 kg`.
pub fn grams(text: &str) -> Result<Exact, Bad> {
    let kilograms = unit(text, &["kg", "kilograms", "kilogram"]).map(|v| &v * &Exact::from(1000));
    match kilograms.or_else(|| unit(text, &["g", "grams", "gram"])) {
        Some(value) if !value.is_zero() => Ok(value),
        _ => Err(bad(text, "a weight", "write grams or kilograms: `174 g`, `2.1 kg`")),
    }
}

/// A mark from 0 to 10.
pub fn mark(text: &str) -> Result<Exact, Bad> {
    match plain(text) {
        Some(value) if value <= Exact::from(10) => Ok(value),
        _ => Err(bad(text, "a mark", "write a number from 0 to 10")),
    }
}

/// Operations or cycles: `225000`, `225 000`, `225000 cycles`.
pub fn operations(text: &str) -> Result<Exact, Bad> {
    let joined: String = text.split_whitespace().collect();
    unit(&joined, &["", "cycles", "operations", "fullcycles"])
        .ok_or_else(|| bad(text, "a number of operations", "write a number such as 225000"))
}

/// An amount and an ISO 4217 currency code: `79 EUR`, `79.90 EUR`, `EUR 79`.
pub fn money(text: &str) -> Result<Money, Bad> {
    let wrong = || bad(text, "a price", "write an amount and a currency code: `79 EUR`, `79.90 EUR`");
    let (first, second) = text.split_once(' ').ok_or_else(wrong)?;
    let (first, second) = (first.trim(), second.trim());
    let (amount, currency) = if plain(first).is_some() { (first, second) } else { (second, first) };
    let amount = plain(amount).ok_or_else(wrong)?;
    let cents = amount.round(3, crate::exact::Rounding::Down) == amount;
    if currency.len() != 3 || !currency.bytes().all(|b| b.is_ascii_alphabetic()) || !cents {
        return Err(wrong());
    }
    Ok(Money { currency: currency.to_ascii_uppercase(), amount })
}

/// A protection code after IEC 60529 such as `IP67`: IP, two digits or X, perhaps a letter; or several for one enclosure,
/// `IP66/IP68`. Upper case.
pub fn ingress(text: &str) -> Result<String, Bad> {
    let code: String = text.chars().filter(|c| !c.is_whitespace()).collect::<String>().to_ascii_uppercase();
    let one = |code: &str| {
        let b = code.as_bytes();
        (2..=3).contains(&b.len())
            && matches!(b[0], b'0'..=b'6' | b'X')
            && matches!(b[1], b'0'..=b'9' | b'X')
            && b.get(2).is_none_or(u8::is_ascii_alphanumeric)
    };
    // The letters IP may be left out behind the stroke: `IP66/68`.
    let codes: Vec<&str> = code.split('/').collect();
    let rest = codes.iter().map(|c| c.strip_prefix("IP").unwrap_or(c));
    if code.starts_with("IP") && rest.clone().all(one) {
        return Ok(rest.map(|c| format!("IP{c}")).collect::<Vec<_>>().join("/"));
    }
    Err(bad(text, "a protection code", "write a code such as `IP67`, or `IP66/IP68` where two are printed"))
}

/// What an IP code says of dust (0) or water (1), as a number that is better when higher. `X` says nothing was tested and
/// counts as 0. Of several codes the best counts, for each the one it was tested for.
///
/// Of water: up to 6 a numeral covers those below it, 8 covers 7 (memory high). 9, jets of hot water, is no higher rung: it
/// says nothing of immersion (7, 8) unless the enclosure is marked doubly, `IP68/IP69`, so alone it counts as 4, splashing
/// (memory medium).
pub fn ingress_digit(code: &str, at: usize) -> u8 {
    let of = |code: &str| {
        let digit = code.strip_prefix("IP").unwrap_or(code).chars().nth(at).and_then(|c| c.to_digit(10)).unwrap_or(0);
        if at == 1 && digit == 9 { 4 } else { u8::try_from(digit).unwrap_or(0) }
    };
    code.split('/').map(of).max().unwrap_or(0)
}

fn bad(text: &str, what: &str, mend: &str) -> Bad {
    let shown: String = text.chars().take(40).collect();
    Bad::new(0..text.len(), format!("`{shown}` is not {what}")).mend(mend)
}

pub(crate) fn plain(text: &str) -> Option<Exact> {
    let digits = |b: u8| b.is_ascii_digit() || b == b'.';
    if text.len() > MOST_DIGITS + 1 || !text.bytes().all(digits) {
        return None;
    }
    Exact::parse(text)
}

/// A number followed by one of some units, with or without a space between.
pub(crate) fn unit(text: &str, units: &[&str]) -> Option<Exact> {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let (value, unit) = text.split_at(end);
    let unit = unit.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    if units.contains(&&*unit) { plain(value) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("79 EUR", "79", "EUR")]
    #[case("79.90 eur", "79.9", "EUR")]
    #[case("CHF  0.05", "0.05", "CHF")]
    fn reads_money(#[case] text: &str, #[case] amount: &str, #[case] currency: &str) {
        let money = money(text).unwrap();
        assert_eq!((&*money.amount.plain(), &*money.currency), (amount, currency));
    }

    #[rstest]
    #[case("79")]
    #[case("79EUR")]
    #[case("79 euros")]
    #[case("-79 EUR")]
    #[case("79,90 EUR")]
    #[case("79.9999 EUR")]
    #[case("1e3 EUR")]
    #[case("EUR")]
    #[case("79 EUR net")]
    #[case("99999999999999999999 EUR")]
    fn refuses_other_money(#[case] text: &str) {
        assert!(money(text).is_err());
    }

    #[rstest]
    #[case(years("7 years"), Some("7"))]
    #[case(years("7years"), Some("7"))]
    #[case(years("7 months"), None)]
    #[case(years("seven"), None)]
    #[case(working_days("3 working days"), Some("3"))]
    #[case(working_days("3 weeks"), None)]
    #[case(percent("83 %"), Some("83"))]
    #[case(percent("183 %"), None)]
    #[case(mark("7.7"), Some("7.7"))]
    #[case(mark("10.1"), None)]
    #[case(mark("-1"), None)]
    #[case(count("12"), Some("12"))]
    #[case(count("0"), None)]
    #[case(count("1.5"), None)]
    #[case(number("."), None)]
    #[case(number("1.2.3"), None)]
    #[case(number("٣"), None)]
    #[case(operations("225 000"), Some("225000"))]
    fn reads_units(#[case] value: Result<Exact, Bad>, #[case] wanted: Option<&str>) {
        assert_eq!(value.ok().map(|v| v.plain()), wanted.map(str::to_owned));
    }

    /// Codes after IEC 60529 (memory high): first digit 0 to 6, second 0 to 9, X where not tested.
    #[rstest]
    #[case("ip67", Some("IP67"))]
    #[case("IPX4", Some("IPX4"))]
    #[case("IP 69K", Some("IP69K"))]
    #[case("IP77", None)]
    #[case("67", None)]
    #[case("IP6", None)]
    #[case("IP66 / IP68", Some("IP66/IP68"))]
    #[case("IP68/69K", Some("IP68/IP69K"))]
    #[case("68/IP69", None)]
    #[case("IP68/", None)]
    fn reads_codes(#[case] text: &str, #[case] code: Option<&str>) {
        assert_eq!(ingress(text).ok().as_deref(), code);
    }

    /// IEC 60529: 7 is immersion, 8 continuous immersion, 9 high pressure and temperature jets; 9 does not imply 7 or 8 unless
    /// both are marked (memory medium).
    #[rstest]
    #[case("IP67", 7)]
    #[case("IP68", 8)]
    #[case("IP69", 4)]
    #[case("IP69K", 4)]
    #[case("IP68/IP69", 8)]
    #[case("IP66/IP67", 7)]
    #[case("IP6X", 0)]
    fn water_is_a_ladder_of_immersion(#[case] code: &str, #[case] wanted: u8) {
        assert_eq!((ingress_digit(code, 0), ingress_digit(code, 1)), (6, wanted));
    }
}
