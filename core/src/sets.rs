//! Sets of units, nodes and cables, one bit each.
//!
//! Rules are set algebra over the tables of [`crate::links`]: a bit test where a loop would
//! compare, and no memory that grows.

// Out of line where a word has 32 bits and flash is dear; elsewhere as the compiler likes.

use crate::place::{CableId, DeviceId, PackId, Place, SensorId, UnitId};

macro_rules! bit_set {
    ($(#[$doc:meta])* $name:ident($bits:ty, $bit:ident, $has:ident, $count:ident, $rest:ty, $parts:ident, $take:ident) of $id:ty, $iter:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
        #[cfg_attr(feature = "defmt", derive(defmt::Format))]
        pub struct $name(pub $bits);

        impl $name {
            /// The set without members.
            pub const EMPTY: Self = Self(0);

            /// The set with one member, or the empty set if the position is out of range.
            pub fn only(id: $id) -> Self {
                Self($bit(id.0))
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

            /// Adds the members of another set.
            #[cfg_attr(target_pointer_width = "32", inline(never))]
            pub const fn add(&mut self, other: Self) {
                self.0 |= other.0;
            }

            /// Whether the member is in the set.
            pub fn contains(self, id: $id) -> bool {
                $has(self.0, id.0)
            }

            /// Number of members.
            pub const fn len(self) -> u32 {
                $count(self.0)
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
                $iter($parts(self.0))
            }
        }

        impl IntoIterator for $name {
            type Item = $id;
            type IntoIter = $iter;
            #[inline(always)]
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
        pub struct $iter($rest);

        impl Iterator for $iter {
            type Item = $id;
            #[inline(always)]
            fn next(&mut self) -> Option<$id> {
                match $take(&mut self.0) {
                    <$bits>::BITS => None,
                    position => u8::try_from(position & 63).ok().map(<$id>::from_position),
                }
            }
        }
    };
}

/// One bit of 32, or none.
fn bit_of_32(position: u8) -> u32 {
    1u32.checked_shl(u32::from(position)).unwrap_or(0)
}

fn has_32(bits: u32, position: u8) -> bool {
    bits & bit_of_32(position) != 0
}

/// Takes the lowest bit out and gives its position; 32 if there is none.
#[inline(always)]
const fn take_32(bits: &mut u32) -> u32 {
    let position = bits.trailing_zeros();
    *bits &= bits.wrapping_sub(1);
    position
}

/// The same of two halves, the lower one first; 64 if there is none. Out of line, and an option is
/// made of it by the caller: every walk over a set has one.
#[cfg_attr(target_pointer_width = "32", inline(never))]
const fn take_64(halves: &mut [u32; 2]) -> u32 {
    let [low, high] = halves;
    if *low != 0 {
        return take_32(low);
    }
    take_32(high).wrapping_add(32)
}

const fn halves(bits: u64) -> [u32; 2] {
    let bytes = bits.to_le_bytes();
    let ([low, high], []) = bytes.as_chunks::<4>() else { return [0; 2] };
    [u32::from_le_bytes(*low), u32::from_le_bytes(*high)]
}

const fn whole(bits: u32) -> u32 {
    bits
}

#[cfg_attr(target_pointer_width = "32", inline(never))]
const fn count_32(bits: u32) -> u32 {
    bits.count_ones()
}

#[cfg_attr(target_pointer_width = "32", inline(never))]
const fn count_64(bits: u64) -> u32 {
    bits.count_ones()
}

/// One bit of 64, or none. In halves: a shift over both is dearer where a word has 32 bits.
#[cfg_attr(target_pointer_width = "32", inline(never))]
fn bit_of_64(position: u8) -> u64 {
    let bit = 1u32.wrapping_shl(u32::from(position));
    match position.wrapping_shr(5) {
        0 => u64::from(bit),
        1 => u64::from(bit).wrapping_shl(32),
        _ => 0,
    }
}

/// Whether one bit of 64 is set.
#[cfg_attr(target_pointer_width = "32", inline(never))]
pub(crate) fn has_64(bits: u64, position: u8) -> bool {
    let half = match position.wrapping_shr(5) {
        0 => bits,
        1 => bits.wrapping_shr(32),
        _ => 0,
    };
    let half = u32::try_from(half & u64::from(u32::MAX)).unwrap_or(0);
    half.wrapping_shr(u32::from(position)) & 1 != 0
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
        Self(device.0.wrapping_add(Self::FIRST_DEVICE))
    }

    /// The unit, if this node is one.
    pub const fn unit(self) -> Option<UnitId> {
        if self.0 < Self::FIRST_DEVICE { Some(UnitId(self.0)) } else { None }
    }

    /// The device, if this node is one.
    pub const fn device(self) -> Option<DeviceId> {
        match self.0.checked_sub(Self::FIRST_DEVICE) {
            Some(position) => Some(DeviceId(position)),
            None => None,
        }
    }

    /// The unit or the device as a place.
    pub const fn place(self) -> Place {
        match self.unit() {
            Some(unit) => Place::Unit(unit),
            None => Place::Device(DeviceId(self.0.wrapping_sub(Self::FIRST_DEVICE))),
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
    UnitSet(u32, bit_of_32, has_32, count_32, u32, whole, take_32) of UnitId, UnitIds
}
bit_set! {
    /// A set of link nodes: units in the low 32 bits, other devices above.
    NodeSet(u64, bit_of_64, has_64, count_64, [u32; 2], halves, take_64) of NodeId, NodeIds
}
bit_set! {
    /// A set of data cables.
    CableSet(u64, bit_of_64, has_64, count_64, [u32; 2], halves, take_64) of CableId, CableIds
}
bit_set! {
    /// A set of sensors.
    SensorSet(u32, bit_of_32, has_32, count_32, u32, whole, take_32) of SensorId, SensorIds
}
bit_set! {
    /// A set of packs.
    PackSet(u64, bit_of_64, has_64, count_64, [u32; 2], halves, take_64) of PackId, PackIds
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
