//! Every complaint explained: what the command itself finds before a text can be read (`codes.yaml`), and what each room of
//! the library registers.

use std::sync::LazyLock;

use scoring::text::codes::{Code, load};

static OWN: LazyLock<Vec<Code>> = LazyLock::new(|| load(include_str!("codes.yaml")));

/// All of them. Of two with one code the last says more: methods and records both extend one another.
pub(crate) fn all() -> impl Iterator<Item = &'static Code> {
    OWN.iter()
        .chain(scoring::method::codes::all())
        .chain(scoring::text::codes::all())
        .chain(scoring::record::codes::all())
}
