//! Times as recorders write them.

use crate::date::Date;

/// A time as a log writes it, in microseconds since whatever the recorder counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stamp(pub u64);

const SECOND: u64 = 1_000_000;

impl Stamp {
    /// Reads what stands between the brackets: `1436509052.249713`, or day and time of day as in
    /// `2015-07-10 08:17:32.249713`.
    pub(super) fn read(text: &str) -> Option<Self> {
        let (whole, parts) = match text.split_once('.') {
            Some((whole, parts)) => (whole, millionths(parts)?),
            None => (text, 0),
        };
        let seconds = match whole.split_once(' ') {
            None => number(whole)?,
            Some((day, time)) => {
                let days = u64::from(Date::read(day)?.days());
                days.checked_mul(86_400)?.checked_add(time_of_day(time)?)?
            }
        };
        seconds.checked_mul(SECOND)?.checked_add(parts).map(Self)
    }
}

/// Digits behind the point, as millionths; finer ones are left out.
fn millionths(digits: &str) -> Option<u64> {
    let count = digits.len();
    if count == 0 || count > 9 {
        return None;
    }
    let number = number(digits)?;
    let power = u32::try_from(count.abs_diff(6)).ok()?;
    let scale = 10u64.checked_pow(power)?;
    if count <= 6 { number.checked_mul(scale) } else { number.checked_div(scale) }
}

fn time_of_day(text: &str) -> Option<u64> {
    let [hours, minutes, seconds] = text.split(':').collect::<Vec<_>>().try_into().ok()?;
    let below = |text: &str, limit: u64| {
        let number = number(text).filter(|number| *number < limit)?;
        (text.len() == 2).then_some(number)
    };
    Some((below(hours, 24)? * 60 + below(minutes, 60)?) * 60 + below(seconds, 61)?)
}

/// A number of digits and nothing else.
fn number(digits: &str) -> Option<u64> {
    let is_number = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    is_number.then(|| digits.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_to_the_microsecond() {
        for (text, microseconds) in [
            ("1436509052.249713", 1_436_509_052_249_713),
            ("0.1", 100_000),
            ("000.000001", 1),
            ("12", 12_000_000),
            ("0.123456789", 123_456),
            ("1970-01-02 00:00:01.5", 86_401_500_000),
            ("2015-07-10 06:17:32.249713", 1_436_509_052_249_713),
        ] {
            assert_eq!(Stamp::read(text), Some(Stamp(microseconds)), "{text}");
        }
        for text in [
            "",
            ".",
            "1.",
            ".5",
            "-1.0",
            "+1",
            "1.0000000000",
            "1,5",
            "99999999999999999999",
            "18446744073709.6",
            "2015-13-01 00:00:00",
            "2015-07-10 24:00:00",
            "2015-07-10 1:00:00",
            "1 2",
        ] {
            assert_eq!(Stamp::read(text), None, "{text}");
        }
    }
}
