//! English: what `route` says of ways to a part, and beside them.

use scoring::assess::time::{in_words, two_figures};
use scoring::record::complete::open_count;
use scoring::vocab::Certainty;

use super::plain;
use crate::arguments::RouteBy;

pub(crate) fn no_route(parts: &[String]) -> String {
    format!("no route was worked out to `{}`", parts.join("`, `"))
}

/// What is counted, by which rule, with which options, and by what a route is the shortest.
pub(crate) fn head(device: &str, method: &str, options: &[[String; 2]], by: RouteBy) -> String {
    let with: Vec<String> = options.iter().map(|[switch, option]| format!("{switch}: {option}")).collect();
    let with = if with.is_empty() { String::new() } else { format!(" with {}", with.join(", ")) };
    let by = match by {
        RouteBy::Steps => "",
        RouteBy::Time => "; shortest in hands-on time, estimated",
        RouteBy::Parts => "; fewest parts taken off",
    };
    format!("{device}, counted by the step rule of {method}{with}{by}")
}

pub(crate) const CAUTION: &str = "Routes are what this record shows. For your own safety follow the maker's safety information \
                                  and local rules first, and leave what you are not sure of to a qualified repairer.";

pub(crate) fn no_option(setting: &str) -> String {
    format!("`{setting}` is no option of the step rule")
}

pub(crate) fn write_option(switches: &[&str]) -> String {
    format!("write SWITCH=OPTION; the switches are {}", switches.join(", "))
}

pub(crate) const COUNT_EACH: &str = "add `--steps simultaneous-tools=each`";

pub(crate) const TIMES_BY_TIME: [&str; 2] = ["a table of times is of use with `--by time` only", "add `--by time`"];

/// A part or role nobody knows, a near one, and all there are.
pub(crate) fn no_part(name: &str, near: Option<&str>, all: &[String]) -> [String; 2] {
    let mend = near.map_or_else(|| plain::there_are(&all.join(", ")), plain::did_you_mean_text);
    [format!("the record has no part or role `{name}`"), mend]
}

pub(crate) const SEVERAL: [&str; 2] = ["`--together` and `--any` are about several parts", "name at least two parts"];

/// Several parts, all of them or any.
pub(crate) fn parts(parts: &[String], any: bool) -> String {
    parts.join(if any { " or " } else { " and " })
}

/// What is wanted, the roles it has, and in how many openings.
pub(crate) fn wanted(name: &str, roles: &[String], several: bool, any: bool) -> String {
    let roles = if roles.is_empty() { String::new() } else { format!(" ({})", roles.join(", ")) };
    let together = match (several, any) {
        (false, _) => "",
        (_, false) => ", in one opening",
        (_, true) => ", whichever comes off first",
    };
    format!("{name}{roles}{together}")
}

/// The same with its headline.
pub(crate) fn headed(wanted: &str, headline: &str) -> String {
    format!("{wanted}: {headline}")
}

/// The count with a bench sheet stands above; this is the one without.
pub(crate) fn without_sheet(sheet: &str, headline: &str) -> String {
    format!("by the sheet of {sheet}; without it {headline}")
}

/// Which of two routes this is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Which {
    Least,
    Most,
}

/// What leads a route: the one at the least or the most of a cost, or of steps where there is none.
pub(crate) fn which(which: Which, cost: bool) -> &'static str {
    match (which, cost) {
        (Which::Least, true) => "least",
        (Which::Most, true) => "most",
        (Which::Least, false) => "fewest steps",
        (Which::Most, false) => "most steps",
    }
}

/// What leads a route that was tried near a bound.
pub(crate) fn tried_near(which: &str) -> String {
    format!("tried near `{which}`")
}

pub(crate) const NOT_REACHED: &str = "can't be reached";

/// Whether and how a part is reached.
#[derive(Clone, Debug)]
pub(crate) enum Reached {
    /// At a cost, in words.
    At(String),
    /// At one cost, or up to another.
    UpTo(String, String),
    /// At a cost, or not at all without damage.
    Perhaps(String),
    /// By damage, at a cost.
    Damage(String),
    /// Not at all.
    No,
}

fn reached(reached: &Reached) -> String {
    match reached {
        Reached::At(cost) => cost.clone(),
        Reached::UpTo(least, most) => format!("{least}, or up to {most}"),
        Reached::Perhaps(cost) => format!("{cost}, or can't be reached without damage"),
        Reached::Damage(cost) => format!("only by damage, {cost}"),
        Reached::No => NOT_REACHED.to_owned(),
    }
}

/// Steps to a part, where they are between two counts.
pub(crate) fn steps_to(fewest: u32, most: u32) -> String {
    format!("{} to {}", open_count(fewest).0, plain::steps(most, false))
}

/// How sure a count of steps is.
pub(crate) enum Sure {
    /// It is the fewest.
    Shortest,
    /// Both ends are proved.
    Both,
    /// At least so many.
    AtLeast(u32),
}

/// The headline of a part: its steps, how sure they are, and how many questions bear on them. A part that is not reached has
/// nothing to be sure of.
pub(crate) fn headline(how: &Reached, sure: &Sure, questions: usize) -> String {
    let said = reached(how);
    let bears = bears(questions);
    match (how, sure) {
        (Reached::Damage(_) | Reached::No, _) => said,
        (_, Sure::Shortest) => format!("{said}, proved shortest{bears}"),
        (_, Sure::Both) => format!("{said}, proved{bears}"),
        (_, Sure::AtLeast(n)) => format!("{said}, best found, at least {}{bears}", open_count(*n).0),
    }
}

/// The headline where steps are not the cost: hands-on time, or parts taken off.
pub(crate) fn cost_headline(how: &Reached, time: bool, proved: bool, questions: usize) -> String {
    let said = reached(how);
    let bears = bears(questions);
    match how {
        Reached::Damage(_) => return said,
        Reached::No => return format!("{said}{bears}"),
        _ => {}
    }
    let what = if time { " hands-on" } else { " taken off" };
    let proved = if proved { "proved least" } else { "best found, not every answer or order was tried" };
    let nominal = if time { " by the table's nominal times" } else { "" };
    format!("{said}{what}, {proved}{nominal}{bears}")
}

fn bears(questions: usize) -> String {
    match questions {
        0 => String::new(),
        1 => "; 1 open question bears on it".to_owned(),
        n => format!("; {n} open questions bear on it"),
    }
}

/// An answer a route supposes: what is asked, the answer, and where the record leaves it open.
pub(crate) fn supposes(question: &str, place: Option<&str>, answer: &str) -> String {
    match place {
        Some(place) => format!("{question} {answer} ({place})"),
        None => format!("{question} {answer}"),
    }
}

/// A lead that supposes something.
pub(crate) fn where_so(lead: &str) -> String {
    format!("{lead}, where")
}

/// Heads of a ledger.
pub(crate) const BENCH: &str = "on the bench";
pub(crate) const COUNTS: &str = "counts total";

/// An action, and whether it makes the device safe.
pub(crate) fn action(what: &str, makes_safe: bool) -> String {
    let mark = if makes_safe { ", makes it safe" } else { "" };
    format!("{what}{mark}")
}

/// Lead what an action loosens, and what it destroys.
pub(crate) const LOOSEN: &str = "loosen";
pub(crate) const DESTROYS: &str = "destroys";

/// With which tools; `None`: with hands.
pub(crate) fn by(tools: Option<&str>) -> String {
    tools.map_or_else(|| "by hand".to_owned(), |tools| format!("with {tools}"))
}

/// A change of tools that counts for nothing.
pub(crate) const FREE: &str = "(change free)";

pub(crate) fn safe_only_after(action: &str) -> String {
    format!("safe only after: {action}. Do it as early as the route allows.")
}

pub(crate) fn safe_elsewhere(actions: &[&str]) -> String {
    format!(
        "not on this route, but it makes the device safe: {}. Do it as soon as it can be reached, before any work near the cell or \
         the mains.",
        actions.join(", ")
    )
}

/// A hazard and its caution.
pub(crate) fn caution(hazard: &str, caution: Option<&str>) -> String {
    caution.map_or_else(|| hazard.to_owned(), |text| format!("{hazard}: {text}"))
}

/// Lead what stands beside a route.
pub(crate) const AS_LOGGED: &str = "as logged";
pub(crate) const OFFICIAL: &str = "maker's own route";
pub(crate) const NEVER_SCORED: &str = "never scored";
pub(crate) const IN_THE_WAY: &str = "in the way";

/// Leads a way nobody went to the end.
pub(crate) fn untaken(failed: bool) -> &'static str {
    if failed { "tried in vain" } else { "not tried" }
}

/// A shorter way by damage.
pub(crate) fn shorter(destroys: &[String], steps: u32) -> String {
    format!("a shorter way destroys {}: {}", destroys.join(" and "), plain::steps(steps, false))
}

/// A way, where it stands, and why it was not taken.
pub(crate) fn way(id: &str, place: &str, because: Option<&str>) -> String {
    let because = because.map_or_else(String::new, |b| format!("; {b}"));
    format!("{id} ({place}){because}")
}

/// Head of what would save steps.
pub(crate) fn would_save(any: bool) -> &'static str {
    if any { "each change alone" } else { "nothing that one change alone would save a step on" }
}

/// What is in the way: the steps without it, and how many fewer they are.
pub(crate) fn saves(text: &str, place: Option<&str>, steps: u32, saved: u32) -> String {
    let place = place.map_or_else(String::new, |place| format!(" ({place})"));
    format!("{text}{place}: {}, {saved} fewer", plain::steps(steps, false))
}

/// Heads of the way back, and of what is done on it alone.
pub(crate) const WAY_BACK: &str = "the way back";
pub(crate) const ONLY_BACK: &str = "on the way back only, where the notes place it";

/// From where on the device is live again.
pub(crate) const LIVE_FROM: &str =
    "the device stays safe up to the line marked `live from here`; don't do that line earlier.";

/// An action undone, and whether the device is live from it on.
pub(crate) fn undone(what: &str, live: bool) -> String {
    let live = if live { ", live from here" } else { "" };
    format!("{what}{live}")
}

/// Lead what is said of an action of the way back.
pub(crate) const DESTROYED: &str = "destroyed";
pub(crate) const LOST: &str = "lost";
pub(crate) const BUY: &str = "buy";
pub(crate) const CARE: &str = "care";
pub(crate) const FASTEN: &str = "fasten";
pub(crate) const CHECK: &str = "check";
pub(crate) const IF_SKIPPED: &str = "if skipped";
pub(crate) const WAIT: &str = "wait";
pub(crate) const NOTE: &str = "note";

/// So many minutes.
pub(crate) fn minutes(minutes: &str) -> String {
    format!("{minutes} min")
}

/// Lead the figures of a time.
pub(crate) const HANDS_ON: &str = "hands-on";
pub(crate) const WAITING: &str = "waiting";
pub(crate) const PUTTING_TOGETHER: &str = "putting it together";
pub(crate) const MEASURED: &str = "measured";
pub(crate) const SEEN_UNCUT: &str = "seen uncut";
pub(crate) const CERTAINTY: &str = "certainty";

/// Waiting that the record states.
pub(crate) fn waiting(seconds: f64) -> String {
    format!("{}, as the record says", two_figures(seconds))
}

/// The work backwards; what sticks is not heated or pried to go back.
pub(crate) fn backwards(time: (f64, f64), same: bool) -> String {
    let how = if same { "" } else { ", without heating, cutting or prying" };
    format!("{}, the same work backwards{how}", in_words(time))
}

/// How much of a time was measured, in hundredths.
pub(crate) fn own_share(percent: f64) -> String {
    format!("{percent:.0} % of the hands-on time rests on times of your own")
}

/// What footage shows, and what is estimated for the same.
pub(crate) fn seen(seen: f64, estimate: (f64, f64)) -> String {
    format!("{}; the estimate for the same actions is {}", two_figures(seen), in_words(estimate))
}

/// How sure a time is, by the weakest entry used; `None`: all are the user's own.
pub(crate) fn weakest(weakest: Option<Certainty>) -> String {
    match weakest {
        Some(weakest) => format!("estimates from a table; the weakest entry used is {weakest}"),
        None => "every time is your own".to_owned(),
    }
}

/// How the steps of the log compare with those that suffice.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Logged {
    /// They are the fewest.
    Fewest,
    /// So many suffice.
    Suffice(u32),
    /// Nobody knows.
    Alone,
}

/// The steps of the log, what of it failed, and what was done before its needs.
pub(crate) fn as_logged(steps: u32, target: &str, logged: Logged, failed: &[String], unmet: &[String]) -> String {
    let mut out = format!("you took {} to the {target}", plain::steps(steps, true));
    match logged {
        Logged::Fewest => out.push_str(", the fewest there are"),
        Logged::Suffice(best) => out.push_str(&format!("; {} suffice", open_count(best).0)),
        Logged::Alone => {}
    }
    if !failed.is_empty() {
        out.push_str(&format!("; not counted, since it failed: {}", failed.join(", ")));
    }
    if !unmet.is_empty() {
        out.push_str(&format!("; before its needs as written: {}", unmet.join(", ")));
    }
    out
}

/// The maker's own route: its steps where it frees the target, what of it failed here, and what comes before its needs.
pub(crate) fn official(steps: Option<u32>, target: &str, failed: &[String], unmet: &[String]) -> String {
    let unmet = if unmet.is_empty() {
        String::new()
    } else {
        format!("; as written it can't be followed: {} comes before what it needs", unmet.join(", "))
    };
    let all = failed.join(", ");
    match steps.map(|n| plain::steps(n, true)) {
        Some(steps) if failed.is_empty() => format!("{steps} to the {target}{unmet}"),
        Some(steps) => format!("{steps} to the {target}, without what failed here: {all}{unmet}"),
        None => format!("does not free the {target} here; it failed at: {all}{unmet}"),
    }
}
