//! One self-contained HTML file: no outside request, whole without script.

use crate::template::{TemplateError, Templates};
use crate::view::View;

/// The report as one HTML file.
pub fn report(view: &View, templates: &Templates) -> Result<String, TemplateError> {
    templates.render("report.html", view)
}
