//! What rules say of the equipment: supply, changeover, generator, pre-charge.

use super::super::given::Given;
use super::super::work::{Fault, Lack, Whose, Worksheet, with_unit};
use super::{facts_of, fault};
use crate::declared::Subject;
use crate::field::Field;
use crate::value::{Conductor, Pole, System, Value};
use coldcheck_core::plan::{BondPlace, Demand, YesNo};
use coldcheck_core::rules::RuleId;

/// What is wrong with a unit, nothing, or what is missing.
type Found<T> = Result<Option<T>, Lack>;

const LEGS: [Pole; 3] = [Pole::L1, Pole::L2, Pole::L3];

impl Given<'_> {
    /// Everything about the equipment.
    pub(in crate::sizing) fn judge_equipment(&self, sheet: &mut Worksheet) {
        self.judge_answer(sheet, RuleId::NoInterlockBackfeed, Field::Interlock);
        self.judge_answer(sheet, RuleId::NoPrecharge, Field::Precharge);
        self.judge_gap(sheet);
        self.judge_inputs_of_units(sheet);
        self.judge_settings(sheet, Field::SupplyFrequency, Field::Frequency);
        self.judge_settings(sheet, Field::SupplyProfile, Field::GridProfile);
        self.judge_generator_bond(sheet);
        self.judge_supply(sheet);
        self.judge_leads(sheet);
        self.judge_neutrals(sheet);
    }

    /// A question to which the answer must not be no.
    fn judge_answer(&self, sheet: &mut Worksheet, rule: RuleId, field: Field) {
        let shows = facts_of(&Whose::Group, field);
        sheet.judge(rule, &Whose::Group, shows, [&self.choice(field)], |[answer]| {
            let no = f64::from(YesNo::No.code());
            Ok(((answer - no).abs() < 0.5).then(|| fault(String::new(), String::new())))
        });
    }

    fn judge_gap(&self, sheet: &mut Worksheet) {
        let least = self.rating(Demand::ChangeoverGap, "ms", 1.0);
        let inputs = [&least, &self.group(Field::ChangeoverGap)];
        let shows = facts_of(&Whose::Group, Field::ChangeoverGap);
        sheet.judge(RuleId::TransferTooFast, &Whose::Group, shows, inputs, |[least, own]| {
            let milliseconds = |number| with_unit(number, "ms");
            Ok((own < least).then(|| fault(milliseconds(own), milliseconds(least))))
        });
    }

    pub(super) fn conductors(&self, unit: usize, field: Field) -> Option<&[Conductor]> {
        let value = self.declared.agreed(Subject::Unit(unit), field)?;
        if let Value::Conductors(conductors) = value { Some(conductors) } else { None }
    }

    /// Whether a side of a unit has a conductor of this kind.
    fn has(&self, unit: usize, field: Field, is_so: fn(&Conductor) -> bool) -> bool {
        self.conductors(unit, field).unwrap_or_default().iter().any(is_so)
    }

    fn judge_inputs_of_units(&self, sheet: &mut Worksheet) {
        // What a unit has at the input of the generator, and at that of the supply.
        let of_unit = |unit: usize| {
            self.conductors(unit, Field::GeneratorIn).ok_or(Lack::Declared(Field::GeneratorIn))?;
            let at_generator = self.has(unit, Field::GeneratorIn, Conductor::is_line_of_supply);
            let at_supply = self.has(unit, Field::AcIn, Conductor::is_line_of_generator);
            Ok(match (at_generator, at_supply) {
                (true, _) => Some(("supply", "generator")),
                (false, true) => Some(("generator", "supply")),
                (false, false) => None,
            })
        };
        let fields = [Field::GeneratorIn, Field::AcIn];
        self.judge_units(sheet, RuleId::TransferInputsExchanged, &fields, of_unit, |found| {
            let (source, input) = found;
            let value = format!("the {source} comes to the input of the {input}");
            fault(value, format!("the {input} belongs there"))
        });
    }

    /// A setting that must be that of the supply on site.
    fn judge_settings(&self, sheet: &mut Worksheet, of_site: Field, of_unit: Field) {
        let wanted = self.declared.agreed(Subject::Group, of_site);
        // One of the two is enough to say that nothing is known of the supply.
        if wanted.is_none() && of_site != Field::SupplyFrequency {
            return;
        }
        let told = |subject: Subject, field: Field| {
            if let Some(Value::Name(name)) = self.declared.agreed(subject, field) {
                format!("\u{201c}{name}\u{201d}")
            } else {
                let number = self.number(subject, field);
                with_unit(number.get().unwrap_or(f64::NAN), number.unit)
            }
        };
        let values = (0..self.declared.units.len())
            .filter_map(|unit| self.declared.agreed(Subject::Unit(unit), of_unit));
        let differ = values.clone().zip(values.skip(1)).any(|(one, next)| one != next);
        let of = |unit: usize| {
            // Which of them is wrong is a question of its own, and another rule's.
            if differ {
                return Err(Lack::words(format!("the units differ in {}", of_unit.key())));
            }
            let wanted = wanted.ok_or(Lack::Declared(of_site))?;
            let own = self.declared.agreed(Subject::Unit(unit), of_unit);
            let own = own.ok_or(Lack::Declared(of_unit))?;
            Ok((own != wanted).then(|| told(Subject::Unit(unit), of_unit)))
        };
        let fields = [of_unit];
        self.judge_units(sheet, RuleId::GridProfileWrong, &fields, of, |own| {
            fault(own, told(Subject::Group, of_site))
        });
    }

    /// Judges all units, those that have the same wrong together.
    pub(super) fn judge_units<T: PartialEq>(
        &self,
        sheet: &mut Worksheet,
        rule: RuleId,
        fields: &[Field],
        of_unit: impl Fn(usize) -> Found<T>,
        told: impl Fn(T) -> Fault,
    ) {
        let mut all: Vec<(Found<T>, Vec<usize>)> = Vec::new();
        for unit in 0..self.declared.units.len() {
            let own = of_unit(unit);
            match all.iter_mut().find(|(other, _)| *other == own) {
                Some((_, units)) => units.push(unit),
                None => all.push((own, vec![unit])),
            }
        }
        for (found, units) in all {
            let whose = Whose::Units(units);
            let shows = fields.iter().flat_map(|field| facts_of(&whose, *field)).collect();
            sheet.judge(rule, &whose, shows, [], |[]| Ok(found?.map(&told)));
        }
    }

    fn judge_generator_bond(&self, sheet: &mut Worksheet) {
        let shows = facts_of(&Whose::Group, Field::Bonds);
        sheet.judge(RuleId::GeneratorBondUnknown, &Whose::Group, shows, [], |[]| {
            // A generator may come to an input of its own, or to the one of the supply.
            let has_input = |unit| {
                self.conductors(unit, Field::GeneratorIn).is_some()
                    || self.has(unit, Field::AcIn, Conductor::is_line_of_generator)
            };
            let is_listed = self.group(Field::GeneratorRating).get().is_some()
                || (0..self.declared.units.len()).any(has_input);
            if !is_listed {
                return Err(Lack::words("no sheet lists a generator"));
            }
            let Some(Value::Bonds(bonds)) = self.declared.agreed(Subject::Group, Field::Bonds)
            else {
                return Err(Lack::Declared(Field::Bonds));
            };
            let own = bonds.iter().find(|bond| bond.kind == BondPlace::GeneratorFrame);
            let why = match own {
                None => "none is listed",
                Some(bond) if bond.stated == 0 => "the list does not say when it is closed",
                Some(_) => return Ok(None),
            };
            Ok(Some(fault(why.to_owned(), String::new())))
        });
    }

    fn judge_supply(&self, sheet: &mut Worksheet) {
        let has_leg = |unit, leg| {
            let sides = [Field::AcOut, Field::AcIn].into_iter();
            let mut conductors = sides.filter_map(|side| self.conductors(unit, side)).flatten();
            conductors.any(|one| one.pole == leg && one.to != Conductor::nowhere())
        };
        let units = 0..self.declared.units.len();
        let two_legs: Vec<usize> = units
            .clone()
            .filter(|unit| LEGS.map(|leg| has_leg(*unit, leg)) == [true, true, false])
            .collect();
        // `straight` on three phases tells of no line.
        let is_line = |one: &Conductor| LEGS.contains(&one.pole);
        let sides = [Field::AcOut, Field::AcIn];
        let is_known =
            units.into_iter().any(|unit| sides.iter().any(|side| self.has(unit, *side, is_line)));
        let whose = Whose::Units(two_legs.clone());
        let mut shows = facts_of(&Whose::Group, Field::Supply);
        shows.extend(facts_of(&whose, Field::AcOut));
        sheet.judge(RuleId::SupplyNotSplitPhase, &whose, shows, [], |[]| {
            let supply = self.supply().ok_or(Lack::Declared(Field::Supply))?;
            if !is_known {
                return Err(Lack::Declared(Field::AcOut));
            }
            let is_wrong = !two_legs.is_empty() && supply.system != System::SplitPhase;
            let wanted = System::SplitPhase.word().to_owned();
            Ok(is_wrong.then(|| fault(supply.to_string(), wanted)))
        });
    }
}
