//! The commands, one file each.

pub(crate) mod about;
pub(crate) mod answer;
mod before;
pub(crate) mod changes;
pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod diff;
pub(crate) mod draft;
pub(crate) mod marks;
pub(crate) mod methods;
pub(crate) mod new;
pub(crate) mod report;
pub(crate) mod route;
pub(crate) mod schema;
pub(crate) mod score;
pub(crate) mod shell;
pub(crate) mod template;
pub(crate) mod unknowns;
pub(crate) mod verify;
pub(crate) mod watch;
