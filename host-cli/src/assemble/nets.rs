//! Nets: which power terminals conductors join, as one small number for each terminal.

use super::Map;
use crate::declared::{Declared, Subject};
use crate::field::Field;
use crate::fold::Folded;
use crate::value::{Conductor, Pole, Value};
use coldcheck_core::limits;
use coldcheck_core::plan::{Net, PowerRecord, Terminal};
use std::collections::BTreeMap;

/// The sides of a unit that have a line of conductors, each with its terminals in the order of the
/// poles.
pub(crate) const SIDES: [(Field, [Terminal; 5]); 3] = [
    (
        Field::AcOut,
        [Terminal::OutL1, Terminal::OutL2, Terminal::OutL3, Terminal::OutN, Terminal::OutEarth],
    ),
    (
        Field::AcIn,
        [Terminal::InL1, Terminal::InL2, Terminal::InL3, Terminal::InN, Terminal::InEarth],
    ),
    (
        Field::GeneratorIn,
        [
            Terminal::GeneratorL1,
            Terminal::GeneratorL2,
            Terminal::GeneratorL3,
            Terminal::GeneratorN,
            Terminal::GeneratorEarth,
        ],
    ),
];

pub(crate) const SOLAR: [Terminal; 4] =
    [Terminal::Solar1, Terminal::Solar2, Terminal::Solar3, Terminal::Solar4];

/// The numbers of all nets.
pub(super) struct Nets {
    terminals: BTreeMap<(usize, Terminal), Folded>,
    numbers: BTreeMap<Folded, u8>,
}

impl Nets {
    /// Numbers the nets in the order of their names; `None` if there are too many.
    pub(super) fn of(declared: &Declared) -> Option<Self> {
        let mut terminals = BTreeMap::new();
        for unit in 0..declared.units.len() {
            bank(declared, unit, &mut terminals);
            for (field, _) in SIDES {
                sides(declared, unit, field, &mut terminals);
            }
        }
        arrays(declared, &mut terminals);
        let mut counts: BTreeMap<&Folded, usize> = BTreeMap::new();
        for net in terminals.values() {
            *counts.entry(net).or_default() += 1;
        }
        let shared: Vec<Folded> =
            counts.iter().filter(|(_, count)| **count > 1).map(|(net, _)| (*net).clone()).collect();
        if shared.len() > limits::NETS {
            return None;
        }
        let numbers = shared.into_iter().zip(1u8..).collect();
        Some(Self { terminals, numbers })
    }

    fn number(&self, net: &Folded) -> u8 {
        self.numbers.get(net).copied().unwrap_or(Net::ALONE.0)
    }

    /// One record for each unit, or none if nothing about the power side is declared.
    pub(super) fn power_records(&self, declared: &Declared, map: &Map) -> Vec<PowerRecord> {
        let records: Vec<_> = map.units.iter().map(|unit| self.record(declared, *unit)).collect();
        if records.iter().all(|record| *record == PowerRecord::default()) {
            return Vec::new();
        }
        records
    }

    fn record(&self, declared: &Declared, unit: usize) -> PowerRecord {
        let subject = Subject::Unit(unit);
        let number = |field| declared.number(subject, field).unwrap_or(0);
        let amperes = |field| u16::try_from(number(field) / 1000).unwrap_or(u16::MAX).into();
        let mut record = PowerRecord {
            battery_lead: number(Field::BatteryLead).into(),
            output_lead: number(Field::OutputLead).into(),
            output_breaker: amperes(Field::OutputBreaker),
            battery_fuse: amperes(Field::BatteryFuse),
            ..PowerRecord::default()
        };
        for ((_, terminal), net) in
            self.terminals.range((unit, Terminal::BatteryPlus)..=(unit, Terminal::Solar4))
        {
            record.nets[terminal.position()] = self.number(net);
        }
        record
    }

    /// The plus net of the battery, if all units that declare one are on the same.
    pub(super) fn only_bank(&self) -> u8 {
        let mut banks = self
            .terminals
            .iter()
            .filter(|((_, terminal), _)| *terminal == Terminal::BatteryPlus)
            .map(|(_, net)| net);
        let Some(first) = banks.next() else { return 0 };
        if banks.all(|other| other == first) { self.number(first) } else { 0 }
    }
}

type Terminals = BTreeMap<(usize, Terminal), Folded>;

/// The bars of a bank, and the terminals that lie on them.
pub(crate) fn bank_nets(name: &Folded) -> [(Terminal, Folded); 2] {
    [(Terminal::BatteryPlus, "plus"), (Terminal::BatteryMinus, "minus")]
        .map(|(terminal, pole)| (terminal, Folded::of(&format!("bank {name} {pole}"))))
}

/// The terminal of a conductor on one side of a unit, and the net that it leads to; none if it
/// leads nowhere.
pub(crate) fn net_of(field: Field, conductor: &Conductor) -> Option<(Terminal, Option<Folded>)> {
    let (_, [l1, l2, l3, neutral, earth]) = SIDES.into_iter().find(|(side, _)| *side == field)?;
    let terminal = match conductor.pole {
        Pole::L1 => l1,
        Pole::L2 => l2,
        Pole::L3 => l3,
        Pole::N => neutral,
        Pole::Earth => earth,
    };
    // Supply and output bars that bear one name are still different bars.
    let net = if conductor.to == Conductor::nowhere() {
        None
    } else if field == Field::AcOut || conductor.pole == Pole::Earth {
        Some(conductor.to.clone())
    } else {
        Some(Folded::of(&format!("{} {}", field.key(), conductor.to)))
    };
    Some((terminal, net))
}

/// The net of an array.
pub(crate) fn array_net(array: &Folded) -> Folded {
    Folded::of(&format!("array {array}"))
}

/// `bank A` puts both battery terminals on the bars of that bank.
fn bank(declared: &Declared, unit: usize, terminals: &mut Terminals) {
    if let Some(Value::Name(name)) = declared.agreed(Subject::Unit(unit), Field::Bank) {
        for (terminal, net) in bank_nets(name) {
            terminals.insert((unit, terminal), net);
        }
    }
}

fn sides(declared: &Declared, unit: usize, field: Field, terminals: &mut Terminals) {
    let Some(Value::Conductors(conductors)) = declared.agreed(Subject::Unit(unit), field) else {
        return;
    };
    for conductor in conductors {
        let Some((terminal, net)) = net_of(field, conductor) else { continue };
        // Two terminals that are joined to nothing are not joined to each other.
        let alone = || Folded::of(&format!("nothing {unit} {}", terminal.position()));
        terminals.insert((unit, terminal), net.unwrap_or_else(alone));
    }
}

/// `roof south -> unit 1`: each array takes the unit's next free input.
fn arrays(declared: &Declared, terminals: &mut Terminals) {
    let Some(Value::Arrays(arrays)) = declared.agreed(Subject::Group, Field::Arrays) else {
        return;
    };
    let mut sorted = arrays.clone();
    sorted.sort();
    for (array, unit) in sorted {
        let Some(unit) = declared.unit_called(&unit) else { continue };
        let free = SOLAR.into_iter().find(|input| !terminals.contains_key(&(unit, *input)));
        if let Some(input) = free {
            terminals.insert((unit, input), array_net(&array));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_side_has_a_terminal_for_every_pole() {
        let mut seen = std::collections::BTreeSet::new();
        for (_, poles) in SIDES {
            assert!(poles.into_iter().all(|terminal| seen.insert(terminal)));
        }
    }
}
