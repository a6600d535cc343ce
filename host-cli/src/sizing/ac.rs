//! The AC side of a site: currents, breakers, conductors, earth, busbar.

use super::conductor::{self, Carries};
use super::current::{self, Code};
use super::given::{Given, whole};
use super::laid::Way;
use super::lines::Standing;
use super::work::{Answer, From, Item, Lack, Number, Part, Whose, Worksheet};
use super::{Formula, drop};
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

/// What a run of conductors is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// The output of units.
    Output,
    /// The feeder of all units.
    Feeder,
    /// The battery leads of units.
    BatteryLeads,
}

/// A run of conductors with its breaker: the output of units, the feeder, or battery leads.
pub(super) struct Circuit {
    pub(super) kind: Kind,
    pub(super) whose: Whose,
    pub(super) subject: Subject,
    pub(super) breaker: Field,
    pub(super) conductor: Field,
    pub(super) length: Field,
    pub(super) earth: Field,
    /// What flows.
    pub(super) current: Number,
    /// What breaker and conductor must carry.
    pub(super) design: Number,
    /// The standard breaker or fuse for that: what the circuit is rated.
    pub(super) needed: Number,
    pub(super) ids: [&'static str; 4],
}

impl Circuit {
    /// The output of units that are alike.
    pub(super) fn output(units: &[usize], current: &Number, needed: &[Number; 2]) -> Circuit {
        let [design, needed] = needed.clone();
        Circuit {
            kind: Kind::Output,
            whose: Whose::Units(units.to_vec()),
            subject: Subject::Unit(units.first().copied().unwrap_or(0)),
            breaker: Field::OutputBreaker,
            conductor: Field::OutputConductor,
            length: Field::OutputLead,
            earth: Field::EarthConductor,
            current: current.clone(),
            design,
            needed,
            ids: ["unit.ampacity", "unit.largest-breaker", "unit.earth", "unit.drop"],
        }
    }

    /// What protects it.
    pub(super) const fn device(&self) -> &'static str {
        match self.kind {
            Kind::BatteryLeads => "fuse",
            Kind::Output | Kind::Feeder => "breaker",
        }
    }

    /// The part of the plant that it belongs to.
    pub(super) const fn part(&self) -> Part {
        match self.kind {
            Kind::BatteryLeads => Part::Battery,
            Kind::Output | Kind::Feeder => Part::Ac,
        }
    }

    /// The feeder of all units.
    pub(super) fn feeder(current: &Number, needed: &[Number; 2]) -> Circuit {
        let [design, needed] = needed.clone();
        Circuit {
            kind: Kind::Feeder,
            whose: Whose::Group,
            subject: Subject::Group,
            breaker: Field::FeederBreaker,
            conductor: Field::FeederConductor,
            length: Field::FeederLength,
            earth: Field::FeederEarth,
            current: current.clone(),
            design,
            needed,
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
        let formula = match (self.supply().map(|supply| supply.system), self.standing()) {
            (Some(System::ThreePhase), Ok(Standing::All) | Err(_)) => &current::THREE_PHASE,
            (Some(System::SinglePhase | System::ThreePhase), _) => &current::SINGLE_PHASE,
            (Some(System::SplitPhase) | None, _) => &current::SPLIT_PHASE,
        };
        let whole_unit = self.has_three_lines();
        let each = item(
            Part::Ac,
            &self.every_unit(),
            ("unit.current", "current of one unit", "A"),
            formula,
        );
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
            current::next_rating(code, design).ok_or_else(|| {
                Lack::words("the standard ratings end below this current: ask the designer")
            })
        });
        [design, breaker]
    }

    /// The conductor that the code asks for.
    pub(super) fn conductor_needed(
        &self,
        sheet: &mut Worksheet,
        circuit: &Circuit,
        id: &'static str,
    ) -> Number {
        let (laid, way) = self.way_to_choose(circuit);
        let part = circuit.part();
        let item = item(part, &circuit.whose, (id, "least conductor", "mm2"), formula_of(way));
        let [code, metal, insulation, stand, ambient, beside] = &laid;
        let Circuit { design, current, needed, .. } = circuit;
        let inputs = [design, current, needed, code, metal, insulation, stand, ambient, beside];
        sheet.work(item, inputs, |[design, current, breaker, ..]| {
            let none =
                || Lack::words("no conductor of the table carries this current: ask the designer");
            let section = match way.ok_or_else(way_incomplete)? {
                Way::Nec(way) => {
                    let (runs, size) =
                        conductor::nec_runs(design, current, breaker, &way).ok_or_else(none)?;
                    Section { runs, ..Section::one(Size::of_gauge(size).ok_or_else(none)?) }
                }
                Way::Iec(way) => {
                    let section = conductor::iec_section(breaker, &way).ok_or_else(none)?;
                    metric(section)
                }
            };
            Ok(Answer { number: section.area(), text: Some(section.to_string()) })
        })
    }

    /// What the conductor of a circuit carries, and the largest breaker that protects it.
    pub(super) fn carries(&self, sheet: &mut Worksheet, circuit: &Circuit) -> [Number; 2] {
        let (laid, way) = self.way(circuit);
        let part = circuit.part();
        let (stated, section) = self.listed(circuit.subject, circuit.conductor);
        let of = |id, label| item(part, &circuit.whose, (id, label, "A"), formula_of(way));
        let [code, metal, insulation, stand, ambient, beside] = &laid;
        let [carries, largest, ..] = circuit.ids;
        let inputs = [&stated, code, metal, insulation, stand, ambient, beside];
        let laid = sheet.work(of(carries, "what the conductor carries"), inputs, |_| {
            Ok(carried(section, way)?.0)
        });
        let name = match circuit.kind {
            Kind::BatteryLeads => "largest fuse that protects it",
            Kind::Output | Kind::Feeder => "largest breaker that protects it",
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
        let own = self.section(circuit.subject, circuit.earth);
        let metal = self.metal_of(own);
        // The table of the IEC goes by the line conductor, for both of one metal.
        let alike = section.is_none() || self.metal_of(section) == metal;
        let code = self.choice(Field::Code);
        let nec = self.code() == Some(Code::Nec);
        let formula =
            if nec { &conductor::NEC_EARTH_CONDUCTOR } else { &conductor::IEC_EARTH_CONDUCTOR };
        let [_, _, id, _] = circuit.ids;
        let of = item(Part::Earth, &circuit.whose, (id, "least earth conductor", "mm2"), formula);
        let breaker = if nec { breaker } else { &line };
        let inputs = [&code, &self.metal_number(own), breaker, &line];
        sheet.work(of, inputs, |[_, _, breaker, line]| {
            let section = if nec {
                let metal = metal.ok_or(Lack::Declared(Field::Metal))?;
                let gauge = conductor::nec_earth(breaker, metal).and_then(Size::of_gauge);
                let least = Section::one(gauge.ok_or_else(|| {
                    Lack::words("Table 250.122 ends below this breaker: ask the designer")
                })?);
                // Never larger than the conductors of the circuit.
                section.filter(|own| own.area() < least.area()).map_or(least, |own| own)
            } else if alike {
                metric(conductor::iec_earth(line))
            } else {
                let words = "the table is of earth and line conductors of one metal";
                return Err(Lack::words(words));
            };
            Ok(Answer { number: section.area(), text: Some(section.to_string()) })
        })
    }

    /// Ohms per metre of a conductor, warm as at full load.
    pub(super) fn ohms_per_metre(&self, subject: Subject, field: Field, flexible: bool) -> Number {
        const NAME: &str = "resistance per metre";
        let stated = self.number(subject, field);
        let Some(section) = self.section(subject, field) else { return stated.called(NAME) };
        let Some(metal) = self.metal_of(Some(section)) else {
            return self.choice(Field::Metal).called(NAME);
        };
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

    /// Whether the busbar carries its main and all units.
    pub(super) fn busbar(&self, sheet: &mut Worksheet, currents: &Currents) -> [Number; 2] {
        let (bar, main) = (self.group(Field::Busbar), self.group(Field::BusbarMain));
        let code = self.choice(Field::Code);
        let (label, part, formula) = match self.code() {
            Some(Code::Iec) => ("main and all units", 1.0, &current::BUSBAR_SUM),
            Some(Code::Nec) | None => ("main and 125 % of all units", 1.25, &current::BUSBAR),
        };
        let load = item(Part::Ac, &Whose::Group, ("busbar.load", label, "A"), formula);
        let load = sheet.work(load, [&code, &main, &currents.feeder], |[_, main, units]| {
            Ok(super::to_millionth(part * units + main))
        });
        // A rule of the one code alone.
        if self.code() != Some(Code::Iec) {
            let most = ("busbar.most-at-far-end", "most that units may give at the far end", "A");
            let most = item(Part::Ac, &Whose::Group, most, &current::BUSBAR);
            sheet.work(most, [&code, &bar, &main], |[_, bar, main]| {
                Ok(current::most_at_far_end(bar, main))
            });
        }
        [bar, load]
    }
}

/// A metric section.
fn metric(square_millimetres: f64) -> Section {
    Section::one(Size::SquareMillimetres(whole(Some(square_millimetres * 1000.0))))
}

/// Why a way of laying is not known.
fn way_incomplete() -> Lack {
    Lack::words("write insulation, ambient and conductors together")
}

/// What a conductor carries, and the largest breaker that protects it.
pub(super) fn carried(
    section: Option<Section>,
    way: Option<Way>,
) -> Result<(f64, f64, Carries), Lack> {
    let (section, way) = section.zip(way).ok_or_else(way_incomplete)?;
    let Section { runs, size, .. } = section;
    match way {
        Way::Nec(way) => {
            let none = || Lack::words(format!("the NEC table has no {size}: ask the designer"));
            let gauge = size.gauge().ok_or_else(none)?;
            let carries = conductor::nec_carries(&gauge, runs, &way).ok_or_else(none)?;
            let largest =
                conductor::nec_largest_breaker(&gauge, way.metal, carries).ok_or_else(none)?;
            Ok((carries.least(), largest, carries))
        }
        Way::Iec(way) => {
            let none = || Lack::words(format!("the IEC table has no {size}: ask the designer"));
            let area = size.square_millimetres().ok_or_else(none)?;
            let one = conductor::iec_corrected(area, &way).ok_or_else(none)?;
            let all = one * f64::from(runs);
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
