//! A number as printed, shared by all the places of a sheet that show it.

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::ops::{Deref, DerefMut};
use std::sync::Arc;

/// A number as printed and in full. One number stands in lines, tables and registers, so what it says is shared between its
/// copies; one of them can be changed without the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure(Arc<FigureParts>);

/// A number as printed and in full. `text` = number, perhaps `(number ± doubt)`, and unit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FigureParts {
    /// Digits, grouped, with a proper minus: `18.14`.
    pub number: String,
    /// Expanded uncertainty (k = 2) in the same unit and to the same place, in a register the doubt as its author stated it;
    /// empty when there is none.
    pub doubt: String,
    /// Unit symbol, empty for plain numbers.
    pub unit: String,
    /// Unit name in words, for readers aloud; empty for plain numbers.
    pub unit_spoken: String,
    /// All of it on one line: `(18.14 ± 0.34) kN`, `30.0°`, `5 %`.
    pub text: String,
    /// Full precision in the printed unit.
    pub value: f64,
    /// Full precision in the coherent SI unit.
    pub si: f64,
    /// Standard uncertainty in the printed unit; 0 when there is none.
    pub standard_uncertainty: f64,
}

impl From<FigureParts> for Figure {
    fn from(parts: FigureParts) -> Figure {
        Figure(Arc::new(parts))
    }
}

impl Deref for Figure {
    type Target = FigureParts;

    fn deref(&self) -> &FigureParts {
        &self.0
    }
}

impl DerefMut for Figure {
    fn deref_mut(&mut self) -> &mut FigureParts {
        Arc::make_mut(&mut self.0)
    }
}

impl Serialize for Figure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

// That it is shared does not show in the JSON.
impl JsonSchema for Figure {
    fn schema_name() -> Cow<'static, str> {
        "Figure".into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        FigureParts::json_schema(generator)
    }
}
