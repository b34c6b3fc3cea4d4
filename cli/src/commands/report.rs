pub(crate) fn run(_: &crate::arguments::Report, _: crate::problems::Form, _: &mut crate::world::World<'_>) -> Result<(), crate::failure::Failure> { Ok(()) }
