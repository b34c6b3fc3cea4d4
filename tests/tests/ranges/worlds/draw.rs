//! Drawing a world.

use super::*;
use crate::questions_world::Draw;

const ROLES: usize = 3;

impl World {
    /// The world of a number.
    pub(crate) fn draw(seed: u64) -> World {
        let d = &mut Draw(seed);
        let tools: Vec<Tool> = (0..3).map(|i| (1 + d.below(3), i == 2)).collect();
        // Parts with roles first, then covers without; sometimes two parts of one role.
        let mut parts: Vec<Option<usize>> = (0..ROLES).map(Some).collect();
        if d.one_in(3) {
            parts.push(Some(d.below(ROLES)));
        }
        let roled = parts.len();
        parts.push(None);
        let count = parts.len();
        let thing = count; // A `do`.
        let first = if d.one_in(2) { vec![vec![count - 1]] } else { vec![] };
        let mut actions = vec![act(d, vec![count - 1], None, vec![]), act(d, vec![], Some(thing), first)];
        for part in 0..roled {
            for _ in 0..1 + usize::from(d.one_in(2)) {
                let mut after = Vec::new();
                if d.one_in(2) {
                    after.push(vec![count - 1]);
                }
                if d.one_in(3) {
                    after.push(vec![thing]);
                }
                if d.one_in(4) {
                    let other = d.below(roled);
                    let any = if d.one_in(2) { vec![other] } else { vec![other, thing] };
                    if !any.contains(&part) {
                        after.push(any);
                    }
                }
                let mut frees = vec![part];
                if d.one_in(6) {
                    frees.push(count - 1);
                    after.retain(|any| *any != vec![count - 1]);
                }
                actions.push(act(d, frees, None, after));
            }
        }
        let mut world = World {
            tools,
            parts,
            has: vec![true; ROLES],
            years: (0..count).map(|_| if d.one_in(2) { 7 } else { 2 }).collect(),
            weights: (0..ROLES).map(|_| 1 + i64::try_from(d.below(3)).unwrap()).collect(),
            actions,
            hidden: Vec::new(),
            tree: tree(d),
            absent: if d.one_in(3) { Some(i64::try_from(d.below(11)).unwrap()) } else { None },
            destructive: d.one_in(4),
            read: RouteRead::HighestTotal,
            official: Vec::new(),
        };
        if d.one_in(4) {
            world.has[d.below(ROLES)] = false;
        }
        world
    }

    /// The same read otherwise. The maker's own route is some of the actions in some order; often it reaches few parts or none.
    pub(crate) fn reading(mut self, read: RouteRead, seed: u64) -> World {
        let d = &mut Draw(seed);
        self.read = read;
        let mut left: Vec<usize> = (0..self.actions.len()).collect();
        while !left.is_empty() && !d.one_in(8) {
            // Often in the order of the list, in which more of them find their needs met.
            let at = if d.one_in(2) { 0 } else { d.below(left.len()) };
            let action = left.remove(at);
            if !d.one_in(5) {
                self.official.push(action);
            }
        }
        self
    }

    /// The same with some places hidden.
    pub(crate) fn hide(mut self, seed: u64) -> World {
        let d = &mut Draw(seed);
        let n = self.actions.len();
        for _ in 0..1 + d.below(4) {
            let a = d.below(n);
            let place = match d.below(7) {
                0 => Hidden::Kind(a, some(d, KINDS.len())),
                1 => Hidden::Skill(a, some(d, SKILLS.len())),
                2 => Hidden::Works(a),
                3 if self.actions[a].operations[0].len() == 1 => {
                    let list = some(d, 4).into_iter().map(|t| t.checked_sub(1)).collect();
                    Hidden::Tool(a, list)
                }
                4 => {
                    let own = |t: &usize| self.actions[a].frees.contains(t) || self.actions[a].does == Some(*t);
                    let list: Vec<usize> = some(d, self.parts.len() + 1).into_iter().filter(|t| !own(t)).collect();
                    if self.actions[a].after.is_empty() || list.len() < 2 {
                        continue;
                    }
                    Hidden::Need(a, list)
                }
                5 => {
                    let part = d.below(self.parts.len());
                    Hidden::Years(part, vec![2, 9])
                }
                _ => {
                    let role = d.below(self.has.len());
                    if !self.has[role] {
                        continue;
                    }
                    Hidden::Role(role)
                }
            };
            let same =
                |h: &Hidden| std::mem::discriminant(h) == std::mem::discriminant(&place) && key(h) == key(&place);
            if !self.hidden.iter().any(same) {
                self.hidden.push(place);
            }
        }
        self
    }
}

fn key(hidden: &Hidden) -> usize {
    match hidden {
        Hidden::Kind(i, _) | Hidden::Skill(i, _) | Hidden::Works(i) | Hidden::Tool(i, _) => *i,
        Hidden::Need(i, _) | Hidden::Years(i, _) | Hidden::Role(i) => *i,
    }
}

/// Two or more different numbers below `n`.
fn some(d: &mut Draw, n: usize) -> Vec<usize> {
    let first = d.below(n);
    let second = (first + 1 + d.below(n - 1)) % n;
    let mut out = vec![first, second];
    if n > 2 && d.one_in(3) {
        out.extend((0..n).find(|x| *x != first && *x != second));
    }
    out
}

fn act(d: &mut Draw, frees: Vec<usize>, does: Option<usize>, after: Needs) -> Act {
    let tool = |d: &mut Draw| d.below(4).checked_sub(1);
    let mut operations = Vec::new();
    for _ in 0..1 + usize::from(d.one_in(4)) {
        let mut ways = vec![tool(d)];
        if d.one_in(4) {
            let other = tool(d);
            if other != ways[0] {
                ways.push(other);
            }
        }
        operations.push(ways);
    }
    let rank = |d: &mut Draw, n: usize| if d.one_in(2) { 0 } else { d.below(n) };
    Act {
        frees,
        does,
        operations,
        fastener: (rank(d, KINDS.len()), d.one_in(3)),
        after,
        destroys: d.one_in(8),
        skill: rank(d, SKILLS.len()),
        exists: true,
    }
}

fn tree(d: &mut Draw) -> Tree {
    let how = [How::Mean, How::Mean, How::Sum, How::Worst, How::Best, How::Cap, How::Cap, How::Gate][d.below(8)];
    let mut of: Vec<(i64, Tree)> =
        (0..2 + d.below(2)).map(|_| (1 + i64::try_from(d.below(4)).unwrap(), each(d))).collect();
    if d.one_in(2) {
        let inner = [How::Mean, How::Sum, How::Worst, How::Cap][d.below(4)];
        let group = Tree::Group { how: inner, of: vec![(2, each(d)), (1, each(d))] };
        of.insert(if d.one_in(2) { 0 } else { of.len() }, (2, group));
    }
    Tree::Group { how, of }
}

fn each(d: &mut Draw) -> Tree {
    use Reads::*;
    let reads =
        [Depth, Depth, Fasteners, Tools, Skill, Heat, Adhesives, InTheWay, Isolation, Reachable, Years][d.below(11)];
    let rows = match reads {
        Depth => 5,
        Tools => CLASSES.len(),
        Fasteners | Skill | Adhesives | InTheWay | Reachable => 3,
        _ => 2,
    };
    let mut points: Vec<i64> = (0..rows).map(|_| i64::try_from(d.below(11)).unwrap()).collect();
    points.sort_unstable_by(|a, b| b.cmp(a));
    let at_part = d.one_in(3) && matches!(reads, Fasteners | Tools | Skill | Heat | Adhesives);
    let roles = if d.one_in(3) { vec![d.below(ROLES)] } else { (0..ROLES).collect() };
    let how = [How::Mean, How::Mean, How::Worst, How::Best][d.below(4)];
    Tree::Each { reads, at_part, points, roles, how }
}
