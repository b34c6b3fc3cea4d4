//! A complete record and a method in, a value for every criterion out.

pub mod back;
pub mod evaluate;
pub mod evidence;
pub mod joint;
pub mod ledger;
pub mod measures;
pub mod outcome;
pub mod performed;
pub mod plan;
pub mod points;
mod pool;
pub mod problem;
pub mod sheet;
pub(crate) mod solved;
pub mod time;

pub use evaluate::{Evaluated, LeafPoint, evaluate, evaluate_knowing};
pub use measures::Value;
pub use outcome::{Met, PartRoute, Reach, Router};
pub use plan::{Plan, PlanKind, PlanNode, Slot};
pub use pool::Pool;
