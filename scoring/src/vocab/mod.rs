//! The words of the trade: roles, tools, fasteners, hazards, classes. Data in one place, extensible by a record.

pub mod class;

pub use class::{Access, Basis, Category, Certainty, Form, Kind, Place, Skill, ToolClass};
