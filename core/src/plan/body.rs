//! The body of a plan as bytes: read in place, checked once, and written.

use super::{DemandRecord, EndKind, EndRecord, GroupRecord, Plan, PlanError, Section};
use crate::{image, limits};
use serde::Serialize;
use zerocopy::{FromBytes, Immutable, IntoBytes, KnownLayout, Unaligned};

/// The body as postcard writes it, as the first version had it. Frames follow it in the second.
#[derive(Serialize)]
struct Body<'a> {
    demands: &'a [u8],
    group: &'a [u8],
    units: &'a [u8],
    power: &'a [u8],
    cables: &'a [u8],
    packs: &'a [u8],
    sensors: &'a [u8],
    devices: &'a [u8],
    bonds: &'a [u8],
}

impl<'a> Plan<'a> {
    /// Reads a plan in place.
    ///
    /// ```
    /// use coldcheck_core::plan::{DemandRecord, GroupRecord, Plan, PlanError, UnitRecord};
    ///
    /// let (demands, group) = (DemandRecord::default(), GroupRecord::default());
    /// let plan = Plan { units: &[UnitRecord::default(); 2], ..Plan::empty(&demands, &group) };
    /// let mut memory = [0; 512];
    /// let body = plan.encode(&mut memory)?;
    /// assert_eq!(Plan::from_body(body)?.units.len(), 2);
    /// # Ok::<(), PlanError>(())
    /// ```
    ///
    /// # Errors
    /// Every [`PlanError`] but [`PlanError::NoRoom`].
    pub fn from_body(bytes: &'a [u8]) -> Result<Self, PlanError> {
        Self::from_body_of(bytes, image::VERSION)
    }

    /// As [`Plan::from_body`], for a body as a version of the program wrote it.
    ///
    /// # Errors
    /// As [`Plan::from_body`].
    pub fn from_body_of(bytes: &'a [u8], version: u16) -> Result<Self, PlanError> {
        let mut rest = bytes;
        let mut sections: [&[u8]; 10] = [&[]; 10];
        let written = if version < image::VERSION_WITH_FRAMES { 9 } else { 10 };
        for section in sections.iter_mut().take(written) {
            *section = byte_string(&mut rest).ok_or(PlanError::Malformed)?;
        }
        if !rest.is_empty() {
            return Err(PlanError::TrailingBytes);
        }
        let [demands, group, units, power, cables, packs, sensors, devices, bonds, frames] =
            sections;
        let plan = Self {
            demands: DemandRecord::ref_from_bytes(demands)
                .map_err(|_| PlanError::BrokenRecord(Section::Demands))?,
            group: GroupRecord::ref_from_bytes(group)
                .map_err(|_| PlanError::BrokenRecord(Section::Group))?,
            units: section(units, Section::Units)?,
            power: section(power, Section::Power)?,
            cables: section(cables, Section::Cables)?,
            packs: section(packs, Section::Packs)?,
            sensors: section(sensors, Section::Sensors)?,
            devices: section(devices, Section::Devices)?,
            bonds: section(bonds, Section::Bonds)?,
            frames: section(frames, Section::Frames)?,
        };
        plan.validate()?;
        Ok(plan)
    }

    /// Writes the body into lent memory and gives the part that was used.
    ///
    /// # Errors
    /// [`PlanError::NoRoom`] if the memory is too short; otherwise as [`Plan::from_body`] would.
    pub fn encode<'m>(&self, memory: &'m mut [u8]) -> Result<&'m mut [u8], PlanError> {
        self.validate()?;
        let body = Body {
            demands: self.demands.as_bytes(),
            group: self.group.as_bytes(),
            units: self.units.as_bytes(),
            power: self.power.as_bytes(),
            cables: self.cables.as_bytes(),
            packs: self.packs.as_bytes(),
            sensors: self.sensors.as_bytes(),
            devices: self.devices.as_bytes(),
            bonds: self.bonds.as_bytes(),
        };
        postcard::to_slice(&(body, self.frames.as_bytes()), memory).map_err(|_| PlanError::NoRoom)
    }

    /// Capacities and references, so that rules need not think of them.
    fn validate(&self) -> Result<(), PlanError> {
        let too_many = if self.units.len() > limits::UNITS {
            Some(Section::Units)
        } else if self.cables.len() > limits::CABLES {
            Some(Section::Cables)
        } else if self.packs.len() > limits::PACKS {
            Some(Section::Packs)
        } else if self.sensors.len() > limits::SENSORS {
            Some(Section::Sensors)
        } else if self.devices.len() > limits::DEVICES {
            Some(Section::Devices)
        } else if self.bonds.len() > limits::BONDS {
            Some(Section::Bonds)
        } else if self.frames.len() > limits::FRAMES {
            Some(Section::Frames)
        } else {
            None
        };
        if let Some(section) = too_many {
            return Err(PlanError::TooMany(section));
        }
        if !self.demands.is_known() {
            return Err(PlanError::UnknownDemand);
        }
        if !self.power.is_empty() && self.power.len() != self.units.len() {
            return Err(PlanError::PowerNotForEachUnit);
        }
        for (cable, record) in self.cables() {
            for end in &record.ends {
                // The number for no socket wraps round to the lowest.
                if usize::from(end.port.wrapping_sub(EndRecord::NO_PORT)) > limits::PORTS {
                    return Err(PlanError::DanglingEnd(cable));
                }
                let count = match end.kind() {
                    Some(EndKind::Unit) => self.units.len(),
                    Some(EndKind::Pack) => self.packs.len(),
                    Some(EndKind::Sensor) => self.sensors.len(),
                    Some(EndKind::Device) => self.devices.len(),
                    Some(EndKind::Open) | None => continue,
                };
                if usize::from(end.index) >= count {
                    return Err(PlanError::DanglingEnd(cable));
                }
            }
        }
        Ok(())
    }
}

/// Takes a byte string of postcard from the front: its length, seven bits to a byte and the lowest
/// first, then its bytes. No section is so long that its length takes more than four bytes.
///
/// Not postcard's own reader, which weighs 300 bytes more.
fn byte_string<'a>(rest: &mut &'a [u8]) -> Option<&'a [u8]> {
    let mut length = 0usize;
    let mut shift = 0u32;
    while shift < 28 {
        let (digit, tail) = rest.split_first()?;
        *rest = tail;
        length |= usize::from(digit & 0x7F).wrapping_shl(shift);
        if *digit < 0x80 {
            let (string, tail) = rest.split_at_checked(length)?;
            *rest = tail;
            return Some(string);
        }
        shift = shift.wrapping_add(7);
    }
    None
}

/// A section as a slice of records.
fn section<T>(bytes: &[u8], section: Section) -> Result<&[T], PlanError>
where
    T: FromBytes + Immutable + KnownLayout + Unaligned,
{
    <[T]>::ref_from_bytes(bytes).map_err(|_| PlanError::BrokenRecord(section))
}
