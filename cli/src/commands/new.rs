//! `unfasten new`: a record to fill in.

use scoring::vocab::Category;

use crate::arguments::New;
use crate::failure::Failure;
use crate::files::folder;
use crate::job::{self, nearest};
use crate::problems::Form;
use crate::skeleton;
use crate::terminal::hang;
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
        let named = arguments.choice.methods.join(", ");
        return Err(Failure::wrong(
            format!("{named} is not for category {category}"),
            "leave --method out, or choose another",
        ));
    }
    let text = skeleton::record(category, &methods);
    match &arguments.out {
        None => write!(world.out, "{text}")?,
        Some(path) => {
            folder::write_new(path, text.as_bytes(), false)?;
            let path = path.display();
            write!(
                world.err,
                "{}",
                hang("", &format!("wrote {path}; fill it in, then: unfasten check {path}"), WIDTH)
            )?;
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
    let mend = match nearest(words, all.iter().copied()) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("there are: {}; one of your own takes a method whose scope names it", all.join(", ")),
    };
    Failure::wrong(format!("there is no category `{words}`"), mend)
}
