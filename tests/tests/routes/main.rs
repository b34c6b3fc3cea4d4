//! Routes against enumerations, reference instances and outside solvers.

/// As the command has it: with the C library's a sixth of the time goes into making and dropping lists.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

mod routes_obstacles;
mod routes_random;
mod routes_reference;
mod routes_remembered;
mod routes_support;
mod routes_switches;
