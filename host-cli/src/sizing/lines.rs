//! On which lines of the supply the units stand: all of them on every line, or each on one phase of
//! three. What no sheet says is not assumed.

use super::given::Given;
use super::work::{From, Lack, Number};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::{Conductor, Pole, Supply, System, Value};
use crate::vocabulary;
use coldcheck_core::plan::{Coordinators, Demand, DemandValue, Leg};

const LINES: [Pole; 3] = [Pole::L1, Pole::L2, Pole::L3];

/// How the units stand on the lines of the supply.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Standing {
    /// Each on every line that the supply has.
    All,
    /// Each on one phase of three.
    OneEach(Vec<Leg>),
}

impl Given<'_> {
    /// On which lines the units stand, by their phases; where none has one, by their outputs.
    pub(super) fn standing(&self) -> Result<Standing, Lack> {
        if !self.is_three_phase() {
            return Ok(Standing::All);
        }
        let units = 0..self.declared.units.len();
        let stated: Vec<Option<Leg>> = units.clone().map(|unit| self.phase(unit)).collect();
        let lacking: Vec<usize> = units.clone().filter(|unit| stated[*unit].is_none()).collect();
        if lacking.is_empty() {
            return Ok(Standing::OneEach(stated.into_iter().flatten().collect()));
        }
        if lacking.len() < stated.len() {
            return Err(Lack::words(format!("no phase is stated of {}", self.names(&lacking))));
        }
        let all: Vec<Lines> = units.map(|unit| self.output_lines(unit)).collect();
        let told = |lines: &Lines| matches!(lines, Lines::One(Some(_)));
        if all.iter().all(told) {
            let leg = |lines: &Lines| match lines {
                Lines::One(leg) => *leg,
                Lines::Unknown | Lines::Two | Lines::Three => None,
            };
            return Ok(Standing::OneEach(all.iter().filter_map(leg).collect()));
        }
        let unknown = |lines: &Lines| matches!(lines, Lines::Unknown | Lines::One(None));
        if self.wants_phases() || all.iter().any(unknown) {
            // One line or three: a factor of three in every current.
            let words = "neither a phase of each unit is stated nor all lines of its ac out";
            return Err(Lack::words(words));
        }
        if all.iter().all(|lines| *lines == Lines::Three) {
            return Ok(Standing::All);
        }
        let mixed =
            "units between two phases, or of one phase and of three together, are not covered";
        Err(Lack::words(format!("{mixed}: ask the designer")))
    }

    fn is_three_phase(&self) -> bool {
        self.supply().is_some_and(|supply| supply.system == System::ThreePhase)
    }

    fn phase(&self, unit: usize) -> Option<Leg> {
        let code = self.declared.number(Subject::Unit(unit), Field::Phase)?;
        Leg::from_code(u8::try_from(code).ok()?)
    }

    fn wants_phases(&self) -> bool {
        let bits = self.demands.bits(Demand::Coordinators);
        bits.and_then(Coordinators::from_bits) == Some(Coordinators::OneEachPhase)
    }

    /// The lines of a unit's output, by its terminals.
    fn output_lines(&self, unit: usize) -> Lines {
        let Some(Value::Conductors(all)) = self.declared.agreed(Subject::Unit(unit), Field::AcOut)
        else {
            return Lines::Unknown;
        };
        let joined = |one: &&Conductor| LINES.contains(&one.pole) && one.to != Conductor::nowhere();
        let own: Vec<&Conductor> = all.iter().filter(joined).collect();
        match own.as_slice() {
            [] => Lines::Unknown,
            [one] => {
                let bar = one.to.without(&["bar", "busbar", "board", "conductor"]);
                Lines::One(vocabulary::LEG.code(&bar).and_then(Leg::from_code))
            }
            [_, _] => Lines::Two,
            [_, _, _, ..] => Lines::Three,
        }
    }

    /// The phase of every unit, if each stands on one of three.
    pub(super) fn phases(&self) -> Option<Vec<Leg>> {
        match self.standing() {
            Ok(Standing::OneEach(legs)) => Some(legs),
            Ok(Standing::All) | Err(_) => None,
        }
    }

    /// Whether a unit is on all three lines of the supply; as far as that is known.
    pub(super) fn has_three_lines(&self) -> bool {
        self.is_three_phase() && self.standing() == Ok(Standing::All)
    }

    /// Whether the feeder has three lines.
    pub(super) fn feeder_has_three_lines(&self) -> bool {
        self.is_three_phase()
    }

    /// The volts that count for one unit: between the lines, or to neutral.
    pub(super) fn unit_volts(&self) -> Number {
        let lacking = |lack| Number::lacking(Field::Supply.key(), lack);
        let Some(supply) = self.supply() else {
            return lacking(Lack::Declared(Field::Supply));
        };
        match self.standing() {
            Err(lack) => lacking(lack),
            Ok(Standing::All) if supply.system == System::SinglePhase => to_neutral(supply),
            Ok(Standing::All) => between_lines(supply),
            Ok(Standing::OneEach(_)) => to_neutral(supply),
        }
    }

    /// The volts that count for the feeder and for a generator: between its lines, or to neutral.
    pub(super) fn feeder_volts(&self) -> Number {
        let lacking = || Number::lacking(Field::Supply.key(), Lack::Declared(Field::Supply));
        self.supply().map_or_else(lacking, |supply| match supply.system {
            System::SinglePhase => to_neutral(supply),
            System::SplitPhase | System::ThreePhase => between_lines(supply),
        })
    }

    /// The units whose currents add up in one line: those of each phase, else all of them.
    pub(super) fn lines(&self) -> Vec<Vec<usize>> {
        let all: Vec<usize> = (0..self.declared.units.len()).collect();
        let Some(phases) = self.phases() else { return vec![all] };
        [Leg::L1, Leg::L2, Leg::L3]
            .iter()
            .map(|leg| all.iter().copied().filter(|unit| phases[*unit] == *leg).collect())
            .filter(|line: &Vec<usize>| !line.is_empty())
            .collect()
    }

    /// Most units in one line.
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    pub(super) fn units_in_line(&self) -> Number {
        let most = self.lines().iter().map(Vec::len).max().unwrap_or(0);
        match self.standing() {
            Ok(Standing::OneEach(_)) => {
                Number::known("most units per phase", most as f64, "", From::Declared)
            }
            Ok(Standing::All) => Number::known("units", most as f64, "", From::Declared),
            Err(lack) => Number::lacking("units", lack),
        }
    }
}

/// What a unit's output has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Lines {
    Unknown,
    /// One line, and the leg that the bar is named after.
    One(Option<Leg>),
    Two,
    Three,
}

fn to_neutral(supply: Supply) -> Number {
    volts(supply, supply.volts_to_neutral(), "to neutral")
}

fn between_lines(supply: Supply) -> Number {
    let between =
        if supply.system == System::SplitPhase { "between the legs" } else { "between lines" };
    volts(supply, supply.volts_between_lines(), between)
}

fn volts(supply: Supply, volts: f64, between: &str) -> Number {
    let mut number = Number::known(Field::Supply.key(), volts, "V", From::Declared);
    let shown = super::work::shown(volts);
    number.text = Some(format!("{}, {shown} V {between}", supply.system.word()));
    number
}
