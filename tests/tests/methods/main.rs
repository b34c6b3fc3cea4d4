//! The shipped methods against law, standards and independent recounts.

/// As the command has it: with the C library's a sixth of the time goes into making and dropping lists.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

mod categories;
mod days;
mod dryers;
mod ecodesign;
mod eu_index;
mod fr_sheets;
mod law_clauses;
mod measures_each;
mod method_each;
mod method_reference;
mod method_rules;
mod method_schema;
mod method_steps;
mod oracle_en_45554;
mod oracle_eu_2023_1542_11;
mod oracle_eu_2023_1669;
mod oracle_eu_2023_1670;
mod oracle_fr_index;
mod oracle_world;
mod washers;
