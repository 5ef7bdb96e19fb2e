//! All tests of the library through its public door, in one binary.

mod architecture;
mod bad_input;
mod balances;
#[cfg(feature = "commands")]
mod batch;
mod brief;
mod budgets;
mod cases;
#[cfg(feature = "commands")]
mod commands;
#[cfg(feature = "commands")]
mod compare;
mod draws;
#[cfg(feature = "commands")]
mod exchange;
mod exercises;
mod golden;
#[cfg(feature = "commands")]
mod house;
mod impact;
mod incremental;
mod kinds;
mod layout;
#[cfg(feature = "commands")]
mod pages;
mod printing;
mod properties;
mod published;
mod published_uncertainty;
mod readme;
#[cfg(feature = "commands")]
mod signing;
mod support;
mod units;
#[cfg(all(feature = "watch", unix))]
mod watch;
