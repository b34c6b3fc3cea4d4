//! `unfasten new`: a record to fill in.

use scoring::vocab::{Category, Words};

use crate::arguments::New;
use crate::failure::Failure;
use crate::files::folder;
use crate::job::{self, nearest};
use crate::problems::Form;
use crate::skeleton;
use crate::terminal::hang;
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &New, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let category = category(&arguments.category)?;
    let all = job::methods(&arguments.choice, form, world)?;
    let methods: Vec<_> = all.iter().map(|c| &c.method).filter(|m| m.scope.categories.contains(&category)).collect();
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

/// The category some words name.
pub(super) fn category(words: &[String]) -> Result<Category, Failure> {
    let words = words.join(" ");
    Category::from_word(&words).ok_or_else(|| no_such_category(&words))
}

fn no_such_category(words: &str) -> Failure {
    let all: Vec<&str> = Category::ALL.iter().map(|c| c.word()).collect();
    let mend = match nearest(words, all.iter().copied()) {
        Some(near) => format!("did you mean {near}?"),
        None => format!("there are: {}", all.join(", ")),
    };
    Failure::wrong(format!("there is no category `{words}`"), mend)
}
