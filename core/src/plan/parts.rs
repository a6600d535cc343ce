//! What hangs on the data cables besides units: packs, current transformers, other devices.
#![allow(unnameable_types, reason = "zerocopy's derive makes helper types that nobody names")]

use super::codes::{Arrow, DeviceKind, Leg, SensorPlace, Terminator, YesNo};
use super::datum::{DataSet, Datum};
use super::record::record;
use crate::units::{Amperes, MilliRatio};
use zerocopy::byteorder::little_endian::{U16, U32};

record! {
    /// One battery module.
    PackRecord, 18 bytes {
        /// The number in the pack's name; 0 if it has none.
        number: U16,
        /// Its address, if `has_address` is not 0.
        address: U16,
        /// Whether the address is declared.
        has_address: u8,
        /// Whether it is the lead pack, as a [`YesNo`].
        lead: u8,
        /// Number of the protocol that it speaks; 0 is not declared.
        protocol: U16,
        /// Charge limit; 0 is not declared.
        charge_limit: U32,
        /// Capacity; 0 is not declared.
        capacity: U32,
        /// The net of its plus terminal; 0 is not declared.
        net: u8,
        /// For growth; zero.
        reserved: u8,
    }
}

impl PackRecord {
    /// Its address.
    pub fn address(&self) -> Option<u16> {
        (self.has_address != 0).then(|| self.address.get())
    }

    /// The declared data.
    pub fn data(&self) -> DataSet {
        known(Datum::PackAddress, self.has_address != 0)
            .or(known(Datum::PackProtocol, self.protocol.get() != 0))
            .or(known(Datum::PackChargeLimit, self.charge_limit.get() != 0))
            .or(known(Datum::PackCapacity, self.capacity.get() != 0))
            .or(known(Datum::LeadPack, self.lead != 0))
    }

    /// Whether it leads the packs.
    pub fn lead(&self) -> Option<YesNo> {
        YesNo::from_code(self.lead)
    }
}

record! {
    /// One current transformer.
    SensorRecord, 16 bytes {
        /// The [`Leg`] that it sits on.
        leg: u8,
        /// The [`Leg`] whose input it feeds; 0 is not declared.
        input: u8,
        /// Where its [`Arrow`] points.
        arrow: u8,
        /// Where it sits, as a [`SensorPlace`].
        place: u8,
        /// Ratio on the part; 0 is not declared.
        ratio_fitted: U32,
        /// Ratio that is set; 0 is not declared.
        ratio_set: U32,
        /// Primary rating; 0 is not declared.
        rating: U16,
        /// The [`Leg`] whose voltage its current is multiplied with; 0 is not declared.
        reference: u8,
        /// For growth; zero.
        reserved: u8,
    }
}

impl SensorRecord {
    /// The declared data.
    pub fn data(&self) -> DataSet {
        known(Datum::Arrow, self.arrow != 0)
            .or(known(Datum::RatioFitted, self.ratio_fitted.get() != 0))
            .or(known(Datum::RatioSet, self.ratio_set.get() != 0))
            .or(known(Datum::SensorPlace, self.place != 0))
            .or(known(Datum::SensorInput, self.input != 0))
            .or(known(Datum::SensorRating, self.rating.get() != 0))
            .or(known(Datum::VoltageReference, self.reference != 0))
    }

    /// The leg that it sits on.
    pub fn leg(&self) -> Option<Leg> {
        Leg::from_code(self.leg)
    }

    /// Where its arrow points.
    pub fn arrow(&self) -> Option<Arrow> {
        Arrow::from_code(self.arrow)
    }

    /// Where it sits.
    pub fn place(&self) -> Option<SensorPlace> {
        SensorPlace::from_code(self.place)
    }

    /// Ratio on the part and ratio that is set.
    pub fn ratios(&self) -> (MilliRatio, MilliRatio) {
        (MilliRatio(self.ratio_fitted.get()), MilliRatio(self.ratio_set.get()))
    }

    /// Primary rating.
    pub fn rating(&self) -> Amperes {
        Amperes(self.rating.get())
    }
}

record! {
    /// One other device.
    DeviceRecord, 8 bytes {
        /// A [`DeviceKind`].
        kind: u8,
        /// What it does to terminate the link, as a [`Terminator`].
        terminator: u8,
        /// Value of its terminator; 0 is not declared.
        terminator_ohms: U16,
        /// Its address, if `has_address` is not 0.
        address: U16,
        /// Whether the address is declared.
        has_address: u8,
        /// Whether it asks on the pair, as a [`YesNo`].
        asks: u8,
    }
}

impl DeviceRecord {
    /// What it is.
    pub fn kind(&self) -> Option<DeviceKind> {
        DeviceKind::from_code(self.kind)
    }

    /// What it does to terminate the link.
    pub fn terminator(&self) -> Option<Terminator> {
        Terminator::from_code(self.terminator)
    }

    /// Its address.
    pub fn address(&self) -> Option<u16> {
        (self.has_address != 0).then(|| self.address.get())
    }

    /// Whether it asks on the pair.
    pub fn asks(&self) -> Option<YesNo> {
        YesNo::from_code(self.asks)
    }
}

/// The datum, if its field holds something.
#[inline(always)]
const fn known(datum: Datum, known: bool) -> DataSet {
    if known { DataSet::only(datum) } else { DataSet::EMPTY }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_fact_about_a_pack_is_known_by_itself() {
        type Statement = fn(&mut PackRecord);
        let facts: [(Datum, Statement); 5] = [
            (Datum::PackAddress, |pack| pack.has_address = 1),
            (Datum::PackProtocol, |pack| pack.protocol = 1.into()),
            (Datum::PackChargeLimit, |pack| pack.charge_limit = 1.into()),
            (Datum::PackCapacity, |pack| pack.capacity = 1.into()),
            (Datum::LeadPack, |pack| pack.lead = 1),
        ];
        for (datum, state) in facts {
            let mut pack = PackRecord::default();
            state(&mut pack);
            assert_eq!(pack.data(), DataSet::of(&[datum]));
        }
    }

    #[test]
    fn a_sensor_has_a_rating() {
        let sensor = SensorRecord { rating: 100.into(), ..SensorRecord::default() };
        assert_eq!(sensor.rating(), Amperes(100));
    }
}
