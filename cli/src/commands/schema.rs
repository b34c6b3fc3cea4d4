//! `unfasten schema`: JSON Schemas of what is read and written.

use crate::arguments::{Schema, SchemaOf};
use crate::failure::Failure;
use crate::world::World;

pub(crate) fn run(arguments: &Schema, world: &mut World<'_>) -> Result<(), Failure> {
    let schema = match arguments.what {
        SchemaOf::Record => scoring::record::schema(),
        SchemaOf::Method => scoring::method::schema(),
        SchemaOf::Assessment => report::json::schema(),
        SchemaOf::Route => report::json::routes_schema(),
    };
    serde_json::to_writer_pretty(&mut *world.out, &schema).map_err(std::io::Error::from)?;
    writeln!(world.out)?;
    Ok(())
}
