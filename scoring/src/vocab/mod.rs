//! The words of the trade: roles, tools, fasteners, hazards, classes. Data in one place, extensible by a record.
//!
//! [`class`] holds the closed ordinal vocabularies; [`words`] the open ones, read from the YAML files beside this
//! module, each entry with its certainty; [`category`] what is known of product categories; [`drive`] the short names of
//! screw drives; [`Family`] what people call a fastener; [`promise`] the single facts a record states, a row each.

pub mod category;
pub mod class;
pub mod drive;
mod family;
pub mod promise;
pub mod spoken;
pub mod words;

pub use category::Category;
pub use class::{Access, Basis, Certainty, Form, Kind, Place, Skill, ToolClass, Words};
pub use family::Family;
pub use promise::Promise;
pub use words::{FastenerWord, HazardWord, RoleWord, ToolWord, fastener, hazard, role, roles, tool};

/// Whether a category knows a role by this name.
pub fn category_has_role(category: Category, name: &str) -> bool {
    category.names_own_roles() || roles(category).any(|r| r.name == name)
}
