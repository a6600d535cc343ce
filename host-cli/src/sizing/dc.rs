//! The battery side of a site: current, fuse, leads, fault current, sharing, pre-charge, bank.

use super::ac::{Circuit, Kind, item};
use super::battery;
use super::current;
use super::current::Code;
use super::given::{Given, whole};
use super::work::{Answer, From, Item, Lack, Number, Part, Whose, Worksheet};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::Value;
use coldcheck_core::plan::{BatteryBanks, Demand};
use std::collections::BTreeMap;

/// What the battery side comes to.
#[derive(Clone, Debug)]
pub(super) struct Battery {
    /// Current of one unit at the lowest voltage.
    pub(super) current: Number,
    /// 125 % of it.
    pub(super) design: Number,
    /// The standard fuse for that.
    pub(super) fuse: Number,
    /// Current into a bolted fault.
    pub(super) fault: Number,
}

fn of(
    whose: &Whose,
    what: (&'static str, &'static str, &'static str),
    formula: &'static super::Formula,
) -> Item {
    item(Part::Battery, whose, what, formula)
}

impl Circuit {
    /// The battery leads of units that are alike, as a circuit with their fuse.
    pub(super) fn battery_leads(units: &[usize], battery: &Battery) -> Circuit {
        Circuit {
            kind: Kind::BatteryLeads,
            whose: Whose::Units(units.to_vec()),
            subject: Subject::Unit(units.first().copied().unwrap_or(0)),
            breaker: Field::BatteryFuse,
            conductor: Field::BatteryConductor,
            length: Field::BatteryLead,
            earth: Field::EarthConductor,
            current: battery.current.clone(),
            design: battery.design.clone(),
            needed: battery.fuse.clone(),
            ids: ["battery.ampacity", "battery.largest-fuse", "battery.earth", "battery.drop"],
        }
    }
}

impl Given<'_> {
    /// Currents and fuse of one unit.
    pub(super) fn battery(&self, sheet: &mut Worksheet) -> Battery {
        let every = self.every_unit();
        let power = self.rating(Demand::RatedPower, "VA", 1.0);
        let lowest = self.rating(Demand::BatteryVoltsMin, "V", 1000.0);
        let efficiency = self.group(Field::Efficiency);
        let what = ("battery.current", "current of one unit at the lowest voltage", "A");
        let inputs = [&power, &lowest, &efficiency];
        let current = sheet.work(of(&every, what, &battery::CURRENT), inputs, |[p, v, part]| {
            Ok(battery::current(p, v, part / 100.0))
        });
        let what = ("battery.design", "current that fuse and leads must carry", "A");
        let design = sheet.work(of(&every, what, &battery::DESIGN), [&current], |[current]| {
            Ok(current::design_current(Code::Nec, current, 0.0))
        });
        let code = self.choice(Field::Code);
        let what = ("battery.fuse", "least standard fuse", "A");
        let fuse = sheet.work(of(&every, what, &battery::DESIGN), [&design, &code], |[amps, _]| {
            current::next_rating(self.code().unwrap_or(Code::Nec), amps).ok_or_else(|| {
                Lack::words("the standard ratings end below this current: ask the designer")
            })
        });
        let fault = self.fault(sheet);
        self.precharge(sheet);
        Battery { current, design, fuse, fault }
    }

    /// Units by the battery bank that they stand on; all on one unless several are stated.
    pub(super) fn banks(&self) -> Vec<Vec<usize>> {
        let all: Vec<usize> = (0..self.declared.units.len()).collect();
        match self.demands.battery_banks() {
            Some(BatteryBanks::OneEachUnit) if all.len() > 1 => {
                return all.into_iter().map(|unit| vec![unit]).collect();
            }
            // Another bank is a mistake then, and of another rule.
            Some(BatteryBanks::One | BatteryBanks::OneEachUnit) => return vec![all],
            None => {}
        }
        let mut stated: BTreeMap<&Value, Vec<usize>> = BTreeMap::new();
        for unit in &all {
            if let Some(bank) = self.declared.agreed(Subject::Unit(*unit), Field::Bank) {
                stated.entry(bank).or_default().push(*unit);
            }
        }
        if stated.len() > 1 { stated.into_values().collect() } else { vec![all] }
    }

    /// Whether the units stand on several battery banks.
    fn has_several_banks(&self) -> bool {
        self.banks().len() > 1
    }

    /// Units on one bank, at most.
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    fn units_on_bank(&self) -> Number {
        if !self.has_several_banks() {
            return self.units();
        }
        let most = self.banks().iter().map(Vec::len).max().unwrap_or(1);
        Number::known("units on one bank", most as f64, "", From::Declared)
    }

    /// Packs beside each other in one bank: as they are stated, else as they are listed.
    #[allow(clippy::cast_precision_loss, reason = "a bank has few packs")]
    fn packs(&self) -> Number {
        let of_bank = self.group(Field::PacksPerBank);
        if of_bank.get().is_some() {
            return of_bank;
        }
        if self.has_several_banks() {
            let words = "there are several battery banks: write packs per bank";
            return Number::lacking(Field::PacksPerBank.key(), Lack::words(words));
        }
        let stated = self.group(Field::PacksFitted);
        let listed = self.declared.packs.len();
        if stated.get().is_none() && listed > 0 {
            return Number::known("packs listed", listed as f64, "", From::Declared);
        }
        stated
    }

    /// What is stated of every pack alike; the worst of them where they differ.
    fn of_packs(&self, field: Field, worst: fn(f64, f64) -> f64) -> Number {
        let packs = (0..self.declared.packs.len()).map(Subject::Pack);
        let mut all = packs.map(|pack| self.number(pack, field));
        let Some(first) = all.next() else {
            return Number::lacking(field.key(), Lack::Declared(field)).called("of a pack");
        };
        let name = format!("{} of a pack", field.key());
        let worst = all.fold(first, |before, one| match (before.get(), one.get()) {
            (Some(a), Some(b)) => Number { value: Ok(worst(a, b)), ..before },
            (None, _) => before,
            (_, None) => one,
        });
        worst.called(&name)
    }

    /// Current into a bolted fault at the highest voltage.
    fn fault(&self, sheet: &mut Worksheet) -> Number {
        let (packs, one) = (self.packs(), self.of_packs(Field::PackOhms, f64::min));
        let what = ("battery.resistance", "resistance of the packs together", "ohm");
        let inside = of(&Whose::Group, what, &battery::PARALLEL);
        let inside = sheet.work(inside, [&one, &packs], |[ohms, packs]| {
            Ok(battery::in_parallel(ohms, whole(Some(packs))))
        });
        let highest = self.rating(Demand::BatteryVoltsMax, "V", 1000.0);
        let stated = self.group(Field::PathOhms);
        let path = if stated.get().is_some() {
            stated
        } else {
            // Without the path the current is the highest that it can be.
            Number::known("path, left out", 0.0, "ohm", From::Assumed)
        };
        let what = ("battery.fault", "current into a bolted fault", "A");
        let fault = of(&Whose::Group, what, &battery::FAULT);
        sheet.work(fault, [&highest, &inside, &path], |[volts, inside, path]| {
            if inside + path > 0.0 {
                Ok(battery::fault_current(volts, inside, path))
            } else {
                Err(Lack::words(
                    "packs and path have 0 ohm together: write the resistance of a pack",
                ))
            }
        })
    }

    /// Ohms of both battery leads of a unit.
    pub(super) fn loop_ohms(&self, unit: usize) -> Number {
        const NAME: &str = "resistance of both leads";
        let length = self.number(Subject::Unit(unit), Field::BatteryLead);
        let ohms = self.ohms_per_metre(Subject::Unit(unit), Field::BatteryConductor, true);
        match (length.get(), ohms.get()) {
            (Some(metres), Some(ohms)) => {
                Number::known(NAME, 2.0 * metres * ohms, "ohm", From::Computed)
            }
            (None, _) => length.called(NAME),
            (_, None) => ohms.called(NAME),
        }
    }

    /// Current and voltage of units that give equal power, each behind its own leads.
    pub(super) fn at_units(&self, sheet: &mut Worksheet, units: &[usize]) {
        let Some(first) = units.first() else { return };
        let whose = Whose::Units(units.to_vec());
        let ohms = self.loop_ohms(*first);
        let power = self.rating(Demand::RatedPower, "VA", 1.0);
        let lowest = self.rating(Demand::BatteryVoltsMin, "V", 1000.0);
        let efficiency = self.group(Field::Efficiency);
        let inputs = [&lowest, &ohms, &power, &efficiency];
        let solve = |[volts, ohms, power, part]: [f64; 4]| {
            battery::at_equal_power(volts, ohms, power * 100.0 / part).ok_or_else(|| {
                Lack::words("this power cannot pass such leads at the lowest battery voltage")
            })
        };
        let what = ("battery.lead-current", "current through its leads at full power", "A");
        sheet.work(of(&whose, what, &battery::EQUAL_POWER), inputs, |all| Ok(solve(all)?.1));
        let what = ("battery.lead-volts", "battery voltage that arrives", "V");
        sheet.work(of(&whose, what, &battery::EQUAL_POWER), inputs, |all| Ok(solve(all)?.0));
    }

    /// Energy and time of pre-charge.
    fn precharge(&self, sheet: &mut Worksheet) {
        let capacitance = self.rating(Demand::InputCapacitance, "F", 1e6);
        let (units, highest) =
            (self.units_on_bank(), self.rating(Demand::BatteryVoltsMax, "V", 1000.0));
        let what = ("precharge.energy", "energy in the capacitors of all units of a bank", "J");
        let energy = of(&Whose::Group, what, &battery::PRECHARGE);
        sheet.work(energy, [&capacitance, &units, &highest], |[farads, units, volts]| {
            Ok(battery::inrush_energy(farads, whole(Some(units)), volts))
        });
        let resistor = self.group(Field::PrechargeOhms);
        let what = ("precharge.time", "time of pre-charge to 95 %", "s");
        let time = of(&Whose::Group, what, &battery::PRECHARGE);
        sheet.work(time, [&resistor, &capacitance, &units], |[ohms, farads, units]| {
            Ok(battery::precharge_time(ohms, farads, whole(Some(units))))
        });
    }

    /// What all units take and what the packs may give.
    pub(super) fn bank(&self, sheet: &mut Worksheet, battery: &Battery) -> [Number; 2] {
        let units = self.units_on_bank();
        let what = ("bank.current", "current of all units of a bank at the lowest voltage", "A");
        let all = of(&Whose::Group, what, &battery::BANK);
        let inputs = [&units, &battery.current];
        let all = sheet.work(all, inputs, |[units, one]| Ok(units * one));
        let (packs, one) = (self.packs(), self.of_packs(Field::PackDischargeLimit, f64::min));
        let what = ("bank.limit", "current that all packs of a bank may give", "A");
        let most = of(&Whose::Group, what, &battery::BANK);
        let most = sheet.work(most, [&packs, &one], |[packs, one]| Ok(Answer::from(packs * one)));
        [all, most]
    }
}
