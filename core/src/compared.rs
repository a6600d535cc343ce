//! Tables for the rules about what is heard, built once: who is silent, who is a stranger.

use crate::alike::Groups;
use crate::heard::{Heard, Speaker};
use crate::links::{Known, Links, Pieces};
use crate::place::{Place, UnitId};
use crate::plan::{DataSet, Datum, DeviceKind, UnitRecord};
use crate::report::Sink;
use crate::sets::{CableSet, NodeId, NodeSet, UnitSet};

/// What the gateway's controller can tell.
const CONTROLLER: DataSet = DataSet::only(Datum::ControllerState);

/// That whoever was not heard is silent.
const LISTENED_LONG: DataSet = DataSet::only(Datum::ListenedLong);

/// What was declared, beside what was heard.
pub struct Compared<'p> {
    /// The tables of what was declared.
    pub links: &'p Links<'p>,
    /// What was heard.
    pub heard: &'p Heard,
    /// Which data are declared or were heard.
    pub known: Known,
    /// Units with an address of their own.
    pub addressed: UnitSet,
    /// Those of them that were not heard.
    pub silent: UnitSet,
    /// Units that share an address on the sheets: what is heard there may be of any of them.
    pub shared: UnitSet,
    /// Units that were heard under an address that two have.
    pub doubled: UnitSet,
    /// Units of which it could not be told whether two have their address.
    pub unclear: UnitSet,
    /// Units that pause, start anew or fell silent.
    pub restless: UnitSet,
}

impl<'p> Compared<'p> {
    /// Builds the tables.
    pub fn build(links: &'p Links<'p>, heard: &'p Heard) -> Self {
        let mut compared = Self {
            links,
            heard,
            known: links.known,
            addressed: UnitSet::EMPTY,
            shared: shared_addresses(links),
            silent: UnitSet::EMPTY,
            doubled: UnitSet::EMPTY,
            unclear: UnitSet::EMPTY,
            restless: UnitSet::EMPTY,
        };
        let usual = compared.usual_period();
        let (mut some, mut whole) = (DataSet::EMPTY, Speaker::CAN_TELL);
        let addressed = links.units_where(|unit, _| unit.address().is_some(), 0);
        compared.addressed = addressed.without(compared.shared);
        for id in compared.addressed {
            let Some(speaker) = heard.unit(id).filter(|speaker| speaker.is_heard()) else {
                compared.silent.insert(id);
                continue;
            };
            let told = speaker.told();
            some = some.or(told);
            whole = whole.and(told);
            compared.judge(id, speaker, usual);
        }
        if heard.controller_state().is_some() {
            some = some.or(CONTROLLER);
        }
        // Three periods; where none is known, one of a second is meant.
        let is_long = heard.now().0 >= usual.unwrap_or(1000).saturating_mul(3);
        if !is_long {
            // A second one may not have had its turn yet.
            compared.unclear = addressed;
        }
        if compared.silent.is_empty() || is_long {
            some = some.or(LISTENED_LONG);
        }
        whole = whole.or(CONTROLLER).or(LISTENED_LONG).and(some);
        compared.known.some = compared.known.some.or(some);
        compared.known.whole = compared.known.whole.or(whole);
        compared
    }

    /// Whether two are at one address, and whether one comes and goes.
    #[inline(never)]
    fn judge(&mut self, id: UnitId, speaker: &Speaker, usual: Option<u32>) {
        let rhythm = speaker.rhythm();
        let is_doubled = usual.is_some_and(|usual| rhythm.is_doubled(usual));
        if self.heard.is_contested(id) || rhythm.has_two_phases() || is_doubled {
            self.doubled.insert(id);
        } else if rhythm.has_pauses(self.heard.now()) || speaker.restarts() > 0 {
            self.restless.insert(id);
        }
        // Two are told apart by their rhythm or by what they say they are.
        let rhythm_is_told = usual.is_some() && rhythm.period().is_some();
        if !rhythm_is_told && speaker.identity().is_none() {
            self.unclear.insert(id);
        }
    }

    /// How often one unit is heard: what is demanded; else the longest rhythm of a unit, if more
    /// units keep it than are twice as fast.
    fn usual_period(&self) -> Option<u32> {
        if let Some(period) = self.links.plan.demands.heartbeat_period() {
            return Some(period.0);
        }
        let units = self.heard.units();
        let mut longest = None;
        for unit in units {
            longest = longest.max(unit.rhythm().period());
        }
        let longest = longest?;
        // How many more are slow than fast.
        let mut slow = 0i32;
        for rhythm in units.iter().map(Speaker::rhythm) {
            if rhythm.period().is_some() {
                slow = slow.wrapping_add(if rhythm.is_doubled(longest) { -1 } else { 1 });
            }
        }
        (slow > 0).then_some(longest)
    }

    /// Those who were heard under an address that nothing declared has.
    pub fn strangers(&self) -> impl Iterator<Item = &'p Speaker> + use<'p> {
        let devices = self.links.plan.devices;
        let is_declared = |address| devices.iter().any(|device| device.address() == address);
        self.heard.strangers().iter().filter(move |stranger| !is_declared(stranger.address()))
    }

    /// The unit that a stranger is: the silent one with its serial number; else, once everybody had
    /// time to speak, the only silent one, if there is but one stranger and nothing tells them apart.
    pub fn unit_of(&self, stranger: &Speaker) -> Option<UnitId> {
        let plan = self.links.plan;
        let declared = |unit: &UnitId| plan.unit(*unit)?.plain_serial();
        let told = stranger.serial();
        if told.is_some()
            && let Some(unit) = self.silent.iter().find(|unit| declared(unit) == told)
        {
            return Some(unit);
        }
        let unit = self.silent.single()?;
        if !self.known.some.contains(Datum::ListenedLong) {
            return None;
        }
        let is_other = told.is_some() && declared(&unit).is_some();
        let mut strangers = self.strangers();
        strangers.next();
        (!is_other && strangers.next().is_none()).then_some(unit)
    }

    /// Silent units that are not heard under another address either. A single one is likely to be the
    /// second of two that answer under one address.
    pub fn lost(&self) -> UnitSet {
        let mut found = UnitSet::EMPTY;
        for stranger in self.strangers() {
            if let Some(unit) = self.unit_of(stranger) {
                found.insert(unit);
            }
        }
        let lost = self.silent.without(found);
        let is_second = self.doubled.single().is_some() && lost.single().is_some();
        if is_second { UnitSet::EMPTY } else { lost }
    }

    /// Tells units that are lost: those that lie behind one cable, seen from those that are
    /// reached, are one finding with that cable; each other one is a finding of its own.
    #[inline(never)]
    pub fn tell_lost(&self, lost: UnitSet, reached_units: UnitSet, sink: &mut Sink<'_, '_>) {
        let links = self.links;
        let mut reached = NodeSet::EMPTY;
        for (id, device) in links.plan.devices() {
            if device.kind() == Some(DeviceKind::Gateway) {
                reached.insert(NodeId::of_device(id));
            }
        }
        for unit in reached_units {
            reached.insert(NodeId::of_unit(unit));
        }
        let mut pieces = Pieces::new();
        let mut borders = CableSet::EMPTY;
        for cable in links.line_cables().or(links.stubs) {
            let Some((a, b)) = links.nodes(cable) else { continue };
            match (reached.contains(a), reached.contains(b)) {
                (true, true) => {}
                (false, false) => {
                    pieces.join(a, b);
                }
                (true, false) | (false, true) => borders.insert(cable),
            }
        }
        let mut left = lost;
        for unit in lost {
            if !left.contains(unit) {
                continue;
            }
            let piece = pieces.piece_of(NodeId::of_unit(unit));
            let mut behind = UnitSet::EMPTY;
            for other in left {
                if pieces.piece_of(NodeId::of_unit(other)) == piece {
                    behind.insert(other);
                }
            }
            left = left.without(behind);
            let border = self.border(&pieces, piece, borders, reached);
            if border.is_plural() {
                for unit in behind {
                    sink.add().at(Place::Unit(unit));
                }
            } else {
                sink.add().at_units(behind).near_cables(border);
            }
        }
    }

    /// The cables between a piece that is not reached and what is.
    fn border(
        &self,
        pieces: &Pieces,
        piece: NodeId,
        borders: CableSet,
        reached: NodeSet,
    ) -> CableSet {
        let mut found = CableSet::EMPTY;
        for cable in borders {
            let Some((a, b)) = self.links.nodes(cable) else { continue };
            let far = if reached.contains(a) { b } else { a };
            if pieces.piece_of(far) == piece {
                found.insert(cable);
            }
        }
        found
    }
}

/// Units that share an address with another.
fn shared_addresses(links: &Links<'_>) -> UnitSet {
    let address: fn(&UnitRecord) -> Option<u32> = |unit| unit.address().map(u32::from);
    let mut shared = UnitSet::EMPTY;
    if !links.surely_differ(address) {
        for (_, units) in Groups::of(&links.values(address)).iter() {
            if units.is_plural() {
                shared = shared.or(units);
            }
        }
    }
    shared
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::{Frame, FrameId};
    use crate::heard::Listener;
    use crate::plan::{Demand, Dialect, Milliseconds};
    use crate::trial::Trial;

    /// Three units whose second one starts anew after so many of its signs of life.
    fn restless(starts_after: u32) -> UnitSet {
        let trial = Trial::line(3).demand(Demand::Dialect, Dialect::CanOpen.code().into());
        let plan = trial.plan();
        let (listener, mut heard) = (Listener::of(&plan), Heard::of(&plan));
        for beat in 0..10 {
            for address in 1..=3 {
                let id = FrameId::standard(0x700 + address).expect("11 bits");
                let at = Milliseconds(beat * 1000 + u32::from(address) * 20);
                let states: &[u8] =
                    if address == 2 && beat == starts_after { &[0, 5] } else { &[5] };
                for state in states {
                    let frame = Frame::new(id, &[*state]).expect("one byte");
                    heard.hear(at, &frame, listener.as_ref());
                }
            }
        }
        let links = Links::build(&plan);
        Compared::build(&links, &heard).restless
    }

    #[test]
    fn who_starts_anew_while_the_gateway_listens_comes_and_goes() {
        assert_eq!(restless(0), UnitSet::EMPTY);
        assert_eq!(restless(5), UnitSet::only(UnitId(1)));
    }
}
