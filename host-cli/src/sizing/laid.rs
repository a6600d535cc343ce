//! How conductors are laid, by the code that applies, and so what they carry.

use super::ac::{Circuit, Kind};
use super::conductor::{IecWay, Insulation, Metal, NecWay, Rated};
use super::current::Code;
use super::given::{Given, whole};
use super::work::{From, Lack, Number, Whose};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::{Section, Size, System};

/// How a conductor is laid, by either code.
#[derive(Clone, Copy, Debug)]
pub(super) enum Way {
    Nec(NecWay),
    Iec(IecWay),
}

/// What a way of laying hangs on.
pub(super) type Laid = [Number; 6];

impl Given<'_> {
    /// What a conductor is made of: as it says itself, else as all are.
    pub(super) fn metal_of(&self, section: Option<Section>) -> Option<Metal> {
        let all = || self.declared.number(Subject::Group, Field::Metal).and_then(Metal::from_code);
        section.and_then(|section| section.metal).or_else(all)
    }

    /// The same to show.
    pub(super) fn metal_number(&self, section: Option<Section>) -> Number {
        let own = section.and_then(|section| section.metal);
        own.map_or_else(
            || self.choice(Field::Metal),
            |metal| Number::word(Field::Metal.key(), metal.word(), 0.0, From::Declared),
        )
    }

    /// How the conductor of a circuit is laid, as it is stated.
    pub(super) fn way(&self, circuit: &Circuit) -> (Laid, Option<Way>) {
        self.way_of(circuit, self.section(circuit.subject, circuit.conductor))
    }

    /// How a conductor of a circuit would be laid that is still to be chosen: of the metal of those
    /// that are stated, if they have one in common.
    pub(super) fn way_to_choose(&self, circuit: &Circuit) -> (Laid, Option<Way>) {
        let metal = self.common_metal(circuit);
        // The smallest, so that only the current decides what terminals stand.
        let any = Section { metal, ..Section::one(Size::Awg(14)) };
        self.way_of(circuit, Some(any))
    }

    fn common_metal(&self, circuit: &Circuit) -> Option<Metal> {
        let own = |subject| self.section(subject, circuit.conductor).and_then(|one| one.metal);
        match &circuit.whose {
            Whose::Units(units) => {
                let mut all = units.iter().map(|unit| own(Subject::Unit(*unit)));
                let first = all.next().flatten();
                first.filter(|_| all.all(|other| other == first))
            }
            Whose::Group | Whose::Sensor(_) | Whose::Array(..) => own(circuit.subject),
        }
    }

    fn way_of(&self, circuit: &Circuit, section: Option<Section>) -> (Laid, Option<Way>) {
        let (insulation, ambient) = (self.choice(Field::Insulation), self.group(Field::Ambient));
        let (code, metal) = (self.choice(Field::Code), self.metal_number(section));
        match self.code() {
            Some(Code::Nec) | None => {
                let (terminals, stand) = self.terminals(circuit, section);
                let together = self.group(Field::Together);
                let rated = self.rated(Field::Insulation);
                let way = NecWay {
                    metal: self.metal_of(section).unwrap_or(Metal::Copper),
                    insulation: rated.unwrap_or(Rated::C60),
                    terminals: stand,
                    ambient: ambient.get().unwrap_or(f64::INFINITY),
                    together: whole(together.get()),
                };
                let complete = self.code().is_some() && rated.is_some();
                let insulation = self.fitting(insulation, rated.is_some());
                (
                    [code, metal, insulation, terminals, ambient, together],
                    complete.then_some(Way::Nec(way)),
                )
            }
            Some(Code::Iec) => {
                let kind = match self.declared.number(Subject::Group, Field::Insulation) {
                    Some(4) => Some(Insulation::Pvc),
                    Some(5) => Some(Insulation::Xlpe),
                    _ => None,
                };
                let insulation = self.fitting(insulation, kind.is_some());
                let laid = self.choice(Field::Laid);
                let way = kind.map(|kind| {
                    Way::Iec(IecWay {
                        insulation: kind,
                        loaded: self.loaded(circuit.kind),
                        in_conduit: laid.get() == Some(1.0),
                        ambient: ambient.get().unwrap_or(f64::INFINITY),
                    })
                });
                let metal = match self.metal_of(section) {
                    Some(Metal::Aluminium) => Number::lacking(
                        Field::Metal.key(),
                        Lack::words("the table of IEC 60364-5-52 here is of copper only"),
                    ),
                    Some(Metal::Copper) | None => metal,
                };
                ([code, metal, insulation, laid, ambient, self.alone()], way)
            }
        }
    }

    /// Conductors of a circuit that carry current, by IEC 60364-5-52, 523.6: three where three phases
    /// or both legs and their neutral may, else two.
    fn loaded(&self, kind: Kind) -> u8 {
        let split = self.supply().is_some_and(|supply| supply.system == System::SplitPhase);
        let three = match kind {
            Kind::BatteryLeads => false,
            Kind::Output => split || self.has_three_lines(),
            Kind::Feeder => split || self.feeder_has_three_lines(),
        };
        if three { 3 } else { 2 }
    }

    /// Conductors of one circuit alone: for more there is no table here. Three may lie together as
    /// soon as the site has a circuit with three.
    fn alone(&self) -> Number {
        match self.grouped() {
            Some(lack) => Number::lacking(Field::Together.key(), lack),
            None => self.group(Field::Together),
        }
    }

    /// Why it is not known what a conductor carries beside those of other circuits: less than alone.
    pub(super) fn grouped(&self) -> Option<Lack> {
        let count = self.group(Field::Together).get().filter(|_| self.code() == Some(Code::Iec));
        count.filter(|count| *count > f64::from(self.loaded(Kind::Feeder))).map(|_| {
            Lack::words(
                "conductors of more than one circuit together are not covered for IEC: ask the designer",
            )
        })
    }

    /// Insulation that the table of the code knows.
    fn fitting(&self, insulation: Number, fits: bool) -> Number {
        let stated = self.declared.number(Subject::Group, Field::Insulation).is_some();
        if fits || !stated || self.code().is_none() {
            return insulation;
        }
        let words = match self.code() {
            Some(Code::Iec) => "for IEC the insulation is PVC or XLPE",
            Some(Code::Nec) | None => "for the NEC the insulation is 60 C, 75 C or 90 C",
        };
        Number::lacking(Field::Insulation.key(), Lack::words(words))
    }

    /// What terminals stand: as stated, else 75 °C for circuits rated above 100 A or conductors above
    /// 1 AWG, and 60 °C for all others (110.14(C)).
    fn terminals(&self, circuit: &Circuit, section: Option<Section>) -> (Number, Rated) {
        if let Some(rated) = self.rated(Field::Terminals) {
            return (self.choice(Field::Terminals), rated);
        }
        let size = section.map(|section| section.size).filter(|size| size.gauge().is_some());
        let (rated, text) = if circuit.needed.get().is_some_and(|rating| rating > 100.0) {
            (Rated::C75, "75 C, the code's own for circuits above 100 A, 110.14(C)")
        } else if size.is_some_and(|size| size.area() > Size::Awg(1).area()) {
            (Rated::C75, "75 C, the code's own for conductors above 1 AWG, 110.14(C)")
        } else {
            (Rated::C60, "60 C, the code's own up to 100 A and 1 AWG, 110.14(C)")
        };
        (Number::word(Field::Terminals.key(), text, 0.0, From::Assumed), rated)
    }

    fn rated(&self, field: Field) -> Option<Rated> {
        match self.declared.number(Subject::Group, field)? {
            1 => Some(Rated::C60),
            2 => Some(Rated::C75),
            3 => Some(Rated::C90),
            _ => None,
        }
    }
}
