//! x
use crate::kinds::sketching::{Drawing, Figures};
pub fn sketch(_w: &str, title: &str, _f: &dyn Figures) -> Drawing { Drawing { width: 10.0, height: 10.0, shapes: Vec::new(), title: title.into(), description: String::new() } }
