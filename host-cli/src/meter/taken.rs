//! Readings out of words: from the command line and from a readings file.

use super::circuit::Where;
use super::fit::{Shown, Spot, Taken};
use super::names::Names;
use super::topology::Topology;
use crate::readings::{Amount, Quantity};

/// How exact an instrument is: a share of the reading, and steps of the last digit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// In percent of the reading.
    pub percent: f64,
    /// Counts of the last digit shown.
    pub counts: f64,
}

/// Of an ordinary hand meter, leads included. Common practice, no source.
pub const USUAL: Accuracy = Accuracy { percent: 1.0, counts: 5.0 };
/// `OL` alone says no more than this: the lowest range of ordinary meters. Common practice, no
/// source.
pub const LEAST_RANGE: f64 = 200.0;
/// With more volts than this on the pair, ohms are not to be believed, and something feeds it. A
/// meter pushes about 1 mA through 60 ohm, so that this is a sixth of what it reads. Ours.
pub const MOST_VOLTS: f64 = 0.01;

impl Accuracy {
    /// Reads `1%+2`, `0.5 %` or `1%`.
    pub fn read(text: &str) -> Option<Self> {
        let (percent, counts) = text.split_once('%')?;
        let percent: f64 = percent.trim().replace(',', ".").parse().ok()?;
        let counts = counts.trim();
        let counts = match counts.strip_prefix('+') {
            None if counts.is_empty() => 0.0,
            None => return None,
            Some(digits) => digits.trim().parse().ok()?,
        };
        let fits = (0.0..=50.0).contains(&percent) && (0.0..=1000.0).contains(&counts);
        fits.then_some(Self { percent, counts })
    }

    /// The standard deviation of a reading whose last digit stands for so much: bounds of which
    /// nothing more is known, so their half width over the root of three (JCGM 100:2008, 4.3.7,
    /// from memory). Half a step of the last digit comes on top.
    pub fn deviation(self, value: f64, resolution: f64) -> f64 {
        let bound = self.percent / 100.0 * value + (self.counts + 0.5) * resolution;
        bound / 3.0_f64.sqrt()
    }

    /// As a share of a reading of 60 ohm with tenths.
    pub fn share(self) -> f64 {
        self.deviation(60.0, 0.1) / 60.0
    }
}

/// A reading as it was given, and what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// The place in the canonical words.
    pub place: String,
    /// What was shown.
    pub amount: Amount,
    /// For the ranking.
    pub taken: Taken,
}

/// Volts between the two wires.
#[derive(Clone, Debug, PartialEq)]
pub struct Volts {
    /// The place in the canonical words.
    pub place: String,
    /// Where.
    pub spot: Spot,
    /// How many; infinite where the meter was over range.
    pub volts: f64,
}

/// Everything that was given: of several readings at one place, the last.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AllGiven {
    /// Ohms between the two wires.
    pub ohms: Vec<Given>,
    /// Volts between the two wires.
    pub volts: Vec<Volts>,
    /// How many readings a later one at the same place took the place of.
    pub replaced: usize,
}

impl AllGiven {
    /// Takes a reading, instead of an earlier one of the same quantity at the same place. The error
    /// says what cannot be used, and why.
    pub fn take(
        &mut self,
        names: &Names<'_>,
        topology: &Topology,
        accuracy: Accuracy,
        (place, pulled): (&str, Option<&str>),
        (quantity, amount): (Quantity, &Amount),
    ) -> Result<(), String> {
        let spot = names.meant(topology, place, pulled)?;
        let name = names.spot(topology, spot);
        match (quantity, amount) {
            (Quantity::PairVolts | Quantity::PairOhms, Amount::Seen(_)) => {
                return Err(format!("`{place}`: this is no number"));
            }
            (Quantity::PairVolts, amount) => {
                let volts = match amount {
                    Amount::Number { value, .. } | Amount::Above(value) => *value,
                    Amount::OverRange | Amount::Seen(_) => f64::INFINITY,
                };
                let before = self.volts.len();
                self.volts.retain(|one| one.spot != spot);
                self.replaced += before - self.volts.len();
                self.volts.push(Volts { place: name, spot, volts });
            }
            (Quantity::PairOhms, amount) => {
                let shown = match amount {
                    Amount::Number { value, resolution } => {
                        Shown::Ohms(*value, accuracy.deviation(*value, *resolution))
                    }
                    Amount::Above(limit) => Shown::Above(*limit),
                    Amount::OverRange | Amount::Seen(_) => Shown::Above(LEAST_RANGE),
                };
                let before = self.ohms.len();
                self.ohms.retain(|one| one.taken.spot != spot);
                self.replaced += before - self.ohms.len();
                let taken = Taken { spot, shown };
                self.ohms.push(Given { place: name, amount: amount.clone(), taken });
            }
            (
                Quantity::Ohms
                | Quantity::Volts
                | Quantity::Amperes
                | Quantity::Hertz
                | Quantity::Seconds
                | Quantity::Seen
                | Quantity::Reason,
                _,
            ) => {
                return Err(format!("`{place}`: {} is nothing that `meter` uses", quantity.word()));
            }
        }
        Ok(())
    }

    /// The most volts that were read on the pair, with the place, if they are too many for ohms.
    pub fn live(&self) -> Option<(&str, f64)> {
        let most =
            self.volts.iter().max_by(|one, two| one.volts.abs().total_cmp(&two.volts.abs()))?;
        (most.volts.abs() > MOST_VOLTS).then_some((most.place.as_str(), most.volts))
    }

    /// Places where ohms were read and no volts before them, with the cables as they were or
    /// otherwise.
    pub fn without_volts(&self) -> Vec<&str> {
        let point = |spot: Spot| match (spot.place, spot.pulled) {
            (Where::Point(point), _) => (Some(point), None),
            (Where::Plug, pulled) => (None, pulled),
        };
        let mut found: Vec<&str> = Vec::new();
        for ohms in &self.ohms {
            let own = point(ohms.taken.spot);
            let place = ohms.place.split('@').next().unwrap_or(&ohms.place);
            if !self.volts.iter().any(|one| point(one.spot) == own) && !found.contains(&place) {
                found.push(place);
            }
        }
        found
    }

    /// The readings of ohms.
    pub fn taken(&self) -> Vec<Taken> {
        self.ohms.iter().map(|given| given.taken).collect()
    }
}

/// `PORT=OHMS` or `PORT=OHMS@pull CABLE`, with a unit if it is not ohms: place, pulled cable, what
/// was read.
pub fn from_words(
    text: &str,
    pulled: Option<&str>,
) -> Result<(String, Option<String>, Quantity, Amount), String> {
    let form = "PORT=OHMS, such as \"unit 3 A=60.4\" or \"plug C2=120.1@pull C2\"";
    let (place, rest) =
        text.split_once('=').ok_or_else(|| format!("`{text}` has no `=`; expected {form}"))?;
    let (value, own_pull) = match rest.split_once('@') {
        None => (rest, None),
        Some((value, state)) => {
            let state = state.trim();
            let is_plugged = state.eq_ignore_ascii_case("plugged");
            let cable = state.strip_prefix("pull ").map(str::trim);
            if !is_plugged && cable.is_none() {
                let says = format!("`@{state}` is neither `@pull CABLE` nor `@plugged`");
                return Err(format!("{says}; expected {form}"));
            }
            (value, Some(cable))
        }
    };
    let value = value.trim();
    let unit = value.trim_start_matches(|sign: char| !sign.is_alphabetic());
    let is_volts = unit.to_lowercase().ends_with('v');
    let quantity = if is_volts { Quantity::PairVolts } else { Quantity::PairOhms };
    let amount = Amount::read(quantity, value, None)
        .map_err(|(says, expected)| format!("{says}; expected {expected}"))?;
    if place.trim().is_empty() {
        return Err(format!("`{text}` names no place; expected {form}"));
    }
    let cable = own_pull.unwrap_or(pulled).map(ToOwned::to_owned);
    Ok((place.trim().to_owned(), cable, quantity, amount))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn accuracy_is_percent_and_counts() {
        assert_eq!(Accuracy::read("1%+2"), Some(Accuracy { percent: 1.0, counts: 2.0 }));
        assert_eq!(Accuracy::read("0,8 % + 3"), Some(Accuracy { percent: 0.8, counts: 3.0 }));
        assert_eq!(Accuracy::read("2%"), Some(Accuracy { percent: 2.0, counts: 0.0 }));
        for wrong in ["1", "1+2", "-1%", "1%2", "99%", "%", "1%+x", "NaN%"] {
            assert_eq!(Accuracy::read(wrong), None, "{wrong}");
        }
        // 1 % of 60 and two and a half steps of a tenth, over the root of three.
        let told = Accuracy { percent: 1.0, counts: 2.0 }.deviation(60.0, 0.1);
        assert!((told - 0.85 / 3.0_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn a_reading_in_words_is_taken_apart() {
        let (place, pulled, quantity, amount) = from_words("unit 3 A=60.4@pull C2", None).unwrap();
        assert_eq!((place.as_str(), pulled.as_deref()), ("unit 3 A", Some("C2")));
        assert_eq!(quantity, Quantity::PairOhms);
        assert!(matches!(amount, Amount::Number { .. }));
        let pulled = |text: &str| from_words(text, Some("C1")).unwrap().1;
        assert_eq!(pulled("u1=60").as_deref(), Some("C1"));
        assert_eq!(pulled("u1=60@plugged"), None);
        assert_eq!(from_words("u1=0.00 V", None).unwrap().2, Quantity::PairVolts);
        assert_eq!(from_words("u1=OL", None).unwrap().3, Amount::OverRange);
        for wrong in ["u1", "=60", "u1=", "u1=60@out", "u1=-5"] {
            assert!(from_words(wrong, None).is_err(), "{wrong}");
        }
    }
}
