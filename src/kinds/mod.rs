//! The machine kinds: a document in our own language and a sketch for each.
pub mod sketching;
