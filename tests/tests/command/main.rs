//! The command and its reports, end to end.

/// As the command has it: with the C library's a sixth of the time goes into making and dropping lists.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

mod asked;
mod bounds_told;
mod command_files;
mod command_guides;
mod command_inputs;
mod command_many;
mod command_marks;
mod command_meaning;
mod command_outputs;
mod command_readme;
mod command_support;
mod command_terminal;
mod compare_page;
mod confined;
mod draft_dress;
mod drafts;
mod fuzzed;
mod gates;
mod house_looks;
mod house_words;
mod interrupted;
mod json_schemas;
mod law_everywhere;
mod on_a_bench;
mod parts_told;
mod read_aloud;
mod report_common;
mod report_documents;
mod report_dress;
mod report_folder;
mod report_hostile;
mod report_reasons;
mod report_since;
mod report_summary;
mod report_templates;
mod route_explained;
mod route_switches;
mod support_tables;
mod surface;
mod unproved;
mod variants;
mod watch;

#[path = "../../performance/heavy.rs"]
mod heavy;
