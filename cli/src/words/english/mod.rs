//! English: one file for each command, and for what several commands share.

pub(crate) mod about;
pub(crate) mod answer;
pub(crate) mod changes;
pub(crate) mod check;
pub(crate) mod compare;
pub(crate) mod diff;
pub(crate) mod draft;
pub(crate) mod failure;
pub(crate) mod files;
pub(crate) mod job;
pub(crate) mod many;
pub(crate) mod marks;
pub(crate) mod methods;
pub(crate) mod new;
pub(crate) mod plain;
pub(crate) mod problems;
pub(crate) mod report;
pub(crate) mod requirement;
pub(crate) mod route;
pub(crate) mod shell;
pub(crate) mod skeleton;
pub(crate) mod template;
pub(crate) mod unknowns;
pub(crate) mod verdict;
pub(crate) mod verify;
pub(crate) mod watch;
