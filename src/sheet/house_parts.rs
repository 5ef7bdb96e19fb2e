//! What a sheet carries of its house: how it is printed, and nothing of what it says.

use crate::house::Paper;
use crate::words::Voice;
use std::sync::Arc;

/// What a house settles of the pages of its sheets.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HouseStyle {
    /// Language, decimal sign and form of dates.
    pub voice: Voice,
    /// The legal owner; perhaps empty.
    pub owner: String,
    /// The owner's picture as an address that holds it; empty where there is none.
    pub logo: String,
    /// What the sheet is printed on, where the house says.
    pub paper: Option<Paper>,
    /// What is printed in the margin of every printed page of this sheet; perhaps empty.
    pub legend: String,
    /// Parts of the page that stand in the place of ours.
    pub parts: Arc<[Part]>,
}

/// A part of the page that a house has written itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The name of the part it stands for.
    pub name: String,
    /// Its text.
    pub text: String,
}
