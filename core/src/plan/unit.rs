//! One inverter: what it is and what it is set to.
#![allow(unnameable_types, reason = "zerocopy's derive makes helper types that nobody names")]

use super::codes::{BatteryType, Leg, Mode, Role, Setting, Terminator};
use super::datum::{DataSet, Datum};
use super::record::record;
use crate::units::{BitsPerSecond, Milliamperes};
use zerocopy::byteorder::little_endian::{U16, U32};

record! {
    /// One inverter.
    UnitRecord, 50 bytes {
        /// [`Datum`] bits of units that are declared.
        declared: U32,
        /// The number in the unit's name; 0 if it has none.
        number: U16,
        /// Number that it answers to on the link.
        address: U16,
        /// Unit count that it is set to.
        count: U16,
        /// A [`Role`].
        role: u8,
        /// A [`Mode`].
        mode: u8,
        /// The [`Leg`] that it makes.
        phase: u8,
        /// A [`Terminator`].
        terminator: u8,
        /// Value of its terminator.
        terminator_ohms: U16,
        /// Four version parts, the first in the high byte; a version of another form has a
        /// number of its own from 0xFF000000 up.
        firmware: U32,
        /// Number of its type: equal types, equal numbers.
        model: U16,
        /// Serial number, or a number of its own where the serial is not a number.
        serial: U32,
        /// Number of the value of each [`Setting`](super::Setting), in order of their codes: equal
        /// values, equal numbers; 0 is not declared.
        settings: [u8; 8],
        /// Number of the battery protocol that it is set to.
        protocol: U16,
        /// Speed of the link that it is set to.
        bit_rate: U32,
        /// Charge limit that it is set to.
        charge_limit: U32,
        /// Address switches as photographed, the first in the lowest bit.
        switches: U16,
        /// How many address switches there are.
        switch_count: u8,
        /// Base in which the address was written: 10 or 16; 1 says that none was given to it.
        address_base: u8,
        /// Number of the serial line format that it is set to.
        line_format: u8,
        /// A [`BatteryType`].
        battery_type: u8,
    }
}

impl UnitRecord {
    /// Whether the datum is declared.
    #[inline(always)]
    pub fn declares(&self, datum: Datum) -> bool {
        DataSet(u64::from(self.declared.get())).contains(datum)
    }

    /// Whether it leads or follows.
    pub fn role(&self) -> Option<Role> {
        Role::from_code(self.role)
    }

    /// Whether it is set to work in a group.
    pub fn mode(&self) -> Option<Mode> {
        Mode::from_code(self.mode)
    }

    /// The leg or phase that it makes.
    pub fn phase(&self) -> Option<Leg> {
        Leg::from_code(self.phase)
    }

    /// What it does to terminate the link.
    pub fn terminator(&self) -> Option<Terminator> {
        Terminator::from_code(self.terminator)
    }

    /// The first number for a serial that is no plain number.
    pub const FIRST_OTHER_SERIAL: u32 = 0xFF00_0000;

    /// The first number for a version that does not have up to four parts below 256.
    pub const FIRST_OTHER_VERSION: u32 = 0xFF00_0000;

    /// Its serial number, if it is a plain number and so can be compared with one that is heard.
    pub fn plain_serial(&self) -> Option<u32> {
        let serial = self.serial.get();
        (self.declares(Datum::Serial) && serial < Self::FIRST_OTHER_SERIAL).then_some(serial)
    }

    /// Its firmware, if it has up to four parts below 256, the first in the high byte.
    pub fn plain_firmware(&self) -> Option<u32> {
        let version = self.firmware.get();
        (self.declares(Datum::Firmware) && version < Self::FIRST_OTHER_VERSION).then_some(version)
    }

    /// What [`UnitRecord::address_base`] holds where a sheet says that the unit has no address.
    pub const NO_ADDRESS: u8 = 1;

    /// Its address.
    #[inline(always)]
    pub fn address(&self) -> Option<u16> {
        (self.declares(Datum::Address) && self.address_base != Self::NO_ADDRESS)
            .then(|| self.address.get())
    }

    /// The unit count that it is set to.
    pub fn count(&self) -> Option<u16> {
        self.declares(Datum::Count).then(|| self.count.get())
    }

    /// Number of the value of a setting.
    pub fn setting(&self, setting: Setting) -> Option<u8> {
        let position = usize::from(setting.code().checked_sub(1)?);
        self.settings.get(position).copied().filter(|number| *number != 0)
    }

    /// Speed of the link that it is set to.
    pub fn bit_rate(&self) -> Option<BitsPerSecond> {
        self.declares(Datum::BitRate).then(|| BitsPerSecond(self.bit_rate.get()))
    }

    /// Charge limit that it is set to.
    pub fn charge_limit(&self) -> Option<Milliamperes> {
        self.declares(Datum::ChargeLimit).then(|| Milliamperes(self.charge_limit.get()))
    }

    /// Where it takes the battery's state from.
    pub fn battery_type(&self) -> Option<BatteryType> {
        BatteryType::from_code(self.battery_type)
    }
}
