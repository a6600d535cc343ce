//! Resistances and faults in words.

use crate::meter::expect::Band;
use crate::meter::fault::{Fault, Kind};
use crate::meter::fit::Fit;
use crate::meter::names::Names;
use crate::meter::rank::Hypothesis;
use crate::meter::topology::Topology;
use crate::phrase::one_of;

/// A resistance as a meter shows it, in no more digits than are worth reading.
pub fn ohms(ohms: f64) -> String {
    let (number, prefix) = shown(ohms);
    format!("{number}{prefix}")
}

/// The number that a meter shows, and the prefix of its unit.
fn shown(ohms: f64) -> (String, &'static str) {
    if !ohms.is_finite() {
        ("OL".to_owned(), "")
    } else if ohms >= 999_500.0 {
        (format!("{:.1}", ohms / 1e6), "M")
    } else if ohms >= 9_995.0 {
        (format!("{:.0}", ohms / 1e3), "k")
    } else if ohms >= 999.5 {
        (format!("{:.1}", ohms / 1e3), "k")
    } else if ohms >= 99.95 {
        (format!("{ohms:.0}"), "")
    } else {
        (format!("{ohms:.1}"), "")
    }
}

/// A resistance, or two bounds, with the unit written out: `60.0 ohm`, `900 ohm to 1.7 kohm`.
pub fn in_ohms(low: f64, high: f64) -> String {
    spelled(&shown(low), &shown(high))
}

/// What must be read, with the unit written out; outwards as in the plan.
pub fn band_in_ohms(band: Band) -> String {
    let (low, high) = bounds(band);
    spelled(&low, &high)
}

fn spelled(low: &(String, &str), high: &(String, &str)) -> String {
    let whole = |(number, prefix): &(String, &str)| match number.as_str() {
        "OL" => "OL (open)".to_owned(),
        _ => format!("{number} {prefix}ohm"),
    };
    if low == high {
        whole(high)
    } else if low.1 == high.1 && low.0 != "OL" && high.0 != "OL" {
        format!("{} to {}", low.0, whole(high))
    } else {
        format!("{} to {}", whole(low), whole(high))
    }
}

/// Two bounds: one number where they read alike.
pub fn range(low: f64, high: f64) -> String {
    let (low, high) = (ohms(low), ohms(high));
    if low == high { low } else { format!("{low}-{high}") }
}

/// A band in whole ohms, the lower bound rounded down and the higher up.
pub(super) fn band(band: Band) -> String {
    let (low, high) = bounds(band);
    let text = |(number, prefix): &(String, &str)| format!("{number}{prefix}");
    if low == high { text(&low) } else { format!("{}-{}", text(&low), text(&high)) }
}

fn bounds(band: Band) -> ((String, &'static str), (String, &'static str)) {
    let whole = |bound: f64, rounded: f64| if bound < 999.5 { rounded } else { bound };
    let (low, high) = (whole(band.low, band.low.floor()), whole(band.high, band.high.ceil()));
    let text = |bound: f64| {
        if bound < 999.5 { (format!("{bound:.0}"), "") } else { shown(bound) }
    };
    (text(low), text(high))
}

/// What is behind a kind of fault, without its place.
pub(super) const fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Open => "a cable is open",
        Kind::OneWireOpen => "one wire of a cable open",
        Kind::Loose => "a plug makes no contact",
        Kind::Swapped => "the wires of a cable swapped",
        Kind::Shorted => "wires touch in a cable",
        Kind::Missing => "terminator off",
        Kind::Extra => "a terminator too many",
        Kind::Moved => "terminator elsewhere",
        Kind::Ring => "a cable closes a ring",
        Kind::Grounded => "a wire at the common",
    }
}

/// Hypotheses of one kind in one sentence: all of one fault, or one of two.
pub(super) fn hypotheses(
    topology: &Topology,
    names: &Names<'_>,
    alike: &[(&Hypothesis, &Fit)],
) -> String {
    let Some((first, fit)) = alike.first() else { return String::new() };
    let on: Vec<&str> = first.assumed_on.iter().map(|point| names.point(*point)).collect();
    let assumed = if on.is_empty() {
        String::new()
    } else {
        let on = crate::phrase::all_of(&on);
        format!(", with the terminator on at {on}, which no sheet says for sure")
    };
    let says = match first.faults.as_slice() {
        [] => "all is as declared".to_owned(),
        [_] => {
            let faults: Vec<Fault> =
                alike.iter().filter_map(|(one, _)| one.faults.first().copied()).collect();
            fault(topology, names, &faults, Some(fit))
        }
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|one| fault(topology, names, std::slice::from_ref(one), None))
                .collect();
            format!("two faults: {}", each.join("; and "))
        }
    };
    format!("{says}{assumed}")
}

/// Faults of one kind in one sentence.
fn fault(topology: &Topology, names: &Names<'_>, alike: &[Fault], fit: Option<&Fit>) -> String {
    // None of them is likelier than another in a way that would be worth telling.
    let mut alike = alike.to_vec();
    alike.sort_by_key(|one| one.place());
    let loose = alike.iter().filter(|one| one.kind() == Kind::Loose).count();
    let all_loose = loose == alike.len();
    let mut places: Vec<String> = Vec::new();
    let mut from = String::new();
    for one in &alike {
        let place = match *one {
            Fault::Loose { cable, at } if all_loose => {
                format!("{} at {}", names.cable(cable), names.point(at))
            }
            Fault::Open { cable, .. }
            | Fault::Loose { cable, .. }
            | Fault::Swapped { cable }
            | Fault::Shorted { cable } => names.cable(cable),
            Fault::Missing { point } | Fault::Extra { point } | Fault::Grounded { point, .. } => {
                names.point(point).to_owned()
            }
            Fault::Moved { from: own, to } => {
                names.point(own).clone_into(&mut from);
                names.point(to).to_owned()
            }
            Fault::Ring { a, b } => format!("{} and {}", names.point(a), names.point(b)),
        };
        if !places.contains(&place) {
            places.push(place);
        }
    }
    let place = one_of(&places);
    let Some(first) = alike.first() else { return String::new() };
    match *first {
        Fault::Loose { .. } if all_loose => {
            format!("a plug makes no contact in its socket: {place}")
        }
        Fault::Open { .. } if loose == 0 => {
            format!("{place} is broken between its plugs: one wire or both")
        }
        Fault::Open { .. } | Fault::Loose { .. } => {
            format!("{place} is open: a plug without contact, or one wire or both broken")
        }
        Fault::Swapped { .. } => format!("the two wires are swapped in {place}"),
        Fault::Shorted { cable } => {
            let exactly = fit.filter(|_| places.len() == 1);
            let distance = exactly.and_then(|fit| distance(topology, names, cable, fit));
            format!("the two wires touch in {place}{}", distance.unwrap_or_default())
        }
        Fault::Missing { .. } => format!("the terminator at {place} is off, or not there"),
        Fault::Extra { .. } => format!(
            "a terminator is on at {place} that nobody declared: a switch, a plug, or one hidden \
             in a device"
        ),
        Fault::Moved { .. } => format!("the terminator of {from} is at {place} instead"),
        Fault::Ring { .. } => format!("a cable that nobody listed joins {place} to a ring"),
        Fault::Grounded { .. } => format!("a wire of the pair touches the common at {place}"),
    }
}

/// How far from a point two wires touch, as far as the readings tell.
fn distance(topology: &Topology, names: &Names<'_>, cable: usize, fit: &Fit) -> Option<String> {
    let [low, at, high] = fit.short_at()?;
    let lead = topology.cables.get(cable)?;
    let near = names.point(lead.ends[0]);
    let Some(metres) = lead.metres else {
        return Some(format!(", about {:.0} % of the way from {near}", at * 100.0));
    };
    // A stretch that is most of the cable is no answer.
    if high - low > 0.6 {
        return Some(", somewhere along it".to_owned());
    }
    let (low, high) = (low * metres, high * metres);
    Some(format!(", {low:.1} to {high:.1} m from {near} (it is {metres} m long)"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resistances_read_as_a_meter_shows_them() {
        let shown = [0.94, 60.168, 99.96, 119.52, 999.6, 6000.5, 29_999.0, 1_200_000.0];
        let told = ["0.9", "60.2", "100", "120", "1.0k", "6.0k", "30k", "1.2M"];
        for (shown, told) in shown.iter().zip(told) {
            assert_eq!(ohms(*shown), told);
        }
        assert_eq!(ohms(f64::INFINITY), "OL");
        assert_eq!(in_ohms(60.01, 60.04), "60.0 ohm");
        assert_eq!(in_ohms(900.0, 1650.0), "900 ohm to 1.6 kohm");
        assert_eq!(in_ohms(1650.0, f64::INFINITY), "1.6 kohm to OL (open)");
        assert_eq!(in_ohms(1600.0, 1740.0), "1.6 to 1.7 kohm");
        assert_eq!((range(60.01, 60.04), range(60.0, 61.0)), ("60.0".into(), "60.0-61.0".into()));
    }

    #[test]
    fn a_band_is_never_told_narrower_than_it_is() {
        let told = |low, high| band(Band { low, typical: 0.0, high });
        assert_eq!(told(49.97, 65.2), "49-66");
        assert_eq!(told(2_500.0, f64::INFINITY), "2.5k-OL");
        assert_eq!(told(f64::INFINITY, f64::INFINITY), "OL");
    }
}
