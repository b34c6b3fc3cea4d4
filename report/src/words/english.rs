//! English: names of things, numbers in words, singular and plural, and one phrase for each kind of fact.

use scoring::exact::Exact;
use scoring::record::complete::open_count;
pub use scoring::text::number::{a_new, many};
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

/// Some promise without a phrase of its own, at its best.
pub const BEST: &str = "every promise were at its best";

/// A promise at its best, after `if`: `every spare part were sold to anyone`.
pub fn if_promised(promise: Promise, term: &str) -> String {
    match promise {
        Promise::To => "every spare part were sold to anyone".to_owned(),
        Promise::Years => format!("every spare part were on offer for {term}"),
        Promise::Delivery => format!("every spare part came within {term}"),
        Promise::Price => format!("no spare part cost over {term} of the device"),
        Promise::PricePublished => "the price of every spare part were published".to_owned(),
        Promise::Interface => format!("every spare part were a {term}"),
        Promise::Pairing => "no spare part needed pairing".to_owned(),
        Promise::InformationTo => "anyone got the repair information".to_owned(),
        Promise::InformationCost => "the repair information were free of charge".to_owned(),
        Promise::InformationScope => "the repair information left nothing out".to_owned(),
        Promise::Updates => format!("updates came for {term}"),
        Promise::SecurityUpdates => format!("security updates came for {term}"),
        Promise::Diagnosis => format!("faults made themselves known by {term}"),
        Promise::Returns => format!("what the maker takes back were {term}"),
        Promise::Data => format!("moving and deleting data were {term}"),
        Promise::Reset => format!("the reset were {term}"),
        other => format!("{} were {term}", other.label()),
    }
}

/// All that can be promised of repair information.
pub const ALL_INFORMATION: &str = "anyone got all repair information free of charge";

/// `one year`, `ten years`, `2.5 years`.
pub fn counted(n: &Exact, one: &str, more: &str) -> String {
    let plain = n.plain();
    let said = plain.parse::<usize>().map_or_else(|_| plain.clone(), number);
    format!("{said} {}", if plain == "1" { one } else { more })
}

/// `a heat gun`, `an opening pick`; several things have no article.
pub fn a(name: &str) -> String {
    if many(name) {
        return name.to_owned();
    }
    let vowel = name.starts_with(['a', 'e', 'i', 'o', 'u', 'A', 'E', 'I', 'O', 'U']);
    format!("{} {name}", if vowel { "an" } else { "a" })
}

/// A method that gives none.
pub const NO_TOTAL: &str = "no total";
/// Nothing to score.
pub const DOES_NOT_APPLY: &str = "does not apply";
/// Neither met nor missed for sure.
pub const NOT_SETTLED: &str = "not settled";
/// Why there is no total.
pub const WEIGHTS_UNREAD: &str = "weights that could not be read; the scores of parts and criteria stand below";
/// A result that binds nobody.
pub const INFORMATION_ONLY: &str = "for information only";

/// Whether requirements are met, or would be where the rule does not bind the device yet.
pub fn met(met: bool, would: bool) -> &'static str {
    match (met, would) {
        (true, false) => "met",
        (false, false) => "not met",
        (true, true) => "would be met",
        (false, true) => "would not be met",
    }
}

/// `5.0 to 6.0`.
pub fn to(low: &str, high: &str) -> String {
    format!("{low} to {high}")
}

/// `of 10`.
pub fn out_of(top: &str) -> String {
    format!("of {top}")
}

/// `class B`, `class D to B`.
pub fn class(low: &str, high: &str) -> String {
    if low == high { format!("class {low}") } else { format!("class {low} to {high}") }
}

/// `for devices first supplied from 18 February 2027`.
pub fn supplied_from(day: &str) -> String {
    format!("for devices first supplied from {day}")
}

/// `2 of 112 not met, 86 open; first: sim tray, skill level`.
pub fn requirements(of: usize, not_met: usize, open: usize, first: &str) -> String {
    if not_met == 0 && open == 0 {
        return match of {
            1 => "the one requirement is met".to_owned(),
            _ => format!("all {of} met"),
        };
    }
    let missed = if not_met == 0 { String::new() } else { format!("{not_met} of {of} not met") };
    let open = match (open, not_met) {
        (0, _) => String::new(),
        (n, 0) => format!("{n} of {of} open, none surely missed"),
        (n, _) => format!(", {n} open"),
    };
    let first = if first.is_empty() { String::new() } else { format!("; first: {first}") };
    format!("{missed}{open}{first}")
}

/// `most is lost on fasteners 1.00, tools 0.98 and steps 0.40`.
pub fn most_lost(named: &str) -> String {
    if named.is_empty() { "nothing is lost".to_owned() } else { format!("most is lost on {named}") }
}

/// Facts or readings of one kind that a result rests on; what is open was told.
pub fn rests(how: &str, n: usize) -> Option<String> {
    let one = |one: &str, more: &str| format!("{} {}", number(n), if n == 1 { one } else { more });
    match how {
        "own reading" => Some(one("reading of our own", "readings of our own")),
        "open" => None,
        how => Some(format!("{} {how}", one("fact", "facts"))),
    }
}

/// `rests on one fact told and one reading of our own`.
pub fn rests_on(what: &str) -> String {
    format!("rests on {what}")
}

/// With a small first letter, unless the word is in capitals.
pub fn lower(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => first.to_lowercase().chain(chars).collect(),
        _ => text.to_owned(),
    }
}

/// `a, b or c`.
pub fn or(items: &[String]) -> String {
    match items {
        [rest @ .., last] if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        items => items.concat(),
    }
}

/// `weight 4`.
pub fn weight(weight: &str) -> String {
    format!("weight {weight}")
}

/// `points: up to 2: 10; up to 4: 8`.
pub fn points_by(table: &str) -> String {
    format!("points: {table}")
}

/// `3 parts`, where their names don't fit.
pub fn parts(n: usize) -> String {
    format!("{n} parts")
}

/// `3 tools`, where their names don't fit.
pub fn tools(n: usize) -> String {
    format!("{n} tools")
}

/// Where a record says nothing of its corrections.
pub const CHANGED_BELOW: &str = "What changed: the values listed below; the record says nothing of its corrections.";

/// `Correction of 2 May 2026: Ostrel Yarrow`.
pub fn correction_of(day: Option<&str>, name: &str) -> String {
    match day {
        Some(day) => format!("Correction of {day}: {name}"),
        None => format!("Correction: {name}"),
    }
}

/// What was put right, and who pointed it out.
pub fn mended(what: &str, line: Option<u32>, by: Option<&str>) -> String {
    format!("What changed: {}{}. {}", what.trim_end_matches('.'), as_published(line), pointed_out(by))
}

/// Which line of the record as it was published a correction is about.
fn as_published(line: Option<u32>) -> String {
    line.map_or_else(String::new, |l| format!(" (line {l} of the record as it was published)"))
}

/// Who pointed something out.
pub fn pointed_out(by: Option<&str>) -> String {
    match by {
        Some(by) => format!("Pointed out by {}.", by.trim_end_matches('.')),
        None => "Who pointed it out: not stated.".to_owned(),
    }
}

/// `EN 45554: before 5.3 to 6.6, now 5.6 to 6.6 of 10. Why: …; …; and three more changes.`
pub fn before_and_now(method: &str, [before, now]: [&str; 2], of: &str, why: &[String], more: usize) -> String {
    let of = if of.is_empty() { String::new() } else { format!(" {of}") };
    let more = match more {
        0 => String::new(),
        n => format!("; and {} more {}", number(n), if n == 1 { "change" } else { "changes" }),
    };
    let why = if why.is_empty() { String::new() } else { format!(" Why: {}{more}.", why.join("; ")) };
    format!("{method}: before {before}, now {now}{of}.{why}")
}

/// A verdict of a rule that may not bind.
pub fn would(verdict: &str) -> String {
    format!("would {verdict}")
}

/// The record a report says it was corrected from.
pub fn held_against(file: &str, fingerprint: &str) -> String {
    format!("Held against the earlier record {file}, SHA-256 {fingerprint}.")
}

/// That a report was corrected although its record lists no correction.
pub const CHANGED_SINCE: &str = "Changed since an earlier record; what and why stands under Corrections.";

/// What changed in a record, with its place.
pub fn cause(path: &str, before: Option<String>, after: Option<String>, place: Option<&str>) -> String {
    let place = place.map_or_else(String::new, |p| format!(" ({p})"));
    match (before, after) {
        (Some(before), Some(after)) => format!("{path} was {before} and is {after}{place}"),
        (None, Some(after)) => format!("{path} is new, {after}{place}"),
        (Some(before), None) => format!("{path} was {before} and is gone{place}"),
        (None, None) => format!("{path}{place}"),
    }
}

/// Results that no correction moved.
pub fn others_stay(moved: usize, all: usize) -> String {
    match (moved, all - moved) {
        (0, 1) => "The result stays as it was.".to_owned(),
        (0, _) => "All results stay as they were.".to_owned(),
        (_, 0) => "Every result moved.".to_owned(),
        (_, 1) => "The other result stays as it was.".to_owned(),
        (_, _) => "The other results stay as they were.".to_owned(),
    }
}

/// Whether a note stands alone or on earlier ones.
pub fn cumulative(before: usize, new: usize) -> String {
    match (before, new) {
        (_, 0) => "Whether it is the first correction: not stated.".to_owned(),
        (0, 1) => "First correction of this report.".to_owned(),
        (0, n) => format!("It holds the first {} corrections of this report together.", number(n)),
        (b, 1) => format!("Correction {} of this report; what stood before holds the earlier ones.", b + 1),
        (b, n) => {
            format!(
                "Corrections {} to {} of this report together; what stood before holds the earlier ones.",
                b + 1,
                b + n
            )
        }
    }
}

/// A correction in the report itself: `2 May 2026: the glue comes off clean. Pointed out by a reader.`
pub fn corrected(day: Option<&str>, what: &str, line: Option<u32>, by: Option<&str>) -> String {
    let day = day.unwrap_or("Day not stated");
    format!("{day}: {}{}. {}", what.trim_end_matches('.'), as_published(line), pointed_out(by))
}

/// That a report was corrected, for its summary.
pub fn corrected_on(day: Option<&str>, times: usize) -> String {
    match (times, day) {
        (0, _) => String::new(),
        (1, Some(day)) => format!("Corrected on {day}."),
        (1, None) => "Corrected once, day not stated.".to_owned(),
        (n, Some(day)) => format!("Corrected {} times, last on {day}.", number(n)),
        (n, None) => format!("Corrected {} times, the last on a day not stated.", number(n)),
    }
}

/// What was loosened where nobody said what.
pub const ONE_FASTENER: &str = "one fastener, not established which";
/// The same for any number.
pub const ANY_FASTENERS: &str = "fasteners, not established which";
/// What was used where nobody said what.
pub const ONE_TOOL: &str = "one tool, not established which";
/// The same for any number.
pub const ANY_TOOLS: &str = "tools, not established which";

/// Nothing was loosened.
pub const NOTHING: &str = "nothing";

/// Fasteners nobody counted.
pub fn uncounted(fastener: &str) -> String {
    format!("{fastener} (how many is not established)")
}

/// `all nine parts`.
pub fn all_parts(parts: usize) -> String {
    format!("all {} parts", number(parts))
}

/// A mean of equal values.
pub fn all_alike(parts: usize) -> String {
    if parts == 2 { "the same for both parts".to_owned() } else { format!("the same for all {} parts", number(parts)) }
}

/// What a requirement on no part is asked of.
pub const THE_DEVICE: &str = "the device";

/// `at least 800 cycles`.
pub fn bound(more: bool, bound: &str, unit: &str) -> String {
    if unit == "code digit" {
        return format!("the digit {bound} or a higher one");
    }
    format!("{} {bound} {unit}", if more { "at least" } else { "at most" }).trim_end().to_owned()
}

/// What was read at the low and at the high end.
pub fn at_ends(low: &str, high: &str) -> String {
    format!("at the low end {low}; at the high end {high}")
}

/// Limits of which none is lower than the criteria.
pub const NO_LIMIT_BINDS: &str = "no limit binds";

/// What is read at an end of a fact that is open.
pub const NOBODY_ESTABLISHED: &str = "not established";

/// `set by Tools`.
pub fn set_by(what: &str) -> String {
    format!("set by {what}")
}

/// `source: data sheet`.
pub fn from_source(source: &str) -> String {
    format!("source: {source}")
}

/// `Of 112 requirements that apply, 2 not met (first: …), 86 not settled, 24 met.`
pub fn requirements_reason(of: usize, not_met: usize, open: usize, first: &str) -> String {
    let first = if first.is_empty() { String::new() } else { format!(" (first: {first})") };
    let met = of - not_met - open;
    let of = format!("{of} {}", if of == 1 { "requirement that applies" } else { "requirements that apply" });
    format!("Of {of}, {not_met} not met{first}, {open} not settled, {met} met.")
}

/// How many other readings of a method would change its result.
pub fn readings(all: usize, changing: usize, outer: bool) -> String {
    let outer = if outer { ", as far as outer bounds tell" } else { "" };
    match (all, changing) {
        (0, _) => String::new(),
        (1, 0) => format!("Another reading of the method would not change it{outer}."),
        (1, _) => format!("Another reading of the method would change it{outer}."),
        (n, 0) => format!("None of {n} other readings of the method would change it{outer}."),
        (n, c) => format!("{c} of {n} other readings of the method would change it{outer}."),
    }
}

/// How many questions are open, of all criteria and of the bench verdict.
pub fn unknowns(all: usize, bench: Option<usize>) -> String {
    let questions = |n: usize| format!("{n} {}", if n == 1 { "question" } else { "questions" });
    match bench {
        Some(bench) => format!("{} open on all criteria, {bench} on the bench verdict", questions(all)),
        None => format!("{} open", questions(all)),
    }
}

/// What a verdict is without what a bench takes for granted.
pub fn without_sheet(sheet: &str, bench: Option<&str>, full: &str) -> String {
    match bench {
        Some(bench) => format!("By the sheet of {sheet}; without it {bench} on the bench, {full} in full."),
        None => format!("By the sheet of {sheet}; without it {full}."),
    }
}

/// The answers at the two ends, where they differ.
pub fn answers_at(low: &str, high: &str) -> String {
    if low.is_empty() || low == high { String::new() } else { format!("Low end: {low}; high end: {high}.") }
}

/// What stays open after an answer.
pub fn stays_open(worst: &str, mean: &str) -> String {
    if worst.is_empty() { String::new() } else { format!("Leaves at most {worst} points open, {mean} on average.") }
}

/// A way whose beginning is that of another.
pub fn begins_as(lines: usize, target: &str, total: u32, whole: bool) -> String {
    let (known, _) = open_count(total);
    let steps = if known == 1 { "step" } else { "steps" };
    if whole {
        return format!("Its {lines} lines stand on the way to {target}, {known} {steps}.");
    }
    format!("Lines 1 to {lines} as on the way to {target}, {known} {steps} so far; then:")
}

/// The same work by another count.
pub fn counted_otherwise(steps: &str) -> String {
    format!("The same work as the route above of {steps}; counted otherwise where shown:")
}

/// The same work by another count, in which what is told elsewhere counts otherwise.
pub fn counted_as(steps: &str, target: &str, there: &str) -> String {
    format!("The same work as the route above of {steps}; counted otherwise as told on the way to {target} of {there}.")
}

/// A time of the record's own: `40 s`, `2 to 3 min`.
pub fn seconds(low: &Exact, high: &Exact) -> String {
    let minute = Exact::from(60);
    let whole = |v: &Exact| {
        let minutes = v.checked_div(&minute)?;
        (minutes.round(0, scoring::exact::Rounding::Down) == minutes && !minutes.is_zero()).then_some(minutes)
    };
    let told = |low: &Exact, high: &Exact, unit: &str| {
        if low == high {
            format!("{} {unit}", low.plain())
        } else {
            format!("{} to {} {unit}", low.plain(), high.plain())
        }
    };
    match (whole(low), whole(high)) {
        (Some(low), Some(high)) => told(&low, &high, "min"),
        _ => told(low, high, "s"),
    }
}

/// A question the record says nothing of.
pub const NO_LINE_YET: &str = "no line about it yet";

/// What nobody tried.
pub const NOBODY_TRIED: &str = "nobody tried";

/// Tools nobody established, of which the end at hand takes these.
pub fn taken_as(tools: &str) -> String {
    format!("not established, here counted as {tools}")
}

/// What stands before something read at one end: `tried near the low end:`.
pub fn labelled(label: &str) -> String {
    format!("{label}:")
}

/// What a range of an index is, and by whose bench sheet: whoever sets devices side by side must see it.
pub fn judged(of: &str, sheet: Option<&str>) -> String {
    match (of, sheet) {
        (of, None) => of.to_owned(),
        ("", Some(sheet)) => format!("by the sheet of {sheet}"),
        (of, Some(sheet)) => format!("{of}, by the sheet of {sheet}"),
    }
}

/// The way back to a method by its id: `both ends of en-45554`.
/// Of an end that is a bound only a completion that was tried is told.
pub fn ends_of(which: [bool; 2], attained: [bool; 2], methods: &str) -> String {
    match (which, attained) {
        ([true, true], [true, true]) => methods.to_owned(),
        ([true, true], _) => format!("{} of {methods}", super::both_ends(attained)),
        ([true, false], [true, _]) | ([false, _], [_, true]) => {
            format!("the {} of {methods}", super::end(true, !which[0]))
        }
        ([true, false] | [false, _], _) => format!("one {} of {methods}", super::end(false, !which[0])),
    }
}

/// `5.3 to 6.6 of 10 with the maker's promises`.
pub fn with_promises(range: &str, out_of: &str) -> String {
    format!("{range} {out_of} with the maker's promises")
}

/// Questions beside those shown.
pub fn more_open(shown: usize, more: usize) -> String {
    match (shown, more) {
        (_, 0) => String::new(),
        (0, 1) => "one question that can't move it alone".to_owned(),
        (0, n) => format!("{} questions that can't move it alone", number(n)),
        (_, n) => format!("and {n} more"),
    }
}

/// The method, and how sure its weakest rule is.
pub fn method_and_weakest(title: &str, phrase: &str) -> String {
    format!("{title}; weakest rule {}.", phrase.split(',').next().unwrap_or_default())
}

/// Lost points in a line.
pub fn lost_by_criterion(rows: &str) -> String {
    if rows.is_empty() { String::new() } else { format!("{rows}: points lost by criterion.") }
}

/// A question another method asks too.
pub fn same_question(number: usize, method: &str) -> String {
    format!("as question {number} of {method}")
}

/// `three devices by EU repairability index`.
pub fn devices_by(devices: usize, method: &str) -> String {
    format!("{devices} devices by {method}")
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

/// What lies behind what is no part that counts itself: `all 13 parts lie behind it`, `six of the nine parts lie behind it`.
pub fn all_behind(n: usize, of: usize, one: Option<&str>, name: &str) -> Option<String> {
    let it = if many(name) { "them" } else { "it" };
    match (n, of) {
        (0, _) => None,
        (1, _) => one.map(|o| format!("{} {} behind {it}", the(o), verb(o, "lies", "lie"))),
        (n, of) if n == of => Some(format!("all {} parts lie behind {it}", number(n))),
        (n, of) => Some(format!("{} of the {} parts lie behind {it}", number(n), number(of))),
    }
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
pub fn asked_of_spares(promise: Promise, parts: &str, one: bool) -> String {
    match promise {
        Promise::To => format!("who can buy {parts}"),
        Promise::Years => format!("how long {parts} can be bought"),
        Promise::Delivery => format!("how fast {parts} {}", if one { "comes" } else { "come" }),
        Promise::Price | Promise::PricePublished => format!("what {parts} {}", if one { "costs" } else { "cost" }),
        Promise::Interface if one => format!("whether {parts} is a standard part"),
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

/// Where all that is said of a spare part comes from.
pub const SOURCE: &str = "source";

/// A promise beside its value, on the card of a part.
pub fn promised(promise: Promise) -> &'static str {
    match promise {
        Promise::Years => "available for",
        Promise::Pairing => "access to pairing",
        other => other.label(),
    }
}
