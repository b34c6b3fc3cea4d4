//! Both ends of a verdict as a method shows them, with what they mean: what sentences about ranges are made of, so that no
//! meaning is read out of `pass`, `fail` or figures that were put into words already.

use scoring::method::Method;

/// Both ends of a verdict.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ends<'e> {
    /// The method says pass or fail and gives no points.
    pub(crate) passes: bool,
    /// Low and high as shown; empty where there is none.
    pub(crate) shown: &'e [String; 2],
    /// Class at both ends, where the method has classes.
    pub(crate) classes: Option<&'e [String; 2]>,
}

impl<'e> Ends<'e> {
    /// Ends as a method shows them.
    pub(crate) fn of(method: &Method, shown: &'e [String; 2], classes: Option<&'e [String; 2]>) -> Self {
        Self { passes: method.scale.verdict, shown, classes }
    }

    /// There is no total.
    pub(crate) fn none(&self) -> bool {
        self.shown.iter().all(String::is_empty)
    }

    /// Both ends are shown alike.
    pub(crate) fn one(&self) -> bool {
        self.shown[0] == self.shown[1]
    }

    /// The rule is surely met, or surely not.
    pub(crate) fn decided(&self) -> bool {
        self.passes && self.one() && !self.none()
    }
}
