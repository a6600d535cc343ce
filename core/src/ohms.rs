//! Ohms between the two wires of the link, with the power off: what a meter must show on a line.
//!
//! Nobody knows the copper, the resistors and the plugs of a site to the last percent, so that an
//! expectation is a band: every part at its lowest, every part as usual, every part at its highest.
//! A resistance between two points never falls when one part of a network grows, so the true
//! reading of a right site lies within the band.
//!
//! Whole numbers only. The ladder is folded in microohms. Each step is rounded to the nearest one,
//! so it is off by half a microohm at the most, and no step further on makes that more. A point of
//! the line and the cable to it take four such steps, so that 48 points stay below 0.1 mΩ. The
//! reading is told in milliohms, rounded once more: [`MOST_OFF`] bounds all of it.
//!
//! This module is for lines, and for what is left of a line that is broken. Rings and branches need
//! equations: they are solved on the host.

mod conditions;
mod fitted;
mod line;

pub use conditions::{Conditions, Doubtful};
pub use fitted::{AllFitted, Fitted};

use crate::links::Links;
use crate::place::CableId;
use crate::plan::Plan;
use crate::sets::NodeId;
use crate::units::Milliohms;

/// No result is further than this from that of exact arithmetic, if it is not open.
pub const MOST_OFF: Milliohms = Milliohms(1);

/// What a meter may show, with every part at its lowest, as usual, and at its highest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OhmBand {
    /// The lowest reading of a right site.
    pub low: Milliohms,
    /// A usual one.
    pub typical: Milliohms,
    /// The highest.
    pub high: Milliohms,
}

/// A cable that is out at one of its ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pull {
    /// The cable.
    pub cable: CableId,
    /// The point that it was pulled at; its other plug is in.
    pub at: NodeId,
}

/// Where the two leads of the meter are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Leads {
    /// On the pair in a socket of this point.
    Point(NodeId),
    /// On the pair in the loose plug of the cable that is out.
    LoosePlug,
}

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Probe {
    /// Where the leads are.
    pub leads: Leads,
    /// The cable that is out, if one is.
    pub pull: Option<Pull>,
}

/// Why a reading cannot be told here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OhmsError {
    /// Three link cables or more meet at this point.
    Branched(NodeId),
    /// The link comes back to where it began.
    Ring,
    /// There is no such point, or no such cable at the point.
    NoSuchPlace,
    /// The leads are in a loose plug, and no cable is out.
    NothingPulled,
}

/// What a meter must show.
///
/// # Errors
/// [`OhmsError`] where the link is no line around the probe, or the probe is nowhere.
///
/// ```
/// use coldcheck_core::ohms::{Leads, Probe, ohms};
/// use coldcheck_core::plan::{DemandRecord, GroupRecord, Plan, Terminator, UnitRecord};
/// use coldcheck_core::sets::NodeId;
///
/// let (demands, group) = (DemandRecord::default(), GroupRecord::default());
/// let terminator = Terminator::On.code();
/// let units = [UnitRecord { terminator, ..UnitRecord::default() }];
/// let plan = Plan { units: &units, ..Plan::empty(&demands, &group) };
/// let alone = Probe { leads: Leads::Point(NodeId(0)), pull: None };
/// let band = ohms(&plan, alone).expect("one unit is a line");
/// assert!(band.low.0 > 98_000 && band.high.0 < 130_100);
/// assert_eq!(band.typical.0, 119_641);
/// ```
pub fn ohms(plan: &Plan<'_>, probe: Probe) -> Result<OhmBand, OhmsError> {
    let links = Links::build(plan);
    let under = |conditions: &Conditions| line::reading(&links, probe, conditions);
    Ok(OhmBand {
        low: under(&Conditions::low(plan))?,
        typical: under(&Conditions::typical(plan))?,
        high: under(&Conditions::high(plan))?,
    })
}

/// What a meter would show if every part had exactly these values.
///
/// # Errors
/// As [`ohms`].
pub fn ohms_under(
    plan: &Plan<'_>,
    probe: Probe,
    conditions: &Conditions,
) -> Result<Milliohms, OhmsError> {
    line::reading(&Links::build(plan), probe, conditions)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::{Demand, DeviceKind, Terminator, Wiring};
    use crate::trial::{A, B, Trial, at, at_device};

    fn at_unit(unit: u8) -> Probe {
        Probe { leads: Leads::Point(NodeId(unit)), pull: None }
    }

    fn pulled(cable: u8, unit: u8, leads: Leads) -> Probe {
        Probe { leads, pull: Some(Pull { cable: CableId(cable), at: NodeId(unit) }) }
    }

    fn typical(trial: &Trial, probe: Probe) -> u32 {
        ohms(&trial.plan(), probe).expect("a line").typical.0
    }

    #[test]
    fn a_right_line_reads_about_half_a_terminator_everywhere_and_one_when_pulled() {
        let line = Trial::line(4);
        for unit in 0..4 {
            assert!((59_500..60_700).contains(&typical(&line, at_unit(unit))), "{unit}");
        }
        let port = typical(&line, pulled(0, 0, Leads::Point(NodeId(0))));
        let plug = typical(&line, pulled(0, 0, Leads::LoosePlug));
        assert!((118_500..120_000).contains(&port) && (118_500..121_500).contains(&plug));
    }

    #[test]
    fn what_hangs_on_the_other_half_is_not_seen_through_a_pulled_cable() {
        let line = Trial::line(4);
        let changed = line.clone().terminator(3, Terminator::Off);
        let near = pulled(1, 1, Leads::Point(NodeId(0)));
        assert_eq!(typical(&line, near), typical(&changed, near));
        let far = pulled(1, 1, Leads::LoosePlug);
        assert!(typical(&changed, far) > 10_000_000 && typical(&line, far) < 121_500);
    }

    #[test]
    fn a_broken_line_is_read_on_the_side_of_the_probe() {
        let broken = Trial::line(3).without_cables(|cable| cable == 1);
        assert!((118_000..121_000).contains(&typical(&broken, at_unit(0))));
        assert!((118_000..121_000).contains(&typical(&broken, at_unit(2))));
        // A lead that brings the pair out on other pins joins nothing.
        let crossed =
            Trial::line(3).demand(Demand::PairPins, 1 << 16 | 2).wired(1, Wiring::CrossoverTwo);
        assert_eq!(typical(&crossed, at_unit(0)), typical(&broken, at_unit(0)));
    }

    #[test]
    fn no_terminator_is_kilohms_and_not_open_by_itself() {
        let line = Trial::line(4).terminator(0, Terminator::Off).terminator(3, Terminator::Off);
        let band = ohms(&line.plan(), at_unit(0)).expect("a line");
        assert!((2_400_000..2_600_000).contains(&band.low.0), "{band:?}");
        assert_eq!(band.high, Milliohms::OPEN);
        assert!((9_900_000..10_100_000).contains(&band.typical.0), "{band:?}");
    }

    #[test]
    fn a_terminator_of_which_nothing_is_known_widens_the_band_to_both_answers() {
        let line = Trial::line(3).unit(2, |unit| unit.terminator = 0);
        let band = ohms(&line.plan(), at_unit(0)).expect("a line");
        assert!(band.low.0 < 60_000 && band.high.0 > 120_000, "{band:?}");
    }

    #[test]
    fn rings_branches_and_places_that_there_are_not_are_refused() {
        let ring = Trial::line(3).link((0, B), (2, A), 2000);
        assert_eq!(ohms(&ring.plan(), at_unit(1)), Err(OhmsError::Ring));
        let star = Trial::line(4).link((0, B), (2, A), 2000);
        let error = ohms(&star.plan(), at_unit(1)).expect_err("no line");
        assert!(matches!(error, OhmsError::Branched(NodeId(2)) | OhmsError::Ring), "{error:?}");
        let line = Trial::line(3);
        let here = |probe| ohms(&line.plan(), probe);
        assert_eq!(here(at_unit(3)), Err(OhmsError::NoSuchPlace));
        assert_eq!(here(pulled(1, 0, Leads::LoosePlug)), Err(OhmsError::NoSuchPlace));
        let loose = Probe { leads: Leads::LoosePlug, pull: None };
        assert_eq!(here(loose), Err(OhmsError::NothingPulled));
    }

    #[test]
    fn a_ring_that_is_pulled_open_is_a_line() {
        let ring = Trial::line(3).link((0, B), (2, A), 2000);
        let probe = pulled(0, 0, Leads::Point(NodeId(0)));
        assert!((59_000..61_500).contains(&typical(&ring, probe)));
    }

    #[test]
    fn a_splitter_loads_nothing_and_a_gateway_does() {
        let with = |device| {
            let line = Trial::line(2).without_cables(|cable| cable == 0);
            let line = line.device(device, Some(Terminator::Off));
            let kind = crate::plan::CableKind::Link;
            line.cable(kind, [at(0, A), at_device(0)]).cable(kind, [at(1, B), at_device(0)])
        };
        let splitter = typical(&with(DeviceKind::Splitter), at_unit(0));
        let gateway = typical(&with(DeviceKind::Gateway), at_unit(0));
        assert!(gateway < splitter, "{gateway} {splitter}");
    }
}
