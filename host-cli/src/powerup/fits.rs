//! Whether what was read or seen is what a step must show, as far as it says so by itself.

use super::{Expected, Step};
use crate::readings::{Amount, Quantity, Reading};

/// Whether a reading is as expected, as far as it says so by itself.
pub(super) fn fits(step: &Step, amount: &Amount) -> bool {
    match (&step.expected, amount) {
        (Expected::Seen(_), Amount::Seen(words)) => is_yes(words),
        (Expected::Between { low, high, .. }, amount) => {
            // Only of resistance, more than an instrument can show says something.
            let is_told = |most: f64| most.is_finite() || step.quantity == Quantity::Ohms;
            span(amount).filter(|(_, most)| is_told(*most)).is_some_and(|(least, most)| {
                // A sign counts where there is a least: of polarity.
                let (least, most) = match low {
                    Some(_) => (least, most),
                    None => (least.abs(), most.abs()),
                };
                low.is_none_or(|low| least >= low) && high.is_none_or(|high| most <= high)
            })
        }
        (Expected::Share { .. }, amount) => {
            span(amount).is_some_and(|(least, most)| least > 0.0 && most.is_finite())
        }
        (Expected::Seen(_) | Expected::Unknown(_), _) => false,
    }
}

/// The least and the most that was there when an instrument showed this.
const fn span(amount: &Amount) -> Option<(f64, f64)> {
    match amount {
        Amount::Number { value, .. } => Some((*value, *value)),
        Amount::Above(least) => Some((*least, f64::INFINITY)),
        Amount::OverRange => Some((f64::INFINITY, f64::INFINITY)),
        Amount::Seen(_) => None,
    }
}

/// Words that begin an answer.
const YES: [&str; 4] = ["yes", "y", "ok", "seen"];
const NO: [&str; 4] = ["no", "n", "not", "never"];

/// Yes or no at the beginning of what was seen.
///
/// # Errors
/// It begins with neither, or with a yes that a no follows: what is meant then?
pub(super) fn answer(words: &str) -> Result<bool, &'static str> {
    let is_in = |list: &[&str], word: &str| list.iter().any(|one| word.eq_ignore_ascii_case(one));
    let mut all = words.split(|sign: char| !sign.is_alphanumeric()).filter(|word| !word.is_empty());
    let first = all.next().unwrap_or_default();
    match (is_in(&YES, first), is_in(&NO, first)) {
        (_, true) => Ok(false),
        (true, false) if all.any(|word| is_in(&NO, word)) => {
            Err("it says yes, and no or not behind it: which is meant?")
        }
        (true, false) => Ok(true),
        (false, false) => Err("an answer begins with yes or with no"),
    }
}

fn is_yes(words: &str) -> bool {
    answer(words) == Ok(true)
}

/// What was shown, if it is a number.
pub(super) const fn number(reading: &Reading) -> Option<f64> {
    match reading.value {
        Amount::Number { value, .. } => Some(value),
        Amount::Above(_) | Amount::OverRange | Amount::Seen(_) => None,
    }
}
