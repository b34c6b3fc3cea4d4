//! English: the fixed texts of pages, by key. Templates name keys and hold no sentence of their own; `{0}` is the first
//! argument, and of two forms parted by `|` the first is for one.

/// Keys and texts, in the order of the keys.
const LAYOUT: &[(&str, &str)] = &[
    ("above", "Above"),
    ("action", "Action"),
    ("adds_low", "Then adds, low end"),
    ("after", "After"),
    ("all_ways", "All ways in one picture"),
    ("alone_low", "Alone, low end"),
    ("along", "comes off with it or before it"),
    ("another_way", "another way"),
    ("any_weights", "Under any weights"),
    ("as_shown", "as shown"),
    ("aside", "lays aside, still connected:"),
    ("assumed", "Assumed"),
    ("assumed_about", "Settled by an omission or a stated default."),
    ("at_high", "At the high end"),
    ("at_low", "At the low end"),
    ("back_needs", "What the way back needs, last part off first"),
    ("behind", "Behind"),
    ("beside", "Criteria and parts side by side"),
    ("beside_about", "Points, with what was read below them; two figures are the low and the high end"),
    ("beyond", "Beyond"),
    ("binds", "binds"),
    ("buy", "buy"),
    ("buy_head", "To buy"),
    ("by_cause", "By cause"),
    (
        "by_cause_about",
        "What the verdict, before limits, would gain if only this were as good as it can be: done by hand, \
         with fasteners that can be used again, by anyone, nothing destroyed; for a part one more way from \
         the closed device. Gains alone overlap; the last two columns go down the list, each with those above \
         it mended, and add up with what is left, {0}, to all that is lost.",
    ),
    ("by_criterion", "By criterion"),
    ("by_part", "By part"),
    ("by_promise", "By promise, of the full verdict, each alone at its best"),
    ("can_be", "Can be:"),
    ("care", "take care"),
    ("cause", "Cause"),
    ("cautions", "Cautions"),
    ("check", "check"),
    ("cleans", "cleans"),
    ("coded", "coded to this device"),
    ("corrections", "Corrections"),
    (
        "costs_about",
        "What the verdict, before limits, would gain if only this were as good as it can be; gains overlap and don't add up.",
    ),
    ("costs_most", "What costs most"),
    ("counts_nothing", "counts nothing"),
    ("criterion", "Criterion"),
    ("depends_on", "Open reading: {0}."),
    ("destroys", "destroys"),
    ("destroys_it", "destroys {0}"),
    ("device", "The device and the teardown"),
    ("device_head", "Device"),
    ("devices", "{0} device|{0} devices"),
    ("differences_about", "What was read of each, the difference worth most in the verdict first"),
    ("drags", "Drags it down"),
    ("embedded", "Embedded pictures: {0} in total."),
    ("fasteners", "fasteners"),
    ("fingerprint", "Fingerprint {0}."),
    ("fingerprints", "Fingerprints (SHA-256 over record, method, options and program version):"),
    ("first_stays", "First place stays from"),
    ("footage", "Footage"),
    ("hazard", "hazard: {0}"),
    ("hazards", "hazards"),
    ("high_end", "High end"),
    ("holds", "Holds it up"),
    ("how_deep", "How deep the parts lie"),
    (
        "how_to_read",
        "A column is one counted step; the thicker the line, the more parts lie behind it. Other orders may \
         do as well.",
    ),
    ("if_skipped", "if skipped"),
    ("in_force", "In force:"),
    ("in_force_now", "In force: {0}."),
    (
        "index_about",
        "By category, then by the low end of the verdict that leads each report. Ranges that overlap are not \
         ranked by this page: what is open could turn their order.",
    ),
    ("index_table", "Comparison of the devices"),
    ("ladder_columns", "--c2:'alone, low end';--c3:'high end';--c4:'then adds, low end';--c5:'high end'"),
    ("ledger_columns", "--c2:'tools';--c3:'loosens';--c4:'why it counts';--c5:'steps';--c6:'total'"),
    ("line", "line {0}"),
    ("lines_of", "Numbers in brackets after a rule are its source; other numbers in brackets are lines of {0}."),
    ("log", "The log"),
    ("log_columns", "--c3:'footage';--c4:'with';--c5:'loosens';--c6:'after'"),
    ("loosens", "Loosens"),
    ("lost", "Lost:"),
    ("lost_beside", "Where points are lost"),
    (
        "lost_beside_about",
        "One piece a criterion, all devices on one scale: a piece twice as wide costs twice as much; hatched is open.",
    ),
    ("lost_of", "Lost points of {0}"),
    ("low_end", "Low end"),
    ("makes_safe", "makes safe"),
    (
        "matrix_about",
        "Points per part and criterion; every number leads to its reason. Where something is open a small bar \
         runs from the worst to the best points.",
    ),
    ("matrix_of", "Parts and criteria: {0}"),
    ("met_by", "Would meet it: {0}."),
    ("method", "Method:"),
    ("method_in_full", "The rules beside the criteria stand in the page, and unfasten methods {0} tells them all."),
    ("method_of", "Method: {0}"),
    ("more_rows", "And {0} more in the table of criteria and parts."),
    ("moves", "How far one weight could move"),
    ("moves_about", "Weights that change the order somewhere, the nearest bound first"),
    ("no_caution", "No usual caution is known for this hazard; ask the maker."),
    ("no_change", "no change"),
    ("none_claimed", "none claimed"),
    ("not_drawn", "Not drawn here: {0}."),
    ("not_in_record", "not in the record"),
    ("notes", "Notes of the reviewer"),
    ("nothing_on_bench", "Nothing the bench shows."),
    ("nothing_open", "Nothing that counts."),
    ("nothing_searched", "No question of the record: what is open is a search for routes that stopped at its limit."),
    ("nothing_settled", "Nothing: the verdict is settled."),
    ("number", "No."),
    ("on_the_bench", "On the bench"),
    ("only_back", "Only on the way back"),
    ("only_by_damage", "only by damage (shown, not scored)"),
    ("open", "Open"),
    ("open_of", "What is open: {0}"),
    ("open_on", "open: {0}"),
    (
        "open_order",
        "{0} question is open.|{0} questions are open, the one that narrows the range most first: by what \
         stays open after the least helpful answer, then on average.",
    ),
    ("open_readings", "Open readings"),
    (
        "open_readings_about",
        "Where the text of the method can be read in more than one way: the reading in force, the others, and \
         the verdict under each.",
    ),
    ("order", "Order"),
    (
        "order_about",
        "As far as the ranges allow one: a device stands one tier below those surely above it. Within a tier \
         none is claimed, since what is open could turn the order.",
    ),
    ("order_stays", "Order stays from"),
    ("other_methods", "Other methods"),
    ("other_verdicts", "Verdicts of other methods"),
    ("otherwise", "Otherwise:"),
    ("outer", "outer bounds"),
    ("outer_of", "Outer bounds: {0}."),
    (
        "outer_readings",
        "Too many facts are open to go through all answers for every reading, so the ranges here are outer \
         bounds, compared with outer bounds of the verdict.",
    ),
    ("outer_whole", "Outer bounds: nothing can leave them; they may not be reached."),
    ("own_verdict", "The reviewer's own verdict, not part of any score:"),
    ("page_title", "{0}: repairability"),
    ("part", "Part"),
    ("parts", "Priority parts"),
    ("parts_asked", "Parts asked about"),
    ("picture_missing", "picture {0}: {1}"),
    ("pictures", "Pictures"),
    ("points_at", "Points, {0}"),
    ("points_kept", "points kept"),
    ("points_lost", "points lost"),
    ("points_open", "points that answers move"),
    ("range", "Range"),
    ("rank_shares", "Share of weightings for each rank"),
    (
        "rank_shares_about",
        "Share of weightings in which a device gets each rank; two figures: surely, and as far as is open at \
         most",
    ),
    ("reads_it", "read by"),
    (
        "reasons_about",
        "For every number: the rule, its source by number, how what is read becomes points; then what was \
         read, how far it is to the next bound, and the lines of the record with the time in the footage. A \
         name leads to the route it was read on, a line number to the record.",
    ),
    ("reasons_of", "Reason for every point: {0}"),
    ("recompute", "Recompute"),
    ("record", "The record"),
    ("remarks", "Remarks"),
    ("report", "Repairability report"),
    ("reports", "Repairability reports"),
    (
        "requirements_about",
        "Those not met stand first, then those not settled, then those met: the rule, its source by number, \
         what would meet it, what was read, and the lines of the record.",
    ),
    ("requirements_of", "Requirements one by one: {0}"),
    ("rests_on", "Rests on what nobody saw or read:"),
    ("reviewer", "Reviewer:"),
    ("rounding", "rounding"),
    ("routes", "Routes"),
    (
        "routes_about",
        "Left what is done on the bench, right what the rule counts. A step ends with a removal or a change \
         of tool; a change that falls together with the end of a step counts nothing. In the charts columns \
         are counted steps, rows the tools in hand: a full square ends a removal, an open square is a counted \
         change of tool, a dot counts nothing.",
    ),
    (
        "routes_short",
        "Left what is done on the bench, right what the rule counts. A step ends with a removal or a change \
         of tool.",
    ),
    ("rules_beside", "The rules beside the criteria"),
    ("rules_with_reasons", "The rules of the criteria stand with the reasons for its points."),
    ("safe_with", "makes safe, but only together with {0}"),
    ("see_below", "Every point has its line of the record: see below."),
    ("seen", "What is not marked otherwise was seen on the bench."),
    ("settled", "Settled."),
    ("share", "Share"),
    ("share_at", "Share, {0}"),
    ("share_now", "Share now"),
    ("side_by_side", "Devices side by side"),
    ("skip_devices", "Skip to the devices"),
    ("skip_order", "Skip to the order"),
    ("skip_summary", "Skip to the summary"),
    ("sources", "Sources, and how sure"),
    ("spare_part", "Spare part"),
    ("step_chart", "Step chart {0}, {1}"),
    ("steps_head", "Steps"),
    ("takes", "takes {0}"),
    ("then", "then"),
    ("tier", "Tier"),
    ("tiers", "Tiers, best first"),
    ("to", "to"),
    ("to_buy", "to buy for the way back"),
    ("to_check", "to check afterwards"),
    ("tools", "tools"),
    ("tools_head", "Tools"),
    ("total", "Total"),
    ("total_row", "total"),
    ("using", "with {0}"),
    ("verdict", "Verdict"),
    ("verdict_that_leads", "Verdict that leads the report"),
    ("verdicts", "Verdicts, method by method"),
    (
        "verify",
        "With the record at hand, unfasten verify recomputes this page and names the first number that \
         doesn't follow.",
    ),
    ("wait", "wait {0}"),
    ("way_back", "The way back"),
    ("weakest_rule", "Weakest rule: {0}."),
    ("wears", "leaves a mark on:"),
    ("weight", "Weight"),
    ("weight_head", "Weight of"),
    ("weight_of", "weight {0}"),
    ("what_is_open", "What is open"),
    ("where_lost", "Where points are lost, in sums that come out"),
    ("why", "Why"),
    ("why_differ", "Why they differ"),
    ("why_it_counts", "Why it counts"),
    ("wins", "Pairwise wins"),
    ("wins_about", "Share of weightings in which the device of the row scores above the device of the column"),
    ("with", "With"),
    ("with_promises", "What the bench shows stands first. With the maker's promises:"),
    ("with_the_promises", "with the maker's promises"),
];

/// The text of a key with its arguments put in; `None` where there is no such key.
pub fn say(key: &str, arguments: &[String]) -> Option<String> {
    let at = LAYOUT.binary_search_by(|(k, _)| (*k).cmp(key)).ok()?;
    let text = LAYOUT[at].1;
    let text = match text.split_once('|') {
        Some((one, more)) => {
            if arguments.first().is_some_and(|a| a == "1") {
                one
            } else {
                more
            }
        }
        None => text,
    };
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let (number, after) = after.split_once('}')?;
        out.push_str(arguments.get(number.parse::<usize>().ok()?)?);
        rest = after;
    }
    out.push_str(rest);
    Some(out)
}

/// Every key.
pub fn keys() -> impl Iterator<Item = &'static str> {
    LAYOUT.iter().map(|(key, _)| *key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_in_order_and_texts_whole() {
        assert!(LAYOUT.windows(2).all(|w| w[0].0 < w[1].0), "{:?}", LAYOUT.windows(2).find(|w| w[0].0 >= w[1].0));
        assert_eq!(say("line", &["12".to_owned()]).unwrap(), "line 12");
        assert!(say("open_order", &["1".to_owned()]).unwrap().starts_with("1 question is"));
        assert_eq!(say("nothing of the kind", &[]), None);
        assert_eq!(say("line", &[]), None);
    }
}
