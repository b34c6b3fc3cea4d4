//! Places of a record that nobody established, and every way to fill them in.

use super::*;

/// A place whose value the text leaves open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hidden {
    Cycles,
    Capacity500,
    Capacity1000,
    /// The whole code.
    Ingress,
    /// One of two codes, the one of the world and this.
    IngressOr(u8, u8),
    /// Power key, volume keys, charging port.
    Endurance(usize),
    Updates,
    Security,
    /// Of a tool.
    Class(usize),
    /// Of an action.
    Place(usize),
    Skill(usize),
    /// Whether an action that nobody tried works.
    Works(usize),
    /// Of a part.
    Paired(usize),
    /// Of an entry of the spare parts.
    To(usize),
    Years(usize),
    Delivery(usize),
    Published(usize),
    Pairing(usize),
}

impl World {
    pub(super) fn ingress_text(&self) -> String {
        let (dust, water) = self.ingress;
        for hidden in &self.hidden {
            match hidden {
                Hidden::Ingress => return "unknown".to_owned(),
                Hidden::IngressOr(d, w) => return format!("IP{dust}{water} | IP{d}{w}"),
                _ => {}
            }
        }
        format!("IP{dust}{water}")
    }

    /// The worlds that the text may stand for: every hidden place filled in, numbers on each side of every bound of
    /// the laws.
    pub(crate) fn completions(&self) -> Vec<World> {
        let mut out = vec![World { hidden: vec![], ..self.clone() }];
        for hidden in &self.hidden {
            out = out
                .iter()
                .flat_map(|world| self.unsold(*hidden, world).unwrap_or_else(|| world.fillings(*hidden)))
                .collect();
        }
        // What was done could be done: with a way that does not work it is no completion that something done waits for it.
        let done = |w: &World| {
            let tried = |a: &usize| !self.hidden.contains(&Hidden::Works(*a)) && !w.actions[*a].failed;
            (0..w.actions.len()).filter(tried).all(|a| w.able().contains(&a))
        };
        if out.iter().any(done) {
            out.retain(done);
        }
        out
    }

    /// Actions that can be done at all, one after the other.
    fn able(&self) -> Vec<usize> {
        let (mut reached, mut able) = (Vec::new(), Vec::new());
        for _ in 0..=self.actions.len() {
            for (index, action) in self.actions.iter().enumerate().filter(|(_, a)| !a.failed) {
                if !able.contains(&index) && action.after.iter().all(|any| any.iter().any(|t| reached.contains(t))) {
                    reached.extend(action.frees.iter().chain(&action.does).copied());
                    able.push(index);
                }
            }
        }
        able
    }

    /// What is hidden of a part the text says nobody can have: no years, and no delivery within any bound. Nothing else could be
    /// written there that would be so.
    fn unsold(&self, hidden: Hidden, world: &World) -> Option<Vec<World>> {
        let (Hidden::Years(i) | Hidden::Delivery(i)) = hidden else { return None };
        let refused = self.spares[i].to + 1 == ACCESS.len() && !self.hidden.contains(&Hidden::To(i));
        refused.then(|| {
            let mut world = world.clone();
            match hidden {
                Hidden::Years(_) => world.spares[i].years = 0,
                _ => world.spares[i].delivery = 999,
            }
            vec![world]
        })
    }

    fn fillings(&self, hidden: Hidden) -> Vec<World> {
        fn each<T: Copy>(world: &World, values: &[T], set: impl Fn(&mut World, T)) -> Vec<World> {
            let one = |value: &T| {
                let mut world = world.clone();
                set(&mut world, *value);
                world
            };
            values.iter().map(one).collect()
        }
        let ranks = |n: usize| (0..n).collect::<Vec<_>>();
        let yes_no = [true, false];
        match hidden {
            Hidden::Cycles => each(self, &[0, 799, 800], |w, v| w.cycles = v),
            Hidden::Capacity500 => each(self, &[0, 82, 83, 100], |w, v| w.capacity.0 = v),
            Hidden::Capacity1000 => each(self, &[0, 79, 80, 100], |w, v| w.capacity.1 = v),
            Hidden::Ingress => {
                let codes: Vec<(u8, u8)> = [3, 4, 5, 6].iter().flat_map(|d| [1, 2, 6, 7, 9].map(|w| (*d, w))).collect();
                each(self, &codes, |w, v| w.ingress = v)
            }
            Hidden::IngressOr(d, w) => each(self, &[self.ingress, (d, w)], |w, v| w.ingress = v),
            Hidden::Endurance(i) => {
                let bounds = [[20_000, 225_000], [10_000, 100_000], [3_000, 12_000]][i];
                let values: Vec<i64> = bounds.iter().flat_map(|b| [b - 1, *b]).collect();
                each(self, &values, |w, v| w.endurance[i] = v)
            }
            Hidden::Updates => each(self, &[0, 4, 5, 6, 7], |w, v| w.updates = v),
            Hidden::Security => each(self, &[0, 4, 5], |w, v| w.security = v),
            Hidden::Class(i) => each(self, &ranks(CLASSES.len()), |w, v| w.tools[i].class = v),
            Hidden::Place(i) => each(self, &ranks(PLACES.len()), |w, v| w.actions[i].place = v),
            Hidden::Skill(i) => each(self, &ranks(SKILLS.len()), |w, v| w.actions[i].skill = v),
            Hidden::Works(i) => each(self, &yes_no, |w, v| w.actions[i].failed = !v),
            Hidden::Paired(i) => each(self, &yes_no, |w, v| w.parts[i].paired = v),
            Hidden::To(i) => each(self, &ranks(ACCESS.len()), |w, v| w.spares[i].to = v),
            Hidden::Years(i) => each(self, &[0, 6, 7], |w, v| w.spares[i].years = v),
            Hidden::Delivery(i) => each(self, &[0, 5, 6], |w, v| w.spares[i].delivery = v),
            Hidden::Published(i) => each(self, &yes_no, |w, v| w.spares[i].published = v),
            Hidden::Pairing(i) => each(self, &ranks(PAIRINGS.len()), |w, v| w.spares[i].pairing = v),
        }
    }
}
