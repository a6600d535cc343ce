//! Bars of the AC side: which pole each carries, by its name and by the conductors of most units.
//!
//! A live conductor never goes to the bar of the neutrals, and a neutral never to that of a leg. So
//! it must be known of every bar of a side what it carries; else nothing is rejoined on that side.

use crate::assemble::nets::{SIDES, net_of};
use crate::declared::Subject;
use crate::engine::Site;
use crate::field::Field;
use crate::fold::Folded;
use crate::value::{Pole, Value};
use coldcheck_core::plan::{Net, PowerRecord, Terminal};
use std::collections::BTreeMap;

/// The poles of a side, in the order of its terminals.
pub(super) const POLES: [Pole; 5] = [Pole::L1, Pole::L2, Pole::L3, Pole::N, Pole::Earth];

/// What a bar carries, or a conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carries {
    /// A leg.
    Leg,
    /// Neutral.
    Neutral,
    /// Protective earth.
    Earth,
}

impl Carries {
    /// What a pole carries.
    pub const fn of(pole: Pole) -> Self {
        match pole {
            Pole::L1 | Pole::L2 | Pole::L3 => Self::Leg,
            Pole::N => Self::Neutral,
            Pole::Earth => Self::Earth,
        }
    }
}

/// A bar that a conductor is joined to.
#[derive(Clone, Debug)]
pub struct Bar {
    /// Its number in the records.
    pub net: u8,
    /// Its name as a sheet has it.
    pub name: String,
    /// What it carries; `None` where that cannot be told.
    pub carries: Option<Carries>,
    /// The leg that its name says.
    leg: Option<Pole>,
    /// The sides on which a conductor is joined to it.
    sides: [bool; SIDES.len()],
}

/// All bars of a site.
#[derive(Clone, Debug, Default)]
pub struct Bars {
    bars: Vec<Bar>,
}

/// A bar as it is gathered: its name, and how many conductors of each kind are joined to it.
struct Gathered {
    bar: Bar,
    named: Option<Carries>,
    votes: [usize; 3],
}

impl Bars {
    /// The bars that sheets name. A bar with one conductor alone has no number in a plan, and gets
    /// one in these records, so that others can be joined to it.
    pub fn of(site: &Site, power: &mut [PowerRecord]) -> Self {
        let mut bars: BTreeMap<Folded, Gathered> = BTreeMap::new();
        let taken = power.iter().flat_map(|unit| unit.nets).filter(|net| *net != Net::ALONE.0);
        let mut next = taken.max().unwrap_or(0);
        for (unit, record) in site.assembled.map.units.iter().zip(power) {
            for (side, (field, _)) in SIDES.into_iter().enumerate() {
                let listed = site.declared.agreed(Subject::Unit(*unit), field);
                let Some(Value::Conductors(conductors)) = listed else { continue };
                for one in conductors {
                    let Some((terminal, Some(name))) = net_of(field, one) else { continue };
                    let number = &mut record.nets[terminal.position()];
                    let bar = bars.entry(name).or_insert_with(|| {
                        if *number == Net::ALONE.0 && next < Net::ALONE.0 - 1 {
                            next += 1;
                            *number = next;
                        }
                        let written =
                            super::conductors::as_written(&site.declared, *unit, field, one);
                        let bar = Bar {
                            net: *number,
                            name: written,
                            carries: None,
                            leg: leg_named(&one.to),
                            sides: [false; SIDES.len()],
                        };
                        Gathered { bar, named: named(&one.to), votes: [0; 3] }
                    });
                    bar.votes[Carries::of(one.pole) as usize] += 1;
                    bar.bar.sides[side] = true;
                }
            }
        }
        let told = bars.into_values().map(|one| Bar { carries: one.carries(), ..one.bar });
        Self { bars: told.filter(|bar| bar.net != 0 && bar.net != Net::ALONE.0).collect() }
    }

    fn on(&self, side: usize) -> impl Iterator<Item = &Bar> {
        self.bars.iter().filter(move |bar| bar.sides[side])
    }

    /// The bars of a side of which nobody can tell what they carry, by name.
    pub fn unclear(&self, side: usize) -> Vec<&str> {
        let unclear = self.on(side).filter(|bar| bar.carries.is_none());
        unclear.map(|bar| bar.name.as_str()).collect()
    }

    /// The bars that a conductor may go to. None where it is not known of a bar of its side what it
    /// carries.
    pub fn open_to(&self, side: usize, pole: Pole) -> impl Iterator<Item = &Bar> {
        let carries = Carries::of(pole);
        let is_clear = self.on(side).all(|bar| bar.carries.is_some());
        let is_it = move |bar: &&Bar| {
            // Earth is one, whatever side it is listed with.
            let is_here = carries == Carries::Earth || bar.sides[side];
            is_clear && is_here && bar.carries == Some(carries)
        };
        self.bars.iter().filter(is_it)
    }

    /// The numbers of the bars that the conductor of a terminal may go to.
    pub fn joinable(&self, terminal: u8) -> Vec<u8> {
        let at = side_of(terminal);
        at.map_or_else(Vec::new, |(side, pole)| {
            self.open_to(side, pole).map(|bar| bar.net).collect()
        })
    }

    /// The name of a bar.
    pub fn name(&self, net: u8) -> Option<&str> {
        self.bars.iter().find(|bar| bar.net == net).map(|bar| bar.name.as_str())
    }

    /// Whether a leg goes to the bar that another leg's name is on.
    pub(super) fn is_of_another_leg(&self, terminal: u8, net: u8) -> bool {
        let leg = self.bars.iter().find(|bar| bar.net == net).and_then(|bar| bar.leg);
        let pole = side_of(terminal).map(|(_, pole)| pole);
        leg.is_some() && leg != pole
    }
}

/// The side and the pole of a terminal, by its position.
pub(super) fn side_of(terminal: u8) -> Option<(usize, Pole)> {
    let is_it = |one: &Terminal| one.position() == usize::from(terminal);
    SIDES
        .iter()
        .enumerate()
        .find_map(|(side, (_, terminals))| Some((side, POLES[terminals.iter().position(is_it)?])))
}

/// The field of a side.
pub(super) fn field_of(side: usize) -> Field {
    SIDES[side].0
}

/// Whether two poles of one unit lie on one bar, on any side: two of legs and neutral, or earth and
/// a leg. Earth and neutral on one bar are a bond, which other rules look at.
pub(super) fn is_bridged(power: &PowerRecord) -> bool {
    SIDES.iter().any(|(_, terminals)| {
        let nets = terminals.map(|terminal| power.nets[terminal.position()]);
        let meets = |one: usize, two: usize| {
            nets[one] == nets[two] && nets[one] != 0 && nets[one] != Net::ALONE.0
        };
        (0..4).any(|one| (one + 1..5).any(|two| (one, two) != (3, 4) && meets(one, two)))
    })
}

impl Gathered {
    /// What name and conductors say together; nothing if they contradict each other.
    fn carries(&self) -> Option<Carries> {
        let all: usize = self.votes.iter().sum();
        let kinds = [Carries::Leg, Carries::Neutral, Carries::Earth];
        let most = kinds.into_iter().find(|kind| 2 * self.votes[*kind as usize] > all);
        match (self.named, most) {
            (Some(named), Some(most)) => (named == most).then_some(named),
            (named, most) => named.or(most),
        }
    }
}

/// What the name of a bar says that it carries.
fn named(name: &Folded) -> Option<Carries> {
    let of = |word: &str| match word {
        "n" | "neutral" | "neutrals" => Some(Carries::Neutral),
        "pe" | "e" | "earth" | "earths" | "ground" | "gnd" => Some(Carries::Earth),
        "l" | "leg" | "legs" | "line" | "phase" | "live" => Some(Carries::Leg),
        _ => None,
    };
    let mut kinds = name.runs().filter_map(of);
    let first = kinds.next()?;
    kinds.all(|other| other == first).then_some(first)
}

/// The leg that the name of a bar says.
fn leg_named(name: &Folded) -> Option<Pole> {
    let behind = |(word, number): (&str, &str)| match (word, number) {
        ("l" | "leg" | "line" | "phase", "1") => Some(Pole::L1),
        ("l" | "leg" | "line" | "phase", "2") => Some(Pole::L2),
        ("l" | "leg" | "line" | "phase", "3") => Some(Pole::L3),
        _ => None,
    };
    name.runs().zip(name.runs().skip(1)).find_map(behind)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_name_of_a_bar_tells_what_it_carries() {
        let carries = |name: &str| named(&Folded::of(name));
        for name in ["N", "bar N", "Neutral bar 2", "n2"] {
            assert_eq!(carries(name), Some(Carries::Neutral), "{name}");
        }
        for name in ["L1", "Bar L2", "leg 3", "phase 1"] {
            assert_eq!(carries(name), Some(Carries::Leg), "{name}");
        }
        for name in ["PE", "earth bar", "Ground"] {
            assert_eq!(carries(name), Some(Carries::Earth), "{name}");
        }
        for name in ["7", "bar 7", "east", "N and PE", "L1 or N"] {
            assert_eq!(carries(name), None, "{name}");
        }
        assert_eq!(leg_named(&Folded::of("Bar L2")), Some(Pole::L2));
        assert_eq!(leg_named(&Folded::of("bar N2")), None);
    }

    #[test]
    fn name_and_conductors_must_not_contradict_each_other() {
        let told = |name: &str, votes: [usize; 3]| {
            let bar =
                Bar { net: 1, name: String::new(), carries: None, leg: None, sides: [true; 3] };
            Gathered { bar, named: named(&Folded::of(name)), votes }.carries()
        };
        assert_eq!(told("bar N", [1, 1, 0]), Some(Carries::Neutral));
        assert_eq!(told("bar 7", [1, 1, 0]), None);
        assert_eq!(told("bar 7", [2, 1, 0]), Some(Carries::Leg));
        assert_eq!(told("bar 7", [2, 1, 1]), None);
        assert_eq!(told("bar N", [2, 1, 0]), None);
        assert_eq!(told("e1", [0, 0, 1]), Some(Carries::Earth));
    }
}
