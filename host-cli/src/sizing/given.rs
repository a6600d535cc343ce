//! What a site and its profile say of the power side, as numbers to reckon with.

use super::conductor::{IecWay, Insulation, Metal, NecWay, Rated};
use super::current::Code;
use super::work::{From, Lack, Number, Whose};
use crate::declared::{Declared, Subject};
use crate::field::{About, Field};
use crate::value::{Section, Supply, System, Value};
use coldcheck_core::plan::{Coordinators, Demand, DemandRecord, DemandValue, Leg};

/// A site, seen as what sizes are computed from.
#[derive(Clone, Copy, Debug)]
pub struct Given<'s> {
    pub(super) declared: &'s Declared,
    pub(super) demands: &'s DemandRecord,
}

/// Thousandths, as sheets keep most quantities.
const MILLI: f64 = 1000.0;

impl<'s> Given<'s> {
    /// Of a site.
    pub const fn new(declared: &'s Declared, demands: &'s DemandRecord) -> Self {
        Self { declared, demands }
    }

    /// Whether anything at all is stated that only sizes are computed from.
    pub fn has_any(&self) -> bool {
        let stated = |subject: Subject, about: About| {
            Field::of(about)
                .filter(|field| field.is_for_sizes())
                .any(|field| self.declared.agreed(subject, field).is_some())
        };
        stated(Subject::Group, About::Group)
            || (0..self.declared.units.len()).any(|unit| stated(Subject::Unit(unit), About::Unit))
            || (0..self.declared.packs.len()).any(|pack| stated(Subject::Pack(pack), About::Pack))
            || (0..self.declared.sensors.len())
                .any(|sensor| stated(Subject::Sensor(sensor), About::Sensor))
    }

    /// A rating that profile or site states; thousandths unless its unit is whole.
    pub(super) fn rating(&self, demand: Demand, unit: &'static str, parts: f64) -> Number {
        match self.demands.bits(demand) {
            Some(bits) => {
                Number::known(demand.key(), f64::from(bits) / parts, unit, From::Demanded)
            }
            None => Number::lacking(demand.key(), Lack::Demanded(demand)),
        }
    }

    /// A quantity that the sheets state, in its unit.
    pub(super) fn number(&self, subject: Subject, field: Field) -> Number {
        let Some(value) = self.declared.agreed(subject, field) else {
            return Number::lacking(field.key(), Lack::Declared(field));
        };
        if let Value::Measured(measured) = value {
            let unit = measured.measure.unit();
            return Number::known(field.key(), measured.number(), unit, From::Declared);
        }
        if let Value::Section(section) = value {
            let mut word =
                Number::word(field.key(), section.to_string(), section.area(), From::Declared);
            word.unit = "mm2";
            return word;
        }
        let Some(number) = value.number().map(f64::from) else {
            return Number::lacking(field.key(), Lack::Declared(field));
        };
        let (parts, unit) = unit_of(field);
        Number::known(field.key(), number / parts, unit, From::Declared)
    }

    /// A fact about the group.
    pub(super) fn group(&self, field: Field) -> Number {
        self.number(Subject::Group, field)
    }

    /// A word of a closed vocabulary as its number, with the word to show.
    pub(super) fn choice(&self, field: Field) -> Number {
        let mut number = self.group(field);
        if let (Some(code), crate::field::Form::Choice(words)) =
            (self.declared.number(Subject::Group, field), field.form())
        {
            number.text = words.word(code).map(str::to_owned);
        }
        number
    }

    /// The conductor that is stated.
    pub(super) fn section(&self, subject: Subject, field: Field) -> Option<Section> {
        let Value::Section(section) = self.declared.agreed(subject, field)? else { return None };
        Some(*section)
    }

    /// Which code applies.
    pub(super) fn code(&self) -> Option<Code> {
        match self.declared.number(Subject::Group, Field::Code)? {
            1 => Some(Code::Nec),
            2 => Some(Code::Iec),
            _ => None,
        }
    }

    /// What the supply is.
    pub(super) fn supply(&self) -> Option<Supply> {
        let Value::Supply(supply) = self.declared.agreed(Subject::Group, Field::Supply)? else {
            return None;
        };
        Some(*supply)
    }

    /// The supply's volts that count for one unit: between the legs, or to neutral.
    pub(super) fn unit_volts(&self) -> Number {
        let name = Field::Supply.key();
        let Some(supply) = self.supply() else {
            return Number::lacking(name, Lack::Declared(Field::Supply));
        };
        if self.wants_phases() && self.phases().is_none() {
            return Number::lacking(name, Lack::Declared(Field::Phase));
        }
        let volts = match supply.system {
            System::ThreePhase if self.phases().is_some() => supply.volts_to_neutral(),
            System::ThreePhase | System::SplitPhase => supply.volts_between_lines(),
            System::SinglePhase => supply.volts_to_neutral(),
        };
        let mut number = Number::known(name, volts, "V", From::Declared);
        number.text = Some(format!("{}, {volts:.5} V", supply.system.word()).replace(".00000", ""));
        number
    }

    fn wants_phases(&self) -> bool {
        let bits = self.demands.bits(Demand::Coordinators);
        bits.and_then(Coordinators::from_bits) == Some(Coordinators::OneEachPhase)
    }

    /// The phase of every unit, if each has one and the supply has three.
    pub(super) fn phases(&self) -> Option<Vec<Leg>> {
        let three = self.supply().is_some_and(|supply| supply.system == System::ThreePhase);
        let phase = |unit| {
            let code = self.declared.number(Subject::Unit(unit), Field::Phase)?;
            Leg::from_code(u8::try_from(code).ok()?)
        };
        three.then(|| (0..self.declared.units.len()).map(phase).collect()).flatten()
    }

    /// The units whose currents add up in one line: those of each phase, else all of them.
    pub(super) fn lines(&self) -> Vec<Vec<usize>> {
        let all: Vec<usize> = (0..self.declared.units.len()).collect();
        let Some(phases) = self.phases() else { return vec![all] };
        [Leg::L1, Leg::L2, Leg::L3]
            .iter()
            .map(|leg| all.iter().copied().filter(|unit| phases[*unit] == *leg).collect())
            .collect()
    }

    /// Most units in one line.
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    pub(super) fn units_in_line(&self) -> Number {
        let most = self.lines().iter().map(Vec::len).max().unwrap_or(0);
        let name = if self.phases().is_some() { "units on one phase" } else { "units" };
        Number::known(name, most as f64, "", From::Declared)
    }

    /// How many units there are.
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    pub(super) fn units(&self) -> Number {
        Number::known("units", self.declared.units.len() as f64, "", From::Declared)
    }

    /// Every unit.
    pub(super) fn every_unit(&self) -> Whose {
        Whose::Units((0..self.declared.units.len()).collect())
    }

    /// Units of which the same is stated of these facts.
    pub(super) fn alike(&self, fields: &[Field]) -> Vec<Vec<usize>> {
        let facts = |unit: usize| {
            fields
                .iter()
                .map(|field| self.declared.agreed(Subject::Unit(unit), *field))
                .collect::<Vec<_>>()
        };
        let mut groups: Vec<(Vec<Option<&Value>>, Vec<usize>)> = Vec::new();
        for unit in 0..self.declared.units.len() {
            let own = facts(unit);
            match groups.iter_mut().find(|(other, _)| *other == own) {
                Some((_, units)) => units.push(unit),
                None => groups.push((own, vec![unit])),
            }
        }
        // A site without a unit lacks what one unit would lack.
        if groups.is_empty() {
            return vec![Vec::new()];
        }
        groups.into_iter().map(|(_, units)| units).collect()
    }

    /// What conductors are made of.
    pub(super) fn metal(&self) -> Option<Metal> {
        match self.declared.number(Subject::Group, Field::Metal)? {
            1 => Some(Metal::Copper),
            2 => Some(Metal::Aluminium),
            _ => None,
        }
    }

    /// How conductors are laid, by the code that applies; the terminals' temperature goes by the
    /// current of the circuit where none is stated.
    pub(super) fn way(&self, amperes: Option<f64>) -> ([Number; 6], Option<Way>) {
        let (insulation, ambient) = (self.choice(Field::Insulation), self.group(Field::Ambient));
        let code = self.choice(Field::Code);
        match self.code() {
            Some(Code::Nec) | None => {
                let (terminals, stand) = self.terminals(amperes);
                let (metal, together) = (self.choice(Field::Metal), self.group(Field::Together));
                let way = NecWay {
                    metal: self.metal().unwrap_or(Metal::Copper),
                    insulation: self.rated(Field::Insulation).unwrap_or(Rated::C60),
                    terminals: stand,
                    ambient: ambient.get().unwrap_or(f64::INFINITY),
                    together: whole(together.get()),
                };
                let complete = self.code().is_some() && self.rated(Field::Insulation).is_some();
                let insulation = self.fitting(insulation, self.rated(Field::Insulation).is_some());
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
                let single = self.supply().is_some_and(|one| one.system == System::SinglePhase)
                    || self.phases().is_some();
                let way = kind.map(|kind| {
                    Way::Iec(IecWay {
                        insulation: kind,
                        loaded: if single { 2 } else { 3 },
                        in_conduit: laid.get() == Some(1.0),
                        ambient: ambient.get().unwrap_or(f64::INFINITY),
                    })
                });
                let alone = self.alone(if single { 2 } else { 3 });
                let metal = match self.metal() {
                    Some(Metal::Aluminium) => Number::lacking(
                        Field::Metal.key(),
                        Lack::words("the table of IEC 60364-5-52 here is of copper only"),
                    ),
                    Some(Metal::Copper) | None => self.choice(Field::Metal),
                };
                ([code, metal, insulation, laid, ambient, alone], way)
            }
        }
    }

    /// Conductors of one circuit alone: for more there is no table here.
    fn alone(&self, loaded: u32) -> Number {
        let together = self.group(Field::Together);
        if together.get().is_some_and(|count| count > f64::from(loaded)) {
            let lack = Lack::words("circuits that lie together are not covered for IEC");
            return Number::lacking(Field::Together.key(), lack);
        }
        together
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

    /// What terminals stand: as stated, else 60 °C up to 100 A and 75 °C above (110.14(C)).
    fn terminals(&self, amperes: Option<f64>) -> (Number, Rated) {
        if let Some(rated) = self.rated(Field::Terminals) {
            return (self.choice(Field::Terminals), rated);
        }
        let (rated, text) = if amperes.is_none_or(|amperes| amperes <= 100.0) {
            (Rated::C60, "60 C, the code's own up to 100 A")
        } else {
            (Rated::C75, "75 C, the code's own above 100 A")
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

/// How a conductor is laid, by either code.
#[derive(Clone, Copy, Debug)]
pub(super) enum Way {
    Nec(NecWay),
    Iec(IecWay),
}

/// A whole number that is not below 0.
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count that a sheet stated as a whole number"
)]
pub(super) fn whole(number: Option<f64>) -> u32 {
    number.map_or(0, |number| number.clamp(0.0, 1e9) as u32)
}

/// How many parts of its unit a sheet's number counts, and that unit.
#[allow(
    clippy::wildcard_enum_match_arm,
    reason = "all others are no quantities: a number, or the number of a word"
)]
fn unit_of(field: Field) -> (f64, &'static str) {
    use crate::field::Form;
    match field.form() {
        Form::Current => (MILLI, "A"),
        Form::Voltage => (MILLI, "V"),
        Form::Length => (MILLI, "m"),
        Form::Capacity => (MILLI, "kWh"),
        Form::Ratio => (MILLI, ""),
        Form::Frequency => (MILLI, "Hz"),
        Form::Milliseconds => (1.0, "ms"),
        _ => (1.0, ""),
    }
}
