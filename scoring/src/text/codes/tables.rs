//! Codes of tables of comma-separated values. Examples of support tables are joined to a record of the Lamp Two by Ostrel that
//! promises updates for 5 years.

use super::{Code, code};

pub(super) static CODES: &[Code] = &[
    code(
        "table-syntax",
        "a table that can't be read",
        "A quote is not closed, something stands behind a quoted cell, a line has more cells than the head, or the columns are separated by something else than commas. A cell with a comma in it stands in double quotes; a quote in it is doubled.",
        "maker,model,updates\nOstrel,Lamp Two,5 years,7 years",
        "maker,model,updates\nOstrel,Lamp Two,5 years",
    ),
    code(
        "support-differs",
        "a support table contradicts the record",
        "The record and a line of a table say different things about one promise. The record's word counts, since it was written for this one device; the table's is not used. What leaves room is no contradiction: `5..7` in the record and `7` in the table give 7.",
        "maker,model,updates\nOstrel,Lamp Two,7 years",
        "maker,model,updates\nOstrel,Lamp Two,5 years",
    ),
    code(
        "support-unmatched",
        "a device of a support table that no record is of",
        "Lines of a support table are joined to records by maker and by name or model, compared after folding case and runs of spaces, hyphens and underscores. Nothing was joined to these lines. That is a slip of the pen, or the table is of more devices than this run.",
        "maker,model,updates\nOstrel,Lamp Tow,5 years",
        "maker,model,updates\nOstrel,Lamp Two,5 years",
    ),
];
