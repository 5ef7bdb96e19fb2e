//! Doubt about a measured number: from what was stated to a standard uncertainty, and back to an interval.
//!
//! *Takes and gives*: stated doubts and rows of contributions in; standard and expanded uncertainties out.
//! *Never*: knows units, names or sheets; every number is in the coherent unit of its quantity.
//! *To add*: a new way of stating a doubt is a variant of [`Doubt`], with the clause of JCGM 100:2008 that turns it.

mod conformity;
mod coverage;
mod doubt;
mod lines;
#[cfg(test)]
mod lines_tests;
mod measured;
mod outliers;
mod quantiles;
mod repeats;
mod sampling;
mod spread;
mod together;

pub use conformity::{chance_of_scatter, conformity};
pub use coverage::{Contribution, Coverage, CoverageRule, Freedom, TWO_DEVIATIONS, dominated, effective_degrees};
pub use doubt::{Doubt, combine, expanded};
pub use lines::Line;
pub use measured::Measured;
pub use outliers::{Off, StandsOff, grubbs, off_line};
pub use quantiles::{coverage_factor, covered};
pub use repeats::Repeats;
pub use sampling::{Distribution, GENERATOR, Sampler};
pub use spread::{Interval, Moments, coverage_interval, least_draws, tolerance};
pub use together::{Joint, bounds_of_last, triangle};
