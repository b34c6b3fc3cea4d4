//! The JSON Schema of method files against `jsonschema`, an independent validator: what ships is valid, what is wrong is not.

use scoring::method::{schema, shipped};
use serde_json::Value;

/// A YAML text as JSON; keys become text.
fn json(text: &str) -> Value {
    fn convert(value: serde_yaml::Value) -> Value {
        match value {
            serde_yaml::Value::Mapping(entries) => {
                let key =
                    |k: serde_yaml::Value| serde_yaml::to_string(&k).unwrap().trim().trim_matches('\'').to_owned();
                entries
                    .into_iter()
                    .map(|(k, v)| (k.as_str().map_or_else(|| key(k.clone()), str::to_owned), convert(v)))
                    .collect()
            }
            serde_yaml::Value::Sequence(items) => items.into_iter().map(convert).collect(),
            other => serde_json::to_value(other).unwrap(),
        }
    }
    convert(serde_yaml::from_str(text).unwrap())
}

#[test]
fn shipped_methods_are_valid() {
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    for method in shipped() {
        let errors: Vec<_> =
            validator.iter_errors(&json(method.text)).map(|e| format!("{} {e}", e.instance_path())).collect();
        assert!(errors.is_empty(), "{}: {errors:#?}", method.id);
    }
}

#[test]
fn an_extending_method_needs_little() {
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let text = "{unfasten method: 1, id: mine, title: Mine, extends: en-45554, change: {depth: {weight: 9}}}";
    assert!(validator.is_valid(&json(text)));
    assert!(!validator.is_valid(&json("{unfasten method: 1, id: mine, title: Mine}")));
}

#[test]
fn wrong_methods_are_invalid() {
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let good = shipped()[1].text;
    for (right, wrong) in [
        ("unfasten method: 1\n", ""),
        ("combine: sum", "combine: product"),
        ("from total: rounded", "from total: about"),
        ("certainty: memory low", "certainty: sure"),
        ("weights sum to: 1", "weights sums to: 1"),
        ("bands: {up to 2: 5", "bands: {up to 2: [5]"),
    ] {
        assert!(good.contains(right), "{right}");
        assert!(!validator.is_valid(&json(&good.replacen(right, wrong, 1))), "{wrong}");
    }
}
