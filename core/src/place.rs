//! Where something is: units, cables, ports and the rest, by dense number.
//!
//! Identifiers are positions in the canonical order of the plan, not numbers that people write.
//! The host keeps the people's own words beside them.

macro_rules! identifier {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        pub struct $name(pub u8);

        impl $name {
            /// Position in the plan's section, for use with `get`.
            #[must_use]
            pub fn index(self) -> usize {
                usize::from(self.0)
            }
        }
    };
}

identifier! {
    /// One inverter: position in the plan's units, 0 to 31.
    UnitId
}
identifier! {
    /// One data cable or terminator plug: position in the plan's cables, 0 to 63.
    CableId
}
identifier! {
    /// One socket of a unit: position in the profile's list of ports, 0 to 7.
    PortId
}
identifier! {
    /// One current transformer: position in the plan's sensors, 0 to 15.
    SensorId
}
identifier! {
    /// One battery module: position in the plan's packs, 0 to 63.
    PackId
}
identifier! {
    /// One other device on the data cables: position in the plan's devices, 0 to 15.
    DeviceId
}

/// What a finding points at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Place {
    /// The whole group: no single part is to blame.
    Group,
    /// A unit.
    Unit(UnitId),
    /// A socket of a unit.
    Port(UnitId, PortId),
    /// The terminator of a unit.
    Terminator(UnitId),
    /// A data cable or a terminator plug.
    Cable(CableId),
    /// A current transformer and its lead.
    Sensor(SensorId),
    /// A battery module.
    Pack(PackId),
    /// A device that is neither unit, pack nor sensor.
    Device(DeviceId),
}

impl Place {
    /// The socket, if the place is one.
    pub const fn port(self) -> Option<PortId> {
        if let Self::Port(_, port) = self { Some(port) } else { None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_socket_has_one() {
        assert_eq!(Place::Port(UnitId(1), PortId(2)).port(), Some(PortId(2)));
        assert_eq!(Place::Unit(UnitId(1)).port(), None);
    }
}
