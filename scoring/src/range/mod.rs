//! Unknowns, completions and the range between the worst and the best of them.

pub mod assessment;
mod bench;
mod bounds;
pub mod case;
pub mod edit;
pub mod firmness;
mod numbers;
pub mod optimise;
mod order;
mod prices;
mod promises;
pub mod questions;
pub mod study;
mod sure;
pub mod tables;
pub mod ways;

pub use assessment::{Assessment, Completion, Graded, GradedKind, NodeEnd, RoleFilled, class_of, show};
pub use case::{Answer, Assumed, Case, Touches, Unknown, fitted};
pub(crate) use case::{blank_action, form_of};

pub use edit::{Edit, SpareFact, SupportFact};
pub use firmness::Firmness;
pub use questions::{Guide, Leads, Question, Settling};
pub use study::{Range, Study};
pub use tables::Effort;
