//! What a method says that can't be meant: checked on the whole, after reading.
//!
//! [`tree`] looks at criteria, [`points`] at how measures become points, [`head`] at part sets, classes and switches;
//! [`reach`] says which values a criterion can have at all.

mod head;
mod points;
mod reach;
mod tree;

pub(super) use tree::unknown_id;

use super::Method;
use crate::exact::Exact;
use crate::text::fields::Reader;
use crate::text::{Diagnostic, Span};
use crate::vocab::class::Words;
use crate::vocab::{Category, Form};

/// Checks a method as written. `broken` are places something of which could not be read.
pub(super) fn check(method: &Method, broken: &[Span], reader: &mut Reader<'_>) {
    let mut job = Job { method, broken, reader };
    tree::check(&mut job);
    points::check(&mut job);
    head::check(&mut job);
}

/// One method being checked.
struct Job<'m, 'r, 's> {
    method: &'m Method,
    broken: &'m [Span],
    reader: &'r mut Reader<'s>,
}

impl Job<'_, '_, '_> {
    fn complain(&mut self, diagnostic: Diagnostic) {
        self.reader.complain(diagnostic);
    }

    /// Whether the whole file was read.
    fn all_read(&self) -> bool {
        self.broken.is_empty() && !self.reader.failed()
    }

    /// Devices in scope.
    fn devices(&self) -> Vec<(Category, Form)> {
        let scope = &self.method.scope;
        let forms = |c: Category| -> Vec<Form> {
            let folds = matches!(c, Category::Smartphone | Category::SlateTablet);
            let all = if folds { Form::ALL } else { &[Form::NotFolding] };
            all.iter().copied().filter(|f| !scope.without_forms.contains(f)).collect()
        };
        scope.categories.iter().flat_map(|&c| forms(c).into_iter().map(move |f| (c, f))).collect()
    }
}

/// The sum of some numbers.
fn sum<'e>(numbers: impl Iterator<Item = &'e Exact>) -> Exact {
    numbers.fold(Exact::zero(), |a, b| &a + b)
}
