//! The reference route to any part, with the range of its steps over everything nobody established.
//!
//! The question "how many steps" is put to the library as a method of one criterion, so that ranges, certificates and
//! the completions at both ends come from the same machinery as every verdict.

use super::assessment::{Assessment, Completion};
use super::case::{Case, Unknown};
use super::study::Effort;
use super::ways::{Price, Priced, PricedEnd, priced};
use crate::assess::back::{Back, back};
use crate::assess::evidence::Witness;
use crate::assess::joint::Wanted;
use crate::assess::ledger::{LedgerLine, ledger};
use crate::assess::performed::{Beside, InTheWay, beside, in_the_way};
use crate::assess::time::{Duration, Times, duration};
use crate::assess::{PartRoute, Reach};
use crate::exact::Exact;
use crate::method::{
    Applies, Cited, Combine, Criterion, CriterionKind, Measure, Method, PartSet, Points, Reading, Remote, Roles, Rule,
};
use crate::record::complete::Complete;
use crate::record::{
    Action, ActionFields, After, Aim, Fact, Known, Margin, Need, Outcome, Part, Record, Role, ToolSet, Work,
};
use crate::route::Limits;
use crate::text::fields::left_out;
use crate::text::{Spanned, fold};
use crate::vocab::{Place, Skill};

/// Steps beyond which the range is cut: no route of a record that can be read has more.
const MOST: i64 = 4_000_000_000;
/// The one role of the one criterion; in no vocabulary.
const TARGET: &str = "target of the route";
/// Stands for several parts at once; no record can hold this name.
const SEVERAL: &str = "\u{1}several";

/// What was asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The step rule.
    pub method: &'a Method,
    /// What the way is shortest in.
    pub by: By<'a>,
    /// Effort of ranges and searches.
    pub effort: Effort,
    /// What stands in the way is wanted.
    pub why: bool,
    /// The way back is wanted.
    pub back: bool,
}

/// What a way is shortest in.
#[derive(Clone, Copy, Debug)]
pub enum By<'t> {
    /// Counted steps.
    Steps,
    /// Hands-on time.
    Time(&'t Times),
    /// Parts taken off.
    Parts,
}

/// What was wanted and the ways to it.
pub struct Ways {
    /// The parts wanted.
    pub wanted: Wanted,
    /// Roles the part fills, where one was wanted.
    pub roles: Vec<String>,
    /// Fewest and most steps over all completions; `None`: can't be reached without damage there. By another cost: steps of
    /// the routes at both ends.
    pub steps: [Option<u32>; 2],
    /// No completion counts fewer than this.
    pub at_least: u32,
    /// The numbers are proved: routes shortest, and both ends of the range attained.
    pub proved: bool,
    /// The numbers at the fewest and at the most are those of some completion; false: a bound, and the route beside it is one
    /// of a completion that was tried.
    pub attained: [bool; 2],
    /// Questions that bear on it.
    pub questions: Vec<Unknown>,
    /// At the least and at the greatest cost.
    pub ends: [End; 2],
}

/// The route in one completion.
pub struct End {
    /// Everything read on the route.
    pub route: PartRoute,
    /// Its ledger.
    pub lines: Vec<LedgerLine>,
    /// Answers it supposes: question path and answer.
    pub supposes: Vec<(String, String)>,
    /// What the route costs, where steps are not the cost: nominal milliseconds, or parts.
    pub cost: Option<u64>,
    /// How long it takes, where that was asked.
    pub time: Option<Duration>,
    /// What stands beside it; nothing where steps are not the cost.
    pub beside: Option<Beside>,
    /// What stands in the way, where that was asked.
    pub why: Option<Vec<InTheWay>>,
    /// The way back, where that was asked.
    pub back: Option<Back>,
}

/// The ways to what is wanted, each with the ledger of the reference route at both ends of its range. Parts and roles are those
/// of the record (see [`parts`]); `None` where no route was worked out to them.
pub fn to(record: &Record, wanted: &Wanted, asked: &Asked<'_>) -> Option<Ways> {
    match asked.by {
        By::Steps => by_steps(record, wanted, asked),
        By::Time(times) => Some(by_price(record, wanted, asked, Price::Time(times))),
        By::Parts => Some(by_price(record, wanted, asked, Price::Parts)),
    }
}

fn by_steps(record: &Record, wanted: &Wanted, asked: &Asked<'_>) -> Option<Ways> {
    let several = wanted.parts.len() > 1;
    let (probe, roles) = if several { (joined(record, wanted), Vec::new()) } else { aimed(record, &wanted.parts[0]) };
    // Taking off what stands for several parts is one removal by hand at the very end: one step more on every route.
    let extra = u32::from(several);
    let found = Assessment::new(&probe, &question(asked.method), asked.effort);
    let steps = |value: &Option<Exact>| -> Option<u32> {
        let value = &Exact::zero() - value.as_ref()?;
        value.plain().parse().ok().filter(|n: &u32| i64::from(*n) < MOST).map(|n| n.saturating_sub(extra))
    };
    // Fewer steps are more points: the high end has the fewest.
    let [most, fewest] = &found.ends;
    let read = |completion: &Completion| -> Option<End> {
        let mut route = completion.evaluated.routes.values().next()?.clone();
        if several && route.taken.pop().is_some() {
            route.ledger.pop();
            route.steps = route.steps.saturating_sub(extra);
            route.at_least = route.at_least.saturating_sub(extra);
        }
        Some(end(record, &completion.device, wanted, asked, route, completion.answers.clone()))
    };
    let [fewest, most] = [read(fewest)?, read(most)?];
    Some(Ways {
        wanted: wanted.clone(),
        roles,
        steps: [steps(&found.root.high), steps(&found.root.low)],
        at_least: fewest.route.at_least,
        proved: found.root.exact && [&fewest, &most].iter().all(|e| e.route.steps == e.route.at_least),
        attained: [found.attained[1], found.attained[0]],
        questions: found.unknowns,
        ends: [fewest, most],
    })
}

fn by_price(record: &Record, wanted: &Wanted, asked: &Asked<'_>, price: Price<'_>) -> Ways {
    // Whichever part the probe aims at, the case has every action; only its questions about roles are left out.
    let (probe, roles) = aimed(record, &wanted.parts[0]);
    let case = Case::new(&probe, &question(asked.method));
    let rule = &asked.method.steps;
    let Priced { ends, unknowns, whole } = priced(&probe, &case, rule, wanted, price, asked.effort);
    let proved = whole && ends.iter().all(|e| e.at_least >= e.cost);
    let steps = ends.each_ref().map(|e| (e.route.reach == Reach::Yes).then_some(e.route.steps));
    let ends = ends.map(|e| {
        let PricedEnd { device, answers, route, cost, .. } = e;
        let time = match price {
            Price::Time(times) if !route.taken.is_empty() => Some(duration(times, record, &device, &route)),
            _ => None,
        };
        End { cost: Some(cost), time, ..end(record, &device, wanted, asked, route, answers) }
    });
    let roles = if wanted.parts.len() > 1 { Vec::new() } else { roles };
    Ways { wanted: wanted.clone(), roles, steps, at_least: 0, proved, attained: [whole; 2], questions: unknowns, ends }
}

fn end(
    record: &Record,
    device: &Complete,
    wanted: &Wanted,
    asked: &Asked<'_>,
    route: PartRoute,
    supposes: Vec<(String, String)>,
) -> End {
    let witness = Witness { record, device };
    let limits = Limits { states: asked.effort.states };
    let rule = &asked.method.steps;
    let by_steps = matches!(asked.by, By::Steps);
    // What is added for remote authorisation is added to every way to the part.
    let more = route.authorisation;
    let mut beside = by_steps.then(|| beside(&witness, rule, wanted, &route, limits));
    if let Some(destructive) = beside.as_mut().and_then(|b| b.destructive.as_mut()) {
        destructive.steps = destructive.steps.saturating_add(more);
    }
    let mut why = asked.why.then(|| in_the_way(&witness, rule, wanted, limits));
    why.iter_mut().flatten().for_each(|it| it.steps = it.steps.saturating_add(more));
    End {
        lines: ledger(&witness, &route),
        supposes,
        cost: None,
        time: None,
        beside,
        why,
        back: asked.back.then(|| back(&witness, &route)),
        route,
    }
}

/// The record with one more part that comes off by hand once all the parts wanted are off, or any of them, and no other role.
fn joined(record: &Record, wanted: &Wanted) -> Record {
    let (mut probe, _) = aimed(record, SEVERAL);
    let span = record.device.name.span;
    let need = |name: &String| Need::Is(Spanned::new(name.clone(), span));
    let needs = if wanted.any {
        vec![Need::Any(wanted.parts.iter().map(|p| vec![need(p)]).collect(), span)]
    } else {
        wanted.parts.iter().map(need).collect()
    };
    let path = format!("actions[{}]", probe.actions.len());
    if let Some(part) = probe.parts.last_mut() {
        // A surcharge belongs to scored parts.
        part.paired = Fact::implied(Known::Is(false), span, "");
    }
    let mut fields = ActionFields::default();
    fields.place = Some(Fact::implied(Known::Is(Place::Use), span, path.clone()));
    fields.skill = Some(Fact::implied(Known::Is(Skill::Layman), span, path.clone()));
    probe.actions.push(Action {
        span,
        path: path.clone(),
        id: SEVERAL.to_owned(),
        aim: Aim::Free(vec![Spanned::new(SEVERAL.to_owned(), span)]),
        uncut: false,
        with: vec![Work { ways: Fact::implied(Known::Is(vec![ToolSet::default()]), span, path.clone()), single: true }],
        loosen: Vec::new(),
        loosen_stated: true,
        after: Spanned::new(After::Needs(needs), span),
        outcome: Spanned::new(Outcome::Done, span),
        aside: Vec::new(),
        cleans: false,
        makes_safe: false,
        safe_together: false,
        hazards: Vec::new(),
        margin: Margin::default(),
        fields,
    });
    probe
}

/// Every part of a record by its name, declared ones first.
pub fn all_parts(record: &Record) -> Vec<String> {
    let mut all: Vec<String> = record.parts.iter().map(|p| p.name.value.clone()).collect();
    for action in &record.actions {
        if let Aim::Free(freed) = &action.aim {
            for part in freed {
                if !all.iter().any(|p| fold(p) == fold(&part.value)) {
                    all.push(part.value.clone());
                }
            }
        }
    }
    all
}

/// Parts by name or role, each once; all of them where none is named.
///
/// # Errors
/// The first name that no part has and no part fills.
pub fn parts<'n>(record: &Record, named: &'n [String]) -> Result<Vec<String>, &'n str> {
    let all = all_parts(record);
    if named.is_empty() {
        return Ok(all);
    }
    let mut out: Vec<String> = Vec::new();
    for name in named {
        let key = fold(name);
        let mut found: Vec<String> = all.iter().filter(|p| fold(p) == key).cloned().collect();
        if found.is_empty() {
            let fills = |p: &&crate::record::Part| p.roles.iter().any(|r| fold(&r.value.name) == key);
            found = record.parts.iter().filter(fills).map(|p| p.name.value.clone()).collect();
        }
        if found.is_empty() {
            return Err(name);
        }
        out.extend(found.into_iter().filter(|f| !out.contains(f)).collect::<Vec<_>>());
    }
    Ok(out)
}

/// The record with one role left, that of the target; and the roles the target really fills.
fn aimed(record: &Record, part: &str) -> (Record, Vec<String>) {
    let mut probe = record.clone();
    let target = |span| Spanned::new(Role { name: TARGET.to_owned(), secondary: false }, span);
    let mut roles = Vec::new();
    let mut declared = false;
    for one in &mut probe.parts {
        let is = fold(&one.name.value) == fold(part);
        if is {
            roles = one.roles.iter().map(|r| r.value.name.clone()).collect();
            declared = true;
        }
        one.roles = if is { vec![target(one.name.span)] } else { Vec::new() };
    }
    if !declared {
        let span = probe.device.name.span;
        let Some(fields) = left_out(span, "") else { return (probe, roles) };
        probe.parts.push(Part {
            name: Spanned::new(part.to_owned(), span),
            roles: vec![target(span)],
            same_as: None,
            not_attempted: None,
            hazards: Vec::new(),
            margin: Margin::default(),
            fields,
        });
    }
    (probe, roles)
}

/// A method that asks for the steps to the target and nothing else: minus one point a step.
fn question(method: &Method) -> Method {
    let mut out = method.clone();
    if out.steps.remote == Remote::LeastPoints {
        // It is about points, and steps are asked for.
        out.steps.remote = Remote::Nothing;
    }
    let rule = &method.steps.rule;
    let cited =
        |value: Exact| Cited { value, certainty: None, source: None, note: None, unread: false, span: method.span };
    out.part_sets = vec![PartSet {
        id: None,
        left_out: false,
        categories: Vec::new(),
        forms: Vec::new(),
        weights: vec![(TARGET.to_owned(), cited(Exact::one()))],
        sum: None,
        own_roles: false,
        rule: rule.clone(),
        span: method.span,
    }];
    let corners = vec![(Exact::zero(), cited(Exact::zero())), (Exact::from(MOST), cited(Exact::from(-MOST)))];
    let kind =
        CriterionKind::Leaf { measure: Measure::Depth, reading: Reading::Route, points: Points::Linear(corners) };
    let leaf = node("steps", rule, kind, method);
    let each = CriterionKind::Each { roles: Roles::Priority, how: Combine::Mean, node: Box::new(leaf) };
    out.root = node("route", rule, each, method);
    out.classes = None;
    out.sub_scores = Vec::new();
    out
}

fn node(id: &str, rule: &Rule, kind: CriterionKind, method: &Method) -> Criterion {
    Criterion {
        id: id.to_owned(),
        title: id.to_owned(),
        short: None,
        weight: None,
        rule: rule.clone(),
        group: None,
        applies: Applies::default(),
        weights_sum: None,
        kind,
        span: method.span,
    }
}
