//! What complaints about method files mean, as data (`codes.yaml`).

use std::sync::LazyLock;

pub use crate::text::codes::Code;
use crate::text::codes::load;

static CODES: LazyLock<Vec<Code>> = LazyLock::new(|| load(include_str!("codes.yaml")));

/// The codes of methods alone, in the order of a method file; complaints any file can get (unknown fields, wrong values,
/// YAML) are registered with [`crate::text::codes`].
pub fn all() -> &'static [Code] {
    &CODES
}
