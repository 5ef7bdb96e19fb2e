//! What the program gives to other programs: reports for build servers, tables, baselines, and the schemas they keep to.

mod baseline;
mod copies;
mod moving;
mod rebuilds;
mod reports;
mod shared;
mod tables;

use jsonschema::Validator;
use serde_json::Value;

/// Every way in which `value` breaks `schema`.
fn broken(schema: &Validator, value: &Value) -> Vec<String> {
    schema.iter_errors(value).map(|error| format!("{}: {error}", error.instance_path())).collect()
}

/// The schema of SARIF 2.1.0. One of its patterns has a bare `]`, which stands for itself in ECMA-262 (annex B.1.2); the
/// validator knows the stricter Unicode mode alone.
fn sarif() -> Validator {
    let text = include_str!("schemas/sarif-2.1.0.json");
    let bare = "-[a-zA-Z]{2}]?$";
    assert!(text.contains(bare), "the pattern has been mended");
    schema(&text.replace(bare, "-[a-zA-Z]{2}\\\\]?$"))
}

/// The schema in `text`.
fn schema(text: &str) -> Validator {
    let value: Value = serde_json::from_str(text).expect("a schema is JSON");
    jsonschema::validator_for(&value).expect("a schema that can be used")
}
