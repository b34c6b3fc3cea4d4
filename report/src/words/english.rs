//! English: names of things, numbers in words, singular and plural, and one phrase for each kind of fact.

use scoring::exact::Exact;
use scoring::record::complete::open_count;
use scoring::vocab::Promise;

use crate::plural::list;

/// Numbers that are written out.
const NUMBERS: [&str; 13] =
    ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// A count: in words up to twelve.
pub fn number(n: usize) -> String {
    NUMBERS.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// `one step`, `seven steps`, `23 steps`.
pub fn steps(n: u32) -> String {
    let (known, open) = open_count(n);
    let least = if open { "at least " } else { "" };
    format!("{least}{} {}", number(known as usize), if known == 1 { "step" } else { "steps" })
}

/// `5.3` as it is read aloud: `five point three`.
pub fn aloud(shown: &str) -> String {
    let digit = |c: char| c.to_digit(10).map(|d| if d == 0 { "zero".to_owned() } else { number(d as usize) });
    match shown.split_once('.') {
        Some((whole, rest)) => {
            let whole = whole
                .parse::<usize>()
                .map_or_else(|_| whole.to_owned(), |n| if n == 0 { "zero".to_owned() } else { number(n) });
            if rest.chars().all(|c| c == '0') {
                return whole;
            }
            format!("{whole} point {}", rest.chars().filter_map(digit).collect::<Vec<_>>().join(" "))
        }
        None => shown
            .parse::<usize>()
            .map_or_else(|_| shown.to_owned(), |n| if n == 0 { "zero".to_owned() } else { number(n) }),
    }
}

/// What a part is called in a sentence: a plain word where its role has one, else its name in the record.
pub fn name(role: &str, part: &str) -> String {
    let plain = match role {
        "battery" => "battery",
        "display assembly" => "display",
        "back cover" => "back",
        _ => part,
    };
    let plain = if plain.is_empty() { role.split('|').next().unwrap_or(role).trim() } else { plain };
    plain.to_owned()
}

/// More than one thing by its form: `side keys`, `bearings`, `left and right damper`.
pub fn many(name: &str) -> bool {
    let last = name.rsplit(' ').next().unwrap_or_default();
    last.ends_with('s') && !["ss", "us", "is", "as", "os"].iter().any(|e| last.ends_with(e))
}

/// `the back`.
pub fn the(name: &str) -> String {
    if name.starts_with("the ") { name.to_owned() } else { format!("the {name}") }
}

/// A verb for one or many: `verb("the bearings", "comes", "come")`.
pub fn verb(name: &str, one: &'static str, more: &'static str) -> &'static str {
    if many(name) { more } else { one }
}

/// `the back is glued`.
pub fn glued(name: &str) -> String {
    format!("{} {} glued", the(name), verb(name, "is", "are"))
}

/// `a bearing comes out only by destroying the tub`.
pub fn destroyed(name: &str, what: &[String]) -> String {
    let own = what.iter().any(|w| w == name);
    let others: Vec<String> = what.iter().filter(|w| *w != name).map(|w| the(w)).collect();
    let it = if many(name) { "them" } else { "it" };
    let what = if own && others.is_empty() { it.to_owned() } else { list(&others) };
    format!("{} {} out only by destroying {what}", the(name), verb(name, "comes", "come"))
}

/// `the motor can't be taken out`.
pub fn out_of_reach(name: &str) -> String {
    format!("{} can't be taken out", the(name))
}

/// `the battery takes seven steps, heat and alcohol`.
pub fn takes(name: &str, what: &[String]) -> String {
    format!("{} {} {}", the(name), verb(name, "takes", "take"), list(what))
}

/// What closes a way: `a stuck foot strip and seven screws of two kinds close the bottom cover`.
pub fn closes(closers: &[String], name: &str) -> String {
    let one = closers.len() == 1 && closers[0].starts_with("a ");
    format!("{} {} {}", list(closers), if one { "closes" } else { "close" }, the(name))
}

/// `seven screws of two kinds`.
pub fn screws(n: u32, drives: usize) -> String {
    let kinds = if drives > 1 { format!(" of {} kinds", number(drives)) } else { String::new() };
    format!("{} {}{kinds}", number(n as usize), if n == 1 { "screw" } else { "screws" })
}

/// `a glued foot strip`.
pub fn a_glued(name: &str) -> String {
    if many(name) { format!("glued {name}") } else { format!("a glued {name}") }
}

/// What lies behind: `the other eight parts lie behind it`, `six of the other nine parts lie behind it`.
pub fn behind(n: usize, of: usize, one: Option<&str>, name: &str) -> Option<String> {
    let it = if many(name) { "them" } else { "it" };
    match (n, of) {
        (0, _) => None,
        (1, _) => one.map(|o| format!("{} {} behind {it}", the(o), verb(o, "lies", "lie"))),
        (n, of) if n == of => Some(format!("the other {} parts lie behind {it}", number(n))),
        (n, of) => Some(format!("{} of the other {} parts lie behind {it}", number(n), number(of))),
    }
}

/// How much points are, in words: `half a point`.
pub fn worth(points: &Exact) -> String {
    let shown = points.display(1, scoring::exact::Rounding::HalfUp);
    match shown.as_str() {
        "0.0" => "less than a tenth of a point".to_owned(),
        "0.1" => "a tenth of a point".to_owned(),
        "0.5" => "half a point".to_owned(),
        "1.0" => "a point".to_owned(),
        shown => match shown.strip_prefix("0.").and_then(|t| t.parse::<usize>().ok()) {
            Some(tenths) => format!("{} tenths of a point", number(tenths)),
            None => format!("{} points", aloud(shown)),
        },
    }
}

/// What is open about spare parts, after `Open:`; `parts` are those asked about.
pub fn asked_of_spares(promise: Promise, parts: &str) -> String {
    match promise {
        Promise::To => format!("who can buy {parts}"),
        Promise::Years => format!("how long {parts} can be bought"),
        Promise::Delivery => format!("how fast {parts} come"),
        Promise::Price | Promise::PricePublished => format!("what {parts} cost"),
        Promise::Interface => format!("whether {parts} are standard parts"),
        Promise::Pairing => format!("who may pair {parts}"),
        other => format!("{} of {parts}", other.label()),
    }
}

/// What is open about the device, after `Open:`; `None` where no phrase is at hand.
pub fn asked(promise: Promise) -> Option<&'static str> {
    Some(match promise {
        Promise::InformationTo => "who gets the repair information",
        Promise::InformationCost => "what the repair information costs",
        Promise::InformationScope => "how much repair information there is",
        Promise::SecurityUpdates => "how long security updates come",
        Promise::Updates => "how long updates come",
        Promise::Diagnosis => "how faults make themselves known",
        Promise::Returns => "what the maker takes back",
        Promise::Data => "how data are moved and deleted",
        Promise::Reset => "how it is reset",
        Promise::PowerKey | Promise::VolumeKeys | Promise::PortEndurance => "how long keys and sockets last",
        Promise::BatteryCycles | Promise::Capacity500 | Promise::Capacity1000 => "how long the battery lasts",
        Promise::IngressDust | Promise::IngressWater => "how well it keeps out dust and water",
        _ => return None,
    })
}

/// A promise beside its value, on the card of a part.
pub fn promised(promise: Promise) -> &'static str {
    match promise {
        Promise::Years => "available for",
        Promise::Pairing => "access to pairing",
        other => other.label(),
    }
}
