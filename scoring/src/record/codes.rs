//! What complaints about records and support tables mean, as data (`codes.yaml`).

use std::sync::LazyLock;

use crate::text::codes::{Code, load};

static CODES: LazyLock<Vec<Code>> = LazyLock::new(|| load(include_str!("codes.yaml")));

/// The codes of records, then those of tables; complaints any file can get are registered with [`crate::text::codes`].
pub fn all() -> &'static [Code] {
    &CODES
}
