//! Unknowns, completions and the range between the worst and the best of them.

pub mod asking;
pub mod assessment;
mod behind;
mod bench;
mod binding;
mod bound;
mod build;
pub mod case;
mod counting;
pub mod edit;
mod ends;
pub mod firmness;
mod heaviest;
mod looks;
mod loose;
mod near;
mod numbers;
mod order;
mod prices;
mod promises;
pub mod questions;
mod reads;
pub mod routes;
mod standing;
pub mod study;
mod sure;
pub mod ways;
mod worst;

pub use assessment::{Assessment, Completion, Graded, GradedKind, NodeEnd, RoleFilled, class_of, show};
pub(crate) use behind::closure;
pub use binding::{Rest, binding, rests_on};
pub use case::{Answer, Assumed, Case, Touches, Unknown, fitted, form_of};

pub use edit::Edit;
pub use firmness::Firmness;
pub use questions::{Guide, Leads, Question, Settling};
pub use study::{Effort, Range, Study};
