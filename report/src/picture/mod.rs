//! The device picture: the ways to the parts that count as one drawing. Left to right a column is a counted step; what ways
//! share is drawn once, and a branch stands where they part.
//!
//! [`tree`] joins the ways, [`layout`] places them, `draw` writes SVG and [`list`] the same as an indented list.

mod draw;
mod layout;
mod list;
mod tree;

pub use draw::svg;
pub(crate) use layout::width;
pub use layout::{Label, Laid, layout};
pub use list::{PictureLine, list};
pub use tree::{Mark, Stretch, Tree, tree};

/// Rows of the picture in a summary.
pub const ROWS: usize = 8;
