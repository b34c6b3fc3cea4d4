//! JSON Schema (2020-12) of what this program writes.

use serde_json::{Value, json};

fn text() -> Value {
    json!({"type": "string"})
}

fn maybe(mut of: Value) -> Value {
    if let Some(kind) = of.get("type").cloned() {
        of["type"] = json!([kind, "null"]);
        return of;
    }
    json!({"anyOf": [of, {"type": "null"}]})
}

fn said(of: &Value, description: &str) -> Value {
    let mut of = of.clone();
    of["description"] = json!(description);
    of
}

#[expect(clippy::needless_pass_by_value, reason = "schemas are put together from values")]
fn list(of: Value) -> Value {
    json!({"type": "array", "items": of})
}

/// An object of exactly these fields, all required.
fn object(fields: &[(&str, Value)]) -> Value {
    let properties: serde_json::Map<String, Value> =
        fields.iter().map(|(name, of)| ((*name).to_owned(), of.clone())).collect();
    let required: Vec<&str> = fields.iter().map(|(name, _)| *name).collect();
    json!({"type": "object", "properties": properties, "required": required, "additionalProperties": false})
}

fn document(title: &str, name: &str, item: &Value, defs: &Value) -> Value {
    let mut out = object(&[("unfasten", json!({"const": super::VERSION})), (name, list(item.clone()))]);
    out["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    out["title"] = json!(title);
    out["$defs"] = defs.clone();
    out
}

/// Schema of [`super::assessments`].
pub fn schema() -> Value {
    let flag = json!({"type": "boolean"});
    let count = json!({"type": "integer", "minimum": 0});
    let fraction = json!({"type": "string", "pattern": "^-?[0-9]+(/[0-9]+)?$"});
    let at_line = json!({"type": "string", "pattern": ":[0-9]+:[0-9]+$"});
    let certainty =
        json!({"enum": ["read", "secondary", "memory high", "memory medium", "memory low", "derived", "own"]});
    let rule = object(&[
        ("text", said(&text(), "the rule in plain words")),
        ("clause", text()),
        ("source", text()),
        ("certainty", certainty),
        ("phrase", text()),
        ("switch", maybe(text())),
    ]);
    let evidence = object(&[
        ("path", said(&text(), "data path in the record")),
        ("place", said(&at_line, "file:line:column")),
        ("line", count.clone()),
        ("column", count.clone()),
        ("anchor", maybe(text())),
        ("excerpt", text()),
        ("text", text()),
        ("at", said(&maybe(text()), "time in the footage")),
        ("basis", json!({"enum": ["seen", "told", "stated", "planned", "assumed"]})),
        ("source", maybe(text())),
    ]);
    let margin = object(&[
        ("by", said(&text(), "by how much the value would have to change")),
        ("unit", text()),
        ("way", json!({"enum": ["more", "less", "fewer"]})),
        ("points", said(&text(), "points there as shown")),
        ("better", said(&flag, "points there are higher")),
    ]);
    let end = object(&[
        ("end", json!({"enum": ["low", "high", "both"]})),
        (
            "attained",
            said(
                &flag,
                "the end of the verdict is some completion's; false: what stands here is of one that was tried",
            ),
        ),
        ("label", said(&text(), "what it is called; empty where the same holds at both ends")),
        ("points", said(&maybe(text()), "as shown; null: left out")),
        ("exact", maybe(fraction.clone())),
        ("said", said(&text(), "what was read, in words")),
        ("note", maybe(text())),
        ("margin", said(&maybe(text()), "how far it is to the next bounds, in words")),
        ("margins", list(margin)),
        ("decided", maybe(text())),
        ("evidence", list(json!({"$ref": "#/$defs/evidence"}))),
        ("again", flag.clone()),
        ("route", maybe(count.clone())),
        ("in_ledger", said(&flag, "the route has every place of the evidence")),
    ]);
    let row = object(&[
        ("title", text()),
        ("anchor", text()),
        ("weight", text()),
        ("points", list(text())),
        ("share", list(text())),
    ]);
    let sum = object(&[
        ("ends", list(text())),
        ("rows", list(row)),
        ("rounding", maybe(list(text()))),
        ("total", list(text())),
        ("shown", maybe(list(text()))),
    ]);
    let node = object(&[
        ("id", text()),
        ("anchor", text()),
        ("title", text()),
        ("role", maybe(text())),
        ("group", json!({"enum": ["product-related", "support-related", null]})),
        ("kind", text()),
        ("weight", text()),
        ("range", text()),
        ("low", maybe(text())),
        ("high", maybe(text())),
        ("exact_low", maybe(fraction.clone())),
        ("exact_high", maybe(fraction.clone())),
        ("attained", said(&flag, "both ends are attained; false marks outer bounds")),
        (
            "attained_low",
            said(&flag, "some completion has the low end; false: nothing lies below it, no completion need have it"),
        ),
        ("attained_high", said(&flag, "the same of the high end")),
        ("rule", rule),
        ("ends", json!({"type": "array", "items": {"$ref": "#/$defs/end"}, "minItems": 1, "maxItems": 2})),
        ("unknowns", said(&list(count.clone()), "numbers of the unknowns that bear on it")),
        ("sum", maybe(sum)),
        ("how", text()),
        ("table", said(&text(), "how what is read becomes points")),
        ("children", list(json!({"$ref": "#/$defs/node"}))),
    ]);
    let unknown = object(&[
        ("number", count),
        ("path", text()),
        ("place", at_line),
        ("anchor", maybe(text())),
        ("question", text()),
        ("answers", list(text())),
        ("low", said(&text(), "answer at the low end")),
        ("high", said(&text(), "answer at the high end")),
        ("worst", said(&text(), "points still open after the least helpful answer; empty for verdicts")),
        ("mean", said(&text(), "points still open on average over the answers")),
    ]);
    let reading = object(&[
        ("means", text()),
        ("range", said(&text(), "the verdict under it")),
        ("class", text()),
        ("changes", said(&flag, "the shown verdict or the class is another one")),
    ]);
    let switch = object(&[
        ("id", text()),
        ("text", said(&text(), "what is open")),
        ("chosen", said(&text(), "the option in force")),
        ("others", list(reading)),
        ("source", text()),
    ]);
    let bench = object(&[
        ("range", text()),
        ("unknowns", json!({"type": "integer", "minimum": 0})),
        ("attained", flag.clone()),
        ("bounds", said(&text(), "what answers that were tried reach, where an end is a bound; else empty")),
        ("without_sheet", maybe(text())),
    ]);
    let assessment = object(&[
        ("method", text()),
        ("edition", text()),
        ("device", text()),
        ("low", said(&text(), "low end as the method shows it")),
        ("high", text()),
        ("exact_low", maybe(fraction.clone())),
        ("exact_high", maybe(fraction.clone())),
        ("class_low", maybe(text())),
        ("class_high", maybe(text())),
        (
            "bench",
            maybe(said(&bench, "the verdict without what the maker promises, where the method asks for promises")),
        ),
        ("sheet", maybe(said(&text(), "the bench sheet that supplied what the record leaves open"))),
        ("without_sheet", maybe(said(&text(), "the verdict without it"))),
        ("attained", flag.clone()),
        (
            "attained_low",
            said(&flag, "some completion has the low end; false: nothing lies below it, no completion need have it"),
        ),
        ("attained_high", said(&flag, "the same of the high end")),
        ("reached_low", maybe(said(&fraction, "the least that completions that were tried surely come to"))),
        ("reached_high", maybe(said(&fraction, "the most they surely come to"))),
        ("proved", said(&flag, "every route behind it is proved shortest")),
        ("weakest", text()),
        ("fingerprint", json!({"type": "string", "pattern": "^[0-9a-f]{64}$"})),
        ("supplied_from", maybe(said(&text(), "the rule binds devices first supplied on this day or later"))),
        ("binds", json!({"enum": ["yes", "no", "open"]})),
        ("rests_on", said(&list(text()), "what a verdict of pass or fail rests on that nobody saw or read")),
        ("unknowns", said(&list(unknown), "the most useful question first")),
        ("switches", said(&list(switch), "open readings of the method")),
        ("root", json!({"$ref": "#/$defs/node"})),
    ]);
    let defs = json!({"node": node, "end": end, "evidence": evidence});
    document("Assessments of unfasten", "assessments", &assessment, &defs)
}

/// Schema of [`super::routes`].
pub fn routes_schema() -> Value {
    let flag = json!({"type": "boolean"});
    let count = json!({"type": "integer", "minimum": 0});
    let line = object(&[
        ("action", text()),
        ("what", text()),
        ("tools", text()),
        ("loosens", list(text())),
        ("at", maybe(json!({"type": "array", "items": count, "minItems": 2, "maxItems": 2}))),
        ("at_known", maybe(json!({ "enum": ["as written", "about", "within"] }))),
        ("hazards", list(text())),
        ("destroys", list(text())),
        ("makes_safe", flag.clone()),
        ("counted", count.clone()),
        ("total", count.clone()),
        ("why", list(text())),
        ("coincides", flag),
    ]);
    let flag = json!({"type": "boolean"});
    let order = object(&[
        ("steps", count.clone()),
        ("reached", flag.clone()),
        ("actions", list(text())),
        ("unmet", list(text())),
        ("failed", list(text())),
    ]);
    let time = object(&[
        ("hands_on", text()),
        ("waiting", maybe(text())),
        ("reassembly", text()),
        ("own_percent", count.clone()),
        ("observed", maybe(text())),
        ("observed_estimate", maybe(text())),
        ("weakest", maybe(text())),
    ]);
    let destructive = object(&[("steps", count.clone()), ("destroys", list(text()))]);
    let untaken = object(&[("id", text()), ("failed", flag.clone()), ("because", maybe(text())), ("place", text())]);
    let saving =
        object(&[("text", text()), ("steps", count.clone()), ("saved", count.clone()), ("place", maybe(text()))]);
    let undone = object(&[
        ("action", text()),
        ("what", text()),
        ("live", said(&flag, "from here on the device may be live")),
        ("tools", text()),
        ("fasten", list(text())),
        ("lost", list(text())),
        ("buy", list(text())),
        ("care", list(text())),
        ("check", list(text())),
        ("if_skipped", list(text())),
        ("destroyed", list(text())),
        ("hazards", list(text())),
        ("wait", said(&maybe(text()), "minutes")),
        ("note", maybe(text())),
        ("only_back", flag.clone()),
    ]);
    let route = object(&[
        ("target", text()),
        ("parts", list(text())),
        ("any", said(&flag, "any of the parts is enough")),
        ("by", json!({"enum": ["steps", "time", "parts"]})),
        ("cost", maybe(json!({"type": "array", "items": count, "minItems": 2, "maxItems": 2}))),
        ("time", maybe(time)),
        ("steps_low", maybe(count.clone())),
        ("steps_high", maybe(count.clone())),
        (
            "steps_open",
            said(&json!({"type": "boolean"}), "any number more than the most: nobody wrote down how much work it is"),
        ),
        ("certificate", json!({"enum": ["proved", "at least"]})),
        ("bound", count),
        ("actions", list(text())),
        ("ledger", list(line)),
        ("performed", maybe(order.clone())),
        ("official", maybe(order)),
        ("destructive", maybe(destructive)),
        ("untaken", list(untaken)),
        ("in_the_way", maybe(list(saving))),
        ("back", maybe(list(undone))),
    ]);
    document("Routes of unfasten", "routes", &route, &json!({}))
}
