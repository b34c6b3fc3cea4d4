//! Assessments rendered for publication.
#![warn(missing_docs)]

pub mod chapters;
pub mod clean;
pub mod csv;
pub mod data;
pub mod fingerprint;
pub mod gallery;
pub mod html;
pub mod json;
pub mod markdown;
pub mod notes;
pub mod photo;
pub mod plural;
pub mod svg;
pub mod template;
pub mod text;
pub mod verify;
pub mod view;
