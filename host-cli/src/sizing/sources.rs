//! Sensors, limits of supply and generator, fault current in island mode.

use super::ac::{Currents, item};
use super::conductor::Metal;
use super::current::{self, Code};
use super::given::Given;
use super::work::{From, Item, Lack, Number, Part, Whose, Worksheet};
use super::{Formula, drop, sensor};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::{Size, System};
use coldcheck_core::plan::Demand;
use coldcheck_core::rules::RuleId;

/// Limits that are set against what a source gives.
pub(super) const LIMIT: Formula = Formula {
    id: "source.limit",
    text: "limits of all units <= supply breaker / 1.25 (NEC), <= breaker (IEC), <= generator",
    source: "NFPA 70 (NEC) 2023, 210.20(A); IEC 60364-4-43, 433.1",
    mark: "second-hand; number of the IEC clause from memory",
};
/// What a fault is fed with while no supply is there.
pub(super) const ISLAND: Formula = Formula {
    id: "island.fault",
    text: "I = units * short-time current; a breaker trips at once from rating * pick-up",
    source: "Kirchhoff's law; trip ranges: IEC 60898-1 and the breaker's own curve",
    mark: "computed; numbers of clauses from memory",
};

const SUPPLY_LIMIT: (&str, &str, &str) =
    ("supply.limit", "limit that is set for the supply, all units together", "A");
const GENERATOR_LIMIT: (&str, &str, &str) =
    ("generator.limit", "limit that is set for the generator, all units together", "A");

fn of(
    part: Part,
    whose: &Whose,
    what: (&'static str, &'static str, &'static str),
    formula: &'static Formula,
) -> Item {
    item(part, whose, what, formula)
}

/// A limit that is set, and what stands against it.
pub(super) struct Limit {
    pub(super) field: Field,
    pub(super) set: Number,
    pub(super) given: Number,
}

impl Given<'_> {
    /// What a sensor sees, and what it is loaded with: its burden, beside the rated one.
    pub(super) fn sensor(
        &self,
        sheet: &mut Worksheet,
        position: usize,
        currents: &Currents,
    ) -> [Number; 2] {
        let (whose, subject) = (Whose::Sensor(position), Subject::Sensor(position));
        let fact = |field| self.number(subject, field);
        let breaker = self.group(Field::SupplyBreaker);
        let what = ("sensor.rating", "least primary rating", "A");
        let least = of(Part::Sensors, &whose, what, &sensor::RATING);
        sheet.work(least, [&currents.feeder, &breaker], |[units, breaker]| {
            Ok(sensor::least_rating(units, breaker))
        });
        let ratio = fact(Field::RatioFitted);
        let what = ("sensor.secondary", "secondary current with all units at full power", "A");
        let seen = of(Part::Sensors, &whose, what, &sensor::SECONDARY);
        sheet.work(seen, [&currents.feeder, &ratio], |[primary, ratio]| {
            Ok(sensor::secondary(primary, ratio))
        });
        let (set, fitted) = (fact(Field::RatioSet), &ratio);
        let what = ("sensor.shown", "part of the truth that is shown", "");
        let shown = of(Part::Sensors, &whose, what, &sensor::RATIO);
        sheet.work(shown, [&set, fitted], |[set, fitted]| Ok(sensor::shown_part(set, fitted)));
        let wanted = self.rating(Demand::SensorRatio, "", 1000.0).called("sensor ratio demanded");
        let what = ("sensor.ratio", "ratio set, part of the ratio demanded", "");
        let against = of(Part::Sensors, &whose, what, &sensor::RATIO);
        sheet.work(against, [&set, &wanted], |[set, wanted]| Ok(set / wanted));
        let (secondary, length) = (fact(Field::SensorSecondary), fact(Field::SensorLead));
        let meter = fact(Field::SensorMeter);
        let lead = self.lead_ohms(subject);
        let what = ("sensor.burden", "burden at the rated secondary current", "VA");
        let burden = of(Part::Sensors, &whose, what, &sensor::BURDEN);
        let inputs = [&secondary, &length, &lead, &meter];
        let burden = sheet.work(burden, inputs, |[amperes, metres, per_metre, meter]| {
            Ok(sensor::burden(amperes, 2.0 * metres * per_metre, meter))
        });
        [burden, fact(Field::SensorBurden)]
    }

    /// Ohms per metre of a sensor's lead, which is of copper.
    fn lead_ohms(&self, subject: Subject) -> Number {
        const NAME: &str = "lead resistance per metre";
        let stated = self.number(subject, Field::SensorLeadSize).called(NAME);
        let Some(section) = self.section(subject, Field::SensorLeadSize) else { return stated };
        let ohms = match section.size {
            Size::SquareMillimetres(_) => {
                let area = section.size.square_millimetres().unwrap_or_default();
                drop::iec_resistance(area, drop::Strands::Flexible)
                    .map(|ohms| drop::from_20(ohms, 75.0, Metal::Copper) / 1000.0)
            }
            Size::Awg(_) | Size::Kcmil(_) => {
                let gauge = section.size.gauge().unwrap_or_default();
                drop::nec_resistance(&gauge, Metal::Copper).map(|ohms| ohms / drop::KILOFOOT_METRES)
            }
        };
        let lack = || Lack::words(format!("no table here has the resistance of {section}"));
        ohms.map_or_else(
            || Number::lacking(NAME, lack()),
            |ohms| Number::known(NAME, ohms, "ohm/m", From::Computed),
        )
    }

    /// Limits of the supply and of the generator, each against what it gives.
    pub(super) fn limits(&self, sheet: &mut Worksheet) -> [Limit; 2] {
        let breaker = self.group(Field::SupplyBreaker);
        let code = self.choice(Field::Code);
        let what = ("supply.gives", "current that the supply breaker lets through for hours", "A");
        let gives = of(Part::Sources, &Whose::Group, what, &LIMIT);
        let supply = sheet.work(gives, [&breaker, &code], |[breaker, _]| {
            let american = self.code() == Some(Code::Nec);
            Ok(if american { super::to_millionth(breaker / 1.25) } else { breaker })
        });
        let (power, volts) = (self.group(Field::GeneratorRating), self.feeder_volts());
        let system = self.supply().map(|supply| supply.system);
        let formula = match system {
            Some(System::ThreePhase) => &current::THREE_PHASE,
            Some(System::SinglePhase) => &current::SINGLE_PHASE,
            Some(System::SplitPhase) | None => &current::SPLIT_PHASE,
        };
        let what = ("generator.gives", "current that the generator gives", "A");
        let gives = of(Part::Sources, &Whose::Group, what, formula);
        let generator = sheet.work(gives, [&power, &volts], |[power, volts]| {
            Ok(if system == Some(System::ThreePhase) {
                current::three_phase(power, volts)
            } else {
                current::single_phase(power, volts)
            })
        });
        [
            self.limit(sheet, Field::SupplyLimit, supply, SUPPLY_LIMIT),
            self.limit(sheet, Field::GeneratorLimit, generator, GENERATOR_LIMIT),
        ]
    }

    /// What is set at all units together, in the line that carries most.
    fn limit(
        &self,
        sheet: &mut Worksheet,
        field: Field,
        given: Number,
        what: (&'static str, &'static str, &'static str),
    ) -> Limit {
        let of_unit = |unit: &usize| self.number(Subject::Unit(*unit), field);
        let all: Vec<Vec<Number>> =
            self.lines().iter().map(|line| line.iter().map(of_unit).collect()).collect();
        let sum = |line: &Vec<Number>| line.iter().filter_map(Number::get).sum::<f64>();
        let largest = all.iter().map(sum).fold(0.0, f64::max);
        let known = |name, value| Number::known(name, value, "A", From::Declared);
        let mut flat = all.iter().flatten();
        // Each unit's own limit counts where limits are the units'.
        let added = match (flat.clone().find(|one| one.get().is_none()), self.standing()) {
            (Some(lacking), _) => lacking.clone(),
            (None, Err(lack)) => Number::lacking(field.key(), lack),
            (None, Ok(_)) => known("limits of all units, added", largest),
        };
        // The group's is stated once, or at every unit.
        let one = match flat.clone().filter_map(Number::get).max_by(f64::total_cmp) {
            Some(most) => known("largest limit that is set", most),
            None => flat.next().cloned().unwrap_or_else(|| added.clone()),
        };
        let whose = self.choice(Field::LimitFor);
        let set = of(Part::Sources, &Whose::Group, what, &LIMIT);
        let counts = if whose.get().is_some_and(|whose| whose > 1.5) { &one } else { &added };
        let set = sheet.work(set, [counts, &whose], |[counts, _]| Ok(counts));
        Limit { field, set, given }
    }

    /// Fault current while no supply is there, and the current at which the largest load breaker trips
    /// at once.
    pub(super) fn island(&self, sheet: &mut Worksheet) -> [Number; 2] {
        let one = self.rating(Demand::ShortTimeCurrent, "A", 1000.0);
        let units = self.units_in_line();
        let what = ("island.fault", "fault current without the supply", "A");
        let fault = of(Part::Sources, &Whose::Group, what, &ISLAND);
        let fault = sheet.work(fault, [&units, &one], |[units, one]| Ok(units * one));
        let (breaker, pick_up) = (self.group(Field::LoadBreaker), self.group(Field::PickUp));
        let what = ("island.load-trip", "the largest load breaker trips from", "A");
        let trip = of(Part::Sources, &Whose::Group, what, &ISLAND);
        let trip = sheet.work(trip, [&breaker, &pick_up], |[breaker, times]| Ok(breaker * times));
        [fault, trip]
    }
}

/// Without a sensor there is nothing to judge.
pub(super) fn no_sensor(sheet: &mut Worksheet) {
    let none = Number::lacking("sensor", Lack::words("no sensor is listed"));
    let rule = RuleId::SensorBurdenHigh;
    sheet.judge(rule, &Whose::Group, Vec::new(), [&none], |_| Ok(None));
}
