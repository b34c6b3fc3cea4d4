//! Several devices side by side: sentences every form shares, and one self-contained page.

mod held;
mod page;
mod settle;

use scoring::compare::rank::{Span, Spans, Stretch};
use scoring::compare::side_by_side::{CriterionCell, CriterionRow, Reason};
use scoring::compare::{Ranking, SideBySide, Undecided};
use scoring::exact::{Exact, Rounding};
use scoring::method::Method;
use scoring::range::Assessment;

use crate::clean::line;
use crate::words::compare as say;
use crate::words::english as en;

pub use held::held;
pub use page::{Page, page, render};
pub use settle::settles;

/// Devices compared by one method.
#[derive(Clone, Copy, Debug)]
pub struct Compared<'a> {
    /// How they rank.
    pub ranking: &'a Ranking,
    /// Criterion by criterion.
    pub table: &'a SideBySide,
    /// Their verdicts, in the order of the names.
    pub assessments: &'a [&'a Assessment],
    /// The method.
    pub method: &'a Method,
    /// Version of the program.
    pub version: &'a str,
    /// Each device's name and all its verdicts, bench and full, with its bench sheet and without; in the order of the names.
    pub verdicts: &'a [String],
    /// Which of its verdicts is compared: `full` or `bench`.
    pub verdict: &'a str,
    /// That devices are judged by different bench sheets, in words; empty where all are judged alike.
    pub sheets: &'a str,
    /// Pairs whose order is open, and what would settle it.
    pub undecided: &'a [Undecided],
}

/// Heading of the verdicts of all devices.
pub fn verdicts_head(c: &Compared<'_>) -> String {
    if c.method.bench_verdict().is_none() && c.verdict == "full" {
        return say::VERDICTS.to_owned();
    }
    say::verdicts_compared(c.verdict)
}

/// The verdict of a device: `4.0 to 9.5, class D to B`.
pub fn verdict(a: &Assessment) -> String {
    let show = |v: &Option<Exact>| v.as_ref().map_or_else(|| say::NOTHING_SCORED.to_owned(), |v| a.show(v));
    let (low, high) = (show(&a.root.low), show(&a.root.high));
    let range = match (low == high, a.method.scale.verdict) {
        (true, _) => low,
        (false, true) => en::NOT_SETTLED.to_owned(),
        (false, false) => en::to(&low, &high),
    };
    a.standing.said(&match &a.classes {
        Some([l, h]) => format!("{range}, {}", en::class(l, h)),
        None => range,
    })
}

/// Points of a criterion: `7.50`, `4.00..9.50`, `-` where it is left out; `pass`, `fail` or `not settled` where the method
/// gives verdicts.
pub fn points(cell: Option<&CriterionCell>, method: &Method) -> String {
    let Some(cell) = cell else { return "-".to_owned() };
    let verdict = method.scale.verdict;
    let show = |v: &Option<Exact>| match v {
        None => "-".to_owned(),
        Some(v) if verdict => scoring::range::show(method, v),
        Some(v) => v.display(2, Rounding::HalfUp),
    };
    let (low, high) = (show(&cell.low), show(&cell.high));
    match low == high {
        true => low,
        false if verdict => en::NOT_SETTLED.to_owned(),
        false => format!("{low}..{high}"),
    }
}

/// Why devices differ in a row, with their names: `A against B: 4 steps against 9: three tools`.
pub fn reason(row: &CriterionRow, names: &[String]) -> Option<String> {
    let why = row.reason.as_ref()?;
    Some(line(&say::against(&names[why.better], &names[why.worse], &why.words())))
}

/// A row's title, with the part it is about.
pub fn title(row: &CriterionRow) -> String {
    line(&say::title(&row.title, row.role.as_deref()))
}

/// A heading and its sentences.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Section {
    /// The heading.
    pub head: String,
    /// Sentences below it.
    pub lines: Vec<String>,
    /// The same as a table, where there is one.
    pub table: Option<Differences>,
    /// The heading ends in the name of a device, and is whole without a colon.
    #[serde(skip)]
    pub named: bool,
    /// The first few sentences say most, and the list may be long.
    #[serde(skip)]
    pub long: bool,
}

impl Section {
    fn said(head: &str, lines: Vec<String>) -> Self {
        Self { head: head.to_owned(), lines, table: None, named: false, long: false }
    }
}

/// Where a device is surely ahead, whatever the answers to what is open, the difference worth most first.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Differences {
    /// The heading: `Ahead whatever the open answers: A`.
    pub head: String,
    /// Heads of four columns: criterion, the better, the worse, points.
    pub columns: [String; 4],
    /// A difference a row, a cell for each column; without points where a rule stands between.
    pub rows: Vec<[String; 4]>,
}

/// Tiers, dominance, weightings and how far weights could move, as sentences: the same for every form of text.
pub fn sections(c: &Compared<'_>) -> Vec<Section> {
    let ranking = c.ranking;
    let name = |i: usize| line(&ranking.names[i]);
    let tiers = ranking.tiers.iter().enumerate().map(|(t, list)| {
        let who: Vec<String> = list.iter().map(|&i| say::with(&name(i), &verdict(c.assessments[i]))).collect();
        say::tier(t + 1, &who)
    });
    let mut out = vec![
        Section::said(say::ORDER, tiers.collect()),
        Section::said(say::SETTLES, settles(c)),
        Section::said(say::HELD, held(c)),
    ];
    out.extend(differences(c).into_iter().map(|(lines, table)| Section {
        head: table.head.clone(),
        lines,
        table: Some(table),
        // Of two devices a table each.
        named: ranking.names.len() == 2,
        long: true,
    }));
    out.push(Section::said(say::ANY_WEIGHTS, dominance(ranking)));
    if let Some(Drawn { head, how }) = drawn(c) {
        let who = ranking.sentences.iter().enumerate().map(|(i, s)| say::named(&name(i), s));
        out.push(Section::said(&head, how.into_iter().chain(who).collect()));
    }
    out.push(Section { long: true, ..Section::said(say::MOVES, moves(c)) });
    out.retain(|s| !s.lines.is_empty());
    out
}

fn dominance(ranking: &Ranking) -> Vec<String> {
    let name = |i: usize| line(&ranking.names[i]);
    let said = |&(a, b): &(usize, usize)| say::dominates(&name(a), &name(b), ranking.limited);
    ranking.dominates.iter().map(said).collect()
}

/// Devices for which it is worked out what would settle their order: each open answer is a verdict worked out anew.
pub const SETTLED_FOR: usize = 4;

/// Where devices surely differ, the difference worth most first, as sentences and as a table: for two devices what each
/// is ahead in, for more the best against the worst. The better one is always named first.
pub fn differences(c: &Compared<'_>) -> Vec<(Vec<String>, Differences)> {
    let names: Vec<String> = c.ranking.names.iter().map(|n| line(n)).collect();
    let found = c.table.reasons();
    let decimals = c.method.scale.decimals.max(2);
    let worth = |why: &Reason| {
        let worth = why.worth.as_ref().filter(|_| !c.method.scale.verdict);
        worth.map_or_else(String::new, |w| en::at_least_shown(w, decimals))
    };
    let two = names.len() == 2;
    let sentence = |row: &CriterionRow, why: &Reason| {
        let pair = (!two).then(|| [why.better, why.worse].map(|i| names[i].as_str()));
        say::difference(&title(row), pair, &line(&why.words()), &worth(why))
    };
    let cells = |row: &CriterionRow, why: &Reason| {
        let [good, bad] = &why.read;
        let [good, bad] = [good.clone(), say::because(bad, &why.because)];
        let named = |i: usize, read: String| if two { line(&read) } else { line(&say::named(&names[i], &read)) };
        [title(row), named(why.better, good), named(why.worse, bad), worth(why)]
    };
    let list = |head: String, heads: [&str; 2], wanted: &dyn Fn(&Reason) -> bool| {
        let rows: Vec<_> = found.iter().filter(|(_, why)| wanted(why)).collect();
        let cells = rows.iter().map(|(row, why)| cells(row, why)).collect();
        let table = Differences { head, columns: say::columns(heads), rows: cells };
        (rows.iter().map(|(row, why)| sentence(row, why)).collect::<Vec<String>>(), table)
    };
    let sections = match names.as_slice() {
        [one, two] => vec![
            list(say::ahead(one), [one, two], &|r| r.better == 0),
            list(say::ahead(two), [two, one], &|r| r.better == 1),
        ],
        _ => vec![list(say::best_ahead(), say::BEST_AND_WORST, &|_| true)],
    };
    sections.into_iter().filter(|(lines, _)| !lines.is_empty()).collect()
}

/// How weights were drawn.
struct Drawn {
    head: String,
    /// What more there is to say on it, each a sentence.
    how: Vec<String>,
}

/// How weights were drawn, or why they weren't; `None` where nothing is weighed.
fn drawn(c: &Compared<'_>) -> Option<Drawn> {
    let ranking = c.ranking;
    let titles: Vec<String> = ranking.titles.iter().map(|t| line(t)).collect();
    if let Some((criterion, device)) = ranking.not_drawn {
        let (what, who) = (&titles[criterion], line(&ranking.names[device]));
        return Some(Drawn { head: say::OTHER_WEIGHTS.to_owned(), how: vec![say::none_drawn(what, &who)] });
    }
    let drawn = ranking.acceptability.as_ref()?;
    let half = Exact::parse(&format!("{:.4}", drawn.half_width * 100.0)).unwrap_or_else(Exact::zero);
    Some(Drawn {
        head: say::other_weights(titles.len(), ranking.limited),
        how: vec![
            say::drawn(&grouped(drawn.samples), drawn.draw, &half.display(2, Rounding::Up)),
            say::criteria(&titles),
        ],
    })
}

/// `40 000`.
fn grouped(n: u32) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, digit) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) && digits.len() > 4 {
            out.push(' ');
        }
        out.push(digit);
    }
    out
}

/// A share in percent with one decimal. Bounds are rounded towards the share in force, so that what is said holds.
fn percent(share: &Exact, rounding: Rounding) -> String {
    format!("{} %", (share * &Exact::from(100)).display(1, rounding))
}

/// `3.1 % to 40.0 %`; the ends themselves are outside where devices are level there.
fn between(stretch: &Stretch) -> String {
    let [low, high] = &stretch.ends;
    en::to(&percent(low, Rounding::Up), &percent(high, Rounding::Down))
}

fn holds_everywhere(stretch: &Stretch) -> bool {
    stretch.gives_way == [None, None]
}

fn named(span: &Span) -> String {
    if span.part { say::of_part(&line(&span.title)) } else { line(&span.title) }
}

/// Which devices are level at an end: `at about 3.1 % B draws level with A`.
fn gives_way(stretch: &Stretch, names: &[String]) -> Vec<String> {
    let ends = stretch.ends.iter().zip(stretch.gives_way).filter_map(|(end, pair)| Some((end, pair?)));
    ends.map(|(end, (a, b))| {
        let at = percent(end, Rounding::HalfUp);
        say::draws_level(&at, &line(&names[b]), &line(&names[a]))
    })
    .collect()
}

/// Which order the figures about weights follow, limiting factors left aside; that of the verdicts may be another.
fn followed(c: &Compared<'_>) -> String {
    let (ranking, spans) = (c.ranking, &c.ranking.spans);
    let pairs: Vec<String> =
        spans.pairs.iter().map(|&(a, b)| say::above(&line(&ranking.names[a]), &line(&ranking.names[b]))).collect();
    // Neighbours stand for all pairs that follow from them.
    let mut all: std::collections::BTreeSet<(usize, usize)> = spans.pairs.iter().copied().collect();
    loop {
        let more: Vec<(usize, usize)> = all
            .iter()
            .flat_map(|&(a, b)| all.iter().filter(move |&&(x, _)| x == b).map(move |&(_, d)| (a, d)))
            .collect();
        let before = all.len();
        all.extend(more);
        if all.len() == before {
            break;
        }
    }
    let same = all == ranking.above.iter().copied().collect();
    say::order_followed(&pairs, ranking.limited, same)
}

/// How far each weight could move, the nearest bound first; then those that change nothing, in one sentence.
fn moves(c: &Compared<'_>) -> Vec<String> {
    let (spans, names) = (&c.ranking.spans, &c.ranking.names);
    if spans.weights.is_empty() {
        return Vec::new();
    }
    let mut out: Vec<String> = nearest(spans)
        .into_iter()
        .map(|s| {
            let now = percent(&s.share, Rounding::HalfUp);
            let first = s.first.as_ref().filter(|f| **f != s.order);
            let first = first.map(|f| (!holds_everywhere(f)).then(|| between(f)));
            let first = first.as_ref().map(Option::as_deref);
            say::moves(&named(s), &now, &between(&s.order), first, &gives_way(&s.order, names))
        })
        .collect();
    let still = spans.weights.iter().filter(|s| holds_everywhere(&s.order)).count();
    if out.is_empty() || still > 0 {
        out.push(say::still(still, !out.is_empty()));
    }
    out.push(followed(c));
    if !spans.untold.is_empty() {
        // A role stands for itself.
        let title = |id: &String| {
            let found = c.assessments.iter().find_map(|a| a.find(id));
            line(found.map_or(id, |node| &node.title))
        };
        let untold: Vec<String> = spans.untold.iter().map(title).collect();
        out.push(say::not_followed(&untold));
    }
    out
}

/// Weights that change the order somewhere, the one with the nearest bound first.
fn nearest(spans: &Spans) -> Vec<&Span> {
    let mut list: Vec<&Span> = spans.weights.iter().filter(|s| !holds_everywhere(&s.order)).collect();
    let gap = |s: &Span| {
        let ends = s.order.ends.iter().zip(&s.order.gives_way).filter(|(_, g)| g.is_some());
        ends.map(|(end, _)| if *end < s.share { &s.share - end } else { end - &s.share }).min()
    };
    list.sort_by_key(|s| gap(s));
    list
}
