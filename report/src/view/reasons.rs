//! Reasons: the tree of criteria told so that each rule, each source and each reading stands once.

use scoring::exact::Exact;
use scoring::method::{Combine, MeasureScale, Points};
use scoring::range::{Graded, GradedKind};

use super::types::{End, Evidence, Read, ReadName, ReadPlace, Reason, ReasonedNode, Rule};
use crate::clean::line;
use crate::words::english as en;
use crate::words::reading;

/// Sources of a method, each once.
#[derive(Default)]
pub(super) struct Cited(Vec<String>);

impl Cited {
    /// The number of a rule's source, from 1.
    fn number(&mut self, rule: &Rule) -> usize {
        self.of(reading::source(&rule.clause, &rule.source, &rule.phrase))
    }

    /// The number of a source, from 1.
    pub(super) fn of(&mut self, text: String) -> usize {
        let at = self.0.iter().position(|s| *s == text).unwrap_or_else(|| {
            self.0.push(text);
            self.0.len() - 1
        });
        at + 1
    }

    pub(super) fn finish(self) -> Vec<String> {
        self.0
    }
}

/// The reasons of a method: of points in the order of the method; of requirements those not met first, then those not
/// settled, and what joins them last.
pub(super) fn reasons(graded: &Graded, node: &ReasonedNode, verdict: bool, cited: &mut Cited) -> Vec<Reason> {
    let mut out = Vec::new();
    if verdict {
        requirements(graded, node, cited, &mut out);
    } else {
        points(graded, node, 1, cited, &mut out);
    }
    out
}

/// Down to which level a criterion says to which group it belongs.
const GROUPS: usize = 3;

/// A node's own reason, without what was read.
fn bare(node: &ReasonedNode, level: usize, cited: &mut Cited) -> Reason {
    let weight = if level > 1 { node.weight.as_str() } else { "" };
    Reason {
        level,
        anchor: node.anchor.clone(),
        title: match &node.role {
            Some(role) => reading::of_part(&node.title, role),
            None => node.title.clone(),
        },
        range: node.range.clone(),
        outer: !node.attained,
        rule: node.rule.text.clone(),
        source: cited.number(&node.rule),
        switch: node.rule.switch.clone().unwrap_or_default(),
        // What a criterion belongs to is said where the two part.
        made: reading::made(&node.kind, node.group.filter(|_| level <= GROUPS), weight, &node.table),
        how: if node.sum.is_some() { String::new() } else { node.how.clone() },
        meets: String::new(),
        sum: node.sum.clone(),
        joined: false,
        read: Vec::new(),
    }
}

fn points(graded: &Graded, node: &ReasonedNode, level: usize, cited: &mut Cited, out: &mut Vec<Reason>) {
    let mut own = bare(node, level, cited);
    if let Some((lines, told)) = per_part(node) {
        own.read = lines
            .into_iter()
            .map(|n| Read {
                range: n.range.clone(),
                form: "",
                outer: !n.attained,
                said: n.how.clone(),
                names: vec![name(n, false)],
                all: String::new(),
                places: Vec::new(),
                open: String::new(),
            })
            .collect();
        out.push(own);
        for leaves in told {
            out.push(of_leaves(leaves, level + 1, None, cited));
        }
        return;
    }
    let leaves: Vec<&ReasonedNode> = node.children.iter().filter(|c| c.children.is_empty()).collect();
    let alike = !leaves.is_empty()
        && leaves.len() == node.children.len()
        && leaves.windows(2).all(|w| same(w[0], w[1]))
        && leaves.len() > 1;
    if alike {
        let mut below = of_leaves(leaves.clone(), level + 1, Some(node), cited);
        below.made = reading::made(&leaves[0].kind, None, "", &leaves[0].table);
        if below.rule.is_empty() {
            // The rule of the parts is that of the criterion: all is told in one place.
            own.made = reading::made_of(&own.made, &below.made);
            own.read = below.read;
            // Names and points stand below, weights with the parts asked about: the sum is a line.
            if let Some(sum) = own.sum.take() {
                let uniform = sum.rows.windows(2).all(|w| w[0].points == w[1].points);
                own.how = if uniform { reading::all_alike(sum.rows.len()) } else { node.how.clone() };
            } else if own.read.len() == 1 {
                own.how = String::new();
            }
            out.push(own);
        } else {
            out.push(own);
            out.push(below);
        }
    } else {
        out.push(own);
        for leaf in leaves {
            out.push(of_leaves(vec![leaf], level + 1, None, cited));
        }
    }
    let capped = graded.kind == GradedKind::Group(Combine::Cap);
    for (i, (g, n)) in graded.children.iter().zip(&node.children).enumerate() {
        if n.children.is_empty() {
            continue;
        }
        // A limit that takes nothing at either end, whatever the answers, is a line.
        let idle = capped && i > 0 && g.low.as_ref() == Some(&g.scale.1) && g.high == g.low;
        if idle {
            let own = bare(n, level + 1, cited);
            let said: Vec<String> = once(self::leaves(n).into_iter().flat_map(|l| &l.ends).map(|e| e.said.clone()));
            out.push(Reason { joined: true, sum: None, made: String::new(), how: said.join(", "), ..own });
        } else {
            points(g, n, level + 1, cited, out);
        }
    }
}

/// Each text once, in order.
fn once(texts: impl Iterator<Item = String>) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for text in texts.filter(|t| !t.is_empty()) {
        if !out.contains(&text) {
            out.push(text);
        }
    }
    out
}

/// Leaves of one rule, together.
fn of_leaves(leaves: Vec<&ReasonedNode>, level: usize, above: Option<&ReasonedNode>, cited: &mut Cited) -> Reason {
    let first = leaves[0];
    let one = leaves.len() == 1;
    let mut out = bare(first, level, cited);
    if !one {
        out.title.clone_from(&first.title);
        out.anchor = String::new();
        out.range = String::new();
        out.outer = false;
        out.made = reading::made(&first.kind, None, "", &first.table);
    }
    out.how = String::new();
    if above.is_some_and(|a| a.rule == first.rule) {
        out.rule = String::new();
    }
    // Parts the device has none of stand once, with the parts asked about.
    let gone = |n: &&ReasonedNode| n.low.is_none() && n.high.is_none() && n.role.is_some();
    out.read = together(leaves.into_iter().filter(|n| one || !gone(n)).map(|n| (n, "")));
    out
}

/// A requirement with the nodes it is asked of: parts, or the device.
struct Asked<'a> {
    title: &'a str,
    rule: &'a Rule,
    table: &'a str,
    nodes: Vec<(&'a Graded, &'a ReasonedNode)>,
}

fn requirements(graded: &Graded, node: &ReasonedNode, cited: &mut Cited, out: &mut Vec<Reason>) {
    let mut rows = Vec::new();
    let mut joined = Vec::new();
    collect(graded, node, &mut rows, &mut joined);
    let mut asked: Vec<Asked<'_>> = Vec::new();
    for (g, n) in rows {
        let same = |a: &&mut Asked<'_>| a.title == n.title && *a.rule == n.rule && a.table == n.table;
        match asked.iter_mut().find(same) {
            Some(found) => found.nodes.push((g, n)),
            None => asked.push(Asked { title: &n.title, rule: &n.rule, table: &n.table, nodes: vec![(g, n)] }),
        }
    }
    let mut told: Vec<Reason> = asked.iter().map(|a| requirement(a, cited)).collect();
    told.sort_by_key(|r| rank(r.read.first().map_or("", |r| r.form)));
    told.retain(|r| !r.read.is_empty());
    out.extend(told);
    // How requirements are joined is a line each: all must be met, unless it says otherwise.
    for node in joined.into_iter().filter(|n| n.low.is_some() || n.high.is_some()) {
        let own = bare(node, 1, cited);
        out.push(Reason { joined: true, made: String::new(), how: String::new(), ..own });
    }
}

/// Not met, then open, then met; what the device has no part for comes last.
fn rank(form: &str) -> u8 {
    match form {
        "no" => 0,
        "open" => 1,
        "yes" => 2,
        _ => 3,
    }
}

fn collect<'a>(
    graded: &'a Graded,
    node: &'a ReasonedNode,
    rows: &mut Vec<(&'a Graded, &'a ReasonedNode)>,
    joined: &mut Vec<&'a ReasonedNode>,
) {
    if node.children.is_empty() {
        rows.push((graded, node));
        return;
    }
    if node.either {
        rows.push((graded, node));
    } else if node.role.is_none() {
        joined.push(node);
    }
    graded.children.iter().zip(&node.children).for_each(|(g, n)| collect(g, n, rows, joined));
}

fn requirement(asked: &Asked<'_>, cited: &mut Cited) -> Reason {
    let (graded, node) = asked.nodes[0];
    let mut out = bare(node, 1, cited);
    out.title = asked.title.to_owned();
    out.anchor = String::new();
    out.range = String::new();
    out.outer = false;
    out.made = String::new();
    out.how = String::new();
    out.meets = meets(graded);
    // Parts the device has none of stand once, with the parts asked about.
    let gone = |n: &ReasonedNode| n.low.is_none() && n.high.is_none();
    out.read = together(asked.nodes.iter().filter(|(_, n)| !gone(n)).map(|(_, n)| (*n, n.form)));
    out.read.sort_by_key(|r| rank(r.form));
    if out.read.iter().all(|r| r.form == "yes") {
        out.meets = String::new();
    }
    out
}

/// What would meet a requirement, from its table.
fn meets(graded: &Graded) -> String {
    let GradedKind::Leaf { measure, points, .. } = &graded.kind else { return String::new() };
    let good = |v: &Exact| *v >= Exact::one();
    match points {
        Points::Levels(levels) => {
            let said = |w: &str| en::none_of(measure).filter(|_| w == "none").map_or_else(|| line(w), str::to_owned);
            let words: Vec<String> = levels.iter().filter(|(_, p)| good(&p.value)).map(|(w, _)| said(w)).collect();
            if words.len() == levels.len() { String::new() } else { en::or(&words) }
        }
        Points::Bands(bands) => {
            let more = measure.scale() == MeasureScale::Number;
            let bounds = bands.iter().filter(|b| good(&b.points.value)).filter_map(|b| b.bound.as_ref());
            // The widest bound that still passes.
            let bound = if more { bounds.min() } else { bounds.max() };
            bound.map_or_else(String::new, |b| reading::bound(more, &b.plain(), measure.unit()))
        }
        Points::Rungs(_) | Points::Linear(_) | Points::AsIs => String::new(),
    }
}

fn name(node: &ReasonedNode, places: bool) -> ReadName {
    ReadName {
        name: match &node.role {
            Some(_) if node.of_device => en::THE_DEVICE.to_owned(),
            Some(role) => role.clone(),
            None => node.title.clone(),
        },
        anchor: node.anchor.clone(),
        also: Vec::new(),
        route: node.ends.first().and_then(|e| e.route),
        places: if places { evidence(&node.ends) } else { Vec::new() },
    }
}

/// Parts from which "all nine parts" is shorter than their names.
const MANY: usize = 4;

/// Leaves of which the same was read, together; where it stands is told with each where it differs.
fn together<'n>(nodes: impl Iterator<Item = (&'n ReasonedNode, &'static str)>) -> Vec<Read> {
    let mut out: Vec<(Read, Vec<usize>)> = Vec::new();
    for (node, form) in nodes {
        let said =
            if node.ends.iter().all(|e| e.said.is_empty()) { node.how.clone() } else { reading::read(&node.ends) };
        let same = |(r, _): &&mut (Read, Vec<usize>)| {
            r.range == node.range && r.said == said && r.outer != node.attained && r.form == form
        };
        match out.iter_mut().find(same) {
            Some((read, open)) => {
                let own = name(node, true);
                // What several lists ask of one part, or of the device, is told once.
                match read.names.iter_mut().find(|n| n.name == own.name && n.places == own.places) {
                    Some(told) => told.also.push(own.anchor),
                    None => read.names.push(own),
                }
                open.extend(&node.unknowns);
            }
            None => out.push((
                Read {
                    range: node.range.clone(),
                    form,
                    outer: !node.attained,
                    said,
                    names: vec![name(node, true)],
                    all: String::new(),
                    places: Vec::new(),
                    open: String::new(),
                },
                node.unknowns.clone(),
            )),
        }
    }
    let alone = out.len() == 1;
    out.into_iter()
        .map(|(mut read, mut open)| {
            open.sort_unstable();
            open.dedup();
            read.open = reading::numbers(&open);
            if read.names.windows(2).all(|w| w[0].places == w[1].places) {
                if alone && read.names.len() >= MANY {
                    read.all = en::all_parts(read.names.len());
                }
                read.places = std::mem::take(&mut read.names[0].places);
                read.names.iter_mut().for_each(|n| n.places.clear());
            } else {
                // The line says it; what is read stands in front.
                for place in read.names.iter_mut().flat_map(|n| &mut n.places) {
                    place.text.clear();
                    place.at.clear();
                }
            }
            read
        })
        .collect()
}

/// Where the ends stand, each place once; what the ledger of a route tells line by line is left to it.
fn evidence(ends: &[End]) -> Vec<ReadPlace> {
    let mut out: Vec<ReadPlace> = Vec::new();
    for v in ends.iter().filter(|e| !e.in_ledger && !e.again).flat_map(|e| &e.evidence) {
        let place = place(v);
        if !out.iter().any(|p| p.line == place.line && p.basis == place.basis) {
            out.push(place);
        }
    }
    out
}

fn place(v: &Evidence) -> ReadPlace {
    ReadPlace {
        line: if v.anchor.is_some() { v.line.to_string() } else { v.place.clone() },
        anchor: v.anchor.clone(),
        text: v.text.clone(),
        at: v.at.clone().unwrap_or_default(),
        basis: reading::basis(&v.basis, v.source.as_deref()),
    }
}

fn same(a: &ReasonedNode, b: &ReasonedNode) -> bool {
    a.rule == b.rule && a.kind == b.kind && a.title == b.title
}

/// Where every child is the same group of criteria for another part: the children, and each criterion over all of them.
fn per_part(node: &ReasonedNode) -> Option<(Vec<&ReasonedNode>, Vec<Vec<&ReasonedNode>>)> {
    let first = node.children.first().filter(|f| !f.children.is_empty() && f.role.is_some() && node.role.is_none())?;
    let flat: Vec<Vec<&ReasonedNode>> = node.children.iter().map(leaves).collect();
    let parallel = node.children.iter().all(|c| same(c, first)) && flat.iter().all(|f| f.len() == flat[0].len());
    if !parallel {
        return None;
    }
    let mut lines = Vec::new();
    node.children.iter().for_each(|c| groups(c, &mut lines));
    Some((lines, (0..flat[0].len()).map(|j| flat.iter().map(|f| f[j]).collect()).collect()))
}

fn leaves(node: &ReasonedNode) -> Vec<&ReasonedNode> {
    if node.children.is_empty() { vec![node] } else { node.children.iter().flat_map(leaves).collect() }
}

fn groups<'n>(node: &'n ReasonedNode, out: &mut Vec<&'n ReasonedNode>) {
    if !node.children.is_empty() {
        out.push(node);
        node.children.iter().for_each(|c| groups(c, out));
    }
}
