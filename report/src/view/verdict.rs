//! One assessment as the report tells it: verdict, range, reason.

use std::collections::{BTreeMap, BTreeSet};

use scoring::exact::{Exact, Rounding};
use scoring::method::{Combine, Standing};
use scoring::range::{Assessment, Graded, GradedKind, Question, Rest};
use scoring::record::Record;

use super::place::{Places, percent};
use super::reasons::{Cited, reasons};
use super::routes::Routes;
use super::tree::TreeView;
use super::types::{
    Assessed, Assumed, Bar, Counts, Matrix, MatrixCell, MatrixRow, ReasonedNode, RoleSaid, Score, Unknown,
};
use super::{Applied, Job, appendix, effects, title};
use crate::clean::line;
use crate::plural::list;
use crate::words::english::{self as en, lower};

/// Tells one assessment.
pub(super) fn assessed(
    job: &Job<'_>,
    places: &Places<'_>,
    routes: &Routes,
    index: usize,
    applied: &Applied<'_>,
    key: String,
) -> Assessed {
    let a = applied.assessment;
    let mut cited = Cited::default();
    let tables = appendix::tables(&a.method, &mut cited);
    // A letter for each method keeps the thousands of links short.
    let prefix = u8::try_from(index)
        .ok()
        .filter(|i| *i < 26)
        .map_or_else(|| format!("z{index}"), |i| char::from(b'a' + i).to_string());
    let order = order(applied);
    let mut numbers = vec![0; order.len()];
    order.iter().enumerate().for_each(|(place, &u)| numbers[u] = place + 1);
    let anchors = BTreeSet::new();
    let mut tree = TreeView { applied, assessment: index, places, routes, key: &prefix, anchors, tables, numbers };
    let root = tree.node(&a.root, true);
    let show = |v: &Option<Exact>| v.as_ref().map_or_else(|| en::DOES_NOT_APPLY.to_owned(), |v| line(&a.show(v)));
    let no_total = a.method.no_total();
    let show = |v: &Option<Exact>| if no_total.is_some() { en::NO_TOTAL.to_owned() } else { show(v) };
    let (low, high) = (show(&a.root.low), show(&a.root.high));
    let range = match (low == high, a.method.scale.verdict) {
        (true, _) => low.clone(),
        (false, true) => en::NOT_SETTLED.to_owned(),
        (false, false) => en::to(&low, &high),
    };
    let verdict = a.method.scale.verdict;
    let scores = a.root.low.is_some() || a.root.high.is_some();
    // What doesn't apply anyway needs no day.
    let range = if verdict && scores { a.standing.said(&range) } else { range };
    let points = scores && !verdict;
    let out_of = if points { en::out_of(&a.method.scale.high.plain()) } else { String::new() };
    let [class_low, class_high] = a.classes.as_ref().map_or([None, None], |c| [Some(line(&c[0])), Some(line(&c[1]))]);
    let class = match (&class_low, &class_high) {
        (Some(l), Some(h)) => en::class(l, h),
        _ => String::new(),
    };
    // A class is said with the day its rule binds from, a score without classes with its scale.
    let (class, out_of) = match (verdict || !scores, class.is_empty()) {
        (true, _) => (class, out_of),
        (false, false) => (a.standing.said(&class), out_of),
        (false, true) => (class, a.standing.said(&out_of)),
    };
    let score = |id: &str| {
        let (graded, node) = (a.find(id)?, find(&root, id)?);
        Some(Score {
            title: node.title.clone(),
            range: would(verdict && a.standing.day().is_some(), node.range.clone()),
            exact: exact(graded),
            out_of: if points && scored(graded) { en::out_of(&graded.scale.1.plain()) } else { String::new() },
            anchor: node.anchor.clone(),
            bar: bar(&tree, a, graded, &node.title),
            unknowns: graded.unknowns.len(),
            attained: graded.exact,
            bounds: if graded.exact || !scored(graded) { String::new() } else { bounds_of(graded, &node.range) },
            left_out: if scored(graded) { String::new() } else { left_out(a, graded) },
            without: None,
        })
    };
    let [bench_without, full_without] = &applied.others.without;
    // Where the bench shows nothing the method asks about, there is one verdict.
    let headline = applied.others.bench.as_ref().filter(|b| scored(&b.root)).map(|bench| Score {
        title: en::BENCH_VERDICT.to_owned(),
        range: said_of(bench),
        exact: exact(&bench.root),
        out_of: if points { en::out_of(&bench.method.scale.high.plain()) } else { String::new() },
        anchor: root.anchor.clone(),
        bar: bar(&tree, bench, &bench.root, en::BENCH_VERDICT),
        unknowns: bench.unknowns.len(),
        attained: bench.root.exact,
        bounds: crate::words::bounds(&bench.range(), &bench.method),
        left_out: String::new(),
        without: bench_without.as_ref().map(said_of),
    });
    // Where the bench verdict leads, what costs and holds is told of it.
    let bench = applied.others.bench.as_ref().filter(|b| scored(&b.root));
    let leads = bench.and_then(|b| Some((b, find(&root, &b.root.id)?)));
    let effects = match leads {
        Some((bench, node)) => {
            let applied = Applied { assessment: bench, ..*applied };
            let (anchors, tables, numbers) = (BTreeSet::new(), BTreeMap::new(), Vec::new());
            let tree = TreeView {
                applied: &applied,
                assessment: index,
                places,
                routes,
                key: &prefix,
                anchors,
                tables,
                numbers,
            };
            effects::effects(&tree, &bench.root, node)
        }
        None => effects::effects(&tree, &a.root, &root),
    };
    let unknowns_said = en::unknowns(a.unknowns.len(), headline.as_ref().map(|h| h.unknowns));
    let decides = leads.map_or(&a.root, |(b, _)| &b.root);
    let sheet = job.record.without_sheet().map(|(name, _)| line(name));
    let sheet_said = sheet.as_ref().map_or_else(String::new, |name| {
        let full = full_without.as_ref().map(said_of).unwrap_or_default();
        let bench = headline.as_ref().and_then(|h| h.without.as_deref());
        en::without_sheet(name, bench, &full)
    });
    let fingerprint = crate::fingerprint::of(job, applied);
    let behind = behind(a, routes.reached(index));
    let told = reasons(&a.root, &root, verdict, &mut cited);
    let switches = appendix::switches(&a.method, &applied.outlook.readings, &mut cited);
    let device = (job.record.device.category.value, scoring::range::form_of(job.record));
    let rules = appendix::rules(&a.method, device, &mut cited);
    Assessed {
        letter: prefix.clone(),
        method: line(&a.method.id.value),
        title: line(&a.method.title),
        edition: line(&a.method.edition),
        device: title(job.record),
        exact_low: a.root.low.as_ref().map_or_else(String::new, Exact::to_string),
        exact_high: a.root.high.as_ref().map_or_else(String::new, Exact::to_string),
        reason: no_total.unwrap_or_else(|| reason(a, &effects, decides, &root)),
        counts: verdict.then(|| counts(&root)),
        supplied_from: a.method.days.supplied_from.map(|d| d.to_string()).unwrap_or_default(),
        binds: binds(a.standing).to_owned(),
        standing: a.standing.because(),
        information_only: information_only(a, job.record),
        not_covered: a.method.not_covered.iter().map(|n| line(n)).collect(),
        rests_on: scoring::range::rests_on(a).iter().map(|r| rest(r, places)).collect(),
        bar: bar(&tree, a, &a.root, &line(&a.method.title)),
        sub_scores: a.method.sub_scores.iter().filter_map(|id| score(id)).collect(),
        headline,
        without: full_without.as_ref().map(said_of),
        sheet,
        reasons: told,
        sources: cited.finish(),
        anchor: root.anchor.clone(),
        matrix: if verdict { Matrix { columns: Vec::new(), rows: Vec::new() } } else { matrix(a, &root) },
        unknowns: unknowns(applied, &order, places),
        assumed: a
            .assumed
            .iter()
            .map(|s| Assumed {
                path: line(&s.path),
                place: places.place(s.span),
                anchor: places.anchor(s.span),
                text: line(&s.text),
            })
            .collect(),
        roles: a.roles.iter().map(role).collect(),
        requirements: verdict,
        range_and_class: if class.is_empty() { range.clone() } else { format!("{range}, {class}") },
        readings_said: en::readings(
            applied.outlook.readings.len(),
            applied.outlook.readings.iter().filter(|r| r.differs).count(),
            applied.outlook.outer,
        ),
        unknowns_said,
        sheet_said,
        weakest: weakest(a),
        weakest_said: match applied.outlook.lead.as_deref().map(|l| &l.assessment) {
            Some(bench) if bench.weakest != a.weakest => en::weakest(&weakest(a), bench.weakest.phrase()),
            _ => weakest(a),
        },
        proved: a.proved && a.root.exact,
        certificate: behind.map_or_else(String::new, en::as_sentence),
        behind,
        settled: a.settled(),
        attained: a.root.exact,
        attained_low: a.attained[0],
        attained_high: a.attained[1],
        reached_low: a.reached[0].as_ref().map(Exact::to_string),
        reached_high: a.reached[1].as_ref().map(Exact::to_string),
        bounds: crate::words::bounds(&a.range(), &a.method),
        about: crate::clean::lines(&a.method.about),
        method_notes: a.method.notes.iter().map(|n| crate::clean::lines(n)).collect(),
        other_readings: applied.outlook.readings.len(),
        changing: applied.outlook.readings.iter().filter(|r| r.differs).count(),
        outer_readings: applied.outlook.outer,
        switches,
        rules,
        low,
        high,
        range,
        out_of,
        class,
        class_low,
        class_high,
        drags: effects.drags,
        holds: effects.holds,
        open: effects.open,
        root: std::sync::Arc::new(root),
        fingerprint,
        key,
    }
}

/// A node by id.
pub(super) fn find<'n>(node: &'n ReasonedNode, id: &str) -> Option<&'n ReasonedNode> {
    if node.id == id {
        return Some(node);
    }
    node.children.iter().find_map(|c| find(c, id))
}

/// What a part of a verdict comes to at its ends, and that nothing leaves the range: of one that no completion is known to fill.
fn bounds_of(graded: &Graded, range: &str) -> String {
    let at = graded.ends.each_ref().map(|end| end.points.as_ref());
    let shown = |p: &Exact| p.display(2, Rounding::HalfUp);
    // A part may have less where the verdict is best.
    let [low, high] = [at.iter().flatten().min(), at.iter().flatten().max()].map(|p| p.map(|p| shown(p)));
    en::reached_within(low.as_deref().zip(high.as_deref()), range)
}

/// The range bar of the total of an assessment by itself.
pub(super) fn bar_of(a: &Assessment) -> Option<Bar> {
    let (low, high) = (a.root.low.as_ref()?, a.root.high.as_ref()?);
    let (least, most) = (&a.method.scale.low, &a.method.scale.high);
    let (from, to) = (percent(low, least, most), percent(high, least, most));
    let shown = [a.show(low), a.show(high)];
    let range = if shown[0] == shown[1] { shown[0].clone() } else { en::to(&shown[0], &shown[1]) };
    let ends = [least.plain(), most.plain()];
    let text = en::on_scale(&range, &ends[0], &ends[1]);
    let svg = crate::svg::bar::bar(&from, &to, &ends, &text, &[]);
    let width = Exact::parse(&to)
        .zip(Exact::parse(&from))
        .map_or_else(String::new, |(w, f)| (&w - &f).display(1, Rounding::HalfUp));
    Some(Bar { from, to, width, scale: ends, text, svg })
}

fn bar(tree: &TreeView<'_>, a: &Assessment, graded: &Graded, title: &str) -> Option<Bar> {
    let (low, high) = (graded.low.as_ref()?, graded.high.as_ref()?);
    let total = graded.id == a.root.id;
    // The total runs on the method's scale, a sub-score on its own.
    let (least, most) =
        if total { (&a.method.scale.low, &a.method.scale.high) } else { (&graded.scale.0, &graded.scale.1) };
    if a.method.scale.verdict || least >= most {
        return None;
    }
    let (from, to) = (percent(low, least, most), percent(high, least, most));
    let width = percent(high, least, most);
    let width = Exact::parse(&width)
        .zip(Exact::parse(&from))
        .map_or_else(String::new, |(w, f)| (&w - &f).display(1, scoring::exact::Rounding::HalfUp));
    let range = tree.range(Some(low), Some(high));
    let ends = [least.plain(), most.plain()];
    let text = format!("{title}: {}", en::on_scale(&range, &ends[0], &ends[1]));
    // Classes are for the total.
    let marks: Vec<(String, String)> = a
        .method
        .classes
        .iter()
        .filter(|_| total)
        .flat_map(|c| &c.bounds)
        .map(|(name, bound)| (line(name), percent(&bound.value, least, most)))
        .collect();
    let svg = crate::svg::bar::bar(&from, &to, &ends, &text, &marks);
    Some(Bar { from, to, width, scale: ends, text, svg })
}

/// A verdict as it is said: `4.2 to 7.1`, `pass`, `not settled`.
fn said_of(a: &Assessment) -> String {
    let show = |v: &Option<Exact>| v.as_ref().map_or_else(|| en::DOES_NOT_APPLY.to_owned(), |v| line(&a.show(v)));
    let (low, high) = (show(&a.root.low), show(&a.root.high));
    match (low == high, a.method.scale.verdict) {
        (true, verdict) => would(verdict && a.standing.day().is_some(), low),
        (false, true) => en::NOT_SETTLED.to_owned(),
        (false, false) => en::to(&low, &high),
    }
}

/// A verdict of a rule that does not surely bind the device is what would be.
fn would(not_bound: bool, said: String) -> String {
    if not_bound && matches!(&*said, "pass" | "fail") { en::would(&said) } else { said }
}

/// Both ends as fractions.
fn exact(graded: &Graded) -> [String; 2] {
    [&graded.low, &graded.high].map(|v| v.as_ref().map_or_else(String::new, Exact::to_string))
}

fn scored(graded: &Graded) -> bool {
    graded.low.is_some() || graded.high.is_some()
}

/// Why nothing is scored below a node.
fn left_out(a: &Assessment, graded: &Graded) -> String {
    // A method that asks nothing of parts adds up marks it is given.
    if a.roles.is_empty() && a.method.part_sets.iter().all(|s| s.weights.is_empty()) {
        let unread = a.method.no_total().is_some();
        let why = if unread { en::COEFFICIENTS_UNREAD } else { en::NO_MARKS };
        return why.to_owned();
    }
    let roles: Vec<String> =
        a.roles.iter().filter(|r| r.parts.is_empty() && !r.unmentioned).map(|r| line(&r.role)).collect();
    let asked = graded.walk().iter().any(|g| matches!(g.kind, GradedKind::Leaf { .. }) && g.role.is_some());
    match (a.roles.is_empty(), asked && roles.len() == a.roles.len()) {
        (true, _) => en::NO_ROLE_WEIGHED.to_owned(),
        (false, true) => en::has_none_of(&roles),
        (false, false) => en::NOTHING_IT_ASKS.to_owned(),
    }
}

/// Whether the routes behind a verdict are proved shortest.
fn behind(a: &Assessment, routes: Option<bool>) -> Option<&'static str> {
    match (routes?, a.proved) {
        // At a bound there is no route: nothing is proved of it.
        (true, true) if !a.root.exact => None,
        (there, proved) => Some(en::routes_behind(there, proved)),
    }
}

/// The reason in one sentence, for the score that stands first.
fn reason(a: &Assessment, effects: &effects::Effects, decides: &Graded, root: &ReasonedNode) -> String {
    if !scored(&a.root) {
        return en::does_not_apply(&left_out(a, &a.root));
    }
    let asked: Vec<String> = a.roles.iter().map(|r| line(&r.role)).collect();
    let silent =
        !asked.is_empty() && a.roles.iter().all(|r| r.parts.is_empty()) && a.roles.iter().any(|r| r.unmentioned);
    let before = if silent { en::mentions_none_of(&asked) } else { String::new() };
    if a.method.scale.verdict {
        return before + &requirements(root);
    }
    let named = |effects: &[super::types::Contribution], n: usize| {
        let texts: Vec<String> =
            effects.iter().take(n).map(|e| format!("{} ({})", lower(&brief(&e.what)), e.points)).collect();
        list(&texts)
    };
    let open = decides.low != decides.high;
    let mut clauses: Vec<String> = Vec::new();
    if !effects.drags.is_empty() {
        clauses.push(en::most_lost(&named(&effects.drags, 2)));
    } else if open {
        clauses.push(en::NOTHING_LOST_FOR_SURE.to_owned());
    } else {
        clauses.push(en::NOTHING_LOST.to_owned());
    }
    if !effects.holds.is_empty() {
        clauses.push(en::holds_up(&named(&effects.holds, 1)));
    }
    if open {
        let most = (!effects.open.is_empty()).then(|| named(&effects.open, 1));
        clauses.push(en::leave_it_open(decides.unknowns.len(), most.as_deref()));
    }
    let text = clauses.join("; ");
    let mut chars = text.chars();
    let text = chars.next().map_or_else(String::new, |first| format!("{}{}.", first.to_uppercase(), chars.as_str()));
    // A limit that holds the verdict down: which parts it reads is no matter of course where weights tie.
    let limited = a.root.kind == GradedKind::Group(Combine::Cap)
        && a.root.children.first().is_some_and(|first| first.low != a.root.low || first.high != a.root.high);
    let reads = a.heaviest_said().filter(|_| limited).map_or_else(String::new, |said| en::limits_read(&line(&said)));
    format!("{before}{text}{reads}")
}

/// Short enough for a sentence; the groups beside it have the whole.
fn brief(text: &str) -> String {
    crate::clean::shorten(text, 120)
}

/// Rows of a method of requirements: whatever must be met, alternatives as one.
fn rows<'n>(node: &'n ReasonedNode, out: &mut Vec<&'n ReasonedNode>) {
    if node.children.is_empty() || node.either {
        out.push(node);
    } else {
        node.children.iter().for_each(|c| rows(c, out));
    }
}

/// How sure the weakest rule is.
fn weakest(a: &Assessment) -> String {
    if a.own_choices && a.weakest != scoring::vocab::Certainty::Own {
        en::with_own_choices(a.weakest.phrase())
    } else {
        a.weakest.phrase().to_owned()
    }
}

/// Requirements by result. One that asks nothing of a part is one, however many lists repeat it.
fn counts(root: &ReasonedNode) -> Counts {
    let mut all = Vec::new();
    rows(root, &mut all);
    let mut seen = BTreeSet::new();
    all.retain(|r| !r.of_device || seen.insert((&r.title, &r.rule.text, &r.rule.clause)));
    let n = |form: &str| all.iter().filter(|r| r.form == form).count();
    let first = all.iter().find(|r| r.form == "no").map_or_else(String::new, |r| first_missed(r));
    Counts { of: n("no") + n("open") + n("yes"), not_met: n("no"), open: n("open"), first }
}

/// `sim tray, skill level: generalist`: the thing of the device first.
fn first_missed(row: &ReasonedNode) -> String {
    let read = row.ends.first().map(|e| e.said.as_str()).filter(|s| !s.is_empty());
    let read = read.map_or_else(String::new, |s| format!(": {}", en::missed(&row.kind, s)));
    match &row.role {
        Some(role) if !row.of_device => format!("{role}, {}{read}", lower(&row.title)),
        _ => format!("{}{read}", lower(&row.title)),
    }
}

fn requirements(root: &ReasonedNode) -> String {
    let c = counts(root);
    en::requirements_reason(c.of, c.not_met, c.open, &c.first)
}

/// Unknowns of the assessment, the most useful question first; what no question asks about goes last, in record order.
fn order(applied: &Applied<'_>) -> Vec<usize> {
    let unknowns = &applied.assessment.unknowns;
    let asked = applied.outlook.questions.iter().filter_map(|q| unknowns.iter().position(|u| u.path == q.path));
    let mut out: Vec<usize> = Vec::new();
    for u in asked.chain(0..unknowns.len()) {
        if !out.contains(&u) {
            out.push(u);
        }
    }
    out
}

fn unknowns(applied: &Applied<'_>, order: &[usize], places: &Places<'_>) -> Vec<Unknown> {
    let a = applied.assessment;
    let decimals = a.method.scale.decimals.max(2);
    let width = |path: &str, of: fn(&Question) -> &Exact| {
        let question = applied.outlook.questions.iter().find(|q| q.path == path && !a.method.scale.verdict);
        question.map_or_else(String::new, |q| of(q).display(decimals, Rounding::HalfUp))
    };
    let at = |e: usize, path: &str| {
        let found = a.ends[e].answers.iter().find(|(p, _)| p == path);
        found.map_or_else(String::new, |(_, label)| line(label))
    };
    order
        .iter()
        .map(|&u| &a.unknowns[u])
        .enumerate()
        .map(|(i, u)| Unknown {
            worst: width(&u.path, |q| &q.worst_width),
            mean: width(&u.path, |q| &q.mean_width),
            number: i + 1,
            path: line(&u.path),
            place: if u.nowhere(places.sources) { en::NO_LINE_YET.to_owned() } else { line(&u.place(places.sources)) },
            anchor: places.anchor(u.span).filter(|_| !u.nowhere(places.sources)),
            question: line(&u.question),
            answers: u.answers.iter().map(|a| line(&a.label)).collect(),
            same: String::new(),
            ends_tell: u.answers.len() == 2 && !at(0, &u.path).is_empty() && at(0, &u.path) != at(1, &u.path),
            ends_said: en::answers_at(&at(0, &u.path), &at(1, &u.path)),
            worth_said: en::stays_open(&width(&u.path, |q| &q.worst_width), &width(&u.path, |q| &q.mean_width)),
            low: at(0, &u.path),
            high: at(1, &u.path),
        })
        .collect()
}

fn role(role: &scoring::range::RoleFilled) -> RoleSaid {
    let parts: Vec<String> = role.parts.iter().map(|p| line(p)).collect();
    RoleSaid {
        role: line(&role.role),
        weight: role.weight.as_ref().map_or_else(String::new, Exact::plain),
        parts: match (parts.is_empty(), role.unmentioned) {
            (false, _) => list(&parts),
            (true, true) => en::NOT_IN_THE_RECORD.to_owned(),
            (true, false) => en::DEVICE_HAS_NONE.to_owned(),
        },
    }
}

/// Criteria that are scored per part, as columns; parts as rows.
fn matrix(a: &Assessment, root: &ReasonedNode) -> Matrix {
    let mut columns: Vec<(String, String)> = Vec::new();
    let mut cells: BTreeMap<(String, String), MatrixCell> = BTreeMap::new();
    fill(&a.root, root, &[], &mut columns, &mut cells);
    let rows = a
        .roles
        .iter()
        .map(|r| MatrixRow {
            role: line(&r.role),
            weight: r.weight.as_ref().map_or_else(String::new, Exact::plain),
            cells: columns.iter().map(|(id, _)| cells.get(&(r.role.clone(), id.clone())).cloned()).collect(),
        })
        .filter(|r: &MatrixRow| r.cells.iter().any(Option::is_some))
        .collect();
    Matrix { columns: columns.into_iter().map(|(_, title)| title).collect(), rows }
}

fn fill(
    graded: &Graded,
    node: &ReasonedNode,
    above: &[&str],
    columns: &mut Vec<(String, String)>,
    cells: &mut BTreeMap<(String, String), MatrixCell>,
) {
    if let (GradedKind::Leaf { points, .. }, Some(role)) = (&graded.kind, &graded.role) {
        // Criteria of one title share a column; a second one for the same part is told apart by what it belongs to.
        let mut id = graded.title.clone();
        let mut up = above.iter().rev();
        while cells.contains_key(&(role.clone(), id.clone())) {
            let Some(title) = up.next() else { return };
            id = format!("{id}, {title}");
        }
        // What no part has needs no column.
        if graded.low.is_some() || graded.high.is_some() {
            if !columns.iter().any(|(c, _)| *c == id) {
                columns.push((id.clone(), line(&id)));
            }
            let (worst, best) = scoring::assess::Plan::extremes(points);
            let part = |v: &Option<Exact>| v.as_ref().map_or_else(String::new, |v| percent(v, &worst, &best));
            let cell = MatrixCell {
                range: node.range.clone(),
                anchor: node.anchor.clone(),
                said: effects::said(graded, node),
                fill: [part(&graded.low), part(&graded.high)],
            };
            cells.insert((role.clone(), id), cell);
        }
    }
    // Limits read again what has a column already.
    let count = if matches!(graded.kind, GradedKind::Group(scoring::method::Combine::Cap)) { 1 } else { usize::MAX };
    let above: Vec<&str> = above.iter().copied().chain([graded.title.as_str()]).collect();
    for (g, n) in graded.children.iter().zip(&node.children).take(count) {
        fill(g, n, &above, columns, cells);
    }
}

/// `yes`, `no`, or `open` where the record does not tell.
pub fn binds(standing: Standing) -> &'static str {
    match standing {
        Standing::Binds => "yes",
        Standing::Before(_) => "no",
        Standing::Open(_) => "open",
    }
}

/// Why the result is for information only; empty where it is not.
fn information_only(a: &Assessment, record: &Record) -> String {
    let (categories, why) = &a.method.scope.information_only;
    if !record.device.category.value.is_among(categories) {
        return String::new();
    }
    en::information_only(&line(why))
}

/// One thing a legal verdict rests on: `told: PH0 (record.yaml:12:3)`.
fn rest(rest: &Rest, places: &Places<'_>) -> String {
    let place = rest.span.map(|s| format!(" ({})", places.place(s))).unwrap_or_default();
    format!("{}: {}{place}", rest.how, line(&rest.text))
}
