//! Who holds the same value as whom: duplicates, and the odd ones out.
//!
//! Linear in the number of units: a first-seen table of 64 places takes the place of comparing
//! everyone with everyone. Nothing here is generic: one copy of the code serves every rule.

use crate::limits;
use crate::place::UnitId;
use crate::sets::UnitSet;

/// One value of each unit that has one.
#[derive(Clone, Debug)]
pub struct Values {
    values: [u32; limits::UNITS],
    known: UnitSet,
}

impl Values {
    /// No unit has a value.
    pub const NONE: Self = Self { values: [0; limits::UNITS], known: UnitSet::EMPTY };

    /// Gives a unit its value.
    pub fn set(&mut self, unit: UnitId, value: u32) {
        if let Some(place) = self.values.get_mut(unit.index()) {
            *place = value;
            self.known.insert(unit);
        }
    }

    /// The unit's value.
    pub fn get(&self, unit: UnitId) -> Option<u32> {
        self.values.get(unit.index()).copied().filter(|_| self.known.contains(unit))
    }

    /// Units that have a value.
    pub const fn known(&self) -> UnitSet {
        self.known
    }

    /// Keeps the values of these units only.
    pub fn keep(&mut self, units: UnitSet) {
        self.known = self.known.and(units);
    }

    /// The value of the first unit that has one, if all others have the same.
    fn common(&self) -> Option<u32> {
        let mut common = None;
        for unit in self.known {
            let value = self.get(unit)?;
            if *common.get_or_insert(value) != value {
                return None;
            }
        }
        common
    }
}

/// Twice the capacity, so that a probe ends soon.
const PLACES: usize = 2 * limits::UNITS;

/// Units by value: each unit is filed under the first unit that holds the same value.
pub struct Groups<'v> {
    values: &'v Values,
    /// Position of the first unit with a value plus one, by hash of the value; 0 is free.
    first_seen: [u8; PLACES],
    /// Members by position of the first unit.
    members: [UnitSet; limits::UNITS],
    /// First units.
    firsts: UnitSet,
}

impl<'v> Groups<'v> {
    /// Files every unit that has a value.
    pub fn of(values: &'v Values) -> Self {
        let mut groups = Self {
            values,
            first_seen: [0; PLACES],
            members: [UnitSet::EMPTY; limits::UNITS],
            firsts: UnitSet::EMPTY,
        };
        for unit in values.known {
            groups.file(unit);
        }
        groups
    }

    fn file(&mut self, unit: UnitId) {
        let Some(value) = self.values.get(unit) else { return };
        // Fibonacci hashing: the golden ratio spreads neighbouring numbers; the top six bits are
        // the place.
        let mut place = value.wrapping_mul(0x9E37_79B9).wrapping_shr(26);
        for _ in 0..PLACES {
            let Some(slot) = self.first_seen.get_mut(usize::try_from(place).unwrap_or(0)) else {
                return;
            };
            if *slot == 0 {
                *slot = unit.0.wrapping_add(1);
                self.firsts.insert(unit);
            }
            let first = UnitId(slot.wrapping_sub(1));
            if self.values.get(first) == Some(value) {
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
        self.firsts
            .iter()
            .filter_map(|first| Some((self.values.get(first)?, *self.members.get(first.index())?)))
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
    pub fn of(values: &Values) -> Self {
        let common = values.common();
        if common.is_some() || values.known.is_empty() {
            return Self::All(common);
        }
        let groups = Groups::of(values);
        let mut largest = (0, UnitSet::EMPTY);
        let mut tied = false;
        for (value, members) in groups.iter() {
            if members.len() > largest.1.len() {
                largest = (value, members);
                tied = false;
            } else if members.len() == largest.1.len() {
                tied = true;
            }
        }
        if tied {
            Self::Tie(values.known)
        } else {
            Self::Odd { majority: largest.0, odd: values.known.without(largest.1) }
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

    fn values(list: &[u32]) -> Values {
        let mut values = Values::NONE;
        for (unit, value) in (0u8..).map(UnitId).zip(list) {
            values.set(unit, *value);
        }
        values
    }

    fn agreement(list: &[u32]) -> Agreement {
        Agreement::of(&values(list))
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
        let values = values(&(0..32).map(|n| n * 64).collect::<Vec<_>>());
        let groups = Groups::of(&values);
        assert_eq!(groups.iter().count(), 32);
        assert!(groups.iter().all(|(_, members)| members.len() == 1));
    }
}
