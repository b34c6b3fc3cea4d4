//! One method applied to one record.

use super::because::Because;
use super::route::{self, CountedRoute};
use super::teardown::Teardown;
use crate::exact::Exact;
use crate::range::Assessment;
use crate::text::fold;

/// A verdict: a range over everything nobody established, and a tree of becauses under it.
#[derive(Clone, Debug)]
pub struct Verdict<'t> {
    pub(super) teardown: &'t Teardown,
    pub(super) assessment: Assessment,
}

impl Verdict<'_> {
    /// Low and high end in points, exact; `None` where the method leaves the total out.
    pub fn ends(&self) -> [Option<&Exact>; 2] {
        [self.assessment.root.low.as_ref(), self.assessment.root.high.as_ref()]
    }

    /// Low and high end as the method shows them (`5.0`; `pass` or `fail`); empty where there is no total.
    pub fn shown(&self) -> [String; 2] {
        self.ends().map(|end| end.map_or_else(String::new, |end| self.assessment.show(end)))
    }

    /// Whether each end is exact (some answer to everything open has it); false marks a bound, which nothing can leave.
    pub fn exact(&self) -> [bool; 2] {
        self.assessment.attained
    }

    /// Class at the low and at the high end, where the method has classes.
    pub fn classes(&self) -> Option<&[String; 2]> {
        self.assessment.classes.as_ref()
    }

    /// High end less low end, in points.
    pub fn width(&self) -> Exact {
        self.assessment.range().width()
    }

    /// The reason behind every number, the total first, each before those it is made of.
    ///
    /// ```
    /// use scoring::{Rules, Teardown};
    /// let teardown = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// let verdict = teardown.assess(&Rules::shipped("en-45554")?);
    /// let depth = verdict.because("depth/part/cell").unwrap();
    /// assert_eq!(depth.said(), ["2 steps", "2 steps"]);
    /// let seen = &depth.evidence(0)[1];
    /// assert_eq!((seen.place.as_str(), seen.seconds), ("lantern.yaml:8:6", Some((41, 41))));
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    pub fn becauses(&self) -> impl Iterator<Item = Because<'_>> {
        self.assessment.root.walk().into_iter().map(|node| Because { verdict: self, node })
    }

    /// The reason behind one number, by its id.
    pub fn because(&self, id: &str) -> Option<Because<'_>> {
        self.assessment.find(id).map(|node| Because { verdict: self, node })
    }

    /// The reference route to a part, by the part's name or its role: at the low end (0) or the high end (1) of the verdict.
    /// `None` where there is no such part or it can't be reached.
    ///
    /// ```
    /// use scoring::{Rules, Teardown};
    /// let teardown = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
    /// let verdict = teardown.assess(&Rules::shipped("en-45554")?);
    /// let route = verdict.route("cell", 0).unwrap();
    /// assert_eq!((route.steps, route.proved, route.lines.len()), (2, true, 2));
    /// assert_eq!(route.lines[1].what, "free cell");
    /// # Ok::<(), scoring::Problems>(())
    /// ```
    pub fn route(&self, part: &str, end: usize) -> Option<CountedRoute> {
        let completion = self.assessment.ends.get(end)?;
        let record = &self.teardown.record;
        let is = |name: &str| fold(name) == fold(part);
        let named = |f: &&crate::record::complete::Fill| {
            f.present && (is(&f.role) || f.part.is_some_and(|p| is(&record.parts[p].name.value)))
        };
        let fill = completion.device.fills.iter().find(named)?;
        let found = completion.evaluated.routes.get(&fill.thing)?;
        route::told(self.teardown, &completion.device, found)
    }

    /// The assessment itself, for the other crates of this workspace.
    #[doc(hidden)]
    pub fn assessment(&self) -> &Assessment {
        &self.assessment
    }
}
