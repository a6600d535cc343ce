//! How currents divide over leads of one voltage: outputs to a bar, battery leads to a bus.

use super::ac::{Currents, item};
use super::dc::Battery;
use super::given::Given;
use super::sharing::{self, Network};
use super::work::{From, Item, Lack, Number, Part, Whose, Worksheet};
use crate::declared::Subject;
use crate::field::Field;

/// Leads that stand beside each other: what is said of their shares.
struct Leads<'l> {
    part: Part,
    share: (&'static str, &'static str, &'static str),
    uneven: (&'static str, &'static str, &'static str),
    /// Ohms of the leads of a unit.
    ohms: &'l dyn Fn(usize) -> Number,
    /// Current of one unit.
    current: &'l Number,
}

impl Given<'_> {
    /// How the current of each line divides over the outputs by their leads alone.
    pub(super) fn output_shares(
        &self,
        sheet: &mut Worksheet,
        alike: &[Vec<usize>],
        currents: &Currents,
    ) {
        let leads = Leads {
            part: Part::Ac,
            share: ("share.current", "its part of the current, by output leads alone", "A"),
            uneven: ("share.unevenness", "largest of these currents by their mean", ""),
            ohms: &|unit| self.output_ohms(unit),
            current: &currents.unit,
        };
        for line in self.lines() {
            leads.divide(sheet, alike, &line);
        }
    }

    /// How the current of the battery divides over units of one voltage, by their leads alone.
    pub(super) fn battery_shares(
        &self,
        sheet: &mut Worksheet,
        alike: &[Vec<usize>],
        battery: &Battery,
    ) {
        let leads = Leads {
            part: Part::Battery,
            share: ("battery.share", "its part of the current, by battery leads alone", "A"),
            uneven: ("battery.unevenness", "largest of these currents by their mean", ""),
            ohms: &|unit| self.loop_ohms(unit),
            current: &battery.current,
        };
        let all: Vec<usize> = alike.iter().flatten().copied().collect();
        leads.divide(sheet, alike, &all);
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
    fn divide(&self, sheet: &mut Worksheet, alike: &[Vec<usize>], line: &[usize]) {
        let own: Vec<Vec<usize>> = alike
            .iter()
            .map(|units| units.iter().copied().filter(|unit| line.contains(unit)).collect())
            .filter(|units: &Vec<usize>| !units.is_empty() || line.is_empty())
            .collect();
        let first = |units: &Vec<usize>| units.first().copied().unwrap_or(0);
        let leads: Vec<Number> = own.iter().map(|units| (self.ohms)(first(units))).collect();
        let path = worst(&leads);
        let division = divided(&own, &leads);
        for (position, units) in own.iter().enumerate() {
            let share = self.item(&Whose::Units(units.clone()), self.share, &sharing::NETWORK);
            let part = division.as_ref().and_then(|all| all.get(position).copied());
            let ohms = leads.get(position).unwrap_or(&path);
            #[allow(clippy::cast_precision_loss, reason = "a group has few units")]
            let count = line.len() as f64;
            let inputs = [ohms, &path, self.current];
            sheet.work(share, inputs, |[_, _, one]| Ok(part.ok_or_else(no_length)? * one * count));
        }
        let uneven = self.item(&Whose::Units(line.to_vec()), self.uneven, &sharing::UNEVEN);
        sheet.work(uneven, [&path], |_| {
            let division = division.ok_or_else(no_length)?;
            let counts = own.iter().map(Vec::len);
            let all: Vec<f64> = division
                .iter()
                .zip(counts)
                .flat_map(|(part, count)| std::iter::repeat_n(*part, count))
                .collect();
            Ok(sharing::unevenness(&all))
        });
    }

    fn item(
        &self,
        whose: &Whose,
        what: (&'static str, &'static str, &'static str),
        formula: &'static super::Formula,
    ) -> Item {
        item(self.part, whose, what, formula)
    }
}

fn no_length() -> Lack {
    Lack::words("a lead of no length")
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

/// The part of the whole current that each unit of each group carries: every output is a source of
/// 1 V behind its lead, and 1 A is taken from the bar that they feed.
fn divided(groups: &[Vec<usize>], leads: &[Number]) -> Option<Vec<f64>> {
    let leads: Vec<f64> = leads.iter().map(Number::get).collect::<Option<_>>()?;
    if leads.iter().any(|ohms| *ohms <= 0.0) {
        return None;
    }
    let mut network = Network::new(2);
    for (units, ohms) in groups.iter().zip(&leads) {
        for _ in units {
            network.source(1, 1.0, *ohms);
        }
    }
    network.current(1, -1.0);
    let volts = network.solve()?;
    let bar = volts.get(1)?;
    Some(leads.iter().map(|ohms| (1.0 - bar) / ohms).collect())
}
