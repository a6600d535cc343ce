//! The solar side of a site: strings on the coldest day, currents, how many modules.

use super::ac::item;
use super::given::{Given, whole};
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
    /// What it is at least, where it is colder than the table goes.
    pub(super) at_least: Option<Number>,
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

    /// Whether somebody says that there is no array.
    pub(super) fn has_no_array(&self) -> bool {
        let arrays = self.declared.agreed(Subject::Group, Field::Arrays);
        matches!(arrays, Some(Value::Arrays(arrays)) if arrays.is_empty())
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
        if self.has_no_array() && self.strings().is_empty() {
            return Vec::new();
        }
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
            let below = || {
                let coldest = super::work::shown(solar::coldest_of_table());
                Lack::words(format!(
                    "the table stops at {coldest} C: write the module's coefficient"
                ))
            };
            solar::cold_factor(degrees).map(|factor| factor * volts).ok_or_else(below)
        });
        let most = self.rating(Demand::SolarVoltsMax, "V", 1000.0);
        let what = ("module.most", "most modules in a string", "");
        let deciding = deciding(&by_coefficient, &by_table);
        sheet.work(of(&whose, what, &solar::MODULES), [&most, &deciding], |[most, volts]| {
            let count = solar::most_modules(most, volts);
            count
                .map(f64::from)
                .ok_or_else(|| Lack::words("no whole number of modules comes of these volts"))
        });
        let (least, hot) = (self.group(Field::SolarVoltsLeast), self.group(Field::ModuleHotVolts));
        let what = ("module.fewest", "fewest modules in a string", "");
        sheet.work(of(&whose, what, &solar::MODULES), [&least, &hot], |[least, volts]| {
            let count = solar::fewest_modules(least, volts);
            count
                .map(f64::from)
                .ok_or_else(|| Lack::words("no whole number of modules comes of these volts"))
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
            let strings = usize::try_from(whole(Some(count))).unwrap_or(usize::MAX);
            Ok(solar::input_current(&vec![one; strings]))
        });
        let volts = deciding(&first, &second);
        let most = self.rating(Demand::SolarVoltsMax, "V", 1000.0);
        let what = ("string.near", "part of the limit that the string reaches", "%");
        let near = of(&whose, what, &solar::NEAR);
        sheet.work(near, [&volts, &most], |[volts, most]| Ok(volts / most * 100.0));
        let what = ("string.parallel", "strings in parallel", "");
        sheet.work(of(&whose, what, &solar::STRING_FUSE), [&parallel], |[count]| Ok(count));
        let at_least = self.at_least(sheet, &whose, &modules);
        Array { whose, parallel, volts, at_least, amperes }
    }

    /// A string where it is colder than the table goes: more than by its last row.
    fn at_least(&self, sheet: &mut Worksheet, whose: &Whose, modules: &Number) -> Option<Number> {
        let coldest = self.group(Field::ColdestDay);
        let is_silicon = self.choice(Field::ModuleKind).get() == Some(1.0);
        let is_below = coldest.get().is_some_and(|degrees| degrees < solar::coldest_of_table());
        let has_coefficient = self.group(Field::ModuleCoefficient).get().is_some();
        if !is_silicon || !is_below || has_coefficient {
            return None;
        }
        let volts = self.group(Field::ModuleVolts);
        let what = ("string.cold-volts-least", "string on the coldest day, at least", "V");
        let of = of(whose, what, &solar::COLD_AT_LEAST);
        Some(sheet.work(of, [&volts, modules], |[volts, count]| {
            let factor = solar::cold_factor(solar::coldest_of_table());
            factor.map(|factor| factor * volts * count).ok_or_else(|| Lack::words("no table"))
        }))
    }
}

/// The coefficient goes before the table (690.7(A)). Where both lack something, that of the way which
/// was begun.
fn deciding(by_coefficient: &Number, by_table: &Number) -> Number {
    let lacks = |number: &Number, field| {
        number.value.as_ref().is_err_and(|all| all.contains(&Lack::Declared(field)))
    };
    let is_by_table = lacks(by_coefficient, Field::ModuleCoefficient)
        && (by_table.get().is_some() || !lacks(by_table, Field::ModuleKind));
    if is_by_table { by_table.clone() } else { by_coefficient.clone() }
}
