//! What is heard of a group: who speaks, and the frames that follow from it.

use crate::fault::Group;
use crate::field::Field;
use crate::log::text;
use coldcheck_core::frame::{Frame, FrameId};
use coldcheck_core::plan::{Demand, Dialect, FieldRecord, FrameRecord, Milliseconds, Role};
use std::fmt::Write;

/// How long is listened.
pub const LASTS_MS: u32 = 12_000;
/// Time between two signs of life of one unit.
pub const PERIOD_MS: u32 = 1000;
/// When each unit is asked for serial number and firmware, where the dialect needs asking.
const ASKED_AT_MS: u32 = 5000;

/// Somebody who speaks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Voice {
    /// The address under which it speaks.
    pub address: u16,
    /// The role that it tells.
    pub role: Role,
    /// The unit count that it tells.
    pub count: u16,
    /// The two parts of its firmware's version, of one digit and of two.
    pub firmware: [u8; 2],
    /// Its serial number.
    pub serial: u32,
    /// When it starts, and when in each period it speaks.
    pub phase_ms: u32,
    /// From when on nothing more comes of it.
    pub until_ms: u32,
    /// When it starts once more.
    pub restarts_at_ms: Option<u32>,
}

/// Everything that is heard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Traffic {
    /// How units make themselves known.
    pub dialect: Dialect,
    map: Vec<FrameRecord>,
    /// Who speaks.
    pub voices: Vec<Voice>,
    /// What the gateway's controller says: identifier and data of an error frame.
    pub controller: Option<(u32, [u8; 8])>,
}

impl Traffic {
    /// What is heard of a right group while nothing is wrong, with a controller that counts no
    /// error. The group demands the dialect from now on. `None` if its profile lists no frame for
    /// a frame map.
    pub fn of(group: &mut Group, dialect: Dialect) -> Option<Self> {
        let map: Vec<_> = group.profile.frames.iter().map(|kind| kind.record).collect();
        if dialect == Dialect::FrameMap && map.is_empty() {
            return None;
        }
        let (word, _) = Dialect::WORDS.iter().find(|(_, code)| *code == dialect.code())?;
        group.set_line(Demand::Dialect.key(), *word);
        let units = group.layout.order.len();
        let voice = |place: usize| {
            let unit = u16::try_from(place + 1).ok()?;
            let number = |field: Field| group.of_unit(unit, field).parse().ok();
            let is_coordinator = group.of_unit(unit, Field::Role) == Role::Coordinator.word();
            Some(Voice {
                address: number(Field::Address)?,
                role: if is_coordinator { Role::Coordinator } else { Role::Follower },
                count: number(Field::Count)?,
                firmware: [2, 14],
                serial: number(Field::Serial)?.into(),
                phase_ms: u32::try_from(place * 200 / units).ok()?,
                until_ms: LASTS_MS,
                restarts_at_ms: None,
            })
        };
        Some(Self {
            dialect,
            map,
            voices: (0..units).map(voice).collect::<Option<_>>()?,
            controller: Some((0x2000_0200, [0; 8])),
        })
    }

    /// The voice of a unit.
    pub fn voice(&mut self, address: u16) -> Option<&mut Voice> {
        self.voices.iter_mut().find(|voice| voice.address == address)
    }

    /// Whether units tell role and count.
    pub fn tells_settings(&self) -> bool {
        self.dialect == Dialect::FrameMap
    }

    /// Whether units tell their firmware.
    pub fn tells_firmware(&self) -> bool {
        self.dialect != Dialect::J1939
    }

    /// Whether units tell a serial number.
    pub fn tells_serial(&self) -> bool {
        let listed = self.map.iter().any(|kind| kind.serial.bits() > 0);
        self.dialect == Dialect::CanOpen || self.dialect == Dialect::FrameMap && listed
    }

    /// Whether units tell what sets them apart from any other.
    pub fn tells_identity(&self) -> bool {
        self.tells_serial() || self.dialect == Dialect::J1939
    }

    /// Whether signs of life come by the clock.
    pub fn has_rhythm(&self) -> bool {
        self.dialect != Dialect::J1939
    }

    /// Every frame with its time in milliseconds, in order.
    pub fn frames(&self) -> Vec<(u32, Frame)> {
        let mut frames: Vec<(u32, Frame)> = Vec::new();
        for voice in &self.voices {
            let starts = [Some(voice.phase_ms), voice.restarts_at_ms].into_iter().flatten();
            let said_at_start = starts.filter_map(|at| Some((at, self.start(voice)?)));
            let beats = (0..LASTS_MS / PERIOD_MS).map(|beat| beat * PERIOD_MS + voice.phase_ms + 1);
            let beats =
                beats.flat_map(|at| self.beat(voice).into_iter().map(move |beat| (at, beat)));
            let answers = self.answers(voice).into_iter();
            let answers = answers.map(|answer| (ASKED_AT_MS + voice.phase_ms, answer));
            let own = said_at_start.chain(beats).chain(answers);
            frames.extend(own.filter(|(at, _)| *at < voice.until_ms));
        }
        frames.sort_by_key(|(at, _)| *at);
        frames
    }

    /// As a log of candump.
    pub fn candump(&self) -> String {
        let mut out = String::new();
        if let Some((id, data)) = self.controller {
            line(&mut out, 0, &format!("{id:08X}"), &data);
        }
        for (at, frame) in self.frames() {
            line(&mut out, at, &text::digits_of(frame.id()), frame.data());
        }
        out
    }

    /// As lines of an adapter that speaks SLCAN, with its times. The adapter says no more about its
    /// controller than that it has counted no error.
    pub fn slcan(&self) -> String {
        let mut out = String::new();
        if self.controller.is_some() {
            out.push_str("F00\r");
        }
        for (at, frame) in self.frames() {
            out.push_str(&text::slcan(&frame, Milliseconds(at)));
        }
        out
    }

    /// What a unit says when it has just started.
    fn start(&self, voice: &Voice) -> Option<Frame> {
        match self.dialect {
            Dialect::CanOpen => standard(0x700 + voice.address, &[0]),
            Dialect::J1939 => {
                let id = 0x18EE_FF00 | u32::from(voice.address);
                Frame::new(FrameId::extended(id)?, &name(voice.serial).to_le_bytes())
            }
            Dialect::FrameMap => None,
        }
    }

    /// What it says over and over.
    fn beat(&self, voice: &Voice) -> Vec<Frame> {
        let beat = match self.dialect {
            Dialect::CanOpen => standard(0x700 + voice.address, &[5]),
            Dialect::J1939 => {
                let id = 0x18FF_5000 | u32::from(voice.address);
                FrameId::extended(id).and_then(|id| Frame::new(id, &[0xFF; 8]))
            }
            Dialect::FrameMap => {
                return self.map.iter().filter_map(|kind| mapped(kind, voice)).collect();
            }
        };
        beat.into_iter().collect()
    }

    /// What it answers when it is asked.
    fn answers(&self, voice: &Voice) -> Vec<Frame> {
        if self.dialect != Dialect::CanOpen {
            return Vec::new();
        }
        let mut serial = [0x43, 0x18, 0x10, 4, 0, 0, 0, 0];
        let mut version = [0x43, 0x0A, 0x10, 0, 0, 0, 0, 0];
        let [major, minor] = voice.firmware;
        for (answer, value) in [
            (&mut serial, voice.serial.to_le_bytes().as_slice()),
            (&mut version, format!("{major}.{minor:02}").as_bytes()),
        ] {
            for (byte, own) in answer.iter_mut().skip(4).zip(value) {
                *byte = *own;
            }
        }
        let id = 0x580 + voice.address;
        [standard(id, &serial), standard(id, &version)].into_iter().flatten().collect()
    }
}

fn standard(id: u16, data: &[u8]) -> Option<Frame> {
    Frame::new(FrameId::standard(id)?, data)
}

/// The NAME of a unit: its serial number, a maker's number of ours, and that any address will do.
/// The order of its parts is that of SAE J1939-81 (`include/linux/can/j1939.h` of Linux).
fn name(serial: u32) -> u64 {
    let maker = 666 << 21;
    u64::from(serial & 0x1F_FFFF) | maker | 255 << 40 | 5 << 60 | 1 << 63
}

/// The frame of a kind that a profile lists.
fn mapped(kind: &FrameRecord, voice: &Voice) -> Option<Frame> {
    let (mut id, mut data, mut bytes) = (kind.id.get(), [0; 8], 0);
    let role = if voice.role == Role::Coordinator { kind.coordinator } else { kind.follower };
    let [major, minor] = voice.firmware.map(u32::from);
    // A version is as long as its field: the parts that are there come first.
    let version = (major << 24 | minor << 16) >> (32 - kind.firmware.bits().clamp(1, 32));
    for (field, value) in [
        (kind.address, voice.address.into()),
        (kind.role, role.into()),
        (kind.count, voice.count.into()),
        (kind.firmware, version),
        (kind.serial, voice.serial),
    ] {
        if field.bits() > 0 {
            bytes = bytes.max(put(field, value, &mut id, &mut data)?);
        }
    }
    let bits = id & !FrameRecord::EXTENDED;
    let id = if id == bits {
        FrameId::standard(u16::try_from(bits).ok()?)?
    } else {
        FrameId::extended(bits)?
    };
    Frame::new(id, data.get(..bytes)?)
}

/// Puts a value where the field lies; says how many bytes of data that takes.
fn put(field: FieldRecord, value: u32, id: &mut u32, data: &mut [u8; 8]) -> Option<usize> {
    let kept = u64::from(value) & (u64::MAX >> (64 - u32::from(field.bits())));
    if let Some(start) = field.start.checked_sub(FieldRecord::FIRST_OF_ID) {
        *id |= u32::try_from(kept).ok()? << start;
        return Some(0);
    }
    let end = field.start + field.bits();
    *data = if field.width & FieldRecord::MOST_SIGNIFICANT_FIRST == 0 {
        (u64::from_le_bytes(*data) | kept << field.start).to_le_bytes()
    } else {
        (u64::from_be_bytes(*data) | kept << (64 - end)).to_be_bytes()
    };
    Some(usize::from(end.div_ceil(8)))
}

fn line(out: &mut String, at_ms: u32, id: &str, data: &[u8]) {
    let _ = write!(out, "({}.{:03}000) can0 {id}#", at_ms / 1000, at_ms % 1000);
    for byte in data {
        let _ = write!(out, "{byte:02X}");
    }
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_read_where_it_was_put() {
        let first = FieldRecord::MOST_SIGNIFICANT_FIRST;
        for (start, width) in [(0, 8), (4, 4), (8, 16), (8, 16 | first), (24, 32 | first), (66, 5)]
        {
            let field = FieldRecord { start, width };
            let (mut id, mut data) = (0, [0; 8]);
            let value = 0x1234_5679 & (u32::MAX >> (32 - field.bits()));
            let bytes = put(field, value, &mut id, &mut data).unwrap();
            let frame = Frame::new(FrameId::Extended(id), &data[..bytes]).unwrap();
            assert_eq!(field.value(&frame), Some(value), "{start} {width}");
        }
    }

    #[test]
    fn the_name_is_that_of_the_package_can_j1939() {
        // can-j1939 2.0.12: industry group 5, function 255, maker 666, identity 1234567.
        assert_eq!(name(1_234_567), 0xD000_FF00_5352_D687);
    }
}
