//! The JSON Schema (draft 2020-12) of a sheet's JSON, made from the types that are printed, so that it cannot say otherwise.
//! A field that is not in it is refused.

use crate::output::json::pretty;
use crate::sheet::parts::{SCHEMA, Sheet};
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema};
use serde_json::json;

/// The schema as JSON, ending with a line feed.
pub fn json_schema() -> String {
    let mut schema = SchemaSettings::draft2020_12().for_serialize().into_generator().into_root_schema_for::<Sheet>();
    RecursiveTransform(closed).transform(&mut schema);
    schema.insert("title".to_string(), json!(format!("{}, arrangement {SCHEMA} of its JSON", Sheet::schema_name())));
    pretty(&schema)
}

// An object has the fields that are listed and no others.
fn closed(schema: &mut Schema) {
    if schema.get("properties").is_some() && schema.get("additionalProperties").is_none() {
        schema.insert("additionalProperties".to_string(), json!(false));
    }
    // What is said in the comments of the program in its own marks is plain text here.
    let plain = schema.get("description").and_then(|text| text.as_str()).map(|text| text.replace(['[', ']'], ""));
    if let Some(plain) = plain {
        schema.insert("description".to_string(), json!(plain));
    }
}
