//! Who holds the same value as whom: duplicates, and the odd ones out.
//!
//! Linear in the number of units: a first-seen table of 64 places takes the place of comparing
//! everyone with everyone.

use crate::limits;
use crate::place::UnitId;
use crate::sets::UnitSet;

/// Twice the capacity, so that a probe ends soon.
const PLACES: usize = 2 * limits::UNITS;

/// Units by value: each unit is filed under the first unit that holds the same value.
pub struct Groups {
    /// Position of the first unit with a value plus one, by hash of the value; 0 is free.
    first_seen: [u8; PLACES],
    /// Values of first units, by position.
    values: [u32; limits::UNITS],
    /// Members by position of the first unit.
    members: [UnitSet; limits::UNITS],
    /// First units.
    firsts: UnitSet,
}

impl Groups {
    /// Files every unit that has a value.
    pub fn of(values: impl Iterator<Item = (UnitId, u32)>) -> Self {
        let mut groups = Self {
            first_seen: [0; PLACES],
            values: [0; limits::UNITS],
            members: [UnitSet::EMPTY; limits::UNITS],
            firsts: UnitSet::EMPTY,
        };
        for (unit, value) in values {
            groups.file(unit, value);
        }
        groups
    }

    fn file(&mut self, unit: UnitId, value: u32) {
        // Fibonacci hashing: the golden ratio spreads neighbouring numbers; the top six bits are
        // the place.
        let mut place = value.wrapping_mul(0x9E37_79B9).wrapping_shr(26);
        for _ in 0..PLACES {
            let Some(slot) = self.first_seen.get_mut(usize::try_from(place).unwrap_or(0)) else {
                return;
            };
            if *slot == 0 {
                *slot = unit.0.saturating_add(1);
                if let Some(held) = self.values.get_mut(unit.index()) {
                    *held = value;
                }
                self.firsts.insert(unit);
            }
            let first = UnitId(slot.saturating_sub(1));
            if self.values.get(first.index()) == Some(&value) {
                if let Some(members) = self.members.get_mut(first.index()) {
                    members.insert(unit);
                }
                return;
            }
            place = place.wrapping_add(1) & 63;
        }
    }

    /// Each value with the units that hold it, in order of the first unit.
    pub fn iter(&self) -> impl Iterator<Item = (u32, UnitSet)> + '_ {
        self.firsts.iter().filter_map(|first| {
            Some((*self.values.get(first.index())?, *self.members.get(first.index())?))
        })
    }
}

/// Whether units agree on a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Agreement {
    /// All that have a value have the same one; `None` if no unit has one.
    All(Option<u32>),
    /// Most hold `majority`; `odd` hold something else.
    Odd {
        /// Value that more units hold than any other.
        majority: u32,
        /// Units that hold another value.
        odd: UnitSet,
    },
    /// No value is held by more units than every other: nobody can be singled out.
    Tie(UnitSet),
}

impl Agreement {
    /// Compares the values of units. Cheap when all agree, which is the common case.
    pub fn of(values: impl Iterator<Item = (UnitId, u32)> + Clone) -> Self {
        let mut common = None;
        for (_, value) in values.clone() {
            if *common.get_or_insert(value) != value {
                return Self::split(values);
            }
        }
        Self::All(common)
    }

    fn split(values: impl Iterator<Item = (UnitId, u32)> + Clone) -> Self {
        let groups = Groups::of(values);
        let mut everyone = UnitSet::EMPTY;
        let mut largest = (0, UnitSet::EMPTY);
        let mut tied = false;
        for (value, members) in groups.iter() {
            everyone = everyone.or(members);
            if members.len() > largest.1.len() {
                largest = (value, members);
                tied = false;
            } else if members.len() == largest.1.len() {
                tied = true;
            }
        }
        if tied {
            Self::Tie(everyone)
        } else {
            Self::Odd { majority: largest.0, odd: everyone.without(largest.1) }
        }
    }

    /// The units to name, if there is disagreement.
    pub const fn odd_ones(self) -> Option<UnitSet> {
        match self {
            Self::All(_) => None,
            Self::Odd { odd, .. } => Some(odd),
            Self::Tie(everyone) => Some(everyone),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn agreement(values: &[u32]) -> Agreement {
        Agreement::of((0u8..).map(UnitId).zip(values.iter().copied()))
    }

    fn set(units: &[u8]) -> UnitSet {
        units.iter().copied().map(UnitId).collect()
    }

    #[test]
    fn the_minority_is_odd_wherever_it_stands() {
        assert_eq!(agreement(&[3, 4, 4]), Agreement::Odd { majority: 4, odd: set(&[0]) });
        assert_eq!(agreement(&[4, 3, 4]), Agreement::Odd { majority: 4, odd: set(&[1]) });
        assert_eq!(agreement(&[4, 4, 3]), Agreement::Odd { majority: 4, odd: set(&[2]) });
    }

    #[test]
    fn a_tie_names_everyone() {
        assert_eq!(agreement(&[2, 3]), Agreement::Tie(set(&[0, 1])));
        assert_eq!(agreement(&[2, 3, 3, 2, 9]), Agreement::Tie(set(&[0, 1, 2, 3, 4])));
    }

    #[test]
    fn a_later_larger_group_ends_a_tie() {
        assert_eq!(agreement(&[1, 2, 3, 3]), Agreement::Odd { majority: 3, odd: set(&[0, 1]) });
    }

    #[test]
    fn thirty_two_different_values_are_thirty_two_groups() {
        // Multiples of 64 fall on few places of a plain modulo table.
        let values: Vec<u32> = (0..32).map(|n| n * 64).collect();
        let groups = Groups::of((0u8..).map(UnitId).zip(values.iter().copied()));
        assert_eq!(groups.iter().count(), 32);
        assert!(groups.iter().all(|(_, members)| members.len() == 1));
    }
}
