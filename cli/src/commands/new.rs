//! `unfasten new`: a record to fill in.

use scoring::vocab::Category;

use crate::arguments::New;
use crate::failure::Failure;
use crate::files::folder;
use crate::job::{self, nearest};
use crate::problems::Form;
use crate::skeleton;
use crate::terminal::hang;
use crate::words::new as say;
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &New, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let words = arguments.category.join(" ");
    let all = job::methods(&arguments.choice, form, world)?;
    // A method may bring a category of its own.
    let brought = || all.iter().flat_map(|c| &c.method.scope.categories).copied();
    let own = Category::own(&words).filter(|own| brought().any(|c| c == *own));
    let category = Category::from_word(&words).or(own).ok_or_else(|| no_such_category(&words))?;
    let methods: Vec<_> = all.iter().map(|c| &c.method).filter(|m| category.is_among(&m.scope.categories)).collect();
    if methods.is_empty() {
        return Err(Failure::said(say::not_for(&arguments.choice.methods, &category.to_string())));
    }
    let text = skeleton::record(category, &methods);
    match &arguments.out {
        None => write!(world.out, "{text}")?,
        Some(path) => {
            folder::write_new(path, text.as_bytes(), false)?;
            write!(world.err, "{}", hang("", &say::wrote(&path.display().to_string()), WIDTH))?;
        }
    }
    Ok(())
}

/// The category some words name: a shipped one, or one of somebody's own that is not a misspelt one.
pub(super) fn category(words: &[String]) -> Result<Category, Failure> {
    let words = words.join(" ");
    let misspelt = nearest(&words, Category::shipped().iter().map(Category::word)).is_some();
    let own = Category::own(&words).filter(|_| !misspelt);
    Category::from_word(&words).or(own).ok_or_else(|| no_such_category(&words))
}

fn no_such_category(words: &str) -> Failure {
    let all: Vec<&str> = Category::shipped().iter().map(Category::word).collect();
    Failure::said(say::no_category(words, nearest(words, all.iter().copied()), &all))
}
