//! What a gateway observed on the link: who spoke, when, and what about itself.
//!
//! A [`Listener`] reads frames in the dialect that the plan names; [`Heard`] keeps what follows
//! from them, in a table with one row for each declared unit and some for strangers. The work for
//! one frame does not grow with what was heard before.

mod controller;
mod dialect;
mod rhythm;
mod speaker;

pub use controller::{BusError, BusState, BusTrouble, Controller};
pub use dialect::{Listener, Sighting};
pub use rhythm::Rhythm;
pub use speaker::Speaker;

use crate::frame::Frame;
use crate::limits;
use crate::place::UnitId;
use crate::plan::{Milliseconds, Plan};
use crate::sets::UnitSet;

/// Everything that a gateway observed.
///
/// ```
/// use coldcheck_core::frame::{Frame, FrameId};
/// use coldcheck_core::heard::{Heard, Listener};
/// use coldcheck_core::place::UnitId;
/// use coldcheck_core::plan::{
///     Datum, Demand, DemandRecord, DemandSet, Dialect, GroupRecord, Milliseconds, Plan, UnitRecord,
/// };
///
/// let mut demands = DemandRecord::default();
/// demands.stated = DemandSet::of(&[Demand::Dialect]).0.into();
/// let place = usize::try_from(Demand::Dialect.position())?;
/// demands.values[place] = u32::from(Dialect::CanOpen.code()).into();
/// let group = GroupRecord::default();
/// let unit = UnitRecord {
///     declared: (1 << Datum::Address.bit()).into(),
///     address: 3.into(),
///     ..UnitRecord::default()
/// };
/// let plan = Plan { units: &[unit], ..Plan::empty(&demands, &group) };
///
/// let mut heard = Heard::of(&plan);
/// let listener = Listener::of(&plan);
/// let heartbeat = Frame::new(FrameId::Standard(0x703), &[5]).ok_or("one byte")?;
/// heard.hear(Milliseconds(1000), &heartbeat, listener.as_ref());
/// assert!(heard.unit(UnitId(0)).is_some_and(|unit| unit.is_heard()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct Heard {
    speakers: [Speaker; limits::SPEAKERS],
    used: usize,
    units: usize,
    /// Identities that were heard under an address that another identity has.
    rivals: [Rival; limits::RIVALS],
    /// Units whose rival found no room there: their quarrel is never seen to end.
    quarrels: UnitSet,
    /// Addresses of other devices of the plan: they need no row to be known.
    devices: [u16; limits::DEVICES],
    known_devices: usize,
    frames: u32,
    unheeded: u16,
    now: Milliseconds,
    controller: Option<Controller>,
}

/// An identity, and the row of the address that it shared with another.
#[derive(Clone, Copy, Debug, Default)]
struct Rival {
    row: u8,
    identity: u64,
}

impl Heard {
    /// Nothing yet; with a row for each unit of the plan, in the plan's order.
    pub fn of(plan: &Plan<'_>) -> Self {
        let mut heard = Self {
            // A constant, all zero: cleared where it stays, without a copy on the stack.
            speakers: const { [Speaker::NOBODY; limits::SPEAKERS] },
            used: plan.units.len(),
            units: plan.units.len(),
            rivals: [Rival::default(); limits::RIVALS],
            quarrels: UnitSet::EMPTY,
            devices: [0; limits::DEVICES],
            known_devices: 0,
            frames: 0,
            unheeded: 0,
            now: Milliseconds(0),
            controller: None,
        };
        for (row, unit) in heard.speakers.iter_mut().zip(plan.units) {
            if let Some(address) = unit.address() {
                row.set_address(address);
            }
        }
        let addresses = plan.devices.iter().filter_map(|device| device.address());
        for (place, address) in heard.devices.iter_mut().zip(addresses) {
            *place = address;
            heard.known_devices = heard.known_devices.saturating_add(1);
        }
        heard
    }

    /// Takes note of a frame. Times must not run backwards; those that do are taken for the last.
    pub fn hear(&mut self, at: Milliseconds, frame: &Frame, listener: Option<&Listener<'_>>) {
        self.pass(at);
        self.frames = self.frames.saturating_add(1);
        if let Some(sighting) = listener.and_then(|listener| listener.read(frame)) {
            self.note(&sighting);
        }
    }

    /// Lets time go on without a frame.
    pub fn pass(&mut self, at: Milliseconds) {
        self.now = self.now.max(at);
    }

    /// Takes note of what the gateway's own controller says; to be called at least once, where
    /// there is a controller, so that its silence is known to be good.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub fn controller(&mut self) -> &mut Controller {
        self.controller.get_or_insert_default()
    }

    /// What the gateway's controller said, if anything was asked of it.
    pub const fn controller_state(&self) -> Option<&Controller> {
        self.controller.as_ref()
    }

    /// How many frames came.
    pub const fn frames(&self) -> u32 {
        self.frames
    }

    /// How many signs of life of strangers found no room.
    pub const fn unheeded(&self) -> u16 {
        self.unheeded
    }

    /// The time of the last frame, or of [`Heard::pass`].
    pub const fn now(&self) -> Milliseconds {
        self.now
    }

    /// What was heard of a unit of the plan.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub fn unit(&self, unit: UnitId) -> Option<&Speaker> {
        self.units().get(unit.index())
    }

    /// What was heard of each unit of the plan, in the plan's order.
    pub fn units(&self) -> &[Speaker] {
        self.speakers.get(..self.units).unwrap_or(&[])
    }

    /// Those that were heard under an address that no unit of the plan has.
    pub fn strangers(&self) -> &[Speaker] {
        self.speakers.get(self.units..self.used).unwrap_or(&[])
    }

    fn note(&mut self, sighting: &Sighting) {
        let Some(row) = self.row_of(sighting.address) else {
            let devices = self.devices.get(..self.known_devices).unwrap_or(&[]);
            if !devices.contains(&sighting.address) {
                self.unheeded = self.unheeded.saturating_add(1);
            }
            return;
        };
        // Zero tells nobody from anybody, and stands for no rival.
        if let Some(identity) = sighting.identity.filter(|identity| *identity != 0) {
            self.identify(row, identity);
        }
        let now = self.now;
        if let Some(speaker) = self.speakers.get_mut(row) {
            speaker.note(now, sighting);
        }
    }

    /// The row of an address; a new one, if there is none and room is left.
    fn row_of(&mut self, address: u16) -> Option<usize> {
        let mut rows = self.speakers.get(..self.used)?.iter();
        if let Some(row) = rows.position(|speaker| speaker.address() == Some(address)) {
            return Some(row);
        }
        let row = self.used;
        let stranger = self.speakers.get_mut(row)?;
        stranger.set_address(address);
        self.used = row.saturating_add(1);
        Some(row)
    }

    /// Two identities under one address quarrel about it, until one of them is heard elsewhere:
    /// it has moved, as the open standards allow.
    fn identify(&mut self, row: usize, identity: u64) {
        for rival in &mut self.rivals {
            if rival.identity == identity {
                *rival = Rival::default();
            }
        }
        let is_called = |one: &Speaker| one.is_called(identity);
        if self.speakers.get(row).is_some_and(is_called) {
            return;
        }
        if let Some(left) = self.speakers.iter().position(is_called) {
            let heir = self.take_rival(left);
            if let Some(left) = self.speakers.get_mut(left) {
                left.set_identity(heir);
            }
        }
        let Some(speaker) = self.speakers.get_mut(row) else { return };
        let known = speaker.identity();
        speaker.set_identity(Some(identity));
        if let Some(known) = known {
            self.keep_rival(Rival { row: number_of(row), identity: known });
        }
    }

    fn keep_rival(&mut self, rival: Rival) {
        let free = |one: &&mut Rival| one.identity == 0 || one.row == rival.row;
        match self.rivals.iter_mut().find(free) {
            Some(place) => *place = rival,
            None => self.quarrels.insert(UnitId(rival.row)),
        }
    }

    fn take_rival(&mut self, row: usize) -> Option<u64> {
        let row = number_of(row);
        let of_row = |one: &&mut Rival| one.identity != 0 && one.row == row;
        let rival = self.rivals.iter_mut().find(of_row)?;
        Some(core::mem::take(rival).identity)
    }

    /// Whether two identities quarrel about a unit's address.
    pub fn is_contested(&self, unit: UnitId) -> bool {
        let is_of_unit = |rival: &Rival| rival.identity != 0 && rival.row == unit.0;
        self.quarrels.contains(unit) || self.rivals.iter().any(is_of_unit)
    }
}

/// Rows are below 256.
fn number_of(row: usize) -> u8 {
    u8::try_from(row).unwrap_or(u8::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::FrameId;
    use crate::plan::{Demand, Dialect};
    use crate::trial::Trial;

    /// Claims of an address by a NAME, one after the other.
    fn claims(claims: &[(u8, u64)]) -> Heard {
        let dialect = Dialect::J1939.code().into();
        let trial = Trial::line(3).demand(Demand::Dialect, dialect);
        let plan = trial.plan();
        let listener = Listener::of(&plan);
        let mut heard = Heard::of(&plan);
        for (address, name) in claims {
            let id = FrameId::extended(0x18EE_FF00 | u32::from(*address)).expect("29 bits");
            let claim = Frame::new(id, &name.to_le_bytes()).expect("eight bytes");
            heard.hear(Milliseconds(heard.now().0 + 10), &claim, listener.as_ref());
        }
        heard
    }

    fn identities(heard: &Heard) -> [Option<u64>; 3] {
        [0, 1, 2].map(|unit| heard.unit(UnitId(unit)).and_then(Speaker::identity))
    }

    fn contested(heard: &Heard) -> [bool; 3] {
        [0, 1, 2].map(|unit| heard.is_contested(UnitId(unit)))
    }

    #[test]
    fn two_names_under_one_address_quarrel_until_one_moves() {
        let quarrel = claims(&[(1, 71), (2, 72), (2, 73)]);
        assert_eq!(contested(&quarrel), [false, true, false]);
        // Both go on claiming it.
        let goes_on = claims(&[(1, 71), (2, 72), (2, 73), (2, 72), (2, 73)]);
        assert_eq!(contested(&goes_on), [false, true, false]);
        // The one that was first there moves; or the one that came.
        let first_moves = claims(&[(1, 71), (2, 72), (2, 73), (3, 72)]);
        assert_eq!(identities(&first_moves), [Some(71), Some(73), Some(72)]);
        assert_eq!(contested(&first_moves), [false; 3]);
        let second_moves = claims(&[(1, 71), (2, 72), (2, 73), (3, 73)]);
        assert_eq!(identities(&second_moves), [Some(71), Some(72), Some(73)]);
        assert_eq!(contested(&second_moves), [false; 3]);
    }

    #[test]
    fn who_moves_leaves_its_address_to_its_own_rival() {
        let heard = claims(&[(1, 71), (2, 72), (1, 81), (2, 82), (9, 82)]);
        assert_eq!(identities(&heard), [Some(81), Some(72), None]);
        assert_eq!(contested(&heard), [true, false, false]);
    }

    #[test]
    fn who_leaves_an_address_to_another_does_not_quarrel() {
        let swapped = claims(&[(1, 71), (2, 72), (3, 71), (1, 72)]);
        assert_eq!(identities(&swapped), [Some(72), None, Some(71)]);
        assert_eq!(contested(&swapped), [false; 3]);
    }

    #[test]
    fn zero_is_nobodys_identity() {
        let heard = claims(&[(1, 0), (1, 71), (1, 0)]);
        assert_eq!((identities(&heard)[0], contested(&heard)[0]), (Some(71), false));
    }

    #[test]
    fn more_quarrels_than_can_be_kept_are_told_all_the_same() {
        let three = claims(&[(1, 71), (2, 72), (3, 73), (1, 81), (2, 82), (3, 83)]);
        assert_eq!(contested(&three), [true; 3]);
        // But the end of one of them is not seen.
        let ended = claims(&[
            (1, 71),
            (2, 72),
            (3, 73),
            (1, 81),
            (2, 82),
            (3, 83),
            (9, 81),
            (8, 82),
            (7, 83),
        ]);
        assert_eq!(contested(&ended), [false, false, true]);
    }

    #[test]
    fn strangers_without_a_row_are_counted() {
        let many: Vec<(u8, u64)> = (10..30).map(|address| (address, address.into())).collect();
        let heard = claims(&many);
        let rows = limits::SPEAKERS - 3;
        assert_eq!(heard.strangers().len(), 20.min(rows));
        let many: Vec<(u8, u64)> = (10..60).map(|address| (address, address.into())).collect();
        let heard = claims(&many);
        assert_eq!(usize::from(heard.unheeded()), 50 - rows);
        assert_eq!((heard.strangers().len(), heard.frames()), (rows, 50));
        let first = heard.strangers()[0];
        assert_eq!(
            (first.address(), first.frames(), first.first()),
            (Some(10), 1, Milliseconds(10))
        );
    }

    #[test]
    fn time_does_not_run_backwards() {
        let trial = Trial::line(2).demand(Demand::Dialect, Dialect::CanOpen.code().into());
        let plan = trial.plan();
        let (listener, mut heard) = (Listener::of(&plan), Heard::of(&plan));
        let beat = Frame::new(FrameId::Standard(0x701), &[5]).expect("one byte");
        for at in [2000, 1000, 3000] {
            heard.hear(Milliseconds(at), &beat, listener.as_ref());
        }
        let unit = heard.unit(UnitId(0)).expect("a row");
        assert_eq!(
            (unit.first(), unit.last(), heard.now()),
            (Milliseconds(2000), Milliseconds(3000), Milliseconds(3000))
        );
        heard.pass(Milliseconds(9000));
        assert_eq!((heard.now(), heard.frames()), (Milliseconds(9000), 3));
    }

    #[test]
    fn a_start_before_any_sign_of_life_is_no_restart() {
        let trial = Trial::line(2).demand(Demand::Dialect, Dialect::CanOpen.code().into());
        let plan = trial.plan();
        let (listener, mut heard) = (Listener::of(&plan), Heard::of(&plan));
        for state in [0, 0, 5, 5, 0, 5] {
            let frame = Frame::new(FrameId::Standard(0x702), &[state]).expect("one byte");
            heard.hear(Milliseconds(heard.now().0 + 500), &frame, listener.as_ref());
        }
        let unit = heard.unit(UnitId(1)).expect("a row");
        assert_eq!((unit.starts(), unit.restarts(), unit.frames()), (3, 1, 6));
    }
}
