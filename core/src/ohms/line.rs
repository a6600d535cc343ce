//! The ladder: out along the line from the probe, and folded back from its far end.

use super::{AllFitted, Conditions, Doubtful, Leads, OhmsError, Probe, Pull};
use crate::bus::{self, Landing, TERMINATOR};
use crate::limits;
use crate::links::Links;
use crate::place::CableId;
use crate::plan::{CableRecord, Demand, PinPair, Plan};
use crate::sets::{CableSet, NodeId, NodeSet};
use crate::units::{Milliohms, Ohms};

/// A resistance in microohms; open is the largest.
type Microohms = u64;
const OPEN: Microohms = u64::MAX;

/// Two resistances side by side, rounded to the nearest microohm.
fn beside(one: Microohms, two: Microohms) -> Microohms {
    if one == OPEN {
        return two;
    }
    if two == OPEN {
        return one;
    }
    let (a, b) = (u128::from(one), u128::from(two));
    let sum = a.wrapping_add(b);
    let half = sum.wrapping_shr(1);
    // Below 2^64 each, so that product and sum fit, and the quotient is below either.
    let quotient = a.wrapping_mul(b).saturating_add(half).checked_div(sum).unwrap_or(0);
    Microohms::try_from(quotient).unwrap_or(OPEN)
}

/// Two resistances one behind the other.
const fn behind(one: Microohms, two: Microohms) -> Microohms {
    one.saturating_add(two)
}

/// In milliohms, rounded to the nearest; what no milliohm can say is open.
fn in_milliohms(ohms: Microohms) -> Milliohms {
    let rounded = ohms.saturating_add(500).checked_div(1000).unwrap_or(0);
    if ohms == OPEN {
        Milliohms::OPEN
    } else {
        u32::try_from(rounded).map_or(Milliohms::OPEN, Milliohms)
    }
}

/// A product over a divisor, rounded to the nearest.
fn scaled(factors: [u32; 3], divisor: u64) -> Microohms {
    let [a, b, c] = factors.map(u128::from);
    let product = a.wrapping_mul(b).saturating_mul(c);
    let divisor = u128::from(divisor);
    let quotient = product.saturating_add(divisor.wrapping_shr(1)).checked_div(divisor);
    Microohms::try_from(quotient.unwrap_or(0)).unwrap_or(OPEN)
}

/// The one or two cables at each point of the line; a cable that is out at a point is not at it.
struct Line {
    at: [[Option<CableId>; 2]; limits::NODES],
}

impl Line {
    fn of(links: &Links<'_>, pull: Option<Pull>) -> Result<Self, OhmsError> {
        let mut line = Self { at: [[None; 2]; limits::NODES] };
        for id in links.link_cables {
            let Some(cable) = links.plan.cable(id) else { continue };
            let Some((a, b)) = cable.nodes() else { continue };
            if a == b || pull.is_some_and(|pull| pull.cable == id) || !carries(links.plan, cable) {
                continue;
            }
            line.add(a, id)?;
            line.add(b, id)?;
        }
        Ok(line)
    }

    fn add(&mut self, node: NodeId, cable: CableId) -> Result<(), OhmsError> {
        let places = self.at.get_mut(node.index()).ok_or(OhmsError::NoSuchPlace)?;
        let free = places.iter_mut().find(|place| place.is_none());
        *free.ok_or(OhmsError::Branched(node))? = Some(cable);
        Ok(())
    }

    fn cables(&self, node: NodeId) -> [Option<CableId>; 2] {
        self.at.get(node.index()).copied().unwrap_or([None; 2])
    }
}

/// Whether both wires of the pair come out on the pair at the other end of the cable. As the lead
/// must be wired, they do by the profile's word; so they do in one of which nothing is known.
pub(super) fn carries(plan: &Plan<'_>, cable: &CableRecord) -> bool {
    let pair = plan.demands.pair_pins();
    let is_wired = |PinPair(low, high): PinPair| {
        cable.pins().is_none_or(|pins| pins.contains(low) && pins.contains(high))
    };
    if !pair.is_none_or(is_wired) {
        return false;
    }
    let Some(wiring) = cable.wiring() else { return true };
    if plan.demands.bits(Demand::LeadWiring) == Some(u32::from(wiring.code())) {
        return true;
    }
    let landing = pair.and_then(|PinPair(low, high)| bus::through(wiring, [low, high]));
    landing != Some(Landing::Open)
}

/// One reading.
pub(super) fn reading(
    links: &Links<'_>,
    probe: Probe,
    conditions: &Conditions,
) -> Result<Milliohms, OhmsError> {
    // What is an end by the sheets stays one: nobody knows how fast a unit notices.
    let parts = Parts { links, conditions, ends: links.ends(), fitted: AllFitted::of(links) };
    if let Some(pull) = probe.pull {
        let (a, b) = links.nodes(pull.cable).ok_or(OhmsError::NoSuchPlace)?;
        if !links.link_cables.contains(pull.cable) || pull.at != a && pull.at != b {
            return Err(OhmsError::NoSuchPlace);
        }
    }
    let line = Line::of(links, probe.pull)?;
    match (probe.leads, probe.pull) {
        (Leads::Point(node), _) if parts.is_there(node) => Ok(in_milliohms(parts.at(&line, node)?)),
        (Leads::Point(_), _) => Err(OhmsError::NoSuchPlace),
        (Leads::LoosePlug, None) => Err(OhmsError::NothingPulled),
        (Leads::LoosePlug, Some(pull)) => {
            let cable = links.plan.cable(pull.cable).ok_or(OhmsError::NoSuchPlace)?;
            let (a, b) = cable.nodes().ok_or(OhmsError::NoSuchPlace)?;
            if !carries(links.plan, cable) {
                return Ok(Milliohms::OPEN);
            }
            let far = if pull.at == a { b } else { a };
            Ok(in_milliohms(behind(parts.through(cable), parts.at(&line, far)?)))
        }
    }
}

/// The parts of a site with their values.
struct Parts<'l, 'p> {
    links: &'l Links<'p>,
    conditions: &'l Conditions,
    ends: NodeSet,
    fitted: AllFitted,
}

impl Parts<'_, '_> {
    fn is_there(&self, node: NodeId) -> bool {
        let plan = self.links.plan;
        match (node.unit(), node.device()) {
            (Some(unit), _) => plan.unit(unit).is_some(),
            (None, Some(device)) => plan.devices.get(device.index()).is_some(),
            (None, None) => false,
        }
    }

    /// What is seen at a point: its own load, and what lies in either direction.
    fn at(&self, line: &Line, node: NodeId) -> Result<Microohms, OhmsError> {
        let [one, two] = line.cables(node);
        let one = self.along(line, node, one)?;
        let two = self.along(line, node, two)?;
        Ok(beside(self.load(node), beside(one, two)))
    }

    /// What is seen from a point into a cable.
    fn along(
        &self,
        line: &Line,
        start: NodeId,
        first: Option<CableId>,
    ) -> Result<Microohms, OhmsError> {
        let mut way = [(NodeId(0), OPEN); limits::NODES];
        let (mut length, mut at, mut next) = (0_usize, start, first);
        let mut passed = CableSet::EMPTY;
        while let Some(id) = next {
            let cable = self.links.plan.cable(id).ok_or(OhmsError::NoSuchPlace)?;
            let (a, b) = cable.nodes().ok_or(OhmsError::NoSuchPlace)?;
            at = if at == a { b } else { a };
            passed.insert(id);
            if at == start {
                return Err(OhmsError::Ring);
            }
            // A line that comes back to no point is never longer than there are points.
            *way.get_mut(length).ok_or(OhmsError::Ring)? = (at, self.through(cable));
            length = length.wrapping_add(1);
            next = line.cables(at).into_iter().flatten().find(|other| !passed.contains(*other));
        }
        let mut seen = OPEN;
        for (node, cable) in way.iter().take(length).rev() {
            seen = behind(*cable, beside(self.load(*node), seen));
        }
        Ok(seen)
    }

    /// Both conductors of a cable one behind the other, with their contacts.
    fn through(&self, cable: &CableRecord) -> Microohms {
        let conditions = self.conditions;
        let length = cable.length().map_or(conditions.unknown_length, |length| length.0);
        // Millimetres, microohms a metre, millionths.
        let conductor = scaled([length, conditions.conductor, conditions.warmth], 500_000_000);
        conductor.saturating_add(u64::from(conditions.contact).wrapping_mul(4))
    }

    /// A point's own load across the pair.
    fn load(&self, node: NodeId) -> Microohms {
        let is_joint = self.links.joints.contains(node);
        let own = match self.conditions.node_ohms {
            Some(ohms) if !is_joint => scaled([ohms, 1_000_000, 1], 1),
            _ => OPEN,
        };
        let fitted = self.fitted.at(node);
        let mut load = own;
        if fitted.count == 0 && self.doubtful(node) {
            load = beside(load, self.terminator(fitted.own));
        }
        for ohms in fitted.on() {
            load = beside(load, self.terminator(ohms));
        }
        load
    }

    /// Whether a terminator in doubt counts as on.
    fn doubtful(&self, node: NodeId) -> bool {
        let links = self.links;
        let is_automatic = links.automatic.contains(node);
        let may_have_one = !links.joints.contains(node);
        let is_unknown = !links.terminator_known.contains(node) && may_have_one;
        match self.conditions.doubtful {
            Doubtful::On => is_automatic || is_unknown,
            Doubtful::Off => false,
            Doubtful::AtEnds => is_automatic && self.ends.contains(node),
        }
    }

    fn terminator(&self, ohms: Option<Ohms>) -> Microohms {
        let demanded = self.links.plan.demands.terminator_ohms().unwrap_or(TERMINATOR);
        let ohms = u32::from(ohms.unwrap_or(demanded).0).max(1);
        scaled([ohms, self.conditions.terminator_permille, 1000], 1)
    }
}
