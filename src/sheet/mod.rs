//! What is printed, as plain data.
pub mod parts;
