//! What a method says that can't be meant: checked on the whole, after reading.

use super::Method;
use crate::text::Span;
use crate::text::fields::Reader;

/// Checks a method as written. `broken` are places something of which could not be read.
pub(super) fn check(method: &Method, broken: &[Span], reader: &mut Reader<'_>) {
    let _ = (method, broken, reader);
}
