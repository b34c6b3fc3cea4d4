//! Facts to phrases: the one place where a report finds words. [`english`] is the table of the one language there is; the
//! other files put its phrases together.

mod bounds;
mod brief;
pub mod compare;
pub mod english;
pub mod law;
pub mod layout;
mod lost;
pub mod reading;
mod script;
mod sentence;

pub use bounds::{both_ends, bounds, end};
pub use brief::{asked, cost, lift, open_line, promise_cost, tree_line};
pub use lost::lost_list;
pub use script::{Shown, script};
pub(crate) use sentence::capital;
pub use sentence::{Sentence, WORDS, sentence};

/// Words of a text, as a reader counts them.
pub fn words(text: &str) -> usize {
    text.split_whitespace().count()
}
