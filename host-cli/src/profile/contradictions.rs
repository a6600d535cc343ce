//! Demands of one profile that cannot be met together.

use super::Profile;
use crate::words;
use coldcheck_core::limits;
use coldcheck_core::plan::{AddressRange, Demand, DemandValue, Dialect, Shape, TerminatorPlace};

/// Lower and upper limits of one thing.
const LIMITS: &[(Demand, Demand)] = &[
    (Demand::UnitsMin, Demand::UnitsMax),
    (Demand::NodeOhmsMin, Demand::NodeOhmsMax),
    (Demand::BatteryVoltsMin, Demand::BatteryVoltsMax),
];

/// Each contradiction: the demand to look at, what is wrong, what was expected.
pub(super) fn contradictions(profile: &Profile) -> Vec<(Demand, String, &'static str)> {
    let bits = |demand| profile.demands.get(&demand).map(|demanded| demanded.bits);
    let mut found = Vec::new();
    for (low, high) in LIMITS {
        if let (Some(least), Some(most)) = (bits(*low), bits(*high))
            && least > most
        {
            let words = words::demand(low.kind(), least);
            let says = format!("{} is below {} = {words}", high.key(), low.key());
            found.push((*high, says, "a lower limit that is not above the upper one"));
        }
    }
    let units = u32::try_from(limits::UNITS).unwrap_or(u32::MAX);
    if bits(Demand::UnitsMin).is_some_and(|least| least > units) {
        let says = format!("more than {units} units are the least");
        found.push((Demand::UnitsMin, says, "no more units than a site can have"));
    }
    if bits(Demand::LinkShape) == Some(Shape::Ring.code().into())
        && bits(Demand::TerminatorsAt) == Some(TerminatorPlace::BothEnds.code().into())
    {
        let says = "a ring has no ends to put terminators at".to_owned();
        found.push((Demand::TerminatorsAt, says, "nowhere, or link shape = line"));
    }
    if bits(Demand::Dialect) == Some(Dialect::FrameMap.code().into()) && profile.frames.is_empty() {
        let says = "a frame map is demanded, and no frame is listed".to_owned();
        found.push((Demand::Dialect, says, "canopen, j1939, or a table [[frame]] for each kind"));
    }
    if !profile.frames.is_empty() && bits(Demand::Dialect) != Some(Dialect::FrameMap.code().into())
    {
        let says = "frames are listed, and no frame map is demanded".to_owned();
        found.push((Demand::Dialect, says, "\"dialect\" = { is = \"frame map\", from = … }"));
    }
    if bits(Demand::HeartbeatPeriod) == Some(0) {
        let says = "no time is between two signs of life".to_owned();
        found.push((Demand::HeartbeatPeriod, says, "a time such as 500 ms"));
    }
    found.extend(addresses(profile));
    found
}

/// Addresses that the profile allows, or wants, and that cannot be.
fn addresses(profile: &Profile) -> Vec<(Demand, String, &'static str)> {
    let bits = |demand| profile.demands.get(&demand).map(|demanded| demanded.bits);
    let mut found = Vec::new();
    let Some(range) = bits(Demand::AddressRange).and_then(AddressRange::from_bits) else {
        return found;
    };
    let words = words::demand(Demand::AddressRange.kind(), range.to_bits());
    if let Some(leads) = bits(Demand::CoordinatorAddress)
        && !(u32::from(range.low)..=range.high.into()).contains(&leads)
    {
        let says = format!("{leads} lies outside address range = {words}");
        found.push((Demand::CoordinatorAddress, says, "an address that is allowed"));
    }
    let addresses = u32::from(range.high).saturating_sub(range.low.into()).saturating_add(1);
    if let Some(units) = bits(Demand::UnitsMax).filter(|units| *units > addresses) {
        let says = format!("{units} units are more than address range = {words} has addresses for");
        found.push((Demand::UnitsMax, says, "as many units as addresses, or fewer"));
    }
    let Some(dialect) = bits(Demand::Dialect).and_then(Dialect::from_bits) else { return found };
    let most = most_carried(dialect, profile);
    if u32::from(range.high) > most {
        let name = words::demand(Demand::Dialect.kind(), dialect.code().into());
        let says = format!("{words} goes beyond {most}, the highest that {name} carries");
        found.push((Demand::AddressRange, says, "addresses that can be heard"));
    }
    found
}

/// The highest address that a dialect carries; for a frame map, in each kind of its frames.
fn most_carried(dialect: Dialect, profile: &Profile) -> u32 {
    match dialect {
        // CiA 301, node ids 1 to 127 (read second-hand).
        Dialect::CanOpen => 127,
        // SAE J1939-81: 254 says that one has no address, 255 means everybody (read second-hand).
        Dialect::J1939 => 253,
        Dialect::FrameMap => {
            let widths = profile.frames.iter().map(|kind| kind.record.address.bits());
            let fewest = widths.min().unwrap_or(32);
            1u32.checked_shl(fewest.into()).map_or(u32::MAX, |beyond| beyond - 1)
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::profile::{builtin, parse};

    fn says(edits: &[(&str, &str)]) -> Vec<String> {
        let mut text = builtin("two-port-line").expect("built in").to_owned();
        for (from, to) in edits {
            assert!(text.contains(from), "{from}");
            text = text.replacen(from, to, 1);
        }
        match parse("mine.toml", &text) {
            Ok(_) => Vec::new(),
            Err((_, errors)) => errors.into_iter().map(|error| error.says).collect(),
        }
    }

    #[test]
    fn limits_that_leave_nothing_are_refused() {
        assert_eq!(
            says(&[("\"max units\" = { is = 16", "\"max units\" = { is = 1")]),
            ["max units is below min units = 2"]
        );
        let both = says(&[
            ("\"min units\" = { is = 2", "\"min units\" = { is = 40"),
            ("is = 100000", "is = 1000"),
        ]);
        assert_eq!(both.len(), 3, "{both:?}");
    }

    #[test]
    fn addresses_that_cannot_be_are_refused() {
        let range = |is: &str| format!("\"address range\" = {{ is = \"{is}\"");
        let builtin = range("1-16");
        assert_eq!(
            says(&[(&builtin, &range("1-40"))]),
            ["1-40 goes beyond 31, the highest that frame map carries"]
        );
        let canopen = ("is = \"frame map\"", "is = \"canopen\"");
        assert_eq!(
            says(&[(&builtin, &range("1-300")), canopen]),
            [
                "frames are listed, and no frame map is demanded",
                "1-300 goes beyond 127, the highest that canopen carries"
            ]
        );
        let leads = format!("\"coordinator address\" = {{ is = 17, from = \"ours\" }}\n{builtin}");
        assert_eq!(says(&[(&builtin, &leads)]), ["17 lies outside address range = 1-16"]);
        assert!(says(&[(&builtin, &leads.replace("17", "16"))]).is_empty());
    }

    #[test]
    fn a_frame_map_needs_frames() {
        let text = builtin("two-port-line").expect("built in");
        let (before, rest) = text.split_once("[[frame]]").expect("it lists one");
        let (_, after) = rest.split_once("\n\n").expect("a blank line below");
        let (_, errors) = parse("mine.toml", &format!("{before}{after}")).expect_err("no frame");
        let says: Vec<_> = errors.iter().map(|error| error.says.as_str()).collect();
        assert_eq!(says, ["a frame map is demanded, and no frame is listed"]);
        assert!(errors[0].origin.is_some(), "the line is shown");
    }

    #[test]
    fn a_ring_takes_no_terminators_at_ends() {
        let found = says(&[("is = \"line\"", "is = \"ring\"")]);
        assert_eq!(found, ["a ring has no ends to put terminators at"]);
    }
}
