//! Faults of the sizes of the power side: each begins with everything that sizes are computed from,
//! stated and right, so that one wrong part stands alone.

use super::build::{RIGHT_RATIO, input_from};
use super::figures::Feeder;
use super::{Fault, Group, Spot, Touch, Way, all_units, way};
use crate::field::Field;
use crate::site_file::List;
use coldcheck_core::plan::{Demand, Leg};
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::ConductorTooSmall, |group| {
        each(group, Field::OutputConductor, group.figures().thin)
    }),
    way(RuleId::BreakerTooLarge, |group| {
        each(group, Field::OutputBreaker, group.figures().breaker_large)
    }),
    way(RuleId::BreakerTooSmall, |group| {
        each(group, Field::OutputBreaker, group.figures().breaker_small)
    }),
    way(RuleId::BreakerSharedWrong, breaker_shared),
    way(RuleId::EarthConductorTooSmall, |group| {
        each(group, Field::EarthConductor, group.figures().thin)
    }),
    way(RuleId::BusbarOverloaded, busbar_small),
    way(RuleId::VoltageDropHigh, run_long),
    way(RuleId::BatteryFuseTooSmall, |group| each(group, Field::BatteryFuse, "200 A")),
    way(RuleId::BatteryFuseTooLarge, |group| each(group, Field::BatteryFuse, "400 A")),
    way(RuleId::FuseCannotInterrupt, |group| each(group, Field::FuseInterrupts, "1 kA")),
    way(RuleId::BankTooSmall, bank_small),
    way(RuleId::StringVoltageHigh, |group| strings(group, Field::Strings.key(), "12 x 1")),
    way(RuleId::StringVoltageNearLimit, |group| strings(group, Field::Strings.key(), "11 x 1")),
    way(RuleId::StringCurrentHigh, |group| strings(group, Demand::SolarAmperesMax.key(), "10 A")),
    way(RuleId::StringFuseMissing, |group| strings(group, Field::Strings.key(), "10 x 3")),
    way(RuleId::PvInputMappingWrong, |group| each(group, Field::InputsFitted, "0")),
    way(RuleId::SourceLimitTooHigh, limit_high),
    way(RuleId::IslandFaultCurrentLow, |_| of_group(Field::LoadBreaker.key(), "2000 A")),
    way(RuleId::SensorBurdenHigh, burden_high),
];

impl Group {
    /// States what sizes are computed from, all of it right. Once is enough.
    pub fn size(&mut self) {
        if self.sized {
            return;
        }
        self.sized = true;
        let (figures, feeder) = (self.figures(), self.right_feeder());
        for (key, value) in figures.lines {
            self.set_line(key, *value);
        }
        let system =
            if self.has_phases() { "three-phase 230/400 V" } else { "split-phase 120/240 V" };
        for (key, value) in [
            (Field::Supply.key(), system),
            (Demand::RatedPower.key(), "8000 VA"),
            (Demand::ShortTimeCurrent.key(), "600 A"),
            (Demand::BatteryVoltsMin.key(), "44 V"),
            (Demand::BatteryVoltsMax.key(), "58 V"),
            (Demand::SolarVoltsMax.key(), "600 V"),
            (Demand::SolarAmperesMax.key(), "60 A"),
            (Field::Metal.key(), "copper"),
            (Field::Ambient.key(), "30 C"),
            (Field::Together.key(), "3"),
            (Field::FeederBreaker.key(), feeder.breaker),
            (Field::FeederConductor.key(), feeder.conductor),
            (Field::FeederLength.key(), "10 m"),
            (Field::FeederEarth.key(), feeder.earth),
            (Field::Busbar.key(), "2000 A"),
            (Field::BusbarMain.key(), "200 A"),
            (Field::BusbarBreakers.key(), "2000 A"),
            (Field::LoadBreaker.key(), "32 A"),
            (Field::PickUp.key(), "5 x"),
            (Field::ResidualProtection.key(), "no"),
            (Field::Efficiency.key(), "94 %"),
            (Field::GeneratorRating.key(), "12 kVA"),
            (Field::LimitFor.key(), "unit"),
            (Field::ModuleVolts.key(), "49.5 V"),
            (Field::ModuleCoefficient.key(), "-0.27 %/K"),
            (Field::ModuleAmperes.key(), "11 A"),
            (Field::ColdestDay.key(), "-10 C"),
            (Field::Strings.key(), "10 x 1"),
            (Field::StringFuses.key(), "no"),
            (Field::Interlock.key(), "yes"),
            (Field::Precharge.key(), "yes"),
            (Field::ChangeoverGap.key(), "500 ms"),
            (Demand::ChangeoverGap.key(), "300 ms"),
            (Field::SupplyFrequency.key(), self.frequencies()[0]),
        ] {
            self.set_line(key, value);
        }
        for unit in self.layout.order.clone() {
            let conductors = input_from(self.phase(unit), "generator");
            self.set_unit(unit, Field::GeneratorIn, &conductors);
        }
        let [supply_limit, generator_limit] = self.right_limits();
        for thing in &mut self.things {
            let facts: &[(Field, &str)] = match thing.list {
                List::Unit => OF_UNIT,
                List::Pack => OF_PACK,
                List::Sensor => OF_SENSOR,
                List::Device | List::Cable | List::Waiver | List::ToDo => &[],
            };
            let sized = match thing.list {
                List::Unit => figures.of_unit,
                List::Sensor => figures.of_sensor,
                List::Pack | List::Device | List::Cable | List::Waiver | List::ToDo => &[],
            };
            for (field, value) in facts.iter().chain(sized) {
                thing.set(field.key(), *value);
            }
            if thing.list == List::Unit {
                thing.set(Field::SupplyLimit.key(), supply_limit.as_str());
                thing.set(Field::GeneratorLimit.key(), generator_limit.as_str());
            }
            // A secondary of 5 A is that of another ratio; one that is wrong stays so.
            for field in [Field::RatioFitted, Field::RatioSet] {
                if thing.list == List::Sensor && thing.get(field.key()) == Some(RIGHT_RATIO) {
                    thing.set(field.key(), "20:1");
                }
            }
        }
    }

    /// Most units on one phase, or all of them.
    fn in_line(&self) -> usize {
        if !self.has_phases() {
            return self.layout.order.len();
        }
        let on = |leg: Leg| {
            self.layout.order.iter().filter(|unit| self.phase(**unit) == Some(leg)).count()
        };
        [Leg::L1, Leg::L2, Leg::L3].into_iter().map(on).max().unwrap_or(0)
    }

    /// What each unit may take of the supply and of the generator, so that one unit more may do so:
    /// of 50 A behind a breaker of 63 A, loaded for hours to 80 % under the NEC; of 50 A of 12 kVA at
    /// 240 V, or 17 A in each phase of 400 V.
    fn right_limits(&self) -> [String; 2] {
        let generator = if self.has_phases() { 17 } else { 50 };
        [50, generator].map(|amperes| format!("{} A", (amperes / (self.in_line() + 1)).max(1)))
    }

    /// The feeder, with room for one unit more: a fault may add one.
    fn right_feeder(&self) -> &'static Feeder {
        self.figures().feeder(self.in_line() + 1)
    }
}

const OF_UNIT: &[(Field, &str)] = &[
    (Field::OutputLead, "6 m"),
    (Field::BatteryFuse, "250 A"),
    (Field::FuseInterrupts, "20 kA"),
    (Field::BatteryLead, "2 m"),
    (Field::InputsFitted, "1"),
];

const OF_PACK: &[(Field, &str)] =
    &[(Field::PackOhms, "20 mohm"), (Field::PackDischargeLimit, "4000 A")];

const OF_SENSOR: &[(Field, &str)] = &[
    (Field::SensorSecondary, "5 A"),
    (Field::SensorBurden, "10 VA"),
    (Field::SensorMeter, "20 mohm"),
];

fn each(group: &Group, field: Field, value: &'static str) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let done = format!("{} of unit {unit}: {value}", field.key());
        let mut needs = vec![Touch::line(Field::Supply.key())];
        // An earth conductor need not be larger than those that carry the current.
        if field == Field::EarthConductor {
            needs.push(Touch::of_unit(unit, Field::OutputConductor));
        }
        let fault = Fault::new(done, [Spot::Unit(unit)], move |group| {
            group.size();
            group.set_unit(unit, field, value)
        });
        // How many conductors carry current, and at how many volts, follows from the supply.
        fault.needing(needs)
    };
    group.layout.order.iter().map(fault).collect()
}

fn line(key: &'static str, value: &'static str, places: Vec<Spot>) -> Vec<Fault> {
    let fault = Fault::new(format!("{key}: {value}"), places, move |group| {
        group.size();
        group.set_line(key, value);
        true
    });
    vec![fault.needing([Touch::line(Field::Supply.key())])]
}

/// Where the code does not say when a busbar is overloaded, it is held or left open.
fn busbar_small(group: &Group) -> Vec<Fault> {
    if !group.figures().has_busbar_rule {
        return Vec::new();
    }
    of_group(Field::Busbar.key(), "100 A")
}

/// The feeder, or the output leads of all units.
fn run_long(group: &Group) -> Vec<Fault> {
    let mut faults = of_group(Field::FeederLength.key(), "1000 m");
    let units = group.layout.order.clone();
    let places = all_units(group);
    faults.push(Fault::new("the output leads of all units are 60 m long", places, move |group| {
        group.size();
        units.iter().all(|unit| group.set_unit(*unit, Field::OutputLead, "60 m"))
    }));
    faults
}

fn of_group(key: &'static str, value: &'static str) -> Vec<Fault> {
    line(key, value, Vec::new())
}

/// Strings are those of the arrays of every unit.
fn strings(group: &Group, key: &'static str, value: &'static str) -> Vec<Fault> {
    line(key, value, all_units(group))
}

/// One for all units in front of one, and one for one unit in front of all. A line with one unit
/// alone has no such fault.
fn breaker_shared(group: &Group) -> Vec<Fault> {
    if group.in_line() < 2 {
        return Vec::new();
    }
    let breaker = group.right_feeder().breaker;
    let fault = |unit: &u16| {
        let unit = *unit;
        let done = format!("unit {unit} stands behind the breaker of all units");
        Fault::new(done, [Spot::Unit(unit)], move |group| {
            group.size();
            group.set_unit(unit, Field::OutputBreaker, breaker)
        })
        .with(&[RuleId::BreakerTooLarge])
    };
    let mut faults: Vec<Fault> = group.layout.order.iter().map(fault).collect();
    let of_feeder = of_group(Field::FeederBreaker.key(), group.figures().breaker);
    faults.extend(of_feeder.into_iter().map(|fault| fault.with(&[RuleId::BreakerTooSmall])));
    faults
}

fn bank_small(group: &Group) -> Vec<Fault> {
    let packs = group.things(List::Pack).map(|pack| pack.name.clone());
    let fault = |pack: String| {
        Fault::new(format!("{pack} may give 10 A"), [], move |group| {
            group.size();
            let key = Field::PackDischargeLimit.key();
            group.change(List::Pack, &pack, |pack| pack.set(key, "10 A"))
        })
    };
    packs.map(fault).collect()
}

fn limit_high(group: &Group) -> Vec<Fault> {
    let fault = |(unit, field): (u16, Field)| {
        let done = format!("{} of unit {unit} is 80 A", field.key());
        Fault::new(done, [], move |group| {
            group.size();
            group.set_unit(unit, field, "80 A")
        })
    };
    let units = group.layout.order.iter().copied();
    let both = [Field::SupplyLimit, Field::GeneratorLimit];
    units.flat_map(|unit| both.map(|field| (unit, field))).map(fault).collect()
}

fn burden_high(group: &Group) -> Vec<Fault> {
    let fault = |leg: Leg| {
        let name = format!("CT {}", leg.word());
        Fault::new(format!("{name} is made for 5 VA"), [Spot::Sensor(leg)], move |group| {
            group.size();
            let key = Field::SensorBurden.key();
            group.change(List::Sensor, &name, |sensor| sensor.set(key, "5 VA"))
        })
    };
    group.sensor_legs().into_iter().map(fault).collect()
}
