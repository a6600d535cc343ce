//! Days of the calendar. No clock: whoever needs today's date is told it.

use std::fmt;

/// A day of the Gregorian calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: u16,
    month: u8,
    day: u8,
}

impl Date {
    /// The day, if the calendar has it.
    pub const fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        if year == 0 || year > 9999 || day == 0 || day > days_of(year, month) {
            return None;
        }
        Some(Self { year, month, day })
    }

    /// Reads `2027-03-31`, and nothing shorter: a day that can be read in two ways is none.
    pub fn read(text: &str) -> Option<Self> {
        let [year, month, day] = text.split('-').collect::<Vec<_>>().try_into().ok()?;
        let digits = |text: &str, length| {
            (text.len() == length && text.bytes().all(|byte| byte.is_ascii_digit())).then_some(())
        };
        digits(year, 4).and(digits(month, 2)).and(digits(day, 2))?;
        Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }

    /// The day that is so many days after 1970-01-01.
    ///
    /// `None` past the year 9999.
    pub fn of_days(days: u64) -> Option<Self> {
        let mut rest = days;
        for year in 1970..=9999u16 {
            let length = if is_leap(year) { 366 } else { 365 };
            if rest >= length {
                rest -= length;
                continue;
            }
            for month in 1..=12u8 {
                let length = u64::from(days_of(year, month));
                if rest < length {
                    return Self::new(year, month, u8::try_from(rest + 1).ok()?);
                }
                rest -= length;
            }
        }
        None
    }

    /// How many days after 1970-01-01 it is; 0 for a day before.
    pub fn days(self) -> u32 {
        let years = (1970..self.year).map(|year| if is_leap(year) { 366 } else { 365 });
        let months = (1..self.month).map(|month| u32::from(days_of(self.year, month)));
        if self.year < 1970 {
            return 0;
        }
        years.sum::<u32>() + months.sum::<u32>() + u32::from(self.day) - 1
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// Leap years of the Gregorian calendar (ISO 8601, from memory).
const fn is_leap(year: u16) -> bool {
    year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400))
}

/// Days of a month; none for a month that there is not.
const fn days_of(year: u16, month: u8) -> u8 {
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if is_leap(year) => 29,
        2 => 28,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_date_is_read_in_one_form_only_and_must_be_in_the_calendar() {
        let date = Date::read("2027-03-31").expect("a date");
        assert_eq!(date.to_string(), "2027-03-31");
        assert!(date > Date::read("2027-03-30").expect("a date"));
        assert!(Date::read("2028-02-29").is_some() && Date::read("2000-02-29").is_some());
        for wrong in [
            "",
            "2027-3-31",
            "31.03.2027",
            "2027-02-29",
            "2100-02-29",
            "2027-13-01",
            "2027-00-10",
            "2027-04-31",
            "0000-01-01",
            "2027-03-31T00:00",
            "+027-03-31",
            "2027-03",
        ] {
            assert_eq!(Date::read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn days_since_1970_are_those_of_the_unix_clock() {
        // From `date -u -d @SECONDS +%F` (GNU coreutils): 0, 951782400, 1709164800, 4102444800.
        for (seconds, day) in [
            (0, "1970-01-01"),
            (951_782_400, "2000-02-29"),
            (1_709_164_800, "2024-02-29"),
            (4_102_444_800, "2100-01-01"),
        ] {
            assert_eq!(
                Date::of_days(seconds / 86_400).map(|date| date.to_string()).as_deref(),
                Some(day)
            );
        }
        assert_eq!(Date::of_days(u64::MAX), None);
    }
}
