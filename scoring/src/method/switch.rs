//! Open readings: applying what an option of a switch sets.

use super::spread;
use super::{
    Absent, Applies, BasicTools, Combine, Criterion, CriterionKind, Instances, Method, Parked, PartSet, Reading,
    Remote, RouteOrder, Routes, Rule, Setting, Start, StepSetting, Switch,
};
use crate::exact::Exact;
use crate::text::fold;
use crate::vocab::{Category, Form, ToolClass};

impl Method {
    /// The method with another option of a switch in force; `None` when there is no such switch or option.
    ///
    /// ```
    /// let method = scoring::method::load_shipped("eu-2023-1669").unwrap();
    /// let other = method.with_switch("where-worst-is-met", "part").unwrap();
    /// assert_ne!(method.root, other.root);
    /// assert_eq!(method.root, other.with_switch("where-worst-is-met", "route").unwrap().root);
    /// assert!(method.with_switch("where-worst-is-met", "nowhere").is_none());
    /// // Steps for remote authorisation may be a number of one's own.
    /// assert!(method.with_switch("pairing-surcharge", "7").is_some());
    /// assert!(method.with_switch("pairing-surcharge", "700").is_none());
    /// ```
    pub fn with_switch(&self, id: &str, option: &str) -> Option<Self> {
        let at = self.switches.iter().position(|s| fold(&s.id) == fold(id))?;
        let mut method = self.clone();
        let known = self.switches[at].options.iter().position(|(o, _)| fold(o) == fold(option));
        let chosen = known.or_else(|| method.switches[at].with_number(option))?;
        method.switches[at].chosen = chosen;
        for setting in method.switches[at].sets[chosen].clone() {
            method.apply(&setting);
        }
        Some(method)
    }

    fn apply(&mut self, setting: &Setting) {
        match setting {
            Setting::Reading(id, reading) => {
                for id in [id.clone(), spread::twin(id)] {
                    read_at(&mut self.root, &id, *reading);
                }
            }
            Setting::Absent(absent) => self.absent = absent.clone(),
            Setting::ClassOfRounded(rounded) => {
                if let Some(classes) = &mut self.classes {
                    classes.of_rounded = *rounded;
                }
            }
            Setting::ReadAs(from, to) => {
                self.read_as.retain(|(f, _)| f != from);
                self.read_as.push((*from, *to));
                self.read_as.sort_unstable();
            }
            Setting::PartSet(id, used) => {
                let named = |s: &&mut PartSet| s.id.as_ref().is_some_and(|i| fold(i) == fold(id));
                self.part_sets.iter_mut().filter(named).for_each(|s| s.left_out = !used);
            }
            Setting::BasicTools(list) => self.basic_tools = *list,
            Setting::Instances(instances) => self.instances = *instances,
            Setting::OfficialFirst(_) | Setting::RouteOrder(_) | Setting::Start(_) => self.routes.set(setting),
            Setting::Include(id, true) => self.put_back(id),
            Setting::Include(id, false) => self.park(id),
            step => self.steps.apply(step),
        }
        // A parked criterion keeps its readings in step, so that putting it back restores the same method.
        if let Setting::Reading(id, reading) = setting {
            for parked in &mut self.parked {
                read_at(&mut parked.node, id, *reading);
            }
        }
    }

    fn park(&mut self, id: &str) {
        if let Some(mut parked) = take(&mut self.root, id) {
            // Siblings parked earlier are not in `before`; each of them knows on which side of this one it stood.
            for other in self.parked.iter().filter(|p| p.parent == parked.parent) {
                if !other.before.contains(&parked.node.id) {
                    parked.before.push(other.node.id.clone());
                }
            }
            self.parked.push(parked);
            self.parked.sort_by(|a, b| a.node.id.cmp(&b.node.id));
        }
    }

    fn put_back(&mut self, id: &str) {
        let Some(at) = self.parked.iter().position(|p| fold(&p.node.id) == fold(id)) else {
            return;
        };
        let Parked { parent, before, node } = self.parked[at].clone();
        if let Some(CriterionKind::Group { of, .. }) = self.root.find_mut(&parent).map(|n| &mut n.kind) {
            let place = of.iter().rposition(|n| before.contains(&n.id)).map_or(0, |i| i + 1);
            of.insert(place, node);
            self.parked.remove(at);
        }
    }

    /// The method as it is for one device: criteria for other devices left out, their weight with them; spreads in the place
    /// of means whose weights nobody could read.
    pub fn for_device(&self, category: Category, form: Form) -> Self {
        let mut method = self.clone();
        prune(&mut method.root, category, form);
        spread::origins(&mut method, category);
        spread::settle(&mut method, category, form);
        method
    }

    /// The class a tool counts as here.
    pub fn tool_class(&self, tool: &str, class: ToolClass) -> ToolClass {
        self.class_read(self.basic_tools.class(tool, class))
    }

    /// The class tools of a class are read as.
    pub fn class_read(&self, class: ToolClass) -> ToolClass {
        self.read_as.iter().find(|(from, _)| *from == class).map_or(class, |(_, to)| *to)
    }

    /// The priority parts of a device: the first set that fits.
    pub fn part_set(&self, category: Category, form: Form) -> Option<&PartSet> {
        self.part_sets.iter().find(|s| s.fits(category, form))
    }

    /// The criterion of this id, wherever it stands.
    pub fn node(&self, id: &str) -> Option<&Criterion> {
        self.root.find(id)
    }
}

/// A method with the chosen option of every switch applied.
pub(super) fn settled(mut method: Method) -> Method {
    for switch in method.switches.clone() {
        for setting in switch.sets.get(switch.chosen).into_iter().flatten() {
            method.apply(setting);
        }
    }
    method
}

fn read_at(root: &mut Criterion, id: &str, wanted: Reading) {
    if let Some(CriterionKind::Leaf { reading, .. }) = root.find_mut(id).map(|n| &mut n.kind) {
        *reading = wanted;
    }
}

/// Takes a criterion out of the group it stands in.
fn take(node: &mut Criterion, id: &str) -> Option<Parked> {
    match &mut node.kind {
        CriterionKind::Group { of, .. } => {
            if let Some(at) = of.iter().position(|n| fold(&n.id) == fold(id)) {
                let before = of[..at].iter().map(|n| n.id.clone()).collect();
                return Some(Parked { parent: node.id.clone(), before, node: of.remove(at) });
            }
            of.iter_mut().find_map(|n| take(n, id))
        }
        CriterionKind::Each { node, .. } => take(node, id),
        CriterionKind::Leaf { .. } => None,
    }
}

fn prune(node: &mut Criterion, category: Category, form: Form) {
    match &mut node.kind {
        CriterionKind::Group { of, .. } => {
            of.retain(|n| n.applies.fits(category, form));
            for child in of {
                prune(child, category, form);
            }
        }
        CriterionKind::Each { node, .. } => prune(node, category, form),
        CriterionKind::Leaf { .. } => {}
    }
}

impl Criterion {
    /// Criteria directly below.
    pub fn children(&self) -> &[Self] {
        match &self.kind {
            CriterionKind::Group { of, .. } => of,
            CriterionKind::Each { node, .. } => std::slice::from_ref(node),
            CriterionKind::Leaf { .. } => &[],
        }
    }

    /// This criterion and all below, in the order of the file.
    pub fn all(&self) -> Vec<&Self> {
        let mut out = vec![self];
        for child in self.children() {
            out.extend(child.all());
        }
        out
    }

    /// The criterion of this id at or below this one.
    pub fn find(&self, id: &str) -> Option<&Self> {
        let key = fold(id);
        self.all().into_iter().find(|n| fold(&n.id) == key)
    }

    pub(super) fn find_mut(&mut self, id: &str) -> Option<&mut Self> {
        if fold(&self.id) == fold(id) {
            return Some(self);
        }
        match &mut self.kind {
            CriterionKind::Group { of, .. } => of.iter_mut().find_map(|n| n.find_mut(id)),
            CriterionKind::Each { node, .. } => node.find_mut(id),
            CriterionKind::Leaf { .. } => None,
        }
    }
}

impl Switch {
    /// Adds an option of so many steps, where that is what the switch is about; its place.
    fn with_number(&mut self, option: &str) -> Option<usize> {
        let about = |sets: &Vec<Setting>| matches!(sets[..], [Setting::Steps(StepSetting::Remote(_))]);
        let steps = option.trim().parse::<u32>().ok().filter(|n| (1..=100).contains(n))?;
        if self.sets.is_empty() || !self.sets.iter().all(about) {
            return None;
        }
        self.options.push((steps.to_string(), format!("{steps} more by a number of one's own")));
        self.sets.push(vec![Setting::Steps(StepSetting::Remote(Remote::Steps(steps)))]);
        Some(self.options.len() - 1)
    }
}

impl Applies {
    /// Whether a device is one of these.
    pub fn fits(&self, category: Category, form: Form) -> bool {
        (self.categories.is_empty() || category.is_among(&self.categories))
            && (self.forms.is_empty() || self.forms.contains(&form))
    }
}

impl PartSet {
    /// Whether the set is for a device.
    pub fn fits(&self, category: Category, form: Form) -> bool {
        !self.left_out
            && (self.categories.is_empty() || category.is_among(&self.categories))
            && (self.forms.is_empty() || self.forms.contains(&form))
    }

    /// The sum of the weights.
    pub fn total(&self) -> Exact {
        self.weights.iter().fold(Exact::zero(), |sum, (_, w)| &sum + &w.value)
    }
}

/// The roles a key of a part set names: `hinge assembly | display folding mechanism` is either.
pub fn either_of(key: &str) -> Vec<&str> {
    key.split('|').map(str::trim).collect()
}

impl Routes {
    /// The route of the highest total, from the device as it is used.
    pub fn usual(rule: Rule) -> Self {
        Self { official_first: false, order: RouteOrder::HighestTotal, start: Start::AsUsed, rule }
    }

    /// Applies a setting, if it is one of the choice of routes.
    pub(super) fn set(&mut self, setting: &Setting) {
        match setting {
            Setting::OfficialFirst(yes) => self.official_first = *yes,
            Setting::RouteOrder(order) => self.order = *order,
            Setting::Start(start) => self.start = *start,
            _ => {}
        }
    }

    /// In words.
    pub fn words(&self) -> String {
        let order = match self.order {
            RouteOrder::HighestTotal => "the routes that together give the highest total",
            RouteOrder::FewestSteps => "the route of fewest steps",
        };
        let read = if self.official_first {
            format!("Read on the maker's own route where the record gives it, else on {order}.")
        } else {
            format!("Read on {order}.")
        };
        match self.start {
            Start::AsUsed => read,
            Start::Disconnected => {
                format!(
                    "{read} Counting starts with the device disconnected from any supply: unplugging is not counted."
                )
            }
        }
    }
}

impl BasicTools {
    /// The class a tool counts as.
    ///
    /// ```
    /// use scoring::method::BasicTools;
    /// use scoring::vocab::ToolClass;
    /// assert_eq!(BasicTools::Law.class("hammer", ToolClass::Commercial), ToolClass::Commercial);
    /// assert_eq!(BasicTools::Standard.class("hammer", ToolClass::Commercial), ToolClass::Basic);
    /// assert_eq!(BasicTools::Standard.class("suction cup", ToolClass::Commercial), ToolClass::Commercial);
    /// ```
    pub fn class(self, tool: &str, class: ToolClass) -> ToolClass {
        let listed = || crate::vocab::tool(tool).is_some_and(|t| t.standard);
        if self == Self::Standard && class == ToolClass::Commercial && listed() { ToolClass::Basic } else { class }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Law => "Basic tools are those of Regulation (EU) 2023/1670, Annex I.",
            Self::Standard => {
                "Basic tools are those of Regulation (EU) 2023/1670, Annex I, and those the list of EN 45554 is believed to \
                 have besides (from memory, medium confidence)."
            }
        }
    }
}

impl Instances {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::WorstPerMeasure => "Of several parts of one role the worst counts, measure by measure.",
            Self::LowestAsWhole => "Of several parts of one role the one of the lowest score counts, as a whole.",
        }
    }
}

impl Combine {
    /// Its word in method files.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mean => "mean",
            Self::Sum => "sum",
            Self::Worst => "worst",
            Self::Best => "best",
            Self::Cap => "cap",
            Self::Gate => "gate",
            Self::Apart => "apart",
        }
    }
}

impl Absent {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Points(points) => format!("scores {}", points.plain()),
            Self::LeaveOut => "is left out, its weight with it".to_owned(),
        }
    }
}
