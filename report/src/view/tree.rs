//! The tree of criteria: every number with its because.

use std::collections::{BTreeMap, BTreeSet};

use scoring::exact::{Exact, Rounding};
use scoring::method::{Combine, MeasureScale, Method};
use scoring::range::{Graded, GradedKind, NodeEnd};

use super::Applied;
use super::place::{Places, unique};
use super::routes::Routes;
use super::types::{End, Margin, ReasonedNode, Rule, Sum, SumRow};
use crate::clean::{line, slug};
use crate::plural::list;
use crate::words;
use crate::words::english::{self as en, POINTS_OF_PERCENT};

/// Builds nodes of one assessment.
pub(super) struct TreeView<'a> {
    pub(super) applied: &'a Applied<'a>,
    pub(super) assessment: usize,
    pub(super) places: &'a Places<'a>,
    pub(super) routes: &'a Routes,
    pub(super) key: &'a str,
    pub(super) anchors: BTreeSet<String>,
    /// Points tables in words, by criterion of the method.
    pub(super) tables: BTreeMap<String, String>,
    /// Number of each unknown of the assessment in the report.
    pub(super) numbers: Vec<usize>,
}

/// The name of an end.
const ENDS: [&str; 2] = ["low", "high"];

impl TreeView<'_> {
    fn decimals(&self) -> u8 {
        decimals(&self.applied.assessment.method)
    }

    fn verdict(&self) -> bool {
        self.applied.assessment.method.scale.verdict
    }

    /// Points as shown inside the tree.
    pub(super) fn points(&self, value: &Exact) -> String {
        points(&self.applied.assessment.method, value)
    }

    /// A range as shown inside the tree.
    pub(super) fn range(&self, low: Option<&Exact>, high: Option<&Exact>) -> String {
        match (low, high) {
            (Some(l), Some(h)) => {
                let (l, h) = (self.points(l), self.points(h));
                match (l == h, self.verdict()) {
                    (true, _) => l,
                    (false, true) => en::NOT_SETTLED.to_owned(),
                    (false, false) => en::to(&l, &h),
                }
            }
            (None, Some(one)) | (Some(one), None) => en::left_out_or(&self.points(one)),
            (None, None) => en::LEFT_OUT.to_owned(),
        }
    }

    pub(super) fn node(&mut self, graded: &Graded, root: bool) -> ReasonedNode {
        let anchor = unique(format!("{}-{}", self.key, slug(&short(&graded.id))), &mut self.anchors);
        let children: Vec<ReasonedNode> = graded.children.iter().map(|c| self.node(c, false)).collect();
        let ends = self.ends(graded);
        let sum = self.sum(graded, &children, root);
        ReasonedNode {
            id: graded.id.clone(),
            anchor,
            title: line(&graded.title),
            role: graded.role.as_deref().map(line),
            group: graded.group.map(en::group),
            kind: kind(&graded.kind),
            weight: graded.weight.plain(),
            range: if self.perhaps(graded) {
                en::NOT_SETTLED.to_owned()
            } else {
                self.range(graded.low.as_ref(), graded.high.as_ref())
            },
            low: graded.low.as_ref().map(|v| self.points(v)),
            high: graded.high.as_ref().map(|v| self.points(v)),
            exact_low: graded.low.as_ref().map(Exact::to_string),
            exact_high: graded.high.as_ref().map(Exact::to_string),
            attained: graded.exact,
            attained_low: graded.attained[0],
            attained_high: graded.attained[1],
            rule: rule(&graded.rule),
            unknowns: self.numbered(&graded.unknowns),
            how: how(&ends, sum.as_ref(), graded),
            ends,
            sum,
            table: self.table(graded),
            perhaps: self.perhaps(graded),
            either: matches!(graded.kind, GradedKind::Group(Combine::Best)),
            form: self.form(graded),
            of_device: matches!(&graded.kind, GradedKind::Leaf { measure, .. } if !measure.per_part()),
            children,
        }
    }

    /// A requirement on a role the device may not have: where it has none, nothing is asked, so it is no sure fail.
    fn perhaps(&self, graded: &Graded) -> bool {
        let worst = |v: &Option<Exact>| v.as_ref().is_some_and(Exact::is_zero);
        let unmentioned = |role: &str| self.applied.assessment.roles.iter().any(|r| r.role == role && r.unmentioned);
        self.verdict() && worst(&graded.high) && graded.role.as_deref().is_some_and(unmentioned)
    }

    /// Whether a requirement is met, from its numbers.
    fn form(&self, graded: &Graded) -> &'static str {
        let met = |v: &Option<Exact>| v.as_ref().map(|v| !v.is_zero());
        match (met(&graded.low), met(&graded.high)) {
            _ if !self.verdict() => "",
            (None, None) => "",
            (Some(true), Some(true)) => "yes",
            (Some(false), Some(false)) if !self.perhaps(graded) => "no",
            _ => "open",
        }
    }

    fn numbered(&self, unknowns: &[usize]) -> Vec<usize> {
        let mut out: Vec<usize> = unknowns.iter().filter_map(|u| self.numbers.get(*u).copied()).collect();
        out.sort_unstable();
        out
    }

    fn table(&self, graded: &Graded) -> String {
        if matches!(graded.kind, GradedKind::Group(_)) {
            return String::new();
        }
        let own = graded.role.as_ref().and_then(|r| graded.id.strip_suffix(r.as_str())?.strip_suffix('/'));
        let id = own.unwrap_or(&graded.id);
        // An `each` that is itself a criterion unfolds into leaves called `ID/part/ROLE`.
        let found = self.tables.get(id).or_else(|| self.tables.get(id.strip_suffix("/part")?));
        found.cloned().unwrap_or_default()
    }

    fn ends(&self, graded: &Graded) -> Vec<End> {
        let route = |e: usize| graded.ends[e].part.and_then(|p| self.routes.of(self.assessment, e, p));
        let [low, high] = &graded.ends;
        let alike = low == high && route(0) == route(1) && decided(graded, 0) == decided(graded, 1);
        if alike {
            return vec![self.end(graded, low, 0, "both", route(0))];
        }
        let mut ends: Vec<End> =
            [low, high].into_iter().enumerate().map(|(e, n)| self.end(graded, n, e, ENDS[e], route(e))).collect();
        let places = |e: &End| e.evidence.iter().map(|v| v.place.clone()).collect::<Vec<_>>();
        ends[1].again = places(&ends[0]) == places(&ends[1]);
        ends
    }

    fn end(&self, graded: &Graded, at: &NodeEnd, end: usize, name: &'static str, route: Option<usize>) -> End {
        let margins = self.margins(graded, at);
        let open = |path: &str| self.applied.assessment.unknowns.iter().any(|u| u.path == path);
        let evidence: Vec<_> = at
            .evidence
            .iter()
            .map(|e| {
                let mut told = self.places.evidence(e);
                // What is read at an end of a fact nobody established was neither seen nor stated.
                if open(&e.path) {
                    en::NOBODY_ESTABLISHED.clone_into(&mut told.basis);
                }
                told
            })
            .collect();
        let told = |anchor: &Option<String>| {
            let lines = route.map_or(&[][..], |r| &self.routes.get(r).lines);
            anchor.is_some() && lines.iter().any(|l| l.anchor == *anchor)
        };
        let in_ledger = evidence.len() > 2 && evidence.iter().all(|e| told(&e.anchor));
        let attained = self.applied.assessment.attained;
        End {
            end: name,
            attained: if name == "both" { attained == [true; 2] } else { attained[end] },
            label: match name {
                "both" if attained == [true; 2] => "",
                "both" => words::both_ends(attained),
                _ => words::end(attained[end], end == 1),
            },
            points: at.points.as_ref().map(|v| self.points(v)),
            exact: at.points.as_ref().map(Exact::to_string),
            said: measured(&graded.kind, &at.said),
            note: at.note.as_deref().map(line),
            margin: in_words(&margins),
            margins,
            decided: decided(graded, end),
            evidence,
            in_ledger,
            again: false,
            route,
        }
    }

    fn margins(&self, graded: &Graded, at: &NodeEnd) -> Vec<Margin> {
        let (GradedKind::Leaf { measure, .. }, Some(margin)) = (&graded.kind, &at.margin) else {
            return Vec::new();
        };
        let number = measure.scale() == MeasureScale::Number;
        let less = en::less(!number && measure.unit() != "%");
        let (better, worse) = if number { (en::MORE, less) } else { (less, en::MORE) };
        [(&margin.better, better, true), (&margin.worse, worse, false)]
            .into_iter()
            .filter_map(|(to, way, better)| {
                let (by, points) = to.as_ref()?;
                // A share that is 12 % and should be 10 % is 2 percentage points away, not 2 %.
                let unit = if measure.unit() == "%" { POINTS_OF_PERCENT } else { measure.unit() };
                Some(Margin { by: amount(by), unit, way, points: self.points(points), better })
            })
            .collect()
    }

    fn sum(&self, graded: &Graded, children: &[ReasonedNode], root: bool) -> Option<Sum> {
        let GradedKind::Group(how @ (Combine::Mean | Combine::Sum)) = &graded.kind else {
            return None;
        };
        if self.verdict() || children.is_empty() {
            return None;
        }
        let at = |e: usize| graded.children.iter().map(|c| c.ends[e].points.clone()).collect::<Vec<_>>();
        let ends: Vec<usize> = if at(0) == at(1) { vec![0] } else { vec![0, 1] };
        let attained = self.applied.assessment.attained;
        let names = match ends[..] {
            [_] => vec![words::both_ends(attained)],
            _ => vec![words::end(attained[0], false), words::end(attained[1], true)],
        };
        let mut rows: Vec<SumRow> = children
            .iter()
            .zip(&graded.children)
            .map(|(node, child)| SumRow {
                title: match &child.role {
                    Some(role) if graded.role.is_none() => line(role),
                    _ => node.title.clone(),
                },
                anchor: node.anchor.clone(),
                weight: node.weight.clone(),
                points: Vec::new(),
                share: Vec::new(),
            })
            .collect();
        let (mut rounding, mut total) = (Vec::new(), Vec::new());
        for &e in &ends {
            let there = || graded.children.iter().filter(|c| c.ends[e].points.is_some());
            let divisor = match how {
                Combine::Mean => there().map(|c| c.weight.clone()).sum(),
                _ => Exact::one(),
            };
            let mut shown = Exact::zero();
            for (row, child) in rows.iter_mut().zip(&graded.children) {
                let Some(points) = &child.ends[e].points else {
                    row.points.push(en::LEFT_OUT.to_owned());
                    row.share.push(String::new());
                    continue;
                };
                let share = (&child.weight * points).checked_div(&divisor).unwrap_or_else(Exact::zero);
                let share = self.points(&share);
                shown = &shown + &Exact::parse(&share).unwrap_or_else(Exact::zero);
                row.points.push(self.points(points));
                row.share.push(share);
            }
            let whole = graded.ends[e].points.as_ref().map_or_else(|| en::LEFT_OUT.to_owned(), |p| self.points(p));
            let rest = Exact::parse(&whole).map_or_else(Exact::zero, |w| &w - &shown);
            rounding.push(rest);
            total.push(whole);
        }
        let rounding = rounding
            .iter()
            .any(|r| !r.is_zero())
            .then(|| rounding.iter().map(|r| r.display(self.decimals(), Rounding::HalfUp)).collect());
        let method = &self.applied.assessment.method;
        let shown = (root && method.scale.decimals < self.decimals()).then(|| {
            ends.iter()
                .map(|&e| graded.ends[e].points.as_ref().map_or_else(String::new, |p| scoring::range::show(method, p)))
                .collect()
        });
        Some(Sum { ends: names, rows, rounding, total, shown })
    }
}

/// A difference as it is said: exact where it has a short form.
fn amount(by: &Exact) -> String {
    let plain = by.plain();
    if plain.contains('/') { en::about(&by.display(1, Rounding::HalfUp)) } else { plain }
}

/// An id without what every part's has, and of roles that go together the first.
fn short(id: &str) -> String {
    let pieces: Vec<&str> = id.split('/').filter(|p| *p != "part").collect();
    pieces.iter().map(|p| p.split(" | ").next().unwrap_or(p)).collect::<Vec<_>>().join("/")
}

/// `2 steps fewer would give 8.00; 1 more, 4.00`.
fn in_words(margins: &[Margin]) -> Option<String> {
    let (first, rest) = margins.split_first()?;
    let mut out = needs(first);
    for m in rest {
        out.push_str(&format!("; {}", en::would_give_too(&m.by, m.way, &m.points)));
    }
    Some(out)
}

/// `1 step fewer would give 8.00`.
pub(super) fn needs(margin: &Margin) -> String {
    en::would_give(&margin.by, margin.unit, margin.way, &margin.points)
}

/// Criteria as low, or as high, that are named together; of more, and of parts, the first stands for all.
const NAMED_TOGETHER: usize = 3;

/// Which child decided at one end, where a single one does, or few criteria that are as low.
fn decided(graded: &Graded, end: usize) -> Option<String> {
    let first = deciding(graded, end)?;
    if let Some(role) = first.role.as_ref().filter(|_| graded.role.is_none()) {
        return Some(format!("{}, {}", line(&first.title), line(role)));
    }
    let one_counts = matches!(graded.kind, GradedKind::Group(Combine::Worst | Combine::Best));
    let value = &first.ends[end].points;
    let as_low = graded.children.iter().filter(|c| one_counts && c.ends[end].points == *value);
    let alike: Vec<String> = as_low.map(|c| line(&c.title)).collect();
    let few = graded.role.is_none() && (2..=NAMED_TOGETHER).contains(&alike.len());
    Some(if few { list(&alike) } else { line(&first.title) })
}

/// The child a lowest, highest, limited or gated node takes its value from at one end.
pub(super) fn deciding(graded: &Graded, end: usize) -> Option<&Graded> {
    let GradedKind::Group(how) = &graded.kind else {
        return None;
    };
    let value = graded.ends[end].points.as_ref()?;
    match how {
        Combine::Mean | Combine::Sum | Combine::Apart => None,
        Combine::Worst | Combine::Best => graded.children.iter().find(|c| c.ends[end].points.as_ref() == Some(value)),
        Combine::Cap => {
            let first = graded.children.first()?;
            if first.ends[end].points.as_ref() == Some(value) {
                return Some(first);
            }
            graded.children[1..].iter().find(|c| c.ends[end].points.as_ref() == Some(value))
        }
        Combine::Gate => {
            let first = graded.children.first()?;
            let barred =
                graded.children[1..].iter().find(|c| c.ends[end].points.as_ref().is_some_and(|p| *p < Exact::one()));
            Some(barred.unwrap_or(first))
        }
    }
}

/// Terms of a sum that are told one by one.
const MANY_TERMS: usize = 4;

/// How a group came to its value, in a line.
fn how(ends: &[End], sum: Option<&Sum>, graded: &Graded) -> String {
    let mean = matches!(graded.kind, GradedKind::Group(Combine::Mean));
    if let Some(sum) = sum {
        let one = |e: usize| {
            let there = || sum.rows.iter().filter(|r| !r.share[e].is_empty());
            // Of many, those with the same points are one term: their weights added.
            let mut alike: Vec<(Exact, String, &str)> = Vec::new();
            for row in there() {
                let weight = Exact::parse(&row.weight).unwrap_or_else(Exact::zero);
                match alike.iter_mut().find(|(_, _, points)| sum.rows.len() > MANY_TERMS && *points == row.points[e]) {
                    Some((all, shown, _)) => {
                        *all = &*all + &weight;
                        *shown = all.plain();
                    }
                    None => alike.push((weight, row.weight.clone(), &row.points[e])),
                }
            }
            let terms: Vec<String> = alike.iter().map(|(_, weight, points)| format!("{weight} × {points}")).collect();
            let weights: Exact = there().filter_map(|r| Exact::parse(&r.weight)).sum();
            match (terms.is_empty(), mean) {
                (true, _) => en::NOTHING_TO_COUNT.to_owned(),
                (false, true) => format!("({}) / {} = {}", terms.join(" + "), weights.plain(), sum.total[e]),
                (false, false) => format!("{} = {}", terms.join(" + "), sum.total[e]),
            }
        };
        let told: Vec<String> = (0..sum.ends.len())
            .map(|e| if sum.ends.len() > 1 { format!("{}: {}", sum.ends[e], one(e)) } else { one(e) })
            .collect();
        return told.join("; ");
    }
    // Of limits: the criteria decide where none binds.
    let free = |d: &str| {
        matches!(graded.kind, GradedKind::Group(Combine::Cap))
            && graded.children.first().is_some_and(|c| line(&c.title) == d)
    };
    let set = |d: &String| if free(d) { en::NO_LIMIT_BINDS.to_owned() } else { en::set_by(d) };
    if let [low, high] = ends
        && low.decided == high.decided
    {
        return low.decided.as_ref().map_or_else(String::new, set);
    }
    let told: Vec<String> = ends
        .iter()
        .filter_map(|e| {
            let decided = set(e.decided.as_ref()?);
            Some(if e.label.is_empty() { decided } else { format!("{} {decided}", en::labelled(e.label)) })
        })
        .collect();
    told.join("; ")
}

/// What was read, in words that say something beside the name of the criterion.
pub(super) fn measured(kind: &GradedKind, said: &str) -> String {
    match kind {
        GradedKind::Leaf { measure, .. } => en::read_as(measure, &line(said)),
        GradedKind::Group(_) => line(said),
    }
}

fn kind(kind: &GradedKind) -> String {
    match kind {
        GradedKind::Group(how) => en::combined(*how).to_owned(),
        GradedKind::Leaf { measure, .. } => en::measured_by(&line(&measure.word())),
    }
}

/// Digits after the point inside the tree: two, or as many as the total is shown with.
fn decimals(method: &Method) -> u8 {
    method.scale.decimals.max(2)
}

/// Points as shown inside the tree of a method.
pub(crate) fn points(method: &Method, value: &Exact) -> String {
    if method.scale.verdict {
        return scoring::range::show(method, value);
    }
    value.display(decimals(method), Rounding::HalfUp)
}

pub(crate) fn rule(rule: &scoring::method::Rule) -> Rule {
    use scoring::vocab::Words;
    let phrase = rule.certainty.phrase();
    Rule {
        text: line(&scoring::method::sentence(&rule.text)),
        clause: line(&rule.clause),
        source: line(&rule.source),
        certainty: rule.certainty.word().to_owned(),
        // An own choice is said once.
        phrase: if super::appendix::says(&rule.source, phrase) { String::new() } else { phrase.to_owned() },
        switch: rule.switch.as_deref().map(line),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// From 12.4 % to 10 % is 2.4 percentage points, but about 19 % less.
    #[rstest]
    #[case("about 2.4", POINTS_OF_PERCENT, "about 2.4 percentage points less would give 10.00")]
    #[case("1", POINTS_OF_PERCENT, "1 percentage point less would give 10.00")]
    #[case("1", "years", "1 year less would give 10.00")]
    #[case("2", "code digit", "2 code digits less would give 10.00")]
    fn differences_have_their_unit(#[case] by: &str, #[case] unit: &'static str, #[case] told: &str) {
        let margin = Margin { by: by.to_owned(), unit, way: "less", points: "10.00".to_owned(), better: true };
        assert_eq!(needs(&margin), told);
    }
}
