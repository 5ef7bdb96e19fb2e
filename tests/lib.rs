
mod units;
