//! A complete record and a method in, a value for every criterion out.

pub mod back;
mod choose;
pub mod evaluate;
pub mod evidence;
pub mod joint;
mod kept;
pub mod ledger;
pub mod measures;
pub mod outcome;
pub mod performed;
pub mod plan;
pub mod points;
pub mod problem;
pub(crate) mod profiles;
mod restrict;
pub mod sheet;
pub mod time;
mod toward;

pub use evaluate::{Evaluated, LeafPoint, evaluate};
pub use kept::{Kept, Work};
pub use measures::Value;
pub use outcome::{Met, PartRoute, Reach, Router};
pub use plan::{Plan, PlanKind, PlanNode, Slot};
