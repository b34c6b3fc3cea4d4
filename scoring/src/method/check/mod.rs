//! What a method says that can't be meant: checked on the whole, after reading.
//!
//! [`tree`] looks at criteria, [`points`] at how measures become points, [`head`] at part sets, classes and switches;
//! [`reach`] says which values a criterion can have at all.

mod head;
mod points;
mod reach;
mod tree;

use super::Method;
use super::gaps::{Gap, Gaps, Named};
use crate::exact::Exact;
use crate::text::Diagnostic;
use crate::text::fields::Reader;
use crate::vocab::class::Words;
use crate::vocab::{Category, Form};

/// Checks a method as written. `gaps` are what could not be read and has been told; checks run on all the rest.
pub(super) fn check(method: &Method, gaps: Gaps, named: &Named, reader: &mut Reader<'_>) {
    let mut job = Job { method, gaps, named, reader };
    tree::check(&mut job);
    points::check(&mut job);
    head::check(&mut job);
}

/// One method being checked.
struct Job<'m, 'r, 's> {
    method: &'m Method,
    gaps: Gaps,
    named: &'m Named,
    reader: &'r mut Reader<'s>,
}

impl Job<'_, '_, '_> {
    fn complain(&mut self, diagnostic: Diagnostic) {
        self.reader.complain(diagnostic);
    }

    /// Devices in scope.
    fn devices(&self) -> Vec<(Category, Form)> {
        let scope = &self.method.scope;
        let mut categories = scope.categories.clone();
        if categories.is_empty() {
            // Where the scope can't be read, part sets tell which devices are meant.
            categories = self.method.part_sets.iter().flat_map(|s| s.categories.iter().copied()).collect();
            categories.sort_unstable();
            categories.dedup();
        }
        let forms = |c: Category| -> Vec<Form> {
            let all = if c.folds() { Form::ALL } else { &[Form::NotFolding] };
            all.iter().copied().filter(|f| !scope.without_forms.contains(f)).collect()
        };
        categories.into_iter().flat_map(|c| forms(c).into_iter().map(move |f| (c, f))).collect()
    }
}

/// The sum of some numbers.
fn sum<'e>(numbers: impl Iterator<Item = &'e Exact>) -> Exact {
    numbers.fold(Exact::zero(), |a, b| &a + b)
}

/// How to mend weights that miss their sum.
fn off_by(off: &Exact) -> String {
    let more = if off.is_negative() { "less" } else { "more" };
    format!("let the weights come to {} {more}", off.plain().trim_start_matches('-'))
}
