//! Faults of the sizes of the power side: each begins with everything that sizes are computed from,
//! stated and right, so that one wrong part stands alone.

use super::build::input_from;
use super::{Fault, Group, Spot, Way, way};
use crate::field::Field;
use crate::site_file::List;
use crate::sizing::conductor::{Metal, NecWay, Rated, nec_earth, nec_runs};
use crate::sizing::current::{Code, design_current, next_rating};
use crate::value::{Section, Size};
use coldcheck_core::plan::{Demand, Leg};
use coldcheck_core::rules::RuleId;

pub(super) const WAYS: &[Way] = &[
    way(RuleId::ConductorTooSmall, |group| each(group, Field::OutputConductor, "14 AWG")),
    way(RuleId::BreakerTooLarge, |group| each(group, Field::OutputBreaker, "60 A")),
    way(RuleId::BreakerTooSmall, |group| each(group, Field::OutputBreaker, "40 A")),
    way(RuleId::BreakerSharedWrong, breaker_shared),
    way(RuleId::EarthConductorTooSmall, |group| each(group, Field::EarthConductor, "14 AWG")),
    way(RuleId::BusbarOverloaded, |_| of_group(Field::Busbar.key(), "100 A")),
    way(RuleId::VoltageDropHigh, |group| {
        let leads = each(group, Field::OutputLead, "60 m").into_iter();
        leads.map(|fault| fault.with(&[RuleId::AcLeadsUnequal])).collect()
    }),
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

/// Copper of 90 °C at terminals of 75 °C, under the table's own conditions.
const COPPER: NecWay = NecWay {
    metal: Metal::Copper,
    insulation: Rated::C90,
    terminals: Rated::C75,
    ambient: 30.0,
    together: 3,
};

/// Volts, power and what follows from them for one unit of every right group.
const BREAKER_OF_UNIT: &str = "45 A";

impl Group {
    /// States what sizes are computed from, all of it right. Once is enough.
    pub fn size(&mut self) {
        if self.sized {
            return;
        }
        self.sized = true;
        let feeder = self.right_feeder();
        let system =
            if self.has_phases() { "three-phase 230/400 V" } else { "split-phase 120/240 V" };
        for (key, value) in [
            (Field::Code.key(), "NEC"),
            (Field::Supply.key(), system),
            (Demand::RatedPower.key(), "8000 VA"),
            (Demand::ShortTimeCurrent.key(), "600 A"),
            (Demand::BatteryVoltsMin.key(), "44 V"),
            (Demand::BatteryVoltsMax.key(), "58 V"),
            (Demand::SolarVoltsMax.key(), "600 V"),
            (Demand::SolarAmperesMax.key(), "60 A"),
            (Field::Metal.key(), "copper"),
            (Field::Insulation.key(), "90 C"),
            (Field::Terminals.key(), "75 C"),
            (Field::Ambient.key(), "30 C"),
            (Field::Together.key(), "3"),
            (Field::FeederBreaker.key(), &feeder.breaker),
            (Field::FeederConductor.key(), &feeder.conductor),
            (Field::FeederLength.key(), "10 m"),
            (Field::FeederEarth.key(), &feeder.earth),
            (Field::Busbar.key(), "2000 A"),
            (Field::BusbarMain.key(), "200 A"),
            (Field::LoadBreaker.key(), "32 A"),
            (Field::PickUp.key(), "5 x"),
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
            (Field::SupplyFrequency.key(), "50 Hz"),
        ] {
            self.set_line(key, value);
        }
        for unit in self.layout.order.clone() {
            let conductors = input_from(self.phase(unit), "generator");
            self.set_unit(unit, Field::GeneratorIn, &conductors);
        }
        for thing in &mut self.things {
            let facts: &[(Field, &str)] = match thing.list {
                List::Unit => OF_UNIT,
                List::Pack => OF_PACK,
                List::Sensor => OF_SENSOR,
                List::Device | List::Cable | List::Waiver | List::ToDo => &[],
            };
            for (field, value) in facts {
                thing.set(field.key(), *value);
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

    /// The feeder, with room for one unit more: a fault may add one.
    fn right_feeder(&self) -> Feeder {
        let volts = if self.has_phases() { 230.0 } else { 240.0 };
        let units = u32::try_from(self.in_line() + 1).unwrap_or(u32::MAX);
        let current = 8000.0 / volts * f64::from(units);
        let design = design_current(Code::Nec, current, 0.0);
        let breaker = next_rating(Code::Nec, design).unwrap_or(design);
        let (runs, size) = nec_runs(design, current, breaker, &COPPER).unwrap_or((1, "500"));
        let section = Section { runs, size: Size::of_gauge(size).unwrap_or(Size::Kcmil(500)) };
        let earth = nec_earth(breaker, Metal::Copper).and_then(Size::of_gauge);
        let earth = earth.map_or(section, Section::one);
        let earth = if earth.area() > section.area() { section } else { earth };
        Feeder {
            breaker: format!("{breaker} A"),
            conductor: section.to_string(),
            earth: earth.to_string(),
        }
    }
}

struct Feeder {
    breaker: String,
    conductor: String,
    earth: String,
}

const OF_UNIT: &[(Field, &str)] = &[
    (Field::OutputBreaker, BREAKER_OF_UNIT),
    (Field::OutputConductor, "8 AWG"),
    (Field::OutputLead, "6 m"),
    (Field::EarthConductor, "10 AWG"),
    (Field::BatteryFuse, "250 A"),
    (Field::FuseInterrupts, "20 kA"),
    (Field::BatteryConductor, "250 kcmil"),
    (Field::BatteryLead, "2 m"),
    (Field::SupplyLimit, "2 A"),
    (Field::GeneratorLimit, "2 A"),
    (Field::InputsFitted, "1"),
];

const OF_PACK: &[(Field, &str)] =
    &[(Field::PackOhms, "20 mohm"), (Field::PackDischargeLimit, "2000 A")];

const OF_SENSOR: &[(Field, &str)] = &[
    (Field::SensorSecondary, "5 A"),
    (Field::SensorBurden, "10 VA"),
    (Field::SensorMeter, "20 mohm"),
    (Field::SensorLead, "50 ft"),
    (Field::SensorLeadSize, "14 AWG"),
];

fn each(group: &Group, field: Field, value: &'static str) -> Vec<Fault> {
    let fault = |unit: &u16| {
        let unit = *unit;
        let done = format!("{} of unit {unit} is {value}", field.key());
        Fault::new(done, [Spot::Unit(unit)], move |group| {
            group.size();
            group.set_unit(unit, field, value)
        })
    };
    group.layout.order.iter().map(fault).collect()
}

fn line(key: &'static str, value: &'static str, places: Vec<Spot>) -> Vec<Fault> {
    vec![Fault::new(format!("{key} is {value}"), places, move |group| {
        group.size();
        group.set_line(key, value);
        true
    })]
}

fn of_group(key: &'static str, value: &'static str) -> Vec<Fault> {
    line(key, value, Vec::new())
}

/// Strings are those of the arrays of every unit.
fn strings(group: &Group, key: &'static str, value: &'static str) -> Vec<Fault> {
    let mut units = group.layout.order.clone();
    units.sort_unstable();
    line(key, value, units.into_iter().map(Spot::Unit).collect())
}

/// One for all units in front of one, and one for one unit in front of all. A line with one unit
/// alone has no such fault.
fn breaker_shared(group: &Group) -> Vec<Fault> {
    if group.in_line() < 2 {
        return Vec::new();
    }
    let breaker = group.right_feeder().breaker;
    let fault = |unit: &u16| {
        let (unit, breaker) = (*unit, breaker.clone());
        let done = format!("unit {unit} stands behind the breaker of all units");
        Fault::new(done, [Spot::Unit(unit)], move |group| {
            group.size();
            group.set_unit(unit, Field::OutputBreaker, &breaker)
        })
        .with(&[RuleId::BreakerTooLarge])
    };
    let mut faults: Vec<Fault> = group.layout.order.iter().map(fault).collect();
    let of_feeder = of_group(Field::FeederBreaker.key(), BREAKER_OF_UNIT);
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
