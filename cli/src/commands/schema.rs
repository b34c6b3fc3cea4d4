//! `unfasten schema`: JSON Schemas of what is read and written.

use report::json::Layout;

use crate::arguments::Schema;
use crate::documents;
use crate::failure::Failure;
use crate::world::World;

pub(crate) fn run(arguments: &Schema, world: &mut World<'_>) -> Result<(), Failure> {
    // A schema is read by people too.
    world.layout = Layout::Indented;
    world.json(&documents::schema(arguments.what))?;
    Ok(())
}
