//! Data cables and their ends.
#![allow(unnameable_types, reason = "zerocopy's derive makes helper types that nobody names")]

use super::codes::{CableKind, Construction, EndKind, Screen, Wiring};
use super::datum::{DataSet, Datum};
use super::demand::PinSet;
use super::record::record;
use crate::place::{DeviceId, PackId, PortId, SensorId, UnitId};
use crate::sets::NodeId;
use crate::units::{Millimetres, Ohms};
use zerocopy::byteorder::little_endian::{U16, U32};

record! {
    /// One end of a data cable.
    EndRecord, 3 bytes {
        /// An [`EndKind`]; 0 is not known.
        kind: u8,
        /// Position of the unit, pack, sensor or device.
        index: u8,
        /// Position of the socket; 255 is not known.
        port: u8,
    }
}

impl EndRecord {
    /// Number of a socket that was not declared.
    pub const NO_PORT: u8 = 255;

    /// An end that was not declared.
    pub const UNKNOWN: Self = Self { kind: 0, index: 0, port: Self::NO_PORT };

    /// What the end is at.
    pub fn kind(&self) -> Option<EndKind> {
        EndKind::from_code(self.kind)
    }

    /// The unit that the end is at.
    pub fn unit(&self) -> Option<UnitId> {
        (self.kind == EndKind::Unit.code()).then_some(UnitId(self.index))
    }

    /// The socket that the end is in.
    pub fn port(&self) -> Option<PortId> {
        (self.port != Self::NO_PORT).then_some(PortId(self.port))
    }

    /// The pack that the end is at.
    pub fn pack(&self) -> Option<PackId> {
        (self.kind == EndKind::Pack.code()).then_some(PackId(self.index))
    }

    /// The sensor that the end is at.
    pub fn sensor(&self) -> Option<SensorId> {
        (self.kind == EndKind::Sensor.code()).then_some(SensorId(self.index))
    }

    /// Whether it is at a point of the link.
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "read in place: a copy costs more")]
    #[inline(always)]
    fn is_node(&self) -> bool {
        self.kind == EndKind::Unit.code() || self.kind == EndKind::Device.code()
    }

    /// The point of the link that the end is at, if it is at a unit or another device.
    pub fn node(&self) -> Option<NodeId> {
        if self.kind == EndKind::Unit.code() {
            Some(NodeId::of_unit(UnitId(self.index)))
        } else if self.kind == EndKind::Device.code() {
            Some(NodeId::of_device(DeviceId(self.index)))
        } else {
            None
        }
    }
}

record! {
    /// One data cable, or a terminator plug with its second end open.
    CableRecord, 20 bytes {
        /// The two ends, the lower one first.
        ends: [EndRecord; 2],
        /// [`Datum`] bits of cables that are declared, the lowest one first.
        declared: U16,
        /// Length.
        length: U32,
        /// Value of a terminator plug.
        plug_ohms: U16,
        /// A [`CableKind`]; in the high half that of a second service on the same pair.
        kind: u8,
        /// A [`Construction`].
        construction: u8,
        /// A [`Wiring`].
        wiring: u8,
        /// Pins that carry a wire, pin 1 in the lowest bit.
        pins: u8,
        /// A [`Screen`].
        screen: u8,
        /// Whether it bears the label of the cable before it.
        label_again: u8,
    }
}

impl CableRecord {
    /// The two points of the link that it joins, if both ends are at one.
    pub fn nodes(&self) -> Option<(NodeId, NodeId)> {
        let [a, b] = &self.ends;
        Some((a.node()?, b.node()?))
    }

    /// Whether the ends of two cables can be the same: at the same things, and not in different
    /// sockets there.
    pub fn may_be(&self, other: &Self) -> bool {
        let agree = |(one, two): (&EndRecord, &EndRecord)| {
            one.kind == two.kind
                && one.index == two.index
                && (one.port == two.port || one.port().is_none() || two.port().is_none())
        };
        self.ends.iter().zip(&other.ends).all(agree)
    }

    /// What the cable is for.
    pub fn kind(&self) -> Option<CableKind> {
        CableKind::from_code(self.kind & 0xF)
    }

    /// What else the cable carries.
    pub fn also_carries(&self) -> Option<CableKind> {
        // Mostly nothing, told in one look.
        if self.kind <= 0xF { None } else { CableKind::from_code(self.kind.wrapping_shr(4)) }
    }

    /// Whether the datum is declared.
    #[inline(always)]
    pub fn declares(&self, datum: Datum) -> bool {
        if datum == Datum::CableEnds {
            self.nodes().is_some()
        } else {
            self.stored().contains(datum)
        }
    }

    /// The declared data. That a link cable's ends are known follows from the ends.
    #[inline(always)]
    pub fn data(&self) -> DataSet {
        let [first, second] = &self.ends;
        let mut data = self.stored();
        if first.is_node() && second.is_node() {
            data = data.or(DataSet::only(Datum::CableEnds));
        }
        data
    }

    #[inline(always)]
    fn stored(&self) -> DataSet {
        DataSet(u64::from(self.declared.get()).wrapping_shl(Datum::FIRST_OF_CABLES))
    }

    /// Its length.
    pub fn length(&self) -> Option<Millimetres> {
        self.declares(Datum::Length).then(|| Millimetres(self.length.get()))
    }

    /// Value of the plug.
    pub fn plug_ohms(&self) -> Option<Ohms> {
        self.declares(Datum::PlugOhms).then(|| Ohms(self.plug_ohms.get()))
    }

    /// How it is built.
    pub fn construction(&self) -> Option<Construction> {
        Construction::from_code(self.construction)
    }

    /// How its plugs are wired.
    pub fn wiring(&self) -> Option<Wiring> {
        Wiring::from_code(self.wiring)
    }

    /// Pins that carry a wire.
    pub fn pins(&self) -> Option<PinSet> {
        self.declares(Datum::Pins).then_some(PinSet(self.pins))
    }

    /// What is done with its screen.
    pub fn screen(&self) -> Option<Screen> {
        Screen::from_code(self.screen)
    }

    /// The end at a unit, the first one if both are.
    pub fn unit_end(&self) -> Option<(UnitId, Option<PortId>)> {
        let [first, second] = &self.ends;
        let end = if first.unit().is_some() { first } else { second };
        Some((end.unit()?, end.port()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cable_may_be_another_unless_a_socket_says_otherwise() {
        let unsaid = EndRecord::NO_PORT;
        let end = |index, port| EndRecord { kind: EndKind::Unit.code(), index, port };
        let cable = |ports: [u8; 2]| CableRecord {
            ends: [end(0, ports[0]), end(1, ports[1])],
            ..CableRecord::default()
        };
        assert!(cable([0, 1]).may_be(&cable([0, 1])));
        assert!(cable([0, 1]).may_be(&cable([unsaid, 1])));
        assert!(cable([0, unsaid]).may_be(&cable([0, 1])));
        assert!(!cable([0, 1]).may_be(&cable([1, 1])));
        let elsewhere = CableRecord { ends: [end(0, 0), end(2, 1)], ..CableRecord::default() };
        assert!(!cable([0, 1]).may_be(&elsewhere));
    }
}
