//! Assessments rendered for publication.
#![warn(missing_docs)]
#![allow(
    clippy::format_push_string,
    reason = "writing to a string can't fail; `write!` would give a result to throw away"
)]

pub mod chapters;
pub mod clean;
pub mod comparison;
pub mod correction;
pub mod csv;
pub mod data;
pub mod facts;
pub mod fingerprint;
pub mod gallery;
pub mod html;
pub mod json;
pub mod markdown;
pub mod notes;
pub mod photo;
pub mod picture;
pub mod plural;
pub mod script;
pub mod svg;
pub mod template;
pub mod text;
pub mod verify;
pub mod view;
pub mod words;
