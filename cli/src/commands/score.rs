pub(crate) fn run(_: &crate::arguments::Score, _: crate::problems::Form, _: &mut crate::world::World<'_>) -> Result<(), crate::failure::Failure> { Ok(()) }
