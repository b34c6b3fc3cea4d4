//! Routes: a pure integer problem in, a route with a certificate out.

/// A milestone: "part i is off" or "do j is done".
pub type Thing = u32;

/// What must hold before an action.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Need {
    /// This milestone.
    Thing(Thing),
    /// One member, each all of its list; nested at most three deep.
    Any(Vec<Vec<Need>>),
}
