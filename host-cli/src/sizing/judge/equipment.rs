//! What rules say of the equipment: supply, changeover, generator, pre-charge, and leads that should
//! be alike.

use super::super::given::Given;
use super::super::sharing::over_paths;
use super::super::work::{Fault, Judgement, Lack, Whose, Worksheet, shown, with_unit};
use super::{facts_of, fault};
use crate::declared::Subject;
use crate::field::Field;
use crate::fold::Folded;
use crate::value::{Conductor, Pole, System, Value};
use coldcheck_core::plan::{BatteryBanks, BondPlace, Demand, YesNo};
use coldcheck_core::rules::RuleId;

/// How far the share of a unit may be off the mean. A limit of ours, no standard.
const MOST_OFF_MEAN: f64 = 0.1;

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
        self.judge_leads(
            sheet,
            RuleId::DcLeadsUnequal,
            Field::BatteryLead,
            Field::BatteryConductor,
        );
        self.judge_leads(sheet, RuleId::AcLeadsUnequal, Field::OutputLead, Field::OutputConductor);
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

    fn conductors(&self, unit: usize, field: Field) -> Option<&[Conductor]> {
        let value = self.declared.agreed(Subject::Unit(unit), field)?;
        if let Value::Conductors(conductors) = value { Some(conductors) } else { None }
    }

    /// Whether a leg of a side of a unit leads to a bar with one of these words in its name.
    fn leads_to(&self, unit: usize, field: Field, words: &[&str]) -> bool {
        let named = |bar: &Folded| bar.tokens().iter().any(|token| words.contains(&token.as_str()));
        let legs = self.conductors(unit, field).unwrap_or_default().iter();
        legs.filter(|one| LEGS.contains(&one.pole)).any(|one| named(&one.to))
    }

    fn judge_inputs_of_units(&self, sheet: &mut Worksheet) {
        const OF_SUPPLY: [&str; 5] = ["supply", "grid", "mains", "utility", "street"];
        const OF_GENERATOR: [&str; 3] = ["generator", "gen", "genset"];
        // What a unit has at the input of the generator, and at that of the supply.
        let of_unit = |unit: usize| {
            self.conductors(unit, Field::GeneratorIn).ok_or(Lack::Declared(Field::GeneratorIn))?;
            let at_generator = self.leads_to(unit, Field::GeneratorIn, &OF_SUPPLY);
            let at_supply = self.leads_to(unit, Field::AcIn, &OF_GENERATOR);
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
    fn judge_units<T: PartialEq>(
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
            let has_input = |unit| self.conductors(unit, Field::GeneratorIn).is_some();
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
        let is_known = units.into_iter().any(|unit| self.conductors(unit, Field::AcOut).is_some());
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

    /// Leads of one kind, of which each unit has one: alike in resistance, or in length where
    /// nobody states their sections.
    fn judge_leads(&self, sheet: &mut Worksheet, rule: RuleId, length: Field, conductor: Field) {
        let units: Vec<usize> = (0..self.declared.units.len()).collect();
        let states = |field| {
            let mut units = units.iter();
            units.any(|unit| self.declared.agreed(Subject::Unit(*unit), field).is_some())
        };
        let has_sections = states(conductor);
        let weights: Result<Vec<f64>, Vec<Lack>> = units
            .iter()
            .map(|unit| {
                let length = self.number(Subject::Unit(*unit), length).value?;
                if !has_sections {
                    return Ok(length);
                }
                let ohms = self.ohms_per_metre(Subject::Unit(*unit), conductor, true).value?;
                Ok(length * ohms)
            })
            .collect();
        let banks = self.demands.battery_banks();
        let is_too_small = |judgement: &Judgement| {
            judgement.rule == RuleId::ConductorTooSmall && matches!(judgement.outcome, Ok(Some(_)))
        };
        let open = |lack: Lack| (self.every_unit(), Err(lack));
        let (whose, outcome) = match weights {
            Ok(weights) if weights.is_empty() => open(Lack::Declared(length)),
            Ok(weights) if weights.iter().any(|weight| *weight <= 0.0) => {
                open(Lack::words("a lead of no length"))
            }
            Err(lacks) => open(lacks.into_iter().next().unwrap_or(Lack::Declared(length))),
            // It will be another one then, and the others as they are.
            Ok(_) if sheet.judgements.iter().any(is_too_small) => {
                open(Lack::words("a conductor is too small and to be changed"))
            }
            Ok(_) if rule == RuleId::DcLeadsUnequal && banks == Some(BatteryBanks::OneEachUnit) => {
                open(Lack::words("each unit has a battery bank of its own"))
            }
            Ok(weights) => {
                let (odd, share) = unequal(&weights);
                let odd = odd.into_iter().filter_map(|at| units.get(at).copied()).collect();
                (Whose::Units(odd), Ok(fault_of_leads(share)))
            }
        };
        let mut shows = facts_of(&whose, length);
        shows.extend(facts_of(&whose, conductor));
        sheet.judge(rule, &whose, shows, [], |[]| outcome);
    }
}

fn fault_of_leads(share: f64) -> Option<Fault> {
    ((share - 1.0).abs() > MOST_OFF_MEAN).then(|| {
        let value = format!("one would carry {} times the mean", shown(share));
        let [low, high] = [1.0 - MOST_OFF_MEAN, 1.0 + MOST_OFF_MEAN].map(shown);
        fault(value, format!("{low} to {high} times is wanted"))
    })
}

/// Leads that are not like most, by position, all of them if nobody can be singled out; and the
/// share that is farthest from the mean, in means.
fn unequal(weights: &[f64]) -> (Vec<usize>, f64) {
    let all: Vec<usize> = (0..weights.len()).collect();
    #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
    let shares = over_paths(weights.len() as f64, weights).into_iter();
    let farthest = shares.max_by(|one, other| (one - 1.0).abs().total_cmp(&(other - 1.0).abs()));
    let mut sorted = weights.to_vec();
    sorted.sort_by(f64::total_cmp);
    let usual = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0);
    let is_odd = |weight: f64| (weight - usual).abs() > MOST_OFF_MEAN * usual;
    let odd: Vec<usize> = all.iter().copied().filter(|at| is_odd(weights[*at])).collect();
    let is_minority = 2 * odd.len() < weights.len() && !odd.is_empty();
    (if is_minority { odd } else { all }, farthest.unwrap_or(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lead_that_differs_is_named_and_of_two_both() {
        assert_eq!(unequal(&[2.0, 2.0, 5.0]).0, [2]);
        assert_eq!(unequal(&[2.0, 0.5, 2.0, 2.0]).0, [1]);
        assert_eq!(unequal(&[2.0, 5.0]).0, [0, 1]);
        assert_eq!(unequal(&[1.0, 1.0, 9.0, 9.0]).0, [0, 1, 2, 3]);
    }

    #[test]
    fn currents_go_by_resistance() {
        // Worked out: 300 A in three units behind 1, 2 and 4 m of one section are 171.429, 85.714
        // and 42.857 A.
        let (_, share) = unequal(&[1.0, 2.0, 4.0]);
        assert!((share - 171.429 / 100.0).abs() < 1e-5);
        assert!((unequal(&[2.0; 5]).1 - 1.0).abs() < 1e-12);
        // One long lead among many: it carries little, and the others little more than the mean.
        let (_, share) = unequal(&[2.0, 2.0, 2.0, 2.0, 2.0, 2.0, 5.0]);
        assert!((share - 0.4375).abs() < 1e-9);
        assert_eq!((fault_of_leads(1.09), fault_of_leads(0.91)), (None, None));
        assert!(fault_of_leads(share).is_some());
    }
}
