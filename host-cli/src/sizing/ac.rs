//! The AC side of a site: currents, breakers, conductors, earth, busbar, drop, neutral.

use super::conductor::{self, Carries};
use super::current::{self, Code};
use super::given::{Given, Way, whole};
use super::work::{Answer, From, Item, Lack, Number, Part, Whose, Worksheet};
use super::{Formula, drop, joint};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::{Section, Size, System};
use coldcheck_core::plan::Demand;

/// Currents that the rest is computed from.
#[derive(Clone, Debug)]
pub(super) struct Currents {
    /// Of one unit, in one line.
    pub(super) unit: Number,
    /// Of all units in the line that carries most.
    pub(super) feeder: Number,
}

/// A run of conductors with its breaker: the output of units, or the feeder.
pub(super) struct Circuit {
    pub(super) whose: Whose,
    pub(super) subject: Subject,
    pub(super) breaker: Field,
    pub(super) conductor: Field,
    pub(super) length: Field,
    pub(super) earth: Field,
    pub(super) current: Number,
    pub(super) ids: [&'static str; 4],
}

impl Circuit {
    /// The output of units that are alike.
    pub(super) fn output(units: &[usize], currents: &Currents) -> Circuit {
        Circuit {
            whose: Whose::Units(units.to_vec()),
            subject: Subject::Unit(units.first().copied().unwrap_or(0)),
            breaker: Field::OutputBreaker,
            conductor: Field::OutputConductor,
            length: Field::OutputLead,
            earth: Field::EarthConductor,
            current: currents.unit.clone(),
            ids: ["unit.ampacity", "unit.largest-breaker", "unit.earth", "unit.drop"],
        }
    }

    /// The feeder of all units.
    pub(super) fn feeder(currents: &Currents) -> Circuit {
        Circuit {
            whose: Whose::Group,
            subject: Subject::Group,
            breaker: Field::FeederBreaker,
            conductor: Field::FeederConductor,
            length: Field::FeederLength,
            earth: Field::FeederEarth,
            current: currents.feeder.clone(),
            ids: ["feeder.ampacity", "feeder.largest-breaker", "feeder.earth", "feeder.drop"],
        }
    }
}

pub(super) fn item(
    part: Part,
    whose: &Whose,
    (id, label, unit): (&'static str, &'static str, &'static str),
    formula: &'static Formula,
) -> Item {
    Item { id, label, unit, part, whose: whose.clone(), formula }
}

impl Given<'_> {
    /// Currents of a unit and of the feeder.
    pub(super) fn currents(&self, sheet: &mut Worksheet) -> Currents {
        let power = self.rating(Demand::RatedPower, "VA", 1.0);
        let volts = self.unit_volts();
        let three = self.supply().is_some_and(|supply| supply.system == System::ThreePhase);
        let formula = match self.supply().map(|supply| supply.system) {
            Some(System::ThreePhase) if self.phases().is_none() => &current::THREE_PHASE,
            Some(System::SinglePhase | System::ThreePhase) => &current::SINGLE_PHASE,
            Some(System::SplitPhase) | None => &current::SPLIT_PHASE,
        };
        let each = item(
            Part::Ac,
            &self.every_unit(),
            ("unit.current", "current of one unit", "A"),
            formula,
        );
        let whole_unit = three && self.phases().is_none();
        let unit = sheet.work(each, [&power, &volts], |[power, volts]| {
            Ok(if whole_unit {
                current::three_phase(power, volts)
            } else {
                current::split_phase(power, volts)
            })
        });
        let all = item(
            Part::Ac,
            &Whose::Group,
            ("feeder.current", "current of the feeder", "A"),
            &current::FEEDER,
        );
        let count = self.units_in_line();
        let feeder = sheet.work(all, [&count, &unit], |[count, unit]| Ok(count * unit));
        Currents { unit, feeder }
    }

    /// The current with its 125 %, and the breaker that goes with it.
    pub(super) fn breaker_needed(
        &self,
        sheet: &mut Worksheet,
        whose: &Whose,
        current: &Number,
        [design, breaker]: [&'static str; 2],
    ) -> [Number; 2] {
        let code = self.code().unwrap_or(Code::Nec);
        let formula = match code {
            Code::Nec => &current::NEC_BREAKER,
            Code::Iec => &current::IEC_BREAKER,
        };
        let code_stated = self.choice(Field::Code);
        let of = |id, label| item(Part::Ac, whose, (id, label, "A"), formula);
        let design = of(design, "current that breaker and conductor must carry");
        let design = sheet.work(design, [current, &code_stated], |[current, _]| {
            Ok(current::design_current(code, current, 0.0))
        });
        let breaker = of(breaker, "least standard breaker");
        let breaker = sheet.work(breaker, [&design, &code_stated], |[design, _]| {
            current::next_rating(code, design)
                .ok_or_else(|| Lack::words("no standard rating is as large"))
        });
        [design, breaker]
    }

    /// The conductor that the code asks for.
    pub(super) fn conductor_needed(
        &self,
        sheet: &mut Worksheet,
        whose: &Whose,
        current: &Number,
        [design, breaker]: [&Number; 2],
        id: &'static str,
    ) -> Number {
        let (laid, way) = self.way(current.get());
        let part = if id.starts_with("battery") { Part::Battery } else { Part::Ac };
        let item = item(part, whose, (id, "least conductor", "mm2"), formula_of(way));
        let [code, metal, insulation, stand, ambient, beside] = &laid;
        let inputs = [design, current, breaker, code, metal, insulation, stand, ambient, beside];
        sheet.work(item, inputs, |[design, current, breaker, ..]| {
            let lack = || Lack::words("no conductor of the table carries it");
            let section = match way.ok_or_else(lack)? {
                Way::Nec(way) => {
                    let (runs, size) =
                        conductor::nec_runs(design, current, breaker, &way).ok_or_else(lack)?;
                    Section { runs, size: Size::of_gauge(size).ok_or_else(lack)? }
                }
                Way::Iec(way) => {
                    let section = conductor::iec_section(breaker, &way).ok_or_else(lack)?;
                    metric(section)
                }
            };
            Ok(Answer { number: section.area(), text: Some(section.to_string()) })
        })
    }

    /// What the conductor of a circuit carries, and the largest breaker that protects it.
    pub(super) fn carries(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        part: Part,
    ) -> [Number; 2] {
        let (laid, way) = self.way(circuit.current.get());
        let stated = self.number(circuit.subject, circuit.conductor);
        let section = self.section(circuit.subject, circuit.conductor);
        let of = |id, label| item(part, &circuit.whose, (id, label, "A"), formula_of(way));
        let [code, metal, insulation, stand, ambient, beside] = &laid;
        let [carries, largest, ..] = circuit.ids;
        let inputs = [&stated, code, metal, insulation, stand, ambient, beside];
        let laid = sheet.work(of(carries, "what the conductor carries"), inputs, |_| {
            Ok(carried(section, way)?.0)
        });
        let name = if part == Part::Battery {
            "largest fuse that protects it"
        } else {
            "largest breaker that protects it"
        };
        let largest = sheet.work(of(largest, name), inputs, |_| Ok(carried(section, way)?.1));
        [laid, largest]
    }

    /// The earth conductor that goes with the breaker of a circuit.
    pub(super) fn earth_needed(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        breaker: &Number,
    ) -> Number {
        let line = self.number(circuit.subject, circuit.conductor);
        let section = self.section(circuit.subject, circuit.conductor);
        let (code, metal) = (self.choice(Field::Code), self.choice(Field::Metal));
        let nec = self.code() == Some(Code::Nec);
        let formula =
            if nec { &conductor::NEC_EARTH_CONDUCTOR } else { &conductor::IEC_EARTH_CONDUCTOR };
        let [_, _, id, _] = circuit.ids;
        let of = item(Part::Earth, &circuit.whose, (id, "least earth conductor", "mm2"), formula);
        let [line_area, own_metal] = [&line, &metal];
        let breaker = if nec { breaker } else { &line };
        sheet.work(of, [&code, own_metal, breaker, line_area], |[_, _, breaker, line]| {
            let section = if nec {
                let metal = self.metal().ok_or(Lack::Declared(Field::Metal))?;
                let gauge = conductor::nec_earth(breaker, metal).and_then(Size::of_gauge);
                let least = Section::one(
                    gauge.ok_or_else(|| Lack::words("the table ends below this breaker"))?,
                );
                // Never larger than the conductors of the circuit.
                section.filter(|own| own.area() < least.area()).map_or(least, |own| own)
            } else {
                metric(conductor::iec_earth(line))
            };
            Ok(Answer { number: section.area(), text: Some(section.to_string()) })
        })
    }

    /// Ohms per metre of a conductor, warm as at full load.
    pub(super) fn ohms_per_metre(&self, subject: Subject, field: Field, flexible: bool) -> Number {
        const NAME: &str = "resistance per metre";
        let stated = self.number(subject, field);
        let Some(section) = self.section(subject, field) else { return stated.called(NAME) };
        let Some(metal) = self.metal() else { return self.choice(Field::Metal).called(NAME) };
        let strands = if flexible { drop::Strands::Flexible } else { drop::Strands::Fixed };
        let one = match section.size {
            Size::SquareMillimetres(_) if metal == conductor::Metal::Aluminium => None,
            Size::SquareMillimetres(_) => {
                let area = section.size.square_millimetres().unwrap_or_default();
                let at_20 = drop::iec_resistance(area, strands);
                at_20.map(|ohms| drop::from_20(ohms, self.warm(), metal) / 1000.0)
            }
            Size::Awg(_) | Size::Kcmil(_) => {
                let gauge = section.size.gauge().unwrap_or_default();
                drop::nec_resistance(&gauge, metal).map(|ohms| ohms / drop::KILOFOOT_METRES)
            }
        };
        let lack = || Lack::words(format!("no table here has the resistance of {section}"));
        one.map_or_else(
            || Number::lacking(NAME, lack()),
            |ohms| {
                let ohms = ohms / f64::from(section.runs);
                Number::known(NAME, ohms, "ohm/m", From::Computed)
            },
        )
    }

    /// How warm a metric conductor gets: as its insulation stands, else 75 °C.
    fn warm(&self) -> f64 {
        match self.declared.number(Subject::Group, Field::Insulation) {
            Some(4) => 70.0,
            Some(3 | 5) => 90.0,
            Some(1) => 60.0,
            Some(_) | None => 75.0,
        }
    }

    /// Volts lost in a circuit, in percent of the supply's.
    pub(super) fn drop(&self, sheet: &mut Worksheet, circuit: &Circuit) -> Number {
        let length = self.number(circuit.subject, circuit.length);
        let ohms = self.ohms_per_metre(circuit.subject, circuit.conductor, false);
        let volts = self.unit_volts();
        let three = self.supply().is_some_and(|supply| supply.system == System::ThreePhase)
            && (self.phases().is_none() || circuit.subject == Subject::Group);
        let between = self.supply().map_or(0.0, |supply| supply.volts_between_lines());
        let formula = if three { &drop::THREE_PHASE } else { &drop::TWO_WIRE };
        let [.., id] = circuit.ids;
        let volts_id = if id == "unit.drop" { "unit.drop-volts" } else { "feeder.drop-volts" };
        let lost = item(Part::Ac, &circuit.whose, (volts_id, "volts lost", "V"), formula);
        let inputs = [&length, &ohms, &circuit.current];
        let lost = sheet.work(lost, inputs, |[length, ohms, amperes]| {
            Ok(if three {
                drop::three_phase(length, ohms, amperes)
            } else {
                drop::two_wire(length, ohms, amperes)
            })
        });
        let part =
            item(Part::Ac, &circuit.whose, (id, "part of the volts that is lost", "%"), formula);
        sheet.work(part, [&lost, &volts], |[lost, volts]| {
            Ok(lost / if three { between } else { volts } * 100.0)
        })
    }

    /// Whether the busbar carries its main and all units.
    pub(super) fn busbar(&self, sheet: &mut Worksheet, currents: &Currents) -> [Number; 2] {
        let (bar, main) = (self.group(Field::Busbar), self.group(Field::BusbarMain));
        let code = self.choice(Field::Code);
        let american = self.code() != Some(Code::Iec);
        let lack = || Lack::words("this busbar rule is of the NEC; for IEC ask the designer");
        let of = |id, label| item(Part::Ac, &Whose::Group, (id, label, "A"), &current::BUSBAR);
        let load = of("busbar.load", "main and 125 % of all units");
        let load = sheet.work(load, [&code, &main, &currents.feeder], |[_, main, units]| {
            let sum = super::to_millionth(1.25 * units + main);
            american.then_some(sum).ok_or_else(lack)
        });
        let most = of("busbar.most-at-far-end", "most that units may give at the far end");
        sheet.work(most, [&code, &bar, &main], |[_, bar, main]| {
            american.then(|| current::most_at_far_end(bar, main)).ok_or_else(lack)
        });
        [bar, load]
    }

    /// Current in the neutral from the loads of the legs.
    pub(super) fn neutral(&self, sheet: &mut Worksheet) {
        let of = item(
            Part::Ac,
            &Whose::Group,
            ("neutral.current", "current in the neutral, unity power factor", "A"),
            &joint::NEUTRAL,
        );
        let loads = [Field::LoadL1, Field::LoadL2, Field::LoadL3].map(|field| self.group(field));
        let [first, second, third] = &loads;
        let supply = self.unit_volts();
        if self.supply().is_some_and(|supply| supply.system == System::ThreePhase) {
            let inputs = [first, second, third, &supply];
            sheet.work(of, inputs, |[a, b, c, _]| Ok(joint::three_phase_neutral([a, b, c])));
            return;
        }
        let single = self.supply().is_some_and(|supply| supply.system == System::SinglePhase);
        let leg = |amperes| joint::Phasor { amperes, degrees: 0.0 };
        if single {
            sheet.work(of, [first, &supply], |[a, _]| Ok(a));
        } else {
            let inputs = [first, second, &supply];
            sheet.work(of, inputs, |[a, b, _]| Ok(joint::split_phase_neutral(leg(a), leg(b))));
        }
    }
}

/// A metric section.
fn metric(square_millimetres: f64) -> Section {
    Section::one(Size::SquareMillimetres(whole(Some(square_millimetres * 1000.0))))
}

/// What a conductor carries, and the largest breaker that protects it.
pub(super) fn carried(
    section: Option<Section>,
    way: Option<Way>,
) -> Result<(f64, f64, Carries), Lack> {
    let (Some(section), Some(way)) = (section, way) else {
        return Err(Lack::words("the way of laying is not complete"));
    };
    let none = || Lack::words(format!("the table of the code has no {section} laid so"));
    match way {
        Way::Nec(way) => {
            let gauge = section.size.gauge().ok_or_else(none)?;
            let carries = conductor::nec_carries(&gauge, section.runs, &way).ok_or_else(none)?;
            let largest =
                conductor::nec_largest_breaker(&gauge, way.metal, carries).ok_or_else(none)?;
            Ok((carries.least(), largest, carries))
        }
        Way::Iec(way) => {
            let area = section.size.square_millimetres().ok_or_else(none)?;
            let one = conductor::iec_corrected(area, &way).ok_or_else(none)?;
            let all = one * f64::from(section.runs);
            Ok((all, all, Carries { terminals: all, laid: all }))
        }
    }
}

const fn formula_of(way: Option<Way>) -> &'static Formula {
    match way {
        Some(Way::Iec(_)) => &conductor::IEC,
        Some(Way::Nec(_)) | None => &conductor::NEC,
    }
}
