//! The solar side of a site: strings on the coldest day, currents, how many modules.

use super::ac::item;
use super::given::Given;
use super::solar;
use super::work::{From, Item, Lack, Number, Part, Whose, Worksheet};
use crate::declared::Subject;
use crate::field::Field;
use crate::fold::Folded;
use crate::value::{Measure, Strings, Value};
use coldcheck_core::plan::Demand;

/// What the strings of one array come to.
#[derive(Clone, Debug)]
pub(super) struct Array {
    pub(super) whose: Whose,
    pub(super) parallel: Number,
    /// Voltage on the coldest day by the method that decides.
    pub(super) volts: Number,
    /// 125 % of the short-circuit current of all its strings.
    pub(super) amperes: Number,
}

fn of(
    whose: &Whose,
    what: (&'static str, &'static str, &'static str),
    formula: &'static super::Formula,
) -> Item {
    item(Part::Solar, whose, what, formula)
}

impl Given<'_> {
    /// Strings as they are stated.
    pub(super) fn strings(&self) -> &[Strings] {
        match self.declared.agreed(Subject::Group, Field::Strings) {
            Some(Value::Strings(strings)) => strings,
            _ => &[],
        }
    }

    /// Arrays and the declared units that they feed.
    pub(super) fn arrays(&self) -> Vec<(Folded, usize)> {
        let Some(Value::Arrays(arrays)) = self.declared.agreed(Subject::Group, Field::Arrays)
        else {
            return Vec::new();
        };
        arrays
            .iter()
            .filter_map(|(array, unit)| Some((array.clone(), self.declared.unit_called(unit)?)))
            .collect()
    }

    /// Units that an array feeds; all that any array feeds if it has no name.
    pub(super) fn fed_by(&self, array: &Folded) -> Vec<usize> {
        let arrays = self.arrays();
        let own = arrays.iter().filter(|(name, _)| array.is_empty() || name == array);
        let mut units: Vec<usize> = own.map(|(_, unit)| *unit).collect();
        units.sort_unstable();
        units.dedup();
        units
    }

    /// Every array with its strings.
    pub(super) fn solar(&self, sheet: &mut Worksheet) -> Vec<Array> {
        let module = self.module(sheet);
        let none = Strings { array: Folded::default(), modules: 0, parallel: 0 };
        let strings = self.strings();
        if strings.is_empty() {
            let lacking = || Number::lacking(Field::Strings.key(), Lack::Declared(Field::Strings));
            return vec![self.array(sheet, &none, [lacking(), lacking()], &module)];
        }
        strings
            .iter()
            .map(|own| {
                let modules = f64::from(own.modules);
                let modules = Number::known("modules in a string", modules, "", From::Declared);
                let parallel = f64::from(own.parallel);
                let parallel =
                    Number::known("strings beside each other", parallel, "", From::Declared);
                self.array(sheet, own, [modules, parallel], &module)
            })
            .collect()
    }

    /// Voltage of one module on the coldest day: by its coefficient, and by the table.
    fn module(&self, sheet: &mut Worksheet) -> [Number; 2] {
        let (volts, coldest) = (self.group(Field::ModuleVolts), self.group(Field::ColdestDay));
        let coefficient = self.group(Field::ModuleCoefficient);
        let per_volt = match self.declared.agreed(Subject::Group, Field::ModuleCoefficient) {
            Some(Value::Measured(one)) => one.measure == Measure::VoltsPerKelvin,
            _ => false,
        };
        let what = ("module.cold-volts", "module on the coldest day, by coefficient", "V");
        let inputs = [&volts, &coefficient, &coldest];
        let whose = Whose::Group;
        let by = of(&whose, what, &solar::COLD_BY_COEFFICIENT);
        let by_coefficient = sheet.work(by, inputs, |[volts, part, degrees]| {
            Ok(if per_volt {
                solar::cold_by_volts(volts, part, degrees)
            } else {
                solar::cold_by_percent(volts, part, degrees)
            })
        });
        let kind = self.choice(Field::ModuleKind);
        let what = ("module.cold-volts-table", "module on the coldest day, by table", "V");
        let by = of(&whose, what, &solar::COLD_BY_TABLE);
        let by_table = sheet.work(by, [&volts, &kind, &coldest], |[volts, kind, degrees]| {
            if kind > 1.0 {
                return Err(Lack::words("the table is of crystalline silicon only"));
            }
            let factor = solar::cold_factor(degrees);
            factor.map(|factor| factor * volts).ok_or_else(|| Lack::words("the table ends above"))
        });
        let most = self.rating(Demand::SolarVoltsMax, "V", 1000.0);
        let what = ("module.most", "most modules in a string", "");
        let deciding = deciding(&by_coefficient, &by_table);
        sheet.work(of(&whose, what, &solar::MODULES), [&most, deciding], |[most, volts]| {
            let count = solar::most_modules(most, volts);
            count.map(f64::from).ok_or_else(|| Lack::words("it cannot be counted"))
        });
        let (least, hot) = (self.group(Field::SolarVoltsLeast), self.group(Field::ModuleHotVolts));
        let what = ("module.fewest", "fewest modules in a string", "");
        sheet.work(of(&whose, what, &solar::MODULES), [&least, &hot], |[least, volts]| {
            let count = solar::fewest_modules(least, volts);
            count.map(f64::from).ok_or_else(|| Lack::words("it cannot be counted"))
        });
        [by_coefficient, by_table]
    }

    fn array(
        &self,
        sheet: &mut Worksheet,
        own: &Strings,
        [modules, parallel]: [Number; 2],
        [by_coefficient, by_table]: &[Number; 2],
    ) -> Array {
        let whose = Whose::Array(own.array.to_string(), self.fed_by(&own.array));
        let what = ("string.cold-volts", "string on the coldest day, by coefficient", "V");
        let by = of(&whose, what, &solar::COLD_BY_COEFFICIENT);
        let first = sheet.work(by, [by_coefficient, &modules], |[one, count]| Ok(one * count));
        let what = ("string.cold-volts-table", "string on the coldest day, by table", "V");
        let by = of(&whose, what, &solar::COLD_BY_TABLE);
        let second = sheet.work(by, [by_table, &modules], |[one, count]| Ok(one * count));
        let one = self.group(Field::ModuleAmperes);
        let what = ("string.current", "125 % of the short-circuit current at the input", "A");
        let amperes = of(&whose, what, &solar::CURRENT);
        let amperes = sheet.work(amperes, [&one, &parallel], |[one, count]| {
            Ok(super::to_millionth(1.25 * one * count))
        });
        let volts = deciding(&first, &second).clone();
        Array { whose, parallel, volts, amperes }
    }
}

/// The coefficient goes before the table (690.7(A)).
fn deciding<'n>(by_coefficient: &'n Number, by_table: &'n Number) -> &'n Number {
    if by_coefficient.get().is_some() || by_table.get().is_none() {
        by_coefficient
    } else {
        by_table
    }
}
