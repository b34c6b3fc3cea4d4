//! `unfasten verify`: whether the numbers of a published report follow from its record.

use report::verify::{Verified, claim, verify};

use super::report::{pictures, without_bytes};
use super::score::viewed;
use crate::arguments::{Choice, Photos, Verify};
use crate::failure::Failure;
use crate::files::read;
use crate::job;
use crate::problems::Form;
use crate::support::Tables;
use crate::terminal::{column, hang, tame};
use crate::words::verify as say;
use crate::world::{WIDTH, World};

/// Columns of what leads the two values that differ.
const LEAD: usize = 11;

pub(crate) fn run(arguments: &Verify, form: Form, world: &mut World<'_>) -> Result<(), Failure> {
    let text = read::report(&arguments.report, world)?;
    let methods =
        if arguments.methods.is_empty() { claimed(&text, &arguments.report)? } else { arguments.methods.clone() };
    let choice = Choice { methods, readings: arguments.readings.clone() };
    let chosen = job::methods(&choice, form, world)?;
    let tables = Tables::read(&arguments.joined, form, world)?;
    let taken = tables.record(&arguments.record, world);
    let texts = taken.texts;
    let (sources, _, record) = taken.usable(form, world)?;
    tables.finish(form, world)?;
    let sources = job::bare(&sources, texts);
    let mut photos = pictures(&record, &arguments.record, Photos::Embed, world)?;
    // Only an HTML page made the usual way holds its pictures.
    if !text.contains("src=\"data:") {
        photos = without_bytes(&photos);
    }
    let view = viewed(&record, &sources, &choice, &chosen, photos)?;
    let view = match (&arguments.before, claim(&text).and_then(|c| c.before)) {
        (Some(old), _) => {
            let since = super::before::since([old, &arguments.record], (&choice, &chosen), &tables, world)?;
            view.since(&since)
        }
        (None, Some(_)) => {
            return Err(Failure::said(say::names_no_earlier(&arguments.report)));
        }
        (None, None) => view,
    };
    let name = tame(&arguments.report);
    match verify(&text, &view, !arguments.own_layout) {
        Verified::Same => {
            write!(world.out, "{}", hang("", &say::same(&name), WIDTH))?;
            Ok(())
        }
        Verified::Follows => {
            write!(world.out, "{}", hang("", &say::follows(&name), WIDTH))?;
            Ok(())
        }
        Verified::OtherVersion(program) => {
            let said = say::other_version(&name, &tame(&program), &view.program);
            write!(world.out, "{}", hang("", &said, WIDTH))?;
            Ok(())
        }
        Verified::Differs(found) => {
            if let Some(program) = &found.made_by {
                let said = say::made_by(&name, &tame(program), &view.program);
                write!(world.out, "{}", hang("", &said, WIDTH))?;
            }
            write!(world.out, "{}", hang("", &say::differs(&name, &tame(&found.what)), WIDTH))?;
            for (lead, text) in [(say::PUBLISHED, &found.published), (say::RECOMPUTED, &found.recomputed)] {
                write!(world.out, "{}", hang(&format!("  {} ", column(lead, LEAD)), &tame(text), WIDTH))?;
            }
            Err(Failure::NotMet)
        }
        Verified::NoClaim => Err(nothing(&arguments.report)),
    }
}

/// Methods a report says it was made by, in its order.
fn claimed(text: &str, name: &str) -> Result<Vec<String>, Failure> {
    if let Some(claim) = claim(text) {
        return Ok(claim.assessments.into_iter().map(|a| a.method).collect());
    }
    let value: serde_json::Value = serde_json::from_str(text).map_err(|_| nothing(name))?;
    let list = value["devices"][0]["assessments"].as_array().ok_or_else(|| nothing(name))?;
    Ok(list.iter().filter_map(|a| a["method"].as_str()).map(str::to_owned).collect())
}

fn nothing(name: &str) -> Failure {
    Failure::said(say::nothing_to_verify(name))
}
