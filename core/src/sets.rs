//! Sets of units, nodes and cables, one bit each.
//!
//! Rules are set algebra over the tables of [`crate::links`]: a bit test where a loop would
//! compare, and no memory that grows.

use crate::place::{CableId, DeviceId, PackId, Place, SensorId, UnitId};

macro_rules! bit_set {
    ($(#[$doc:meta])* $name:ident($bits:ty) of $id:ty, $iter:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        pub struct $name(pub $bits);

        impl $name {
            /// The set without members.
            pub const EMPTY: Self = Self(0);

            /// The set with one member, or the empty set if the position is out of range.
            pub fn only(id: $id) -> Self {
                Self(<$bits>::checked_shl(1, u32::from(id.0)).unwrap_or(0))
            }

            /// The first `count` members.
            pub fn first(count: usize) -> Self {
                let count = u32::try_from(count).unwrap_or(u32::MAX);
                Self(<$bits>::checked_shl(1, count).unwrap_or(0).wrapping_sub(1))
            }

            /// Adds one member.
            pub fn insert(&mut self, id: $id) {
                self.0 |= Self::only(id).0;
            }

            /// Whether the member is in the set.
            pub fn contains(self, id: $id) -> bool {
                self.0 & Self::only(id).0 != 0
            }

            /// Number of members.
            pub const fn len(self) -> u32 {
                self.0.count_ones()
            }

            /// Whether there is no member.
            pub const fn is_empty(self) -> bool {
                self.0 == 0
            }

            /// Members of both.
            #[must_use]
            pub const fn and(self, other: Self) -> Self {
                Self(self.0 & other.0)
            }

            /// Members of either.
            #[must_use]
            pub const fn or(self, other: Self) -> Self {
                Self(self.0 | other.0)
            }

            /// Members of this set that are not in the other.
            #[must_use]
            pub const fn without(self, other: Self) -> Self {
                Self(self.0 & !other.0)
            }

            /// Whether two or more members are left.
            pub const fn is_plural(self) -> bool {
                self.0 & self.0.wrapping_sub(1) != 0
            }

            /// The only member of a set of one.
            pub fn single(self) -> Option<$id> {
                if self.is_plural() { None } else { self.iter().next() }
            }

            /// Members in ascending order.
            pub const fn iter(self) -> $iter {
                $iter(self.0)
            }
        }

        impl IntoIterator for $name {
            type Item = $id;
            type IntoIter = $iter;
            fn into_iter(self) -> $iter {
                self.iter()
            }
        }

        impl FromIterator<$id> for $name {
            fn from_iter<I: IntoIterator<Item = $id>>(ids: I) -> Self {
                let mut set = Self::EMPTY;
                for id in ids {
                    set.insert(id);
                }
                set
            }
        }

        #[doc = concat!("Members of a [`", stringify!($name), "`] in ascending order.")]
        #[derive(Clone, Debug)]
        pub struct $iter($bits);

        impl Iterator for $iter {
            type Item = $id;
            fn next(&mut self) -> Option<$id> {
                if self.0 == 0 {
                    return None;
                }
                let position = self.0.trailing_zeros();
                // Clears the lowest set bit.
                self.0 &= self.0.wrapping_sub(1);
                // At most 63, so the conversion cannot fail.
                u8::try_from(position).ok().map(<$id>::from_position)
            }
        }
    };
}

trait FromPosition {
    fn from_position(position: u8) -> Self;
}

/// A point of the communication link: units take 0 to 31, other devices 32 to 47.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct NodeId(pub u8);

impl NodeId {
    const FIRST_DEVICE: u8 = 32;

    /// The node of a unit.
    pub const fn of_unit(unit: UnitId) -> Self {
        Self(unit.0)
    }

    /// The node of another device.
    pub const fn of_device(device: DeviceId) -> Self {
        Self(device.0.saturating_add(Self::FIRST_DEVICE))
    }

    /// The unit, if this node is one.
    pub const fn unit(self) -> Option<UnitId> {
        if self.0 < Self::FIRST_DEVICE { Some(UnitId(self.0)) } else { None }
    }

    /// The unit or the device as a place.
    pub const fn place(self) -> Place {
        match self.unit() {
            Some(unit) => Place::Unit(unit),
            None => Place::Device(DeviceId(self.0.saturating_sub(Self::FIRST_DEVICE))),
        }
    }

    /// Position in a table with one row for each node.
    pub fn index(self) -> usize {
        usize::from(self.0)
    }
}

impl FromPosition for NodeId {
    fn from_position(position: u8) -> Self {
        Self(position)
    }
}
impl FromPosition for UnitId {
    fn from_position(position: u8) -> Self {
        Self(position)
    }
}
impl FromPosition for CableId {
    fn from_position(position: u8) -> Self {
        Self(position)
    }
}
impl FromPosition for SensorId {
    fn from_position(position: u8) -> Self {
        Self(position)
    }
}
impl FromPosition for PackId {
    fn from_position(position: u8) -> Self {
        Self(position)
    }
}

bit_set! {
    /// A set of units.
    UnitSet(u32) of UnitId, UnitIds
}
bit_set! {
    /// A set of link nodes: units in the low 32 bits, other devices above.
    NodeSet(u64) of NodeId, NodeIds
}
bit_set! {
    /// A set of data cables.
    CableSet(u64) of CableId, CableIds
}
bit_set! {
    /// A set of sensors.
    SensorSet(u32) of SensorId, SensorIds
}
bit_set! {
    /// A set of packs.
    PackSet(u64) of PackId, PackIds
}

impl NodeSet {
    /// The units among the nodes.
    pub fn units(self) -> UnitSet {
        UnitSet(u32::try_from(self.0 & u64::from(u32::MAX)).unwrap_or(0))
    }
}

impl From<UnitSet> for NodeSet {
    fn from(units: UnitSet) -> Self {
        Self(u64::from(units.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn members_come_back_in_order() {
        let set: UnitSet = [31, 0, 7].map(UnitId).into_iter().collect();
        assert!(set.iter().eq([0, 7, 31].map(UnitId)));
        assert_eq!(set.len(), 3);
    }

    #[test]
    fn a_position_out_of_range_is_no_member() {
        assert!(UnitSet::only(UnitId(32)).is_empty());
        assert!(CableSet::only(CableId(64)).is_empty());
    }

    #[test]
    fn the_first_members_fill_the_set_exactly() {
        assert_eq!(UnitSet::first(0), UnitSet::EMPTY);
        assert_eq!(UnitSet::first(3).len(), 3);
        assert_eq!(UnitSet::first(32).len(), 32);
        assert_eq!(CableSet::first(64).len(), 64);
    }

    #[test]
    fn devices_are_nodes_but_not_units() {
        let nodes: NodeSet =
            [NodeId::of_unit(UnitId(3)), NodeId::of_device(DeviceId(0))].into_iter().collect();
        assert_eq!(nodes.len(), 2);
        assert_eq!(nodes.units().single(), Some(UnitId(3)));
    }

    #[test]
    fn units_are_the_first_nodes() {
        let units = UnitSet::first(3);
        assert_eq!(NodeSet::from(units).units(), units);
    }
}
