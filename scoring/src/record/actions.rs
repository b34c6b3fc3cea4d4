//! Actions of a complete record, shared between copies until one of them differs: completions of one record differ in a few
//! actions of many, and thousands of them are looked at.

use std::ops::{Index, IndexMut};
use std::sync::Arc;

use super::complete::CompleteAction;

/// A list of actions. A copy shares them; writing to one takes a copy of that one alone.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Actions(Vec<Arc<CompleteAction>>);

impl Actions {
    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// An action by its index.
    pub fn get(&self, index: usize) -> Option<&CompleteAction> {
        self.0.get(index).map(AsRef::as_ref)
    }

    /// All of them in order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = &CompleteAction> + DoubleEndedIterator + Clone {
        self.0.iter().map(AsRef::as_ref)
    }

    /// All of them in order, each to be written to.
    pub fn iter_mut(&mut self) -> impl Iterator<Item = &mut CompleteAction> {
        self.0.iter_mut().map(Arc::make_mut)
    }

    /// Adds one.
    pub fn push(&mut self, action: CompleteAction) {
        self.0.push(Arc::new(action));
    }

    /// Whether an action is the same in two lists; at once where they share it.
    pub(crate) fn same(&self, other: &Self, index: usize) -> bool {
        self.0.get(index) == other.0.get(index)
    }

    /// An action, shared.
    pub(crate) fn shared(&self, index: usize) -> Arc<CompleteAction> {
        Arc::clone(&self.0[index])
    }

    /// Puts a shared one in the place of another.
    pub(crate) fn put(&mut self, index: usize, action: Arc<CompleteAction>) {
        self.0[index] = action;
    }
}

impl Index<usize> for Actions {
    type Output = CompleteAction;

    fn index(&self, index: usize) -> &CompleteAction {
        &self.0[index]
    }
}

impl IndexMut<usize> for Actions {
    fn index_mut(&mut self, index: usize) -> &mut CompleteAction {
        Arc::make_mut(&mut self.0[index])
    }
}

impl Extend<CompleteAction> for Actions {
    fn extend<I: IntoIterator<Item = CompleteAction>>(&mut self, more: I) {
        self.0.extend(more.into_iter().map(Arc::new));
    }
}

impl FromIterator<CompleteAction> for Actions {
    fn from_iter<I: IntoIterator<Item = CompleteAction>>(actions: I) -> Self {
        Self(actions.into_iter().map(Arc::new).collect())
    }
}

impl From<Vec<CompleteAction>> for Actions {
    fn from(actions: Vec<CompleteAction>) -> Self {
        actions.into_iter().collect()
    }
}

impl<'a> IntoIterator for &'a Actions {
    type Item = &'a CompleteAction;
    type IntoIter =
        std::iter::Map<std::slice::Iter<'a, Arc<CompleteAction>>, fn(&Arc<CompleteAction>) -> &CompleteAction>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter().map(AsRef::as_ref)
    }
}

impl<'a> IntoIterator for &'a mut Actions {
    type Item = &'a mut CompleteAction;
    type IntoIter = std::iter::Map<
        std::slice::IterMut<'a, Arc<CompleteAction>>,
        fn(&mut Arc<CompleteAction>) -> &mut CompleteAction,
    >;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter_mut().map(Arc::make_mut)
    }
}
