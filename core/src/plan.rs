//! What was declared and demanded, read in place from its bytes.
//!
//! The body of a plan is one postcard value: ten byte strings, each a section of fixed-stride
//! records. [`Plan::from_body`] checks the shape once; after that every field is
//! read where it lies, without copying and without memory of its own. The host writes the same
//! bytes with [`Plan::encode`], so that a gateway boots exactly what was checked on the laptop.
//!
//! Canonical order is the host's duty: units by number then name, cables by label, the ends of a
//! cable in ascending order. Then the order of lines on a sheet changes no byte.

mod body;
mod cable;
mod codes;
mod datum;
mod demand;
mod frame_map;
mod group;
mod parts;
mod power;
mod record;
mod unit;

pub use cable::{CableRecord, EndRecord};
pub use codes::*;
pub use datum::{DataSet, Datum, Owner};
pub use demand::{
    AddressRange, CurrentLimit, Demand, DemandKind, DemandSet, DemandValue, Microfarads,
    Milliseconds, Millivolts, PinPair, PinSet, PortClasses, Settings, Stricter, VoltAmperes,
};
pub use frame_map::{FieldRecord, FrameRecord};
pub use group::{DemandRecord, GroupRecord, Scope};
pub use parts::{DeviceRecord, PackRecord, SensorRecord};
pub use power::{BondRecord, Net, PowerRecord, Terminal};
pub use unit::UnitRecord;

use crate::place::{CableId, DeviceId, PackId, SensorId, UnitId};

/// A site as the rules see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan<'a> {
    /// What profile and site demand.
    pub demands: &'a DemandRecord,
    /// Facts about the group.
    pub group: &'a GroupRecord,
    /// The units.
    pub units: &'a [UnitRecord],
    /// The power side: one record for each unit, or none.
    pub power: &'a [PowerRecord],
    /// Data cables and terminator plugs.
    pub cables: &'a [CableRecord],
    /// Battery packs.
    pub packs: &'a [PackRecord],
    /// Current transformers.
    pub sensors: &'a [SensorRecord],
    /// Other devices.
    pub devices: &'a [DeviceRecord],
    /// Places where neutral and earth are joined.
    pub bonds: &'a [BondRecord],
    /// Frames by which a gateway understands the units.
    pub frames: &'a [FrameRecord],
}

/// A section of a plan's body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[allow(missing_docs, reason = "named after the fields of `Plan`")]
pub enum Section {
    Demands,
    Group,
    Units,
    Power,
    Cables,
    Packs,
    Sensors,
    Devices,
    Bonds,
    Frames,
}

/// Why bytes are not a plan, or a plan cannot be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum PlanError {
    /// The bytes end before the sections do, or a length is not one.
    Malformed,
    /// Bytes are left over after the last section.
    TrailingBytes,
    /// A section is not a whole number of records.
    BrokenRecord(Section),
    /// A section holds more records than the capacity in [`crate::limits`].
    TooMany(Section),
    /// The power section has neither no record nor one for each unit.
    PowerNotForEachUnit,
    /// A cable's end points past the end of a section, or past the last socket.
    DanglingEnd(CableId),
    /// A demand, or a word of one, that this version does not know.
    UnknownDemand,
    /// The lent memory is too short for the body.
    NoRoom,
}

impl<'a> Plan<'a> {
    /// A plan with nothing in it but demands and group facts.
    pub const fn empty(demands: &'a DemandRecord, group: &'a GroupRecord) -> Self {
        Self {
            demands,
            group,
            units: &[],
            power: &[],
            cables: &[],
            packs: &[],
            sensors: &[],
            devices: &[],
            bonds: &[],
            frames: &[],
        }
    }

    /// Units with their identifiers.
    pub fn units(&self) -> impl Iterator<Item = (UnitId, &'a UnitRecord)> + Clone + use<'a> {
        numbered(self.units).map(|(index, unit)| (UnitId(index), unit))
    }

    /// Cables with their identifiers.
    pub fn cables(&self) -> impl Iterator<Item = (CableId, &'a CableRecord)> + Clone + use<'a> {
        numbered(self.cables).map(|(index, cable)| (CableId(index), cable))
    }

    /// Packs with their identifiers.
    pub fn packs(&self) -> impl Iterator<Item = (PackId, &'a PackRecord)> + Clone + use<'a> {
        numbered(self.packs).map(|(index, pack)| (PackId(index), pack))
    }

    /// Sensors with their identifiers.
    pub fn sensors(&self) -> impl Iterator<Item = (SensorId, &'a SensorRecord)> + Clone + use<'a> {
        numbered(self.sensors).map(|(index, sensor)| (SensorId(index), sensor))
    }

    /// Other devices with their identifiers.
    pub fn devices(&self) -> impl Iterator<Item = (DeviceId, &'a DeviceRecord)> + Clone + use<'a> {
        numbered(self.devices).map(|(index, device)| (DeviceId(index), device))
    }

    /// A unit's record.
    pub fn unit(&self, unit: UnitId) -> Option<&'a UnitRecord> {
        self.units.get(unit.index())
    }

    /// A cable's record.
    pub fn cable(&self, cable: CableId) -> Option<&'a CableRecord> {
        self.cables.get(cable.index())
    }
}

/// Records with positions that fit a byte. `(0u8..).zip()` and `enumerate` both carry an overflow
/// panic; a wrapping count does not, and no section holds 255 records.
fn numbered<T>(records: &[T]) -> impl Iterator<Item = (u8, &T)> + Clone {
    let mut next = 0u8;
    records.iter().map(move |record| {
        let index = next;
        next = next.wrapping_add(1);
        (index, record)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits;

    const DEMANDS: &DemandRecord = &DemandRecord {
        must_declare: zerocopy::byteorder::little_endian::U64::ZERO,
        stated: zerocopy::byteorder::little_endian::U64::ZERO,
        values: [zerocopy::byteorder::little_endian::U32::ZERO; limits::DEMANDS],
    };

    #[test]
    fn every_truncation_and_every_extra_byte_is_refused() {
        let group = GroupRecord::default();
        let plan = Plan { units: &[UnitRecord::default(); 3], ..Plan::empty(DEMANDS, &group) };
        let mut memory = [0; 1024];
        let length = plan.encode(&mut memory).expect("fits").len();
        for cut in 0..length {
            assert!(Plan::from_body(&memory[..cut]).is_err(), "cut at {cut}");
        }
        assert_eq!(Plan::from_body(&memory[..length]), Ok(plan));
        assert_eq!(Plan::from_body(&memory[..=length]), Err(PlanError::TrailingBytes));
    }

    #[test]
    fn a_cable_to_a_unit_that_is_not_there_is_refused() {
        let group = GroupRecord::default();
        let mut cable = CableRecord::default();
        cable.ends[0] = EndRecord { kind: EndKind::Unit.code(), index: 2, port: 0 };
        let plan = Plan {
            units: &[UnitRecord::default(); 2],
            cables: &[cable],
            ..Plan::empty(DEMANDS, &group)
        };
        assert_eq!(plan.encode(&mut [0; 1024]), Err(PlanError::DanglingEnd(CableId(0))));
    }

    #[test]
    fn one_unit_past_the_capacity_is_refused() {
        let group = GroupRecord::default();
        let units = [UnitRecord::default(); limits::UNITS + 1];
        let plan = Plan { units: &units, ..Plan::empty(DEMANDS, &group) };
        assert_eq!(plan.encode(&mut [0; 4096]), Err(PlanError::TooMany(Section::Units)));
    }

    #[test]
    fn a_full_plan_fits_the_longest_body() {
        let group = GroupRecord::default();
        let plan = Plan {
            demands: DEMANDS,
            group: &group,
            units: &[UnitRecord::default(); limits::UNITS],
            power: &[PowerRecord::default(); limits::UNITS],
            cables: &[CableRecord::default(); limits::CABLES],
            packs: &[PackRecord::default(); limits::PACKS],
            sensors: &[SensorRecord::default(); limits::SENSORS],
            devices: &[DeviceRecord::default(); limits::DEVICES],
            bonds: &[BondRecord::default(); limits::BONDS],
            frames: &[FrameRecord::default(); limits::FRAMES],
        };
        assert!(plan.encode(&mut [0; limits::BODY_BYTES]).is_ok());
    }

    #[test]
    fn a_body_of_the_first_version_has_no_frames() {
        let group = GroupRecord::default();
        let frames = [FrameRecord::default()];
        let mut memory = [0; 512];
        let plan = Plan { frames: &frames, ..Plan::empty(DEMANDS, &group) };
        let body = plan.encode(&mut memory).expect("fits");
        assert_eq!(Plan::from_body(body), Ok(plan));
        assert_eq!(Plan::from_body_of(body, 1), Err(PlanError::TrailingBytes));
        let earlier = &body[..body.len() - 1 - size_of::<FrameRecord>()];
        assert_eq!(Plan::from_body_of(earlier, 1), Ok(Plan::empty(DEMANDS, &group)));
        assert_eq!(Plan::from_body(earlier), Err(PlanError::Malformed));
    }
}
