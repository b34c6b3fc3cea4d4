//! A complete record and a method in, a value for every criterion out.

pub mod evaluate;
pub mod evidence;
pub mod ledger;
pub mod measures;
pub mod outcome;
pub mod plan;
pub mod points;
pub mod problem;
pub mod sheet;
pub mod time;

pub use evaluate::{Evaluated, LeafPoint, evaluate};
pub use measures::Value;
pub use outcome::{Met, PartRoute, Reach, Router};
pub use plan::{Plan, PlanKind, PlanNode, Slot};
