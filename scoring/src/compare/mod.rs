//! Several verdicts beside each other: changes to one design, several devices, two versions of one record.

pub mod causes;
pub mod changes;
pub mod diff;
pub mod facts;
pub mod rank;
pub mod require;
pub mod side_by_side;
mod sift;
mod threads;
pub mod undecided;

pub use causes::{Cause, CauseOf, Causes};
pub use changes::{Change, ChangeEffect, Changes, Cheapest, Nearest, Short, cheapest, short_of};
pub use diff::{Agreement, Correction};
pub use facts::{FactHinge, hinging};
pub use rank::{Acceptability, RankedDevice, Ranking, Refusal};
pub use require::{RequireError, Requirement};
pub use side_by_side::SideBySide;
pub use undecided::{Undecided, undecided};
