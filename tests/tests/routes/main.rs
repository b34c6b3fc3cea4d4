//! Routes against enumerations, reference instances and outside solvers.

mod routes_obstacles;
mod routes_random;
mod routes_reference;
mod routes_remembered;
mod routes_support;
mod routes_switches;
