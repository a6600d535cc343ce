//! Demands of one profile that cannot be met together.

use super::Profile;
use crate::words;
use coldcheck_core::limits;
use coldcheck_core::plan::{Demand, Dialect, Shape, TerminatorPlace};

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
    found
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
