//! Records: reading, complaints, samples.

mod arrows;
mod asking;
mod bench_sheets;
mod drafts;
mod drafts_said;
mod drafts_walked;
mod edits;
mod misled;
mod past_syntax;
mod record_codes;
mod record_hazards;
mod record_limits;
mod record_meaning;
mod record_mistakes;
mod record_samples;
mod record_syntax;
mod samples;
mod told_of;
