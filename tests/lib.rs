//! All tests of the library through its public door, in one binary.

#[cfg(feature = "commands")]
mod commands;
