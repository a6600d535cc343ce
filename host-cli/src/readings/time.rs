//! When a reading was taken, as its clock showed it.

use super::Reading;
use crate::date::Date;
use std::fmt;

/// A time of a day, with the difference to universal time if it is stated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The day.
    pub date: Date,
    /// Seconds since midnight.
    pub seconds: u32,
    /// Minutes that the clock is ahead of universal time.
    pub zone: Option<i16>,
}

impl Moment {
    /// Reads `2027-03-01T09:12`, with a space for the T, with seconds, with `Z` or `+01:00`
    /// (RFC 3339).
    pub fn read(text: &str) -> Option<Self> {
        let date = Date::read(text.get(..10)?)?;
        let rest = text.get(10..)?.strip_prefix(['T', 't', ' '])?;
        let zone_at = rest.find(['Z', 'z', '+', '-']).unwrap_or(rest.len());
        let (clock, zone) = rest.split_at_checked(zone_at)?;
        let zone = match zone {
            "" => None,
            "Z" | "z" => Some(0),
            zone => {
                let ahead = i16::try_from(minutes(zone.get(1..)?)?).ok()?;
                Some(if zone.starts_with('-') { -ahead } else { ahead })
            }
        };
        let (hours_and_minutes, seconds) = match clock.get(5..) {
            Some("") => (clock, 0),
            Some(rest) => {
                let whole = rest.strip_prefix(':')?.split('.').next()?;
                (clock.get(..5)?, two_digits(whole).filter(|seconds| *seconds < 60)?)
            }
            None => return None,
        };
        Some(Self { date, seconds: minutes(hours_and_minutes)? * 60 + seconds, zone })
    }
}

impl Moment {
    /// Seconds from another moment to this one. The zones count only if both are stated.
    pub fn seconds_since(self, other: Self) -> f64 {
        let is_universal = self.zone.is_some() && other.zone.is_some();
        let seconds = self.seconds_of_era(is_universal) - other.seconds_of_era(is_universal);
        let is_before = seconds < 0;
        let seconds = u32::try_from(seconds.unsigned_abs()).map_or(f64::INFINITY, f64::from);
        if is_before { -seconds } else { seconds }
    }

    /// Seconds after the beginning of 1970, by universal time or by the clock as it stood.
    fn seconds_of_era(self, is_universal: bool) -> i64 {
        let ahead = self.zone.filter(|_| is_universal).map_or(0, i64::from);
        i64::from(self.date.days()) * 86_400 + i64::from(self.seconds) - ahead * 60
    }
}

/// The readings as they were taken one after the other: by their clocks; by the order of the file
/// where those say the same. The zones of the clocks count only if all of them are stated.
pub fn oldest_first(list: &[Reading]) -> Vec<&Reading> {
    let all_zoned = list.iter().all(|reading| reading.time.zone.is_some());
    let mut sorted: Vec<&Reading> = list.iter().collect();
    sorted.sort_by_key(|reading| reading.time.seconds_of_era(all_zoned));
    sorted
}

/// Minutes of `09:12`.
fn minutes(text: &str) -> Option<u32> {
    let (hours, minutes) = text.split_once(':')?;
    let hours = two_digits(hours).filter(|hours| *hours < 24)?;
    let minutes = two_digits(minutes).filter(|minutes| *minutes < 60)?;
    Some(hours * 60 + minutes)
}

fn two_digits(text: &str) -> Option<u32> {
    let is_number = text.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit());
    is_number.then(|| text.parse().ok()).flatten()
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {:02}:{:02}", self.date, self.seconds / 3600, self.seconds / 60 % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_rfc_3339_writes_them_and_a_little_shorter() {
        for text in ["2027-03-01T09:12", "2027-03-01 09:12:00", "2027-03-01T09:12:00.25Z"] {
            let moment = Moment::read(text).unwrap();
            assert_eq!(moment.seconds, 33_120, "{text}");
        }
        let zoned = Moment::read("2027-03-01T09:12:30-01:30").unwrap();
        assert_eq!((zoned.seconds, zoned.zone), (33_150, Some(-90)));
        assert_eq!(zoned.to_string(), "2027-03-01 09:12");
        for text in [
            "",
            "2027-03-01",
            "2027-03-01T24:00",
            "2027-03-01T9:12",
            "2027-02-30T09:12",
            "2027-03-01T09:12:60",
            "2027-03-01T09:12+1",
            "2027-03-01T09:1\u{fc}",
            "\u{fc}27-03-01T09:12",
        ] {
            assert_eq!(Moment::read(text), None, "{text}");
        }
    }
}
