//! English: what `manual` says beside its pages.

pub(crate) fn wrote(pages: usize, folder: &str) -> String {
    format!("wrote {pages} pages to {folder}; look at one: man -l {folder}/unfasten.1")
}
