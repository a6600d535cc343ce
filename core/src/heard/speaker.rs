//! One address on the link, and what was heard under it.

use super::{Rhythm, Sighting};
use crate::plan::{DataSet, Datum, Milliseconds, Role};

/// What was heard under one address. Memory of a gateway is short, so what is not known is a bit
/// that is not set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Speaker {
    rhythm: Rhythm,
    first: u32,
    last: u32,
    /// Two halves, so that the whole need not lie at a multiple of eight.
    identity: [u32; 2],
    firmware: u32,
    address: u16,
    count: u16,
    frames: u16,
    starts: u8,
    restarts: u8,
    /// Which of the fields above hold something.
    known: u8,
    /// The number of a [`Role`]; 0 if none was told.
    role: u8,
}

// What a speaker tells has the place among the bits that its datum has among the data.
const ROLE: u8 = bit_of(Datum::HeardRole);
const COUNT: u8 = bit_of(Datum::HeardCount);
const FIRMWARE: u8 = bit_of(Datum::HeardFirmware);
const SERIAL: u8 = bit_of(Datum::HeardSerial);
const IDENTITY: u8 = bit_of(Datum::HeardIdentity);
const PERIOD: u8 = bit_of(Datum::HeardPeriod);
const ADDRESS: u8 = 1 << 7;

const fn bit_of(datum: Datum) -> u8 {
    1u8.wrapping_shl(datum.bit().wrapping_sub(Datum::HeardRole.bit()))
}

impl Speaker {
    /// Nobody.
    pub(super) const NOBODY: Self = Self {
        rhythm: Rhythm::NONE,
        first: 0,
        last: 0,
        identity: [0; 2],
        firmware: 0,
        address: 0,
        count: 0,
        frames: 0,
        starts: 0,
        restarts: 0,
        known: 0,
        role: 0,
    };

    const fn knows(&self, what: u8) -> bool {
        self.known & what != 0
    }

    /// The address; `None` for a unit whose address nobody declares.
    pub fn address(&self) -> Option<u16> {
        self.knows(ADDRESS).then_some(self.address)
    }

    /// The role that it told last.
    pub const fn role(&self) -> Option<Role> {
        Role::from_code(self.role)
    }

    /// The unit count that it told last.
    pub fn count(&self) -> Option<u16> {
        self.knows(COUNT).then_some(self.count)
    }

    /// The firmware that it told last: four parts, the first in the high byte.
    pub fn firmware(&self) -> Option<u32> {
        self.knows(FIRMWARE).then_some(self.firmware)
    }

    /// What tells it from any other.
    pub fn identity(&self) -> Option<u64> {
        let [low, high] = self.identity;
        self.knows(IDENTITY).then(|| u64::from(low) | u64::from(high).wrapping_shl(32))
    }

    /// Whether this is what tells it from any other.
    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub(super) fn is_called(&self, identity: u64) -> bool {
        self.knows(IDENTITY) && self.identity == halves(identity)
    }

    /// Its serial number, if its dialect has one.
    pub fn serial(&self) -> Option<u32> {
        let [low, _] = self.identity;
        (self.knows(IDENTITY) && self.knows(SERIAL)).then_some(low)
    }

    /// Which data of [`Speaker::CAN_TELL`] it told.
    pub fn told(&self) -> DataSet {
        let mut told = self.known & !ADDRESS;
        if !self.knows(IDENTITY) {
            told &= !SERIAL;
        }
        if self.rhythm.period().is_some() {
            told |= PERIOD;
        }
        data_of(told)
    }

    /// What a unit can tell of itself.
    pub const CAN_TELL: DataSet = data_of(ROLE | COUNT | FIRMWARE | SERIAL | IDENTITY | PERIOD);

    /// Whether anything was heard.
    pub const fn is_heard(&self) -> bool {
        self.frames > 0
    }

    /// How many frames came.
    pub const fn frames(&self) -> u16 {
        self.frames
    }

    /// How often it said that it has just started.
    pub const fn starts(&self) -> u8 {
        self.starts
    }

    /// How often it said so after it had given signs of life. A start before that is no fault: a
    /// leader may let all start anew when the group comes up.
    pub const fn restarts(&self) -> u8 {
        self.restarts
    }

    /// When it was first heard.
    pub const fn first(&self) -> Milliseconds {
        Milliseconds(self.first)
    }

    /// When it was last heard.
    pub const fn last(&self) -> Milliseconds {
        Milliseconds(self.last)
    }

    /// The rhythm of its signs of life.
    pub const fn rhythm(&self) -> &Rhythm {
        &self.rhythm
    }

    pub(super) const fn set_address(&mut self, address: u16) {
        self.address = address;
        self.known |= ADDRESS;
    }

    #[cfg_attr(target_pointer_width = "32", inline(never))]
    pub(super) fn set_identity(&mut self, identity: Option<u64>) {
        self.known &= !IDENTITY;
        if let Some(identity) = identity {
            self.identity = halves(identity);
            self.known |= IDENTITY;
        }
    }

    pub(super) fn note(&mut self, now: Milliseconds, sighting: &Sighting) {
        if self.frames == 0 {
            self.first = now.0;
        }
        self.last = now.0;
        self.frames = self.frames.saturating_add(1);
        if sighting.is_start {
            self.starts = self.starts.saturating_add(1);
            let is_again = u8::from(self.rhythm.has_begun());
            self.restarts = self.restarts.saturating_add(is_again);
        }
        if sighting.is_beat {
            self.rhythm.beat(now);
        }
        if let Some(role) = sighting.role {
            self.role = role.code();
            self.known |= ROLE;
        }
        if let Some(count) = sighting.count {
            self.count = count;
            self.known |= COUNT;
        }
        if let Some(firmware) = sighting.firmware {
            self.firmware = firmware;
            self.known |= FIRMWARE;
        }
        if sighting.has_serial {
            self.known |= SERIAL;
        }
    }
}

/// The low half of a number, and the high one.
fn halves(number: u64) -> [u32; 2] {
    let half = |bits: u64| u32::try_from(bits & 0xFFFF_FFFF).unwrap_or(0);
    [half(number), half(number.wrapping_shr(32))]
}

/// The data of bits.
#[allow(clippy::as_conversions, clippy::cast_lossless, reason = "`from` is not constant")]
const fn data_of(bits: u8) -> DataSet {
    DataSet((bits as u64).wrapping_shl(Datum::HeardRole.bit()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_told_is_known_and_nothing_else() {
        let mut speaker = Speaker::NOBODY;
        assert_eq!(
            (speaker.firmware(), speaker.serial(), speaker.told()),
            (None, None, DataSet::EMPTY)
        );
        let firmware = Sighting { firmware: Some(0x0102_0304), ..Sighting::default() };
        speaker.note(Milliseconds(5), &firmware);
        assert_eq!(speaker.firmware(), Some(0x0102_0304));
        assert_eq!(speaker.told(), DataSet::of(&[Datum::HeardFirmware]));
        let role = Sighting { role: Some(Role::Follower), count: Some(3), ..Sighting::default() };
        speaker.note(Milliseconds(6), &role);
        assert_eq!((speaker.role(), speaker.count()), (Some(Role::Follower), Some(3)));
        let told = [Datum::HeardRole, Datum::HeardCount, Datum::HeardFirmware];
        assert_eq!(speaker.told(), DataSet::of(&told));
    }

    #[test]
    fn an_identity_is_a_serial_number_only_if_the_dialect_says_so() {
        let mut speaker = Speaker::NOBODY;
        speaker.set_identity(Some(0x0000_0001_0000_1B59));
        assert_eq!((speaker.identity(), speaker.serial()), (Some(0x0000_0001_0000_1B59), None));
        speaker.note(Milliseconds(0), &Sighting { has_serial: true, ..Sighting::default() });
        assert_eq!(speaker.serial(), Some(7001));
        assert_eq!(speaker.told(), DataSet::of(&[Datum::HeardIdentity, Datum::HeardSerial]));
        speaker.set_identity(None);
        assert_eq!((speaker.serial(), speaker.told()), (None, DataSet::EMPTY));
    }

    #[test]
    fn six_things_can_be_told() {
        let all = [
            Datum::HeardRole,
            Datum::HeardCount,
            Datum::HeardFirmware,
            Datum::HeardSerial,
            Datum::HeardIdentity,
            Datum::HeardPeriod,
        ];
        assert_eq!(Speaker::CAN_TELL, DataSet::of(&all));
    }
}
