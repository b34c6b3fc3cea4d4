//! Ranges, questions, changes and comparisons against brute force.

/// As the command has it: with the C library's a sixth of the time goes into making and dropping lists.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

mod best_routes;
mod between;
mod causes;
mod changes_all;
mod changes_brute;
mod changes_samples;
mod changes_text;
mod changes_whole;
mod close_by;
mod compare_records;
mod compare_spans;
mod compare_undecided;
mod compare_weights;
mod ends;
mod faults;
mod laws;
mod laws_measures;
mod meaning;
mod questions_brute;
mod questions_firmness;
mod questions_world;
mod sisters;
mod worlds;
