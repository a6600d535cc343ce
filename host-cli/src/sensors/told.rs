//! Tests in a person's words, and the channels of a site.

use super::fit::Channel;
use super::model::{Legs, Shown, Test};
use crate::declared::Subject;
use crate::engine::Site;
use crate::field::Field;
use crate::fold::Folded;
use crate::read::ReadError;
use crate::value::{Supply, Value};
use coldcheck_core::plan::Leg;

/// Legs and channels of a site.
///
/// # Errors
/// If the sheets do not say what the supply is, or name no sensor with its leg.
pub fn channels(site: &Site) -> Result<(Legs, Vec<Channel>), ReadError> {
    let declared = &site.declared;
    let wrong = |says: &str, expected: &str| ReadError::file("the sheets", says, expected);
    let Some(Value::Supply(supply)) = declared.agreed(Subject::Group, Field::Supply) else {
        return Err(wrong(
            "they do not say what the supply is",
            "supply system = split-phase 120/240 V",
        ));
    };
    let legs = Legs::of(Supply::clone(supply));
    let milli = |sensor: usize, field: Field| {
        declared.number(Subject::Sensor(sensor), field).map(|number| f64::from(number) / 1000.0)
    };
    let channel = |sensor: &usize| {
        let (thing, leg) = &declared.sensors[*sensor];
        let own = leg.map(position).filter(|own| *own < legs.count())?;
        Some(Channel {
            name: thing.name.clone(),
            own,
            ratio_set: milli(*sensor, Field::RatioSet),
            rating: milli(*sensor, Field::SensorRating),
        })
    };
    let channels: Vec<Channel> = site.assembled.map.sensors.iter().filter_map(channel).collect();
    if channels.is_empty() {
        return Err(wrong("they name no sensor with a leg of this supply", "CT L1 rating = 200 A"));
    }
    Ok((legs, channels))
}

const fn position(leg: Leg) -> usize {
    match leg {
        Leg::L1 => 0,
        Leg::L2 => 1,
        Leg::L3 => 2,
    }
}

/// A leg carries the known load if it has at least so much of the largest current.
const LOADED: f64 = 0.3;
/// No clamp and no screen shows more.
const MOST: f64 = 1e7;

/// One test: `L1=50.2; L2=0.3; CT L1=6010 W 50.1 A; CT L2=0 W`, with `pf=0.7` for a motor.
///
/// # Errors
/// What cannot be read, and what is missing.
pub fn test(text: &str, legs: &Legs, channels: &[Channel]) -> Result<Test, ReadError> {
    let wrong = |says: String, expected: &str| ReadError::file("--test", says, expected);
    let mut clamp: Vec<Option<f64>> = vec![None; legs.count()];
    let mut shown = vec![Shown::default(); channels.len()];
    let mut power_factor = 1.0;
    for part in text.split(';').map(str::trim).filter(|part| !part.is_empty()) {
        let (name, values) = part.split_once('=').ok_or_else(|| {
            wrong(format!("`{part}` has no `=`"), "L1=50.2, CT L1=6010 W, or pf=0.7")
        })?;
        let folded = Folded::of(name);
        let is_twice = || wrong(format!("`{}` stands in one test twice", name.trim()), "once");
        if folded.is("pf") || folded.is("power factor") {
            power_factor = number(values.trim())
                .filter(|value| (0.1..=1.0).contains(value))
                .ok_or_else(|| wrong(format!("`{part}` is no power factor"), "pf=0.7"))?;
        } else if let Some(leg) = (0..legs.count()).find(|leg| folded.is(&format!("L{}", leg + 1)))
        {
            let text = values.trim().trim_end_matches(['A', 'a']).trim();
            let amperes = number(text).filter(|value| *value >= 0.0).ok_or_else(|| {
                wrong(format!("`{part}` is no current by clamp"), "amperes without a sign: L1=50.2")
            })?;
            if clamp[leg].replace(amperes).is_some() {
                return Err(is_twice());
            }
        } else if let Some(at) = channels.iter().position(|one| Folded::of(&one.name) == folded) {
            if shown[at] != Shown::default() {
                return Err(is_twice());
            }
            if number(values.trim()).is_some() {
                let says = format!("`{}` says no unit: watts or amperes?", part.trim());
                return Err(wrong(says, "CT L1=6010 W 50.1 A"));
            }
            shown[at] = screen(values).ok_or_else(|| {
                wrong(format!("`{part}` is nothing that a screen shows"), "CT L1=6010 W 50.1 A")
            })?;
        } else {
            let names: Vec<&str> = channels.iter().map(|one| one.name.as_str()).collect();
            let expected = format!("a leg, pf, or {}", crate::phrase::one_of(&names));
            return Err(wrong(format!("nobody knows `{}`", name.trim()), &expected));
        }
    }
    let missing = clamp.iter().position(Option::is_none);
    if let Some(leg) = missing {
        let says = format!("`{text}` has no clamp reading of L{}", leg + 1);
        return Err(wrong(says, &format!("every leg: L{}=0 if nothing flows", leg + 1)));
    }
    if shown.iter().all(|shown| *shown == Shown::default()) {
        return Err(wrong(format!("`{text}` says nothing of the screen"), "CT L1=6010 W"));
    }
    let clamp: Vec<f64> = clamp.into_iter().flatten().collect();
    let most = clamp.iter().copied().fold(0.0, f64::max);
    if most <= 0.0 {
        return Err(wrong(format!("`{text}` has no load"), "a load on one leg at the least"));
    }
    let loaded = clamp.iter().map(|amperes| *amperes >= LOADED * most).collect();
    Ok(Test { clamp, loaded, power_factor, shown })
}

fn number(text: &str) -> Option<f64> {
    let text = text.replace(',', ".").replace('−', "-");
    let is_plain =
        text.bytes().all(|sign| sign.is_ascii_digit() || matches!(sign, b'.' | b'-' | b'+'));
    text.parse::<f64>().ok().filter(|value| is_plain && value.abs() <= MOST)
}

/// `6010 W 50.1 A`: each once, at least one.
fn screen(text: &str) -> Option<Shown> {
    let mut shown = Shown::default();
    let mut rest = text.trim();
    while !rest.is_empty() {
        let end = rest.find(|sign: char| sign.is_alphabetic() || sign == ' ').unwrap_or(rest.len());
        let (digits, behind) = rest.split_at(end);
        let value = number(digits)?;
        let behind = behind.trim_start();
        let end = behind.find(|sign: char| !sign.is_alphabetic()).unwrap_or(behind.len());
        let (unit, behind) = behind.split_at(end);
        let (slot, factor) = match unit.to_ascii_lowercase().as_str() {
            "w" => (&mut shown.watts, 1.0),
            "kw" => (&mut shown.watts, 1000.0),
            "a" => (&mut shown.amperes, 1.0),
            _ => return None,
        };
        if slot.replace(value * factor).is_some() {
            return None;
        }
        rest = behind.trim_start();
    }
    (shown != Shown::default()).then_some(shown)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site() -> (Legs, Vec<Channel>) {
        let legs = Legs { volts: 120.0, angles: vec![0.0, 180.0] };
        let own =
            |own, name: &str| Channel { name: name.to_owned(), own, ratio_set: None, rating: None };
        (legs, vec![own(0, "CT L1"), own(1, "CT L2")])
    }

    #[test]
    fn a_test_is_read_in_every_spelling() {
        let (legs, channels) = site();
        for text in [
            "L1=50.2; L2=0.3; CT L1=6010 W 50.1 A; CT L2=-20 W",
            "l2 = 0,3 A ; l1 = 50,2 A; ct l1 = 50.1A 6.01kW; ct l2 = −0.02 kW;",
        ] {
            let test = test(text, &legs, &channels).unwrap();
            assert_eq!((test.clamp, test.loaded), (vec![50.2, 0.3], vec![true, false]));
            assert_eq!(test.shown[0], Shown { watts: Some(6010.0), amperes: Some(50.1) });
            assert_eq!(test.shown[1].watts, Some(-20.0));
        }
    }

    #[test]
    fn what_cannot_be_read_is_named() {
        let (legs, channels) = site();
        for (text, says) in [
            ("L1=50", "no clamp reading of L2"),
            ("L1=50; L2=0", "nothing of the screen"),
            ("L1=0; L2=0; CT L1=1 W", "no load"),
            ("L1=-5; L2=0; CT L1=1 W", "no current by clamp"),
            ("L1=5; L1=6; L2=0; CT L1=1 W", "twice"),
            ("L1=5; L2=0; CT L3=1 W", "`CT L3`"),
            ("L1=5; L2=0; CT L1=1", "says no unit"),
            ("L1=5; L2=0; CT L1=1 W 2 W", "nothing that a screen shows"),
            ("L1=5; L2=0; CT L1=inf W", "nothing that a screen shows"),
            ("L1=5; L2=0; CT L1=1e999 W", "nothing that a screen shows"),
            ("L1=5; L2=0; CT L1=1 W; pf=3", "no power factor"),
            ("L1 5", "no `=`"),
        ] {
            let error = test(text, &legs, &channels).unwrap_err();
            assert!(error.says.contains(says), "{text}: {}", error.says);
        }
    }
}
