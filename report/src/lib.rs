//! Assessments rendered for publication.
//!
//! [`Report`] is the library: texts in, a page out, in one chain. All else is public for the other crates of this workspace
//! alone and changes without notice; `RUSTDOCFLAGS='--cfg rooms' cargo doc` shows it.
#![forbid(unsafe_code)]
#![warn(missing_docs)]
#![allow(
    clippy::format_push_string,
    reason = "writing to a string can't fail; `write!` would give a result to throw away"
)]

mod front;

pub use front::{Form, Report};
pub use template::TemplateError;

#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod chapters;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod clean;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod comparison;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod correction;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod csv;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod data;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod facts;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod fingerprint;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod gallery;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod html;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod json;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod markdown;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod notes;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod photo;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod picture;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod plural;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod script;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod svg;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod template;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod text;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod verify;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod view;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod words;
