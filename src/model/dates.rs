//! Days of the calendar, as ISO 8601 writes them.

use std::fmt;

/// A day that there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

impl Day {
    /// Reads `2027-03-01`; none when it is written otherwise or there is no such day.
    pub fn read(text: &str) -> Option<Day> {
        let parts: Vec<&str> = text.split('-').collect();
        let [year, month, day] = parts.as_slice() else { return None };
        let digits = |text: &str, count: usize| text.len() == count && text.bytes().all(|byte| byte.is_ascii_digit());
        if !(digits(year, 4) && digits(month, 2) && digits(day, 2)) {
            return None;
        }
        let (year, month, day) = (year.parse::<u16>().ok()?, month.parse::<u8>().ok()?, day.parse::<u8>().ok()?);
        // The Gregorian rule for leap years.
        let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
        let length = match month {
            2 => 28 + u8::from(leap),
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return None,
        };
        (1..=length).contains(&day).then_some(Day { year, month, day })
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::Day;

    #[test]
    fn days_that_are_none_are_not_read() {
        for good in ["2027-03-01", "2028-02-29", "2000-02-29", "2026-12-31"] {
            assert_eq!(Day::read(good).map(|day| day.to_string()).as_deref(), Some(good));
        }
        for bad in [
            "2027-02-29",
            "1900-02-29",
            "2026-04-31",
            "2026-13-01",
            "2026-00-10",
            "2026-01-00",
            "26-01-01",
            "2026-1-1",
            "1.3.2027",
            "",
            "+026-01-01",
        ] {
            assert_eq!(Day::read(bad), None, "{bad}");
        }
        assert!(Day::read("2026-09-30") < Day::read("2026-10-01"));
    }
}
