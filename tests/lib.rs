//! All tests of the library through its public door, in one binary.

mod cases;
mod support;
