//! Exact numbers for scores: ratios of integers of any size.
//!
//! Almost every ratio met in practice fits two machine words; those stay on a fast path with
//! checked arithmetic and are promoted to arbitrary size on overflow. Decimals appear only at the edges:
//! reading ([`Exact::parse`]) and showing ([`Exact::display`]).

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Div, Mul, Neg, Sub};
use std::str::FromStr;

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::{BigRational, Ratio};
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, ToPrimitive, Zero};

/// An exact rational number in lowest terms.
#[derive(Clone, Debug)]
pub struct Exact(Repr);

#[derive(Clone, Debug)]
enum Repr {
    Small(Ratio<i64>),
    Big(Box<BigRational>),
}

/// How a decimal is rounded when shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Rounding {
    /// Halves go up (towards +∞), the trade's usual rule.
    #[default]
    HalfUp,
    /// Halves go to the even neighbour.
    HalfEven,
    /// Always towards −∞.
    Down,
    /// Always towards +∞.
    Up,
}

impl Exact {
    /// Zero.
    pub fn zero() -> Self {
        Self::from(0)
    }

    /// One.
    pub fn one() -> Self {
        Self::from(1)
    }

    /// `numerator / denominator`; `None` when the denominator is zero.
    pub fn ratio(numerator: i64, denominator: i64) -> Option<Self> {
        if denominator == 0 {
            return None;
        }
        if numerator == i64::MIN || denominator == i64::MIN {
            return Some(Self::from_big(BigRational::new(numerator.into(), denominator.into())));
        }
        Some(Self(Repr::Small(Ratio::new(numerator, denominator))))
    }

    fn from_big(value: BigRational) -> Self {
        match (value.numer().to_i64(), value.denom().to_i64()) {
            (Some(n), Some(d)) if n != i64::MIN => Self(Repr::Small(Ratio::new_raw(n, d))),
            _ => Self(Repr::Big(Box::new(value))),
        }
    }

    fn to_big(&self) -> BigRational {
        match &self.0 {
            Repr::Small(r) => BigRational::new_raw((*r.numer()).into(), (*r.denom()).into()),
            Repr::Big(b) => (**b).clone(),
        }
    }

    /// Reads a plain decimal (`0.30`, `-2`, `.5`, at most 30 digits) or a fraction (`1/3`) exactly.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.trim();
        if let Some((n, d)) = text.split_once('/') {
            let (n, d) = (Self::decimal(n.trim())?, Self::decimal(d.trim())?);
            return n.checked_div(&d);
        }
        Self::decimal(text)
    }

    fn decimal(text: &str) -> Option<Self> {
        let (negative, digits) = match text.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let figures = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        // Eighteen figures fit a machine word.
        if (1..=18).contains(&(whole.len() + part.len())) && figures(whole) && figures(part) {
            let figure = |n: i64, b: u8| 10 * n + i64::from(b - b'0');
            let n = whole.bytes().chain(part.bytes()).fold(0, figure);
            let d = 10_i64.pow(u32::try_from(part.len()).ok()?);
            return Self::ratio(if negative { -n } else { n }, d);
        }
        let all = format!("{whole}{part}");
        if all.is_empty() || all.len() > 30 || !all.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let numerator = BigInt::from_str(&all).ok()?;
        let denominator = BigInt::from(10).pow(u32::try_from(part.len()).ok()?);
        let value = BigRational::new(numerator, denominator);
        Some(Self::from_big(if negative { -value } else { value }))
    }

    /// Quotient, `None` when dividing by zero.
    pub fn checked_div(&self, other: &Self) -> Option<Self> {
        if other.is_zero() {
            return None;
        }
        if let (Repr::Small(a), Repr::Small(b)) = (&self.0, &other.0)
            && let Some(r) = a.checked_div(b)
        {
            return Some(Self(Repr::Small(r)));
        }
        Some(Self::from_big(self.to_big() / other.to_big()))
    }

    /// Whether this is zero.
    pub fn is_zero(&self) -> bool {
        match &self.0 {
            Repr::Small(r) => r.is_zero(),
            Repr::Big(b) => b.is_zero(),
        }
    }

    /// Whether this is below zero.
    pub fn is_negative(&self) -> bool {
        match &self.0 {
            Repr::Small(r) => r.is_negative(),
            Repr::Big(b) => b.is_negative(),
        }
    }

    /// The decimal with `decimals` digits after the point, rounded once by `rounding`.
    pub fn display(&self, decimals: u8, rounding: Rounding) -> String {
        if let Some(text) = self.display_small(decimals, rounding) {
            return text;
        }
        let scaled = self.to_big() * BigRational::from(BigInt::from(10).pow(u32::from(decimals)));
        let (n, d) = (scaled.numer(), scaled.denom());
        let (floor, rest) = n.div_mod_floor(d);
        let twice: BigInt = &rest * 2;
        let up = match rounding {
            Rounding::Down => false,
            Rounding::Up => !rest.is_zero(),
            Rounding::HalfUp => twice >= *d,
            Rounding::HalfEven => match twice.cmp(d) {
                Ordering::Less => false,
                Ordering::Greater => true,
                Ordering::Equal => floor.is_odd(),
            },
        };
        let units = if up { floor + 1 } else { floor };
        let negative = units.is_negative();
        let mut digits = units.abs().to_string();
        let places = usize::from(decimals);
        if digits.len() <= places {
            digits = format!("{}{digits}", "0".repeat(places + 1 - digits.len()));
        }
        let (whole, part) = digits.split_at(digits.len() - places);
        let sign = if negative { "-" } else { "" };
        if places == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
    }

    /// [`Exact::display`] in machine words, where the value fits.
    fn display_small(&self, decimals: u8, rounding: Rounding) -> Option<String> {
        let Repr::Small(ratio) = &self.0 else { return None };
        let ten = 10_i64.checked_pow(u32::from(decimals))?;
        let (n, d) = (i64::checked_mul(*ratio.numer(), ten)?, *ratio.denom());
        let (floor, rest) = n.div_mod_floor(&d);
        let twice = i64::checked_mul(rest, 2)?;
        let up = match rounding {
            Rounding::Down => false,
            Rounding::Up => rest != 0,
            Rounding::HalfUp => twice >= d,
            Rounding::HalfEven => twice > d || twice == d && floor % 2 != 0,
        };
        let units = if up { floor + 1 } else { floor };
        let sign = if units < 0 { "-" } else { "" };
        let (whole, part) = (units.unsigned_abs() / ten.unsigned_abs(), units.unsigned_abs() % ten.unsigned_abs());
        let places = usize::from(decimals);
        Some(if places == 0 { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part:0places$}") })
    }

    /// The value rounded to `decimals` digits, still exact.
    pub fn round(&self, decimals: u8, rounding: Rounding) -> Self {
        Self::parse(&self.display(decimals, rounding)).unwrap_or_else(|| self.clone())
    }

    /// The shortest exact decimal where there is one of at most six digits after the point, else the fraction.
    pub fn plain(&self) -> String {
        if let Repr::Small(ratio) = &self.0 {
            let whole = |decimals: u8| 10_i64.pow(u32::from(decimals)) % ratio.denom() == 0;
            return match (0..=6).find(|d| whole(*d)) {
                Some(decimals) => self.display(decimals, Rounding::Down),
                None => self.to_string(),
            };
        }
        for decimals in 0..=6 {
            let text = self.display(decimals, Rounding::Down);
            if Self::parse(&text).as_ref() == Some(self) {
                return text;
            }
        }
        self.to_string()
    }

    /// The nearest float, for drawing only.
    pub fn to_f64(&self) -> f64 {
        self.to_big().to_f64().unwrap_or(f64::NAN)
    }
}

impl From<i64> for Exact {
    fn from(value: i64) -> Self {
        Self(Repr::Small(Ratio::from_integer(value)))
    }
}

/// The fraction: `5/2`, or `3` for a whole number.
impl fmt::Display for Exact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Repr::Small(r) => write!(f, "{r}"),
            Repr::Big(b) => write!(f, "{b}"),
        }
    }
}

macro_rules! operator {
    ($trait:ident, $method:ident, $checked:ident) => {
        impl $trait for &Exact {
            type Output = Exact;
            fn $method(self, other: &Exact) -> Exact {
                if let (Repr::Small(a), Repr::Small(b)) = (&self.0, &other.0)
                    && let Some(r) = a.$checked(b)
                {
                    return Exact(Repr::Small(r));
                }
                Exact::from_big(self.to_big().$method(other.to_big()))
            }
        }
        impl $trait for Exact {
            type Output = Exact;
            fn $method(self, other: Exact) -> Exact {
                (&self).$method(&other)
            }
        }
    };
}
operator!(Add, add, checked_add);
operator!(Sub, sub, checked_sub);
operator!(Mul, mul, checked_mul);

/// # Panics
/// On division by zero, as integers do; use [`Exact::checked_div`] where the divisor comes from a file.
impl Div for &Exact {
    type Output = Exact;
    fn div(self, other: &Exact) -> Exact {
        self.checked_div(other).expect("division by zero")
    }
}

impl Neg for &Exact {
    type Output = Exact;
    fn neg(self) -> Exact {
        &Exact::zero() - self
    }
}

impl PartialEq for Exact {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Exact {}
impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Exact {
    fn cmp(&self, other: &Self) -> Ordering {
        match (&self.0, &other.0) {
            // Widened cross multiplication cannot overflow: |a|, |b| < 2^63.
            (Repr::Small(a), Repr::Small(b)) => (i128::from(*a.numer()) * i128::from(*b.denom()))
                .cmp(&(i128::from(*b.numer()) * i128::from(*a.denom()))),
            _ => self.to_big().cmp(&other.to_big()),
        }
    }
}
impl std::hash::Hash for Exact {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        // Lowest terms and one representation per value make this agree with `Eq`.
        match &self.0 {
            Repr::Small(r) => (r.numer(), r.denom()).hash(state),
            Repr::Big(b) => (b.numer(), b.denom()).hash(state),
        }
    }
}

impl std::iter::Sum for Exact {
    fn sum<I: Iterator<Item = Exact>>(iter: I) -> Exact {
        iter.fold(Exact::zero(), |a, b| &a + &b)
    }
}

impl serde::Serialize for Exact {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl schemars::JsonSchema for Exact {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Exact".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "pattern": "^-?[0-9]+(/[0-9]+)?$",
            "description": "A whole number, or a fraction in lowest terms.",
        })
    }
}

impl<'de> serde::Deserialize<'de> for Exact {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Text;
        impl serde::de::Visitor<'_> for Text {
            type Value = Exact;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a decimal number such as 0.30 or a fraction such as 1/3")
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Exact, E> {
                Exact::parse(text).ok_or_else(|| E::invalid_value(serde::de::Unexpected::Str(text), &self))
            }
        }
        // Plain YAML scalars reach `deserialize_str` as raw text, so 0.10 arrives exact.
        deserializer.deserialize_str(Text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    #[rstest]
    // Ties just under a bound: arithmetic by hand.
    #[case("3.995", 2, Rounding::HalfUp, "4.00")]
    #[case("3.9949999", 2, Rounding::HalfUp, "3.99")]
    #[case("3.985", 2, Rounding::HalfEven, "3.98")]
    #[case("-0.5", 0, Rounding::HalfUp, "0")]
    #[case("-1.25", 1, Rounding::HalfUp, "-1.2")]
    #[case("0.04", 1, Rounding::Up, "0.1")]
    #[case("1/3", 3, Rounding::Down, "0.333")]
    fn shows(#[case] value: &str, #[case] decimals: u8, #[case] how: Rounding, #[case] shown: &str) {
        assert_eq!(Exact::parse(value).unwrap().display(decimals, how), shown);
    }

    #[rstest]
    #[case("")]
    #[case(".")]
    #[case("1e3")]
    #[case("1/0")]
    #[case("٣")]
    fn refuses(#[case] text: &str) {
        assert_eq!(Exact::parse(text), None);
    }

    fn big(n: i64, d: i64) -> BigRational {
        BigRational::new(n.into(), d.into())
    }

    proptest! {
        // The way of any size is the oracle for the way in machine words.
        #[test]
        fn shows_and_reads_alike_at_any_size(n in any::<i64>(), d in 1..i64::MAX, short in 1..2_000_i64, places in 0..9_u8, how in 0..4_usize) {
            let how = [Rounding::HalfUp, Rounding::HalfEven, Rounding::Down, Rounding::Up][how];
            for (n, d) in [(n, d), (n % 100_000, short), (n, 1), (n % 1_000, 200)] {
                let small = Exact::ratio(n, d).unwrap();
                let large = Exact(Repr::Big(Box::new(big(n, d))));
                prop_assert_eq!(small.display(places, how), large.display(places, how));
                prop_assert_eq!(small.plain(), large.plain());
                let text = small.display(places, Rounding::Down);
                let (numerator, denominator) = (text.replace('.', ""), BigInt::from(10).pow(u32::from(places)));
                let read = BigRational::new(BigInt::from_str(&numerator).unwrap(), denominator);
                prop_assert_eq!(Exact::parse(&text), (numerator.len() < 30).then(|| Exact::from_big(read)));
            }
        }

        // The oracle is num-rational's arbitrary-size ratio.
        #[test]
        fn agrees_with_arbitrary_size(a in any::<i64>(), b in 1..i64::MAX, c in any::<i64>(), d in 1..i64::MAX) {
            let (x, y) = (Exact::ratio(a, b).unwrap(), Exact::ratio(c, d).unwrap());
            let (p, q) = (big(a, b), big(c, d));
            prop_assert_eq!((&x + &y).to_big(), &p + &q);
            prop_assert_eq!((&x - &y).to_big(), &p - &q);
            prop_assert_eq!((&x * &y).to_big(), &p * &q);
            prop_assert_eq!(x.cmp(&y), p.cmp(&q));
            prop_assert_eq!(Exact::parse(&x.to_string()), if x.to_string().len() < 30 { Some(x) } else { Exact::parse(&x.to_string()) });
        }
    }
}
