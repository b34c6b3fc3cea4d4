//! `unfasten about`: what a problem means, by its code; the words of the trade, by list.

use std::collections::BTreeMap;

use scoring::text::codes::Code;

use crate::arguments::About;
use crate::codes;
use crate::failure::Failure;
use crate::job::nearest;
use crate::terminal::{column, hang};
use crate::vocabulary;
use crate::words::about as say;
use crate::world::{WIDTH, World};

pub(crate) fn run(arguments: &About, world: &mut World<'_>) -> Result<(), Failure> {
    let all: BTreeMap<&str, &Code> = codes::all().map(|c| (&*c.code, c)).collect();
    let Some(code) = &arguments.code else {
        for (code, explained) in &all {
            write!(world.out, "{}", hang(&format!("{} ", column(code, 25)), &explained.title, WIDTH))?;
        }
        write!(world.out, "\n{}", hang("", &say::lists(&vocabulary::LISTS), WIDTH))?;
        return Ok(());
    };
    let key = code.trim().to_lowercase();
    if vocabulary::write(&key, world.out)? {
        return Ok(());
    }
    let Some(explained) = all.get(key.as_str()) else {
        let near = nearest(&key, all.keys().copied().chain(vocabulary::LISTS));
        return Err(Failure::said(say::no_code(code, near)));
    };
    writeln!(world.out, "{key}")?;
    write!(world.out, "{}\n{}", hang("", &explained.title, WIDTH), hang("", &explained.text, WIDTH))?;
    let example = explained.example();
    if !example.trim().is_empty() {
        writeln!(world.out, "\n{}", example.trim_end())?;
    }
    Ok(())
}
