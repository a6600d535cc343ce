//! How currents divide over leads of one voltage: outputs to a bar, battery leads to a bus; and what
//! the rules say of leads that are not alike.

use super::ac::{Currents, item};
use super::dc::Battery;
use super::given::Given;
use super::sharing::{self, MOST_UNEVEN};
use super::work::{Fault, From, Item, Judgement, Lack, Number, Part, Whose, Worksheet, shown};
use crate::declared::Subject;
use crate::field::Field;
use coldcheck_core::rules::RuleId;

/// Leads that stand beside each other: what is said of their shares.
struct Leads<'l> {
    given: &'l Given<'l>,
    part: Part,
    rule: RuleId,
    length: Field,
    conductor: Field,
    /// Ohms of the leads of a unit.
    ohms: &'l dyn Fn(usize) -> Number,
    /// What keeps them from being compared at all.
    apart: Option<Lack>,
}

type What = (&'static str, &'static str, &'static str);

const UNEVEN: &str = "largest share \u{f7} average share";

impl Given<'_> {
    /// How the current of each line divides over the outputs by their leads alone.
    pub(super) fn output_shares(
        &self,
        sheet: &mut Worksheet,
        alike: &[Vec<usize>],
        currents: &Currents,
    ) {
        let share = "share of the current, judged by lead resistance only";
        for line in self.lines() {
            let what = [("share.current", share, "A"), ("share.unevenness", UNEVEN, "")];
            self.output_leads(&|unit| self.output_ohms(unit)).divide(
                sheet,
                alike,
                &line,
                &currents.unit,
                what,
            );
        }
    }

    /// How the current of the battery divides over units of one voltage, by their leads alone.
    pub(super) fn battery_shares(
        &self,
        sheet: &mut Worksheet,
        alike: &[Vec<usize>],
        battery: &Battery,
    ) {
        let share = "share of the current, judged by lead resistance only";
        let ohms = |unit| self.loop_ohms(unit);
        let leads = self.battery_leads(&ohms);
        for bank in self.banks() {
            let what = [("battery.share", share, "A"), ("battery.unevenness", UNEVEN, "")];
            leads.divide(sheet, alike, &bank, &battery.current, what);
        }
    }

    /// Whether leads that should be alike are.
    pub(super) fn judge_leads(&self, sheet: &mut Worksheet) {
        // A unit that is alone on its bank has no other to be compared with.
        let mut banks = self.banks();
        if banks.iter().any(|bank| bank.len() > 1) {
            banks.retain(|bank| bank.len() > 1);
        }
        self.battery_leads(&|unit| self.loop_ohms(unit)).judge(sheet, &banks);
        self.output_leads(&|unit| self.output_ohms(unit)).judge(sheet, &self.lines());
    }

    fn output_leads<'l>(&'l self, ohms: &'l dyn Fn(usize) -> Number) -> Leads<'l> {
        Leads {
            given: self,
            part: Part::Ac,
            rule: RuleId::AcLeadsUnequal,
            length: Field::OutputLead,
            conductor: Field::OutputConductor,
            ohms,
            apart: self.standing().err(),
        }
    }

    fn battery_leads<'l>(&'l self, ohms: &'l dyn Fn(usize) -> Number) -> Leads<'l> {
        let banks = self.banks();
        let alone = banks.len() > 1 && banks.iter().all(|bank| bank.len() == 1);
        Leads {
            given: self,
            part: Part::Battery,
            rule: RuleId::DcLeadsUnequal,
            length: Field::BatteryLead,
            conductor: Field::BatteryConductor,
            ohms,
            apart: alone.then(|| Lack::words("each unit has a battery bank of its own")),
        }
    }

    /// Ohms of the output lead of a unit, one way.
    fn output_ohms(&self, unit: usize) -> Number {
        const NAME: &str = "resistance of the output lead";
        let length = self.number(Subject::Unit(unit), Field::OutputLead);
        let ohms = self.ohms_per_metre(Subject::Unit(unit), Field::OutputConductor, false);
        match (length.get(), ohms.get()) {
            (Some(metres), Some(ohms)) => Number::known(NAME, metres * ohms, "ohm", From::Computed),
            (None, _) => length.called(NAME),
            (_, None) => ohms.called(NAME),
        }
    }
}

impl Leads<'_> {
    /// The shares of the units of one line, and how uneven they are.
    fn divide(
        &self,
        sheet: &mut Worksheet,
        alike: &[Vec<usize>],
        line: &[usize],
        current: &Number,
        [share, uneven]: [What; 2],
    ) {
        let own: Vec<Vec<usize>> = alike
            .iter()
            .map(|units| units.iter().copied().filter(|unit| line.contains(unit)).collect())
            .filter(|units: &Vec<usize>| !units.is_empty() || line.is_empty())
            .collect();
        let apart = || self.apart.clone().map(|lack| Number::lacking("leads", lack));
        let ohms = |unit: usize| apart().unwrap_or_else(|| (self.ohms)(unit));
        let leads: Vec<Number> =
            own.iter().map(|units| ohms(units.first().copied().unwrap_or(0))).collect();
        let path = worst(&leads);
        // Every unit's own, in the order of their groups.
        let each = own.iter().zip(&leads);
        let each: Option<Vec<f64>> =
            each.flat_map(|(units, ohms)| units.iter().map(|_| ohms.get())).collect();
        let division = each.and_then(|ohms| sharing::over_paths(1.0, &ohms));
        let mut passed = 0;
        for (units, ohms) in own.iter().zip(&leads) {
            let share = self.item(&Whose::Units(units.clone()), share, &sharing::PATHS);
            let part = division.as_ref().and_then(|all| all.get(passed).copied());
            passed += units.len();
            #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
            let count = line.len() as f64;
            let inputs = [ohms, &path, current];
            sheet.work(share, inputs, |[_, _, one]| Ok(part.ok_or_else(no_length)? * one * count));
        }
        let uneven = self.item(&Whose::Units(line.to_vec()), uneven, &sharing::UNEVEN);
        sheet.work(uneven, [&path], |_| Ok(sharing::unevenness(&division.ok_or_else(no_length)?)));
    }

    fn item(&self, whose: &Whose, what: What, formula: &'static super::Formula) -> Item {
        item(self.part, whose, what, formula)
    }

    /// Whether the leads of each line are alike: by the largest share, as the numbers have it.
    fn judge(&self, sheet: &mut Worksheet, lines: &[Vec<usize>]) {
        for line in lines {
            let (whose, outcome) = match self.compared(sheet, line) {
                Ok((odd, fault)) => (Whose::Units(odd), Ok(fault)),
                Err(lacks) => (Whose::Units(line.clone()), Err(lacks)),
            };
            let mut shows = super::judge::facts_of(&whose, self.length);
            shows.extend(super::judge::facts_of(&whose, self.conductor));
            sheet.judgements.push(Judgement { rule: self.rule, whose, shows, outcome });
        }
    }

    /// The leads of a line that are not like the others, and what is wrong with them.
    fn compared(
        &self,
        sheet: &Worksheet,
        line: &[usize],
    ) -> Result<(Vec<usize>, Option<Fault>), Vec<Lack>> {
        let one = |lack: Lack| vec![lack];
        if let Some(lack) = &self.apart {
            return Err(one(lack.clone()));
        }
        if line.is_empty() {
            return Err(one(Lack::Declared(self.length)));
        }
        let weights: Vec<f64> =
            line.iter().map(|unit| self.weight(*unit)).collect::<Result<_, _>>()?;
        if self.is_to_be_changed(sheet) {
            let words = "not compared until the conductor that is too small is changed";
            return Err(one(Lack::words(words)));
        }
        let shares = sharing::over_paths(1.0, &weights).ok_or_else(|| one(no_length()))?;
        let uneven = sharing::unevenness(&shares);
        let fault = (uneven > MOST_UNEVEN).then(|| {
            let times = if (uneven - 2.0).abs() < 0.005 {
                "twice".to_owned()
            } else {
                format!("{} times", shown(uneven))
            };
            let value = format!("one unit would carry {times} its share");
            Fault { value, wanted: format!("{} times at most", shown(MOST_UNEVEN)) }
        });
        let odd = odd_ones(&weights).into_iter().filter_map(|at| line.get(at).copied()).collect();
        Ok((odd, fault))
    }

    /// What a lead counts by: its resistance, or its length where nobody states sections.
    fn weight(&self, unit: usize) -> Result<f64, Vec<Lack>> {
        let declared = self.given.declared;
        let mut units = 0..declared.units.len();
        let has_sections =
            units.any(|unit| declared.agreed(Subject::Unit(unit), self.conductor).is_some());
        if has_sections {
            return (self.ohms)(unit).value;
        }
        self.given.number(Subject::Unit(unit), self.length).value
    }

    /// Whether a conductor of these leads is too small: it will be another one, the others stay.
    fn is_to_be_changed(&self, sheet: &Worksheet) -> bool {
        sheet.judgements.iter().any(|judgement| {
            judgement.rule == RuleId::ConductorTooSmall
                && matches!(judgement.outcome, Ok(Some(_)))
                && judgement.shows.iter().any(|(_, field)| *field == self.conductor)
        })
    }
}

fn no_length() -> Lack {
    Lack::words("a lead has a resistance of 0 ohm: write its length")
}

/// The largest of several resistances; one that is missing goes before all.
fn worst(leads: &[Number]) -> Number {
    let missing = leads.iter().find(|lead| lead.get().is_none());
    let largest = leads
        .iter()
        .max_by(|a, b| a.get().unwrap_or_default().total_cmp(&b.get().unwrap_or_default()));
    let none = || Number::lacking("leads", Lack::words("no unit is listed"));
    missing.or(largest).cloned().map_or_else(none, |lead| lead.called("largest of all leads"))
}

/// The leads that are not like most, by position; all of them if nobody can be singled out.
fn odd_ones(weights: &[f64]) -> Vec<usize> {
    let mut sorted = weights.to_vec();
    sorted.sort_by(f64::total_cmp);
    let usual = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0);
    let is_odd = |weight: f64| (weight - usual).abs() > (MOST_UNEVEN - 1.0) * usual;
    let all = 0..weights.len();
    let odd: Vec<usize> = all.clone().filter(|at| is_odd(weights[*at])).collect();
    let is_minority = 2 * odd.len() < weights.len() && !odd.is_empty();
    if is_minority { odd } else { all.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lead_that_differs_is_named_and_of_two_both() {
        assert_eq!(odd_ones(&[2.0, 2.0, 5.0]), [2]);
        assert_eq!(odd_ones(&[2.0, 0.5, 2.0, 2.0]), [1]);
        assert_eq!(odd_ones(&[2.0, 5.0]), [0, 1]);
        assert_eq!(odd_ones(&[1.0, 1.0, 9.0, 9.0]), [0, 1, 2, 3]);
    }
}
