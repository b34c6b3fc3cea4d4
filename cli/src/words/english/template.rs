//! English: what `template` says beside the templates.

pub(crate) fn wrote(templates: usize, folder: &str) -> String {
    format!(
        "wrote {templates} templates to {folder} and a README.md that tells what they receive; change them, then: unfasten report \
         RECORD --template {folder} --out DIR"
    )
}
