//! Single facts, a row each: what the maker promises, and figures of the device that no bench shows.
//!
//! A row says all there is to say of a fact: where it stands in a record and in a support table, what it holds, the measure
//! that reads it, what asks for it, and what a change of it is called. Fields, schema, reading, joining of tables,
//! questions, evidence, changes and `new` go through the rows, so a new fact is a row here and its measure is read.

use super::Words;
use super::class::Access;
use crate::text::fields::Shape;

fn access() -> Vec<&'static str> {
    Access::ALL.iter().map(|w| w.word()).collect()
}

fn pairings() -> Vec<&'static str> {
    [vec!["not needed"], access()].concat()
}

const ACCESS: &Shape = &Shape::Fact(&Shape::Words(access));
const INTERFACE: &Shape =
    &Shape::Fact(&Shape::Words(|| vec!["standard part", "standard interface", "non-standard interface"]));
const SCOPE: &Shape = &Shape::Fact(&Shape::Words(|| vec!["comprehensive", "basic", "none"]));
const DIAGNOSIS: &Shape = &Shape::Fact(&Shape::Words(|| {
    vec!["intuitive signal", "public codes", "public interface", "proprietary interface", "none"]
}));
const DATA: &Shape = &Shape::Fact(&Shape::Words(|| vec!["built in", "on request", "none"]));
const RESET: &Shape = &Shape::Fact(&Shape::Words(|| vec!["integrated", "external", "service only", "none"]));
const COST: &Shape = &Shape::Fact(&Shape::Words(|| vec!["free", "fee"]));
const PAIRING: &Shape = &Shape::Fact(&Shape::Words(pairings));
/// An amount of money.
pub const MONEY: &Shape = &Shape::Fact(&Shape::Form("an amount and an ISO 4217 currency: `79 EUR`"));
const YEARS: &Shape = &Shape::Fact(&Shape::Form("years: `7` or `7 years`"));
const DAYS: &Shape = &Shape::Fact(&Shape::Form("working days: `3 working days`"));
const PERCENT: &Shape = &Shape::Fact(&Shape::Form("percent: `83 %`"));
const YES_NO: &Shape = &Shape::Fact(&Shape::YesNo);
const NUMBER: &Shape = &Shape::Fact(&Shape::Number);

/// Where a fact stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Of {
    /// An entry of `support: spare parts`.
    Part,
    /// `support: information`.
    Information,
    /// `support`.
    Support,
    /// `device: battery`.
    Battery,
    /// `device: endurance`.
    Endurance,
    /// `device: ingress`, which holds two of them in one code.
    Ingress,
}

/// What a fact holds. Words are best first; of numbers more is better unless it says otherwise.
#[derive(Clone, Copy, Debug)]
pub enum Holds {
    /// A word of those of a shape; second: what one is called in messages, with its article.
    Words(&'static Shape, &'static str),
    /// Yes, which is better, or no.
    YesNo,
    /// Years.
    Years,
    /// Working days, fewer is better.
    Days,
    /// Percent, 0 to 100.
    Percent,
    /// A number of things, in this unit.
    Count(&'static str),
    /// An amount of money in the record; elsewhere its percent of the device's price, fewer is better.
    Price,
    /// A digit of the protection code: which, and the highest that is a rung of its own.
    Digit(usize, i64),
}

/// One fact.
#[derive(Clone, Copy, Debug)]
pub struct PromiseRow {
    /// Where it stands.
    pub of: Of,
    /// Its field there.
    pub field: &'static str,
    /// What it is, in one line, for whoever writes a record.
    pub doc: &'static str,
    /// Its column in support tables; empty: tables don't have it.
    pub column: &'static str,
    /// What it holds.
    pub holds: Holds,
    /// The measure that reads it and nothing else, by its name in method files; empty where only others read it.
    pub measure: &'static str,
    /// That measure in one line.
    pub meaning: &'static str,
    /// What asks for it; `{part}` stands for the spare parts asked about.
    pub question: &'static str,
    /// What a change of it is called; `{to}` stands for what it becomes, `{part}` for the part.
    pub change: &'static str,
}

macro_rules! promises {
    ($($(#[doc = $doc:literal])+ $name:ident = $row:expr;)+) => {
        /// A single fact: a promise of the maker, or a figure of the device. Those of a spare part come first.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Promise { $($(#[doc = $doc])+ $name),+ }

        impl Promise {
            /// All of them, in the order in which they are asked for.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];
        }

        /// The rows, in the order of [`Promise::ALL`].
        pub static ROWS: &[PromiseRow] = &[$($row),+];
    };
}

promises! {
    /// Who can have a spare part.
    To = PromiseRow {
        of: Of::Part, field: "to", column: "to", holds: Holds::Words(ACCESS, "a target group"),
        doc: "Who can have the spare part.",
        measure: "spare part to", meaning: "Spare part offered to.",
        question: "To whom is {part} offered?",
        change: "offer {part} as a spare to anyone",
    };
    /// Years a spare part is available.
    Years = PromiseRow {
        of: Of::Part, field: "years", column: "years", holds: Holds::Years,
        doc: "Years of availability after the last unit is sold.",
        measure: "spare part years", meaning: "Years a spare part is available.",
        question: "For how many years is {part} available?",
        change: "keep {part} on offer for {to} years",
    };
    /// Working days to the delivery of a spare part.
    Delivery = PromiseRow {
        of: Of::Part, field: "delivery", column: "delivery", holds: Holds::Days,
        doc: "Working days to delivery of the spare part.",
        measure: "spare part delivery", meaning: "Delivery of a spare part, working days.",
        question: "Within how many working days is {part} delivered?",
        change: "deliver {part} within {to} working days",
    };
    /// Price of a spare part.
    Price = PromiseRow {
        of: Of::Part, field: "price", column: "price", holds: Holds::Price,
        doc: "Price of the spare part.",
        measure: "spare part price share",
        meaning: "Price of a spare part as a share of the device's price, percent.",
        question: "What does {part} cost, as a share of the device's price?",
        change: "sell {part} at {to} % of the device's price",
    };
    /// Whether that price is published.
    PricePublished = PromiseRow {
        of: Of::Part, field: "price published", column: "price published", holds: Holds::YesNo,
        doc: "The price is published.",
        measure: "spare part price published", meaning: "Whether the price is published.",
        question: "Is the price of {part} published?",
        change: "publish the price of {part}",
    };
    /// How a spare part is joined to the rest.
    Interface = PromiseRow {
        of: Of::Part, field: "interface", column: "interface", holds: Holds::Words(INTERFACE, "an interface"),
        doc: "How the spare part is joined to the rest.",
        measure: "spare part interface", meaning: "Interface of a spare part.",
        question: "Does {part} have a standard interface?",
        change: "interface of {part}: {to}",
    };
    /// Who gets access to software pairing.
    Pairing = PromiseRow {
        of: Of::Part, field: "pairing", column: "pairing", holds: Holds::Words(PAIRING, "access to pairing"),
        doc: "Who gets access to software pairing.",
        measure: "pairing access", meaning: "Who has access to pairing, for parts that need it.",
        question: "Who gets access to the software pairing of {part}?",
        change: "pairing of {part}: {to}",
    };
    /// Who gets repair information.
    InformationTo = PromiseRow {
        of: Of::Information, field: "to", column: "information to", holds: Holds::Words(ACCESS, "a target group"),
        doc: "Who can have repair information.",
        measure: "information to", meaning: "Who gets repair information.",
        question: "Who gets repair information?",
        change: "give repair information to anyone",
    };
    /// What repair information costs.
    InformationCost = PromiseRow {
        of: Of::Information, field: "cost", column: "information cost", holds: Holds::Words(COST, "a cost"),
        doc: "free or fee.",
        measure: "", meaning: "",
        question: "Is repair information free, or is there a fee?",
        change: "give repair information free of charge",
    };
    /// How much repair information holds.
    InformationScope = PromiseRow {
        of: Of::Information, field: "scope", column: "information scope", holds: Holds::Words(SCOPE, "a scope"),
        doc: "How much it holds.",
        measure: "information scope", meaning: "How much repair information holds.",
        question: "How much does the repair information hold?",
        change: "repair information: {to}",
    };
    /// Years of operating-system updates.
    Updates = PromiseRow {
        of: Of::Support, field: "updates", column: "updates", holds: Holds::Years,
        doc: "Years of operating-system updates.",
        measure: "update years", meaning: "Years of operating-system updates.",
        question: "For how many years are operating-system updates promised?",
        change: "{to} years of operating-system updates",
    };
    /// Years of security updates.
    SecurityUpdates = PromiseRow {
        of: Of::Support, field: "security updates", column: "security updates", holds: Holds::Years,
        doc: "Years of security updates.",
        measure: "security update years", meaning: "Years of security updates.",
        question: "For how many years are security updates promised?",
        change: "{to} years of security updates",
    };
    /// Diagnostic support and interfaces.
    Diagnosis = PromiseRow {
        of: Of::Support, field: "diagnosis", column: "diagnosis",
        holds: Holds::Words(DIAGNOSIS, "a sort of diagnosis"),
        doc: "Diagnostic support and interfaces.",
        measure: "diagnosis", meaning: "Diagnostic support and interfaces.",
        question: "How can a fault be diagnosed?",
        change: "diagnosis: {to}",
    };
    /// Return options.
    Returns = PromiseRow {
        of: Of::Support, field: "return options", column: "return options",
        holds: Holds::Words(SCOPE, "a sort of return options"),
        doc: "Return options.",
        measure: "return options", meaning: "Return options.",
        question: "What does the maker offer for returned devices?",
        change: "return options: {to}",
    };
    /// Data transfer and deletion.
    Data = PromiseRow {
        of: Of::Support, field: "data transfer and deletion", column: "data transfer and deletion",
        holds: Holds::Words(DATA, "a way of data transfer and deletion"),
        doc: "Data transfer and deletion.",
        measure: "data transfer and deletion", meaning: "Data transfer and deletion.",
        question: "How can data be moved and deleted?",
        change: "data transfer and deletion: {to}",
    };
    /// Password and factory reset.
    Reset = PromiseRow {
        of: Of::Support, field: "reset", column: "reset", holds: Holds::Words(RESET, "a sort of reset"),
        doc: "Password and factory reset.",
        measure: "reset", meaning: "Password and factory reset.",
        question: "How can passwords and settings be reset?",
        change: "reset: {to}",
    };
    /// Full cycles to 80 % of the battery's capacity.
    BatteryCycles = PromiseRow {
        of: Of::Battery, field: "cycles", column: "", holds: Holds::Count("cycles"),
        doc: "Full cycles to 80 % of capacity.",
        measure: "battery cycles", meaning: "Battery endurance, full cycles to 80 %.",
        question: "After how many full cycles is 80 % of the battery's capacity left?",
        change: "{to} full cycles to 80 % of capacity",
    };
    /// Capacity left after 500 cycles.
    Capacity500 = PromiseRow {
        of: Of::Battery, field: "capacity after 500 cycles", column: "", holds: Holds::Percent,
        doc: "Percent of capacity left.",
        measure: "capacity after 500 cycles", meaning: "Capacity after 500 cycles, percent.",
        question: "How much capacity is left after 500 cycles, in percent?",
        change: "{to} % of capacity after 500 cycles",
    };
    /// Capacity left after 1 000 cycles.
    Capacity1000 = PromiseRow {
        of: Of::Battery, field: "capacity after 1000 cycles", column: "", holds: Holds::Percent,
        doc: "Percent of capacity left.",
        measure: "capacity after 1000 cycles", meaning: "Capacity after 1 000 cycles, percent.",
        question: "How much capacity is left after 1 000 cycles, in percent?",
        change: "{to} % of capacity after 1 000 cycles",
    };
    /// Endurance of the power key.
    PowerKey = PromiseRow {
        of: Of::Endurance, field: "power key", column: "", holds: Holds::Count("operations"),
        doc: "Operations the power key survives.",
        measure: "power key endurance", meaning: "Endurance of the power key, operations.",
        question: "How many operations does the power key endure?",
        change: "{to} operations of the power key",
    };
    /// Endurance of the volume keys.
    VolumeKeys = PromiseRow {
        of: Of::Endurance, field: "volume keys", column: "", holds: Holds::Count("operations"),
        doc: "Operations the volume keys survive.",
        measure: "volume keys endurance", meaning: "Endurance of the volume keys, operations.",
        question: "How many operations do the volume keys endure?",
        change: "{to} operations of the volume keys",
    };
    /// Endurance of the charging port.
    PortEndurance = PromiseRow {
        of: Of::Endurance, field: "charging port", column: "", holds: Holds::Count("operations"),
        doc: "Cycles the charging port survives.",
        measure: "charging port endurance", meaning: "Endurance of the charging port, operations.",
        question: "How many operations does the charging port endure?",
        change: "{to} operations of the charging port",
    };
    /// Protection against dust. Code digits run to 6 in IEC 60529, from memory, high confidence.
    IngressDust = PromiseRow {
        of: Of::Ingress, field: "ingress", column: "", holds: Holds::Digit(0, 6),
        doc: "Protection code such as IP67.",
        measure: "ingress dust", meaning: "First digit of the ingress code (dust).",
        question: "Which dust protection does the device have (digit of its IP code)?",
        change: "protection against dust of code digit {to}",
    };
    /// Protection against water. 9 is no rung above 8 (see `record::forms::numbers::ingress_digit`).
    IngressWater = PromiseRow {
        of: Of::Ingress, field: "ingress", column: "", holds: Holds::Digit(1, 8),
        doc: "Protection code such as IP67.",
        measure: "ingress water", meaning: "Second digit of the ingress code (water).",
        question: "Which water protection does the device have (digit of its IP code)?",
        change: "protection against water of code digit {to}",
    };
}

impl Holds {
    /// What may stand in its field.
    pub const fn shape(self) -> &'static Shape {
        match self {
            Self::Words(shape, _) => shape,
            Self::YesNo => YES_NO,
            Self::Years => YEARS,
            Self::Days => DAYS,
            Self::Percent => PERCENT,
            Self::Count(_) | Self::Digit(..) => NUMBER,
            Self::Price => MONEY,
        }
    }

    /// The words, best first; empty for numbers.
    pub fn words(self) -> Vec<&'static str> {
        match self {
            Self::Words(Shape::Fact(Shape::Words(words)), _) => words(),
            Self::YesNo => vec!["yes", "no"],
            _ => Vec::new(),
        }
    }

    /// The unit of its numbers, where they stand beside others of their kind.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Years => "years",
            Self::Days => "working days",
            Self::Percent | Self::Price => "%",
            Self::Count(unit) => unit,
            Self::Digit(..) => "code digit",
            Self::Words(..) | Self::YesNo => "",
        }
    }

    /// What is wanted where something else stands, with its article.
    pub fn wanted(self) -> &'static str {
        match self {
            Self::Words(_, what) => what,
            Self::YesNo => "yes or no",
            Self::Years => "years such as `7 years`",
            Self::Days => "working days such as `3 working days`",
            Self::Percent => "percent",
            Self::Count("cycles") => "a number of cycles",
            Self::Count(_) => "a number of operations",
            Self::Price => "a price such as `19 EUR`",
            Self::Digit(..) => "a protection code such as `IP67`",
        }
    }

    /// A value as somebody might write it; empty where the words say it.
    pub fn example(self) -> &'static str {
        match self {
            Self::Words(..) | Self::YesNo => "",
            Self::Years => "7 years",
            Self::Days => "3 working days",
            Self::Percent => "83 %",
            Self::Count(_) => "800",
            Self::Price => "19 EUR",
            Self::Digit(..) => "IP67",
        }
    }

    /// Whether fewer is better, of numbers.
    pub fn fewer(self) -> bool {
        matches!(self, Self::Days | Self::Price)
    }

    /// The largest number it can hold, if there is one.
    pub fn most(self) -> Option<i64> {
        match self {
            Self::Percent => Some(100),
            Self::Digit(_, most) => Some(most),
            _ => None,
        }
    }
}

impl Promise {
    /// How many are of a spare part; they come first.
    pub const PARTS: usize = Self::count(Of::Part);

    /// Its row.
    pub fn row(self) -> &'static PromiseRow {
        &ROWS[self as usize]
    }

    /// Those that stand in one place, in order.
    pub fn of(place: Of) -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(move |p| p.row().of == place)
    }

    /// Whether it is of a spare part, and not of the device.
    pub fn of_part(self) -> bool {
        self.row().of == Of::Part
    }

    /// How many stand in one place.
    pub const fn count(of: Of) -> usize {
        let (mut n, mut i) = (0, 0);
        while i < ROWS.len() {
            if ROWS[i].of as u8 == of as u8 {
                n += 1;
            }
            i += 1;
        }
        n
    }

    /// Data path; of a spare part below its entry.
    pub fn path(self) -> String {
        let row = self.row();
        match row.of {
            Of::Part => row.field.to_owned(),
            Of::Information => format!("support.information.{}", row.field),
            Of::Support => format!("support.{}", row.field),
            Of::Battery => format!("device.battery.{}", row.field),
            Of::Endurance => format!("device.endurance.{}", row.field),
            Of::Ingress => "device.ingress".to_owned(),
        }
    }

    /// What must be stated to settle it, in one line.
    pub fn settled_by(self) -> String {
        let row = self.row();
        let field = row.field;
        match row.of {
            _ if self == Self::Price => {
                "`price` under `support: spare parts`, and the device's `price` in the same currency".to_owned()
            }
            _ if self == Self::Pairing => {
                "`paired: no` of the part, or `pairing` under `support: spare parts`".to_owned()
            }
            Of::Part => format!("`{field}` under `support: spare parts`"),
            Of::Information => format!("`{field}` under `support: information`"),
            Of::Support => format!("`support: {field}`"),
            Of::Battery => format!("`{field}` under `device: battery`"),
            Of::Endurance => format!("`{field}` under `device: endurance`"),
            Of::Ingress => format!("`device: {field}`"),
        }
    }

    /// What it is called beside its value.
    pub fn label(self) -> &'static str {
        let row = self.row();
        match self {
            Self::To => "offered to",
            _ if row.column.is_empty() => row.field,
            _ => row.column,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn those_of_a_part_come_first() {
        assert!(Promise::ALL.iter().enumerate().all(|(i, p)| p.of_part() == (i < Promise::PARTS)));
        assert_eq!(ROWS.len(), Promise::ALL.len());
    }

    /// Every place a fact is named at comes from its row; names that must differ do.
    #[test]
    fn rows_are_told_apart() {
        let mut seen = std::collections::BTreeSet::new();
        for promise in Promise::ALL {
            let row = promise.row();
            assert!(row.measure.is_empty() || seen.insert(format!("measure {}", row.measure)), "{promise:?}");
            assert!(row.column.is_empty() || seen.insert(format!("column {}", row.column)), "{promise:?}");
            assert!(row.question.ends_with('?') && row.doc.ends_with('.'), "{promise:?}");
            assert_eq!(row.question.contains("{part}"), promise.of_part(), "{promise:?}");
            // One way of several is told by what it becomes; a change that is always to the best need not be.
            assert!(row.change.contains("{to}") || !row.holds.words().is_empty(), "{promise:?}");
        }
    }
}
